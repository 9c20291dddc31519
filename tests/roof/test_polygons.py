"""Roofs over plans of any number of sides: closed forms, how hips end, what is refused."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise
from math import asin, atan, atan2, cos, degrees, hypot, pi, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.errors import JobError
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import Vector, meet
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.hips import face, jacks_to, measure, members, plumb_above, top_corners
from tests.jobs import Tables, changed, roof_of
from tests.polygons import LONG, OCTAGON, UNEVEN, over

regular = st.sampled_from([4, 6, 8, 10, 12])
slopes = st.integers(20, 120)


def regular_roof(sides: int, percent: int, **more: object) -> Roof:
    changes = {"roof.sides": sides, "roof.pitch": f"{percent}%", "rafter.seat": 1.5}
    return roof_of(OCTAGON, changes | more)


def hip(roof: Roof, line: str = "side 1-2 hip") -> Member:
    (found,) = members(roof, "hip", line)
    return found


# ------------------------------------------------------------------ closed forms

APOTHEM = 7 * 12
"""Half the span of the octagon, which is the run of its commons [in]."""


@settings(deadline=None, max_examples=25)
@given(regular, slopes)
def test_hips_of_a_regular_plan(sides: int, percent: int) -> None:
    """Its run is apothem / cos(180 / n), its pitch p cos(180 / n); all end in the one point."""
    roof = regular_roof(sides, percent)
    run, pitch = APOTHEM / cos(pi / sides), percent / 100 * cos(pi / sides)
    hips = members(roof, "hip")
    assert len(hips) == sides
    for member in hips:
        x = member.stick.frame.x
        assert x.z / hypot(x.x, x.y) == pytest.approx(pitch)
        assert member.line_length == pytest.approx(run * hypot(1, pitch))
        # The halves of the angle between two neighbours, 360 / n.
        tilts = [plane.tilt for plane in member.stick.end_planes("head")]
        assert tilts == pytest.approx([90 - 180 / sides] * 2)
    (top,) = [h.above_plate for h in roof.heights if "peak" in h.name]
    assert top == pytest.approx(face(roof, "side 1").height_above_plate + percent / 100 * APOTHEM)


@settings(deadline=None, max_examples=25)
@given(regular, slopes)
def test_jacks_of_a_regular_plan(sides: int, percent: int) -> None:
    """With phi = 90 - 180 / n from eave to hip: difference spacing tan phi / cos a, tilt phi."""
    roof, pitch = regular_roof(sides, percent), percent / 100
    phi = pi / 2 - pi / sides
    step = 16 * tan(phi) * hypot(1, pitch)
    assert measure(roof, "common difference of jacks") == pytest.approx(step)
    jacks = [m.line_length for m in jacks_to(roof, "side 1", "side 1-2 hip")]
    assert [b - a for a, b in pairwise(jacks)] == pytest.approx([step] * (len(jacks) - 1))
    for member in members(roof, "hip-jack"):
        (cheek,) = member.stick.end_planes("head")
        assert cheek.tilt == pytest.approx(degrees(phi))
        assert cheek.miter == pytest.approx(degrees(atan(pitch)))


@settings(deadline=None, max_examples=25)
@given(regular, slopes)
def test_drop_and_backing_of_a_regular_plan(sides: int, percent: int) -> None:
    """Backing b = asin(sin a cos phi); drop (t / 2) tan th / tan phi with th the hip's slope."""
    pitch, phi = percent / 100, pi / 2 - pi / sides
    backed = regular_roof(sides, percent, **{"hip.top": "back"})
    backing = degrees(asin(sin(atan(pitch)) * cos(phi)))
    assert measure(backed, "backing angle of every hip [deg]") == pytest.approx(backing)
    drop = 0.75 * pitch * cos(pi / sides) / tan(phi)
    assert measure(regular_roof(sides, percent), "drop of every hip") == pytest.approx(drop)


@settings(deadline=None, max_examples=15)
@given(regular, slopes, st.sampled_from(["2x8", "4x10"]))
def test_the_common_between_two_hips(sides: int, percent: int, size: str) -> None:
    """One in the middle of each side, cut to both hips: their sides meet (t / 2) / sin(180 / n)
    short of the point."""
    roof = regular_roof(sides, percent, **{"hip.size": size})
    commons = members(roof, "common")
    assert Counter(m.line for m in commons) == {f"side {i + 1}": 1 for i in range(sides)}
    half = {"2x8": 0.75, "4x10": 1.75}[size]
    for member in commons:
        assert len(member.stick.end_planes("head")) == 2
        assert member.station == pytest.approx(APOTHEM * tan(pi / sides))
        assert member.line_length == pytest.approx(
            (APOTHEM - half / sin(pi / sides)) * hypot(1, percent / 100)
        )


def test_no_common_in_the_middle_where_jacks_are_laid_out_from_the_corner() -> None:
    roof = roof_of(OCTAGON, {"hip.jacks_from": "corner", "rafter.spacing": 24})
    stations = sorted(m.station for m in members(roof, "hip-jack", "side 1"))
    assert stations == pytest.approx([24, 48])


def test_hips_over_corners_of_any_angle() -> None:
    """Of a corner C between slopes a and b: phi = atan(sin C / (tan a / tan b + cos C)) from a's
    eave, the hip's slope th with tan th = tan a sin phi, the backing asin(sin a cos phi)."""
    pitches = ["40%", "55%", "45%", "60%", "50%"]
    tables = changed(UNEVEN, {"roof.pitch": None, "roof.pitches": pitches, "hip.top": "back"})
    roof = roof_of(tables)
    plan = [face(roof, f"side {i + 1}").corner for i in range(5)]
    for i in range(5):
        one, other = f"side {i or 5}", f"side {i + 1}"
        first, second = sorted((i or 5, i + 1))
        line = f"side {first}-{second} hip"
        x = hip(roof, line).stick.frame.x
        into, out = plan[i - 1] - plan[i], plan[(i + 1) % 5] - plan[i]
        corner = atan2(out.cross(into).z, out.dot(into))
        for mine, theirs in ((one, other), (other, one)):
            a, b = (face(roof, name).pitch for name in (mine, theirs))
            phi = atan2(sin(corner), a / b + cos(corner))
            level = Vector(x.x, x.y, 0.0).unit()
            assert level.dot(face(roof, mine).uphill) == pytest.approx(sin(phi))
            assert x.z / hypot(x.x, x.y) == pytest.approx(a * sin(phi))
            name = f"backing angle of the {line}, {mine} [deg]"
            assert measure(roof, name) == pytest.approx(degrees(asin(sin(atan(a)) * cos(phi))))


def test_the_fascia_is_level_around_unequal_pitches() -> None:
    roof = roof_of(OCTAGON, {"roof.pitch": None, "roof.pitches": ["5/12", "6/12"] * 4})
    tails = [f.top(-f.overhang) for f in roof.faces]
    assert tails == pytest.approx([tails[0]] * 8)
    assert [f.overhang for f in roof.faces[:2]] == pytest.approx([12, 10])


# ------------------------------------------------------------------ how they are framed


def test_every_hip_lies_on_both_its_neighbours_at_the_point() -> None:
    roof = roof_of(OCTAGON)
    lines = ["side 1-8 hip", *(f"side {i}-{i + 1} hip" for i in range(1, 8))]
    for i, line in enumerate(lines):
        beside = {(lines[i - 1],), (lines[(i + 1) % 8],)}
        planes = hip(roof, line).stick.end_planes("head")
        assert {plane.against for plane in planes} == beside
        for plane in planes:
            cut = hip(roof, line).stick.frame.plane_outward(plane.plane)
            assert cut.normal.z == pytest.approx(0, abs=1e-12)
            assert cut.distance(Vector(APOTHEM, APOTHEM, 0.0)) == pytest.approx(0, abs=1e-9)


def test_four_hips_and_a_ridge_meet_at_each_end_of_a_long_octagon() -> None:
    roof = roof_of(LONG)
    (ridge,) = members(roof, "ridge")
    assert ridge.stick.length == pytest.approx(6 * 12)
    against = Counter(p.against[0] for e in ("head", "foot") for p in ridge.stick.end_planes(e))
    assert against == Counter(f"side {a}-{b} hip" for a, b in ((1, 2), (1, 8), (4, 5), (5, 6)))
    assert measure(roof, "ridge length") == pytest.approx(6 * 12)
    # The outer two of four hips have hips for both neighbours.
    assert {p.against for p in hip(roof, "side 2-3 hip").stick.end_planes("head")} == {
        ("side 1-2 hip",),
        ("side 3-4 hip",),
    }


def test_a_hip_may_start_where_lower_ones_meet() -> None:
    roof = roof_of(UNEVEN)
    upper = hip(roof, "side 1-4 hip")
    assert upper.heel_line is None
    assert upper.notches == ()
    assert {p.against[0] for p in upper.stick.end_planes("foot")} == {
        "side 1-5 hip",
        "side 4-5 hip",
    }
    for name in ("side 1", "side 4"):
        above = [plumb_above(face(roof, name).plane, c) for c in top_corners(upper)]
        assert max(above) == pytest.approx(0, abs=1e-9)


def test_jacks_are_marked_from_the_foot_of_an_upper_hip() -> None:
    roof = roof_of(UNEVEN)
    upper = hip(roof, "side 1-4 hip")
    places = [m.center for m in roof.marks if m.line == "side 1-4 hip, side 1"]
    assert places == sorted(places)
    assert places[0] > 0
    assert places[-1] < upper.stick.length


@pytest.mark.parametrize("tables", [OCTAGON, LONG, UNEVEN], ids=["octagon", "long", "uneven"])
def test_plates_are_mitred_and_every_hip_bears_on_both(tables: Tables) -> None:
    roof = roof_of(tables)
    plates = {s.name: stick_solid(s.stick) for s in roof.supports}
    for (one, a), (other, b) in combinations(plates.items(), 2):
        square = (
            abs(
                face(roof, one.removesuffix(" plate")).uphill.dot(
                    face(roof, other.removesuffix(" plate")).uphill
                )
            )
            < 1e-9
        )
        assert square or a.shared_volume(b) < 1e-6
    for member in members(roof, "hip"):
        for plane in member.stick.planes("seat"):
            seat = member.stick.frame.plane_outward(plane.plane)
            assert len(plane.against) == 2
            for name in plane.against:
                assert stick_solid(member.stick).contact_area(seat, plates[name]) > 0.1


def test_a_rectangle_by_its_corners_has_the_lines_of_a_hip_roof() -> None:
    """Hips are as long and jacks differ as much; only the heads at the ridge's ends are other."""
    corners = [("0ft", "0ft"), ("22ft", "0ft"), ("22ft", "14ft"), ("0ft", "14ft")]
    ours = roof_of(over(OCTAGON, corners))
    plain = {"roof.sides": None, "roof.length": "22ft", "ridge.kind": "board", "ridge.size": "2x8"}
    theirs = roof_of(OCTAGON, plain)
    for name in ("common difference of jacks", "drop of every hip"):
        assert measure(ours, name) == pytest.approx(measure(theirs, name))
    tops = [[h.above_plate for h in r.heights if h.name == "ridge top"] for r in (ours, theirs)]
    assert tops[0] == pytest.approx(tops[1])
    (mine,) = members(ours, "ridge")
    assert mine.stick.length == pytest.approx(8 * 12)


@pytest.mark.parametrize("sides", [5, 6, 8, 9])
def test_corners_written_to_a_sixteenth_meet_in_one_point(sides: int) -> None:
    """They cannot be written exactly; no wall is moved by more than the sixteenth."""
    turns = (2 * pi * (i + 0.3) / sides for i in range(sides))
    corners = [tuple(round(16 * 90 * f(t)) / 16 for f in (cos, sin)) for t in turns]
    roof = roof_of(changed(over(OCTAGON, corners), {"ridge.kind": "none", "ridge.size": None}))
    assert Counter(m.role for m in roof.members if m.role in ("hip", "ridge")) == {"hip": sides}
    assert len({tuple(round(c, 6) for c in apex) for apex in peaks(roof)}) == 1
    for given_corner, face_at in zip(corners, roof.faces, strict=True):
        assert hypot(given_corner[0] - face_at.corner.x, given_corner[1] - face_at.corner.y) < 0.1
        assert face_at.corner.z == 0


def peaks(roof: Roof) -> list[tuple[float, float, float]]:
    """Return where each three sides one after the other meet."""
    faces = roof.faces
    points = (
        meet(faces[i - 2].plane, faces[i - 1].plane, face.plane) for i, face in enumerate(faces)
    )
    return [(p.x, p.y, p.z) for p in points]


# ------------------------------------------------------------------ a hub


@pytest.mark.parametrize("sides", [4, 6, 8, 10])
def test_hips_end_square_on_a_hub(sides: int) -> None:
    """Half its width short of the point; its face is 2 (width / 2) tan(180 / n) wide."""
    roof = regular_roof(sides, 50, **{"hip.hub": "7in"})
    run, pitch = APOTHEM / cos(pi / sides), 0.5 * cos(pi / sides)
    hub = roof.supports[-1]
    for member in members(roof, "hip"):
        (head,) = member.stick.end_planes("head")
        assert head.against == (hub.name,) == ("hub",)
        assert head.tilt == pytest.approx(0, abs=1e-6)
        assert member.line_length == pytest.approx((run - 3.5) * hypot(1, pitch))
    width = measure(roof, "width of each face of the hub")
    assert width == pytest.approx(7 * tan(pi / sides))
    # A regular prism: half its width, perimeter and length.
    solid = stick_solid(hub.stick)
    assert solid.volume == pytest.approx(3.5 / 2 * sides * width * hub.stick.length)


def test_rafters_stand_clear_of_a_hub_about_the_middle_of_a_side() -> None:
    roof = roof_of(OCTAGON, {"hip.hub": "6in"})
    middle = face(roof, "side 1").length / 2
    stations = [m.station - middle for m in members(roof, "hip-jack", "side 1")]
    assert sorted(stations) == pytest.approx([-24, -8, 8, 24])
    assert members(roof, "common") == []


# ------------------------------------------------------------------ what is refused


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (
            changed(LONG, {"ridge.size": None, "ridge.kind": "none"}),
            r"^ridge.kind: the hips do not meet in one point: a ridge runs from \(.*\) to \(.*\); "
            r'write kind = "board" and its size$',
        ),
        (
            changed(LONG, {"roof.length": "14ft 1in"}),
            r"^roof.length: hips meet at \(.*\) and at \(.*\), too near each other for the ridge "
            "between; move a corner so that they meet in one point, or further apart$",
        ),
        (
            changed(
                LONG,
                {"roof.pitch": None, "roof.pitches": ["8/12"] * 2 + ["4/12"] + ["8/12"] * 5},
            ),
            r"(?m)^roof.pitches: the hip from the corner at \(.*\) would run past the wall of "
            "side 3; bring the pitches on both its sides nearer to each other$",
        ),
        (
            changed(
                over(
                    OCTAGON, [("0ft", "0ft"), ("16ft", "0ft"), ("16ft", "12ft"), ("15ft", "12ft")]
                ),
                {"plate.width": 9.25},
            ),
            r"^roof.corners: hips meet at \(.*\), too near the wall of side 3; make that side "
            "longer or its pitch less steep$",
        ),
    ],
)
def test_plans_that_are_refused_with_their_place(tables: Tables, told: str) -> None:
    with pytest.raises(JobError, match=told):
        roof_of(tables)
