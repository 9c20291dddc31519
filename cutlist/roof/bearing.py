"""What a rafter's seat bears on: a plate, or a header carried on posts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cutlist.job import Job
from cutlist.roof.member import Member
from cutlist.roof.roof import Bearing
from cutlist.roof.support import post_stations
from cutlist.tolerance import SAME_POINT


def plate_bearings(
    job: Job,
    plates: Sequence[tuple[float, float]],
    members: Iterable[Member],
    support: str,
    notch: str = "seat",
) -> tuple[Bearing, ...]:
    """Return what each member's notch of that name bears on.

    `plates`: from where to where they run along the members' line.

    The heel stands at the plate's or header's face. Posts beside the header stand behind it, their
    tops level with its top, so that a seat longer than the header is wide reaches onto them.
    """
    posts = job.plate.posts
    beside = posts is not None and posts.header == "beside"
    found = []
    for member in members:
        seat = next((n.seat for n in member.notches if n.name == notch), 0.0)
        over_post = stands_over_post(job, plates, member)
        on_plate = min(seat, job.plate.width)
        on_post = 0.0
        if posts and beside and over_post:
            on_post = min(max(seat - job.plate.width, 0.0), posts.width)
        found.append(
            Bearing(
                member=member,
                support=support,
                seat=seat,
                on_plate=on_plate,
                on_post=on_post,
                over_post=over_post,
                post_beyond=job.plate.width if beside else None,
            )
        )
    return tuple(found)


def stands_over_post(
    job: Job, plates: Iterable[tuple[float, float]], member: Member
) -> bool | None:
    """Tell whether a rafter's whole thickness stands over a post; None where there are no posts."""
    posts = job.plate.posts
    if posts is None:
        return None
    reach = (posts.width - member.stick.thickness) / 2 + SAME_POINT
    return any(
        abs(member.station - post) <= reach
        for begin, end in plates
        for post in post_stations(job, begin, end)
    )
