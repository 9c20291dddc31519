"""Points of a roof in which hips and ridges meet, each stick mitred to its neighbours there.

Around such a point every stick is cut on two plumb planes, one to each neighbour. A plane passes
through the line in which the facing sides of both sticks meet, and all planes through one centre,
so that the sticks share the room there without a gap. The centre is the point itself wherever each
stick then ends in a point, as between alike sticks, whose angles the planes halve; else it is as
far toward the middle of the room as makes them end so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2

from cutlist.errors import JobError
from cutlist.geometry.space import GROUND, ORIGIN, UP, Plane, Vector, meet
from cutlist.geometry.stick import Cut, end_cut
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip, UpperHip
from cutlist.roof.placed import place
from cutlist.roof.points import corners_for_a_point
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.surface import Edge, Surface, Wing, is_one_place
from cutlist.tolerance import ON_PLANE, PARALLEL, SAME_SHAPE

LEAST_POINT = 0.02
"""Sine of the least angle between the two cuts of a stick's end, and of what it misses of half;
share of a stick's thickness that its point is at least inside its sides."""

Cuts = tuple[Cut, ...]


@dataclass(frozen=True, kw_only=True)
class MitredLine:
    """A hip or ridge with what stands there: a stick's line, its edge of the surface, its wing.

    `stops`: its cuts at an end that lies on a slope of another roof; none at its other ends.
    """

    wing: Wing
    stick: Hip | RidgeLine
    edge: Edge
    stops: tuple[Cuts, Cuts] = ((), ())

    @property
    def name(self) -> str:
        """What cuts made to it lie against."""
        return self.stick.name if isinstance(self.stick, RidgeLine) else self.stick.line

    @property
    def ends(self) -> tuple[Vector, Vector]:
        """Both ends of its edge; a hip's lower one first."""
        return self.edge.start, self.edge.end

    @cached_property
    def along(self) -> Vector:
        """Unit level direction from start to end."""
        way = self.edge.end - self.edge.start
        return Vector(way.x, way.y, 0.0).unit()

    @property
    def length(self) -> float:
        """Length in plan."""
        return (self.edge.end - self.edge.start).dot(self.along)

    def ends_at(self, point: Vector) -> bool:
        """Tell whether a point is one of its ends."""
        return any(is_one_place(point, end) for end in self.ends)

    def away(self, point: Vector) -> Vector:
        """Return the level direction in which it leaves one of its ends."""
        return self.along if is_one_place(point, self.edge.start) else -self.along


def mitred_wing(surface: Surface, edge: Edge) -> Wing | None:
    """Return the wing within which an edge is mitred to its neighbours; None if it is not."""
    names = {face.name for face in edge.faces}
    for wing in surface.wings:
        if wing.is_mitred and names <= {face.name for face in wing.faces}:
            return wing
    return None


def is_ridge(surface: Surface, edge: Edge) -> bool:
    """Tell whether a ridge board lies level in both slopes of an edge.

    Between walls of a plan of corners that are not quite parallel none can: there is a hip.
    """
    if mitred_wing(surface, edge) is None:
        return edge.kind == "ridge"
    one, other = edge.faces
    return (one.uphill + other.uphill).length() * (edge.end - edge.start).length() < ON_PLANE


def mitred_lines(job: Job, surface: Surface, ridges: Iterable[RidgeLine]) -> list[MitredLine]:
    """Return what stands in each line within wings whose lines are mitred to each other."""
    found = []
    for edge in surface.edges:
        wing = mitred_wing(surface, edge)
        if wing is None:
            continue
        if is_ridge(surface, edge):
            for ridge in ridges:
                if ridge.faces == edge.faces and ridge.ends_at(edge.start):
                    along = replace(edge, start=ridge.start, end=ridge.end)
                    found.append(MitredLine(wing=wing, stick=ridge, edge=along))
            continue
        hip = Hip.between(job, *edge.faces)
        if hip.level.dot(edge.end - edge.start) < 0:
            edge = replace(edge, start=edge.end, end=edge.start)
        if not _starts_at_eaves(edge):
            hip = UpperHip.starting_at(edge.start, hip)
        found.append(MitredLine(wing=wing, stick=hip, edge=edge))
    return found


def mitres(job: Job, lines: Sequence[MitredLine]) -> list[tuple[Cuts, Cuts]]:
    """Return the cuts of each line at its start and its end: to its neighbours, or its stops.

    There are none at the eaves. Raises JobError, with the place in plan, where there is no room.
    """
    problems = [text for line in lines for text in _past_a_wall(job, line)]
    # Directions of lines shorter than that would be those of rounding.
    short = [line for line in lines if line.length < line.stick.size.thickness]
    if problems := [*problems, *_too_near(job, short, lines)]:
        raise JobError(problems)
    corners = [corner for point in _points(lines) for corner in _around(job, point, lines)]
    _must_have_room(job, lines, corners)

    def cuts(line: MitredLine, stops: Cuts, end: Vector) -> Cuts:
        own = (c for c in corners if line in (c.one, c.other) and is_one_place(c.point, end))
        return stops or tuple(corner.cut(line) for corner in own)

    return [
        (cuts(line, line.stops[0], line.edge.start), cuts(line, line.stops[1], line.edge.end))
        for line in lines
    ]


def _starts_at_eaves(edge: Edge) -> bool:
    return all(abs(face.run(edge.start) + face.overhang) < SAME_SHAPE for face in edge.faces)


def _points(lines: Iterable[MitredLine]) -> list[Vector]:
    """Return the ends of lines in which they meet, each place once.

    None does on another roof's slope, nor at a gable, where a ridge ends square.
    """
    found: list[Vector] = []
    for line in lines:
        ends = (
            end
            for end, stops in zip(line.ends, line.stops, strict=True)
            if not stops and not line.wing.has_rake_at(end)
        )
        found += [end for end in ends if not any(is_one_place(end, other) for other in found)]
    return found


@dataclass(frozen=True, kw_only=True)
class _Corner:
    """Two neighbours at a point, and where their sides toward the face between them meet.

    `centre`: where all planes around the point meet.
    """

    point: Vector
    centre: Vector
    one: MitredLine
    other: MitredLine
    face: Face
    side: Vector

    def cut(self, line: MitredLine) -> Cut:
        """Return the cut of one of both: through the centre and where the sides meet."""
        clockwise = (self.side - self.centre).cross(UP)
        # The first of both stands clockwise of the plane.
        normal, neighbour = (-clockwise, self.other) if line is self.one else (clockwise, self.one)
        return end_cut("cheek", Plane.through(self.centre, normal)).against(neighbour.name)


def _around(job: Job, point: Vector, lines: Sequence[MitredLine]) -> Iterator[_Corner]:
    """Return each two neighbours around a point, counter-clockwise, but none at the eaves."""

    def direction(line: MitredLine) -> float:
        away = line.away(point)
        return atan2(away.y, away.x)

    ring = sorted((line for line in lines if line.ends_at(point)), key=direction)
    if (
        len(ring) == 1
        and _starts_at_eaves(ring[0].edge)
        and is_one_place(point, ring[0].edge.start)
    ):
        return
    lone = ring[0] if len(ring) == 1 else None
    if lone and isinstance(lone.stick, UpperHip) and is_one_place(point, lone.stick.low):
        raise JobError([_falling(job, lone, point)])
    beside = list(zip(ring, [*ring[1:], ring[0]], strict=True))
    faces = [[f for f in one.edge.faces if f in other.edge.faces] for one, other in beside]
    turns = (one.away(point).cross(other.away(point)).z for one, other in beside)
    if len(ring) < 3 or not all(faces) or min(turns) < PARALLEL:
        raise JobError([_unframed(job, ring[0].wing, point)])
    sides = [
        meet(one.stick.side(shared[0]), other.stick.side(shared[0]), GROUND)
        for (one, other), shared in zip(beside, faces, strict=True)
    ]
    # The surface's own points are rounded.
    exact = meet(*(shared[0].plane for shared in faces[:3]))
    level = Vector(exact.x, exact.y, 0.0)
    middle = sum(sides, start=ORIGIN) * (1 / len(sides))
    centres = (level + (middle - level) * (step / 4) for step in range(5))
    centre = next((c for c in centres if _is_inside(c, sides) and _is_under(c, ring)), None)
    if centre is None:
        raise JobError([_unframed(job, ring[0].wing, point)])
    for (one, other), shared, side in zip(beside, faces, sides, strict=True):
        yield _Corner(point=point, centre=centre, one=one, other=other, face=shared[0], side=side)


def _is_inside(centre: Vector, ring: Sequence[Vector]) -> bool:
    """Tell whether points turn counter-clockwise around a centre, from each to the next under half.

    Then the stick between two of them is cut to a point there.
    """
    ways = [(point - centre).unit() for point in ring]
    return all(
        one.cross(other).z > LEAST_POINT
        for one, other in zip(ways, [*ways[1:], ways[0]], strict=True)
    )


def _is_under(centre: Vector, lines: Iterable[MitredLine]) -> bool:
    """Tell whether a centre stands inside every stick, were they drawn on past it."""
    return all(
        line.stick.side(face).distance(centre) > LEAST_POINT * line.stick.size.thickness
        for line in lines
        for face in line.edge.faces
    )


def _must_have_room(job: Job, lines: Sequence[MitredLine], corners: Sequence[_Corner]) -> None:
    """Refuse points too near each other, or too near a wall, for the sticks between them."""
    problems = []
    nearest: dict[Vector, _Corner] = {}
    for corner in sorted(corners, key=lambda corner: corner.face.run(corner.side)):
        nearest.setdefault(corner.point, corner)
    for corner in nearest.values():
        if corner.face.run(corner.side) < job.plate.width:
            problems.append(
                f"{_key(job, corner.one.wing)}: hips meet at {place(job, corner.point)}, too near "
                f"the wall of {corner.face.name}; make that side longer or its pitch less steep"
            )
    short = [
        line
        for line in lines
        if _shortest_side(line, corners) < max(line.stick.size.thickness, _reach(line, corners) / 2)
    ]
    problems += _too_near(job, short, lines)
    if problems:
        raise JobError(problems)


def _shortest_side(line: MitredLine, corners: Sequence[_Corner]) -> float:
    """Return how long the shorter of a stick's sides is, in plan; less than 0 if there is none."""
    found = []
    for face in line.edge.faces:
        start, end = (_side_end(line, face, number, corners) for number in (0, 1))
        found.append((end - start).dot(line.along))
    return min(found)


def _side_end(line: MitredLine, face: Face, number: int, corners: Sequence[_Corner]) -> Vector:
    """Return where a stick's side toward a face comes to its start or its end, in plan."""
    point = line.ends[number]
    for corner in corners:
        if (
            corner.face is face
            and line in (corner.one, corner.other)
            and is_one_place(corner.point, point)
        ):
            return corner.side
    side = line.stick.side(face)
    on_side = point - side.normal * side.distance(point)
    stops = [cut.planes[0].plane for cut in line.stops[number]]
    places = [-plane.distance(on_side) / plane.normal.dot(line.along) for plane in stops]
    if not places:
        return point
    return on_side + line.along * (min(places) if number else max(places))


def _reach(line: MitredLine, corners: Sequence[_Corner]) -> float:
    """Return how long a stick is from point to point, in plan."""
    own = (corner for corner in corners if line in (corner.one, corner.other))
    points = [*line.ends, *(p for corner in own for p in (corner.centre, corner.side))]
    places = [point.dot(line.along) for point in points]
    return max(places) - min(places)


def _past_a_wall(job: Job, line: MitredLine) -> Iterator[str]:
    """Tell of a hip that leaves its corner over the outside of one of its walls."""
    hip = line.stick
    if isinstance(hip, RidgeLine | UpperHip):
        return
    for face in line.edge.faces:
        into = face.point(face.length / 2, 0.0, 0.0) - hip.foot
        if hip.level.dot(into) - hip.level.dot(face.uphill) * into.dot(face.uphill) <= PARALLEL:
            yield (
                f"{line.wing.key}.pitches: the hip from the corner at {place(job, hip.foot)} would "
                f"run past the wall of {face.name}; bring the pitches on both its sides nearer to "
                "each other"
            )


def _too_near(job: Job, short: Sequence[MitredLine], lines: Sequence[MitredLine]) -> Iterator[str]:
    """Tell of lines too short for their sticks, and of corners that make their ends one."""
    told: set[str] = set()
    for line in short:
        own = [other for other in lines if other.wing is line.wing]
        points = [end for other in short if other in own for end in other.ends]
        near = corners_for_a_point(job, line.wing, points, [other.edge for other in own])
        way = f": in one point with {near}" if near and near not in told else ""
        told.add(near)
        start, end = (place(job, point) for point in line.ends)
        yield (
            f"{_key(job, line.wing)}: hips meet at {start} and at {end}, too near each other for "
            f"the {line.name} between; move a corner so that they meet in one point, or further "
            f"apart{way}"
        )


def _key(job: Job, wing: Wing) -> str:
    """Return the key of the job that moves the points in which hips of a wing meet."""
    if wing.key != "roof":
        return f"{wing.key}.corners"
    if job.roof.corners is not None:
        return "roof.corners"
    return "roof.pitches" if job.roof.pitches else "roof.length"


def _unframed(job: Job, wing: Wing, point: Vector) -> str:
    return (
        f"{_key(job, wing)}: hips and ridges of these thicknesses do not fit around "
        f"{place(job, point)}; move a corner, bring the pitches nearer to each other, or take "
        'hips and ridge of one thickness, the hips with top = "back"'
    )


def _falling(job: Job, line: MitredLine, point: Vector) -> str:
    return (
        f"{_key(job, line.wing)}: the {line.name} would fall to {place(job, point)}, into the roof "
        "that this wing opens into; let its walls run straight back or spread toward its mouth"
    )
