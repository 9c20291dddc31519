"""Walls moved by what no tape could tell, so that slopes over them meet in one point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import dist

from cutlist.geometry.space import ORIGIN, UP, Plane, Vector, meet
from cutlist.job import Job
from cutlist.job.corner_rules import faults_of_corners
from cutlist.roof.face import Face
from cutlist.roof.placed import Placed, length_text, placed_roofs
from cutlist.roof.surface import Edge, Wing, is_one_place, surface_of
from cutlist.tolerance import SAME_SHAPE
from cutlist.units import rounded

NEAR_STEPS = 64
"""Points in which slopes meet are taken for one only where they are no further apart [steps of a
tape]. Between walls at a flat corner they move many times as far as a wall."""

MOST_MOVED_IN = 6.0
"""Walls are not proposed to be moved further than this [in]."""


def corners_of(p: Placed, faces: Sequence[Face]) -> tuple[Vector, ...]:
    """Return the corners of a plan of which these are the slopes, where their walls now stand."""
    over, count = dict(zip(p.sloped, faces, strict=True)), len(p.corners)

    def corner(i: int) -> Vector:
        if i in over:
            return over[i].corner
        before = over[(i - 1) % count]
        return before.point(before.length, 0.0, 0.0)

    return tuple(corner(i) for i in range(count))


def to_points(job: Job, p: Placed, faces: tuple[Face, ...]) -> tuple[Face, ...]:
    """Return slopes that meet in one point where no tape could tell that they do not.

    The corners of such a plan can seldom be written down exactly, and slopes that nearly meet in a
    point leave no room for what would stand between the points in which they do.
    """
    ring = [(c.x, c.y) for c in p.corners]
    far = 4 * sum(dist(corner, ring[i - 1]) for i, corner in enumerate(ring))
    limits = (
        *(p.limit(mouth, far) for mouth in p.ends),
        *(p.limit(gable, p.table.rake_overhang) for gable in p.gables),
    )
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
        faces = _through_a_point(p, faces, points, edges, job.saw.round_to)
    return faces


def corners_for_a_point(
    job: Job, wing: Wing, points: Sequence[Vector], edges: Sequence[Edge]
) -> str:
    """Return corners that make slopes meet in one point in place of several, as people read them.

    Empty where no corner of the job is near enough, or where such corners would be refused.
    """
    (p,) = (p for p in placed_roofs(job) if p.key == wing.key)
    if p.table.corners is None:
        return ""
    faces = _through_a_point(p, wing.faces, points, edges, job.units.from_inches(MOST_MOVED_IN))
    moved, step = corners_of(p, faces), job.saw.round_to
    away = [corner - p.origin for corner in moved]
    places = [(at.dot(p.along), at.dot(p.across)) for at in away]
    if any(faults_of_corners(job, [(rounded(x, step), rounded(y, step)) for x, y in places])):
        return ""
    told = []
    for number, (corner, given, at) in enumerate(
        zip(moved, p.corners, places, strict=True), start=1
    ):
        if (corner - given).length() > step / 2:
            x, y = (length_text(job, place) for place in at)
            told.append(f"corners[{number}] at ({x}, {y})")
    return ", ".join(told)


def _through_a_point(
    p: Placed,
    faces: tuple[Face, ...],
    points: Sequence[Vector],
    edges: Sequence[Edge],
    most: float,
) -> tuple[Face, ...]:
    """Return slopes of which those that meet near some points meet in one, their walls moved.

    On a ridge it is a point of that ridge, so that its slopes stay. `most`: by how much a wall may
    be moved; else none are.
    """

    def ends(edge: Edge) -> int:
        return sum(
            any(is_one_place(point, end) for point in points) for end in (edge.start, edge.end)
        )

    here = [edge for edge in edges if ends(edge)]
    names = {face.name for edge in here for face in edge.faces}
    meeting = [face for face in faces if face.name in names]
    if len(meeting) < 4:
        return faces
    peak = sum(points, start=ORIGIN) * (1 / len(points))
    over = {face.name: face.top(face.run(peak)) for face in meeting}
    level = sum(over.values()) / len(over)
    for ridge in (edge for edge in here if edge.is_level and ends(edge) == 1):
        way = ridge.end - ridge.start
        peak = ridge.start + way * ((peak - ridge.start).dot(way) / way.dot(way))
        over = {face.name: face.top(face.run(peak)) for face in meeting}
        level = over[ridge.faces[0].name]
    misses = {face.name: (over[face.name] - level) / face.pitch for face in meeting}
    if max(map(abs, misses.values())) > most:
        return faces
    ground = Plane(UP, p.origin.z)
    walls = [p.line(i) for i in range(len(p.corners))]
    for i, face in zip(p.sloped, faces, strict=True):
        walls[i] = face.plumb(misses.get(face.name, 0.0))
    corners = [meet(walls[i - 1], wall, ground) for i, wall in enumerate(walls)]
    beside = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    return tuple(
        replace(face, corner=beside[i][0], length=(beside[i][1] - beside[i][0]).length())
        for i, face in zip(p.sloped, faces, strict=True)
    )
