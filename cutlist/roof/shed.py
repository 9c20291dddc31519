"""Shed roofs and lean-tos: one face from a low plate to a high plate or a ledger."""

from __future__ import annotations

from dataclasses import dataclass

from cutlist.errors import JobError
from cutlist.geometry.space import ACROSS, ALONG, UP, Plane, Vector
from cutlist.geometry.stick import end_cut, notch
from cutlist.job import Job
from cutlist.roof.bearing import plate_bearings, stands_over_post
from cutlist.roof.face import Face, height_above_plate
from cutlist.roof.layout import stations
from cutlist.roof.level import joints_on_rafters, level_members
from cutlist.roof.member import Member
from cutlist.roof.rafter import Head, rafters, rake_stations, seat_length
from cutlist.roof.roof import Bearing, Height, LayoutMark, Roof
from cutlist.roof.support import Support, plate_supports


@dataclass(frozen=True, slots=True, kw_only=True)
class _HighEnd:
    """What the upper ends rest on, and how commons and barge rafters end there."""

    line: str
    common: Head
    barge: Head
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    heights: tuple[Height, ...]


def frame_shed(job: Job) -> Roof:
    """Return the shed roof of a job: a birdsmouth on each plate, or a plumb cut on a ledger.

    Raises JobError where the plates leave no slope, or the seat no wood.
    """
    face = _face(job)
    size = job.rafter.size
    places = stations(job.roof.length, job.rafter.spacing, size.thickness)
    high = _ledger(job, face, places) if job.roof.high_end == "ledger" else _plate(job, face)
    commons = rafters(job, face, "common", places, high.common)
    barges = rafters(job, face, "barge", rake_stations(job, size), high.barge)
    return Roof(
        faces=(face,),
        members=(*commons, *barges, *high.members),
        supports=(*plate_supports(job, face), *high.supports),
        heights=(
            Height(
                name="rafter tops at the low building line", above_plate=face.height_above_plate
            ),
            *high.heights,
        ),
        bearings=_bearings(job, commons),
        marks=_marks(job, high.line, commons, barges),
    )


def _face(job: Job) -> Face:
    pitch = _pitch(job)
    return Face(
        name="low",
        corner=Vector(0.0, 0.0, 0.0),
        along=ALONG,
        uphill=ACROSS,
        length=job.roof.length,
        pitch=pitch,
        height_above_plate=height_above_plate(
            job.rafter.size.depth, pitch, seat_length(job, pitch)
        ),
        overhang=job.roof.overhang,
    )


def _pitch(job: Job) -> float:
    """Return the pitch given, or the one that the two plates' heights make.

    Both notches have one seat, so the rafter climbs from plate to plate in the run from the low
    plate's outside to the high plate's inside.
    """
    roof = job.roof
    if roof.pitch is not None:
        return roof.pitch
    rise = (roof.far_plate_height or 0.0) - (roof.plate_height or 0.0)
    if rise <= 0:
        raise JobError(["roof.far_plate_height: the high plate must be higher than plate_height"])
    run = roof.span - job.plate.width
    if run <= 0:
        raise JobError(["roof.span: it must be more than the plates are wide"])
    return rise / run


def _plate(job: Job, face: Face) -> _HighEnd:
    """Return the high plate's birdsmouth: its heel at the plate's inner side, its seat beyond."""
    inside = job.roof.span - job.plate.width
    if inside <= job.plate.width:
        raise JobError(["roof.span: the two plates leave no room between them"])
    top = face.pitch * inside
    end = end_cut("plumb", face.plumb(job.roof.span + job.roof.high_overhang))
    seat = notch(**{"high-seat": Plane(-UP, -top), "high-heel": face.plumb(inside)})
    line = "high plate"
    heights = [Height(name="high plate top", above_plate=top)]
    return _HighEnd(
        line=line,
        common=Head(name="plumb", cuts=(seat.against(line), end)),
        barge=Head(name="plumb", cuts=(end,)),
        members=(),
        supports=plate_supports(job, face, name=line, run=inside, height=top),
        heights=tuple(heights),
    )


def _ledger(job: Job, face: Face, places: tuple[float, ...]) -> _HighEnd:
    """Return the ledger on the wall that the span is measured to, flush with the rafters."""
    if job.ledger is None:
        raise JobError(["ledger: it is missing"])
    size, rake = job.ledger.size, job.roof.rake_overhang
    run = job.roof.span - size.thickness
    if run <= job.plate.width:
        raise JobError(["roof.span: it leaves no room between the plate and the ledger"])
    top = face.top(run)
    ends = (-rake, job.roof.length + rake)
    head = Head(name="plumb", cuts=(end_cut("plumb", face.plumb(run)).against("ledger"),))
    return _HighEnd(
        line="ledger",
        common=head,
        barge=head,
        members=level_members(
            "ledger",
            size,
            "ledger",
            start=face.point(0.0, run + size.thickness / 2, top),
            along=ALONG,
            joints=joints_on_rafters(job, size, *ends, places),
            faces=(face.name,),
        ),
        supports=(),
        heights=(
            Height(name="ledger top", above_plate=top),
            Height(name="ledger bottom", above_plate=top - size.depth),
        ),
    )


def _bearings(job: Job, commons: tuple[Member, ...]) -> tuple[Bearing, ...]:
    plate = [(0.0, job.roof.length)]
    low = plate_bearings(job, plate, commons, "low plate")
    if job.roof.high_end == "ledger":
        return low
    return (
        *low,
        *plate_bearings(job, plate, commons, "high plate", "high-seat"),
    )


def _marks(
    job: Job, high: str, commons: tuple[Member, ...], barges: tuple[Member, ...]
) -> tuple[LayoutMark, ...]:
    """Return the marks on the plates from the building's end, on a ledger from its own end."""

    def on_plate(line: str) -> list[LayoutMark]:
        return [
            LayoutMark(
                line=line,
                center=m.station,
                member=m,
                over_post=stands_over_post(job, [(0.0, job.roof.length)], m),
            )
            for m in commons
        ]

    if high != "ledger":
        return (*on_plate("low plate"), *on_plate(high))
    on_ledger = sorted((*commons, *barges), key=lambda m: m.station)
    return (
        *on_plate("low plate"),
        *(
            LayoutMark(line=high, center=m.station + job.roof.rake_overhang, member=m)
            for m in on_ledger
        ),
    )
