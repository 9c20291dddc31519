"""The slopes at the ends of a roof: hips from the plate up, and half-hips over a gable wall."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor

from cutlist.errors import JobError
from cutlist.geometry.space import ACROSS, ALONG, Vector, meet
from cutlist.job import Job, RoofTable
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip, shortest_jack
from cutlist.roof.rafter import rake_stations
from cutlist.roof.seat import shared_height
from cutlist.tolerance import SAME_POINT
from cutlist.units import format_length


def hip_face(job: Job, name: str, near: Face) -> Face:
    """Return the slope of a hip, its plate and its fascia level with the near slope's."""
    face = _level_face(job, name, near)
    return replace(
        face,
        height_above_plate=near.height_above_plate,
        overhang=level_overhang(job, face.pitch),
    )


def half_hip_face(job: Job, name: str, near: Face, far: Face) -> Face:
    """Return the slope of a half-hip, its plate `hip_start` above the near one.

    The plate runs between the main slopes, and its ends stand under the hips. Raises JobError
    where the height leaves some rafter of that end shorter than the shortest jack.
    """
    start = job.roof.hip_start or 0.0
    level = _level_face(job, name, near)
    hips = tuple(Hip.between(job, main, level) for main in (near, far))
    level = replace(level, height_above_plate=shared_height(job, (level,), hips))
    _must_fit(job, start, level, near, far)
    begin, end = (
        main.point(
            0.0,
            (start + level.height_above_plate - main.corner.z - main.top(0.0)) / main.pitch,
            0.0,
        ).y
        for main in (near, far)
    )
    corner = Vector(level.corner.x, begin, start)
    return replace(level, corner=corner, length=end - begin)


def level_overhang(job: Job, pitch: float, raised: float = 0.0) -> float:
    """Return the overhang at which a slope's fascia is level with the first roof's first side's.

    `raised`: how much higher than the near one its plate is. Negative where no overhang does it.
    """
    return (job.roof.overhang * (job.roof.first_pitch or pitch) + raised) / pitch


def raised(job: Job, table: RoofTable) -> float:
    """Return how much higher than the first roof's plate a wing's is."""
    if table.plate_height is None or job.roof.plate_height is None:
        return 0.0
    return table.plate_height - job.roof.plate_height


def _level_face(job: Job, name: str, near: Face) -> Face:
    """Return the slope of an end from a plate at the near one's height, its top edges there too."""
    return Face(
        name=name,
        corner=Vector(0.0 if name == "left" else near.length, 0.0, 0.0),
        along=ACROSS,
        uphill=ALONG if name == "left" else -ALONG,
        length=job.roof.span,
        pitch=job.roof.end_pitch or near.pitch,
        height_above_plate=0.0,
        overhang=job.roof.rake_overhang,
    )


def is_raised(end: Face) -> bool:
    """Tell whether an end's plate stands on a gable wall above the others, as a half-hip's does."""
    return end.corner.z > 0.0


def wall_station(job: Job, end: Face, main: Face) -> float:
    """Return where, along a main slope, the jack over the gable wall under a half-hip stands."""
    half = job.rafter.size.thickness / 2
    return half if end.uphill.x > 0 else main.length - half


def raised_plate(job: Job, main: tuple[Face, Face], end: Face) -> tuple[float, float]:
    """Return from where to where the plate under a half-hip runs, along it: between wall jacks.

    A wall jack's top end reaches past the end of the plate where the hip runs steeply in plan.
    """
    half = job.rafter.size.thickness / 2
    reaches = []
    for face in main:
        hip, station = Hip.between(job, face, end), wall_station(job, end, face)
        run = max(hip.jack_run(face, station + side) for side in (-half, half))
        reaches.append(end.station(face.point(0.0, run, 0.0)))
    return max(reaches[0], 0.0), min(reaches[1], end.length)


def _must_fit(job: Job, start: float, level: Face, near: Face, far: Face) -> None:
    """Refuse a start so low or so high that a rafter of that end would be too short to cut."""
    lowest = max(job.saw.round_to, *(_lowest(job, level, main) for main in (near, far)))
    highest = _highest(job, level, near, far)
    if lowest - SAME_POINT <= start <= highest + SAME_POINT:
        return
    step = job.saw.round_to
    low = ceil(lowest / step - SAME_POINT) * step
    high = floor(highest / step + SAME_POINT) * step
    given = format_length(start, job.units, step)
    if low > high:
        raise JobError(
            [
                f"roof.hip_start: {given}: no half-hip fits under this ridge; make that end a hip "
                "or a gable, or give a smaller hip.shortest_jack"
            ]
        )
    raise JobError(
        [
            f"roof.hip_start: {given} leaves rafters of the {level.name} end too short to cut; "
            f"give a height between {format_length(low, job.units, step)} and "
            f"{format_length(high, job.units, step)} above the plate"
        ]
    )


def _lowest(job: Job, level: Face, main: Face) -> float:
    """Return the start at which wall jack and barge are just long enough on a main slope."""
    least = shortest_jack(job) / main.slope_length(1.0)
    hip = Hip.between(job, main, level)
    short = least - hip.jack_run(main, wall_station(job, level, main))
    if stations := rake_stations(job, job.rafter.size):
        station = stations[0] if level.uphill.x > 0 else stations[1]
        short = max(short, least - main.overhang - hip.jack_run(main, station))
    return short * main.pitch


def _highest(job: Job, level: Face, near: Face, far: Face) -> float:
    """Return the start at which the end's common is just long enough, and clear of the plate.

    So are its hips: on a flat end they leave it so little that the commons would take all of one.
    """
    thickness = job.rafter.size.thickness
    least = thickness / 2 + max(
        shortest_jack(job) / level.slope_length(1.0),
        thickness,
        job.plate.width,
        *(_least_for_hip(job, level, main) for main in (near, far)),
    )
    apex = meet(near.plane, far.plane, near.across(0.0))
    return apex.z - level.height_above_plate - least * level.pitch


def _least_for_hip(job: Job, level: Face, main: Face) -> float:
    """Return the run of an end that leaves its hip's inner side a rafter's thickness long, in plan.

    That side begins so far along the end's building line from the hip's foot, and is cut at the
    side of the end's common.
    """
    hip, thickness = Hip.between(job, main, level), job.rafter.size.thickness
    begins = hip.width(level) / abs(hip.outward(level).dot(level.along))
    return thickness / 2 + (thickness / 2 + begins) * main.pitch / level.pitch
