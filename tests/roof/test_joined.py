"""Roofs that meet as framed: which rafters there are, where they end, what the lines are."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import hypot, sqrt

import pytest

from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.hips import corners, face, members, plumb_above, top_corners
from tests.jobs import Tables, case_of, changed, roof_of
from tests.wings import CROSS, ELL, EQUAL_TEE, HIPPED, TEE, with_wing


def valley(roof: Roof, line: str) -> Member:
    (found,) = members(roof, "valley", line)
    return found


def head(member: Member) -> set[tuple[str, ...]]:
    return {p.against for p in member.stick.end_planes("head")}


def foot(member: Member) -> set[tuple[str, ...]]:
    return {p.against for p in member.stick.end_planes("foot")}


# ------------------------------------------------------------------ how valleys end


def test_two_valleys_run_to_the_crossing_of_equal_ridges() -> None:
    roof = roof_of(EQUAL_TEE)
    for side in ("near", "far"):
        ends = head(valley(roof, f"near wing 1 {side} valley"))
        assert ends == {("ridge",), ("wing 1 ridge",)}
    # The wing's ridge butts against the first one's, which runs through.
    (inner,) = [m for m in members(roof, "ridge", "wing 1 ridge") if ("ridge",) in head(m)]
    assert max(c.y for c in corners(inner)) == pytest.approx(12 * 12 - 0.75)
    assert not any(("wing 1 ridge",) in head(m) for m in members(roof, "ridge", "ridge"))


def test_a_lower_ridge_has_a_supporting_valley() -> None:
    roof = roof_of(TEE)
    long, short = (valley(roof, f"near wing 1 {side} valley") for side in ("near", "far"))
    assert head(long) == {("ridge",)}
    assert head(short) == {("near wing 1 near valley",)}
    # The short one meets it square: both lie at 45 degrees to the walls.
    (cheek,) = short.stick.end_planes("head")
    assert cheek.tilt == pytest.approx(0, abs=1e-9)
    # Half of 24 ft of run at 45 degrees, less half the ridge's thickness so measured.
    assert long.line_length == pytest.approx(
        (12 * 12 - 0.75) * sqrt(2) * hypot(1, 0.5 / sqrt(2)), abs=1e-6
    )
    (ridge,) = [m for m in members(roof, "ridge", "wing 1 ridge") if m.head_cut == "cheek"]
    assert head(ridge) == {("near wing 1 near valley",), ("near wing 1 far valley",)}


def test_tops_of_valleys() -> None:
    """The line lies in a valley's top; a supporting one is dropped until it clears its slope."""
    roof = roof_of(TEE)
    near = face(roof, "near").plane
    wing = face(roof, "wing 1 far").plane
    short = valley(roof, "near wing 1 far valley")
    for start, end in short.stick.middle.segments("top"):
        for x, y in (start, end):
            point = short.stick.frame.outward(Vector(x, y, short.stick.thickness / 2))
            assert near.distance(point) == pytest.approx(0, abs=1e-9)
            assert wing.distance(point) == pytest.approx(0, abs=1e-9)
    long = valley(roof, "near wing 1 near valley")
    above = [plumb_above(near, point) for point in top_corners(long)]
    assert max(above) == pytest.approx(0, abs=1e-9)
    # The slope falls 6 in 12 at 45 degrees to the valley: over half of 1 1/2 in, and over all.
    assert min(above) == pytest.approx(-1.5 * 0.5 / sqrt(2))


def test_valley_seats_stand_on_the_inside_corner() -> None:
    roof = roof_of(EQUAL_TEE)
    for line in ("near wing 1 near valley", "near wing 1 far valley"):
        (bearing,) = [b for b in roof.bearings if b.member is valley(roof, line)]
        # The heel is cut half the thickness outside, so that it clears both plates; from there the
        # seat bears till it leaves the 5 1/2 in of the second.
        assert bearing.on_plate == pytest.approx(min(bearing.seat - 0.75, 5.5 * sqrt(2)))


# ------------------------------------------------------------------ rafters on them


def test_what_stands_on_an_equal_tee() -> None:
    roof = roof_of(EQUAL_TEE)
    roles = Counter(m.role for m in roof.members)
    assert set(roles) == {"common", "valley-jack", "valley", "barge", "ridge"}
    for jack in members(roof, "valley-jack"):
        assert head(jack) <= {("ridge",), ("wing 1 ridge",)}
        (ends,) = foot(jack)
        assert ends[0].endswith("valley")
    # No rafter of the first roof's near slope comes down in the wing's mouth.
    mouth = [m for m in members(roof, "common", "near") if 8 * 12 + 6 < m.station < 32 * 12 - 6]
    assert mouth == []


def test_cripple_jacks_stand_between_two_valleys() -> None:
    roof = roof_of(TEE)
    cripples = members(roof, "cripple-jack")
    assert cripples
    for cripple in cripples:
        assert ("near wing 1 near valley",) in head(cripple)
        assert foot(cripple) == {("near wing 1 far valley",)}
        assert {round(p.tilt, 6) for p in cripple.stick.planes("cheek")} == {45}


def test_cripple_jacks_stand_between_hip_and_valley() -> None:
    tables = with_wing(HIPPED, {"at": ["37ft", "-14ft"], "span": "14ft"})
    roof = roof_of(tables)
    found = [
        m for m in members(roof, "cripple-jack") if any("hip" in n for a in head(m) for n in a)
    ]
    assert found
    for cripple in found:
        assert all("valley" in name for ends in foot(cripple) for name in ends)


def test_jacks_on_a_valley_differ_by_one_length() -> None:
    roof = roof_of(changed(EQUAL_TEE, {"rafter.spacing": 16}))
    lengths = sorted(
        m.line_length for m in members(roof, "valley-jack", "near") if m.station < 20 * 12
    )
    # Equal slopes: the run changes by the spacing.
    assert {round(b - a, 6) for a, b in pairwise(lengths)} == {round(16 * hypot(1, 0.5), 6)}


def test_an_ell_needs_no_hip_at_its_inside() -> None:
    roof = roof_of(ELL)
    assert [m.line for m in members(roof, "hip")] == ["far right hip"]
    assert [m.line for m in members(roof, "valley")] == ["near wing 1 far valley"]
    # The plate under the end's slope runs on under the wing's.
    (plate,) = [s for s in roof.supports if s.name == "right plate"]
    assert plate.stick.length == pytest.approx(40 * 12)


def test_an_open_mouth_has_no_plate() -> None:
    def plates(is_open: bool) -> list[float]:
        roof = roof_of(with_wing(EQUAL_TEE, {"open": is_open}))
        return sorted(s.stick.length for s in roof.supports if s.name == "near plate")

    width = 5.5
    assert plates(True) == pytest.approx([8 * 12 + width, 8 * 12 + width])
    assert plates(False) == pytest.approx([40 * 12])


def test_a_wing_may_be_drawn_into_the_other() -> None:
    """Its length may end anywhere inside: the roof is the same."""
    short = case_of(with_wing(TEE, {"open": True}))
    deep = case_of(with_wing(TEE, {"open": True, "length": "16ft"}))
    assert [(p.mark, p.count, p.stick.length) for p in deep.parts] == [
        (p.mark, p.count, pytest.approx(p.stick.length)) for p in short.parts
    ]


def test_turned_roofs_are_framed_alike() -> None:
    """The same wing on the far side, turned the other way: the same parts but for their hands."""
    near = roof_of(TEE)
    far = roof_of(with_wing(TEE, {"at": ["12ft", "36ft"], "turn": 270}))

    def shapes(roof: Roof) -> Counter[tuple[str, float]]:
        # Ridges are joined from their left or near end.
        lengths = ((m.role, round(m.stick.length, 4)) for m in roof.members if m.role != "ridge")
        return Counter(lengths)

    assert shapes(near) == shapes(far)


def test_a_cross_has_four_valleys_at_one_point() -> None:
    roof = roof_of(CROSS)
    assert len(members(roof, "valley")) == 4
    ends = [a for m in members(roof, "ridge") for e in (head(m), foot(m)) for a in e]
    # The first roof's ridge runs through, the wing's butts against it from both sides.
    assert ends.count(("ridge",)) - 2 * (len(members(roof, "ridge", "ridge")) - 1) == 2


# ------------------------------------------------------------------ what is told of them


def told(tables: Tables) -> dict[str, float]:
    others = ("length", "automatic seat")
    return {
        m.name: m.value for m in roof_of(tables).measures if not any(o in m.name for o in others)
    }


def test_what_lines_share_is_told_once() -> None:
    """At 6 in 12, 16 in apart: jacks differ by 16 sqrt(1 + 1/4); 1 1/2 in drop by 3/8 in / sqrt 2.

    Two valleys and the hips of both roofs have these in common.
    """
    drop = 0.75 * 0.5 / sqrt(2)
    assert told(HIPPED) == pytest.approx(
        {
            "common difference of jacks": 16 * hypot(1, 0.5),
            "drop of every hip": drop,
            "drop of every supporting valley": drop,
        }
    )


def test_what_differs_is_told_by_slope() -> None:
    """A wing of 9 in 12 beside 6 in 12: for one run the valley is 12 along one and 8 the other."""
    steep = told(with_wing(TEE, {"pitch": "9/12", "span": "12ft"}))
    differences = {name: step for name, step in steep.items() if name.startswith("common")}
    assert differences == pytest.approx(
        {
            "common difference of jacks on the near slope": 16 * 9 / 6 * hypot(1, 6 / 12),
            "common difference of jacks on the wing 1 near slope": 16 * 6 / 9 * hypot(1, 9 / 12),
            "common difference of jacks on the wing 1 far slope": 16 * 6 / 9 * hypot(1, 9 / 12),
        }
    )


def test_backed_hips_beside_valleys_tell_their_bevels() -> None:
    names = set(told(changed(HIPPED, {"hip.top": "back"})))
    assert {"backing angle of every hip [deg]", "backing down the side of every hip"} <= names
    assert not any(name.startswith("drop of every hip") for name in names)


# ------------------------------------------------------------------ what is refused


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"at": ["28ft", "-13ft"]}, "does not touch the other roofs"),
        ({"at": ["42ft", "-12ft"]}, "stands half in another roof"),
        ({"span": "30ft", "at": ["35ft", "-12ft"]}, "stands higher than the one it runs into"),
        ({"pitch": "12/12"}, "stands higher than the one it runs into"),
    ],
)
def test_wings_that_make_no_roof(changes: dict[str, object], told: str) -> None:
    with pytest.raises(JobError, match=told) as caught:
        roof_of(with_wing(TEE, changes))
    assert caught.value.problems[0].startswith("wing[1]")


def test_a_level_valley_is_refused_with_its_place() -> None:
    """Two roofs side by side, their eaves against each other along a wall."""
    beside = {"at": ["0ft", "24ft"], "turn": 0, "span": "24ft", "length": "40ft"}
    with pytest.raises(JobError, match=r"level valley at \(.*\), which does not drain"):
        roof_of(with_wing(TEE, beside))


def test_a_hip_that_would_be_broken_is_refused_with_its_place() -> None:
    flush = {"at": ["40ft", "-16ft"], "span": "20ft"}
    with pytest.raises(JobError, match=r"hip between the near and right slopes ends at \("):
        roof_of(with_wing(ELL, flush))


def test_wings_that_stand_in_each_other_are_refused() -> None:
    wing = {"form": "gable", "span": "8ft", "length": "10ft", "turn": 90, "at": ["20ft", "-10ft"]}
    with pytest.raises(JobError) as caught:
        roof_of(changed(TEE, {"wing": [wing, {**wing, "span": "6ft"}]}))
    (problem,) = caught.value.problems
    assert problem.startswith("wing[2].at: the wing stands in wing[1] at ")
    assert "; end one at the other's wall, or draw it out so far" in problem


def test_a_hip_whose_tail_would_stand_in_a_lower_plate_is_refused() -> None:
    """Around the corner of a wing an inch lower, whose wall goes on across its mouth."""
    lower = with_wing(
        changed(ELL, {"roof.plate_height": "8ft", "roof.pitch": "30%"}),
        {"plate_height": 95, "open": False},
    )
    with pytest.raises(JobError, match=r"near right hip would stand in the wing 1 near plate at"):
        roof_of(lower)


@pytest.mark.parametrize(
    "wing",
    [
        {"span": "10ft", "length": "8ft", "at": ["20ft", "8ft"]},
        {"span": "24ft", "length": "40ft", "at": ["0ft", "0ft"], "turn": 0, "rake_overhang": 12},
    ],
    ids=["lower", "the same"],
)
def test_a_wing_of_which_nothing_would_be_built_is_refused(wing: dict[str, object]) -> None:
    with pytest.raises(JobError, match=r"^wing\[1\].at: the wing lies wholly under the other"):
        roof_of(with_wing(TEE, wing))


def test_ridges_at_almost_one_height_are_refused_with_their_place() -> None:
    """An inch of run below the ridge there is no room for the head of the shorter valley."""
    almost = {"span": 24 * 12 - 2, "at": ["32ft", "-12ft"]}
    with pytest.raises(JobError, match=r"roofs that meet as at \(.*\) are not framed"):
        roof_of(with_wing(TEE, almost))


def test_a_hip_and_a_valley_in_one_place_are_refused_with_it() -> None:
    """A wing 4 1/2 in from the corner of two pitches, its valley along the roof's hip."""
    near_the_corner = with_wing(
        changed(
            TEE,
            {
                "roof.form": "hip",
                "roof.ends": ["gable", "hip"],
                "roof.span": "17ft 6in",
                "roof.length": "45ft",
                "roof.pitch": "76%",
                "roof.end_pitch": "46%",
                "roof.overhang": 24,
                "hip": {"size": "2x10", "top": "back"},
            },
        ),
        {"span": "12ft", "at": [540 - 4.5, -100], "length": 100, "pitch": "42%"},
    )
    with pytest.raises(JobError, match=r"would stand in each other at \(4\d' .*\)"):
        roof_of(near_the_corner)


@pytest.mark.parametrize("is_open", [False, True])
def test_posts_stand_under_each_header(is_open: bool) -> None:
    """Posts stand flush with both ends of each header; an open mouth has none within it."""
    posts = {"every": "8ft", "width": 5.5}
    roof = roof_of(with_wing(changed(TEE, {"plate.posts": posts}), {"open": is_open}))
    near = sorted(
        s.stick.frame.outward(Vector(s.stick.length / 2, 0.0, 0.0)).x
        for s in roof.supports
        if s.name == "near plate post"
    )
    # The mouth is from 12 ft to 28 ft, its headers' ends drawn out by their width of 5 1/2 in.
    left, right = 144 + 5.5 - 2.75, 336 - 5.5 + 2.75
    assert near[0] == pytest.approx(2.75)
    assert near[-1] == pytest.approx(480 - 2.75)
    if is_open:
        assert [x for x in near if 140 < x < 340] == pytest.approx([left, right])
    else:
        assert any(left + 10 < x < right - 10 for x in near)
    over = [m for m in roof.marks if m.line == "near plate" and m.over_post]
    assert any(abs(m.center - x) <= 2 for m in over for x in near)
    assert all(b.post_beyond == 5.5 for b in roof.bearings if b.over_post)
