"""Where the commons and jacks of a roof with a ridge stand along its plates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutlist.job import Job
from cutlist.roof.ends import is_raised
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip, shortest_jack
from cutlist.roof.layout import between
from cutlist.roof.roof import LeftOut
from cutlist.roof.slopes import Slopes
from cutlist.tolerance import SAME_POINT


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Stations along one slope: of the rafters that reach the top, and of the jacks by hip."""

    commons: tuple[float, ...]
    jacks: tuple[tuple[Hip, tuple[float, ...]], ...]
    left_out: tuple[LeftOut, ...]


def main_places(job: Job, slopes: Slopes, face: Face) -> Places:
    """Return where rafters stand along a main slope.

    At a hip the last common stands under the apex. From there, or from the building's corners
    (`jacks_from`), commons and jacks are laid out on centres; at a gable from the plate's end.
    """
    width, spacing, length = job.rafter.size.thickness, job.rafter.spacing, face.length
    first, last = (
        slopes.apex(end).x if end else flush
        for end, flush in ((slopes.left, width / 2), (slopes.right, length - width / 2))
    )
    carried = slopes.left is not None and _from_common(job)
    commons = between(first, last, spacing, width, origin=first if carried else 0.0)
    ends = ((slopes.left, first, 0.0), (slopes.right, last, length))
    jacks = [
        (Hip.between(job, face, end), _jacks(job, common, corner, over_wall=is_raised(end)))
        for end, common, corner in ends
        if end
    ]
    return _places(job, face, commons, jacks)


def end_places(job: Job, slopes: Slopes, end: Face) -> Places:
    """Return where rafters stand along a hipped end: one common under the apex, jacks beside."""
    common = end.station(slopes.apex(end))
    near, far = (Hip.between(job, main, end) for main in slopes.main)
    jacks = [(near, _jacks(job, common, 0.0)), (far, _jacks(job, common, end.length))]
    return _places(job, end, (common,), jacks)


def _from_common(job: Job) -> bool:
    return job.hip is None or job.hip.jacks_from == "common"


def _places(
    job: Job, face: Face, commons: tuple[float, ...], jacks: Sequence[tuple[Hip, tuple[float, ...]]]
) -> Places:
    """Return the places of a slope's rafters, jacks too short to be cut told apart."""
    kept = [
        (hip, tuple(at for at in stations if is_kept(job, face, hip, at)))
        for hip, stations in jacks
    ]
    left_out = (
        LeftOut(
            line=face.name,
            station=at,
            length=length if _is_whole(job, face, hip, at) else 0.0,
            least=shortest_jack(job),
            ends_at=("hip",),
        )
        for hip, stations in jacks
        for at in stations
        if not is_kept(job, face, hip, at)
        and (length := face.slope_length(hip.jack_run(face, at))) > SAME_POINT
    )
    return Places(commons=commons, jacks=tuple(kept), left_out=tuple(left_out))


def _jacks(job: Job, common: float, corner: float, *, over_wall: bool = False) -> tuple[float, ...]:
    """Return the stations of jacks between a common and a corner, from the common outward.

    Over the gable wall under a half-hip one stands flush
    with the corner, and none of the others over the raised plate: it is moved in beside it.
    """
    width, spacing = job.rafter.size.thickness, job.rafter.spacing
    toward = 1.0 if corner > common else -1.0
    reach = abs(corner - common)
    origin = 0.0 if _from_common(job) else reach
    steps = between(0.0, reach, spacing, width, origin=origin)[1:-1]
    if over_wall:
        inside = reach - job.plate.width - width / 2
        free = [step for step in steps if step <= inside]
        room = inside - (free[-1] if free else 0.0)
        moved = [inside] if len(free) < len(steps) and room >= width - SAME_POINT else []
        steps = (*free, *moved, reach - width / 2)
    return tuple(common + toward * step for step in steps)


def is_kept(job: Job, face: Face, hip: Hip, station: float) -> bool:
    """Tell whether a jack is long enough to be cut: from heel line to head along its top edge."""
    length = face.slope_length(hip.jack_run(face, station))
    return length >= shortest_jack(job) and _is_whole(job, face, hip, station)


def _is_whole(job: Job, face: Face, hip: Hip, station: float) -> bool:
    """Tell whether the top edge of a jack is there on both its sides.

    Beside an acute hip the shorter of them may be gone, though its middle is there.
    """
    half = job.rafter.size.thickness / 2
    shorter = min(hip.jack_run(face, station + side) for side in (-half, half))
    return shorter > SAME_POINT - face.overhang
