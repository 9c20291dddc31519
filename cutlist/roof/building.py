"""A roof of a job as built: its slopes in their places, its gables, and its walls."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import Polygon

from cutlist.geometry.space import Plane
from cutlist.roof.face import Face
from cutlist.roof.surface import Wing


@dataclass(frozen=True, slots=True, kw_only=True)
class Gable:
    """A wall without a slope: the slopes beside it, and how far past it the roof reaches.

    `wall`: the plumb plane through its building line; outside lies beyond.
    """

    faces: tuple[Face, ...]
    wall: Plane
    rake: float


@dataclass(frozen=True, kw_only=True)
class Building:
    """A wing as built: `footprint` holds its building lines, drawn on into what it runs into.

    `joins`: whether an end of it runs into another. `is_open`: whether it opens into that one.
    """

    wing: Wing
    gables: tuple[Gable, ...]
    footprint: Polygon
    joins: bool
    is_open: bool
