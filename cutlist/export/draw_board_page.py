"""One board as a page shows it: its pieces by their marks, its cuts by numbers, what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from math import asin, atan, degrees

from cutlist.build import Build
from cutlist.export.dimension import Dimensions, Span
from cutlist.export.draw_board import LAYERS, draw_board_wood
from cutlist.export.drawing import Drawing
from cutlist.export.naming import NamedBoard
from cutlist.export.rows import length_text
from cutlist.export.svg import Window
from cutlist.nest.ends import EndFace, Point, mirrored, surfaces
from cutlist.nest.plan import CutBoard, Piece
from cutlist.tolerance import ON_PLANE, PARALLEL

TEXT = 1 / 34
"""Height of the text by the board's length, legible on a phone held upright."""

MARK_SHARE = 0.6
"""Height of a mark by the depth of the wood."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardCut:
    """One plane to saw, in the board's frame, face up.

    `top` and `bottom`: where its line meets the two edges of the upper face, from the board's left
    end; None where it ends before that edge. `below`: it does not reach the upper face, and its
    line is that on the lower one. `lean`: how the line leans from square [deg], `tilt`: how the
    blade does; positive where the upper end lies further right. `shared`: whether the same pass
    makes the end of the piece before.
    """

    number: int
    piece: Piece
    end: str
    top: float | None
    bottom: float | None
    below: bool
    lean: float
    tilt: float
    shared: bool


def board_cuts(board: NamedBoard) -> tuple[BoardCut, ...]:
    """Return the planes to saw, in cutting order from the board's left end."""
    return tuple(_cuts(board.cut, board.plan.problem.saw.kerf))


def _cuts(cut: CutBoard, kerf: float) -> Iterator[BoardCut]:
    numbers = count(1)
    before: list[tuple[EndFace, list[Point]]] = []
    for piece in cut.pieces:
        laid = piece.laid
        section = laid.section
        left = [(face.mirrored(), part) for face, part in surfaces(mirrored(laid.left), section)]
        right = surfaces(laid.right, section)
        for end, faces in (("left", left), ("right", right)):
            for face, part in faces:
                depth, thickness = section
                shown = [y for y, z in part if z > thickness - ON_PLANE]
                # A plane that only touches the upper face in a point is marked on the lower one.
                below = max(shown, default=0.0) - min(shown, default=0.0) < ON_PLANE
                z = 0.0 if below else thickness
                ends = shown if not below else [y for y, at in part if at < ON_PLANE]
                yield BoardCut(
                    number=next(numbers),
                    piece=piece,
                    end=end,
                    top=face.x(depth, z) if max(ends) > depth - ON_PLANE else None,
                    bottom=face.x(0.0, z) if min(ends) < ON_PLANE else None,
                    below=below,
                    lean=degrees(atan(face.per_depth)),
                    tilt=degrees(asin(face.per_thickness / face.level_factor)),
                    shared=end == "left" and any(_is_one_pass(b, face, kerf) for b, _ in before),
                )
        before = right


def _is_one_pass(right: EndFace, left: EndFace, kerf: float) -> bool:
    """Tell whether a piece's right end and the next one's left end are the two sides of a kerf."""
    return (
        abs(right.at + kerf * right.level_factor - left.at) < ON_PLANE
        and abs(right.per_depth - left.per_depth) < PARALLEL
        and abs(right.per_thickness - left.per_thickness) < PARALLEL
    )


def draw_board_page(build: Build, board: NamedBoard) -> tuple[Drawing, Window]:
    """Return a board, crown edge up, its cuts numbered above it and its lengths below."""
    drawing = Drawing(build.job.units, LAYERS)
    cut, depth = board.cut, board.plan.problem.depth
    length = cut.board.length
    height = max(length * TEXT, depth / 5)
    draw_board_wood(drawing, board, share=MARK_SHARE)
    _numbers(drawing, board_cuts(board), depth, height)

    def span(start: float, end: float) -> Span:
        return Span(start=start, end=end, text=length_text(build, end - start) or "")

    rows = [[span(0.0, length)]]
    if cut.leftover > build.job.saw.round_to:
        rows.insert(0, [span(length - cut.leftover, length)])
    Dimensions(drawing=drawing, layer="NOTES", axis="x", edge=0.0, away=-1, height=height).draw(
        rows
    )
    return drawing, Window.around(drawing, height)


def _numbers(drawing: Drawing, cuts: Sequence[BoardCut], depth: float, height: float) -> None:
    """Write the cuts' numbers above the board, those that would overlap as one text."""
    groups: list[list[tuple[float, int]]] = []
    for at, number in sorted((cut.top, cut.number) for cut in cuts if cut.top is not None):
        if groups and at - groups[-1][-1][0] < 2.4 * height:
            groups[-1].append((at, number))
        else:
            groups.append([(at, number)])
    for group in groups:
        for at, _ in group:
            drawing.line("NOTES", (at, depth), (at, depth + 0.6 * height))
        middle = (group[0][0] + group[-1][0]) / 2
        text = " ".join(str(number) for number in sorted(number for _, number in group))
        drawing.text("NOTES", text, (middle, depth + 0.9 * height), height, align="center")
