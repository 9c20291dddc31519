"""What a build comes to in words, for the terminal and for the page alike."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from cutlist.build import Build, Cutting
from cutlist.checks.finding import Finding, Result
from cutlist.export.rows import length_text
from cutlist.job import Job
from cutlist.nest.plan import Plan, Proof
from cutlist.units import COINS, format_length, format_pitch

RESULTS: tuple[Result, ...] = ("fail", "warn", "pass")
"""In the order in which they are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Findings that differ only in what they were made on, told as one."""

    result: Result
    check: str
    subjects: str
    value: str
    limit: str
    source: str
    advice: str


def roof_text(build: Build) -> str:
    """Return what roof it is, in a line."""
    roof, units = build.job.roof, build.job.units
    slopes = " and ".join(
        dict.fromkeys(format_pitch(face.pitch, units) for face in build.roof.faces)
    )
    size = f"{length_text(build, roof.length)} long, span {length_text(build, roof.span)}"
    if roof.is_polygon:
        across = (max(at) - min(at) for at in zip(*roof.plan, strict=True))
        long, wide = (length_text(build, length) for length in across)
        gables = len(roof.gable_sides)
        gabled = f" ({gables} gable{'s' if gables > 1 else ''})" if gables else ""
        size = f"{len(roof.plan)} sides{gabled}, {long} by {wide}"
    wings = len(build.job.wing)
    more = f"; {wings} wing{'s' if wings > 1 else ''}" if wings else ""
    return f"{roof.form.capitalize()} roof, {size}{more}; {slopes}"


def counts_text(findings: Iterable[Finding]) -> str:
    """Return how the checks came out, in a line."""
    counts = Counter(finding.result for finding in findings)
    if not counts["fail"] and not counts["warn"]:
        return f"all {counts['pass']} pass"
    return f"{counts['fail']} fail, {counts['warn']} to look at, {counts['pass']} pass"


def remarks(findings: Iterable[Finding], job: Job, *results: Result) -> list[Remark]:
    """Return the findings of these results, the worst first, those that are alike as one."""
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in sorted(findings, key=lambda finding: RESULTS.index(finding.result)):
        if finding.result in results:
            key = (finding.result, *_measured(finding, job), finding.source, finding.advice)
            alike.setdefault(key, []).append(finding)
    return [_remark(same, job) for same in alike.values()]


def _remark(findings: list[Finding], job: Job) -> Remark:
    finding = findings[0]
    name, value, limit = _measured(finding, job)
    return Remark(
        result=finding.result,
        check=name,
        subjects=", ".join(dict.fromkeys(f.subject for f in findings)),
        value=value,
        limit=limit,
        source=finding.source,
        advice=finding.advice,
    )


def _measured(finding: Finding, job: Job) -> tuple[str, str, str]:
    """Return a check's name, value and limit; one that breaks its limit does not read like it."""
    name, value = with_unit(finding.check, finding.value, job)
    _, limit = with_unit(finding.check, finding.limit, job)
    if value == limit and finding.result != "pass":
        below = finding.value < finding.limit
        if below and not re.search("[1-9]", limit):
            limit = f"more than {limit}"
        else:
            value = f"{'less' if below else 'more'} than {limit}"
    return name, value, limit


def measures_text(build: Build) -> list[tuple[str, str]]:
    """Return the names and values of what is worth knowing on site."""
    return [with_unit(m.name, m.value, build.job) for m in build.roof.measures]


def with_unit(name: str, number: float, job: Job) -> tuple[str, str]:
    """Return a name and its number: a length, or in the unit that stands in the name's brackets."""
    if match := re.fullmatch(r"(.*) \[(.*)\]", name):
        return match[1], f"{number:.2f} {match[2]}"
    return name, format_length(number, job.units, job.saw.round_to)


def money_text(value: object) -> str:
    """Return a sum of money; nothing where there is none."""
    return f"{value:.2f}" if isinstance(value, float) else ""


def total_cost(cutting: Cutting) -> float | None:
    """Return what all boards cost in money; None where some have no price."""
    if not all(plan.problem.priced for plan in cutting.plans):
        return None
    return sum(plan.cost for plan in cutting.plans) / COINS


def plan_text(cutting: Cutting, plan: Plan) -> str:
    """Return what a board plan costs, whether a cheaper one can exist, and what is left over."""
    if plan.problem.priced:
        total = f"costs {plan.cost / COINS:.2f}"
    else:
        total = f"buys {cutting.text(plan.cost * plan.problem.grid)}"
    if plan.proof is not Proof.OPEN:
        proof = "proven: no plan is cheaper"
    elif plan.bound > 0:
        proof = f"a better plan could save {100 * plan.gap:.1f}% at most"
    else:
        proof = "not proven: how much a better plan could save is not known"
    text = f"{plan.problem.size}: {total}, {proof}; waste {100 * plan.waste:.1f}%"
    if plan.offcuts:
        counts = Counter(cutting.text(offcut) for offcut in plan.offcuts)
        kept = ", ".join(f"{count} of {length}" for length, count in counts.items())
        text += f"; keep offcuts: {kept}"
    return text
