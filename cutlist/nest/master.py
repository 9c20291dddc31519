"""The linear and integer programmes over rows, solved by HiGHS.

A column is a row of sticks on one kind of board. Columns cover the demand for each stick (more is
allowed) and use no more of a limited board than there are.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.deadline import Deadline
from cutlist.nest.rounded import Rounded, Row

_INFINITY = float("inf")


@dataclass(frozen=True, slots=True)
class Column:
    """A row of lays on a board, by its number in the rounded problem."""

    board: int
    row: Row


class Columns:
    """The columns found so far, each set of sticks once for each board it may lie on."""

    def __init__(self, rounded: Rounded) -> None:
        self.rounded = rounded
        self.columns: list[Column] = []
        self._rows: set[Row] = set()
        self._seen: set[tuple[int, tuple[int, ...]]] = set()
        self._sticks: list[tuple[int, ...]] = []
        self._counts = np.zeros((0, len(rounded.demand)), dtype=np.int64)

    def __len__(self) -> int:
        return len(self.columns)

    def __contains__(self, row: Row) -> bool:
        return row in self._rows

    def add(self, row: Row) -> bool:
        """Add a row on every board it may be worth cutting from; tell whether any was new."""
        if row in self:
            return False
        self._rows.add(row)
        shape = self.rounded
        sticks = tuple(sorted(shape.lays[i].stick for i in row))
        taken = shape.taken(row)
        new = False
        for board in boards_for(shape, taken):
            if (board, sticks) not in self._seen:
                self._seen.add((board, sticks))
                self.columns.append(Column(board, row))
                self._sticks.append(sticks)
                new = True
        return new

    def extend(self, rows: Iterable[Row]) -> bool:
        """Add every row; tell whether any was new."""
        return sum(self.add(row) for row in rows) > 0

    def within(self, supply: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Tell for each column whether it uses no stick more often than its supply."""
        new = self._sticks[len(self._counts) :]
        counts = [np.bincount(sticks, minlength=len(supply)) for sticks in new]
        self._counts = np.vstack([self._counts, *counts])
        return np.asarray((self._counts <= supply).all(axis=1))

    def repeated(self, amounts: NDArray[np.int64]) -> list[Row]:
        """Return each column's row as often as its amount says."""
        return [column.row for column in repeated(self.columns, amounts)]


def repeated(columns: list[Column], amounts: NDArray[np.int64]) -> list[Column]:
    """Return each column as often as its amount says."""
    return [column for column, amount in zip(columns, amounts, strict=True) for _ in range(amount)]


def boards_for(rounded: Rounded, taken: int) -> list[int]:
    """Return the boards to try for a row: every limited one, and the cheapest unlimited one."""
    holding = [b for b, room in enumerate(rounded.room) if room >= taken]
    free = [b for b in holding if rounded.count[b] is None]
    cheapest = min(free, key=lambda b: (rounded.cost[b], rounded.room[b]), default=None)
    return [b for b in holding if rounded.count[b] is not None or b == cheapest]


@dataclass(frozen=True, kw_only=True, slots=True)
class Relaxed:
    """A solved linear programme: its value, its columns' amounts, and what a row is worth."""

    value: float
    amounts: NDArray[np.float64]
    worths: NDArray[np.float64]
    premiums: NDArray[np.float64]


class Master:
    """The linear programme over columns, solved again as they are added."""

    def __init__(self, rounded: Rounded, deadline: Deadline, *, interior: bool = False) -> None:
        self.rounded = rounded
        self._deadline = deadline
        self._solver = new_solver()
        if interior:
            self._solver.setOptionValue("solver", "ipm")
            self._solver.setOptionValue("run_crossover", "off")
        _add_rows(self._solver, rounded)
        self._known = 0

    def demand(self, demand: NDArray[np.int64], boards: list[int | None]) -> None:
        """Ask for other numbers of sticks, and allow other numbers of boards, from now on."""
        for stick, count in enumerate(demand):
            self._solver.changeRowBounds(stick, float(count), _INFINITY)
        for i, board in enumerate(_limited(self.rounded)):
            self._solver.changeRowBounds(len(demand) + i, -_INFINITY, float(boards[board] or 0))

    def solve(self, columns: list[Column], allowed: NDArray[np.bool_] | None = None) -> Relaxed:
        """Return the optimum over the columns, of which those given before come first.

        If only some are `allowed`, the others are not used. When the deadline passes, what has been
        reached by then is returned, and is not the optimum.
        """
        _add_columns(self._solver, self.rounded, columns[self._known :])
        self._known = len(columns)
        if allowed is not None:
            self._solver.changeColsBounds(
                len(columns),
                np.arange(len(columns), dtype=np.int32),
                np.zeros(len(columns)),
                np.where(allowed, _INFINITY, 0.0),
            )
        # The solver's own clock runs on from programme to programme.
        until = self._solver.getRunTime() + max(0.01, self._deadline.left)
        self._solver.setOptionValue("time_limit", until)
        self._solver.run()
        solution = self._solver.getSolution()
        duals = np.array(solution.row_dual)
        sticks = len(self.rounded.demand)
        premiums = np.zeros(len(self.rounded.room))
        premiums[_limited(self.rounded)] = np.maximum(0.0, -duals[sticks:])
        return Relaxed(
            value=self._solver.getInfo().objective_function_value,
            amounts=np.maximum(0.0, np.array(solution.col_value)),
            worths=np.maximum(0.0, duals[:sticks]),
            premiums=premiums,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Whole:
    """Amounts, if an integer programme has a solution, and whether there is no better one."""

    amounts: NDArray[np.int64] | None
    exhausted: bool


def solve_whole(
    rounded: Rounded,
    columns: list[Column],
    *,
    below: float,
    nodes: int,
    seconds: float,
    every: bool = False,
    costs: Sequence[float] | None = None,
    most: float = _INFINITY,
    single: range = range(0),
) -> Whole:
    """Solve the integer programme over the columns for a cost of at most `below`.

    With `every` the columns hold every row that such a plan could use. Then each stick is asked
    for exactly as often as it is wanted, which leaves fewer ways to write the same plan, and the
    search spends nothing on looking for plans in other ways. The cost is as low as can be, or the
    sum of other `costs` is, and that is at most so much; of the `single` columns at most one is
    used.

    Stops after so many nodes of the search tree, which is the same on every machine, or after so
    many seconds, which is a safeguard and is not.
    """
    solver = new_solver()
    _add_rows(solver, rounded, exactly=every)
    every_one = np.arange(len(columns), dtype=np.int32)
    prices = np.array([float(rounded.cost[column.board]) for column in columns])
    if costs is None and len({column.board for column in columns}) > 1:
        _add_columns(solver, rounded, columns, whole=True, costs=[0.0] * len(columns))
        _add_board_counts(solver, rounded, columns, below)
    else:
        _add_columns(solver, rounded, columns, whole=True, costs=costs)
        solver.addRow(-_INFINITY, float(below), len(columns), every_one, prices)
    if every:
        solver.setOptionValue("mip_heuristic_effort", 0.0)
        solver.setOptionValue("mip_allow_restart", False)
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("time_limit", max(0.01, seconds))
    solver.setOptionValue("mip_rel_gap", 0.0)
    step = max(1, rounded.problem.cost_step) if costs is None else 1
    solver.setOptionValue("mip_abs_gap", 0.999 * step)
    if costs is not None:
        solver.addRow(-_INFINITY, most, len(columns), every_one, np.array(costs))
    if single:
        solver.addRow(-_INFINITY, 1.0, len(single), np.array(single), np.ones(len(single)))
    solver.run()
    import highspy

    status = solver.getModelStatus()
    found = solver.getInfo().primal_solution_status == 2
    amounts = None
    if found:
        values = np.array(solver.getSolution().col_value)[: len(columns)]
        amounts = np.rint(values).astype(np.int64)
    done = {highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible}
    return Whole(amounts=amounts, exhausted=status in done)


def new_solver() -> Any:
    """Return a silent solver that takes the same steps on every machine."""
    import highspy

    solver = highspy.Highs.__new__(highspy.Highs)
    # Its own __init__ also starts callbacks, which are not needed here and print a banner.
    super(highspy.Highs, solver).__init__()
    for option, value in (
        ("output_flag", False),
        ("threads", 1),
        ("parallel", "off"),
        ("random_seed", 1),
    ):
        solver.setOptionValue(option, value)
    return solver


def _limited(rounded: Rounded) -> list[int]:
    return [board for board, count in enumerate(rounded.count) if count is not None]


def _add_rows(solver: Any, rounded: Rounded, *, exactly: bool = False) -> None:
    empty = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
    for demand in rounded.demand:
        solver.addRow(float(demand), float(demand) if exactly else _INFINITY, 0, *empty)
    for board in _limited(rounded):
        solver.addRow(-_INFINITY, float(rounded.count[board] or 0), 0, *empty)


def _add_board_counts(solver: Any, rounded: Rounded, columns: list[Column], below: float) -> None:
    """Add how many boards of each kind are cut, at their prices, in all at most `below`.

    What a plan costs depends on these few whole numbers alone, so the solver can branch on them
    before it branches on columns.
    """
    import highspy

    boards = sorted({column.board for column in columns})
    places = []
    for board in boards:
        own = [i for i, column in enumerate(columns) if column.board == board]
        places.append(solver.getNumCol())
        solver.addCol(float(rounded.cost[board]), 0.0, _INFINITY, 0, np.array([]), np.array([]))
        solver.changeColIntegrality(places[-1], highspy.HighsVarType.kInteger)
        index = np.array([*own, places[-1]], dtype=np.int32)
        solver.addRow(0.0, 0.0, len(index), index, np.array([1.0] * len(own) + [-1.0]))
    costs = np.array([float(rounded.cost[board]) for board in boards])
    solver.addRow(-_INFINITY, float(below), len(places), np.array(places, np.int32), costs)


def _add_columns(
    solver: Any,
    rounded: Rounded,
    columns: list[Column],
    *,
    whole: bool = False,
    costs: Sequence[float] | None = None,
) -> None:
    import highspy

    if not columns:
        return
    rank = {board: len(rounded.demand) + i for i, board in enumerate(_limited(rounded))}
    starts: list[int] = []
    index: list[int] = []
    value: list[float] = []
    for column in columns:
        starts.append(len(index))
        counts: dict[int, float] = {}
        for lay in column.row:
            stick = rounded.lays[lay].stick
            counts[stick] = counts.get(stick, 0.0) + 1.0
        if column.board in rank:
            counts[rank[column.board]] = 1.0
        index += counts.keys()
        value += counts.values()
    amount = len(columns)
    objective = [float(rounded.cost[c.board]) for c in columns] if costs is None else list(costs)
    before = solver.getNumCol()
    solver.addCols(
        amount,
        np.array(objective),
        np.zeros(amount),
        np.full(amount, _INFINITY),
        len(index),
        np.array(starts, dtype=np.int32),
        np.array(index, dtype=np.int32),
        np.array(value),
    )
    if whole:
        solver.changeColsIntegrality(
            amount,
            np.arange(before, before + amount, dtype=np.int32),
            np.full(amount, int(highspy.HighsVarType.kInteger), dtype=np.uint8),
        )
