"""A shed dormer: one slope laid on a steeper one, from its front wall back to where they meet.

Its front wall's plate stands above the sheathing, and its sides are open ends. A plate lies flat on
the sheathing across its head, set back so far that its upper edge comes up to the rafters' tops;
the rafters' heads are cut to lie on it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from shapely import Polygon

from cutlist.errors import JobError
from cutlist.geometry.space import Plane, Vector, meet
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.bounds import Bound
from cutlist.roof.clearance import must_be_high, sheathing_around, tail_end
from cutlist.roof.face import Face
from cutlist.roof.laid_wing import deck_piece
from cutlist.roof.level import joints_on_rafters, level_members
from cutlist.roof.member import Member
from cutlist.roof.placed import length_text, place
from cutlist.roof.roof import LayoutMark
from cutlist.roof.slope import Slope
from cutlist.roof.support import Support
from cutlist.roof.surface import Interval, Surface, Wing, height_at
from cutlist.tolerance import ON_PLANE, PARALLEL
from cutlist.units import rounded_up

LEAST_DIFFERENCE = 0.02
"""By how much the pitch of a shed dormer is at least lower than that of the slope beneath it."""


@dataclass(frozen=True, kw_only=True)
class LaidShed:
    """A shed dormer on a slope, and the plate at its head.

    `rake`: how far the roof reaches past its side walls. `deck`: in plan, a convex piece of the
    host's sheathing under it and beside it.
    """

    face: Face
    host: Face
    size: Size
    sheathing: float
    rake: float
    deck: Polygon

    @property
    def line(self) -> str:
        """The head plate's name."""
        return f"{self.face.name} head plate"

    @cached_property
    def seat(self) -> Plane:
        """The top of the head plate, on which rafters lie; below it lies beyond."""
        return self.host.plane.moved(self.sheathing + self.size.thickness).flipped()

    @cached_property
    def edge(self) -> Vector:
        """Where the plate's upper edge, which lies in the rafters' tops, passes its first wall."""
        return meet(self.face.plane, self.seat, self.face.across(0.0))

    @property
    def reach(self) -> Interval:
        """From where to where along the wing's front the roof reaches."""
        return -self.rake, self.face.length + self.rake

    @property
    def up_the_slope(self) -> float:
        """How far up the host's slope its upper edge lies, from over the host's building line."""
        return self.host.slope_length(self.host.run(self.edge))

    @property
    def sheathing_under(self) -> Support:
        """The host's sheathing under it."""
        return deck_piece(self.host, self.sheathing, self.deck)

    def bounded(self, slope: Slope) -> Slope:
        """Return its slope with the plate at its head, and the plate of its front wall whole."""
        head = Bound(
            kind="plate",
            is_upper=True,
            between=self.reach,
            plane=self.seat,
            against=(self.line,),
        )
        eaves = (replace(b, between=self.reach) for b in slope.bounds if b.kind == "eave")
        return replace(slope, bounds=(*eaves, head), plates=((0.0, self.face.length),))

    def plate(self, job: Job, rafters: Iterable[Member]) -> tuple[Member, ...]:
        """Return the plate at its head, in lengths that can be had, joined under rafters."""
        begin, end = self.reach
        stations = sorted(member.station for member in self._own(rafters))
        joints = joints_on_rafters(job, self.size, begin, end, stations)
        normal = self.host.plane.normal
        return level_members(
            "head-plate",
            self.size,
            self.line,
            start=self.edge - normal * (self.size.thickness / 2),
            along=self.face.along,
            up=normal.cross(self.face.along),
            joints=joints,
            faces=(),
        )

    def marks(self, rafters: Iterable[Member]) -> Iterator[LayoutMark]:
        """Return where rafters lie on the plate at its head, from its first end."""
        for member in self._own(rafters):
            yield LayoutMark(line=self.line, center=member.station + self.rake, member=member)

    def _own(self, rafters: Iterable[Member]) -> Iterator[Member]:
        return (member for member in rafters if member.line == self.face.name)


def sheds_must_meet(job: Job, surface: Surface) -> None:
    """Refuse shed dormers that do not run straight up a steeper slope until they meet it."""
    for wing in (wing for wing in surface.wings if wing.is_shed):
        if problem := _does_not_meet(job, wing, _host(surface, wing)):
            raise JobError([problem])


def laid_sheds(job: Job, surface: Surface) -> Iterator[LaidShed]:
    """Return the shed dormers of a surface, each on a slope of its first roof.

    Raises JobError for one that is too low.
    """
    first = surface.wings[0]
    for wing in (wing for wing in surface.wings if wing.is_shed):
        yield _laid(job, first, wing, _host(surface, wing))


def _host(surface: Surface, wing: Wing) -> Face:
    """Return the slope of the first roof over which the middle of a shed's front wall stands."""
    at = _front(wing)
    return surface.wings[0].face_over((at.x, at.y))


def _front(wing: Wing) -> Vector:
    (face,) = wing.faces
    return face.point(face.length / 2, 0.0, 0.0)


def _laid(job: Job, first: Wing, wing: Wing, host: Face) -> LaidShed:
    (face,), valley = wing.faces, job.valley
    if valley is None or valley.sheathing is None:
        raise JobError(["valley.sheathing: it is missing"])
    deck = sheathing_around(job, first, wing, host)
    assert isinstance(deck, Polygon), "a convex part of a convex cell is one"
    top = host.plane.moved(valley.sheathing)
    # A wall's plate is drawn as deep as it is wide; rafters lie on the plate at its head behind it.
    least = max(job.plate.width, valley.size.thickness)
    back = face.point(0.0, job.plate.width, -least)
    must_be_high(job, wing, -top.distance(back) / top.normal.z, back)
    if face.overhang:
        # Out in front the sheathing falls away faster than the tails do.
        tail_end(job, wing, face)
    return LaidShed(
        face=face,
        host=host,
        size=valley.size,
        sheathing=valley.sheathing,
        rake=-wing.rakes[0].excess((face.corner.x, face.corner.y)),
        deck=deck,
    )


def _does_not_meet(job: Job, wing: Wing, host: Face) -> str:
    """Return why a shed does not run back until it meets the slope beneath; empty if it does."""
    (face,), at = wing.faces, place(job, _front(wing))
    if host.uphill.dot(face.uphill) < 1 - PARALLEL:
        return (
            f"{wing.key}.turn: its front wall does not run along the eaves beneath it at {at}; "
            "turn it so that its slope runs straight up that one"
        )
    if host.run(face.corner) < -ON_PLANE:
        return f"{wing.key}.at: its front wall stands outside the first roof's at {at}; move it in"
    if face.pitch > host.pitch - LEAST_DIFFERENCE:
        return (
            f"{wing.key}.pitch: it must be lower than that of the {host.name} slope beneath, so "
            "that the two meet"
        )
    above = face.corner.z + face.top(0.0) - height_at(host, (face.corner.x, face.corner.y))
    run = above / (host.pitch - face.pitch)
    back = -wing.limits[-1].excess((face.corner.x, face.corner.y))
    if run > back + ON_PLANE:
        span = length_text(job, rounded_up(run, job.saw.round_to))
        return f"{wing.key}.span: it ends above the roof beneath; make it {span} or more"
    return ""


def bounded_by_sheds(slope: Slope, sheds: Sequence[LaidShed]) -> Slope:
    """Return a slope as bounded by the plate at its head, if it is a shed's."""
    for shed in sheds:
        if slope.face == shed.face:
            return shed.bounded(slope)
    return slope
