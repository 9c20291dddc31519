"""The drawings for a CNC router: rings to cut, and the marks to engrave beside them.

The cut layer holds the outline of the face that lies up. Where blade tilt makes the face below
differ, its outline is on a layer of its own. One file holds a part, a board of the plan, or every
stick of a size, each as often as it is cut, one above another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from shapely import Polygon, box

from cutlist.build import Build
from cutlist.export.cnc_dxf import Polyline, polylines_dxf
from cutlist.export.dxf import ascii_text
from cutlist.export.naming import alike_boards, file_names, named_boards
from cutlist.export.strokes import strokes, strokes_width
from cutlist.geometry.relief import relieved
from cutlist.job import CncTable
from cutlist.nest.plan import CutBoard, Plan
from cutlist.nest.problem import Ring
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE, SAME_SHAPE

GAP_MM = 50.0
"""Between the sticks of one size: wide enough for the widest bit that a job may give."""

CUT, FAR, TEXT, BOARD = 7, 5, 3, 1
"""Colour numbers of the format for the layers: white, blue, green, red."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A stick as it lies on the table: the outlines of the face up and of the one below."""

    mark: str
    depth: float
    up: Ring
    down: Ring

    def moved(self, x: float, y: float) -> Blank:
        """Return the stick moved."""
        up, down = (tuple((a + x, b + y) for a, b in ring) for ring in (self.up, self.down))
        return replace(self, up=up, down=down)

    def turned_over(self, width: float) -> Blank:
        """Return the stick with its other face up, on a sheet turned over end for end."""
        up, down = (
            tuple((width - x, y) for x, y in reversed(ring)) for ring in (self.down, self.up)
        )
        return replace(self, up=up, down=down)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """All that is drawn in one file, from (0, 0) to (width, height); a board has its own ring."""

    width: float
    height: float
    blanks: tuple[Blank, ...]
    is_board: bool = False

    def turned_over(self) -> Sheet:
        """Return the sheet seen from its other side, end for end."""
        return replace(self, blanks=tuple(b.turned_over(self.width) for b in self.blanks))


def cnc_files(build: Build) -> dict[str, bytes]:
    """Return every drawing for the CNC by its path; none where the job asks for none."""
    cnc = build.job.cnc
    if cnc is None:
        return {}
    return {
        f"cnc/{name}.dxf": content
        for names, sheet in _sheets(build, cnc)
        for content in [polylines_dxf(cnc.dxf, build.job.units, list(lines_of(sheet, cnc)))]
        for name in names
    }


def _sheets(build: Build, cnc: CncTable) -> Iterator[tuple[list[str], Sheet]]:
    """Return each sheet with the names of the files that hold it."""
    if cnc.files == "part":
        for part in build.parts:
            yield [part.mark], _stacked([part], 0.0)
    elif cnc.files == "size":
        parts = {part.mark: part for part in build.parts}
        names = file_names(plan.problem.size for plan in build.plans)
        for name, plan in zip(names, build.plans, strict=True):
            sticks = [parts[s.mark] for s in plan.problem.sticks for _ in range(s.count)]
            yield [name], _stacked(sticks, build.job.units.from_mm(GAP_MM))
    else:
        for alike in alike_boards(named_boards(build.plans)):
            yield [board.name for board in alike], _board(alike[0].plan, alike[0].cut)


def _stacked(parts: Sequence[Part], gap: float) -> Sheet:
    """Return sticks lying along x, foot at the left, the first of them at the top."""
    steps = [part.stick.depth + gap for part in reversed(parts)]
    bottoms = reversed([0.0, *accumulate(steps[:-1])])
    return Sheet(
        width=max(part.stick.length for part in parts),
        height=sum(steps) - gap,
        blanks=tuple(
            Blank(
                mark=part.mark,
                depth=part.stick.depth,
                up=part.stick.near.points,
                down=part.stick.far.points,
            ).moved(0.0, bottom)
            for part, bottom in zip(parts, bottoms, strict=True)
        ),
    )


def _board(plan: Plan, cut: CutBoard) -> Sheet:
    depth = plan.problem.depth
    return Sheet(
        width=cut.board.length,
        height=depth,
        blanks=tuple(Blank(mark=p.mark, depth=depth, up=p.near, down=p.far) for p in cut.pieces),
        is_board=True,
    )


def lines_of(sheet: Sheet, cnc: CncTable) -> Iterator[Polyline]:
    """Return the polylines of a sheet as it lies on the table, its chosen corner at (0, 0)."""
    if cnc.side == "far":
        sheet = sheet.turned_over()
    left = -sheet.width if cnc.origin.endswith("right") else 0.0
    low = -sheet.height if cnc.origin.startswith("upper") else 0.0
    layers = cnc.layers
    if sheet.is_board:
        edge = box(left, low, left + sheet.width, low + sheet.height)
        yield _ring(layers.board, BOARD, edge.exterior.coords[:-1], None)
    for blank in (blank.moved(left, low) for blank in sheet.blanks):
        yield _ring(layers.cut, CUT, blank.up, cnc.relief)
        if not Polygon(blank.up).equals_exact(Polygon(blank.down), SAME_SHAPE):
            yield _ring(layers.far, FAR, blank.down, cnc.relief)
        if cnc.text == "strokes":
            for stroke in mark_strokes(blank, cnc.relief or 0.0):
                vertices = tuple((x, y, 0.0) for x, y in stroke)
                yield Polyline(layer=layers.text, color=TEXT, vertices=vertices, closed=False)


def _ring(
    layer: str, color: int, ring: Iterable[tuple[float, ...]], tool: float | None
) -> Polyline:
    points = [(x, y) for x, y, *_ in ring]
    vertices = relieved(points, tool / 2 if tool else None)
    return Polyline(layer=layer, color=color, vertices=vertices)


def mark_strokes(blank: Blank, tool: float) -> Iterator[tuple[tuple[float, float], ...]]:
    """Return the strokes of a stick's mark, near its middle, where nothing is cut away."""
    text = ascii_text(blank.mark)
    wood = Polygon(blank.up).intersection(Polygon(blank.down)).buffer(ON_PLANE - tool)
    least, bottom, most, top = wood.bounds
    height = blank.depth / 3
    while height > blank.depth / 50:
        width = strokes_width(text, height)
        y = (bottom + top - height) / 2
        for share in (0.5, 0.45, 0.55, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            x = least + share * (most - least) - width / 2
            clear = height / 4
            if wood.contains(box(x - clear, y - clear, x + width + clear, y + height + clear)):
                yield from strokes(text, (x, y), height)
                return
        height *= 0.8
