"""Solids against outlines, closed forms and each other."""

from __future__ import annotations

from itertools import pairwise
from math import atan, cos, sqrt, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.errors import GeometryError
from cutlist.geometry.solid import near_pairs, stick_solid
from cutlist.geometry.space import ORIGIN, UP, Frame, Plane, Vector
from cutlist.geometry.stick import Cut, CutPlane, Stick, end_cut, notch

X, Y, Z = Vector(1, 0, 0), Vector(0, 1, 0), Vector(0, 0, 1)
T, D, L = 1.5, 7.25, 100.0

# The modeller lets corners move by 1e-12 of a body's size: here 1e-10, over a surface of 1750 under
# 2e-7 of a volume of 1087.
EXACT = 2e-10


def level(*cuts: Cut, thickness: float = T, depth: float = D) -> Stick:
    """A stick whose own frame is the plan's."""
    frame = Frame(ORIGIN, X, Y, Z)
    return Stick.trimmed(thickness=thickness, depth=depth, frame=frame, cuts=cuts)


def end(x: float, y: float = 0.0, z: float = 0.0, *, at: float) -> Cut:
    """An end cut whose plane crosses the stick's axis, the middle of its section, at a place."""
    return end_cut("end", Plane.through(Vector(at, D / 2, T / 2), Vector(x, y, z)))


def outline_volume(stick: Stick, breaks: list[float]) -> float:
    """Volume by Simpson's rule between breaks: exact, since the area is quadratic between them."""
    places = [0.0, *breaks, stick.thickness]
    total = 0.0
    for a, b in pairwise(places):
        areas = [stick.outline(z).polygon.area for z in (a, (a + b) / 2, b)]
        total += (b - a) / 6 * (areas[0] + 4 * areas[1] + areas[2])
    return total


def test_square_box() -> None:
    box = stick_solid(level(end(-1, at=0), end(1, at=L)))
    assert box.volume == pytest.approx(T * D * L, rel=EXACT)
    assert box.bounds == pytest.approx(np.array([[0, 0, 0], [L, D, T]]))
    assert box.face_area(Plane(X, L)) == pytest.approx(T * D)
    assert box.face_area(Plane(-X, -L)) == 0  # the plane's other side is not the body's


tilts = st.floats(-1.0, 1.0)


@given(tilts, tilts, tilts, tilts)
def test_compound_ends(head_y: float, head_z: float, foot_y: float, foot_z: float) -> None:
    # A prism cut by slanting planes is as long as the line through its centroid (Pappus), which
    # these planes cross at 0 and L; they meet nowhere in a stick so long.
    stick = level(end(-1, foot_y, foot_z, at=0), end(1, head_y, head_z, at=L))
    assert stick_solid(stick).volume == pytest.approx(T * D * L, rel=EXACT)


@given(tilts, st.floats(0.05, 2.0))
def test_double_cheek_cut(miter: float, cheek: float) -> None:
    # Two cheeks x = L - c |z - T/2|: the point loses c T / 4 of its length on average.
    cheeks = [end(1, miter, side * cheek, at=L) for side in (1, -1)]
    solid = stick_solid(level(end(-1, at=0), *cheeks))
    assert solid.volume == pytest.approx(T * D * (L - cheek * T / 4), rel=EXACT)


@given(st.floats(0.05, 1.0))
def test_backing(rise: float) -> None:
    # Each bevel takes a triangle T/2 wide and T/2 times the bevel's rise high.
    peak = Vector(0, D, T / 2)
    bevels = [end_cut("backing", Plane.through(peak, Vector(0, 1, s * rise))) for s in (1, -1)]
    solid = stick_solid(level(end(-1, at=0), end(1, at=L), *bevels))
    assert solid.volume == pytest.approx(L * (T * D - T * T / 4 * rise), rel=EXACT)


@given(st.floats(0.5, 3.0), st.floats(10.0, 60.0))
def test_three_plane_notch(height: float, at: float) -> None:
    # A seat between two walls at right angles: y < height and x > at + |z - T/2|.
    corner = Vector(at, height, T / 2)
    cut = Cut(
        (
            CutPlane("seat", Plane.through(corner, -Y)),
            CutPlane("heel", Plane.through(corner, Vector(1, 0, 1))),
            CutPlane("heel", Plane.through(corner, Vector(1, 0, -1))),
        )
    )
    solid = stick_solid(level(end(-1, at=0), end(1, at=L), cut))
    removed = height * T * (L - at - T / 4)
    assert solid.volume == pytest.approx(T * D * L - removed, rel=EXACT)


@given(st.floats(0.15, 1.4), st.floats(1.0, 4.0))
def test_hip_with_every_cut_agrees_with_its_outlines(pitch: float, seat: float) -> None:
    """A regular hip: cheeks at head, backing, a seat on a corner, a tail trimmed to two fascias."""
    slope = pitch / sqrt(2)
    uphill = Vector(cos(atan(slope)) / sqrt(2), cos(atan(slope)) / sqrt(2), 0) + UP * (
        slope * cos(atan(slope))
    )
    y = (UP - uphill * uphill.dot(UP)).unit()
    z = uphill.cross(y)
    frame = Frame(ORIGIN - y * D - z * (T / 2), uphill, y, z)
    run = 96.0
    faces = [Vector(-pitch, 0, 1), Vector(0, -pitch, 1)]
    seat_top = -(D / cos(atan(slope)) - seat * tan(atan(slope)))
    heel = Vector(0, 0, seat_top)
    cuts = [
        *(end_cut("backing", Plane.through(ORIGIN, n)) for n in faces),
        *(end_cut("cheek", Plane.through(Vector(run, run, 0), n)) for n in (X, Y)),
        *(end_cut("tail", Plane.through(Vector(-16, -16, 0), -n)) for n in (X, Y)),
        Cut(
            (
                CutPlane("seat", Plane.through(heel, -UP)),
                CutPlane("heel", Plane.through(heel, X)),
                CutPlane("heel", Plane.through(heel, Y)),
            )
        ),
    ]
    # Everything is alike on both sides of mid-thickness, where alone the areas change their law.
    stick = Stick.trimmed(thickness=T, depth=D, frame=frame, cuts=cuts)
    solid = stick_solid(stick)
    assert solid.volume == pytest.approx(outline_volume(stick, [T / 2]), rel=1e-8)
    for n in faces:
        plane = Plane.through(ORIGIN, n)
        # Half the hip's plan lies under each face. At w from its middle line the plan is shorter
        # by w at both ends, where the cuts run at 45 degrees.
        plan_area = T / 2 * sqrt(2) * (run + 16) - T * T / 4
        assert solid.face_area(plane) == pytest.approx(
            plan_area * sqrt(1 + pitch * pitch), rel=1e-8
        )


@given(
    st.floats(0.1, 1.4),
    st.floats(0.2, 2.0),
    st.sampled_from([Vector(0, 0, 0), Vector(1e6, 2e5, 0)]),
)
def test_square_cuts_agree_with_the_outline(pitch: float, seat: float, origin: Vector) -> None:
    x = Vector(0, cos(atan(pitch)), cos(atan(pitch)) * pitch)
    frame = Frame.along(origin, x, X.cross(x))
    plate = origin + x * 20 + frame.y * seat
    cuts = [
        end_cut("plumb", Plane.through(origin + x * L, Y)),
        end_cut("plumb", Plane.through(origin, -Y)),
        notch(seat=Plane.through(plate, -UP), heel=Plane.through(plate, Y)),
    ]
    stick = Stick.trimmed(thickness=T, depth=D, frame=frame, cuts=cuts)
    # A kilometre off, doubles of the origin are good to 1e-10, of a volume of a thousand to 1e-9.
    assert stick_solid(stick).volume == pytest.approx(stick.near.polygon.area * T, rel=1e-9)


def test_touching_bodies_share_a_face_and_no_space() -> None:
    left = stick_solid(level(end(-1, at=0), end(1, 0.5, 0.3, at=L)))
    right = stick_solid(level(end(-1, -0.5, -0.3, at=L), end(1, at=2 * L)))
    between = Plane.through(Vector(L, D / 2, T / 2), Vector(1, 0.5, 0.3))
    assert left.shared_volume(right) == pytest.approx(0, abs=1e-12)
    # The section is the plan area over the cosine of the plane's tilt to it.
    section = T * D * sqrt(1 + 0.25 + 0.09)
    assert left.contact_area(between, right) == pytest.approx(section)
    assert left.contact_area(between.flipped(), right) == 0
    assert left.contact_area(between.moved(0.01), right) == 0


def test_contact_on_bodies_that_cross_counts_once() -> None:
    bottom = stick_solid(level(end(-1, at=0), end(1, at=L)))
    plates = [
        stick_solid(
            Stick(
                thickness=T,
                depth=D,
                frame=Frame(Vector(x, -D, 0), X, Y, Z),
                cuts=(end_cut("end", Plane(X, 10)), end_cut("end", Plane(-X, 0))),
            )
        )
        for x in (20.0, 24.0)
    ]
    assert bottom.contact_area(Plane(-Y, 0), plates[0]) == pytest.approx(10 * T)
    assert bottom.contact_area(Plane(-Y, 0), *plates) == pytest.approx(14 * T)


def test_contact_is_only_where_both_faces_are() -> None:
    left = stick_solid(level(end(-1, at=0), end(1, at=L)))
    raised = level(end(-1, at=L), end(1, at=2 * L)).frame.moved(Vector(0, 3, 0.5))
    right = stick_solid(
        Stick(
            thickness=T,
            depth=D,
            frame=raised,
            cuts=(end_cut("end", Plane(X, L)), end_cut("end", Plane(-X, 0))),
        )
    )
    assert left.contact_area(Plane(X, L), right) == pytest.approx((D - 3) * (T - 0.5))


def test_shared_volume_of_crossing_sticks() -> None:
    one = stick_solid(level(end(-1, at=0), end(1, at=L)))
    other = stick_solid(level(end(-1, at=L - 2), end(1, at=2 * L)))
    assert one.shared_volume(other) == pytest.approx(2 * T * D)


def test_near_pairs_are_those_whose_boxes_meet() -> None:
    places = [0.0, 150.0, 80.0, 250.0]
    solids = [stick_solid(level(end(-1, at=x), end(1, at=x + L))) for x in places]
    assert near_pairs(solids) == [(0, 2), (1, 2), (1, 3)]


@pytest.mark.parametrize("others", [(), (notch(seat=Plane(-Y, -1), heel=Plane(X, 20)),)])
def test_nothing_left(others: tuple[Cut, ...]) -> None:
    everything = end_cut("bevel", Plane(Y, -1))
    frame = Frame(ORIGIN, X, Y, Z)
    cuts = (end(-1, at=0), end(1, at=L), everything, *others)
    with pytest.raises(GeometryError, match="nothing"):
        stick_solid(Stick(thickness=T, depth=D, frame=frame, cuts=cuts))
