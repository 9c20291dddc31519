"""Lengths and pitches: every usual spelling, what is refused, and there and back again."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.units import (
    IMPERIAL,
    METRIC,
    NO_COMMA,
    Units,
    format_length,
    format_pitch,
    parse_fraction,
    parse_length,
    parse_pitch,
    rounded_down,
    rounded_up,
    slope_degrees,
)

BOTH = pytest.mark.parametrize("units", [IMPERIAL, METRIC], ids=lambda units: units.name)

INCHES = {
    195.5: [
        "16ft 3 1/2in",
        "16' 3-1/2\"",
        "16'3-1/2\"",
        "16'-3 1/2\"",
        "16' - 3 1/2\"",
        "16ft. 3-1/2 in.",
        "16 feet 3 1/2 inches",
        "16 FT 3 1/2 IN",
        "16ft 3.5in",
        "16' 3½\"",
        "16' 3 ½\"",
        "16\N{PRIME} 3 1/2\N{DOUBLE PRIME}",
        "16\N{RIGHT SINGLE QUOTATION MARK} 3 1/2\N{RIGHT DOUBLE QUOTATION MARK}",
        "16' 3 1\N{FRACTION SLASH}2''",
        "16'\N{EN DASH}3 1/2\"",
        "  195 1/2 in  ",
        '195.5"',
        "391/2 in",
        "16' 3 2/4\"",
    ],
    3.5: ["3 1/2in", '3-1/2"', "3 - 1/2 in", "3.5 inch", "3½in", "3 1 / 2in", "7/2in"],
    192.0: ["16ft", "16'", "16.0 feet", "16 foot", "16' 0\""],
    0.5: ["1/2in", ".5in", '½"', "0.5 in"],
    6.0: ["1/2ft", "0.5'", '6"'],
    0.0: ["0in", "0'", '0"'],
    -9.25: ["-9 1/4in", '-9.25"', "- 9 1/4 in"],
    -120.0: ["-10ft", "-10'"],
}
MILLIMETRES = {
    89.0: ["89mm", "89 mm", "8.9cm", "0.089m", "89MM", "89.0mm"],
    1200.0: ["1.2m", "1200mm", "120 cm", "1.2 m"],
    4500.0: ["4 1/2m", "4-1/2 m"],
    -500.0: ["-0.5m", "-500mm"],
}


@BOTH
@pytest.mark.parametrize(("inches", "text"), [(n, t) for n, ts in INCHES.items() for t in ts])
def test_feet_and_inches(units: Units, inches: float, text: str) -> None:
    assert parse_length(text, units) == pytest.approx(inches * 25.4 / units.in_mm)


@BOTH
@pytest.mark.parametrize(("mm", "text"), [(n, t) for n, ts in MILLIMETRES.items() for t in ts])
def test_metric_lengths(units: Units, mm: float, text: str) -> None:
    assert parse_length(text, units) == pytest.approx(mm / units.in_mm)


def test_an_inch_is_exactly_25_4_mm() -> None:
    # International yard and pound agreement, 1959.
    assert parse_length("1in", METRIC) == 25.4
    assert parse_length("25.4mm", IMPERIAL) == 1
    assert (IMPERIAL.from_inches(3.5), METRIC.from_mm(89)) == (3.5, 89)


NO_LENGTH = 'it is no length; write one like "16ft 3 1/2in", "3 1/2in", "89mm" or "1.2m"'


@pytest.mark.parametrize(
    ("text", "units", "reason"),
    [
        ("16", IMPERIAL, 'it has no unit; write "16in" or "16ft"'),
        ("3 1/2", IMPERIAL, 'it has no unit; write "3 1/2in" or "3 1/2ft"'),
        ("89", METRIC, 'it has no unit; write "89mm" or "89m"'),
        ("16ft 3", IMPERIAL, 'the inches have no mark; write "16ft 3in"'),
        ("16'-3 1/2", IMPERIAL, "the inches have no mark; write \"16' 3 1/2in\""),
        *(
            (text, units, "a number takes no comma; decimals stand behind a point, like 30.5")
            for text, units in (("3,5in", IMPERIAL), ("1,200mm", METRIC), ("30,5", METRIC))
        ),
        ("3 1/0in", IMPERIAL, "a fraction of it is divided by zero"),
        *(
            (text, IMPERIAL, NO_LENGTH)
            for text in ("", "long", "3 in 12", "16yd", "1e3in", "nan", "inf", "--3in", "3in 16ft",
                         "3in 4in", "12'6'", "1/2/3in", "²in", "3²in", "16ft -",
                         "16ft -3in-")
        ),
    ],
)  # fmt: skip
def test_no_lengths(text: str, units: Units, reason: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        parse_length(text, units)
    assert str(caught.value) == reason


@pytest.mark.parametrize(
    ("text", "pitch"),
    [
        *((text, 0.5) for text in ("6/12", "6 in 12", "6:12", "6 / 12", "6in12", "50%", "50 %",
                                   "6.0/12", "1/2", "3 IN 6", "150/300", "6\N{FRACTION SLASH}12")),
        *((text, 4.5 / 12) for text in ("4 1/2 in 12", "4-1/2:12", "4½/12", "4 1/2 / 12",
                                        "4 1/2/12")),
        ("45deg", 1.0),
        ("45°", 1.0),
        ("45 degrees", 1.0),
        ("22 1/2 deg", tan(radians(22.5))),
        ("22.5deg", tan(radians(22.5))),
        ("14.4/12", 1.2),
        ("100%", 1.0),
        ("0.5%", 0.005),
    ],
)  # fmt: skip
def test_pitches(text: str, pitch: float) -> None:
    assert parse_pitch(text) == pytest.approx(pitch, rel=1e-12)


STEEP = "the rise must lie between a thousandth of the run and a hundred times the run"
LEVEL = "the slope must lie between 0 and 90 degrees"
NO_PITCH = 'it has no unit; write rise over run ("6/12"), degrees ("26.6deg") or percent ("50%")'


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("0deg", LEVEL),
        ("90deg", LEVEL),
        ("-10deg", LEVEL),
        ("180deg", LEVEL),
        ("0/12", STEEP),
        ("6/0", STEEP),
        ("-6/12", STEEP),
        ("1201/12", STEEP),
        ("89.5deg", STEEP),
        ("0.01deg", STEEP),
        ("0.01/12", STEEP),
        ("0%", STEEP),
        ("10001%", STEEP),
        ("6", NO_PITCH),
        ("0.5", NO_PITCH),
        ("steep", NO_PITCH),
        ("6/12/3", NO_PITCH),
        ("6 1/12", NO_PITCH),
        ("30,5deg", NO_COMMA),
        ("-4 1/2/12", STEEP),
        ("", NO_PITCH),
    ],
)
def test_no_pitches(text: str, reason: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        parse_pitch(text)
    assert str(caught.value) == reason


@pytest.mark.parametrize(
    ("text", "value"), [("1/3", 1 / 3), ("0.25", 0.25), ("1 / 4", 0.25), ("¼", 0.25), ("1", 1)]
)
def test_fractions(text: str, value: float) -> None:
    assert parse_fraction(text) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("third", 'it is no fraction; write one like "1/3"'),
        ("-1/3", 'it is no fraction; write one like "1/3"'),
        ("1/0", "a fraction of it is divided by zero"),
    ],
)
def test_no_fractions(text: str, reason: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        parse_fraction(text)
    assert str(caught.value) == reason


@pytest.mark.parametrize(
    ("inches", "round_to", "text"),
    [
        (195.5, 1 / 16, "16' 3 1/2\""),
        (3.5, 1 / 16, '3 1/2"'),
        (192, 1 / 16, "16' 0\""),
        (0, 1 / 16, '0"'),
        (-0.01, 1 / 16, '0"'),
        (0.5, 1 / 16, '1/2"'),
        (12.0625, 1 / 16, "1' 1/16\""),
        (-9.25, 1 / 16, '-9 1/4"'),
        (-12, 1 / 16, "-1' 0\""),
        (11.97, 1 / 16, "1' 0\""),  # the nearest sixteenth is the next foot
        (11.96, 1 / 16, '11 15/16"'),
        (3.53125 - 1e-9, 1 / 16, '3 1/2"'),
        (3.53125 + 1e-9, 1 / 16, '3 9/16"'),
        (100.1, 1 / 8, "8' 4 1/8\""),
        (100.1, 1, "8' 4\""),
        (100.1, 1 / 64, "8' 4 3/32\""),
        (0.3, 0.1, '3/10"'),
    ],
)
def test_feet_and_inches_as_printed(inches: float, round_to: float, text: str) -> None:
    assert format_length(inches, IMPERIAL, round_to) == text


@pytest.mark.parametrize(
    ("mm", "round_to", "text"),
    [
        (4963.4, 1, "4963 mm"),
        (4963.6, 1, "4964 mm"),
        (0.2, 1, "0 mm"),
        (-0.2, 1, "0 mm"),
        (-12.4, 1, "-12 mm"),
        (4963.4, 0.5, "4963.5 mm"),
        (4963.44, 0.1, "4963.4 mm"),
        (4963.4, 5, "4965 mm"),
    ],
)
def test_millimetres_as_printed(mm: float, round_to: float, text: str) -> None:
    assert format_length(mm, METRIC, round_to) == text


@given(
    st.floats(-50_000, 50_000),
    st.sampled_from((1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0)),
)
def test_feet_and_inches_there_and_back(inches: float, round_to: float) -> None:
    text = format_length(inches, IMPERIAL, round_to)
    back = parse_length(text, IMPERIAL)
    assert abs(back - inches) <= round_to / 2 * (1 + 1e-9)
    assert Fraction(back) % Fraction(round_to) == 0
    assert format_length(back, IMPERIAL, round_to) == text


@given(st.floats(-1e6, 1e6), st.sampled_from((0.1, 0.5, 1.0, 5.0)))
def test_millimetres_there_and_back(mm: float, round_to: float) -> None:
    text = format_length(mm, METRIC, round_to)
    back = parse_length(text, METRIC)
    assert abs(back - mm) <= round_to / 2 * (1 + 1e-9)
    assert format_length(back, METRIC, round_to) == text


@given(st.integers(0, 100), st.integers(0, 11), st.integers(0, 63), st.sampled_from((" ", "-")))
def test_any_mixed_number(feet: int, inches: int, sixtyfourths: int, joint: str) -> None:
    text = f"{feet}' {inches}{joint}{sixtyfourths}/64\""
    assert parse_length(text, IMPERIAL) == feet * 12 + inches + sixtyfourths / 64


@given(st.floats(0.06, 89.4))
def test_degrees_there_and_back(angle: float) -> None:
    pitch = parse_pitch(f"{angle:.10f}deg")
    assert slope_degrees(pitch) == pytest.approx(angle, abs=1e-9)
    assert parse_pitch(f"{100 * pitch:.12f}%") == pytest.approx(pitch, rel=1e-9)


@pytest.mark.parametrize(
    ("pitch", "units", "text"),
    [
        (0.5, IMPERIAL, "6 in 12"),
        (14.4 / 12, IMPERIAL, "14.4 in 12"),
        (0.5, METRIC, "26.57 deg"),
        (1.0, METRIC, "45 deg"),
    ],
)
def test_pitch_as_printed(pitch: float, units: Units, text: str) -> None:
    assert format_pitch(pitch, units) == text


@given(st.floats(0, 1e5), st.sampled_from((1 / 16, 0.1, 1.0)))
def test_rounding_keeps_a_limit(length: float, step: float) -> None:
    down, up = rounded_down(length, step), rounded_up(length, step)
    assert length - step < down <= length + 1e-6
    assert length - 1e-6 <= up < length + step
    assert rounded_down(down, step) == down
    assert rounded_up(up, step) == up
