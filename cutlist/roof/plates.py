"""Where plates run under roofs that meet: along the outer walls, and over open mouths not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from cutlist.geometry.outline import Line, clip
from cutlist.geometry.space import UP, Plane
from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.support import Strip, post_stations
from cutlist.roof.surface import Interval, Visible, joined
from cutlist.tolerance import SAME_SHAPE


def strips_of(
    job: Job, face: Face, plates: Iterable[Interval], mitres: Sequence[Plane] = ()
) -> Iterator[Strip]:
    """Return the plates of a face in plan, cut on their mitres, and the posts beside them."""
    name, width, posts = f"{face.name} plate", job.plate.width, job.plate.posts

    def strip(name: str, begin: float, end: float, near: float, far: float) -> Strip:
        corners = ((begin, near), (end, near), (end, far), (begin, far))
        points = (face.point(station, run, 0.0) for station, run in corners)
        ring = [(p.x, p.y) for p in points]
        for cut in mitres:
            ring = clip(ring, Line("mitre", cut.normal.x, cut.normal.y, cut.offset))
        return Strip(name=name, shape=Polygon(ring), top=face.corner.z)

    for begin, end in plates:
        yield strip(name, begin, end, 0.0, width)
        if posts and posts.header == "beside":
            for at in post_stations(job, begin, end):
                reach = posts.width / 2
                yield strip(f"{name} post", at - reach, at + reach, width, width + posts.width)


def plate_mitres(face: Face, buildings: Iterable[Building]) -> Iterator[Plane]:
    """Return the plumb planes on which a face's plate is mitred to its neighbours in its building.

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
            normal = (face.uphill + other.uphill).cross(UP)
            yield Plane.through(corner, normal if normal.dot(out) > 0 else -normal)


def plates_of(
    job: Job, seen: Visible, buildings: Sequence[Building], valleys: Iterable[Hip]
) -> tuple[Interval, ...]:
    """Return from where to where along a face plates run under it.

    They stop where another wing opens, and go on where a wall does across its mouth. At its inside
    corners each runs on over the other's wall, unless it is lower and so ends against that wall.
    """
    outer: list[Interval] = []
    mouths: list[Interval] = []
    for face in seen.merged:
        own = next(b for b in buildings if face.name in {f.name for f in b.wing.faces})
        wall: BaseGeometry = _line(face, 0.0, face.length)
        for other in buildings:
            if other is own:
                continue
            inside = wall.intersection(other.footprint.buffer(-SAME_SHAPE, join_style="mitre"))
            wall = wall.difference(other.footprint.buffer(-SAME_SHAPE, join_style="mitre"))
            if other.joins and not other.is_open:
                mouths += _intervals(seen.face, inside)
        outer += _intervals(seen.face, wall)
    outer = joined(outer)
    for valley in valleys:
        if seen.face in (valley.main, valley.end):
            across = valley.end if seen.face is valley.main else valley.main
            if seen.face.corner.z < across.corner.z:
                continue
            at = -across.run(seen.face.corner) / across.uphill.dot(seen.face.along)
            outer = [_drawn_out(interval, at, job.plate.width) for interval in outer]
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


def _drawn_out(interval: Interval, at: float, width: float) -> Interval:
    """Return an interval with the end that lies at a place made longer."""
    begin, end = interval
    if abs(begin - at) < 4 * SAME_SHAPE:
        return at - width, end
    if abs(end - at) < 4 * SAME_SHAPE:
        return begin, at + width
    return interval
