"""A valley: the line from which two slopes rise, and how its rafter lies under it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon

from cutlist.errors import JobError
from cutlist.geometry.space import UP, Plane, Vector, meet
from cutlist.geometry.stick import Cut, CutPlane
from cutlist.job import Job
from cutlist.roof.face import Face, names_together, plumb_depth
from cutlist.roof.slant_line import SlantLine
from cutlist.roof.support import Strip, plates_under


@dataclass(frozen=True, kw_only=True)
class Valley(SlantLine):
    """A valley between two slopes, which both rise from its line.

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
        return cls(main=main, end=end, size=job.valley.size, supporting=supporting)

    @property
    def line(self) -> str:
        """Its name."""
        return f"{names_together(self.main, self.end)} valley"

    def width(self, face: Face) -> float:
        """Return how much of its thickness lies on a slope's side of its line: half."""
        return self.size.thickness / 2

    @property
    def drop(self) -> float:
        """Plumb height by which the whole stick is lowered; 0 unless it is supporting."""
        return self.width(self.main) * self.fall(self.main) if self.supporting else 0.0

    def outward(self, face: Face) -> Vector:
        """Return the unit level direction out of the valley on a slope's side, where it rises."""
        return self.right if face.uphill.dot(self.right) > 0 else -self.right

    @cached_property
    def foot(self) -> Vector:
        """Where the line stands over the building line: of the lower plate, if one is lower.

        Over plates of one height it is the building lines' corner.
        """
        return self._over(self.plate_tops[0])

    @property
    def plate_tops(self) -> tuple[float, ...]:
        """Heights of the plates that it may come over, the lower first."""
        return tuple(sorted({self.main.corner.z, self.end.corner.z}))

    @property
    def heel_run(self) -> float:
        """Level distance by which the heel is cut outside the lower plate's building line.

        The heel is square to the valley; so far out, both its ends clear the plates.
        """
        return self._heel_run(self.plate_tops[0])

    def seats(self, strips: Iterable[Strip]) -> tuple[Cut, ...]:
        """Return the notches over the plates that it comes over, the lowest first.

        Over plates of one height it is one notch, over their inside corner; those of two heights
        it comes over one after the other. What the notch over the higher takes, that over the lower
        need not.
        """
        found: list[Cut] = []
        taken = Polygon()
        for top in reversed(self.plate_tops):
            area = self._seat_area(top)
            if names := plates_under(strips, top, area.difference(taken), self.size.thickness):
                found.insert(0, self._seat_over(top, names))
                taken = area
        return tuple(found)

    def _seat_over(self, top: float, plates: tuple[str, ...]) -> Cut:
        """Return the notch over plates of a height: a level seat, and a heel outside them."""
        heel = Plane.through(self._heel(top), self.level)
        return Cut((CutPlane("seat", Plane(-UP, -top), plates), CutPlane("heel", heel)))

    def _seat_area(self, top: float) -> Polygon:
        """Return, in plan, where plates with their tops at a height would be in its way."""
        half = self.right * (self.size.thickness / 2)
        tail = self.eaves_corner
        begin = max(self._heel(top), Vector(tail.x, tail.y, top), key=self.level.dot)
        under = plumb_depth(self.size.depth, self.pitch) + self.drop - self.main.height_above_plate
        end = self._over(top) + self.level * (under / self.pitch)
        corners = (begin - half, begin + half, end + half, end - half)
        return Polygon([(p.x, p.y) for p in corners])

    def _faces(self, top: float) -> list[Face]:
        return [face for face in (self.end, self.main) if face.corner.z == top]

    def _over(self, top: float) -> Vector:
        """Return where the line stands over the building line of plates of a height."""
        return meet(self.main.plane, self.end.plane, self._faces(top)[0].plumb(0.0))

    def _heel_run(self, top: float) -> float:
        return max(
            self.width(face) * abs(face.uphill.dot(self.right)) / face.uphill.dot(self.level)
            for face in self._faces(top)
        )

    def _heel(self, top: float) -> Vector:
        return self._over(top) - self.level * self._heel_run(top)
