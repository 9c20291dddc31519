"""Hip rafters: their heads, seats and tails as planes, what they bear on, and jacks' heads."""

from __future__ import annotations

from cutlist.geometry.space import Plane
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.roof.ends import is_raised, raised_plate
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.member import Member
from cutlist.roof.rafter import Head, tail_cuts
from cutlist.roof.roof import Bearing
from cutlist.roof.slopes import Slopes


def hip_head(hip: Hip, face: Face) -> Head:
    """Return how jacks of a slope end at a hip: on its wide face."""
    return Head(name="cheek", cuts=(end_cut("cheek", hip.side(face)).against(hip.line),))


def apex_side(job: Job, slopes: Slopes, end: Face, face: Face) -> Plane:
    """Return the side, toward a slope's eave, of the commons that stand under an apex.

    Seen from an end it is the last main commons' side, from a main slope the end common's.
    """
    return face.plumb(face.run(slopes.apex(end)) - job.rafter.size.thickness / 2)


def hip_rafter(job: Job, slopes: Slopes, hip: Hip) -> Member:
    """Return a hip rafter: its head in the corner of the commons, its tail cut to both fascias."""
    main, end = hip.main, hip.end
    cheeks = (
        # A ridge board thicker than the rafters stands out beside them.
        end_cut("cheek", apex_side(job, slopes, end, end)).against(main.name, "ridge"),
        end_cut("cheek", apex_side(job, slopes, end, main)).against(end.name),
    )
    # The barge rafters of a half-hip land on its hips' tails, which so are as deep as can be.
    tail = "plumb" if is_raised(end) else job.rafter.tail
    eaves = (end,) if is_raised(end) else (main, end)
    tails: dict[Cut, None] = {cut: None for face in eaves for cut in tail_cuts(job, face, tail)}
    return Member(
        role="hip",
        size=hip.size,
        stick=Stick.trimmed(
            thickness=hip.size.thickness,
            depth=hip.size.depth,
            frame=hip.frame,
            cuts=(hip.seat, *hip.backing, *cheeks, *tails),
        ),
        line=hip.line,
        station=0.0,
        head_cut="cheek",
        foot_cut=tail,
        faces=(main.name, end.name),
        heel_line=hip.heel_line,
    )


def hip_bearing(job: Job, slopes: Slopes, hip: Hip, member: Member) -> Bearing:
    """Return what a hip's seat bears on along its middle; a half-hip's on the raised plate alone.

    That plate may begin a little past the heel.
    """
    if not is_raised(hip.end):
        return corner_bearing(job, hip, member)
    begin, stop = raised_plate(job, slopes.main, hip.end)
    gap = begin if hip.main is slopes.near else hip.end.length - stop
    first = max(_along(hip, hip.main, hip.main.run(hip.foot) + gap), _along(hip, hip.end, 0.0), 0.0)
    leaves = _along(hip, hip.end, job.plate.width)
    return _bearing(member, "raised plate", first, leaves, 0.0)


def corner_bearing(job: Job, hip: Hip, member: Member) -> Bearing:
    """Return what a hip's or valley's seat bears on along its middle: both plates of a corner.

    It bears till it leaves the second of them.
    """
    sides = (hip.main, hip.end)
    leaves = max(_along(hip, face, job.plate.width) for face in sides)
    first = max(0.0, *(_along(hip, face, 0.0) for face in sides))
    return _bearing(member, "plates' corner", first, leaves, hip.heel_run)


def _along(hip: Hip, face: Face, run: float) -> float:
    """Return how far past the heel line a seat's middle is that far from a building line."""
    middle = hip.foot + hip.outward(hip.main) * hip.shift
    return (run - face.run(middle)) / hip.level.dot(face.uphill)


def _bearing(member: Member, support: str, first: float, leaves: float, heel_run: float) -> Bearing:
    """Return a bearing from one place past the heel line to another."""
    seat = member.notches[0].seat
    return Bearing(
        member=member,
        support=support,
        seat=seat,
        on_plate=max(min(seat - heel_run, leaves) - first, 0.0),
        on_post=0.0,
    )
