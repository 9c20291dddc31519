"""How far rafters may reach, and how long a part may be."""

from __future__ import annotations

from collections.abc import Iterator

from cutlist.checks.finding import Case, Finding, at_most
from cutlist.checks.notch import cantilevers, reach_beyond
from cutlist.units import format_length, rounded_down, rounded_up

CANTILEVER = "IRC 2012 and later R802.7.1.1 (a notched rafter cantilevers 24 in at most)"
STOCK = "the job's lumber, or the standard lengths"

MOST_CANTILEVER_IN = 24.0


def overhang(case: Case) -> Iterator[Finding]:
    """Hold the level overhang of notched rafters against the most a notched rafter may reach."""
    limit = case.job.units.from_inches(MOST_CANTILEVER_IN)
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
                source=CANTILEVER,
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
