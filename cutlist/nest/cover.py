"""Whole plans over few boards: rows chosen one after another until every stick is cut.

For a plan of a dozen boards this settles lists that an integer programme over them cannot. A plan
costs what its worths prove plus what each of its rows falls short of its board's charge, plus the
premium of each limited board that is left over; so little may be spent on each, and the stick that
fewest rows can still cut is cut next.
"""

from dataclasses import dataclass
from functools import cached_property

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
    sticks = len(rounded.demand)
    limited = [b for b, count in enumerate(rounded.count) if count is not None]
    supply = [rounded.count[b] or 0 for b in limited]
    charges = rounded.charges(premiums)
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
    costs = np.concatenate([np.array(rounded.cost)[on], np.zeros(len(limited))])
    found = _Search(
        uses=uses[order],
        short=short[order],
        costs=costs[order],
        proved=rounded.proved(worths, premiums) - _HAIR * float(charges.max()),
        step=max(1, rounded.problem.cost_step),
        below=below,
        left=nodes,
        deadline=deadline,
    )
    found.complete(np.array([*rounded.demand, *supply]), 0.0, np.arange(len(short)), [])
    amounts = None
    if found.best is not None:
        every = np.bincount(order[found.best], minlength=len(short))
        amounts = every[: len(columns)]
    return Whole(amounts=amounts, exhausted=found.left > 0)


@dataclass(kw_only=True)
class _Search:
    """A search under way; rows come in order of what they spend, `short` of their board's charge.

    `uses`: how often each row uses each stick, and each limited board. `proved`: what any plan
    costs beyond what its rows spend, less a hair for rounding. `left`: nodes not yet searched.
    """

    uses: NDArray[np.int16]
    short: NDArray[np.float64]
    costs: NDArray[np.float64]
    proved: float
    step: int
    below: int
    left: int
    deadline: Deadline
    best: list[int] | None = None

    @cached_property
    def each(self) -> NDArray[np.float64]:
        """What each row spends for each stick or board that it uses."""
        return np.asarray(self.short / self.uses.sum(axis=1))

    def complete(
        self, wanted: NDArray[np.int64], spent: float, rows: NDArray[np.int64], chosen: list[int]
    ) -> None:
        """Complete the chosen rows by some of `rows`, which come in order of what they spend."""
        if self.deadline.passed:
            self.left = 0
        if self.left <= 0:
            return
        self.left -= 1
        if not wanted.any():
            cost = round(float(self.costs[chosen].sum()))
            if cost <= self.below:
                self.best, self.below = list(chosen), cost - self.step
            return
        budget = self.below - self.proved - spent
        rows = rows[: np.searchsorted(self.short[rows], budget, side="right")]
        rows = rows[(self.uses[rows] <= wanted).all(axis=1)]
        open_ones = np.flatnonzero(wanted)
        using = self.uses[np.ix_(rows, open_ones)] > 0
        choices = using.sum(axis=0)
        if not choices.all():
            return
        least = np.where(using, self.each[rows][:, None], np.inf).min(axis=0)
        if float(least @ wanted[open_ones]) > budget:
            return
        place = int(np.argmin(choices))
        mine = np.flatnonzero(using[:, place])
        # What was tried with a row need not be tried again with that row added later.
        later = np.ones(len(rows), dtype=bool)
        for at in mine:
            row = int(rows[at])
            self.complete(
                wanted - self.uses[row],
                spent + float(self.short[row]),
                rows[later],
                [*chosen, row],
            )
            later[at] = False
