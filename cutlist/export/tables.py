"""Tables for spreadsheets and scripts: CSV in UTF-8 with LF line ends."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from cutlist.build import Build, Cutting
from cutlist.export import rows
from cutlist.export.rounding import TABLE_PLACES, rounded
from cutlist.export.rows import Row, Value
from cutlist.export.saw_list import plain_saw_list, saw_list
from cutlist.units import Units

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
    "saw-list": (
        *("board", "size", "board_length", "step", "operation", "piece", "mark", "serves"),
        *("stop_side", "stop_fence", "stop_fence_text", "stop_long_point", "stop_long_point_text"),
        *("miter_deg", "miter_leans", "tilt_deg", "tilt_leans", "falls_off", "leaves", "note"),
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
    "lumber-order": lambda build: rows.lumber_order(build.cutting),
    "board-plan": lambda build: rows.board_plan(build.cutting),
    "saw-list": saw_list,
    "layout": rows.layout,
    "checks": rows.checks,
}

_FORMULA_STARTS = (*"=+-@", *map(chr, (0xFF1D, 0xFF0B, 0xFF0D, 0xFF20)))
"""What makes a spreadsheet take a cell's text for a formula; the last four are full-width."""


def tables(build: Build, *, guarded: bool = True) -> dict[str, DataFrame]:
    """Return every table by its name, lengths and angles rounded, blanks as None.

    Unless `guarded` is false, an apostrophe stands before text that a spreadsheet would take for
    a formula; a file whose cells have types needs none.
    """
    found = {name: make(build) for name, make in _ROWS.items()}
    return _frames(found, build.job.units, guarded)


def cutting_tables(cutting: Cutting) -> dict[str, DataFrame]:
    """Return the tables of board plans by their names."""
    found = {
        "lumber-order": rows.lumber_order(cutting),
        "board-plan": rows.board_plan(cutting),
        "saw-list": plain_saw_list(cutting),
    }
    return _frames(found, cutting.units, guarded=True)


def _frames(
    found: Mapping[str, Iterable[Row]], units: Units, guarded: bool
) -> dict[str, DataFrame]:
    from pandas import DataFrame

    places = TABLE_PLACES[units.name]

    def cells(row: Row, columns: Sequence[str]) -> list[Value]:
        return [_cell(row.get(column), places, guarded) for column in columns]

    return {
        name: DataFrame([cells(row, columns) for row in table], columns=columns, dtype=object)
        for name, table in found.items()
        for columns in [list(COLUMNS[name])]
    }


def csv_files(found: Mapping[str, DataFrame]) -> dict[str, bytes]:
    """Return tables as the bytes of CSV files, by file name."""
    return {
        f"{name}.csv": table.to_csv(index=False, lineterminator="\n").encode()
        for name, table in found.items()
    }


def _cell(value: Value, places: int, guarded: bool) -> Value:
    if isinstance(value, float):
        return rounded(value, places)
    if isinstance(value, str):
        # A line break of any kind would start a row, and its text a cell.
        line = "".join(c if c.isprintable() else " " for c in value)
        return f"'{line}" if guarded and line.lstrip().startswith(_FORMULA_STARTS) else line
    return value
