"""Roofs that meet go together, whatever their sizes, pitches and turns."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from cutlist.checks.fit import fit
from cutlist.checks.run import run_checks
from tests.jobs import Tables, case_of, changed, refused_passed_over
from tests.wings import (
    CROSS,
    ELL,
    EQUAL_TEE,
    FLUSH,
    HIPPED,
    TEE,
    any_wings,
    flush_wings,
    three_wings,
    wings_on_hip_ends,
    wings_on_turned_wings,
    with_wing,
)

HIP_END = changed(
    with_wing(HIPPED, {"form": "gable", "span": "14ft", "at": ["40ft", "5ft"], "turn": 0}),
    {"roof.ends": ["gable", "hip"]},
)
UNEQUAL = with_wing(TEE, {"pitch": "8/12", "span": "14ft"})
SKEW = with_wing(TEE, {"turn": 75, "length": "18ft", "at": ["30ft", "-15ft"]})


@pytest.mark.parametrize(
    "tables",
    [
        TEE,
        ELL,
        EQUAL_TEE,
        HIPPED,
        CROSS,
        FLUSH,
        HIP_END,
        UNEQUAL,
        SKEW,
        with_wing(TEE, {"open": True}),
        changed(ELL, {"hip.top": "back"}),
        changed(TEE, {"roof.overhang": 0, "roof.rake_overhang": 0}),
        changed(TEE, {"roof.span": "22ft", "roof.overhang": 18, "rafter.tail": "level"}),
    ],
)
def test_roofs_that_meet_fit(tables: Tables) -> None:
    case = case_of(tables)
    assert [f for f in run_checks(case) if f.result == "fail"] == []


def fits_or_is_refused(tables: Tables) -> None:
    with refused_passed_over():
        case = case_of(tables)
    assert [f for f in fit(case) if f.result != "pass"] == []


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.filter_too_much])
@given(any_wings())
def test_any_roofs_that_meet_fit(tables: Tables) -> None:
    fits_or_is_refused(tables)


@settings(deadline=None, max_examples=20, suppress_health_check=[HealthCheck.filter_too_much])
@given(wings_on_hip_ends())
def test_wings_on_hip_ends_fit(tables: Tables) -> None:
    fits_or_is_refused(tables)


@settings(deadline=None, max_examples=20, suppress_health_check=[HealthCheck.filter_too_much])
@given(flush_wings())
def test_wings_in_line_with_hip_ends_fit(tables: Tables) -> None:
    fits_or_is_refused(tables)


@settings(deadline=None, max_examples=10)
@given(three_wings())
def test_three_wings_fit(tables: Tables) -> None:
    fits_or_is_refused(tables)


def test_a_wing_on_a_wing_runs_in_past_what_stands_behind_it() -> None:
    """What lies in line with its ridge, but ends before it, does not cover it."""
    host = {"form": "gable", "span": "16ft", "length": "24ft", "at": ["28ft", "-24ft"], "turn": 90}
    on = {"form": "gable", "span": "10ft", "length": "8ft", "at": ["28ft", "-18ft"]}
    behind = {"form": "gable", "span": "18ft", "length": "8ft", "at": ["14ft", "32ft"], "turn": 270}
    case = case_of(changed(TEE, {"wing": [host, on, behind]}))
    assert {m.role for m in case.roof.members} >= {"valley", "cripple-jack"}
    assert sum(m.role == "valley" for m in case.roof.members) == 6
    assert [f for f in fit(case) if f.result != "pass"] == []


@pytest.mark.parametrize("past", [0.001, 0.05, 0.3])
@pytest.mark.parametrize("pitch", ["6/12", "14/12", "18/12"])
def test_a_square_tail_beside_a_supporting_valleys_tail(pitch: str, past: float) -> None:
    """The rafter's side stands that far inside the end of the valley's, whose top is dropped.

    On a steep slope the tail's cut runs out over the valley there, and nothing is cut for it.
    """
    # The rafter's side, less what half the valley's thickness takes at 45 degrees, and the eave.
    at = 23 * 16 - 0.75 - 0.75 * 0.5**0.5 - 12 + past
    wing = with_wing(TEE, {"at": [at, "-12ft"], "span": "14ft"})
    case = case_of(changed(wing, {"rafter.tail": "square", "roof.pitch": pitch}))
    assert [f for f in fit(case) if f.result != "pass"] == []


@settings(deadline=None, max_examples=15)
@given(wings_on_turned_wings())
def test_wings_at_an_odd_angle_to_a_wing_fit(tables: Tables) -> None:
    fits_or_is_refused(tables)
