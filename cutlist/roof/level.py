"""Level members along a roof: ridge boards, ridge beams and ledgers, in lengths that can be had."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from cutlist.geometry.space import UP, Frame, Plane, Vector
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.roof.member import Member, Role
from cutlist.tolerance import SAME_POINT


def level_members(
    role: Role,
    size: Size,
    line: str,
    *,
    start: Vector,
    along: Vector,
    joints: Sequence[float],
    faces: tuple[str, ...],
    ends: tuple[tuple[Cut, ...], tuple[Cut, ...]] = ((), ()),
    up: Vector = UP,
) -> tuple[Member, ...]:
    """Return square-cut sticks end to end along a line, a joint at each place given.

    `start` is the middle of the top edge where the places count from; the first and last of
    `joints` are the ends of the whole. `faces` is what the top lies in or under. `ends` are cuts
    that stand for the square ones at the two ends of the whole. `up`: the direction of their depth.
    """
    first, last = joints[0], joints[-1]
    return tuple(
        Member(
            role=role,
            size=size,
            stick=level_stick(
                size.thickness,
                size.depth,
                start=start,
                along=along,
                begin=begin,
                end=end,
                foot_against=(line,) if begin > first else (),
                head_against=(line,) if end < last else (),
                foot=ends[0] if begin == first else (),
                head=ends[1] if end == last else (),
                up=up,
            ),
            line=line,
            station=begin,
            head_cut=ends[1][0].planes[0].name if end == last and ends[1] else "square",
            foot_cut=ends[0][0].planes[0].name if begin == first and ends[0] else "square",
            faces=faces,
        )
        for begin, end in pairwise(joints)
    )


def level_stick(
    thickness: float,
    depth: float,
    *,
    start: Vector,
    along: Vector,
    begin: float,
    end: float,
    foot_against: tuple[str, ...] = (),
    head_against: tuple[str, ...] = (),
    foot: tuple[Cut, ...] = (),
    head: tuple[Cut, ...] = (),
    up: Vector = UP,
) -> Stick:
    """Return a level stick from one place along a line to another, cut square.

    `start` is the middle of the top edge where the places count from. `foot` and `head` are cuts
    that stand for the square ones. `up`: the direction of its depth.
    """
    frame = Frame.along(start, along, up).moved(Vector(0.0, -depth, -thickness / 2))
    if not head:
        square = end_cut("square", Plane.through(start + along * end, along))
        head = (square.against(*head_against),)
    if not foot:
        square = end_cut("square", Plane.through(start + along * begin, -along))
        foot = (square.against(*foot_against),)
    return Stick.trimmed(
        thickness=thickness,
        depth=depth,
        frame=frame,
        cuts=(*head, *foot),
    )


def joints_on_rafters(
    job: Job, size: Size, begin: float, end: float, rafters: Sequence[float]
) -> tuple[float, ...]:
    """Return the ends and joints of a board from begin to end, each joint on a rafter's centre.

    Of all ways to make each length from one board on sale: the fewest joints, then the least
    price (length where the job gives no prices). One length from end to end where no way exists,
    so that the part too long is told as such.
    """
    table = job.boards(size)
    prices = table.prices or table.lengths
    on_sale = sorted(zip(table.lengths, prices, strict=True), key=lambda board: board[1])
    trim = 2 * job.saw.end_trim

    def price(length: float) -> float | None:
        return next((p for board, p in on_sale if board - trim >= length - SAME_POINT), None)

    places = [begin, *(r for r in rafters if begin < r < end), end]
    best: list[tuple[int, float, tuple[float, ...]] | None] = [(0, 0.0, (begin,))]
    for i in range(1, len(places)):
        ways = []
        for j, so_far in enumerate(best):
            cost = price(places[i] - places[j])
            if so_far and cost is not None:
                count, total, joints = so_far
                ways.append((count + 1, total + cost, (*joints, places[i])))
        best.append(min(ways, default=None))
    return best[-1][2] if best[-1] else (begin, end)
