"""A shed dormer in its place: one slope over a rectangle, an open end on both its sides."""

from __future__ import annotations

from dataclasses import replace

from cutlist.job import Job
from cutlist.roof.building import Building, Gable
from cutlist.roof.face import Face
from cutlist.roof.placed import BACK, LEFT, RIGHT, Placed
from cutlist.roof.seat import shared_height
from cutlist.roof.surface import Wing


def over_shed(job: Job, p: Placed) -> Building:
    """Return a shed in its place: it rises from its front wall to where the job says that it ends.

    Its rafters share no hip or ridge with others, and so have a seat of their own.
    """
    table, rake = p.table, p.table.rake_overhang
    if table.pitch is None or p.drop is None:
        raise ValueError(f"{p.key} has no pitch or no overhang of its own")
    level = Face(
        name=f"{p.name}front",
        corner=p.origin,
        along=p.along,
        uphill=p.across,
        length=table.length,
        pitch=table.pitch,
        height_above_plate=0.0,
        overhang=p.drop / table.pitch,
    )
    face = replace(level, height_above_plate=shared_height(job, (level,)))
    rakes = tuple(p.limit(side, rake) for side in (LEFT, RIGHT))
    return Building(
        wing=Wing(
            name=p.name.strip(),
            key=p.key,
            faces=(face,),
            limits=(*rakes, p.limit(BACK, 0.0)),
            rakes=rakes,
            is_free=True,
        ),
        gables=tuple(Gable(faces=(face,), wall=p.line(side), rake=rake) for side in (LEFT, RIGHT)),
        footprint=p.walls,
        joins=True,
        is_open=False,
    )
