"""Check in whole numbers that a certificate's prices are fair, and that its bound follows.

Prices are fair if no row of sticks on a board is worth more than the board costs, premium included.
The most that a row can be worth is found step by step of room, every stick as often as one likes.
Where that finds too much, rows are tried one by one that use no stick more often than it is wanted.
Nothing of the search is used: lengths, gaps and rooms are rounded here once more.
"""

from collections.abc import Iterator
from itertools import product
from math import ceil, floor, sqrt

import numpy as np
from shapely import Polygon, box, intersection_all

from cutlist.nest.ends import End
from cutlist.nest.plan import Plan
from cutlist.nest.problem import Problem, Way
from cutlist.tolerance import SAME_POINT

_MOST_ROWS = 2_000_000
"""Rows tried one by one before the check gives up, and says so."""


def bound_findings(problem: Problem, plan: Plan) -> Iterator[str]:
    """Yield what is wrong with the certificate of a plan and with the bound it is said to prove."""
    certificate = plan.certificate
    marks = {stick.mark for stick in problem.sticks}
    numbers = [*certificate.stick_prices.values(), *certificate.board_premiums]
    if certificate.scale < 1 or any(not isinstance(n, int) or n < 0 for n in numbers):
        yield "the certificate's numbers are not whole numbers from 0 up"
        return
    if set(certificate.stick_prices) != marks:
        yield "the certificate does not price exactly the sticks of the problem"
        return
    if len(certificate.board_premiums) != len(problem.boards):
        yield "the certificate has not one premium for each board"
        return
    for board, premium in zip(problem.boards, certificate.board_premiums, strict=True):
        if premium and board.count is None:
            yield f"the certificate puts a premium on a board without limit ({board.length:g})"
            return
    worth = _Worth(problem, certificate.stick_prices)
    for board, premium in zip(problem.boards, certificate.board_premiums, strict=True):
        cost = 0 if board.on_hand else board.price
        if cost is None:
            cost = round(board.length / problem.grid)
        room = floor((board.length - 2 * problem.saw.end_trim + SAME_POINT) / problem.grid)
        allowed = cost * certificate.scale + premium
        if room >= 0 and (row := worth.row_above(allowed, room)):
            yield f"a board of {board.length:g} carries {row}, worth more than it costs"
            return
    needed = certificate.bound(problem)
    if _least_total(problem, ceil(needed)) < plan.certified_bound:
        yield f"the certificate proves {float(needed):g}, not {plan.certified_bound}"


def _least_total(problem: Problem, least: int) -> int:
    """Return the least sum of board costs that is not below `least`."""
    costs = {
        round(b.length / problem.grid) if b.price is None else b.price
        for b in problem.boards
        if not b.on_hand
    } - {0}
    if not costs or least <= 0:
        return 0
    reachable = np.zeros(least + max(costs) + 1, dtype=bool)
    reachable[0] = True
    for cost in costs:
        # A sum with one cost repeated: reachable if a smaller one of the same remainder is.
        padded = np.zeros(-(-len(reachable) // cost) * cost, dtype=bool)
        padded[: len(reachable)] = reachable
        reachable = np.logical_or.accumulate(padded.reshape(-1, cost), axis=0).ravel()[
            : len(reachable)
        ]
    return least + int(np.argmax(reachable[least:]))


class _Worth:
    """What rows of sticks are worth, by the room they take."""

    def __init__(self, problem: Problem, prices: dict[str, int]) -> None:
        section, kerf = (problem.depth, problem.thickness), problem.saw.kerf
        lays: dict[tuple[int, Shape, Shape], int] = {}
        for (number, stick), way in product(enumerate(problem.sticks), Way):
            if prices[stick.mark] and way in problem.ways(stick):
                laid = stick.laid(way)
                left = _shape(laid.left, -1, section)
                right = _shape(laid.right, 1, section)
                lays[number, left, right] = ceil((stick.length - SAME_POINT) / problem.grid)
        lefts = list(dict.fromkeys(left for _, left, _ in lays))
        self._rights = list(dict.fromkeys(right for _, _, right in lays))
        gaps = [
            [ceil((_gap(r, e, section, kerf) - SAME_POINT) / problem.grid) for e in lefts]
            for r in self._rights
        ]
        self._stick = [stick for stick, _, _ in lays]
        self._supply = [stick.count for stick in problem.sticks]
        self._names = [stick.mark for stick in problem.sticks]
        self._price = np.array([prices[self._names[i]] for i in self._stick], dtype=np.int64)
        self._right = np.array([self._rights.index(r) for _, _, r in lays], dtype=np.int64)
        self._length = np.array(list(lays.values()), dtype=np.int64)
        left_of = np.array([lefts.index(e) for _, e, _ in lays], dtype=np.int64)
        self._alike = len(self._rights) == len(lefts) == 1
        between = np.array(gaps, dtype=np.int64).reshape(len(self._rights), len(lefts))
        self._take = np.vstack([between[:, left_of] + self._length, self._length])
        self._table = np.zeros((len(self._rights) + 1, 1), dtype=np.int64)

    def row_above(self, allowed: int, room: int) -> str:
        """Return a row worth more than allowed, in words; nothing if there is none."""
        self._extend(room)
        if not len(self._price) or self._table[-1, room] <= allowed:
            return ""
        if self._alike:
            best = self._best_of_supply(room)
            return f"sticks worth {best}" if best > allowed else ""
        self._seen: dict[tuple[int, tuple[int, ...]], int] = {}
        self._used = [0] * len(self._supply)
        return self._try(len(self._rights), room, 0, allowed)

    def _extend(self, room: int) -> None:
        """Fill the table: the most that can follow each right end and, last, the start."""
        known = self._table.shape[1]
        if room < known or not len(self._price):
            return
        self._table = np.hstack(
            [self._table, np.zeros((len(self._table), room + 1 - known), dtype=np.int64)]
        )
        for r in range(known, room + 1):
            rest = r - self._take
            totals = np.where(
                rest >= 0, self._price + self._table[self._right, np.maximum(rest, 0)], 0
            )
            self._table[:, r] = totals.max(axis=1)

    def _best_of_supply(self, room: int) -> int:
        """Return the most that a board carries where all gaps are the same: sticks one by one."""
        room += int(self._take[0, 0] - self._length[0])
        table = np.zeros(max(0, room) + 1, dtype=np.int64)
        for stick, take, price in zip(self._stick, self._take[0], self._price, strict=True):
            for _ in range(min(self._supply[stick], room // int(take))):
                more = table[:-take] + price
                if not (more > table[take:]).any():
                    break
                table[take:] = np.maximum(table[take:], more)
        return int(table[-1])

    def _try(self, end: int, room: int, worth: int, allowed: int) -> str:
        """Add sticks to a row while it may still come to more than is allowed."""
        if worth > allowed:
            counted = zip(self._used, self._names, strict=True)
            return "sticks " + ", ".join(f"{count} x {mark}" for count, mark in counted if count)
        key = end, tuple(self._used)
        if self._seen.get(key, -1) >= room:
            return ""
        self._seen[key] = room
        if len(self._seen) > _MOST_ROWS:
            return "perhaps (there are too many rows to try them all) sticks"
        for lay, stick in enumerate(self._stick):
            rest = room - int(self._take[end, lay])
            if rest < 0 or self._used[stick] == self._supply[stick]:
                continue
            now = worth + int(self._price[lay])
            if now + int(self._table[self._right[lay], rest]) > allowed:
                self._used[stick] += 1
                found = self._try(int(self._right[lay]), rest, now, allowed)
                self._used[stick] -= 1
                if found:
                    return found
        return ""


Plane = tuple[float, float, float]
"""Where a plane stands at the section's origin, its slope per depth and per thickness."""

Shape = tuple[Plane, ...]
"""An end seen as a right end, its long point at 0."""


def _shape(end: End, side: int, section: tuple[float, float]) -> Shape:
    """Return a right (side 1) or left (-1) end as a right end with its long point at 0."""
    planes = tuple((side * f.at, side * f.per_depth, side * f.per_thickness) for f in end)
    reach = max(
        _at(plane, point)
        for plane, part in _parts(planes, section)
        for point in part.exterior.coords
    )
    return tuple(sorted({(round(a - reach, 9), round(b, 9), round(c, 9)) for a, b, c in planes}))


def _at(plane: Plane, point: tuple[float, ...]) -> float:
    return plane[0] + plane[1] * point[0] + plane[2] * point[1]


def _parts(shape: Shape, section: tuple[float, float]) -> list[tuple[Plane, Polygon]]:
    """Return each plane with the part of the section where it is the least."""
    found = []
    for plane in shape:
        beside = [
            _not_negative(other[0] - plane[0], other[1] - plane[1], other[2] - plane[2], section)
            for other in shape
            if other != plane
        ]
        part = intersection_all([box(0.0, 0.0, *section), *beside])
        if isinstance(part, Polygon) and part.area > SAME_POINT * max(section):
            found.append((plane, part))
    return found


def _not_negative(a: float, b: float, c: float, section: tuple[float, float]) -> Polygon:
    """Return where a + b y + c z is not negative, at least as far as the section reaches."""
    size = 4.0 * sum(section)
    steep = sqrt(b * b + c * c)
    if abs(a) >= size * steep:
        return box(0.0, 0.0, *section) if a >= 0.0 else Polygon()
    y, z, along, across = -a * b / steep**2, -a * c / steep**2, b / steep, c / steep
    ends = [
        (y - size * 2 * across, z + size * 2 * along),
        (y + size * 2 * across, z - size * 2 * along),
    ]
    return Polygon(
        [*ends, *((p + size * 2 * along, q + size * 2 * across) for p, q in reversed(ends))]
    )


def _gap(right: Shape, left: Shape, section: tuple[float, float], kerf: float) -> float:
    """Return the room from the long point of a right end to that of the left end beside it.

    Both are given as right ends. Negative where they interlock.
    """
    least = -float("inf")
    for plane, part in _parts(right, section):
        for other, other_part in _parts(left, section):
            wide = kerf * max(sqrt(1.0 + p[1] ** 2 + p[2] ** 2) for p in (plane, other))
            shared = part.intersection(other_part)
            if shared.area > 0.0:
                corners = shared.boundary.coords
                least = max(least, *(_at(plane, q) + _at(other, q) + wide for q in corners))
    return least
