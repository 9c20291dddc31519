"""The saw list, sawn again in solid wood from nothing but what its rows say.

Each board is a box; a row turns and tilts a blade and sets a stop, and the box is trimmed. What
falls off must be the piece, ends and all, and no pass may touch another piece. The bodies come from
manifold3d; the pieces they are compared with from the sticks' own cut planes or end planes.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import atan, cos, degrees, hypot, radians, sin, sqrt, tan
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from manifold3d import Manifold

from cutlist.build import Build, Cutting, build_job
from cutlist.export.naming import named_boards
from cutlist.export.rounding import TABLE_PLACES
from cutlist.export.saw_cuts import saw_board
from cutlist.export.saw_list import plain_saw_list
from cutlist.export.tables import csv_files, tables
from cutlist.job import parse_job
from cutlist.nest import Board, EndFace, Problem, Saw, Stick, solve
from cutlist.nest.ends import gap
from cutlist.nest.plan import CutBoard, Piece
from cutlist.nest.problem import Way
from cutlist.units import IMPERIAL
from tests.nest.strategies import problems, ring

FIXTURES = Path(__file__).parents[2] / "fixtures"
DEPTH, THICKNESS, KERF = 7.25, 1.5, 0.125


def box(length: float, depth: float, thickness: float) -> Manifold:
    return Manifold.cube((length, depth, thickness))


def blade(miter: float, tilt: float) -> np.ndarray:
    """Normal of a blade, pointing right, from how the saw is set [deg].

    Turned by the miter its line on the table runs along (sin, cos, 0); then it is tilted about
    that line.
    """
    m, t = radians(miter), radians(tilt)
    across = np.array([cos(m), -sin(m), 0.0])
    return cos(t) * across - sin(t) * np.array([0.0, 0.0, 1.0])


@dataclass
class Bench:
    """A board on the saw, and what has fallen off it."""

    rest: Manifold
    depth: float
    thickness: float
    kerf: float
    loose: dict[int, Manifold] = field(default_factory=dict)

    def saw(self, row: dict) -> None:
        piece = row["piece"]
        wood = self.loose[piece] if row["operation"] == "after" else self.rest
        least, *_, most, _, _ = wood.bounding_box()
        side = 1.0 if row["stop_side"] == "left" else -1.0
        stop = least if side > 0 else most
        # The blade's face toward the stop passes through the upper arris at the fence.
        point = np.array([stop + side * row["stop_fence"], self.depth, self.thickness])
        normal = side * blade(row["miter"], row["tilt"])
        offset = float(normal @ point)
        kept = wood.trim_by_plane(tuple(-normal), -offset)
        behind = wood.trim_by_plane(tuple(normal), offset + self.kerf)
        if row["operation"] == "after":
            self.loose[piece] = kept
        else:
            self.rest = behind
            if piece is not None:
                self.loose[piece] = kept
        if piece is not None and row["operation"] == "through":
            reach = kept.bounding_box()[3] - stop
            assert reach == pytest.approx(row["stop_long_point"], abs=row["places"])


def differs(one: Manifold, other: Manifold) -> float:
    """Volume that only one of two bodies fills, laid with their left ends together."""
    shift = other.bounding_box()[0] - one.bounding_box()[0]
    one = one.translate((shift, 0.0, 0.0))
    return (one - other).volume() + (other - one).volume()


def trimmed(length: float, section: tuple[float, float], planes) -> Manifold:
    """A box from -length to length trimmed by planes (nx, ny, nz, offset), the waste beyond."""
    body = box(2 * length, *section).translate((-length, 0.0, 0.0))
    for *normal, offset in planes:
        body = body.trim_by_plane(tuple(-n for n in normal), -offset)
    return body


TURNS = {
    "as drawn": (1, 1, 1),
    "turned": (-1, 1, -1),
    "flipped": (1, -1, -1),
    "rotated": (-1, -1, 1),
}
"""What half a turn does to x, y and z."""


def laid(body: Manifold, way: str, section: tuple[float, float]) -> Manifold:
    x, y, z = TURNS[way]
    depth, thickness = section
    matrix = [[x, 0, 0, 0], [0, y, 0, depth * (y < 0)], [0, 0, z, thickness * (z < 0)]]
    return body.transform(np.array(matrix, dtype=float))


# ---------------------------------------------------------------------------- whole jobs


def built(name: str, crown_up: bool) -> Build:
    text = (FIXTURES / name).read_text(encoding="utf-8")
    if not crown_up:
        text = text.replace("[saw]\n", "[saw]\ncrown_up = false\n")
    return build_job(parse_job(text, name), nest_seconds=1)


@pytest.fixture(
    scope="module",
    params=[
        ("hip.toml", True),
        ("post-gable.toml", False),
        ("lean-to.toml", False),
        ("unequal-hip.toml", True),
        ("pyramid.toml", True),
        ("steep-gable.toml", True),
    ],
    ids=lambda param: param[0],
)
def build(request: pytest.FixtureRequest) -> Build:
    return built(*request.param)


def rounding(build: Build, miter: float, tilt: float) -> float:
    """How far a face may lie off because lengths and angles in the list are rounded.

    Two lengths, and two angles over the section: x changes by depth / cos(miter)^2 and by
    thickness / (cos(miter) cos(tilt)^2) for each radian.
    """
    half = 0.5 * 10.0 ** -TABLE_PLACES[build.job.unit_name]
    m, t = radians(miter), radians(tilt)
    depth = max(part.stick.depth for part in build.parts)
    thickness = max(part.stick.thickness for part in build.parts)
    turned = depth / cos(m) ** 2 + thickness / (cos(m) * cos(t) ** 2)
    return 2 * half + radians(half) * turned


def signed(row: dict, angle: str) -> float:
    return float(row[f"{angle}_deg"]) * (-1.0 if row[f"{angle}_leans"] == "left" else 1.0)


def listed(build: Build) -> dict[str, list[dict]]:
    boards: dict[str, list[dict]] = {}
    text = csv_files(tables(build))["saw-list.csv"].decode()
    for row in csv.DictReader(io.StringIO(text)):
        boards.setdefault(row["board"], []).append(row)
    return boards


def passes(build: Build, rows: list[dict]) -> list[dict]:
    return [
        {
            "operation": row["operation"],
            "piece": int(float(row["piece"])) if row["piece"] else None,
            "stop_side": row["stop_side"],
            "stop_fence": float(row["stop_fence"]),
            "stop_long_point": float(row["stop_long_point"]),
            "miter": signed(row, "miter"),
            "tilt": signed(row, "tilt"),
            "places": rounding(build, float(row["miter_deg"]), float(row["tilt_deg"])),
        }
        for row in rows
        if row["operation"] in ("through", "after")
    ]


def test_sawing_by_the_list_makes_every_piece(build: Build) -> None:
    parts = {part.mark: part for part in build.parts}
    rows = listed(build)
    for board in named_boards(build.plans):
        problem = board.plan.problem
        section = problem.depth, problem.thickness
        length = board.cut.board.length
        bench = Bench(box(length, *section), *section, problem.saw.kerf)
        work = passes(build, rows[board.name])
        for row in work:
            bench.saw(row)
        # A piece has two ends, and one of them may stand off by the other's rounding as well.
        hair = 4 * max(row["places"] for row in work)
        for number, piece in enumerate(board.cut.pieces, start=1):
            stick = parts[piece.mark].stick
            planes = [
                (p.normal.x, p.normal.y, p.normal.z, p.offset)
                for end in ("head", "foot")
                for p in (cut.plane for cut in stick.end_planes(end))
            ]
            whole = laid(trimmed(2 * length, section, planes), piece.way.value, section)
            made = bench.loose.get(number, bench.rest)
            area = section[0] * section[1]
            assert differs(made, whole) < hair * area, (board.name, number)


def ends_on_board(build: Build, board) -> list[tuple[list, list]]:
    """The planes of each piece's left and right end on the board, as (normal, offset)."""
    parts = {part.mark: part for part in build.parts}
    found = []
    for piece in board.cut.pieces:
        sides: list[list] = [[], []]
        turn = np.array(TURNS[piece.way.value], dtype=float)
        corner = np.array([0.0, board.plan.problem.depth, board.plan.problem.thickness])
        origin = corner * (turn < 0) + np.array([piece.at, 0.0, 0.0])
        for end in ("head", "foot"):
            for cut in parts[piece.mark].stick.end_planes(end):
                normal = np.array([getattr(cut.plane.normal, axis) for axis in "xyz"]) * turn
                sides[int(normal[0] > 0)].append((normal, cut.plane.offset + normal @ origin))
        found.append((sides[0], sides[1]))
    return found


def test_ends_a_kerf_apart_are_one_pass_and_no_other_is_spared(build: Build) -> None:
    rows = listed(build)
    for board in named_boards(build.plans):
        kerf = board.plan.problem.saw.kerf
        ends = ends_on_board(build, board)
        faces = sum(len(left) + len(right) for left, right in ends)
        shared = sum(
            any(
                np.allclose(n, -m, atol=1e-9) and abs(-c - d - kerf) < 1e-6
                for n, c in right
                for m, d in left
            )
            for (_, right), (left, _) in pairwise(ends)
        )
        assert len(passes(build, rows[board.name])) == faces - shared
        both = [row for row in rows[board.name] if " and " in row["serves"]]
        assert len(both) == shared


def test_every_face_of_every_end_is_served(build: Build) -> None:
    parts = {part.mark: part for part in build.parts}
    for rows in listed(build).values():
        made = Counter(end for row in rows for end in row["serves"].split(" and ") if end)
        for end, count in made.items():
            _, mark, which = end.split()
            assert count == len(parts[mark].stick.end_planes(which))


def test_some_pass_serves_two_pieces() -> None:
    rows = [row for rows in listed(built("pyramid.toml", True)).values() for row in rows]
    assert any(" and " in row["serves"] for row in rows)


def test_notches_and_bevels_are_told_for_each_piece(build: Build) -> None:
    parts = {part.mark: part for part in build.parts}
    boards = listed(build)
    for board in named_boards(build.plans):
        rows = boards[board.name]
        for number, piece in enumerate(board.cut.pieces, start=1):
            stick = parts[piece.mark].stick
            mine = [
                row["operation"] for row in rows if row["piece"] in (f"{number}", f"{number}.0")
            ]
            assert mine.count("notch") == len(parts[piece.mark].member.notches)
            assert mine.count("bevel") == sum(
                cut.end is None and len(cut.planes) == 1 for cut in stick.cuts
            )


def test_a_backed_edge_is_told_as_the_blade_is_tilted_from_square() -> None:
    """tan b = sin(hip) / tan 45 for a regular hip; a hip of 6 in 12 rises 6 in 16.97."""
    text = (FIXTURES / "hip.toml").read_text(encoding="utf-8")
    backed = text.replace('top = "drop"', 'top = "back"')
    job = parse_job(backed, "hip.toml")
    angle = degrees(atan(sin(atan((job.roof.pitch or 0.0) / sqrt(2)))))
    rows = list(
        csv.DictReader(
            io.StringIO(
                csv_files(tables(build_job(job, nest_seconds=1)))["saw-list.csv"].decode(
                    "utf-8-sig"
                )
            )
        )
    )
    told = {row["note"] for row in rows if row["operation"] == "bevel"}
    assert told
    assert all(f"blade {angle:.2f} deg from square" in note for note in told)


def test_what_is_left_is_told_with_the_last_pass(build: Build) -> None:
    boards = listed(build)
    for board in named_boards(build.plans):
        rows = boards[board.name]
        last = [row for row in rows if row["operation"] == "through"][-1]
        kept = last["leaves"].startswith("offcut")
        assert [row for row in rows if row["leaves"]] == [last]
        assert kept or last["leaves"].startswith("waste")
        assert kept <= (board.cut.leftover >= build.job.saw.keep_offcut)


# ------------------------------------------------------------------------ awkward boards


def stick(mark: str, left: tuple[EndFace, ...], right: tuple[EndFace, ...]) -> Stick:
    return Stick(
        mark=mark,
        count=1,
        thickness=THICKNESS,
        depth=DEPTH,
        left=left,
        right=right,
        near=ring(left, right, THICKNESS),
        far=ring(left, right, 0.0),
    )


def problem(*sticks: Stick, length: float, end_trim: float = 0.0) -> Problem:
    return Problem(
        size="2x8",
        thickness=THICKNESS,
        depth=DEPTH,
        sticks=sticks,
        boards=(Board(length=length),),
        saw=Saw(kerf=KERF, end_trim=end_trim),
        grid=1 / 64,
    )


def replay(problem: Problem, cut: CutBoard) -> list:
    """Saw a board by its passes, see that each piece comes out whole, return the passes."""
    section = problem.depth, problem.thickness
    bench = Bench(box(cut.board.length, *section), *section, problem.saw.kerf)
    sawing = saw_board(problem, cut)
    for p in sawing.cuts:
        bench.saw(
            {
                "operation": "after" if p.after else "through",
                "piece": p.piece,
                "stop_side": p.stop_side,
                "stop_fence": p.from_stop(*section),
                "stop_long_point": p.reach,
                "miter": p.miter,
                "tilt": p.tilt,
                "places": 1e-6,
            }
        )
    for number, piece in enumerate(cut.pieces):
        planes = [
            (s, -s * f.per_depth, -s * f.per_thickness, s * f.at)
            for s, end in ((1.0, piece.laid.right), (-1.0, piece.laid.left))
            for f in end
        ]
        unit = [tuple(x / hypot(*p[:3]) for x in p) for p in planes]
        whole = trimmed(2 * cut.board.length, section, unit)
        assert differs(bench.loose.get(number, bench.rest), whole) < 1e-4
    return list(sawing.cuts)


@settings(max_examples=60, deadline=None)
@given(problem=problems())
def test_any_plan_can_be_sawn(problem: Problem) -> None:
    for cut in solve(problem, seconds=0.1).boards:
        replay(problem, cut)


SQUARE = (EndFace(at=0.0),)


def at(x: float, *faces: EndFace) -> tuple[EndFace, ...]:
    return tuple(face.moved(x) for face in faces)


def test_the_boards_own_ends_need_no_pass() -> None:
    one, two = stick("A", SQUARE, at(40.0, *SQUARE)), stick("B", SQUARE, at(30.0, *SQUARE))
    length = 70.0 + KERF
    p = problem(one, two, length=length)
    (cut,) = solve(p, seconds=0.1).boards
    (only,) = replay(p, cut)
    assert only.serves == ((0, "right"), (1, "left"))
    whole = stick("A", SQUARE, at(length, *SQUARE))
    p = problem(whole, length=length)
    (cut,) = solve(p, seconds=0.1).boards
    assert replay(p, cut) == []


# A ridge across the thickness (two cheeks) against a ridge across the depth (plumb and level):
# where their edges meet, no plane of either passes between them.
CHEEKS = (
    EndFace(at=0.0, per_depth=-0.5, per_thickness=1.0),
    EndFace(at=1.5, per_depth=-0.5, per_thickness=-1.0),
)
TAIL = (EndFace(at=0.0, per_depth=-2.0), EndFace(at=-7.25, per_depth=1.0))
PLUMB = (EndFace(at=0.0, per_depth=-0.5),)


def side_by_side(right: tuple[EndFace, ...], left: tuple[EndFace, ...]) -> list:
    """The passes on a board of two sticks whose ends face each other as near as they may."""
    one, two = stick("A", SQUARE, at(40.0, *right)), stick("B", left, at(60.0, *SQUARE))
    p = problem(one, two, length=120.0)
    apart = gap(one.right, two.left, (DEPTH, THICKNESS), KERF)
    pieces = (
        Piece(stick=one, way=Way.AS_DRAWN, at=0.0),
        Piece(stick=two, way=Way.AS_DRAWN, at=apart),
    )
    return replay(p, CutBoard(board=p.boards[0], pieces=pieces, leftover=0.0))


def test_two_edges_that_face_each_other_are_parted_between() -> None:
    parting, last, *after = side_by_side(CHEEKS, TAIL)
    assert parting.serves == ()
    assert last.serves == ((1, "right"),)
    assert [(cut.after, cut.serves) for cut in after] == [
        (True, ((0, "right"),)),
        (True, ((0, "right"),)),
        (True, ((1, "left"),)),
        (True, ((1, "left"),)),
    ]


def test_an_edge_that_faces_one_plane_is_parted_along_that_plane() -> None:
    parting, _, *after = side_by_side(CHEEKS, PLUMB)
    assert parting.serves == ((1, "left"),)
    assert [cut.serves for cut in after] == [((0, "right"),), ((0, "right"),)]


def test_one_plane_of_an_edge_is_sawn_in_passing_where_it_spares_the_neighbour() -> None:
    parting, trim, _, *after = side_by_side(TAIL, (EndFace(at=0.0, per_depth=-2.5),))
    assert (parting.serves, parting.piece) == (((0, "right"),), 0)
    assert (trim.serves, trim.piece) == (((1, "left"),), None)
    assert [cut.serves for cut in after] == [((0, "right"),)]


def test_plain_sticks_have_a_left_and_a_right_end() -> None:
    """Two legs of 30 in, both ends at 15 degrees like a backslash, out of 8 ft by a kerf of 1/8."""
    lean = tan(radians(15))
    leg = Stick.plain(
        mark="leg",
        count=2,
        thickness=THICKNESS,
        depth=DEPTH,
        left=EndFace(at=DEPTH * lean, per_depth=-lean),
        right=EndFace(at=30.0, per_depth=-lean),
    )
    saw = Saw(kerf=KERF, end_trim=0.25, keep_offcut=24)
    p = replace(problem(leg, length=96.0), saw=saw)
    plans = (solve(p, seconds=0.1),)
    cutting = Cutting(name="Stool", units=IMPERIAL, round_to=1 / 16, saw=saw, plans=plans)
    told = [
        (row["serves"], row["stop_long_point_text"], row["falls_off"], row.get("leaves"))
        for row in plain_saw_list(cutting)
    ]
    between = KERF / cos(radians(15))
    left = 96 - 0.25 - 2 * (30 - DEPTH * lean) - DEPTH * lean - between
    assert told == [
        ("1 leg left", '2 1/16"', "waste", None),
        ("1 leg right and 2 leg left", "2' 6\"", "leg", None),
        ("2 leg right", "2' 6\"", "leg", f"offcut {cutting.text(left - between)}"),
    ]
