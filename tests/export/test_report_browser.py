"""The page in a real browser: on a phone, on a desk, and on paper."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Browser, sync_playwright
from playwright.sync_api import Page as BrowserPage

from cutlist.build import Build
from cutlist.export.report import report_html
from tests.export.conftest import JOBS, build_text

FLAGS = [
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
]

PHONE, DESK = (390, 844), (1280, 900)

SMALLEST_TEXT_PX = 9.0
"""Height of a line of text on a phone that is still read without glasses: our own rule."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium")
    if chromium is None:
        if os.environ.get("CI"):
            pytest.fail("no chromium on this machine: apt-get install chromium")
        pytest.skip("no chromium on this machine, so the page is not tried in a browser")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pages of a hip, a gable on posts and a shed with a hostile name, as files."""
    folder = tmp_path_factory.mktemp("pages")
    texts = {"hip": JOBS["hip"], "gable": JOBS["gable"], "shed": JOBS["shed"]}
    builds: dict[str, Build] = {name: build_text(text) for name, text in texts.items()}
    files = {}
    for name, build in builds.items():
        files[name] = folder / f"{name}.html"
        files[name].write_bytes(report_html(build))
    return files


def opened(browser: Browser, file: Path, size: tuple[int, int]) -> tuple[BrowserPage, list[str]]:
    """Return the page, opened offline, and what it complained about."""
    page = browser.new_page(viewport={"width": size[0], "height": size[1]}, offline=True)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("dialog", lambda dialog: (said.append(dialog.message), dialog.dismiss()))
    page.on("requestfailed", lambda request: said.append(request.url))
    page.goto(file.as_uri())
    return page, said


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_it_opens_quietly_and_nothing_sticks_out(
    browser: Browser, pages: dict[str, Path], size: tuple[int, int]
) -> None:
    for name, file in pages.items():
        page, said = opened(browser, file, size)
        assert said == [], name
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], name
        outside = page.evaluate(
            """width => [...document.body.querySelectorAll('*')]
                .filter(e => !e.closest('svg g, svg > *') && e.getClientRects().length)
                .filter(e => e.getBoundingClientRect().right > width + 0.5)
                .map(e => e.outerHTML.slice(0, 80))""",
            size[0],
        )
        assert outside == [], name
        page.close()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_texts_of_drawings_are_whole_and_legible(
    browser: Browser, pages: dict[str, Path], size: tuple[int, int]
) -> None:
    for name, file in pages.items():
        page, _ = opened(browser, file, size)
        texts = page.evaluate(
            """() => [...document.querySelectorAll('svg text')]
                .filter(t => t.getClientRects().length)
                .map(t => {
                    const a = t.getBoundingClientRect();
                    const b = t.ownerSVGElement.getBoundingClientRect();
                    const inside = a.left >= b.left - 1 && a.right <= b.right + 1
                        && a.top >= b.top - 1 && a.bottom <= b.bottom + 1;
                    const onWood = t.matches('.mark, .plan *');
                    return [t.textContent, inside, onWood, Math.min(a.width, a.height)];
                })"""
        )
        assert len(texts) > 20
        assert [text for text, inside, *_ in texts if not inside] == [], name
        # Marks on wood and the plan's texts have what room true proportion leaves them; the
        # marks stand in the headings too.
        small = [t for t, _, wood, px in texts if not wood and px < SMALLEST_TEXT_PX and len(t) > 1]
        assert small == [], name
        page.close()


def test_a_hostile_name_is_shown_as_it_is(browser: Browser, pages: dict[str, Path]) -> None:
    page, said = opened(browser, pages["shed"], DESK)
    assert said == []
    assert page.locator("h1").inner_text() == "=cmd()|' /C calc'!A0 <script>"
    assert page.locator("script").count() == 0
    page.close()


PUT_SENTINELS = """() => {
    let n = 0;
    for (const svg of document.querySelectorAll('svg')) {
        if (!svg.getClientRects().length && !svg.closest('.plan .tall')) continue;
        const box = svg.viewBox.baseVal;
        for (const [name, y] of [['T', box.y + box.height * 0.01], ['B', box.y + box.height]]) {
            const t = document.createElementNS('http://www.w3.org/2000/svg', 'text');
            t.setAttribute('x', box.x + box.width * 0.02);
            t.setAttribute('y', y);
            t.setAttribute('font-size', box.height * 0.02);
            t.textContent = `Q${name}${n}Q`;
            svg.append(t);
        }
        n += 1;
    }
    for (const card of document.querySelectorAll('.card')) {
        card.querySelector('h3').append(`QT${n}Q`);
        card.lastElementChild.append(`QB${n}Q`);
        n += 1;
    }
    return n;
}"""
"""Writes a text of its own at the top and at the bottom of every drawing and every card."""


def split_on_paper(page: BrowserPage, file: Path, paper: str) -> tuple[int, list[str], list[str]]:
    """Print the page; return how many drawings and cards it shows whole, and which are split."""
    count = page.evaluate(PUT_SENTINELS)
    page.pdf(path=file, format=paper)
    document = pypdfium2.PdfDocument(file)
    found: dict[str, set[int]] = {}
    for number, sheet in enumerate(document):
        text = sheet.get_textpage().get_text_bounded()
        for kind, which in re.findall(r"Q([TB])(\d+)Q", text):
            found.setdefault(f"{kind}{which}", set()).add(number)
    document.close()
    tops = {name[1:]: where for name, where in found.items() if name[0] == "T"}
    split = [which for which, where in tops.items() if found.get(f"B{which}") != where]
    missing = [str(n) for n in range(count) if str(n) not in tops]
    return len(tops) - len(split), split, missing


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_no_drawing_is_cut_by_the_end_of_a_page(
    browser: Browser, pages: dict[str, Path], tmp_path: Path, paper: str
) -> None:
    for name, file in pages.items():
        page, _ = opened(browser, file, DESK)
        whole, split, missing = split_on_paper(page, tmp_path / f"{name}.pdf", paper)
        page.close()
        assert split == [], name
        # Of the plan's two drawings one is printed.
        assert len(missing) == 1, name
        assert whole >= 8, name


def test_a_drawing_cut_by_the_end_of_a_page_would_be_noticed(
    browser: Browser, pages: dict[str, Path], tmp_path: Path
) -> None:
    page, _ = opened(browser, pages["shed"], DESK)
    page.add_style_tag(content=".view svg { height: 1500px !important; max-height: none; }")
    _, split, _ = split_on_paper(page, tmp_path / "cut.pdf", "Letter")
    page.close()
    assert split == ["0"]


def test_each_section_starts_a_page(
    browser: Browser, pages: dict[str, Path], tmp_path: Path
) -> None:
    page, _ = opened(browser, pages["gable"], DESK)
    file = tmp_path / "gable.pdf"
    page.pdf(path=file, format="Letter")
    page.close()
    document = pypdfium2.PdfDocument(file)
    starts = [sheet.get_textpage().get_text_bounded().lstrip() for sheet in document]
    document.close()
    for title in ("Fern Row shelter", "The roof", "Parts", "Boards", "Layout of plates and ridge"):
        assert any(text.startswith(title) for text in starts), title
