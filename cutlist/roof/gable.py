"""Gable roofs: two faces over two plates, meeting at a ridge."""

from __future__ import annotations

from cutlist.errors import JobError
from cutlist.geometry.space import UP, Plane, Vector
from cutlist.geometry.stick import end_cut, notch
from cutlist.job import Job
from cutlist.roof.bearing import plate_bearings, stands_over_post
from cutlist.roof.face import Face, height_above_plate, plumb_depth
from cutlist.roof.layout import stations
from cutlist.roof.level import joints_on_rafters, level_members
from cutlist.roof.member import Member
from cutlist.roof.rafter import Head, rafters, rake_stations, seat_length
from cutlist.roof.roof import Bearing, Height, LayoutMark, Roof
from cutlist.roof.support import plate_supports

ALONG = Vector(1.0, 0.0, 0.0)
ACROSS = Vector(0.0, 1.0, 0.0)


def frame_gable(job: Job) -> Roof:
    """Return the gable roof of a job.

    The ridge stands where the planes of the two sides' top edges meet, so it is off centre where
    pitches or plates differ. Raises JobError where they do not meet between the plates.
    """
    faces = near, far = gable_faces(job)
    near_run, far_run = ridge_runs(job, near, far)
    heads = ridge_heads(job, near, far, near_run, far_run)
    size = job.rafter.size
    common_at = stations(job.roof.length, job.rafter.spacing, size.thickness)
    barge_at = rake_stations(job, size)
    sides = tuple(zip(faces, heads, strict=True))
    commons = tuple(m for f, head in sides for m in rafters(job, f, "common", common_at, head))
    barges = tuple(m for f, head in sides for m in rafters(job, f, "barge", barge_at, head))
    top = ridge_top(job, near, far, near_run, far_run)
    ridge = _ridge(job, near_run, top, common_at)
    return Roof(
        faces=faces,
        members=(*commons, *barges, *ridge),
        supports=tuple(
            support
            for face in faces
            for support in plate_supports(
                job,
                f"{face.name} plate",
                corner=face.corner,
                along=face.along,
                inward=face.uphill,
                length=job.roof.length,
            )
        ),
        heights=_heights(job, near, near_run, top),
        bearings=(
            *(
                bearing
                for face in faces
                for bearing in plate_bearings(
                    job, [m for m in commons if m.line == face.name], f"{face.name} plate"
                )
            ),
            *_beam_bearings(job, (*commons, *barges)),
        ),
        marks=_marks(job, commons, barges),
    )


def gable_faces(job: Job) -> tuple[Face, Face]:
    """Return the near and the far slope."""
    roof, depth = job.roof, job.rafter.size.depth
    pitch = roof.pitch or 0.0
    far_pitch = roof.far_pitch or pitch
    step = 0.0
    if roof.far_plate_height is not None and roof.plate_height is not None:
        step = roof.far_plate_height - roof.plate_height

    def face(name: str, corner: Vector, uphill: Vector, pitch: float) -> Face:
        seat = seat_length(job, pitch)
        return Face(
            name=name,
            corner=corner,
            along=ALONG,
            uphill=uphill,
            pitch=pitch,
            height_above_plate=height_above_plate(depth, pitch, seat),
        )

    return (
        face("near", Vector(0.0, 0.0, 0.0), ACROSS, pitch),
        face("far", Vector(0.0, roof.span, step), -ACROSS, far_pitch),
    )


def ridge_runs(job: Job, near: Face, far: Face) -> tuple[float, float]:
    """Return the runs from both building lines to where the planes of the two faces meet.

    Raises JobError where the heads would not stand inside both plates.
    """
    span = job.roof.span
    far_height = far.corner.z + far.height_above_plate
    run = (far_height + far.pitch * span - near.height_above_plate) / (near.pitch + far.pitch)
    ridge = job.ridge.size if job.ridge else None
    least = job.plate.width + (ridge.thickness / 2 if ridge else 0.0)
    if not least < run < span - least:
        raise JobError(
            [
                "roof.far_pitch: the two slopes do not meet between the plates; bring the pitches "
                "or the plate heights nearer to each other"
            ]
        )
    return run, span - run


def ridge_heads(
    job: Job, near: Face, far: Face, near_run: float, far_run: float
) -> tuple[Head, Head]:
    """Return how the rafters of the two faces end: at the board, over the beam, or together."""
    kind = job.ridge.kind if job.ridge else "none"
    half = job.ridge.size.thickness / 2 if job.ridge and job.ridge.size else 0.0
    short = half if kind == "board" else 0.0
    beam = Plane(-UP, -_beam_top(job, near, far, near_run, far_run))

    def head(face: Face, run: float, opposite: Face) -> Head:
        meets = "ridge" if kind == "board" else opposite.name
        cuts = [end_cut("plumb", face.plumb(run - short)).against(meets)]
        if kind == "beam":
            over = notch(**{"beam-seat": beam, "beam-heel": face.plumb(run - half)})
            cuts.append(over.against("ridge"))
        return Head(name="plumb", cuts=tuple(cuts))

    return head(near, near_run, far), head(far, far_run, near)


def ridge_top(job: Job, near: Face, far: Face, near_run: float, far_run: float) -> float | None:
    """Return the height of the ridge's top above the near plate; None where there is no ridge.

    A board's top corners stand above neither face; a beam carries the rafters on its top.
    """
    if job.ridge is None or job.ridge.size is None:
        return None
    if job.ridge.kind == "beam":
        return _beam_top(job, near, far, near_run, far_run)
    half = job.ridge.size.thickness / 2
    return min(near.top(near_run - half), far.corner.z + far.top(far_run - half))


def _beam_top(job: Job, near: Face, far: Face, near_run: float, far_run: float) -> float:
    """Return the height of the beam's top: as low as lets both sides bear on all of their half."""
    depth = job.rafter.size.depth
    return max(
        face.corner.z + face.top(run) - plumb_depth(depth, face.pitch)
        for face, run in ((near, near_run), (far, far_run))
    )


def _ridge(
    job: Job, run: float, top: float | None, rafters_at: tuple[float, ...]
) -> tuple[Member, ...]:
    """Return the ridge in lengths: a board is joined on rafters, a beam goes from end to end."""
    if job.ridge is None or job.ridge.size is None or top is None:
        return ()
    size, rake = job.ridge.size, job.roof.rake_overhang
    ends = (-rake, job.roof.length + rake)
    is_beam = job.ridge.kind == "beam"
    return level_members(
        "ridge",
        size,
        "ridge",
        start=Vector(0.0, run, top),
        along=ALONG,
        joints=ends if is_beam else joints_on_rafters(job, size, *ends, rafters_at),
        faces=() if is_beam else ("near", "far"),
    )


def _heights(job: Job, near: Face, run: float, top: float | None) -> tuple[Height, ...]:
    heights = [
        Height(name="rafter tops at the building line", above_plate=near.height_above_plate),
        Height(name="rafter tops meeting over the ridge", above_plate=near.top(run)),
    ]
    if top is not None and job.ridge and job.ridge.size:
        heights += [
            Height(name="ridge top", above_plate=top),
            Height(name="ridge bottom", above_plate=top - job.ridge.size.depth),
        ]
    return tuple(heights)


def _beam_bearings(job: Job, members: tuple[Member, ...]) -> tuple[Bearing, ...]:
    return tuple(
        Bearing(member=m, support="ridge beam", seat=n.seat, on_plate=n.seat, on_post=0.0)
        for m in members
        for n in m.notches
        if n.name == "beam-seat"
    )


def _marks(
    job: Job, commons: tuple[Member, ...], barges: tuple[Member, ...]
) -> tuple[LayoutMark, ...]:
    """Return the marks on both plates from the building's end, on the ridge from its own end."""
    plates = [
        LayoutMark(
            line=f"{m.line} plate",
            center=m.station,
            member=m,
            over_post=stands_over_post(job, m.station, m.stick.thickness),
        )
        for m in commons
    ]
    if job.ridge is None or job.ridge.kind == "none":
        return tuple(plates)
    on_ridge = sorted((*commons, *barges), key=lambda m: (m.line != "near", m.station))
    ridge = [
        LayoutMark(
            line=f"ridge, {m.line} side", center=m.station + job.roof.rake_overhang, member=m
        )
        for m in on_ridge
    ]
    return (*plates, *ridge)
