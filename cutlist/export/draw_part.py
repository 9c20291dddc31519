"""One part at true size: the cut, what to mark on the wood, and what a framer needs to know."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import inf, radians, tan

from shapely import LinearRing, LineString, MultiLineString, Polygon, box, get_parts
from shapely.geometry.base import BaseGeometry

from cutlist.build import Build
from cutlist.export.dimension import ROW, Dimensions, Span, chain
from cutlist.export.drawing import Drawing, Pen, text_width
from cutlist.export.rows import length_text, size_text
from cutlist.geometry.outline import Point
from cutlist.geometry.stick import End
from cutlist.nest.problem import Ring
from cutlist.roof.member import Member, Notch
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE
from cutlist.units import IMPERIAL, format_pitch

LAYERS = {"OUTLINE": Pen.WOOD, "FAR": Pen.FAR, "MARKS": Pen.MARK, "NOTES": Pen.NOTE}


def draw_part(build: Build, part: Part) -> Drawing:
    """Return the drawing of one part as it lies on sawhorses, the near face up."""
    drawing = Drawing(build.job.units, LAYERS)
    draw_wood(drawing, part)
    draw_mark(drawing, part.mark, part.stick.near.polygon, part.stick.depth)
    _notes(build, drawing, part)
    return drawing


def draw_wood(drawing: Drawing, part: Part) -> None:
    """Draw the near face, what differs of the far face, and the heel line."""
    stick = part.stick
    drawing.ring("OUTLINE", stick.near.points)
    for start, end in far_edges(stick.near.points, stick.far.points):
        drawing.line("FAR", start, end)
    heel_line = heel_line_on(part.member)
    if heel_line:
        drawing.line("MARKS", *heel_line)


def far_edges(near: Ring, far: Ring) -> Iterator[tuple[Point, Point]]:
    """Return the edges of the far face, seen through the wood, that the near face has not."""
    if near == far:
        return
    edges = MultiLineString(list(zip(far, far[1:] + far[:1], strict=True)))
    for line in _lines(edges.difference(LinearRing(near).buffer(ON_PLANE))):
        yield from pairwise(line)


def heel_line_on(member: Member) -> tuple[Point, Point] | None:
    """Return the heel line as it is struck on the near face, from its lower to its upper end."""
    if member.heel_line is None:
        return None
    stick = member.stick
    plane = stick.frame.plane_inward(member.heel_line)
    n, offset = plane.normal, plane.offset - plane.normal.z * stick.thickness
    struck = LineString([((offset - n.y * y) / n.x, y) for y in (-stick.depth, 2 * stick.depth)])
    # A hair inside, so that the heel cut, which lies on the same line, is not drawn again.
    lines = _lines(struck.intersection(stick.near.polygon.buffer(-ON_PLANE)))
    if not lines:
        return None
    longest = max(lines, key=lambda line: LineString(line).length)
    return longest[0], longest[-1]


def _lines(shape: BaseGeometry) -> list[list[Point]]:
    return [
        [(x, y) for x, y, *_ in part.coords]
        for part in get_parts(shape)
        if isinstance(part, LineString) and part.length > 10 * ON_PLANE
    ]


def draw_mark(
    drawing: Drawing, mark: str, wood: Polygon, depth: float, *, share: float = 1 / 3
) -> None:
    """Write the mark on the wood, near its middle, where nothing is cut away.

    `share`: its height by the wood's depth; less where there is no room.
    """
    height = share * depth
    least, _, most, _ = wood.bounds
    _, bottom, _, top = wood.bounds
    y = (bottom + top) / 2
    while height > depth / 100:
        half = text_width(mark, height) / 2 + height / 4
        for share in (0.5, 0.45, 0.55, 0.4, 0.6, 0.3, 0.7):
            x = least + share * (most - least)
            if wood.contains(box(x - half, y - 0.75 * height, x + half, y + 0.75 * height)):
                drawing.text("MARKS", mark, (x, y), height, align="middle")
                return
        height *= 0.8


def _notes(build: Build, drawing: Drawing, part: Part) -> None:
    stick, member = part.stick, part.member
    height = max(stick.depth / 5, stick.length / 160)
    below = draw_notch_notes(build, drawing, part, height)
    Dimensions(
        drawing=drawing, layer="NOTES", axis="x", edge=stick.depth, away=1, height=height
    ).draw(list(_rows(build, member)))
    for number, line in enumerate(note_lines(build, part)):
        drawing.text("NOTES", line, (0.0, below - 2 * height * (number + 1)), height)


def _rows(build: Build, member: Member) -> Iterator[list[Span]]:
    """Return the dimensions over the top edge: tail and line length, then the whole length."""
    stick = member.stick

    def text(name: str, length: float) -> str:
        return f"{name} {length_text(build, length)}".strip()

    if member.heel_line is not None:
        heel = stick.top_at(stick.frame.plane_inward(member.heel_line))
        foot, head = heel - member.tail_length, heel + member.line_length
        names = [text("tail", member.tail_length), text("line length", member.line_length)]
        if member.tail_length > ON_PLANE:
            yield chain((foot, heel, head), names)
        else:
            yield chain((heel, head), names[1:])
    yield [Span(start=0.0, end=stick.length, text=text("overall", stick.length))]


def draw_notch_notes(
    build: Build,
    drawing: Drawing,
    part: Part,
    height: float,
    *,
    between: tuple[float, float] = (-inf, inf),
) -> float:
    """Point out the seat and heel of each notch under the part; return where these notes end.

    `between`: the least and the most x of notches that are told.
    """
    stick = part.stick
    low = 0.0
    for notch, cut in zip(part.member.notches, stick.notches, strict=True):
        middles = [
            ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, name, length)
            for plane, name, length in zip(
                cut.planes, ("seat", "heel"), (notch.seat, notch.heel), strict=False
            )
            for start, end in stick.near.segments(plane.name)[:1]
            if between[0] <= start[0] <= between[1]
        ]
        for row, (x, y, name, length) in enumerate(sorted(middles, reverse=True)):
            base = -height * (1.5 + ROW * row)
            drawing.line("NOTES", (x, y), (x, base))
            label = f"{name} {size_text(build, length)}"
            drawing.text("NOTES", label, (x + height / 2, base), height)
            low = min(low, base)
    return low - height


def note_lines(build: Build, part: Part) -> list[str]:
    """Return what is written beside a part, a line each."""
    stick, member = part.stick, part.member
    units = build.job.units

    def text(length: float | None) -> str:
        return length_text(build, length) or ""

    lines = [
        f"{part.mark}: cut {part.count}, {part.role.replace('-', ' ')}, {part.size.name}"
        f" ({text(stick.thickness)} x {text(stick.depth)})",
        f"Cut from a square-ended stick of {text(stick.length)} or more, top edge up",
    ]
    if part.hand:
        lines.append(f"{part.hand.capitalize()} hand: near face up as drawn")
    ends: tuple[tuple[End, str], ...] = (("head", "Head"), ("foot", "Foot"))
    for end, name in ends:
        for plane in stick.end_planes(end):
            lines.append(f"{name}: {plane.name} cut, {angles_text(build, plane.miter, plane.tilt)}")
    for plane in stick.bevels:
        lines.append(f"Top edge, {plane.side} side: {plane.name}, bevel {plane.tilt:.2f} deg")
    for notch in member.notches:
        lines.append(notch_text(build, notch))
    if member.height_above_plate is not None:
        lines.append(
            f"Height above plate {text(member.height_above_plate)}, plumb at the heel line"
        )
    if any(far_edges(stick.near.points, stick.far.points)):
        lines.append("Layer FAR: the far face, where the blade's tilt makes it differ")
    unit = "inches" if units is IMPERIAL else "millimetres"
    lines.append(f"{build.job.name}. True size in {unit}; cut on layer OUTLINE only")
    return lines


def angles_text(build: Build, miter: float, tilt: float) -> str:
    """Return a cut's miter and blade tilt [deg], the miter also as a pitch where in inches."""
    square = "miter 0 deg (square)" if miter < 0.005 else f"miter {miter:.2f} deg"
    if miter >= 0.005 and build.job.units is IMPERIAL and miter < 89:
        square += f" ({format_pitch(tan(radians(miter)), build.job.units)})"
    return f"{square}, blade tilt {tilt:.2f} deg" if tilt >= 0.005 else square


def notch_text(build: Build, notch: Notch) -> str:
    """Return the measures of a notch in one line."""
    seat, heel, depth = (size_text(build, x) for x in (notch.seat, notch.heel, notch.depth))
    name = {"seat": "Birdsmouth"}.get(notch.name, notch.name.replace("-", " ").capitalize())
    heel_text = f"heel {heel} plumb, " if notch.heel > ON_PLANE else ""
    return f"{name}: seat {seat} level, {heel_text}{depth} deep square to the edge"
