"""The faces drawn of a stick close a solid of the right volume, whatever way it is cut."""

from __future__ import annotations

from collections import Counter
from contextlib import suppress
from itertools import combinations, pairwise
from math import cos, radians, sin
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.build import Build
from cutlist.export.draw_part import draw_part
from cutlist.export.dxf import dxf_bytes
from cutlist.export.dxf_solid import facets
from cutlist.geometry.outline import Outline
from cutlist.geometry.space import ACROSS, ORIGIN, UP, Frame, Plane, Vector, meet
from cutlist.geometry.stick import Stick, end_cut, notch
from cutlist.lumber import Size
from cutlist.roof.member import Member
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE
from tests.export.reading import by_layer, doubled

X = Vector(1.0, 0.0, 0.0)


def _stick(*planes: tuple[Vector, Vector], notched: bool = True) -> Stick:
    """A 2x8 on edge, from x = 0 to about 100, trimmed at the head by planes of its own frame."""
    frame = Frame.along(ORIGIN, X, UP)

    def plane(point: Vector, normal: Vector) -> Plane:
        return frame.plane_outward(Plane.through(point, normal))

    cuts = [end_cut("plumb", plane(point, normal)) for point, normal in planes]
    cuts.append(end_cut("square", plane(ORIGIN, -X)))
    if notched:
        seat = plane(Vector(20.0, 1.4, 0.0), Vector(-0.4, -0.9, 0.0))
        heel = plane(Vector(20.0, 1.4, 0.0), Vector(0.9, -0.4, 0.0))
        cuts.append(notch(seat=seat, heel=heel))
    return Stick.trimmed(thickness=1.5, depth=7.25, frame=frame, cuts=cuts)


def _volume(stick: Stick) -> float:
    """Volume by the divergence theorem: a sixth of the sum of corner triple products."""
    total = 0.0
    for first, *rest in facets(stick):
        for a, b in pairwise(rest):
            total += first.dot(a.cross(b)) / 6
    return total


def _open_edges(stick: Stick) -> list[object]:
    """Edges that are not walked once in each direction; a closed solid has none."""

    def key(p: Vector) -> tuple[float, float, float]:
        return (round(p.x, 6) + 0.0, round(p.y, 6) + 0.0, round(p.z, 6) + 0.0)

    walked = Counter(
        (key(start), key(end))
        for facet in facets(stick)
        for start, end in zip(facet, (*facet[1:], facet[0]), strict=True)
    )
    return [edge for edge, times in walked.items() if walked[edge[::-1]] != times]


def _levels(stick: Stick) -> tuple[tuple[float, Outline], ...]:
    """Return the outlines between which every edge runs straight, each with its z, far face first.

    The solid's corners are where three of its planes meet, so its shape changes nowhere else.
    """
    found = [0.0, stick.thickness]
    if not stick.is_square_to_face:
        sawn = [p.plane for cut in stick.cuts for p in cut.planes]
        edges = [Plane(ACROSS, stick.depth), Plane(-ACROSS, 0.0)]
        for planes in combinations((*sawn, *edges), 3):
            # Parallel planes, or planes along one line, meet in no point.
            with suppress(ZeroDivisionError):
                corner = meet(*planes)
                if -ON_PLANE <= corner.x <= stick.length + ON_PLANE:
                    found.append(corner.z)
    inside = sorted(z for z in found if 0.0 <= z <= stick.thickness)
    apart = [z for i, z in enumerate(inside) if not i or z - inside[i - 1] > ON_PLANE]
    return tuple((z, stick.outline(z)) for z in apart)


def test_members_of_every_build_are_closed_solids(build: Build) -> None:
    for part in build.parts:
        stick = part.stick
        assert not _open_edges(stick)
        # Simpson's rule is exact here: between levels the outline's area is quadratic in z.
        volume = sum(
            (high - low)
            / 6
            * (
                below.polygon.area
                + 4 * stick.outline((low + high) / 2).polygon.area
                + above.polygon.area
            )
            for (low, below), (high, above) in pairwise(_levels(stick))
        )
        assert _volume(stick) == pytest.approx(volume)


@given(
    miter=st.floats(1, 60), tilt=st.floats(-60, 60), notched=st.booleans(), at=st.floats(60, 200)
)
def test_a_cheek_cut_has_the_mean_of_its_faces(
    miter: float, tilt: float, notched: bool, at: float
) -> None:
    m, t = radians(miter), radians(tilt)
    normal = Vector(cos(m) * cos(t), sin(m) * cos(t), sin(t))
    stick = _stick((Vector(at, 0.0, 0.0), normal), notched=notched)
    assert not _open_edges(stick)
    # The outline's area changes linearly through the thickness where one plane cuts the end.
    mean = (stick.near.polygon.area + stick.far.polygon.area) / 2
    assert _volume(stick) == pytest.approx(mean * stick.thickness)


def test_a_double_cheek_comes_to_a_point() -> None:
    # Two plumb faces at 45 degrees meet at mid-thickness, at x = 100: a wedge 0.75 long is left of
    # each half, so the solid is the square-ended one to 100 less two wedges.
    tip = Vector(100.0, 0.0, 0.75)
    stick = _stick((tip, X + UP), (tip, X - UP), notched=False)
    assert len(_levels(stick)) == 3
    assert not _open_edges(stick)
    assert _volume(stick) == pytest.approx(7.25 * (100 * 1.5 - 0.75 * 0.75))


def test_the_far_face_is_drawn_where_it_differs(gable: Build, tmp_path: Path) -> None:
    tilted = _stick((Vector(100.0, 0.0, 0.0), Vector(1.0, 0.4, 0.5)))
    member = Member(
        role="common",
        size=Size("2x8", 1.5, 7.25),
        stick=tilted,
        line="near",
        station=0.0,
        head_cut="plumb",
        foot_cut="square",
        faces=("near",),
    )
    path = tmp_path / "J1L.dxf"
    part = Part(mark="J1L", hand="left", members=(member,))
    path.write_bytes(dxf_bytes(draw_part(gable, part)))
    layers = by_layer(path)
    assert len(layers["OUTLINE"]) == 1
    assert not doubled([shape for layer in layers.values() for shape in layer])
    # At z = 0 the head's plane stands at x = 100 on the bottom edge and 0.4 of the depth less on
    # the top; the near face is half the thickness shorter, its top edge within this one's.
    ends = {(round(x, 3), round(y, 3)) for far in layers["FAR"] for x, y, *_ in far.coords}
    assert {(100.0, 0.0), (97.1, 7.25)} <= ends
    assert len(layers["FAR"]) == 3, "the end, and both edges beyond the near face"
