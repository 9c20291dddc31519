"""How far past its wall a roof runs until it is under another one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import dist, inf, isfinite

from cutlist.errors import JobError
from cutlist.geometry.outline import Line
from cutlist.geometry.space import Plane, Vector, meet
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.placed import Placed, place
from cutlist.roof.surface import Wing, eave_line, height_at, surface_of
from cutlist.tolerance import ON_PLANE, SAME_POINT, SAME_SHAPE


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """A line of a roof on past its wall: `way` makes a unit of level run, up or down.

    `length`: level, till it ends where slopes meet; infinite for one that goes on. `eave_of`: the
    slope whose eave it is.
    """

    start: Vector
    way: Vector
    length: float
    eave_of: Face | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far past its wall an end runs, and plan lines beside it past which nothing is seen.

    Slopes whose eaves spread are under the other roof past these lines.
    """

    past: float = 0.0
    beside: tuple[Line, ...] = ()


def reach(job: Job, p: Placed, wing: Wing, hosts: Sequence[Wing], end: int) -> Reach:
    """Return how far past its wall a joined end runs until it is under another wing.

    Its ridge, its hips and both its eaves are followed. Raises JobError where one never comes
    under another.
    """
    wall = p.line(end)
    past, beside = 0.0, []
    for line in _ways(p, wing, hosts, end):
        entry, host = min(
            ((_entry(host, line.start, line.way), host) for host in hosts),
            key=lambda found: found[0],
            default=(inf, wing),
        )
        if entry == inf and line.eave_of:
            continue  # Past the other roof's end: a step, told with its place.
        if entry == inf and not isfinite(line.length):
            raise JobError([_too_high(job, p, line.start)])
        stop = line.start + line.way * min(entry, line.length)
        past = max(past, wall.distance(stop))
        aside = line.way - wall.normal * line.way.dot(wall.normal)
        if line.eave_of and aside.length() > ON_PLANE:
            out = aside.unit()
            if all(out.dot(corner - stop) < 0 for corner in p.corners):
                under = host.face_over((stop.x, stop.y))
                beside.append(_beside(job, line.eave_of, under, wall, out, stop))
    return Reach(past=past, beside=tuple(beside))


def _beside(job: Job, face: Face, host: Face, wall: Plane, out: Vector, stop: Vector) -> Line:
    """Return the plan line past which a slope whose eave spreads is not seen.

    That is its valley on the other roof's slope, a hair outside, where the valley leans in: past
    it the slope would come out again where the other roof falls away. Else it is a line square to
    the wall from where the eave is under the other roof.
    """
    way = face.plane.normal.cross(host.plane.normal)
    way = Vector(way.x, way.y, 0.0)
    if way.length() > ON_PLANE and wall.normal.dot(way := way.unit()) ** 2 > out.dot(way) ** 2:
        way = way if wall.normal.dot(way) > 0 else -way
        if out.dot(way) < 0:
            out = out - way * out.dot(way)
            stop = meet(face.plane, host.plane, wall) + out * job.saw.round_to
    return Line("limit", out.x, out.y, out.dot(stop))


def _too_high(job: Job, p: Placed, start: Vector) -> str:
    ways = "make its span narrower, its pitch lower, or let it pass over the other and out again"
    if p.table.is_polygon:
        ways = "make it narrower or its pitches lower"
    if p.drop is not None:
        ways = "make its span narrower, its pitch or plate_height lower, or move it"
    return (
        f"{p.key}: its roof stands higher than the one it runs into, so that its ridge would come "
        f"out of it past {place(job, start)}; {ways}"
    )


def _ways(p: Placed, wing: Wing, hosts: Sequence[Wing], end: int) -> Iterator[_Way]:
    """Return the lines in which a wing's slopes meet past an end's wall, and its eaves there."""
    wall = p.line(end)
    out = wall.normal
    others = [line for line in wing.limits if line.a * out.x + line.b * out.y < 1 - ON_PLANE]
    corners = [corner for w in (wing, *hosts) for corner in w.ring]
    far = 4 * max(dist(one, other) for one in corners for other in corners)
    limit = Line("limit", out.x, out.y, wall.offset + far)
    drawn = replace(wing, limits=(*others, limit))
    for edge in surface_of([drawn]).edges:
        start, stop = sorted((edge.start, edge.end), key=wall.distance)
        if wall.distance(stop) < SAME_SHAPE:
            continue
        if wall.distance(start) < 0:
            start = meet(edge.faces[0].plane, edge.faces[1].plane, wall)
        one, other = (face.plane.normal for face in edge.faces)
        way = one.cross(other)
        way = way * (1 / Vector(way.x, way.y, 0.0).length())
        if way.dot(stop - start) < 0:
            way = -way
        goes_on = wall.distance(stop) > far - SAME_SHAPE
        run = Vector(stop.x - start.x, stop.y - start.y, 0.0).length()
        yield _Way(start=start, way=way, length=inf if goes_on else run)
    for face in wing.faces:
        line = eave_line(face)
        on_limit = [c for c in drawn.ring if abs(limit.excess(c)) < ON_PLANE]
        if any(abs(line.excess(corner)) < ON_PLANE for corner in on_limit):
            eave = Plane.through(face.point(0.0, -face.overhang, 0.0), face.uphill)
            start = meet(face.plane, eave, wall)
            along = face.along if face.along.dot(out) > 0 else -face.along
            yield _Way(start=start, way=along, length=inf, eave_of=face)


def _entry(host: Wing, start: Vector, way: Vector) -> float:
    """Return how far along a line a wing is first at least as high; infinite if never."""
    first, last = 0.0, inf
    for missing, gain in _missing(host, start, way):
        if abs(gain) < SAME_POINT:
            last = -inf if missing > ON_PLANE else last
        elif gain > 0:
            first = max(first, missing / gain)
        else:
            last = min(last, missing / gain)
    return first if first <= last + ON_PLANE else inf


def _missing(host: Wing, start: Vector, way: Vector) -> Iterator[tuple[float, float]]:
    """Return what is missing at a point till a wing covers it, and how much a unit of way adds.

    Each of its faces must be as high, and none of its ends lie behind.
    """
    for face in host.faces:
        below = start.z - height_at(face, (start.x, start.y))
        yield below, face.pitch * face.uphill.dot(way) - way.z
    for end in host.limits:
        yield end.excess((start.x, start.y)), -(end.a * way.x + end.b * way.y)
