"""Dressed sizes of lumber and the lengths it is commonly sold in."""

from __future__ import annotations

import re
from dataclasses import dataclass

from cutlist.units import IMPERIAL, Units, parse_length

# Minimum dressed dry sizes of softwood by nominal size [in]: NIST Voluntary Product Standard
# PS 20, American Softwood Lumber Standard, table of minimum dressed sizes, dry. Boards are
# nominally under 2 thick, dimension lumber 2 to 4, timbers 5 and more (both ways).
_BOARD_THICKNESS = {"1": 0.75, "1-1/4": 1.0, "1-1/2": 1.25}
_DIMENSION_THICKNESS = {
    "2": 1.5,
    "2-1/2": 2.0,
    "3": 2.5,
    "3-1/2": 3.0,
    "4": 3.5,
    "4-1/2": 4.0,
}
_WIDTH = {
    "2": 1.5,
    "3": 2.5,
    "4": 3.5,
    "5": 4.5,
    "6": 5.5,
    "8": 7.25,
    "10": 9.25,
    "12": 11.25,
    "14": 13.25,
    "16": 15.25,
}
_TIMBER = {"5": 4.5, "6": 5.5, "8": 7.25, "10": 9.25, "12": 11.25, "14": 13.25, "16": 15.0}

_STANDARD_LENGTHS = {
    # Whole feet in steps of two: common practice in the United States.
    "imperial": tuple(12.0 * feet for feet in range(8, 21, 2)),
    # Steps of 0.3 m, most common range: Puuinfo (Finland), lengths of sawn timber.
    "metric": tuple(float(mm) for mm in range(2700, 5401, 300)),
}


@dataclass(frozen=True, slots=True)
class Size:
    """A lumber size: its name as written in the job, and its real thickness and depth."""

    name: str
    thickness: float
    depth: float


def parse_size(text: str, units: Units) -> Size:
    """Return a size given as nominal (2x8) or actual (45mm x 195mm, 1 3/4in x 9 1/2in).

    A bare pair of numbers is nominal in an imperial job, millimetres in a metric one. Raises
    ValueError with a reason.
    """
    example = '"2x8"' if units is IMPERIAL else '"45x195"'
    parts = [part.strip() for part in re.split("[x\N{MULTIPLICATION SIGN}]", text.lower())]
    if len(parts) != 2 or not all(parts):
        raise ValueError(f'it is no size; write one like {example} or "45mm x 195mm"')
    if all(re.fullmatch(r"[\d.\-/ ]+", part) for part in parts):
        thickness, depth = (
            _dressed(*parts) if units is IMPERIAL else (_millimetres(p) for p in parts)
        )
    else:
        thickness, depth = (parse_length(part, units) for part in parts)
    if not 0 < thickness <= depth:
        raise ValueError("the thickness comes first and must be more than 0 and at most the depth")
    if not units.from_mm(10) <= thickness <= depth <= units.from_mm(1500):
        raise ValueError(f"{thickness:g} x {depth:g} {units.symbol} is no lumber; write {example}")
    bare = text.strip().replace(" ", "").isalnum()
    return Size(("x" if bare else " x ").join(parts), thickness, depth)


def standard_lengths(units: Units) -> tuple[float, ...]:
    """Return the board lengths commonly sold, shortest first, in the job's unit."""
    return _STANDARD_LENGTHS[units.name]


def _dressed(thickness: str, width: str) -> tuple[float, float]:
    """Return the dressed size of a nominal one [in]."""
    narrow = {**_BOARD_THICKNESS, **_DIMENSION_THICKNESS}
    if thickness in narrow and width in _WIDTH:
        return narrow[thickness], _WIDTH[width]
    if thickness in _TIMBER and width in _TIMBER:
        return _TIMBER[thickness], _TIMBER[width]
    raise ValueError(
        f"{thickness}x{width} is no nominal size; write the actual one with units, "
        'like "1 3/4in x 9 1/2in"'
    )


def _millimetres(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise ValueError(f'"{text}" is no number of millimetres') from None
