"""Of plans that cost the same: fewer boards, then a longer single offcut.

Both are sought: fewer boards (see `fewer_boards`), then a longer offcut by taking the board that
has it apart together with a few others, as long as that helps; where all gaps are alike, for the
emptiest board of each kind (see `gathering`).
"""

from collections import Counter

import numpy as np

from cutlist.nest.deadline import Deadline
from cutlist.nest.fewer_boards import fewer_boards
from cutlist.nest.gathering import gaps_alike, gathered
from cutlist.nest.greedy import Layout, plan_cost, trimmed
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Column, Columns, Relaxed, repeated, solve_whole
from cutlist.nest.pricing import WorthTable
from cutlist.nest.rounded import Rounded, Row

Rank = tuple[int, int, int]

_GROUPS = 3
"""Groups of boards taken apart for a longer offcut."""
_STICKS = 14
"""Sticks of a group of boards, at the most."""
_LISTED = Limits(layer=5_000, listed=400)
_SPECIAL = 200
"""Rows that may leave the longest offcut of a group."""


def rank(rounded: Rounded, layout: Layout) -> Rank:
    """Return cost, boards and longest room left of a plan as a key: the least is the best."""
    longest = max((rounded.room[board] - rounded.taken(row) for board, row in layout), default=0)
    return (*plan_cost(rounded, layout), -longest)


def emptiest(rounded: Rounded, layout: Layout) -> list[tuple[int, int]]:
    """Return for each kind of board the most room left on one, and which of the plan's that is."""
    kinds: dict[int, tuple[int, int]] = {}
    for place, (board, row) in enumerate(layout):
        left = rounded.room[board] - rounded.taken(row)
        kinds[board] = max(kinds.get(board, (-1, -1)), (left, place))
    return sorted(kinds.values(), reverse=True)


def settle_ties(
    rounded: Rounded, columns: Columns, relaxed: Relaxed, layout: Layout, deadline: Deadline
) -> Layout:
    """Return the plan, or one of no higher cost with fewer boards or else a longer offcut."""
    if len(set(rounded.room)) > 1:
        layout = fewer_boards(rounded, columns, relaxed, layout, deadline)
    if gaps_alike(rounded):
        plans = [
            gathered(rounded, layout, place, deadline, emptied=False)
            for _, place in emptiest(rounded, layout)
        ]
        return min(layout, *plans, key=lambda plan: rank(rounded, plan))
    random = np.random.default_rng(20011)
    tried: set[tuple[int, ...]] = set()
    for _ in range(_GROUPS):
        if deadline.passed or len(layout) < 2:
            break
        over = np.array([rounded.room[board] - rounded.taken(row) for board, row in layout])
        first = int(over.argmax())
        group = [first]
        sticks = len(layout[first][1])
        # Those with much left over come first, more often than not: it is theirs that is gathered.
        for other in np.argsort(random.exponential(size=len(layout)) / (over + 1.0)):
            more = len(layout[other][1])
            if other != first and sticks + more <= _STICKS:
                group.append(int(other))
                sticks += more
        group.sort()
        if tuple(group) in tried:
            continue
        tried.add(tuple(group))
        taken = [layout[i] for i in group]
        kept = [part for i, part in enumerate(layout) if i not in set(group)]
        again = _longer_offcut(rounded, relaxed, taken, kept, deadline)
        if again is not None and rank(rounded, kept + again) < rank(rounded, layout):
            layout = kept + again
            tried.clear()
    return layout


def _longer_offcut(
    rounded: Rounded, relaxed: Relaxed, taken: Layout, kept: Layout, deadline: Deadline
) -> Layout | None:
    """Plan the sticks of some boards again for fewer boards, then for one long offcut.

    The rows are all that a plan of no higher cost can use; the offcut is left by one of them, or
    by one from whose end sticks were taken off.
    """
    sticks = Counter(int(rounded.stick_of[lay]) for _, row in taken for lay in row)
    part, lays = rounded.part(sticks, Counter(board for board, _ in kept))
    worths = relaxed.worths[sorted(sticks)]
    charges = rounded.charges(relaxed.premiums)
    cost, _ = plan_cost(rounded, taken)
    paid = sum(float(charges[board]) for board, _ in taken)
    slack = max(0.0, paid - float(np.array(part.demand) @ worths)) + 1e-6 * float(charges.max())
    rows = list_rows(WorthTable(part, worths), charges, slack, _LISTED, deadline)
    if rows is None:
        return None
    columns = Columns(part)
    columns.extend(rows)
    ordinary = columns.columns
    special = _leaving_more(part, rows, -rank(rounded, taken)[2])
    weight = 2.0 * max(part.room)
    offcuts = [part.room[column.board] - part.taken(column.row) for column in special]
    answer = solve_whole(
        part,
        ordinary + special,
        below=cost,
        nodes=5,
        seconds=deadline.left / 4,
        costs=[weight] * len(ordinary) + [weight - offcut for offcut in offcuts],
        most=weight * len(taken) + rank(rounded, taken)[2] - 1.0,
        single=range(len(ordinary), len(ordinary) + len(special)),
    )
    if answer.amounts is None:
        return None
    chosen = repeated(ordinary + special, answer.amounts)
    plan = trimmed(part, [(column.board, column.row) for column in chosen])
    return [(board, tuple(lays[i] for i in row)) for board, row in plan]


def _leaving_more(rounded: Rounded, rows: list[Row], least: int) -> list[Column]:
    """Return columns that leave more room than `least`, those with most first."""
    starts = sorted({row[:length] for row in rows for length in range(1, len(row) + 1)})
    found = sorted(
        (
            (rounded.room[board] - rounded.taken(row), board, row)
            for row in starts
            for board in range(rounded.problem_boards)
            if rounded.count[board] != 0
        ),
        reverse=True,
    )
    return [Column(board, row) for room, board, row in found if room > least][:_SPECIAL]
