"""Plans of corners with gables: the parts of a rectangle's gable, and what is refused."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from math import cos, radians, sin
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Polygon

from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.roof.face import Face
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.bays import BAY, with_bay
from tests.hips import face, measure, members
from tests.jobs import Tables, changed, in_plan, refused_passed_over, roof_of
from tests.polygons import GABLED, OCTAGON, any_gabled, over, surface
from tests.roof.test_carried import SCANS, assert_carried
from tests.wings import TEE

GABLE_FRONT = ["6/12", "gable", "6/12"]

Shape = tuple[str, tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]]


def shape(member: Member) -> Shape:
    """Return what a stick is and both its outlines, whatever it is called."""
    # Lengths here are whole but for roots and ratios, so that none lies on the border of two steps
    # of an odd size.
    step = 0.0037
    near, far = (
        tuple(sorted((round(x / step) * step, round(y / step) * step) for x, y in outline.points))
        for outline in (member.stick.near, member.stick.far)
    )
    return member.role, near, far


def shapes(roof: Roof) -> Counter[Shape]:
    return Counter(shape(member) for member in roof.members)


def plates(roof: Roof) -> list[list[tuple[float, ...]]]:
    """Return the corners of each plate's outline at mid-thickness, in plan coordinates."""
    return sorted(
        sorted({tuple(round(c, 3) + 0.0 for c in (p.x, p.y, p.z)) for p in in_plan(support)})
        for support in roof.supports
    )


def rectangle(length: float, span: float, pitches: list[str], **more: Any) -> Tables:
    corners = [(0, 0), (length, 0), (length, span), (0, span)]
    return over(OCTAGON, corners, pitch=None, pitches=pitches, **more)


def alone(length: float, span: float, **roof: Any) -> Tables:
    """Return the same without corners."""
    plan = {"sides": None, "length": length, "span": span, **roof}
    ridge = {"ridge.kind": "board", "ridge.size": "2x8"}
    return changed(OCTAGON, {f"roof.{key}": value for key, value in plan.items()} | ridge)


spans, lengths = st.integers(80, 300), st.integers(60, 500)
percents, rakes = st.integers(20, 120), st.sampled_from([0, 3, 12])


# ------------------------------------------------------------------ as over a rectangle


@settings(deadline=None, max_examples=30)
@given(spans, lengths, percents, st.integers(10, 30), rakes)
def test_two_gables_have_the_parts_of_a_gable_roof(
    span: int, length: int, percent: int, spacing: int, rake: int
) -> None:
    """Every part, height and plate is that of the same rectangle given by span and length."""
    pitch, more = f"{percent}%", {"rafter.spacing": spacing, "rafter.seat": 1.5, "hip": None}
    ours = rectangle(length, span, [pitch, "gable"] * 2, rake_overhang=rake)
    theirs = alone(length, span, form="gable", pitch=pitch, rake_overhang=rake)
    mine, plain = roof_of(ours, more), roof_of(theirs, more)
    assert shapes(mine) == shapes(plain)
    assert plates(mine) == plates(plain)
    heights = {h.name: h.above_plate for h in plain.heights}
    for height in mine.heights:
        assert height.above_plate == pytest.approx(heights[height.name])
    assert measure(mine, "ridge length") == pytest.approx(length + 2 * rake)


@settings(deadline=None, max_examples=30)
@given(spans, lengths, percents, rakes)
def test_one_gable_has_the_parts_of_a_hip_roofs_gable_end(
    span: int, length: int, percent: int, rake: int
) -> None:
    """All but what ends where hips and ridge meet: there it is mitred, in place of commons."""
    pitch, length = f"{percent}%", length + span
    ours = rectangle(length, span, [pitch, "gable", pitch, pitch], rake_overhang=rake)
    ends = {"form": "hip", "ends": ["hip", "gable"], "pitch": pitch, "rake_overhang": rake}
    mine, plain = (roof_of(t, {"rafter.seat": 1.5}) for t in (ours, alone(length, span, **ends)))
    assert plates(mine) == plates(plain)
    lost, new = shapes(plain) - shapes(mine), shapes(mine) - shapes(plain)
    # Two hips, the ridge's last board, and the common of each of the three slopes at the point.
    for other in (lost, new):
        counts: Counter[str] = Counter()
        for (role, *_), count in other.items():
            counts[role] += count
        assert counts["hip"] == 2
        assert counts["ridge"] == 1
        assert counts["common"] <= 3
        assert set(counts) <= {"hip", "ridge", "common"}
    for name in ("common difference of jacks", "drop of every hip"):
        assert measure(mine, name) == pytest.approx(measure(plain, name))
    # It ends over the hips' point; the rectangle's reaches half a rafter past it.
    assert measure(plain, "ridge length") - measure(mine, "ridge length") == pytest.approx(0.75)


@settings(deadline=None, max_examples=15)
@given(st.integers(60, 160), st.integers(24, 100), rakes, st.booleans())
def test_a_bay_with_a_gable_front_has_the_parts_of_a_wing(
    span: int, out: int, rake: int, is_open: bool
) -> None:
    """All but the hand of the valley that runs on, which may be either of both: the wing stands
    in the middle of its roof, whose rafters stand alike on both sides of it.
    """
    begin = 16 * 12 - span / 2
    plan: list[tuple[float, float]] = [(0, 0), (0, -out), (span, -out), (span, 0)]
    keys = {"rake_overhang": rake, "open": is_open}
    bay = with_bay(BAY, plan, pitches=GABLE_FRONT, at=[begin, 0], **keys)
    wing = {"form": "gable", "span": span, "length": out, "at": [begin + span, -out], "turn": 90}
    mine, plain = (
        roof_of(changed(tables, {"hip": None}))
        for tables in (bay, changed(BAY, {"wing": [wing | keys]}))
    )
    whole = [Counter((m.role, round(m.stick.length, 3)) for m in r.members) for r in (mine, plain)]
    assert whole[0] == whole[1]
    assert plates(mine) == plates(plain)
    named = [{m.name: round(m.value, 6) for m in roof.measures} for roof in (mine, plain)]
    assert named[0] == named[1]


# ------------------------------------------------------------------ how it is framed


def test_a_ridge_runs_square_out_over_the_gable() -> None:
    """From the hips' point, half the span from the octagon's walls, to the rake."""
    roof = roof_of(GABLED)
    (ridge,) = members(roof, "ridge")
    ends = [ridge.stick.end_planes(end) for end in ("foot", "head")]
    (square,) = next(end for end in ends if len(end) == 1)
    at = ridge.stick.frame.plane_outward(square.plane)
    assert (square.name, square.against) == ("square", ())
    assert at.normal.x == pytest.approx(1)
    assert at.offset == pytest.approx(21 * 12)
    against = {p.against for end in ends for p in end if end is not square} - {()}
    assert against == {("side 1-6 hip",), ("side 3-4 hip",)}


def test_rafters_stand_flush_with_the_gable_and_opposite_each_other() -> None:
    roof = roof_of(GABLED)
    near, far = (
        sorted(
            round(face(roof, name).point(m.station, 0.0, 0.0).x, 6)
            for m in roof.members
            if m.line == name and m.role in ("common", "barge")
        )
        for name in ("side 1", "side 3")
    )
    assert near == far
    # The barge rafter's outside at the rake, the last common's at the wall.
    assert near[-2:] == pytest.approx([240 - 0.75, 252 - 0.75])
    barges = members(roof, "barge")
    assert [m.notches for m in barges] == [(), ()]
    assert {p.against for m in barges for p in m.stick.end_planes("head")} == {("ridge",)}


def test_no_plate_lies_on_the_gable_and_its_neighbours_end_square() -> None:
    roof = roof_of(GABLED)
    assert [s.name for s in roof.supports] == [f"side {i} plate" for i in (1, 3, 4, 5, 6)]
    for name, end in (("side 1 plate", "head"), ("side 3 plate", "foot")):
        (support,) = (s for s in roof.supports if s.name == name)
        (cut,) = support.stick.end_planes(end)  # type: ignore[arg-type]
        plane = support.stick.frame.plane_outward(cut.plane)
        assert plane.normal.x == pytest.approx(1)
        assert plane.offset == pytest.approx(240)


def test_spacing_is_carried_from_the_gable_where_no_hips_meet() -> None:
    """From the last of the gables, on both sides of the ridge."""
    roof = roof_of(rectangle(250, 168, ["5/12", "gable", "5/12", "gable"]))
    places = [
        sorted(face(roof, name).point(m.station, 0.0, 0.0).x for m in members(roof, "common", name))
        for name in ("side 1", "side 3")
    ]
    assert places[0] == pytest.approx([0.75, *range(16, 241, 16), 250 - 0.75])
    assert places[1] == pytest.approx(places[0])


@pytest.mark.parametrize("turn", [10, 37, 90, 200, 301])
@pytest.mark.parametrize("first", [0, 2, 5])
def test_a_plan_written_to_a_sixteenth_may_be_turned(turn: int, first: int) -> None:
    """Its gable is taken for square; parts are those of the plan as it lies along the axes."""
    angle, plain = radians(turn), roof_of(GABLED)
    given_roof = GABLED["roof"]
    corners = [
        [
            round(16 * v) / 16
            for v in (x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle))
        ]
        for x, y in [
            (0, 0),
            (240, 0),
            (240, 168),
            (0, 168),
            (-49.1875, 118.8125),
            (-49.1875, 49.1875),
        ]
    ]
    pitches = given_roof["pitches"]
    roof = roof_of(
        changed(
            GABLED,
            {
                "roof.corners": corners[first:] + corners[:first],
                "roof.pitches": pitches[first:] + pitches[:first],
            },
        )
    )
    roles = Counter(m.role for m in plain.members)
    assert Counter(m.role for m in roof.members) == roles
    lengths = [sorted((m.role, m.stick.length) for m in r.members) for r in (roof, plain)]
    for (role, length), (its, other) in zip(*lengths, strict=True):
        assert role == its
        assert length == pytest.approx(other, abs=0.25)
    by_name = {f.name: f for f in roof.faces}
    beside = [by_name[f"side {(i - first) % 6 + 1}"] for i in (0, 2)]
    assert (beside[0].uphill + beside[1].uphill).length() == pytest.approx(0, abs=1e-12)


@settings(deadline=None, max_examples=40)
@given(any_gabled())
def test_any_slopes_beside_a_gable_are_carried(tables: Tables) -> None:
    tables = changed(tables, {"hip.jacks_from": "common"})
    with refused_passed_over():
        roof = roof_of(tables)
    # On a ridge itself, which the uppermost scan of a very small roof crosses, no rafter stands.
    half = max(m.stick.thickness for m in members(roof, "ridge")) / 2
    tops = [top_run(seen.face, seen.parts) for seen in surface(tables).visible]
    assume(min(tops) > SCANS * half)
    assert_carried(tables)


def top_run(slope: Face, parts: Iterable[Polygon]) -> float:
    return max(slope.run(Vector(x, y, 0.0)) for part in parts for x, y in part.exterior.coords)


# ------------------------------------------------------------------ what is refused


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (rectangle(100, 168, ["5/12", "gable", "5/12", "4/12"]),
         "roof.pitches[2]: the slope of side 4 comes in below the ridge of this gable at (8' 2 "
         "1/2\", 7' 0\"); make that slope steeper or further from the gable, or give this side a "
         "pitch"),
        (changed(rectangle(240, 12, ["5/12", "gable"] * 2), {"plate.width": 5.5}),
         "roof.pitches[2]: between the plates and the ridge at (19' 10 1/2\", 6\") no rafter "
         "has room; make that gable at least 1' 9/16\" wide, or bring the pitches beside it nearer "
         "to each other"),
        (rectangle(240, 100, ["5/12", "gable", "120/12", "gable"]),
         "roof.pitches[2]: between the plates and the ridge at (19' 10 1/2\", 8' 0\") no rafter "
         "has room; make that gable at least 8 9/16\" wide, or bring the pitches beside it nearer "
         "to each other"),
        (changed(GABLED, {"ridge.size": "2x8", "valley": {"size": "2x8"}, "wing": [
            {"form": "gable", "span": "14ft", "length": "6ft", "at": ["26ft", "14ft"], "turn": 180}
         ]}),
         "roof.pitches[2]: wing[1] stands on this gable at (20' 0\", 7' 0\"), which has no slope "
         "to run into; move it to a side that has one, or give this side a pitch"),
        (changed(GABLED, {"valley": {"size": "2x8"}, "wing": [
            {"form": "hip", "at": ["20ft", "4ft"], "turn": 90,
             "corners": [[0, 0], [0, -30], [60, -30], [60, 0]]}
         ]}),
         "wing[1].at: its mouth is on a gable at (20' 0\", 6' 6\"), which has no slope that it "
         "could run into; move it to a side that has one"),
        (changed(with_bay(BAY, [(0, 0), (0, -72), (144, -72), (144, 0)], pitches=GABLE_FRONT),
                 {"wing": None}) | {"wing": [
            {**BAY["wing"][0], "pitches": GABLE_FRONT,
             "corners": [[0, 0], [0, -72], [144, -72], [144, 0]]},
            {**TEE["wing"][0], "span": "8ft", "length": "6ft", "at": ["20ft", "-12ft"]},
         ]},
         "wing[1].pitches[2]: wing[2] stands on this gable at (16' 0\", -6' 0\"), which has no "
         "slope to run into; move it to a side that has one, or give this side a pitch"),
        # The wall before the gable leaves the mouth narrower than what it opens from.
        (with_bay(BAY, [(0, 0), (-30, -30), (-30, -90), (90, -90), (90, 0)],
                  pitches=["6/12", "6/12", "gable", "6/12"], open=True),
         "wing[1].corners: the wing 1 side 1-4 hip would fall to "),
    ],
)  # fmt: skip
def test_gables_that_are_refused_with_their_place(tables: Tables, told: str) -> None:
    with pytest.raises(JobError) as error:
        roof_of(tables)
    (problem,) = error.value.problems
    assert problem.startswith(told)
