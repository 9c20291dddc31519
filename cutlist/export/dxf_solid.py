"""The faces of a stick as a solid, in pieces of three or four corners for drawings in space."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import combinations

from ezdxf.math.triangulation import mapbox_earcut_2d

from cutlist.geometry.outline import Outline, Point
from cutlist.geometry.polyhedron import stick_polyhedron
from cutlist.geometry.space import ACROSS, Plane, Vector, meet
from cutlist.geometry.stick import Stick
from cutlist.tolerance import ON_PLANE

Facet = tuple[Vector, ...]
"""Three or four corners of a flat face, counter-clockwise seen from outside the wood."""


def facets(stick: Stick) -> Iterator[Facet]:
    """Return the stick's surface in its own frame: faces of four corners whole, else triangles.

    Only a face with a notch has more than four corners and may be hollow.
    """
    solid = stick_polyhedron(stick)
    for face in solid.faces:
        corners = tuple(solid.points[i] for i in face.corners)
        if len(corners) <= 4:
            yield corners
        else:
            yield from _triangles(corners, face.plane)


def levels(stick: Stick) -> tuple[tuple[float, Outline], ...]:
    """Return the outlines between which every edge runs straight, each with its z, far face first.

    The solid's corners are where three of its planes meet, so its shape changes nowhere else.
    """
    found = [0.0, stick.thickness]
    if not stick.is_square_to_face:
        sawn = [p.plane for cut in stick.cuts for p in cut.planes]
        edges = [Plane(ACROSS, stick.depth), Plane(-ACROSS, 0.0)]
        for planes in combinations((*sawn, *edges), 3):
            # Parallel planes, or planes along one line, meet in no point.
            with suppress(ZeroDivisionError):
                corner = meet(*planes)
                if -ON_PLANE <= corner.x <= stick.length + ON_PLANE:
                    found.append(corner.z)
    inside = sorted(z for z in found if 0.0 <= z <= stick.thickness)
    apart = [z for i, z in enumerate(inside) if not i or z - inside[i - 1] > ON_PLANE]
    return tuple((z, stick.outline(z)) for z in apart)


def _triangles(corners: Sequence[Vector], plane: Plane) -> Iterator[Facet]:
    flat = {_seen_along(corner, plane.normal): corner for corner in corners}
    for triangle in mapbox_earcut_2d(list(flat)):
        a, b, c = (flat[p.x, p.y] for p in triangle)
        yield (a, b, c) if (b - a).cross(c - a).dot(plane.normal) > 0 else (a, c, b)


def _seen_along(point: Vector, direction: Vector) -> Point:
    """Return the point's coordinates in the plane of two axes that a direction is farthest from."""
    x, y, z = abs(direction.x), abs(direction.y), abs(direction.z)
    if z >= max(x, y):
        return point.x, point.y
    return (point.x, point.z) if y >= x else (point.y, point.z)
