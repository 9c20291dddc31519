"""The plan that a careful person makes: longest sticks first, each where it leaves least over."""

from collections import Counter

import numpy as np

from cutlist.nest.rounded import Rounded, Row

Layout = list[tuple[int, Row]]
"""A plan in whole numbers: for each board cut, its number in the rounded problem and its row."""


def best_fit(rounded: Rounded) -> Layout:
    """Return the cheapest of the best-fit-decreasing plans, one for each board to open by habit."""
    openings = [b for b, count in enumerate(rounded.count) if count is None]
    plans = [_best_fit(rounded, habit) for habit in openings or [0]]
    return min(plans, key=lambda plan: plan_cost(rounded, plan))


def plan_cost(rounded: Rounded, plan: Layout) -> tuple[int, int]:
    """Return the cost of a plan and its number of boards."""
    return sum(rounded.cost[board] for board, _ in plan), len(plan)


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


def cheapest_boards(rounded: Rounded, rows: list[Row]) -> Layout:
    """Give each row the cheapest board that holds it, the longest rows first."""
    left = [float("inf") if count is None else count for count in rounded.count]
    plan = []
    for taken, row in sorted(((rounded.taken(row), row) for row in rows), reverse=True):
        holding = [b for b, room in enumerate(rounded.room) if room >= taken and left[b] > 0]
        board = min(holding, key=lambda b: (rounded.cost[b], rounded.room[b]))
        left[board] -= 1
        plan.append((board, row))
    return plan


def _best_fit(rounded: Rounded, habit: int) -> Layout:
    """Fill limited boards first, then open the board of the habit or the least that fits."""
    room = np.zeros(sum(rounded.demand), dtype=np.int64)
    used = np.zeros_like(room)
    last = np.zeros_like(room)
    rows: list[list[int]] = []
    limited = Counter({b: count for b, count in enumerate(rounded.count) if count is not None})
    lengths = [rounded.lays[lays[0]].length for lays in rounded.lays_of]
    for stick in sorted(range(len(lengths)), key=lambda i: (-lengths[i], i)):
        for _ in range(rounded.demand[stick]):
            best = None
            for number in rounded.lays_of[stick]:
                lay = rounded.lays[number]
                n = len(rows)
                over = room[:n] - used[:n] - lay.length - rounded.gaps[last[:n], lay.left]
                over[over < 0] = np.iinfo(np.int64).max
                if n and (best is None or over.min() < best[0]) and over.min() < 1 << 62:
                    best = int(over.min()), int(over.argmin()), number
            if best is not None:
                over_left, row, number = best
                used[row] = room[row] - over_left
                rows[row].append(number)
            else:
                row, number = len(rows), rounded.lays_of[stick][0]
                board = _board_to_open(rounded, lengths[stick], habit, limited)
                limited[board] -= 1
                room[row], used[row] = rounded.room[board], lengths[stick]
                rows.append([number])
            last[row] = rounded.lays[number].right
    return cheapest_boards(rounded, [tuple(row) for row in rows])


def _board_to_open(rounded: Rounded, length: int, habit: int, limited: Counter[int]) -> int:
    """Return a board that holds the length: of a limited kind, or the habit, or the shortest."""
    holding = [
        b
        for b, room in enumerate(rounded.room)
        if room >= length and (rounded.count[b] is None or limited[b] > 0)
    ]
    return min(
        holding,
        key=lambda b: (rounded.cost[b] > 0, rounded.count[b] is None, b != habit, rounded.room[b]),
    )
