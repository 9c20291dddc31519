"""A ridge of roofs that meet: where its board stands and between what cuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from shapely import MultiPoint, Point
from shapely.geometry.base import BaseGeometry

from cutlist.geometry.space import ORIGIN, UP, Plane, Vector
from cutlist.geometry.stick import Cut
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.face import Face
from cutlist.roof.level import joints_on_rafters, level_members
from cutlist.roof.member import Member
from cutlist.roof.support import Strip
from cutlist.tolerance import ON_PLANE, SAME_SHAPE, SLIVER


@dataclass(frozen=True, kw_only=True)
class RidgeLine:
    """A ridge board between two slopes; `start` and `end` are points of both slopes.

    `cuts` trim its two ends: none for a square end at the point itself.
    """

    name: str
    faces: tuple[Face, Face]
    start: Vector
    end: Vector
    size: Size
    cuts: tuple[tuple[Cut, ...], tuple[Cut, ...]] = ((), ())

    @cached_property
    def along(self) -> Vector:
        """Unit level direction from start to end."""
        way = self.end - self.start
        return Vector(way.x, way.y, 0.0).unit()

    @property
    def length(self) -> float:
        """Length of its line."""
        return self.place(self.end)

    @property
    def top(self) -> float:
        """Height of its top over the plates: its corners stand above neither slope."""
        half = self.size.thickness / 2
        return min(f.corner.z + f.top(f.run(self.start) - half) for f in self.faces)

    def stands_in(self, strip: Strip) -> Point | None:
        """Return where it would stand in a plate that it passes over; None if it clears it."""
        shared = strip.shape.intersection(self._plan_at(strip.top))
        is_lower = self.top - self.size.depth < strip.top - ON_PLANE
        return shared.centroid if is_lower and shared.area > SLIVER else None

    def _plan_at(self, height: float) -> BaseGeometry:
        """Return its board in plan as it is cut at a height over the plates."""
        level = UP * (height - self.start.z)
        ends = [
            self.start + self.along * at + aside
            for aside in (face.uphill * (-self.size.thickness / 2) for face in self.faces)
            for at in self._reach(aside + level)
        ]
        return MultiPoint([(p.x, p.y) for p in ends]).convex_hull

    @cached_property
    def reach(self) -> tuple[float, float]:
        """From where to where along its line there is wood of the board."""
        half = self.size.thickness / 2
        # A point of two cuts is in the middle; an end cut to a slope reaches furthest at the top.
        asides = (*(face.uphill * -half for face in self.faces), ORIGIN)
        edges = (self.top - self.start.z, self.top - self.size.depth - self.start.z)
        along_it = [self._reach(aside + UP * edge) for aside in asides for edge in edges]
        begins, ends = zip(*along_it, strict=True)
        return min(begins), max(ends)

    def reach_on(self, face: Face) -> tuple[float, float]:
        """Return from where to where along its line its side toward a slope runs."""
        return self._reach(face.uphill * (-self.size.thickness / 2))

    def _reach(self, aside: Vector) -> tuple[float, float]:
        """Return from where to where there is wood along a line beside its own."""
        start = self.start + aside

        def places(cuts: tuple[Cut, ...]) -> list[float]:
            planes = (cut.planes[0].plane for cut in cuts)
            return [-p.distance(start) / p.normal.dot(self.along) for p in planes]

        foot, head = self.cuts
        return max(places(foot), default=0.0), min(places(head), default=self.length)

    def place(self, point: Vector) -> float:
        """Return how far along the line a plan point lies."""
        return (point - self.start).dot(self.along)

    def side(self, face: Face) -> Plane:
        """Return the wide face on a slope's side; the ridge lies beyond."""
        return face.plumb(face.run(self.start) - self.size.thickness / 2)

    def face_toward(self, point: Vector) -> Face:
        """Return the slope on whose side of the ridge a plan point lies."""
        return min(self.faces, key=lambda face: face.run(point) - face.run(self.start))

    def holds(self, point: Vector) -> bool:
        """Tell whether a plan point lies on the line, its ends included."""
        off = (point - self.start).dot(self.along.cross(UP))
        return abs(off) < SAME_SHAPE and -SAME_SHAPE < self.place(point) < self.length + SAME_SHAPE

    def ends_at(self, point: Vector) -> bool:
        """Tell whether a plan point is one of its ends."""
        near = min(abs(self.place(point)), abs(self.place(point) - self.length))
        return self.holds(point) and near < SAME_SHAPE


def ridge_line_members(
    job: Job, ridge: RidgeLine, rafters_at: Sequence[float]
) -> tuple[Member, ...]:
    """Return the boards of a ridge, joined on rafters; places count from its start."""
    begin, end = ridge.reach
    return level_members(
        "ridge",
        ridge.size,
        ridge.name,
        start=ridge.start - UP * (ridge.start.z - ridge.top),
        along=ridge.along,
        joints=joints_on_rafters(job, ridge.size, begin, end, sorted(rafters_at)),
        faces=tuple(face.name for face in ridge.faces),
        ends=ridge.cuts,
    )
