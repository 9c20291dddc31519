"""What a build comes to, told in a terminal: what needs a decision first, then what to do."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from cutlist.build import Build, Cutting
from cutlist.checks.finding import Finding
from cutlist.checks.run import SAW_CAUTIONS, cautions
from cutlist.export import rows
from cutlist.export.rows import length_text
from cutlist.export.wording import (
    RESULTS,
    Remark,
    counts_text,
    measures_text,
    money_text,
    plan_text,
    remarks,
    roof_text,
    total_cost,
)
from cutlist.job import Job

WIDTH = 100
"""Most characters of a line."""

_LABELS = {"fail": "FAIL", "warn": "LOOK", "pass": "pass"}


def summary(build: Build, folder: Path | None = None) -> str:
    """Return the summary of a build, and of where its files are, as lines of plain text."""
    sections = [
        _title(build),
        _checks(build),
        _heights(build),
        _parts(build),
        _lumber(build.cutting),
        _bulleted("BEFORE YOU CUT", cautions(build.job)),
    ]
    if folder is not None:
        # Unbroken however long it is, so that it can be copied.
        sections.append([f"Files: {folder}"])
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def cutting_summary(cutting: Cutting, folder: Path) -> str:
    """Return the summary of board plans alone, and of where their files are."""
    pieces = sum(len(cut.pieces) for plan in cutting.plans for cut in plan.boards)
    sections = [
        [_one_line(cutting.name), f"{pieces} {'piece' if pieces == 1 else 'pieces'}"],
        _lumber(cutting),
        _bulleted("BEFORE YOU CUT", SAW_CAUTIONS),
        [f"Files: {folder}"],
    ]
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def _title(build: Build) -> list[str]:
    return [*textwrap.wrap(_one_line(build.job.name), WIDTH), roof_text(build)]


def _one_line(text: str) -> str:
    """Return text that can do nothing to a terminal: no control characters."""
    return "".join(c if c.isprintable() else " " for c in text)


def checks_text(findings: Sequence[Finding], job: Job, *, passed: bool = False) -> str:
    """Return findings as lines of plain text, failures first, then how many there are.

    `passed`: what passed is told too, with its limit and source.
    """
    told = _told(remarks(findings, job, *(RESULTS if passed else ("fail", "warn"))))
    return "\n".join((*told, counts_text(findings))) + "\n"


def _checks(build: Build) -> list[str]:
    told = remarks(build.findings, build.job, "fail", "warn")
    return [f"CHECKS: {counts_text(build.findings)}", *_told(told)]


def _told(found: Iterable[Remark]) -> Iterator[str]:
    for remark in found:
        measured = f"{remark.value}; the limit is {remark.limit}"
        label = f"  {_LABELS[remark.result]}  "
        yield from _hanging(label, f"{remark.check}: {remark.subjects}: {measured}")
        if remark.advice:
            yield from _hanging("        -> ", remark.advice)
        yield from _hanging("        by ", remark.source)


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
    measures += measures_text(build)
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
    order = list(rows.lumber_order(cutting))
    prices = ("each", "cost") if any(row["cost"] for row in order) else ("", "")
    table: list[tuple[str, ...]] = [("BOARDS", "count", "length", *prices, "")]
    for row in order:
        each, cost = (money_text(row[key]) for key in ("unit_price", "cost"))
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
        lines += _hanging("  - ", plan_text(cutting, plan))
    total = total_cost(cutting)
    if len(cutting.plans) > 1 and total is not None:
        lines.append(f"  All boards: {total:.2f}")
    return lines


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
