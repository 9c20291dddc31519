"""A member of the roof: a trimmed stick and what it is for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from cutlist.geometry.space import Plane
from cutlist.geometry.stick import Cut, Stick
from cutlist.lumber import Size

Role = Literal["common", "hip", "hip-jack", "barge", "ridge", "ledger"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A notch as cut: level seat, plumb heel, depth square to the edge, plumb wood left above."""

    name: str
    seat: float
    heel: float
    depth: float
    plumb_left: float


@dataclass(frozen=True, kw_only=True)
class Member:
    """One stick of the roof. `line` names what it stands on or forms, as in `near`.

    `heel_line`: the plumb plane over the building line, from which lengths are measured, in plan
    coordinates; None for a member that stands on no plate. `head_cut` and `foot_cut` name the
    planes that make its ends. `faces` names the faces of the roof that its top lies in or, as a
    ridge board's, just under; empty for one that carries the roof from below.
    """

    role: Role
    size: Size
    stick: Stick
    line: str
    station: float
    head_cut: str
    foot_cut: str
    faces: tuple[str, ...]
    heel_line: Plane | None = None

    @cached_property
    def line_length(self) -> float:
        """Length along the top edge at mid-thickness, from the head's cut to the heel line.

        A member without a heel line is measured from end to end.
        """
        return self._head - (self._foot if self._heel is None else self._heel)

    @cached_property
    def tail_length(self) -> float:
        """Length along the top edge from the heel line to the tail's end; 0 without a heel line."""
        return 0.0 if self._heel is None else self._heel - self._foot

    @cached_property
    def _head(self) -> float:
        return max(x for x, _ in self._top)

    @cached_property
    def _foot(self) -> float:
        return min(x for x, _ in self._top)

    @cached_property
    def _top(self) -> list[tuple[float, float]]:
        middle = self.stick.middle
        edges = (*middle.segments("top"), *middle.segments("backing"))
        return [point for edge in edges for point in edge]

    @cached_property
    def _heel(self) -> float | None:
        if self.heel_line is None:
            return None
        return self.stick.top_at(self.stick.frame.plane_inward(self.heel_line))

    @cached_property
    def notches(self) -> tuple[Notch, ...]:
        """The notches, in the order they were cut: the plate's first."""
        return tuple(
            measure_notch(self.stick, cut) for cut in self.stick.cuts if len(cut.planes) > 1
        )

    @property
    def height_above_plate(self) -> float | None:
        """Plumb height from the heel to the top edge; None without a birdsmouth."""
        return self.notches[0].plumb_left if self.notches and self.heel_line else None


def measure_notch(stick: Stick, cut: Cut) -> Notch:
    """Return the measures of a notch whose first plane is its seat and second its heel."""
    seat, heel = (stick.middle.segments(p.name) for p in cut.planes[:2])
    deepest = max((y for segment in (*seat, *heel) for _, y in segment), default=0.0)
    return Notch(
        name=cut.planes[0].name,
        seat=stick.middle.length(cut.planes[0].name),
        heel=stick.middle.length(cut.planes[1].name),
        depth=deepest,
        plumb_left=(stick.depth - deepest) / stick.frame.y.z,
    )
