"""Lengths and pitches as people write them, to numbers and back.

A job is in inches or in millimetres throughout; a length written in another unit is converted
here, once, when it is read.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from math import atan, ceil, degrees, floor, radians, tan
from typing import Literal

from cutlist.tolerance import SAME_POINT

UnitName = Literal["imperial", "metric"]

COINS = 100
"""Smallest coins in one unit of money, as prices are written."""

MM_PER_INCH = 25.4
"""Exact by the international yard and pound agreement of 1959."""


@dataclass(frozen=True, slots=True)
class Units:
    """The unit that a job's numbers are in, and what is usual in it."""

    name: UnitName
    symbol: str
    in_mm: float
    round_to: float
    """Fraction of the unit that printed lengths are rounded to unless the job says otherwise."""
    grid: float
    """Step of the whole-number lengths that board plans are computed in."""
    dxf_code: int
    """$INSUNITS of the DXF reference: 1 inches, 4 millimetres."""

    def from_inches(self, inches: float) -> float:
        """Return a length of so many inches in this unit."""
        return inches * (MM_PER_INCH / self.in_mm)

    def printed(self, *, inches: float, mm: float) -> float:
        """Return a length that is printed in both units, as it stands in this one."""
        return inches if self.name == "imperial" else mm

    def from_mm(self, mm: float) -> float:
        """Return a length of so many millimetres in this unit."""
        return mm / self.in_mm


IMPERIAL = Units("imperial", "in", MM_PER_INCH, 1 / 16, 1 / 64, 1)
METRIC = Units("metric", "mm", 1.0, 1.0, 0.1, 4)
UNITS: dict[UnitName, Units] = {"imperial": IMPERIAL, "metric": METRIC}

_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)"
_FRACTION = r"\d+\s*/\s*\d+"
_MIXED = rf"\d+(?:\s*-\s*|\s+){_FRACTION}"
_AMOUNT = rf"(?:{_MIXED}|{_FRACTION}|{_NUMBER})"
_FEET = r"(?:ft\.?|feet|foot|')"
_INCHES = r"(?:in\.?|inch(?:es)?|\"|'')"
_FEET_AND_INCHES = re.compile(
    rf"(?:(?P<feet>{_AMOUNT})\s*{_FEET}\s*(?:-\s*(?=\S))?)?(?:(?P<inches>{_AMOUNT})\s*{_INCHES})?"
)
_METRIC = re.compile(rf"(?P<amount>{_AMOUNT})\s*(?P<unit>mm|cm|m)\b")
_MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0}
_PLAIN = str.maketrans(
    {
        "\N{PRIME}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{FRACTION SLASH}": "/",
        "\N{EN DASH}": "-",
    }
)


NO_COMMA = "a number takes no comma; decimals stand behind a point, like 30.5"

LEAST_PITCH, MOST_PITCH = 0.001, 100.0
"""No roof is nearer to level or to plumb: an eighth in 10 ft, and 89.4 degrees."""


def parse_length(text: str, units: Units) -> float:
    """Return a length written with its unit, such as 16' 3-1/2" or 1.2m, in the job's unit.

    Raises ValueError with a reason where the text is no length.
    """
    plain = _plain(text)
    sign = -1.0 if plain.startswith("-") else 1.0
    body = plain.removeprefix("-").strip()
    if match := _METRIC.fullmatch(body):
        amount = float(_amount(match["amount"]))
        return sign * units.from_mm(amount * _MM_PER[match["unit"]])
    if (match := _FEET_AND_INCHES.fullmatch(body)) and (match["feet"] or match["inches"]):
        feet, inches = (_amount(match[name] or "0") for name in ("feet", "inches"))
        return sign * units.from_inches(float(12 * feet + inches))
    if re.fullmatch(_AMOUNT, body):
        ways = f'"{body}in" or "{body}ft"' if units is IMPERIAL else f'"{body}mm" or "{body}m"'
        raise ValueError(f"it has no unit; write {ways}")
    if match := re.fullmatch(rf"({_AMOUNT}\s*{_FEET})\s*-?\s*({_AMOUNT})", body):
        raise ValueError(f'the inches have no mark; write "{match[1]} {match[2]}in"')
    if re.search(r"\d,\d", body):
        raise ValueError(NO_COMMA)
    raise ValueError('it is no length; write one like "16ft 3 1/2in", "3 1/2in", "89mm" or "1.2m"')


def parse_pitch(text: str) -> float:
    """Return rise per unit of run for a pitch: 6/12, 6 1/2 in 12, 6:12, 26.57deg or 50%.

    Raises ValueError with a reason where the text is no pitch between level and plumb.
    """
    plain = _plain(text)
    if match := re.fullmatch(rf"(-?{_AMOUNT})\s*(?:deg(?:rees)?|°)", plain):
        angle = float(_amount(match[1]))
        if not 0 < angle < 90:
            raise ValueError("the slope must lie between 0 and 90 degrees")
        rise, run = tan(radians(angle)), 1.0
    elif match := re.fullmatch(rf"(-?{_NUMBER})\s*%", plain):
        rise, run = float(match[1]), 100.0
    elif match := re.fullmatch(rf"(-?(?:{_MIXED}|{_NUMBER}))\s*(?:/|:|in)\s*({_NUMBER})", plain):
        rise, run = float(_amount(match[1])), float(match[2])
    elif re.search(r"\d,\d", plain):
        raise ValueError(NO_COMMA)
    else:
        raise ValueError(
            'it has no unit; write rise over run ("6/12"), degrees ("26.6deg") or percent ("50%")'
        )
    if run == 0 or not LEAST_PITCH <= rise / run <= MOST_PITCH:
        raise ValueError(
            "the rise must lie between a thousandth of the run and a hundred times the run"
        )
    return rise / run


def parse_fraction(text: str) -> float:
    """Return a plain number or fraction, such as 1/3 or 0.25. Raises ValueError."""
    plain = _plain(text)
    if not re.fullmatch(_AMOUNT, plain):
        raise ValueError('it is no fraction; write one like "1/3"')
    return float(_amount(plain))


def rounded(length: float, round_to: float) -> float:
    """Return the multiple of a step that is nearest, as lengths are printed."""
    return round(length / round_to) * round_to


def rounded_down(length: float, round_to: float) -> float:
    """Return the longest multiple of a step that is not longer, but for what rounding makes."""
    return floor(length / round_to + SAME_POINT) * round_to


def rounded_up(length: float, round_to: float) -> float:
    """Return the shortest multiple of a step that is not shorter, but for what rounding makes."""
    return ceil(length / round_to - SAME_POINT) * round_to


def format_length(length: float, units: Units, round_to: float) -> str:
    """Return a length as it is read off a tape: 16' 3 1/2" or 4963 mm, rounded to a step."""
    steps = round(length / round_to)
    if units is METRIC:
        return f"{_decimal(steps * round_to)} mm"
    sign = "-" if steps < 0 else ""
    inches = abs(steps) * Fraction(round_to).limit_denominator(1024)
    feet, inches = divmod(inches, 12)
    whole, part = divmod(inches, 1)
    number = " ".join(str(n) for n in (whole, part) if n) or "0"
    return f"{sign}{feet}' {number}\"" if feet else f'{sign}{number}"'


def format_pitch(pitch: float, units: Units) -> str:
    """Return a pitch as the trade says it: 6 in 12, or 26.6 deg where metric."""
    if units is METRIC:
        return f"{_decimal(round(slope_degrees(pitch), 2))} deg"
    return f"{_decimal(round(12 * pitch, 3))} in 12"


def format_steeper(pitch: float, units: Units) -> str:
    """Return a pitch as a job file takes it, rounded up: 6.25/12, or 26.6deg where metric."""
    if units is METRIC:
        return f"{ceil(10 * slope_degrees(pitch)) / 10:g}deg"
    return f"{ceil(1200 * pitch) / 100:g}/12"


def slope_degrees(pitch: float) -> float:
    """Return the slope of a pitch [deg]."""
    return degrees(atan(pitch))


def _decimal(number: float) -> str:
    return f"{number:.3f}".rstrip("0").rstrip(".")


def _plain(text: str) -> str:
    """Return the text in lower case ASCII, typographic marks and fractions made plain."""

    def plain(c: str) -> str:
        kind = unicodedata.decomposition(c).partition(" ")[0]
        if kind == "<super>":  # 3² is not 32
            return c
        return unicodedata.normalize("NFKC", f" {c}" if kind == "<fraction>" else c)

    marked = "".join(map(plain, text.translate(_PLAIN)))
    return marked.translate(_PLAIN).strip().lower()


def _amount(text: str) -> Fraction:
    """Return a whole, decimal, fraction or mixed number such as 3-1/2."""
    match = re.fullmatch(rf"(-?)\s*(?:({_NUMBER})(?:\s*-\s*|\s+))?({_FRACTION})", text.strip())
    try:
        if match:
            part = Fraction(re.sub(r"\s", "", match[3]))
            total = Fraction(match[2] or 0) + part
            return -total if match[1] else total
        return Fraction(text.strip())
    except ZeroDivisionError:
        raise ValueError("a fraction of it is divided by zero") from None
