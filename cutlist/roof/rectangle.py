"""A roof over a rectangle: two long slopes, and at each end a slope, a gable or another roof."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shapely import Polygon

from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.job import Job, RoofTable
from cutlist.roof.building import Building, Gable
from cutlist.roof.ends import level_overhang
from cutlist.roof.face import Face
from cutlist.roof.placed import LEFT, RIGHT, Placed
from cutlist.roof.reach import Reach
from cutlist.roof.slopes import Slopes, ridged_slopes
from cutlist.roof.surface import Wing


def over_rectangle(job: Job, p: Placed, past: Mapping[int, Reach], height: float) -> Building:
    """Return a roof over a rectangle in its place, all slopes with one height above the plate.

    `past`: its ends that run into another roof, and how far past their walls they run.
    """
    slopes = _own_slopes(job, p, past)
    faces = tuple(_moved(job, p, face, height) for face in slopes.faces)
    length, span, rake = p.table.length, p.table.span, p.table.rake_overhang
    limits, rakes, gables = [], [], []
    for end, slope in ((LEFT, slopes.left), (RIGHT, slopes.right)):
        if slope is not None:
            continue
        if end in past:
            limits.append(p.limit(end, past[end].past))
        else:
            rakes.append(p.limit(end, rake))
            gables.append(Gable(faces=(faces[0], faces[1]), wall=p.line(end), rake=rake))
    before, beyond = (past.get(end, Reach()).past for end in (LEFT, RIGHT))
    begin, stop = -before, length + beyond
    corners = (p.point(*at) for at in ((begin, 0), (stop, 0), (stop, span), (begin, span)))
    return Building(
        wing=Wing(
            name=p.name.strip(),
            key=p.key,
            faces=faces,
            limits=(*limits, *rakes),
            rakes=tuple(rakes),
            is_free=p.drop is not None,
        ),
        gables=tuple(gables),
        footprint=Polygon([(c.x, c.y) for c in corners]),
        joins=bool(past),
        is_open=p.is_open,
    )


def _own_slopes(job: Job, p: Placed, past: Mapping[int, Reach]) -> Slopes:
    """Return the slopes of a wing as of a roof alone, its joined ends gables far away."""
    form = p.table.form
    ends = tuple(
        "gable" if end in past else own for own, end in zip(p.end_forms, (LEFT, RIGHT), strict=True)
    )
    if ends == ("gable", "gable"):
        form = "gable"
    pitch = p.table.pitch or job.roof.first_pitch
    table = RoofTable.model_construct(
        **{
            **dict(p.table),
            "form": form,
            "ends": ends if form == "hip" else None,
            "pitch": pitch,
            "overhang": job.roof.overhang,
            "length": p.table.length + bool(past) * 2 * p.table.span,
            "plate_height": None,
            "far_plate_height": None,
        }
    )
    try:
        return ridged_slopes(job.model_copy(update={"roof": table, "wing": []}))
    except JobError as error:
        raise JobError([text.replace("roof.", f"{p.key}.") for text in error.problems]) from None


def _moved(job: Job, p: Placed, face: Face, height: float) -> Face:
    """Return a face of a wing in its place in the plan."""
    is_end = face.name in ("left", "right")
    corner = p.origin
    if face.name == "far":
        corner = p.point(0.0, p.table.span)
    elif face.name == "right":
        corner = p.point(p.table.length, 0.0)

    def turned(v: Vector) -> Vector:
        return p.along * v.x + p.across * v.y

    return replace(
        face,
        name=f"{p.name}{face.name}",
        corner=corner,
        along=turned(face.along),
        uphill=turned(face.uphill),
        length=p.table.span if is_end else p.table.length,
        height_above_plate=height,
        overhang=level_overhang(job, face.pitch, corner.z)
        if p.drop is None
        else p.drop / face.pitch,
    )
