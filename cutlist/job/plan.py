"""The corners of a roof's building lines, counter-clockwise, and what is wrong with given ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import atan2, cos, degrees, dist, pi, sin

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


def plan_faults(corners: Sequence[Point], least: float) -> Iterator[tuple[int, str]]:
    """Find what keeps corners from being a plan, as (number of the corner from 1, what and why).

    `least` is the least length of a side.
    """
    for (i, one), (j, other) in combinations(enumerate(corners, start=1), 2):
        if dist(one, other) < least:
            near = "at one place" if dist(one, other) == 0 else "too near each other for a wall"
            yield j, f"it and corner {i} are {near}; leave one of them out"
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
