"""Whole plans from the linear programme: fix what it is sure of, solve again for the rest."""

from collections import Counter
from collections.abc import Callable

import numpy as np

from cutlist.nest.greedy import Layout, cheapest_boards
from cutlist.nest.master import Column, Columns, Master
from cutlist.nest.pricing import WorthTable
from cutlist.nest.relaxation import add_drawn
from cutlist.nest.rounded import Rounded, Row


def dive(
    rounded: Rounded, columns: Columns, rounds: int, expired: Callable[[], bool]
) -> Layout | None:
    """Fix whole parts of the columns' amounts, or else the largest fraction, until nothing is left.

    After each step columns are drawn anew for the sticks that are left, for so many rounds.
    Returns None if limited boards ran out on the way or time did.
    """
    demand = np.array(rounded.demand)
    boards = list(rounded.count)
    fixed: list[Column] = []
    master = Master(rounded)
    while demand.any():
        master.demand(demand, boards)
        relaxed = master.solve(columns.columns)
        for turn in range(rounds):
            if expired():
                return None
            table = WorthTable(rounded, relaxed.worths * (demand > 0))
            if not add_drawn(table, relaxed.premiums, relaxed, columns, demand, turn):
                break
            relaxed = master.solve(columns.columns)
        if not relaxed.amounts.any():
            return None
        whole = np.floor(relaxed.amounts + 1e-6).astype(int)
        if not whole.any():
            whole[int(np.argmax(relaxed.amounts))] = 1
        for number in np.flatnonzero(whole):
            column = columns.columns[number]
            sticks = Counter(rounded.lays[i].stick for i in column.row)
            for _ in range(whole[number]):
                if not any(demand[stick] for stick in sticks):
                    break
                for stick, count in sticks.items():
                    demand[stick] = max(0, demand[stick] - count)
                fixed.append(column)
                left = boards[column.board]
                if left is not None:
                    boards[column.board] = left - 1
    return layout_of(rounded, [column.row for column in fixed])


def layout_of(rounded: Rounded, rows: list[Row]) -> Layout:
    """Take out sticks beyond the demand, and give each row the cheapest board that holds it."""
    over = Counter(rounded.lays[i].stick for row in rows for i in row)
    over.subtract(dict(enumerate(rounded.demand)))
    trimmed = []
    for row in rows:
        kept = []
        for lay in row:
            stick = rounded.lays[lay].stick
            if over[stick] > 0:
                over[stick] -= 1
            else:
                kept.append(lay)
        if kept:
            trimmed.append(tuple(kept))
    return cheapest_boards(rounded, trimmed)
