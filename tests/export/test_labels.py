"""Labels as they come out of the printer: read by another library, their codes by a scanner."""

from __future__ import annotations

import io
from pathlib import Path

import pdfplumber
import pytest
import zxingcpp

from cutlist.build import Build, Cutting, build_job, plan_boards
from cutlist.errors import JobError
from cutlist.export.labels import labels, labels_pdf, plain_labels, plain_labels_pdf
from cutlist.export.naming import named_boards
from cutlist.job import parse_job
from cutlist.pieces import bench, read_pieces

FIXTURES = Path(__file__).parents[2] / "fixtures"
LONG = "Ünïcode 屋根 \U0001f3e0 & <script>=cmd()</script> " + "long " * 15
HAIR = 0.01

SMALL = """
[labels]
width = "2 5/8in"
height = "1in"
columns = 3
rows = 10
margin_left = "3/16in"
gap_across = "1/8in"
first = 5
"""
ROLL = '[labels]\non = "roll"\nwidth = "62mm"\nheight = "29mm"\n'


def job_text(fixture: str, labels: str, name: str | None = None) -> str:
    text = (FIXTURES / fixture).read_text(encoding="utf-8") + "\n" + labels
    if name is not None:
        old = next(line for line in text.splitlines() if line.startswith("name = "))
        text = text.replace(old, f'name = "{name}"')
    return text


def built(fixture: str, labels: str = "", name: str | None = None) -> Build:
    return build_job(parse_job(job_text(fixture, labels, name), "job.toml"), nest_seconds=1)


CASES = {
    "usual Letter": ("pyramid.toml", "", None),
    "small": ("pyramid.toml", SMALL, LONG),
    "usual A4": ("lean-to.toml", "", LONG),
    "roll": ("lean-to.toml", ROLL, LONG),
}


@pytest.fixture(scope="module", params=CASES.values(), ids=CASES)
def build(request: pytest.FixtureRequest) -> Build:
    return built(*request.param)


def cells(build: Build) -> list[tuple[float, float, float, float]]:
    """Where the labels of a page lie, in points from its top left: x0, top, x1, bottom."""
    stock = build.job.labels.stock(build.job.units)
    unit = 72 / 25.4 if build.job.unit_name == "metric" else 72.0
    places = []
    for row in range(stock.rows):
        for column in range(stock.columns):
            left = stock.margin_left + column * (stock.width + stock.gap_across)
            top = stock.margin_top + row * (stock.height + stock.gap_down)
            edges = left, top, left + stock.width, top + stock.height
            places.append(tuple(unit * edge for edge in edges))
    return places


@pytest.fixture(scope="module")
def pages(build: Build) -> list:
    return pdfplumber.open(io.BytesIO(labels_pdf(build))).pages


def read(build: Build, pages: list) -> list[list[str]]:
    """The lines of every label in the order of the sheets; a label not printed has none."""
    found = []
    for page in pages:
        for x0, top, x1, bottom in cells(build):
            mine = [
                char
                for char in page.chars
                if x0 < char["x0"] < x1 and top < (char["top"] + char["bottom"]) / 2 < bottom
            ]
            found.append(pdfplumber.utils.extract_text(mine).splitlines())
    return found


def test_every_stick_has_its_label_in_cutting_order(build: Build, pages: list) -> None:
    first = build.job.labels.first or 1
    printed = read(build, pages)
    assert not any(printed[: first - 1])
    written = [lines for lines in printed[first - 1 :] if lines]
    pieces = [
        (board.name, number, piece.mark)
        for board in named_boards(build.plans)
        for number, piece in enumerate(board.cut.pieces, start=1)
    ]
    assert len(written) == len(pieces) == sum(part.count for part in build.parts)
    parts = {part.mark: part for part in build.parts}
    for lines, (board, number, mark) in zip(written, pieces, strict=True):
        part = parts[mark]
        assert lines[0] == mark
        assert lines[1].startswith(part.role.replace("-", " "))
        assert (f"{part.hand} hand" in lines[1]) == bool(part.hand)
        assert lines[2].startswith(part.size.name)
        assert lines[3] == f"board {board}, piece {number}"
        assert len(lines) == 5


def test_everything_stays_on_its_label(build: Build, pages: list) -> None:
    for page in pages:
        boxes = {
            tuple(round(thing[side], 3) for side in ("x0", "top", "x1", "bottom"))
            for thing in (*page.chars, *page.rects, *page.curves, *page.lines)
        }
        for left, up, right, down in boxes:
            assert any(
                left > x0 - HAIR and right < x1 + HAIR and up > top - HAIR and down < bottom + HAIR
                for x0, top, x1, bottom in cells(build)
            )


def test_a_scanner_reads_mark_and_job(build: Build, pages: list) -> None:
    expected = [label.code for label in labels(build)]
    job = build.job.name
    assert all(code == f"{code.splitlines()[0]}\n{job}" for code in expected)
    shown = expected[: len(cells(build)) - (build.job.labels.first or 1) + 1]
    image = pages[0].to_image(resolution=300).original.convert("L")
    scanned = [code.text for code in zxingcpp.read_barcodes(image)]
    assert sorted(scanned) == sorted(shown)


def test_a_roll_has_a_label_a_page() -> None:
    build = built("lean-to.toml", ROLL)
    with pdfplumber.open(io.BytesIO(labels_pdf(build))) as pdf:
        assert len(pdf.pages) == sum(part.count for part in build.parts)
        for page in pdf.pages:
            assert (page.width, page.height) == pytest.approx(
                (62 * 72 / 25.4, 29 * 72 / 25.4), abs=HAIR
            )


def test_fonts_travel_with_the_file_and_bytes_are_the_same(build: Build, pages: list) -> None:
    assert labels_pdf(build) == labels_pdf(build)
    fonts = {char["fontname"] for page in pages for char in page.chars}
    assert fonts
    # A subset's tag of six letters and a plus (ISO 32000-1, 9.6.4) says that it is embedded.
    assert all(name[6] == "+" and "Vera" in name for name in fonts)


def test_only_a_job_s_name_is_cut_short_and_says_so(build: Build, pages: list) -> None:
    ellipsis = "\N{HORIZONTAL ELLIPSIS}"
    for lines in filter(None, read(build, pages)):
        assert not any(ellipsis in line for line in lines[:4])
        assert lines[4].endswith(ellipsis) == (build.job.name == LONG)


def test_plain_sticks_have_labels_too(tmp_path: Path) -> None:
    texts = {
        "pieces": "mark,length,count,left_angle,right_angle\nleg,20in,8,-15,22.5\nrail,40in,7,,\n",
        "boards": "length\n8ft\n",
    }
    for name, text in texts.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    table = bench(
        units="imperial",
        size="2x4",
        kerf=None,
        end_trim=None,
        keep_offcut=None,
        crown_up=True,
    )
    problems = read_pieces(tmp_path / "pieces.csv", tmp_path / "boards.csv", table)
    cutting = Cutting(
        name="Stools",
        units=table.units,
        round_to=table.round_to,
        saw=table.saw,
        plans=plan_boards(problems, 1.0),
    )
    with pdfplumber.open(io.BytesIO(plain_labels_pdf(cutting))) as pdf:
        image = pdf.pages[0].to_image(resolution=300).original.convert("L")
        text = "\n".join(page.extract_text() for page in pdf.pages)
        assert len(pdf.pages) == 2
    assert text.count("left -15, right 22.5 deg") == 8
    assert text.count("square ends") == 7
    assert text.count("2x4 3' 4\"") == 7
    codes = [code.text for code in zxingcpp.read_barcodes(image)]
    assert sorted(codes) == sorted(label.code for label in [*plain_labels(cutting)][:10])


def test_a_name_in_any_script_is_printed() -> None:
    build = built("lean-to.toml", "", "\\u0007 屋根 Ж \U0001f3e0 \\u202e e\\u0301")
    with pdfplumber.open(io.BytesIO(labels_pdf(build))) as pdf:
        written = list(filter(None, read(build, pdf.pages)))
    assert len(written) == sum(part.count for part in build.parts)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        (
            "columns = 3",
            'job.toml: labels.columns: 3 labels of 4" with their margin and gaps take '
            '1\' 1/2", and the sheet has 8 1/2"',
        ),
        (
            "rows = 6",
            'job.toml: labels.rows: 6 labels of 2" with their margin and gaps take '
            '1\' 1/2", and the sheet has 11"',
        ),
        ("first = 11", "job.toml: labels.first: a sheet has 10 labels"),
        (
            'on = "roll"\nrows = 2',
            'job.toml: labels.rows: it is for on = "sheet" only; a roll has width and height',
        ),
        ('on = "rolls"', 'job.toml: labels.on: "rolls": expected "sheet" or "roll"; did you mean'),
        ('width = "3"', 'job.toml: labels.width: "3": it has no unit; write "3in" or "3ft"'),
        ("high = 3", "job.toml: labels.high: there is no such key"),
        ("columns = 0", "job.toml: labels.columns: 0: it should be greater than or equal to 1"),
        ('sheet = ["8in"]', "job.toml: labels.sheet[2]: it is missing"),
    ],
)
def test_wrong_labels_are_told(table: str, message: str) -> None:
    with pytest.raises(JobError) as error:
        parse_job(job_text("hip.toml", f"[labels]\n{table}\n"), "job.toml")
    (problem,) = error.value.problems
    assert problem.startswith(message)
