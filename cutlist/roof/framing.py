"""Slopes and their lines framed: members, supports, bearings, heights and marks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from cutlist.errors import JobError
from cutlist.geometry.stick import ENDS
from cutlist.job import Job
from cutlist.roof.bearing import plate_bearings, stands_over_post
from cutlist.roof.hip_rafter import corner_bearing
from cutlist.roof.laid_shed import LaidShed
from cutlist.roof.laid_valley import plate_marks, valley_plate
from cutlist.roof.laid_wing import LaidWing, decks, plate_ends
from cutlist.roof.measures import line_measures
from cutlist.roof.meeting import Meeting
from cutlist.roof.member import Member
from cutlist.roof.placed import place
from cutlist.roof.plates import mitres_in, strips_of
from cutlist.roof.ridge_line import RidgeLine, ridge_line_members
from cutlist.roof.roof import Height, LayoutMark, Measure, Roof
from cutlist.roof.slant import Slant, slant_member
from cutlist.roof.slope import Slope, slope_barges, slope_left_out, slope_rafters
from cutlist.roof.support import Strip, plate_supports
from cutlist.tolerance import SAME_POINT


def frame_lines(
    job: Job,
    slopes: Sequence[Slope],
    meeting: Meeting,
    laid: Sequence[LaidWing] = (),
    sheds: Sequence[LaidShed] = (),
) -> Roof:
    """Return the roof of slopes whose lines are known, and of wings and sheds laid on them.

    Raises JobError where a rafter cannot be cut so.
    """
    strips = [strip for s in slopes for strip in strips_of(job, s.face, s.plates, s.mitres)]
    rafters = tuple(member for slope in slopes for member in slope_rafters(job, slope, strips))
    barges = tuple(member for slope in slopes for member in slope_barges(job, slope))
    hips = tuple(slant_member(job, slant, strips) for slant in meeting.hips)
    valleys = tuple(slant_member(job, slant, strips) for slant in meeting.valleys)
    ridges = tuple(
        member
        for ridge in meeting.ridges
        for member in ridge_line_members(
            job, ridge, [at for at, _ in _heads_on(ridge, slopes, (*rafters, *barges))]
        )
    )
    _must_clear_plates(job, (*meeting.ridges, *meeting.hips), strips)
    slanted = (*meeting.hips, *meeting.valleys)
    plates = (
        *(valley_plate(v, wing.ridge) for wing in laid for v in wing.valleys),
        *(plate for shed in sheds for plate in shed.plate(job, rafters)),
    )
    return Roof(
        faces=tuple(slope.face for slope in slopes),
        members=(*rafters, *hips, *valleys, *plates, *barges, *ridges),
        supports=(
            *(
                support
                for slope in slopes
                for interval in slope.plates
                for support in plate_supports(
                    job,
                    slope.face,
                    between=interval,
                    mitres=(
                        *mitres_in(job, slope.face, interval, slope.mitres),
                        *plate_ends(slope.face, laid),
                    ),
                )
            ),
            *(deck for wing in laid for deck in decks(wing)),
            *(shed.sheathing_under for shed in sheds),
        ),
        heights=_heights(slopes, meeting),
        bearings=(
            *(
                bearing
                for slope in slopes
                for bearing in plate_bearings(
                    job,
                    slope.plates,
                    [m for m in rafters if m.line == slope.face.name and m.heel_line],
                    f"{slope.face.name} plate",
                )
            ),
            *(
                corner_bearing(job, slant.line, member)
                for slant, member in zip(slanted, (*hips, *valleys), strict=True)
                if not slant.foot
            ),
        ),
        marks=(
            *_marks(job, slopes, meeting, rafters, barges),
            *(mark for wing in laid for v in wing.valleys for mark in plate_marks(v, rafters)),
            *(mark for shed in sheds for mark in shed.marks((*rafters, *barges))),
        ),
        measures=(
            *(
                Measure(name=f"{ridge.name} length", value=ridge.reach[1] - ridge.reach[0])
                for ridge in meeting.ridges
            ),
            *line_measures(job, [slant.line for slant in slanted]),
            *(
                Measure(
                    name=f"{v.line} plate, back from where the slope meets the sheathing",
                    value=v.set_back,
                )
                for wing in laid
                for v in wing.valleys
            ),
            *(
                Measure(name=f"{v.face.name} plate, front to sheathing", value=length)
                for wing in laid
                for v, length in wing.plate_lengths
            ),
            *(
                Measure(
                    name=f"{shed.line}, its upper edge up the {shed.host.name} slope",
                    value=shed.up_the_slope,
                )
                for shed in sheds
            ),
        ),
        left_out=tuple(jack for slope in slopes for jack in slope_left_out(job, slope)),
    )


def _must_clear_plates(
    job: Job, lines: Iterable[RidgeLine | Slant], strips: Sequence[Strip]
) -> None:
    """Refuse a ridge or hip so low that it would stand in the plate that it passes over."""
    for line in lines:
        for strip in strips:
            if at := line.stands_in(strip):
                raise JobError(
                    [
                        f"wing: the {line.name} would stand in the {strip.name} at "
                        f"{place(job, at)}; make that wing wider or steeper, let it open there "
                        "(open = true), or take a size that is less deep"
                    ]
                )


def _heights(slopes: Sequence[Slope], meeting: Meeting) -> tuple[Height, ...]:
    """Return the heights to set the roof by."""
    return (
        Height(
            name="rafter tops at the building line",
            above_plate=slopes[0].face.height_above_plate,
        ),
        *(
            Height(name=f"{slope.face.name} plate", above_plate=slope.face.corner.z)
            for slope in slopes
            if slope.face.corner.z
        ),
        *(
            Height(
                name=f"{slope.face.name} rafter tops at the building line",
                above_plate=slope.face.corner.z + slope.face.height_above_plate,
            )
            for slope in slopes
            if abs(slope.face.height_above_plate - slopes[0].face.height_above_plate) > SAME_POINT
        ),
        *(
            Height(name=f"{ridge.name} {part}", above_plate=height)
            for ridge in meeting.ridges
            for part, height in (("top", ridge.top), ("bottom", ridge.top - ridge.size.depth))
        ),
        *(
            Height(name="top edges meeting at the peak", above_plate=slant.top.z)
            for slant in sorted(meeting.hips, key=lambda slant: slant.top.z)[-1:]
            if not meeting.ridges
        ),
    )


def _heads_on(
    ridge: RidgeLine, slopes: Sequence[Slope], members: Sequence[Member]
) -> Iterator[tuple[float, Member]]:
    """Return the rafters that end on a ridge, with their places along its line."""
    by_name = {slope.face.name: slope.face for slope in slopes}
    for member in members:
        face = by_name[member.line]
        planes = member.stick.end_planes("head")
        if face in ridge.faces and any(ridge.name in p.against for p in planes):
            at = face.point(member.station, face.run(ridge.start), 0.0)
            yield ridge.place(at), member


def _marks(
    job: Job,
    slopes: Sequence[Slope],
    meeting: Meeting,
    rafters: Sequence[Member],
    barges: Sequence[Member],
) -> Iterator[LayoutMark]:
    """Return the marks on plates, ridges, hips and valleys."""
    for slope in slopes:
        for m in rafters:
            if m.line == slope.face.name and m.heel_line:
                yield LayoutMark(
                    line=f"{m.line} plate",
                    center=m.station,
                    member=m,
                    over_post=stands_over_post(job, slope.plates, m),
                )
    for ridge in meeting.ridges:
        begin = ridge.reach[0]
        heads = sorted(_heads_on(ridge, slopes, (*rafters, *barges)), key=lambda head: head[0])
        for face in ridge.faces:
            for at, m in heads:
                if m.line == face.name:
                    yield LayoutMark(line=f"{ridge.name}, {face.side}", center=at - begin, member=m)
    for slant in (*meeting.hips, *meeting.valleys):
        yield from _slant_marks(job, slant, rafters)


def _slant_marks(job: Job, slant: Slant, rafters: Sequence[Member]) -> Iterator[LayoutMark]:
    """Return where jacks land on each side of a hip or valley, from its heel line or its foot."""
    line, begin = slant.line, slant.begins_at(job)
    for face in (line.main, line.end):
        landed = [
            m
            for m in rafters
            if m.line == face.name
            and any(line.line in p.against for end in ENDS for p in m.stick.end_planes(end))
        ]
        for m in sorted(landed, key=lambda m: line.place_of(face, m.station)):
            yield LayoutMark(
                line=f"{line.line}, {face.side}",
                center=line.place_of(face, m.station) - begin,
                member=m,
                taken=line.taken_by(face, m.stick.thickness),
            )
