"""Numbers on their way out: rounded once, and never written as a negative zero."""

from __future__ import annotations

from collections.abc import Mapping

from cutlist.units import UnitName

DXF_PLACES: Mapping[UnitName, int] = {"imperial": 6, "metric": 4}
"""Decimals of coordinates in drawings: a ten-thousandth of what a router can do."""

TABLE_PLACES: Mapping[UnitName, int] = {"imperial": 4, "metric": 2}
"""Decimals of lengths and angles in tables."""

JSON_PLACES = 9
"""Decimals for programs. A direction to nine decimals is true to 1e-5 mm over 10 m."""


def rounded(number: float, places: int) -> float:
    """Return the number rounded; adding zero makes a negative zero a plain one."""
    return round(number, places) + 0.0
