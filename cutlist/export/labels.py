"""Labels: one for every stick, in the order in which the boards are cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import atan, degrees

import segno

from cutlist.build import Build, Cutting
from cutlist.export.naming import named_boards
from cutlist.export.pdf import BOLD, PLAIN, Document, points
from cutlist.label_stock import LabelStock, usual_sheet
from cutlist.nest.problem import Stick
from cutlist.roof.parts import Part

LINES = (
    (BOLD, 0.34, 0.0),
    (PLAIN, 0.15, 0.0),
    (BOLD, 0.21, 0.0),
    (PLAIN, 0.15, 0.0),
    (PLAIN, 0.15, 0.6),
)
"""Of each line its font, its share of the label's height, and how much smaller it may be written
to fit before it is cut short: only the job's name ever is."""

FILLED, BELOW = 0.82, 0.24
"""Size of a font by the height of its line, and what hangs below the base line by its size."""

CODE = 0.42
"""The most of a label's width that its code takes, quiet zone and all."""

QUIET = 4
"""Modules to be left blank around a QR code (ISO/IEC 18004)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What stands on one label, from the top and the job last, and what its QR code says."""

    lines: tuple[str, ...]
    job: str
    code: str


def labels(build: Build) -> Iterator[Label]:
    """Return the label of every stick: mark, role and hand, length, board, job."""
    return _labels(build.cutting, {p.mark: (_role(p), p.stick.length) for p in build.parts})


def plain_labels(cutting: Cutting) -> Iterator[Label]:
    """Return the label of every plain stick: mark, ends, length, board, job."""
    sticks = (stick for plan in cutting.plans for stick in plan.problem.sticks)
    return _labels(cutting, {stick.mark: (_ends(stick), stick.length) for stick in sticks})


def _labels(cutting: Cutting, told: Mapping[str, tuple[str, float]]) -> Iterator[Label]:
    """Return the label of every stick, of whose mark a word on it and its length are told."""
    for board in named_boards(cutting.plans):
        for number, piece in enumerate(board.cut.pieces, start=1):
            word, length = told[piece.mark]
            yield Label(
                lines=(
                    piece.mark,
                    word,
                    f"{board.plan.problem.size}  {cutting.text(length)}",
                    f"board {board.name}, piece {number}",
                ),
                job=cutting.name,
                code=f"{piece.mark}\n{cutting.name}",
            )


def _role(part: Part) -> str:
    role = part.role.replace("-", " ")
    return f"{role}, {part.hand} hand" if part.hand else role


def _ends(stick: Stick) -> str:
    """Return the angles of a stick's ends from square, positive leaning like / [deg]."""
    left, right = (degrees(atan(end[0].per_depth)) for end in (stick.left, stick.right))
    if not left and not right:
        return "square ends"
    return f"left {left:.4g}, right {right:.4g} deg"


def labels_pdf(build: Build) -> bytes:
    """Return labels.pdf for the job's label sheets or roll."""
    return _pdf(build.cutting, build.job.labels.stock(build.job.units), labels(build))


def plain_labels_pdf(cutting: Cutting) -> bytes:
    """Return labels.pdf for the usual label sheets."""
    return _pdf(cutting, usual_sheet(cutting.units), plain_labels(cutting))


def _pdf(cutting: Cutting, stock: LabelStock, written: Iterable[Label]) -> bytes:
    stock = _in_points(stock, points(1.0, cutting.units))
    document = Document(f"{cutting.name}: labels", stock.page)
    corners = list(stock.corners())
    for place, label in enumerate(written, start=stock.first - 1):
        if place >= len(corners) and place % len(corners) == 0:
            document.canvas.showPage()
        _draw(document, label, corners[place % len(corners)], stock)
    document.canvas.showPage()
    return document.to_bytes()


def _in_points(stock: LabelStock, scale: float) -> LabelStock:
    return replace(
        stock,
        sheet=stock.sheet and (stock.sheet[0] * scale, stock.sheet[1] * scale),
        **{
            name: getattr(stock, name) * scale
            for name in (
                *("width", "height", "margin_left", "margin_top", "gap_across", "gap_down"),
            )
        },
    )


def _draw(document: Document, label: Label, corner: tuple[float, float], stock: LabelStock) -> None:
    """Draw one label: text at the left, the code with its quiet zone at the right."""
    x, y = corner
    side = min(stock.height, CODE * stock.width)
    _code(
        document,
        label.code,
        (x + stock.width - side, y + (stock.height - side) / 2),
        side,
    )
    pad = 0.06 * stock.height
    room = stock.width - side - 1.5 * pad
    base = y + stock.height - pad
    for text, (font, share, smallest) in zip((*label.lines, label.job), LINES, strict=True):
        line = share * (stock.height - 2 * pad)
        size = line * FILLED
        base -= line
        at = x + pad, base + size * BELOW
        document.text(text, at, size, width=room, font=font, least=size * smallest)


def _code(document: Document, text: str, corner: tuple[float, float], side: float) -> None:
    """Draw a QR code, quiet zone and all, in a square."""
    rows = _modules(text)
    module = side / len(rows)
    x, y = corner
    path = document.canvas.beginPath()
    for number, row in enumerate(rows, start=1):
        bottom = y + side - number * module
        for start, length in _runs(row):
            path.rect(x + start * module, bottom, length * module, module)
    document.canvas.drawPath(path, stroke=0, fill=1)


@lru_cache
def _modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """Return the rows of a QR code, true where it is dark; sticks alike share one."""
    rows = segno.make_qr(text, error="m").matrix_iter(border=QUIET)
    return tuple(tuple(map(bool, row)) for row in rows)


def _runs(row: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    """Return where dark modules begin and how many follow each other."""
    start = 0
    for number, dark in enumerate([*row, False]):
        if dark and not (number and row[number - 1]):
            start = number
        if not dark and number and row[number - 1]:
            yield start, number - start
