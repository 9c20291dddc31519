"""Where rafters stand along plates and ridge, what they bear on, and where ridges are joined."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.roof.layout import between, stations
from cutlist.roof.level import joints_on_rafters
from cutlist.roof.roof import Roof
from tests.checks.findings import findings
from tests.jobs import GABLE, SHED, job_of, roof_of


@pytest.mark.parametrize(
    ("length", "spacing", "width", "places"),
    [
        (96, 24, 1.5, (0.75, 24, 48, 72, 95.25)),  # the fifth centre is the end's
        (100, 24, 1.5, (0.75, 24, 48, 72, 96, 99.25)),
        (97.5, 24, 1.5, (0.75, 24, 48, 72, 96.75)),  # 96 would stand inside the last
        (98.25, 24, 1.5, (0.75, 24, 48, 72, 96, 97.5)),  # beside it, touching
        (20, 24, 1.5, (0.75, 19.25)),  # shorter than one spacing
        (3, 24, 1.5, (0.75, 2.25)),  # room for two, side by side
        (2.9, 24, 1.5, (1.45,)),
        (1.5, 24, 1.5, (0.75,)),
        (4000, 600, 45, (22.5, 600, 1200, 1800, 2400, 3000, 3600, 3977.5)),
        (10, 1.5, 1.5, (0.75, 3, 4.5, 6, 7.5, 9.25)),  # as close as they can stand
    ],
)
def test_stations(length: float, spacing: float, width: float, places: tuple[float, ...]) -> None:
    assert stations(length, spacing, width) == pytest.approx(places)


@given(st.floats(10, 5000), st.floats(10, 1000), st.floats(1, 3))
def test_any_stations(length: float, spacing: float, width: float) -> None:
    places = stations(length, spacing, width)
    assert places[0] == pytest.approx(width / 2)
    assert places[-1] == pytest.approx(length - width / 2)
    gaps = [b - a for a, b in pairwise(places)]
    # None stands inside the next. From one to the next is at most a spacing, but before the last,
    # inside which one may have been left out.
    assert min(gaps) >= width - 1e-6
    assert max(gaps) <= spacing + width + 1e-6
    for place in places[1:-1]:
        steps = place / spacing
        assert steps == pytest.approx(round(steps))


def test_between_counts_from_its_origin() -> None:
    assert between(10, 100, 24, 1.5, origin=10) == pytest.approx((10, 34, 58, 82, 100))
    assert between(10, 100, 24, 1.5, origin=0) == pytest.approx((10, 24, 48, 72, 96, 100))
    assert between(10, 10, 24, 1.5, origin=0) == (10,)


def centres(roof: Roof, line: str) -> list[float]:
    return [mark.center for mark in roof.marks if mark.line == line]


def test_marks_of_a_gable() -> None:
    roof = roof_of(GABLE, {"roof.length": "8ft", "roof.rake_overhang": 12})
    plate = [0.75, 24, 48, 72, 95.25]
    assert centres(roof, "near plate") == centres(roof, "far plate") == pytest.approx(plate)
    # The ridge begins at the barge rafter's outside, 12 in before the plate.
    ridge = [0.75, 12.75, 36, 60, 84, 107.25, 119.25]
    for side in ("near", "far"):
        assert centres(roof, f"ridge, {side} side") == pytest.approx(ridge)
    barges = {m.station for m in roof.members if m.role == "barge"}
    assert barges == {-11.25, 107.25}
    (board,) = (m for m in roof.members if m.role == "ridge")
    assert (board.station, board.stick.length) == pytest.approx((-12, 120))


def test_marks_of_a_lean_to() -> None:
    changes = {
        "roof.rake_overhang": 45,
        "roof.high_end": "ledger",
        "roof.high_overhang": None,
        "ledger": {"size": "45x245"},
    }
    roof = roof_of(SHED, changes)
    plate = [22.5, 600, 1200, 1800, 2400, 3000, 3600, 3977.5]
    assert centres(roof, "low plate") == pytest.approx(plate)
    # The barge rafters stand beside the end ones, as thick as the rake reaches.
    assert centres(roof, "ledger") == pytest.approx([22.5, *(p + 45 for p in plate), 4067.5])


@pytest.mark.parametrize(("rake", "barges"), [(0, 0), (1.5, 4), (12, 4)])
def test_rake(rake: float, barges: int) -> None:
    roof = roof_of(GABLE, {"roof.rake_overhang": rake})
    places = sorted({m.station for m in roof.members if m.role in ("common", "barge")})
    assert sum(m.role == "barge" for m in roof.members) == barges
    assert min(b - a for a, b in pairwise(places)) >= 1.5 - 1e-9


POSTS = {"every": "8ft", "width": "5 1/2in", "header": "beside"}
ON_POSTS = {
    "roof.length": "16ft",
    "rafter.seat": "3 1/2in",
    "plate": {"width": "1 1/2in", "posts": POSTS},
}


def over_posts(changes: dict[str, Any]) -> list[float]:
    roof = roof_of(GABLE, ON_POSTS | changes)
    return [mark.center for mark in roof.marks if mark.line == "near plate" and mark.over_post]


def test_rafters_over_posts() -> None:
    # Posts 5 1/2 in wide stand with their middles at 2 3/4, 96 and 189 1/4 in: a rafter 1 1/2 in
    # thick is over one as long as it is no more than 2 in off its middle.
    assert over_posts({}) == pytest.approx([0.75, 96, 191.25])
    assert over_posts({"rafter.spacing": 23.5}) == pytest.approx([0.75, 94, 188, 191.25])
    assert over_posts({"rafter.spacing": 23.49}) == pytest.approx([0.75, 187.92, 191.25])
    assert {m.over_post for m in roof_of(GABLE).marks} == {None}


def test_bearing_on_header_and_post() -> None:
    bearings = roof_of(GABLE, ON_POSTS).bearings
    over = {(b.on_plate, round(b.on_post, 9)) for b in bearings if b.over_post}
    beside = {(b.on_plate, b.on_post) for b in bearings if not b.over_post}
    # A seat of 3 1/2 in: 1 1/2 on the header, and 2 more where a post stands behind it.
    assert over == {(1.5, 2.0)}
    assert beside == {(1.5, 0.0)}
    assert {b.post_beyond for b in bearings} == {1.5}
    long = roof_of(GABLE, ON_POSTS | {"rafter": {"size": "2x12", "spacing": 24, "seat": 9}})
    assert max(b.total for b in long.bearings) == pytest.approx(1.5 + 5.5)
    under = ON_POSTS | {"plate": {"width": "1 1/2in", "posts": POSTS | {"header": "on"}}}
    assert {(b.total, b.post_beyond) for b in roof_of(GABLE, under).bearings} == {(1.5, None)}


def test_seat_needed_to_reach_onto_the_post() -> None:
    short = ON_POSTS | {"rafter.seat": "2 1/2in"}
    told = findings(GABLE, short, "bearing on the post")
    assert [(f.limit, f.result) for f in told] == [(1.5, "warn")] * 2
    assert [f.value for f in told] == pytest.approx([1, 1])
    assert {f.advice for f in told} == {'a seat of 3" reaches that far onto the post'}
    kept = findings(GABLE, short | {"rafter.seat": "3in"}, "bearing on the post")
    assert [(f.result, f.advice) for f in kept] == [("pass", "")] * 2
    assert [f.value for f in kept] == pytest.approx([1.5, 1.5])


def lumber(*boards: tuple[str, float]) -> list[dict[str, Any]]:
    lengths, prices = zip(*boards, strict=True)
    return [{"size": "2x10", "lengths": list(lengths), "prices": list(prices)}]


def joints(length: str, boards: list[dict[str, Any]], **more: Any) -> list[float]:
    roof = roof_of(GABLE, {"roof.length": length, "lumber": boards, "saw": {"end_trim": 0}, **more})
    ridges = [m for m in roof.members if m.role == "ridge"]
    return [m.station for m in ridges] + [ridges[-1].station + ridges[-1].stick.length]


def test_ridge_splices() -> None:
    long, short = ("20ft", 20.0), ("12ft", 12.0)
    assert joints("20ft", lumber(long)) == pytest.approx([0, 240])
    # 240 in would do, but a splice lands on a rafter's centre; 12 ft serve the rest.
    assert joints("31ft", lumber(long, short)) == pytest.approx([0, 144, 372])
    # The fewest pieces, though three short ones would cost less than two long.
    dear = lumber(("20ft", 100.0), ("12ft", 1.0))
    assert joints("30ft", dear) == pytest.approx([0, 120, 360]) or joints(
        "30ft", dear
    ) == pytest.approx([0, 144, 360])
    # The trim of both ends is taken off each board: 12 ft then no longer reach from 0 to 144.
    assert joints("24ft", lumber(short)) == pytest.approx([0, 144, 288])
    trimmed = joints("24ft", lumber(short), saw={"end_trim": 0.25})
    assert len(trimmed) == 4
    # No board long enough between two rafters: one part, told as too long.
    few = {"rafter.spacing": 48, "roof.length": "16ft"}
    assert joints("16ft", lumber(("3ft", 1.0)), **few) == pytest.approx([0, 192])


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.integers(20, 110), min_size=1, max_size=4, unique=True),
    st.integers(60, 200),
    st.sampled_from((16.0, 19.2, 24.0)),
)
def test_ridge_splices_are_the_fewest_and_then_the_cheapest(
    lengths: list[int], end: int, spacing: float
) -> None:
    prices = [((7 * length) % 50) + length for length in lengths]
    job = job_of(
        GABLE,
        {"lumber": [{"size": "2x10", "lengths": lengths, "prices": prices}], "saw.end_trim": 0.25},
    )
    rafters = stations(end, spacing, 1.5)
    found = joints_on_rafters(job, job.ridge.size, 0.0, float(end), rafters)

    def cost(places: tuple[float, ...]) -> float | None:
        total = 0.0
        for a, b in pairwise(places):
            fits = [p for n, p in zip(lengths, prices, strict=True) if n - 0.5 >= b - a - 1e-7]
            if not fits:
                return None
            total += min(fits)
        return total

    # All ways with as many joints, and with fewer, one by one.
    inner = [r for r in rafters if 0 < r < end]
    for count in range(len(found) - 2 + 1):
        costs = [
            c
            for picks in combinations(inner, count)
            if (c := cost((0.0, *picks, float(end)))) is not None
        ]
        if count < len(found) - 2:
            assert costs == []
        elif costs:
            assert cost(found) == pytest.approx(min(costs))
        else:
            assert found == (0.0, float(end))
