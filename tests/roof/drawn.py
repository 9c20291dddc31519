"""Rafters drawn from a job by hand, as a framer would: run and height, no planes and no clipping.

The outlines of the tool are held against these. Runs are level from the building line, heights
plumb from the top of the rafter's own plate. With slope angle a, depth d, seat s and pitch p =
tan(a), the top edge stands d / cos(a) - s p over the heel and the bottom edge d / cos(a) lower.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, dist, sin, tan

Vertex = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """One rafter, its head plumb at a run.

    `beam`: half a ridge beam's thickness, and the height of its top. `inside`: run of the inner
    side of a high plate, which the same seat bears on.
    """

    pitch: float
    depth: float
    seat: float
    overhang: float
    tail: str
    head: float
    tail_height: float = 0.0
    birdsmouth: bool = True
    beam: tuple[float, float] | None = None
    inside: float | None = None

    @property
    def slope(self) -> float:
        return atan(self.pitch)

    @property
    def plumb_depth(self) -> float:
        return self.depth / cos(self.slope)

    @property
    def height_above_plate(self) -> float:
        return self.plumb_depth - self.seat * self.pitch

    @property
    def least_overhang(self) -> float:
        """The overhang at which the tail's cut just stays off the plate."""
        least = {
            "plumb": 0.0,
            "square": self.depth * sin(self.slope),
            "level": self.height_above_plate / self.pitch,
            "plumb-level": (self.height_above_plate - self.tail_height) / self.pitch,
        }
        return max(0.0, least[self.tail])

    def top(self, run: float) -> float:
        return self.height_above_plate + self.pitch * run

    def bottom(self, run: float) -> float:
        return self.top(run) - self.plumb_depth

    @property
    def tip(self) -> Vertex:
        """The tail's end on the top edge."""
        return -self.overhang, self.top(-self.overhang)

    def vertices(self) -> list[Vertex]:
        """Return the outline counter-clockwise, from the tip of the tail down."""
        around = [self.tip, *self._tail()]
        if self.birdsmouth:
            if around[-1][0] > 0:  # a level cut that comes to the heel before the bottom edge
                around[-1] = (0.0, around[-1][1])
            elif self.overhang:
                around.append((0.0, self.bottom(0.0)))
            else:  # a plumb tail in the heel line itself
                around.pop()
            around += [(0.0, 0.0), (self.seat, 0.0)]
        if self.inside is not None:
            top = self.pitch * self.inside
            around += [(self.inside, self.bottom(self.inside)), (self.inside, top)]
            around.append((min(self.inside + self.seat, self.head), top))
        if self.beam:
            before = self.head - self.beam[0]
            around += [(before, self.bottom(before)), (before, self.beam[1])]
            around.append((self.head, self.beam[1]))
        elif self.inside is None or self.inside + self.seat < self.head:
            around.append((self.head, self.bottom(self.head)))
        around.append((self.head, self.top(self.head)))
        return [v for i, v in enumerate(around) if dist(v, around[i - 1]) > 1e-6]

    def _tail(self) -> list[Vertex]:
        """Return the tail's vertices under its tip, the last on the bottom edge."""
        out, tip = self.tip
        if self.tail == "plumb":
            return [(out, self.bottom(out))]
        if self.tail == "square":
            return [(out + self.depth * sin(self.slope), tip - self.depth * cos(self.slope))]
        level = (self._level_end, tip - self.tail_height)
        return [(out, tip - self.tail_height), level] if self.tail_height else [level]

    @property
    def _level_end(self) -> float:
        """Run at which a level tail's cut comes to the bottom edge."""
        return (self.plumb_depth - self.tail_height) / self.pitch - self.overhang

    @property
    def length(self) -> float:
        """Length of the shortest board: the top edge, and what the tail's cut reaches past it."""
        past = {
            "plumb": self.depth * tan(self.slope),
            "square": 0.0,
            "level": 0.0,
            "plumb-level": self.tail_height * sin(self.slope),
        }
        return (self.head + self.overhang) / cos(self.slope) + past[self.tail]

    @property
    def cut_away(self) -> float:
        """Area of all that the cuts take from that board: triangles, and a trapezium at a beam."""
        d, p, a = self.depth, self.pitch, self.slope
        plumb_part = self.tail_height * cos(a)
        level_part = d - plumb_part
        wedge = d * d * p / 2
        tail = {
            "plumb": wedge,
            "square": 0.0,
            "level": d * d / p / 2,
            "plumb-level": plumb_part**2 * p / 2 + level_part**2 / p / 2,
        }
        area = wedge + tail[self.tail]
        if self.birdsmouth:
            area += self.seat**2 * p / 2
            if self.tail in ("level", "plumb-level"):
                area -= max(0.0, self._level_end) ** 2 * p / 2  # what both would take
        if self.inside is not None:
            kept = max(0.0, self.inside + self.seat - self.head)
            area += (self.seat**2 - kept**2) * p / 2
        if self.beam:
            half, height = self.beam
            area += half * (height - self.bottom(self.head - half / 2))
        return area
