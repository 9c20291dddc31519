"""The slopes of a roof with a ridge: two main ones, and one at each hipped end."""

from __future__ import annotations

from dataclasses import dataclass, replace

from cutlist.errors import JobError
from cutlist.geometry.space import ACROSS, ALONG, ORIGIN, Vector, meet
from cutlist.job import EndForm, Job
from cutlist.roof.face import Face, height_above_plate, longest_seat, plumb_depth
from cutlist.roof.hip import Hip
from cutlist.roof.rafter import bearing_width, seat_length
from cutlist.tolerance import SAME_POINT
from cutlist.units import format_length, rounded_down


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

    def hip(self, job: Job, main: Face, end: Face) -> Hip:
        """Return the hip between a main slope and an end's."""
        if job.hip is None:
            raise JobError(["hip: it is missing"])
        return Hip(
            main=main,
            end=end,
            foot=meet(main.plane, end.plane, end.plumb(0.0)),
            apex=self.apex(end),
            size=job.hip.size,
            backed=job.hip.top == "back",
        )


def ridged_slopes(job: Job) -> Slopes:
    """Return the slopes of a gable or hip roof.

    Around the corner of a full hip all rafters share one height above the plate, and the overhangs
    of unequal slopes keep the fascia level. Raises JobError where the slopes do not close.
    """
    if "hip" not in job.ends:
        near, far = (_own_height(job, face) for face in _main_faces(job))
        slopes = _with_ends(job, near, far)
    else:
        flat = _with_ends(job, *_main_faces(job))
        height = _shared_height(job, flat)
        near, far = (
            replace(face, height_above_plate=height, overhang=_level_overhang(job, face))
            for face in flat.main
        )
        slopes = _with_ends(job, near, far)
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


def _own_height(job: Job, face: Face) -> Face:
    seat = seat_length(job, face.pitch)
    height = height_above_plate(job.rafter.size.depth, face.pitch, seat)
    return replace(face, height_above_plate=height)


def _with_ends(job: Job, near: Face, far: Face) -> Slopes:
    left, right = job.ends
    return Slopes(
        near=near,
        far=far,
        left=_end_face(job, "left", left, near, far),
        right=_end_face(job, "right", right, near, far),
    )


def _end_face(job: Job, name: str, form: EndForm, near: Face, far: Face) -> Face | None:
    """Return the slope of a hipped end; None for a gable.

    Its plate runs between the main slopes: at the other plates' height for a full hip, raised by
    `hip_start` for a half-hip.
    """
    if form == "gable":
        return None
    roof = job.roof
    pitch = roof.end_pitch or near.pitch
    face = Face(
        name=name,
        corner=Vector(0.0 if name == "left" else roof.length, 0.0, 0.0),
        along=ACROSS,
        uphill=ALONG if name == "left" else -ALONG,
        length=roof.span,
        pitch=pitch,
        height_above_plate=near.height_above_plate,
        overhang=roof.rake_overhang,
    )
    if form == "hip":
        return replace(face, overhang=_level_overhang(job, face))
    face = _own_height(job, face)
    rise = (roof.hip_start or 0.0) + face.height_above_plate
    begin = (rise - near.height_above_plate) / near.pitch
    end = roof.span - (rise - far.height_above_plate - far.corner.z) / far.pitch
    if end - begin < job.rafter.size.thickness or begin < 0:
        raise JobError(
            [
                "roof.hip_start: the half-hip's plate does not lie between the slopes at that "
                "height; give a height between the plate and the ridge"
            ]
        )
    corner = Vector(face.corner.x, begin, roof.hip_start or 0.0)
    return replace(face, corner=corner, length=end - begin)


def _level_overhang(job: Job, face: Face) -> float:
    """Return the overhang at which a slope's fascia is level with the near side's."""
    return job.roof.overhang * (job.roof.pitch or face.pitch) / face.pitch


def _shared_height(job: Job, flat: Slopes) -> float:
    """Return the height above the plate for all rafters around a hipped roof.

    A seat given in the job is the near slope's. For `auto` it is the longest that lets every
    slope's seat and every hip's stay within the bearing and the notch limit.
    """
    depth, near = job.rafter.size.depth, flat.near
    seat = seat_length(job, near.pitch)
    height = height_above_plate(depth, near.pitch, seat)
    if job.rafter.seat == "auto":
        limit = job.rafter.notch_limit
        needed = [
            height_above_plate(
                depth, f.pitch, min(bearing_width(job), longest_seat(depth, f.pitch, limit))
            )
            for f in flat.faces
        ]
        for end in flat.ends:
            for hip in (flat.hip(job, main, end) for main in flat.main):
                deep = hip.size.depth
                most = longest_seat(deep, hip.pitch, limit)
                needed.append(height_above_plate(deep, hip.pitch, most) + hip.drop)
        seat = (plumb_depth(depth, near.pitch) - max(needed)) / near.pitch
        seat = rounded_down(seat, job.saw.round_to)
        height = height_above_plate(depth, near.pitch, seat)
    for face in flat.faces:
        if (plumb_depth(depth, face.pitch) - height) / face.pitch <= 0:
            raise JobError(
                [
                    f"rafter.seat: the rafters of the {face.name} slope get no seat, since all "
                    "share one height above the plate around a hip; lengthen the seat, deepen the "
                    "rafters or take a shallower hip"
                ]
            )
    return height


def _must_close(job: Job, slopes: Slopes) -> None:
    """Refuse slopes that do not meet between the plates, or hips that meet before the ridge."""
    span, size = job.roof.span, job.rafter.size
    half = job.ridge.size.thickness / 2 if job.ridge and job.ridge.size else 0.0
    least = job.plate.width + half
    run = meet(slopes.near.plane, slopes.far.plane, slopes.near.across(0.0)).y
    if not least < run < span - least:
        raise JobError(
            [
                "roof.far_pitch: the two slopes do not meet between the plates; bring the pitches "
                "or the plate heights nearer to each other"
            ]
        )
    begin, end = ridge_ends(slopes, job.roof.length)
    short = end - begin
    if not slopes.ends or abs(short) < SAME_POINT or short >= size.thickness:
        return
    pyramid = job.roof.length - short

    def text(length: float) -> str:
        return format_length(length, job.units, job.saw.round_to)

    most = max(slopes.ends, key=lambda face: face.run(slopes.apex(face)))
    room = most.run(slopes.apex(most)) + short / len(slopes.ends)
    steeper = (slopes.apex(most).z - most.corner.z - most.height_above_plate) / room
    raise JobError(
        [
            f"roof.length: {text(job.roof.length)} leaves a ridge of {text(short)}; at these "
            f"pitches make it {text(pyramid)} for hips that meet in a point, or at least "
            f"{text(pyramid + size.thickness)}, or end_pitch steeper than {12 * steeper:.2f}/12"
        ]
    )


def ridge_ends(slopes: Slopes, length: float) -> tuple[float, float]:
    """Return where the line of the ridge begins and ends along the building, at the slopes."""
    return (
        slopes.apex(slopes.left).x if slopes.left else 0.0,
        slopes.apex(slopes.right).x if slopes.right else length,
    )
