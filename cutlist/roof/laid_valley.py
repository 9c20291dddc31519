"""The valley of a wing laid on a roof: the line of the slopes, and the plate along it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon

from cutlist.errors import JobError
from cutlist.geometry.space import Frame, Plane, Vector, meet
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.face import Face, plumb_depth, up_the_line
from cutlist.roof.member import Member
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.roof import LayoutMark
from cutlist.roof.surface import Interval
from cutlist.tolerance import ON_PLANE


@dataclass(frozen=True, kw_only=True)
class LaidValley:
    """The line in which a wing's slope meets the slope it is laid on, and the plate along it.

    `top` is the line's upper end, where it comes under the wing's ridge. `start`: the host's run
    from which the plate runs up, where the plate of the wing's wall ends. `fascia`: the plumb plane
    of the wing's own fascia, past which nothing reaches and which lies beyond; None where that is
    level with the host's.
    """

    host: Face
    face: Face
    top: Vector
    size: Size
    sheathing: float
    start: float = 0.0
    fascia: Plane | None = None

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
        """Where the plate's outer upper edge begins, at its foot.

        The edge lies in the plane of the wing's rafters' tops.
        """
        at = self._edge_over(self.start)
        if self.fascia is not None and self._passes(self.fascia):
            return meet(self.face.plane, self.seat, self.fascia)
        return at

    def _edge_over(self, run: float) -> Vector:
        return meet(self.face.plane, self.seat, self.host.plumb(run))

    def _passes(self, fascia: Plane) -> bool:
        """Tell whether the plate's edge would come out past the fascia at its foot."""
        return fascia.distance(self._edge_over(self.start)) > ON_PLANE

    @property
    def set_back(self) -> float:
        """How far the plate's outer edge lies from where the wing's slope comes to the sheathing.

        It is square to that line, up the sheathing, on which the line can be snapped. In a section
        square to it the two planes are at an angle a, and the edge is the plate's thickness above
        the sheathing: it lies that over tan(a) away.
        """
        line = meet(self.face.plane, self.deck, self.host.plumb(0.0))
        off = self.edge - self.deck.normal * self.deck.distance(self.edge) - line
        return (off - self.direction * off.dot(self.direction)).length()

    @cached_property
    def out(self) -> Vector:
        """Unit direction in the sheathing, square to the line, to the right seen up it."""
        return self.direction.cross(self.host.plane.normal)

    @cached_property
    def frame(self) -> Frame:
        """The plate's frame: it lies flat, its top edge the outer one.

        Its near face is up on the right side of the wing and down on the left, as on a pair.
        """
        up, out = self.host.plane.normal, self.out
        if out.dot(self.face.uphill) < 0:
            return Frame.along(self.edge - out * self.size.depth, self.direction, out)
        under = self.edge - up * self.size.thickness
        return Frame.along(under + out * self.size.depth, self.direction, -out)

    @property
    def inner_edge(self) -> Vector:
        """Where the plate's inner upper edge begins, square across from the outer one."""
        inward = self.out if self.out.dot(self.face.uphill) > 0 else -self.out
        return self.edge + inward * self.size.depth

    @property
    def plan(self) -> Polygon:
        """The plate in plan, from its foot to where its line ends."""
        up = self.direction * (self.top - self.edge).dot(self.direction)
        ring = (self.edge, self.edge + up, self.inner_edge + up, self.inner_edge)
        return Polygon([(p.x, p.y) for p in ring])

    def inner_run(self, run: float) -> float:
        """Return how far inside the wing's building line the plate reaches over a host's run."""
        corner = self.inner_edge
        more = (run - self.host.run(corner)) / self.direction.dot(self.host.uphill)
        return self.face.run(corner + self.direction * more)

    def outer_run(self, run: float) -> float:
        """Return where the plate's outer edge lies over a host's run, as a run of the wing's."""
        return self.face.run(self._edge_over(run))

    def reach(self, ridge: RidgeLine) -> float:
        """Return how far its outer edge runs up, from its foot to a ridge."""
        side = ridge.side(self.face)
        return -side.distance(self.edge) / side.normal.dot(self.direction)

    def station(self, run: float) -> float:
        """Return the station on the wing's slope at a run of the host's, square to it."""
        gain = self.host.uphill.dot(self.face.along)
        return (run - self.host.run(self.face.corner)) / gain

    def deck_run(self, height: float) -> float:
        """Return the host's run at which the top of its sheathing is at a height."""
        at_line = self.host.corner.z + self.host.top(0.0)
        return (height - at_line - plumb_depth(self.sheathing, self.host.pitch)) / self.host.pitch

    @property
    def foot(self) -> tuple[Cut, ...]:
        """The plumb cuts of its foot: along the host's slope, and along the fascia it comes to."""
        cuts = (end_cut("plumb", self.host.plumb(self.start).flipped()),)
        if self.fascia is not None and self._passes(self.fascia):
            return (*cuts, end_cut("plumb", self.fascia))
        return cuts


def mouth(valleys: Iterable[LaidValley]) -> Interval:
    """Return from where to where along the host's building line a wing's side walls stand."""
    begin, end = sorted(
        -valley.face.run(valley.host.corner) / valley.face.uphill.dot(valley.host.along)
        for valley in valleys
    )
    return begin, end


def valley_plate(valley: LaidValley, ridge: RidgeLine) -> Member:
    """Return the plate of a valley: from where the wall's plate ends up to the wing's ridge."""
    head = end_cut("cheek", ridge.side(valley.face)).against(ridge.name)
    return Member(
        role="valley-plate",
        size=valley.size,
        stick=Stick.trimmed(
            thickness=valley.size.thickness,
            depth=valley.size.depth,
            frame=valley.frame,
            cuts=(head, *valley.foot),
        ),
        line=valley.line,
        station=0.0,
        head_cut="cheek",
        foot_cut="plumb",
        faces=(),
    )


def plate_marks(valley: LaidValley, rafters: Iterable[Member]) -> Iterator[LayoutMark]:
    """Return where jacks come onto a valley plate, along its outer edge from its long point.

    That is at its outer edge, or at its end along the fascia.
    """
    face, seat, fascia = valley.face, valley.seat, valley.fascia
    begin = valley.edge
    if len(valley.foot) > 1 and fascia is not None:
        begin = meet(seat, valley.host.plumb(valley.start), fascia)

    def place(station: float) -> float:
        across = face.across(station)
        at = meet(face.plane, seat, across)
        if fascia is not None and fascia.distance(at) > 0:
            at = meet(fascia, seat, across)
        return (at - begin).dot(valley.direction)

    for member in rafters:
        if any(valley.line in p.against for p in member.stick.end_planes("foot")):
            half = member.stick.thickness / 2
            yield LayoutMark(
                line=f"{valley.line} plate",
                center=place(member.station),
                member=member,
                taken=abs(place(member.station + half) - place(member.station - half)),
            )
