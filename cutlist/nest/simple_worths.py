"""Worths by simple rules of length, which prove a bound at once.

Worths in proportion to length are fair on any boards. For boards of one kind and gaps all alike
there are others: a dual-feasible function of the share of a board that a stick takes. Long sticks
may count as whole boards if short ones count nothing; shares may be rounded to so many parts. See
S. P. Fekete and J. Schepers, New classes of fast lower bounds for bin packing problems,
Mathematical Programming 91 (2001), 11-31.
"""

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.master import Relaxed
from cutlist.nest.rounded import Rounded

_LIMITS = 100
"""Lengths up to which sticks may count nothing."""
_PARTS = 8
"""The most parts to which shares of a board are rounded."""


def simple_worths(rounded: Rounded) -> Relaxed:
    """Return the worths and premiums that prove the highest bound; no column has an amount."""
    plain = _by_length(rounded)
    if rounded.gaps.shape != (1, 1) or rounded.count != (None,):
        return plain
    gap, demand = int(rounded.gaps[0, 0]), np.array(rounded.demand)
    takes, board = _lengths(rounded) + gap, rounded.room[0] + gap
    limits = np.unique([0, *takes[2 * takes <= board]])
    limits = limits[:: 1 + len(limits) // _LIMITS, None]
    counted = np.where(takes > board - limits, board, np.where(takes < limits, 0, takes))
    best, most = plain.worths, plain.value
    for parts in range(_PARTS + 1):
        shares = _in_parts(counted, board, parts) if parts else counted / board
        place = int(np.argmax(shares @ demand))
        worths = rounded.cost[0] * shares[place]
        if (value := float(demand @ worths)) > most:
            best, most = worths, value
    return _relaxed(rounded, best, plain.premiums)


def _in_parts(lengths: NDArray[np.int64], board: int, parts: int) -> NDArray[np.float64]:
    """Return lengths x as shares of a board, rounded to parts: floor((parts + 1) x) / parts.

    Where (parts + 1) x is whole, the share stays x.
    """
    wholes, rest = np.divmod((parts + 1) * lengths, board)
    return np.where(rest == 0, lengths / board, wholes / parts)


def _by_length(rounded: Rounded) -> Relaxed:
    """Return worths by length, at the lowest price there is for it, and premiums to go with them.

    A length is counted with the least gap there is: a board has one gap less than it has sticks.
    """
    gap = int(rounded.gaps.min())
    kinds = [
        (cost, room + gap, count)
        for cost, room, count in zip(rounded.cost, rounded.room, rounded.count, strict=True)
    ]
    rate = np.float64(min(c / room for c, room, count in kinds if count is None and room > 0))
    premiums = np.array(
        [0.0 if count is None else max(0.0, rate * room - cost) for cost, room, count in kinds]
    )
    return _relaxed(rounded, rate * (_lengths(rounded) + gap), premiums)


def _lengths(rounded: Rounded) -> NDArray[np.int64]:
    return rounded.length_of[[lays[0] for lays in rounded.lays_of]]


def _relaxed(
    rounded: Rounded, worths: NDArray[np.float64], premiums: NDArray[np.float64]
) -> Relaxed:
    return Relaxed(
        value=rounded.proved(worths, premiums),
        amounts=np.zeros(0),
        worths=worths,
        premiums=premiums,
    )
