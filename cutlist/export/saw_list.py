"""The saw list: every pass of a stop-and-angle saw, board by board.

How to read a row, and how the board lies:

- The board lies on its wide face as on its board drawing: its start at the left, the edge that is
  up in the drawing (the crown edge) against the fence, the drawn face up. It is fed to the left.
- `stop_side` is the side of the blade on which the stop stands, a plate square to the fence and as
  wide as the board, touched by the longest point of the end that is there. Lengths are measured
  from it to the face of the blade that is toward the stop, so the kerf lies behind them.
- `stop_fence`: to where that face, extended if need be, crosses the upper arris at the fence;
  `stop_long_point`: to the furthest point of the pass, the length of what lies between. One is
  negative where the blade runs out at the end itself.
- `miter_deg` is the blade's turn from square; it leans `right` where the cut is further right at
  the fence than at the front. `tilt_deg` is the blade's tilt from square to the wide face; it leans
  `right` where the cut is further right above than below.
- `operation`: `through` parts the board and what is left of the blade, `falls_off`, is free;
  `after` saws the named loose piece further, lying as it lay in the board, and waste falls off;
  `whole` needs no saw. Then, by hand or router, `notch` and `bevel` say what else the piece has.
- `serves` names each end that the pass finishes: a part's head or foot, a plain stick's left or
  right as it is drawn. `leaves` is what is left of the board behind its
  last pass.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from cutlist.build import Build, Cutting
from cutlist.export.draw_part import notch_text
from cutlist.export.naming import NamedBoard, named_boards
from cutlist.export.rows import Row
from cutlist.export.saw_cuts import SawCut, Sawing, Served, saw_board
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE

FURTHEST_TURN, FURTHEST_TILT = 60.0, 48.0
"""How far most saws turn and tilt [deg]: common practice, no source."""

NO_LEAN = 5e-5
"""An angle that is written as zero leans to no side [deg]."""


def saw_list(build: Build) -> Iterator[Row]:
    """Return a row for each pass on each board, then for what is left to do to its pieces."""
    parts = {part.mark: part for part in build.parts}
    return _rows(build.cutting, ("foot", "head"), lambda mark: _further(build, parts[mark]))


def plain_saw_list(cutting: Cutting) -> Iterator[Row]:
    """Return a row for each pass on each board; sticks have nothing but a left and a right end."""
    return _rows(cutting, ("left", "right"), lambda mark: ())


def _rows(
    cutting: Cutting, ends: tuple[str, str], further: Callable[[str], Iterable[Row]]
) -> Iterator[Row]:
    """Return the rows of all boards.

    `ends` names a stick's left and right end as it is drawn; `further` says what a piece of a mark
    needs beside its ends.
    """
    for board in named_boards(cutting.plans):
        sawing = saw_board(board.plan.problem, board.cut)
        marks = [piece.mark for piece in board.cut.pieces]
        work = [
            *_passes(cutting, board, ends, sawing),
            *(
                {"piece": number, "mark": mark, **operation}
                for number, mark in enumerate(marks, start=1)
                for operation in further(mark)
            ),
        ]
        for step, row in enumerate(work, start=1):
            yield {
                "board": board.name,
                "size": board.plan.problem.size,
                "board_length": board.cut.board.length,
                "step": step,
                **row,
            }


def _passes(
    cutting: Cutting, board: NamedBoard, ends: tuple[str, str], sawing: Sawing
) -> Iterator[Row]:
    pieces = board.cut.pieces
    through = [cut for cut in sawing.cuts if not cut.after]
    last = len(pieces) - 1
    behind = _rest(cutting, sawing.leftover)
    if all(cut.piece != last for cut in through):
        # Its end is the board's own: it is what the last pass leaves.
        behind = pieces[last].mark
    if not through:
        yield {"operation": "whole", "piece": 1, "mark": behind}
    for number, cut in enumerate(sawing.cuts, start=1):
        row = _pass(cutting, board, ends, cut)
        yield {**row, "leaves": behind} if number == len(through) else row


def _pass(cutting: Cutting, board: NamedBoard, ends: tuple[str, str], cut: SawCut) -> Row:
    problem = board.plan.problem
    mark = None if cut.piece is None else board.cut.pieces[cut.piece].mark
    fence = cut.from_stop(problem.depth, problem.thickness)
    return {
        "operation": "after" if cut.after else "through",
        "piece": None if cut.piece is None else cut.piece + 1,
        "mark": mark,
        "serves": " and ".join(_end(board, ends, served) for served in cut.serves) or None,
        "stop_side": cut.stop_side,
        "stop_fence": fence,
        "stop_fence_text": cutting.text(fence),
        "stop_long_point": cut.reach,
        "stop_long_point_text": cutting.text(cut.reach),
        "miter_deg": abs(cut.miter),
        "miter_leans": _leans(cut.miter),
        "tilt_deg": abs(cut.tilt),
        "tilt_leans": _leans(cut.tilt),
        "falls_off": "waste" if cut.after or mark is None else mark,
        "note": _note(cut, fence),
    }


def _end(board: NamedBoard, ends: tuple[str, str], served: Served) -> str:
    number, side = served
    piece = board.cut.pieces[number]
    return f"{number + 1} {piece.mark} {ends[(side == 'right') != piece.turned]}"


def _leans(angle: float) -> str | None:
    if abs(angle) < NO_LEAN:
        return None
    return "right" if angle > 0 else "left"


def _note(cut: SawCut, fence: float) -> str | None:
    notes = []
    if fence < 0:
        notes.append("the blade runs out at the end itself: mark it, no stop")
    if abs(cut.miter) > FURTHEST_TURN:
        notes.append("turned further than most saws go: mark it from the pattern, saw it by hand")
    if abs(cut.tilt) > FURTHEST_TILT:
        notes.append("tilted further than most saws go: mark both faces, saw it by hand")
    if not cut.after and not cut.serves:
        notes.append("parts two pieces only; both ends are sawn after it")
    return "; ".join(notes) or None


def _rest(cutting: Cutting, leftover: float) -> str:
    kept = leftover >= cutting.saw.keep_offcut
    return f"{'offcut' if kept else 'waste'} {cutting.text(leftover)}"


def _further(build: Build, part: Part) -> Iterator[Row]:
    """Return what a piece needs beside its ends: its notches and the bevels along it."""
    for notch in part.member.notches:
        if notch.depth > ON_PLANE:
            yield {"operation": "notch", "note": notch_text(build, notch)}
    for plane in part.stick.bevels:
        yield {
            "operation": "bevel",
            "note": f"{plane.name} along the top edge, toward the {plane.side} face, blade "
            f"{plane.tilt:.2f} deg from square, the saw's shoe on that face",
        }
