"""Fewer boards at no higher cost.

With a little charged for each board beside its price, a plan of that cost with fewer boards is a
cheaper plan. So the linear programme of that problem often proves that there is none; else such a
plan is sought among rows that a plan of the cost can use, then by dives in that problem.
"""

from dataclasses import replace

from cutlist.nest.deadline import Deadline
from cutlist.nest.dive import dive
from cutlist.nest.greedy import Layout, layout_of, plan_cost
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Columns, Master, Relaxed, repeated, solve_whole
from cutlist.nest.pricing import WorthTable
from cutlist.nest.relaxation import relax
from cutlist.nest.rounded import Rounded
from cutlist.nest.simple_worths import simple_worths

_MANY = 1_500
"""Columns among which fewer boards are looked for."""
_LISTED = Limits(layer=5_000, listed=400)
_ROUNDS = 8
"""Rounds of drawing columns within each dive."""


def fewer_boards(
    rounded: Rounded, columns: Columns, relaxed: Relaxed, layout: Layout, deadline: Deadline
) -> Layout:
    """Return a plan of no higher cost with fewer boards, if one is found, or else the plan."""
    more = len(layout) + 1
    charged = replace(rounded, cost=tuple(more * cost + 1 for cost in rounded.cost))

    def charge(plan: Layout) -> int:
        return plan_cost(charged, plan)[0]

    known = Columns(charged)
    known.extend(column.row for column in columns.columns)
    enough = charge(layout) - 0.5
    master, start = Master(charged, deadline), simple_worths(charged)
    bounded = relax(charged, known, master, deadline, start=start, enough=enough)
    if bounded.relaxed.value > enough:
        return layout
    near = _among_near(rounded, columns, relaxed, layout, deadline)
    if near is not None and charge(near) < charge(layout):
        layout = near
    while True:
        below = charge(layout) - 1
        found = dive(charged, known, deadline, below=below, enough=below, rounds=_ROUNDS)
        # Where boards are few, rows may have been given dearer ones than the dive had for them.
        if found is None or charge(found) > below:
            return layout
        layout = found


def _among_near(
    rounded: Rounded, columns: Columns, relaxed: Relaxed, layout: Layout, deadline: Deadline
) -> Layout | None:
    """Return a plan with fewer boards, if one is found among rows that a plan of the cost can use.

    They are all listed if they are few; if not, the known ones have to do.
    """
    charges = rounded.charges(relaxed.premiums)
    proved = rounded.proved(relaxed.worths, relaxed.premiums)
    cost, _ = plan_cost(rounded, layout)
    slack = cost - proved + 1e-6 * float(charges.max())
    rows = list_rows(WorthTable(rounded, relaxed.worths), charges, slack, _LISTED, deadline)
    columns.extend(rows or [])
    worths = relaxed.worths[rounded.stick_of]
    near = [
        column
        for column in columns.columns
        if charges[column.board] - float(worths[list(column.row)].sum()) <= slack
    ]
    if len(near) > _MANY:
        return None
    answer = solve_whole(
        rounded,
        near,
        below=cost,
        nodes=1,
        seconds=deadline.left / 4,
        costs=[1.0] * len(near),
        most=len(layout) - 1.0,
    )
    if answer.amounts is None:
        return None
    return layout_of(rounded, [column.row for column in repeated(near, answer.amounts)])
