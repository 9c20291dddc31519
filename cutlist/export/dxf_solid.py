"""The faces of a stick as a solid, in pieces of three or four corners for drawings in space."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ezdxf.math.triangulation import mapbox_earcut_2d

from cutlist.geometry.outline import Point
from cutlist.geometry.polyhedron import stick_polyhedron
from cutlist.geometry.space import Plane, Vector
from cutlist.geometry.stick import Stick

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
