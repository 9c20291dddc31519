"""The workbook, read back by another library."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from cutlist.build import Build, build_job
from cutlist.export.tables import tables
from cutlist.export.workbook import SHEETS, header_text, workbook_bytes
from cutlist.job import parse_job

FIXTURES = Path(__file__).parents[2] / "fixtures"
EVIL = "=cmd()|' /C calc'!A0 & <script>\\u0001"


def built(name: str, job_name: str | None = None) -> Build:
    text = (FIXTURES / name).read_text(encoding="utf-8")
    if job_name is not None:
        lines = text.splitlines()
        at = next(i for i, line in enumerate(lines) if line.startswith("name = "))
        lines[at] = f'name = "{job_name}"'
        text = "\n".join(lines)
    return build_job(parse_job(text, name), nest_seconds=1)


@pytest.fixture(scope="module", params=["post-gable.toml", "lean-to.toml"])
def build(request: pytest.FixtureRequest) -> Build:
    return built(request.param)


def read(build: Build) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(workbook_bytes(build)))


def test_every_cell_is_the_tables(build: Build) -> None:
    book = read(build)
    assert book.sheetnames == [
        "Cut list",
        "Lumber order",
        "Board plan",
        "Saw list",
        "Layout",
        "Checks",
    ]
    for name, title in SHEETS.items():
        table = tables(build, guarded=False)[name]
        head, *body = book[title].iter_rows(values_only=True)
        assert list(head) == [header_text(c, build.job.units) for c in table.columns]
        cells = [[None if value == "" else value for value in row] for row in table.values]
        assert [list(row) for row in body] == cells


def test_headers_carry_the_unit(build: Build) -> None:
    heads = [c.value for c in read(build)["Cut list"][1]]
    unit = build.job.units.symbol
    for name in ("Thickness", "Depth", "Length", "Seat length", "Notch depth"):
        assert f"{name} [{unit}]" in heads
    assert "Head miter [deg]" in heads
    assert "Mark" in heads


def test_sheets_are_set_up_for_paper(build: Build) -> None:
    paper = {"imperial": "1", "metric": "9"}[build.job.unit_name]
    for sheet in read(build):
        assert sheet.freeze_panes == "B2"
        assert sheet.page_setup.orientation == "landscape"
        assert str(sheet.page_setup.paperSize) == paper
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        wide = sheet.title in ("Cut list", "Saw list")
        pages = (2, 0) if wide else (None, 0)
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == pages
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.print_title_cols == ("$A:$A" if wide else None)
        assert printed_scale(sheet) > 0.75
        for column, cell in enumerate(sheet[1], start=1):
            letter = openpyxl.utils.get_column_letter(column)
            width = sheet.column_dimensions[letter].width
            if cell.alignment.text_rotation:
                assert sheet.row_dimensions[1].height >= 6 * len(cell.value)
            else:
                assert width >= max(map(len, cell.value.split()))
                assert sheet.row_dimensions[1].height >= 45


def printed_scale(sheet: Worksheet) -> float:
    """How much smaller a sheet is printed: a character of the usual font is 7 of 96 points wide."""
    across = {"1": 11.0, "9": 297 / 25.4}[str(sheet.page_setup.paperSize)]
    margins = sheet.page_margins.left + sheet.page_margins.right
    columns = [sheet.column_dimensions[cell.column_letter].width for cell in sheet[1]]
    pages = sheet.page_setup.fitToWidth or 1
    needed = (sum(columns) + (pages - 1) * columns[0]) * 7 / 96
    return pages * (across - margins) / needed


def test_numbers_have_formats(build: Build) -> None:
    sheet = read(build)["Cut list"]
    formats = {head.value: sheet.cell(2, head.column).number_format for head in sheet[1]}
    unit = build.job.units.symbol
    assert formats[f"Length [{unit}]"] == {"in": "0.000", "mm": "0.0"}[unit]
    assert formats["Head miter [deg]"] == "0.00"
    assert formats["Count"] == "0"
    order = read(build)["Lumber order"]
    assert {c.value: order.cell(2, c.column).number_format for c in order[1]}[
        "Cost [money]"
    ] == "#,##0.00"


def test_the_same_build_gives_the_same_bytes(build: Build) -> None:
    assert workbook_bytes(build) == workbook_bytes(build)


def test_a_hostile_name_stays_text() -> None:
    build = built("lean-to.toml", EVIL)
    for sheet in read(build):
        assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)
        assert "=cmd()" in sheet.oddHeader.left.text
        assert "script" in sheet.oddHeader.left.text


def test_text_that_looks_like_a_formula_stays_text() -> None:
    build = built("lean-to.toml")
    first, *rest = build.findings
    hostile = replace(build, findings=(replace(first, advice="=HYPERLINK(1)"), *rest))
    _, row, *_ = read(hostile)["Checks"].iter_rows()
    assert ("=HYPERLINK(1)", "s") in [(cell.value, cell.data_type) for cell in row]
