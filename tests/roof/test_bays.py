"""Bays as framed: closed forms of their hips and valleys, how they end, what is refused."""

from __future__ import annotations

import re
from collections import Counter
from itertools import combinations, pairwise
from math import cos, hypot, pi, sin, tan
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.checks.fit import fit
from cutlist.errors import JobError
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import Vector
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.bays import BAY, POINTED, PORCH, SPLAYED, any_bays, with_bay
from tests.hips import corners, face, jacks_to, members
from tests.jobs import Tables, case_of, changed, refused_passed_over, roof_of
from tests.roof.test_carried import assert_carried

SQUARE_FRONT: list[tuple[float, float]] = [(0, 0), (0, -60), (120, -60), (120, 0)]
WIDE_FRONT: list[tuple[float, float]] = [
    (0, 0), (0, -36), (36, -72), (108, -72), (144, -36), (144, 0),
]  # fmt: skip
"""Walls at 45 degrees, their front so wide that its hips start where lower ones meet."""

HALF = pi / 8
"""Half of what walls at 45 degrees turn at their corner."""


def only(roof: Roof, role: str, line: str) -> Member:
    (found,) = members(roof, role, line)
    return found


def hip(roof: Roof, one: int, other: int) -> Member:
    return only(roof, "hip", f"wing 1 side {one}-{other} hip")


def against(member: Member, end: str) -> set[tuple[str, ...]]:
    return {p.against for p in member.stick.end_planes(end)}  # type: ignore[arg-type]


def level(member: Member) -> Vector:
    x = member.stick.frame.x
    return Vector(x.x, x.y, 0.0).unit()


def rise(member: Member) -> float:
    x = member.stick.frame.x
    return x.z / hypot(x.x, x.y)


# ------------------------------------------------------------------ closed forms


@settings(deadline=None, max_examples=20)
@given(st.integers(25, 50), st.integers(3, 9))
def test_hips_of_a_bay_at_45_degrees(percent: int, feet: int) -> None:
    """Half an octagon: a hip halves its corner of 135 degrees, so its pitch is p sin(67.5).

    All four end over the middle, half the width / cos(22.5) from their corners.
    """
    half = feet * 12
    side = 2 * half * tan(HALF)
    splay = side / 2**0.5
    plan = [(0, 0), (0, -36), (splay, -36 - splay), (splay + side, -36 - splay)]
    plan += [(2 * half, -36), (2 * half, 0)]
    pitch = percent / 100
    long = changed(BAY, {"roof.length": "100ft"})
    roof = roof_of(with_bay(long, plan, pitch=f"{percent}%", at=["48ft", 0]))
    for i in range(1, 5):
        member = hip(roof, i, i + 1)
        assert rise(member) == pytest.approx(pitch * sin(3 * HALF))
        for name in (f"wing 1 side {i}", f"wing 1 side {i + 1}"):
            assert level(member).dot(face(roof, name).uphill) == pytest.approx(sin(3 * HALF))
        # Corners read to a sixteenth, here written in full, may still be moved by less.
        length = half / cos(HALF) * hypot(1, pitch * sin(3 * HALF))
        assert member.line_length == pytest.approx(length, abs=1e-3)
        step = 16 * tan(3 * HALF) * hypot(1, pitch)
        jacks = [m.line_length for m in jacks_to(roof, "wing 1 side 3", member.line)]
        assert [b - a for a, b in pairwise(jacks)] == pytest.approx([step] * (len(jacks) - 1))


def test_the_ridge_of_a_bay() -> None:
    """It stands half of 12 ft at 6 in 12 up, less what half its thickness falls."""
    roof = roof_of(BAY)
    plate = face(roof, "near").height_above_plate
    (top,) = [h.above_plate for h in roof.heights if h.name == "wing 1 ridge top"]
    assert top == pytest.approx(plate + 36 - 0.375, abs=1e-4)
    ridge = only(roof, "ridge", "wing 1 ridge")
    valleys = {("near wing 1 side 1 valley",), ("near wing 1 side 5 valley",)}
    hips = {("wing 1 side 1-2 hip",), ("wing 1 side 4-5 hip",)}
    assert {frozenset(against(ridge, end)) for end in ("head", "foot")} == {
        frozenset(valleys),
        frozenset(hips),
    }


def test_valleys_beside_walls_at_45_degrees() -> None:
    """They halve the angle of the walls, 22.5 degrees from the slope's own way up.

    The splayed slopes meet in a hip at p cos(45), which comes under the roof where
    (48 + y) p cos(45) = y p; the supporting valley runs on from there to the ridge.
    """
    roof = roof_of(SPLAYED)
    near = face(roof, "near")
    lines = [f"near wing 1 side {i} valley" for i in (1, 3)]
    for line in lines:
        member = only(roof, "valley", line)
        assert level(member).dot(near.uphill) == pytest.approx(cos(HALF))
        assert rise(member) == pytest.approx(0.5 * cos(HALF))
    long, short = (only(roof, "valley", line) for line in lines)
    assert long.line_length == pytest.approx((144 - 0.75) / cos(HALF) * hypot(1, rise(long)))
    assert against(short, "head") == {(lines[0],)}
    upper = hip(roof, 1, 3)
    assert rise(upper) == pytest.approx(0.5 * cos(pi / 4))
    assert against(upper, "head") == {(line,) for line in lines}
    assert against(upper, "foot") == {
        ("wing 1 side 1-2 hip",),
        ("wing 1 side 2-3 hip",),
    }
    # It ends where the valleys' sides meet, half their thickness from their lines.
    end = 48 / (2**0.5 - 1) - 0.75 / sin(HALF)
    assert max(c.y for c in corners(upper)) == pytest.approx(end, abs=1e-6)


def test_a_hip_from_its_corner_to_the_valleys() -> None:
    roof = roof_of(POINTED)
    member = hip(roof, 1, 2)
    assert against(member, "head") == {
        ("near wing 1 side 1 valley",),
        ("near wing 1 side 2 valley",),
    }
    assert rise(member) == pytest.approx(0.5 * cos(pi / 4))
    assert {m.line for m in members(roof, "ridge")} == {"ridge"}


@settings(deadline=None, max_examples=20)
@given(st.lists(st.integers(40, 50), min_size=5, max_size=5))
def test_hips_between_unequal_slopes_of_a_bay(percents: list[int]) -> None:
    """tan phi = sin C / (a / b + cos C), the hip's rise a sin phi; the fascia is level."""
    pitches = [f"{percent}%" for percent in percents]
    with refused_passed_over():
        roof = roof_of(with_bay(BAY, WIDE_FRONT, pitches=pitches))
    for i in range(1, 5):
        a, b = percents[i - 1] / 100, percents[i] / 100
        member = hip(roof, i, i + 1)
        s, c = sin(3 * pi / 4), cos(3 * pi / 4)
        sine = s / hypot(s, a / b + c)
        assert rise(member) == pytest.approx(a * sine)
    tails = [f.corner.z + f.top(-f.overhang) for f in roof.faces]
    assert tails == pytest.approx([tails[0]] * len(tails))


# ------------------------------------------------------------------ how they are framed


def test_what_stands_on_a_bay() -> None:
    roof = roof_of(BAY)
    assert len(members(roof, "hip")) == 4
    for i in range(2, 5):
        # The common in the middle of each front wall is cut to both hips.
        (common,) = members(roof, "common", f"wing 1 side {i}")
        assert len(common.stick.end_planes("head")) == 2
        middle = face(roof, f"wing 1 side {i}").length / 2
        assert common.station == pytest.approx(middle, abs=1 / 16)
    for i in (1, 5):
        heads = {
            p for m in members(roof, "valley-jack", f"wing 1 side {i}") for p in against(m, "head")
        }
        assert heads == {("wing 1 ridge",)}


def test_hips_of_a_wide_front_start_where_lower_ones_meet() -> None:
    roof = roof_of(with_bay(BAY, WIDE_FRONT))
    upper = [m for m in members(roof, "hip") if m.heel_line is None]
    assert {m.line for m in upper} == {
        "wing 1 side 1-3 hip",
        "wing 1 side 3-5 hip",
    }
    assert all(m.notches == () for m in upper)


def test_a_bay_is_alike_on_both_sides() -> None:
    roof = roof_of(BAY)
    for pair in ((1, 2, 4, 5), (2, 3, 3, 4)):
        one, other = hip(roof, *pair[:2]), hip(roof, *pair[2:])
        assert one.stick.length == pytest.approx(other.stick.length, abs=1e-4)


def test_a_bay_on_the_far_side_is_framed_alike() -> None:
    near = roof_of(with_bay(BAY, WIDE_FRONT))
    far = roof_of(with_bay(BAY, WIDE_FRONT, at=["22ft", "24ft"], turn=180))

    def shapes(roof: Roof) -> Counter[tuple[str, float]]:
        return Counter(
            (m.role, round(m.stick.length, 3)) for m in roof.members if m.line.startswith("wing")
        )

    assert shapes(near) == shapes(far)


def test_walls_may_begin_inside_the_roof() -> None:
    """Its mouth may stand anywhere inside: the roof is the same."""
    deep = [(x, 40 if y == 0 else y) for x, y in WIDE_FRONT]
    one, other = (case_of(with_bay(BAY, plan, open=True)) for plan in (WIDE_FRONT, deep))
    assert [(p.mark, p.count, p.stick.length) for p in other.parts] == [
        (p.mark, p.count, pytest.approx(p.stick.length)) for p in one.parts
    ]


def test_ridges_at_one_height_get_two_valleys_to_their_crossing() -> None:
    plan = [(0, 0), (0, -180), (288, -180), (288, 0)]
    roof = roof_of(with_bay(BAY, plan, at=["4ft", "0ft"]))
    for i in (1, 3):
        ends = against(only(roof, "valley", f"near wing 1 side {i} valley"), "head")
        assert ends == {("ridge",), ("wing 1 ridge",)}


@pytest.mark.parametrize("is_open", [False, True])
@pytest.mark.parametrize("tables", [BAY, SPLAYED, POINTED], ids=["bay", "splayed", "pointed"])
def test_plates_at_odd_corners_share_no_room(tables: Tables, is_open: bool) -> None:
    """They are mitred, or one ends against the other that goes on across the mouth."""
    wing = {**tables["wing"][0], "open": is_open}
    roof = roof_of(changed(tables, {"wing": [wing]}))
    plates = [(s.name.removesuffix(" plate"), stick_solid(s.stick)) for s in roof.supports]
    for (one, a), (other, b) in combinations(plates, 2):
        if one == other or abs(face(roof, one).uphill.dot(face(roof, other).uphill)) < 1e-9:
            continue
        assert a.shared_volume(b) < 1e-6
    near = [s for s in roof.supports if s.name == "near plate"]
    assert len(near) == (2 if is_open else 1)


@pytest.mark.parametrize("is_open", [False, True])
@pytest.mark.parametrize(
    "tables",
    [BAY, SPLAYED, POINTED, with_bay(BAY, SQUARE_FRONT), with_bay(BAY, WIDE_FRONT)],
    ids=["bay", "splayed", "pointed", "square", "wide"],
)
@pytest.mark.parametrize("step", [0, -3])
def test_every_slope_is_carried(tables: Tables, is_open: bool, step: int) -> None:
    wing = {**tables["wing"][0], "open": is_open, "plate_height": 96 + step}
    assert_carried(changed(tables, {"wing": [wing]}))


@pytest.mark.parametrize("feet", [6, 7, 8, 8.25, 10])
def test_a_bay_near_the_corner_of_a_hip_roof_is_framed(feet: float) -> None:
    """Its splayed walls' slopes would come out again past the roof's hip, did they run on there.

    The valley that runs on comes to the roof's hip or ridge near their upper ends.
    """
    tables = changed(BAY, {"roof.form": "hip", "roof.length": "36ft", "roof.rake_overhang": None})
    walls = [(0.0, 0.0), (24.0, -24.0), (72.0, -24.0), (96.0, 0.0)]
    near = with_bay(tables, walls, at=[feet * 12, 0])
    assert sum(m.role == "valley" for m in roof_of(near).members) == 2
    assert_carried(near)
    assert all(finding.result == "pass" for finding in fit(case_of(near)))


def test_a_valley_that_ends_before_the_higher_plate_has_no_seat_over_it() -> None:
    """A bay so narrow, over so low a plate, that its ridge lies below the roof's plate."""
    walls = [(0.0, 0.0), (0.0, -43.0), (31.0, -43.0), (31.0, 0.0)]
    tables = with_bay(BAY, walls, at=[20, 0], pitch="29%", open=True, plate_height=89)
    roof = roof_of(changed(tables, {"roof.pitch": "44%", "roof.overhang": 24}))
    assert sorted(len(m.stick.notches) for m in roof.members if m.role == "valley") == [1, 2]
    case = case_of(changed(tables, {"roof.pitch": "44%", "roof.overhang": 24}))
    assert all(finding.result == "pass" for finding in fit(case))


def test_between_a_plate_and_a_valley_one_rafter_stands_flush_with_the_end_of_each() -> None:
    """The higher bay's eave hangs out so far that its valleys begin well beside its plates."""
    corners = [(0.0, 0.0), (6.0, -18.0), (84.0, -18.0), (90.0, 0.0)]
    tables = changed(
        with_bay(BAY, corners, pitch="40%", plate_height=108),
        {"roof.pitch": "42%", "roof.overhang": 0},
    )
    roof = roof_of(tables)
    side = [m for m in roof.members if m.line == "wing 1 side 1"]
    above, beside = [m for m in side if -16 < m.station < 0]
    assert (above.role, beside.role) == ("cripple-jack", "hip-jack")
    assert against(above, "foot") == {("near wing 1 side 1 valley",)}
    # The higher plate runs on over the roof's, as wide as it is.
    assert beside.station == pytest.approx(-tables["plate"]["width"] + 0.75)
    assert_carried(tables)
    assert all(finding.result == "pass" for finding in fit(case_of(tables)))


@settings(deadline=None, max_examples=40)
@given(any_bays())
def test_any_bays_slopes_are_carried(tables: Tables) -> None:
    with refused_passed_over():
        assert_carried(tables)


def test_the_valley_of_a_porch_runs_on_to_a_hip_of_the_octagon() -> None:
    """It starts 30 in off the middle of the side and runs at 45 degrees, so past the middle."""
    roof = roof_of(PORCH)
    lines = [f"side 1 wing 1 {side} valley" for side in ("near", "far")]
    long, short = (only(roof, "valley", line) for line in lines)
    if against(long, "head") == {(lines[1],)}:
        long, short = short, long
    (hips,) = against(long, "head")
    assert hips[0] in ("side 1-2 hip", "side 1-8 hip")
    assert against(short, "head") == {(long.line,)}
    # A run r up the slope it is r - 30 past the middle, and the hip's side stands there where that
    # is (120 - r) tan(22.5), less half the hip's thickness / cos(22.5).
    run = (120 * tan(HALF) + 30 - 0.75 / cos(HALF)) / (1 + tan(HALF))
    length = run * 2**0.5 * hypot(1, 5 / 12 / 2**0.5)
    assert long.line_length == pytest.approx(length, abs=1e-6)


# ------------------------------------------------------------------ corners that are nearly right


@pytest.mark.parametrize("off", [-1 / 16, 1 / 32, 1 / 16])
def test_corners_written_to_a_sixteenth_meet_in_one_point(off: float) -> None:
    """No wall moves by more than a sixteenth, and the side walls stay."""
    splay = 144 / (2 + 2**0.5) + off / 2
    plan = [(0, 0), (0, -36), (splay, -36 - splay), (144 - splay, -36 - splay)]
    roof = roof_of(with_bay(BAY, [*plan, (144, -36), (144, 0)]))
    assert len(members(roof, "hip")) == 4
    for i, given_corner in enumerate(plan):
        at = face(roof, f"wing 1 side {i + 1}").corner
        assert hypot(120 + given_corner[0] - at.x, given_corner[1] - at.y) < 0.15
    assert face(roof, "wing 1 side 1").corner.x == pytest.approx(120, abs=1e-6)
    assert face(roof, "wing 1 side 5").corner.x == pytest.approx(264, abs=1e-6)


def test_corners_that_would_be_refused_are_not_proposed() -> None:
    """Side walls as short as any may be, which would be shorter where the slopes meet."""
    side, splay = 11 + 13 / 16, 41.5
    plan = [(0, 0), (0, -side), (splay, -side - splay), (144 - splay, -side - splay)]
    with pytest.raises(JobError, match="move a corner so that they meet in one point") as caught:
        roof_of(with_bay(BAY, [*plan, (144, -side), (144, 0)]))
    assert not any("in one point with" in told for told in caught.value.problems)


def test_corners_that_nearly_meet_are_told_where_they_would() -> None:
    """Walls of 3 ft 6 in each way for 12 ft / (2 + sqrt 2), 3 ft 6.18 in; corrected it builds."""
    plan = [(0, 0), (0, -36), (42, -78), (102, -78), (144, -36), (144, 0)]
    with pytest.raises(JobError) as caught:
        roof_of(with_bay(BAY, plan))
    first, second = caught.value.problems
    told = re.findall(r"corners\[(\d)\] at \((.*?), (.*?)\)", first)
    assert [number for number, _, _ in told] == ["3", "4"]
    assert "in one point with" not in second
    better: list[tuple[Any, Any]] = list(plan)
    for number, x, y in told:
        better[int(number) - 1] = (x, y)
    assert len(members(roof_of(with_bay(BAY, better)), "hip")) == 4


# ------------------------------------------------------------------ what is refused


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (
            with_bay(BAY, [(0, 0), (0, -36), (42, -78), (102, -78), (144, -36), (144, 0)]),
            r"^wing\[1\].corners: hips meet at \(.*\) and at \(.*\), too near each other for the "
            "wing 1 side 1-3 hip between; move a corner so that they meet in one "
            "point, or further apart",
        ),
        (
            with_bay(BAY, [(0, 0), (36, -36), (84, -36), (120, 0)]),
            r"^wing\[1\]: its roof stands higher than the one it runs into, so that its ridge "
            r"would come out of it past \(.*\); make it narrower or its pitches lower$",
        ),
        (
            with_bay(BAY, [(0, -36), (144, -36), (144, 0), (0, 0)]),
            r"^wing\[1\].corners: its mouth, from the last corner at \(10' 0\", 0\"\) back to the "
            r"first at \(10' 0\", -3' 0\"\), is not in another roof or on its wall; begin with the "
            "corner where its walls leave that roof, and end where they come back to it$",
        ),
        (
            with_bay(BAY, [(0, 0), (0, -36), (144, -36), (144, 30), (140, 60)]),
            r"^wing\[1\].corners\[4\]: the wall from it to the next corner stands in another roof; "
            "begin with",
        ),
        (
            with_bay(BAY, [(0, 0), (0, -36), (144, -36), (144, 0)], at=["31ft", 0]),
            r"^wing\[1\]: its mouth stands half in another roof at",
        ),
        (
            with_bay(BAY, SQUARE_FRONT, at=["32ft", "6ft"], turn=90),
            r"^wing\[1\].at: its mouth is on a gable at \(32' 0\", 11' 0\"\), which has no slope "
            "that it could run into; move it to a side that has one$",
        ),
        (
            with_bay(BAY, WIDE_FRONT, pitches=["6/12", "6/12", "4/12", "6/12", "6/12"]),
            r"^wing\[1\].pitches: the hip from the corner at \(.*\) would run past the wall of "
            "wing 1 side",
        ),
        (
            changed(
                with_bay(BAY, [(0, 0), (30, -30), (66, -30), (96, 0)], pitch="6/12"),
                {"roof.pitch": "12/12", "roof.overhang": 6},
            ),
            r"^wing: the near and wing 1 side 1 slopes fall one way where they meet at \(.*\), so "
            "that no valley runs there; bring their pitches nearer to each other, or their walls "
            "nearer to square",
        ),
        (
            changed(
                with_bay(BAY, [(0, 0), (2, -48), (36, -48), (38, 0)]),
                {"roof.pitch": "3/12", "rafter.size": "2x6", "hip.size": "2x12"},
            ),
            "^wing: the wing 1 side 1-3 hip would stand in the near plate at "
            r"\(.*\); make that wing wider or steeper, let it open there \(open = true\), or take "
            "a size that is less deep$",
        ),
    ],
)
def test_bays_that_are_refused_with_their_place(tables: Tables, told: str) -> None:
    with pytest.raises(JobError, match=told):
        roof_of(tables)


def test_a_wing_does_not_run_into_a_bay() -> None:
    on = {"form": "gable", "span": "4ft", "length": "6ft", "at": ["4ft", "-4ft"]}
    tables = with_bay(BAY, SQUARE_FRONT)
    with pytest.raises(JobError) as caught:
        roof_of(changed(tables, {"wing": [*tables["wing"], on]}))
    assert caught.value.problems == (
        "wing[2]: its right end runs into wing[1], which has corners; let it run into a roof with "
        "a span and a length",
    )


def test_a_rafter_half_beyond_the_end_of_its_plate_is_moved_flush_with_it() -> None:
    """The roof's plate ends at the bay's wall, at 3828 mm; on centres one would be at 3850 mm."""
    tables: Tables = {
        "name": "Test bay",
        "units": "metric",
        "ridge": {"kind": "board", "size": "45x245"},
        "hip": {"size": "45x245"},
        "valley": {"size": "45x245"},
        "plate": {"width": 95},
        "roof": {
            "form": "gable",
            "span": 6000,
            "length": 10_000,
            "pitch": "30%",
            "plate_height": 2400,
            "overhang": 0,
        },
        "rafter": {"size": "45x195", "spacing": 350},
        "wing": [
            {
                "form": "hip",
                "corners": [[0, 0], [0, -500], [1648, -917], [3296, -500], [3296, 0]],
                "open": True,
                "at": [3828, 6000],
                "turn": 180,
                "plate_height": 2401,
            }
        ],
    }
    case = case_of(tables)
    assert [f for f in fit(case) if f.result != "pass"] == []
    stations = [m.station for m in case.roof.members if (m.role, m.line) == ("common", "far")]
    assert [s for s in stations if 3500 < s < 4200] == pytest.approx([3828 + 45 / 2])
