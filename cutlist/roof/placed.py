"""The first roof of a job and all that meet it in their places: their walls and their ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from math import cos, radians, sin
from typing import Literal

from shapely import LineString, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from cutlist.errors import JobError
from cutlist.geometry.outline import Line
from cutlist.geometry.space import ORIGIN, UP, Plane, Vector
from cutlist.job import Job, RoofTable, WingTable
from cutlist.job.plan import squared
from cutlist.job.values import EndForm
from cutlist.roof.ends import level_overhang, raised
from cutlist.tolerance import ON_PLANE, SAME_POINT
from cutlist.units import format_length


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A table of the job in its place; `key` is the table's in the job file.

    Its walls are counted from 0, each from a corner to the next. `ends`: those that may run into
    another roof, a rectangle's left and right one, or the mouth of a wing given by its corners.
    `drop`: how far its fascia lies under its rafters' tops over the building lines; None where it
    is level with the first roof's.
    """

    key: str
    name: str
    table: RoofTable
    origin: Vector
    along: Vector
    is_open: bool
    ends: tuple[int, ...]
    drop: float | None = None

    @property
    def across(self) -> Vector:
        """Unit level direction in which its span is measured."""
        return UP.cross(self.along)

    def point(self, x: float, y: float) -> Vector:
        """Return the plan point at a place of its own plan."""
        return self.origin + self.along * x + self.across * y

    @cached_property
    def corners(self) -> tuple[Vector, ...]:
        """The corners of its building lines, counter-clockwise; those of gables are square."""
        plan, gables = self.table.plan, self.table.gable_sides
        return tuple(self.point(*at) for at in (squared(plan, gables) if gables else plan))

    @cached_property
    def walls(self) -> Polygon:
        """The building lines as given."""
        return Polygon([(c.x, c.y) for c in self.corners])

    def wall(self, number: int, beyond: float) -> LineString:
        """Return a wall, moved that far out of the building."""
        out = self.line(number).normal * beyond
        return LineString([(p.x, p.y) for p in (end + out for end in self._ends(number))])

    def line(self, number: int) -> Plane:
        """Return the plumb plane through a wall's building line; outside lies beyond."""
        start, end = self._ends(number)
        return Plane.through(start, (end - start).unit().cross(UP))

    def limit(self, number: int, beyond: float) -> Line:
        """Return the plan line so far outside a wall; further out lies beyond."""
        wall = self.line(number)
        return Line("limit", wall.normal.x, wall.normal.y, wall.offset + beyond)

    def _ends(self, number: int) -> tuple[Vector, Vector]:
        return self.corners[number], self.corners[(number + 1) % len(self.corners)]

    @property
    def is_shed(self) -> bool:
        """Whether it is a wing of one slope, over its first wall."""
        return self.table.form == "shed" and self.key != "roof"

    @property
    def is_bay(self) -> bool:
        """Whether it is a wing given by the corners of its walls, with a mouth."""
        return self.table.is_polygon and bool(self.ends)

    @property
    def end_forms(self) -> tuple[EndForm, EndForm]:
        """How a rectangle's left and right end are made as the job says."""
        both: EndForm = "hip" if self.table.form == "hip" else "gable"
        return self.table.ends or (both, both)

    @property
    def gables(self) -> tuple[int, ...]:
        """Its walls that are gables as the job says."""
        if self.table.is_polygon:
            return self.table.gable_sides
        ends = zip((LEFT, RIGHT), self.end_forms, strict=True)
        return tuple(number for number, form in ends if form == "gable")

    @property
    def sloped(self) -> tuple[int, ...]:
        """The walls of a plan given by its corners that have a slope."""
        sides = range(len(self.table.side_pitches))
        return tuple(number for number in sides if number not in self.gables)

    def has_slope(self, number: int) -> bool:
        """Tell whether a wall that may run into another roof has a slope where it does not."""
        return not self.table.is_polygon and number not in self.gables

    def side(self, number: int) -> str:
        """Return what a wall that may run into another roof is called."""
        if self.table.is_polygon:
            return "mouth"
        return "left end" if number == LEFT else "right end"


LEFT, RIGHT = 3, 1
"""Walls of a rectangle that are its ends."""

BACK = 2
"""Wall of a rectangle toward which a shed rises."""

Ends = frozenset[int]
"""Those of its ends by which a roof runs into another."""


def placed_roofs(job: Job) -> tuple[Placed, ...]:
    """Return the first roof of a job and its wings.

    Raises JobError where one does not touch another, or stands half in it.
    """
    found = _placed(job)
    _must_touch(job, found)
    _must_stand_apart(job, found)
    return tuple(found)


def _placed(job: Job) -> list[Placed]:
    first = Placed(
        key="roof",
        name="",
        table=job.roof,
        origin=ORIGIN,
        along=Vector(1.0, 0.0, 0.0),
        is_open=False,
        ends=() if job.roof.is_polygon else (LEFT, RIGHT),
    )
    found = [first]
    for i, table in enumerate(job.wing, start=1):
        turn = table.turn % 360
        # Sine and cosine of right angles are not quite whole numbers.
        x, y = (cos(radians(turn)), sin(radians(turn)))
        if turn % 90 == 0:
            x, y = round(x), round(y)
        wing = Placed(
            key=f"wing[{i}]",
            name=f"wing {i} ",
            table=table,
            origin=Vector(*table.at, raised(job, table)),
            along=Vector(x, y, 0.0),
            is_open=table.open,
            ends=_ends(table),
        )
        found.append(replace(wing, drop=_own_drop(job, table, wing, first)))
    return found


def _ends(table: WingTable) -> tuple[int, ...]:
    """Return the walls of a wing that may run into another; a shed's slope does, not its sides."""
    if table.form == "shed":
        return ()
    return (len(table.plan) - 1,) if table.is_polygon else (LEFT, RIGHT)


def _own_drop(job: Job, table: WingTable, p: Placed, first: Placed) -> float | None:
    """Return how far a wing's own fascia lies under its rafters' tops; None where it is level.

    A wing that is laid on has its own where the job gives it an overhang. Without one it takes the
    first roof's where both its ends stand inside it.
    """
    if not job.is_laid or table.is_polygon:
        return None
    pitch = table.first_pitch or job.roof.first_pitch or 0.0
    if p.is_shed:
        return (table.overhang or 0.0) * pitch
    if table.overhang is not None:
        level = level_overhang(job, pitch, p.origin.z)
        is_level = abs(table.overhang - level) <= job.saw.round_to / 2
        return None if is_level else table.overhang * pitch
    ends = (just_past(job, p, number) for number in p.ends)
    inside = all(end.difference(first.walls).length < SAME_POINT for end in ends)
    return job.roof.overhang * pitch if inside else None


def _must_touch(job: Job, placed: Sequence[Placed]) -> None:
    whole = union_all([p.walls.buffer(ON_PLANE) for p in placed])
    if isinstance(whole, Polygon):
        return
    for p in placed[1:]:
        rest = union_all([o.walls for o in placed if o is not p])
        if p.walls.distance(rest) > ON_PLANE:
            raise JobError(
                [
                    f"{p.key}.at: the wing at {place(job, p.origin)} does not touch the other "
                    f"roofs; the nearest is {length_text(job, p.walls.distance(rest))} away"
                ]
            )
    raise JobError(["wing: some of the wings do not touch the others"])


def _must_stand_apart(job: Job, placed: Sequence[Placed]) -> None:
    """Refuse wings that stand in each other outside the first roof: both would frame one place.

    One whose end runs into the other with its whole width stands in it as in the first roof.
    """
    first, *wings = placed
    for one, other in combinations(wings, 2):
        shared = one.walls.intersection(other.walls).difference(first.walls)
        runs_in = any(
            _part_in(job, p, number, host.walls) == "whole"
            for p, host in ((one, other), (other, one))
            for number in p.ends
        )
        if shared.area > ON_PLANE and not runs_in:
            raise JobError(
                [
                    f"{other.key}.at: the wing stands in {one.key} at "
                    f"{place(job, shared.centroid)}; end one at the other's wall, or draw it out "
                    "so far that the whole width of its end stands in the other"
                ]
            )


def joined_ends(job: Job, p: Placed, others: Sequence[Placed]) -> Ends:
    """Return those of its ends that run on into another roof; none does into a bay.

    A hip end of which only a part is in another roof keeps its slope, for that one to run into.
    Raises JobError for a gable that stands half in one.
    """
    rest = union_all([o.walls for o in others if not o.is_bay])

    def joins(number: int) -> bool:
        part = _part_in(job, p, number, rest)
        if part == "some":
            if p.has_slope(number):
                return False
            middle = just_past(job, p, number).intersection(rest).centroid
            raise JobError(
                [
                    f"{p.key}: its {p.side(number)} stands half in another roof "
                    f"at {place(job, middle)}; move it clear, or so that its whole width runs in"
                ]
            )
        return part == "whole"

    return frozenset(number for number in p.ends if joins(number))


def _part_in(
    job: Job, p: Placed, number: int, walls: BaseGeometry
) -> Literal["none", "some", "whole"]:
    """Tell how much of an end's width runs into what other walls enclose."""
    wall = just_past(job, p, number)
    inside = wall.intersection(walls).length
    if inside <= SAME_POINT:
        return "none"
    return "whole" if inside >= wall.length - job.saw.round_to else "some"


def just_past(job: Job, p: Placed, number: int) -> LineString:
    """Return a wall a hair outwards: an end on another's wall line does not run into it."""
    return p.wall(number, job.saw.round_to / 2)


def place(job: Job, point: Vector | Point) -> str:
    """Return a plan position as people read it."""
    return f"({length_text(job, point.x)}, {length_text(job, point.y)})"


def length_text(job: Job, length: float) -> str:
    """Return a length as people read it."""
    return format_length(length, job.units, job.saw.round_to)
