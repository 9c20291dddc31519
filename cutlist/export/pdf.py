"""Paper: PDF pages that print at true size, in fonts that travel with them.

The fonts are the Bitstream Vera that come with the PDF library. The same calls give the same bytes.
"""

from __future__ import annotations

import io
from functools import cache

from reportlab.lib.units import inch, mm
from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from cutlist.export.dxf import ascii_text
from cutlist.units import IMPERIAL, Units

Size = tuple[float, float]

PLAIN, BOLD = "Vera", "VeraBd"
ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"

POINTS_PER_UNIT = {"imperial": inch, "metric": mm}
"""PDF units in one unit of the job: a PDF's own are 1/72 in (ISO 32000-1, 8.3.2.3)."""


def points(length: float, units: Units) -> float:
    """Return a length of the job in PDF units, at true size."""
    return length * POINTS_PER_UNIT[units.name]


def paper(units: Units) -> Size:
    """Return the sheet that printers in a unit system hold, upright: Letter or A4 [PDF units]."""
    return (8.5 * inch, 11 * inch) if units is IMPERIAL else (210 * mm, 297 * mm)


class Document:
    """A PDF that is being drawn, page by page; `canvas` is the library's own."""

    def __init__(self, title: str, size: Size) -> None:
        """Start a document whose pages have this size until told otherwise [PDF units]."""
        _register_fonts()
        self._buffer = io.BytesIO()
        self.canvas = Canvas(self._buffer, pagesize=size, invariant=1)
        self.canvas.setTitle(printable(title))
        # Or the print dialog may shrink pages to the printer's margins.
        self.canvas.setViewerPreference("PrintScaling", "None")

    def to_bytes(self) -> bytes:
        """Return the finished file."""
        self.canvas.save()
        return self._buffer.getvalue()

    def text(
        self,
        text: str,
        at: tuple[float, float],
        size: float,
        *,
        width: float = float("inf"),
        font: str = PLAIN,
        least: float | None = None,
        align: str = "left",
    ) -> None:
        """Write one line at a point of its base line, no wider than a width.

        It is written smaller, down to `least`, and then cut short, until it fits.
        """
        shown, size = fitted(text, size, width, font, size if least is None else least)
        self.canvas.setFont(font, size)
        draw = {
            "left": self.canvas.drawString,
            "right": self.canvas.drawRightString,
            "center": self.canvas.drawCentredString,
        }[align]
        draw(*at, shown)


def fitted(text: str, size: float, width: float, font: str, least: float) -> tuple[str, float]:
    """Return a text and the size at which it is no wider than a width, cut short if it must be."""
    _register_fonts()
    shown = printable(text)
    wide = stringWidth(shown, font, size)
    if wide <= width:
        return shown, size
    if size * width / wide >= least:
        return shown, size * width / wide
    size = least
    while shown and stringWidth(shown + ELLIPSIS, font, size) > width:
        shown = shown[:-1].rstrip()
    return shown + ELLIPSIS, size


def wrapped(text: str, size: float, width: float, font: str = PLAIN) -> list[str]:
    """Return a text in lines no wider than a width, broken at spaces."""
    _register_fonts()
    lines: list[str] = []
    for word in printable(text).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and stringWidth(longer, font, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def printable(text: str) -> str:
    """Return text in characters that the fonts have; others in their nearest plain form."""
    glyphs = _register_fonts()
    return "".join(
        character if ord(character) in glyphs and character.isprintable() else ascii_text(character)
        for character in text
    )


@cache
def _register_fonts() -> frozenset[int]:
    """Make the fonts known to the library; return the characters that they have."""
    plain, bold = TTFont(PLAIN, f"{PLAIN}.ttf"), TTFont(BOLD, f"{BOLD}.ttf")
    registerFont(plain)
    registerFont(bold)
    return frozenset(plain.face.charToGlyph) & frozenset(bold.face.charToGlyph)
