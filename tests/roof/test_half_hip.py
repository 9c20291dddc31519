"""Half-hips: a raised plate over the gable wall, jacks and barges up to hips that start there."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.checks.run import run_checks
from cutlist.errors import JobError
from tests.hips import (
    HIP,
    apex,
    corners,
    face,
    framed_or_passed,
    hip_rafter,
    hip_tables,
    jacks_to,
    measure,
    members,
)
from tests.jobs import Tables, case_of, changed, roof_of

HALF = {
    "roof.ends": ["half-hip", "gable"],
    "roof.hip_start": "3ft",
    "roof.rake_overhang": "12in",
}
HALF_ENDS = st.sampled_from([("half-hip", "half-hip"), ("half-hip", "gable"), ("hip", "half-hip")])


def test_hip_starts_at_its_height_over_the_gable_wall() -> None:
    roof = roof_of(HIP, HALF)
    end, hip = face(roof, "left"), hip_rafter(roof)
    assert end.corner.z == 36
    # The slopes are alike, so the plate's end stands where the main slope has risen 3 ft.
    assert end.corner.y == pytest.approx(36 * 12 / 8)
    assert end.length == pytest.approx(240 - 2 * 54)
    assert hip.heel_line is not None
    assert hip.heel_line.distance(end.corner) == pytest.approx(0, abs=1e-9)
    assert apex(roof).x == pytest.approx(120 - 54)


def test_the_ridge_gains_what_the_half_hip_leaves() -> None:
    whole = {"roof.ends": ["hip", "gable"], "roof.hip_start": None}
    half, full = (measure(roof_of(HIP, HALF | ends), "ridge length") for ends in ({}, whole))
    assert half - full == pytest.approx(54)


def test_one_jack_stands_over_the_wall_and_none_over_the_raised_plate() -> None:
    roof = roof_of(HIP, HALF)
    stations = sorted(m.station for m in jacks_to(roof, "near", "near left hip"))
    assert stations[0] == 0.75
    assert stations[1] - 0.75 >= 5.5
    assert members(roof, "hip-jack", "near")[0].notches[0].name == "seat"


def test_barge_rafters_end_at_the_hips() -> None:
    roof = roof_of(HIP, HALF)
    by_place = sorted(members(roof, "barge", "near"), key=lambda m: m.station)
    to_hip, to_ridge = by_place
    assert (to_hip.head_cut, to_ridge.head_cut) == ("cheek", "plumb")
    assert to_hip.line_length < to_ridge.line_length
    assert to_hip.stick.end_planes("head")[0].against == ("near left hip",)


@pytest.mark.parametrize("tail", ["square", "level"])
def test_tails_of_its_hips_are_plumb_so_that_barges_land_on_them(tail: str) -> None:
    roof = roof_of(HIP, HALF | {"rafter.tail": tail, "roof.overhang": 16, "roof.rake_overhang": 16})
    assert hip_rafter(roof).foot_cut == "plumb"
    assert {m.foot_cut for m in members(roof, "hip-jack")} == {tail}
    assert min(p.x for p in corners(hip_rafter(roof))) == pytest.approx(-16)


@settings(deadline=None, max_examples=40)
@given(hip_tables(ends=HALF_ENDS))
def test_its_hips_are_kept_within_the_notch_limit_by_an_automatic_seat(tables: Tables) -> None:
    """Unless the rafters would be left less than the least bearing."""
    job, roof = framed_or_passed(changed(tables, {"rafter.seat": "auto"}))
    # All around full hips one height is shared, so that the lowest slope's seat is the shortest.
    seats = [m.notches[0].seat for m in members(roof, "common")]
    for hip in members(roof, "hip"):
        small = min(seats) < job.units.from_mm(38.1) + 3 * job.saw.round_to
        assert small or hip.notches[0].depth <= job.rafter.notch_limit * hip.stick.depth + 1e-6
    for member in members(roof, "common"):
        assert member.notches[0].depth <= job.rafter.notch_limit * member.stick.depth + 1e-6


@settings(deadline=None, max_examples=40)
@given(hip_tables(ends=HALF_ENDS))
def test_a_refused_height_is_told_with_the_range_that_works(tables: Tables) -> None:
    plain = {"rafter.tail": "plumb", "rafter.tail_height": None, "roof.length": "40m"}
    framed_or_passed(changed(tables, plain))
    tables = changed(tables, plain | {"roof.hip_start": 0})
    with pytest.raises(JobError) as caught:
        roof_of(tables)
    (message,) = caught.value.problems
    if "no half-hip fits" in message:
        return
    low, high = message.split(" between ")[1].removesuffix(" above the plate").split(" and ")
    for start in (low, high):
        roof_of(changed(tables, {"roof.hip_start": start.replace("' ", "ft ").replace('"', "in")}))


def test_a_half_hip_under_a_higher_far_plate_is_refused() -> None:
    steps = {"roof.plate_height": "8ft", "roof.far_plate_height": "11ft 6in", "roof.pitch": "6/12"}
    with pytest.raises(JobError, match=r"roof\.hip_start: 3' 0\" leaves rafters of the left end"):
        roof_of(HIP, HALF | steps)


def test_overhang_of_its_level_tails_is_the_rakes() -> None:
    with pytest.raises(JobError, match=r"roof\.rake_overhang: 2\" on the left side is too short"):
        roof_of(HIP, HALF | {"rafter.tail": "level", "roof.rake_overhang": 2, "roof.overhang": 24})


def test_checks_of_a_plain_half_hip_pass() -> None:
    case = case_of(HIP, HALF | {"rafter.seat": "auto", "hip.shortest_jack": None})
    assert [f for f in run_checks(case) if f.result == "fail"] == []
