"""Roofs that meet go together, whatever their sizes, pitches and turns."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, assume, given, settings

from cutlist.checks.fit import fit
from cutlist.checks.run import run_checks
from cutlist.errors import JobError
from tests.jobs import Tables, case_of, changed
from tests.wings import CROSS, ELL, EQUAL_TEE, HIPPED, TEE, any_wings, with_wing

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


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.filter_too_much])
@given(any_wings())
def test_any_roofs_that_meet_fit(tables: Tables) -> None:
    try:
        case = case_of(tables)
    except JobError:
        assume(False)
        raise
    assert [f for f in fit(case) if f.result != "pass"] == []
