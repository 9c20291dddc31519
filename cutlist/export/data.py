"""The whole build for programs: build.json, strict JSON in the job's unit."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import cutlist
from cutlist.build import Build, Cutting
from cutlist.checks.run import cautions
from cutlist.export import rows
from cutlist.export.naming import NamedBoard, named_boards
from cutlist.export.rounding import JSON_PLACES, rounded
from cutlist.nest.plan import Plan, Proof
from cutlist.roof.parts import Part
from cutlist.tolerance import SAME_SHAPE
from cutlist.units import COINS

SHAPE_KEYS = ("version", "name", "units", "parts", "boards", "checks", "plan")
"""Keys that every build.json has: by them a folder is known to be ours."""


def json_bytes(content: Mapping[str, Any]) -> bytes:
    """Return plain data as strict JSON: one line for each item of a list, floats rounded once."""
    tidy = {key: _rounded(value) for key, value in content.items()}
    body = ",\n".join(f"{_dump(key)}: {_block(value)}" for key, value in tidy.items())
    return f"{{\n{body}\n}}\n".encode()


def _block(value: object) -> str:
    if not isinstance(value, list) or not value:
        return _dump(value)
    return "[\n" + ",\n".join(map(_dump, value)) + "\n]"


def _dump(value: object) -> str:
    return json.dumps(value, allow_nan=False, ensure_ascii=False)


def _rounded(value: Any) -> Any:
    """Return the same data with every float rounded and tuples as lists."""
    if isinstance(value, float):
        return rounded(value, JSON_PLACES)
    if isinstance(value, Mapping):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_rounded(item) for item in value]
    return value


def data(build: Build) -> dict[str, Any]:
    """Return all of a build as plain data, lengths in the job's unit, angles in degrees."""
    return {
        **cutting_data(build.cutting),
        "parts": [_part(build, part) for part in build.parts],
        "checks": list(rows.checks(build)),
        "heights": _heights(build),
        "measures": [{"name": m.name, "value": m.value} for m in build.roof.measures],
        "bearings": _bearings(build),
        "layout": list(rows.layout(build)),
        "cautions": list(cautions(build.job)),
    }


def result_line(build: Build, folder: Path) -> str:
    """Return what a build came to as one line of JSON, for scripts."""
    counts = Counter(finding.result for finding in build.findings)
    totals = _totals(build.plans)
    result = {
        "name": build.job.name,
        "folder": str(folder),
        "units": build.job.unit_name,
        "parts": len(build.parts),
        "sticks": sum(part.count for part in build.parts),
        "boards": sum(len(plan.boards) for plan in build.plans),
        **{key: totals[key] for key in ("cost", "cost_unit", "bound", "proven", "waste")},
        "checks": {result: counts[result] for result in ("pass", "warn", "fail")},
    }
    return _dump(_rounded(result)) + "\n"


def cutting_data(cutting: Cutting) -> dict[str, Any]:
    """Return board plans as plain data under the keys of a build, with no parts and no checks."""
    return {
        "version": cutlist.__version__,
        "name": cutting.name,
        "units": cutting.units.name,
        "parts": [],
        "boards": [_board(board) for board in named_boards(cutting.plans)],
        "checks": [],
        "plan": _totals(cutting.plans),
    }


def _part(build: Build, part: Part) -> dict[str, Any]:
    stick = part.stick
    alike = stick.near.polygon.equals_exact(stick.far.polygon, SAME_SHAPE)
    far = {} if alike else {"outline_far": stick.far.points}
    return {
        **rows.cut_list_row(build, part),
        "outline": stick.near.points,
        **far,
        "placements": [member.stick.frame.matrix() for member in part.members],
    }


def _board(board: NamedBoard) -> dict[str, Any]:
    cut = board.cut
    return {
        "board": board.name,
        "size": board.plan.problem.size,
        "length": cut.board.length,
        "source": "on-hand" if cut.board.on_hand else "buy",
        "leftover": cut.leftover,
        "pieces": [
            {
                "piece": number,
                "mark": piece.mark,
                "start": piece.start,
                "end": piece.end,
                "turned": piece.turned,
                "way": piece.way.value,
                "outline": piece.near,
                **({} if piece.near == piece.far else {"outline_far": piece.far}),
            }
            for number, piece in enumerate(cut.pieces, start=1)
        ],
    }


def _totals(plans: Sequence[Plan]) -> dict[str, Any]:
    """Return the plan over all sizes. Money and length are not added up: cost is null then."""
    kinds = {cost_unit(plan) for plan in plans}
    stock = sum(plan.stock_length for plan in plans)
    used = sum(plan.parts_length + sum(plan.offcuts) for plan in plans)
    alike = len(kinds) == 1
    return {
        "cost": sum(map(cost, plans)) if alike else None,
        "bound": sum(map(bound, plans)) if alike else None,
        "cost_unit": kinds.pop() if alike else "mixed",
        "proven": all(plan.proof is not Proof.OPEN for plan in plans),
        "stock_length": stock,
        "parts_length": sum(plan.parts_length for plan in plans),
        "waste": 1 - used / stock if stock else 0.0,
        "sizes": [_size_plan(plan) for plan in plans],
    }


def _size_plan(plan: Plan) -> dict[str, Any]:
    problem, certificate = plan.problem, plan.certificate
    return {
        "size": problem.size,
        "thickness": problem.thickness,
        "depth": problem.depth,
        "cost": cost(plan),
        "bound": bound(plan),
        "cost_unit": cost_unit(plan),
        "proven": plan.proof is not Proof.OPEN,
        "proof": plan.proof.value,
        "stock_length": plan.stock_length,
        "parts_length": plan.parts_length,
        "waste": plan.waste,
        "offcuts": plan.offcuts,
        "certificate": {
            "bound": plan.certified_bound,
            "cost_step": 1 / COINS if problem.priced else problem.grid,
            "scale": certificate.scale,
            "stick_prices": certificate.stick_prices,
            "boards": [
                {
                    "length": board.length,
                    "cost": problem.cost(board),
                    "count": board.count,
                    "source": "on-hand" if board.on_hand else "buy",
                    "premium": premium,
                }
                for board, premium in zip(problem.boards, certificate.board_premiums, strict=True)
            ],
        },
    }


def cost_unit(plan: Plan) -> str:
    """Return what a plan's cost is in: money, or the length bought where there are no prices."""
    return "money" if plan.problem.priced else "length"


def cost(plan: Plan) -> float:
    """Return what the plan costs, in money or in length."""
    return _worth(plan, plan.cost)


def bound(plan: Plan) -> float:
    """Return what any plan costs at the least, in money or in length."""
    return _worth(plan, plan.bound)


def _worth(plan: Plan, steps: int) -> float:
    return steps / COINS if plan.problem.priced else steps * plan.problem.grid


def _heights(build: Build) -> list[dict[str, Any]]:
    floor = build.job.roof.plate_height
    return [
        {
            "name": height.name,
            "above_plate": height.above_plate,
            "above_floor": None if floor is None else floor + height.above_plate,
        }
        for height in build.roof.heights
    ]


def _bearings(build: Build) -> list[dict[str, Any]]:
    marks = rows.marks_of_members(build)
    return [
        {
            "mark": marks[id(bearing.member)],
            "support": bearing.support,
            "station": bearing.member.station,
            "seat": bearing.seat,
            "on_plate": bearing.on_plate,
            "on_post": bearing.on_post,
            "total": bearing.total,
            "over_post": bearing.over_post,
        }
        for bearing in build.roof.bearings
    ]
