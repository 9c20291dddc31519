"""Job files for tests: two plain ones, of which a test changes only what it is about."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from typing import Any

from hypothesis import reject

from cutlist.checks.finding import Case
from cutlist.checks.fit import fit
from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.job import Job, parse_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.member import Member
from cutlist.roof.parts import group_parts
from cutlist.roof.roof import Roof

Tables = dict[str, Any]

GABLE: Tables = {
    "name": "Test gable",
    "units": "imperial",
    "roof": {"form": "gable", "span": "20ft", "length": "12ft", "pitch": "6/12", "overhang": 12},
    "rafter": {"size": "2x8", "spacing": 24, "seat": 3.5},
    "ridge": {"kind": "board", "size": "2x10"},
    "plate": {"width": 3.5},
}
SHED: Tables = {
    "name": "Test shed",
    "units": "metric",
    "roof": {
        "form": "shed",
        "span": 3600,
        "length": 4000,
        "pitch": "10deg",
        "overhang": 400,
        "high_overhang": 300,
    },
    "rafter": {"size": "45x195", "spacing": 600, "seat": 90},
    "plate": {"width": 90},
}


def changed(base: Tables, changes: dict[str, Any]) -> Tables:
    """Return tables with values set by dotted keys, as `roof.pitch`; None takes a key out."""
    tables = deepcopy(base)
    for path, value in changes.items():
        *tops, key = path.split(".")
        table = tables
        for top in tops:
            table = table.setdefault(top, {})
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value
    return tables


def toml(tables: Tables) -> str:
    """Return tables as a job file; tables come last and lists of tables are written inline."""
    plain = {k: v for k, v in tables.items() if not isinstance(v, dict)}
    lines = [f"{key} = {_inline(value)}" for key, value in plain.items()]
    for name, table in tables.items():
        if isinstance(table, dict):
            lines += [f"[{name}]", *(f"{key} = {_inline(v)}" for key, v in table.items())]
    return "\n".join(lines) + "\n"


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_inline(v)}" for key, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_inline, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


def job_of(base: Tables, changes: dict[str, Any] | None = None) -> Job:
    return parse_job(toml(changed(base, changes or {})), "job.toml")


def roof_of(base: Tables, changes: dict[str, Any] | None = None) -> Roof:
    return frame_roof(job_of(base, changes))


def case_of(base: Tables, changes: dict[str, Any] | None = None) -> Case:
    job = job_of(base, changes)
    roof = frame_roof(job)
    return Case(job=job, roof=roof, parts=group_parts(roof.members))


@contextmanager
def refused_passed_over() -> Iterator[None]:
    """Pass a made-up job over that is refused, its parts not going together."""
    try:
        yield
    except JobError:
        reject()


def why_refused(tables: Tables) -> tuple[str, ...]:
    """Return why a made-up job is refused; one that is framed must fit."""
    try:
        case = case_of(tables)
    except JobError as error:
        return error.problems
    assert [f for f in fit(case) if f.result != "pass"] == []
    return ()


def common(roof: Roof, line: str | None = None) -> Member:
    """Return the first common rafter of a roof, or of one of its slopes."""
    return next(m for m in roof.members if m.role == "common" and line in (None, m.line))


def in_plan(member: Member) -> list[Vector]:
    """Return the vertices of a member's outline at mid-thickness, in plan coordinates."""
    stick = member.stick
    return [stick.frame.outward(Vector(x, y, stick.thickness / 2)) for x, y in stick.middle.points]
