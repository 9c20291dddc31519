"""The plan that a careful person makes: longest sticks first, each where it leaves least over."""

from collections import Counter
from dataclasses import dataclass, replace

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
    return cheapest_boards(rounded, [row for _, row in trimmed(rounded, [(0, r) for r in rows])])


def trimmed(rounded: Rounded, layout: Layout) -> Layout:
    """Take out sticks beyond the demand, and boards that then carry nothing."""
    over = Counter(rounded.lays[i].stick for _, row in layout for i in row)
    over.subtract(dict(enumerate(rounded.demand)))
    kept: Layout = []
    for board, row in layout:
        rest = []
        for lay in row:
            stick = rounded.lays[lay].stick
            if over[stick] > 0:
                over[stick] -= 1
            else:
                rest.append(lay)
        if rest:
            kept.append((board, tuple(rest)))
    return kept


def cheapest_boards(rounded: Rounded, rows: list[Row]) -> Layout:
    """Give each row the cheapest board that holds it, the longest rows first."""
    left = [len(rows) if count is None else count for count in rounded.count]
    cheapest = sorted(range(len(left)), key=lambda b: (rounded.cost[b], rounded.room[b]))
    plan: Layout = []
    many = Counter(rows)
    for taken, row in sorted(((rounded.taken(row), row) for row in many), reverse=True):
        for board in cheapest:
            if rounded.room[board] >= taken:
                given = min(left[board], many[row])
                left[board] -= given
                many[row] -= given
                plan += [(board, row)] * given
    return plan


@dataclass(slots=True)
class _Alike:
    """Open boards that carry the same row: its room left, its last right end, and how many."""

    row: Row
    end: int
    left: int
    many: int


def _best_fit(rounded: Rounded, habit: int) -> Layout:
    """Fill limited boards first, then open the board of the habit or the least that fits.

    Sticks of a kind go one after another onto the fullest board that still holds one, until it
    holds no more; so boards that carry the same are filled together.
    """
    start = len(rounded.gaps)
    opened: list[_Alike] = []
    limited = Counter({b: count for b, count in enumerate(rounded.count) if count is not None})
    for stick in map(int, rounded.by_length):
        lays = rounded.lays_of[stick]
        takes = rounded.take[:, lays].tolist()
        least = list(map(min, takes))
        wanted = rounded.demand[stick]
        while wanted:
            group = min(
                (o for o in opened if o.left >= least[o.end]),
                key=lambda o: o.left - least[o.end],
                default=None,
            )
            if group is None:
                board = _board_to_open(rounded, rounded.lays[lays[0]].length, habit, limited)
                many = wanted if rounded.count[board] is None else limited[board]
                group = _Alike(row=(), end=start, left=rounded.room[board], many=many)
            copies = _copies(rounded, lays, takes, group, wanted)
            filled = min(group.many, wanted // len(copies))
            wanted -= filled * len(copies)
            group.many -= filled
            last = copies[-1]
            opened.append(replace(last, many=filled))
            if group.row:
                opened = [o for o in opened if o.many]
            elif rounded.count[board] is not None:
                limited[board] -= filled
    return cheapest_boards(rounded, [o.row for o in opened for _ in range(o.many)])


def _copies(
    rounded: Rounded, lays: tuple[int, ...], takes: list[list[int]], group: _Alike, most: int
) -> list[_Alike]:
    """Return a board after one more of a stick, after two, and so on until it is full or at most.

    `takes`: the room that each of the stick's lays takes after each right end.
    """
    states: list[_Alike] = []
    state = group
    while len(states) < most:
        take, lay = min(zip(takes[state.end], lays, strict=True))
        if state.left < take:
            break
        state = _Alike(
            row=(*state.row, lay),
            end=rounded.lays[lay].right,
            left=state.left - take,
            many=1,
        )
        states.append(state)
    return states


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
