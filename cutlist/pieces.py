r"""Plain sticks for any work, and the boards to cut them from, as two CSV files.

PIECES has a row for each kind of stick: `mark`, `length` (long point to long point), `count`, and
where they are wanted `left_angle`, `right_angle` (of the cut from square, in degrees; positive
leans like /, negative like \) and `size`. BOARDS has a row for each kind of board: `length`, and
where they are wanted `price`, `on_hand` (how many there are, used at no cost) and `size`.
With both, more of them can be bought at that price; with `on_hand` alone there are no more.
"""

from __future__ import annotations

import csv
import difflib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import radians, tan
from pathlib import Path
from typing import TypeVar

from cutlist.errors import JobError
from cutlist.job import SAW_DEFAULTS
from cutlist.job.values import LONGEST_MM
from cutlist.lumber import Size, parse_size
from cutlist.nest.ends import EndFace
from cutlist.nest.problem import Board, Problem, Saw, Stick
from cutlist.units import (
    COINS,
    IMPERIAL,
    UNITS,
    UnitName,
    Units,
    format_length,
    parse_length,
    rounded_down,
)

STEEPEST = 85.0
"""Largest angle of a cut from square [deg]."""

PIECE_COLUMNS = {"mark": True, "length": True, "count": False, "left_angle": False}
PIECE_COLUMNS |= {"right_angle": False, "size": False}
BOARD_COLUMNS = {"length": True, "price": False, "on_hand": False, "size": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What both files leave open: units, the size of rows without one, the saw, printed lengths."""

    units: Units
    size: Size | None
    saw: Saw
    round_to: float

    def text(self, length: float) -> str:
        """Return a length as it is printed."""
        return format_length(length, self.units, self.round_to)


def bench(
    *,
    units: UnitName,
    size: str | None,
    kerf: str | None,
    end_trim: str | None,
    keep_offcut: str | None,
    crown_up: bool,
) -> Bench:
    """Return the bench from texts as they are typed; what is left out is as usual in the unit.

    Raises JobError with every mistake found.
    """
    system, problems = UNITS[units], []
    lengths = dict(SAW_DEFAULTS[units])
    typed = {"kerf": kerf, "end_trim": end_trim, "keep_offcut": keep_offcut}
    for name, text in typed.items():
        if text is not None:
            try:
                lengths[name] = length_of(text, system)
            except ValueError as error:
                problems.append(f'--{name.replace("_", "-")}: "{text}": {error}')
    found = None
    if size is not None:
        try:
            found = parse_size(size, system)
        except ValueError as error:
            problems.append(f'--size: "{size}": {error}')
    if problems:
        raise JobError(problems)
    return Bench(
        units=system,
        size=found,
        saw=Saw(
            kerf=lengths["kerf"],
            end_trim=lengths["end_trim"],
            keep_offcut=lengths["keep_offcut"],
            crown_up=crown_up,
        ),
        round_to=lengths["round_to"],
    )


@dataclass(frozen=True, slots=True)
class _Cell:
    """One cell of a file, for messages: the file's name, its line and column, its text."""

    file: str
    line: int
    column: str
    text: str

    def problem(self, reason: object) -> str:
        shown = f'"{self.text}": ' if self.text else ""
        return f'{self.file}: line {self.line}, column "{self.column}": {shown}{reason}'


_Row = dict[str, _Cell]
T = TypeVar("T")


def read_pieces(pieces: Path, boards: Path, bench: Bench) -> tuple[Problem, ...]:
    """Return a nesting problem for each size in two CSV files, in the order the pieces come.

    Raises JobError with every mistake found, told with file, line and column.
    """
    problems: list[str] = []
    piece_rows = _rows(pieces, PIECE_COLUMNS, problems)
    board_rows = _rows(boards, BOARD_COLUMNS, problems)
    sizes: dict[tuple[float, float], Size] = {}

    def size_of(row: _Row) -> Size | None:
        """Return a row's size, by one name however it is written there."""
        size = _value(row, "size", lambda text: parse_size(text, bench.units), problems)
        size = size or bench.size
        return sizes.setdefault((size.thickness, size.depth), size) if size else None

    sticks: dict[Size, list[Stick]] = {}
    marks: dict[str, int] = {}
    for row in piece_rows:
        size = size_of(row)
        stick = _stick(row, size, bench, problems)
        if stick is None or size is None:
            continue
        if stick.mark in marks:
            cell = row["mark"]
            problems.append(cell.problem(f"line {marks[stick.mark]} has this mark already"))
        marks.setdefault(stick.mark, row["mark"].line)
        sticks.setdefault(size, []).append(stick)
    stock: dict[Size | None, list[Board]] = {}
    for row in board_rows:
        stock.setdefault(size_of(row), []).extend(_boards(row, bench, problems))
    if not problems:
        problems += _missing(pieces, boards, sticks, stock)
    if problems:
        raise JobError(problems)
    return tuple(
        Problem(
            size=size.name,
            thickness=size.thickness,
            depth=size.depth,
            sticks=tuple(alike),
            boards=tuple(stock[size]),
            saw=bench.saw,
            grid=bench.units.grid,
            length_text=bench.text,
        )
        for size, alike in sticks.items()
    )


def _missing(
    pieces: Path,
    boards: Path,
    sticks: dict[Size, list[Stick]],
    stock: dict[Size | None, list[Board]],
) -> Iterator[str]:
    if not sticks:
        yield f"{pieces.name}: it lists no pieces"
    for size in sticks:
        offered = stock.get(size)
        if not offered:
            yield f"{boards.name}: it lists no boards of {size.name}, which pieces are cut from"
        elif len({board.price is None for board in offered if not board.on_hand}) > 1:
            yield f"{boards.name}: of {size.name} some boards have a price and some none"


def _rows(path: Path, columns: dict[str, bool], problems: list[str]) -> list[_Row]:
    """Return the rows of a CSV file by column; adds to `problems` what is wrong with its form."""
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except FileNotFoundError:
        problems.append(f"{path}: there is no such file")
        return []
    except UnicodeDecodeError:
        problems.append(f"{path}: it is not a text file in UTF-8")
        return []
    except OSError as error:
        problems.append(f"{path}: it cannot be read ({error.strerror})")
        return []
    first = lines[0] if lines else ""
    # Spreadsheets write semicolons where the comma is for decimals, and tabs when text is copied.
    delimiter = "," if "," in first else next((mark for mark in ";\t" if mark in first), ",")
    reader = csv.reader(lines, delimiter=delimiter)
    header = _without_empty_end([name.strip().lower() for name in next(reader, [])])
    before = len(problems)
    for name in header:
        if name not in columns:
            close = difflib.get_close_matches(name, columns, 1)
            hint = f"did you mean {close[0]}?" if close else "known are " + ", ".join(columns)
            problems.append(f'{path.name}: line 1: there is no column "{name}"; {hint}')
        elif header.count(name) > 1:
            problems.append(f'{path.name}: line 1: column "{name}" is there twice')
    for name, needed in columns.items():
        if needed and name not in header:
            problems.append(f'{path.name}: line 1: column "{name}" is missing')
    if len(problems) > before:
        return []
    rows = []
    for cells in reader:
        cells = _without_empty_end(cells)
        if not cells:
            continue
        if len(cells) > len(header):
            problems.append(
                f"{path.name}: line {reader.line_num}: it has {len(cells)} cells and the first "
                f"line {len(header)}; put a text that holds a comma in quotes"
            )
            continue
        padded = [*cells, *[""] * (len(header) - len(cells))]
        rows.append(
            {
                name: _Cell(path.name, reader.line_num, name, text.strip())
                for name, text in zip(header, padded, strict=True)
            }
        )
    return rows


def _without_empty_end(cells: list[str]) -> list[str]:
    """Return the cells up to the last that holds anything; spreadsheets write more."""
    count = max((i for i, cell in enumerate(cells, start=1) if cell.strip()), default=0)
    return cells[:count]


def _value(row: _Row, column: str, parse: Callable[[str], T], problems: list[str]) -> T | None:
    """Return a cell's value; None where it is empty or wrong, which is added to `problems`."""
    cell = row.get(column)
    if cell is None or not cell.text:
        return None
    try:
        return parse(cell.text)
    except ValueError as error:
        problems.append(cell.problem(error))
        return None


def _needed(row: _Row, column: str, parse: Callable[[str], T], problems: list[str]) -> T | None:
    if not row[column].text:
        problems.append(row[column].problem("it is empty"))
    return _value(row, column, parse, problems)


def _stick(row: _Row, size: Size | None, bench: Bench, problems: list[str]) -> Stick | None:
    before = len(problems)
    mark = _needed(row, "mark", str, problems)
    length = _needed(row, "length", lambda text: _length(text, bench), problems)
    count = _value(row, "count", _count, problems) or 1
    left = _value(row, "left_angle", _angle, problems) or 0.0
    right = _value(row, "right_angle", _angle, problems) or 0.0
    if size is None and len(problems) == before:
        problems.append(
            row["mark"].problem('its size is not given; write --size, like "2x4", or a size column')
        )
    if len(problems) > before or size is None or mark is None or length is None:
        return None
    lean_left, lean_right = (size.depth * tan(radians(angle)) for angle in (left, right))
    bottom = max(-lean_left, 0.0) + max(lean_right, 0.0)
    top = max(lean_left, 0.0) + max(-lean_right, 0.0)
    if length <= max(bottom, top):
        problems.append(row["length"].problem("at these angles its two ends would cross"))
        return None
    return Stick.plain(
        mark=mark,
        count=count,
        thickness=size.thickness,
        depth=size.depth,
        left=EndFace(at=max(-lean_left, 0.0), per_depth=lean_left / size.depth),
        right=EndFace(at=length - max(lean_right, 0.0), per_depth=lean_right / size.depth),
    )


def _boards(row: _Row, bench: Bench, problems: list[str]) -> list[Board]:
    """Return the boards of a row: those on hand, those that can be bought, or both."""
    length = _needed(row, "length", lambda text: _length(text, bench), problems)
    price = _value(row, "price", _price, problems)
    count = _value(row, "on_hand", lambda text: 0 if text == "0" else _count(text), problems)
    if length is None:
        return []
    if count == 0 and price is None:
        problems.append(
            row["on_hand"].problem(
                "there is none of this board, and no price to buy one at; take the row out, or "
                "leave the cell empty where it can be bought"
            )
        )
    found = [Board(length=length, count=count, on_hand=True)] if count else []
    if count is None or price is not None:
        found.append(Board(length=length, price=price))
    return found


def length_of(text: str, units: Units) -> float:
    """Return a length from a bare number in the unit, or text with a unit. Raises ValueError."""
    try:
        length = float(text)
    except ValueError:
        length = parse_length(text, units)
    most = units.from_mm(LONGEST_MM)
    if not 0 <= length <= most:
        # What is no number at all, or beyond all measure, is shown as it was written.
        read = format_length(length, units, units.grid) if abs(length) < 1e9 else text
        limit = format_length(rounded_down(most, units.round_to), units, units.round_to)
        hint = ""
        if length > most and units is IMPERIAL:
            hint = "; where millimetres are meant, write --units metric, or the unit with each"
        raise ValueError(f"read as {read}; it must lie between 0 and {limit}{hint}")
    return length


def _length(text: str, bench: Bench) -> float:
    length = length_of(text, bench.units)
    if not length:
        raise ValueError("a length must be more than 0")
    return length


def _count(text: str) -> int:
    if not (text.isdecimal() and 0 < int(text) <= 100_000):
        raise ValueError("a whole number from 1 to 100000 is expected")
    return int(text)


def _angle(text: str) -> float:
    try:
        angle = float(text.removesuffix("deg").removesuffix("\N{DEGREE SIGN}").strip())
    except ValueError:
        raise ValueError("an angle from square in degrees is expected, like 22.5") from None
    if not -STEEPEST <= angle <= STEEPEST:
        raise ValueError(f"the angle must lie between -{STEEPEST:g} and {STEEPEST:g} from square")
    return angle


def _price(text: str) -> int:
    try:
        price = round(float(text) * COINS)
    except (ValueError, OverflowError):
        raise ValueError("a price is expected, a bare number like 8.90") from None
    if not 0 < price < 10**8:
        raise ValueError("a price must be more than 0 and less than a million")
    return price
