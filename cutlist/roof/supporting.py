"""Valleys that carry others: where a wing's ridge ends on a slope, one of its two runs on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import LineString

from cutlist.errors import JobError
from cutlist.geometry.space import Plane, Vector
from cutlist.job import Job
from cutlist.roof.broken import BrokenHip
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.mitred import MitredLine
from cutlist.roof.placed import place
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.surface import Edge, Surface, is_one_place
from cutlist.roof.valley import Valley
from cutlist.tolerance import SAME_SHAPE


@dataclass(frozen=True, kw_only=True)
class Supported:
    """A place where a wing's ridge or hip ends on a slope: the valley that runs on, and to what."""

    point: Vector
    edge: Edge
    host: Face
    stop: Vector
    on: RidgeLine | Hip


def supported(
    job: Job,
    surface: Surface,
    ridges: list[RidgeLine],
    mitred: Sequence[MitredLine],
    valleys: list[Edge],
    broken: Sequence[BrokenHip],
) -> list[Supported]:
    """Return each place where two valleys meet with no ridge passing and no broken hip."""
    found: list[Supported] = []
    for edge in valleys:
        point = edge.end
        known = (*(s.point for s in found), *(b.point for b in broken))
        if any(is_one_place(point, other) for other in known):
            continue
        if any(r.holds(point) and not r.ends_at(point) for r in ridges):
            continue
        here = [v for v in valleys if is_one_place(v.end, point)]
        touching = [
            *(r for r in ridges if r.holds(point)),
            *(m for m in mitred if isinstance(m.stick, Hip) and m.ends_at(point)),
        ]
        if len(here) != 2 or len(touching) != 1:
            if len(touching) < 2:
                raise JobError([unframed(job, point)])
            continue
        shared = set(here[0].faces) & set(here[1].faces)
        if len(shared) != 1:
            raise JobError([unframed(job, point)])
        (host,) = shared
        # On other slopes none is in the way: a ridge or hip stands between.
        others = [_plan(v.start, v.end) for v in valleys if v not in here and host in v.faces]
        others += [_plan(s.point, s.stop) for s in found if s.host is host]
        to_ridges = [(v, *way) for v in here for way in _run_on(job, surface, v, host, ridges)]
        to_hips = [(v, *way) for v in here for way in _run_on_to_hips(job, surface, v, host)]
        for ways in (to_ridges, to_hips):
            clear = [
                Supported(point=point, edge=v, host=host, stop=stop, on=on)
                for v, stop, on in ways
                if all(_plan(point, stop).distance(o) > job.rafter.size.depth for o in others)
            ]
            if clear:
                found.append(min(clear, key=lambda w: round((w.stop - point).length(), 3)))
                break
        else:
            raise JobError([unframed(job, point)])
    return found


def _run_on(
    job: Job, surface: Surface, edge: Edge, host: Face, ridges: list[RidgeLine]
) -> Iterator[tuple[Vector, RidgeLine]]:
    """Return where a valley, run on up its host's slope, comes to that slope's ridge.

    None where a hip is in its way, or the commons under one's upper end would lose their heads; nor
    where the ridge is so near that the valley which dies against this one would stand in it.
    """
    way = (edge.end - edge.start).unit()
    valley = Valley.of(job, *edge.faces).size
    tops = [hip.end for hip in surface.edges if hip.kind == "hip" and host in hip.faces]
    clear = job.rafter.size.thickness
    for ridge in ridges:
        if host not in ridge.faces:
            continue
        room = host.run(ridge.start) - host.run(edge.end) - ridge.size.thickness / 2
        if room < valley.thickness:
            continue
        stop = edge.end + way * _until(edge.end, way, host.plumb(host.run(ridge.start)))
        if ridge.holds(stop) and all((stop - top).length() > clear for top in tops):
            yield stop, ridge


def _run_on_to_hips(
    job: Job, surface: Surface, edge: Edge, host: Face
) -> Iterator[tuple[Vector, Hip]]:
    """Return where a valley, run on up its host's slope, comes to a hip of that slope.

    None so near an end of the hip that its head would stand in what is there, nor so near its own
    start that the valley which dies against it would stand in the hip.
    """
    way = (edge.end - edge.start).unit()
    clear = job.rafter.size.thickness
    for line in surface.edges:
        if line.kind != "hip" or host not in line.faces:
            continue
        hip = Hip.between(job, *line.faces)
        at = _until(edge.end, way, Plane.through(line.start, -hip.outward(host)))
        stop = edge.end + way * at
        ends = [(end - stop).length() for end in (line.start, line.end)]
        if at > clear and min(ends) > clear and max(ends) < (line.end - line.start).length():
            yield stop, hip


def _plan(start: Vector, end: Vector) -> LineString:
    return LineString([(start.x, start.y), (end.x, end.y)])


def _until(start: Vector, way: Vector, plane: Plane) -> float:
    """Return the distance along a way to a plane; less than nothing if it lies behind."""
    gain = plane.normal.dot(way)
    return -plane.distance(start) / gain if gain > SAME_SHAPE else -1.0


def unframed(job: Job, point: Vector) -> str:
    """Return the refusal of lines that come together at a point as none are framed."""
    return (
        f"wing: roofs that meet as at {place(job, point)} are not framed; move the wing, or change "
        "its span or pitch"
    )
