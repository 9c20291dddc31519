"""The height above the plate that the rafters of several slopes share."""

from __future__ import annotations

from cutlist.errors import JobError
from cutlist.job import Job
from cutlist.roof.face import Face, height_above_plate, longest_seat, plumb_depth
from cutlist.roof.rafter import bearing_width, seat_length
from cutlist.roof.slant_line import SlantLine
from cutlist.tolerance import SAME_POINT
from cutlist.units import format_length, rounded_down

LEAST_SEAT_IN, LEAST_SEAT_MM = 1.5, 38.0
"""Seat that an automatic one keeps for the rafters, even where a deep hip is notched too far.

It is the least bearing on wood of IRC R802.6; the hip's notch is then told by its own check.
"""


def shared_height(job: Job, faces: tuple[Face, ...], lines: tuple[SlantLine, ...] = ()) -> float:
    """Return the height above the plate of the rafters of some slopes and of the lines between.

    A seat given in the job is the first slope's. For `auto` it is the longest that lets the seats
    of slopes, hips and valleys stay within the bearing and the notch limit, rounded down to a
    printed length. Raises JobError where a slope gets no seat.
    """
    depth, first = job.rafter.size.depth, faces[0]
    if job.rafter.seat == "auto":
        seat = (plumb_depth(depth, first.pitch) - _least_height(job, faces, lines)) / first.pitch
        seat = rounded_down(seat, job.saw.round_to)
    else:
        seat = seat_length(job, first.pitch)
    height = height_above_plate(depth, first.pitch, seat)
    lowest = min(faces, key=lambda face: face.pitch)
    if height >= plumb_depth(depth, lowest.pitch) - SAME_POINT:
        raise JobError([f"rafter.seat: {_no_seat(job, first, lowest)}"])
    return height


def _least_height(job: Job, faces: tuple[Face, ...], lines: tuple[SlantLine, ...]) -> float:
    """Return the height at which no seat is longer than its bearing or its notch limit lets."""
    depth, limit, width = job.rafter.size.depth, job.rafter.notch_limit, bearing_width(job)
    own = max(
        height_above_plate(depth, f.pitch, min(width, longest_seat(depth, f.pitch, limit)))
        for f in faces
    )
    least = job.units.printed(inches=LEAST_SEAT_IN, mm=LEAST_SEAT_MM)
    rounding = job.saw.round_to * faces[0].pitch
    most = min(height_above_plate(depth, f.pitch, least) - rounding for f in faces)
    deepest = max((_height_over(line, limit) for line in lines), default=own)
    return max(own, min(deepest, most))


def _height_over(line: SlantLine, limit: float) -> float:
    """Return the rafters' height above the plate at which a line's notch is at its limit."""
    depth = line.size.depth
    most = longest_seat(depth, line.pitch, limit) - line.heel_run
    return height_above_plate(depth, line.pitch, most) + line.drop


def _no_seat(job: Job, first: Face, lowest: Face) -> str:
    """Return why a slope gets no seat, and what gives it one."""
    where = "where roofs meet" if job.wing else "around a hip"
    told = (
        f"the rafters of the {lowest.name} slope get no seat, since all share one height above the "
        f"plate {where}; "
    )
    if job.rafter.seat == "auto":
        return told + "take a larger rafter.notch_limit, or bring the pitches nearer to each other"
    depth = job.rafter.size.depth
    least = (plumb_depth(depth, first.pitch) - plumb_depth(depth, lowest.pitch)) / first.pitch
    return told + (
        f"make it longer than {format_length(least, job.units, job.saw.round_to)}, or bring the "
        "pitches nearer to each other"
    )
