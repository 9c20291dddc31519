"""Roofs over plans of any number of sides go together, or are refused with what to change."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings

from cutlist.checks.finding import Case
from cutlist.checks.fit import fit
from cutlist.checks.run import run_checks
from cutlist.job import read_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.parts import group_parts
from tests.jobs import Tables, case_of, changed, job_of, why_refused
from tests.polygons import GABLED, LONG, OCTAGON, UNEVEN, any_gabled, any_polygons, over

LONG_PLAN = job_of(LONG).roof.plan
GAZEBO = Path(__file__).parents[2] / "fixtures" / "gazebo.toml"


@pytest.mark.parametrize(
    "tables",
    [
        OCTAGON,
        LONG,
        UNEVEN,
        changed(OCTAGON, {"roof.sides": 6, "hip.top": "back"}),
        changed(OCTAGON, {"roof.sides": 12, "rafter.tail": "level", "roof.overhang": 18}),
        changed(UNEVEN, {"roof.pitch": None, "roof.pitches": ["4/12", "6/12", *["5/12"] * 3]}),
        GABLED,
        changed(GABLED, {"hip.top": "back", "rafter.tail": "square", "roof.rake_overhang": None}),
        changed(LONG, {"roof.sides": 4, "roof.pitch": None,
                       "roof.pitches": ["5/12", "gable", "5/12", "6/12"]}),
        # Walls beside the gable of two pitches, so that no two hips are alike.
        changed(GABLED, {"roof.pitches": ["6/12", "gable", "5/12", *["6/12"] * 3]}),
        changed(OCTAGON, {"hip.hub": "6in"}),
        changed(OCTAGON, {"roof.sides": 6, "hip.hub": "7in", "hip.top": "back"}),
        # Ridge, hips and rafters of three thicknesses around one point.
        changed(LONG, {"ridge.size": "1x10", "hip.size": "4x10", "rafter.size": "3x6"}),
        over(OCTAGON, [("0ft", "0ft"), ("18ft", "0ft"), ("5ft", "13ft")]),
        # Found once with a rafter's border on a plate's, where an exact intersection is empty.
        over(
            changed(OCTAGON, {"units": "metric", "rafter.size": "45x195", "rafter.spacing": 350}),
            [(-3987, -1763), (3555, -2330), (3237, 2640)],
            pitch=None,
            pitches=["76%", "86%", "73%"],
            overhang=300,
        ) | {"hip": {"size": "45x245"}, "plate": {"width": 95}, "ridge": {"kind": "none"}},
    ],
)  # fmt: skip
def test_roofs_over_plans_of_sides_fit(tables: Tables) -> None:
    assert [f for f in fit(case_of(tables)) if f.result != "pass"] == []


def test_a_gazebo_stands_on_posts_under_its_headers() -> None:
    """The same parts as on plates; rafters flush with the ends of a side stand over its posts."""
    posts = {"plate.posts": {"every": "20ft", "width": 5.5, "header": "on"}}
    case, walled = case_of(OCTAGON, posts), case_of(OCTAGON)
    assert [f for f in run_checks(case) if f.result == "fail"] == []
    assert [(p.mark, p.stick) for p in case.parts] == [(p.mark, p.stick) for p in walled.parts]
    marks = [m for m in case.roof.marks if m.line == "side 1 plate"]
    length = case.roof.faces[0].length
    over = {m.center: m.over_post for m in marks}
    assert over == {at: min(at, length - at) <= 5.5 - 0.75 for at in over}


@pytest.mark.parametrize("miss", [1e-9, 1e-7, 1e-5, 1e-4])
def test_walls_that_are_not_quite_parallel(miss: float) -> None:
    """Too near to parallel for a level board to tell, or far enough for a hip in its place."""
    plan = [(x + miss * (i % 3), y - miss * (i % 5)) for i, (x, y) in enumerate(LONG_PLAN)]
    told = "\n".join(why_refused(over(OCTAGON, plan)))
    assert not told or "too near each other" in told


@settings(deadline=None, max_examples=60)
@given(any_polygons())
def test_any_roof_over_a_plan_of_sides_fits_or_is_refused(tables: Tables) -> None:
    keys = ("roof.", "rafter.", "ridge.", "job.toml: hip.hub: ")
    assert all(text.startswith(keys) for text in why_refused(tables))


@settings(deadline=None, max_examples=60)
@given(any_gabled())
def test_any_roof_over_a_plan_with_a_gable_fits_or_is_refused(tables: Tables) -> None:
    keys = ("roof.", "rafter.", "job.toml: roof.pitches[")
    assert all(text.startswith(keys) for text in why_refused(tables))


def test_the_gazebo_passes_every_check() -> None:
    job = read_job(GAZEBO)
    roof = frame_roof(job)
    case = Case(job=job, roof=roof, parts=group_parts(roof.members))
    assert [f for f in run_checks(case) if f.result != "pass"] == []
