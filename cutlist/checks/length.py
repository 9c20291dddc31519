"""How small a roof is likely to be, how far rafters reach, how long and how short parts may be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from cutlist.checks.finding import Case, Finding, at_least, at_most
from cutlist.checks.notch import cantilevers, reach_beyond
from cutlist.job import Job
from cutlist.roof.hip import shortest_jack
from cutlist.units import UnitName, format_length, rounded_down, rounded_up

STOCK = "the job's lumber, or the standard lengths"

MOST_CANTILEVER: Mapping[UnitName, tuple[float, str]] = {
    "imperial": (
        24.0,
        "IRC 2012 and later R802.7.1.1 (a notched rafter cantilevers 24 in at most)",
    ),
    "metric": (
        610.0,
        "IRC 2012 and later R802.7.1.1 (a notched rafter cantilevers 610 mm at most)",
    ),
}
"""The code prints the millimetres beside the inches (from memory)."""

LEAST_ROOF: Mapping[UnitName, tuple[float, str]] = {
    "imperial": (48.0, "common practice, no source (few roofs are narrower than 4 ft)"),
    "metric": (1200.0, "common practice, no source (few roofs are narrower than 1.2 m)"),
}

SHORT_JACK: Mapping[UnitName, str] = {
    "imperial": "common practice, no source (jacks shorter than 1 ft are seldom cut)",
    "metric": "common practice, no source (jacks shorter than 300 mm are seldom cut)",
}


def roof_size(case: Case) -> Iterator[Finding]:
    """Ask of a very small roof, and of no other, whether its size was meant in another unit."""
    return small_roofs(case.job)


def small_roof_hints(job: Job) -> Iterator[str]:
    """Return the same as problems, for a roof that is refused before it can be checked."""
    for finding in small_roofs(job):
        size = format_length(finding.value, job.units, job.saw.round_to)
        yield f"{finding.subject}: it is only {size} wide: {finding.advice}"


def small_roofs(job: Job) -> Iterator[Finding]:
    """Return a finding for the roof and each wing that is very small."""
    least, source = LEAST_ROOF[job.unit_name]
    imperial = job.unit_name == "imperial"
    unit, larger = ("inches", "ft") if imperial else ("millimetres", "m")
    tables = {"roof": job.roof} | {f"wing[{i}]": wing for i, wing in enumerate(job.wing, start=1)}
    for key, table in tables.items():
        across = [max(places) - min(places) for places in zip(*table.plan, strict=True)]
        # A bay may stand out ever so little.
        width = max(across) if table.corners and key != "roof" else min(across)
        if width < least:
            example = f"{width:g}ft" if imperial else "6m"
            yield at_least(
                "size of the roof",
                key,
                width,
                least,
                source=source,
                advice=f"a bare number is read in {unit}; where {larger} is meant, write it in "
                f'quotes with its unit, like "{example}"',
                otherwise="warn",
            )


def overhang(case: Case) -> Iterator[Finding]:
    """Hold the level overhang of notched rafters against the most a notched rafter may reach."""
    limit, source = MOST_CANTILEVER[case.job.unit_name]
    ends = {"seat": ("tail", "overhang"), "high-seat": ("high end", "high_overhang")}
    for part in case.parts:
        for notch in part.member.notches:
            if not cantilevers(case, part, notch):
                continue
            where, key = ends[notch.name]
            reach = reach_beyond(case, part, notch)
            yield at_most(
                "overhang",
                f"{part.mark} {where}",
                reach,
                limit,
                source=source,
                advice=f"shorten roof.{key}, or have the overhang designed",
                otherwise="warn",
            )


def board_length(case: Case) -> Iterator[Finding]:
    """Hold each part, with the trim at both ends of a board, against the longest board."""
    units, round_to = case.job.units, case.job.saw.round_to
    for part in case.parts:
        table = case.job.boards(part.size)
        longest = max([*table.lengths, *(board.length for board in table.on_hand)])
        needed = part.stick.length + 2 * case.job.saw.end_trim
        text = format_length(rounded_up(needed, round_to), units, round_to)
        most = format_length(rounded_down(longest, round_to), units, round_to)
        yield at_most(
            "board length",
            part.mark,
            needed,
            longest,
            source=STOCK,
            advice=f"{part.mark} needs a {part.size.name} of {text} and the longest is {most}: "
            "list a longer board under [[lumber]], shorten the overhang or the span, or bear the "
            "rafter on a wall or beam between and cut it in two",
        )


def left_out_jacks(case: Case) -> Iterator[Finding]:
    """Tell of each jack that is left out as too short where it would stand, and how long.

    Sheathing is carried there by the hip, valley or valley plate alone, from the last jack on. A
    smaller least length helps where the jack is no shorter than it is thick, and its ends do not
    cross.
    """
    units, round_to, hip = case.job.units, case.job.saw.round_to, case.job.hip
    given = hip is not None and hip.shortest_jack is not None
    for jack in case.roof.left_out:
        can_be_cut = hip is not None and jack.length >= case.job.rafter.size.thickness
        can_be_cut = can_be_cut and jack.least <= shortest_jack(case.job)
        yield Finding(
            check="jack left out",
            subject=f"{jack.line} slope at {format_length(jack.station, units, round_to)}",
            value=jack.length,
            limit=jack.least,
            result="warn",
            source="hip.shortest_jack" if given else SHORT_JACK[case.job.unit_name],
            advice="no jack carries the sheathing there: nail its edge to the "
            + " and the ".join(jack.ends_at)
            + (", or give a smaller hip.shortest_jack" if can_be_cut else ""),
        )
