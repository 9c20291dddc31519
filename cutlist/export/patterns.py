"""Patterns at true size: print them, hold them to the wood, mark along them.

Every sheet carries a square and a ruler by which to see that the printer has not scaled it. A
pattern larger than a sheet goes over several, which share a strip; the numbered crosses in it are
laid one on the other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil

from reportlab.lib.units import inch
from shapely import LineString, MultiLineString, box, get_parts
from shapely.ops import polylabel

from cutlist.build import Build
from cutlist.export.pattern_shapes import Kind, Pattern, patterns
from cutlist.export.pdf import BOLD, PLAIN, Document, Size, paper, points, wrapped
from cutlist.geometry.outline import Point
from cutlist.units import IMPERIAL, Units

MARGIN = 0.45 * inch
SHARED = 0.6 * inch
"""Width of the strip that two sheets of one pattern share."""

ROOM_FOR_NAME = 24.0

TITLE, BODY, SMALL = 20.0, 10.0, 8.0
LINE = 1.3
"""Height of a line by the size of its text."""

WIDTHS: dict[Kind, float] = {"cut": 1.4, "edge": 0.5, "far": 1.0, "middle": 0.9, "heel": 0.6}
DASHES: dict[Kind, list[float]] = {
    "cut": [],
    "edge": [],
    "far": [7, 4],
    "middle": [1.5, 2.5],
    "heel": [12, 3, 2, 3],
}
MEASURED = {
    "Head": "Overall length",
    "Foot": "Overall length",
    "Tail": "Tail past the heel line",
    "Birdsmouth": "Heel line from the head, along the top edge at mid-thickness",
}
NOTCH = "Notch's upper end from the head's long point, along the stick"
MOST_PLACES = 6

LEGEND: dict[Kind, str] = {
    "cut": "cut, near face",
    "edge": "edge of the board",
    "far": "cut, far face",
    "middle": "cut, between the faces",
    "heel": "heel line",
}


def patterns_pdf(build: Build) -> bytes:
    """Return patterns.pdf, on Letter where the job is in inches and on A4 in millimetres."""
    units = build.job.units
    document = Document(f"{build.job.name}: patterns", paper(units))
    sheets = [sheet for pattern in patterns(build) for sheet in _sheets(pattern, units)]
    if not sheets:
        document.text("Every cut of this job is square: no patterns.", (MARGIN, MARGIN), TITLE)
        document.canvas.showPage()
    for number, sheet in enumerate(sheets, start=1):
        _Page(document, build, sheet).draw(f"sheet {number} of {len(sheets)}")
    return document.to_bytes()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """How a pattern is laid over sheets of one size, all in PDF units."""

    page: Size
    head: float
    area: Size
    columns: int
    rows: int

    def window(self, column: int, row: int) -> tuple[float, float, float, float]:
        """Return what one sheet shows, in the pattern's coordinates."""
        x, y = column * (self.area[0] - SHARED), row * (self.area[1] - SHARED)
        return x, y, x + self.area[0], y + self.area[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """One sheet of a pattern and which of its neighbours there are."""

    pattern: Pattern
    grid: _Grid
    column: int
    row: int
    taken: frozenset[tuple[int, int]]


def _sheets(pattern: Pattern, units: Units) -> Iterator[_Sheet]:
    """Return the sheets that a pattern needs: upright or across, whichever are fewer."""
    upright = paper(units)
    grids = [_grid(pattern, page, units) for page in (upright, upright[::-1])]
    grid = min(grids, key=lambda g: (len(_taken(pattern, g, units)), g.columns * g.rows))
    taken = _taken(pattern, grid, units)
    for column, row in sorted(taken, key=lambda at: (-at[1], at[0])):
        yield _Sheet(pattern=pattern, grid=grid, column=column, row=row, taken=taken)


def _grid(pattern: Pattern, page: Size, units: Units) -> _Grid:
    wide = page[0] - 2 * MARGIN
    head = len(_heading(pattern, wide)) * BODY * LINE + TITLE * LINE + SMALL * LINE
    head += TITLE * LINE * (len(wrapped(_title(pattern), TITLE, wide, BOLD)) - 1)
    area = wide, page[1] - 2 * MARGIN - head - _check_side(units) - 2.5 * BODY
    _, _, *size = (points(bound, units) for bound in pattern.wood.bounds)
    columns, rows = (
        1 if size[i] <= area[i] else ceil((size[i] - SHARED) / (area[i] - SHARED)) for i in (0, 1)
    )
    return _Grid(page=page, head=head, area=area, columns=columns, rows=rows)


def _taken(pattern: Pattern, grid: _Grid, units: Units) -> frozenset[tuple[int, int]]:
    """Return the places of a grid on which there is more to see than the board's own edges."""
    lines = [_scaled(s.start, s.end, units) for s in pattern.strokes if s.kind != "edge"]
    return frozenset(
        (column, row)
        for column in range(grid.columns)
        for row in range(grid.rows)
        if any(line.intersects(box(*grid.window(column, row))) for line in lines)
    )


def _scaled(start: Point, end: Point, units: Units) -> LineString:
    return LineString([(points(x, units), points(y, units)) for x, y in (start, end)])


def _crosses(
    grid: _Grid, taken: frozenset[tuple[int, int]]
) -> Iterator[tuple[int, Point, set[tuple[int, int]]]]:
    """Return the marks to line up by: number, place in the pattern, the two sheets sharing it."""
    seams = [
        (here, other)
        for here in sorted(taken)
        for other in ((here[0] + 1, here[1]), (here[0], here[1] + 1))
        if other in taken
    ]
    for i, (here, other) in enumerate(seams):
        x0, y0, x1, y1 = grid.window(*here)
        for j, share in enumerate((0.2, 0.5, 0.8)):
            if other[0] > here[0]:
                at = x1 - SHARED / 2, y0 + share * (y1 - y0)
            else:
                at = x0 + share * (x1 - x0), y1 - SHARED / 2
            yield 3 * i + j + 1, at, {here, other}


def _title(pattern: Pattern) -> str:
    return f"{pattern.name}: {_marks(part.mark for part in pattern.parts)}"


def _marks(marks: Iterable[str]) -> str:
    """Return marks as people list them: those that count up by one as the first to the last.

    A long list would leave less of the sheet to the pattern.
    """
    counted = [(*re.split(r"(\d+)", mark), mark) for mark in marks]
    first = [letters for letters, *_ in counted]
    counted.sort(key=lambda m: (first.index(m[0]), m[2], int(m[1])))
    runs: list[list[str]] = []
    for *_, mark in counted:
        if runs and mark == _next(runs[-1][-1]):
            runs[-1].append(mark)
        else:
            runs.append([mark])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def _next(mark: str) -> str:
    return re.sub(r"\d+", lambda number: str(int(number[0]) + 1), mark)


def _heading(pattern: Pattern, width: float) -> list[str]:
    roles = ", ".join(dict.fromkeys(part.role.replace("-", " ") for part in pattern.parts))
    count = sum(part.count for part in pattern.parts)
    texts = [
        f"{roles}, {pattern.parts[0].size.name}, {count} to cut; near face up, foot at the left",
        *pattern.notes,
        f"{MEASURED.get(pattern.name, NOTCH)}: {_places(pattern)}",
    ]
    return [line for text in texts for line in wrapped(text, BODY, width)]


def _places(pattern: Pattern) -> str:
    """Return where the parts have the pattern, or where to read it if there are too many."""
    by_place: dict[str, list[str]] = {}
    for part, place in zip(pattern.parts, pattern.places, strict=True):
        by_place.setdefault(place, []).append(part.mark)
    if len(by_place) == 1:
        return next(iter(by_place))
    if len(by_place) > MOST_PLACES:
        return "as in the cut list"
    return ", ".join(f"{_marks(marks)} {place}" for place, marks in by_place.items())


def _check_side(units: Units) -> float:
    """Return the side of the check square: 1 in or 25 mm [PDF units]."""
    return points(1.0 if units is IMPERIAL else 25.0, units)


class _Page:
    """One sheet on its way to paper."""

    def __init__(self, document: Document, build: Build, sheet: _Sheet) -> None:
        self._document, self._build, self._sheet = document, build, sheet
        self._canvas = document.canvas
        self._units = build.job.units
        self._window = sheet.grid.window(sheet.column, sheet.row)
        width, height = sheet.grid.page
        self._width = width
        self._top = height - MARGIN
        # Where the window's lower left corner lies on paper.
        self._x, self._y = MARGIN, MARGIN + _check_side(self._units) + 2.5 * BODY

    def draw(self, place: str) -> None:
        """Draw the whole sheet."""
        self._canvas.setPageSize(self._sheet.grid.page)
        self._heading(place)
        self._strokes()
        self._names()
        for number, at, sheets in _crosses(self._sheet.grid, self._sheet.taken):
            if (self._sheet.column, self._sheet.row) in sheets:
                self._cross(number, at)
        self._scale()
        self._canvas.showPage()

    def _heading(self, place: str) -> None:
        grid, wide = self._sheet.grid, self._width - 2 * MARGIN
        y = self._top
        for line in wrapped(_title(self._sheet.pattern), TITLE, wide, BOLD):
            y -= TITLE
            self._document.text(line, (MARGIN, y), TITLE, width=wide, font=BOLD)
            y -= TITLE * (LINE - 1)
        for line in _heading(self._sheet.pattern, wide):
            y -= BODY * LINE
            self._document.text(line, (MARGIN, y), BODY, width=wide)
        where = f"{self._build.job.name}, {place}"
        if grid.columns * grid.rows > 1:
            where += (
                f"; this pattern's column {self._sheet.column + 1} of {grid.columns}, row "
                f"{grid.rows - self._sheet.row} of {grid.rows}: lay equal crosses on each other"
            )
        self._document.text(where, (MARGIN, y - SMALL * LINE), SMALL, width=wide, least=SMALL)

    def _strokes(self) -> None:
        shown = box(*self._window)
        kinds = []
        for stroke in self._sheet.pattern.strokes:
            line = _scaled(stroke.start, stroke.end, self._units).intersection(shown)
            if not isinstance(line, LineString) or line.length < 1e-3:
                continue
            self._pen(stroke.kind)
            (ax, ay), (bx, by) = (self._on_paper((x, y)) for x, y in line.coords)
            self._canvas.line(ax, ay, bx, by)
            kinds.append(stroke.kind)
        self._legend([kind for kind in LEGEND if kind in kinds])

    def _pen(self, kind: Kind) -> None:
        self._canvas.setLineWidth(WIDTHS[kind])
        self._canvas.setDash(DASHES[kind])

    def _legend(self, kinds: list[Kind]) -> None:
        y = self._y - 1.6 * BODY
        step = (self._width - 2 * MARGIN) / max(4, len(kinds))
        for i, kind in enumerate(kinds):
            x = MARGIN + i * step
            self._pen(kind)
            self._canvas.line(x, y + 3, x + 26, y + 3)
            self._document.text(LEGEND[kind], (x + 30, y), SMALL, width=step - 34, least=5)
        self._canvas.setDash()

    def _names(self) -> None:
        """Name the pattern inside the wood, so that it is known once it is cut out."""
        pattern = self._sheet.pattern
        scale = points(1.0, self._units)
        x0, y0, x1, y1 = (edge / scale for edge in self._window)
        strokes = MultiLineString([(s.start, s.end) for s in pattern.strokes])
        free = pattern.wood.intersection(box(x0, y0, x1, y1)) - strokes.buffer(1 / scale)
        parts = (part for part in get_parts(free) if not part.is_empty)
        spots = [polylabel(part, tolerance=4 / scale) for part in parts]
        spot = max(spots, key=free.boundary.distance, default=None)
        room = 0.0 if spot is None else free.boundary.distance(spot) * scale
        if spot is None or room < ROOM_FOR_NAME:
            return
        x, y = self._on_paper((spot.x * scale, spot.y * scale))
        marks = [part.mark for part in pattern.parts]
        name = marks[0] if len(marks) == 1 else f"{marks[0]} and {len(marks) - 1} more"
        lines = (pattern.name, BOLD, 13.0), (name, BOLD, 13.0), ("top edge up", PLAIN, 8.0)
        for i, (text, font, size) in enumerate(lines):
            self._document.text(
                text, (x, y + 8 - 14 * i), size, width=2 * room, font=font, least=6, align="center"
            )

    def _cross(self, number: int, at: Point) -> None:
        x, y = self._on_paper(at)
        self._canvas.setLineWidth(0.4)
        self._canvas.line(x - 9, y, x + 9, y)
        self._canvas.line(x, y - 9, x, y + 9)
        self._canvas.circle(x, y, 5)
        self._document.text(str(number), (x + 7, y + 7), BODY, font=BOLD)

    def _scale(self) -> None:
        """Draw the check square and the ruler."""
        side = _check_side(self._units)
        self._canvas.setLineWidth(0.8)
        self._canvas.rect(MARGIN, MARGIN, side, side)
        imperial = self._units is IMPERIAL
        size = "1 in" if imperial else "25 mm"
        self._document.text(size, (MARGIN + side / 2, MARGIN + side / 2 - 4), 12, align="center")
        x, y = MARGIN + side + 16, MARGIN + 2
        # Steps of the ruler by the number of the finest ones, and how many there are.
        step, count = (0.125, 48) if imperial else (1.0, 150)
        heights = {1: 7.0, 2: 10.0, 4: 14.0, 8: 22.0} if imperial else {1: 6.0, 5: 10.0, 10: 18.0}
        self._canvas.setLineWidth(0.5)
        self._canvas.line(x, y, x + points(step * count, self._units), y)
        for tick in range(count + 1):
            at = x + points(step * tick, self._units)
            height = max(h for every, h in heights.items() if tick % every == 0)
            self._canvas.line(at, y, at, y + height)
            if tick % max(heights) == 0 and (imperial or tick % 20 == 0):
                number = f"{tick // 8}" if imperial else f"{tick}"
                self._document.text(number, (at, y + max(heights.values()) + 2), 8, align="center")
        unit = "inches" if imperial else "millimetres"
        advice = (
            f"Print at 100 %, not fitted to the page. Measure the square and the ruler ({unit})"
        )
        room = self._width - MARGIN - x
        for i, line in enumerate((advice, "first: if either is off, so is the pattern.")):
            self._document.text(line, (x, y + side - 10 - 12 * i), 9, width=room, least=6)

    def _on_paper(self, at: Point) -> Point:
        return self._x + at[0] - self._window[0], self._y + at[1] - self._window[1]
