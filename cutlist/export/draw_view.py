"""The roof's framing from outside: an axonometric view, what is nearer painted over what is behind.

Sticks are painted whole, from the furthest to the nearest. Of two that overlap on the picture, the
one before the other is found from a face of either that has all of the other on its outer side:
seen from the side to which that face looks, the other is in front (the plane test of Newell,
Newell and Sancha, 1972, made on bodies in place of polygons).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from cutlist.build import Build
from cutlist.export.drawing import Drawing, Pen
from cutlist.export.dxf_solid import edge_faces
from cutlist.geometry.outline import Outline
from cutlist.geometry.space import UP, Vector
from cutlist.geometry.stick import Stick
from cutlist.tolerance import ON_PLANE

AZIMUTH_DEG, ELEVATION_DEG = -62.0, 34.0
"""Where the eye is: degrees from the plan's x axis about the vertical, and above level."""

LAYERS = {"WOOD": Pen.WOOD, "PLATE": Pen.STOCK, "NOTES": Pen.NOTE}
TEXT = 1 / 42
"""Height of the text by the picture's width."""

Array = NDArray[np.float64]


def draw_view(build: Build) -> Drawing:
    """Return the picture of all members and of what they stand on, the sides of the roof named."""
    drawing = Drawing(build.job.units, LAYERS)
    bodies = [
        *(_Body("PLATE", support.stick) for support in build.roof.supports),
        *(_Body("WOOD", member.stick) for member in build.roof.members),
    ]
    for body in _from_behind(bodies):
        for face in body.shown:
            drawing.ring(body.layer, [_on_picture(corner) for corner in face])
    spread = [x for body in bodies for x, _ in body.picture]
    height = (max(spread) - min(spread)) * TEXT
    for slope in build.roof.faces:
        # Beyond the tails, so that it stands on paper and not on wood.
        out = -slope.overhang - 4 * height
        at = _on_picture(slope.point(slope.length / 2, out, 0.0))
        drawing.text("NOTES", f"{slope.name} side", at, height, align="middle")
    return drawing


_AZIMUTH, _ELEVATION = radians(AZIMUTH_DEG), radians(ELEVATION_DEG)
_RIGHT = Vector(-sin(_AZIMUTH), cos(_AZIMUTH), 0.0)
_TO_EYE = Vector(cos(_ELEVATION) * cos(_AZIMUTH), cos(_ELEVATION) * sin(_AZIMUTH), sin(_ELEVATION))
_UPWARD = (UP - _TO_EYE * UP.dot(_TO_EYE)).unit()


def _on_picture(point: Vector) -> tuple[float, float]:
    return point.dot(_RIGHT), point.dot(_UPWARD)


@dataclass(frozen=True, eq=False)
class _Body:
    """A stick in plan coordinates."""

    layer: str
    stick: Stick

    @cached_property
    def faces(self) -> list[tuple[Vector, ...]]:
        """All faces, counter-clockwise seen from outside."""
        stick, outward = self.stick, self.stick.frame.outward

        def cap(outline: Outline, z: float) -> tuple[Vector, ...]:
            return tuple(Vector(x, y, z) for x, y in outline.points)

        around = (*edge_faces(stick), cap(stick.near, stick.thickness), cap(stick.far, 0.0)[::-1])
        return [tuple(map(outward, face)) for face in around]

    @cached_property
    def shown(self) -> list[tuple[Vector, ...]]:
        """The faces that look to the eye, the furthest first."""
        seen = [face for face in self.faces if _normal(face).dot(_TO_EYE) > ON_PLANE]
        return sorted(seen, key=lambda face: sum(p.dot(_TO_EYE) for p in face) / len(face))

    @cached_property
    def corners(self) -> Array:
        """All corners: (n, 3)."""
        return np.array([(p.x, p.y, p.z) for face in self.faces for p in face])

    @cached_property
    def picture(self) -> list[tuple[float, float]]:
        """All corners on the picture."""
        return [_on_picture(p) for face in self.faces for p in face]

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Least x, least y, most x and most y on the picture."""
        xs, ys = zip(*self.picture, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @cached_property
    def depth(self) -> float:
        """How near to the eye the middle is."""
        return float((self.corners @ _array(_TO_EYE)).mean())

    @cached_property
    def outer_planes(self) -> tuple[Array, Array, Array]:
        """Normals, offsets and whether they look to the eye, of planes with no wood beyond them."""
        normals, offsets, facing = [], [], []
        for face in self.faces:
            normal = _normal(face)
            if normal.length() < ON_PLANE:
                continue
            n = _array(normal.unit())
            offset = float(n @ _array(face[0]))
            if (self.corners @ n).max() < offset + ON_PLANE:
                normals.append(n)
                offsets.append(offset)
                facing.append(normal.unit().dot(_TO_EYE))
        return np.array(normals), np.array(offsets), np.array(facing)


def _normal(face: Sequence[Vector]) -> Vector:
    """Return a direction out of a flat face, as long as twice its area (Newell's method)."""
    total = Vector(0.0, 0.0, 0.0)
    for i, point in enumerate(face):
        total += (point - face[0]).cross(face[(i + 1) % len(face)] - face[0])
    return total


def _array(vector: Vector) -> Array:
    return np.array([vector.x, vector.y, vector.z])


def _is_before(one: _Body, other: _Body) -> bool | None:
    """Tell whether one body is in front of another; None where no plane of either parts them."""
    looks: list[float] = []
    for body, against, sign in ((one, other, -1.0), (other, one, 1.0)):
        normals, offsets, facing = body.outer_planes
        beyond = (normals @ against.corners.T).min(axis=1) > offsets - ON_PLANE
        looks += (sign * facing[beyond]).tolist()
    # The plane that is seen least on edge tells most surely.
    return max(looks, key=abs) > 0 if looks else None


def _overlap(one: _Body, other: _Body) -> bool:
    a, b = one.box, other.box
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _from_behind(bodies: Sequence[_Body]) -> Iterator[_Body]:
    """Return the bodies in an order in which each comes after all that it stands before."""
    behind: list[set[int]] = [set() for _ in bodies]
    for i, one in enumerate(bodies):
        for j in range(i):
            if _overlap(one, bodies[j]):
                match _is_before(one, bodies[j]):
                    case True:
                        behind[i].add(j)
                    case False:
                        behind[j].add(i)
    left = sorted(range(len(bodies)), key=lambda i: bodies[i].depth)
    while left:
        painted = set(left)
        # Where bodies go round in a ring, the furthest of them is painted first.
        free = next((i for i in left if not behind[i] & painted), left[0])
        left.remove(free)
        yield bodies[free]
