"""A roof over a convex plan given by its corners: a slope over each wall, none over a mouth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import dist

from shapely import Polygon

from cutlist.geometry.outline import Line
from cutlist.geometry.space import ORIGIN, UP, Plane, Vector, meet
from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.ends import level_overhang
from cutlist.roof.face import Face
from cutlist.roof.placed import Placed
from cutlist.roof.reach import Reach
from cutlist.roof.surface import Edge, Wing, is_one_place, surface_of
from cutlist.tolerance import SAME_SHAPE

NEAR_STEPS = 64
"""Points in which slopes meet are taken for one only where they are no further apart [steps of a
tape]. Between walls at a flat corner they move many times as far as a wall."""


def over_corners(job: Job, p: Placed, past: Mapping[int, Reach], height: float) -> Building:
    """Return the roof over a plan of corners: all slopes with one height above the plate.

    `past`: its mouth, if it has one, and how far past it the roof runs. Overhangs are such that
    the fascia is level with the first roof's.
    """
    faces = _to_points(job, p, tuple(_faces(job, p, height)))
    corners = [face.corner for face in faces]
    limits = []
    for mouth, run in past.items():
        beyond = p.line(mouth).normal * run.past
        stop = faces[-1].point(faces[-1].length, 0.0, 0.0)
        corners += [stop, stop + beyond, corners[0] + beyond]
        limits += [_limit(p, mouth, run.past), *run.beside]
    return Building(
        wing=Wing(
            name=p.name.strip(), key=p.key, faces=faces, limits=tuple(limits), is_mitred=True
        ),
        gables=(),
        footprint=Polygon([(c.x, c.y) for c in corners]),
        joins=bool(past),
        is_open=p.is_open,
    )


def _limit(p: Placed, mouth: int, beyond: float) -> Line:
    wall = p.line(mouth)
    return Line("limit", wall.normal.x, wall.normal.y, wall.offset + beyond)


def _faces(job: Job, p: Placed, height: float) -> Iterator[Face]:
    corners = p.corners
    for i, given in enumerate(p.table.side_pitches):
        pitch = given or job.roof.side_pitches[0]
        start, end = corners[i], corners[(i + 1) % len(corners)]
        along = (end - start).unit()
        yield Face(
            name=f"{p.name}side {i + 1}",
            corner=start,
            along=along,
            uphill=UP.cross(along),
            length=(end - start).length(),
            pitch=pitch,
            height_above_plate=height,
            overhang=level_overhang(job, pitch, p.origin.z),
        )


def _to_points(job: Job, p: Placed, faces: tuple[Face, ...]) -> tuple[Face, ...]:
    """Return slopes that meet in one point where no tape could tell that they do not.

    The corners of such a plan can seldom be written down exactly, and slopes that nearly meet in a
    point leave no room for what would stand between the points in which they do.
    """
    ring = [(c.x, c.y) for c in p.corners]
    far = 4 * sum(dist(corner, ring[i - 1]) for i, corner in enumerate(ring))
    limits = tuple(_limit(p, mouth, far) for mouth in range(len(faces), len(ring)))
    wing = Wing(name="", faces=faces, limits=limits)
    near = NEAR_STEPS * job.saw.round_to
    eave = min(face.top(-face.overhang) + face.corner.z for face in faces)

    def inner(edge: Edge) -> list[Vector]:
        return [
            end
            for end in (edge.start, edge.end)
            if end.z > eave + SAME_SHAPE
            and all(limit.excess((end.x, end.y)) < -SAME_SHAPE for limit in limits)
        ]

    edges = surface_of([wing]).edges
    groups: list[list[Vector]] = []
    for edge in edges:
        ends = inner(edge)
        is_short = len(ends) == 2 and (edge.end - edge.start).length() < near
        for points in [ends] if is_short else [[end] for end in ends]:
            touching = [g for g in groups if any(is_one_place(a, b) for a in g for b in points)]
            groups = [g for g in groups if all(g is not t for t in touching)]
            groups.append([*points, *(point for group in touching for point in group)])
    for points in groups:
        faces = _through_a_point(job, p, faces, points, edges)
    return faces


def _through_a_point(
    job: Job, p: Placed, faces: tuple[Face, ...], points: Sequence[Vector], edges: Sequence[Edge]
) -> tuple[Face, ...]:
    """Return slopes of which those that meet near some points meet in one, their walls moved.

    On a ridge it is a point of that ridge, so that its slopes stay.
    """
    here = [
        edge
        for edge in edges
        if any(is_one_place(point, end) for point in points for end in (edge.start, edge.end))
    ]
    names = {face.name for edge in here for face in edge.faces}
    meeting = [face for face in faces if face.name in names]
    if len(meeting) < 4:
        return faces
    peak = sum(points, start=ORIGIN) * (1 / len(points))
    over = {face.name: face.top(face.run(peak)) for face in meeting}
    level = sum(over.values()) / len(over)
    for ridge in here:
        way = ridge.end - ridge.start
        if ridge.is_level and way.length() > NEAR_STEPS * job.saw.round_to:
            peak = ridge.start + way * ((peak - ridge.start).dot(way) / way.dot(way))
            over = {face.name: face.top(face.run(peak)) for face in meeting}
            level = over[ridge.faces[0].name]
    misses = {face.name: (over[face.name] - level) / face.pitch for face in meeting}
    if max(map(abs, misses.values())) > job.saw.round_to:
        return faces
    ground = Plane(UP, p.origin.z)
    mouths = [p.line(mouth) for mouth in range(len(faces), len(p.corners))]
    walls = [*(face.plumb(misses.get(face.name, 0.0)) for face in faces), *mouths]
    corners = [meet(walls[i - 1], wall, ground) for i, wall in enumerate(walls)]
    return tuple(
        replace(
            face, corner=corners[i], length=(corners[(i + 1) % len(corners)] - corners[i]).length()
        )
        for i, face in enumerate(faces)
    )
