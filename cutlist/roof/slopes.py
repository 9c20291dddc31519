"""The slopes of a roof with a ridge: two main ones, and one at each hipped end."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from cutlist.errors import JobError
from cutlist.geometry.space import ACROSS, ALONG, ORIGIN, Vector, meet
from cutlist.job import EndForm, Job
from cutlist.roof.ends import half_hip_face, hip_face, level_overhang
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.seat import shared_height
from cutlist.tolerance import SAME_ON_TAPE, SAME_POINT
from cutlist.units import format_length, format_steeper, rounded_up

STEEPEST_OFFERED = 2.0
"""No steeper end is proposed: common practice, no source (few slopes are steeper than 24 in 12)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slopes:
    """The slopes, seen from the near side; an end that is a gable has none."""

    near: Face
    far: Face
    left: Face | None
    right: Face | None

    @property
    def main(self) -> tuple[Face, Face]:
        """The two long slopes."""
        return self.near, self.far

    @property
    def ends(self) -> tuple[Face, ...]:
        """The slopes of the hipped ends, left before right."""
        return tuple(face for face in (self.left, self.right) if face)

    @property
    def faces(self) -> tuple[Face, ...]:
        """All slopes."""
        return (*self.main, *self.ends)

    def apex(self, end: Face) -> Vector:
        """Return the point in which both main slopes and the slope of an end meet."""
        return meet(self.near.plane, self.far.plane, end.plane)

    @property
    def ridge_ends(self) -> tuple[float, float]:
        """Where the line of the ridge begins and ends along the building."""
        return (
            self.apex(self.left).x if self.left else 0.0,
            self.apex(self.right).x if self.right else self.near.length,
        )


def ridged_slopes(job: Job) -> Slopes:
    """Return the slopes of a gable or hip roof.

    Around the corner of a full hip all rafters share one height above the plate, and the overhangs
    of unequal slopes keep the fascia level. A half-hip's rafters have their own. Raises JobError
    where the slopes do not close.
    """
    near, far = _main_faces(job)
    if "hip" in job.ends:
        level = _with_ends(job, near, far, halves=False)
        hips = (Hip.between(job, main, end) for end in level.ends for main in level.main)
        height = shared_height(job, level.faces, tuple(hips))
        near, far = (
            replace(face, height_above_plate=height, overhang=level_overhang(job, face.pitch))
            for face in (near, far)
        )
    else:
        near, far = (
            replace(face, height_above_plate=shared_height(job, (face,))) for face in (near, far)
        )
    _must_meet(job, near, far)
    slopes = _to_a_point(job, _with_ends(job, near, far, halves=True))
    _must_close(job, slopes)
    return slopes


def _main_faces(job: Job) -> tuple[Face, Face]:
    """Return the near and far slope, their top edges still at the plates' height."""
    roof = job.roof
    pitch = roof.pitch or 0.0
    step = 0.0
    if roof.far_plate_height is not None and roof.plate_height is not None:
        step = roof.far_plate_height - roof.plate_height
    near = Face(
        name="near",
        corner=ORIGIN,
        along=ALONG,
        uphill=ACROSS,
        length=roof.length,
        pitch=pitch,
        height_above_plate=0.0,
        overhang=roof.overhang,
    )
    far = replace(
        near,
        name="far",
        corner=Vector(0.0, roof.span, step),
        uphill=-ACROSS,
        pitch=roof.far_pitch or pitch,
    )
    return near, far


def _with_ends(job: Job, near: Face, far: Face, *, halves: bool) -> Slopes:
    """Return the slopes with those of the ends; half-hips count as gables unless asked for."""

    def end(name: str, form: EndForm) -> Face | None:
        if form == "hip":
            return hip_face(job, name, near)
        return half_hip_face(job, name, near, far) if form == "half-hip" and halves else None

    left, right = job.ends
    return Slopes(near=near, far=far, left=end("left", left), right=end("right", right))


def _must_meet(job: Job, near: Face, far: Face) -> None:
    """Refuse main slopes that do not meet between the plates."""
    half = job.ridge.size.thickness / 2 if job.ridge and job.ridge.size else 0.0
    least = job.plate.width + half
    if job.roof.span <= 2 * least:
        room = rounded_up(2 * least + job.saw.round_to / 2, job.saw.round_to)
        raise JobError(
            [
                "roof.span: between the plates and the ridge no rafter has room; make it "
                f"{format_length(room, job.units, job.saw.round_to)} or more"
            ]
        )
    run = meet(near.plane, far.plane, near.across(0.0)).y
    if not least < run < job.roof.span - least:
        raise JobError(
            [
                "roof.far_pitch: the two slopes do not meet between the plates; bring the pitches "
                "or the plate heights nearer to each other"
            ]
        )


def _to_a_point(job: Job, slopes: Slopes) -> Slopes:
    """Return slopes whose hips all meet in one point where the job's length says so.

    The length of a pyramid over unequal slopes can seldom be written down exactly: the one in the
    job is taken for it where no tape could tell them apart.
    """
    if slopes.left is None or slopes.right is None:
        return slopes
    begin, end = slopes.ridge_ends
    short = end - begin
    if abs(short) > job.saw.round_to * SAME_ON_TAPE + SAME_POINT:
        return slopes
    near, far = (replace(face, length=face.length - short) for face in slopes.main)
    corner = slopes.right.corner - ALONG * short
    return Slopes(near=near, far=far, left=slopes.left, right=replace(slopes.right, corner=corner))


def _must_close(job: Job, slopes: Slopes) -> None:
    """Refuse hips that leave a ridge too short for the commons at its ends, or none."""
    if not slopes.ends:
        return
    begin, end = slopes.ridge_ends
    short, width, step = end - begin, job.rafter.size.thickness, job.saw.round_to
    two = len(slopes.ends) == 2
    # Commons stand under each apex, and flush with the wall at a gable.
    least = width if two else 1.5 * width
    if short >= least - SAME_POINT or (two and abs(short) < SAME_POINT):
        return
    hipped = slopes.near.length - short

    def text(length: float) -> str:
        return format_length(length, job.units, step)

    wrong = f"leaves a ridge of {text(short)}" if short > 0 else "is too short for its hips"
    ways = [f"make it {text(ceil((hipped + least) / step - SAME_POINT) * step)} or more"]
    if two:
        ways.insert(0, f"make it {text(hipped)} for hips that meet in a point")
    if slopes.near.length > least:
        rise = sum(slopes.apex(f).z - f.corner.z - f.height_above_plate for f in slopes.ends)
        pitch = rise / (slopes.near.length - least)
        if pitch <= STEEPEST_OFFERED:
            steeper = format_steeper(pitch, job.units)
            ways.append(f"give an end_pitch of {steeper} or steeper")
    raise JobError([f"roof.length: {text(job.roof.length)} {wrong}; " + ", or ".join(ways)])
