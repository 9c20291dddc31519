"""A hip: the line from which two slopes fall, and how its rafter lies under it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import atan2, tan

from cutlist.errors import JobError
from cutlist.geometry.space import Plane, Vector, meet
from cutlist.geometry.stick import Cut, CutPlane, end_cut
from cutlist.job import Job
from cutlist.roof.face import Face, names_together
from cutlist.roof.slant_line import SlantLine
from cutlist.roof.support import Strip

SHORTEST_JACK_IN, SHORTEST_JACK_MM = 12.0, 300.0
"""Jacks shorter than this are left out unless the job says otherwise."""


@dataclass(frozen=True, kw_only=True)
class Hip(SlantLine):
    """A hip between a main slope and an end's.

    A backed one stands with its middle on the line in which they meet, its top edge bevelled to
    both. An unbacked one is set so far to one side, and dropped so far, that both its top edges
    lie in the slopes; with equal slopes it stays in the middle.
    """

    backed: bool

    @classmethod
    def between(cls, job: Job, main: Face, end: Face) -> Hip:
        """Return the hip of a job between two of its slopes. Raises JobError without [hip]."""
        if job.hip is None:
            raise JobError(["hip: it is missing"])
        return cls(main=main, end=end, size=job.hip.size, backed=job.hip.top == "back")

    @property
    def line(self) -> str:
        """Its name."""
        return f"{names_together(self.main, self.end)} hip"

    @cached_property
    def foot(self) -> Vector:
        """Where the line of the two slopes stands over the end's building line."""
        return meet(self.main.plane, self.end.plane, self.end.plumb(0.0))

    def width(self, face: Face) -> float:
        """Return how much of the hip's thickness lies on a slope's side of its line.

        Both edges are at one height, so the parts are as the other side's falls; with t the
        thickness and phi the plan angles this is t tan phiA / (tan phiA + tan phiB). Checked in
        tests/published against a printed example of unequal slopes.
        """
        if self.backed:
            return self.size.thickness / 2
        other = self.end if face is self.main else self.main
        return self.size.thickness * self.fall(other) / (self.fall(self.main) + self.fall(self.end))

    @property
    def drop(self) -> float:
        """Plumb height by which the whole stick is lowered; 0 for a backed hip."""
        return 0.0 if self.backed else self.width(self.main) * self.fall(self.main)

    def backing_angle(self, face: Face) -> float:
        """Return the angle of a slope to the stick's unbevelled top edge, square to it [rad].

        The top edge and the slope both hold the hip's direction, so the angle is read in a section
        square to the hip. Between equal slopes its tangent is the sine of the hip's own slope.
        """
        normal = face.plane.normal
        return atan2(abs(normal.dot(self.right)), normal.dot(self.frame.y))

    def backing_depth(self, face: Face) -> float:
        """Return how far down its side, square to the top edge, a slope leaves the stick.

        It is what a backed hip's edge is bevelled by on that side; an unbacked hip whose top edge
        stood on the line would have to be lowered so far, square to itself.
        """
        return self.width(face) * tan(self.backing_angle(face))

    def outward(self, face: Face) -> Vector:
        """Return the unit level direction out of the hip on a slope's side."""
        return self.right if face.uphill.dot(self.right) < 0 else -self.right

    @property
    def heel_run(self) -> float:
        """Level distance by which the heel is cut outside the plates' corner."""
        return 0.0

    def seats(self, strips: Iterable[Strip]) -> tuple[Cut, ...]:
        """Return the notches over the plates that it comes over: the one at their corner."""
        return (self.seat,)

    @property
    def seat(self) -> Cut:
        """The notch over the plates' corner: a level seat, and a heel square to the hip.

        The heel touches the corner of the plates, which needs no clip.
        """
        plates = (f"{self.main.name} plate", f"{self.end.name} plate")
        return Cut(
            (
                CutPlane("seat", self.end.plate_top, plates),
                CutPlane("heel", self.heel_line),
            )
        )

    @property
    def backing(self) -> tuple[Cut, ...]:
        """The bevels of a backed hip's top edge: the slopes themselves."""
        if not self.backed:
            return ()
        return tuple(end_cut("backing", face.plane) for face in (self.main, self.end))


@dataclass(frozen=True, kw_only=True)
class UpperHip(Hip):
    """A hip that does not come down to the eaves: it starts where other hips or a ridge end.

    `low`: its lower end. It stands on no plate.
    """

    low: Vector

    @classmethod
    def starting_at(cls, low: Vector, hip: Hip) -> UpperHip:
        """Return the part of a hip above a point of its line."""
        return cls(main=hip.main, end=hip.end, size=hip.size, backed=hip.backed, low=low)

    @cached_property
    def foot(self) -> Vector:
        """Its lower end."""
        return self.low

    @property
    def eaves_corner(self) -> Vector:
        """Its lower end, since it does not come down to the eaves."""
        return self.low


def commons_side(job: Job, face: Face, point: Vector) -> Plane:
    """Return the side, toward a slope's eave, of commons that stand across it under a point."""
    return face.plumb(face.run(point) - job.rafter.size.thickness / 2)


def shortest_jack(job: Job) -> float:
    """Return the least length, heel line to head along the top edge, of a jack that is cut.

    None is cut that is shorter than it is thick.
    """
    least = job.hip.shortest_jack if job.hip else None
    if least is None:
        least = job.units.printed(inches=SHORTEST_JACK_IN, mm=SHORTEST_JACK_MM)
    return max(least, job.rafter.size.thickness)
