"""A stick's surface as whole flat faces: polygons that share corners and edges, one a sawn face."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cutlist.errors import GeometryError
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import IDENTITY, Plane, Vector
from cutlist.geometry.stick import CutPlane, Stick
from cutlist.tolerance import ON_PLANE

_Loop = tuple[int, ...]

_ORDER_PLACES = 6
"""Decimals by which corners are put in order, so that rounding never changes the order."""


@dataclass(frozen=True, slots=True)
class PolygonFace:
    """A flat face without holes: its name, its plane with the normal out of the wood, its corners.

    `corners` are places in the polyhedron's `points`, counter-clockwise seen from outside.
    """

    name: str
    plane: Plane
    corners: _Loop

    @property
    def edges(self) -> tuple[tuple[int, int], ...]:
        """The edges around the face, each from one corner to the next."""
        return tuple(pairwise((*self.corners, self.corners[0])))


@dataclass(frozen=True)
class Polyhedron:
    """A closed surface: each edge of a face is, the other way round, an edge of one other face."""

    points: tuple[Vector, ...]
    faces: tuple[PolygonFace, ...]

    @cached_property
    def volume(self) -> float:
        """Volume within, by the divergence theorem: a third of height times area for each face."""
        total = 0.0
        for face in self.faces:
            first, *others = (self.points[i] for i in face.corners)
            for a, b in pairwise(others):
                total += first.dot(a.cross(b))
        return total / 6


def stick_polyhedron(stick: Stick) -> Polyhedron:
    """Return the surface of a stick in its own frame.

    Faces carry the names of the planes that cut them; those left of the board are `near`, `far`,
    `top` and `bottom`. The same stick gives the same order of points and faces. Raises
    GeometryError where the cuts leave nothing, or a face with a hole.
    """
    mesh = stick_solid(replace(stick, frame=IDENTITY)).body.to_mesh64()
    points: NDArray[np.float64] = np.asarray(mesh.vert_properties)[:, :3]
    triangles: NDArray[np.int64] = np.asarray(mesh.tri_verts, dtype=np.int64)
    planes = _planes(stick)
    loops = list(_loops(triangles, _plane_of_each(points[triangles], planes)))
    faces_at = Counter(i for _, loop in loops for i in set(loop))
    # Where only two faces meet, a point lies within a straight edge.
    corners = sorted(
        (i for i, count in faces_at.items() if count > 2),
        key=lambda i: tuple(points[i].round(_ORDER_PLACES)),
    )
    number = {old: new for new, old in enumerate(corners)}
    kept = tuple(Vector(*map(float, points[i])) for i in corners)
    faces = sorted(
        (at, _from_least(tuple(number[i] for i in loop if i in number))) for at, loop in loops
    )
    for at, loop in faces:
        if _area_vector(kept, loop).dot(planes[at].plane.normal) <= 0:
            raise GeometryError(f"the face {planes[at].name} of a stick has a hole")
    return Polyhedron(
        kept, tuple(PolygonFace(planes[at].name, planes[at].plane, loop) for at, loop in faces)
    )


def _planes(stick: Stick) -> list[CutPlane]:
    """Return every plane in which a face may lie, sawn ones first; normals point out of the wood.

    A notch takes what lies beyond its planes, as an end cut does, so both have the wood behind.
    """
    return [
        *(p for cut in stick.cuts for p in cut.planes),
        CutPlane("bottom", Plane(Vector(0, -1, 0), 0.0)),
        CutPlane("top", Plane(Vector(0, 1, 0), stick.depth)),
        CutPlane("far", Plane(Vector(0, 0, -1), 0.0)),
        CutPlane("near", Plane(Vector(0, 0, 1), stick.thickness)),
    ]


def _plane_of_each(corners: NDArray[np.float64], planes: list[CutPlane]) -> list[int]:
    """Return for each triangle (n, 3, 3) the first of the planes that it lies in, facing best."""
    normals = np.array([[p.plane.normal.x, p.plane.normal.y, p.plane.normal.z] for p in planes])
    offsets = np.array([p.plane.offset for p in planes])
    away = np.abs(corners @ normals.T - offsets).max(axis=1)
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sizes = np.linalg.norm(across, axis=1, keepdims=True)
    facing = across @ normals.T / np.maximum(sizes, np.finfo(float).tiny)
    score = np.where(away < ON_PLANE, facing.round(_ORDER_PLACES), -np.inf)
    if np.isneginf(score).all(axis=1).any():
        raise GeometryError("a face of a stick lies in none of the planes that cut it")
    return [int(i) for i in score.argmax(axis=1)]


def _loops(triangles: NDArray[np.int64], plane_of: list[int]) -> Iterator[tuple[int, _Loop]]:
    """Return the plane and the corners of each loop around triangles that are in one plane."""
    third: dict[tuple[int, int], tuple[int, int]] = {}
    for (a, b, c), plane in zip(triangles.tolist(), plane_of, strict=True):
        third[a, b], third[b, c], third[c, a] = (c, plane), (a, plane), (b, plane)
    border = {(a, b) for (a, b), (_, plane) in third.items() if third[b, a][1] != plane}
    while border:
        edge = start = min(border)
        plane = third[start][1]
        loop = []
        while True:
            border.discard(edge)
            loop.append(edge[0])
            # Turn about the edge's end, over triangles of this face, to its next edge.
            a, b = edge
            edge = b, third[a, b][0]
            while third[edge[::-1]][1] == plane:
                edge = b, third[edge[::-1]][0]
            if edge == start:
                break
        yield plane, tuple(loop)


def _from_least(loop: _Loop) -> _Loop:
    first = loop.index(min(loop))
    return loop[first:] + loop[:first]


def _area_vector(points: tuple[Vector, ...], loop: _Loop) -> Vector:
    """Return twice the area within a loop, along the normal that sees it counter-clockwise."""
    first, *others = (points[i] for i in loop)
    total = Vector(0, 0, 0)
    for a, b in pairwise(others):
        total += (a - first).cross(b - first)
    return total
