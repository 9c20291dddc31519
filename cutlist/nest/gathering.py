"""Full boards, and what is left over gathered on one, where all gaps are alike.

Then the order on a board does not matter, and which totals can be had of some sticks is one whole
number: its bit t is set if t can be had. One more stick is a shift and an or.
"""

from collections import Counter
from collections.abc import Iterable
from random import Random

from cutlist.nest.deadline import Deadline
from cutlist.nest.greedy import Layout, cheapest_boards, plan_cost
from cutlist.nest.rounded import Rounded, Row

_PATIENCE = 500
"""Groups of boards that are filled again in vain before the search for a better plan stops."""


def gaps_alike(rounded: Rounded) -> bool:
    """Tell whether all gaps of a problem are the same."""
    return rounded.gaps.shape == (1, 1)


def filled(rounded: Rounded) -> Layout:
    """Return the cheapest plan that fills boards of one kind, one after another, as far as can be.

    The longest stick that is left comes first on each.
    """
    gap = int(rounded.gaps[0, 0])
    longest = int(rounded.length_of.max())
    plans = [
        cheapest_boards(rounded, _filled(rounded, room + gap))
        for room, count in zip(rounded.room, rounded.count, strict=True)
        if count is None and room >= longest
    ]
    return min(plans, key=lambda plan: plan_cost(rounded, plan))


def gathered(
    rounded: Rounded, layout: Layout, place: int, deadline: Deadline, *, emptied: bool
) -> Layout:
    """Return a plan on the same boards with as little on one of them as is found.

    That board and up to three others, of which one is not full, are taken apart. The others are
    filled again, and what is left goes back onto the one. It is kept if that is no more than
    before: also if it is as much, so that plans which are equally good are wandered through until
    a better one is met. Boards that carry nothing in the end are left out. The search ends when no
    plan can have less on the one, or, if it need not be `emptied`, none that has a stick on it.
    """
    gap = int(rounded.gaps[0, 0])
    takes = _takes(rounded)
    rooms = [rounded.room[board] + gap for board, _ in layout]
    carried = [[rounded.lays[lay].stick for lay in row] for _, row in layout]
    loads = [sum(takes[stick] for stick in sticks) for sticks in carried]
    others = [i for i in range(len(layout)) if i != place]
    totals = _totals(takes, rounded.demand, max(rooms))
    least = sum(loads) - sum(_last(totals, rooms[i]) for i in others)
    least = 0 if emptied and least <= 0 else _first(totals, max(1, least))
    draw = Random(20011).random
    vain = 0
    while loads[place] > least and vain < _PATIENCE and not deadline.passed:
        partly = [i for i in others if loads[i] < rooms[i]]
        if not partly:
            break
        group = {partly[int(draw() * len(partly))]: None}
        for _ in range(1 + int(draw() * 2)):
            group[others[int(draw() * len(others))]] = None
        pool = [stick for i in (*group, place) for stick in carried[i]]
        pool.sort(key=lambda _: draw())
        full = []
        for i in group:
            fullest, pool = _fullest(pool, takes, rooms[i])
            full.append(fullest)
        rest = sum([takes[stick] for stick in pool])
        vain = 0 if rest < loads[place] else vain + 1
        if rest <= loads[place]:
            for i, sticks in zip((*group, place), (*full, pool), strict=True):
                carried[i], loads[i] = sticks, sum([takes[stick] for stick in sticks])
    return [
        (board, _row(rounded, sticks))
        for (board, _), sticks in zip(layout, carried, strict=True)
        if sticks
    ]


def _filled(rounded: Rounded, room: int) -> list[Row]:
    takes, left = _takes(rounded), list(rounded.demand)
    by_length = list(map(int, rounded.by_length))
    rows: list[Row] = []
    for longest in by_length:
        while left[longest]:
            over = room - takes[longest]
            left[longest] -= 1
            fitting = [i for i in by_length for _ in range(min(left[i], over // takes[i]))]
            left[longest] += 1
            sticks = [longest, *_fullest(fitting, takes, over)[0]]
            used = Counter(sticks)
            times = min(left[i] // count for i, count in used.items())
            for i, count in used.items():
                left[i] -= times * count
            rows += [_row(rounded, sticks)] * times
    return rows


def _takes(rounded: Rounded) -> list[int]:
    """Return the room that each stick takes with the gap before it."""
    gap = int(rounded.gaps[0, 0])
    return [int(rounded.length_of[lays[0]]) + gap for lays in rounded.lays_of]


def _row(rounded: Rounded, sticks: Iterable[int]) -> Row:
    """Return the sticks as a row, the longest first."""
    lays = [rounded.lays_of[stick][0] for stick in sticks]
    return tuple(sorted(lays, key=lambda lay: (-rounded.lays[lay].length, lay)))


def _fullest(sticks: list[int], takes: list[int], room: int) -> tuple[list[int], list[int]]:
    """Return those of some sticks that come nearest to a room, and the others.

    Of ways that come as near, the one is taken that has the first sticks.
    """
    mask = (1 << (room + 1)) - 1
    totals = [1]
    for stick in reversed(sticks):
        totals.append(totals[-1] | (totals[-1] << takes[stick]) & mask)
    left = totals.pop().bit_length() - 1
    chosen, others = [], []
    for stick, before in zip(sticks, reversed(totals), strict=True):
        rest = left - takes[stick]
        if rest >= 0 and before >> rest & 1:
            chosen.append(stick)
            left = rest
        else:
            others.append(stick)
    return chosen, others


def _totals(takes: Iterable[int], demand: Iterable[int], room: int) -> int:
    """Return the totals up to a room that can be had of all sticks."""
    mask = (1 << (room + 1)) - 1
    totals = 1
    for take, count in zip(takes, demand, strict=True):
        left, bundle = min(count, room // take), 1
        while left > 0:
            bundle = min(bundle, left)
            left -= bundle
            totals |= (totals << bundle * take) & mask
            bundle *= 2
    return totals


def _last(totals: int, most: int) -> int:
    """Return the greatest total that is at most so much."""
    return (totals & ((1 << (most + 1)) - 1)).bit_length() - 1


def _first(totals: int, least: int) -> int:
    """Return the least total that is at least so much."""
    rest = totals >> least
    return least + (rest & -rest).bit_length() - 1
