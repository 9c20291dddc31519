"""build.json: strict, complete, and enough to put the roof together again."""

from __future__ import annotations

import json
from typing import Any

import pytest
import shapely

from cutlist.build import Build
from cutlist.export.data import data, json_bytes


@pytest.fixture
def found(build: Build) -> Any:
    def refuse(constant: str) -> None:
        raise AssertionError(f"{constant} is no JSON")

    return json.loads(json_bytes(data(build)), parse_constant=refuse)


def test_it_has_what_the_contract_names(found: Any, build: Build) -> None:
    assert {"name", "units", "parts", "boards", "checks", "plan", "version"} <= found.keys()
    assert found["name"] == build.job.name
    assert found["units"] == build.job.unit_name
    assert {"cost", "bound", "proven", "stock_length", "parts_length", "waste"} <= found[
        "plan"
    ].keys()
    assert len(found["checks"]) == len(build.findings)
    assert found["cautions"]
    for height, told in zip(build.roof.heights, found["heights"], strict=True):
        floor = build.job.roof.plate_height
        assert told["above_plate"] == pytest.approx(height.above_plate)
        assert (told["above_floor"] is None) == (floor is None)


def test_outlines_are_closed_counter_clockwise_and_true(found: Any, build: Build) -> None:
    for part, told in zip(build.parts, found["parts"], strict=True):
        for key, face in (("outline", part.stick.near), ("outline_far", part.stick.far)):
            ring = shapely.LinearRing(told.get(key, told["outline"]))
            assert ring.is_ccw
            assert shapely.Polygon(ring).area == pytest.approx(face.polygon.area)


def test_placements_carry_outlines_to_the_plan(found: Any, build: Build) -> None:
    for part, told in zip(build.parts, found["parts"], strict=True):
        assert len(told["placements"]) == told["count"] == part.count
        for member, matrix in zip(part.members, told["placements"], strict=True):
            assert matrix[3] == [0, 0, 0, 1]
            for x, y in told["outline"]:
                local = (x, y, part.stick.thickness, 1.0)
                placed = [sum(a * b for a, b in zip(row, local, strict=True)) for row in matrix]
                point = member.stick.frame.outward(type(member.stick.frame.origin)(*local[:3]))
                assert placed[:3] == pytest.approx((point.x, point.y, point.z), abs=1e-5)


def test_boards_hold_the_parts(found: Any, build: Build) -> None:
    marks = [piece["mark"] for board in found["boards"] for piece in board["pieces"]]
    assert {mark: marks.count(mark) for mark in set(marks)} == {
        part.mark: part.count for part in build.parts
    }
    names = [board["board"] for board in found["boards"]]
    assert len(set(names)) == len(names)
    for board in found["boards"]:
        for piece in board["pieces"]:
            ring = shapely.LinearRing(piece["outline"])
            assert ring.is_ccw
            assert ring.bounds[0] >= piece["start"] - 1e-6
            assert ring.bounds[2] <= piece["end"] + 1e-6


def test_plan_adds_up_over_sizes(found: Any) -> None:
    plan = found["plan"]
    sizes = plan["sizes"]
    assert plan["stock_length"] == pytest.approx(sum(size["stock_length"] for size in sizes))
    assert 0 <= plan["waste"] < 1
    if plan["cost_unit"] == "mixed":
        assert plan["cost"] is plan["bound"] is None
        assert {size["cost_unit"] for size in sizes} == {"money", "length"}
    else:
        assert plan["cost"] == pytest.approx(sum(size["cost"] for size in sizes))
        assert plan["bound"] <= plan["cost"]
