"""The corners of a roof's building lines, counter-clockwise, and what is wrong with given ones."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import atan2, cos, degrees, dist, hypot, pi, sin

Point = tuple[float, float]

LEAST_TURN = 3.0
"""By how much the walls at least turn at a corner [deg]; less makes no hip."""


def regular_plan(sides: int, span: float, length: float | None) -> tuple[Point, ...]:
    """Return the corners of a regular plan with an even number of sides, its first side along x.

    `span`: between opposite sides. `length`: of the whole, for a plan drawn out along its first
    side; None for the regular one. The plan touches both axes.
    """
    radius = span / 2 / cos(pi / sides)
    turns = (-pi / 2 + pi / sides * (2 * i - 1) for i in range(sides))
    ring = [(radius * cos(turn), radius * sin(turn)) for turn in turns]
    least = min(x for x, _ in ring)
    longer = 0.0 if length is None else length + 2 * least
    return tuple((x - least + (longer if x > 0 else 0.0), y + span / 2) for x, y in ring)


def regular_length(sides: int, span: float) -> float:
    """Return how long a regular plan is along its first side."""
    return max(x for x, _ in regular_plan(sides, span, None))


MOST_ASKEW = 2.0
"""By how much a corner of a gable at most differs from a square one to be taken for it [deg]."""


def squared(corners: Sequence[Point], gables: Iterable[int]) -> tuple[Point, ...]:
    """Return the corners of a plan with the walls beside its gables turned square to these.

    `gables`: the sides that are gables, counted from 0. Each wall turns about its middle, so that
    corners written to a step of the tape move by about as little.
    """
    count = len(corners)
    ends = [(corners[i], corners[(i + 1) % count]) for i in range(count)]
    ways = [_unit(bx - ax, by - ay) for (ax, ay), (bx, by) in ends]
    for i in gables:
        (bx, by), (ax, ay) = ways[i - 1], ways[(i + 1) % count]
        x, y = _unit(bx - ax, by - ay)
        ways[i - 1], ways[i], ways[(i + 1) % count] = (x, y), (-y, x), (-x, -y)
    middles = [((ax + bx) / 2, (ay + by) / 2) for (ax, ay), (bx, by) in ends]
    turned = list(zip(middles, ways, strict=True))
    return tuple(_crossing(*turned[i - 1], *turned[i]) for i in range(count))


def gable_faults(
    corners: Sequence[Point], gables: Sequence[int], most: float
) -> Iterator[tuple[int, int, float]]:
    """Find gables that are not square to a wall beside them, as (side, corner, turn there [deg]).

    Sides and corners are counted from 0. `most`: by how much a corner may be moved to be square.
    """
    count = len(corners)
    beside = [(i, corner) for i in gables for corner in (i, (i + 1) % count)]
    askew = [at for at in beside if abs(_turn(corners, at[1]) - 90) > MOST_ASKEW]
    if not askew:
        moved = squared(corners, gables)
        askew = [at for at in beside if dist(corners[at[1]], moved[at[1]]) > most]
    for i, corner in askew:
        yield i, corner, _turn(corners, corner)


def _unit(x: float, y: float) -> Point:
    length = hypot(x, y)
    return x / length, y / length


def _crossing(one: Point, way: Point, other: Point, its_way: Point) -> Point:
    """Return where two lines cross, each given by a point and a direction."""
    turn = way[0] * its_way[1] - way[1] * its_way[0]
    at = ((other[0] - one[0]) * its_way[1] - (other[1] - one[1]) * its_way[0]) / turn
    return one[0] + at * way[0], one[1] + at * way[1]


def plan_faults(
    corners: Sequence[Point], least: float, least_text: str
) -> Iterator[tuple[int, str]]:
    """Find what keeps corners from being a plan, as (number of the corner from 1, what and why).

    `least` is the least length of a side, `least_text` what people read of it.
    """
    for (i, one), (j, other) in combinations(enumerate(corners, start=1), 2):
        if dist(one, other) == 0:
            yield j, f"it and corner {i} are at one place; leave one of them out"
            return
        if dist(one, other) < least:
            yield (
                j,
                f"it and corner {i} are too near each other for a wall, which is {least_text} "
                "long at least; move one of them, or leave it out",
            )
            return
    turns = [_turn(corners, i) for i in range(len(corners))]
    if sum(turns) < 0:
        yield 1, "the corners run clockwise; write them in the opposite order"
        return
    for number, turn in enumerate(turns, start=1):
        if turn < -LEAST_TURN:
            yield (
                number,
                "the walls turn inward there; only plans without inside corners are framed so: "
                "leave the corner out, or make the roof of several as [[wing]]",
            )
        elif turn < LEAST_TURN:
            yield number, "the walls run straight on there; leave the corner out"
    if all(turn >= LEAST_TURN for turn in turns) and sum(turns) > 360 + LEAST_TURN:
        yield 1, "the walls cross each other; write the corners in order around the plan"


def _turn(corners: Sequence[Point], i: int) -> float:
    """Return by how much the walls turn to the left at a corner [deg]."""
    (ax, ay), (bx, by), (cx, cy) = (corners[(i + k) % len(corners)] for k in (-1, 0, 1))
    (ux, uy), (vx, vy) = (bx - ax, by - ay), (cx - bx, cy - by)
    return degrees(atan2(ux * vy - uy * vx, ux * vx + uy * vy))
