"""The worth table for jobs where all ends are alike, exact for a limited supply of each stick.

Where every gap is the same (square ends, or all cuts parallel) the order on a board does not matter
and the table may be built stick by stick: `suffix[i][r]` is the most that fits in r steps using the
sticks from the i-th on, longest first, none more often than it is wanted.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.pricing import Worths, allow, less_charges
from cutlist.nest.rounded import Rounded, Row

_LARGEST = 10**7
"""Entries of a table that is still worth its memory."""


class BoundedTable:
    """The table for one set of worths, exact in the worths' own arithmetic."""

    def __init__(
        self, rounded: Rounded, worths: Worths, supply: NDArray[np.int64] | None = None
    ) -> None:
        self.rounded = rounded
        self.worths = worths
        self._supply = np.array(rounded.demand) if supply is None else supply
        self._gap = int(rounded.gaps[0, 0])
        self._takes = rounded.take[0, [lays[0] for lays in rounded.lays_of]]
        size = max(rounded.room) + max(0, self._gap) + 1
        self.suffix = np.zeros((len(worths) + 1, size), dtype=worths.dtype)
        for place in range(len(worths) - 1, -1, -1):
            stick = int(rounded.by_length[place])
            self.suffix[place] = self.suffix[place + 1]
            allow(
                self.suffix[place], int(self._takes[stick]), worths[stick], int(self._supply[stick])
            )

    @staticmethod
    def serves(rounded: Rounded) -> bool:
        """Tell whether all gaps of a problem are the same and its table is not too large."""
        entries = len(rounded.demand) * max(rounded.room)
        return rounded.gaps.shape == (1, 1) and entries <= _LARGEST

    def best(self, room: int) -> Any:
        """Return the most that a board of some room can carry."""
        return self.suffix[0, max(0, room + self._gap)]

    def draw(self, room: int) -> Row:
        """Return the row that is worth the most."""
        row: list[int] = []
        left = max(0, room + self._gap)
        place = 0
        # On to the next stick without which the rest is worth less.
        while (steps := np.flatnonzero(np.diff(self.suffix[place:, left]))).size:
            place += int(steps[0]) + 1
            stick = int(self.rounded.by_length[place - 1])
            take = int(self._takes[stick])
            most = min(int(self._supply[stick]), left // take)
            copies = np.arange(most + 1)
            totals = copies * self.worths[stick] + self.suffix[place, left - copies * take]
            count = int(np.argmax(totals))
            row += [self.rounded.lays_of[stick][0]] * count
            left -= count * take
        return tuple(row)

    def margins(self, charges: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return `less_charges` by the place of the last stick: only sticks from there follow."""
        return less_charges(self.suffix[:-1], self.rounded.room, charges)
