"""File names made from what people write in a job, safe on every system."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from cutlist.nest.plan import CutBoard, Plan

LONGEST_NAME = 200
"""Most bytes of a folder's name; file systems commonly allow 255."""

_FORBIDDEN = '<>:"/\\|?*'
"""Refused in names by one common file system or another."""

# Names that Windows keeps for devices, whatever stands behind a dot.
_DEVICES = {"CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"} | {
    device + digit for device in ("COM", "LPT") for digit in "0123456789¹²³"
}


def folder_name(name: str) -> str:
    """Return the name of a job's folder: one path component that leads nowhere else.

    It never starts with a dot, so it is never taken for one of our temporary folders.
    """
    plain = "".join(map(_plain, unicodedata.normalize("NFC", name)))
    tidy = re.sub(r"-{2,}", "-", re.sub(r"\s+", " ", plain))
    cut = tidy.encode()[:LONGEST_NAME].decode(errors="ignore")
    safe = cut.strip(" .-~") or "job"
    return f"job {safe}" if safe.partition(".")[0].strip().upper() in _DEVICES else safe


def _plain(character: str) -> str:
    """Return a dash for what no file name should hold: separators, control and format marks."""
    category = unicodedata.category(character)
    unsafe = character in _FORBIDDEN or category[0] == "C" or category in ("Zl", "Zp")
    return "-" if unsafe else character


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedBoard:
    """One board of a plan with the name that its drawing and its rows go by, such as 2x8-01."""

    name: str
    number: int
    plan: Plan
    cut: CutBoard


def file_names(sizes: Iterable[str]) -> tuple[str, ...]:
    """Return a file name for each size; sizes whose names are alike once safe are numbered."""
    numbers: Counter[str] = Counter()
    names = []
    for size in map(_safe_size, sizes):
        numbers[size] += 1
        names.append(size if numbers[size] == 1 else f"{size}-{numbers[size]}")
    return tuple(names)


def _safe_size(size: str) -> str:
    return re.sub(r"[^a-z0-9.]+", "-", size.lower()).strip("-.")


def named_boards(plans: Iterable[Plan]) -> tuple[NamedBoard, ...]:
    """Return the boards of all plans in order, numbered through for each size.

    Sizes whose names are alike once made file-safe share one count, so no two names are the same.
    """
    numbers: Counter[str] = Counter()
    boards = []
    for plan in plans:
        size = _safe_size(plan.problem.size)
        digits = max(2, len(str(len(plan.boards))))
        for cut in plan.boards:
            numbers[size] += 1
            name = f"{size}-{numbers[size]:0{digits}}"
            boards.append(NamedBoard(name=name, number=numbers[size], plan=plan, cut=cut))
    return tuple(boards)


def alike_boards(boards: Iterable[NamedBoard]) -> tuple[tuple[NamedBoard, ...], ...]:
    """Return the boards in sets that are cut just alike, each where its first one comes."""
    sets: dict[object, list[NamedBoard]] = {}
    for board in boards:
        pieces = tuple((piece.mark, piece.way, piece.at) for piece in board.cut.pieces)
        key = (board.plan.problem.size, board.cut.board, pieces)
        sets.setdefault(key, []).append(board)
    return tuple(map(tuple, sets.values()))


def names_in_runs(boards: Iterable[NamedBoard]) -> str:
    """Return the names of boards of one size in order, as `2x8-01, 2x8-04 to 2x8-38`."""
    runs: dict[int, list[str]] = {}
    for i, board in enumerate(boards):
        runs.setdefault(board.number - i, []).append(board.name)
    return ", ".join(
        names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}" for names in runs.values()
    )
