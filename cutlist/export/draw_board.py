"""One board with the parts nested on it, the kerf between them."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import Polygon

from cutlist.build import Cutting
from cutlist.export.dimension import ROW, Dimensions, Span
from cutlist.export.draw_part import draw_mark, far_edges
from cutlist.export.drawing import Drawing, Pen
from cutlist.export.naming import NamedBoard, names_in_runs
from cutlist.tolerance import ON_PLANE

LAYERS = {"BOARD": Pen.STOCK, "OUTLINE": Pen.WOOD, "MARKS": Pen.MARK, "NOTES": Pen.NOTE}


def draw_board(cutting: Cutting, alike: Sequence[NamedBoard]) -> Drawing:
    """Return the drawing of boards cut alike, as one lies on the bench, crown edge up.

    The one drawing names them all, so a saw's stops are set once for the set.
    """
    board = alike[0]
    drawing = Drawing(cutting.units, LAYERS)
    cut, depth = board.cut, board.plan.problem.depth
    length = cut.board.length
    draw_board_wood(drawing, board)
    height = max(depth / 5, length / 160)

    text = cutting.text

    def spans(start: float, end: float, name: str) -> list[Span]:
        return [Span(start=start, end=end, text=f"{name} {text(end - start)}")]

    sides = [
        Dimensions(drawing=drawing, layer="NOTES", axis="x", edge=edge, away=away, height=height)
        for edge, away in ((depth, 1), (0.0, -1))
    ]
    # Neighbours interlock, so their extents overlap: they are measured on alternate sides.
    for side, pieces in zip(sides, (cut.pieces[::2], cut.pieces[1::2]), strict=True):
        row = [span for p in pieces for span in spans(p.start, p.end, p.mark)]
        side.draw([row])
    saw = cutting.saw
    source = "on hand" if cut.board.on_hand else "to buy"
    lines = [
        f"{names_in_runs(alike)}: {board.plan.problem.size}, {text(length)} {source}",
        "From the left end: "
        + ", ".join(p.mark + (" turned" if p.turned else "") for p in cut.pieces),
        f"Saw kerf {text(saw.kerf)}, {text(saw.end_trim)} trimmed off each end, "
        f"{text(cut.leftover)} left over",
        f"{cutting.name}. True size; cut on layer OUTLINE only"
        + (", top edges to the crown" if saw.crown_up else ""),
    ]
    top = -height * (ROW + 1)
    for number, line in enumerate(lines):
        drawing.text("NOTES", line, (0.0, top - 2 * height * (number + 0.5)), height)
    return drawing


def draw_board_wood(drawing: Drawing, board: NamedBoard, *, share: float = 1 / 3) -> None:
    """Draw the board and its pieces; `share` is the height of their marks by the wood's depth."""
    cut, depth = board.cut, board.plan.problem.depth
    length = cut.board.length
    drawing.ring("BOARD", ((0.0, 0.0), (length, 0.0), (length, depth), (0.0, depth)))
    for piece in cut.pieces:
        drawing.ring("OUTLINE", piece.near)
        for start, end in far_edges(piece.near, piece.far):
            # Along the board's edges it would run over what its neighbours draw there.
            if abs(start[1] - end[1]) > ON_PLANE:
                drawing.line("NOTES", start, end)
        draw_mark(drawing, piece.mark, Polygon(piece.near), depth, share=share)
