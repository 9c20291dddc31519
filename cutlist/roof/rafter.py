"""Rafters that run straight up one face: their birdsmouths, tails and heads as planes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import sin

from cutlist.errors import JobError
from cutlist.geometry.space import UP, Plane
from cutlist.geometry.stick import Cut, Stick, end_cut, notch
from cutlist.job import Job, RafterTable, Tail
from cutlist.lumber import Size
from cutlist.roof.face import Face, height_above_plate, longest_seat, plumb_depth
from cutlist.roof.member import Member, Role
from cutlist.tolerance import PARALLEL, SAME_POINT
from cutlist.units import format_length, rounded_down, rounded_up


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """How a rafter ends at the top: the cuts there, the name of the one that ends it."""

    name: str
    cuts: tuple[Cut, ...]


def seat_length(job: Job, pitch: float) -> float:
    """Return the seat's level length: the job's, or for `auto` the most that the limits let.

    That is the bearing there is, header and post, or the longest seat within the notch limit,
    rounded down to a printed length. Raises JobError where a given seat leaves no wood.
    """
    rafter = job.rafter
    depth = rafter.size.depth
    if rafter.seat == "auto":
        seat = min(bearing_width(job), longest_seat(depth, pitch, rafter.notch_limit))
        return rounded_down(seat, job.saw.round_to)
    if height_above_plate(depth, pitch, rafter.seat) <= depth / 100:
        longest = longest_seat(depth, pitch, rafter.notch_limit)
        raise JobError(
            [
                f"rafter.seat: {_text(job, rafter.seat)} leaves no wood of a {rafter.size.name} "
                f"at this pitch; the notch limit lets {_most(job, longest)}"
            ]
        )
    return rafter.seat


def bearing_width(job: Job) -> float:
    """Return how far the bearing under a rafter over a post reaches in from the heel."""
    posts = job.plate.posts
    beside = posts.width if posts and posts.header == "beside" else 0.0
    return job.plate.width + beside


def rafters(
    job: Job,
    face: Face,
    role: Role,
    places: Iterable[float],
    head: Head,
) -> tuple[Member, ...]:
    """Return one rafter of the face at each place along it, alike but for where they stand.

    All but barge rafters have a birdsmouth on the face's plate.
    """
    size = job.rafter.size
    seat = () if role == "barge" else (birdsmouth(face),)
    cuts = (*seat, *head.cuts, *tail_cuts(job, face))
    return tuple(
        Member(
            role=role,
            size=size,
            stick=stick,
            line=face.name,
            station=station,
            head_cut=head.name,
            foot_cut=job.rafter.tail,
            faces=(face.name,),
            heel_line=face.plumb(0.0),
        )
        for station, stick in _sticks(size, face, cuts, places)
    )


def _sticks(
    size: Size, face: Face, cuts: tuple[Cut, ...], places: Iterable[float]
) -> Iterator[tuple[float, Stick]]:
    """Return the stick at each place: one shape moved, where no cut changes along the plate."""
    slanting = any(abs(p.plane.normal.dot(face.along)) > PARALLEL for c in cuts for p in c.planes)
    first: tuple[float, Stick] | None = None
    for station in places:
        if first is None or slanting:
            frame = face.rafter_frame(station, size.thickness, size.depth)
            stick = Stick.trimmed(
                thickness=size.thickness, depth=size.depth, frame=frame, cuts=cuts
            )
            first = first or (station, stick)
            yield station, stick
        else:
            yield station, first[1].standing(face.along * (station - first[0]))


def rake_stations(job: Job, size: Size) -> tuple[float, float] | tuple[()]:
    """Return where barge rafters stand outside the left and right end; none without a rake."""
    rake = job.roof.rake_overhang
    if not rake:
        return ()
    return (size.thickness / 2 - rake, job.roof.length + rake - size.thickness / 2)


def birdsmouth(face: Face) -> Cut:
    """Return the notch over the face's plate: below its top and inside its outside."""
    return notch_over(face, face.corner.z).against(f"{face.name} plate")


def notch_over(face: Face, top: float) -> Cut:
    """Return the notch over a plate with its top at a height, all as high above it as any other.

    Over the face's own plate the heel stands at its outside.
    """
    return notch(seat=Plane(-UP, -top), heel=face.plumb((top - face.corner.z) / face.pitch))


def tail_cuts(job: Job, face: Face, tail: Tail | None = None) -> tuple[Cut, ...]:
    """Return the cuts of a tail, its outermost point at the overhang's plumb line.

    `tail` is the job's unless given. Raises JobError where the cut would run into the bearing over
    the plate.
    """
    out, rafter = face.overhang, job.rafter
    tail = tail or rafter.tail
    end = face.point(0.0, -out, face.top(-out))
    plumb = end_cut("plumb", face.plumb(-out).flipped())
    if tail == "plumb":
        return (plumb,)
    depth = rafter.size.depth
    if tail == "square":
        _reach(job, face, depth * sin(face.slope_angle))
        frame = face.rafter_frame(0.0, 0.0, depth)
        return (end_cut("square", Plane.through(end, -frame.x)),)
    plumb_part = rafter.tail_height or 0.0 if tail == "plumb-level" else 0.0
    _fits_plumb_cut(job, rafter, plumb_depth(depth, face.pitch))
    _reach(job, face, (face.height_above_plate - plumb_part) / face.pitch)
    level = end_cut("level", Plane(-UP, plumb_part - end.z))
    return (plumb, level) if plumb_part else (level,)


def _fits_plumb_cut(job: Job, rafter: RafterTable, plumb: float) -> None:
    height = rafter.tail_height
    if height is not None and not 0 < height < plumb:
        raise JobError(
            [
                f"rafter.tail_height: {_text(job, height)} is not between 0 and the rafter's plumb "
                f"depth of {_most(job, plumb)}"
            ]
        )


def _reach(job: Job, face: Face, least: float) -> None:
    """Refuse an overhang too short for the tail's cut to stay outside the plate."""
    if face.overhang < least - SAME_POINT:
        over_gable = (
            dict(zip(("left", "right"), job.ends, strict=True)).get(face.name) == "half-hip"
        )
        key = "rake_overhang" if over_gable else "overhang"
        raise JobError(
            [
                f"roof.{key}: {_text(job, face.overhang)} on the {face.side} is too short "
                f"for a {job.rafter.tail} tail, whose cut would run over the plate; it must be at "
                f'least {_least(job, least)} there, or take tail = "plumb"'
            ]
        )


def _text(job: Job, length: float) -> str:
    return format_length(length, job.units, job.saw.round_to)


def _most(job: Job, length: float) -> str:
    """Return a limit as the longest printed length that keeps it."""
    return _text(job, rounded_down(length, job.saw.round_to))


def _least(job: Job, length: float) -> str:
    """Return a limit as the shortest printed length that keeps it."""
    return _text(job, rounded_up(length, job.saw.round_to))
