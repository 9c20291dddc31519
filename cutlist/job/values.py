"""Values of the job file: what each kind of key lets, from numbers or text in the job's unit."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from cutlist.dxf_names import layer_name
from cutlist.lumber import Size, parse_size
from cutlist.units import (
    IMPERIAL,
    Units,
    format_length,
    parse_fraction,
    parse_length,
    parse_pitch,
    rounded_down,
    rounded_up,
)

LONGEST_MM = 30_000
"""No board is longer; more is most often a number in another unit."""


def _units(info: ValidationInfo) -> Units:
    return info.context["units"] if info.context else IMPERIAL


def _number_or_text(value: object) -> float | str:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError("a number or a text in quotes is expected")
    return value


def length_between(least_mm: float, most_mm: float) -> BeforeValidator:
    """Return the validator of a length from a number or text, in the job's unit, within limits."""

    def validate(value: object, info: ValidationInfo) -> float:
        return _length_within(value, info, least_mm, most_mm)

    return BeforeValidator(validate)


def _length_within(value: object, info: ValidationInfo, least_mm: float, most_mm: float) -> float:
    units = _units(info)
    given = _number_or_text(value)
    length = parse_length(given, units) if isinstance(given, str) else float(given)
    least, most = units.from_mm(least_mm), units.from_mm(most_mm)
    if not least <= length <= most:
        # Finer than a tape reads, so that 9.5 is not told as the 10 that it may be.
        read = format_length(length, units, units.grid) if abs(length) < 1e9 else given
        # Printed limits are rounded inward, so that what is asked for is let.
        step = units.round_to if least == 0 or least >= units.round_to else units.grid
        low = format_length(rounded_up(least, step), units, step)
        high = format_length(rounded_down(most, step), units, step)
        raise ValueError(f"read as {read}; it must lie between {low} and {high}")
    return length


def _pitch(value: object) -> float:
    return parse_pitch(str(_number_or_text(value)))


def _side_pitch(value: object) -> object:
    if value == "gable":
        return value
    if isinstance(value, str) and not any(letter.isdigit() for letter in value):
        raise ValueError('a pitch is expected, like "6/12", or "gable" for a side without a slope')
    return _pitch(value)


def _size(value: object, info: ValidationInfo) -> Size:
    if not isinstance(value, str):
        raise ValueError('a text in quotes is expected, like "2x8" or "45mm x 195mm"')
    return parse_size(value, _units(info))


def _seat(value: object, info: ValidationInfo) -> object:
    if value == "auto":
        return value
    return _length_within(value, info, 1, 1000)


def _notch_limit(value: object) -> float:
    limit = parse_fraction(str(_number_or_text(value)))
    if not 0 < limit < 1:
        raise ValueError("it must lie between 0 and 1, as a share of the rafter's depth")
    return limit


def _even(value: int) -> int:
    if value % 2:
        raise ValueError(
            "it must be even, since span is measured between opposite sides; give a plan with an "
            "odd number of sides by its corners"
        )
    return value


def _two_ends(value: object) -> object:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError('two are expected, the left end and the right, like ["hip", "gable"]')
    return value


Pitch = Annotated[float, BeforeValidator(_pitch)]
SidePitch = Annotated[float | Literal["gable"], BeforeValidator(_side_pitch)]
EndForm = Literal["hip", "half-hip", "gable"]
Tail = Literal["plumb", "square", "level", "plumb-level"]
LumberSize = Annotated[Size, BeforeValidator(_size)]
Building = Annotated[float, length_between(300, 300_000)]
Seat = Annotated[float | Literal["auto"], BeforeValidator(_seat)]
NotchLimit = Annotated[float, BeforeValidator(_notch_limit)]
Ends = Annotated[tuple[EndForm, EndForm] | None, BeforeValidator(_two_ends)]
Spacing = Annotated[float, length_between(75, 3_000)]
PlanPlace = Annotated[float, length_between(-300_000, 300_000)]
Corner = tuple[PlanPlace, PlanPlace]
Sides = Annotated[int, Field(strict=True, ge=4, le=16), AfterValidator(_even)]
Overhang = Annotated[float, length_between(0, 3_000)]
Height = Annotated[float, length_between(0, 30_000)]
Bearing = Annotated[float, length_between(10, 1_000)]
BoardLength = Annotated[float, length_between(300, LONGEST_MM)]
SawLength = Annotated[float, length_between(0, 300)]
OffcutLength = Annotated[float, length_between(0, LONGEST_MM)]
Sheathing = Annotated[float, length_between(5, 60)]
SheetSide = Annotated[float, length_between(50, 1_500)]
ToolDiameter = Annotated[float, length_between(1, 50)]
LayerName = Annotated[str, AfterValidator(layer_name)]
LabelSide = Annotated[float, length_between(12, 500)]
LabelGap = Annotated[float, length_between(0, 200)]
LabelCount = Annotated[int, Field(strict=True, ge=1, le=100)]
RoundTo = Annotated[float, length_between(0.01, 26)]
