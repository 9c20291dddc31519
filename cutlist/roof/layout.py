"""Where rafters and posts stand along a plate."""

from __future__ import annotations

from math import ceil, floor

from cutlist.tolerance import SAME_POINT


def stations(length: float, spacing: float, width: float) -> tuple[float, ...]:
    """Return the centres of members of one width along a length, first to last.

    The first stands flush with the start, the last flush with the end, the others on centres
    measured from the start. One that would stand inside the last is left out.
    """
    first, last = width / 2, length - width / 2
    if last - first < width - SAME_POINT:
        return (length / 2,)
    return between(first, last, spacing, width, origin=0.0)


def between(
    first: float, last: float, spacing: float, width: float, *, origin: float
) -> tuple[float, ...]:
    """Return a first and a last centre, and those between that lie on centres from an origin.

    One that would stand inside the first or the last is left out; where that leaves none between
    two too far apart, one stands halfway. Only one centre is returned where first and last are the
    same.
    """
    if last - first < SAME_POINT:
        return (first,)
    clear = width - SAME_POINT
    steps = range(floor((first - origin) / spacing), ceil((last - origin) / spacing) + 1)
    centres = (origin + i * spacing for i in steps)
    inside = [c for c in centres if first + clear <= c <= last - clear]
    if not inside and last - first > spacing + clear:
        inside = [(first + last) / 2]
    return (first, *inside, last)
