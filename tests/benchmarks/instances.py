"""Read benchmark instances and make problems of them."""

import gzip
import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from cutlist.nest import Board, EndFace, Problem, Saw, Stick

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "cutting_stock"


@dataclass(frozen=True, kw_only=True, slots=True)
class Instance:
    """A named problem with the lowest and highest cost that its optimum may have."""

    name: str
    problem: Problem
    low: int
    high: int


def text_of(file: Path) -> str:
    """Read a text that may be compressed."""
    content = file.read_bytes()
    return (gzip.decompress(content) if file.suffix == ".gz" else content).decode()


def classical(file: Path) -> Iterator[Instance]:
    """Read a set with one board length: a line is `name capacity low high m width:demand ...`."""
    for line in text_of(file).splitlines():
        if line.startswith("#"):
            continue
        name, capacity, low, high, _, *pairs = line.split()
        yield Instance(
            name=name,
            problem=square([tuple(map(int, pair.split(":"))) for pair in pairs], int(capacity)),
            low=int(low),
            high=int(high),
        )


def several_lengths(file: Path) -> Iterator[Instance]:
    """Read a set with priced lengths: `name m length:price,... width:demand ... low high`."""
    for line in text_of(file).splitlines():
        if line.startswith("#"):
            continue
        name, _, lengths, *pairs, low, high = line.split()
        boards = tuple(
            Board(length=float(length), price=int(price))
            for length, price in (board.split(":") for board in lengths.split(","))
        )
        problem = square([tuple(map(int, pair.split(":"))) for pair in pairs], 1)
        yield Instance(
            name=name, problem=replace(problem, boards=boards), low=int(low), high=int(high)
        )


def square(widths: list[tuple[int, ...]], capacity: int) -> Problem:
    """Make the classical problem: square ends, no kerf, boards of one length that cost 1 each."""
    return Problem(
        size="board",
        thickness=1.0,
        depth=1.0,
        sticks=tuple(
            Stick.plain(
                mark=f"W{width}",
                count=demand,
                thickness=1.0,
                depth=1.0,
                left=EndFace(at=0.0),
                right=EndFace(at=float(width)),
            )
            for width, demand in widths
        ),
        boards=(Board(length=float(capacity), price=1),),
        saw=Saw(kerf=0.0),
        grid=1.0,
    )


def angled(file: Path) -> Iterator[Instance]:
    """Read jobs with slanted ends; an offset is x at the top edge less x at the bottom edge."""
    for job in json.loads(text_of(file)):
        depth = job["depth_in"]
        yield Instance(
            name=job["name"],
            problem=Problem(
                size=job["name"],
                thickness=1.5,
                depth=depth,
                sticks=tuple(
                    Stick.plain(
                        mark=piece["name"],
                        crowned=not piece["rotate"],
                        count=piece["demand"],
                        thickness=1.5,
                        depth=depth,
                        left=EndFace(at=0.0, per_depth=piece["left_offset_in"] / depth),
                        right=EndFace(
                            at=piece["bottom_len_in"],
                            per_depth=piece["right_offset_in"] / depth,
                        ),
                    )
                    for piece in job["pieces"]
                ),
                boards=tuple(
                    Board(
                        length=stock["length_in"],
                        price=stock["price_cents"],
                        count=stock["count"],
                        on_hand=stock["price_cents"] == 0,
                    )
                    for stock in job["stock"]
                ),
                saw=Saw(kerf=job["kerf_in"], end_trim=job["trim_each_end_in"]),
                grid=1.0 / job["grid_per_in"],
            ),
            low=job["lb_cents"],
            high=job["ub_cents"],
        )


def boxed(problem: Problem) -> Problem:
    """Make the same problem with each stick as its bounding length.

    The kerf is the widest that any cut takes along the board: with less the boxes would not fit.
    """
    ends = [face for stick in problem.sticks for face in (*stick.left, *stick.right)]
    widest = max(face.level_factor for face in ends)
    sticks = tuple(
        Stick.plain(
            mark=stick.mark,
            count=stick.count,
            thickness=stick.thickness,
            depth=stick.depth,
            left=EndFace(at=0.0),
            right=EndFace(at=stick.length),
        )
        for stick in problem.sticks
    )
    return replace(problem, sticks=sticks, saw=replace(problem.saw, kerf=problem.saw.kerf * widest))
