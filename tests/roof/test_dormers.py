"""Dormers on a slope: where their plates, valleys and jacks lie, by closed forms.

With the raise R of a dormer's plate over the roof's, the pitches p of the roof and q of the dormer,
its overhang o and the height above the plate H that all rafters share, and runs up the roof from
its building line: the valley comes over the dormer's fascia at (R - o q) / p and over its wall at
R / p; the top of the wall's plate comes to the top of the sheathing at (R - H - s) / p, with s the
sheathing's plumb thickness.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan, degrees, dist, hypot, sin, tan
from typing import Any

import pytest

from cutlist.build import build_job
from cutlist.checks.fit import fit
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import Vector
from cutlist.geometry.stick import Stick
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from cutlist.roof.surface import Edge, surface_of
from cutlist.roof.wings import buildings
from tests.dormers import DORMER, HIPPED
from tests.hips import face, members
from tests.jobs import Tables, case_of, changed, common, job_of, roof_of
from tests.wings import with_wing

RAISE, FRONT, OVERHANG, SPAN, PITCH = 72.0, 36.0, 8.0, 72.0, 0.75
PLATE, SHEATHING = 1.5 * hypot(1, PITCH), 0.5 * hypot(1, PITCH)
STEEP = with_wing(DORMER, {"pitch": "12/12"})
FLAT = with_wing(DORMER, {"pitch": "6/12"})

BOTH = pytest.mark.parametrize(("tables", "pitch"), [(DORMER, 0.75), (STEEP, 1.0), (FLAT, 0.5)])


def corners(stick: Stick) -> list[Vector]:
    return [Vector(*c) for c in stick_solid(stick).corners.reshape(-1, 3).tolist()]


def height(roof: Roof) -> float:
    return face(roof, "near").height_above_plate


def plate_end(roof: Roof) -> float:
    """Return the run up the roof at which the top of the dormer's plates is in the sheathing."""
    return (RAISE - height(roof) - SHEATHING) / PITCH


def run_of(member: Member) -> float:
    """Return how far up the roof a rafter of the dormer stands."""
    return member.stick.frame.outward(Vector(0, 0, member.stick.thickness / 2)).y


def valley(tables: Tables) -> Edge:
    edges = surface_of([b.wing for b in buildings(job_of(tables), 0.0)]).edges
    return next(
        e for e in edges if e.kind == "valley" and "wing 1 near" in [f.name for f in e.faces]
    )


@BOTH
def test_the_valley_runs_from_the_fascia_to_the_ridge(tables: Tables, pitch: float) -> None:
    """It runs (w / 2 + o) across, and q / p as far up the roof."""
    edge = valley(tables)
    assert edge.start.y == pytest.approx((RAISE - OVERHANG * pitch) / PITCH)
    assert edge.end.y == pytest.approx((RAISE + SPAN / 2 * pitch) / PITCH)
    across = SPAN / 2 + OVERHANG
    line = hypot(across, across * pitch / PITCH, across * pitch)
    assert (edge.end - edge.start).length() == pytest.approx(line)


@BOTH
def test_the_walls_plates_die_on_the_sheathing(tables: Tables, pitch: float) -> None:
    roof = roof_of(tables)
    sheathing = face(roof, "near").plane.moved(0.5)
    for side in ("near", "far"):
        (plate,) = [s for s in roof.supports if s.name == f"wing 1 {side} plate"]
        places = corners(plate.stick)
        assert min(c.y for c in places) == pytest.approx(FRONT)
        assert max(c.y for c in places) == pytest.approx(plate_end(roof))
        assert min(sheathing.distance(c) for c in places) == pytest.approx(0, abs=1e-9)
        told = next(
            m for m in roof.measures if m.name == f"wing 1 {side} plate, front to sheathing"
        )
        assert told.value == pytest.approx(plate_end(roof) - FRONT)


@BOTH
def test_rafters_stand_on_the_plate_or_past_it_on_the_valley_plate(
    tables: Tables, pitch: float
) -> None:
    """A jack's foot is level along the dormer's slope and lies on the plate on the sheathing.

    Its length is from the plate's edge, where the plane of its top comes down to the plate's, to
    the ridge's side.
    """
    roof = roof_of(tables)
    end, half = plate_end(roof), SPAN / 2 - 0.75
    for side in ("near", "far"):
        on_plate = members(roof, "common", f"wing 1 {side}")
        jacks = members(roof, "valley-jack", f"wing 1 {side}")
        assert len(on_plate) >= 3
        assert jacks
        assert max(map(run_of, on_plate)) + 0.75 <= end + 1e-9
        assert min(map(run_of, jacks)) >= end - 1e-9
        for jack in jacks:
            edge = (PITCH * run_of(jack) + SHEATHING + PLATE - RAISE) / pitch
            assert jack.line_length == pytest.approx(
                (half - max(edge, -OVERHANG)) * hypot(1, pitch)
            )
            plane = jack.stick.end_planes("foot")[0]
            assert plane.against == (f"near wing 1 {side} valley",)
            assert plane.tilt == pytest.approx(degrees(atan(PITCH)))
            assert plane.miter == pytest.approx(90 - degrees(atan(pitch)))
        lengths = sorted(jack.line_length for jack in jacks)
        step = 16 * PITCH / pitch * hypot(1, pitch)
        assert [b - a for a, b in pairwise(lengths)] == pytest.approx([step] * (len(jacks) - 1))


@BOTH
def test_tails_are_left_off_where_they_would_be_in_the_sheathing(
    tables: Tables, pitch: float
) -> None:
    """A tail's lowest corner is o q under the tops at the wall, and its plumb cut under that."""
    roof = roof_of(tables)
    depth = 7.25 * hypot(1, pitch)
    last = (RAISE - OVERHANG * pitch - depth - SHEATHING) / PITCH
    rafters = members(roof, "common", "wing 1 near")
    assert {run_of(m) + 0.75 <= last for m in rafters} == {True, False}
    for rafter in rafters:
        tail = OVERHANG * hypot(1, pitch) if run_of(rafter) + 0.75 <= last else 0.0
        assert rafter.tail_length == pytest.approx(tail, abs=1e-9)


@BOTH
def test_the_valley_plate_begins_where_the_walls_plate_ends(tables: Tables, pitch: float) -> None:
    """It lies flat on the sheathing, its outer edge in the plane of the dormer's rafters' tops."""
    roof = roof_of(tables)
    (plate,) = members(roof, "valley-plate", "near wing 1 near valley")
    places = corners(plate.stick)
    host, over = face(roof, "near").plane, face(roof, "wing 1 near").plane
    heights = sorted({round(host.distance(c), 9) for c in places})
    assert heights == pytest.approx([0.5, 2.0])
    assert max(over.distance(c) for c in places) == pytest.approx(0, abs=1e-9)
    assert min(c.y for c in places) == pytest.approx(plate_end(roof))
    # Where the dormer's fascia is, past its wall.
    assert max(c.x for c in places) <= 240 + OVERHANG + 1e-9
    one, other = {(c.x, c.y, c.z) for c in places if abs(over.distance(c)) < 1e-9}
    edge = max((PITCH * plate_end(roof) + SHEATHING + PLATE - RAISE) / pitch, -OVERHANG)
    across = SPAN / 2 - 0.75 - edge
    line = hypot(across, across * pitch / PITCH, across * pitch)
    assert dist(one, other) == pytest.approx(line)


def test_a_plate_that_comes_to_the_fascia_ends_along_it() -> None:
    """Without an overhang jacks beside the wall's plate end flush with the wall.

    Their feet lie on the plate inside it.
    """
    tables = with_wing(changed(DORMER, {"rafter.spacing": 17}), {"overhang": 0, "rake_overhang": 0})
    roof = roof_of(tables)
    (plate,) = members(roof, "valley-plate", "near wing 1 near valley")
    assert [p.name for p in plate.stick.end_planes("foot")] == ["plumb", "plumb"]
    assert max(c.x for c in corners(plate.stick)) == pytest.approx(240)
    jacks = sorted(members(roof, "valley-jack", "wing 1 near"), key=run_of)
    planes = [[p.name for p in jack.stick.end_planes("foot")] for jack in jacks]
    assert planes[0] == ["slope", "plumb"]
    assert planes[-1] == ["slope"]
    assert jacks[0].line_length == pytest.approx((SPAN / 2 - 0.75) * 1.25)
    marks = [m.center for m in roof.marks if m.line == "near wing 1 near valley plate"]
    assert 0 <= min(marks) < 17
    assert max(marks) < plate.stick.length
    assert [f for f in fit(case_of(tables)) if f.result != "pass"] == []


@pytest.mark.parametrize("tables", [DORMER, HIPPED])
def test_the_roof_beneath_is_framed_whole(tables: Tables) -> None:
    """All its rafters are as those of the roof alone, and as long."""
    alone = {k: v for k, v in tables.items() if k not in ("wing", "valley", "hip")}
    lengths, whole = (
        {
            (m.role, m.line, round(m.station, 6)): m.stick.length
            for m in roof.members
            if m.line in ("near", "far")
        }
        for roof in (roof_of(tables), roof_of(alone))
    )
    assert lengths == pytest.approx(whole)


def test_a_hipped_front() -> None:
    """Its plate runs along the front, and its hips and tails clear the sheathing."""
    roof = roof_of(HIPPED)
    sheathing = face(roof, "near").plane.moved(0.5)
    hips = members(roof, "hip")
    assert len(hips) == 2
    for member in (*hips, *members(roof, "hip-jack")):
        assert min(sheathing.distance(c) for c in corners(member.stick)) > 0
    (plate,) = [s for s in roof.supports if s.name == "wing 1 left plate"]
    assert plate.stick.length == pytest.approx(SPAN)


def test_the_sheathing_reaches_out_past_all_of_a_dormer() -> None:
    """So that a tail, hip or barge that stood in it would be found."""
    for tables in (DORMER, HIPPED):
        roof = roof_of(tables)
        (deck,) = [s for s in roof.supports if s.name == "near sheathing"]
        solid = stick_solid(deck.stick)
        under = corners(deck.stick)
        own = [c for m in roof.members if "wing 1" in m.line for c in corners(m.stick)]
        assert min(c.x for c in under) < min(c.x for c in own)
        assert max(c.x for c in under) > max(c.x for c in own)
        assert min(c.y for c in under) < min(c.y for c in own)
        rafter = common(roof, "near")
        assert solid.shared_volume(stick_solid(rafter.stick)) == pytest.approx(0, abs=1e-9)


ON_THE_WALL = {"at": ["20ft", "0ft"], "plate_height": "12ft"}
OUTSIDE = {"at": ["20ft", "-3ft"], "plate_height": "10ft", "length": "12ft"}
FAR = {"at": ["14ft", "25ft"], "turn": 270}
ON_THE_END: dict[str, Any] = {"at": ["37ft", "17ft"], "turn": 180, "length": "6ft"}


@pytest.mark.parametrize("base", [DORMER, HIPPED])
@pytest.mark.parametrize("changes", [ON_THE_WALL, OUTSIDE, FAR, {"overhang": None}])
@pytest.mark.parametrize("tail", ["plumb", "square"])
def test_dormers_fit(base: Tables, changes: dict[str, Any], tail: str) -> None:
    case = case_of(with_wing(changed(base, {"rafter.tail": tail}), changes))
    assert [f for f in fit(case) if f.result != "pass"] == []


@pytest.mark.parametrize("base", [DORMER, HIPPED])
def test_a_dormer_on_a_hip_end_fits(base: Tables) -> None:
    hipped = changed(
        base, {"roof.form": "hip", "roof.rake_overhang": None, "hip": {"size": "2x10"}}
    )
    case = case_of(with_wing(hipped, ON_THE_END))
    assert [f for f in fit(case) if f.result != "pass"] == []
    assert members(case.roof, "valley-plate", "right wing 1 near valley")


def test_rafters_have_no_tails_between_the_walls_of_one_that_stands_outside() -> None:
    """Walls at 14 ft and 20 ft; those of one that stands inside leave the roof's tails alone."""
    cut = {
        m.station
        for m in members(roof_of(with_wing(DORMER, OUTSIDE)), "common", "near")
        if m.tail_length < 1e-9
    }
    assert cut
    assert all(168 - 0.75 < station < 240 + 0.75 for station in cut)
    whole = members(roof_of(with_wing(DORMER, ON_THE_WALL)), "common", "near")
    assert min(m.tail_length for m in whole) == pytest.approx(12 * 1.25)


def test_a_wing_inside_takes_the_roofs_overhang() -> None:
    roof = roof_of(with_wing(DORMER, {"overhang": None}))
    assert face(roof, "wing 1 near").overhang == pytest.approx(12)


def test_two_dormers_on_one_slope() -> None:
    wings = [DORMER["wing"][0], {**HIPPED["wing"][0], "at": ["32ft", "3ft"]}]
    case = case_of({**HIPPED, "wing": wings})
    assert [f for f in fit(case) if f.result != "pass"] == []
    assert len(members(case.roof, "valley-plate")) == 4


@pytest.mark.parametrize("pitch", [4 / 12, 5 / 12, 6 / 12, 9 / 12])
def test_jacks_whose_ends_cross_are_left_out(pitch: float) -> None:
    """A foot level on the plate and a plumb head take d (cot a + tan a) of a stick d deep.

    The plate falls by p of the jack's thickness t across it, which takes p t / sin a more.
    """
    angle = atan(pitch)
    least = 7.25 * (tan(angle) + 1 / tan(angle)) + PITCH * 1.5 / sin(angle) / 2
    found: list[float] = []
    for span in range(60, 100, 3):
        changes = {"pitch": f"{100 * pitch}%", "span": span, "plate_height": "12ft 6in"}
        roof = roof_of(with_wing(DORMER, changes))
        jacks = members(roof, "valley-jack", "wing 1 near")
        assert min((jack.line_length for jack in jacks), default=least) >= least - 1e-9
        for jack in (j for j in roof.left_out if j.line == "wing 1 near"):
            found.append(jack.length)
            assert jack.length < least
            assert jack.least == pytest.approx(least if jack.length >= 12 else 12)
    assert any(length >= 12 for length in found) or least < 12


def test_a_flat_dormer_is_built() -> None:
    """Jacks that are too short for a board plan are told, and left out of it."""
    build = build_job(job_of(with_wing(DORMER, {"pitch": "5/12", "span": 80, "plate_height": 150})))
    told = [f for f in build.findings if f.check == "jack left out"]
    assert {f.limit > 12 for f in told} == {True}
    assert {f.advice for f in told} == {
        "no jack carries the sheathing there: nail its edge to the valley plate"
    }
