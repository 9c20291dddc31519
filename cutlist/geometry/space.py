"""Points, planes and frames in three dimensions.

Plan coordinates: x along the building, y across it, z up from the top of the plate. A stick's own
frame: x along it from foot to head, y up its depth, z across its thickness. Both are right-handed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot


@dataclass(frozen=True, slots=True)
class Vector:
    """A point or a direction."""

    x: float
    y: float
    z: float

    def __add__(self, other: Vector) -> Vector:
        return Vector(self.x + other.x, self.y + other.y, self.z + other.z)

    def __sub__(self, other: Vector) -> Vector:
        return Vector(self.x - other.x, self.y - other.y, self.z - other.z)

    def __mul__(self, factor: float) -> Vector:
        return Vector(self.x * factor, self.y * factor, self.z * factor)

    def __neg__(self) -> Vector:
        return Vector(-self.x, -self.y, -self.z)

    def dot(self, other: Vector) -> float:
        """Return the scalar product."""
        return self.x * other.x + self.y * other.y + self.z * other.z

    def cross(self, other: Vector) -> Vector:
        """Return the vector product, right-handed."""
        return Vector(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )

    def length(self) -> float:
        """Return the length."""
        return hypot(self.x, self.y, self.z)

    def unit(self) -> Vector:
        """Return the direction, one long. Raises ZeroDivisionError for the zero vector."""
        return self * (1 / self.length())


ORIGIN = Vector(0, 0, 0)
ALONG = Vector(1, 0, 0)
ACROSS = Vector(0, 1, 0)
UP = Vector(0, 0, 1)


@dataclass(frozen=True, slots=True)
class Plane:
    """All points p with normal . p = offset; the side the normal points to lies beyond it."""

    normal: Vector
    offset: float

    @classmethod
    def through(cls, point: Vector, normal: Vector) -> Plane:
        """Return the plane through a point, square to a direction of any length."""
        unit = normal.unit()
        return cls(unit, unit.dot(point))

    def distance(self, point: Vector) -> float:
        """Return how far the point lies beyond the plane; negative on the near side."""
        return self.normal.dot(point) - self.offset

    def flipped(self) -> Plane:
        """Return the same plane with its two sides exchanged."""
        return Plane(-self.normal, -self.offset)

    def moved(self, distance: float) -> Plane:
        """Return the parallel plane that lies this far beyond."""
        return Plane(self.normal, self.offset + distance)


GROUND = Plane(UP, 0.0)
"""The level plane in which plan positions are found."""


def meet(a: Plane, b: Plane, c: Plane) -> Vector:
    """Return the one point of three planes, by Cramer's rule.

    Raises ZeroDivisionError where two of them are parallel or all share a direction.
    """
    bc, ca, ab = b.normal.cross(c.normal), c.normal.cross(a.normal), a.normal.cross(b.normal)
    return (bc * a.offset + ca * b.offset + ab * c.offset) * (1 / a.normal.dot(bc))


@dataclass(frozen=True, slots=True)
class Frame:
    """A right-handed frame: its origin and its three unit axes, in plan coordinates."""

    origin: Vector
    x: Vector
    y: Vector
    z: Vector

    @classmethod
    def along(cls, origin: Vector, x: Vector, y: Vector) -> Frame:
        """Return the frame with x and y in the directions given, which must be square."""
        x, y = x.unit(), y.unit()
        return cls(origin, x, y, x.cross(y))

    def outward(self, point: Vector) -> Vector:
        """Return the plan coordinates of a point given in this frame."""
        return self.origin + self.x * point.x + self.y * point.y + self.z * point.z

    def inward(self, point: Vector) -> Vector:
        """Return a plan point in the coordinates of this frame."""
        from_origin = point - self.origin
        return Vector(from_origin.dot(self.x), from_origin.dot(self.y), from_origin.dot(self.z))

    def plane_inward(self, plane: Plane) -> Plane:
        """Return a plane of plan coordinates in the coordinates of this frame."""
        n = plane.normal
        return Plane(
            Vector(n.dot(self.x), n.dot(self.y), n.dot(self.z)), -plane.distance(self.origin)
        )

    def plane_outward(self, plane: Plane) -> Plane:
        """Return a plane of this frame in plan coordinates."""
        normal = self.x * plane.normal.x + self.y * plane.normal.y + self.z * plane.normal.z
        return Plane(normal, plane.offset + normal.dot(self.origin))

    def moved(self, shift: Vector) -> Frame:
        """Return the frame with its origin at the point `shift` of this one."""
        return Frame(self.outward(shift), self.x, self.y, self.z)

    def matrix(self) -> tuple[tuple[float, float, float, float], ...]:
        """Return the 4x4 row-major matrix that carries this frame's coordinates to the plan's."""
        x, y, z, o = self.x, self.y, self.z, self.origin
        return (
            (x.x, y.x, z.x, o.x),
            (x.y, y.y, z.y, o.y),
            (x.z, y.z, z.z, o.z),
            (0.0, 0.0, 0.0, 1.0),
        )


IDENTITY = Frame(ORIGIN, ALONG, ACROSS, UP)
"""The frame whose coordinates are the plan's, or those of whatever else it stands in."""
