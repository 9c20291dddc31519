"""Reliefs for a round tool: what it must take beyond an inside corner to reach the corner itself.

A contour is a closed outline of straight and circular edges, counter-clockwise. Each vertex is
(x, y, bulge); the bulge is the tangent of a quarter of the angle that the arc to the next vertex
turns through, negative where it runs clockwise, and 0 for a straight edge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, dist, hypot, pi, sin, tan

from shapely import LineString

from cutlist.geometry.outline import Point
from cutlist.tolerance import SAME_POINT, SAME_SHAPE

Contour = tuple[tuple[float, float, float], ...]

SHORTEST_EDGE = 10 * SAME_SHAPE
"""Least of an edge that a relief leaves standing, so that no edge shrinks to a point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """One inside corner of a ring and the disc of the tool that touches it from the void.

    `corner` is the number of its vertex, `void` the angle between its edges outside the wood [rad]
    and `axis` the unit vector that halves it. `room` is how much of either edge is free for
    `reach`; `clearance` the distance from the disc's middle to the nearest other edge.
    """

    corner: int
    at: Point
    void: float
    axis: Point
    radius: float
    room: float = 0.0
    clearance: float = 0.0

    @property
    def reach(self) -> float:
        """How far along both edges the tool cuts into them, measured from the corner.

        The disc meets the edges 2 r cos(void / 2) away. Into a corner sharper than a right angle
        it also comes through a neck of its own width, r / sin(void / 2) away.
        """
        half = self.void / 2
        return self.radius / sin(half) if self.neck else 2 * self.radius * cos(half)

    @property
    def neck(self) -> float:
        """Length of the neck; 0 where there is none."""
        length = self.radius * (1 / tan(self.void / 2) - 1)
        return length if length > SHORTEST_EDGE else 0.0

    @property
    def middle(self) -> Point:
        """The middle of the tool where it touches the corner."""
        return _along(self.at, self.axis, self.radius)

    @property
    def way_in(self) -> tuple[Point, Point]:
        """Where the tool's middle goes within the relief, from its mouth to the corner."""
        return _along(self.middle, self.axis, self.neck), self.middle

    @property
    def fits(self) -> bool:
        """Whether the relief stays within its two edges and cuts no other."""
        return (
            self.reach + SHORTEST_EDGE <= self.room and self.clearance >= self.radius - SAME_POINT
        )

    @property
    def area(self) -> float:
        """Area of the wood that is taken: two segments of the disc, or half of it and the neck."""
        if self.neck:
            return self.radius**2 * (pi / 2 - 2 + 1 / tan(self.void / 2))
        return self.radius**2 * (pi - self.void - sin(self.void))

    def vertices(self) -> Contour:
        """Return what stands in the contour instead of the corner."""
        (ax, ay), r, half, reach = self.axis, self.radius, self.void / 2, self.reach
        # The wood is to the left of its outline, so the edge before the corner is turned half the
        # void clockwise from the axis, the edge behind it as much counter-clockwise.
        before, behind = _turned(self.axis, -half), _turned(self.axis, half)
        start, end = _along(self.at, before, reach), _along(self.at, behind, reach)
        if not self.neck:
            return ((*start, -1 / tan(half)), (*end, 0.0))
        first, second = (_along(self.middle, side, r) for side in ((ay, -ax), (-ay, ax)))
        return ((*start, 0.0), (*first, -1.0), (*second, 0.0), (*end, 0.0))


def reliefs(ring: Sequence[Point], radius: float) -> tuple[Relief, ...]:
    """Return the relief of every inside corner in which the tool would leave wood.

    Rings are counter-clockwise. Two reliefs on one edge share its length.
    """
    found = [relief for i in range(len(ring)) for relief in _relief(ring, i, radius)]
    reach = {relief.corner: relief.reach for relief in found}
    last = len(ring) - 1

    def room(relief: Relief) -> float:
        beside = ((relief.corner - 1) % len(ring), (relief.corner + 1) % len(ring))
        return min(dist(relief.at, ring[i]) - reach.get(i, 0.0) for i in beside)

    def clearance(relief: Relief) -> float:
        others = [ring[(relief.corner + 1 + i) % len(ring)] for i in range(last)]
        return float(LineString(others).distance(LineString(relief.way_in)))

    return tuple(replace(r, room=room(r), clearance=clearance(r)) for r in found)


def relieved(ring: Sequence[Point], radius: float | None) -> Contour:
    """Return a ring with the reliefs that fit; without a tool, or where none fits, as it is."""
    new = {r.corner: r.vertices() for r in (reliefs(ring, radius) if radius else ()) if r.fits}
    return tuple(vertex for i, (x, y) in enumerate(ring) for vertex in new.get(i, ((x, y, 0.0),)))


def _relief(ring: Sequence[Point], corner: int, radius: float) -> Iterator[Relief]:
    (px, py), (x, y), (nx, ny) = ring[corner - 1], ring[corner], ring[(corner + 1) % len(ring)]
    ux, uy = px - x, py - y
    wx, wy = nx - x, ny - y
    void = atan2(ux * wy - uy * wx, ux * wx + uy * wy)
    # A tool that touches both edges leaves this much before the corner.
    if void <= 0 or radius * (1 / sin(void / 2) - 1) < SAME_SHAPE:
        return
    long = hypot(ux, uy)
    yield Relief(
        corner=corner,
        at=(x, y),
        void=void,
        axis=_turned((ux / long, uy / long), void / 2),
        radius=radius,
    )


def _turned(vector: Point, angle: float) -> Point:
    """Return a vector turned counter-clockwise [rad]."""
    (x, y), c, s = vector, cos(angle), sin(angle)
    return (x * c - y * s, x * s + y * c)


def _along(point: Point, direction: Point, distance: float) -> Point:
    return (point[0] + distance * direction[0], point[1] + distance * direction[1])
