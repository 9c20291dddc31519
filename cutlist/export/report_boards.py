"""What a page tells of boards cut alike: the drawing, and every cut in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from cutlist.build import Build
from cutlist.export.draw_board_page import BoardCut, board_cuts, draw_board_page
from cutlist.export.draw_part_page import SQUARE_DEG
from cutlist.export.naming import NamedBoard, names_in_runs
from cutlist.export.report_parts import degrees_text
from cutlist.export.rows import length_text
from cutlist.export.svg import svg
from cutlist.nest.problem import Way

WAYS = {
    Way.AS_DRAWN: "as drawn: foot left, top edge up",
    Way.TURNED: "turned end for end: foot right, top edge up",
    Way.FLIPPED: "top edge down: foot left, other face up",
    Way.ROTATED: "top edge down: foot right, same face up",
}
"""Which way a stick lies, as one looks at the board with its crown edge away from him."""

NOT_THERE = "\N{EN DASH}"
"""For an edge that a cut does not reach."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutWords:
    """One plane to saw in words."""

    number: int
    end: str
    top: str
    bottom: str
    below: bool
    miter: str
    tilt: str
    shared: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWords:
    """One piece and the cuts that make it."""

    mark: str
    way: str
    cuts: tuple[CutWords, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardCard:
    """All that a page shows of boards cut alike."""

    names: str
    count: int
    size: str
    length: str
    source: str
    drawing: Markup
    pieces: tuple[PieceWords, ...]
    leftover: str
    kept: bool


def board_card(build: Build, alike: Sequence[NamedBoard]) -> BoardCard:
    """Return the card of boards cut alike."""
    board = alike[0]
    cut = board.cut

    def text(length: float) -> str:
        return length_text(build, length) or ""

    drawing, window = draw_board_page(build, board)
    cuts = board_cuts(board)
    return BoardCard(
        names=names_in_runs(alike),
        count=len(alike),
        size=board.plan.problem.size,
        length=text(cut.board.length),
        source="from the rack" if cut.board.on_hand else "bought",
        drawing=Markup(svg(drawing, title=f"Board {board.name}", window=window)),
        pieces=tuple(
            PieceWords(
                mark=piece.mark,
                way=WAYS[piece.way],
                cuts=tuple(_cut(build, c) for c in cuts if c.piece is piece),
            )
            for piece in cut.pieces
        ),
        leftover=text(cut.leftover) if cut.leftover > build.job.saw.round_to else "",
        kept=cut.leftover >= build.job.saw.keep_offcut,
    )


def _cut(build: Build, cut: BoardCut) -> CutWords:
    return CutWords(
        number=cut.number,
        end=cut.end,
        top=length_text(build, cut.top) or NOT_THERE,
        bottom=length_text(build, cut.bottom) or NOT_THERE,
        below=cut.below,
        miter="square" if abs(cut.lean) < SQUARE_DEG else degrees_text(abs(cut.lean)),
        tilt=_tilt(cut.tilt),
        shared=cut.shared,
    )


def _tilt(angle: float) -> str:
    if abs(angle) < SQUARE_DEG:
        return ""
    return f"{degrees_text(abs(angle))}, upper face further {'right' if angle > 0 else 'left'}"
