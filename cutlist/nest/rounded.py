"""The problem in whole numbers: what the search works on.

Each stick in each of its ways is a `Lay`: a length between its long points and the classes of its
two ends. Sticks of a job share few ends, so the room between neighbours is a small table by right
end and left end. It is measured between long points and is negative where ends interlock. In these
terms a board holds a row of lays if their lengths and the gaps between them come to its room.

A row's long points stand in order: where a stick has its right long point, everything further
along the row lies beyond it. So a length plus the gap before it is always positive.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, floor
from typing import cast

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.ends import End, EndFace, clear_of, gap, long_point, mirrored
from cutlist.nest.plan import CutBoard, Piece
from cutlist.nest.problem import Board, Problem, Way
from cutlist.tolerance import SAME_POINT

Row = tuple[int, ...]
"""Lays on one board, by their numbers, in cutting order."""

_COARSE, _MUCH_COARSER = 4_000, 3
"""Steps of the longest board on a coarse grid, and how many times as wide they must be to pay."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Lay:
    """A stick in one of its ways; the stick and its two end classes by their numbers."""

    stick: int
    way: Way
    left: int
    right: int
    length: int


@dataclass(frozen=True, kw_only=True)
class Rounded:
    """A problem on its grid; boards keep the problem's order.

    If only boards of limited count are long enough for some stick, there may be too few of them.
    Then one more board stands at the end of the lists, as long as the longest and dearer than
    all limited boards together: it is used only where no plan exists without, and
    `problem_boards` is the number of the real ones.
    """

    problem: Problem
    demand: tuple[int, ...]
    lays: tuple[Lay, ...]
    gaps: NDArray[np.int64]
    """Room between the long points of a right end (row) and a left end (column)."""
    room: tuple[int, ...]
    cost: tuple[int, ...]
    count: tuple[int | None, ...]
    true_gaps: NDArray[np.float64]
    saw_reach: tuple[float, ...]
    """How far the saw goes beyond the long point of each right end."""

    @classmethod
    def of(cls, problem: Problem) -> "Rounded":
        """Put a problem on its grid. Every stick must fit the longest board."""
        section, kerf, grid = (problem.depth, problem.thickness), problem.saw.kerf, problem.grid
        rights: dict[End, int] = {}
        lefts: dict[End, int] = {}
        lays: dict[Lay, None] = {}
        for number, stick in enumerate(problem.sticks):
            length = steps_up(stick.length, grid)
            ways_seen = set()
            for way in problem.ways(stick):
                ends = stick.ends(way)
                left = lefts.setdefault(_class_of(mirrored(ends[0]), section), len(lefts))
                right = rights.setdefault(_class_of(ends[1], section), len(rights))
                if (left, right) not in ways_seen:
                    ways_seen.add((left, right))
                    lays[Lay(stick=number, way=way, left=left, right=right, length=length)] = None
        true_gaps = np.array(
            [[gap(right, mirrored(left), section, kerf) for left in lefts] for right in rights]
        )
        room = [board_room(problem, board) for board in problem.boards]
        cost = [problem.cost(board) for board in problem.boards]
        count = [board.count for board in problem.boards]
        longest_always = max((r for r, c in zip(room, count, strict=True) if c is None), default=-1)
        if any(lay.length > longest_always for lay in lays):
            cost.append(1 + sum(p * c for p, c in zip(cost, count, strict=True) if c is not None))
            room.append(max(room))
            count.append(None)
        return cls(
            problem=problem,
            demand=tuple(stick.count for stick in problem.sticks),
            lays=tuple(lays),
            gaps=np.ceil(true_gaps / grid - SAME_POINT / grid).astype(np.int64),
            room=tuple(room),
            cost=tuple(cost),
            count=tuple(count),
            true_gaps=true_gaps,
            saw_reach=tuple(clear_of(right, section, kerf) for right in rights),
        )

    @property
    def problem_boards(self) -> int:
        """How many of the boards are the problem's own."""
        return len(self.problem.boards)

    @cached_property
    def lays_of(self) -> tuple[tuple[int, ...], ...]:
        """The numbers of each stick's lays."""
        found: list[list[int]] = [[] for _ in self.demand]
        for i, lay in enumerate(self.lays):
            found[lay.stick].append(i)
        return tuple(map(tuple, found))

    @cached_property
    def stick_of(self) -> NDArray[np.int64]:
        """The stick of each lay."""
        return np.array([lay.stick for lay in self.lays], dtype=np.int64)

    @cached_property
    def left_of(self) -> NDArray[np.int64]:
        """The left end class of each lay."""
        return np.array([lay.left for lay in self.lays], dtype=np.int64)

    @cached_property
    def right_of(self) -> NDArray[np.int64]:
        """The right end class of each lay."""
        return np.array([lay.right for lay in self.lays], dtype=np.int64)

    @cached_property
    def length_of(self) -> NDArray[np.int64]:
        """The length of each lay."""
        return np.array([lay.length for lay in self.lays], dtype=np.int64)

    @cached_property
    def take(self) -> NDArray[np.int64]:
        """Room that a lay (column) takes after a right end (row; the last row: at the start)."""
        after = self.gaps[:, self.left_of] + self.length_of
        return np.vstack([after, self.length_of])

    @cached_property
    def by_length(self) -> NDArray[np.int64]:
        """The sticks, longest first."""
        return np.argsort(-self.length_of[[lays[0] for lays in self.lays_of]], kind="stable")

    @cached_property
    def family_of(self) -> tuple[int, ...]:
        """A number for each stick; sticks of one family have the same ends in the same ways.

        Two sticks of a family can change places in a row, each in the other's way, and the row
        takes as much room as before.
        """
        families: dict[tuple[tuple[int, int], ...], int] = {}
        return tuple(
            families.setdefault(
                tuple((self.lays[i].left, self.lays[i].right) for i in lays), len(families)
            )
            for lays in self.lays_of
        )

    def charges(self, premiums: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return what cutting into each board is charged: its cost, and its premium if limited."""
        return np.array(self.cost) + premiums

    def proved(self, worths: NDArray[np.float64], premiums: NDArray[np.float64]) -> float:
        """Return what every plan costs at least if no row is worth more than its board's charge."""
        limits = np.array([count or 0 for count in self.count])
        return float(np.array(self.demand) @ worths - limits @ premiums)

    def part(
        self, sticks: Mapping[int, int], used: Mapping[int, int]
    ) -> tuple["Rounded", list[int]]:
        """Return the problem of some sticks, so many of each, and the numbers here of its lays.

        The numbers of boards `used` elsewhere are taken off; sticks keep their order.
        """
        chosen = sorted(sticks)
        place = {stick: i for i, stick in enumerate(chosen)}
        lays = [i for i, lay in enumerate(self.lays) if lay.stick in place]
        part = replace(
            self,
            demand=tuple(sticks[stick] for stick in chosen),
            lays=tuple(replace(self.lays[i], stick=place[self.lays[i].stick]) for i in lays),
            count=tuple(
                None if count is None else count - used.get(board, 0)
                for board, count in enumerate(self.count)
            ),
        )
        return part, lays

    @cached_property
    def coarse(self) -> "Rounded":
        """The same problem on a coarse grid, or itself if its own is not much finer.

        Most rows that are worth knowing are found there at a fraction of the work. What fits there
        fits here; lengths, `gaps` and `room` are in steps of that grid.
        """
        steps = max(self.room) // _COARSE
        if steps < _MUCH_COARSER:
            return self
        return replace(
            self,
            lays=tuple(replace(lay, length=-(-lay.length // steps)) for lay in self.lays),
            gaps=-(-self.gaps // steps),
            room=tuple(room // steps for room in self.room),
        )

    def on(self, boards: Sequence[int]) -> "Rounded":
        """Return the same problem with so many boards of each kind.

        So that it always has a plan, there is one more kind, as long as the longest and dearer than
        all of them.
        """
        dear = 1 + sum(cost * count for cost, count in zip(self.cost, boards, strict=True))
        return replace(
            self,
            room=(*self.room, max(self.room)),
            cost=(*self.cost, dear),
            count=(*boards, None),
        )

    @cached_property
    def _true(self) -> tuple[tuple[float, float], ...]:
        """Where each lay starts in its own frame, and its true length."""
        sticks = [self.problem.sticks[lay.stick] for lay in self.lays]
        return tuple(
            (-long_point(mirrored(stick.ends(lay.way)[0]), stick.section), stick.length)
            for stick, lay in zip(sticks, self.lays, strict=True)
        )

    @cached_property
    def _takes(self) -> list[list[int]]:
        """`take` as lists, which are quicker to look one number up in."""
        return cast(list[list[int]], self.take.tolist())

    def taken(self, row: Row) -> int:
        """Room that a row of lays takes."""
        takes = self._takes
        end, total = -1, 0
        for lay in row:
            total += takes[end][lay]
            end = self.lays[lay].right
        return total

    def cut(self, board: int, row: Row) -> CutBoard:
        """Lay a row out on a board in true lengths, each stick as near to the last as may be."""
        real: Board = self.problem.boards[board]
        pieces: list[Piece] = []
        end, before = self.problem.saw.end_trim, None
        for lay, (begin, length) in ((self.lays[i], self._true[i]) for i in row):
            stick = self.problem.sticks[lay.stick]
            start = end if before is None else end + float(self.true_gaps[before, lay.left])
            pieces.append(Piece(stick=stick, way=lay.way, at=start - begin))
            end, before = start + length, lay.right
        reach = 0.0 if before is None else self.saw_reach[before]
        return CutBoard(
            board=real, pieces=tuple(pieces), leftover=max(0.0, real.length - end - reach)
        )


def steps_up(length: float, grid: float) -> int:
    """Return what a stick or gap takes, in whole steps; a hair over a step is not over."""
    return ceil((length - SAME_POINT) / grid)


def board_room(problem: Problem, board: Board) -> int:
    """Return what a board gives between its trimmed ends, in whole steps."""
    return floor((board.length - 2 * problem.saw.end_trim + SAME_POINT) / problem.grid)


def _class_of(end: End, section: tuple[float, float]) -> End:
    """Return the end with its long point at 0, equal for all ends of one shape."""
    reach = long_point(end, section)
    return tuple(
        sorted(
            (
                EndFace(
                    at=round(face.at - reach, 9) + 0.0,
                    per_depth=round(face.per_depth, 9) + 0.0,
                    per_thickness=round(face.per_thickness, 9) + 0.0,
                )
                for face in end
            ),
            key=lambda face: (face.at, face.per_depth, face.per_thickness),
        )
    )
