"""Where plates run under roofs that meet: along the outer walls, and over open mouths not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from cutlist.geometry.outline import Line, clip
from cutlist.geometry.space import UP, Plane, Vector
from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.face import Face
from cutlist.roof.slant_line import SlantLine
from cutlist.roof.support import Strip, post_stations
from cutlist.roof.surface import Interval, Visible, joined, left_over
from cutlist.tolerance import SAME_SHAPE


def strips_of(
    job: Job, face: Face, plates: Iterable[Interval], mitres: Sequence[Plane] = ()
) -> Iterator[Strip]:
    """Return the plates of a face in plan, cut on their mitres, and the posts beside them."""
    name, width, posts = f"{face.name} plate", job.plate.width, job.plate.posts

    def strip(name: str, interval: Interval, near: float, far: float) -> Strip:
        ring = face.strip(interval, (near, far))
        for cut in mitres_in(job, face, interval, mitres):
            ring = clip(ring, Line("mitre", cut.normal.x, cut.normal.y, cut.offset))
        return Strip(name=name, shape=Polygon(ring), top=face.corner.z)

    for begin, end in plates:
        yield strip(name, (begin, end), 0.0, width)
        if posts and posts.header == "beside":
            for at in post_stations(job, begin, end):
                reach = posts.width / 2
                under = (at - reach, at + reach)
                yield strip(f"{name} post", under, width, width + posts.width)


def mitres_in(job: Job, face: Face, interval: Interval, mitres: Iterable[Plane]) -> Iterator[Plane]:
    """Return those mitres of a face's plates that end the plate over an interval.

    One at the corner of a mouth that the plate goes on across ends nothing.
    """
    for plane in mitres:
        gain = plane.normal.dot(face.along)
        end = interval[1] if gain > 0 else interval[0]
        edges = (face.point(0.0, run, 0.0) for run in (0.0, job.plate.width))
        if any(abs(end + plane.distance(edge) / gain) < 4 * SAME_SHAPE for edge in edges):
            yield plane


def plate_mitres(
    job: Job, face: Face, buildings: Sequence[Building], valleys: Iterable[SlantLine]
) -> Iterator[Plane]:
    """Return the plumb planes on which a face's plates are mitred to their neighbours.

    Each halves the angle of the building lines at a corner that is not square. At square ones
    plates cross as they are laid. Past the end of the plate lies beyond.
    """
    faces = next((b.wing.faces for b in buildings if face in b.wing.faces), ())
    for station, out in ((0.0, -face.along), (face.length, face.along)):
        corner = face.point(station, 0.0, 0.0)
        for other in faces:
            ends = (other.point(at, 0.0, 0.0) for at in (0.0, other.length))
            square = abs(face.uphill.dot(other.uphill)) < SAME_SHAPE
            if other is face or square or all((p - corner).length() > SAME_SHAPE for p in ends):
                continue
            yield _halving(face, other, corner, out)
    for across in _across(face, valleys):
        _, cut = _inside_end(job, face, across, buildings)
        if cut is not None:
            yield cut


def _halving(face: Face, other: Face, corner: Vector, out: Vector) -> Plane:
    """Return the plumb plane that halves the angle of two building lines at their corner."""
    normal = (face.uphill + other.uphill).cross(UP)
    return Plane.through(corner, normal if normal.dot(out) > 0 else -normal)


def _across(face: Face, valleys: Iterable[SlantLine]) -> Iterator[Face]:
    """Return the faces that a face meets in valleys."""
    for valley in valleys:
        if face in (valley.main, valley.end):
            yield valley.end if face is valley.main else valley.main


def _inside_end(
    job: Job, face: Face, across: Face, buildings: Sequence[Building]
) -> tuple[float, Plane | None]:
    """Return how far a plate runs past the inside corner with another's wall, and its cut there.

    It runs on over the other's wall, unless it is lower and so ends against that wall. At a corner
    of a bay that is not square both are mitred where the bay is open, and where the other goes on
    across its mouth the bay's ends against it.
    """
    own, other = (
        next(b for b in buildings if f.name in {g.name for g in b.wing.faces})
        for f in (face, across)
    )
    is_lower = face.corner.z < across.corner.z
    square = abs(face.uphill.dot(across.uphill)) < SAME_SHAPE
    if square or not (own.wing.is_mitred or other.wing.is_mitred):
        return (0.0 if is_lower else job.plate.width), None
    if is_lower or (face.corner.z == across.corner.z and own.joins and not own.is_open):
        return 0.0, across.plumb(0.0)
    if face.corner.z > across.corner.z or not (own.is_open or other.is_open):
        return job.plate.width, None
    turn = abs(face.uphill.cross(across.uphill).z) / (1 + face.uphill.dot(across.uphill))
    corner = face.point(_corner_station(face, across), 0.0, 0.0)
    out = face.along if face.along.dot(across.uphill) > 0 else -face.along
    return job.plate.width * turn, _halving(face, across, corner, out)


def _corner_station(face: Face, across: Face) -> float:
    """Return where along a face its building line comes to another's."""
    return -across.run(face.corner) / across.uphill.dot(face.along)


def plates_of(
    job: Job, seen: Visible, buildings: Sequence[Building], valleys: Iterable[SlantLine]
) -> tuple[Interval, ...]:
    """Return from where to where along a face plates run under it.

    They stop where another wing opens, and go on where a wall does across its mouth. At its inside
    corners each runs on as far as it is cut there.
    """
    outer: list[Interval] = []
    mouths: list[Interval] = []
    for face in seen.merged:
        own = next(b for b in buildings if face.name in {f.name for f in b.wing.faces})
        wall = _line(face, 0.0, face.length)
        covered: list[Interval] = []
        for other in buildings:
            # A wall in line with another's, or up to it, is not inside.
            within = wall.intersection(other.footprint.buffer(-SAME_SHAPE, join_style="mitre"))
            if other is own or within.length < SAME_SHAPE:
                continue
            inside = _intervals(seen.face, wall.intersection(other.footprint))
            covered += inside
            if other.joins and not other.is_open:
                mouths += inside
        for whole in _intervals(seen.face, wall):
            outer += left_over(whole, covered)
    outer = joined(outer)
    for across in _across(seen.face, valleys):
        at = _corner_station(seen.face, across)
        past, _ = _inside_end(job, seen.face, across, buildings)
        outer = [_drawn_out(interval, at, past) for interval in outer]
    return tuple(joined([*outer, *mouths]))


def _line(face: Face, begin: float, end: float) -> LineString:
    ends = (face.point(station, 0.0, 0.0) for station in (begin, end))
    return LineString([(p.x, p.y) for p in ends])


def _intervals(face: Face, wall: BaseGeometry) -> list[Interval]:
    found = []
    for piece in getattr(wall, "geoms", [wall]):
        if piece.length > SAME_SHAPE:
            ends = [
                (x - face.corner.x) * face.along.x + (y - face.corner.y) * face.along.y
                for x, y, *_ in piece.coords
            ]
            found.append((min(ends), max(ends)))
    return found


def _drawn_out(interval: Interval, at: float, past: float) -> Interval:
    """Return an interval with the end that lies at a place drawn out past it."""
    begin, end = interval
    if abs(begin - at) < 4 * SAME_SHAPE:
        return at - past, end
    if abs(end - at) < 4 * SAME_SHAPE:
        return begin, at + past
    return interval
