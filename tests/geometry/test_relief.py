"""Corner reliefs: the tool reaches each inside corner, and no more wood is taken than said."""

from __future__ import annotations

from math import cos, dist, pi, radians, sin, sqrt, tan

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from cutlist.geometry.relief import Contour, reliefs, relieved
from tests.arcs import flattened

RIGHT_ANGLE = ((0, 0), (4, 0), (4, 3), (7, 3), (7, 0), (20, 0), (20, 9), (0, 9))
"""A board with a slot 3 wide and 3 deep: inside corners at (4, 3) and (7, 3)."""


def birdsmouth(
    slope: float, seat: float, between: float, depth: float
) -> list[tuple[float, float]]:
    """Return a rafter's outline: seat rising to the heel, `between` their angle in the void."""
    corner = (100.0, seat * sin(slope))
    lower = (corner[0] + corner[1] / tan(slope), 0.0)
    turn = pi - slope - between
    upper = (corner[0] - corner[1] / tan(turn), 0.0)
    left, right = sorted((lower, upper))
    return [(0.0, 0.0), left, corner, right, (220.0, 0.0), (220.0, depth), (0.0, depth)]


def area(contour: Contour) -> float:
    return Polygon(flattened(contour, steps=4000)).area


def test_a_right_angle_is_relieved_by_half_a_circle() -> None:
    # By hand: the tool of radius r touches the corner, so its middle lies r / sqrt(2) from both
    # edges, and it meets each edge again r sqrt(2) from the corner, half a circle from end to end.
    r = 0.25
    contour = relieved(RIGHT_ANGLE, r)
    assert len(contour) == len(RIGHT_ANGLE) + 2
    assert contour[2] == pytest.approx((4, 3 - r * sqrt(2), -1))
    assert contour[3] == pytest.approx((4 + r * sqrt(2), 3, 0))
    assert contour[4] == pytest.approx((7 - r * sqrt(2), 3, -1))
    # Half a disc less the triangle of the void in it: r^2 (pi / 2 - 1) at each corner.
    lost = Polygon(RIGHT_ANGLE).area - area(contour)
    assert lost == pytest.approx(2 * r * r * (pi / 2 - 1), rel=1e-5)
    assert sum(relief.area for relief in reliefs(RIGHT_ANGLE, r)) == pytest.approx(lost, rel=1e-5)


def test_without_a_tool_the_ring_is_as_it_was() -> None:
    assert relieved(RIGHT_ANGLE, None) == tuple((x, y, 0.0) for x, y in RIGHT_ANGLE)
    square = ((0, 0), (5, 0), (5, 5), (0, 5))
    assert reliefs(square, 1.0) == ()
    assert relieved(square, 1.0) == tuple((x, y, 0.0) for x, y in square)


@pytest.mark.parametrize(("radius", "fits"), [(1.05, True), (1.07, False)])
def test_two_reliefs_share_an_edge(radius: float, fits: bool) -> None:
    # Each takes r sqrt(2) of the slot's bottom, which is 3 long: r may be 1.06.
    assert [relief.fits for relief in reliefs(RIGHT_ANGLE, radius)] == [fits, fits]
    assert (len(relieved(RIGHT_ANGLE, radius)) == len(RIGHT_ANGLE) + 2) is fits


def test_a_relief_longer_than_an_edge_leaves_the_corner_sharp() -> None:
    ring = ((0, 0), (9, 0), (9, 0.3), (12, 0.3), (12, 9), (0, 9))
    assert [relief.fits for relief in reliefs(ring, 0.25)] == [False]
    assert relieved(ring, 0.25) == tuple((x, y, 0.0) for x, y in ring)
    assert [relief.fits for relief in reliefs(ring, 0.2)] == [True]


def test_a_relief_that_would_cut_another_edge_does_not_fit() -> None:
    # Only 0.2 of wood is left over the corner; a disc of radius 2 reaches 0.59 beyond it.
    ring = ((0, 0), (9, 0), (9, 5), (20, 5), (20, 5.2), (0, 5.2))
    (relief,) = reliefs(ring, 2.0)
    assert relief.room > relief.reach
    assert not relief.fits
    assert all(r.fits for r in reliefs(ring, 0.5))


@given(
    slope=st.floats(radians(3), radians(80)),
    seat=st.floats(10, 90),
    between=st.floats(radians(25), radians(178)),
    radius=st.floats(0.5, 12.5),
)
@example(slope=0.3, seat=40.0, between=pi / 2, radius=3.0)
@example(slope=0.3, seat=40.0, between=pi / 2 - 1e-9, radius=3.0)
@example(slope=0.3, seat=40.0, between=pi / 2 - 1e-3, radius=3.0)
@example(slope=0.3, seat=40.0, between=pi / 2 + 1e-9, radius=3.0)
def test_a_round_tool_reaches_every_corner(
    slope: float, seat: float, between: float, radius: float
) -> None:
    assume(slope + between < pi - radians(2))
    ring = birdsmouth(slope, seat, between, 150.0)
    assume(ring[2][1] < 120 and ring[1][0] > 1 and ring[3][0] < 219)
    found = reliefs(ring, radius)
    contour = relieved(ring, radius)
    sharp, drawn = Polygon(ring), Polygon(flattened(contour, steps=1500))
    corner = Point(ring[2])
    if not found:
        # Nearly straight: what a tool leaves there is thinner than anybody can measure.
        assert radius * (1 / sin(between / 2) - 1) < 1e-4
        return
    (relief,) = found
    assert relief.corner == 2
    assert relief.void == pytest.approx(between, abs=1e-9)
    if not relief.fits:
        assert contour == tuple((x, y, 0.0) for x, y in ring)
        return
    slack = 2e-6 * radius
    assert drawn.is_valid
    spots = [vertex[:2] for vertex in contour]
    assert all(dist(a, b) > 5e-4 for a, b in zip(spots, spots[1:] + spots[:1], strict=True))
    assert drawn.exterior.is_ccw
    # Nothing is added; what goes lies within the tool's reach; no more goes than the closed form.
    assert sharp.buffer(1e-9).covers(drawn)
    lost = sharp.area - drawn.area
    assert lost == pytest.approx(relief.area, rel=1e-4, abs=1e-9)
    # The corner itself is clear, so a square-edged plate goes all the way in.
    assert drawn.exterior.distance(corner) < slack
    # The disc touches the corner, and neither there nor on its way in does it meet wood.
    assert dist(relief.middle, ring[2]) == pytest.approx(radius)
    wood = drawn.buffer(-slack)
    way = LineString(relief.way_in)
    assert way.distance(wood) >= radius * (1 - 1e-6)
    # And it leaves none: the void near the corner is what such discs sweep.
    void = (
        Polygon(ring[1:4])
        .union(sharp.difference(drawn))
        .intersection(corner.buffer(relief.reach, 64))
    )
    x, y = relief.axis
    swept = way.buffer(radius * (1 + 1e-6), 2000)
    for side in (-1, 1):
        # Then along each edge, touching it.
        turn = side * between / 2
        ex, ey = x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)
        nx, ny = side * ey, -side * ex
        touching = [
            (corner.x + along * ex + radius * nx, corner.y + along * ey + radius * ny)
            for along in (radius / tan(between / 2), 50 * radius)
        ]
        swept = swept.union(LineString(touching).buffer(radius * (1 + 1e-6), 2000))
    assert void.difference(swept).area < 1e-4 * radius * radius
