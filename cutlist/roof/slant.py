"""Hip and valley rafters of roofs that meet: their ends, and how far their wide faces reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot, inf

from shapely import MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry

from cutlist.geometry.space import UP, Plane, Vector
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.roof.face import Face, plumb_depth
from cutlist.roof.hip import Hip
from cutlist.roof.member import Member
from cutlist.roof.rafter import tail_cuts
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.slant_line import SlantLine
from cutlist.roof.support import Strip
from cutlist.roof.valley import Valley
from cutlist.tolerance import ON_PLANE, SAME_SHAPE, SLIVER


@dataclass(frozen=True, kw_only=True)
class Slant:
    """A hip or valley with the upper end of its line, where its stick ends, and the cuts there.

    `top` lies on the surface; a supporting valley runs on from it to `stop`. `ridges` names those
    that end at a hip's top, where commons stand under it. `foot`: the cuts of a hip that starts
    where others meet; empty for one that comes down to the eaves. `on`: the ridge that a broken
    hip's foot stands on.
    """

    line: SlantLine
    top: Vector
    stop: Vector
    head: tuple[Cut, ...]
    ridges: tuple[str, ...] = ()
    foot: tuple[Cut, ...] = ()
    on: RidgeLine | None = None

    @property
    def name(self) -> str:
        """What its line is called."""
        return self.line.line

    @cached_property
    def plan(self) -> BaseGeometry:
        """Its stick in plan, from the eaves to where its line stops."""
        line, ends = self.line, (self.line.eaves_corner, self.stop)
        sides = [line.outward(face) * line.width(face) for face in (line.main, line.end)]
        corners = [end + side for end in ends for side in sides]
        return MultiPoint([(p.x, p.y) for p in corners]).convex_hull

    def stands_in(self, strip: Strip) -> Point | None:
        """Return where it would stand in a plate that it passes over without a seat; None if not.

        Inside the corner of its plates it has one, and comes no lower; its tail may.
        """
        line = self.line
        for at in self.underside(strip.shape):
            has_seat = not self.foot and (at - line.foot).dot(line.level) > -SAME_SHAPE
            seat = line.main.corner.z if has_seat else -inf
            if max(at.z, seat) < strip.top - ON_PLANE:
                shared = strip.shape.intersection(self.plan)
                return shared.centroid if shared.area > SLIVER else None
        return None

    def underside(self, shape: BaseGeometry) -> Iterator[Vector]:
        """Return the corners of its underside, as if it had no seat, over a shape in plan."""
        line, shared = self.line, shape.intersection(self.plan)
        depth = line.drop + plumb_depth(line.size.depth, line.pitch)
        for x, y in shared.exterior.coords if isinstance(shared, Polygon) else ():
            past = (Vector(x, y, 0.0) - line.foot).dot(line.level)
            yield Vector(x, y, line.foot.z + line.pitch * past - depth)

    def tail(self, job: Job) -> tuple[Cut, ...]:
        """Return the cuts of its tail: a hip's as of both slopes' rafters.

        A valley's is square to it at the inside corner of the eaves, and as deep as can be, since
        tails of rafters land on it; a level soffit cuts it as it does the rafters.
        """
        line = self.line
        if self.foot:
            return self.foot
        if not isinstance(line, Valley):
            both = (cut for face in (line.main, line.end) for cut in tail_cuts(job, face))
            return tuple(dict.fromkeys(both))
        return tuple(_valley_tail(job, line))

    def begins_at(self, job: Job) -> float:
        """Return how far up the line from its foot what lands on the stick is measured from.

        A broken hip's foot has its long point there, which stands off the point of the three lines.
        """
        if self.on is None:
            return 0.0
        line = self.line
        ends = (self.side_ends(job, face)[0] for face in (line.main, line.end))
        return min((end - line.foot).dot(line.level) for end in ends) * hypot(1.0, line.pitch)

    def side_ends(self, job: Job, face: Face) -> tuple[Vector, Vector]:
        """Return from where to where the wide face on a slope's side meets that slope's rafters.

        Both lie on its top edge: where it ends at the tail, and at the head. A valley's begins
        where the cut of the rafters' tails comes down to that edge; below it they pass over.
        """
        line = self.line
        side = line.side(face)
        tails = tail_cuts(job, face) if isinstance(line, Valley) else ()
        top = line.foot - UP * line.drop
        start = top - side.normal * side.distance(top)

        def at(cut: Cut) -> float:
            plane = cut.planes[0].plane
            return -plane.distance(start) / plane.normal.dot(line.direction)

        return (
            start + line.direction * max(at(cut) for cut in (*self.tail(job), *tails)),
            start + line.direction * min(at(cut) for cut in self.head),
        )


def _valley_tail(job: Job, valley: Valley) -> Iterator[Cut]:
    if job.rafter.tail != "level":
        yield end_cut("plumb", Plane.through(valley.eaves_corner, -valley.level))
    for cut in tail_cuts(job, valley.main):
        if cut.planes[0].name == "level":
            yield cut


def slant_member(job: Job, slant: Slant, strips: Sequence[Strip]) -> Member:
    """Return a hip or valley rafter: its seats over the plates, its head where it lands."""
    line, tail = slant.line, slant.tail(job)
    supporting = isinstance(line, Valley) and line.supporting
    # A valley may end before it comes to the higher of two plates.
    under = [replace(strip, shape=strip.shape.intersection(slant.plan)) for strip in strips]
    seats = () if slant.foot else line.seats(under)
    backing = line.backing if isinstance(line, Hip) else ()
    return Member(
        role="valley" if isinstance(line, Valley) else "hip",
        size=line.size,
        stick=Stick.trimmed(
            thickness=line.size.thickness,
            depth=line.size.depth,
            frame=line.frame,
            cuts=(*seats, *backing, *slant.head, *tail),
        ),
        line=line.line,
        station=0.0,
        head_cut=slant.head[0].planes[0].name,
        foot_cut=tail[0].planes[0].name,
        faces=(line.main.name,) if supporting else (line.main.name, line.end.name),
        heel_line=None if slant.foot else line.heel_line,
    )
