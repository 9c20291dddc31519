"""Flat faces against closed forms, outlines and the solids of another modeller."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import sqrt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from cutlist.errors import GeometryError
from cutlist.geometry.polyhedron import PolygonFace, Polyhedron, stick_polyhedron
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import IDENTITY, Plane, Vector
from cutlist.geometry.stick import Cut, CutPlane, Stick, end_cut, notch
from cutlist.job import read_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.parts import Part, group_parts
from cutlist.tolerance import SAME_POINT

JOBS = sorted((Path(__file__).parents[2] / "fixtures").glob("*.toml"))

X, Y, Z = Vector(1, 0, 0), Vector(0, 1, 0), Vector(0, 0, 1)
T, D, L = 1.5, 7.25, 100.0

# The modeller lets corners move by 1e-12 of a body's size: here 1e-10, over a surface of 1750 under
# 2e-7 of a volume of 1087.
EXACT = 2e-10


def level(*cuts: Cut) -> Stick:
    """A stick whose own frame is the plan's."""
    return Stick.trimmed(thickness=T, depth=D, frame=IDENTITY, cuts=cuts)


def end(x: float, y: float = 0.0, z: float = 0.0, *, at: float) -> Cut:
    """An end cut whose plane crosses the middle of the section at a place along the stick."""
    return end_cut("end", Plane.through(Vector(at, D / 2, T / 2), Vector(x, y, z)))


def check_closed(polyhedron: Polyhedron) -> None:
    """Every edge serves two faces, once each way; Euler's V - E + F = 2; every face is flat."""
    edges = Counter(edge for face in polyhedron.faces for edge in face.edges)
    assert set(edges.values()) == {1}
    assert all((b, a) in edges for a, b in edges)
    assert len(polyhedron.points) - len(edges) // 2 + len(polyhedron.faces) == 2
    for a, b in edges:
        assert (polyhedron.points[a] - polyhedron.points[b]).length() > SAME_POINT
    for face in polyhedron.faces:
        for i in face.corners:
            assert abs(face.plane.distance(polyhedron.points[i])) < 1e-9


def names(polyhedron: Polyhedron) -> Counter[str]:
    return Counter(face.name for face in polyhedron.faces)


def seen(polyhedron: Polyhedron, face: PolygonFace) -> Polygon:
    """A wide face as seen from the near side."""
    return Polygon([(polyhedron.points[i].x, polyhedron.points[i].y) for i in face.corners])


@pytest.fixture(scope="module", params=JOBS, ids=lambda path: path.stem)
def parts(request: pytest.FixtureRequest) -> tuple[Part, ...]:
    return group_parts(frame_roof(read_job(request.param)).members)


def test_box() -> None:
    box = stick_polyhedron(level(end(-1, at=0), end(1, at=L)))
    check_closed(box)
    assert names(box) == {"end": 2, "near": 1, "far": 1, "top": 1, "bottom": 1}
    assert len(box.points) == 8
    assert all(len(face.corners) == 4 for face in box.faces)
    assert box.volume == pytest.approx(T * D * L, rel=EXACT)


def test_birdsmouth_makes_wide_faces_with_a_hollow() -> None:
    # A seat 2 long and a heel 3 high, both through the whole thickness.
    cut = notch(seat=Plane.through(Vector(0, 3, 0), -Y), heel=Plane.through(Vector(20, 0, 0), X))
    end_at_22 = Plane.through(Vector(22, 0, 0), -X)
    both = Cut((*cut.planes, CutPlane("heel", end_at_22)))
    polyhedron = stick_polyhedron(level(end(-1, at=0), end(1, at=L), both))
    check_closed(polyhedron)
    assert names(polyhedron) == {
        **{"end": 2, "near": 1, "far": 1, "top": 1},
        **{"bottom": 2, "seat": 1, "heel": 2},
    }
    corners = {face.name: len(face.corners) for face in polyhedron.faces}
    assert corners["near"] == corners["far"] == 8
    assert polyhedron.volume == pytest.approx(T * (D * L - 2 * 3), rel=EXACT)


slants = st.floats(-1.0, 1.0)


@given(slants, slants, slants, slants)
def test_compound_ends(head_y: float, head_z: float, foot_y: float, foot_z: float) -> None:
    # A prism cut by slanting planes is as long as the line through its centroid (Pappus).
    stick = level(end(-1, foot_y, foot_z, at=0), end(1, head_y, head_z, at=L))
    polyhedron = stick_polyhedron(stick)
    check_closed(polyhedron)
    assert len(polyhedron.faces) == 6
    assert polyhedron.volume == pytest.approx(T * D * L, rel=EXACT)


@given(slants, st.floats(0.05, 2.0), st.floats(0.05, 1.0))
def test_double_cheeks_and_backing(miter: float, cheek: float, rise: float) -> None:
    """Four planes meet in one point, at the middle of the top edge: the hip's peak."""
    peak = Vector(L, D, T / 2)
    cheeks = [
        end_cut("cheek", Plane.through(peak, Vector(1, miter, side * cheek))) for side in (1, -1)
    ]
    bevels = [
        end_cut("backing", Plane.through(peak, Vector(0, 1, side * rise))) for side in (1, -1)
    ]
    stick = level(end(-1, at=0), *cheeks, *bevels)
    polyhedron = stick_polyhedron(stick)
    check_closed(polyhedron)
    assert names(polyhedron) == {
        **{"end": 1, "cheek": 2, "backing": 2},
        **{"near": 1, "far": 1, "bottom": 1},
    }
    # Under the bevels the depth at w from the middle is D - rise w, and the length at y is
    # L + miter (D - y) - cheek w. Integrated over y, then over w from 0 to T/2, twice.
    h = T / 2

    def integral(a: float, b: float, c: float) -> float:
        return a * h + b * h**2 / 2 + c * h**3 / 3

    # Mean length at w is L + miter D - cheek w - miter (D - rise w) / 2.
    start, change = L + miter * D / 2, miter * rise / 2 - cheek
    volume = 2 * integral(D * start, D * change - rise * start, -rise * change)
    assert polyhedron.volume == pytest.approx(volume, rel=EXACT)


@given(st.floats(0.5, 3.0), st.floats(10.0, 60.0))
def test_seat_on_a_corner(height: float, at: float) -> None:
    corner = Vector(at, height, T / 2)
    cut = Cut(
        (
            CutPlane("seat", Plane.through(corner, -Y)),
            CutPlane("heel", Plane.through(corner, Vector(1, 0, 1))),
            CutPlane("heel", Plane.through(corner, Vector(1, 0, -1))),
        )
    )
    polyhedron = stick_polyhedron(level(end(-1, at=0), end(1, at=L), cut))
    check_closed(polyhedron)
    assert names(polyhedron)["heel"] == 2
    assert names(polyhedron)["seat"] == 1
    removed = height * T * (L - at - T / 4)
    assert polyhedron.volume == pytest.approx(T * D * L - removed, rel=EXACT)


def test_parts_of_every_demo_job_are_closed_and_as_large_as_their_solids(
    parts: tuple[Part, ...],
) -> None:
    for part in parts:
        polyhedron = stick_polyhedron(part.stick)
        check_closed(polyhedron)
        assert polyhedron.volume == pytest.approx(stick_solid(part.stick).volume, rel=EXACT)


def test_wide_faces_are_the_outlines(parts: tuple[Part, ...]) -> None:
    """Outlines are cut in the plane by shapely, faces in space by another modeller."""
    for part in parts:
        polyhedron = stick_polyhedron(part.stick)
        for name, outline in (("near", part.stick.near), ("far", part.stick.far)):
            (face,) = (f for f in polyhedron.faces if f.name == name)
            outer = seen(polyhedron, face)
            assert len(face.corners) == len(outline.points)
            assert outer.symmetric_difference(outline.polygon).area < 1e-6
            assert outer.exterior.is_ccw == (name == "near")


def test_faces_are_named_by_their_cuts(parts: tuple[Part, ...]) -> None:
    for part in parts:
        edges = {name for outline in part.stick.outlines for name in outline.edges}
        found = set(names(stick_polyhedron(part.stick)))
        assert found <= edges | {"near", "far"}
        # The peak of a backed hip is an edge in space, named in an outline by one of its planes.
        assert edges - found <= ({"top"} if "backing" in found else set())


def test_place_in_the_plan_changes_nothing(parts: tuple[Part, ...]) -> None:
    for part in parts:
        there = stick_polyhedron(part.stick)
        here = stick_polyhedron(replace(part.stick, frame=IDENTITY))
        assert there == here


def test_a_pocket_is_refused() -> None:
    """A notch that opens to the near face alone leaves a hole in that face."""
    depth = CutPlane("pocket", Plane.through(Vector(0, 0, T / 2), Z))
    walls = [
        CutPlane("wall", Plane.through(Vector(*at), normal))
        for at, normal in (((40, 0, 0), X), ((60, 0, 0), -X), ((0, 2, 0), Y), ((0, 4, 0), -Y))
    ]
    cuts = (end(-1, at=0), end(1, at=L), Cut((depth, *walls)))
    stick = Stick(thickness=T, depth=D, frame=IDENTITY, cuts=cuts)
    with pytest.raises(GeometryError, match="near of a stick has a hole"):
        stick_polyhedron(stick)


def test_hypotenuse_of_a_miter_is_one_face_with_its_own_plane() -> None:
    polyhedron = stick_polyhedron(level(end(-1, at=0), end(1, 1, 0, at=L)))
    head = max((f for f in polyhedron.faces if f.name == "end"), key=lambda f: f.plane.normal.x)
    assert head.plane.normal.y == pytest.approx(1 / sqrt(2))
    a, b, c = (polyhedron.points[i] for i in head.corners[:3])
    assert (b - a).cross(c - b).dot(head.plane.normal) > 0
    assert sorted(((b - a).length(), (c - b).length())) == pytest.approx([T, D * sqrt(2)])
