"""A stick: a straight board trimmed by planes, standing somewhere in the plan.

A cut is a plane of what the stick meets, never an angle formula. One plane alone is an end cut
(or a bevel along the stick); a notch takes what lies beyond two or more planes at once, such as
above the plate's outside and below its top. Angles and lengths are read off afterwards.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from math import asin, atan2, degrees
from typing import Literal

from cutlist.errors import GeometryError
from cutlist.geometry.outline import Line, Outline, cut_outline
from cutlist.geometry.space import Frame, Plane, Vector, meet
from cutlist.tolerance import PARALLEL, SAME_POINT

End = Literal["head", "foot"]
ENDS: tuple[End, End] = ("head", "foot")


@dataclass(frozen=True, slots=True)
class CutPlane:
    """One sawn face: its name (`plumb`, `seat`, ...) and its plane, the waste lying beyond.

    `against` names what the face was cut to lie on, any one or more of them; it is empty for a free
    end.
    """

    name: str
    plane: Plane
    against: tuple[str, ...] = ()

    @property
    def miter(self) -> float:
        """Angle of the cut's line on the wide face, from square [deg]."""
        return degrees(atan2(abs(self.plane.normal.y), abs(self.plane.normal.x)))

    @property
    def tilt(self) -> float:
        """Angle of the blade from square to the wide face [deg]."""
        return degrees(asin(min(1.0, abs(self.plane.normal.z))))

    @property
    def side(self) -> str:
        """The wide face, near or far, toward which a bevel along the stick falls."""
        return "near" if self.plane.normal.z > 0 else "far"

    def x_at(self, y: float, z: float) -> float:
        """Return where along the stick the plane stands at that depth and thickness."""
        n = self.plane.normal
        return (self.plane.offset - n.y * y - n.z * z) / n.x


@dataclass(frozen=True, slots=True)
class Cut:
    """What is taken off: all that lies beyond every one of the planes at once."""

    planes: tuple[CutPlane, ...]

    @property
    def end(self) -> End | None:
        """The end that the cut trims; None for a notch and for a bevel along the stick."""
        if len(self.planes) > 1 or abs(self.planes[0].plane.normal.x) < PARALLEL:
            return None
        return "head" if self.planes[0].plane.normal.x > 0 else "foot"

    def against(self, *names: str) -> Cut:
        """Return the cut with every face said to lie on what has one of these names."""
        return Cut(tuple(replace(p, against=names) for p in self.planes))

    def in_frame(self, frame: Frame) -> Cut:
        """Return the cut, given in plan coordinates, in the coordinates of a frame."""
        return Cut(tuple(replace(p, plane=frame.plane_inward(p.plane)) for p in self.planes))

    def moved_along(self, x: float) -> Cut:
        """Return the cut as seen from a frame whose origin is moved along x."""
        return Cut(
            tuple(replace(p, plane=p.plane.moved(-p.plane.normal.x * x)) for p in self.planes)
        )


def end_cut(name: str, plane: Plane) -> Cut:
    """Return the cut that takes all beyond one plane."""
    return Cut((CutPlane(name, plane),))


def notch(**planes: Plane) -> Cut:
    """Return the cut that takes what lies beyond all planes at once, each given by its name."""
    return Cut(tuple(CutPlane(name, plane) for name, plane in planes.items()))


@dataclass(frozen=True, kw_only=True)
class Stick:
    """A board of one thickness and depth, its cuts in its own frame, and where it stands.

    The near face is z = thickness, the far face z = 0; the bottom edge is y = 0, the top edge
    y = depth. The least x of what is left is 0.
    """

    thickness: float
    depth: float
    frame: Frame
    cuts: tuple[Cut, ...]

    @classmethod
    def trimmed(cls, *, thickness: float, depth: float, frame: Frame, cuts: Iterable[Cut]) -> Stick:
        """Return the stick in that frame, trimmed by cuts given in plan coordinates.

        Raises GeometryError where an end is not cut, or the cuts leave nothing or pieces.
        """
        loose = cls(
            thickness=thickness,
            depth=depth,
            frame=frame,
            cuts=tuple(c.in_frame(frame) for c in cuts),
        )
        return loose._moved(min(x for outline in loose.outlines for x, _ in outline.points))

    def _moved(self, x: float) -> Stick:
        """Return the same wood with the frame's origin moved along the stick."""
        return Stick(
            thickness=self.thickness,
            depth=self.depth,
            frame=self.frame.moved(Vector(x, 0, 0)),
            cuts=tuple(c.moved_along(x) for c in self.cuts),
        )

    def standing(self, shift: Vector) -> Stick:
        """Return the same stick moved in the plan, its outlines worked out only once."""
        moved = replace(self, frame=replace(self.frame, origin=self.frame.origin + shift))
        shape = {name: getattr(self, name) for name in ("levels", "near", "far", "middle")}
        vars(moved).update(shape)
        return moved

    def planes(self, name: str) -> tuple[CutPlane, ...]:
        """Return the sawn faces of that name."""
        return tuple(p for cut in self.cuts for p in cut.planes if p.name == name)

    def end_planes(self, end: End) -> tuple[CutPlane, ...]:
        """Return the planes that trim one end."""
        return tuple(cut.planes[0] for cut in self.cuts if cut.end == end)

    @property
    def notches(self) -> tuple[Cut, ...]:
        """The cuts of several planes."""
        return tuple(cut for cut in self.cuts if len(cut.planes) > 1)

    @property
    def bevels(self) -> tuple[CutPlane, ...]:
        """The planes that bevel a long edge."""
        return tuple(c.planes[0] for c in self.cuts if len(c.planes) == 1 and c.end is None)

    @cached_property
    def near(self) -> Outline:
        """Outline of the near face."""
        return self.outline(self.thickness)

    @cached_property
    def far(self) -> Outline:
        """Outline of the far face, seen from the near side."""
        return self.outline(0.0)

    @cached_property
    def middle(self) -> Outline:
        """Outline at mid-thickness, where lengths are measured."""
        return self.outline(self.thickness / 2)

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """The outlines that hold every extreme of the stick, far face first.

        Both faces, and each place between them at which a corner of an end may be.
        """
        return tuple(outline for _, outline in self.levels)

    @cached_property
    def levels(self) -> tuple[tuple[float, Outline], ...]:
        """The same outlines, each with its place in the thickness."""
        return (
            (0.0, self.far),
            *((z, self.outline(z)) for z in self._crossings()),
            (self.thickness, self.near),
        )

    @cached_property
    def length(self) -> float:
        """Length of the shortest square-ended stick that this one can be cut from."""
        return max(x for outline in self.outlines for x, _ in outline.points)

    @property
    def is_square_to_face(self) -> bool:
        """Whether every cut is square to the wide face, so that both faces have one outline."""
        return all(abs(p.plane.normal.z) < PARALLEL for cut in self.cuts for p in cut.planes)

    def top_at(self, plane: Plane) -> float:
        """Return where a plane of the stick's frame crosses the top edge at mid-thickness [x]."""
        return CutPlane("", plane).x_at(self.depth, self.thickness / 2)

    def outline(self, z: float) -> Outline:
        """Return the outline at one place in the thickness, 0 the far face."""

        def line(p: CutPlane) -> Line:
            n = p.plane.normal
            return Line(p.name, n.x, n.y, p.plane.offset - n.z * z)

        single = [line(c.planes[0]) for c in self.cuts if len(c.planes) == 1]
        notches = [[line(p) for p in cut.planes] for cut in self.notches]
        least, most = self.bounds
        return cut_outline((least, 0.0, most, self.depth), single, notches)

    @cached_property
    def bounds(self) -> tuple[float, float]:
        """Least and most x that the end cuts can leave, over all four long edges."""
        corners = [(y, z) for y in (0.0, self.depth) for z in (0.0, self.thickness)]
        head, foot = self.end_planes("head"), self.end_planes("foot")
        if not head or not foot:
            raise GeometryError("a stick needs a cut at its head and at its foot")
        return (
            max(min(p.x_at(y, z) for y, z in corners) for p in foot),
            min(max(p.x_at(y, z) for y, z in corners) for p in head),
        )

    def _crossings(self) -> list[float]:
        """Where in the thickness a plane of an end crosses two others that bound that end [z].

        These are its other planes, bevels along the stick, and the bottom and top edge.
        """
        bevels = [c.planes[0].plane for c in self.cuts if len(c.planes) == 1 and c.end is None]
        edges = (Plane(Vector(0, -1, 0), 0.0), Plane(Vector(0, 1, 0), self.depth))
        found = []
        for end in ENDS:
            planes = [p.plane for p in self.end_planes(end)]
            for i, first in enumerate(planes):
                for second, third in combinations((*planes[i + 1 :], *bevels, *edges), 2):
                    if abs(first.normal.dot(second.normal.cross(third.normal))) > PARALLEL:
                        found.append(meet(first, second, third).z)
        inside = sorted(z for z in found if SAME_POINT < z < self.thickness - SAME_POINT)
        return [z for i, z in enumerate(inside) if not i or z - inside[i - 1] > SAME_POINT]
