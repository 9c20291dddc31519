"""Check in whole numbers that a certificate's prices are fair, and that its bound follows.

Prices are fair if no row of sticks on a board is worth more than the board costs, premium included.
The most that a row can be worth is found step by step of room, every stick as often as one likes.
Where that finds too much, rows are made that use no stick more often than it is wanted.
Nothing of the search is used: lengths, gaps and rooms are rounded here once more.
"""

from collections.abc import Iterator
from itertools import product
from math import ceil, floor, sqrt

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, box, intersection_all

from cutlist.nest.ends import End
from cutlist.nest.plan import Certificate, Plan
from cutlist.nest.problem import Problem, Way
from cutlist.tolerance import SAME_POINT

_MOST_TRIES = 4_000_000
"""Sticks tried at the end of rows before the check gives up, and says so."""


def bound_findings(problem: Problem, plan: Plan) -> Iterator[str]:
    """Yield what is wrong with the certificate of a plan and with the bound it is said to prove."""
    if fault := certificate_fault(problem, plan.certificate):
        yield fault
        return
    needed = plan.certificate.bound(problem)
    if _least_total(problem, ceil(needed)) < plan.certified_bound:
        yield f"the certificate proves {float(needed):g}, not {plan.certified_bound}"


def certificate_fault(problem: Problem, certificate: Certificate) -> str:
    """Return why a certificate does not prove its bound; nothing if it does.

    The work is limited: a certificate that takes too much of it is at fault as well.
    """
    numbers = [*certificate.stick_prices.values(), *certificate.board_premiums]
    if certificate.scale < 1 or any(not isinstance(n, int) or n < 0 for n in numbers):
        return "the certificate's numbers are not whole numbers from 0 up"
    if set(certificate.stick_prices) != {stick.mark for stick in problem.sticks}:
        return "the certificate does not price exactly the sticks of the problem"
    if len(certificate.board_premiums) != len(problem.boards):
        return "the certificate has not one premium for each board"
    boards = list(zip(problem.boards, certificate.board_premiums, strict=True))
    for board, premium in boards:
        if premium and board.count is None:
            return f"the certificate puts a premium on a board without limit ({board.length:g})"
    worth = _Worth(problem, certificate.stick_prices)
    for board, premium in sorted(boards, key=lambda pair: -pair[0].length):
        cost = 0 if board.on_hand else board.price
        if cost is None:
            cost = round(board.length / problem.grid)
        room = floor((board.length - 2 * problem.saw.end_trim + SAME_POINT) / problem.grid)
        allowed = cost * certificate.scale + premium
        if room >= 0 and (row := worth.row_above(allowed, room)):
            return f"a board of {board.length:g} carries {row}, worth more than it costs"
    return ""


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
        lengths = [ceil((stick.length - SAME_POINT) / problem.grid) for stick in problem.sticks]
        lays: dict[tuple[int, Shape, Shape], int] = {}
        for (number, stick), way in product(enumerate(problem.sticks), Way):
            if prices[stick.mark] and way in problem.ways(stick):
                ends = stick.ends(way)
                left, right = _shape(ends[0], -1, section), _shape(ends[1], 1, section)
                lays[number, left, right] = lengths[number]
        lefts = list(dict.fromkeys(left for _, left, _ in lays))
        rights = list(dict.fromkeys(right for _, _, right in lays))
        gaps = [
            [ceil((_gap(r, e, section, kerf) - SAME_POINT) / problem.grid) for e in lefts]
            for r in rights
        ]
        self._stick = np.array([stick for stick, _, _ in lays], dtype=np.int64)
        self._supply = np.array([stick.count for stick in problem.sticks], dtype=np.int64)
        self._names = [stick.mark for stick in problem.sticks]
        self._price = np.array([prices[self._names[i]] for i in self._stick], dtype=np.int64)
        self._left = np.array([lefts.index(e) for _, e, _ in lays], dtype=np.int64)
        self._right = np.array([rights.index(r) for _, _, r in lays], dtype=np.int64)
        self._length = np.array(list(lays.values()), dtype=np.int64)
        self._gaps = np.array(gaps, dtype=np.int64).reshape(len(rights), len(lefts))
        self._gaps = np.vstack([self._gaps, np.zeros((1, len(lefts)), dtype=np.int64)])
        self._take = self._gaps[:, self._left] + self._length
        self._table = np.zeros((len(self._gaps), 1), dtype=np.int64)

    def row_above(self, allowed: int, room: int) -> str:
        """Return a row worth more than allowed, in words; nothing if there is none."""
        if not len(self._price):
            return ""
        if self._table.shape[1] <= room:
            self._table = self._most_that_follows(room)
        if self._table[-1, room] <= allowed:
            return ""
        if self._gaps.shape == (2, 1):
            best = self._best_of_supply(room)
            return f"sticks worth {best}" if best > allowed else ""
        return self._try_all(allowed, room)

    def _most_that_follows(self, room: int) -> NDArray[np.int64]:
        """Return the most that can follow each right end and, last, the start, by room left.

        Steps of room are taken as many at once as the least that a stick takes: what lies within
        one stretch does not depend on the rest of it. `begun` is the most by left end and the room
        from its long point on, which may lie before that of the right end it interlocks with.
        """
        ahead = np.maximum(0, -self._gaps.min(axis=0))
        table = np.zeros((len(self._gaps), room + 1), dtype=np.int64)
        begun = np.zeros((len(ahead), room + 1 + int(ahead.max())), dtype=np.int64)
        known = np.zeros_like(ahead)
        stretch = int(self._take.min())
        for low in range(0, room + 1, stretch):
            high = min(low + stretch, room + 1)
            for left, begin in enumerate(known):
                lays = np.flatnonzero(self._left == left)
                steps = np.arange(begin, high + ahead[left])
                rest = steps - self._length[lays, None]
                totals = table[self._right[lays, None], np.maximum(rest, 0)]
                totals += self._price[lays, None]
                begun[left, steps] = np.where(rest >= 0, totals, 0).max(axis=0)
            known = np.asarray(high + ahead)
            for end, gaps in enumerate(self._gaps):
                for left, gap in enumerate(map(int, gaps)):
                    at = max(low, gap)
                    if at < high:
                        beside = begun[left, at - gap : high - gap]
                        table[end, at:high] = np.maximum(table[end, at:high], beside)
        return table

    def _best_of_supply(self, room: int) -> int:
        """Return the most that a board carries where all gaps are the same: sticks one by one."""
        room += int(self._gaps[0, 0])
        table = np.zeros(max(0, room) + 1, dtype=np.int64)
        for stick, take, price in zip(self._stick, self._take[0], self._price, strict=True):
            for _ in range(min(int(self._supply[stick]), room // int(take))):
                more = table[:-take] + price
                if not (more > table[take:]).any():
                    break
                table[take:] = np.maximum(table[take:], more)
        return int(table[-1])

    def _try_all(self, allowed: int, room: int) -> str:
        """Make all rows that may still come to more than is allowed, one stick longer each time.

        Of rows with the same sticks and the same last end only the shortest can matter. Sticks that
        have the same ends in the same ways could change places, so they come in ascending order.
        """
        alike = self._alike()
        end = np.array([len(self._gaps) - 1])
        room_left, worth = np.array([room]), np.zeros(1, np.int64)
        used = np.zeros((1, len(self._supply)), dtype=np.int32)
        tries = 0
        while len(end):
            tries += len(end) * len(self._price)
            if tries > _MOST_TRIES:
                return "perhaps (there are too many rows to try them all) sticks"
            rest = room_left[:, None] - self._take[end]
            total = worth[:, None] + self._price
            may = (rest >= 0) & (used[:, self._stick] < self._supply[self._stick])
            may &= total + self._table[self._right, np.maximum(rest, 0)] > allowed
            for number, later in enumerate(alike):
                may[:, number] &= ~used[:, later].any(axis=1)
            row, lay = np.nonzero(may)
            end, room_left, worth, used = self._right[lay], rest[may], total[may], used[row]
            used[np.arange(len(row)), self._stick[lay]] += 1
            if (worth > allowed).any():
                counts = used[int(np.argmax(worth))]
                return "sticks " + ", ".join(
                    f"{count} x {name}"
                    for count, name in zip(counts, self._names, strict=True)
                    if count
                )
            shortest = np.argsort(-room_left, kind="stable")
            states = np.column_stack([used[shortest], end[shortest]]).astype(np.int32)
            _, first = np.unique(_as_bytes(states), return_index=True)
            kept = shortest[np.sort(first)]
            end, room_left, worth, used = end[kept], room_left[kept], worth[kept], used[kept]
        return ""

    def _alike(self) -> list[NDArray[np.int64]]:
        """Return for each lay the later sticks that have the same ends in the same ways."""
        ends: dict[int, set[tuple[int, int]]] = {}
        for stick, left, right in zip(self._stick, self._left, self._right, strict=True):
            ends.setdefault(int(stick), set()).add((int(left), int(right)))
        return [
            np.array([s for s, pairs in ends.items() if s > stick and pairs == ends[stick]], int)
            for stick in map(int, self._stick)
        ]


def _as_bytes(rows: NDArray[np.int32]) -> NDArray[np.void]:
    """Return each row as one value, so that equal rows are equal values."""
    whole = np.ascontiguousarray(rows)
    return whole.view(np.dtype((np.void, whole.itemsize * whole.shape[1]))).ravel()


Plane = tuple[float, float, float]
"""Where a plane stands at the section's origin, its slope per depth and per thickness."""

Shape = tuple[Plane, ...]
"""An end seen as a right end, its long point at 0."""


def _shape(end: End, side: int, section: tuple[float, float]) -> Shape:
    """Return a right (side 1) or left (-1) end as a right end with its long point at 0."""
    planes = tuple((side * f.at, side * f.per_depth, side * f.per_thickness) for f in end)
    if len(planes) == 1:
        corners = product((0.0, section[0]), (0.0, section[1]))
        reach = max(_at(planes[0], corner) for corner in corners)
    else:
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
