"""The ends of a stick as planes, and the room that two ends need between them.

An end is where a stick stops. It is made of one plane (a plumb cut, a square cut, a jack's cheek
cut) or of several that meet (plumb and level tail, the double cheek of a hip). Ends are convex:
at every point of the stick's section the innermost plane is the one that cuts.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot

from cutlist.tolerance import SAME_POINT

Section = tuple[float, float]
"""Depth and thickness of a stick."""

Point = tuple[float, float]
"""A point of the section: y up the depth, z across the thickness."""


@dataclass(frozen=True, kw_only=True, slots=True)
class EndFace:
    """One plane of a stick's end, in the stick's frame: x = at + per_depth y + per_thickness z.

    y runs from 0 at the bottom edge to the depth at the top edge, z from 0 at the far face to
    the thickness at the near face. A square cut has both slopes 0; a plumb cut has the roof's
    slope as `per_depth`; a bevelled cut has a `per_thickness` too.
    """

    at: float
    per_depth: float = 0.0
    per_thickness: float = 0.0

    def x(self, y: float, z: float) -> float:
        """Where the plane stands along the stick at one point of the section."""
        return self.at + self.per_depth * y + self.per_thickness * z

    @property
    def level_factor(self) -> float:
        """Width of a saw kerf measured along the stick, for a kerf of 1 square to the cut [-].

        The plane's normal is (1, -per_depth, -per_thickness); a step of 1 along the stick is
        a step of 1 / |normal| square to the plane.
        """
        return hypot(1.0, self.per_depth, self.per_thickness)

    def moved(self, distance: float) -> "EndFace":
        """Return the plane moved along the stick."""
        return EndFace(
            at=self.at + distance, per_depth=self.per_depth, per_thickness=self.per_thickness
        )

    def mirrored(self) -> "EndFace":
        """Return the plane with x -> -x: a left end becomes the right end that faces it."""
        return EndFace(at=-self.at, per_depth=-self.per_depth, per_thickness=-self.per_thickness)


End = tuple[EndFace, ...]
"""The planes of a right end: the stick lies where x is at most that of every plane."""


def mirrored(end: End) -> End:
    """Return a left end seen as a right end, or the reverse (x -> -x)."""
    return tuple(face.mirrored() for face in end)


def moved(end: End, distance: float) -> End:
    """Return the end moved along the stick."""
    return tuple(face.moved(distance) for face in end)


def surfaces(end: End, section: Section) -> list[tuple[EndFace, list[Point]]]:
    """Return each plane of a right end with the part of the section where it is the one that cuts.

    The part is a convex polygon in (y, z). Planes that cut nothing are left out.
    """
    depth, thickness = section
    whole = [(0.0, 0.0), (depth, 0.0), (depth, thickness), (0.0, thickness)]
    found = []
    for face in end:
        part = whole
        for other in end:
            if other is not face:
                part = _where_not_above(face, other, part)
        if len(part) > 2 and _area(part) > SAME_POINT * max(section):
            found.append((face, part))
    return found


def long_point(end: End, section: Section) -> float:
    """Return the furthest that a right end reaches along the stick."""
    if len(end) == 1:
        depth, thickness = section
        return (
            end[0].at
            + max(0.0, end[0].per_depth * depth)
            + max(0.0, end[0].per_thickness * thickness)
        )
    return max(face.x(y, z) for face, part in surfaces(end, section) for y, z in part)


def mean_reach(end: End, section: Section) -> float:
    """Return how far a right end reaches along the stick, on the average of its section."""
    depth, thickness = section
    total = 0.0
    for face, part in surfaces(end, section):
        y, z = _centroid(part)
        total += _area(part) * face.x(y, z)
    return total / (depth * thickness)


def clear_of(end: End, section: Section, kerf: float) -> float:
    """Return the furthest that the saw goes along the board in cutting a right end."""
    return max(
        face.x(y, z) + kerf * face.level_factor
        for face, part in surfaces(end, section)
        for y, z in part
    )


def gap(right: End, left: End, section: Section, kerf: float) -> float:
    """Return how far the next stick's frame must stand beyond this one's, at the least.

    `right` is this stick's right end and `left` the next one's left end, each in its own stick's
    frame. At every point of the section the two are apart by the kerf, measured square to
    each of the two planes that end there; a plane counts only where it is the real end, not
    where it runs on beyond the stick.
    """
    facing = surfaces(mirrored(left), section)
    least = -float("inf")
    for face, part in surfaces(right, section):
        for other, other_part in facing:
            level_kerf = kerf * max(face.level_factor, other.level_factor)
            for y, z in _common(part, other_part):
                least = max(least, face.x(y, z) + other.x(y, z) + level_kerf)
    return least


def _where_not_above(face: EndFace, other: EndFace, part: list[Point]) -> list[Point]:
    """Clip a part of the section to where `face` is not beyond `other`."""
    return _clip(part, lambda y, z: other.x(y, z) - face.x(y, z))


def _common(part: list[Point], other: list[Point]) -> list[Point]:
    """Return the corners of what two convex counter-clockwise parts share."""
    if part == other:
        return part
    for start, end in zip(other, other[1:] + other[:1], strict=True):
        part = _clip(part, _left_of(start, end))
    return part if len(part) > 2 and _area(part) > 0.0 else []


def _left_of(start: Point, end: Point) -> Callable[[float, float], float]:
    """Return a linear function that is positive on the left of a line."""
    dy, dz = end[0] - start[0], end[1] - start[1]
    return lambda y, z: dy * (z - start[1]) - dz * (y - start[0])


def _clip(part: list[Point], inside: Callable[[float, float], float]) -> list[Point]:
    """Keep the part of a convex polygon where the linear function `inside` is not negative."""
    kept: list[Point] = []
    for here, there in zip(part, part[1:] + part[:1], strict=True):
        a, b = inside(*here), inside(*there)
        if a >= 0.0:
            kept.append(here)
        if (a > 0.0 > b) or (a < 0.0 < b):
            t = a / (a - b)
            kept.append((here[0] + t * (there[0] - here[0]), here[1] + t * (there[1] - here[1])))
    return kept


def _area(part: list[Point]) -> float:
    return 0.5 * sum(
        y0 * z1 - y1 * z0 for (y0, z0), (y1, z1) in zip(part, part[1:] + part[:1], strict=True)
    )


def _centroid(part: list[Point]) -> Point:
    y_sum = z_sum = 0.0
    for (y0, z0), (y1, z1) in zip(part, part[1:] + part[:1], strict=True):
        cross = y0 * z1 - y1 * z0
        y_sum += (y0 + y1) * cross
        z_sum += (z0 + z1) * cross
    six_areas = 6.0 * _area(part)
    return y_sum / six_areas, z_sum / six_areas
