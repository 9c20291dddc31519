"""Sticks as solid bodies in plan coordinates: what space they share, where their faces touch.

The only module that builds bodies. Whoever needs it imports it where it is used, since most runs
of the program never do.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from manifold3d import Error, Manifold
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cutlist.errors import GeometryError
from cutlist.geometry.space import UP, Plane, Vector
from cutlist.geometry.stick import Stick
from cutlist.tolerance import ON_PLANE, PARALLEL, SAME_POINT

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body in plan coordinates."""

    body: Manifold

    @cached_property
    def corners(self) -> Array:
        """The three corners of each triangle of the surface, seen counter-clockwise: (n, 3, 3)."""
        mesh = self.body.to_mesh64()
        points: Array = np.asarray(mesh.vert_properties)[:, :3]
        corners: Array = points[np.asarray(mesh.tri_verts)]
        return corners

    @cached_property
    def bounds(self) -> Array:
        """Least and most x, y, z: (2, 3)."""
        return np.array([self.corners.min(axis=(0, 1)), self.corners.max(axis=(0, 1))])

    @property
    def volume(self) -> float:
        """Volume of the body."""
        return float(self.body.volume())

    def shared_volume(self, other: Solid) -> float:
        """Return the volume that both bodies fill; 0 where they only touch."""
        return max(0.0, float((self.body ^ other.body).volume()))

    def is_before(self, plane: Plane) -> bool:
        """Tell whether any of the body lies before a plane, and not all of it on or beyond."""
        least = (self.corners @ _array(plane.normal)).min(initial=np.inf)
        return bool(least < plane.offset - SAME_POINT)

    def face_area(self, plane: Plane) -> float:
        """Return the area of the surface in a plane whose normal points out of the body."""
        return float(shapely.area(shapely.polygons(self._in_plane(plane) @ _axes(plane))).sum())

    def contact_area(self, plane: Plane, *others: Solid) -> float:
        """Return the area over which this body's face in a plane lies on faces of others.

        The plane's normal points out of this body and into the others. Faces as near to the plane
        as ON_PLANE are in it. Where others fill the same space, what lies on them counts once.
        """
        if not others:
            return 0.0
        axes = _axes(plane)
        mine = _drawn(self._in_plane(plane), axes)
        facing = np.concatenate([other._in_plane(plane.flipped()) for other in others])
        return float(shapely.intersection(mine, _drawn(facing, axes)).area)

    @cached_property
    def _outward(self) -> Array:
        """A direction out of the body for each triangle: (n, 3)."""
        start, middle, end = self.corners.swapaxes(0, 1)
        outward: Array = np.cross(middle - start, end - start)
        return outward

    def _in_plane(self, plane: Plane) -> Array:
        """Return the surface's triangles in a plane and facing as it does: (n, 3, 3)."""
        normal = _array(plane.normal)
        away = np.abs(self.corners @ normal - plane.offset).max(axis=1)
        facing: Array = self.corners[(away < ON_PLANE) & (self._outward @ normal > 0)]
        return facing


def stick_solid(stick: Stick) -> Solid:
    """Return a stick as a body: its box, trimmed by its end cuts and bevels, less its notches.

    As in its outlines, a notch's plane that has no wood before it cuts nothing.
    Raises GeometryError where its cuts leave nothing.
    """
    least, most = stick.bounds
    body = _box((least, 0.0, 0.0), (most, stick.depth, stick.thickness))
    for cut in stick.cuts:
        if len(cut.planes) == 1:
            body = _kept(body, cut.planes[0].plane)
    margin = stick.depth + stick.thickness
    around = _box(
        (least - margin, -margin, -margin),
        (most + margin, stick.depth + margin, stick.thickness + margin),
    )
    trimmed = Solid(body)
    for cut in stick.cuts:
        if len(cut.planes) > 1:
            body = body - _beyond(
                around, (p.plane for p in cut.planes if trimmed.is_before(p.plane))
            )
    if body.status() != Error.NoError or body.is_empty():
        raise GeometryError("the cuts leave nothing of the stick")
    rows = stick.frame.matrix()[:3]
    return Solid(body.transform(np.array(rows)))


def near_pairs(solids: Sequence[Solid]) -> list[tuple[int, int]]:
    """Return the pairs, each as (lower index, higher index), whose bounding boxes meet."""
    least, most = np.stack([s.bounds for s in solids], axis=1)
    apart = (least[:, None] > most[None] + ON_PLANE).any(axis=2)
    first, second = np.nonzero(np.triu(~(apart | apart.T), k=1))
    return list(zip(first.tolist(), second.tolist(), strict=True))


def _box(least: tuple[float, float, float], most: tuple[float, float, float]) -> Manifold:
    size = (most[0] - least[0], most[1] - least[1], most[2] - least[2])
    return Manifold.cube(size).translate(least)


def _kept(body: Manifold, plane: Plane) -> Manifold:
    """Return what does not lie beyond a plane."""
    n = plane.normal
    return body.trim_by_plane((-n.x, -n.y, -n.z), -plane.offset)


def _beyond(around: Manifold, planes: Iterable[Plane]) -> Manifold:
    """Return what lies beyond all the planes, out to the sides of a box around the stick."""
    for plane in planes:
        around = _kept(around, plane.flipped())
    return around


def _axes(plane: Plane) -> Array:
    """Return two unit directions along a plane, square to each other: (3, 2)."""
    normal = plane.normal
    level = UP.cross(normal)
    first = level.unit() if level.length() > PARALLEL else Vector(1.0, 0.0, 0.0)
    return np.stack([_array(first), _array(normal.cross(first))], axis=1)


def _drawn(triangles: Array, axes: Array) -> BaseGeometry:
    """Return the triangles as one flat shape in axes along their plane."""
    return shapely.union_all(shapely.polygons(triangles @ axes))


def _array(vector: Vector) -> Array:
    return np.array([vector.x, vector.y, vector.z])
