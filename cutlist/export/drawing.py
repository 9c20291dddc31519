"""A drawing as it is asked for: a pen with layers that records its calls, in the job's unit.

What draws does not know in which format it will be written; `dxf` and `svg` write the same calls.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from math import cos, radians, sin
from typing import Literal

from cutlist.geometry.outline import Point
from cutlist.geometry.space import Vector
from cutlist.units import Units

TEXT_WIDTH = 0.9
"""Width of a character by its height, for keeping text clear of things; fonts differ."""

Align = Literal["left", "right", "center", "middle"]


class Pen(Enum):
    """What a line of a drawing means; a format gives each its own look."""

    WOOD = "wood"
    """The cut edge of wood."""
    STOCK = "stock"
    """What is there already: boards to cut from, plates and posts."""
    MARK = "mark"
    """What is drawn on the wood."""
    FAR = "far"
    """An edge behind the wood."""
    SPACE = "space"
    """A face in space."""
    NOTE = "note"
    """Dimensions and text."""


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed polyline; its first point is not repeated."""

    layer: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    layer: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text at a point of its base line (its very middle for `middle`).

    `height` is that of a capital; `turned` is counter-clockwise [deg].
    """

    layer: str
    text: str
    at: Point
    height: float
    align: Align
    turned: float

    @property
    def corners(self) -> tuple[Point, ...]:
        """The corners of about the room that the text takes."""
        width = text_width(self.text, self.height)
        before = {"left": 0.0, "right": 1.0}.get(self.align, 0.5) * width
        x, y = cos(radians(self.turned)), sin(radians(self.turned))
        low = -self.height / 2 * (self.align == "middle")
        return tuple(
            (self.at[0] + along * x - up * y, self.at[1] + along * y + up * x)
            for along in (-before, width - before)
            for up in (low, low + self.height)
        )


@dataclass(frozen=True, slots=True)
class Face:
    """A flat face of three or four corners in space."""

    layer: str
    corners: tuple[Vector, ...]


Call = Ring | Line | Text | Face


class Drawing:
    """A drawing that is being made; `layers` gives each layer its pen."""

    def __init__(self, units: Units, layers: Mapping[str, Pen]) -> None:
        """Start an empty drawing."""
        self.units = units
        self.layers = dict(layers)
        self.calls: list[Call] = []

    def ring(self, layer: str, points: Iterable[Point]) -> None:
        """Draw a closed polyline; its first point is not repeated."""
        self.calls.append(Ring(layer, tuple(points)))

    def line(self, layer: str, start: Point, end: Point) -> None:
        """Draw a straight line."""
        self.calls.append(Line(layer, start, end))

    def text(
        self,
        layer: str,
        text: str,
        at: Point,
        height: float,
        *,
        align: Align = "left",
        turned: float = 0.0,
    ) -> None:
        """Write one line of text."""
        self.calls.append(Text(layer, text, at, height, align, turned))

    def face(self, layer: str, corners: Iterable[Vector]) -> None:
        """Draw a flat face of three or four corners in space."""
        self.calls.append(Face(layer, tuple(corners)))


def text_width(text: str, height: float) -> float:
    """Return about how wide a line of text is."""
    return len(text) * height * TEXT_WIDTH


def extents(calls: Iterable[Call]) -> tuple[Vector, Vector]:
    """Return the least and the most coordinates of all that is drawn, texts included."""
    seen: list[Vector] = []
    for call in calls:
        match call:
            case Face():
                seen += call.corners
            case Ring(points=points) | Text(corners=points):
                seen += [Vector(x, y, 0.0) for x, y in points]
            case Line():
                seen += [Vector(x, y, 0.0) for x, y in (call.start, call.end)]
    least, most = (
        Vector(pick(p.x for p in seen), pick(p.y for p in seen), pick(p.z for p in seen))
        for pick in (min, max)
    )
    return least, most
