"""One slope of a roof: the plane of its rafters' top edges above one straight plate."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import atan, cos, hypot, sin

from cutlist.geometry.space import UP, Frame, Plane, Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A slope. `station` runs along the plate from its corner, `run` uphill from the building line.

    `corner`: where the building line starts, at the top of the plate. `along` and `uphill`: unit
    level directions, square to each other. `length`: of the plate. `pitch`: rise per unit of run.
    `height_above_plate`: plumb, at the building line, from the top of the plate to the rafters'
    top edges. `overhang`: level, from the building line to the tail's plumb line.
    """

    name: str
    corner: Vector
    along: Vector
    uphill: Vector
    length: float
    pitch: float
    height_above_plate: float
    overhang: float

    @property
    def side(self) -> str:
        """What its side of the building is called."""
        return self.name if self.name[-1].isdigit() else f"{self.name} side"

    @property
    def slope_angle(self) -> float:
        """Angle of the slope from level [rad]."""
        return atan(self.pitch)

    @property
    def plane(self) -> Plane:
        """The plane of the rafters' top edges; above the roof lies beyond."""
        return Plane.through(self.point(0.0, 0.0, self.height_above_plate), self._across)

    @property
    def plate_top(self) -> Plane:
        """The top of the plate, the plate lying beyond."""
        return Plane(-UP, -self.corner.z)

    @property
    def _across(self) -> Vector:
        """The direction square to the slope, upward."""
        return UP * cos(self.slope_angle) - self.uphill * sin(self.slope_angle)

    def point(self, station: float, run: float, height: float) -> Vector:
        """Return the plan point at a station and run, at a height above the plate's top."""
        return self.corner + self.along * station + self.uphill * run + UP * height

    def station(self, point: Vector) -> float:
        """Return how far along the plate a plan point lies."""
        return (point - self.corner).dot(self.along)

    def run(self, point: Vector) -> float:
        """Return how far uphill of the building line a plan point lies."""
        return (point - self.corner).dot(self.uphill)

    def top(self, run: float) -> float:
        """Return the height of the rafters' top edges above this face's plate at a run."""
        return self.height_above_plate + self.pitch * run

    def seat(self, depth: float) -> float:
        """Return the level seat by which rafters of a depth stand at its height above the plate."""
        return (plumb_depth(depth, self.pitch) - self.height_above_plate) / self.pitch

    def plumb(self, run: float) -> Plane:
        """Return the plumb plane along the plate at a run; uphill of it lies beyond."""
        return Plane.through(self.point(0.0, run, 0.0), self.uphill)

    def slope_length(self, run: float) -> float:
        """Return the length up the slope that a level run makes."""
        return run * hypot(1.0, self.pitch)

    def across(self, station: float) -> Plane:
        """Return the plumb plane up the slope at a station; further along the plate is beyond."""
        return Plane.through(self.point(station, 0.0, 0.0), self.along)

    def strip(
        self, stations: tuple[float, float], runs: tuple[float, float]
    ) -> list[tuple[float, float]]:
        """Return the corners in plan of what lies between two stations and two runs."""
        (begin, end), (low, high) = stations, runs
        corners = ((begin, low), (end, low), (end, high), (begin, high))
        return [(p.x, p.y) for p in (self.point(*corner, 0.0) for corner in corners)]

    def rafter_frame(self, station: float, thickness: float, depth: float) -> Frame:
        """Return the frame of a rafter up the slope, its mid-thickness standing on the station."""
        x = self.uphill * cos(self.slope_angle) + UP * sin(self.slope_angle)
        y = self._across
        top = self.point(station, 0.0, self.height_above_plate)
        return Frame.along(top - y * depth - x.cross(y) * (thickness / 2), x, y)


def up_the_line(one: Face, other: Face) -> Vector:
    """Return the unit direction up the line in which two slopes meet."""
    along = one.plane.normal.cross(other.plane.normal).unit()
    return along if along.z > 0 else -along


def names_together(one: Face, other: Face) -> str:
    """Return what two slopes are called together: `wing 1 near left`, `side 2-3`.

    What both names begin with, a wing and the word before a side's number, is said once.
    """
    (shared, first), (other_shared, second) = map(_parted, (one.name, other.name))
    if shared != other_shared:
        return f"{one.name} {other.name}"
    return f"{shared}{first}{'-' if shared.endswith('side ') else ' '}{second}"


def _parted(name: str) -> tuple[str, str]:
    """Return what a slope's name begins with, and which slope of these it is."""
    found = re.fullmatch(r"((?:wing \d+ )?(?:side )?)(.*)", name)
    assert found is not None, "every part of the pattern may be empty"
    return found[1], found[2]


def plumb_depth(depth: float, pitch: float) -> float:
    """Return the plumb length of a cut through a rafter: depth / cos(slope).

    Source: trigonometry of one triangle; the ridge depth rule of IRC R802.3 refers to it.
    """
    return depth * hypot(1.0, pitch)


def height_above_plate(depth: float, pitch: float, seat: float) -> float:
    """Return the plumb height from a seat's heel to the top edge: d / cos(slope) - seat tan(slope).

    `seat` is the level length of the seat cut. Zero or less where the seat leaves no wood.
    """
    return plumb_depth(depth, pitch) - seat * pitch


def longest_seat(depth: float, pitch: float, notch_limit: float) -> float:
    """Return the level seat whose notch, square to the edge, is that share of the depth.

    A seat s makes a notch s sin(slope) deep: checked in tests/published against print.
    """
    return notch_limit * depth / sin(atan(pitch))
