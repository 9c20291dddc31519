"""The bound that comes from buying whole boards.

What a plan costs depends on how many boards of each length it cuts into: a few whole numbers. The
linear programme over all rows leaves them fractions. Here they are made whole by branching on how
many boards are at least of each length, beginning with all boards, and rows are generated for each
branch. Where little else keeps the bound from the cheapest plan, this closes the gap at once; in
any case it tells what boards to look for a better plan on.

A row is charged for the shortest board that holds it and may be cut from any longer one: of the
boards at least of each length there are no fewer than rows that need one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.deadline import Deadline
from cutlist.nest.master import Columns, Relaxed, new_solver
from cutlist.nest.pricing import WorthTable
from cutlist.nest.relaxation import add_drawn, add_listed
from cutlist.nest.rounded import Rounded, Row

_INFINITY = float("inf")
_FRACTION = 1e-6
"""How far a number is from a whole one if it is none."""
_LOST, _LOST_SHARE = 1e-3, 1e-8
"""What rounding may add to a bound: parts of a step of cost, and of the bound."""
_BEYOND = 10.0
"""Times the cost to beat that is charged for a board that does not exist."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Counted:
    """What branching has proved: a bound, and how many boards of each kind reach it.

    With these boards the sticks can be cut if rows may be cut in fractions. `boards` is None if no
    plan is cheaper than the one to beat, or if the work did not suffice.
    """

    bound: int
    boards: tuple[int, ...] | None


def count_boards(
    rounded: Rounded, rows: Iterable[Row], *, below: int, nodes: int, deadline: Deadline
) -> Counted:
    """Return the least cost of whole boards on which rows in fractions cut every stick.

    If it is not at most `below`, the bound is the next higher cost. Starts from known rows and
    stops after so many nodes, each a linear programme.
    """
    step = max(1, rounded.problem.cost_step)
    below = below // step * step
    programme = _Programme(rounded, rows, enough=below + step / 2, deadline=deadline)
    kinds = len(rounded.room)
    number = count()
    queue = [(0, next(number), np.zeros(kinds), np.full(kinds, _INFINITY))]
    for _ in range(nodes):
        if not queue:
            break
        known, _, least, most = heappop(queue)
        found = programme.solve(least, most)
        if found is None:
            return Counted(bound=known, boards=None)
        sure = (1.0 - _LOST_SHARE) * found.value - _LOST * step
        cost = max(known, step * ceil(sure / step))
        if cost > below:
            continue
        longer = found.boards[::-1].cumsum()[::-1]
        fractions = np.flatnonzero(np.abs(longer - np.rint(longer)) > _FRACTION)
        if fractions.size:
            place = int(fractions[0])
            fewer, more = most.copy(), least.copy()
            fewer[place], more[place] = floor(longer[place]), ceil(longer[place])
            heappush(queue, (cost, next(number), least, fewer))
            heappush(queue, (cost, next(number), more, most))
        elif queue and queue[0][0] < cost:
            heappush(queue, (cost, next(number), least, most))
        else:
            boards = np.rint(found.boards[np.argsort(programme.order)])
            return Counted(bound=cost, boards=tuple(map(int, boards)))
    return Counted(bound=queue[0][0] if queue else below + step, boards=None)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Solved:
    """What a programme proves, and its numbers of boards from short to long."""

    value: float
    boards: NDArray[np.float64]


class _Programme:
    """The linear programme with the number of boards of each kind as variables of their own.

    Its columns are the boards from short to long, then as many of the longest as one likes at a
    price beyond all others, which keep it solvable, then the rows. `order`: the boards from short
    to long by their numbers in the rounded problem.
    """

    def __init__(
        self, rounded: Rounded, rows: Iterable[Row], *, enough: float, deadline: Deadline
    ) -> None:
        self._enough, self._deadline = enough, deadline
        self._demand = np.array(rounded.demand)
        self.order = np.argsort(rounded.room, kind="stable")
        kinds = len(self.order)
        # Boards without limit, and dearer the longer they are: a row lies on the shortest it fits.
        self._shape = replace(rounded, cost=rounded.room, count=(None,) * kinds)
        self._columns = Columns(self._shape)
        self._columns.extend(rows)
        self._known = 0
        self._solver = new_solver()
        nothing = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        for least in (*rounded.demand, *(0,) * (2 * kinds)):
            self._solver.addRow(float(least), _INFINITY, 0, *nothing)
        for rank, board in enumerate(self.order):
            most = rounded.count[board]
            index = np.concatenate([self._holding(rank), self._counting(rank)])
            self._solver.addCol(
                float(rounded.cost[board]),
                0.0,
                _INFINITY if most is None else float(most),
                len(index),
                index,
                np.ones(len(index)),
            )
        beyond = _BEYOND * (enough + max(rounded.cost))
        index = self._holding(kinds - 1)
        self._solver.addCol(beyond, 0.0, _INFINITY, len(index), index, np.ones(len(index)))

    def solve(self, least: NDArray[np.float64], most: NDArray[np.float64]) -> _Solved | None:
        """Return the optimum, or as soon as it is certain a value that is `enough`.

        `least` and `most`: how many boards there are, of those from each one to the longest.
        Returns None if the deadline passes, or if there are too many rows to be sure.
        """
        for row, low, high in zip(self._counting(len(least) - 1), least, most, strict=True):
            self._solver.changeRowBounds(int(row), low, high)
        turn = 0
        while not self._deadline.passed:
            relaxed, boards = self._optimum()
            table = WorthTable(self._shape, relaxed.worths)
            proved = relaxed.value - self._unfair(table, relaxed)
            if proved > self._enough:
                return _Solved(value=proved, boards=boards)
            turn += 1
            if not add_drawn(table, relaxed.premiums, relaxed, self._columns, self._demand, turn):
                exact = add_listed(table, relaxed, self._columns, self._deadline)
                if exact is not None:
                    return _Solved(value=relaxed.value, boards=boards) if exact else None
        return None

    def _optimum(self) -> tuple[Relaxed, NDArray[np.float64]]:
        """Solve over the known rows; return that, and the numbers of boards from short to long."""
        sticks, kinds = len(self._demand), len(self.order)
        rank = np.argsort(self.order)
        for column in self._columns.columns[self._known :]:
            used, amounts = np.unique(self._shape.stick_of[list(column.row)], return_counts=True)
            holding = self._holding(int(rank[column.board]))
            index = np.concatenate([used, holding]).astype(np.int32)
            value = np.concatenate([amounts, np.full(len(holding), -1.0)])
            self._solver.addCol(0.0, 0.0, _INFINITY, len(index), index, value)
        self._known = len(self._columns)
        self._solver.run()
        solution = self._solver.getSolution()
        duals, values = np.array(solution.row_dual), np.array(solution.col_value)
        charges = np.maximum(0.0, duals[sticks : sticks + kinds]).cumsum()[rank]
        relaxed = Relaxed(
            value=self._solver.getInfo().objective_function_value,
            amounts=values[kinds + 1 :],
            worths=np.maximum(0.0, duals[:sticks]),
            premiums=charges - np.array(self._shape.cost),
        )
        return relaxed, values[:kinds]

    def _unfair(self, table: WorthTable, relaxed: Relaxed) -> float:
        """Return what the sticks are worth too much by, together, for rows not yet known.

        With worths scaled down by so much that no row is worth more than its charge, the rest of
        the programme's value is proved.
        """
        rooms = self._shape.room
        best = np.array([float(table.best(room)) if room > 0 else 0.0 for room in rooms])
        charges = self._shape.charges(relaxed.premiums)
        scale = float(np.min(charges[best > 0] / best[best > 0], initial=1.0))
        return (1.0 - scale) * float(self._demand @ relaxed.worths)

    def _holding(self, rank: int) -> NDArray[np.int32]:
        """Return the programme's rows that hold rows to boards, up to a board's length."""
        return np.arange(rank + 1, dtype=np.int32) + len(self._demand)

    def _counting(self, rank: int) -> NDArray[np.int32]:
        """Return the programme's rows that count boards, up to a board's length."""
        return self._holding(rank) + len(self.order)
