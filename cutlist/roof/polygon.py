"""A roof over any convex plan: a slope over each side, hips and ridges where slopes meet."""

from __future__ import annotations

from dataclasses import replace
from math import dist

from shapely import Polygon

from cutlist.geometry.space import UP, Vector
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.framing import frame_lines
from cutlist.roof.measures import proud_corners
from cutlist.roof.mitred import UpperHip, mitred_meeting
from cutlist.roof.roof import Roof
from cutlist.roof.seat import shared_height
from cutlist.roof.slope import slope_of
from cutlist.roof.surface import Wing, surface_of
from cutlist.roof.wings import Building


def frame_polygon(job: Job) -> Roof:
    """Return the roof of a job whose plan is given by its corners or by a number of sides.

    Raises JobError, with the place in plan, where hips and ridges cannot be framed.
    """
    flat = over_corners(job, 0.0)
    lines = mitred_meeting(job, surface_of([flat.wing]))
    hips = tuple(s.line for s in lines.hips if not isinstance(s.line, UpperHip))
    built = over_corners(job, shared_height(job, flat.wing.faces, hips))
    surface = surface_of([built.wing])
    meeting = mitred_meeting(job, surface)
    slopes = [slope_of(job, seen, (built,), meeting) for seen in surface.visible]
    roof = frame_lines(job, slopes, meeting)
    proud = proud_corners(roof.faces, [m for m in roof.members if m.role in ("hip", "ridge")])
    return replace(roof, measures=(*roof.measures, *proud))


def over_corners(job: Job, height_above_plate: float) -> Building:
    """Return the building over a plan of corners: all slopes with one height above the plate.

    The overhang is the first side's; those of other pitches keep the fascia level.
    """
    plan, pitches = job.roof.plan, job.roof.side_pitches
    faces = []
    for i, (start, pitch) in enumerate(zip(plan, pitches, strict=True)):
        end = plan[(i + 1) % len(plan)]
        along = Vector(end[0] - start[0], end[1] - start[1], 0.0).unit()
        faces.append(
            Face(
                name=f"side {i + 1}",
                corner=Vector(*start, 0.0),
                along=along,
                uphill=UP.cross(along),
                length=dist(start, end),
                pitch=pitch,
                height_above_plate=height_above_plate,
                overhang=job.roof.overhang * pitches[0] / pitch,
            )
        )
    return Building(
        wing=Wing(name="", faces=tuple(faces), limits=()),
        gables=(),
        footprint=Polygon(plan),
        joins=False,
        is_open=False,
    )
