"""Drawings in DXF, in entities that every reader knows: closed polylines, lines, text, 3D faces.

R2010, ASCII, no blocks and no live dimensions: readers redraw those each by its own rules. The
same calls give the same bytes.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from math import cos, radians, sin

from ezdxf._options import options
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from cutlist.export.rounding import DXF_PLACES, rounded
from cutlist.geometry.outline import Point
from cutlist.geometry.space import Vector
from cutlist.units import IMPERIAL, Units

TEXT_WIDTH = 0.9
"""Width of a character by its height, for keeping text clear of things; fonts differ."""

WHITE, RED, GREEN, BLUE, GREY = 7, 1, 3, 5, 8
"""Colour numbers of the format."""

ALIGNMENTS = {
    "left": TextEntityAlignment.LEFT,
    "right": TextEntityAlignment.RIGHT,
    "center": TextEntityAlignment.CENTER,
    "middle": TextEntityAlignment.MIDDLE_CENTER,
}

_ASCII = {
    "\N{DEGREE SIGN}": " deg",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{FRACTION SLASH}": "/",
    "\N{PRIME}": "'",
    "\N{DOUBLE PRIME}": '"',
    "\N{LATIN SMALL LETTER SHARP S}": "ss",
    # Control codes of the format itself: ^J breaks a line, \U+ starts a code, %%u underlines.
    "^": " ",
    "\\": "/",
}


def ascii_text(text: str) -> str:
    """Return text as a TEXT entity may hold it: one line of ASCII, nothing in it a control code.

    Accents are dropped; a character that has no plain form becomes a question mark.
    """
    mapped = "".join(_ASCII.get(character, character) for character in text)
    plain = unicodedata.normalize("NFKD", mapped)
    shown = (c for c in plain if not unicodedata.combining(c))
    line = "".join(_ASCII.get(c, c) if c.isprintable() else " " for c in shown)
    while "%%" in line:
        line = line.replace("%%", "% %")
    return line.encode("ascii", "replace").decode()


class Drawing:
    """A drawing that is being made: a pen with layers, in the job's unit."""

    def __init__(self, units: Units, layers: Mapping[str, int]) -> None:
        """Start a drawing with these layers, each with its colour number."""
        with _fixed_metadata():
            self._document = new("R2010", units=units.dxf_code)
        self._document.header["$MEASUREMENT"] = 0 if units is IMPERIAL else 1
        for name, color in layers.items():
            self._document.layers.add(name, color=color)
        self._space = self._document.modelspace()
        self._places = DXF_PLACES[units.name]
        self._seen: list[tuple[float, float, float]] = []

    def ring(self, layer: str, points: Iterable[Point]) -> None:
        """Draw a closed polyline; its first point is not repeated."""
        points = list(points)
        self._see(points)
        self._space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})

    def line(self, layer: str, start: Point, end: Point) -> None:
        """Draw a straight line."""
        self._see((start, end))
        self._space.add_line(start, end, dxfattribs={"layer": layer})

    def text(
        self,
        layer: str,
        text: str,
        at: Point,
        height: float,
        *,
        align: str = "left",
        turned: float = 0.0,
    ) -> None:
        """Write one line of text at a point of its base line (its very middle for `middle`).

        `align` is a key of ALIGNMENTS; `turned` is counter-clockwise [deg].
        """
        plain = ascii_text(text)
        attributes = {"layer": layer, "rotation": turned}
        entity = self._space.add_text(plain, height=height, dxfattribs=attributes)
        entity.set_placement(at, align=ALIGNMENTS[align])
        before = {"left": 0.0, "right": 1.0}.get(align, 0.5) * text_width(plain, height)
        after = text_width(plain, height) - before
        x, y, low = cos(radians(turned)), sin(radians(turned)), -height / 2 * (align == "middle")
        self._see(
            (at[0] + along * x - up * y, at[1] + along * y + up * x)
            for along in (-before, after)
            for up in (low, low + height)
        )

    def face(self, layer: str, corners: Iterable[Vector]) -> None:
        """Draw a flat face of three or four corners in space."""
        points = [(corner.x, corner.y, corner.z) for corner in corners]
        self._seen += points
        self._space.add_3dface(points, dxfattribs={"layer": layer})

    def to_bytes(self) -> bytes:
        """Return the file: every number rounded once, here, and written without an exponent."""
        least, most = ([f(axis) for axis in zip(*self._seen, strict=True)] for f in (min, max))
        self._space.reset_extents(least, most)
        self._space.reset_limits(least[:2], most[:2])
        middle = ((least[0] + most[0]) / 2, (least[1] + most[1]) / 2)
        self._document.set_modelspace_vport(max(most[1] - least[1], 1.0), middle)
        stream = io.StringIO()
        with _fixed_metadata():
            self._document.write(stream)
        return _plain_numbers(stream.getvalue(), self._places).encode("ascii")

    def _see(self, points: Iterable[Point]) -> None:
        self._seen += [(x, y, 0.0) for x, y in points]


def text_width(text: str, height: float) -> float:
    """Return about how wide a line of text is."""
    return len(text) * height * TEXT_WIDTH


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Leave time stamps and random identifiers out of a document while it is made or written."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


# Group codes of real numbers, from the DXF reference.
_REAL_CODES = frozenset(
    code
    for first, last in ((10, 59), (110, 149), (210, 239), (460, 469), (1010, 1059))
    for code in map(str, range(first, last + 1))
)


def _plain_numbers(text: str, places: int) -> str:
    """Return a DXF text with all its real numbers rounded, in fixed point, zero without a sign."""
    lines = text.split("\n")
    for i in range(0, len(lines) - 1, 2):
        if lines[i].strip() in _REAL_CODES:
            fixed = f"{rounded(float(lines[i + 1]), places):.{places}f}"
            lines[i + 1] = fixed.rstrip("0") + "0" * fixed.rstrip("0").endswith(".")
    return "\n".join(lines)
