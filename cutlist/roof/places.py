"""Where the commons and jacks of a roof with a ridge stand along its plates."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.layout import between
from cutlist.roof.slopes import Slopes
from cutlist.tolerance import SAME_POINT

SHORTEST_JACK_IN = 12.0
"""Jacks shorter than this are left out unless the job says otherwise [in]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Stations along one slope: of the rafters that reach the top, and of the jacks by hip."""

    commons: tuple[float, ...]
    jacks: tuple[tuple[Hip, tuple[float, ...]], ...]


def main_places(job: Job, slopes: Slopes, face: Face) -> Places:
    """Return where rafters stand along a main slope.

    At a hip the last common stands under the apex. From there, or from the building's corners
    (`jacks_from`), commons and jacks are laid out on centres; at a gable from the plate's end.
    """
    width, spacing, length = job.rafter.size.thickness, job.rafter.spacing, job.roof.length
    first, last = (
        slopes.apex(end).x if end else flush
        for end, flush in ((slopes.left, width / 2), (slopes.right, length - width / 2))
    )
    carried = slopes.left is not None and _from_common(job)
    commons = between(first, last, spacing, width, origin=first if carried else 0.0)
    jacks = []
    if slopes.left:
        hip = slopes.hip(job, face, slopes.left)
        wall = (width / 2,) if job.ends[0] == "half-hip" else ()
        jacks.append((hip, _jacks(job, face, hip, first, 0.0, wall)))
    if slopes.right:
        hip = slopes.hip(job, face, slopes.right)
        wall = (length - width / 2,) if job.ends[1] == "half-hip" else ()
        jacks.append((hip, _jacks(job, face, hip, last, length, wall)))
    return Places(commons=commons, jacks=tuple(jacks))


def end_places(job: Job, slopes: Slopes, end: Face) -> Places:
    """Return where rafters stand along a hipped end: one common under the apex, jacks beside."""
    common = end.station(slopes.apex(end))
    near, far = (slopes.hip(job, main, end) for main in slopes.main)
    return Places(
        commons=(common,),
        jacks=(
            (near, _jacks(job, end, near, common, 0.0, ())),
            (far, _jacks(job, end, far, common, end.length, ())),
        ),
    )


def _from_common(job: Job) -> bool:
    return job.hip is None or job.hip.jacks_from == "common"


def _jacks(
    job: Job, face: Face, hip: Hip, common: float, corner: float, wall: Iterable[float]
) -> tuple[float, ...]:
    """Return the stations of jacks between a common and a corner, from the common outward.

    Those too short to keep are left out. `wall` is where one stands in any case, such as over the
    wall under a half-hip; none stands inside it.
    """
    width, spacing = job.rafter.size.thickness, job.rafter.spacing
    toward = 1.0 if corner > common else -1.0
    reach = abs(corner - common)
    origin = 0.0 if _from_common(job) else reach
    steps = between(0.0, reach, spacing, width, origin=origin)
    fixed = tuple(wall)
    regular = (common + toward * step for step in steps[1:-1])
    clear = [s for s in regular if all(abs(s - f) >= width - SAME_POINT for f in fixed)]
    return tuple(s for s in (*clear, *fixed) if is_kept(job, face, hip, s))


def is_kept(job: Job, face: Face, hip: Hip, station: float) -> bool:
    """Tell whether a jack is long enough, from heel line to head along its top edge, to be cut."""
    least = job.hip.shortest_jack if job.hip else None
    if least is None:
        least = job.units.from_inches(SHORTEST_JACK_IN)
    return face.slope_length(hip.jack_run(face, station)) >= max(least, SAME_POINT)
