"""A valley: the line from which two slopes rise, and how its rafter lies under it."""

from __future__ import annotations

from dataclasses import dataclass

from cutlist.errors import JobError
from cutlist.geometry.space import Plane, Vector
from cutlist.geometry.stick import Cut, CutPlane
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip


@dataclass(frozen=True, kw_only=True)
class Valley(Hip):
    """A valley between two slopes: a line as a hip's, from which both slopes rise.

    Its middle stands on the line and its top edge is not bevelled: the line lies in it, its sides
    under the slopes. A `supporting` one runs on past the line's upper end, up the `main` slope,
    which rises on one side of it and falls on the other: it is dropped so far that its top edge on
    the falling side lies in that slope.
    """

    supporting: bool = False

    @classmethod
    def of(cls, job: Job, main: Face, end: Face, *, supporting: bool = False) -> Valley:
        """Return the valley of a job between two slopes. Raises JobError without [valley]."""
        if job.valley is None:
            raise JobError(["valley: it is missing"])
        return cls(main=main, end=end, size=job.valley.size, backed=False, supporting=supporting)

    @property
    def line(self) -> str:
        """Its name."""
        return f"{self.main.name} {self.end.name} valley"

    def width(self, face: Face) -> float:
        """Return how much of its thickness lies on a slope's side of its line: half."""
        return self.size.thickness / 2

    @property
    def drop(self) -> float:
        """Plumb height by which the whole stick is lowered; 0 unless it is supporting."""
        return self.width(self.main) * self.fall(self.main) if self.supporting else 0.0

    def outward(self, face: Face) -> Vector:
        """Return the unit level direction out of the valley on a slope's side."""
        return -super().outward(face)

    @property
    def heel_run(self) -> float:
        """Level distance by which the heel is cut outside the plates' inside corner.

        The heel is square to the valley; so far out, both its ends clear the plates.
        """
        return max(
            self.width(face) * abs(face.uphill.dot(self.right)) / face.uphill.dot(self.level)
            for face in (self.main, self.end)
        )

    @property
    def seat(self) -> Cut:
        """The notch over the plates at their inside corner: a level seat, and a heel outside it."""
        plates = (f"{self.main.name} plate", f"{self.end.name} plate")
        heel = Plane.through(self.foot - self.level * self.heel_run, self.level)
        return Cut((CutPlane("seat", self.main.plate_top, plates), CutPlane("heel", heel)))
