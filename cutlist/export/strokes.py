"""Letters of single strokes, for a tool that engraves: capitals, digits and a few marks."""

from __future__ import annotations

from collections.abc import Iterator

from cutlist.geometry.outline import Point

# Each stroke is the column (0 to 4) and row (0 to 6) of its points, on a grid 4 wide and 6 high.
_STROKES = {
    "A": "00 04 26 44 40, 02 42",
    "B": "00 06 36 45 44 33 03, 33 42 41 30 00",
    "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 44 42 20 00",
    "E": "46 06 00 40, 03 33",
    "F": "46 06 00, 03 33",
    "G": "45 36 16 05 01 10 30 41 43 23",
    "H": "00 06, 40 46, 03 43",
    "I": "10 30, 20 26, 16 36",
    "J": "46 41 30 10 01 02",
    "K": "00 06, 46 03 40",
    "L": "06 00 40",
    "M": "00 06 23 46 40",
    "N": "00 06 40 46",
    "O": "16 05 01 10 30 41 45 36 16",
    "P": "00 06 36 45 43 32 02",
    "Q": "16 05 01 10 30 41 45 36 16, 22 40",
    "R": "00 06 36 45 44 33 03, 23 40",
    "S": "45 36 16 05 04 13 33 42 41 30 10 01",
    "T": "06 46, 26 20",
    "U": "06 01 10 30 41 46",
    "V": "06 20 46",
    "W": "06 10 24 30 46",
    "X": "00 46, 06 40",
    "Y": "06 23 46, 23 20",
    "Z": "06 46 00 40",
    "0": "16 05 01 10 30 41 45 36 16, 01 45",
    "1": "05 26 20, 00 40",
    "2": "05 16 36 45 44 00 40",
    "3": "05 16 36 45 44 33 13, 33 42 41 30 10 01",
    "4": "30 36 02 42",
    "5": "46 06 03 33 42 41 30 00",
    "6": "45 36 16 05 01 10 30 41 42 33 03",
    "7": "06 46 10",
    "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
    "9": "43 13 04 05 16 36 45 41 30 10 01",
    "-": "03 43",
    "+": "03 43, 21 25",
    ".": "10 20 21 11 10",
    "/": "00 46",
    "'": "26 24",
    "?": "05 16 36 45 44 23 22, 20 21",
    " ": "",
}
_ACROSS, _UP, _ADVANCE = 4, 6, 6
_STANDS_FOR_ALL_OTHERS = "?"


def strokes_width(text: str, height: float) -> float:
    """Return how wide a line of strokes is."""
    return (len(text) * _ADVANCE - (_ADVANCE - _ACROSS)) * height / _UP


def strokes(text: str, at: Point, height: float) -> Iterator[tuple[Point, ...]]:
    """Return the open lines that write a text, in capitals, its lower left corner at a point.

    A character that is not in the alphabet is written as a question mark.
    """
    step = height / _UP
    for number, character in enumerate(text.upper()):
        glyph = _STROKES.get(character, _STROKES[_STANDS_FOR_ALL_OTHERS])
        for stroke in filter(None, glyph.split(", ")):
            yield tuple(
                (at[0] + (number * _ADVANCE + int(x)) * step, at[1] + int(y) * step)
                for x, y in map(tuple, stroke.split())
            )
