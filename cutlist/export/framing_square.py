"""What a framing square is set to for laying out a member's plumb and level lines by hand."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from cutlist.build import Build
from cutlist.roof.member import Member
from cutlist.tolerance import PARALLEL
from cutlist.units import IMPERIAL

LONGEST_TONGUE_IN = 16.0
"""Length of the short arm of a common framing square [in] (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SquareSetting:
    """Figures held to the edge: level cuts are marked along the body, plumb cuts along the tongue.

    Both in the job's unit. `body` is the level run that rises by `tongue`.
    """

    body: float
    tongue: float


def square_setting(build: Build, member: Member) -> SquareSetting | None:
    """Return the figures for a member; None for a level one.

    A member up a slope is set to 12 in (250 mm) and the slope's rise on that. One that crosses the
    slope, as a hip does, keeps the rise and takes the run over which it rises so: between equal
    slopes 12 in times the square root of 2, which is 16.97. Rises longer than the tongue are
    halved together with the run.
    """
    up = member.stick.frame.x
    level = hypot(up.x, up.y)
    if abs(up.z) < PARALLEL or level < PARALLEL:
        return None
    units = build.job.units
    unit_run = 12.0 if units is IMPERIAL else 250.0
    pitches = [face.pitch for face in build.roof.faces if face.name in member.faces]
    rise = unit_run * (pitches[0] if pitches else abs(up.z) / level)
    run = rise * level / abs(up.z)
    while rise > units.from_inches(LONGEST_TONGUE_IN):
        rise, run = rise / 2, run / 2
    return SquareSetting(body=run, tongue=rise)
