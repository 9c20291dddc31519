"""The cheapest plan of a tiny problem by trying everything."""

from functools import cache
from itertools import product
from math import ceil, floor, inf

from cutlist.nest import Problem
from cutlist.nest.ends import gap

HAIR = 1e-7


def cheapest(problem: Problem) -> float:
    """Return the least cost on the grid, or infinity if no plan exists."""
    sticks = [stick for stick in problem.sticks for _ in range(stick.count)]
    section, kerf, grid = (problem.depth, problem.thickness), problem.saw.kerf, problem.grid
    laid = [[stick.laid(way) for way in problem.ways(stick)] for stick in sticks]
    places = [(i, way) for i, ways in enumerate(laid) for way in range(len(ways))]

    @cache
    def apart(before: tuple[int, int], after: tuple[int, int]) -> int:
        one, two = (laid[i][way] for i, way in (before, after))
        # `start` and `end` are long points; a frame is moved by `gap`.
        distance = gap(one.right, two.left, section, kerf) + two.start - one.end
        return ceil((distance - HAIR) / grid)

    @cache
    def after(last: tuple[int, int], rest: frozenset[int]) -> int:
        """Least room that the rest takes beyond a stick's long point, in every order and way."""
        return min(
            (
                apart(last, place) + length(place[0]) + after(place, rest - {place[0]})
                for place in places
                if place[0] in rest
            ),
            default=0,
        )

    def length(stick: int) -> int:
        return ceil((sticks[stick].length - HAIR) / grid)

    @cache
    def shortest(subset: frozenset[int]) -> int:
        return min(
            length(place[0]) + after(place, subset - {place[0]})
            for place in places
            if place[0] in subset
        )

    rooms = [
        floor((board.length - 2 * problem.saw.end_trim + HAIR) / grid) for board in problem.boards
    ]

    @cache
    def cost(left: frozenset[int], used: tuple[int, ...]) -> float:
        if not left:
            return 0
        first, best = min(left), inf
        others = sorted(left - {first})
        for pick in product((False, True), repeat=len(others)):
            subset = frozenset([first, *(o for o, p in zip(others, pick, strict=True) if p)])
            for number, board in enumerate(problem.boards):
                free = board.count is None or used[number] < board.count
                if free and shortest(subset) <= rooms[number]:
                    now = (*used[:number], used[number] + 1, *used[number + 1 :])
                    best = min(best, problem.cost(board) + cost(left - subset, now))
        return best

    return cost(frozenset(range(len(sticks))), (0,) * len(problem.boards))
