"""Hips read off planes against the closed forms of two slopes that meet over a corner.

The forms were derived on paper and checked there against a vector model of random corners; none is
used in the code. a, b: slope angles of the two sides; phi_a, phi_b: plan angles of the hip from
their eaves; C: the interior plan angle of the corner; th: the hip's own slope; t: its thickness.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from math import asin, atan, cos, degrees, hypot, pi, radians, sin, tan

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutlist.geometry.space import ACROSS, ALONG, ORIGIN, Vector
from cutlist.lumber import Size
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from tests.hips import (
    HIP,
    apex,
    corners,
    face,
    hip_rafter,
    jacks_to,
    level,
    members,
    theoretical_length,
)
from tests.jobs import Tables, changed, roof_of

LINE = "near left hip"
slopes = st.floats(10, 55).map(radians)


@st.composite
def corners_of_planes(draw: st.DrawFn) -> tuple[float, float, float, Hip]:
    """Make two slopes over any corner, and the hip between them: (a, b, C, hip)."""
    a, b = draw(slopes), draw(slopes)
    corner = radians(draw(st.floats(60, 150)))
    # The main eave runs along x from the corner; the end's eave leaves it at the corner's angle.
    main = Face(
        name="main",
        corner=ORIGIN,
        along=ALONG,
        uphill=ACROSS,
        length=200.0,
        pitch=tan(a),
        height_above_plate=draw(st.floats(3, 9)),
        overhang=12.0,
    )
    along = Vector(cos(corner), sin(corner), 0.0)
    uphill = Vector(sin(corner), -cos(corner), 0.0)
    end = replace(main, name="end", along=along, uphill=uphill, pitch=tan(b))
    thickness = draw(st.sampled_from([1.5, 3.0, 4.0]))
    size = Size(name="any", thickness=thickness, depth=11.25)
    hip = Hip(main=main, end=end, size=size, backed=draw(st.booleans()))
    phi_a, phi_b = plan_angles(a, b, corner)
    assume(max(phi_a, phi_b) < radians(85))
    return a, b, corner, hip


def plan_angles(a: float, b: float, corner: float) -> tuple[float, float]:
    """CF01: tan phi_a = sin C / (tan a / tan b + cos C)."""
    phi_a = atan(sin(corner) / (tan(a) / tan(b) + cos(corner))) % pi
    return phi_a, corner - phi_a


@given(corners_of_planes())
def test_hip_of_any_corner(made: tuple[float, float, float, Hip]) -> None:
    a, b, corner, hip = made
    phi_a, phi_b = plan_angles(a, b, corner)
    slope = atan(tan(a) * sin(phi_a))  # CF02
    assert hip.level.dot(hip.main.along) == pytest.approx(cos(phi_a))
    assert hip.pitch == pytest.approx(tan(slope))
    assert hip.foot.z == pytest.approx(hip.main.height_above_plate)
    for side, angle, phi in ((hip.main, a, phi_a), (hip.end, b, phi_b)):
        backing = hip.backing_angle(side)
        assert tan(backing) == pytest.approx(sin(slope) / tan(phi))  # CF03
        assert sin(backing) == pytest.approx(sin(angle) * cos(phi))  # CF04
        assert hip.fall(side) == pytest.approx(tan(slope) / tan(phi))
        assert hip.run_difference(side) == pytest.approx(tan(phi))  # CF11, level
        assert hip.width(side) / cos(phi) == pytest.approx(  # CF10
            hip_line_run(side, phi) - hip.jack_run(side, 50.0)
        )
    dihedral = pi - hip.backing_angle(hip.main) - hip.backing_angle(hip.end)  # CF05
    assert cos(pi - dihedral) == pytest.approx(  # CF06
        cos(a) * cos(b) - sin(a) * sin(b) * cos(corner)
    )


def hip_line_run(side: Face, phi: float) -> float:
    """Return the level run of a jack 50 from the corner, out to the slopes' line."""
    return 50.0 * tan(phi)


@given(corners_of_planes())
def test_drop_and_shift_of_any_corner(made: tuple[float, float, float, Hip]) -> None:
    a, b, corner, hip = made
    hip = replace(hip, backed=False)
    phi_a, phi_b = plan_angles(a, b, corner)
    slope, t = atan(tan(a) * sin(phi_a)), hip.size.thickness
    wide = t * tan(phi_a) / (tan(phi_a) + tan(phi_b))  # CF09
    assert hip.width(hip.main) == pytest.approx(wide)
    assert hip.width(hip.end) == pytest.approx(t - wide)
    assert hip.shift == pytest.approx(wide - t / 2)
    assert hip.drop == pytest.approx(wide * tan(slope) / tan(phi_a))  # CF07
    for side in (hip.main, hip.end):
        assert hip.backing_depth(side) == pytest.approx(hip.drop * cos(slope))  # CF08
    # Both edges of the dropped stick lie in the slopes, wherever along it they are looked at.
    top = [hip.frame.outward(Vector(x, hip.size.depth, z)) for x in (0.0, 90.0) for z in (0.0, t)]
    for point in top:
        heights = [side.plane.distance(point) for side in (hip.main, hip.end)]
        assert max(heights) == pytest.approx(0, abs=1e-9)
    backed = replace(hip, backed=True)
    assert backed.drop == backed.shift == 0
    assert backed.backing_depth(hip.main) == pytest.approx(t / 2 * sin(slope) / tan(phi_a))


@st.composite
def framed_corners(draw: st.DrawFn) -> tuple[float, float, Tables]:
    """Make up a hip roof of any size by two slopes, for its members to be measured: (a, b, job)."""
    a, b = (radians(draw(st.floats(15, 50))) for _ in range(2))
    span = draw(st.integers(150, 400))
    size = draw(st.sampled_from(["2x10", "4in x 9 1/4in", "2 1/4in x 11 1/4in"]))
    changes = {
        "roof.span": f"{span}in",
        "roof.length": f"{span / 2 * tan(a) / tan(b) * 2 + 60:.3f}in",
        "roof.pitch": f"{degrees(a):.9f}deg",
        "roof.end_pitch": f"{degrees(b):.9f}deg",
        "rafter.size": draw(st.sampled_from(["2x8", "2 1/4in x 7 1/4in"])),
        "rafter.seat": "auto",
        "rafter.notch_limit": 0.9,
        "plate.width": 3.5,
        "rafter.spacing": draw(st.integers(12, 24)),
        "hip.size": size,
        "hip.top": draw(st.sampled_from(["drop", "back"])),
        "hip.jacks_from": draw(st.sampled_from(["corner", "common"])),
        "ridge.size": draw(st.sampled_from(["1x10", "2x10", "2 1/4in x 11 1/4in"])),
    }
    return a, b, changed(HIP, changes)


@settings(deadline=None, max_examples=40)
@given(framed_corners())
def test_hip_as_framed(made: tuple[float, float, Tables]) -> None:
    a, b, tables = made
    roof = roof_of(tables)
    phi_a, phi_b = plan_angles(a, b, pi / 2)
    slope = atan(tan(a) * sin(phi_a))
    hip = hip_rafter(roof)
    stick, common = hip.stick, members(roof, "common", "near")[0].stick.thickness
    run = face(roof, "near").run(apex(roof)) / sin(phi_a)
    assert theoretical_length(hip, apex(roof)) == pytest.approx(run / cos(slope))
    cheeks = {p.against[0]: p for p in stick.end_planes("head")}
    # CF15: the plumb line at the hip's slope; against the end common, whose side lies along the
    # ridge as eave A does, the blade at 90 degrees less the hip's plan angle.
    for against, phi in (("left", phi_a), ("near", phi_b)):
        assert radians(cheeks[against].miter) == pytest.approx(slope)
        assert radians(cheeks[against].tilt) == pytest.approx(pi / 2 - phi)
    # CF16, for the commons that the hip stands between: half their thickness, in two directions.
    # Its middle stands off the slopes' line by the shift, so it is held to the nearer one.
    shift = next((m.value for m in roof.measures if m.name.startswith("shift")), 0.0)
    off = shift if phi_a > phi_b else -shift
    level_short = max(
        common / 2 / sin(phi_a) - off / tan(phi_a), common / 2 / sin(phi_b) + off / tan(phi_b)
    )
    assert level(hip, theoretical_length(hip, apex(roof)) - hip.line_length) == pytest.approx(
        level_short
    )
    # Height above plate: the commons', less the drop, for every rafter on the corner.
    height = face(roof, "near").height_above_plate
    drop = next((m.value for m in roof.measures if m.name.startswith("drop")), 0.0)
    assert hip.height_above_plate == pytest.approx(height - drop)


@settings(deadline=None, max_examples=40)
@given(framed_corners())
def test_jacks_as_framed(made: tuple[float, float, Tables]) -> None:
    a, b, tables = made
    roof = roof_of(tables)
    phi_a, phi_b = plan_angles(a, b, pi / 2)
    for slope, angle, phi in (("near", a, phi_a), ("left", b, phi_b)):
        # A jack close to the last common is cut to that too, and is shorter than the hip makes it.
        jacks = [j for j in jacks_to(roof, slope, LINE) if len(j.stick.end_planes("head")) == 1]
        assume(len(jacks) > 1)
        lengths = [(jack.station, jack.line_length) for jack in jacks]
        for (here, short), (there, long) in itertools.pairwise(lengths):
            step = abs(there - here) * tan(phi) / cos(angle)  # CF11
            assert long - short == pytest.approx(step)
        for jack in jacks:
            (cheek,) = jack.stick.end_planes("head")
            assert radians(cheek.miter) == pytest.approx(angle)
            assert radians(cheek.tilt) == pytest.approx(phi)  # CF13
            points = [
                max(x for x, y in o.points if y == pytest.approx(jack.stick.depth))
                for o in (jack.stick.far, jack.stick.near)
            ]
            side = jack.stick.thickness / abs(points[0] - points[1])
            assert side == pytest.approx(cos(angle) / tan(phi))  # CF12


@settings(deadline=None, max_examples=40)
@given(framed_corners())
def test_regular_forms_are_the_special_case(made: tuple[float, float, Tables]) -> None:
    a, _, tables = made
    roof = roof_of(changed(tables, {"roof.end_pitch": None, "roof.length": "700in"}))
    hip = hip_rafter(roof)
    for cheek in hip.stick.end_planes("head"):
        assert cheek.tilt == pytest.approx(45)
    run = face(roof, "near").run(apex(roof))
    length = theoretical_length(hip, apex(roof))
    assert length / run == pytest.approx(hypot(tan(a), 2**0.5))  # CF23
    t = hip.stick.thickness
    if hip.stick.planes("backing"):
        gauge = t / 2 * length_ratio(a)  # CF08: (t / 2) sin th
        lowest = min(p.z for p in corners(hip))
        assert lowest < 0
        told = next(m.value for m in roof.measures if m.name.startswith("backing down"))
        assert told == pytest.approx(gauge)
    else:
        told = next(m.value for m in roof.measures if m.name.startswith("drop"))
        assert told == pytest.approx(t / 2 * tan(a) / 2**0.5)  # CF07
        assert not [m for m in roof.measures if m.name.startswith("shift")]


def length_ratio(a: float) -> float:
    """Return the sine of a regular hip's slope: its rise over its length."""
    return tan(a) / hypot(tan(a), 2**0.5)


@pytest.mark.parametrize("pitch", ["4/12", "8/12", "12/12"])
def test_backing_angle_is_a_sheathing_boards_bevel(pitch: str) -> None:
    """CF18: a board in the slope, cut by the vertical plane of the hip, is bevelled as much."""
    roof = roof_of(HIP, {"roof.pitch": pitch, "hip.top": "back"})
    a = face(roof, "near").slope_angle
    told = next(m.value for m in roof.measures if m.name == "backing angle of every hip [deg]")
    assert radians(told) == pytest.approx(asin(sin(a) * cos(pi / 4)))
