"""The tables as one workbook: a sheet each, ready to print, and never a formula.

Cells hold numbers with a number format, so that what is printed is short and what is computed
from it is exact. The same build gives the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import UTC, datetime
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from cutlist.build import Build
from cutlist.export.tables import tables
from cutlist.units import IMPERIAL, Units

if TYPE_CHECKING:
    from pandas import DataFrame, Series

SHEETS: Mapping[str, str] = {
    "cut-list": "Cut list",
    "lumber-order": "Lumber order",
    "board-plan": "Board plan",
    "saw-list": "Saw list",
    "layout": "Layout",
    "checks": "Checks",
}
"""The tables that become sheets, in order, and the sheets' names."""

_COUNTS = {"count", "piece", "number", "step"}
_MONEY = {"unit_price", "cost"}
_ANY_UNIT = {"value", "limit"}
_TEXTS = {"check": 26, "advice": 38, "source": 36, "subject": 30, "line": 22, "note": 40}
"""Columns of long text and the most characters that they are made wide; they wrap then."""

_NARROWEST, _WIDEST = 5, 24
_MOST_LEVEL = 15
"""A sheet of more columns has its headers upright and is two pages wide, its first column on both,
or it would be too small on paper."""

_LINE_HEIGHT, _UPRIGHT_HEIGHT = 15.0, 6.5
"""Heights of a line, and of a character standing upright [points]."""

_LETTER, _A4 = 1, 9
"""Paper codes of the format (ECMA-376, part 1, pageSetup)."""

_EPOCH = datetime(1980, 1, 1, tzinfo=UTC)
"""When every workbook says it was made: a date of its own would make each build differ."""


def workbook_bytes(build: Build) -> bytes:
    """Return cut-list.xlsx."""
    from pandas import ExcelWriter

    buffer = io.BytesIO()
    options = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with ExcelWriter(buffer, engine="xlsxwriter", engine_kwargs={"options": options}) as writer:
        book: Any = writer.book
        book.set_properties({"created": _EPOCH, "title": _plain(build.job.name)})
        tables_by_name = tables(build, guarded=False)
        for name, title in SHEETS.items():
            table = tables_by_name[name]
            table.to_excel(writer, sheet_name=title, index=False, header=False, startrow=1)
            _finish(book, writer.sheets[title], table, build)
    return buffer.getvalue()


def _finish(book: Any, sheet: Any, table: DataFrame, build: Build) -> None:
    """Give a sheet its headers, formats, widths and print setup."""
    units = build.job.units
    upright = len(table.columns) > _MOST_LEVEL
    head = book.add_format(
        {
            "bold": True,
            "text_wrap": not upright,
            "rotation": 90 if upright else 0,
            "valign": "bottom",
            "bottom": 2,
        }
    )
    headers = [header_text(column, units) for column in table.columns]
    for number, (column, header) in enumerate(zip(table.columns, headers, strict=True)):
        number_format = _number_format(table[column], column, units)
        cells: dict[str, Any] = {"num_format": number_format, "valign": "top"}
        if number_format == "@":
            # Clear of a number that ends where this column begins.
            cells |= {"align": "left", "indent": 1}
        if column in _TEXTS:
            cells["text_wrap"] = True
        # Pandas writes its cells without a format, so the column's format is theirs.
        width = _width(table[column], column, "" if upright else header)
        sheet.set_column(number, number, width, book.add_format(cells))
        sheet.write_string(0, number, header, head)
    # Not every application makes a row higher for text that is wrapped or stands upright.
    longest = max(map(len, headers))
    sheet.set_row(0, longest * _UPRIGHT_HEIGHT if upright else 3 * _LINE_HEIGHT)
    texts = [table[column] for column in table.columns if column in _TEXTS]
    for number, cells_of_row in enumerate(zip(*texts, strict=True), start=1):
        lines = max(
            len(wrap(str(text or ""), _TEXTS[str(column.name)] - 2))
            for column, text in zip(texts, cells_of_row, strict=True)
        )
        if lines > 1:
            sheet.set_row(number, lines * _LINE_HEIGHT)
    sheet.freeze_panes(1, 1)
    sheet.set_landscape()
    sheet.set_paper(_LETTER if units is IMPERIAL else _A4)
    sheet.fit_to_pages(2 if upright else 1, 0)
    sheet.repeat_rows(0)
    if upright:
        sheet.repeat_columns(0)
    sheet.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.6)
    # An ampersand starts a code in headers and footers; two are one. A header holds 255 characters.
    name = _plain(build.job.name)[:100].replace("&", "&&")
    sheet.set_header(f"&L&B {name}&R&A")
    sheet.set_footer("&RPage &P of &N")


def header_text(column: str, units: Units) -> str:
    """Return a column's header as people read it, its unit in brackets."""
    if column.endswith("_deg"):
        return f"{_words(column.removesuffix('_deg'))} [deg]"
    if column.endswith("_text"):
        tape = "ft in" if units is IMPERIAL else "mm"
        return f"{_words(column.removesuffix('_text'))} by tape [{tape}]"
    if column in _MONEY:
        return f"{_words(column)} [money]"
    if column in _ANY_UNIT:
        return f"{_words(column)} [{units.symbol}, or as the check says]"
    return f"{_words(column)} [{units.symbol}]" if column in _LENGTHS else _words(column)


_LENGTHS = {
    *("thickness", "depth", "length", "line_length", "tail_length", "seat_length", "heel_height"),
    *("notch_depth", "height_above_plate", "board_length", "start", "end", "leftover"),
    *("center", "edge", "stop_fence", "stop_long_point"),
}


def _words(column: str) -> str:
    return column.replace("_", " ").capitalize()


def _number_format(values: Series, column: str, units: Units) -> str:
    if column in _COUNTS:
        return "0"
    if column in _MONEY:
        return "#,##0.00"
    if column.endswith("_deg"):
        return "0.00"
    if not any(isinstance(value, float) for value in values):
        return "@"
    if column in _ANY_UNIT:
        return "General"
    return "0.000" if units is IMPERIAL else "0.0"


def _width(values: Series, column: str, header: str) -> float:
    """Return a width that shows every cell, and a level header in three lines or fewer."""
    cells = [f"{v:.3f}" if isinstance(v, float) else str(v) for v in values if v is not None]
    longest = max([*map(len, cells), *map(len, header.split()), len(header) / 2.5, _NARROWEST])
    return min(longest + 1.5, _TEXTS.get(column, _WIDEST))


def _plain(text: str) -> str:
    """Return text without control characters, which may not stand in XML."""
    return "".join(c if c.isprintable() else " " for c in text)
