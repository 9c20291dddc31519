"""The surface of a roof with a bay: it tiles the plan, and its lines are the straight skeleton."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from tests.bays import BAY, POINTED, SPLAYED, any_bays, with_bay
from tests.jobs import Tables, changed, refused_passed_over
from tests.roof.test_surface import assert_is_a_roof, assert_lines_are_the_skeleton, kinds
from tests.wings import surface


@pytest.mark.parametrize(
    ("tables", "ridges", "hips", "valleys"),
    [(BAY, 2, 4, 2), (SPLAYED, 1, 3, 2), (POINTED, 1, 1, 2)],
    ids=["bay", "splayed", "pointed"],
)
def test_lines_of_the_roof(tables: Tables, ridges: int, hips: int, valleys: int) -> None:
    of = surface(tables)
    assert kinds(of) == {"ridge": ridges, "hip": hips, "valley": valleys}
    assert_is_a_roof(of)


def hipped(tables: Tables, **roof: object) -> Tables:
    return changed(
        tables,
        {"roof.form": "hip", "roof.rake_overhang": None, "roof.length": "50ft"}
        | {f"roof.{key}": value for key, value in roof.items()},
    )


# Hips all around and one pitch: the lines are the straight skeleton of the eaves, here that of a
# general-purpose library.
@pytest.mark.parametrize(
    "tables",
    [
        with_bay(hipped(BAY), [(0, 0), (0, -36), (40, -80), (104, -80), (144, -36), (144, 0)]),
        with_bay(hipped(BAY), [(0, 0), (0, -36), (30, -66), (114, -66), (144, -36), (144, 0)]),
        with_bay(hipped(BAY), [(0, 0), (0, -20), (60, -50), (140, -20), (140, 0)], at=["20ft", 0]),
        with_bay(hipped(SPLAYED), [(0, 0), (30, -30), (66, -30), (96, 0)], at=["18ft", 0]),
        with_bay(hipped(POINTED), [(0, 0), (48, -48), (96, 0)], at=["18ft", 0]),
    ],
)
def test_lines_are_the_straight_skeleton(tables: Tables) -> None:
    assert_lines_are_the_skeleton(surface(tables))


@settings(deadline=None, max_examples=60)
@given(any_bays())
def test_any_faces_tile_the_plan(tables: Tables) -> None:
    with refused_passed_over():
        of = surface(tables)
    assert_is_a_roof(of)
