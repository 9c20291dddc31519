"""Nesting problems of the project's own roofs: demo jobs, hip roofs of many sizes, and houses."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path

from cutlist.build import nesting_problems
from cutlist.nest import Problem
from tests.benchmarks.instances import Instance
from tests.jobs import Tables, case_of

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
_SPANS = (20, 28, 36, 44)
_LENGTH = 90
_SPACINGS = (12, 16, 19.2)
_PITCHES = (("6/12", "6/12"), ("6/12", "9/12"), ("6/12", "7/12", "5/12", "8/12"))
_LENGTHS = ("8ft", "10ft", "12ft", "14ft", "16ft", "18ft", "20ft", "24ft", "28ft", "32ft")
_PRICES = (7.10, 8.90, 10.95, 13.20, 15.60, 19.40, 23.10, 29.50, 36.80, 43.50)
_HOUSE_LENGTHS = (*range(2400, 6001, 300), 6600, 7200)
_HOUSE_PITCHES = (("50%", "50%"), ("70%", "60%"), ("45%", "40%"))


def own_roofs() -> Iterator[Instance]:
    """Yield the problem of each size of each demo job, then of the rafters of hip roofs.

    Of these a third have steeper ends, and a third four pitches, so that no two slopes share a
    jack; half of them no prices.
    """
    for file in sorted(FIXTURES.glob("*.toml")):
        for problem in _problems(tomllib.loads(file.read_text(encoding="utf-8"))):
            yield _instance(f"{file.stem} {problem.size}", problem)
    hip = tomllib.loads((FIXTURES / "hip.toml").read_text(encoding="utf-8"))
    size, (_, hips) = hip["rafter"]["size"], hip["lumber"]
    hips["lengths"][-1] = f"{_LENGTH}ft"
    by_length = {"size": size, "lengths": list(_LENGTHS)}
    lumber = {"priced": by_length | {"prices": list(_PRICES)}, "by length": by_length}
    for span, spacing, pitches, money in product(_SPANS, _SPACINGS, _PITCHES, lumber):
        changes = _plan(span, pitches) | {
            "rafter.spacing": f"{spacing}in",
            "lumber": [lumber[money], hips],
        }
        problem, *_ = _problems(hip, changes)
        slopes = " ".join(pitches)
        yield _instance(f"hip {span} ft at {spacing} in, pitches {slopes}, {money}", problem)


def houses() -> Iterator[Instance]:
    """Yield the rafters of hip roofs with one to three wings, of one house and of eight alike.

    Many have over a hundred different parts, which are cut from fifteen lengths at prices.
    """
    prices = [round(0.0021 * length * (1 + length / 20_000), 2) for length in _HOUSE_LENGTHS]
    sizes = {"size": "45x245"}
    for span, (pitch, lower), wings in product((7000, 8000, 9000), _HOUSE_PITCHES, (1, 2, 3)):
        wing = {"pitch": lower, "turn": 90}
        gabled = wing | {"form": "gable", "span": 4500, "length": 3000, "at": [7000, -3000]}
        behind = {"form": "hip", "span": 5200, "length": 2500, "at": [3000, span + 2500]}
        narrow = wing | {"form": "hip", "span": 3700, "length": 3500, "at": [15_000, -3500]}
        roof = {"form": "hip", "span": span, "length": 18_000, "pitch": pitch}
        problem, *_ = _problems(
            {
                "name": "House with wings",
                "units": "metric",
                "roof": roof | {"plate_height": 2400, "overhang": 450},
                "rafter": {"size": "45x195", "spacing": 300},
                "ridge": sizes | {"kind": "board"},
                "hip": sizes,
                "valley": sizes,
                "plate": {"width": 140},
                "lumber": [{"size": "45x195", "lengths": list(_HOUSE_LENGTHS), "prices": prices}],
                "wing": [gabled, wing | behind | {"turn": 270}, narrow][:wings],
            }
        )
        for many in (1, 8):
            sticks = tuple(replace(stick, count=many * stick.count) for stick in problem.sticks)
            yield _instance(
                f"house {span} mm, pitches {pitch} {lower}, wings {wings}, of {many}",
                replace(problem, sticks=sticks),
            )


def _plan(span: float, pitches: tuple[str, ...]) -> Tables:
    """Return what a hip roof is to be of a span: its sides' pitch and ends, or four pitches."""
    if len(pitches) == 2:
        pitch, end_pitch = pitches
        return {
            "roof.span": f"{span}ft",
            "roof.length": f"{_LENGTH}ft",
            "roof.pitch": pitch,
            "roof.end_pitch": end_pitch,
        }
    corners = [(0, 0), (_LENGTH, 0), (_LENGTH, span), (0, span)]
    return {
        **dict.fromkeys(("roof.span", "roof.length", "roof.pitch")),
        "roof.corners": [[f"{x}ft", f"{y}ft"] for x, y in corners],
        "roof.pitches": list(pitches),
        "rafter.seat": "1 1/2in",
    }


def _problems(tables: Tables, changes: Tables | None = None) -> tuple[Problem, ...]:
    case = case_of(tables, changes)
    return nesting_problems(case.job, case.parts)


def _instance(name: str, problem: Problem) -> Instance:
    return Instance(name=name, problem=problem, low=0, high=10**9)
