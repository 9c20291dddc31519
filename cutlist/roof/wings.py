"""The wings of a job: the first roof and all that meet it, as built into each other."""

from __future__ import annotations

from collections.abc import Mapping

from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.mouths import must_open_into_slopes
from cutlist.roof.placed import Placed, joined_ends, placed_roofs
from cutlist.roof.polygon import over_corners
from cutlist.roof.reach import Reach, reach
from cutlist.roof.rectangle import over_rectangle


def buildings(job: Job, height_above_plate: float) -> tuple[Building, ...]:
    """Return the first roof of a job and its wings, all with one height above the plate.

    An end that stands in or against another wing runs on until it is under that one's surface.
    Raises JobError where one does not touch another, or stands half in it.
    """
    placed = placed_roofs(job)
    joined = [joined_ends(job, p, [o for o in placed if o is not p]) for p in placed]
    must_open_into_slopes(job, placed, joined)

    def build(p: Placed, past: Mapping[int, Reach]) -> Building:
        over = over_corners if p.table.is_polygon else over_rectangle
        return over(job, p, past, height_above_plate)

    alone = [build(p, dict.fromkeys(ends, Reach())) for p, ends in zip(placed, joined, strict=True)]
    found = []
    for p, ends, building in zip(placed, joined, alone, strict=True):
        hosts = [b.wing for b in alone if b is not building]
        past = {end: reach(job, p, building.wing, hosts, end) for end in sorted(ends)}
        found.append(build(p, past))
    return tuple(found)
