"""Better plans from a good one: take a few boards apart and plan their sticks again, to the end.

How much a board costs beyond what its sticks are worth tells what can be gained by it: sticks of a
group of boards cannot be cut from boards cheaper by more than the sum of that. So groups are
drawn by it, and within a group only rows that do not fall short by more need be looked at.
"""

from collections import Counter
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.cover import cover
from cutlist.nest.deadline import Deadline
from cutlist.nest.greedy import Layout, layout_of, plan_cost
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Columns
from cutlist.nest.pricing import WorthTable
from cutlist.nest.rounded import Rounded, Row

_FEWEST, _MOST = 12, 60
"""Sticks in a group."""
_LARGEST_SHARE = 2 / 3
"""Share of all sticks that a group holds at the most: with all of them nothing would be gained."""
_NODES = 2_000
_LISTED = Limits(layer=20_000, listed=1_000)


class Regrouping:
    """Draws groups of boards at random, though always the same ones, and plans each again."""

    def __init__(
        self,
        rounded: Rounded,
        worths: NDArray[np.float64],
        premiums: NDArray[np.float64],
        deadline: Deadline,
    ) -> None:
        self._rounded = rounded
        self._worths = worths
        self._premiums = premiums
        self._charges = rounded.charges(premiums)
        self._deadline = deadline
        self._random = np.random.default_rng(20011)
        self._step = max(1, rounded.problem.cost_step)
        self._size = 24

    def better(self, layout: Layout, groups: int) -> Iterator[Layout]:
        """Yield each cheaper plan that is found while so many groups are drawn."""
        for _ in range(groups):
            if self._deadline.passed:
                return
            excess = np.array([self._excess(board, row) for board, row in layout])
            group = self._draw(layout, excess)
            gain = float(excess[group].sum())
            if gain < self._step - 1e-6 * self._charges.max():
                continue
            taken = [layout[i] for i in group]
            kept = [part for i, part in enumerate(layout) if i not in set(group)]
            rows = self._plan(taken, kept, gain)
            if rows is not None:
                layout = kept + rows
                yield layout

    def _excess(self, board: int, row: Row) -> float:
        return float(self._charges[board] - self._worths[self._rounded.stick_of[list(row)]].sum())

    def _draw(self, layout: Layout, excess: NDArray[np.float64]) -> list[int]:
        """Return boards drawn by their excess, as many as hold the sticks of a group."""
        shares = np.maximum(excess, 0.0) + 0.1 * max(float(excess.mean()), 1e-9)
        # Drawn without return: the least of exponential variates, each slowed by its share.
        order = np.argsort(self._random.exponential(size=len(shares)) / shares)
        sticks = np.cumsum([len(layout[i][1]) for i in order])
        size = min(self._size, _LARGEST_SHARE * int(sticks[-1]))
        return [int(i) for i in order[: max(2, int(np.searchsorted(sticks, size)))]]

    def _plan(self, taken: Layout, kept: Layout, gain: float) -> Layout | None:
        """Return a cheaper plan for the sticks of some boards, if one is found."""
        rounded = self._rounded
        used = Counter(board for board, _ in kept)
        sticks = Counter(int(rounded.stick_of[lay]) for _, row in taken for lay in row)
        part, lays = rounded.part(sticks, used)
        worths = self._worths[sorted(sticks)]
        table = WorthTable(part, worths)
        below = plan_cost(rounded, taken)[0] - self._step
        slack = gain - self._step + 1e-6 * float(self._charges.max())
        for share in (1.0, 0.25):
            rows = list_rows(table, self._charges, share * slack, _LISTED, self._deadline)
            if rows is not None:
                break
        if rows is None:
            self._size = max(_FEWEST, self._size - 2)
            return None
        if not rows:
            return None
        columns = Columns(part)
        columns.extend(rows)
        answer = cover(
            part,
            columns.columns,
            worths,
            self._premiums,
            below=below,
            nodes=_NODES,
            deadline=self._deadline,
        )
        if answer.amounts is None:
            grows = share == 1.0 and answer.exhausted
            self._size = min(_MOST, self._size + 1) if grows else max(_FEWEST, self._size - 1)
            return None
        return [
            (board, tuple(lays[i] for i in row))
            for board, row in layout_of(part, columns.repeated(answer.amounts))
        ]
