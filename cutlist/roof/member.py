"""A member of the roof: a trimmed stick and what it is for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import dist
from typing import Literal

from cutlist.geometry.outline import Point
from cutlist.geometry.space import Plane, Vector
from cutlist.geometry.stick import Cut, CutPlane, Stick
from cutlist.lumber import Size
from cutlist.tolerance import ON_PLANE

Role = Literal[
    "common",
    "hip",
    "valley",
    "valley-plate",
    "head-plate",
    "hip-jack",
    "valley-jack",
    "cripple-jack",
    "barge",
    "ridge",
    "ledger",
]


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
        return 0.0 if self._heel is None else max(0.0, self._heel - self._foot)

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
        return tuple(measure_notch(self.stick, cut) for cut in self.stick.notches)

    @property
    def height_above_plate(self) -> float | None:
        """Plumb height from the heel to the top edge; None without a birdsmouth."""
        return self.notches[0].plumb_left if self.notches and self.heel_line else None


def measure_notch(stick: Stick, cut: Cut) -> Notch:
    """Return the measures of a notch whose first plane is its seat and second its heel.

    They are read off the outline at mid-thickness, wherever it lies in one plane of the notch and
    beyond the others: so is a seat that a level tail's cut is in line with.
    """
    seat, heel = (_in_notch(stick, cut, plane) for plane in cut.planes[:2])
    deepest = max((y for segment in (*seat, *heel) for _, y in segment), default=0.0)
    return Notch(
        name=cut.planes[0].name,
        seat=sum(dist(*segment) for segment in seat),
        heel=sum(dist(*segment) for segment in heel),
        depth=deepest,
        plumb_left=(stick.depth - deepest) / stick.frame.y.z,
    )


def _in_notch(stick: Stick, cut: Cut, own: CutPlane) -> list[tuple[Point, Point]]:
    """Return the parts of the outline at mid-thickness that lie in one plane of a notch."""
    found = []
    for start, end in pairwise((*stick.middle.points, stick.middle.points[0])):
        ends = [Vector(x, y, stick.thickness / 2) for x, y in (start, end)]
        if max(abs(own.plane.distance(point)) for point in ends) > ON_PLANE:
            continue
        first, last = 0.0, 1.0
        for other in cut.planes:
            if other is own:
                continue
            before, after = (other.plane.distance(point) for point in ends)
            if before < 0 < after:
                first = max(first, before / (before - after))
            elif after < 0 < before:
                last = min(last, before / (before - after))
            elif max(before, after) <= 0:
                last = first
        if first < last:
            dx, dy = end[0] - start[0], end[1] - start[1]
            found.append(
                (
                    (start[0] + first * dx, start[1] + first * dy),
                    (start[0] + last * dx, start[1] + last * dy),
                )
            )
    return found
