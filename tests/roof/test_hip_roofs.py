"""What holds of every hip roof: tops in their faces, lengths, hands, spacings, fascias."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutlist.geometry.space import ORIGIN, Vector
from cutlist.roof.parts import group_parts
from cutlist.roof.roof import Roof
from tests.hips import (
    HIP,
    apex,
    corners,
    face,
    framed_or_passed,
    hip_rafter,
    hip_tables,
    measure,
    members,
    plumb_above,
    top_corners,
)
from tests.jobs import Tables, changed, roof_of

ANY = settings(deadline=None, max_examples=60)
HIPPED = st.sampled_from([("hip", "hip")])


@ANY
@given(hip_tables(tops=("drop",)))
def test_both_edges_of_an_unbacked_hip_lie_in_the_faces(tables: Tables) -> None:
    _, roof = framed_or_passed(tables)
    for hip in members(roof, "hip"):
        planes = [face(roof, name).plane for name in hip.faces]
        for z, outline in ((0.0, hip.stick.far), (hip.stick.thickness, hip.stick.near)):
            edge = [
                hip.stick.frame.outward(Vector(x, y, z))
                for segment in outline.segments("top")
                for x, y in segment
            ]
            assert edge
            # Each edge lies in one face all along, and under the other.
            heights = [[plane.distance(point) for point in edge] for plane in planes]
            assert min(max(map(abs, h)) for h in heights) < 1e-6
            assert max(max(h) for h in heights) < 1e-6


@ANY
@given(hip_tables(tops=("back",)))
def test_a_backed_hip_lies_in_both_faces(tables: Tables) -> None:
    _, roof = framed_or_passed(tables)
    for hip in members(roof, "hip"):
        planes = [face(roof, name).plane for name in hip.faces]
        points = list(top_corners(hip))
        for point in points:
            assert max(plane.distance(point) for plane in planes) == pytest.approx(0, abs=1e-6)
        # The middle of the stick is the line itself, its whole depth under it.
        for segment in hip.stick.middle.segments("backing"):
            assert [y for _, y in segment] == pytest.approx([hip.stick.depth] * 2)


@ANY
@given(hip_tables())
def test_nothing_stands_above_the_roof(tables: Tables) -> None:
    """No member stands above any slope but, at the hips' top, by what is told to be planed off."""
    _, roof = framed_or_passed(tables)
    planes = [f.plane for f in roof.faces]
    proud = next((m.value for m in roof.measures if m.name.startswith("to plane off")), 0.0)
    found = 0.0
    for member in roof.members:
        above = max(plumb_above(plane, p) for plane in planes for p in corners(member))
        if member.role in ("hip", "hip-jack", "barge"):
            assert above < 1e-6
        found = max(found, above)
    assert found == pytest.approx(proud, abs=1e-6)


def test_corners_at_the_top_of_a_point() -> None:
    """Two commons meet in a point; their corners, half a thickness aside, stand above the ends."""
    roof = roof_of(HIP, {"roof.length": "20ft", "ridge": {"kind": "none"}})
    assert measure(roof, "to plane off corners at the hips' tops, plumb") == pytest.approx(
        0.75 * 8 / 12
    )


@ANY
@given(hip_tables())
def test_tops_reach_their_faces(tables: Tables) -> None:
    """Commons, jacks and barges lie in their own face with the whole width of their tops."""
    _, roof = framed_or_passed(tables)
    for member in roof.members:
        if member.role in ("common", "hip-jack", "barge"):
            plane = face(roof, member.line).plane
            assert max(abs(plane.distance(p)) for p in top_corners(member)) < 1e-6


@ANY
@given(hip_tables(ends=HIPPED))
def test_tails_line_up_with_both_fascias(tables: Tables) -> None:
    """No tail, a hip's least of all, reaches past a fascia, and each comes out to it."""
    _, roof = framed_or_passed(tables)
    for member in roof.members:
        if member.role == "ridge":
            continue
        for name in member.faces:
            slope = face(roof, name)
            out = min(slope.run(p) for p in corners(member))
            assert out == pytest.approx(-slope.overhang, abs=1e-6)
    eaves = [f.height_above_plate - f.overhang * f.pitch for f in roof.faces]
    assert eaves == pytest.approx([eaves[0]] * 4)


@ANY
@given(hip_tables(ends=HIPPED))
def test_one_height_above_plate_around_the_corner(tables: Tables) -> None:
    _, roof = framed_or_passed(tables)
    height = face(roof, "near").height_above_plate
    for member in roof.members:
        if member.role in ("common", "hip-jack"):
            assert member.height_above_plate == pytest.approx(height)


@ANY
@given(hip_tables(ends=HIPPED))
def test_ridge_length(tables: Tables) -> None:
    """The run of both ends is taken off the length, and the last commons' thickness added."""
    job, roof = framed_or_passed(tables)
    ridges = members(roof, "ridge")
    assume(ridges)
    runs = sum(face(roof, end).run(apex(roof, end)) for end in ("left", "right"))
    length = job.roof.length - runs + job.rafter.size.thickness
    assert measure(roof, "ridge length") == pytest.approx(length)
    assert sum(m.stick.length for m in ridges) == pytest.approx(length)


@ANY
@given(hip_tables())
def test_spacing_is_never_exceeded(tables: Tables) -> None:
    """From centre to centre; a rafter whose place falls inside the last is left to that."""
    job, roof = framed_or_passed(changed(tables, {"hip.shortest_jack": 0}))
    limit = job.rafter.spacing + job.rafter.size.thickness
    for slope in roof.faces:
        stations = [m.station for m in roof.members if m.line == slope.name and m.heel_line]
        stations = [s for s in stations if 0 <= s <= slope.length]
        gaps = [b - a for a, b in pairwise(sorted(stations))]
        assert max(gaps, default=0.0) < limit
        assert min(gaps, default=job.rafter.spacing) >= job.rafter.size.thickness - 1e-6


@ANY
@given(hip_tables(ends=HIPPED, regular=True))
def test_hands_come_in_mirrored_pairs_of_equal_count(tables: Tables) -> None:
    """With equal ends, each left-hand part has a right-hand twin, made as often."""
    _, roof = framed_or_passed(changed(tables, {"roof.far_pitch": None}))
    parts = {part.mark: part for part in group_parts(roof.members)}
    handed = [part for part in parts.values() if part.hand]
    assert any(part.role == "hip-jack" for part in handed)
    for part in handed:
        twin = parts[part.mark[:-1] + ("R" if part.hand == "left" else "L")]
        assert twin.hand != part.hand
        assert twin.count == part.count
    # A regular hip is alike on both sides, and so has no hand: one shape for all four corners.
    hips = [part for part in parts.values() if part.role == "hip"]
    assert [(part.hand, part.count) for part in hips] == [("", 4)]


@ANY
@given(hip_tables(ends=HIPPED, regular=False))
def test_unequal_hips_are_two_pairs_at_most(tables: Tables) -> None:
    _, roof = framed_or_passed(changed(tables, {"roof.far_pitch": None}))
    hips = [part for part in group_parts(roof.members) if part.role == "hip"]
    assert sum(part.count for part in hips) == 4
    assert sorted(part.hand for part in hips) in ([""], ["left", "right"])


def test_a_short_ridge_is_not_left_open_where_both_places_on_it_are_taken() -> None:
    """115 and 138 in from the corner fall inside the last commons, which stand at 114 and 139."""
    changes = {"roof.span": "19ft", "roof.length": "21ft 1in", "rafter.spacing": 23}
    roof = roof_of(HIP, changes | {"hip.jacks_from": "corner"})
    stations = sorted(m.station for m in members(roof, "common", "near"))
    assert stations == pytest.approx([114, 126.5, 139])


def test_hip_rafter_stands_on_the_corner_of_the_plates() -> None:
    hip = hip_rafter(roof_of(HIP))
    (notch,) = hip.notches
    heel = next(p for p in hip.stick.planes("heel"))
    plane = hip.stick.frame.plane_outward(heel.plane)
    # The heel's plane goes through the corner and nowhere over the plates: no clip is needed.
    assert plane.distance(ORIGIN) == pytest.approx(0, abs=1e-9)
    assert abs(plane.normal.z) < 1e-9
    assert notch.seat == pytest.approx(
        (hip.stick.depth / hip.stick.frame.y.z - (hip.height_above_plate or 0.0))
        * hip.stick.frame.y.z
        / hip.stick.frame.x.z
    )


@pytest.mark.parametrize("tail", ["plumb", "square", "level", "plumb-level"])
def test_hip_tail_of_each_kind_comes_to_the_corner_of_the_fascias(tail: str) -> None:
    extra = {"rafter.tail_height": 4} if tail == "plumb-level" else {}
    roof: Roof = roof_of(HIP, {"rafter.tail": tail, "roof.overhang": 16, **extra})
    hip = hip_rafter(roof)
    out = min(p.x for p in corners(hip)), min(p.y for p in corners(hip))
    assert out == pytest.approx((-16, -16))
    assert hip.foot_cut == tail
    assert len(hip.stick.planes(tail.split("-")[0])) >= (1 if tail == "level" else 2)
