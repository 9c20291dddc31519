"""A roof of a job as built: its slopes in their places, its gables, and its walls."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import Polygon

from cutlist.roof.face import Face
from cutlist.roof.surface import Wing


@dataclass(frozen=True, slots=True, kw_only=True)
class Gable:
    """An end without a slope: its wing's long faces, and how far past the wall the roof reaches.

    `station` is the wall's along the faces, `outward` the sign of the way out of the building.
    """

    faces: tuple[Face, Face]
    station: float
    outward: int
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
