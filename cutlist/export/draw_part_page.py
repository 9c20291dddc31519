"""One part as a page shows it: whole, its marks lettered, and each end enlarged.

True in proportion and measured by few large texts; the numbers stand in a table beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from cutlist.build import Build
from cutlist.export.dimension import Dimensions, Span
from cutlist.export.draw_part import LAYERS, draw_mark, draw_notch_notes, draw_wood
from cutlist.export.drawing import Drawing, Text
from cutlist.export.rows import length_text
from cutlist.export.svg import Window
from cutlist.export.top_marks import TopMark, top_marks, top_reach
from cutlist.geometry.stick import End, Stick
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE

WHOLE_TEXT, END_TEXT = 1 / 34, 1 / 26
"""Height of the text by the width of what is shown, legible on a phone held upright."""

MARK_SHARE = 0.6
"""Height of the mark by the depth of the wood."""

FOOT_SHARE = 0.6
"""Share of the length told with the foot: birdsmouths of short jacks lie past the middle."""

SQUARE_DEG = 0.005
"""Angles that print as 0.00 are square."""


def draw_whole(build: Build, part: Part) -> tuple[Drawing, Window]:
    """Return the whole part with its lettered marks, over its overall length."""
    stick = part.stick
    height = max(stick.length * WHOLE_TEXT, stick.depth / 5)
    drawing = Drawing(build.job.units, LAYERS)
    draw_wood(drawing, part)
    draw_mark(drawing, part.mark, stick.near.polygon, stick.depth, share=MARK_SHARE)
    _letters(drawing, top_marks(part.member), stick.depth, height)
    text = length_text(build, stick.length) or ""
    Dimensions(drawing=drawing, layer="NOTES", axis="x", edge=0.0, away=-1, height=height).draw(
        [[Span(start=0.0, end=stick.length, text=text)]]
    )
    return drawing, Window.around(drawing, height)


def draw_end(build: Build, part: Part, end: End) -> tuple[Drawing, Window]:
    """Return one end of the part: its angle from square, its notch, its top edge where sawn."""
    stick = part.stick
    first, reach = _reach(stick, end)
    span = max(reach + 1.2 * stick.depth, 2.4 * stick.depth)
    height = span * END_TEXT
    drawing = Drawing(build.job.units, LAYERS)
    draw_wood(drawing, part)
    inward = 1 if end == "foot" else -1
    least, most = sorted((first, first + inward * span))
    border = FOOT_SHARE * stick.length
    mine = (-inf, border) if end == "foot" else (border, inf)
    low = draw_notch_notes(build, drawing, part, height, between=mine)
    top = stick.depth
    if not stick.is_square_to_face:
        top = _top_edge(drawing, stick, height, (least, most))
    shown = [mark for mark in top_marks(part.member) if least - ON_PLANE < mark.x < most + ON_PLANE]
    _letters(drawing, shown, top, height)
    _angle(drawing, stick, end, height)
    written = [x for call in drawing.calls if isinstance(call, Text) for x, _ in call.corners]
    return drawing, Window(
        left=min(least, *written) - height,
        right=max(most, *written) + height,
        bottom=low - height / 2,
        top=top + 2.5 * height,
    )


def _reach(stick: Stick, end: End) -> tuple[float, float]:
    """Return the x at which an end is outermost, and how far in from it the last corner lies."""
    corners = [x for outline in stick.outlines for x, _ in outline.points]
    border = FOOT_SHARE * stick.length
    if end == "foot":
        return 0.0, max(x for x in corners if x <= border)
    return stick.length, stick.length - min(x for x in corners if x > border)


def _letters(drawing: Drawing, marks: Sequence[TopMark], top: float, height: float) -> None:
    """Write the letters of marks above a line, those that would overlap as one text."""
    groups: list[list[TopMark]] = []
    for mark in sorted(marks, key=lambda mark: mark.x):
        if groups and mark.x - groups[-1][-1].x < 1.6 * height:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    for group in groups:
        for mark in group:
            drawing.line("NOTES", (mark.x, top), (mark.x, top + 0.6 * height))
        middle = (group[0].x + group[-1].x) / 2
        letters = " ".join(mark.letter for mark in group)
        drawing.text("NOTES", letters, (middle, top + 0.9 * height), height, align="center")


def _angle(drawing: Drawing, stick: Stick, end: End, height: float) -> None:
    """Draw square beside the end's cut, and write its angles outside."""
    plane = stick.end_planes(end)[0]
    side = 1 if end == "head" else -1
    outer = stick.length if end == "head" else 0.0
    lines = ["square" if plane.miter < SQUARE_DEG else f"{plane.miter:.2f}\N{DEGREE SIGN}"]
    if plane.tilt >= SQUARE_DEG:
        lines.append(f"tilt {plane.tilt:.2f}\N{DEGREE SIGN}")
    if plane.miter >= SQUARE_DEG:
        long_point = max((x for x, _ in stick.near.points), key=lambda x: side * x)
        drawing.line("NOTES", (long_point, -0.4 * height), (long_point, stick.depth + 0.4 * height))
    middle = stick.depth / 2
    for row, line in enumerate(lines):
        place = (
            outer + side * 0.6 * height,
            middle + (len(lines) / 2 - row - 1) * 1.5 * height + 0.25 * height,
        )
        drawing.text("NOTES", line, place, height, align="left" if side > 0 else "right")


def _top_edge(drawing: Drawing, stick: Stick, height: float, between: tuple[float, float]) -> float:
    """Draw the top edge as seen from above over the near face; return where it ends upward."""
    base = stick.depth + 1.2 * height
    reaches = [(stick.thickness - z, top_reach(outline)) for z, outline in stick.levels]
    middle = stick.thickness / 2
    reaches.append((middle, top_reach(stick.middle)))
    reaches = [reach for i, reach in enumerate(sorted(reaches)) if reach not in sorted(reaches)[:i]]
    drawing.ring(
        "OUTLINE",
        [
            *((foot, base + across) for across, (foot, _) in reaches),
            *((head, base + across) for across, (_, head) in reversed(reaches)),
        ],
    )
    least, most = between
    inside = least + (most - least) * (0.7 if least < stick.length - most else 0.3)
    size = min(0.8 * height, 0.7 * stick.thickness)
    drawing.text("NOTES", "top edge", (inside, base + middle), size, align="middle")
    return base + stick.thickness
