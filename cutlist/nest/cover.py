"""Whole plans over few boards: rows chosen one after another until every stick is cut.

For a plan of a dozen boards this settles lists that an integer programme over them cannot. A plan
costs what its worths prove plus what each of its rows falls short of its board's charge, plus the
premium of each limited board that is left over; so little may be spent on each, and the stick that
fewest rows can still cut is cut next.
"""

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.deadline import Deadline
from cutlist.nest.master import Column, Whole
from cutlist.nest.rounded import Rounded

_HAIR = 1e-6
"""Share of a board's charge that rounding may add up to."""


def cover(
    rounded: Rounded,
    columns: list[Column],
    worths: NDArray[np.float64],
    premiums: NDArray[np.float64],
    *,
    below: int,
    nodes: int,
    deadline: Deadline,
) -> Whole:
    """Return how often to use each column for the cheapest plan of at most `below`.

    Uses each stick exactly as often as it is wanted, and stops after so many `nodes`, or
    unfinished when the deadline passes.
    """
    return _Cover(rounded, columns, worths, premiums, below, nodes, deadline).run()


class _Cover:
    def __init__(
        self,
        rounded: Rounded,
        columns: list[Column],
        worths: NDArray[np.float64],
        premiums: NDArray[np.float64],
        below: int,
        nodes: int,
        deadline: Deadline,
    ) -> None:
        sticks = len(rounded.demand)
        limited = [b for b, count in enumerate(rounded.count) if count is not None]
        supply = [rounded.count[b] or 0 for b in limited]
        charges = np.array(rounded.cost) + premiums
        on = np.array([column.board for column in columns])
        counts = np.array(
            [np.bincount([rounded.lays[i].stick for i in c.row], minlength=sticks) for c in columns]
        )
        # A limited board that stays unused is a row of its own, so that all boards are used up.
        uses = np.block(
            [
                [counts, on[:, None] == np.array(limited, dtype=int)],
                [np.zeros((len(limited), sticks), dtype=int), np.eye(len(limited), dtype=int)],
            ]
        ).astype(np.int16)
        short = np.concatenate([charges[on] - counts @ worths, premiums[limited]])
        order = np.argsort(short, kind="stable")
        self._columns = len(columns)
        self._order, self._uses, self._short = order, uses[order], short[order]
        self._each = self._short / self._uses.sum(axis=1)
        self._wanted = np.array([*rounded.demand, *supply])
        self._costs = np.concatenate([np.array(rounded.cost)[on], np.zeros(len(limited))])[order]
        self._proved = float(
            np.array(rounded.demand) @ worths - np.array(supply) @ premiums[limited]
        )
        self._hair = _HAIR * float(charges.max())
        self._step = max(1, rounded.problem.cost_step)
        self._below = below
        self._left = nodes
        self._deadline = deadline
        self._best: list[int] | None = None

    def run(self) -> Whole:
        self._search(self._wanted, 0.0, np.arange(len(self._short)), [])
        amounts = None
        if self._best is not None:
            every = np.zeros(len(self._short), dtype=np.int64)
            np.add.at(every, self._order[self._best], 1)
            amounts = every[: self._columns]
        return Whole(amounts=amounts, exhausted=self._left > 0)

    def _search(
        self, wanted: NDArray[np.int64], spent: float, rows: NDArray[np.int64], chosen: list[int]
    ) -> None:
        """Complete the chosen rows by some of `rows`, which come in order of what they spend."""
        if self._deadline.passed:
            self._left = 0
        if self._left <= 0:
            return
        self._left -= 1
        if not wanted.any():
            cost = round(float(self._costs[chosen].sum()))
            if cost <= self._below:
                self._best, self._below = list(chosen), cost - self._step
            return
        budget = self._below - self._proved + self._hair - spent
        rows = rows[: np.searchsorted(self._short[rows], budget, side="right")]
        rows = rows[(self._uses[rows] <= wanted).all(axis=1)]
        open_ones = np.flatnonzero(wanted)
        using = self._uses[np.ix_(rows, open_ones)] > 0
        choices = using.sum(axis=0)
        if not choices.all():
            return
        least = np.where(using, self._each[rows][:, None], np.inf).min(axis=0)
        if float(least @ wanted[open_ones]) > budget:
            return
        place = int(np.argmin(choices))
        mine = np.flatnonzero(using[:, place])
        # What was tried with a row need not be tried again with that row added later.
        later = np.ones(len(rows), dtype=bool)
        for at in mine:
            row = int(rows[at])
            self._search(
                wanted - self._uses[row],
                spent + float(self._short[row]),
                rows[later],
                [*chosen, row],
            )
            later[at] = False
