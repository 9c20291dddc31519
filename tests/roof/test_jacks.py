"""Jacks: where they stand, how they meet over a hip, which are left out, their two hands."""

from __future__ import annotations

from math import hypot, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.checks.fit import fit
from cutlist.geometry.space import Vector
from cutlist.roof.parts import group_parts
from tests.checks.findings import findings
from tests.hips import HIP, METRIC_HIP, framed_or_passed, hip_tables, jacks_to, members
from tests.jobs import Tables, case_of, changed, roof_of
from tests.polygons import UNEVEN
from tests.wings import HIPPED as JOINED
from tests.wings import TEE

HIPPED = st.sampled_from([("hip", "hip")])
LAID = {"size": "2x8", "kind": "overlay", "sheathing": 0.5}
NO_JACK = "no jack carries the sheathing there: nail its edge to the"
HIPS = [("near", "left"), ("near", "right"), ("far", "left"), ("far", "right")]


@settings(deadline=None, max_examples=60)
@given(hip_tables(ends=HIPPED, regular=True))
def test_opposing_jacks_of_a_regular_roof_land_together(tables: Tables) -> None:
    _, roof = framed_or_passed(changed(tables, {"roof.far_pitch": None}))
    for main, end in HIPS:
        hip = f"{main} {end} hip"
        mains, ends = (jacks_to(roof, slope, hip) for slope in (main, end))
        assert len(mains) == len(ends)
        places = {
            m.line: [mark.center for mark in roof.marks if mark.line == f"{hip}, {m.line} side"]
            for m in (*mains, *ends)
        }
        if mains:
            assert places[main] == pytest.approx(places[end])
        for one, other in zip(mains, ends, strict=True):
            assert one.line_length == pytest.approx(other.line_length)


def test_jacks_are_carried_round_from_the_common() -> None:
    roof = roof_of(HIP, {"hip.jacks_from": "common"})
    near = sorted(m.station for m in jacks_to(roof, "near", "near left hip"))
    left = sorted(m.station for m in jacks_to(roof, "left", "near left hip"))
    # The last common and the end common stand under the apex, 10 ft from either wall.
    assert near == left == pytest.approx([120 - 16 * i for i in range(7, 0, -1)])


def test_jacks_from_the_corner() -> None:
    roof = roof_of(HIP, {"hip.jacks_from": "corner"})
    for hip, slope, corner, way in (
        ("near left hip", "near", 0, 1),
        ("near right hip", "near", 360, -1),
        ("far left hip", "left", 240, -1),
    ):
        stations = sorted(abs(m.station - corner) for m in jacks_to(roof, slope, hip))
        assert stations == pytest.approx([16 * i for i in range(1, 8)])
        assert all((m.station - corner) * way > 0 for m in jacks_to(roof, slope, hip))


@pytest.mark.parametrize(("least", "count"), [(0, 7), (19, 6), (None, 6), (60, 4), (100, 2)])
def test_short_jacks_are_left_out(least: float | None, count: int) -> None:
    """Lengths at 8 in 12, 16 in on centres, less the hip's half thickness: 8.3, 27.6, 46.8 ..."""
    roof = roof_of(HIP, {"hip.shortest_jack": least})
    jacks = jacks_to(roof, "near", "near left hip")
    assert len(jacks) == count
    assert all(jack.line_length >= (12 if least is None else least) for jack in jacks)


@pytest.mark.parametrize("base", [HIP, changed(HIP, {"hip.jacks_from": "corner"}), JOINED, UNEVEN])
def test_jacks_left_out_are_those_that_a_smaller_least_length_makes(base: Tables) -> None:
    few, all_ = (roof_of(base, {"hip.shortest_jack": least}) for least in (40, 0))
    kept = {(m.line, round(m.station, 6), round(m.line_length, 6)) for m in few.members}
    made = {
        (m.line, round(m.station, 6), round(m.line_length, 6))
        for m in all_.members
        if m.role.endswith("jack")
    }
    left_out, shortest = (
        {(j.line, round(j.station, 6), round(j.length, 6)) for j in roof.left_out}
        for roof in (few, all_)
    )
    assert left_out == (made - kept) | shortest
    assert made - kept
    assert max(length for *_, length in left_out) < 40
    # None is shorter than its 1 1/2 in of thickness.
    assert all(length < 1.5 for *_, length in shortest)


@pytest.mark.parametrize("from_corner", [1.5, 1.6, 2.0, 2.5])
def test_a_jack_shorter_than_it_is_thick_is_left_out(from_corner: float) -> None:
    """Without an overhang one of its sides would be gone."""
    tables = {"rafter.spacing": (120 - from_corner) / 8, "roof.overhang": 0}
    case = case_of(HIP, {**tables, "rafter.tail": "plumb"})
    least = min(jack.line_length for jack in members(case.roof, "hip-jack"))
    assert least >= 1.5
    assert [f for f in fit(case) if f.result != "pass"] == []
    short = [j for j in case.roof.left_out if j.line == "near"]
    assert len(short) == (0 if least < 2 else 2)


def test_a_jack_left_out_is_told_with_its_slope_and_place() -> None:
    """8 in from the corner, at 8 in 12: 8 in less the hip's half thickness at 45 degrees."""
    told = findings(HIP, {"hip.shortest_jack": None}, "jack left out")
    assert len(told) == 8
    assert {f.result for f in told} == {"warn"}
    assert [f.subject for f in told[:2]] == ['near slope at 8"', "near slope at 29' 4\""]
    assert told[0].value == pytest.approx((8 - 0.75 * sqrt(2)) * hypot(1, 8 / 12))
    assert told[0].limit == 12
    assert told[0].advice.endswith("or give a smaller hip.shortest_jack")
    # A roof without hips has no such key.
    valley = findings(TEE, {"rafter.spacing": 23}, "jack left out")
    assert valley
    assert not any("shortest_jack" in f.advice + f.source for f in valley)
    assert {f.advice for f in valley} == {f"{NO_JACK} valley"}


def test_beside_a_jack_left_out_sheathing_is_nailed_to_what_is_there() -> None:
    """A wing that is laid on a roof has no valley rafter, and two gables no hip."""
    laid = changed(TEE, {"valley": {"size": "2x8", "kind": "overlay", "sheathing": 0.5}})
    assert {f.advice for f in findings(laid, {"rafter.spacing": 23}, "jack left out")} == {
        f"{NO_JACK} valley plate"
    }


def test_a_cripple_with_one_side_only_is_left_out_at_any_least_length() -> None:
    """At the head of a valley that runs on to the ridge, near the end of the other valley.

    A smaller least length would not bring it back, so that none is advised.
    """
    roof = {"form": "hip", "span": 8200, "length": 14000, "pitch": "75%", "overhang": 300}
    tables = {
        **METRIC_HIP,
        "roof": roof,
        "rafter": {"size": "45x195", "spacing": 178},
        "valley": {"size": "45x245"},
        "wing": [
            {
                "form": "gable",
                "span": 7000,
                "length": 3870,
                "turn": 90,
                "at": [10500, -3870],
                "open": True,
                "pitch": "78%",
            }
        ],
    }
    case = case_of(tables)
    assert [f for f in fit(case) if f.result != "pass"] == []
    gone = [jack for jack in case.roof.left_out if not jack.length]
    assert gone
    told = findings(tables, {}, "jack left out")
    assert not any("shortest_jack" in f.advice for f in told if not f.value)


def test_least_length_is_metric_in_a_metric_job() -> None:
    kept = [
        len(members(roof_of(METRIC_HIP, {"hip.shortest_jack": least}), "hip-jack"))
        for least in (None, "300mm", "2000mm")
    ]
    assert kept[0] == kept[1] > kept[2] > 0


def test_hand_is_the_side_of_the_long_point() -> None:
    """Seen from above, foot to head: left of the left hip, a near jack is longer on its right."""
    roof = roof_of(HIP)
    hands = {
        (m.line, p.hand)
        for p in group_parts(roof.members)
        if p.role == "hip-jack"
        for m in p.members
        if any("near left hip" in c.against for c in m.stick.end_planes("head"))
    }
    assert hands == {("near", "right"), ("left", "left")}


def test_one_pair_of_marks_serves_all_four_corners() -> None:
    parts = [p for p in group_parts(roof_of(HIP).members) if p.role == "hip-jack"]
    assert len(parts) == 2 * 7
    assert {p.count for p in parts} == {4}
    assert sorted(p.mark for p in parts) == sorted(
        f"J{i}{hand}" for i in range(1, 8) for hand in "LR"
    )


def test_differences_beside_unequal_slopes_are_each_told() -> None:
    """An end's jacks to hips between unequal long slopes change by a different step on each."""
    roof = roof_of(HIP, {"roof.far_pitch": "12/12", "roof.end_pitch": "9/12"})
    told = {m.name: m.value for m in roof.measures if m.name.startswith("common difference")}
    for slope, hip in (
        ("left", "near left hip"),
        ("left", "far left hip"),
        ("far", "far left hip"),
    ):
        first, second = (m.line_length for m in jacks_to(roof, slope, hip)[:2])
        names = (
            f"common difference of jacks on the {slope} slope",
            f"common difference of jacks on the {slope} slope, to the {hip}",
        )
        assert [told[n] for n in names if n in told] == pytest.approx([second - first])


def test_a_jack_takes_more_of_a_hip_than_it_is_thick() -> None:
    """Over a square corner t sqrt(2) of its run; each 1 of run climbs p / sqrt(2)."""
    roof = roof_of(HIP)
    long = 1.5 * sqrt(2) * hypot(1, 8 / 12 / sqrt(2))
    marks = [m for m in roof.marks if m.line == "near left hip, near side"]
    assert len(marks) > 5
    assert [m.center - m.edge for m in marks] == pytest.approx([long / 2] * len(marks))
    on_plate = [m for m in roof.marks if m.line == "near plate"]
    assert [m.center - m.edge for m in on_plate] == pytest.approx([0.75] * len(on_plate))


@pytest.mark.parametrize(
    ("tables", "role", "end"),
    [
        (HIP | {"hip": {"size": "2x10", "top": "back"}}, "hip-jack", "head"),
        (changed(HIP, {"roof.end_pitch": "12/12"}), "hip-jack", "head"),
        (UNEVEN, "hip-jack", "head"),
        (TEE, "valley-jack", "foot"),
        (TEE | {"valley": LAID}, "valley-jack", "foot"),
    ],
)
def test_the_line_struck_is_where_its_edge_lands(tables: Tables, role: str, end: str) -> None:
    """Both long edges of its top end on the other's side, so far apart as it takes of that one."""
    told = 0
    for mark in (m for m in roof_of(tables).marks if m.member.role == role and m.taken):
        stick = mark.member.stick
        most = max if end == "head" else min
        ends = [
            stick.frame.outward(Vector(*most(p for s in face.segments("top") for p in s), z))
            for z, face in ((0.0, stick.far), (stick.thickness, stick.near))
        ]
        between = ends[1] - ends[0]
        assert 2 * (mark.center - mark.edge) == pytest.approx(sqrt(between.dot(between)))
        told += 1
    assert told > 5
