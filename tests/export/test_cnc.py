"""The CNC's drawings in every option, read by GDAL and by a reader as strict as a control."""

from __future__ import annotations

import re
import warnings
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import atan, cos, degrees, hypot, pi, radians, sin, sqrt
from pathlib import Path
from typing import Any

import pyogrio
import pytest
from shapely import LineString, Point, Polygon
from shapely.affinity import scale, translate
from shapely.geometry.polygon import orient

from cutlist.build import Build, build_job, check_job
from cutlist.export.cnc import Blank, cnc_files, mark_strokes
from cutlist.export.naming import file_names
from cutlist.export.write import build_files
from cutlist.job import parse_job
from cutlist.starter import FORMS, starter_text
from tests.arcs import flattened
from tests.export.reading import by_layer, doubled, header, ring
from tests.export.strict import Line, RefusedError, edges, lines
from tests.hips import METRIC_HIP
from tests.jobs import GABLE, changed, job_of

VERSIONS = {"R12": "AC1009", "R2000": "AC1015", "R2010": "AC1024"}
STEP = {"imperial": 1e-6, "metric": 1e-4}
"""Twice the most by which a coordinate is rounded."""

CHORD = 2.0
"""GDAL draws arcs as chords of so many degrees."""

SAG = 1 - cos(radians(CHORD / 2))
"""How far such a chord is off its arc, for a radius of 1."""

JOBS = {
    "gable": changed(GABLE, {"saw": {"kerf": "4mm"}, "roof.rake_overhang": 12}),
    "hip": changed(
        METRIC_HIP,
        {"saw": {"kerf": "4mm"}, "roof.span": 5200, "roof.length": 7200, "rafter.spacing": 900},
    ),
}


@cache
def built(key: str) -> Build:
    return build_job(job_of(JOBS[key]), nest_seconds=1)


def asked(key: str, **options: Any) -> Build:
    """Return a build whose job asks for the CNC's drawings; its boards are planned only once."""
    return replace(built(key), job=job_of(JOBS[key], {"cnc": options}))


@pytest.fixture(autouse=True)
def _arcs_as_chords() -> Iterator[None]:
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": CHORD})
    yield
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})


def cut_rings(content: bytes, path: Path) -> list[Polygon]:
    """Return the rings of the cut layer as GDAL reads them, having held them against our reader."""
    path.write_bytes(content)
    cut = [line for line in lines(content) if line.layer == "OUTLINE"]
    shapes = by_layer(path)["OUTLINE"]
    assert not doubled(shapes)
    assert all(line.closed for line in cut)
    assert max(Counter(edges(cut)).values()) == 1
    rings = [ring(shape) for shape in shapes]
    for line, read in zip(cut, rings, strict=True):
        assert read.exterior.is_ccw
        assert Polygon(flattened(line.vertices, 90)).area == pytest.approx(read.area, rel=1e-6)
    return rings


def inside_corners(face: Polygon) -> list[Point]:
    """Return the inside corners of a ring; all that sticks have are of 90 degrees."""
    x, y = ([c[i] for c in face.exterior.coords[:-1]] for i in (0, 1))
    found = []
    for i in range(len(x)):
        j = (i + 1) % len(x)
        ax, ay, bx, by = x[i] - x[i - 1], y[i] - y[i - 1], x[j] - x[i], y[j] - y[i]
        long = hypot(ax, ay) * hypot(bx, by)
        if ax * by - ay * bx < -1e-6 * long:
            assert abs(ax * bx + ay * by) < 1e-9 * long
            found.append(Point(x[i], y[i]))
    return found


def relieved_area(face: Polygon, radius: float) -> float:
    """Return an outline's area less its reliefs: half a disc less the void in it, for each."""
    return face.area - len(inside_corners(face)) * radius**2 * (pi / 2 - 1)


def test_nothing_is_written_unless_asked() -> None:
    assert not [name for name in build_files(built("gable")) if name.startswith("cnc/")]
    with_table = [name for name in build_files(asked("gable", dxf="R12")) if name[:4] == "cnc/"]
    assert with_table == [f"cnc/{part.mark}.dxf" for part in built("gable").parts]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("tool", [None, "3mm"])
@pytest.mark.parametrize("key", JOBS)
def test_parts_are_cut_from_closed_rings(
    key: str, tool: str | None, version: str, tmp_path: Path
) -> None:
    build = asked(key, dxf=version, **({"relief": tool} if tool else {}))
    units = build.job.units
    step, radius = STEP[units.name], units.from_mm(1.5) if tool else 0.0
    files = cnc_files(build)
    assert list(files) == [f"cnc/{part.mark}.dxf" for part in build.parts]
    corners = 0
    for part, content in zip(build.parts, files.values(), strict=True):
        face = part.stick.near.polygon
        (cut,) = cut_rings(content, tmp_path / f"{part.mark}.dxf")
        rounding = 2 * step * face.length
        # Chords of two degrees lose 90 (pi / 90)^3 / 12 = 3e-4 r^2 of half a disc: far less.
        assert cut.area == pytest.approx(relieved_area(face, radius), abs=rounding)
        assert cut.bounds == pytest.approx(face.bounds, abs=step)
        for corner in inside_corners(face):
            corners += 1
            assert cut.exterior.distance(corner) < 2 * step + SAG * radius
        (drawn,) = (line for line in lines(content) if line.layer == "OUTLINE")
        arcs = [vertex[2] for vertex in drawn.vertices if vertex[2]]
        assert arcs == pytest.approx([-1.0] * len(inside_corners(face)) if tool else [])
        far = [line for line in lines(content) if line.layer == "FAR"]
        assert len(far) == (not face.equals_exact(part.stick.far.polygon, 1e-4))
        if far:
            below = Polygon(flattened(far[0].vertices, 360))
            goal = relieved_area(part.stick.far.polygon, radius)
            assert below.area == pytest.approx(goal, abs=rounding)
    assert corners


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("key", JOBS)
def test_header_tells_version_unit_and_extents(key: str, version: str) -> None:
    for content in cnc_files(asked(key, dxf=version, files="size", origin="upper-left")).values():
        told = header(content)
        assert told["$ACADVER"] == [VERSIONS[version]]
        # $INSUNITS: 1 inches, 4 millimetres; $MEASUREMENT: 0 imperial, 1 metric (DXF reference).
        unit = {"gable": ("1", "0"), "hip": ("4", "1")}[key]
        assert (*told["$INSUNITS"], *told["$MEASUREMENT"]) == unit
        spots = [vertex for line in lines(content) for vertex in line.vertices]
        for axis in (0, 1):
            least, most = (float(told[name][axis]) for name in ("$EXTMIN", "$EXTMAX"))
            assert (least, most) == (min(s[axis] for s in spots), max(s[axis] for s in spots))


def test_r12_has_no_entity_that_came_later() -> None:
    # LWPOLYLINE came after R12, which has POLYLINE, VERTEX and SEQEND (DXF reference).
    for version, kind in (("R12", "POLYLINE"), ("R2000", "LWPOLYLINE"), ("R2010", "LWPOLYLINE")):
        for content in cnc_files(asked("hip", dxf=version, relief="3mm")).values():
            assert {line.kind for line in lines(content)} == {kind}
            assert (b"LWPOLYLINE" in content) is (version != "R12")
            assert (b"SUBCLASS" in content.upper() or b"AcDb" in content) is (version != "R12")


@pytest.mark.parametrize("side", ["near", "far"])
@pytest.mark.parametrize("key", JOBS)
def test_a_size_holds_every_stick_apart(key: str, side: str, tmp_path: Path) -> None:
    build = asked(key, files="size", side=side, relief="3mm")
    units = build.job.units
    files = cnc_files(build)
    sizes = {part.size.name for part in build.parts}
    assert list(files) == [f"cnc/{plan.problem.size}.dxf" for plan in build.plans]
    assert len(files) == len(sizes)
    for name, content in files.items():
        rings = cut_rings(content, tmp_path / "size.dxf")
        parts = [p for p in build.parts if f"cnc/{p.size.name}.dxf" == name]
        faces = [
            part.stick.near.polygon if side == "near" else part.stick.far.polygon
            for part in parts
            for _ in range(part.count)
        ]
        assert len(rings) == len(faces)
        goals = sorted(relieved_area(face, units.from_mm(1.5)) for face in faces)
        tolerance = max(2 * STEP[units.name] * face.length for face in faces)
        assert sorted(r.area for r in rings) == pytest.approx(goals, abs=tolerance)
        for one, other in combinations(rings, 2):
            assert one.distance(other) > units.from_mm(49.9)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("side", ["near", "far"])
@pytest.mark.parametrize("key", JOBS)
def test_boards_hold_every_stick_a_kerf_apart(
    key: str, side: str, version: str, tmp_path: Path
) -> None:
    build = asked(key, dxf=version, files="board", side=side, relief="3mm")
    units, step = build.job.units, STEP[build.job.unit_name]
    boards = [cut for plan in build.plans for cut in plan.boards]
    files = cnc_files(build)
    assert set(files) == {
        name.replace("boards", "cnc") for name in build_files(build) if name[:7] == "boards/"
    }
    for cut, content in zip(boards, (files[name] for name in sorted_like(build)), strict=True):
        rings = cut_rings(content, tmp_path / "board.dxf")
        (board,) = (ring(s) for s in by_layer(tmp_path / "board.dxf")["BOARD"])
        assert board.bounds == pytest.approx((0, 0, cut.board.length, cut.pieces[0].stick.depth))
        for piece, drawn in zip(cut.pieces, rings, strict=True):
            face = Polygon(piece.near if side == "near" else piece.far)
            if side == "far":
                face = orient(scale(face, xfact=-1, origin=(cut.board.length / 2, 0)))
            assert board.buffer(step).covers(drawn)
            goal = relieved_area(face, units.from_mm(1.5))
            assert drawn.area == pytest.approx(goal, abs=2 * step * face.length)
            assert drawn.bounds == pytest.approx(face.bounds, abs=step)
            assert face.buffer(2 * step + SAG * units.from_mm(1.5)).covers(drawn)
        for one, other in combinations(rings, 2):
            assert one.distance(other) >= build.job.saw.kerf - 2 * step


def sorted_like(build: Build) -> list[str]:
    """Return the files of the boards in the order of the plans."""
    names: list[str] = []
    for plan in build.plans:
        digits = max(2, len(str(len(plan.boards))))
        names += [f"cnc/{plan.problem.size}-{i + 1:0{digits}}.dxf" for i in range(len(plan.boards))]
    return names


@pytest.mark.parametrize(
    ("origin", "x", "y"),
    [
        ("lower-left", 0.0, 0.0),
        ("lower-right", -1.0, 0.0),
        ("upper-left", 0.0, -1.0),
        ("upper-right", -1.0, -1.0),
    ],
)
@pytest.mark.parametrize("side", ["near", "far"])
def test_the_chosen_corner_is_the_origin(
    origin: str, x: float, y: float, side: str, tmp_path: Path
) -> None:
    build = asked("hip", origin=origin, side=side)
    for part, content in zip(build.parts, cnc_files(build).values(), strict=True):
        (cut,) = cut_rings(content, tmp_path / "part.dxf")
        stick = part.stick
        wanted = stick.near.polygon
        if side == "far":
            # Seen from behind: what was on the left is on the right.
            wanted = scale(stick.far.polygon, xfact=-1, origin=(stick.length / 2, 0))
        wanted = translate(wanted, x * stick.length, y * stick.depth)
        assert cut.symmetric_difference(wanted).area < 2e-4 * wanted.length


def test_marks_are_strokes_on_the_wood_on_their_own_layer() -> None:
    for side in ("near", "far"):
        build = asked("hip", text="strokes", side=side, relief="12mm")
        for part, content in zip(build.parts, cnc_files(build).values(), strict=True):
            found = lines(content)
            (cut,) = (Polygon(flattened(v.vertices, 90)) for v in found if v.layer == "OUTLINE")
            marks = [line for line in found if line.layer == "MARKS"]
            assert len(marks) >= len(part.mark)
            assert not any(line.closed for line in marks)
            drawn = [LineString([v[:2] for v in line.vertices]) for line in marks]
            assert all(cut.buffer(-11.9).contains(line) for line in drawn)
            for below in (v for v in found if v.layer == "FAR"):
                assert all(Polygon(flattened(below.vertices, 9)).contains(s) for s in drawn)
        silent = cnc_files(asked("hip", text="none", side=side))
        for content in silent.values():
            assert {line.layer for line in lines(content)} <= {"OUTLINE", "FAR"}
            assert all(line.closed for line in lines(content))


@pytest.mark.parametrize(("tool", "away"), [(0.0, 0.1), (4.0, 4.0)])
def test_a_mark_keeps_the_tool_s_width_from_every_edge(tool: float, away: float) -> None:
    ring = ((0.0, 0.0), (12.0, 0.0), (12.0, 10.0), (0.0, 10.0))
    strokes = list(mark_strokes(Blank(mark="C1", depth=10.0, up=ring, down=ring), tool))
    assert strokes
    inside = Polygon(ring).buffer(-away + 1e-6)
    assert all(inside.contains(LineString(stroke)) for stroke in strokes)


def test_layers_are_called_as_the_job_says() -> None:
    names = {"cut": "0", "far": "BACK", "text": "Engrave_1", "board": "$STOCK"}
    for version in VERSIONS:
        build = asked("hip", dxf=version, files="board", layers=names)
        found = [line for c in cnc_files(build).values() for line in lines(c)]
        assert {line.layer for line in found} == set(names.values())
        assert all(line.closed for line in found if line.layer != "Engrave_1")


def test_a_relief_without_room_is_told_and_drawn_sharp(tmp_path: Path) -> None:
    # A heel of 1 3/4 in (3 1/2 in seat at 6 in 12): a bit of 1 1/2 in would take 1.06 in of both
    # edges, which it has; with a seat of 1 1/2 in the heel is 3/4 in, which it has not.
    for seat, fits in ((3.5, True), (1.5, False)):
        job = job_of(GABLE, {"rafter.seat": seat, "cnc": {"relief": "1 1/2in"}})
        build = build_job(job, nest_seconds=1)
        found = [f for f in build.findings if f.check == "room for corner relief"]
        assert {f.result for f in found} == {"pass" if fits else "fail"}
        assert [f.subject for f in found] == ["C1 heel and seat"]
        assert found[0].value == pytest.approx(seat / 2)
        assert found[0].limit == pytest.approx(0.75 * 2**0.5, abs=2e-3)
        content = cnc_files(build)["cnc/C1.dxf"]
        assert any(v[2] for line in lines(content) for v in line.vertices) is fits


def test_a_tilt_that_a_router_cannot_cut_is_told() -> None:
    found = [f for f in build_job(asked("hip").job, nest_seconds=1).findings if "router" in f.check]
    tilted = {p.mark for p in built("hip").parts if p.role in ("hip", "hip-jack")}
    assert {f.subject for f in found if f.result == "warn"} == tilted
    # Cheeks against a regular hip, 45 degrees in plan.
    assert {round(f.value, 6) for f in found if f.result == "warn"} == {45.0}
    assert not [f for f in built("hip").findings if "router" in f.check or "relief" in f.check]


def test_a_backed_edge_that_no_router_drawing_holds_is_told() -> None:
    """The backing of a regular hip: tan b = sin of the hip's own angle."""
    job = job_of(JOBS["hip"], {"cnc": {}, "hip.top": "back"})
    found = [f for f in check_job(job) if f.check == "bevel along the edge on the router [deg]"]
    angle = degrees(atan(sin(atan((job.roof.pitch or 0.0) / sqrt(2)))))
    assert {f.result for f in found} == {"warn"}
    assert {round(f.value, 6) for f in found} == {round(angle, 6)}


def test_the_same_build_gives_the_same_bytes() -> None:
    for version in VERSIONS:
        build = asked("gable", dxf=version, files="size", relief="3mm")
        assert cnc_files(build) == cnc_files(build)


def test_nothing_is_said_on_the_side(caplog: pytest.LogCaptureFixture) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        cnc_files(asked("gable", dxf="R12"))
    assert not caplog.records


def test_sizes_alike_once_safe_have_files_of_their_own() -> None:
    sizes = ["2x8", "45mm x 195mm", "45mm  x 195mm", "45MM X 195MM"]
    assert file_names(sizes) == ("2x8", "45mm-x-195mm", "45mm-x-195mm-2", "45mm-x-195mm-3")


@pytest.mark.parametrize("units", ["imperial", "metric"])
@pytest.mark.parametrize("form", FORMS)
def test_the_starter_asks_for_it_once_uncommented(form: str, units: Any) -> None:
    text = starter_text(form, units)
    before, _, block = text.partition("# [cnc]")
    assert block
    shown = re.sub(r"^# ?", "", "# [cnc]" + block.split("\n\n")[0], flags=re.MULTILINE)
    rest = block.partition("\n\n")[2]
    job = parse_job(before + shown + "\n\n" + rest, "start.toml")
    assert job.cnc is not None
    assert job.cnc.relief
    assert parse_job(text, "start.toml").cnc is None
    build = build_job(job, nest_seconds=1)
    assert all(lines(content) for content in cnc_files(build).values())
    assert not [f for f in build.findings if "relief" in f.check and f.result != "pass"]


RING = "  0\nSECTION\n  2\nENTITIES\n{body}  0\nENDSEC\n  0\nEOF\n"
SQUARE = "  0\nLWPOLYLINE\n  8\nA\n 90\n3\n 70\n{flag}\n" + "".join(
    f" 10\n{x}\n 20\n{y}\n" for x, y in (("0.0", "0.0"), ("1.0", "0.0"), ("1.0", "1.0"))
)


def test_the_strict_reader_refuses_what_controls_choke_on() -> None:
    good = RING.format(body=SQUARE.format(flag=1))
    triangle = ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0))
    assert lines(good.encode()) == [Line("LWPOLYLINE", "A", True, triangle)]
    assert not lines(good.replace("70\n1", "70\n0").encode())[0].closed
    for old, new in (
        ("90\n3", "90\n4"),
        ("1.0", "1e-05"),
        ("0.0", "-0.0"),
        ("1.0", "1"),
        ("LWPOLYLINE", "SPLINE"),
        (" 10\n1.0\n 20\n0.0", " 10\n0.0\n 20\n0.0"),
        ("  8\nA", "  8\nA\n 38\n1.0"),
        ("EOF\n", ""),
    ):
        assert old in good
        with pytest.raises(RefusedError):
            lines(good.replace(old, new).encode())
