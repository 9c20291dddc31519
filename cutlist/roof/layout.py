"""Where rafters and posts stand along a plate."""

from __future__ import annotations

from math import floor

from cutlist.tolerance import SAME_POINT


def stations(length: float, spacing: float, width: float) -> tuple[float, ...]:
    """Return the centres of members of one width along a length, first to last.

    The first stands flush with the start, the last flush with the end, the others on centres
    measured from the start. One that would stand inside the last is left out.
    """
    first, last = width / 2, length - width / 2
    if last - first < width - SAME_POINT:
        return (length / 2,)
    room = last - width + SAME_POINT
    between = (i * spacing for i in range(1, floor(length / spacing) + 1))
    return (first, *(s for s in between if first + width - SAME_POINT <= s <= room), last)
