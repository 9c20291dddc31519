"""Dimension lines drawn out of lines and text, so that every reader shows the same numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from cutlist.export.drawing import Align, Drawing, text_width
from cutlist.geometry.outline import Point
from cutlist.tolerance import ON_PLANE

ROW = 2.6
"""Distance from one row of dimensions to the next, in heights of their text."""

SMALLEST = 0.6
"""How far a text is made smaller to fit between its ticks before it is put outside them."""

Axis = Literal["x", "y"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One dimension: from where to where along the axis, and what is written on it."""

    start: float
    end: float
    text: str


def chain(places: Sequence[float], texts: Sequence[str]) -> list[Span]:
    """Return dimensions end to end through the places."""
    return [
        Span(start=start, end=end, text=text)
        for (start, end), text in zip(pairwise(places), texts, strict=True)
    ]


def distinct(*places: float) -> tuple[float, ...]:
    """Return the places in order, those that are the same only once."""
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > ON_PLANE:
            kept.append(place)
    return tuple(kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimensions:
    """Rows of dimensions beside something, the first row nearest to it.

    `axis`: what they measure along. `edge`: where on the other axis the thing ends. `away`: 1 or
    -1, the direction from it. `height`: of the text.
    """

    drawing: Drawing
    layer: str
    axis: Axis
    edge: float
    away: int
    height: float

    def draw(self, rows: Sequence[Sequence[Span]]) -> None:
        """Draw the rows; each extension line is drawn once, as far as the outermost row needs."""
        last = {
            _same(place): number
            for number, row in enumerate(rows)
            for span in row
            for place in (span.start, span.end)
        }
        for number, row in enumerate(rows):
            crossed = [place for place, outermost in last.items() if outermost >= number]
            self._row(row, self._across(number), crossed)
        gap = self.away * self.height / 2
        for place, number in last.items():
            self._line((place, self.edge + gap), (place, self._across(number) + gap))

    def _across(self, number: int) -> float:
        return self.edge + self.away * self.height * ROW * (number + 1)

    def _row(self, row: Sequence[Span], across: float, crossed: Sequence[float]) -> None:
        tick = 0.35 * self.height
        for place in {_same(place): None for span in row for place in (span.start, span.end)}:
            self._line((place - tick, across - tick), (place + tick, across + tick))
        for number, span in enumerate(row):
            self._line((span.start, across), (span.end, across))
            wanted = text_width(span.text, self.height)
            scale = min(1.0, (span.end - span.start - self.height) / wanted)
            is_outer = number in (0, len(row) - 1)
            if scale >= SMALLEST or not is_outer:
                scale = max(scale, SMALLEST / 2)
                self._text(span.text, (span.start + span.end) / 2, across, "center", scale)
                continue
            side = -1 if number == 0 and len(row) > 1 else 1
            end = span.end if side > 0 else span.start
            place = _clear(end, side, wanted + 2 * self.height, crossed)
            if place != end:
                self._line((end, across), (place, across))
            self._text(
                span.text, place + side * self.height, across, "left" if side > 0 else "right"
            )

    def _line(self, start: Point, end: Point) -> None:
        self.drawing.line(self.layer, self._at(start), self._at(end))

    def _text(
        self, text: str, place: float, across: float, align: Align, scale: float = 1.0
    ) -> None:
        """Write above the line, which is to the left of one that is read from the right."""
        turned, up = (0.0, 0.4) if self.axis == "x" else (90.0, -0.4)
        at = self._at((place, across + up * self.height))
        self.drawing.text(self.layer, text, at, self.height * scale, align=align, turned=turned)

    def _at(self, place: Point) -> Point:
        return place if self.axis == "x" else (place[1], place[0])


def _same(place: float) -> float:
    """Return a place such that those meant to be one are one."""
    return round(place / ON_PLANE) * ON_PLANE


def _clear(end: float, side: int, width: float, crossed: Sequence[float]) -> float:
    """Return the first place from `end` to that side beyond which a text crosses no line."""
    stops = sorted((p for p in crossed if (p - end) * side > ON_PLANE), key=lambda p: p * side)
    for stop in stops:
        if abs(stop - end) > width:
            break
        end = stop
    return end
