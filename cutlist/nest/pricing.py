"""The most that a row of sticks can be worth on a board, by dynamic programming.

`after[c][r]` is the greatest worth of sticks that still fit when the last right end is of class c
and r steps of room remain beyond its long point; each stick may be used any number of times, or, if
all gaps are the same, as often as it is wanted. One table serves all boards, because room is
counted from the board's far end.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.rounded import Rounded, Row

Worths = NDArray[Any]
"""What each stick is worth: floating point in the search, whole numbers in a proof."""


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

        Within a block nothing depends on anything else, so that each lay is one slice operation.
        The last row of the table is the board's start. Where ends interlock, a stick's left long
        point lies before the last right one: `ahead` is how far such a start may be.
        """
        shape, used = self.rounded, self._used
        room = max(shape.room)
        ends, starts = shape.gaps.shape
        after = np.zeros((ends + 1, room + 1), dtype=self.worths.dtype)
        if not used.size:
            return after
        gaps = np.vstack([shape.gaps, np.zeros((1, starts), dtype=np.int64)])
        ahead = np.maximum(0, -gaps.min(axis=0))
        # begin[l][r]: the most that fits into r if a left end of class l comes first; -1: nothing.
        begin = np.full((starts, room + 1 + int(ahead.max())), -1, dtype=after.dtype)
        block = max(1, int((shape.take[:, used]).min()))
        by_left = [used[shape.left_of[used] == left] for left in range(starts)]
        done = [0] * starts
        for low in range(0, room + 1, block):
            high = min(low + block, room + 1)
            for left, lays in enumerate(by_left):
                stop = high + int(ahead[left])
                self._begin(begin[left], after, lays, done[left], stop)
                done[left] = stop
            for end in range(ends + 1):
                for left in range(starts):
                    gap = int(gaps[end, left])
                    at = max(low, gap)
                    if at < high:
                        np.maximum(
                            after[end, at:high],
                            begin[left, at - gap : high - gap],
                            out=after[end, at:high],
                        )
        return after

    def _begin(
        self, begin: Worths, after: Worths, lays: NDArray[np.int64], low: int, high: int
    ) -> None:
        """Fill one left class's row from `low` to `high`."""
        shape = self.rounded
        if high - low < lays.size:
            rest = np.arange(low, high) - shape.length_of[lays][:, None]
            totals = (
                self.worths[shape.stick_of[lays]][:, None]
                + after[shape.right_of[lays][:, None], np.maximum(rest, 0)]
            )
            begin[low:high] = np.where(rest >= 0, totals, -1).max(axis=0)
            return
        for lay in lays:
            length = int(shape.length_of[lay])
            at = max(low, length)
            if at < high:
                totals = after[shape.right_of[lay], at - length : high - length]
                np.maximum(
                    begin[at:high],
                    totals + self.worths[shape.stick_of[lay]],
                    out=begin[at:high],
                )


def allow(table: Worths, take: int, worth: Any, supply: int) -> None:
    """Allow one more stick in a table by room, up to its supply, in bundles of 1, 2, 4 ..."""
    left, bundle = min(supply, (len(table) - 1) // take), 1
    while left > 0:
        bundle = min(bundle, left)
        left -= bundle
        step = bundle * take
        np.maximum(table[step:], table[:-step] + bundle * worth, out=table[step:])
        bundle *= 2
