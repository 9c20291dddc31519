"""Roofs with bays go together, whatever their walls, pitches and place, or are refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutlist.checks.finding import Case
from cutlist.checks.fit import fit
from cutlist.checks.run import run_checks
from cutlist.job import read_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.parts import group_parts
from tests.bays import (
    BAY,
    POINTED,
    PORCH,
    SPLAYED,
    any_bays,
    any_porches,
    gabled_bays,
    gabled_porches,
    with_bay,
)
from tests.jobs import Tables, case_of, changed, why_refused
from tests.wings import with_wing

GABLE_FRONT = ["6/12", "gable", "6/12"]
DEMO = Path(__file__).parents[2] / "fixtures" / "bay.toml"


@pytest.mark.parametrize(
    "tables",
    [
        BAY,
        SPLAYED,
        POINTED,
        with_bay(BAY, [(0, 0), (0, -60), (120, -60), (120, 0)]),
        with_bay(BAY, [(0, 0), (0, -36), (36, -72), (108, -72), (144, -36), (144, 0)], open=True),
        with_wing(SPLAYED, {"open": True}),
        with_wing(SPLAYED, {"plate_height": "7ft 9in"}),
        # The roof's plate goes on across the mouth, under the bay's, uncut at its corners.
        with_wing(SPLAYED, {"plate_height": "8ft 1/2in"}),
        with_wing(SPLAYED, {"pitches": ["6/12", "8/12", "6/12"]}),
        with_bay(SPLAYED, [(0, 0), (20, -20), (48, -32), (76, -20), (96, 0)]),
        # Side walls that are no way alike, and the mouth inside the roof.
        with_bay(BAY, [(0, 30), (0, -36), (60, -80), (110, -60), (124, 30)], pitch="5/12"),
        # Ridges at one height: two valleys to their crossing.
        with_bay(BAY, [(0, 0), (0, -180), (288, -180), (288, 0)], at=["4ft", 0]),
        changed(BAY, {"hip.top": "back", "rafter.tail": "level", "roof.overhang": 18}),
        # On the end of a hip roof: the supporting valley runs on to one of its hips.
        with_bay(
            changed(BAY, {"roof.form": "hip", "roof.rake_overhang": None}),
            [(0, 0), (0, -20), (30, -50), (66, -50), (96, -20), (96, 0)],
            at=["32ft", "7ft"],
            turn=90,
        ),
        # Gables: square to the roof's wall, askew to it, and with a wall before them.
        with_bay(BAY, [(0, 0), (0, -72), (144, -72), (144, 0)], pitches=GABLE_FRONT),
        with_bay(
            BAY,
            [(0, 0), (90, -90), (150, -30), (120, 0)],
            pitches=GABLE_FRONT,
            rake_overhang=12,
            open=True,
        ),
        PORCH,
        with_wing(PORCH, {"open": True, "plate_height": "7ft 10in"}),
        changed(PORCH, {"valley": {"size": "2x8", "kind": "overlay", "sheathing": "1/2in"}}),
        changed(PORCH, {"roof.pitch": None, "roof.pitches": ["5/12", "6/12"] * 4}),
        # Drawn out: a wing meets the slope under its ridge, a bay another's.
        changed(
            with_wing(PORCH, {"at": ["18ft", "-5ft"]}),
            {"roof.span": "14ft", "roof.length": "30ft"},
        ),
    ],
)  # fmt: skip
def test_roofs_with_bays_fit(tables: Tables) -> None:
    assert [f for f in fit(case_of(tables)) if f.result != "pass"] == []


@pytest.mark.parametrize(("width", "told"), [(120, []), (40, ["warn"])])
def test_a_bay_may_stand_out_little(width: int, told: list[str]) -> None:
    """It is asked for its unit where it is not even wide."""
    plan: list[tuple[float, float]] = [(0, 0), (0, -30), (width, -30), (width, 0)]
    case = case_of(with_bay(BAY, plan))
    assert [f.result for f in run_checks(case) if f.check == "size of the roof"] == told


def test_two_bays_and_a_wing_fit() -> None:
    gable = {"form": "gable", "span": "12ft", "length": "6ft", "at": ["26ft", "-6ft"], "turn": 90}
    bays = [BAY["wing"][0], {**POINTED["wing"][0], "at": ["20ft", "24ft"], "turn": 180}]
    wide = {"roof.length": "60ft", "wing": [{**bays[0], "at": ["36ft", 0]}, bays[1], gable]}
    case = case_of(changed(BAY, wide))
    assert sum(m.role == "valley" for m in case.roof.members) == 6
    assert [f for f in fit(case) if f.result != "pass"] == []


def test_a_common_under_a_hip_at_the_very_corner_of_the_eaves() -> None:
    """Its middle passes between the end of the eave and that of the valley's tail."""
    plan = [(0, 0), (0, -1400), (1363, -2138), (2726, -1400), (2726, 0)]
    bay = with_bay(BAY, plan, at=[5458, 0], pitch="42%", open=True)
    roof = {"form": "hip", "span": 9500, "length": 22900, "pitch": "67%", "overhang": 450}
    sizes = {"rafter": {"size": "38x235", "spacing": 584, "tail": "level"},
             "ridge": {"kind": "board", "size": "38x286"},
             "hip": {"size": "45x245", "top": "back"}, "valley": {"size": "45x245"},
             "plate": {"width": 140}}  # fmt: skip
    case = case_of({**bay, **sizes, "units": "metric", "roof": roof})
    assert [f for f in fit(case) if f.result != "pass"] == []


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(any_bays())
def test_any_bay_fits_or_is_refused(tables: Tables) -> None:
    keys = ("wing", "roof.", "rafter.", "job.toml: wing")
    assert all(text.startswith(keys) for text in why_refused(tables))


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(gabled_bays())
def test_any_bay_with_a_gable_fits_or_is_refused(tables: Tables) -> None:
    keys = ("wing", "roof.", "rafter.", "job.toml: wing")
    assert all(text.startswith(keys) for text in why_refused(tables))


@settings(
    deadline=None,
    max_examples=40,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
@given(st.one_of(any_porches(), gabled_porches()))
def test_any_wing_on_a_plan_of_corners_fits_or_is_refused(tables: Tables) -> None:
    why_refused(tables)


def test_the_demo_passes_every_check() -> None:
    job = read_job(DEMO)
    roof = frame_roof(job)
    case = Case(job=job, roof=roof, parts=group_parts(roof.members))
    assert [f for f in run_checks(case) if f.result != "pass"] == []
