"""From worths in floating point to a certificate in whole numbers."""

from collections.abc import Callable
from fractions import Fraction
from math import ceil

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.plan import Certificate
from cutlist.nest.pricing import WorthTable
from cutlist.nest.rounded import Rounded
from cutlist.nest.verify_bound import certificate_fault

_SCALE = 10**6
_LISTED = Limits(layer=30_000, listed=1_000)


def certify(
    rounded: Rounded,
    worths: NDArray[np.float64],
    premiums: NDArray[np.float64],
    target: int,
    expired: Callable[[], bool],
) -> Certificate:
    """Return the certificate nearest to these worths that the judge accepts, in whole numbers.

    Prices are first made fair for every row, even one that uses a stick more often than it is
    wanted. If the bound then misses `target`, the prices are left higher, as long as the rows that
    could be in a plan are not worth more than their boards. The judge is asked before any is
    handed out, since its work is limited; the last resort are prices of zero, which prove nothing.
    """
    problem = rounded.problem
    prices = np.floor(worths * _SCALE * (1 - 1e-10)).astype(np.int64)
    costs = _SCALE * np.array(rounded.cost, dtype=np.int64)
    raised = np.ceil(premiums * _SCALE).astype(np.int64)
    fair = _fair_for_all(rounded, prices, costs)
    if total_from(rounded, fair.bound(problem)) < target:
        proper = _fair_for_proper(rounded, prices, costs, raised, expired)
        if (
            proper is not None
            and proper.bound(problem) > fair.bound(problem)
            and not certificate_fault(problem, proper)
        ):
            return proper
    if certificate_fault(problem, fair):
        return _certificate(rounded, 0 * prices, [0] * len(costs))
    return fair


def total_from(rounded: Rounded, bound: Fraction) -> int:
    """Return the least total cost of boards that is not below a bound."""
    least = max(0, ceil(bound))
    costs = {rounded.problem.cost(board) for board in rounded.problem.boards} - {0}
    if not costs:
        return 0
    step = rounded.problem.cost_step
    reachable = 1
    size = least // step + max(costs) // step + 1
    mask = (1 << (size + 1)) - 1
    for cost in costs:
        shift = cost // step
        while shift <= size:
            reachable |= (reachable << shift) & mask
            shift *= 2
    first = -(-least // step)
    rest = reachable >> first
    return step * (first + (rest & -rest).bit_length() - 1) if rest else least


def _fair_for_all(
    rounded: Rounded, prices: NDArray[np.int64], costs: NDArray[np.int64]
) -> Certificate:
    """Scale prices down to fit the boards sold without limit; premiums take up the rest."""
    table = WorthTable(rounded, prices)
    best = [int(table.best(room)) if room >= 0 else 0 for room in rounded.room]
    ratios = [
        Fraction(int(cost), worth)
        for worth, cost, count in zip(best, costs, rounded.count, strict=True)
        if count is None and worth > cost
    ]
    if ratios:
        ratio = min(ratios)
        prices = np.array(
            [int(p) * ratio.numerator // ratio.denominator for p in prices], dtype=np.int64
        )
        table = WorthTable(rounded, prices)
        best = [int(table.best(room)) if room >= 0 else 0 for room in rounded.room]
    premiums = [
        max(0, worth - int(cost)) if count is not None else 0
        for worth, cost, count in zip(best, costs, rounded.count, strict=True)
    ]
    return _certificate(rounded, prices, premiums)


def _fair_for_proper(
    rounded: Rounded,
    prices: NDArray[np.int64],
    costs: NDArray[np.int64],
    premiums: NDArray[np.int64],
    expired: Callable[[], bool],
) -> Certificate | None:
    """Return the certificate if no row that could be in a plan is worth more than its board."""
    for _ in range(8):
        rows = list_rows(
            WorthTable(rounded, prices), (costs + premiums).astype(float), -1.0, _LISTED, expired
        )
        if rows is None:
            return None
        if not rows:
            return _certificate(rounded, prices, [int(p) for p in premiums])
        worst = max(
            sum(int(prices[rounded.lays[i].stick]) for i in row)
            - min(
                int(costs[b] + premiums[b])
                for b, room in enumerate(rounded.room)
                if room >= rounded.taken(row)
            )
            for row in rows
        )
        prices = prices - prices * (worst + 1) // int(max(costs.max(), 1))
    return None


def _certificate(rounded: Rounded, prices: NDArray[np.int64], premiums: list[int]) -> Certificate:
    marks = [stick.mark for stick in rounded.problem.sticks]
    return Certificate(
        scale=_SCALE,
        stick_prices={mark: int(price) for mark, price in zip(marks, prices, strict=True)},
        board_premiums=tuple(premiums[: rounded.problem_boards]),
    )
