"""Drawings in SVG, to stand inside a page: the same calls as in DXF, looks left to style sheets.

Every shape has its pen as class, such as `wood`. Widths of lines do not grow with the drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from cutlist.export.drawing import Call, Drawing, Face, Line, Ring, Text, extents
from cutlist.export.rounding import rounded
from cutlist.geometry.outline import Point

CAPITAL = 0.72
"""Height of a capital by the size of its font, as in most fonts without serifs."""

_PLACES = {"imperial": 3, "metric": 1}
_ANCHORS = {"left": "start", "right": "end", "center": "middle", "middle": "middle"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """What is shown of a drawing, in its own coordinates."""

    left: float
    bottom: float
    right: float
    top: float

    @classmethod
    def around(cls, drawing: Drawing, margin: float) -> Window:
        """Return the window that shows all of a drawing."""
        least, most = extents(drawing.calls)
        return cls(
            left=least.x - margin,
            bottom=least.y - margin,
            right=most.x + margin,
            top=most.y + margin,
        )


def svg(drawing: Drawing, *, title: str, window: Window, turned: bool = False) -> str:
    """Return an `svg` element that shows a window of a drawing, as wide as its place allows.

    `turned`: a quarter turn clockwise, for a screen that is taller than wide.
    """
    writer = _Writer(drawing)
    left, bottom, right, top = (
        writer.number(n) for n in (window.left, window.bottom, window.right, window.top)
    )
    width, height = right - left, top - bottom
    body = "".join(map(writer.element, drawing.calls))
    if turned:
        # x right and y down become y down and x left.
        box = f"{bottom:g} {left:g} {height:g} {width:g}"
        body = f'<g transform="rotate(90)">{body}</g>'
    else:
        box = f"{left:g} {-top:g} {width:g} {height:g}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="{box}">'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


@dataclass(frozen=True, slots=True)
class _Writer:
    drawing: Drawing

    def element(self, call: Call) -> str:
        """Return one call as an element; y runs down in this format."""
        match call:
            case Ring(layer, points):
                drawn = " ".join(map(self.point, points))
                return f'<polygon class="{self.pen(layer)}" points="{drawn}"/>'
            case Line(layer, start, end):
                return (
                    f'<path class="{self.pen(layer)}" d="M{self.point(start)} {self.point(end)}"/>'
                )
            case Text():
                return self.text(call)
            case Face():
                raise ValueError("a face in space has to be projected before it is drawn flat")

    def text(self, call: Text) -> str:
        x, y = self.point(call.at).split(",")
        size = self.number(call.height / CAPITAL)
        turn = f' transform="rotate({-call.turned:g} {x} {y})"' if call.turned else ""
        down = f' dy="{self.number(call.height / 2):g}"' if call.align == "middle" else ""
        return (
            f'<text class="{self.pen(call.layer)}" x="{x}" y="{y}"{down} font-size="{size:g}"'
            f' text-anchor="{_ANCHORS[call.align]}"{turn}>{escape(call.text)}</text>'
        )

    def point(self, at: Point) -> str:
        return f"{self.number(at[0]):.10g},{self.number(-at[1]):.10g}"

    def number(self, number: float) -> float:
        return rounded(number, _PLACES[self.drawing.units.name])

    def pen(self, layer: str) -> str:
        return self.drawing.layers[layer].value
