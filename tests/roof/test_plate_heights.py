"""Roofs that meet over plates of two heights: one fascia, and valleys over one plate or both."""

from __future__ import annotations

import re

import pytest

from cutlist.checks.fit import fit
from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.hips import corners, face, members
from tests.jobs import case_of, changed, roof_of
from tests.wings import ELL, EQUAL_TEE, TEE, with_wing

FLOOR = changed(TEE, {"roof.plate_height": "8ft"})


def raised(inches: float, **changes: object) -> Roof:
    """Return the tee with the wing's plate so much higher than the roof's."""
    return roof_of(with_wing(FLOOR, {"plate_height": 96 + inches, **changes}))


def seats(member: Member) -> list[tuple[tuple[str, ...], float]]:
    """Return what each notch lies on, and the height of its seat above the first plate."""
    return [
        (cut.planes[0].against, -member.stick.frame.plane_outward(cut.planes[0].plane).offset)
        for cut in member.stick.notches
    ]


def valley(roof: Roof, side: str) -> Member:
    (found,) = members(roof, "valley", f"near wing 1 {side} valley")
    return found


@pytest.mark.parametrize("inches", [-6, -3, 3])
def test_the_fascia_is_level(inches: float) -> None:
    """The overhang follows: (12 in x 6/12 + step) / pitch, the step being the plates'."""
    roof = raised(inches, pitch="8/12")
    near, wing = face(roof, "near"), face(roof, "wing 1 near")
    assert wing.corner.z == inches
    assert wing.overhang == pytest.approx((12 * 6 / 12 + inches) / (8 / 12))
    tops = [f.corner.z + f.top(-f.overhang) for f in (near, wing)]
    assert tops[0] == pytest.approx(tops[1], abs=1e-9)


def test_plates_at_one_height_are_as_if_left_out() -> None:
    same = with_wing(FLOOR, {"plate_height": "8ft"})
    assert [m.stick for m in roof_of(same).members] == [m.stick for m in roof_of(FLOOR).members]


@pytest.mark.parametrize("side", ["near", "far"])
def test_a_valley_comes_over_the_lower_plate_first(side: str) -> None:
    """A plate 6 in lower under slopes of 6 in 12: a valley is over it 12 in outside the other."""
    roof = raised(-6)
    member = valley(roof, side)
    (low, _), (high, _) = seats(member)
    assert (low, high) == ((f"wing 1 {side} plate",), ("near plate",))
    assert [z for _, z in seats(member)] == pytest.approx([-6, 0])
    wall = face(roof, f"wing 1 {side}")
    assert member.heel_line is not None
    at_wall = Vector(wall.corner.x, -12.0, 0.0)
    assert member.heel_line.distance(at_wall) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("inches", "plate"), [(-6, "wing 1 near plate"), (6, "near plate")])
def test_a_valley_at_an_open_mouth_lies_on_one_plate(inches: float, plate: str) -> None:
    member = valley(raised(inches, open=True), "near")
    assert seats(member)[0] == ((plate,), pytest.approx(min(inches, 0)))
    case = case_of(with_wing(FLOOR, {"plate_height": 96 + inches, "open": True}))
    bearing = next(b for b in case.roof.bearings if b.member.line == member.line)
    assert bearing.support == plate
    assert bearing.on_plate >= 1.5


def test_a_rafter_comes_down_to_a_valley_inside_an_open_mouth() -> None:
    """Past the higher plate's end rafters of its slope go on to the valley, without a heel."""
    roof = raised(-6, open=True, at=["28ft 8in", "-12ft"])
    inside = [
        m
        for m in roof.members
        if m.line == "near" and m.role == "valley-jack" and min(c.y for c in corners(m)) < -1
    ]
    # The walls are 8 in from marks 16 in apart, the valleys 12 in.
    assert [m.station for m in inside] == [160, 336]
    assert all(m.heel_line is None for m in inside)


@pytest.mark.parametrize("is_open", [False, True])
@pytest.mark.parametrize("base", [TEE, EQUAL_TEE])
@pytest.mark.parametrize("step", [-6, -1 / 16, 1 / 16, 1, 6, 20])
def test_roofs_over_two_plate_heights_fit(base: object, step: float, is_open: bool) -> None:
    wing = {"plate_height": 96 + step, "open": is_open}
    if base is EQUAL_TEE:
        # As wide as the roof: steeper or flatter, so that the ridges are at one height.
        wing["pitch"] = f"{(72 - step) / 1.44}%"
    tables = with_wing(changed(base, {"roof.plate_height": "8ft"}), wing)  # type: ignore[arg-type]
    case = case_of(tables)
    assert [f for f in fit(case) if f.result != "pass"] == []
    assert sorted({f.corner.z for f in case.roof.faces}) == pytest.approx(sorted([0.0, step]))


def test_one_plane_over_two_plates_is_refused_with_its_place() -> None:
    """6 in 12: a wall 2 ft further in, its plate 1 ft higher, carries on the slope of the end."""
    tables = with_wing(
        changed(ELL, {"roof.plate_height": "8ft"}),
        {"at": ["38ft", "-10ft"], "length": "10ft", "span": "16ft", "plate_height": "9ft"},
    )
    with pytest.raises(JobError) as caught:
        roof_of(tables)
    (problem,) = caught.value.problems
    assert re.fullmatch(
        r"wing: the right and wing 1 near slopes lie in one plane at \(3\d' .*\), over plates of "
        "two heights, where one slope is framed over one; give both one plate_height and their "
        "walls one line, or move the wing",
        problem,
    )
    roof_of(with_wing(tables, {"plate_height": "8ft", "at": ["40ft", "-10ft"], "span": "24ft"}))
