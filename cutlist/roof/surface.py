"""One surface from many roofs: the highest of them everywhere, and the lines its faces meet in.

A wing has a convex plan and a face for each sloped side; its height is the least of its faces'.
The roof is the highest of its wings. Within a wing faces so meet in ridges and hips, between wings
in valleys; what lies under another wing is no part of the surface.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, pairwise
from math import dist, hypot
from typing import Literal

from shapely import LineString, MultiPolygon, Polygon, set_precision, union_all
from shapely import Point as PlanPoint
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from cutlist.geometry.outline import Line, Point, clip
from cutlist.geometry.space import Vector
from cutlist.roof.face import Face
from cutlist.tolerance import ON_PLANE, PARALLEL, SAME_POINT, SAME_SHAPE

EdgeKind = Literal["ridge", "hip", "valley"]

Interval = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Wing:
    """One roof of several: its sloped sides, and the lines past which it does not reach.

    `faces`: a face for each sloped side. `limits`: plan lines of the ends that have no slope,
    beyond which it stops. `rakes`: those of these lines to which a ridge runs at gables. `key`: its
    table's in the job file. `is_mitred`: whether its hips and ridges are mitred to each other where
    they meet, in place of commons under them. `is_free`: whether its eaves and rakes may stand in
    the air above what it is laid on.
    """

    name: str
    faces: tuple[Face, ...]
    limits: tuple[Line, ...]
    rakes: tuple[Line, ...] = ()
    key: str = "roof"
    is_mitred: bool = False
    is_free: bool = False

    @property
    def is_shed(self) -> bool:
        """Whether it is one slope only."""
        return len(self.faces) == 1

    @cached_property
    def ring(self) -> list[Point]:
        """Corners of its plan, out to the eaves, counter-clockwise."""
        lines = [*self.limits, *(eave_line(face) for face in self.faces)]
        far = 4 * max(
            abs(c) for f in self.faces for c in (f.corner.x, f.corner.y, f.length, f.overhang)
        )
        far += 4 * max(abs(line.c) / hypot(line.a, line.b) for line in lines)
        ring = [(-far, -far), (far, -far), (far, far), (-far, far)]
        for line in lines:
            ring = clip(ring, line)
        return ring

    @property
    def edges(self) -> BaseGeometry:
        """Its eaves and rakes in plan."""
        own = [*self.rakes, *(eave_line(face) for face in self.faces)]
        sides = zip(self.ring, [*self.ring[1:], self.ring[0]], strict=True)
        return union_all(
            [
                LineString(side)
                for side in sides
                if any(all(abs(line.excess(end)) < ON_PLANE for end in side) for line in own)
            ]
        )

    def cell(self, face: Face) -> list[Point]:
        """Return the part of its plan where one of its faces is the lowest."""
        ring = self.ring
        for other in self.faces:
            if other is not face:
                ring = clip(ring, lower_line(other, face))
        return ring

    def has_rake_at(self, point: Vector) -> bool:
        """Tell whether a plan point lies at the edge of a gable."""
        return any(abs(line.excess((point.x, point.y))) < SAME_SHAPE for line in self.rakes)

    def height(self, point: Point) -> float:
        """Return the height of its faces over a point of the plan."""
        return height_at(self.face_over(point), point)

    def face_over(self, point: Point) -> Face:
        """Return the face that is the lowest over a point of the plan."""
        return min(self.faces, key=lambda face: height_at(face, point))


def eave_line(face: Face) -> Line:
    """Return the plan line of a face's eave; outside lies beyond."""
    edge = face.point(0.0, -face.overhang, 0.0)
    out = -face.uphill
    return Line("eave", out.x, out.y, out.x * edge.x + out.y * edge.y)


def height_at(face: Face, point: Point) -> float:
    """Return the height of a face's plane over a point of the plan."""
    return face.corner.z + face.top(face.run(Vector(*point, 0.0)))


def is_one_place(one: Vector, other: Vector) -> bool:
    """Tell whether two ends of lines are one point of the surface."""
    return (one - other).length() < SAME_SHAPE


def lower_line(one: Face, other: Face) -> Line:
    """Return the plan line in which two faces meet; where the first is lower lies beyond."""
    a, b = (
        other.pitch * getattr(other.uphill, axis) - one.pitch * getattr(one.uphill, axis)
        for axis in ("x", "y")
    )
    return Line("meeting", a, b, height_at(one, (0.0, 0.0)) - height_at(other, (0.0, 0.0)))


@dataclass(frozen=True, kw_only=True)
class Visible:
    """A face with the parts of it that are seen: polygons in plan, counter-clockwise.

    Faces of several wings that lie in one plane and touch are one.
    """

    face: Face
    parts: tuple[Polygon, ...]
    merged: tuple[Face, ...]

    @property
    def area(self) -> float:
        """Area in plan."""
        return float(sum(part.area for part in self.parts))

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """Return the edges of all parts, the face on their left."""
        for part in self.parts:
            for ring in (part.exterior, *part.interiors):
                yield from pairwise([(x, y) for x, y, *_ in ring.coords])


@dataclass(frozen=True, kw_only=True)
class Edge:
    """A straight line in which two faces of the surface meet; `start` is its lower end."""

    kind: EdgeKind
    faces: tuple[Face, Face]
    start: Vector
    end: Vector

    @property
    def is_level(self) -> bool:
        """Whether both ends are at one height."""
        return abs(self.end.z - self.start.z) < SAME_SHAPE


@dataclass(frozen=True, kw_only=True)
class Surface:
    """The highest of several wings."""

    wings: tuple[Wing, ...]
    visible: tuple[Visible, ...]

    @cached_property
    def outline(self) -> BaseGeometry:
        """The plan of the whole, out to eaves and rakes."""
        return union_all([Polygon(wing.ring) for wing in self.wings], grid_size=SAME_POINT)

    @cached_property
    def border(self) -> BaseGeometry:
        """Where its eaves and rakes may end: at the edge of the whole, and those of free wings."""
        free = [wing.edges for wing in self.wings if wing.is_free]
        whole: BaseGeometry = self.outline.boundary
        return union_all([whole, *free]) if free else whole

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """Every ridge, hip and valley."""
        return tuple(
            edge for one, other in combinations(self.visible, 2) for edge in _edges(one, other)
        )

    @property
    def hidden(self) -> Iterator[Wing]:
        """Each wing that adds nothing: under the others, or in one plane with them."""
        groups = [{face.name for face in seen.merged} for seen in self.visible]
        for wing in self.wings:
            own = {face.name for face in wing.faces}
            if any(group <= own for group in groups):
                continue
            rest = union_all([Polygon(w.ring) for w in self.wings if w is not wing])
            if Polygon(wing.ring).within(rest.buffer(SAME_SHAPE)):
                yield wing

    @property
    def split(self) -> Iterator[tuple[Face, Face, Vector]]:
        """Each two faces in one plane over plates of two heights, and where they touch."""
        for one, other in combinations(self.visible, 2):
            if _is_one_plane(one.face, other.face):
                at = _touching(MultiPolygon(one.parts), MultiPolygon(other.parts))
                if at is not None:
                    yield one.face, other.face, _over(one.face, (at.x, at.y))

    @cached_property
    def steps(self) -> tuple[Vector, ...]:
        """The middle of each edge at which a face ends in the air, over or under its neighbour."""
        found: list[Vector] = []
        for seen in self.visible:
            for start, end in seen.segments():
                found += self._steps_along(seen, start, end)
        return tuple(found)

    def _steps_along(self, seen: Visible, start: Point, end: Point) -> Iterator[Vector]:
        """Return the middles of what is neither met by another face nor at an eave or rake."""
        along, length = _direction(start, end)
        covered = [
            _span(start, along, edge)
            for edge in self.edges
            if seen.face in edge.faces
            and all(_off(start, along, (p.x, p.y)) < ON_PLANE for p in (edge.start, edge.end))
        ]
        for begin, stop in left_over((0.0, length), covered):
            middle = _at(start, along, (begin + stop) / 2)
            border = LineString([_at(start, along, t) for t in (begin, stop)])
            if not border.within(self.border.buffer(SAME_SHAPE)):
                yield Vector(*middle, height_at(seen.face, middle))


def surface_of(wings: Sequence[Wing]) -> Surface:
    """Return the surface of several wings.

    Polygons of the faces tile the plan to SAME_POINT.
    """
    cells = [
        (face, _seen(wing, face, [w for w in wings if w is not wing]))
        for wing in wings
        for face in wing.faces
    ]
    return Surface(
        wings=tuple(wings),
        visible=tuple(_merged(group) for group in _coplanar(cells) if not _is_hidden(group)),
    )


def _seen(wing: Wing, face: Face, others: Iterable[Wing]) -> BaseGeometry:
    """Return the part of a face's cell over which no other wing is higher."""
    hidden = []
    for other in others:
        for above in other.faces:
            if not _is_one_plane(above, face):
                hidden.append(_shape(clip(other.cell(above), lower_line(above, face))))
    cell = _shape(wing.cell(face))
    return cell.difference(union_all(hidden, grid_size=SAME_POINT), grid_size=SAME_POINT)


def _shape(ring: Sequence[Point]) -> Polygon:
    """Return a clipped ring as a polygon, without corners that rounding has doubled."""
    kept = [p for i, p in enumerate(ring) if dist(p, ring[i - 1]) > SAME_POINT]
    return set_precision(Polygon(kept), SAME_POINT) if len(kept) > 2 else Polygon()


def _is_one_plane(one: Face, other: Face) -> bool:
    a, b = one.plane, other.plane
    return (a.normal - b.normal).length() < PARALLEL and abs(a.offset - b.offset) < SAME_POINT


def _is_one_slope(one: Face, other: Face) -> bool:
    """Tell whether two faces lie in one plane over plates in one line."""
    return _is_one_plane(one, other) and abs(one.corner.z - other.corner.z) < SAME_POINT


Cell = tuple[Face, BaseGeometry]


def _coplanar(cells: list[Cell]) -> list[list[Cell]]:
    """Group cells that lie in one plane and share more than a point."""
    groups: list[list[Cell]] = []
    for face, seen in cells:
        joined = [
            group
            for group in groups
            if any(_is_one_slope(face, f) and _touch(seen, s) for f, s in group)
        ]
        groups = [group for group in groups if not any(group is j for j in joined)]
        groups.append([*(cell for group in joined for cell in group), (face, seen)])
    return groups


def _touch(one: BaseGeometry, other: BaseGeometry) -> bool:
    return _touching(one, other) is not None


def _touching(one: BaseGeometry, other: BaseGeometry) -> PlanPoint | None:
    """Return the middle of what two shapes share; nothing where it is no more than a point."""
    shared = one.buffer(SAME_SHAPE).intersection(other.buffer(SAME_SHAPE))
    return shared.centroid if shared.area > 100 * SAME_SHAPE**2 else None


def _is_hidden(group: list[Cell]) -> bool:
    return all(seen.area < SAME_SHAPE for _, seen in group)


def _merged(group: list[Cell]) -> Visible:
    """Return cells of one plane as one face, its plate from the first to the last of theirs."""
    faces = tuple(face for face, _ in group)
    first = faces[0]
    ends = [
        first.station(face.point(station, 0.0, 0.0))
        for face in faces
        for station in (0.0, face.length)
    ]
    face = first
    if len(faces) > 1:
        face = replace(first, corner=first.point(min(ends), 0.0, 0.0), length=max(ends) - min(ends))
    shape = union_all([seen for _, seen in group], grid_size=SAME_POINT)
    pieces = getattr(shape, "geoms", [shape])
    parts = tuple(
        orient(piece) for piece in pieces if isinstance(piece, Polygon) and piece.area > SAME_SHAPE
    )
    return Visible(face=face, parts=parts, merged=faces)


def _edges(one: Visible, other: Visible) -> Iterator[Edge]:
    """Return the straight lines in which two faces meet."""
    line = lower_line(other.face, one.face)
    size = hypot(line.a, line.b)
    if size < PARALLEL:
        return
    origin = (line.a * line.c / size**2, line.b * line.c / size**2)
    along = (-line.b / size, line.a / size)
    mine, theirs = (_on_line(seen, origin, along) for seen in (one, other))
    for begin, end in _shared(mine, theirs):
        ends = [_over(one.face, _at(origin, along, t)) for t in (begin, end)]
        start, stop = sorted(ends, key=lambda p: round(p.z / SAME_POINT))
        level = abs(start.z - stop.z) < SAME_SHAPE
        inside = _inside(one, origin, along, (begin + end) / 2)
        lower = height_at(one.face, inside) < height_at(other.face, inside)
        yield Edge(
            kind=("ridge" if level else "hip") if lower else "valley",
            faces=(one.face, other.face),
            start=start,
            end=stop,
        )


def _span(origin: Point, along: Point, edge: Edge) -> Interval:
    """Return from where to where along a line an edge on it runs."""
    one, other = (_along(origin, along, (p.x, p.y)) for p in (edge.start, edge.end))
    return min(one, other), max(one, other)


def _over(face: Face, point: Point) -> Vector:
    return Vector(*point, height_at(face, point))


def _inside(seen: Visible, origin: Point, along: Point, t: float) -> Point:
    """Return a point of a face near its border on a line."""
    for start, end in seen.segments():
        places = sorted((_along(origin, along, start), _along(origin, along, end)))
        on_line = max(_off(origin, along, start), _off(origin, along, end)) < ON_PLANE
        if on_line and places[0] <= t <= places[1]:
            (dx, dy), _ = _direction(start, end)
            x, y = _at(origin, along, t)
            return x - dy, y + dx
    raise AssertionError("the line was found among the face's edges")


def _on_line(seen: Visible, origin: Point, along: Point) -> list[Interval]:
    """Return from where to where along a line a face's border lies on it."""
    found = []
    for start, end in seen.segments():
        if max(_off(origin, along, start), _off(origin, along, end)) < ON_PLANE:
            begin, stop = sorted((_along(origin, along, start), _along(origin, along, end)))
            found.append((begin, stop))
    return found


def _shared(mine: list[Interval], theirs: list[Interval]) -> list[Interval]:
    """Return what two sets of intervals share, those that touch as one."""
    pieces = sorted(
        (max(a, c), min(b, d))
        for a, b in mine
        for c, d in theirs
        if min(b, d) - max(a, c) > SAME_SHAPE
    )
    return joined(pieces)


def joined(pieces: Iterable[Interval]) -> list[Interval]:
    """Return intervals in order, those that touch or overlap as one."""
    whole: list[Interval] = []
    for begin, end in sorted(pieces):
        if whole and begin - whole[-1][1] < SAME_SHAPE:
            whole[-1] = (whole[-1][0], max(end, whole[-1][1]))
        else:
            whole.append((begin, end))
    return whole


def left_over(whole: Interval, covered: Iterable[Interval]) -> Iterator[Interval]:
    """Return what of an interval others leave uncovered, but for what is too short to see."""
    at = whole[0]
    for begin, end in joined(covered):
        if min(begin, whole[1]) - at > 4 * SAME_SHAPE:
            yield at, min(begin, whole[1])
        at = max(at, end)
    if whole[1] - at > 4 * SAME_SHAPE:
        yield at, whole[1]


def _direction(start: Point, end: Point) -> tuple[Point, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    return (dx / length, dy / length), length


def _at(origin: Point, along: Point, t: float) -> Point:
    return origin[0] + along[0] * t, origin[1] + along[1] * t


def _along(origin: Point, along: Point, point: Point) -> float:
    return (point[0] - origin[0]) * along[0] + (point[1] - origin[1]) * along[1]


def _off(origin: Point, along: Point, point: Point) -> float:
    return abs((point[0] - origin[0]) * along[1] - (point[1] - origin[1]) * along[0])
