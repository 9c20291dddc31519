"""Every drawing of several builds, read back by GDAL and by its bare tags."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cutlist.build import Build
from cutlist.export.draw_part import notch_text
from cutlist.export.dxf import ascii_text
from cutlist.export.write import build_files
from tests.export.conftest import JOBS, build_text
from tests.export.reading import by_layer, doubled, entities, header, ring, tags

# Drawings are rounded to 1e-6 in or 1e-4 mm: two roundings per vertex of outlines some metres
# round come to this much area at the most.
ROUNDING = {"imperial": 1e-6, "metric": 1e-4}


@pytest.fixture
def files(build: Build, tmp_path: Path) -> dict[str, Path]:
    """The drawings of a build on disk, by name."""
    found = {}
    for name, content in build_files(build).items():
        if name.endswith(".dxf"):
            found[name] = tmp_path / name.replace("/", "_")
            found[name].write_bytes(content)
    return found


def test_a_part_is_cut_from_one_closed_ring_equal_to_its_outline(
    build: Build, files: dict[str, Path]
) -> None:
    step = ROUNDING[build.job.unit_name]
    for part in build.parts:
        layers = by_layer(files[f"parts/{part.mark}.dxf"])
        (cut,) = layers["OUTLINE"]
        drawn, wanted = ring(cut), part.stick.near.polygon
        assert drawn.is_valid
        assert drawn.exterior.is_ccw
        assert len(cut.coords) == len(part.stick.near.points) + 1
        assert drawn.area == pytest.approx(wanted.area, abs=step * wanted.length)
        assert drawn.bounds == pytest.approx(wanted.bounds, abs=step)
        assert set(layers) <= {"OUTLINE", "FAR", "MARKS", "NOTES"}
        alike = part.stick.near.polygon.equals_exact(part.stick.far.polygon, 1e-6)
        assert ("FAR" in layers) is not alike


def test_boards_hold_every_piece_once_apart_by_the_kerf(
    build: Build, files: dict[str, Path]
) -> None:
    cut: dict[str, int] = {}
    step = ROUNDING[build.job.unit_name]
    areas = {
        part.mark: [face.polygon.area for face in (part.stick.near, part.stick.far)]
        for part in build.parts
    }
    for name, path in files.items():
        if not name.startswith("boards/"):
            continue
        layers = by_layer(path)
        (board,) = map(ring, layers["BOARD"])
        pieces = [ring(shape) for shape in layers["OUTLINE"]]
        marks = [e.text for e in entities(path) if e.layer == "MARKS" and e.text]
        assert len(marks) == len(pieces)
        for piece, mark in zip(pieces, marks, strict=True):
            assert board.covers(piece)
            # A turned piece shows its far face.
            assert min(abs(piece.area - area) for area in areas[mark]) < step * piece.length
            cut[mark] = cut.get(mark, 0) + 1
        for i, piece in enumerate(pieces):
            for other in pieces[:i]:
                assert piece.distance(other) >= build.job.saw.kerf - 2 * step
    assert cut == {part.mark: part.count for part in build.parts}


def test_marks_are_written_on_the_wood(build: Build, files: dict[str, Path]) -> None:
    for part in build.parts:
        wood = part.stick.near.polygon
        marks = [e for e in entities(files[f"parts/{part.mark}.dxf"]) if e.layer == "MARKS"]
        texts = [e for e in marks if e.text]
        assert [e.text for e in texts] == [part.mark]
        assert all(wood.buffer(1e-3).covers(e.shape) for e in marks)
        lines = [e.shape for e in marks if not e.text]
        # A rafter without a tail ends at its heel line, which is then the cut itself.
        has_line = part.member.heel_line is not None and build.job.roof.overhang > 0
        assert len(lines) == has_line
        for line in lines:
            # The heel line goes from the notch, or the bottom edge, to the top edge, plumb.
            (x0, y0, *_), (x1, y1, *_) = sorted(line.coords, key=lambda p: p[1])
            notch = part.member.notches[0].depth if part.role != "barge" else 0.0
            assert (y0, y1) == pytest.approx((notch, wood.bounds[3]), abs=1e-3)
            assert (x1 - x0) / (y1 - y0) == pytest.approx(
                part.stick.frame.x.z / part.stick.frame.y.z, abs=1e-3
            )


def test_no_line_is_drawn_twice(files: dict[str, Path]) -> None:
    for name, path in files.items():
        layers = by_layer(path)
        if name.startswith("parts/"):
            shapes = [shape for layer in layers.values() for shape in layer]
            assert not doubled(shapes), name
        elif name.startswith("boards/"):
            assert not doubled(layers["OUTLINE"]), name
            assert not doubled([*layers["NOTES"], *layers["OUTLINE"]]), name


def test_header_tells_unit_and_extents(build: Build, files: dict[str, Path]) -> None:
    # $INSUNITS: 1 inches, 4 millimetres; $MEASUREMENT: 0 imperial, 1 metric (DXF reference).
    unit, system = {"imperial": ("1", "0"), "metric": ("4", "1")}[build.job.unit_name]
    for name, path in files.items():
        told = header(path.read_bytes())
        assert told["$ACADVER"] == ["AC1024"], "R2010"
        assert told["$INSUNITS"] == [unit]
        assert told["$MEASUREMENT"] == [system]
        least, most = ([float(v) for v in told[key]] for key in ("$EXTMIN", "$EXTMAX"))
        lines = [shape for layer in by_layer(path).values() for shape in layer]
        x0, y0, x1, y1 = shapely.total_bounds(lines)
        assert least[0] <= x0 + 1e-3, name
        assert least[1] <= y0 + 1e-3, name
        assert most[0] >= x1 - 1e-3, name
        assert most[1] >= y1 - 1e-3, name


def test_numbers_are_plain(build: Build) -> None:
    places = {"imperial": 6, "metric": 4}[build.job.unit_name]
    plain = re.compile(rf"(?!-0\.0+$)-?\d+\.\d{{1,{places}}}")
    reals = {*range(10, 60), *range(110, 150), *range(210, 240), *range(460, 470)}
    for name, content in build_files(build).items():
        if name.endswith(".dxf"):
            wrong = [v for code, v in tags(content) if code in reals and not plain.fullmatch(v)]
            assert not wrong, name


def test_only_plain_entities_are_used(files: dict[str, Path]) -> None:
    for path in files.values():
        pairs = tags(path.read_bytes())
        start = pairs.index((2, "ENTITIES"))
        kinds = {value for code, value in pairs[start:] if code == 0}
        kinds = kinds - {"ENDSEC", "EOF"} - {k for k in kinds if k.startswith("DICT")}
        end = next(i for i in range(start, len(pairs)) if pairs[i] == (0, "ENDSEC"))
        kinds = {value for code, value in pairs[start:end] if code == 0}
        assert kinds <= {"LWPOLYLINE", "LINE", "TEXT", "3DFACE"}


def test_the_same_build_gives_the_same_bytes(build: Build) -> None:
    assert build_files(build) == build_files(build)


def test_the_bytes_do_not_depend_on_the_run() -> None:
    code = (
        "import sys; from cutlist.export.drawing import Drawing, Pen;"
        "from cutlist.export.dxf import dxf_bytes; from cutlist.units import METRIC;"
        "drawing = Drawing(METRIC, {'A': Pen.WOOD}); drawing.line('A', (0.0, 0.0), (1.0, 2.0));"
        "sys.stdout.buffer.write(dxf_bytes(drawing))"
    )
    written = {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in "1234"
    }
    assert len(written) == 1


def test_the_roof_stands_in_plan_coordinates(build: Build, files: dict[str, Path]) -> None:
    layers = by_layer(files["roof.dxf"])
    roles = {member.role.upper() for member in build.roof.members}
    assert {name for name in layers if name.startswith("ROOF-")} == {f"ROOF-{r}" for r in roles}
    for role in roles:
        members = [m for m in build.roof.members if m.role.upper() == role]
        assert len(layers[f"PLAN-{role}"]) == len(members)
        points = [
            point
            for shape in layers[f"ROOF-{role}"]
            for point in shapely.get_coordinates(shape, include_z=True).tolist()
        ]
        corners = [
            (p.x, p.y, p.z)
            for m in members
            for z, outline in m.stick.levels
            for p in (
                m.stick.frame.outward(type(m.stick.frame.origin)(x, y, z))
                for x, y in outline.points
            )
        ]
        for axis in range(3):
            drawn, wanted = ([p[axis] for p in some] for some in (points, corners))
            assert (min(drawn), max(drawn)) == pytest.approx((min(wanted), max(wanted)), abs=1e-3)


def test_plates_and_posts_of_the_plan(gable: Build, tmp_path: Path) -> None:
    path = tmp_path / "roof.dxf"
    path.write_bytes(build_files(gable)["roof.dxf"])
    layers = by_layer(path)
    roof = gable.job.roof
    plates = [ring(shape).bounds for shape in layers["PLAN-PLATE"]]
    assert len(plates) == 2
    assert all((x0, x1) == pytest.approx((0.0, roof.length)) for x0, _, x1, _ in plates)
    low, high = min(b[1] for b in plates), max(b[3] for b in plates)
    assert high - low == pytest.approx(roof.span)
    # 26 ft with posts every 8 ft: at both ends and at 8, 16 and 24 ft, on both sides.
    assert len(layers["PLAN-POST"]) == 2 * 5


def test_a_hostile_name_stays_one_line_of_ascii(named: Callable[[str], Build]) -> None:
    name = "%%uA\n^J\\U+0041 \N{DEGREE SIGN} Größe %%%% 屋根"
    for content in build_files(named(name)).values():
        if b"ENTITIES" in content[:200_000]:
            texts = [v for code, v in tags(content) if code == 1]
            assert not any("%%" in t or "^" in t or "\\" in t for t in texts)


@given(st.text())
def test_ascii_text_has_no_control_codes(text: str) -> None:
    shown = ascii_text(text)
    assert shown.isascii()
    assert not shown or shown.isprintable()
    assert "%%" not in shown
    assert not set(shown) & set("^\\")


def test_ascii_text_keeps_what_it_can() -> None:
    dash, times = "\N{EN DASH}", "\N{MULTIPLICATION SIGN}"
    assert ascii_text(f"Café 30°, 2{times}8 {dash} ½") == "Cafe 30 deg, 2x8 - 1/2"


def notes(content: bytes) -> list[str]:
    return [value for code, value in tags(content) if code == 1]


def test_notes_tell_a_framer_every_measure(gable: Build) -> None:
    told = "\n".join(notes(build_files(gable)["parts/C1.dxf"]))
    # A run of 95 1/4 in at 5 in 12 is 103.19 in up the slope; 14 in of overhang is 15.17 in.
    assert "line length 8' 7 3/16\"" in told
    assert "tail 1' 3 3/16\"" in told
    assert "Head: plumb cut, miter 22.62 deg (5 in 12)" in told
    # 3 in of seat: 1.25 in of heel; 15/13 = 1.154 in deep square to the edge.
    assert 'Birdsmouth: seat 3" level, heel 1 1/4" plumb, 1 1/8" deep' in told
    assert f"C1: cut {gable.parts[0].count}, common, 2x6" in told


def test_notes_of_a_hip_tell_blade_tilts_and_backing() -> None:
    # A regular hip at 6 in 12 climbs 6 in 16.97, so a common's plumb cut leans atan(6 / 12) and a
    # hip's atan(6 / 16.97) = 19.47 deg; both its cheeks are cut with the blade at 45 degrees.
    files = build_files(build_text(JOBS["hip"]))
    told = "\n".join(notes(files["parts/H1.dxf"]))
    assert told.count("Head: cheek cut, miter 19.47 deg (4.243 in 12), blade tilt 45.00 deg") == 2
    jack = "\n".join(notes(files["parts/J1R.dxf"]))
    assert "Head: cheek cut, miter 26.57 deg (6 in 12), blade tilt 45.00 deg" in jack
    assert "Layer FAR: " in jack
    # Backing of a regular hip: tan = rise / length of hip for 12 of run = 6 / 18, so 18.43 deg.
    backed = JOBS["hip"].replace('[hip]\nsize = "2x8"', '[hip]\nsize = "2x8"\ntop = "back"')
    told = "\n".join(notes(build_files(build_text(backed))["parts/H1.dxf"]))
    assert "Top edge, near side: backing, bevel 18.43 deg" in told
    assert "Top edge, far side: backing, bevel 18.43 deg" in told


def test_a_sliver_of_a_notch_is_not_told_as_nothing(gable: Build) -> None:
    whole = gable.parts[0].member.notches[0]
    step = '1/16"'
    thin = replace(whole, seat=0.02, heel=0.01, depth=0.009)
    assert notch_text(gable, thin) == (
        f"Birdsmouth: seat less than {step} level, heel less than {step} plumb, "
        f"less than {step} deep square to the edge"
    )
    assert 'seat 1/16" level' in notch_text(gable, replace(thin, seat=1 / 30))
