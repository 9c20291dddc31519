"""Whole plans from the linear programme: fix what it is sure of, solve again for the rest."""

from collections import Counter
from dataclasses import replace

import numpy as np

from cutlist.nest.cover import cover
from cutlist.nest.deadline import Deadline
from cutlist.nest.greedy import Layout, best_fit, layout_of, plan_cost
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Columns, Master, Relaxed
from cutlist.nest.pricing import WorthTable
from cutlist.nest.relaxation import add_drawn
from cutlist.nest.rounded import Rounded, Row

_FEW = 30
"""Sticks that are planned to the end at once, in so many nodes."""
_NODES = 2_000
_LISTED = Limits(layer=20_000, listed=600)


def dive(
    rounded: Rounded,
    columns: Columns,
    deadline: Deadline,
    *,
    below: int,
    enough: int,
    rounds: int,
    passed_over: int = 0,
) -> Layout | None:
    """Fix whole parts of the columns' amounts, or else the largest fraction, until nothing is left.

    After each step the rest is tried as a careful person would fill it; then columns are drawn
    anew for the sticks that are left, for so many rounds. Once few sticks are left, the rest is
    solved to the end. The first fraction to be fixed is not the largest, but the one after
    so many larger ones.

    Returns the cheapest plan met, if it costs at most `below`, or None; stops at `enough`.
    """
    demand = np.array(rounded.demand)
    boards = list(rounded.count)
    fixed: list[Row] = []
    best: Layout | None = None
    step = max(1, rounded.problem.cost_step)
    spent = 0
    master = Master(rounded, deadline)
    while demand.any():
        rest = replace(rounded, demand=tuple(map(int, demand)), count=tuple(boards))
        if fixed:
            by_hand = best_fit(rest)
            cost = spent + plan_cost(rest, by_hand)[0]
            if cost <= below:
                best = layout_of(rounded, fixed + [row for _, row in by_hand])
                if cost <= enough:
                    return best
                below = cost - step
            columns.extend(row for _, row in by_hand)
        master.demand(demand, boards)
        relaxed = master.solve(columns.columns, columns.within(demand))
        for turn in range(rounds):
            if deadline.passed:
                return best
            table = WorthTable(rounded.coarse, relaxed.worths * (demand > 0))
            if not add_drawn(table, relaxed.premiums, relaxed, columns, demand, turn):
                break
            relaxed = master.solve(columns.columns, columns.within(demand))
        if not relaxed.amounts.any():
            return best
        if fixed and demand.sum() <= _FEW:
            rows, exhausted = _finish(rest, relaxed, below - spent, deadline)
            if rows is not None:
                return layout_of(rounded, fixed + rows)
            if exhausted:
                return best
        whole = np.floor(relaxed.amounts + 1e-6).astype(int)
        if not whole.any():
            order = np.argsort(-relaxed.amounts, kind="stable")
            fractions = int(np.count_nonzero(relaxed.amounts > 1e-6))
            whole[order[min(passed_over, fractions - 1)]] = 1
            passed_over = 0
        for number in np.flatnonzero(whole):
            column = columns.columns[number]
            sticks = Counter(rounded.lays[i].stick for i in column.row)
            for _ in range(whole[number]):
                if any(demand[stick] < count for stick, count in sticks.items()):
                    break
                for stick, count in sticks.items():
                    demand[stick] -= count
                fixed.append(column.row)
                spent += rounded.cost[column.board]
                remaining = boards[column.board]
                if remaining is not None:
                    boards[column.board] = remaining - 1
    return layout_of(rounded, fixed) if spent <= below else best


def _finish(
    rounded: Rounded, relaxed: Relaxed, below: int, deadline: Deadline
) -> tuple[list[Row] | None, bool]:
    """Solve a small problem over all rows it can use; tell also if that settles it."""
    charges = rounded.charges(relaxed.premiums)
    slack = max(0.0, below - relaxed.value) + 1e-6 * float(charges.max())
    table = WorthTable(rounded, relaxed.worths * (np.array(rounded.demand) > 0))
    rows = list_rows(table, charges, slack, _LISTED, deadline)
    if rows is None:
        return None, False
    columns = Columns(rounded)
    columns.extend(rows)
    if not len(columns):
        return None, True
    answer = cover(
        rounded,
        columns.columns,
        relaxed.worths,
        relaxed.premiums,
        below=below,
        nodes=_NODES,
        deadline=deadline,
    )
    if answer.amounts is None:
        return None, answer.exhausted
    return columns.repeated(answer.amounts), True
