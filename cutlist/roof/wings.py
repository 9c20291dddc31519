"""The wings of a job: the first roof and all that meet it, as built into each other."""

from __future__ import annotations

from collections.abc import Mapping

from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.mouths import must_open_into_slopes
from cutlist.roof.placed import Ends, Placed, joined_ends, placed_roofs
from cutlist.roof.polygon import over_corners
from cutlist.roof.reach import Reach, reach
from cutlist.roof.rectangle import over_rectangle
from cutlist.roof.shed_wing import over_shed
from cutlist.roof.standing import sunk_ends


def buildings(job: Job, height_above_plate: float) -> tuple[Building, ...]:
    """Return the first roof of a job and its wings, all but sheds with one height above the plate.

    An end that stands in or against another wing runs on until it is under that one's surface; one
    of a laid wing with a fascia of its own may stand above it.
    Raises JobError where one does not touch another, or stands half in it.
    """
    placed = placed_roofs(job)

    def build(p: Placed, past: Mapping[int, Reach], height: float = height_above_plate) -> Building:
        if p.is_shed:
            return over_shed(job, p)
        over = over_corners if p.table.is_polygon else over_rectangle
        return over(job, p, past, height)

    def joins(p: Placed) -> Ends:
        if not p.ends:
            return frozenset()
        if p.drop is not None:
            return sunk_ends(job, p, placed[0], build(placed[0], {}, 0.0).wing)
        return joined_ends(job, p, [o for o in placed if o is not p and o.drop is None])

    joined = [joins(p) for p in placed]
    must_open_into_slopes(job, placed, joined)

    alone = [build(p, dict.fromkeys(ends, Reach())) for p, ends in zip(placed, joined, strict=True)]
    found = []
    for p, ends, building in zip(placed, joined, alone, strict=True):
        hosts = [b.wing for b in alone if b is not building]
        past = {end: reach(job, p, building.wing, hosts, end) for end in sorted(ends)}
        found.append(build(p, past))
    return tuple(found)
