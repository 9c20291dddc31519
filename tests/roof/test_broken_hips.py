"""Broken hips: a narrower wing in line with a hip end, as framed."""

from __future__ import annotations

from math import hypot, sqrt

import pytest

from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.hips import corners, face, hip_rafter, members
from tests.jobs import Tables, changed, roof_of
from tests.wings import ELL, FLUSH, with_wing

SLOPE = hypot(1.0, 0.5 / sqrt(2))
"""Length of a hip or valley of 6 in 12 for each unit of its run in plan."""


def landings(member: Member, end: str) -> list[tuple[tuple[str, ...], float]]:
    """Return what each cut of an end lies against, with its blade tilt in whole degrees."""
    planes = member.stick.end_planes("head" if end == "head" else "foot")
    return sorted((p.against, round(abs(p.tilt))) for p in planes)


def valley(roof: Roof) -> Member:
    (found,) = members(roof, "valley")
    return found


def wing_ridge(roof: Roof) -> Member:
    return max(members(roof, "ridge", "wing 1 ridge"), key=lambda m: corners(m)[-1].y)


def test_the_hip_lands_on_the_ridge_and_the_valley_between_both() -> None:
    """Between equal pitches ridge, hip and valley stand at 45 and at 90 degrees to each other."""
    roof = roof_of(FLUSH)
    assert landings(hip_rafter(roof, "near right hip"), "foot") == [(("wing 1 ridge",), 45)]
    assert landings(valley(roof), "head") == [(("near right hip",), 0), (("wing 1 ridge",), 45)]


@pytest.mark.parametrize("span", [10, 16, 20])
def test_lengths_follow_from_the_difference_of_spans(span: int) -> None:
    """The common run of hip and valley is the roof's, so that together they make a whole hip."""
    roof = roof_of(with_wing(FLUSH, {"span": f"{span}ft"}))
    hip, whole = hip_rafter(roof, "near right hip"), hip_rafter(roof, "far right hip")
    # Its foot is half the ridge's thickness off the point, its head half the commons'; at 45 deg.
    run = (24 - span) / 2 * 12 * sqrt(2)
    assert hip.line_length == pytest.approx((run - 2 * 0.75 * sqrt(2)) * SLOPE, abs=1e-6)
    assert hip.line_length + 0.75 * sqrt(2) * SLOPE + span / 2 * 12 * sqrt(
        2
    ) * SLOPE == pytest.approx(whole.line_length, abs=1e-6)
    at_mid = span / 2 * 12 * sqrt(2) - 0.75 * sqrt(2)
    assert valley(roof).line_length == pytest.approx(at_mid * SLOPE, abs=1e-6)


def test_the_ridge_ends_in_one_plane_with_the_hips_side() -> None:
    roof = roof_of(FLUSH)
    ridge, hip = wing_ridge(roof), hip_rafter(roof, "near right hip")
    (cut,) = ridge.stick.end_planes("head")
    assert abs(cut.tilt) == pytest.approx(45)
    plane = ridge.stick.frame.plane_outward(cut.plane)
    sides = [hip.stick.frame.outward(Vector(100.0, 4.0, z)) for z in (0.0, hip.stick.thickness)]
    assert min(abs(plane.distance(point)) for point in sides) == pytest.approx(0, abs=1e-9)
    # From the gable's overhang, past the wall line by half the span, and as far past that point.
    past = 0.75 * sqrt(2) + 0.75
    (length,) = [m.value for m in roof.measures if m.name == "wing 1 ridge length"]
    assert length == pytest.approx((16 + 1 + 8) * 12 + past)


def test_the_slope_of_both_has_one_plate_and_rafters_on_both_lines() -> None:
    """Its rafters come up to the wing's ridge, to its end under the hip, and to the hip."""
    roof = roof_of(changed(FLUSH, {"rafter.spacing": 15.5}))
    slope = face(roof, "right")
    assert slope.length == pytest.approx((24 + 16) * 12)
    heads = {
        p.against[0]
        for m in roof.members
        if m.line == "right" and m.role != "barge"
        for p in m.stick.end_planes("head")
    }
    assert {"wing 1 ridge", "near right hip", "far right hip"} <= heads


def test_jacks_are_laid_out_from_the_point_of_the_hips_foot() -> None:
    """The first mark on each side is where the tape comes to the jack's middle."""
    roof = roof_of(FLUSH)
    hip = hip_rafter(roof, "near right hip")
    tip = min(
        hip.stick.frame.outward(Vector(x, y, z)).y
        for z, outline in hip.stick.levels
        for x, y in outline.points
    )
    marks = [mark for mark in roof.marks if mark.line == "near right hip, right side"]
    assert marks
    for mark in marks:
        # Both run at 45 degrees in plan: the jack's middle comes to the hip's side.
        station = mark.member.station
        at = face(roof, "right").point(station, 0.0, 0.0).y
        side = 0.75 * sqrt(2)
        assert mark.center == pytest.approx((at - side / 2 - tip - side / 2) * sqrt(2) * SLOPE)


MIRRORED = {
    "near right": {"at": ["40ft", "-16ft"], "turn": 90},
    "far right": {"at": ["24ft", "40ft"], "turn": 270},
    "near left": {"at": ["16ft", "-16ft"], "turn": 90},
    "far left": {"at": ["0ft", "40ft"], "turn": 270},
}


@pytest.mark.parametrize("corner", list(MIRRORED))
def test_a_wing_at_any_corner_has_the_same_parts(corner: str) -> None:
    both = changed(FLUSH, {"roof.ends": ["hip", "hip"], "roof.rake_overhang": None})

    def lengths(where: str) -> list[tuple[str, float, float]]:
        roof = roof_of(with_wing(both, MIRRORED[where]))
        return sorted(
            (m.role, round(m.stick.length, 3), round(m.line_length, 3))
            for m in roof.members
            if m.role in ("hip", "valley")
        )

    assert lengths(corner) == lengths("near right")


def test_two_wings_break_two_hips_of_one_end() -> None:
    near = FLUSH["wing"][0]
    far = {**near, "span": "12ft", "at": ["28ft", "36ft"], "length": "12ft", "turn": 270}
    roof = roof_of(changed(FLUSH, {"wing": [near, far]}))
    for hip, ridge in (("near right hip", "wing 1 ridge"), ("far right hip", "wing 2 ridge")):
        assert landings(hip_rafter(roof, hip), "foot") == [((ridge,), 45)]
    assert face(roof, "right").length == pytest.approx((24 + 16 + 12) * 12)


def refusal(tables: Tables) -> str:
    with pytest.raises(JobError) as caught:
        roof_of(tables)
    (problem,) = caught.value.problems
    return problem


def test_a_hip_too_short_for_its_cuts_is_refused_with_its_place() -> None:
    told = refusal(with_wing(FLUSH, {"span": "23ft 6in"}))
    assert told.startswith("wing: the near right hip would run from (28' 3\", 11' 9\") to ")
    assert "make the wing narrower, or as wide as the roof" in told


def test_a_hip_in_line_with_the_ridge_is_refused_with_its_place() -> None:
    """An end so steep, and the roof so flat, that the hip hardly leaves the ridge's direction."""
    steep = changed(FLUSH, {"roof.pitch": "2/12", "roof.end_pitch": "11/12", "rafter.size": "2x12"})
    told = refusal(with_wing(steep, {"pitch": "11/12", "far_pitch": "4/12", "span": "6ft"}))
    assert "the near right hip and the wing 1 ridge run nearly in one line" in told


def test_a_laid_wing_in_line_with_a_hip_end_is_refused_with_a_way_out() -> None:
    laid = changed(FLUSH, {"valley.kind": "overlay", "valley.sheathing": 0.5})
    told = refusal(laid)
    assert told.startswith("wing: the hip between the near and right slopes ends at (")
    assert 'or frame its valleys (valley.kind = "framed")' in told


def test_without_an_end_in_line_the_hip_is_whole() -> None:
    assert all(m.heel_line for m in members(roof_of(ELL), "hip"))
