"""Broken hips: those whose lower part lies under the slope of a lower roof.

Where a wall of a narrower wing goes on in line with the wall of a hip end, both have one slope. The
wing's ridge, its valley and the hip, which only starts there, come to one point inside the roof.
The ridge runs on past it, under both slopes of the hip, and is cut off flush with the hip's side.
The hip lands on its other side, and the valley in the corner between the two.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.geometry.stick import Cut, end_cut
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip, UpperHip
from cutlist.roof.placed import place
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.surface import Edge, is_one_place
from cutlist.roof.valley import Valley

LEAST_LENGTH = 4
"""No hip is cut that is shorter, in plan, than so many of the thicknesses that meet at its foot."""

LEAST_TURN = 0.2
"""Sine of the least angle, in plan, between a broken hip and what it meets at its foot."""


@dataclass(frozen=True, kw_only=True)
class BrokenHip:
    """A hip that starts where a ridge and a valley end, and what they are cut to there.

    `along`: the slope of hip and ridge, `above` that of hip and valley, `beside` that of valley and
    ridge.
    """

    edge: Edge
    hip: UpperHip
    ridge: RidgeLine
    valley: Valley
    along: Face
    above: Face
    beside: Face

    @property
    def point(self) -> Vector:
        """Where they come together."""
        return self.edge.start

    @property
    def foot(self) -> tuple[Cut, ...]:
        """The hip's cut at its lower end."""
        return (self._on_ridge,)

    @property
    def valley_head(self) -> tuple[Cut, ...]:
        """The valley's cuts at its upper end."""
        side = end_cut("cheek", self.hip.side(self.above)).against(self.hip.line)
        return self._on_ridge, side

    @property
    def ridge_end(self) -> tuple[Cut, ...]:
        """The ridge's cut, in one plane with the hip's side, since rafters land on both."""
        return (end_cut("cheek", self.hip.side(self.along).flipped()),)

    @property
    def _on_ridge(self) -> Cut:
        return end_cut("cheek", self.ridge.side(self.beside)).against(self.ridge.name)


def broken_hips(
    job: Job, ridges: Sequence[RidgeLine], hips: Sequence[Edge], valleys: Sequence[Edge]
) -> list[BrokenHip]:
    """Return the broken hips of a roof. Raises JobError where one has no room."""
    found = [broken for hip in hips for broken in _broken(job, hip, ridges, hips, valleys)]
    if problems := [text for broken in found for text in _without_room(job, broken)]:
        raise JobError(problems)
    return found


def _broken(
    job: Job,
    edge: Edge,
    ridges: Sequence[RidgeLine],
    hips: Sequence[Edge],
    valleys: Sequence[Edge],
) -> Iterator[BrokenHip]:
    """Return a hip as a broken one, if it starts where just one ridge and one valley end."""
    point = edge.start
    at_ridges = [ridge for ridge in ridges if ridge.holds(point)]
    at_valleys = [valley for valley in valleys if is_one_place(valley.end, point)]
    at_hips = [hip for hip in hips if any(is_one_place(e, point) for e in (hip.start, hip.end))]
    if len(at_ridges) != 1 or len(at_valleys) != 1 or at_hips != [edge]:
        return
    (ridge,), (valley,) = at_ridges, at_valleys
    along, above, beside = (
        [face for face in one if face in other]
        for one, other in (
            (edge.faces, ridge.faces),
            (edge.faces, valley.faces),
            (valley.faces, ridge.faces),
        )
    )
    if ridge.ends_at(point) and len(along) == len(above) == len(beside) == 1:
        yield BrokenHip(
            edge=edge,
            hip=UpperHip.starting_at(point, Hip.between(job, *edge.faces)),
            ridge=ridge,
            valley=Valley.of(job, *valley.faces),
            along=along[0],
            above=above[0],
            beside=beside[0],
        )


def _without_room(job: Job, broken: BrokenHip) -> Iterator[str]:
    """Tell of a hip too short for its cuts, or nearly in one line with its valley or ridge."""
    hip, edge = broken.hip, broken.edge
    thickness = max(stick.size.thickness for stick in (hip, broken.valley, broken.ridge))
    start, end = (place(job, at) for at in (edge.start, edge.end))
    if (edge.end - edge.start).dot(hip.level) < LEAST_LENGTH * thickness:
        yield (
            f"wing: the {hip.line} would run from {start} to {end} only, too short for its cuts; "
            "make the wing narrower, or as wide as the roof"
        )
    for name, along in (
        (broken.valley.line, broken.valley.level),
        (broken.ridge.name, broken.ridge.along),
    ):
        if abs(hip.level.cross(along).z) < LEAST_TURN:
            yield (
                f"wing: the {hip.line} and the {name} run nearly in one line where they meet at "
                f"{start}; bring the pitches nearer to each other"
            )
