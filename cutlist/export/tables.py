"""Tables for spreadsheets and scripts: CSV in UTF-8 with LF line ends."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from cutlist.build import Build
from cutlist.export import rows
from cutlist.export.rounding import TABLE_PLACES, rounded
from cutlist.export.rows import Row, Value

if TYPE_CHECKING:
    from pandas import DataFrame

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "cut-list": (
        *("mark", "role", "count", "size", "thickness", "depth", "length", "length_text"),
        *("line_length", "line_length_text", "tail_length", "tail_length_text"),
        *("head_cut", "head_miter_deg", "head_tilt_deg"),
        *("foot_cut", "foot_miter_deg", "foot_tilt_deg"),
        *("seat_length", "heel_height", "notch_depth", "height_above_plate", "hand"),
    ),
    "lumber-order": ("size", "length", "length_text", "count", "source", "unit_price", "cost"),
    "board-plan": (
        *("board", "size", "board_length", "piece", "mark", "start", "end", "turned", "leftover"),
        *("start_text", "end_text", "leftover_text", "way"),
    ),
    "layout": (
        *("line", "number", "center", "center_text", "edge", "edge_text"),
        *("role", "mark", "on_post"),
    ),
    "checks": ("check", "subject", "value", "limit", "result", "source", "advice"),
}
"""The columns of each table, also when it has no rows."""

_ROWS: Mapping[str, Callable[[Build], Iterator[Row]]] = {
    "cut-list": rows.cut_list,
    "lumber-order": rows.lumber_order,
    "board-plan": rows.board_plan,
    "layout": rows.layout,
    "checks": rows.checks,
}

_FORMULA_STARTS = (*"=+-@", *map(chr, (0xFF1D, 0xFF0B, 0xFF0D, 0xFF20)))
"""What makes a spreadsheet take a cell's text for a formula; the last four are full-width."""


def tables(build: Build) -> dict[str, DataFrame]:
    """Return every table by its name, lengths and angles rounded, blanks as None."""
    from pandas import DataFrame

    places = TABLE_PLACES[build.job.unit_name]

    def cells(row: Row) -> dict[str, Value]:
        return {column: _cell(value, places) for column, value in row.items()}

    return {
        name: DataFrame(list(map(cells, _ROWS[name](build))), columns=list(columns), dtype=object)
        for name, columns in COLUMNS.items()
    }


def csv_files(build: Build) -> dict[str, bytes]:
    """Return every table as the bytes of a CSV file, by file name."""
    return {
        f"{name}.csv": table.to_csv(index=False, lineterminator="\n").encode()
        for name, table in tables(build).items()
    }


def _cell(value: Value, places: int) -> Value:
    if isinstance(value, float):
        return rounded(value, places)
    if isinstance(value, str):
        # A line break of any kind would start a row, and its text a cell.
        line = "".join(c if c.isprintable() else " " for c in value)
        return f"'{line}" if line.lstrip().startswith(_FORMULA_STARTS) else line
    return value
