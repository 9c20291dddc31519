"""Patterns measured on paper by another library: 72 points are one inch, on every sheet."""

from __future__ import annotations

import csv
import io
from itertools import pairwise
from math import atan2, cos, degrees, dist, hypot, sqrt, tan
from pathlib import Path

import pdfplumber
import pytest

from cutlist.build import Build, build_job
from cutlist.export.pattern_shapes import patterns
from cutlist.export.patterns import patterns_pdf
from cutlist.export.tables import csv_files, tables
from cutlist.job import parse_job
from tests.bays import BAY, with_bay
from tests.hips import HIP
from tests.jobs import case_of, changed, job_of

FIXTURES = Path(__file__).parents[2] / "fixtures"
INCH, MM = 72.0, 72.0 / 25.4
HAIR = 0.01
"""Points; a seven-thousandth of an inch is 0.01 mm. PDF numbers are written to 1e-6."""

SEAT_OF_FOUR_INCHES = """
name = "Four inch seat"
units = "imperial"
[roof]
form = "gable"
span = "12ft"
length = "8ft"
pitch = "6/12"
overhang = "18in"
[rafter]
size = "2x8"
spacing = "24in"
seat = "4in"
notch_limit = "1/2"
tail = "{tail}"
{height}
[ridge]
kind = "board"
size = "2x10"
[plate]
width = "5 1/2in"
"""


def job(tail: str = "plumb", height: str = "") -> Build:
    text = SEAT_OF_FOUR_INCHES.format(tail=tail, height=height)
    return build_job(parse_job(text, "job.toml"), nest_seconds=1)


def fixture(name: str) -> Build:
    text = (FIXTURES / name).read_text(encoding="utf-8")
    return build_job(parse_job(text, name), nest_seconds=1)


def read(build: Build) -> pdfplumber.PDF:
    return pdfplumber.open(io.BytesIO(patterns_pdf(build)))


def titled(pdf: pdfplumber.PDF, start: str) -> list:
    """Pages whose title, the first line of text, starts so."""
    return [page for page in pdf.pages if page.extract_text().startswith(start)]


def legend(page) -> list:
    """The samples of each pen under the drawing: level lines of 26 points."""
    return [line for line in page.lines if line["width"] == pytest.approx(26, abs=HAIR)]


def strokes(page, width: float, dashed: bool) -> list[tuple[tuple[float, float], ...]]:
    """The straight lines of one pen on a page, as end points with y upward."""
    height = float(page.height)
    samples = legend(page)
    return [
        tuple((float(x), height - float(y)) for x, y in line["pts"])
        for line in page.lines
        if line not in samples
        and line["linewidth"] == pytest.approx(width)
        and bool(line["dash"] and line["dash"][0]) == dashed
    ]


def cuts(page) -> list:
    return strokes(page, 1.4, dashed=False)


def lengths(lines) -> list[float]:
    return sorted(dist(*line) for line in lines)


def slope_of(line) -> float:
    (ax, ay), (bx, by) = line
    return degrees(atan2(by - ay, bx - ax)) % 180


def test_a_seat_of_four_inches_is_four_inches_on_paper() -> None:
    (page,) = titled(read(job()), "Birdsmouth")
    heel, seat = lengths(cuts(page))
    assert seat == pytest.approx(4 * INCH, abs=HAIR)
    # The notch is a right angle between a level and a plumb line: heel = seat x pitch.
    assert heel == pytest.approx(4 * 6 / 12 * INCH, abs=HAIR)
    one, other = (slope_of(line) for line in cuts(page))
    assert abs(one - other) == pytest.approx(90, abs=0.01)


def test_a_plumb_cut_crosses_the_whole_depth() -> None:
    for page in (*titled(read(job()), "Head"), *titled(read(job()), "Tail")):
        (cut,) = cuts(page)
        # A 2x8 is 7 1/4 in deep (lumber.py has the source); a plumb cut is depth / cos(slope).
        slope = atan2(6, 12)
        assert dist(*cut) == pytest.approx(7.25 / cos(slope) * INCH, abs=HAIR)
        assert slope_of(cut) == pytest.approx(90 - degrees(slope), abs=0.01)


def test_a_cheek_cut_shows_the_far_face_where_the_blade_tilts() -> None:
    (page,) = titled(read(fixture("hip.toml")), "Head: J1R")
    (near,) = cuts(page)
    (far,) = strokes(page, 1.0, dashed=True)
    # Against a hip at 45 degrees in plan the cut runs back by the thickness, level: 1 1/2 in; along
    # a slope of 6 in 12 that is 1 1/2 x sqrt(5) / 2.
    (ax, ay), (bx, by) = (min(line, key=lambda point: point[1]) for line in (near, far))
    assert ay == pytest.approx(by, abs=HAIR)
    assert abs(ax - bx) == pytest.approx(1.5 * sqrt(5) / 2 * INCH, abs=HAIR)
    assert slope_of(near) == pytest.approx(slope_of(far), abs=0.01)


@pytest.mark.parametrize(
    ("name", "side", "ruler", "size"),
    [
        ("hip.toml", INCH, 6 * INCH, (8.5 * INCH, 11 * INCH)),
        ("unequal-hip.toml", 25 * MM, 150 * MM, (210 * MM, 297 * MM)),
    ],
)
def test_every_sheet_can_be_checked(
    name: str, side: float, ruler: float, size: tuple[float, float]
) -> None:
    for page in read(fixture(name)).pages:
        assert sorted((page.width, page.height)) == pytest.approx(sorted(size), abs=0.01)
        (square,) = page.rects
        assert (square["width"], square["height"]) == pytest.approx((side, side), abs=HAIR)
        level = [line for line in strokes(page, 0.5, dashed=False) if line[0][1] == line[1][1]]
        assert any(dist(*line) == pytest.approx(ruler, abs=HAIR) for line in level)
        ticks = sorted(
            line[0][0]
            for line in strokes(page, 0.5, dashed=False)
            if line[0][0] == line[1][0] and line[0][1] < side
        )
        steps = {round(b - a, 3) for a, b in pairwise(ticks)}
        assert max(steps) - min(steps) < HAIR
        assert ticks[-1] - ticks[0] == pytest.approx(ruler, abs=HAIR)


def test_nothing_lies_outside_what_a_printer_reaches() -> None:
    # Printers leave up to 1/4 in blank at each edge: common practice, no source.
    for name in ("hip.toml", "unequal-hip.toml", "steep-gable.toml"):
        for page in read(fixture(name)).pages:
            for thing in (*page.lines, *page.rects, *page.curves, *page.chars):
                assert thing["x0"] > 0.25 * INCH
                assert thing["x1"] < page.width - 0.25 * INCH
                assert thing["top"] > 0.25 * INCH
                assert thing["bottom"] < page.height - 0.25 * INCH


def crosses(page) -> dict[str, tuple[float, float]]:
    """The numbered crosses of a page: each circle, by the number written beside it."""
    found = {}
    for circle in page.curves:
        x, y = (circle["x0"] + circle["x1"]) / 2, (circle["top"] + circle["bottom"]) / 2
        number = "".join(
            c["text"]
            for c in page.chars
            if 0 < c["x0"] - x < 24 and 0 < y - c["bottom"] + 3 < 16 and c["text"].isdigit()
        )
        found[number] = (x, page.height - y)
    return found


def test_sheets_that_are_laid_cross_on_cross_make_the_whole_line() -> None:
    build = fixture("steep-gable.toml")
    pages = titled(read(build), "Tail: C1")
    assert len(pages) > 1
    # Lay every sheet on the first that shares two crosses with one laid already.
    shifts = {0: (0.0, 0.0)}
    while len(shifts) < len(pages):
        before = len(shifts)
        for i, page in enumerate(pages):
            for j in [j for j in shifts if i not in shifts]:
                here, there = crosses(page), crosses(pages[j])
                common = here.keys() & there.keys()
                if common:
                    deltas = [(there[k][0] - here[k][0], there[k][1] - here[k][1]) for k in common]
                    assert all(dist(delta, deltas[0]) < HAIR for delta in deltas)
                    shifts[i] = tuple(a + b for a, b in zip(shifts[j], deltas[0], strict=True))
                    break
        assert len(shifts) > before
    points: dict[int, list[tuple[float, float]]] = {}
    for i, page in enumerate(pages):
        for line in cuts(page):
            points.setdefault(round(slope_of(line)), []).extend(
                (x + shifts[i][0], y + shifts[i][1]) for x, y in line
            )
    # At 12 in 12 a plumb and a level cut both stand at 45 degrees; a plumb part of so much, and
    # the level cut from there to the bottom edge.
    stick = build.parts[0].stick
    pattern = next(p for p in patterns(build) if p.name == "Tail")
    for angle, ends in points.items():
        true = [
            hypot(s.end[0] - s.start[0], s.end[1] - s.start[1])
            for s in pattern.strokes
            if s.kind == "cut"
            and round(degrees(atan2(s.end[1] - s.start[1], s.end[0] - s.start[0]))) % 180 == angle
        ]
        longest = max(dist(a, b) for a in ends for b in ends)
        assert longest == pytest.approx(sum(true) * INCH, abs=3 * HAIR)
    assert len(points) == 2
    assert stick.depth == pytest.approx(9.25)


def test_a_level_tail_is_as_long_as_the_slope_makes_it() -> None:
    pages = titled(read(job(tail="level")), "Tail")
    # A level cut through the whole depth at 6 in 12 is depth / sin(slope) long: over two sheets.
    slope = atan2(6, 12)
    whole = 7.25 / (tan(slope) * cos(slope)) * INCH
    (pattern,) = (p for p in patterns(job(tail="level")) if p.name == "Tail")
    (cut,) = (s for s in pattern.strokes if s.kind == "cut")
    assert dist(cut.start, cut.end) * INCH == pytest.approx(whole, abs=HAIR)
    assert sum(dist(*line) for page in pages for line in cuts(page)) >= whole - HAIR


def test_parts_alike_share_a_pattern_and_it_names_them() -> None:
    build = fixture("hip.toml")
    found = patterns(build)
    jacks = [part.mark for part in build.parts if part.role == "hip-jack"]
    (mouth,) = (p for p in found if p.name == "Birdsmouth" and p.parts[0].mark == "C1")
    assert [part.mark for part in mouth.parts] == ["C1", *jacks]
    heads = [[part.mark for part in p.parts] for p in found if p.name == "Head"]
    assert [m for m in jacks if m.endswith("R")] in heads
    assert [m for m in jacks if m.endswith("L")] in heads
    # Every rafter has a head, a seat and a tail; the ridge's square ends need no paper.
    for part in build.parts:
        mine = [p.name for p in found if part in p.parts]
        assert sorted(mine) == ([] if part.role == "ridge" else ["Birdsmouth", "Head", "Tail"])


def test_marks_are_counted_through_whatever_slope_they_are_on() -> None:
    """Left jacks are numbered along the main roof, right ones among those of the bay."""
    with read(fixture("bay.toml")) as pdf:
        (head, *_) = titled(pdf, "Head: C1")
        title = " ".join(head.extract_text().splitlines()[:3])
    assert "C1, C2L, C3R, VJ1L to VJ12L, VJ10R to VJ12R, B1" in title


def test_every_sheet_shows_a_cut() -> None:
    for name in ("hip.toml", "unequal-hip.toml", "steep-gable.toml", "lean-to.toml"):
        for page in read(fixture(name)).pages:
            pens = ((1.4, False), (1.0, True), (0.9, True), (0.6, True))
            assert any(strokes(page, *pen) for pen in pens)


def test_readers_are_told_not_to_scale_and_bytes_are_the_same() -> None:
    build = job()
    data = patterns_pdf(build)
    assert data == patterns_pdf(build)
    catalog = pdfplumber.open(io.BytesIO(data)).doc.catalog
    preferences = pdfplumber.utils.resolve_all(catalog["ViewerPreferences"])
    assert preferences["PrintScaling"].name == "None"


def test_any_name_can_be_printed() -> None:
    text = SEAT_OF_FOUR_INCHES.format(tail="plumb", height="").replace(
        "Four inch seat", "Gîte n° 4 屋根 \U0001f3e0 Ж <script> %s (\\u0007)"
    )
    pdf = read(build_job(parse_job(text, "job.toml"), nest_seconds=1))
    assert "Gîte n° 4" in pdf.pages[0].extract_text()


def test_a_seat_on_a_beam_is_placed_from_the_head() -> None:
    build = fixture("steep-gable.toml")
    (pattern,) = (p for p in patterns(build) if p.name == "Beam seat" and p.parts[0].mark == "C1")
    part = pattern.parts[0]
    # The notch's corners on the near face, read from the outline: all but the first notch's and
    # the ends'; the one nearest the head is where the stick's bottom edge goes on.
    names = {plane.name for plane in part.stick.notches[1].planes}
    near = part.stick.near
    corners = [x for name in names for edge in near.segments(name) for x, _ in edge]
    text = next(iter(pattern.places))
    feet, _, inches = text.partition("' ")
    value = sum(
        float(n.split("/")[0]) / float(n.split("/")[1]) if "/" in n else float(n)
        for n in (inches or feet).strip('"').split()
    ) + (12 * float(feet) if inches else 0)
    assert value == pytest.approx(near.polygon.bounds[2] - max(corners), abs=1 / 32)
    (page, *_) = titled(read(build), "Beam seat")
    assert "from the head's long point" in page.extract_text()


def test_a_notch_that_takes_all_of_the_near_face_has_a_pattern() -> None:
    """A valley jack over the corner where a bay's splayed wall leaves the roof's: of its foot one
    side lies on the end of the plate, by a hair, and the other on the valley."""
    tables = changed(
        with_bay(BAY, [(0, 0), (48, -48), (96, 0)], at=["12ft", "0ft"]), {"roof.overhang": 16}
    )
    build = build_job(job_of(tables), nest_seconds=1)
    seats = [p for p in patterns(build) if {"VJ1L", "VJ1R"} & {m.mark for m in p.parts}]
    assert all(p.wood.area > 0 for p in patterns(build))
    assert any("Birdsmouth" in p.name for p in seats)


def test_a_sheet_may_have_no_room_for_a_name() -> None:
    """The point of a valley plate under a flat dormer on a steep slope ends on one of its own."""
    dormer = {"form": "gable", "span": 1544, "length": 1033, "pitch": "30%", "plate_height": 2500}
    dormer |= {"overhang": 300, "at": [20950, 3721], "turn": 180}
    tables = {
        "name": "Flat dormer",
        "units": "metric",
        "roof": {
            "form": "hip",
            "span": 9800,
            "length": 20200,
            "pitch": "96%",
            "end_pitch": "118%",
            "overhang": 450,
            "plate_height": 2400,
        },
        "rafter": {"size": "38x145", "spacing": 531, "tail": "square"},
        "ridge": {"kind": "board", "size": "38x286"},
        "hip": {"size": "45x245", "jacks_from": "corner"},
        "valley": {"size": "25x286", "kind": "overlay", "sheathing": 22},
        "plate": {"width": 140},
        "wing": [dormer],
    }
    case = case_of(tables)
    pdf = read(Build(job=case.job, roof=case.roof, parts=case.parts, findings=(), plans=()))
    assert len(pdf.pages) > 10


def test_a_hip_that_hangs_over_its_seat_is_written_without_one() -> None:
    """A hip less deep than the rafters does not come down to the plates: the checks fail it."""
    build = build_job(
        job_of(changed(HIP, {"rafter.size": "2x10", "hip.size": "2x8", "rafter.seat": 1.5})),
        nest_seconds=1,
    )
    hips = {part.mark for part in build.parts if part.role == "hip"}
    told = [p for p in patterns(build) if hips & {part.mark for part in p.parts}]
    assert {p.name for p in told} == {"Head", "Tail"}
    rows = [*csv.DictReader(csv_files(tables(build))["saw-list.csv"].decode().splitlines())]
    notched = {row["mark"] for row in rows if row["operation"] == "notch"}
    assert "C1" in notched
    assert not notched & hips
    bearings = [f for f in build.findings if f.check == "bearing length" and f.value == 0]
    assert {f.result for f in bearings} == {"fail"}
