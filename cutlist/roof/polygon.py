"""A roof over a convex plan given by its corners: a slope over each wall, none over a mouth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shapely import Polygon

from cutlist.geometry.space import UP
from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.ends import level_overhang
from cutlist.roof.face import Face
from cutlist.roof.placed import Placed
from cutlist.roof.points import mouth_limit, to_points
from cutlist.roof.reach import Reach
from cutlist.roof.surface import Wing


def over_corners(job: Job, p: Placed, past: Mapping[int, Reach], height: float) -> Building:
    """Return the roof over a plan of corners: all slopes with one height above the plate.

    `past`: its mouth, if it has one, and how far past it the roof runs. Overhangs are such that
    the fascia is level with the first roof's.
    """
    faces = to_points(job, p, tuple(_faces(job, p, height)))
    corners = [face.corner for face in faces]
    limits = []
    for mouth, run in past.items():
        beyond = p.line(mouth).normal * run.past
        stop = faces[-1].point(faces[-1].length, 0.0, 0.0)
        corners += [stop, stop + beyond, corners[0] + beyond]
        limits += [mouth_limit(p, mouth, run.past), *run.beside]
    return Building(
        wing=Wing(
            name=p.name.strip(), key=p.key, faces=faces, limits=tuple(limits), is_mitred=True
        ),
        gables=(),
        footprint=Polygon([(c.x, c.y) for c in corners]),
        joins=bool(past),
        is_open=p.is_open,
    )


def _faces(job: Job, p: Placed, height: float) -> Iterator[Face]:
    corners = p.corners
    for i, given in enumerate(p.table.side_pitches):
        pitch = given or job.roof.first_pitch or 0.0
        start, end = corners[i], corners[(i + 1) % len(corners)]
        along = (end - start).unit()
        yield Face(
            name=f"{p.name}side {i + 1}",
            corner=start,
            along=along,
            uphill=UP.cross(along),
            length=(end - start).length(),
            pitch=pitch,
            height_above_plate=height,
            overhang=level_overhang(job, pitch, p.origin.z),
        )
