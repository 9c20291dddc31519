"""The most that a row of sticks can be worth on a board, by dynamic programming.

`after[c][r]` is the greatest worth of sticks that still fit when the last right end is of class c
and r steps of room remain beyond its long point; each stick may be used any number of times, or, if
all gaps are the same, as often as it is wanted. One table serves all boards, because room is
counted from the board's far end.
"""

from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from cutlist.nest.rounded import Rounded, Row

Worths = NDArray[Any]
"""What each stick is worth: floating point in the search, whole numbers in a proof."""

_AT_ONCE = 2**16
"""Numbers laid over each other in one operation, which then stay in the processor's cache."""


class WorthTable:
    """The table for one set of worths, exact in the worths' own arithmetic."""

    def __init__(self, rounded: Rounded, worths: Worths) -> None:
        self.rounded = rounded
        self.worths = worths
        self._used = np.flatnonzero(worths[rounded.stick_of] > 0)
        self.after = self._fill_by_stick() if rounded.gaps.size == 1 else self._fill()

    def best(self, room: int) -> Any:
        """Return the most that a board of some room can carry."""
        return self.after[-1, room]

    def draw(self, starts: list[tuple[int, int | None]], supply: NDArray[np.int64]) -> list[Row]:
        """Return rows that are worth much and use no stick more often than its supply.

        A start is the room of a board and the lay that must come first, if any. Each row follows
        the table greedily and passes over what has run out. All rows grow at the same time.
        """
        shape, used = self.rounded, self._used
        stick_of = shape.stick_of[used]
        worths = self.worths[stick_of]
        rows: list[list[int]] = [[] for _ in starts]
        supplies = np.tile(supply, (len(starts), 1))
        end = np.full(len(starts), len(self.after) - 1)
        left = np.array([room for room, _ in starts])
        for i, (_, first) in enumerate(starts):
            if first is not None:
                rows[i].append(first)
                supplies[i, shape.stick_of[first]] -= 1
                end[i], left[i] = shape.right_of[first], left[i] - shape.length_of[first]
        growing = np.arange(len(starts))
        while used.size:
            rest = left[growing, None] - shape.take[end[growing]][:, used]
            totals = worths + self.after[shape.right_of[used], np.maximum(rest, 0)]
            totals[(rest < 0) | (supplies[growing][:, stick_of] < 1)] = -1
            best = totals.argmax(axis=1)
            grew = totals[np.arange(len(growing)), best] >= 0
            if not grew.any():
                break
            growing, best, rest = growing[grew], best[grew], rest[grew]
            end[growing] = shape.right_of[used[best]]
            left[growing] = rest[np.arange(len(growing)), best]
            supplies[growing, stick_of[best]] -= 1
            for row, lay in zip(growing, used[best], strict=True):
                rows[row].append(int(lay))
        return [tuple(row) for row in rows]

    def _fill_by_stick(self) -> Worths:
        """Fill the table where the order on a board does not matter."""
        shape, gap = self.rounded, int(self.rounded.gaps[0, 0])
        room = max(shape.room)
        table = np.zeros(room + max(0, gap) + 1, dtype=self.worths.dtype)
        for lay in self._used:
            stick = shape.stick_of[lay]
            take = int(shape.length_of[lay]) + gap
            allow(table, take, self.worths[stick], shape.demand[stick])
        start = np.zeros(room + 1, dtype=table.dtype)
        start[max(0, -gap) :] = table[max(0, gap) : room + gap + 1]
        return np.stack([table[: room + 1], start])

    def _fill(self) -> Worths:
        """Fill the table from little room to much, in blocks as wide as the least that a lay takes.

        Within a block nothing depends on anything else, so that all that may come next are slices
        of what is filled, laid over each other. The last row of the table is the board's start.
        Where ends interlock, a stick's left long point lies before the last right one: `ahead` is
        how far such a start may be.
        """
        shape = self.rounded
        room = max(shape.room)
        gaps = np.vstack([shape.gaps, np.zeros((1, shape.gaps.shape[1]), dtype=np.int64)])
        if not self._used.size:
            return np.zeros((len(gaps), room + 1), dtype=self.worths.dtype)
        used = self._used[np.lexsort((shape.length_of[self._used], shape.left_of[self._used]))]
        lefts, firsts = np.unique(shape.left_of[used], return_index=True)
        groups = np.split(used, firsts[1:])
        gaps = gaps[:, lefts]
        ahead = np.maximum(0, -gaps.min(axis=0))
        block = int(shape.take[:, used].min())
        before = block + max(0, int(gaps.max()))
        nothing = -np.inf if self.worths.dtype.kind == "f" else np.iinfo(self.worths.dtype).min // 2
        width = before + room + block
        # after: as in the module's text. begin: the most if a left end of one class comes first.
        after = np.full((len(gaps), width), nothing, dtype=self.worths.dtype)
        after[:, before:] = 0
        begin = np.full((len(lefts), width + int(ahead.max())), nothing, dtype=after.dtype)
        after_from, begin_from = (
            sliding_window_view(table, block, axis=1) for table in (after, begin)
        )
        some = max(1, _AT_ONCE // (len(lefts) * block))
        parts = [slice(end, end + some) for end in range(0, len(gaps), some)]
        for low in range(before, before + room + 1, block):
            for left, lays in enumerate(groups):
                at = low + int(ahead[left])
                lengths = shape.length_of[lays]
                lays = lays[: np.searchsorted(lengths, at - before + block)]
                if lays.size:
                    rests = after_from[shape.right_of[lays], at - lengths[: lays.size]]
                    rests += self.worths[shape.stick_of[lays], None]
                    rests.max(axis=0, out=begin[left, at : at + block])
            for part in parts:
                follow = begin_from[np.arange(len(lefts)), low - gaps[part]].max(axis=1)
                np.maximum(follow, 0, out=after[part, low : low + block])
        return after[:, before : before + room + 1]


def allow(table: Worths, take: int, worth: Any, supply: int) -> None:
    """Allow one more stick in a table by room, up to its supply, in bundles of 1, 2, 4 ..."""
    left, bundle = min(supply, (len(table) - 1) // take), 1
    while left > 0:
        bundle = min(bundle, left)
        left -= bundle
        step = bundle * take
        np.maximum(table[step:], table[:-step] + bundle * worth, out=table[step:])
        bundle *= 2


def less_charges(
    follow: Worths, rooms: tuple[int, ...], charges: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return, by the room left on the longest board, the most that can follow less what is charged.

    `follow` has in each row the most that fits by room; a shorter board has less room left. Where
    no board is long enough the result is minus infinity.
    """
    room = max(rooms)
    margins = np.full((len(follow), room + 1), -np.inf)
    # Row by row, since a row fits into the processor's cache and the whole often does not.
    for row, most in zip(margins, follow, strict=True):
        for own, charge in zip(rooms, charges, strict=True):
            if own >= 0:
                part = row[room - own :]
                np.maximum(part, most[: own + 1] - charge, out=part)
    return margins
