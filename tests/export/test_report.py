"""The page as a file: complete, well-formed, alone, and its numbers those of the build."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from math import atan2, degrees, hypot, sqrt

import pytest
from shapely import Polygon

from cutlist.build import Build
from cutlist.checks.run import CAUTIONS
from cutlist.export.draw_board_page import board_cuts
from cutlist.export.framing_square import square_setting
from cutlist.export.naming import named_boards
from cutlist.export.report import report_html
from cutlist.export.rows import layout, lumber_order
from cutlist.export.top_marks import top_marks

VOID = {"meta", "link", "br"}


class Page(HTMLParser):
    """The page as a browser's rules for text and tags read it; fails where tags do not match."""

    def __init__(self, content: bytes) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.feed(content.decode())
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    @property
    def words(self) -> str:
        return " ".join(" ".join(self.texts).split())


def test_it_tells_the_whole_build(build: Build) -> None:
    page = Page(report_html(build))
    for part in build.parts:
        assert f"{part.mark} cut {part.count}" in page.words
    for row in lumber_order(build.cutting):
        assert f"{row['size']} {row['count']} {row['length_text']}" in page.words
    for row in layout(build):
        assert f"{row['edge_text']} {row['center_text']}" in page.words
    for height in build.roof.heights:
        assert height.name in page.words
    assert all(caution in page.words for caution in CAUTIONS)
    assert page.words.index(build.job.name) < page.words.index("Checks:")
    drawings = [tag for tag, _ in page.tags if tag == "svg"]
    assert len(drawings) >= 3 + len(build.parts)


def test_it_needs_no_other_file(build: Build) -> None:
    page = Page(report_html(build))
    assert not {tag for tag, _ in page.tags} & {"script", "img", "iframe", "object", "use"}
    targets = [a[key] for _, a in page.tags for key in ("href", "src") if key in a]
    assert all(target.startswith(("#", "data:")) for target in targets if target)
    anchors = {a["id"] for _, a in page.tags if "id" in a}
    assert {t[1:] for t in targets if t and t.startswith("#")} <= anchors
    assert not re.search(r"url\(|@import", report_html(build).decode())


def test_the_same_build_gives_the_same_bytes(build: Build) -> None:
    assert report_html(build) == report_html(build)


def test_markup_in_names_stays_text(named: Callable[[str], Build]) -> None:
    name = "<script>alert(1)</script> & \"quoted\" 'too' <b>"
    build = named(name)
    parts = (replace(build.parts[0], mark='<img src=x onerror="alert(2)">'), *build.parts[1:])
    page = Page(report_html(replace(build, parts=parts)))
    assert not {tag for tag, _ in page.tags} & {"script", "img"}
    assert name in page.texts
    assert '<img src=x onerror="alert(2)">' in page.texts


def test_what_fails_comes_first(gable: Build) -> None:
    first = gable.findings[0]
    findings = (
        replace(first, check="fine", result="pass"),
        replace(first, check="doubtful", result="warn", advice="look there"),
        replace(first, check="wrong", result="fail", advice="do that"),
    )
    words = Page(report_html(replace(gable, findings=findings))).words
    told = ["FAIL wrong", "do that", "LOOK doubtful", "look there", "What to buy", "fine:"]
    places = [words.index(text) for text in told]
    assert places == sorted(places)


def test_marks_run_along_the_top_edge_from_the_long_point(build: Build) -> None:
    for part in build.parts:
        member = part.member
        marks = top_marks(member)
        assert marks[0].letter == "A"
        assert marks[0].away == 0.0
        distances = [mark.away for mark in marks]
        assert distances == sorted(distances)
        outlines = [o.polygon for o in part.stick.outlines] + [part.stick.middle.polygon]
        tops = [x for o in outlines for x, y in o.exterior.coords if y > 0.9 * part.stick.depth]
        assert marks[0].x == pytest.approx(max(tops))
        if member.heel_line is None:
            continue
        heel = next((m for m in marks if m.name == "heel line"), None)
        middle = max(x for x, y in part.stick.middle.points if y > part.stick.depth / 2)
        if heel:
            assert middle - heel.x == pytest.approx(member.line_length)
        else:
            assert member.tail_length == pytest.approx(0.0, abs=1e-6)


def test_board_cuts_lie_on_the_pieces(build: Build) -> None:
    kerf = build.job.saw.kerf
    for board in named_boards(build.plans):
        cuts = board_cuts(board)
        assert [cut.number for cut in cuts] == list(range(1, len(cuts) + 1))
        depth = board.plan.problem.depth
        for cut in cuts:
            outline = Polygon(cut.piece.far if cut.below else cut.piece.near).exterior
            # Some edge of the outline lies on the cut's line; a notch may have taken its end.
            told = [(x, y) for x, y in ((cut.top, depth), (cut.bottom, 0.0)) if x is not None]
            assert told
            assert any(
                degrees(atan2(bx - ax, by - ay)) == pytest.approx(cut.lean, abs=1e-6)
                and all(
                    ax + (y - ay) * (bx - ax) / (by - ay) == pytest.approx(x, abs=1e-6)
                    for x, y in told
                )
                for pair in pairwise(outline.coords)
                for (ax, ay), (bx, by) in [sorted(pair, key=lambda point: point[1])]
                if by - ay > 1e-6
            )
        pieces = [Polygon(piece.near) for piece in board.cut.pieces]
        for left, right in pairwise(pieces):
            assert left.distance(right) >= kerf - 1e-6
        for cut in cuts:
            if cut.shared:
                before = pieces[board.cut.pieces.index(cut.piece) - 1]
                # One pass leaves its own width, measured along the board on the upper face.
                assert before.distance(Polygon(cut.piece.near)) < 1.5 * kerf


def test_the_square_of_a_hip_is_set_to_the_exact_root(build: Build) -> None:
    # The diagonal of a 12 in square is 12 sqrt(2) = 16.97 in, which is not 17 (Pythagoras).
    unit = 12.0 if build.job.unit_name == "imperial" else 250.0
    for part in build.parts:
        setting = square_setting(build, part.member)
        up = part.stick.frame.x
        if part.role in ("ridge", "ledger"):
            assert setting is None
            continue
        assert setting is not None
        assert setting.tongue / setting.body == pytest.approx(up.z / hypot(up.x, up.y))
        if part.role == "hip" and build.job.name == "Regular hip":
            assert setting.body == pytest.approx(unit * sqrt(2))
            assert setting.tongue == pytest.approx(6.0)
            assert "16.97" in Page(report_html(build)).words
        elif part.role != "hip" and setting.tongue < 0.6 * unit:
            assert setting.body == pytest.approx(unit)
