"""Octagons against print: half a side for a foot of run, and how the runs of jacks differ.

The printed ratio of the runs is that of 12 to 5, a rounded form of 1 / tan 22.5 deg.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from cutlist.geometry.space import meet
from cutlist.roof.roof import Roof
from tests.hips import face, jacks_to, level
from tests.jobs import roof_of
from tests.polygons import OCTAGON
from tests.published.tables import Row, each


def regular(sides: int, row: Row) -> Roof:
    changes = {"roof.sides": sides, "roof.span": "24ft", "rafter.spacing": row["spacing"] or 16}
    return roof_of(OCTAGON, changes)


def half_a_side(roof: Roof) -> float:
    """Return half of a side for each foot of a common's run, to the point where slopes meet."""
    one, *others = (face(roof, f"side {i}") for i in (1, 2, 3))
    run = one.run(meet(one.plane, *(other.plane for other in others)))
    return 12 * one.length / 2 / run


def run_difference(roof: Roof) -> float:
    """Return how much the runs of jacks on a side differ; all steps must be alike."""
    jacks = jacks_to(roof, "side 1", "side 1-2 hip")
    steps = [level(b, b.line_length - a.line_length) for a, b in pairwise(jacks)]
    assert steps == pytest.approx([steps[0]] * len(steps))
    return steps[0]


@each("polygons")
def test_octagon(row: Row) -> None:
    roof = regular(int(row["sides"]), row)
    if row["quantity"] == "half a side per foot of common run":
        found = half_a_side(roof)
    else:
        found = run_difference(roof) / run_difference(regular(4, row))
    assert found == pytest.approx(float(row["published"]), abs=float(row["tolerance"]))
