"""Wings laid on the finished slope of the first roof: plates on its sheathing, no valley rafters.

The first roof is framed whole and sheathed. A wing's ridge runs on until it lands on the sheathing.
Along the line in which the two roofs meet a valley plate lies flat on the sheathing, set back so
far that its outer edge comes up to the wing's rafters' tops; the wing's jacks stand on it. Both
roofs take the same sheathing, so that their finished surfaces meet over the line of their rafters'
tops. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from cutlist.errors import JobError
from cutlist.geometry.space import UP, Frame, Plane, Vector, meet
from cutlist.geometry.stick import Stick, end_cut
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.bounds import Bound
from cutlist.roof.face import Face, plumb_depth, up_the_line
from cutlist.roof.meeting import hip_slant, must_drain, ridge_end, ridges_of
from cutlist.roof.member import Member
from cutlist.roof.placed import place
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.roof import LayoutMark
from cutlist.roof.slant import Slant
from cutlist.roof.support import Support
from cutlist.roof.surface import Edge, Interval, Surface, Wing, is_one_place
from cutlist.tolerance import ON_PLANE, PARALLEL, SAME_POINT, SLIVER


@dataclass(frozen=True, kw_only=True)
class LaidValley:
    """The line in which a wing's slope meets the slope it is laid on, and the plate along it.

    `top` is the line's upper end, where it comes under the wing's ridge.
    """

    host: Face
    face: Face
    top: Vector
    size: Size
    sheathing: float

    @classmethod
    def of(cls, job: Job, host: Face, face: Face, top: Vector) -> LaidValley:
        """Return the valley of a job. Raises JobError without [valley] and its sheathing."""
        if job.valley is None or job.valley.sheathing is None:
            raise JobError(["valley.sheathing: it is missing"])
        return cls(
            host=host,
            face=face,
            top=top,
            size=job.valley.size,
            sheathing=job.valley.sheathing,
        )

    @property
    def line(self) -> str:
        """The plate's name."""
        return f"{self.host.name} {self.face.name} valley"

    @property
    def deck_name(self) -> str:
        """The sheathing's name."""
        return f"{self.host.name} sheathing"

    @cached_property
    def deck(self) -> Plane:
        """The top of the sheathing; above it lies beyond."""
        return self.host.plane.moved(self.sheathing)

    @cached_property
    def seat(self) -> Plane:
        """The top of the plate, on which jacks stand; below it lies beyond."""
        return self.deck.moved(self.size.thickness).flipped()

    @cached_property
    def direction(self) -> Vector:
        """Unit direction up the line."""
        return up_the_line(self.host, self.face)

    @cached_property
    def edge(self) -> Vector:
        """Where the plate's outer upper edge stands over the host's building line.

        The edge lies in the plane of the wing's rafters' tops.
        """
        return meet(self.face.plane, self.seat, self.host.plumb(0.0))

    @property
    def set_back(self) -> float:
        """How far the plate's outer edge lies from the line, up the host's slope square to it.

        In a section square to the line the two planes are at an angle a, and the edge is the
        plate's and the sheathing's thickness above the host's: it lies that over tan(a) away.
        """
        line = meet(self.face.plane, self.host.plane, self.host.plumb(0.0))
        off = self.edge - self.host.plane.normal * self.host.plane.distance(self.edge) - line
        return (off - self.direction * off.dot(self.direction)).length()

    @cached_property
    def frame(self) -> Frame:
        """The plate's frame: it lies flat, its top edge the outer one.

        Its near face is up on the right side of the wing and down on the left, as on a pair.
        """
        up = self.host.plane.normal
        out = self.direction.cross(up)
        if out.dot(self.face.uphill) < 0:
            return Frame.along(self.edge - out * self.size.depth, self.direction, out)
        under = self.edge - up * self.size.thickness
        return Frame.along(under + out * self.size.depth, self.direction, -out)

    def reach(self, ridge: RidgeLine) -> float:
        """Return how far its outer edge runs up, from the host's building line to a ridge."""
        side = ridge.side(self.face)
        return -side.distance(self.edge) / side.normal.dot(self.direction)

    def station(self, run: float) -> float:
        """Return the station on the wing's slope at a run of the host's, square to it."""
        gain = self.host.uphill.dot(self.face.along)
        return (run - self.host.run(self.face.corner)) / gain


@dataclass(frozen=True, kw_only=True)
class LaidWing:
    """A wing laid on a slope: its valleys, its ridge with its end cut to the slope, its hips."""

    valleys: tuple[LaidValley, LaidValley]
    ridge: RidgeLine
    hips: tuple[Slant, ...]

    @property
    def host(self) -> Face:
        """The slope it is laid on."""
        return self.valleys[0].host

    @property
    def mouth(self) -> Interval:
        """From where to where along the host's building line its side walls stand."""
        begin, end = sorted(
            -valley.face.run(self.host.corner) / valley.face.uphill.dot(self.host.along)
            for valley in self.valleys
        )
        return begin, end

    @property
    def tails_beside(self) -> BaseGeometry:
        """Where, in plan, the host's rafters have their tails on both sides of the mouth."""
        host, (begin, end) = self.host, self.mouth

        def strip(one: float, other: float) -> Polygon:
            corners = ((one, 0.0), (other, 0.0), (other, -host.overhang), (one, -host.overhang))
            points = (host.point(station, run, 0.0) for station, run in corners)
            return Polygon([(p.x, p.y) for p in points])

        return strip(0.0, begin).union(strip(end, host.length))


def laid_wings(job: Job, surface: Surface) -> Iterator[LaidWing]:
    """Return the wings of a surface as laid on the slopes of its first roof.

    Raises JobError for a wing that does not end on one slope, square to it, under its ridge.
    """
    first, *wings = surface.wings
    edges = [edge for edge in surface.edges if edge.kind == "valley"]
    hips = [edge for edge in surface.edges if edge.kind == "hip"]
    ridges = ridges_of(job, surface)
    must_drain(job, surface, hips, edges)
    for wing in wings:
        own = {face.name for face in wing.faces}
        mine = [edge for edge in edges if own & {face.name for face in edge.faces}]
        valleys = [_laid_valley(job, edge, own, first) for edge in mine]
        tops = {(round(edge.end.x, 3), round(edge.end.y, 3)) for edge in mine}
        ridge = [r for r in ridges if own >= {face.name for face in r.faces}]
        if len(valleys) != 2 or len(tops) != 1 or len(ridge) != 1:
            at = f" at {place(job, mine[0].end)}" if mine else ""
            raise JobError([_refused(f"a wing that meets it as {wing.name} does{at}")])
        own_hips = [edge for edge in hips if own >= {face.name for face in edge.faces}]
        cuts = [
            (end_cut("slope", valleys[0].deck.flipped()).against(valleys[0].deck_name),)
            if is_one_place(point, mine[0].end)
            else ridge_end(job, ridge[0], point, ridge, own_hips, [], {})
            for point in (ridge[0].start, ridge[0].end)
        ]
        whole = replace(ridge[0], cuts=(cuts[0], cuts[1]))
        if any(valley.reach(whole) < SAME_POINT for valley in valleys):
            told = f"a wing whose ridge ends so low, at {place(job, mine[0].end)},"
            raise JobError([f"{_refused(told)}, or make it wider or steeper"])
        slants = tuple(hip_slant(job, edge, [whole]) for edge in own_hips)
        for slant in slants:
            if _stands_in(valleys[0], slant):
                told = f"a wing whose hip comes down on it, as at {place(job, slant.top)},"
                raise JobError([f"{_refused(told)}, or make it longer"])
        laid = LaidWing(valleys=(valleys[0], valleys[1]), ridge=whole, hips=slants)
        for slant in slants:
            shared = slant.plan.intersection(laid.tails_beside)
            if shared.area > SLIVER:
                told = f"a wing whose hip runs among its tails, at {place(job, shared.centroid)},"
                raise JobError([f"{_refused(told)}, or make it longer"])
        yield laid


def _laid_valley(job: Job, edge: Edge, own: Collection[str], first: Wing) -> LaidValley:
    (face,) = (face for face in edge.faces if face.name in own)
    (host,) = (other for other in edge.faces if other is not face)
    if host.name not in {f.name for f in first.faces}:
        raise JobError([_refused(f"a wing that meets another, as at {place(job, edge.start)},")])
    if abs(host.uphill.dot(face.along)) < 1 - PARALLEL:
        told = f"a wing that is not square to it, as at {place(job, edge.start)},"
        raise JobError([_refused(told)])
    return LaidValley.of(job, host, face, edge.end)


def _stands_in(valley: LaidValley, slant: Slant) -> bool:
    """Tell whether a wing's hip comes down into the sheathing that the wing is laid on."""
    hip = slant.line
    under = UP * (hip.drop + plumb_depth(hip.size.depth, hip.pitch))
    inside = valley.host.run(slant.top)
    begin = slant.top - hip.direction * (inside / hip.direction.dot(valley.host.uphill))
    sides = [hip.outward(face) * hip.width(face) for face in (hip.main, hip.end)]
    ends = (begin, slant.top) if inside > 0 else ()
    corners = (end + side - under for end in ends for side in sides)
    return any(valley.deck.distance(corner) < -ON_PLANE for corner in corners)


def _refused(what: str) -> str:
    return f'valley.kind: {what} cannot be laid on the first roof; write kind = "framed"'


def valley_plate(valley: LaidValley, ridge: RidgeLine) -> Member:
    """Return the plate of a valley: from over the host's building line up to the wing's ridge."""
    foot = end_cut("plumb", valley.host.plumb(0.0).flipped())
    head = end_cut("cheek", ridge.side(valley.face)).against(ridge.name)
    return Member(
        role="valley-plate",
        size=valley.size,
        stick=Stick.trimmed(
            thickness=valley.size.thickness,
            depth=valley.size.depth,
            frame=valley.frame,
            cuts=(head, foot),
        ),
        line=valley.line,
        station=0.0,
        head_cut="cheek",
        foot_cut="plumb",
        faces=(),
    )


def deck(wing: LaidWing) -> Support:
    """Return the sheathing under a wing: from its host's building line up between its valleys."""
    host, first = wing.host, wing.valleys[0]
    x = host.uphill.cross(UP)
    middle = host.point(sum(wing.mouth) / 2, 0.0, 0.0)

    def along(valley: LaidValley) -> Plane:
        plane = Plane.through(valley.top, valley.direction.cross(UP))
        return plane if plane.distance(middle) < 0 else plane.flipped()

    return Support(
        name=first.deck_name,
        stick=Stick.trimmed(
            thickness=first.sheathing,
            depth=host.slope_length(host.run(first.top)),
            frame=Frame.along(
                host.point(0.0, 0.0, host.height_above_plate), x, host.plane.normal.cross(x)
            ),
            cuts=(
                *(end_cut("cheek", along(valley)) for valley in wing.valleys),
                end_cut("plumb", host.plumb(0.0).flipped()),
            ),
        ),
    )


def laid_bounds(wing: LaidWing) -> Iterator[tuple[Face, Bound]]:
    """Return at what rafters of both roofs end where a wing is laid on another.

    The host's have no tails between the wing's walls, nor the wing's beside the host's overhang,
    which reaches up to the wing's wall. Above the building line the wing's stand on its plates.
    """
    yield wing.host, _wall(wing.host, wing.mouth)
    for valley in wing.valleys:
        beside, corner, top = (
            valley.station(run) for run in (-wing.host.overhang, 0.0, valley.host.run(valley.top))
        )
        yield valley.face, _wall(valley.face, (min(beside, corner), max(beside, corner)))
        yield (
            valley.face,
            Bound(
                kind="plate",
                is_upper=False,
                between=(min(corner, top), max(corner, top)),
                plane=valley.seat,
                against=(valley.line,),
            ),
        )


def _wall(face: Face, between: Interval) -> Bound:
    plane = face.plumb(0.0).flipped()
    return Bound(kind="wall", is_upper=False, between=between, plane=plane, against=())


def plate_marks(valley: LaidValley, rafters: Iterable[Member]) -> Iterator[LayoutMark]:
    """Return where jacks stand along a valley plate's outer edge, from its foot."""
    for member in rafters:
        if any(valley.line in p.against for p in member.stick.end_planes("foot")):
            at = meet(valley.face.plane, valley.seat, valley.face.across(member.station))
            center = (at - valley.edge).dot(valley.direction)
            yield LayoutMark(line=f"{valley.line} plate", center=center, member=member)
