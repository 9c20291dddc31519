"""Drawings in DXF, in entities that every reader knows: closed polylines, lines, text, 3D faces.

R2010, ASCII, no blocks and no live dimensions: readers redraw those each by its own rules. The
same calls give the same bytes.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from ezdxf._options import options
from ezdxf.document import Drawing as DXFDocument
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from cutlist.export.drawing import Align, Call, Drawing, Face, Line, Pen, Ring, Text, extents
from cutlist.export.rounding import DXF_PLACES, rounded
from cutlist.units import IMPERIAL

Corner = tuple[float, float, float]

COLOURS = {Pen.WOOD: 7, Pen.STOCK: 1, Pen.MARK: 3, Pen.FAR: 5, Pen.SPACE: 5, Pen.NOTE: 8}
"""Colour numbers of the format."""

ALIGNMENTS: dict[Align, TextEntityAlignment] = {
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


def dxf_bytes(drawing: Drawing) -> bytes:
    """Return the file: every number rounded once, here, and written without an exponent."""
    with fixed_metadata():
        document = new("R2010", units=drawing.units.dxf_code)
    document.header["$MEASUREMENT"] = 0 if drawing.units is IMPERIAL else 1
    for name, pen in drawing.layers.items():
        document.layers.add(name, color=COLOURS[pen])
    space = document.modelspace()
    calls = list(map(_plain, drawing.calls))
    for call in calls:
        _write(space, call)
    low, high = extents(calls)
    text = document_text(document, (low.x, low.y, low.z), (high.x, high.y, high.z))
    return plain_numbers(text, DXF_PLACES[drawing.units.name]).encode("ascii")


def document_text(document: DXFDocument, least: Corner, most: Corner) -> str:
    """Return a document as text that is the same in every run, its view set to what it holds."""
    space = document.modelspace()
    space.reset_extents(least, most)
    space.reset_limits(least[:2], most[:2])
    middle = ((least[0] + most[0]) / 2, (least[1] + most[1]) / 2)
    document.set_modelspace_vport(max(most[1] - least[1], 1.0), middle)
    # Added in the order of a set otherwise, which differs from run to run.
    classes = document.classes
    classes.add_required_classes(document.dxfversion)
    classes.classes = dict(sorted(classes.classes.items()))
    stream = io.StringIO()
    with fixed_metadata():
        document.write(stream)
    return stream.getvalue()


def _plain(call: Call) -> Call:
    return replace(call, text=ascii_text(call.text)) if isinstance(call, Text) else call


def _write(space: Modelspace, call: Call) -> None:
    attributes = {"layer": call.layer}
    match call:
        case Ring():
            space.add_lwpolyline(call.points, close=True, dxfattribs=attributes)
        case Line():
            space.add_line(call.start, call.end, dxfattribs=attributes)
        case Text():
            entity = space.add_text(
                call.text,
                height=call.height,
                dxfattribs={**attributes, "rotation": call.turned},
            )
            entity.set_placement(call.at, align=ALIGNMENTS[call.align])
        case Face():
            corners = [(corner.x, corner.y, corner.z) for corner in call.corners]
            space.add_3dface(corners, dxfattribs=attributes)


@contextmanager
def fixed_metadata() -> Iterator[None]:
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


def plain_numbers(text: str, places: int) -> str:
    """Return a DXF text with all its real numbers rounded, in fixed point, zero without a sign."""
    lines = text.split("\n")
    for i in range(0, len(lines) - 1, 2):
        if lines[i].strip() in _REAL_CODES:
            fixed = f"{rounded(float(lines[i + 1]), places):.{places}f}"
            lines[i + 1] = fixed.rstrip("0") + "0" * fixed.rstrip("0").endswith(".")
    return "\n".join(lines)
