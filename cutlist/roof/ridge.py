"""The ridge: where two main slopes meet, what stands there, and how rafters end at it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from cutlist.errors import JobError
from cutlist.geometry.space import ALONG, UP, Plane, Vector, meet
from cutlist.geometry.stick import end_cut, notch
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.face import Face, plumb_depth
from cutlist.roof.level import joints_on_rafters, level_members
from cutlist.roof.member import Member
from cutlist.roof.rafter import Head
from cutlist.roof.roof import Bearing, Height
from cutlist.roof.slopes import Slopes
from cutlist.tolerance import SAME_POINT

RIDGE_BEAM = "ridge beam"
"""What a bearing on a ridge beam calls it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ridge:
    """The line in which the main slopes meet, and what stands under it.

    `size` is None where the rafters meet each other. A board stands between the rafters' heads, a
    beam (`carries`) under them. `point` is a point of the line.
    """

    near: Face
    far: Face
    point: Vector
    size: Size | None
    carries: bool

    @classmethod
    def between(cls, job: Job, slopes: Slopes) -> Ridge:
        """Return the ridge of a job between its main slopes."""
        near, far = slopes.main
        table = job.ridge
        return cls(
            near=near,
            far=far,
            point=meet(near.plane, far.plane, near.across(0.0)),
            size=table.size if table else None,
            carries=table is not None and table.kind == "beam",
        )

    def without_member(self) -> Ridge:
        """Return the ridge at which the rafters meet each other."""
        return replace(self, size=None, carries=False)

    @property
    def half(self) -> float:
        """Half the thickness of what stands at the ridge."""
        return self.size.thickness / 2 if self.size else 0.0

    def top(self, depth: float) -> float:
        """Return the height of its top over the near plate, for rafters of a depth.

        A board's top corners stand above neither slope. A beam is as low as lets the rafters of
        both sides bear on the whole of their half.
        """
        if self.carries:
            return max(
                f.corner.z + f.top(f.run(self.point)) - plumb_depth(depth, f.pitch)
                for f in (self.near, self.far)
            )
        return min(f.corner.z + f.top(f.run(self.point) - self.half) for f in (self.near, self.far))

    def head(self, face: Face, depth: float) -> Head:
        """Return how rafters of that depth end on one of the main slopes."""
        opposite = self.far if face is self.near else self.near
        run = face.run(self.point)
        if self.size and not self.carries:
            cut = end_cut("plumb", face.plumb(run - self.half)).against("ridge")
            return Head(name="plumb", cuts=(cut,))
        meeting = end_cut("plumb", face.plumb(run)).against(opposite.name)
        if not self.carries:
            return Head(name="plumb", cuts=(meeting,))
        corner = face.corner.z + face.top(run - self.half)
        if self.top(depth) >= corner - SAME_POINT:
            raise JobError(
                [
                    f"ridge.size: a beam so thick stands out of the {face.name} slope; take a "
                    "narrower one, or bring the pitches nearer to each other"
                ]
            )
        top = Plane(-UP, -self.top(depth))
        over = notch(**{"beam-seat": top, "beam-heel": face.plumb(run - self.half)})
        return Head(name="plumb", cuts=(meeting, over.against("ridge")))


def ridge_members(
    job: Job, ridge: Ridge, begin: float, end: float, rafters_at: tuple[float, ...]
) -> tuple[Member, ...]:
    """Return the ridge from begin to end: a board joined on rafters, a beam in one length."""
    if ridge.size is None:
        return ()
    joints = (
        (begin, end)
        if ridge.carries
        else joints_on_rafters(job, ridge.size, begin, end, rafters_at)
    )
    return level_members(
        "ridge",
        ridge.size,
        "ridge",
        start=Vector(0.0, ridge.point.y, ridge.top(job.rafter.size.depth)),
        along=ALONG,
        joints=joints,
        faces=() if ridge.carries else (ridge.near.name, ridge.far.name),
    )


def ridge_heights(job: Job, ridge: Ridge) -> tuple[Height, ...]:
    """Return the heights to set the ridge by, over the near plate."""
    heights = (
        Height(name="rafter tops at the building line", above_plate=ridge.near.height_above_plate),
        Height(name="rafter tops meeting over the ridge", above_plate=ridge.point.z),
    )
    if ridge.size is None:
        return heights
    top = ridge.top(job.rafter.size.depth)
    return (
        *heights,
        Height(name="ridge top", above_plate=top),
        Height(name="ridge bottom", above_plate=top - ridge.size.depth),
    )


def beam_bearings(members: tuple[Member, ...]) -> tuple[Bearing, ...]:
    """Return what rafters bear on at a ridge beam."""
    return tuple(
        Bearing(member=m, support=RIDGE_BEAM, seat=n.seat, on_plate=n.seat, on_post=0.0)
        for m in members
        for n in m.notches
        if n.name == "beam-seat"
    )
