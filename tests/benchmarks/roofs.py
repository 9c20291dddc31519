"""Nesting problems of the project's own roofs: the demo jobs, and hip roofs of many sizes."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from itertools import product
from pathlib import Path

from cutlist.build import nesting_problems
from cutlist.nest import Problem
from tests.benchmarks.instances import Instance
from tests.jobs import Tables, case_of

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
_SPANS = ("20ft", "28ft", "36ft", "44ft")
_LENGTH = "90ft"
_SPACINGS = ("12in", "16in", "19.2in")
_END_PITCHES = ("6/12", "9/12")
_LENGTHS = ("8ft", "10ft", "12ft", "14ft", "16ft", "18ft", "20ft", "24ft", "28ft")
_PRICES = (7.10, 8.90, 10.95, 13.20, 15.60, 19.40, 23.10, 29.50, 36.80)


def own_roofs() -> Iterator[Instance]:
    """Yield the problem of each size of each demo job, then of the rafters of hip roofs.

    Half of the hip roofs have steeper ends, and half of them no prices.
    """
    for file in sorted(FIXTURES.glob("*.toml")):
        for problem in _problems(tomllib.loads(file.read_text(encoding="utf-8"))):
            yield _instance(f"{file.stem} {problem.size}", problem)
    hip = tomllib.loads((FIXTURES / "hip.toml").read_text(encoding="utf-8"))
    size, (_, hips) = hip["rafter"]["size"], hip["lumber"]
    hips["lengths"][-1] = _LENGTH
    by_length = {"size": size, "lengths": list(_LENGTHS)}
    lumber = {"priced": by_length | {"prices": list(_PRICES)}, "by length": by_length}
    for span, spacing, end_pitch, money in product(_SPANS, _SPACINGS, _END_PITCHES, lumber):
        changes = {
            "roof.span": span,
            "roof.length": _LENGTH,
            "roof.end_pitch": end_pitch,
            "rafter.spacing": spacing,
            "lumber": [lumber[money], hips],
        }
        problem, _ = _problems(hip, changes)
        yield _instance(f"hip {span} at {spacing}, ends {end_pitch}, {money}", problem)


def _problems(tables: Tables, changes: Tables | None = None) -> tuple[Problem, ...]:
    case = case_of(tables, changes)
    return nesting_problems(case.job, case.parts)


def _instance(name: str, problem: Problem) -> Instance:
    return Instance(name=name, problem=problem, low=0, high=10**9)
