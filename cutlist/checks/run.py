"""All the checks, in the order they are told."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from cutlist.checks.bearing import bearing_length, bearing_on_post
from cutlist.checks.finding import Case, Finding
from cutlist.checks.fit import fit
from cutlist.checks.length import board_length, left_out_jacks, overhang, roof_size
from cutlist.checks.notch import depth_left, end_notch, notch_depth
from cutlist.checks.ridge import hip_depth, low_pitch, ridge_depth, ridge_thickness
from cutlist.checks.router import relief_room, router_tilt
from cutlist.job import Job
from cutlist.roof.placed import placed_roofs

CHECKS: tuple[Callable[[Case], Iterator[Finding]], ...] = (
    roof_size,
    board_length,
    left_out_jacks,
    notch_depth,
    end_notch,
    depth_left,
    bearing_length,
    bearing_on_post,
    overhang,
    ridge_depth,
    hip_depth,
    ridge_thickness,
    low_pitch,
    fit,
    relief_room,
    router_tilt,
)

NOT_CHECKED = (
    "Structural sizing (spans, loads, ties, connections) is not done here: the local code and a "
    "licensed designer decide."
)

SAW_CAUTIONS = ("Keep guards on saws and wear eye and ear protection.",)

CAUTIONS = (
    "Measure the real span at both ends before cutting; frames are seldom as drawn.",
    "Cut and test-fit the first pair of rafters before cutting the rest.",
    *SAW_CAUTIONS,
    NOT_CHECKED,
)

UNDER_DORMERS = (
    "The rafters under a dormer are framed whole: its walls bring their load onto them. Have the "
    "opening, the doubled trimmers and headers around it and the dormer's walls designed."
)


AT_RIDGES = (
    "Hips and valleys bring load to where they meet a ridge or each other: brace them there to a "
    "bearing wall, or have them designed to carry it (IRC 2021 R802.4.3, from memory)."
)


def cautions(job: Job) -> tuple[str, ...]:
    """Return what to heed before cutting the parts of a job."""
    has_slants = job.hip or (job.valley and not job.is_laid)
    has_dormers = job.wing and any(p.drop is not None for p in placed_roofs(job))
    return (
        *CAUTIONS,
        *([AT_RIDGES] if has_slants else []),
        *([UNDER_DORMERS] if has_dormers else []),
    )


def run_checks(case: Case) -> tuple[Finding, ...]:
    """Return the findings of every check."""
    return tuple(finding for check in CHECKS for finding in check(case))
