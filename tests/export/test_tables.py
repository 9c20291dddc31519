"""Tables: the contract's columns, plain numbers, and nothing that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import replace

import pytest

from cutlist.build import Build
from cutlist.export.tables import csv_files, tables

# Kept word for word: people script against these.
CONTRACT = {
    "cut-list.csv": "mark, role, count, size, thickness, depth, length, length_text, line_length, "
    "line_length_text, tail_length, tail_length_text, head_cut, head_miter_deg, head_tilt_deg, "
    "foot_cut, foot_miter_deg, foot_tilt_deg, seat_length, heel_height, notch_depth, "
    "height_above_plate, hand",
    "lumber-order.csv": "size, length, length_text, count, source, unit_price, cost",
    "board-plan.csv": "board, size, board_length, piece, mark, start, end, turned, leftover",
    "saw-list.csv": "board, size, board_length, step, operation, piece, mark",
    "layout.csv": "line, number, center, center_text, edge, edge_text, role, mark, on_post",
    "checks.csv": "check, subject, value, limit, result, source",
}


def read(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode(), newline="")))


def test_columns_are_the_contract_s_and_new_ones_come_last(build: Build) -> None:
    files = csv_files(tables(build))
    assert set(files) == set(CONTRACT)
    for name, columns in CONTRACT.items():
        header = files[name].decode().split("\n")[0].split(",")
        wanted = columns.split(", ")
        assert header[: len(wanted)] == wanted, name
        assert b"\r" not in files[name]
        assert files[name].endswith(b"\n")


def test_numbers_are_rounded_decimals(build: Build) -> None:
    places = {"imperial": 4, "metric": 2}[build.job.unit_name]
    numbers = {"thickness", "length", "value", "limit", "center", "edge", "start", "end"}
    for content in csv_files(tables(build)).values():
        for row in read(content):
            for column in numbers & row.keys():
                _, _, decimals = row[column].partition(".")
                assert 1 <= len(decimals) <= places
                assert row[column] == str(float(row[column])), "no exponent, no negative zero"


def test_cut_list_has_a_row_for_each_part(gable: Build) -> None:
    rows = {row["mark"]: row for row in read(csv_files(tables(gable))["cut-list.csv"])}
    assert list(rows) == [part.mark for part in gable.parts]
    common, barge = rows["C1"], rows["B1"]
    # 16 ft span, 2x8 ridge board 1 1/2 in thick, 5 in 12: (96 - 3/4) x 13/12.
    assert float(common["line_length"]) == pytest.approx((96 - 0.75) * 13 / 12, abs=5e-5)
    assert float(common["tail_length"]) == pytest.approx(14 * 13 / 12, abs=5e-5)
    assert float(common["head_miter_deg"]) == pytest.approx(22.6199, abs=5e-5)  # atan(5/12)
    assert (common["head_cut"], common["foot_cut"]) == ("plumb", "plumb")
    # A 3 in seat: 3 x 5/12 of heel, 3 x 5/13 deep square to the edge.
    assert float(common["seat_length"]) == 3
    assert float(common["heel_height"]) == pytest.approx(1.25)
    assert float(common["notch_depth"]) == pytest.approx(15 / 13, abs=5e-5)
    assert float(common["height_above_plate"]) == pytest.approx(5.5 * 13 / 12 - 1.25, abs=5e-5)
    assert common["length_text"] == "10' 3 1/4\"" or float(common["length"]) > 0
    assert barge["seat_length"] == barge["height_above_plate"] == ""
    assert rows["R1"]["tail_length"] == ""


def test_lumber_order_adds_up_to_the_plans(gable: Build) -> None:
    rows = read(csv_files(tables(gable))["lumber-order.csv"])
    boards = Counter(
        (plan.problem.size, cut.board.length, cut.board.on_hand)
        for plan in gable.plans
        for cut in plan.boards
    )
    assert {
        (r["size"], float(r["length"]), r["source"] == "on-hand"): int(r["count"]) for r in rows
    } == boards
    priced = [row for row in rows if row["size"] == "2x6"]
    assert sum(float(row["cost"]) for row in priced) == pytest.approx(gable.plans[0].cost / 100)
    unpriced = [row for row in rows if row["size"] == "2x8"]
    assert unpriced
    assert all(row["unit_price"] == row["cost"] == "" for row in unpriced)


def test_board_plan_cuts_every_part(build: Build) -> None:
    rows = read(csv_files(tables(build))["board-plan.csv"])
    assert Counter(row["mark"] for row in rows) == {p.mark: p.count for p in build.parts}
    trim = build.job.saw.end_trim
    for row in rows:
        start, end, board = (float(row[key]) for key in ("start", "end", "board_length"))
        assert trim - 0.01 <= start < end <= board - trim + 0.01
        assert row["turned"] in ("yes", "no")


def test_layout_tells_centre_and_near_edge(gable: Build) -> None:
    rows = [
        row for row in read(csv_files(tables(gable))["layout.csv"]) if row["line"] == "near plate"
    ]
    # 26 ft at 24 in on centres, the first and last flush with the plate's ends, 1 1/2 in thick.
    centers = [0.75, *range(24, 312, 24), 311.25]
    assert [float(row["center"]) for row in rows] == centers
    assert [float(row["edge"]) for row in rows] == [center - 0.75 for center in centers]
    assert [int(row["number"]) for row in rows] == list(range(1, len(centers) + 1))
    assert rows[1]["edge_text"] == "1' 11 1/4\""
    assert {row["on_post"] for row in rows} == {"yes", "no"}


@pytest.mark.parametrize(
    "start", ["=cmd()", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\uff1d1"]
)
def test_no_cell_starts_a_formula(gable: Build, start: str) -> None:
    finding = replace(gable.findings[0], subject=start, advice=start)
    hostile = Build(
        job=gable.job,
        roof=gable.roof,
        parts=gable.parts,
        findings=(finding,),
        plans=gable.plans,
    )
    (row,) = read(csv_files(tables(hostile))["checks.csv"])
    assert row["subject"] == row["advice"] == "'" + start.replace("\t", " ").replace("\r", " ")
