"""Rafters of a face between the lines that bound it: commons and all jacks, by one rule.

A rafter stands on a station, from what it comes down to (an eave, a wall, a valley or the plate
laid along one) up to what it ends at (a ridge, a hip, or a valley that runs across the face).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Literal

from shapely import Polygon

from cutlist.geometry.outline import Line, clip
from cutlist.geometry.space import UP, Plane, Vector
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.face import Face
from cutlist.roof.member import Member, Role
from cutlist.roof.rafter import notch_over, tail_cuts
from cutlist.roof.support import Strip, plates_under
from cutlist.roof.surface import Interval
from cutlist.tolerance import ON_PLANE, SAME_POINT

ON_WALL = ("eave", "wall")
"""Kinds at which a rafter ends that stands on its own plate: past it, or in line with it."""

BoundKind = Literal["eave", "wall", "valley", "plate", "ridge", "hip"]


@dataclass(frozen=True, kw_only=True)
class Bound:
    """A line at which rafters of a face end, over a range of stations.

    `between`: the stations over which the member has wood. `plane`: its face there, on which they
    lie; it stands beyond. `against`: its
    names. `is_upper`: whether they end there at the top. `width`: of the member on this side of its
    line. `top`: the upper end of a hip's or valley's line,
    `at_top` the ridges that end there. `trim`: a plumb plane past which none of them reaches,
    though the member does.
    """

    kind: BoundKind
    is_upper: bool
    between: Interval
    plane: Plane
    against: tuple[str, ...]
    top: Vector | None = None
    at_top: tuple[str, ...] = ()
    trim: Plane | None = None

    @property
    def cut(self) -> Cut:
        """The cut of rafters that end there."""
        names = {"ridge": "plumb", "wall": "plumb", "plate": "slope"}
        return end_cut(names.get(self.kind, "cheek"), self.plane).against(*self.against)

    def cuts(self, face: Face, stations: Iterable[float]) -> Iterator[Cut]:
        """Return the cuts of a rafter that ends there, its sides on some stations of a face."""
        yield self.cut
        if self.trim is not None:
            trim = replace(self, plane=self.trim)
            if any(self.run(face, at) < trim.run(face, at) - ON_PLANE for at in stations):
                yield end_cut("plumb", self.trim)

    def run(self, face: Face, station: float) -> float:
        """Return the run at which the top edge of a rafter on a station comes to it."""
        gain = self.plane.normal.dot(face.uphill + UP * face.pitch)
        return -self.plane.distance(face.point(station, 0.0, face.top(0.0))) / gain

    def stands_by(self, begin: float, end: float) -> bool:
        """Tell whether any of the member stands between two stations."""
        return self.between[0] < end - SAME_POINT and begin + SAME_POINT < self.between[1]


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One rafter: its station, and the bounds it ends at, the one that ends it first.

    `over_plate`: whether any plate of its face runs under its station.
    """

    face: Face
    station: float
    low: tuple[Bound, ...]
    high: tuple[Bound, ...]
    over_plate: bool = True

    @property
    def foot_run(self) -> float:
        """Run of its foot at mid-thickness."""
        return self.low[0].run(self.face, self.station)

    @property
    def head_run(self) -> float:
        """Run of its head at mid-thickness."""
        return self.high[0].run(self.face, self.station)

    @property
    def stands_on_plate(self) -> bool:
        """Whether it comes down to the building line over a plate, so that it has a heel.

        One on a valley plate that reaches out to the fascia is past the end of the wall's plate.
        """
        if self.low[0].trim is not None:
            return False
        return self.over_plate and (self.low[0].kind in ON_WALL or self.foot_run < -ON_PLANE)

    @property
    def length(self) -> float:
        """Length along its top edge, from the heel line or from its foot if that is higher."""
        return self.face.slope_length(self.head_run - max(self.foot_run, 0.0))

    @property
    def ends_at(self) -> tuple[str, ...]:
        """The kinds of sticks that it lands on but for ridges, in the trade's words."""
        words = {"hip": "hip", "valley": "valley", "plate": "valley plate"}
        kinds = dict.fromkeys(bound.kind for bound in (*self.low, *self.high))
        return tuple(words[kind] for kind in kinds if kind in words)

    def is_whole(self, thickness: float) -> bool:
        """Tell whether its top edge is there on both its sides."""
        sides = (self.station + side * thickness / 2 for side in (-1, 1))
        return all(
            max(b.run(self.face, at) for b in self.low) + SAME_POINT
            < min(b.run(self.face, at) for b in self.high)
            for at in sides
        )

    def overlap(self, size: Size) -> float:
        """Return how far its ends reach past each other along it.

        Where they do, as where a short one's foot is cut level on a valley plate, it has its full
        depth and thickness nowhere. Negative: for how long it has them.
        """
        frame = self.face.rafter_frame(self.station, size.thickness, size.depth)
        corners = [(y, z) for y in (0.0, size.depth) for z in (0.0, size.thickness)]

        def ends(bounds: Sequence[Bound]) -> Iterator[float]:
            for bound in bounds:
                for plane in bound.cut.in_frame(frame).planes:
                    yield from (plane.x_at(*corner) for corner in corners)

        return max(ends(self.low)) - min(ends(self.high))

    @property
    def role(self) -> Role:
        """What it is called; one that ends where hips meet, or a hip and a ridge, is no jack."""
        to_ridge = self.high[0].kind in ("ridge", "plate")
        if self.stands_on_plate:
            return "common" if to_ridge or len(self.high) > 1 else "hip-jack"
        return "valley-jack" if to_ridge else "cripple-jack"


def pieces_at(
    face: Face, bounds: Sequence[Bound], station: float, thickness: float
) -> Iterator[Piece]:
    """Return the rafters on one station of a face, lowest first."""
    crossed = [b for b in bounds if b.between[0] - ON_PLANE <= station <= b.between[1] + ON_PLANE]
    if all(b.is_upper for b in crossed):
        crossed += _at_eaves_corner(face, bounds, station, thickness)
    crossed.sort(key=lambda b: b.run(face, station))
    low: Bound | None = None
    for i, bound in enumerate(crossed):
        if not bound.is_upper:
            low = bound
        elif low is not None and (i == 0 or not crossed[i - 1].is_upper):
            yield _piece(face, bounds, station, thickness, low, bound)


def _at_eaves_corner(
    face: Face, bounds: Sequence[Bound], station: float, thickness: float
) -> list[Bound]:
    """Return what a rafter comes down to between the end of the eave and that of a valley's tail.

    Its middle passes both, but one side still lands on the valley.
    """
    sides = (station - thickness / 2, station + thickness / 2)
    beside = [b for b in bounds if not b.is_upper and b.stands_by(*sides)]
    if {b.kind for b in beside} != {"eave", "valley"}:
        return []
    return [max(beside, key=lambda b: b.run(face, station))]


def _piece(
    face: Face, bounds: Sequence[Bound], station: float, thickness: float, low: Bound, high: Bound
) -> Piece:
    """Return a rafter with all that it is cut to over its thickness."""
    # The middle of what lies inside the building line, however far the tail reaches out.
    middle = (max(low.run(face, station), 0.0) + high.run(face, station)) / 2
    at = face.point(station, middle, face.top(middle))
    sides = (station - thickness / 2, station + thickness / 2)

    def cuts_in(bound: Bound, end: Bound) -> bool:
        if bound is end or bound.is_upper != end.is_upper:
            return False
        if end.trim is not None and bound.kind in ON_WALL:
            return False  # Past the end of the wall's plate only the trim ends them.
        if not bound.stands_by(*sides) or bound.plane.distance(at) > -SAME_POINT:
            return False
        sign = -1 if bound.is_upper else 1
        beside = (max(sides[0], bound.between[0]), min(sides[1], bound.between[1]))
        return any(sign * (bound.run(face, s) - end.run(face, s)) > SAME_POINT for s in beside)

    return Piece(
        face=face,
        station=station,
        low=(low, *(b for b in bounds if cuts_in(b, low))),
        high=(high, *(b for b in bounds if cuts_in(b, high))),
    )


def piece_member(
    job: Job, piece: Piece, strips: Sequence[Strip], *, is_barge: bool = False
) -> Member:
    """Return the rafter as a member: birdsmouth, tail and cheek cuts as it comes to them."""
    size, face = job.rafter.size, piece.face
    sides = [piece.station + side * size.thickness / 2 for side in (-1, 1)]
    cuts: list[Cut] = []
    if not is_barge:
        cuts += _notches(job, piece, sides, strips)
    cuts += [bound.cut for bound in piece.high]
    if any(bound.kind == "eave" for bound in piece.low):
        cuts += tail_cuts(job, face)
    for bound in piece.low:
        cuts += [] if bound.kind == "eave" else bound.cuts(face, sides)
    return Member(
        role="barge" if is_barge else piece.role,
        size=size,
        stick=Stick.trimmed(
            thickness=size.thickness,
            depth=size.depth,
            frame=face.rafter_frame(piece.station, size.thickness, size.depth),
            cuts=cuts,
        ),
        line=face.name,
        station=piece.station,
        head_cut=piece.high[0].cut.planes[0].name,
        foot_cut=job.rafter.tail
        if piece.low[0].kind == "eave"
        else piece.low[0].cut.planes[0].name,
        faces=(face.name,),
        heel_line=face.plumb(0.0) if piece.stands_on_plate else None,
    )


def _notches(job: Job, piece: Piece, sides: Sequence[float], strips: Sequence[Strip]) -> list[Cut]:
    """Return the notches over plates that would be in a rafter's way, its own plate's first.

    What the notch over a higher plate takes, that over a lower one need not.
    """
    face = piece.face
    if piece.low[0].kind == "plate":
        return []  # It stands on the sheathing, clear of the walls.
    seat = face.seat(job.rafter.size.depth)
    found: dict[float, Cut] = {}
    stop = inf
    for top in sorted({strip.top for strip in strips}, reverse=True):
        heel = (top - face.corner.z) / face.pitch
        under = _in_plan(piece, sides, heel, min(heel + seat, stop))
        if names := plates_under(strips, top, under, job.rafter.size.thickness):
            found[top] = _notch(face, top, names)
            stop = heel
    return [found[top] for top in sorted(found, key=lambda top: abs(top - face.corner.z))]


def _notch(face: Face, top: float, plates: Sequence[str]) -> Cut:
    """Return the notch over plates: its seat lies on all, its heel on the face's own alone."""
    seat, heel = notch_over(face, top).planes
    own = tuple(name for name in plates if name == f"{face.name} plate")
    return Cut((replace(seat, against=tuple(plates)), replace(heel, against=own)))


def _in_plan(piece: Piece, sides: Sequence[float], begin: float, end: float) -> Polygon:
    """Return the plan of a rafter from one run to another, as it is cut at its ends."""
    ring = piece.face.strip((sides[0], sides[1]), (begin, end)) if begin < end else []
    # A plate across the head is no plumb bound, and is not near a wall.
    for bound in (*piece.low, *(b for b in piece.high if b.kind != "plate")):
        n = bound.plane.normal
        ring = clip(ring, Line(bound.kind, n.x, n.y, bound.plane.offset))
    return Polygon(ring) if len(ring) > 2 else Polygon()
