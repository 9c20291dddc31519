"""The line in which two slopes meet as it runs up, and how the stick under it lies to both.

What hips and valleys share: each says for itself where it starts, how far it is lowered, and what
it comes over.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import hypot

from cutlist.geometry.space import UP, Frame, Plane, Vector, meet
from cutlist.geometry.stick import Cut
from cutlist.lumber import Size
from cutlist.roof.face import Face, up_the_line
from cutlist.roof.support import Strip


@dataclass(frozen=True, kw_only=True)
class SlantLine(ABC):
    """A hip or valley between a main slope and another: its line, and the stick that lies there."""

    main: Face
    end: Face
    size: Size

    @property
    @abstractmethod
    def line(self) -> str:
        """Its name."""

    @property
    @abstractmethod
    def foot(self) -> Vector:
        """Where the line of the two slopes stands over the building line, or its lower end."""

    @property
    @abstractmethod
    def drop(self) -> float:
        """Plumb height by which the whole stick is lowered."""

    @property
    @abstractmethod
    def heel_run(self) -> float:
        """Level distance by which the heel is cut outside the plates' corner."""

    @abstractmethod
    def width(self, face: Face) -> float:
        """Return how much of the stick's thickness lies on a slope's side of its line."""

    @abstractmethod
    def outward(self, face: Face) -> Vector:
        """Return the unit level direction out of the stick on a slope's side."""

    @abstractmethod
    def seats(self, strips: Iterable[Strip]) -> tuple[Cut, ...]:
        """Return the notches over the plates that it comes over, the lowest first."""

    @property
    def eaves_corner(self) -> Vector:
        """Where the line of the two slopes stands over the corner of their eaves."""
        return meet(self.main.plane, self.end.plane, self.end.plumb(-self.end.overhang))

    @cached_property
    def direction(self) -> Vector:
        """Unit direction up the line in which the two slopes meet."""
        return up_the_line(self.main, self.end)

    @cached_property
    def level(self) -> Vector:
        """Unit level direction of the line, uphill."""
        return Vector(self.direction.x, self.direction.y, 0.0).unit()

    @property
    def pitch(self) -> float:
        """Rise per unit of the line's own run."""
        return self.direction.z / hypot(self.direction.x, self.direction.y)

    @cached_property
    def right(self) -> Vector:
        """Unit level direction to the right, seen from foot to head."""
        return self.level.cross(UP)

    @property
    def shift(self) -> float:
        """How far, square to it in plan, the stick's middle stands off the line on the main side.

        Negative where it stands on the end's side.
        """
        return self.width(self.main) - self.size.thickness / 2

    @cached_property
    def frame(self) -> Frame:
        """The stick's frame, its near face to the right."""
        x = self.direction
        y = self.right.cross(x)
        left = self.main if self.outward(self.main).dot(self.right) < 0 else self.end
        corner = self.foot - UP * self.drop - self.right * self.width(left)
        return Frame.along(corner - y * self.size.depth, x, y)

    @property
    def heel_line(self) -> Plane:
        """The plumb plane square to the line through its foot."""
        return Plane.through(self.foot, self.level)

    def fall(self, face: Face) -> float:
        """Return how far a slope falls or rises for each unit square to the line, in plan."""
        return abs(face.uphill.dot(self.right)) * face.pitch

    def side(self, face: Face) -> Plane:
        """Return the stick's wide face on a slope's side; the stick lies beyond."""
        outward = self.outward(face)
        return Plane.through(self.foot + outward * self.width(face), -outward)

    def jack_run(self, face: Face, station: float) -> float:
        """Return the level run of a jack on a slope, from the building line to the stick's face.

        Measured at the jack's mid-thickness; negative where the stick lies outside.
        """
        side = self.side(face)
        return -side.distance(face.point(station, 0.0, 0.0)) / side.normal.dot(face.uphill)

    def run_difference(self, face: Face) -> float:
        """Return how much the run of jacks on a slope changes for each unit along its plate."""
        normal = self.side(face).normal
        return abs(normal.dot(face.along) / normal.dot(face.uphill))

    def place_of(self, face: Face, station: float) -> float:
        """Return where a jack lands, along the stick's top edge from its heel line."""
        landing = face.point(station, self.jack_run(face, station), 0.0)
        return (landing - self.foot).dot(self.level) * hypot(1.0, self.pitch)

    def taken_by(self, face: Face, thickness: float) -> float:
        """Return how much of the stick's top edge a jack of a thickness takes, at an angle to it.

        Between equal slopes over a square corner it is t sqrt(2) for each unit of the line's run.
        """
        return abs(self.place_of(face, thickness) - self.place_of(face, 0.0))
