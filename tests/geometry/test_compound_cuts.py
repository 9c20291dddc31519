"""Sticks cut by planes that are not square to their faces, against corners found by solving."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutlist.geometry.space import UP, Frame, Plane, Vector
from cutlist.geometry.stick import Cut, CutPlane, Stick, end_cut, notch
from cutlist.tolerance import SAME_POINT
from tests.geometry.halfspaces import Array, corners, section

T, D, L = 1.5, 7.25, 100.0

# Corners move by as much as a system of planes that meet at a few degrees loses of 1e-13.
EXACT = 1e-7
# Outlines leave out a corner nearer to a straight edge than SAME_POINT, which moves their area by
# less than that over their whole length.
SAME_AREA = SAME_POINT * 2 * (L + D)


def floats(least: float, most: float) -> st.SearchStrategy[float]:
    """Draw numbers of six decimals: the smallest of doubles are no lengths, and vex solvers."""
    return st.floats(least, most).map(lambda number: round(number, 6))


slants = floats(-1.5, 1.5)


@st.composite
def frames(draw: st.DrawFn) -> Frame:
    """Draw a frame standing anyhow in the plan."""
    turn, slope = radians(draw(floats(-180, 180))), radians(draw(floats(-80, 80)))
    level = Vector(cos(turn), sin(turn), 0.0)
    x = level * cos(slope) + UP * sin(slope)
    origin = Vector(*(draw(floats(-500, 500)) for _ in range(3)))
    return Frame.along(origin, x, UP * cos(slope) - level * sin(slope))


def plane(point: Vector, x: float, y: float, z: float) -> Plane:
    return Plane.through(point, Vector(x, y, z))


@st.composite
def end_planes(draw: st.DrawFn, *, most: int = 2) -> list[Plane]:
    """Draw planes that trim both ends: one or two cheeks at each, somewhere near 0 and L."""
    planes = []
    for toward, place in ((-1.0, 0.0), (1.0, L)):
        for _ in range(draw(st.integers(1, most))):
            point = Vector(place, draw(floats(0, D)), draw(floats(0, T)))
            planes.append(plane(point, toward, draw(slants), draw(slants)))
    return planes


def body(planes: list[Plane]) -> tuple[Array, Array]:
    """Return a stick's half-spaces: its four long sides and the planes it keeps short of."""
    sides = [
        Plane(Vector(0, -1, 0), 0.0),
        Plane(Vector(0, 1, 0), D),
        Plane(Vector(0, 0, -1), 0.0),
        Plane(Vector(0, 0, 1), T),
    ]
    both = [*sides, *planes]
    normals = np.array([[p.normal.x, p.normal.y, p.normal.z] for p in both])
    return normals, np.array([p.offset for p in both])


def stick_of(frame: Frame, planes: list[Plane], *notches: Cut) -> Stick:
    """Return the stick of planes given in its own frame; they are handed over in plan's."""
    cuts = [Cut((CutPlane("end", frame.plane_outward(p)),)) for p in planes]
    outward = [
        Cut(tuple(CutPlane(p.name, frame.plane_outward(p.plane)) for p in c.planes))
        for c in notches
    ]
    return Stick.trimmed(thickness=T, depth=D, frame=frame, cuts=(*cuts, *outward))


def same_shape(one: object, other: object) -> bool:
    return one.symmetric_difference(other).area < SAME_AREA  # type: ignore[attr-defined]


@settings(max_examples=150, deadline=None)
@given(frames(), end_planes())
def test_ends(frame: Frame, planes: list[Plane]) -> None:
    stick = stick_of(frame, planes)
    normals, offsets = body(planes)
    solid = corners(normals, offsets)
    start = solid[:, 0].min()
    assert stick.length == pytest.approx(np.ptp(solid[:, 0]), abs=EXACT)
    for z, outline in ((0.0, stick.far), (T / 2, stick.middle), (T, stick.near)):
        expected = section(normals, offsets, z)
        assert same_shape(outline.moved(start).polygon, expected)
        assert outline.polygon.is_valid
        assert outline.polygon.exterior.is_ccw
    # The stick stands where the planes were: its frame's origin has only moved along it.
    assert (stick.frame.origin - frame.outward(Vector(start, 0, 0))).length() < EXACT
    for cut in stick.cuts:
        assert cut.end == ("head" if cut.planes[0].plane.normal.x > 0 else "foot")


@settings(max_examples=100, deadline=None)
@given(frames(), end_planes(most=1), floats(0.05, 1.0), floats(0.05, 1.0), floats(0.2, 1.3))
def test_backed_stick(
    frame: Frame, ends: list[Plane], near: float, far: float, peak: float
) -> None:
    # Two bevels along the whole stick, meeting anywhere across its top.
    top = Vector(0.0, D, peak)
    bevels = [plane(top, 0.0, 1.0, near), plane(top, 0.0, 1.0, -far)]
    stick = stick_of(frame, [*ends, *bevels])
    normals, offsets = body([*ends, *bevels])
    solid = corners(normals, offsets)
    assert stick.length == pytest.approx(np.ptp(solid[:, 0]), abs=EXACT)
    for z, outline in ((0.0, stick.far), (T / 2, stick.middle), (T, stick.near)):
        expected = section(normals, offsets, z)
        assert same_shape(outline.moved(solid[:, 0].min()).polygon, expected)
    assert [cut.end for cut in stick.cuts[-2:]] == [None, None]


# Two cheeks that cross on the bottom edge, where rounding once left a line beside the wood.
CROSSING = [
    Plane(
        Vector(-0.6805916321993691, 0.25522186207476344, -0.6867727654030038),
        -0.25753978702612645,
    ),
    Plane(Vector(-0.5710644881985998, 0.0, 0.8209052017854872), 0.0),
    Plane(Vector(1.0, 0.0, 0.0), 100.0),
]


@example(
    frame=Frame.along(Vector(0, 0, 0), Vector(1, 0, 0), UP),
    ends=CROSSING,
    at=30.0,
    slope=0.5,
    slant=(0.0, 0.0, 0.0),
)
@settings(max_examples=100, deadline=None)
@given(
    frames(),
    end_planes(),
    floats(30, 70),
    floats(0.3, 0.9),
    st.tuples(*[floats(-0.4, 0.4)] * 3),
)
def test_slanting_notch(
    frame: Frame, ends: list[Plane], at: float, slope: float, slant: tuple[float, ...]
) -> None:
    # A seat and heel that no longer stand square to the face, as a hip's at a corner.
    root = Vector(at, 2.0, T / 2)
    seat, heel = plane(root, -slope, -1.0, slant[0]), plane(root, 1.0, slant[1], slant[2])
    stick = stick_of(frame, ends, notch(seat=seat, heel=heel))
    whole, removed = body(ends), body([*ends, seat.flipped(), heel.flipped()])
    start = corners(*whole)[:, 0].min()
    for z, outline in ((0.0, stick.far), (T / 2, stick.middle), (T, stick.near)):
        expected = section(*whole, z).difference(section(*removed, z))
        assert same_shape(outline.moved(start).polygon, expected)


@pytest.mark.parametrize("rise", [3, 6, 8, 12])
def test_jack_against_a_regular_hip(rise: int) -> None:
    # A jack's cheek cut lies in the plumb plane that runs at 45 degrees in plan: its line on the
    # face is plumb, at the slope from square, and the blade tilts 45 degrees.
    slope = atan(rise / 12)
    frame = Frame.along(
        Vector(0, 0, 0), Vector(cos(slope), 0, sin(slope)), Vector(-sin(slope), 0, cos(slope))
    )
    hip = Plane.through(Vector(100, 0, 0), Vector(1, 1, 0))
    foot = Plane.through(Vector(0, 0, 0), Vector(-1, 0, 0))
    stick = Stick.trimmed(
        thickness=T, depth=D, frame=frame, cuts=(end_cut("cheek", hip), end_cut("plumb", foot))
    )
    (cheek,), (plumb,) = stick.planes("cheek"), stick.planes("plumb")
    assert (cheek.miter, cheek.tilt) == pytest.approx((degrees(slope), 45))
    assert (plumb.miter, plumb.tilt) == pytest.approx((degrees(slope), 0))
    # Level, one face is longer than the other by the thickness; along the slope by its cosine.
    near, far = (max(x for x, _ in o.points) for o in (stick.near, stick.far))
    assert abs(near - far) == pytest.approx(T / cos(slope))
    assert not stick.is_square_to_face


@given(floats(1, 89), floats(0, 89))
def test_angles_of_a_cut(miter: float, tilt: float) -> None:
    # A blade set to that miter and tilt has this normal, by turning it twice.
    m, t = radians(miter), radians(tilt)
    cut = CutPlane("", Plane(Vector(cos(t) * cos(m), cos(t) * sin(m), sin(t)), 0.0))
    assert (cut.miter, cut.tilt) == pytest.approx((miter, tilt), abs=1e-6)


def test_double_cheek_cut_has_its_long_point_in_the_middle() -> None:
    cheeks = [plane(Vector(L, 0, T / 2), 1.0, 0.0, side) for side in (1.0, -1.0)]
    square = plane(Vector(0, 0, 0), -1.0, 0.0, 0.0)
    flat = Frame.along(Vector(0, 0, 0), Vector(1, 0, 0), Vector(0, 1, 0))
    stick = stick_of(flat, [square, *cheeks])
    assert stick.length == pytest.approx(L)
    assert [max(x for x, _ in o.points) for o in stick.outlines] == pytest.approx(
        [L - T / 2, L, L - T / 2]
    )
