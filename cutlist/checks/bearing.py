"""What a rafter must bear on."""

from __future__ import annotations

from collections.abc import Iterator

from cutlist.checks.finding import Case, Finding, at_least
from cutlist.roof.rafter import bearing_width
from cutlist.roof.ridge import RIDGE_BEAM
from cutlist.roof.roof import Bearing
from cutlist.tolerance import ON_PLANE
from cutlist.units import format_length, rounded_up

IMPERIAL_SOURCE = "IRC R802.6 (1 1/2 in on wood or metal)"
METRIC_SOURCE = "O. Reg. 332/12, 9.23.13.3 (38 mm at the end of a rafter); IRC R802.6"


def least_bearing(case: Case) -> tuple[float, str]:
    """Return the least level bearing on wood, in the job's unit, and where it is written."""
    if case.job.unit_name == "metric":
        return 38.0, METRIC_SOURCE
    return 1.5, IMPERIAL_SOURCE


def bearing_length(case: Case) -> Iterator[Finding]:
    """Hold the bearing that each kind of rafter really gets against the least on wood."""
    limit, source = least_bearing(case)
    for subject, bearing in _kinds(case):
        yield at_least(
            "bearing length",
            subject,
            bearing.total,
            limit,
            source=source,
            advice=_advice(case, bearing),
        )


def _advice(case: Case, bearing: Bearing) -> str:
    """Return how to bear on more, by what holds the bearing.

    A hip's seat, or a very short jack's, is not the one given, nor is that on a ridge beam.
    """
    member = bearing.member
    if member.role in ("hip", "valley"):
        return f"take a deeper {member.role}, lengthen the rafters' seat, or widen the plates"
    if member.role == "hip-jack" and member.line_length < case.job.plate.width:
        return "leave so short a jack out, by hip.shortest_jack"
    if bearing.support == RIDGE_BEAM:
        return "take a thicker ridge beam: each side bears on half of it"
    if bearing.seat > bearing.total + ON_PLANE:
        return "widen the plate"
    if case.job.rafter.seat != "auto":
        room = bearing_width(case.job) > least_bearing(case)[0] - ON_PLANE
        return "lengthen the seat" if room else "lengthen the seat, and widen the plate"
    # It is as long as the plate or a notch limit lets, and no longer seat can be asked for.
    if bearing.total > bearing_width(case.job) - case.job.saw.round_to:
        return "widen the plate"
    return "take a deeper rafter, a larger rafter.notch_limit, or a lower pitch"


def bearing_on_post(case: Case) -> Iterator[Finding]:
    """Tell whether rafters over a post beside the header reach onto it, and the seat needed."""
    limit, source = least_bearing(case)
    for subject, bearing in _kinds(case):
        if not bearing.over_post or bearing.post_beyond is None:
            continue
        round_to = case.job.saw.round_to
        least = rounded_up(bearing.post_beyond + limit, round_to)
        needed = format_length(least, case.job.units, round_to)
        yield at_least(
            "bearing on the post",
            subject,
            bearing.on_post,
            limit,
            source=f"{source}, asked of the post alone",
            advice=f"a seat of {needed} reaches that far onto the post",
            otherwise="warn",
        )


def _kinds(case: Case) -> Iterator[tuple[str, Bearing]]:
    """Return one bearing of each kind, the kind told in words."""
    places = {True: ", over a post", False: ", between posts", None: ""}
    seen = set()
    for bearing in case.roof.bearings:
        mark = case.mark_of(bearing.member)
        subject = f"{mark} on the {bearing.support}{places[bearing.over_post]}"
        if subject not in seen:
            seen.add(subject)
            yield subject, bearing
