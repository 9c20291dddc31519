"""The height above the plate that the rafters of several slopes share."""

from __future__ import annotations

from cutlist.errors import JobError
from cutlist.job import Job
from cutlist.roof.face import Face, height_above_plate, longest_seat, plumb_depth
from cutlist.roof.hip import Hip
from cutlist.roof.rafter import bearing_width, seat_length
from cutlist.tolerance import SAME_POINT
from cutlist.units import format_length, rounded_down


def shared_height(job: Job, faces: tuple[Face, ...], hips: tuple[Hip, ...] = ()) -> float:
    """Return the height above the plate of the rafters of some slopes and of their hips.

    A seat given in the job is the first slope's. For `auto` it is the longest that lets every
    slope's seat and every hip's stay within the bearing and the notch limit, rounded down to a
    printed length. Raises JobError where a slope gets no seat.
    """
    depth, first = job.rafter.size.depth, faces[0]
    if job.rafter.seat == "auto":
        seat = (plumb_depth(depth, first.pitch) - _least_height(job, faces, hips)) / first.pitch
        seat = rounded_down(seat, job.saw.round_to)
    else:
        seat = seat_length(job, first.pitch)
    height = height_above_plate(depth, first.pitch, seat)
    lowest = min(faces, key=lambda face: face.pitch)
    if height >= plumb_depth(depth, lowest.pitch) - SAME_POINT:
        raise JobError([f"rafter.seat: {_no_seat(job, first, lowest)}"])
    return height


def _least_height(job: Job, faces: tuple[Face, ...], hips: tuple[Hip, ...]) -> float:
    """Return the height at which no seat is longer than its bearing or its notch limit lets."""
    depth, limit, width = job.rafter.size.depth, job.rafter.notch_limit, bearing_width(job)
    needed = [
        height_above_plate(depth, f.pitch, min(width, longest_seat(depth, f.pitch, limit)))
        for f in faces
    ]
    for hip in hips:
        most = longest_seat(hip.size.depth, hip.pitch, limit) - hip.heel_run
        needed.append(height_above_plate(hip.size.depth, hip.pitch, most) + hip.drop)
    return max(needed)


def _no_seat(job: Job, first: Face, lowest: Face) -> str:
    """Return why a slope gets no seat, and what gives it one."""
    told = f"the rafters of the {lowest.name} slope get no seat"
    if job.rafter.seat == "auto":
        return (
            f"{told}: so little of the hip, or of the steepest rafter, may be notched that all "
            "stand too high; take deeper rafters, a hip less deep, or a larger rafter.notch_limit"
        )
    depth = job.rafter.size.depth
    least = (plumb_depth(depth, first.pitch) - plumb_depth(depth, lowest.pitch)) / first.pitch
    return (
        f"{told}, since all share one height above the plate around a hip; make it longer than "
        f"{format_length(least, job.units, job.saw.round_to)}, or bring the pitches nearer to "
        "each other"
    )
