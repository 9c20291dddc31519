"""Where bays open into other roofs, and what keeps them from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from cutlist.errors import JobError
from cutlist.job import Job
from cutlist.roof.placed import Ends, Placed, just_past, place
from cutlist.tolerance import ON_PLANE, SAME_POINT

_WHERE = "begin with the corner where its walls leave that roof, and end where they come back to it"


def must_open_into_slopes(job: Job, placed: Sequence[Placed], joined: Sequence[Ends]) -> None:
    """Refuse bays whose mouth or whose walls stand where they should not, and wings into bays.

    And so wings on a gable of a plan of corners.
    `joined`: the ends by which each of those placed runs into another.
    """
    bays = [p for p in placed if p.is_bay]
    for p, ends in zip(placed, joined, strict=True):
        if p in bays:
            _must_be_a_bay(job, p, ends, union_all([o.walls for o in placed if o is not p]))
        else:
            for bay in bays:
                _must_have_a_slope(job, p, ends, bay)
    for p in placed:
        if p.table.is_polygon:
            _must_leave_gables(job, p, [other for other in placed if other is not p])
        elif p is not placed[0]:
            _must_not_run_into(job, p, bays)


def _must_be_a_bay(job: Job, p: Placed, ends: Ends, rest: BaseGeometry) -> None:
    """Refuse a bay that opens into nothing, or of which a wall stands in another roof."""
    last, first = (place(job, p.corners[i]) for i in (-1, 0))
    if not ends:
        raise JobError(
            [
                f"{p.key}.corners: its mouth, from the last corner at {last} back to the first at "
                f"{first}, is not in another roof or on its wall; {_WHERE}"
            ]
        )
    for number in range(len(p.corners) - 1):
        if p.wall(number, 0.0).difference(rest).length < job.saw.round_to:
            raise JobError(
                [
                    f"{p.key}.corners[{number + 1}]: the wall from it to the next corner stands "
                    f"in another roof; {_WHERE}"
                ]
            )


def _must_have_a_slope(job: Job, host: Placed, joined: Ends, bay: Placed) -> None:
    """Refuse a bay on the wall of a gable."""
    for wall in host.gables:
        if wall in joined:
            continue
        shared = _mouth(bay).intersection(host.wall(wall, 0.0))
        if shared.length > job.saw.round_to:
            raise JobError(
                [
                    f"{bay.key}.at: its mouth is on a gable at {place(job, shared.centroid)}, "
                    "which has no slope that it could run into; move it to a side that has one"
                ]
            )


def _must_leave_gables(job: Job, p: Placed, others: Iterable[Placed]) -> None:
    """Refuse roofs on a gable of a plan of corners."""
    for wall in p.gables:
        outside = just_past(job, p, wall)
        for other in others:
            shared = outside.intersection(other.walls)
            if shared.length > job.saw.round_to:
                name = "the roof" if other.key == "roof" else other.key
                raise JobError(
                    [
                        f"{p.key}.pitches[{wall + 1}]: {name} stands on this gable at "
                        f"{place(job, shared.centroid)}, which has no slope to run into; move it "
                        "to a side that has one, or give this side a pitch"
                    ]
                )


def _must_not_run_into(job: Job, p: Placed, bays: Iterable[Placed]) -> None:
    """Refuse a wing that runs into a bay."""
    for bay in bays:
        for number in p.ends:
            wall = just_past(job, p, number)
            shared = wall.intersection(bay.walls).length
            opens_here = _mouth(bay).intersection(p.wall(number, 0.0)).length > job.saw.round_to
            if shared > SAME_POINT and not opens_here:
                raise JobError(
                    [
                        f"{p.key}: its {p.side(number)} runs into {bay.key}, which has corners; "
                        "let it run into a roof with a span and a length"
                    ]
                )


def _mouth(bay: Placed) -> BaseGeometry:
    """Return a strip along a bay's mouth."""
    return bay.wall(bay.ends[0], 0.0).buffer(ON_PLANE)
