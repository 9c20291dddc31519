"""A roof over any convex plan: a slope over each side, hips and ridges where slopes meet."""

from __future__ import annotations

from dataclasses import replace
from math import dist

from shapely import Polygon

from cutlist.geometry.space import ORIGIN, UP, Plane, Vector, meet
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.framing import frame_lines
from cutlist.roof.hub import hub_meeting, with_hub
from cutlist.roof.measures import proud_corners
from cutlist.roof.meeting import Meeting
from cutlist.roof.mitred import UpperHip, mitred_meeting
from cutlist.roof.roof import Roof
from cutlist.roof.seat import shared_height
from cutlist.roof.slope import slope_of
from cutlist.roof.surface import Surface, Wing, surface_of
from cutlist.roof.wings import Building


def frame_polygon(job: Job) -> Roof:
    """Return the roof of a job whose plan is given by its corners or by a number of sides.

    Raises JobError, with the place in plan, where hips and ridges cannot be framed.
    """
    flat = over_corners(job, 0.0)
    lines = _meeting(job, surface_of([flat.wing]))
    hips = tuple(s.line for s in lines.hips if not isinstance(s.line, UpperHip))
    built = over_corners(job, shared_height(job, flat.wing.faces, hips))
    surface = surface_of([built.wing])
    meeting = _meeting(job, surface)
    slopes = [slope_of(job, seen, (built,), meeting) for seen in surface.visible]
    roof = frame_lines(job, slopes, meeting)
    if job.hip and job.hip.hub:
        return with_hub(roof, meeting.hips[0].top, job.hip.hub)
    proud = proud_corners(roof.faces, [m for m in roof.members if m.role in ("hip", "ridge")])
    return replace(roof, measures=(*roof.measures, *proud))


def _meeting(job: Job, surface: Surface) -> Meeting:
    if job.hip and job.hip.hub:
        return hub_meeting(job, surface, job.hip.hub)
    return mitred_meeting(job, surface)


def over_corners(job: Job, height_above_plate: float) -> Building:
    """Return the building over a plan of corners: all slopes with one height above the plate.

    The overhang is the first side's; those of other pitches keep the fascia level.
    """
    faces = _to_a_point(job, _faces(job, height_above_plate))
    return Building(
        wing=Wing(name="", faces=faces, limits=()),
        gables=(),
        footprint=Polygon([(face.corner.x, face.corner.y) for face in faces]),
        joins=False,
        is_open=False,
    )


def _faces(job: Job, height_above_plate: float) -> tuple[Face, ...]:
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
    return tuple(faces)


def _to_a_point(job: Job, faces: tuple[Face, ...]) -> tuple[Face, ...]:
    """Return slopes that all meet in one point where no tape could tell that they do not.

    The corners of such a plan can seldom be written down exactly, and slopes that nearly meet in a
    point leave no room for what would stand between the points in which they do.
    """
    tops = [edge.end for edge in surface_of([Wing(name="", faces=faces, limits=())]).edges]
    peak = sum(tops, start=ORIGIN) * (1 / len(tops))
    over = [face.top(face.run(peak)) for face in faces]
    level = sum(over) / len(over)
    misses = [(top - level) / face.pitch for top, face in zip(over, faces, strict=True)]
    if max(map(abs, misses)) > job.saw.round_to:
        return faces
    walls = [face.plumb(miss) for face, miss in zip(faces, misses, strict=True)]
    corners = [meet(walls[i - 1], wall, Plane(UP, 0.0)) for i, wall in enumerate(walls)]
    return tuple(
        replace(face, corner=corner, length=(corners[(i + 1) % len(corners)] - corner).length())
        for i, (face, corner) in enumerate(zip(faces, corners, strict=True))
    )
