"""Closed outlines: what is left of a rectangle after cuts, with each edge's name kept.

An outline runs counter-clockwise, starts at its lowest point of least x and does not repeat it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import dist, hypot

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from cutlist.errors import GeometryError
from cutlist.tolerance import ON_PLANE, SAME_POINT

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """All points with a x + b y = c, (a, b) of any length; beyond it a x + b y is more."""

    name: str
    a: float
    b: float
    c: float

    def distance(self, point: Point) -> float:
        """Return how far the point lies beyond the line."""
        return self.excess(point) / hypot(self.a, self.b)

    def excess(self, point: Point) -> float:
        """Return a x + b y - c: positive beyond the line, in its own scale."""
        return self.a * point[0] + self.b * point[1] - self.c

    def flipped(self) -> Line:
        """Return the same line with its two sides exchanged."""
        return Line(self.name, -self.a, -self.b, -self.c)


@dataclass(frozen=True)
class Outline:
    """A closed polygon; `edges[i]` names what made the edge from `points[i]` to the next."""

    points: tuple[Point, ...]
    edges: tuple[str, ...]

    @cached_property
    def polygon(self) -> Polygon:
        """The outline as a shapely polygon, counter-clockwise."""
        return Polygon(self.points)

    def segments(self, name: str) -> tuple[tuple[Point, Point], ...]:
        """Return the edges of that name, each as its two end points, in the outline's order."""
        ends = self.points[1:] + self.points[:1]
        return tuple(
            (start, end)
            for start, end, edge in zip(self.points, ends, self.edges, strict=True)
            if edge == name
        )

    def length(self, name: str) -> float:
        """Return the summed length of the edges of that name; 0 where there are none."""
        return sum(dist(start, end) for start, end in self.segments(name))

    def moved(self, shift: float) -> Outline:
        """Return the outline moved along x."""
        return Outline(tuple((x + shift, y) for x, y in self.points), self.edges)


def clip(ring: Sequence[Point], line: Line) -> list[Point]:
    """Return the part of a convex ring that does not lie beyond a line; empty where none is."""
    kept: list[Point] = []
    for start, end in zip(ring, [*ring[1:], *ring[:1]], strict=True):
        before, after = line.excess(start), line.excess(end)
        if before <= 0:
            kept.append(start)
        if before * after < 0:
            t = before / (before - after)
            kept.append((start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])))
    return kept


def cut_outline(
    box: tuple[float, float, float, float],
    ends: Iterable[Line],
    notches: Iterable[Sequence[Line]],
) -> Outline:
    """Return what is left of a rectangle after end cuts and notches.

    `box` is (least x, least y, most x, most y); its long edges are named `bottom` and `top`, its
    short ones `start` and `stop`. An end cut takes all beyond its line, a notch all that lies
    beyond every one of its lines. A line that has no wood before it, as the heel's of a rafter
    without a tail, cuts nothing: rounding would leave a sliver there. Raises GeometryError where
    nothing or several pieces are left.
    """
    x0, y0, x1, y1 = box
    ends = list(ends)
    ring = rectangle = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    for line in ends:
        ring = clip(ring, line)
    left: BaseGeometry = Polygon(ring)
    notches = [
        [line for line in notch if any(line.distance(p) < -SAME_POINT for p in ring)]
        for notch in notches
    ]
    margin = y1 - y0
    around = [
        (rectangle[0][0] - margin, y0 - margin),
        (rectangle[1][0] + margin, y0 - margin),
        (rectangle[2][0] + margin, y1 + margin),
        (rectangle[3][0] - margin, y1 + margin),
    ]
    for notch in notches:
        removed = around
        for line in notch:
            removed = clip(removed, line.flipped())
        if len(removed) >= 3:
            left = left.difference(Polygon(removed))
    # Where two cuts cross on an edge, rounding may leave a line or a sliver beside the wood.
    parts = shapely.get_parts(left)
    pieces = [p for p in parts if isinstance(p, Polygon) and p.area > ON_PLANE]
    if not pieces:
        raise GeometryError("the cuts leave nothing of the stick")
    if len(pieces) > 1:
        raise GeometryError("the cuts part the stick in pieces")
    (wood,) = pieces
    if wood.interiors:
        raise GeometryError("a notch does not reach the stick's edge")
    # Sawn faces first: where bevels meet in the top edge, they name what lies on it too.
    sides = [
        *ends,
        *(line for notch in notches for line in notch),
        Line("bottom", 0, -1, -y0),
        Line("top", 0, 1, y1),
        Line("start", -1, 0, -x0),
        Line("stop", 1, 0, x1),
    ]
    points = _tidy([(x, y) for x, y, *_ in orient(wood).exterior.coords[:-1]])
    return Outline(points, _edge_names(points, sides))


def _tidy(ring: list[Point]) -> tuple[Point, ...]:
    """Drop doubled and straight-through vertices, then start at the lowest of the leftmost."""
    changed = True
    while changed and len(ring) > 3:
        changed = False
        for i, point in enumerate(ring):
            before, after = ring[i - 1], ring[(i + 1) % len(ring)]
            if dist(before, point) < SAME_POINT or _is_straight(before, point, after):
                del ring[i]
                changed = True
                break
    least = min(x for x, _ in ring)
    first = min(
        (i for i, (x, _) in enumerate(ring) if x - least < SAME_POINT), key=lambda i: ring[i][1]
    )
    return tuple(ring[first:] + ring[:first])


def _is_straight(before: Point, point: Point, after: Point) -> bool:
    """Tell whether the middle point lies on the line through its neighbours."""
    ax, ay = after[0] - before[0], after[1] - before[1]
    px, py = point[0] - before[0], point[1] - before[1]
    return abs(ax * py - ay * px) < SAME_POINT * max(hypot(ax, ay), SAME_POINT)


def _edge_names(points: tuple[Point, ...], sides: list[Line]) -> tuple[str, ...]:
    """Name each edge by the line that both its ends lie on; the first where several do."""
    ends = points[1:] + points[:1]
    names = []
    for start, end in zip(points, ends, strict=True):
        off = [max(abs(s.distance(start)), abs(s.distance(end))) for s in sides]
        side = min(zip(off, sides, strict=True), key=lambda pair: round(pair[0] / SAME_POINT))[1]
        names.append(side.name)
    return tuple(names)
