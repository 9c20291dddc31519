"""The view from outside: at every point, what was painted last is of the nearest face."""

from __future__ import annotations

import random

import pytest
import shapely
from shapely import Point, Polygon

from cutlist.build import Build
from cutlist.export import draw_view
from cutlist.export.drawing import Ring
from cutlist.geometry.space import Plane, Vector

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
