"""The rows of every table, as plain values in the job's unit, not rounded.

Tables and programs are given the same rows; each rounds once as it writes them. The columns are a
contract: they keep their names and order, and new ones come last.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from cutlist.build import Build, Cutting
from cutlist.export.naming import named_boards
from cutlist.geometry.stick import CutPlane, End
from cutlist.nest.plan import Plan
from cutlist.nest.problem import Board
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE, SAME_ON_TAPE
from cutlist.units import COINS

Value = str | float | int | None
Row = Mapping[str, Value]


def length_text(build: Build, length: float | None) -> str | None:
    """Return a length as people read it, in steps of the job's `round_to`."""
    if length is None:
        return None
    return build.cutting.text(length)


def size_text(build: Build, length: float) -> str:
    """Return the size of something as people read it; what is there is never told as nothing."""
    step = build.job.saw.round_to
    if ON_PLANE < length < SAME_ON_TAPE * step:
        return f"less than {build.cutting.text(step)}"
    return build.cutting.text(length)


def marks_of_members(build: Build) -> dict[int, str]:
    """Return the mark of each member, by the member's identity."""
    return {id(member): part.mark for part in build.parts for member in part.members}


def cut_list(build: Build) -> Iterator[Row]:
    """Return a row for each distinct part."""
    for part in build.parts:
        yield cut_list_row(build, part)


def cut_list_row(build: Build, part: Part) -> Row:
    """Return the measures of one part; what it does not have is left blank."""
    member, stick = part.member, part.stick
    tail = member.tail_length if member.heel_line else None
    notch = member.notches[0] if member.notches else None
    head, foot = _end_plane(part, "head"), _end_plane(part, "foot")
    return {
        "mark": part.mark,
        "role": part.role,
        "count": part.count,
        "size": part.size.name,
        "thickness": stick.thickness,
        "depth": stick.depth,
        "length": stick.length,
        "length_text": length_text(build, stick.length),
        "line_length": member.line_length,
        "line_length_text": length_text(build, member.line_length),
        "tail_length": tail,
        "tail_length_text": length_text(build, tail),
        "head_cut": member.head_cut,
        "head_miter_deg": head.miter,
        "head_tilt_deg": head.tilt,
        "foot_cut": member.foot_cut,
        "foot_miter_deg": foot.miter,
        "foot_tilt_deg": foot.tilt,
        "seat_length": notch.seat if notch else None,
        "heel_height": notch.heel if notch else None,
        "notch_depth": notch.depth if notch else None,
        "height_above_plate": member.height_above_plate,
        "hand": part.hand,
    }


def _end_plane(part: Part, end: End) -> CutPlane:
    """Return the first plane of an end: the one that the others only trim further."""
    return part.stick.end_planes(end)[0]


def lumber_order(cutting: Cutting) -> Iterator[Row]:
    """Return a row for each size and length: what to buy, then what to take from the rack."""
    for plan in cutting.plans:
        counts = Counter(cut.board for cut in plan.boards)
        for board in sorted(counts, key=lambda board: (board.on_hand, board.length)):
            price = unit_price(plan, board)
            yield {
                "size": plan.problem.size,
                "length": board.length,
                "length_text": cutting.text(board.length),
                "count": counts[board],
                "source": "on-hand" if board.on_hand else "buy",
                "unit_price": price,
                "cost": None if price is None else counts[board] * price,
            }


def unit_price(plan: Plan, board: Board) -> float | None:
    """Return what one board costs in money; None where the job gives no prices."""
    return plan.problem.cost(board) / COINS if plan.problem.priced else None


def board_plan(cutting: Cutting) -> Iterator[Row]:
    """Return a row for each piece, in cutting order from the board's start."""
    for board in named_boards(cutting.plans):
        for number, piece in enumerate(board.cut.pieces, start=1):
            yield {
                "board": board.name,
                "size": board.plan.problem.size,
                "board_length": board.cut.board.length,
                "piece": number,
                "mark": piece.mark,
                "start": piece.start,
                "end": piece.end,
                "turned": "yes" if piece.turned else "no",
                "leftover": board.cut.leftover,
                "start_text": cutting.text(piece.start),
                "end_text": cutting.text(piece.end),
                "leftover_text": cutting.text(board.cut.leftover),
                "way": piece.way.value,
            }


def layout(build: Build) -> Iterator[Row]:
    """Return a row for each mark on a plate, ridge or ledger, numbered from the line's start.

    `edge` is the side of the member toward the start: where the tape is read and the line struck.
    """
    marks = marks_of_members(build)
    numbers: Counter[str] = Counter()
    on_post = {True: "yes", False: "no", None: None}
    for mark in build.roof.marks:
        numbers[mark.line] += 1
        yield {
            "line": mark.line,
            "number": numbers[mark.line],
            "center": mark.center,
            "center_text": length_text(build, mark.center),
            "edge": mark.edge,
            "edge_text": length_text(build, mark.edge),
            "role": mark.member.role,
            "mark": marks[id(mark.member)],
            "on_post": on_post[mark.over_post],
        }


def checks(build: Build) -> Iterator[Row]:
    """Return a row for each finding, in the order in which the checks are told."""
    for finding in build.findings:
        yield {
            "check": finding.check,
            "subject": finding.subject,
            "value": finding.value,
            "limit": finding.limit,
            "result": finding.result,
            "source": finding.source,
            "advice": finding.advice,
        }
