"""Gable and hip roofs: two main slopes, and at each end a gable, a hip or a half-hip."""

from __future__ import annotations

from cutlist.geometry.stick import end_cut
from cutlist.job import Job
from cutlist.roof.bearing import plate_bearings, stands_over_post
from cutlist.roof.ends import is_raised, raised_plate
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.hip_rafter import apex_side, hip_bearing, hip_head, hip_rafter, jack_head
from cutlist.roof.measures import measures
from cutlist.roof.member import Member
from cutlist.roof.places import end_places, main_places
from cutlist.roof.rafter import Head, rafters, rake_stations
from cutlist.roof.ridge import Ridge, beam_bearings, ridge_heights, ridge_members
from cutlist.roof.roof import LayoutMark, Roof
from cutlist.roof.slopes import Slopes, ridged_slopes
from cutlist.roof.support import plate_supports
from cutlist.tolerance import SAME_POINT


def frame_ridged(job: Job) -> Roof:
    """Return the gable or hip roof of a job.

    The ridge stands where the main slopes' planes meet, a hip where a main slope's and an end's
    do. Raises JobError where they do not close over the plates.
    """
    slopes = ridged_slopes(job)
    ridge = Ridge.between(job, slopes)
    first, last = slopes.ridge_ends
    if last - first < SAME_POINT:
        ridge = ridge.without_member()
    places = {face.name: main_places(job, slopes, face) for face in slopes.main}
    places |= {face.name: end_places(job, slopes, face) for face in slopes.ends}
    hips = tuple(Hip.between(job, main, end) for end in slopes.ends for main in slopes.main)

    commons = tuple(
        member
        for face in slopes.faces
        for member in rafters(
            job, face, "common", places[face.name].commons, _head(job, slopes, ridge, face)
        )
    )
    jacks = tuple(
        member
        for face in slopes.faces
        for hip, stations in places[face.name].jacks
        for at in stations
        for member in rafters(job, face, "hip-jack", (at,), jack_head(job, slopes, hip, face, at))
    )
    barges = tuple(member for face in slopes.main for member in _barges(job, slopes, ridge, face))
    hip_rafters = tuple(hip_rafter(job, slopes, hip) for hip in hips)
    begin, end = _ridge_reach(job, slopes)
    ridges = ridge_members(job, ridge, begin, end, places["near"].commons)
    return Roof(
        faces=slopes.faces,
        members=(
            *commons,
            *hip_rafters,
            *jacks,
            *barges,
            *ridges,
        ),
        supports=tuple(
            support
            for face in slopes.faces
            for support in plate_supports(job, face, between=_plate_reach(job, slopes, face))
        ),
        heights=ridge_heights(job, ridge),
        bearings=(
            *(
                bearing
                for face in slopes.faces
                for bearing in plate_bearings(
                    job,
                    [(0.0, face.length)],
                    [m for m in (*commons, *jacks) if m.line == face.name],
                    f"{face.name} plate",
                )
            ),
            *(hip_bearing(job, slopes, hip, m) for hip, m in zip(hips, hip_rafters, strict=True)),
            *beam_bearings((*commons, *barges)),
        ),
        marks=(
            *_plate_marks(job, slopes, (*commons, *jacks)),
            *(_ridge_marks(slopes, begin, (*commons, *barges)) if ridge.size else ()),
            *_hip_marks(slopes, hips, jacks),
        ),
        measures=measures(job, slopes, ridge, hips, end - begin, (*commons, *ridges)),
        left_out=tuple(jack for face in slopes.faces for jack in places[face.name].left_out),
    )


def _head(job: Job, slopes: Slopes, ridge: Ridge, face: Face) -> Head:
    """Return how the commons of a slope end: at the ridge, or an end's at the last main ones."""
    if face in slopes.main:
        return ridge.head(face, job.rafter.size.depth)
    board = ridge.size is not None and not ridge.carries
    meets = ("ridge",) if board else tuple(main.name for main in slopes.main)
    cut = end_cut("plumb", apex_side(job, slopes, face, face)).against(*meets)
    return Head(name="plumb", cuts=(cut,))


def _barges(job: Job, slopes: Slopes, ridge: Ridge, face: Face) -> tuple[Member, ...]:
    """Return a main slope's barge rafters: up to the ridge at a gable, to the hip at a half-hip."""
    made: list[Member] = []
    places = rake_stations(job, job.rafter.size)
    sides = zip(places, job.ends, (slopes.left, slopes.right), strict=False)
    for station, form, end in sides:
        if form == "gable":
            made += rafters(job, face, "barge", (station,), ridge.head(face, job.rafter.size.depth))
        elif form == "half-hip" and end:
            head = hip_head(Hip.between(job, face, end), face)
            made += rafters(job, face, "barge", (station,), head)
    return tuple(made)


def _ridge_reach(job: Job, slopes: Slopes) -> tuple[float, float]:
    """Return where what stands at the ridge begins and ends.

    Past a gable it carries the barge rafters; at a hip it ends flush with the last commons.
    """
    first, last = slopes.ridge_ends
    half, rake = job.rafter.size.thickness / 2, job.roof.rake_overhang
    return (
        first - (half if slopes.left else rake),
        last + (half if slopes.right else rake),
    )


def _plate_reach(job: Job, slopes: Slopes, face: Face) -> tuple[float, float]:
    """Return from where to where along a slope its plate runs."""
    if face in slopes.ends and is_raised(face):
        return raised_plate(job, slopes.main, face)
    return 0.0, face.length


def _plate_marks(job: Job, slopes: Slopes, members: tuple[Member, ...]) -> tuple[LayoutMark, ...]:
    """Return the marks on each plate from its left or near end."""
    return tuple(
        LayoutMark(
            line=f"{face.name} plate",
            center=m.station,
            member=m,
            over_post=stands_over_post(job, [(0.0, face.length)], m),
        )
        for face in slopes.faces
        for m in sorted((m for m in members if m.line == face.name), key=lambda m: m.station)
    )


def _ridge_marks(
    slopes: Slopes, begin: float, members: tuple[Member, ...]
) -> tuple[LayoutMark, ...]:
    """Return the marks on both sides of the ridge from its own left end."""
    return tuple(
        LayoutMark(line=f"ridge, {face.name} side", center=m.station - begin, member=m)
        for face in slopes.main
        for m in sorted((m for m in members if m.line == face.name), key=lambda m: m.station)
    )


def _hip_marks(
    slopes: Slopes, hips: tuple[Hip, ...], jacks: tuple[Member, ...]
) -> tuple[LayoutMark, ...]:
    """Return where jacks land on each side of each hip, along its top edge from its heel line."""
    return tuple(
        LayoutMark(
            line=f"{hip.line}, {face.name} side",
            center=hip.place_of(face, jack.station),
            member=jack,
            taken=hip.taken_by(face, jack.stick.thickness),
        )
        for hip in hips
        for face in (hip.main, hip.end)
        for jack in sorted(
            (j for j in jacks if j.line == face.name and _lands_on(j, hip)),
            key=lambda j: hip.place_of(face, j.station),
        )
    )


def _lands_on(jack: Member, hip: Hip) -> bool:
    return any(hip.line in plane.against for plane in jack.stick.end_planes("head"))
