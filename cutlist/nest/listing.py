"""List every row of sticks that is worth nearly as much as its board costs.

Rows are built from left to right, all rows of one length at a time. Two rows of the same sticks
with the same last end are one; the shorter is kept. A row is dropped when even the best that could
follow (from the worth table) leaves it too poor for every board. Sticks of one family come in
ascending order, since they could change places at no loss.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.bounded import BoundedTable
from cutlist.nest.deadline import Deadline
from cutlist.nest.pricing import WorthTable, less_charges
from cutlist.nest.rounded import Row

_CHUNK = 2_000_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """When to give up: rows in one layer, and rows listed."""

    layer: int
    listed: int


def list_rows(
    table: WorthTable,
    charges: NDArray[np.float64],
    slack: float,
    limits: Limits,
    deadline: Deadline,
) -> list[Row] | None:
    """Return a row for every set of sticks worth at least its board's charge less `slack`.

    `charges` is what using each board costs, premium included. A set of sticks uses none more
    often than it is wanted, and is listed with the least room it takes among its orders. Returns
    None if there are more rows than the limits allow.
    """
    shape = table.rounded
    margins = less_charges(table.after, shape.room, charges)
    final = less_charges(np.zeros((1, margins.shape[1])), shape.room, charges)[0]
    demand = np.array(shape.demand)
    worths = table.worths[shape.stick_of]
    rank, families = np.empty(len(demand), dtype=np.int64), np.array(shape.family_of)
    rank[shape.by_length] = np.arange(len(demand))
    bounded = None
    if BoundedTable.serves(shape):
        bounded = BoundedTable(shape, table.worths).margins(charges)
    lay_rank, lay_family = rank[shape.stick_of], families[shape.stick_of]
    keys = _keys(len(shape.demand))[shape.stick_of]

    end = np.array([len(table.after) - 1])
    used, worth, key = np.zeros(1, int), np.zeros(1), np.zeros(1, np.uint64)
    counts = np.zeros((1, len(demand)), dtype=np.int16)
    highest = np.full((1, int(families.max()) + 1), -1)
    rows = np.zeros((1, 0), dtype=np.int16)
    found: dict[int, tuple[int, Row]] = {}
    room = max(shape.room)
    while len(used):
        picked: list[tuple[NDArray[np.int64], ...]] = []
        step = max(1, _CHUNK // len(shape.lays))
        for low in range(0, len(used), step):
            if deadline.passed:
                return None
            part = slice(low, low + step)
            taken = used[part, None] + shape.take[end[part]]
            may = taken <= room
            may &= counts[part][:, shape.stick_of] < demand[shape.stick_of]
            may &= highest[part][:, lay_family] <= lay_rank
            parent, lay = np.nonzero(may)
            taken = taken[parent, lay]
            parent += low
            total = worth[parent] + worths[lay]
            if bounded is None:
                keep = total + margins[shape.right_of[lay], room - taken] >= -slack
            else:
                keep = total + bounded[lay_rank[lay], room - taken] >= -slack
            picked.append((parent[keep], lay[keep], taken[keep]))
            if sum(len(p[0]) for p in picked) > 4 * limits.layer:
                return None
        parent, lay, taken = (np.concatenate(parts) for parts in zip(*picked, strict=True))
        new_key = key[parent] + keys[lay]
        order = np.lexsort((taken, shape.right_of[lay], new_key))
        new_key, right = new_key[order], shape.right_of[lay][order]
        first = np.ones(len(order), dtype=bool)
        first[1:] = (new_key[1:] != new_key[:-1]) | (right[1:] != right[:-1])
        order = order[first]
        if len(order) > limits.layer:
            return None
        parent, lay, used, key = parent[order], lay[order], taken[order], new_key[first]
        end = shape.right_of[lay]
        worth = worth[parent] + worths[lay]
        counts = counts[parent]
        counts[np.arange(len(lay)), shape.stick_of[lay]] += 1
        highest = highest[parent]
        highest[np.arange(len(lay)), lay_family[lay]] = lay_rank[lay]
        rows = np.hstack([rows[parent], lay[:, None].astype(np.int16)])
        for i in np.flatnonzero(worth + final[room - used] >= -slack):
            known = found.get(int(key[i]))
            if known is None or known[0] > used[i]:
                found[int(key[i])] = int(used[i]), tuple(map(int, rows[i]))
        if len(found) > limits.listed:
            return None
    return [row for _, row in found.values()]


def _keys(count: int) -> NDArray[np.uint64]:
    """Return a fixed random number for each stick; sums of them tell sets of sticks apart."""
    return np.random.default_rng(20011).integers(1, 1 << 63, size=count, dtype=np.uint64)
