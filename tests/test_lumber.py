"""Sizes as people write them. Dressed sizes are held against print in tests/published."""

from __future__ import annotations

import pytest

from cutlist.lumber import parse_size
from cutlist.units import IMPERIAL, METRIC, Units


@pytest.mark.parametrize(
    ("text", "units", "name", "section"),
    [
        ("2x8", IMPERIAL, "2x8", (1.5, 7.25)),
        ("2X8", IMPERIAL, "2x8", (1.5, 7.25)),
        ("2 x 8", IMPERIAL, "2x8", (1.5, 7.25)),
        ("2\N{MULTIPLICATION SIGN}8", IMPERIAL, "2 x 8", (1.5, 7.25)),
        (" 2x8 ", IMPERIAL, "2x8", (1.5, 7.25)),
        ("1-1/4x6", IMPERIAL, "1-1/4 x 6", (1.0, 5.5)),
        ("6x8", IMPERIAL, "6x8", (5.5, 7.25)),
        ("45x195", METRIC, "45x195", (45, 195)),
        ("47.5x195", METRIC, "47.5 x 195", (47.5, 195)),
        ("45mm x 195mm", METRIC, "45mmx195mm", (45, 195)),
        ("45mmx195mm", METRIC, "45mmx195mm", (45, 195)),
        ("1 3/4in x 9 1/2in", IMPERIAL, "1 3/4in x 9 1/2in", (1.75, 9.5)),
        ("45mm x 195mm", IMPERIAL, "45mmx195mm", (45 / 25.4, 195 / 25.4)),
        ("1 1/2in x 7 1/4in", METRIC, "1 1/2in x 7 1/4in", (38.1, 184.15)),
    ],
)
def test_size(text: str, units: Units, name: str, section: tuple[float, float]) -> None:
    size = parse_size(text, units)
    assert size.name == name
    assert (size.thickness, size.depth) == pytest.approx(section)


ORDER = "the thickness comes first and must be more than 0 and at most the depth"


@pytest.mark.parametrize(
    ("text", "units", "reason"),
    [
        ("", IMPERIAL, 'it is no size; write one like "2x8" or "45mm x 195mm"'),
        ("8", IMPERIAL, 'it is no size; write one like "2x8" or "45mm x 195mm"'),
        ("2x4x8", METRIC, 'it is no size; write one like "45x195" or "45mm x 195mm"'),
        ("8x2", IMPERIAL, '8x2 is no nominal size; write the actual one with units, like '
         '"1 3/4in x 9 1/2in"'),
        ("2x7", IMPERIAL, '2x7 is no nominal size; write the actual one with units, like '
         '"1 3/4in x 9 1/2in"'),
        ("0x195", METRIC, ORDER),
        ("195x45", METRIC, ORDER),
        ("45 1/2 x 195", METRIC, '"45 1/2" is no number of millimetres'),
        ("2x8", METRIC, '2 x 8 mm is no lumber; write "45x195"'),
        ("2x8in", IMPERIAL, 'it has no unit; write "2in" or "2ft"'),
        ("2in x 8", IMPERIAL, 'it has no unit; write "8in" or "8ft"'),
    ],
)  # fmt: skip
def test_no_size(text: str, units: Units, reason: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        parse_size(text, units)
    assert str(caught.value) == reason
