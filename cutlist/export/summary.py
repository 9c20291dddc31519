"""What a build comes to, told in a terminal: what needs a decision first, then what to do."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from cutlist.build import Build, Cutting
from cutlist.checks.finding import Finding
from cutlist.checks.run import CAUTIONS, SAW_CAUTIONS
from cutlist.export import rows
from cutlist.export.rows import length_text
from cutlist.job import Job
from cutlist.nest.plan import Plan, Proof
from cutlist.units import COINS, format_length, format_pitch

WIDTH = 100
"""Most characters of a line."""

_RANK = {"fail": 0, "warn": 1, "pass": 2}
_LABELS = {"fail": "FAIL", "warn": "LOOK", "pass": "pass"}


def summary(build: Build, folder: Path | None = None) -> str:
    """Return the summary of a build, and of where its files are, as lines of plain text."""
    sections = [
        _title(build),
        _checks(build),
        _heights(build),
        _parts(build),
        _lumber(build.cutting),
        _bulleted("BEFORE YOU CUT", CAUTIONS),
    ]
    if folder is not None:
        # Unbroken however long it is, so that it can be copied.
        sections.append([f"Files: {folder}"])
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def cutting_summary(cutting: Cutting, folder: Path) -> str:
    """Return the summary of board plans alone, and of where their files are."""
    pieces = sum(len(cut.pieces) for plan in cutting.plans for cut in plan.boards)
    sections = [
        [_one_line(cutting.name), f"{pieces} pieces"],
        _lumber(cutting),
        _bulleted("BEFORE YOU CUT", SAW_CAUTIONS),
        [f"Files: {folder}"],
    ]
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def _title(build: Build) -> list[str]:
    roof, units = build.job.roof, build.job.units
    slopes = " and ".join(
        dict.fromkeys(format_pitch(face.pitch, units) for face in build.roof.faces)
    )
    size = f"{length_text(build, roof.length)} long, span {length_text(build, roof.span)}"
    return [
        *textwrap.wrap(_one_line(build.job.name), WIDTH),
        f"{roof.form.capitalize()} roof, {size}, {slopes}",
    ]


def _one_line(text: str) -> str:
    """Return text that can do nothing to a terminal: no control characters."""
    return "".join(c if c.isprintable() else " " for c in text)


def checks_text(findings: Sequence[Finding], job: Job) -> str:
    """Return all findings as lines of plain text, failures first, then how many there are."""
    counts = Counter(finding.result for finding in findings)
    told = "\n".join(_told(findings, job, _LABELS))
    return f"{told}\n{counts['pass']} pass, {counts['warn']} to look at, {counts['fail']} fail\n"


def _checks(build: Build) -> list[str]:
    counts = Counter(finding.result for finding in build.findings)
    if not counts["fail"] and not counts["warn"]:
        return [f"CHECKS: all {counts['pass']} pass"]
    lines = [f"CHECKS: {counts['fail']} fail, {counts['warn']} to look at, {counts['pass']} pass"]
    wanted = {result: label for result, label in _LABELS.items() if result != "pass"}
    return [*lines, *_told(build.findings, build.job, wanted)]


def _told(findings: Sequence[Finding], job: Job, wanted: Mapping[str, str]) -> Iterator[str]:
    """Return findings of some results; those that differ only in what was checked as one."""
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in sorted(findings, key=lambda finding: _RANK[finding.result]):
        if finding.result in wanted:
            key = (finding.result, *_measured(finding, job), finding.source, finding.advice)
            alike.setdefault(key, []).append(finding)
    for (result, name, value, limit, source, advice), same in alike.items():
        subjects = ", ".join(finding.subject for finding in same)
        text = f"{name}: {subjects}: {value}; the limit is {limit}"
        yield from _hanging(f"  {wanted[result]}  ", text)
        if advice:
            yield from _hanging("        -> ", advice)
        yield from _hanging("        by ", source)


def _measured(finding: Finding, job: Job) -> tuple[str, str, str]:
    """Return a check's name, value and limit; a unit in the name's brackets goes to the numbers."""
    measures = finding.value, finding.limit
    if match := re.fullmatch(r"(.*) \[(.*)\]", finding.check):
        value, limit = (f"{number:.2f} {match[2]}" for number in measures)
        return match[1], value, limit
    value, limit = (format_length(number, job.units, job.saw.round_to) for number in measures)
    return finding.check, value, limit


def _heights(build: Build) -> list[str]:
    floor = build.job.roof.plate_height
    head = ("HEIGHTS TO SET BY", "above plate", "above floor" if floor is not None else "")
    body = [
        (
            height.name,
            length_text(build, height.above_plate) or "",
            (length_text(build, floor + height.above_plate) or "") if floor is not None else "",
        )
        for height in build.roof.heights
    ]
    lines = _columns([head, *body], right=(1, 2))
    measures: list[tuple[str, ...]] = [("MEASURES", "")]
    measures += [(m.name, length_text(build, m.value) or "") for m in build.roof.measures]
    return [*lines, "", *_columns(measures, right=(1,))] if build.roof.measures else lines


def _parts(build: Build) -> list[str]:
    table: list[tuple[str, ...]] = [
        ("PARTS", "count", "what", "size", "stick", "line length", "tail")
    ]
    for part in build.parts:
        row = rows.cut_list_row(build, part)
        table.append(
            (
                part.mark,
                str(part.count),
                part.role.replace("-", " "),
                part.size.name,
                str(row["length_text"]),
                str(row["line_length_text"]),
                str(row["tail_length_text"] or ""),
            )
        )
    return _columns(table, right=(1, 4, 5, 6))


def _lumber(cutting: Cutting) -> list[str]:
    table: list[tuple[str, ...]] = [("BOARDS", "count", "length", "each", "cost", "")]
    for row in rows.lumber_order(cutting):
        each, cost = (_money(row[key]) for key in ("unit_price", "cost"))
        on_hand = row["source"] == "on-hand"
        table.append(
            (
                str(row["size"]),
                str(row["count"]),
                str(row["length_text"]),
                "" if on_hand else each,
                "" if on_hand else cost,
                "from the rack" if on_hand else "buy",
            )
        )
    lines = _columns(table, right=(1, 2, 3, 4))
    for plan in cutting.plans:
        lines += _hanging("  - ", _plan(cutting, plan))
    if len(cutting.plans) > 1 and all(plan.problem.priced for plan in cutting.plans):
        lines.append(f"  All boards: {sum(plan.cost for plan in cutting.plans) / COINS:.2f}")
    return lines


def _money(value: object) -> str:
    return f"{value:.2f}" if isinstance(value, float) else ""


def _plan(cutting: Cutting, plan: Plan) -> str:
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


def _bulleted(title: str, items: tuple[str, ...]) -> list[str]:
    return [title, *(line for item in items for line in _hanging("  - ", item))]


def _hanging(label: str, text: str) -> list[str]:
    """Return a text wrapped behind its label, later lines beneath the first."""
    return textwrap.wrap(
        _one_line(text), WIDTH, initial_indent=label, subsequent_indent=" " * len(label)
    )


def _columns(table: list[tuple[str, ...]], right: tuple[int, ...]) -> list[str]:
    """Return rows as text in columns, those listed in `right` set to the right."""
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    lines = []
    for number, row in enumerate(table):
        cells = (
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        lines.append(("  " * (number > 0) + "  ".join(cells)).rstrip())
    return lines
