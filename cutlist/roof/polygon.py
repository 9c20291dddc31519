"""A roof over a convex plan given by its corners: a slope or a gable a wall, none over a mouth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shapely import Polygon

from cutlist.errors import JobError
from cutlist.geometry.space import UP, Plane, meet
from cutlist.job import Job
from cutlist.roof.building import Building, Gable
from cutlist.roof.ends import level_overhang
from cutlist.roof.face import Face
from cutlist.roof.placed import Placed, length_text, place
from cutlist.roof.points import corners_of, to_points
from cutlist.roof.reach import Reach
from cutlist.roof.surface import Wing, height_at
from cutlist.tolerance import SAME_POINT
from cutlist.units import rounded_up


def over_corners(job: Job, p: Placed, past: Mapping[int, Reach], height: float) -> Building:
    """Return the roof over a plan of corners: all slopes with one height above the plate.

    `past`: its mouth, if it has one, and how far past it the roof runs. Overhangs are such that
    the fascia is level with the first roof's. Raises JobError where no ridge runs to a gable.
    """
    faces = to_points(job, p, tuple(_faces(job, p, height)))
    corners = list(corners_of(p, faces))
    limits = []
    for mouth, run in past.items():
        beyond = p.line(mouth).normal * run.past
        corners += [corners[mouth] + beyond, corners[0] + beyond]
        limits += [p.limit(mouth, run.past), *run.beside]
    rakes = tuple(p.limit(wall, p.table.rake_overhang) for wall in p.gables)
    return Building(
        wing=Wing(
            name=p.name.strip(),
            key=p.key,
            faces=faces,
            limits=(*limits, *rakes),
            rakes=rakes,
            is_mitred=True,
        ),
        gables=tuple(_gables(job, p, faces)),
        footprint=Polygon([(c.x, c.y) for c in corners]),
        joins=bool(past),
        is_open=p.is_open,
    )


def _faces(job: Job, p: Placed, height: float) -> Iterator[Face]:
    corners = p.corners
    for i, given in enumerate(p.table.side_pitches):
        if given == "gable":
            continue
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


def _gables(job: Job, p: Placed, faces: Sequence[Face]) -> Iterator[Gable]:
    over, count = dict(zip(p.sloped, faces, strict=True)), len(p.corners)
    for i in p.gables:
        beside = over[(i - 1) % count], over[(i + 1) % count]
        gable = Gable(faces=beside, wall=p.line(i), rake=p.table.rake_overhang)
        _must_have_a_ridge(job, f"{p.key}.pitches[{i + 1}]", gable, faces)
        yield gable


def _must_have_a_ridge(job: Job, key: str, gable: Gable, faces: Sequence[Face]) -> None:
    """Refuse a gable whose slopes do not meet in a ridge over the rafters flush with its wall."""
    one, other = gable.faces
    inside = Plane(gable.wall.normal, gable.wall.offset - job.rafter.size.thickness)
    at = meet(one.plane, other.plane, inside)
    half = job.ridge.size.thickness / 2 if job.ridge and job.ridge.size else 0.0
    least = job.plate.width + half
    if min(face.run(at) for face in gable.faces) <= least:
        wide = length_text(job, rounded_up(2 * least + job.saw.round_to / 2, job.saw.round_to))
        raise JobError(
            [
                f"{key}: between the plates and the ridge at {place(job, at)} no rafter has room; "
                f"make that gable at least {wide} wide, or bring the pitches beside it nearer to "
                "each other"
            ]
        )
    for face in faces:
        if face not in gable.faces and height_at(face, (at.x, at.y)) < at.z + SAME_POINT:
            raise JobError(
                [
                    f"{key}: the slope of {face.name} comes in below the ridge of this gable at "
                    f"{place(job, at)}; make that slope steeper or further from the gable, or give "
                    "this side a pitch"
                ]
            )
