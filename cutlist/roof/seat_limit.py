"""Which limit an automatic seat came up against, told with the measures of the roof."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, sin

from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.rafter import bearing_width
from cutlist.roof.roof import Measure, Roof
from cutlist.tolerance import SAME_SHAPE


def automatic_seats(job: Job, roof: Roof) -> Iterator[Measure]:
    """Return the automatic seat of each set of slopes that share one, with what held it.

    Each limit is as far from being reached as the rafters could still be lowered; the nearest held
    the seat, and one that is passed was given up for the least bearing.
    """
    if job.rafter.seat != "auto":
        return
    for faces in _sharing(roof):
        first = faces[0]
        whose = f" of the {first.name} slope" if len(roof.faces) > 1 and _differ(job, roof) else ""
        room, limit = min(_limits(job, roof, faces), key=lambda found: found[0])
        held = f"the least bearing, past {limit}" if room < -SAME_SHAPE else limit
        yield Measure(
            name=f"automatic seat{whose}, held by {held}", value=first.seat(job.rafter.size.depth)
        )


def _sharing(roof: Roof) -> list[list[Face]]:
    """Return the slopes whose rafters have a birdsmouth, by their height above the plate."""
    seated = {m.line for m in roof.members if any(n.name == "seat" for n in m.notches)}
    sets: dict[int, list[Face]] = {}
    for face in roof.faces:
        if face.name in seated:
            sets.setdefault(round(face.height_above_plate / SAME_SHAPE), []).append(face)
    return list(sets.values())


def _differ(job: Job, roof: Roof) -> bool:
    seats = [face.seat(job.rafter.size.depth) for face in roof.faces]
    return max(seats) - min(seats) > SAME_SHAPE


def _limits(job: Job, roof: Roof, faces: list[Face]) -> Iterator[tuple[float, str]]:
    """Return how far, plumb, rafters could be lowered to each limit, and the limit in words.

    A notch grows by the cosine of the stick's slope for each unit that it is lowered.
    """
    posts = job.plate.posts
    beside = posts is not None and posts.header == "beside"
    bearing = "the width of header and post" if beside else "the plate's width"
    share, depth = job.rafter.notch_limit, job.rafter.size.depth
    for face in faces:
        seat = face.seat(depth)
        yield (bearing_width(job) - seat) * face.pitch, bearing
        deep = seat * sin(face.slope_angle)
        is_first = abs(face.pitch - faces[0].pitch) < SAME_SHAPE
        whose = "" if is_first else f" of the {face.name} slope"
        yield (share * depth - deep) * hypot(1.0, face.pitch), f"the notch limit{whose}"
    names = {face.name for face in faces}
    for member in roof.members:
        if member.role in ("hip", "valley") and member.faces[-1] in names:
            along = member.stick.frame.x
            level = hypot(along.x, along.y)
            for notch in member.notches:
                room = (share * member.size.depth - notch.depth) / level
                yield room, f"the notch limit of the {member.role}s"
