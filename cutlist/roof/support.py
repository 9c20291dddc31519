"""What members bear on without being part of the roof: plates, headers, and posts beside them."""

from __future__ import annotations

from dataclasses import dataclass

from cutlist.geometry.space import Vector
from cutlist.geometry.stick import Stick
from cutlist.job import Job
from cutlist.roof.layout import stations
from cutlist.roof.level import level_stick


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A plate, header or post as a stick; `name` is what cuts made to it lie `against`."""

    name: str
    stick: Stick


def plate_supports(
    job: Job, name: str, *, corner: Vector, along: Vector, inward: Vector, length: float
) -> tuple[Support, ...]:
    """Return a plate or header, and the tops of the posts beside it.

    `corner`: where the heel line starts, at the top of the plate. `along` and `inward`: unit level
    directions, along the heel line and from it over the plate. A job does not say how deep these
    are, so each is as deep as it is wide. No rafter reaches posts under a header: they are left out.
    """
    width, posts = job.plate.width, job.plate.posts

    def box(wide: float, run: float, begin: float, end: float) -> Stick:
        start = corner + inward * (run + wide / 2)
        return level_stick(wide, wide, start=start, along=along, begin=begin, end=end)

    plate = Support(name=name, stick=box(width, 0.0, 0.0, length))
    if posts is None or posts.header == "on":
        return (plate,)
    half = posts.width / 2
    return (
        plate,
        *(
            Support(name=f"{name} post", stick=box(posts.width, width, at - half, at + half))
            for at in stations(length, posts.every, posts.width)
        ),
    )
