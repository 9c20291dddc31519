"""What members bear on without being part of the roof: plates, headers, and posts beside them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from cutlist.geometry.space import Plane
from cutlist.geometry.stick import Cut, Stick, end_cut
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.layout import stations
from cutlist.roof.level import level_stick
from cutlist.tolerance import SAME_POINT, SLIVER


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A plate, header or post as a stick; `name` is what cuts made to it lie `against`."""

    name: str
    stick: Stick


@dataclass(frozen=True, kw_only=True)
class Strip:
    """A plate or post in plan, `top` the height of its top."""

    name: str
    shape: BaseGeometry
    top: float

    def lies_under(self, area: BaseGeometry, thickness: float) -> bool:
        """Tell whether any of it lies in an area of the plan, more than an edge of a stick's.

        Both often share a border, along which rounding may part them: without a grid the
        intersection would then come out empty.
        """
        shared = self.shape.intersection(area, grid_size=SAME_POINT)
        return bool(shared.area > SLIVER * thickness)


def plates_under(
    strips: Iterable[Strip], top: float, area: BaseGeometry, thickness: float
) -> tuple[str, ...]:
    """Return the names of those with their tops at a height that lie under a stick's area."""
    under = (s.name for s in strips if s.top == top and s.lies_under(area, thickness))
    return tuple(dict.fromkeys(under))


def plate_supports(
    job: Job,
    face: Face,
    *,
    name: str | None = None,
    run: float = 0.0,
    height: float = 0.0,
    between: tuple[float, float] | None = None,
    mitres: Iterable[Plane] = (),
) -> tuple[Support, ...]:
    """Return a plate or header along a slope, and the tops of the posts beside it.

    `run` and `height` place its heel line and top against the slope's own plate, `between` its ends
    along it, the slope's own unless given; at `mitres` it is cut on those instead. A job does not
    say how deep these are, so each is as deep as it is wide. No rafter reaches posts under a
    header: they are left out.
    """
    cuts = [end_cut("mitre", plane) for plane in mitres]
    foot = tuple(cut for cut in cuts if cut.planes[0].plane.normal.dot(face.along) < 0)
    head = tuple(cut for cut in cuts if cut not in foot)
    width, posts = job.plate.width, job.plate.posts
    name = name or f"{face.name} plate"

    def box(
        wide: float,
        beyond: float,
        begin: float,
        end: float,
        foot: tuple[Cut, ...] = (),
        head: tuple[Cut, ...] = (),
    ) -> Stick:
        return level_stick(
            wide,
            wide,
            start=face.point(0.0, run + beyond + wide / 2, height),
            along=face.along,
            begin=begin,
            end=end,
            foot=foot,
            head=head,
        )

    begin, end = between or (0.0, face.length)
    plate = Support(name=name, stick=box(width, 0.0, begin, end, foot, head))
    if posts is None or posts.header == "on":
        return (plate,)
    half = posts.width / 2
    return (
        plate,
        *(
            Support(name=f"{name} post", stick=box(posts.width, width, at - half, at + half))
            for at in post_stations(job, begin, end)
        ),
    )


def post_stations(job: Job, begin: float, end: float) -> Iterator[float]:
    """Return where posts stand along a plate between its ends; nowhere in a job without posts.

    They stand as rafters do: the outer two flush with the plate's ends, the others on centres.
    """
    if posts := job.plate.posts:
        for at in stations(end - begin, posts.every, posts.width):
            yield begin + at
