"""Where the walls of wings stand along the walls of the first roof, for the plan to measure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from cutlist.export.dimension import Axis, distinct
from cutlist.geometry.space import ACROSS, ALONG
from cutlist.job import Job
from cutlist.roof.placed import Placed, placed_roofs
from cutlist.tolerance import PARALLEL

Side = Literal["near", "far", "left", "right"]

ALONG_SIDE: Mapping[Side, Axis] = {"near": "x", "far": "x", "left": "y", "right": "y"}
"""What is measured along a side of the first roof."""


def wing_places(job: Job) -> dict[Side, tuple[float, ...]]:
    """Return, for each side, the corners of the first roof and the wings' walls between, in order.

    A wing is measured along the side that it stands nearer to, across its length, along its mouth,
    or along a shed's front wall. Left out are wings at an angle, those of a first roof that is no
    rectangle, and a side whose corners are all there is.
    """
    if job.roof.is_polygon or not job.wing:
        return {}
    first, *wings = placed_roofs(job)
    found: dict[Side, list[float]] = {}
    for wing in wings:
        one, other = wing.corners[0], wing.corners[1 if wing.is_shed else -1]
        across = (other - one).unit()
        for axis, level in ((ALONG, True), (ACROSS, False)):
            if abs(across.dot(axis)) > 1 - PARALLEL:
                places = found.setdefault(_side(first, wing, level), [])
                places += [one.dot(axis), other.dot(axis)]
    return {
        side: places
        for side, walls in found.items()
        for corners in [_corners(first, side)]
        for places in [distinct(*corners, *walls)]
        if len(places) > len(corners)
    }


def _side(first: Placed, wing: Placed, level: bool) -> Side:
    middle, centre = wing.walls.centroid, first.walls.centroid
    if level:
        return "near" if middle.y < centre.y else "far"
    return "left" if middle.x < centre.x else "right"


def _corners(first: Placed, side: Side) -> tuple[float, float]:
    """Return where a side of the first roof starts and ends."""
    least_x, least_y, most_x, most_y = first.walls.bounds
    return (least_x, most_x) if ALONG_SIDE[side] == "x" else (least_y, most_y)
