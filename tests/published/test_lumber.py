"""Dressed sizes and lengths of lumber against print."""

from __future__ import annotations

import pytest

from cutlist.lumber import parse_size, standard_lengths
from cutlist.units import IMPERIAL, METRIC, Units, parse_length
from tests.published.tables import Row, each, rows


@each("dressed_sizes")
def test_dressed_size(row: Row) -> None:
    size = parse_size(row["nominal"], IMPERIAL)
    assert (size.thickness, size.depth) == (float(row["thickness_in"]), float(row["depth_in"]))


@pytest.mark.parametrize("units", [IMPERIAL, METRIC])
def test_standard_lengths(units: Units) -> None:
    printed = [
        parse_length(f"{row['length']}{row['unit']}", units)
        for row in rows("standard_lengths")
        if row["units"] == units.name
    ]
    assert list(standard_lengths(units)) == pytest.approx(printed)
