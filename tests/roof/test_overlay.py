"""Wings laid on the finished slope of the first roof: what lies where, by closed forms."""

from __future__ import annotations

from itertools import pairwise
from math import acos, atan, degrees, hypot, sqrt, tan

import pytest

from cutlist.checks.fit import fit
from cutlist.errors import JobError
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import Vector
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.hips import face, members
from tests.jobs import Tables, case_of, changed, roof_of
from tests.wings import CROSS, ELL, EQUAL_TEE, HIPPED, TEE, with_wing

PLATE, SHEATHING = 1.5, 0.5
LAID: Tables = changed(TEE, {"valley": {"size": "2x8", "kind": "overlay", "sheathing": SHEATHING}})
STEEP = with_wing(LAID, {"pitch": "9/12"})


def laid(base: Tables) -> Tables:
    return changed(base, {"valley": LAID["valley"]})


def foot(member: Member) -> tuple[float, float]:
    """Return miter and blade tilt of a foot [deg]."""
    (plane,) = member.stick.end_planes("foot")
    return plane.miter, plane.tilt


def jacks(roof: Roof, slope: str) -> list[Member]:
    return sorted(members(roof, "valley-jack", slope), key=lambda jack: jack.line_length)


@pytest.mark.parametrize(("tables", "pitch"), [(LAID, 0.5), (STEEP, 0.75)])
def test_jacks_stand_on_the_plate(tables: Tables, pitch: float) -> None:
    """A foot is level along its own slope, its blade tilted by the slope that it stands on.

    From one jack to the next the line of the slopes comes 16 in x 6/12 / pitch nearer.
    """
    roof = roof_of(tables)
    for slope in ("wing 1 near", "wing 1 far"):
        found = jacks(roof, slope)
        assert len(found) >= 3
        for jack in found:
            (plane,) = jack.stick.end_planes("foot")
            assert plane.against == (f"near {slope} valley",)
            assert foot(jack) == pytest.approx((90 - degrees(atan(pitch)), degrees(atan(0.5))))
            assert (jack.heel_line, jack.foot_cut) == (None, "slope")
        step = 16 * 0.5 / pitch * hypot(1, pitch)
        for short, long in pairwise(found):
            assert long.line_length - short.line_length == pytest.approx(step)


@pytest.mark.parametrize(("tables", "pitch"), [(LAID, 0.5), (STEEP, 0.75)])
def test_the_plate_is_set_back_under_the_wing(tables: Tables, pitch: float) -> None:
    """Its edge is over the sheathing by its thickness, that over tan(a) from the line on there.

    The slopes' planes are at the angle a: cos a = 1 / (sqrt(1 + p^2) sqrt(1 + q^2)).
    """
    roof = roof_of(tables)
    angle = acos(1 / (hypot(1, 0.5) * hypot(1, pitch)))
    backs = [
        m.value for m in roof.measures if m.name.endswith("where the slope meets the sheathing")
    ]
    assert backs == pytest.approx([PLATE / tan(angle)] * 2)
    for side in ("near", "far"):
        (plate,) = members(roof, "valley-plate", f"near wing 1 {side} valley")
        host, over = face(roof, "near").plane, face(roof, f"wing 1 {side}").plane
        corners = [Vector(*c) for c in stick_solid(plate.stick).corners.reshape(-1, 3).tolist()]
        heights = sorted({round(host.distance(c), 9) for c in corners})
        assert heights == pytest.approx([SHEATHING, SHEATHING + PLATE])
        assert max(over.distance(c) for c in corners) == pytest.approx(0, abs=1e-9)


def test_plates_are_a_pair() -> None:
    case = case_of(LAID)
    marks = {p.mark: p.hand for p in case.parts if p.role == "valley-plate"}
    assert sorted(marks) == ["VP1L", "VP1R"]


def test_the_ridge_ends_on_the_sheathing() -> None:
    """Cut to the slope: from square by 90 degrees less the slope, without tilt.

    The length that is told is its own, not that of the line over it.
    """
    roof = roof_of(LAID)
    boards = members(roof, "ridge", "wing 1 ridge")
    (told,) = [m.value for m in roof.measures if m.name == "wing 1 ridge length"]
    assert told == pytest.approx(sum(board.stick.length for board in boards))
    (ridge,) = [board for board in boards if board.head_cut == "slope"]
    (plane,) = ridge.stick.end_planes("head")
    assert plane.against == ("near sheathing",)
    assert plane.miter == pytest.approx(90 - degrees(atan(0.5)))
    assert plane.tilt == pytest.approx(0, abs=1e-9)


def test_the_first_roof_is_whole_but_for_tails_between_the_wings_walls() -> None:
    """Walls at 12 ft and 28 ft: rafters that stand over them or between end at the wall."""
    roof = roof_of(LAID)
    near = members(roof, "common", "near")
    assert {m.station for m in near} == {m.station for m in members(roof, "common", "far")}
    cut = {m.station for m in near if m.tail_length < 1e-9}
    assert cut == {m.station for m in near if 144 - 0.75 < m.station < 336 + 0.75}
    assert {m.foot_cut for m in near if m.station in cut} == {"plumb"}
    assert not members(roof, "valley")
    assert not members(roof, "cripple-jack")
    # The wing's rafters beside the first roof's overhang of 12 in end at their wall as well.
    beside = [m for m in members(roof, "common", "wing 1 near") if m.tail_length < 1e-9]
    assert [m.station for m in beside] == [144 - 0.75]


@pytest.mark.parametrize("step", [-4, 0, 4])
@pytest.mark.parametrize("base", [TEE, HIPPED, EQUAL_TEE])
def test_wings_laid_on_a_roof_fit(base: Tables, step: int) -> None:
    wing = {"plate_height": 96 + step}
    if base is EQUAL_TEE:
        wing["pitch"] = f"{(72 - step) / 1.44}%"  # type: ignore[assignment]
    tables = with_wing(laid(changed(base, {"roof.plate_height": "8ft"})), wing)
    assert [f for f in fit(case_of(tables)) if f.result != "pass"] == []


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (with_wing(LAID, {"turn": 80, "length": "18ft"}), r"not square to it, as at \(.*\)"),
        (laid(ELL), r"meets it as wing 1 does"),
        (laid(CROSS), r"meets it as wing 1 does"),
        # Its hips meet 6 ft 8 in inside the wall, hardly higher than the slope there.
        (
            laid(
                with_wing(
                    changed(HIPPED, {"hip.size": "2x12"}),
                    {"span": "20ft", "length": "40in", "at": ["30ft", "-40in"], "pitch": "5/12"},
                )
            ),
            r"a wing whose hip comes down on it, as at \(20' 0\", 6' 8\"\), cannot be laid on the "
            r'first roof; write kind = "framed", or make it longer$',
        ),
    ],
)
def test_wings_that_cannot_be_laid(tables: Tables, told: str) -> None:
    with pytest.raises(JobError, match=told):
        roof_of(tables)


def test_a_wing_on_a_roof_keeps_clear_of_the_hip_at_its_corner() -> None:
    """The hip takes 3/4 in times the root of 2 along the wall on either side of the corner."""

    def beside(distance: float) -> Tables:
        plain = {"form": "gable", "rake_overhang": None, "at": [480 - distance, -14 * 12]}
        return laid(with_wing(HIPPED, plain))

    with pytest.raises(
        JobError,
        match=r"^wing\[1\]\.at: its wall would stand in the near right hip at \(.*\); move",
    ):
        roof_of(beside(0.75 * sqrt(2) - 0.01))
    case = case_of(beside(0.75 * sqrt(2) + 0.01))
    assert [f for f in fit(case) if f.result != "pass"] == []


@pytest.mark.parametrize("length", [95, 96, 97, 98, 100])
def test_a_common_under_hips_beside_the_hosts_wall(length: float) -> None:
    """8 ft in from the wing's end; it stands in the place of a common flush with that wall."""
    hipped = changed(LAID, {"roof.overhang": 0, "roof.rake_overhang": 0, "hip.size": "2x10"})
    wing = {"form": "hip", "length": length, "at": ["28ft", -length], "rake_overhang": None}
    case = case_of(with_wing(hipped, wing))
    assert [f for f in fit(case) if f.result != "pass"] == []


def test_plates_of_a_wing_end_at_the_hosts_wall_wherever_its_length_ends() -> None:
    """Its higher plates run up to the host's rafters: by no more than a hair into them fails."""
    deep = with_wing(
        changed(LAID, {"roof.plate_height": "8ft"}), {"plate_height": 98, "length": "16ft"}
    )
    case = case_of(deep)
    assert [f for f in fit(case) if f.result != "pass"] == []
    (plate,) = [s for s in case.roof.supports if s.name == "wing 1 near plate"]
    assert plate.stick.length == pytest.approx(12 * 12, abs=1e-9)
