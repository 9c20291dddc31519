"""Hip rafters: their heads, seats and tails as planes, what they bear on, and jacks' heads."""

from __future__ import annotations

from collections.abc import Iterator

from cutlist.errors import JobError
from cutlist.geometry.space import Plane, Vector
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.roof.ends import is_raised, raised_plate
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip, commons_side
from cutlist.roof.member import Member
from cutlist.roof.rafter import Head, tail_cuts
from cutlist.roof.roof import Bearing
from cutlist.roof.slant_line import SlantLine
from cutlist.roof.slopes import Slopes
from cutlist.tolerance import ON_PLANE, SAME_POINT


def hip_head(hip: Hip, face: Face) -> Head:
    """Return how jacks of a slope end at a hip: on its wide face."""
    return Head(name="cheek", cuts=(end_cut("cheek", hip.side(face)).against(hip.line),))


def jack_head(job: Job, slopes: Slopes, hip: Hip, face: Face, station: float) -> Head:
    """Return how one jack ends: at the hip, and beside a very near common at what ends the hip.

    Between unequal slopes the hip runs so nearly along one of them that the last jack of the other
    can reach past the hip's head.
    """
    head, half = hip_head(hip, face), job.rafter.size.thickness / 2
    reach = max(hip.jack_run(face, station + side) for side in (-half, half))
    if reach <= face.run(slopes.apex(hip.end)) - half + SAME_POINT:
        return head
    meets = (hip.main.name, "ridge") if face is hip.end else (hip.end.name,)
    stop = end_cut("plumb", apex_side(job, slopes, hip.end, face)).against(*meets)
    return Head(name=head.name, cuts=(*head.cuts, stop))


def apex_side(job: Job, slopes: Slopes, end: Face, face: Face) -> Plane:
    """Return the side, toward a slope's eave, of the commons that stand under an apex.

    Seen from an end it is the last main commons' side, from a main slope the end common's.
    """
    return commons_side(job, face, slopes.apex(end))


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
    main, end = hip.main, hip.end
    if not is_raised(end):
        return corner_bearing(job, hip, member)
    begin, stop = raised_plate(job, slopes.main, end)
    gap = begin if main is slopes.near else end.length - stop
    first = max(_along(hip, main, main.run(hip.foot) + gap), _along(hip, end, 0.0))
    return _bearing(hip, member, 0, "raised plate", first, _along(hip, end, job.plate.width))


def corner_bearing(job: Job, line: SlantLine, member: Member) -> Bearing:
    """Return what a hip or valley bears on along its middle: both plates of a corner.

    It bears till it leaves the second of them; where their heights differ, on one or the other.
    Raises JobError where neither plate runs under it.
    """
    found = list(_bearings(job, line, member))
    if not found:
        raise JobError(
            [
                f"wing: the {line.line} comes down past the end of a wall, where no plate carries "
                "it; bring the plates to one height, or move the wing"
            ]
        )
    return max(found, key=lambda bearing: bearing.on_plate)


def _bearings(job: Job, line: SlantLine, member: Member) -> Iterator[Bearing]:
    for i, cut in enumerate(member.stick.notches):
        names = cut.planes[0].against
        under = [face for face in (line.main, line.end) if f"{face.name} plate" in names]
        if not under:
            continue
        first = max(_along(line, face, 0.0) for face in under)
        leaves = max(_along(line, face, job.plate.width) for face in under)
        support = "plates' corner" if len(under) > 1 else f"{under[0].name} plate"
        yield _bearing(line, member, i, support, first, leaves)


def _middle(line: SlantLine) -> Vector:
    """Return the middle of a stick over its heel line."""
    return line.foot + line.outward(line.main) * line.shift


def _along(line: SlantLine, face: Face, run: float) -> float:
    """Return how far past the heel line a stick's middle is that far from a building line."""
    return (run - face.run(_middle(line))) / line.level.dot(face.uphill)


def _bearing(
    line: SlantLine, member: Member, notch: int, support: str, first: float, leaves: float
) -> Bearing:
    """Return the part of a notch's seat, along its middle, between two places past the heel."""
    stick = member.stick
    seat = stick.notches[notch].planes[0].plane
    points = [
        Vector(x, y, stick.thickness / 2)
        for segment in stick.middle.segments("seat")
        for x, y in segment
    ]
    ends = [
        (stick.frame.outward(point) - _middle(line)).dot(line.level)
        for point in points
        if abs(seat.distance(point)) < ON_PLANE
    ]
    begin = max(first, min(ends, default=0.0))
    end = min(leaves, max(ends, default=0.0))
    return Bearing(
        member=member,
        support=support,
        seat=member.notches[notch].seat,
        on_plate=max(end - begin, 0.0),
        on_post=0.0,
    )
