"""The linear programme over all rows there are, by column generation.

The bound that it gives is nearly always within a board of the cheapest plan. Rows worth more than
their board are drawn from the worth table, on a coarse grid as long as that finds any and then on
the problem's own; when drawing finds no more they are listed, so that the end is exact for rows
that use no stick more often than it is wanted.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.bounded import BoundedTable
from cutlist.nest.deadline import Deadline
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Columns, Master, Relaxed, boards_for
from cutlist.nest.pricing import WorthTable
from cutlist.nest.rounded import Rounded, Row

_SMOOTHING = 0.6
_FORCED = 40
"""How many sticks come first in a row of their own in each turn, or a few more."""
_SHARES = (0.9, 0.75, 0.6, 0.45, 0.3, 0.15, 0.05, 0.0)
_LISTED = Limits(layer=60_000, listed=4_000)


@dataclass(frozen=True, kw_only=True, slots=True)
class Bounded:
    """Worths and premiums with the bound they prove up to rounding, and the last programme."""

    relaxed: Relaxed
    exact: bool
    """Whether no row that could be in a plan is worth more than its board."""


def relax(
    rounded: Rounded,
    columns: Columns,
    master: Master,
    deadline: Deadline,
    *,
    start: Relaxed,
    enough: float,
) -> Bounded:
    """Add columns until the linear programme over them is the one over all rows.

    Stops as soon as the bound is above `enough`: with the worths to `start` from already, if they
    prove that.
    """
    demand = np.array(rounded.demand)
    centre = start.worths, start.premiums
    best = _bound(WorthTable(rounded, start.worths), start.premiums)
    if best > enough:
        return Bounded(relaxed=start, exact=False)
    shape = rounded.coarse
    relaxed = master.solve(columns.columns)
    turn = 0
    while not deadline.passed:
        # After the coarse grid little is left to find, and the worths hardly swing any more.
        kept = 0.0 if shape is rounded and rounded.coarse is not rounded else _SMOOTHING
        worths = kept * centre[0] + (1.0 - kept) * relaxed.worths
        premiums = kept * centre[1] + (1.0 - kept) * relaxed.premiums
        table = WorthTable(shape, worths)
        bound = _bound(table, premiums)
        if bound > best:
            centre, best = (worths, premiums), bound
        if best > enough and shape is rounded:
            proving = replace(relaxed, worths=centre[0], premiums=centre[1])
            return Bounded(relaxed=proving, exact=False)
        turn += 1
        found = add_drawn(table, premiums, relaxed, columns, demand, turn)
        if not found:
            if kept:
                table = WorthTable(shape, relaxed.worths)
                found = add_drawn(table, relaxed.premiums, relaxed, columns, demand, turn)
            if not found and shape is not rounded:
                shape, best = rounded, 0.0
            elif not found:
                exact = add_listed(table, relaxed, columns, deadline)
                if exact is not None:
                    return Bounded(relaxed=relaxed, exact=exact)
            centre = relaxed.worths, relaxed.premiums
        relaxed = master.solve(columns.columns)
    return Bounded(relaxed=relaxed, exact=False)


def add_drawn(
    table: WorthTable,
    premiums: NDArray[np.float64],
    relaxed: Relaxed,
    columns: Columns,
    supply: NDArray[np.int64],
    turn: int = 0,
) -> bool:
    """Draw rows from the table and add those that lower the programme; tell whether any did."""
    rounded = table.rounded
    draws: list[Row] = []
    if BoundedTable.serves(rounded):
        exact = BoundedTable(rounded, table.worths, supply)
        draws += [exact.draw(room) for room in rounded.room if room > 0]
    charges = rounded.charges(premiums)
    starts: list[tuple[int, int | None]] = [
        (room, None)
        for room, charge in zip(rounded.room, charges, strict=True)
        if room > 0 and table.best(room) > charge - 1e-9
    ]
    draws += table.draw(starts + _firsts(table, charges, supply, turn), supply)
    new = sorted(row for row in set(draws) if row and row not in columns)
    short = [row for row in new if shortage(columns.rounded, relaxed, row) > 0]
    return columns.extend(short)


def _firsts(
    table: WorthTable, charges: NDArray[np.float64], supply: NDArray[np.int64], turn: int
) -> list[tuple[int, int | None]]:
    """Return for some sticks, others in each turn, where and how each gains most if it is first."""
    shape = table.rounded
    rooms = np.array(shape.room)
    lays = np.flatnonzero(supply[shape.stick_of] > 0)
    rest = rooms - shape.length_of[lays, None]
    follow = table.after[shape.right_of[lays, None], np.maximum(rest, 0)]
    gains = np.where(rest >= 0, follow - charges, -np.inf)
    order = np.lexsort((-gains.max(axis=1), shape.stick_of[lays]))
    _, firsts = np.unique(shape.stick_of[lays[order]], return_index=True)
    step = max(1, len(firsts) // _FORCED)
    best = order[firsts[turn % step :: step]]
    boards = gains[best].argmax(axis=1)
    return [(int(rooms[board]), int(lay)) for board, lay in zip(boards, lays[best], strict=True)]


def shortage(rounded: Rounded, relaxed: Relaxed, row: Row) -> float:
    """Return by how much a row is worth more than the board it would lie on (0 if it is not)."""
    worth = sum(relaxed.worths[rounded.lays[i].stick] for i in row)
    charge = min(
        rounded.cost[b] + relaxed.premiums[b] for b in boards_for(rounded, rounded.taken(row))
    )
    excess = worth - charge
    return float(excess) if excess > 1e-7 * max(1.0, charge) else 0.0


def _bound(table: WorthTable, premiums: NDArray[np.float64]) -> float:
    """Return the bound that the worths prove once scaled, and the premiums raised, to be fair."""
    rounded = table.rounded
    scale, raised = 1.0, premiums.copy()
    for board, room in enumerate(rounded.room):
        best = float(table.best(room)) if room > 0 else 0.0
        if rounded.count[board] is not None:
            raised[board] = max(0.0, best - rounded.cost[board])
        elif best > rounded.cost[board]:
            scale = min(scale, rounded.cost[board] / best)
    return scale * rounded.proved(table.worths, raised)


def add_listed(
    table: WorthTable, relaxed: Relaxed, columns: Columns, deadline: Deadline
) -> bool | None:
    """Add the rows worth more than their board; None if there were any, else if that is sure."""
    rounded = table.rounded
    charges = rounded.charges(relaxed.premiums)
    hair = 1e-7 * float(charges.max())
    exact = BoundedTable(rounded, relaxed.worths) if BoundedTable.serves(rounded) else table
    excess = max(
        float(exact.best(room)) - charge
        for room, charge in zip(rounded.room, charges, strict=True)
        if room > 0
    )
    if excess <= hair:
        return True
    for share in _SHARES:
        rows = list_rows(table, charges, -max(share * excess, hair), _LISTED, deadline)
        if rows is None:
            return False
        if columns.extend(rows):
            return None
    return True
