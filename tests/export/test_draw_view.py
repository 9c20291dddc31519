"""The view from outside: at every point, what was painted last is of the nearest face."""

from __future__ import annotations

import random
from itertools import combinations

import pytest
import shapely
from shapely import Point, Polygon

from cutlist.build import Build
from cutlist.export import draw_view
from cutlist.export.drawing import Ring, Text
from cutlist.geometry.space import Plane, Vector
from cutlist.roof.parts import group_parts
from cutlist.roof.surface import Surface, surface_of
from cutlist.roof.wings import buildings
from tests.export.roofs import framed
from tests.jobs import Tables, job_of, roof_of
from tests.wings import CROSS, ELL, EQUAL_TEE, HIPPED, TEE

HAIR = 0.02
"""Points nearer to an edge than this, as a share of the wood's thickness, are not looked at."""


def faces_in_space(build: Build) -> list[tuple[Polygon, Plane]]:
    """Return each face of all sticks as its picture and the plane it lies in."""
    found = []
    for one in (*build.roof.members, *build.roof.supports):
        for face in draw_view.stick_faces(one.stick):
            shape = Polygon([draw_view.on_picture(corner) for corner in face])
            out = draw_view.normal(face)
            if shape.area > 1e-6 and out.length() > 1e-6:
                found.append((shape, Plane.through(face[0], out)))
    return found


def nearness(plane: Plane, at: Point) -> float:
    """Return how near to the eye the ray through a point of the picture meets a plane."""
    eye = draw_view.TO_EYE
    start = draw_view.RIGHT * at.x + draw_view.UPWARD * at.y
    return -plane.distance(start) / plane.normal.dot(eye)


def test_the_axes_of_the_picture_are_square_to_the_eye() -> None:
    axes = (draw_view.RIGHT, draw_view.UPWARD, draw_view.TO_EYE)
    for i, one in enumerate(axes):
        for j, other in enumerate(axes):
            assert one.dot(other) == pytest.approx(float(i == j), abs=1e-12)
    assert draw_view.RIGHT.cross(draw_view.UPWARD).dot(draw_view.TO_EYE) > 0
    assert draw_view.UPWARD.dot(Vector(0, 0, 1)) > 0


def test_what_is_painted_last_is_nearest(build: Build) -> None:
    drawing = draw_view.draw_view(build)
    painted = [Polygon(call.points) for call in drawing.calls if isinstance(call, Ring)]
    faces = faces_in_space(build)
    shapes = shapely.STRtree([shape for shape, _ in faces])
    over = shapely.STRtree(painted)
    edges = shapely.STRtree([shape.exterior for shape, _ in faces])
    hair = HAIR * build.job.rafter.size.thickness
    chance = random.Random(7)
    looked = 0
    for shape, _ in chance.sample(faces, min(len(faces), 250)):
        least_x, least_y, most_x, most_y = shape.bounds
        at = Point(chance.uniform(least_x, most_x), chance.uniform(least_y, most_y))
        if len(edges.query(at, "dwithin", hair)):
            continue
        hits = shapes.query(at, "intersects")
        if not len(hits):
            continue
        most = max(nearness(faces[i][1], at) for i in hits)
        nearest = [faces[i][0] for i in hits if nearness(faces[i][1], at) > most - 1e-3]
        last = painted[max(over.query(at, "intersects"))]
        assert any(shape.buffer(1e-3).covers(last) for shape in nearest)
        looked += 1
    assert looked > 20


def nearest_slope(surface: Surface, at: Point) -> str:
    """Return the slope of a closed roof that is seen at a point of its picture."""
    start = draw_view.RIGHT * at.x + draw_view.UPWARD * at.y
    met = []
    for seen in surface.visible:
        near = nearness(seen.face.plane, at)
        over = start + draw_view.TO_EYE * near
        if any(part.covers(Point(over.x, over.y)) for part in seen.parts):
            met.append((near, f"{seen.face.name} side"))
    return max(met)[1]


@pytest.mark.parametrize("tables", [TEE, ELL, EQUAL_TEE, HIPPED, CROSS])
def test_names_stand_on_what_is_seen_of_their_own_slopes(tables: Tables) -> None:
    job, roof = job_of(tables), roof_of(tables)
    build = Build(job=job, roof=roof, parts=group_parts(roof.members), findings=(), plans=())
    height = roof.faces[0].height_above_plate
    surface = surface_of([b.wing for b in buildings(job, height)])
    names = [call for call in draw_view.draw_view(build).calls if isinstance(call, Text)]
    assert len(names) >= 3
    assert [(n.text, nearest_slope(surface, Point(n.at))) for n in names] == [
        (n.text, n.text) for n in names
    ]


def test_a_name_of_a_side_behind_a_lone_roof_stands_on_paper() -> None:
    """At 16 in 12 the far side faces away from the eye, which looks down at 34 degrees."""
    drawing = draw_view.draw_view(framed("steep-gable"))
    (name,) = [c for c in drawing.calls if isinstance(c, Text) and c.text == "far side"]
    room = shapely.MultiPoint(name.corners).envelope
    painted = [Polygon(call.points) for call in drawing.calls if isinstance(call, Ring)]
    assert not any(room.intersects(shape) for shape in painted)


@pytest.mark.parametrize("job", ["bay", "gazebo", "hip", "tee"])
def test_names_stand_clear_of_each_other(job: str) -> None:
    calls = draw_view.draw_view(framed(job)).calls
    names = [shapely.MultiPoint(c.corners).envelope for c in calls if isinstance(c, Text)]
    assert len(names) >= 4
    assert not any(one.intersects(other) for one, other in combinations(names, 2))


@pytest.mark.parametrize("job", ["dormer", "shed-dormer"])
def test_no_region_turns_back_on_itself(job: str) -> None:
    """What rafters leave of the sheathing beneath them has no hairlines out of its border."""
    drawing = draw_view.draw_view(framed(job))
    for ring in (call.points for call in drawing.calls if isinstance(call, Ring)):
        sides = [
            Vector(ex - sx, ey - sy, 0.0).unit()
            for (sx, sy), (ex, ey) in zip(ring, (*ring[1:], ring[0]), strict=True)
        ]
        for one, other in zip(sides, (*sides[1:], sides[0]), strict=True):
            assert one.dot(other) > 0 or abs(one.cross(other).z) > 1e-6
