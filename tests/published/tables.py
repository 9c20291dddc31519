"""The tables of published figures in fixtures/published, a row each with its source and place.

`tolerance` is half a unit of the last printed place, times the multiplier where a source
multiplied a rounded figure; drawings that were scaled have a wider one. Citations of the sources
are in sources.csv.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from cutlist.units import UNITS, parse_length

FOLDER = Path(__file__).parents[2] / "fixtures" / "published"

Row = dict[str, str]


def rows(name: str) -> list[Row]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def each(name: str) -> pytest.MarkDecorator:
    """Run a test for each row of a table, as its argument `row`."""
    table = rows(name)
    ids = [f"{i}-{row.get('example') or row['source']}" for i, row in enumerate(table, start=1)]
    return pytest.mark.parametrize("row", table, ids=ids)


def published(row: Row, column: str = "published") -> tuple[float, float]:
    """Return the printed figure and its tolerance in the unit of the row's job."""
    units = UNITS["metric" if row["units"] == "metric" else "imperial"]
    scale = parse_length(f"1{row['unit']}", units)
    return float(row[column]) * scale, float(row["tolerance"]) * scale
