"""How deep a rafter may be notched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot, isclose

from cutlist.checks.finding import Case, Finding, at_least, at_most
from cutlist.roof.member import Notch
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE
from cutlist.units import UnitName

QUARTER = "IRC 2006/2009 R802.7.1 (notches at the ends: a quarter of the depth)"
PRACTICE = "common practice, no source (a third of the depth)"

LEAST_DEPTH_LEFT: Mapping[UnitName, tuple[float, str]] = {
    "imperial": (3.5, "IRC 2012 and later R802.7.1.1 (3 1/2 in left where the rafter cantilevers)"),
    "metric": (89.0, "IRC 2012 and later R802.7.1.1 (89 mm left where the rafter cantilevers)"),
}
"""Least wood left, square to the edge, over a notch beyond which the rafter cantilevers.

The code prints the millimetres beside the inches (from memory).
"""


def notch_depth(case: Case) -> Iterator[Finding]:
    """Hold each notch, square to the edge, against the limit that the job selects."""
    share = case.job.rafter.notch_limit
    source = next(
        (text for limit, text in ((1 / 3, PRACTICE), (1 / 4, QUARTER)) if isclose(share, limit)),
        "limit chosen in the job file",
    )
    for part, notch in _notches(case):
        limit = share * part.stick.depth
        yield at_most(
            "notch depth",
            f"{part.mark} {_name(notch)}",
            notch.depth,
            limit,
            source=source,
            advice=_advice(part),
        )


def _advice(part: Part) -> str:
    """Return how to notch less; a hip or valley is notched till it is down at the rafters."""
    if part.role in ("hip", "valley"):
        return f"shorten the rafters' seat, take deeper rafters, or a {part.role} less deep"
    return "shorten the seat, take a deeper rafter, or lower the pitch"


def end_notch(case: Case) -> Iterator[Finding]:
    """Hold each notch at a rafter's very end against a quarter of the depth.

    A notch at an end has no more of the rafter beyond it than the bearing is wide.
    """
    for part, notch in _notches(case):
        if cantilevers(case, part, notch):
            continue
        limit = part.stick.depth / 4
        yield at_most(
            "end notch",
            f"{part.mark} {_name(notch)}",
            notch.depth,
            limit,
            source=QUARTER,
            advice='ask the building office, or set notch_limit = "1/4"',
            otherwise="warn",
        )


def depth_left(case: Case) -> Iterator[Finding]:
    """Hold the wood left over a notch against the least for a rafter that cantilevers over it."""
    limit, source = LEAST_DEPTH_LEFT[case.job.unit_name]
    for part, notch in _notches(case):
        if not cantilevers(case, part, notch):
            continue
        left = part.stick.depth - notch.depth
        yield at_least(
            "depth left over the notch",
            f"{part.mark} {_name(notch)}",
            left,
            limit,
            source=source,
            advice="shorten the seat, take a deeper rafter, or leave off the tail",
        )


def cantilevers(case: Case, part: Part, notch: Notch) -> bool:
    """Tell whether the rafter runs on past its bearing beyond this notch."""
    return reach_beyond(case, part, notch) > ON_PLANE


def reach_beyond(case: Case, part: Part, notch: Notch) -> float:
    """Return how far, level, the rafter reaches past its bearing beyond this notch."""
    if notch.name == "high-seat":
        return case.job.roof.high_overhang
    if notch.name != "seat":
        return 0.0
    x = part.stick.frame.x
    return part.member.tail_length * hypot(x.x, x.y)


def _notches(case: Case) -> Iterator[tuple[Part, Notch]]:
    for part in case.parts:
        for notch in part.member.notches:
            yield part, notch


def _name(notch: Notch) -> str:
    return {
        "seat": "birdsmouth",
        "high-seat": "birdsmouth at the high plate",
        "beam-seat": "notch over the ridge beam",
    }.get(notch.name, notch.name)
