"""A shed dormer in its place: one slope over a rectangle, an open end on both its sides."""

from __future__ import annotations

from cutlist.roof.building import Building, Gable
from cutlist.roof.face import Face
from cutlist.roof.placed import BACK, LEFT, RIGHT, Placed
from cutlist.roof.surface import Wing


def over_shed(p: Placed, height: float) -> Building:
    """Return a shed in its place, its rafters with a height above the plate of its front wall.

    It rises from there, and stops where the job says that it does: past the slope that it meets.
    """
    table, rake = p.table, p.table.rake_overhang
    if table.pitch is None or p.drop is None:
        raise ValueError(f"{p.key} has no pitch or no overhang of its own")
    face = Face(
        name=f"{p.name}front",
        corner=p.origin,
        along=p.along,
        uphill=p.across,
        length=table.length,
        pitch=table.pitch,
        height_above_plate=height,
        overhang=p.drop / table.pitch,
    )
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
