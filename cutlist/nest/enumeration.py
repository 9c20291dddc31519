"""Every row that a cheap enough plan could use.

A plan of cost T cannot use a row that falls short of its board's charge by more than T less the
bound which the worths prove. How many rows are left depends on the worths: of all that prove the
bound, those in the middle leave the fewest.
"""

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.deadline import Deadline
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Columns, Master, Relaxed
from cutlist.nest.pricing import WorthTable
from cutlist.nest.relaxation import add_drawn, shortage
from cutlist.nest.rounded import Rounded

_UNFAIR = Limits(layer=30_000, listed=4_000)
_CENTRINGS = 40
"""Times that the middle of the worths is sought again after rows that it lets through."""
_MANY = 200
"""Rows that touch the middle and are worth seeking it again."""
_HAIR = 1e-6
"""Share of a board's charge by which rows are listed beyond what is needed."""


class Enumeration:
    """The rows of a problem by how far they fall short of their boards' charges.

    `proved` is the bound that the worths prove, up to rounding.
    """

    def __init__(
        self,
        rounded: Rounded,
        worths: NDArray[np.float64],
        premiums: NDArray[np.float64],
        deadline: Deadline,
    ) -> None:
        self.proved = rounded.proved(worths, premiums)
        self.worths, self.premiums = worths, premiums
        self._rounded = rounded
        self._charges = rounded.charges(premiums)
        self._table = WorthTable(rounded, worths)
        self._deadline = deadline

    def within(self, slack: float, limits: Limits) -> Columns | None:
        """Return the rows that fall short by no more than a slack; None if they are too many."""
        slack = max(0.0, slack) + _HAIR * float(self._charges.max())
        rows = list_rows(self._table, self._charges, slack, limits, self._deadline)
        if rows is None:
            return None
        columns = Columns(self._rounded)
        columns.extend(rows)
        return columns


def enumeration(
    rounded: Rounded, columns: Columns, edge: Relaxed, limits: Limits, deadline: Deadline
) -> Enumeration:
    """Return the enumeration by the middle of all worths that prove the bound of the `edge`.

    The middle keeps away from the rows that it knows. So if many unknown ones touch it, it is
    sought again with these, as long as that leaves fewer.
    """
    rows = Enumeration(rounded, *centred(rounded, columns, edge, deadline), deadline)
    touching = rows.within(0.0, limits)
    while touching is not None and (many := len(touching)) >= _MANY:
        touching.extend(column.row for column in columns.columns)
        columns = touching
        again = Enumeration(rounded, *centred(rounded, columns, edge, deadline), deadline)
        touching = again.within(0.0, limits)
        if touching is None or len(touching) >= many:
            break
        rows = again
    return rows


def centred(
    rounded: Rounded, columns: Columns, edge: Relaxed, deadline: Deadline
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return fair worths and premiums from near the middle of all that prove the bound.

    Where too many rows are worth more than their board in the middle of what the columns allow,
    the worths are moved towards the `edge`, which is fair. Adds columns on the way.
    """
    hair = 1e-7 * max(rounded.cost)
    demand = np.array(rounded.demand)
    shape = rounded.coarse
    for turn in range(_CENTRINGS):
        middle = Master(rounded, deadline, interior=True).solve(columns.columns)
        table = WorthTable(shape, middle.worths)
        if add_drawn(table, middle.premiums, middle, columns, demand, turn):
            continue
        if shape is not rounded:
            shape = rounded
            continue
        for share in (1.0, 0.5, 0.25, 0.125):
            mixed = Relaxed(
                value=edge.value,
                amounts=edge.amounts,
                worths=share * middle.worths + (1.0 - share) * edge.worths,
                premiums=share * middle.premiums + (1.0 - share) * edge.premiums,
            )
            if share < 1.0:
                table = WorthTable(rounded, mixed.worths)
            charges = rounded.charges(mixed.premiums)
            rows = list_rows(table, charges, -hair, _UNFAIR, deadline)
            if rows is not None:
                break
        if rows is None:
            break
        added = columns.extend(rows)
        if not added or turn == _CENTRINGS - 1:
            excess = max((shortage(rounded, mixed, row) for row in rows), default=0.0)
            return mixed.worths * (1.0 - excess / max(rounded.cost)), mixed.premiums
    return edge.worths, edge.premiums
