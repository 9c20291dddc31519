"""Plans of corners or sides in the job file: whole messages for every mistake in them."""

from __future__ import annotations

from math import dist, pi, tan
from typing import Any

import pytest

from tests.hips import HIP
from tests.job.test_job import told
from tests.jobs import GABLE, SHED, Tables, changed, job_of
from tests.polygons import GABLED, LONG, OCTAGON, over
from tests.wings import TEE

TRIANGLE: list[Any] = [["0ft", "0ft"], ["12ft", "0ft"], ["6ft", "10ft"]]

NO_HUB = (
    "hip.hub: it is for a regular plan of sides with one pitch, whose hips all meet in one point; "
    "leave it out"
)
SQUARE: list[Any] = [[0, 0], [240, 0], [240, 168], [0, 168]]
STAR: list[Any] = [[108, 60], [0, 60], [90, 0], [54, 108], [18, 0]]
"""Five corners of which each next but one is a neighbour."""


def test_corners_are_read() -> None:
    roof = job_of(over(OCTAGON, TRIANGLE, pitch=None, pitches=["4/12", "50%", "30deg"])).roof
    assert roof.plan == ((0, 0), (144, 0), (72, 120))
    assert roof.side_pitches == pytest.approx((1 / 3, 1 / 2, tan(pi / 6)))


@pytest.mark.parametrize("sides", [4, 6, 8, 12])
def test_a_regular_plan(sides: int) -> None:
    """Sides of one length, 2 apothem tan(180 / n); it touches both axes, its first side along x."""
    plan = job_of(OCTAGON, {"roof.sides": sides}).roof.plan
    lengths = [dist(p, plan[i - 1]) for i, p in enumerate(plan)]
    assert lengths == pytest.approx([14 * 12 * tan(pi / sides)] * sides)
    assert [min(at) for at in zip(*plan, strict=True)] == pytest.approx([0, 0])
    assert max(y for _, y in plan) == pytest.approx(14 * 12)
    assert plan[0][1] == pytest.approx(plan[1][1])


def test_a_plan_is_drawn_out_along_its_first_side() -> None:
    plan, longer = (job_of(base).roof.plan for base in (OCTAGON, LONG))
    assert max(x for x, _ in longer) == pytest.approx(20 * 12)
    assert longer[1][0] - longer[0][0] == pytest.approx(plan[1][0] - plan[0][0] + 6 * 12)
    assert dist(longer[1], longer[2]) == pytest.approx(dist(plan[1], plan[2]))


@pytest.mark.parametrize(
    ("corners", "messages"),
    [
        (TRIANGLE[:2], ["roof.corners: a plan has three corners at least, and this one has 2"]),
        (
            TRIANGLE[::-1],
            [
                "roof.corners[1]: (6' 0\", 10' 0\"): the corners run clockwise; write them in the "
                "opposite order"
            ],
        ),
        (
            [*TRIANGLE, ["0ft", "0ft"]],
            [
                "roof.corners[4]: (0\", 0\"): it and corner 1 are at one place; leave one of them "
                "out"
            ],
        ),
        (
            [*TRIANGLE, ["6ft", "9ft 6in"]],
            [
                "roof.corners[4]: (6' 0\", 9' 6\"): it and corner 3 are too near each other for a "
                "wall, which is 11 13/16\" long at least; move one of them, or leave it out"
            ],
        ),
        (
            [*TRIANGLE, ["6ft", "4ft"]],
            [
                "roof.corners[4]: (6' 0\", 4' 0\"): the walls turn inward there; only plans "
                "without inside corners are framed so: leave the corner out, or make the roof of "
                "several as [[wing]]"
            ],
        ),
        (
            [*TRIANGLE, ["3ft", "5ft"]],
            [
                "roof.corners[4]: (3' 0\", 5' 0\"): the walls run straight on there; leave the "
                "corner out"
            ],
        ),
        (
            STAR[::-1],
            [
                "roof.corners[1]: (1' 6\", 0\"): the corners run clockwise; write them in the "
                "opposite order"
            ],
        ),
        (
            STAR,
            [
                "roof.corners[1]: (9' 0\", 5' 0\"): the walls cross each other; write the corners "
                "in order around the plan"
            ],
        ),
        (
            [["0ft", "0ft"], ["12ft"], ["6ft", True]],
            [
                "roof.corners[2][2]: it is missing",
                "roof.corners[3][2]: true: a number or a text in quotes is expected",
            ],
        ),
        ("12ft", ['roof.corners: "12ft": a list is expected, in brackets']),
    ],
)  # fmt: skip
def test_mistakes_in_corners(corners: Any, messages: list[str]) -> None:
    assert told(over(OCTAGON, corners), {}) == messages


@pytest.mark.parametrize(
    ("changes", "messages"),
    [
        ({"roof.sides": 7},
         ["roof.sides: 7: it must be even, since span is measured between opposite sides; give a "
          "plan with an odd number of sides by its corners"]),
        ({"roof.sides": 2}, ["roof.sides: 2: it should be greater than or equal to 4"]),
        ({"roof.sides": "8"}, ['roof.sides: "8": a whole number is expected']),
        ({"roof.span": None}, ['roof.span: it is missing; write for example span = "20ft"']),
        ({"roof.span": 0},
         ['roof.span: 0: read as 0"; it must lie between 11 13/16" and 984\' 3"']),
        ({"roof.length": "10ft"},
         ["roof.length: a regular plan with 8 sides of this span is 14' 0\" long; leave it out, or "
          "make it longer"]),
        ({"roof.corners": TRIANGLE},
         ["roof.sides: the corners say it; leave it out",
          "roof.span: the corners say it; leave it out"]),
        ({"roof.pitch": None}, ['roof.pitch: it is missing; write for example pitch = "6/12"']),
        ({"roof.pitch": None, "roof.pitches": ["5/12"] * 7},
         ["roof.pitches: there are 7 for 8 sides; give one for each, from the first corner on, or "
          "one pitch for all"]),
        ({"roof.pitches": ["5/12"] * 8},
         ["roof.pitch: the pitches of all sides are given; leave it out"]),
        ({"roof.pitch": None, "roof.pitches": ["5/12"] * 7 + ["5"]},
         ['roof.pitches[8]: "5": it has no unit; write rise over run ("6/12"), degrees ("26.6deg") '
          'or percent ("50%")']),
        ({"roof.form": "gable", "hip": None},
         ['roof.form: a plan of sides is roofed by hips; write form = "hip"']),
        ({"roof.end_pitch": "6/12"},
         ["roof.end_pitch: it is for a plan without sides; leave it out, or give pitches"]),
        ({"roof.rake_overhang": 12},
         ["roof.rake_overhang: no end of this roof is a gable; leave it out"]),
        ({"plate.posts": {"every": "6ft", "width": 5.5}},
         ["plate.posts.header: a plan of sides is not framed over posts beside the header, which "
          'would meet at its corners; write "on"']),
        ({"ridge.kind": "beam", "ridge.size": "2x8"},
         ['ridge.kind: a plan of sides is not framed over a beam; write "board" or "none"']),
        ({"wing": TEE["wing"], "valley": TEE["valley"], "ridge": TEE["ridge"], "hip.hub": "6in"},
         ["hip.hub: it is for a roof without wings; leave it out"]),
        ({"hip.hub": "2in"},
         ["hip.hub: its faces are narrower than the hips are thick; make it 3 5/8\" or more"]),
        ({"hip.hub": "3ft", "roof.span": "5ft"},
         ["hip.hub: it is wider than half the span; make it narrower"]),
        ({"hip.hub": "6in", "roof.length": "20ft"}, [NO_HUB]),
        ({"hip.hub": "6in", "roof.pitch": None, "roof.pitches": ["5/12"] * 8}, [NO_HUB]),
        ({"hip": None}, ['hip: it is missing; write [hip] with size = "2x10"']),
    ],
)  # fmt: skip
def test_mistakes_in_a_plan_of_sides(changes: dict[str, Any], messages: list[str]) -> None:
    assert told(OCTAGON, changes) == messages


@pytest.mark.parametrize(
    ("base", "changes", "messages"),
    [
        (HIP, {"hip.hub": "6in"}, [NO_HUB]),
        (GABLE, {"roof.pitches": ["5/12"] * 4},
         ["roof.pitches: it is for a plan with corners or sides; write pitch"]),
        (SHED, {"roof.sides": 6, "roof.length": None},
         ['roof.form: a plan of sides is roofed by hips; write form = "hip"']),
        (GABLE, {"roof.corner": TRIANGLE},
         ["roof.corner: there is no such key; did you mean corners?"]),
    ],
)  # fmt: skip
def test_where_such_plans_do_not_belong(
    base: Tables, changes: dict[str, Any], messages: list[str]
) -> None:
    assert told(base, changes) == messages


def test_gables_are_read() -> None:
    roof = job_of(GABLED).roof
    assert roof.side_pitches[:3] == (5 / 12, "gable", 5 / 12)
    assert roof.gable_sides == (1,)
    first = over(OCTAGON, SQUARE, pitch=None, pitches=["gable", "5/12", "6/12", "5/12"])
    assert job_of(first).roof.first_pitch == 5 / 12


@pytest.mark.parametrize(
    ("pitches", "changes", "messages"),
    [
        (["5/12", "gabel", "5/12", "5/12"], {},
         ['roof.pitches[2]: "gabel": a pitch is expected, like "6/12", or "gable" for a side '
          "without a slope"]),
        (["5/12", "5", True, "gable"], {},
         ['roof.pitches[2]: "5": it has no unit; write rise over run ("6/12"), degrees '
          '("26.6deg") or percent ("50%")',
          "roof.pitches[3]: true: a number or a text in quotes is expected"]),
        (["gable"] * 4, {},
         ["roof.pitches: a gable stands between two slopes; give two sides a pitch at least"]),
        (["5/12", "gable", "gable", "gable"], {},
         ["roof.pitches: a gable stands between two slopes; give two sides a pitch at least"]),
        (["5/12", "gable", "gable", "5/12"], {},
         ["roof.pitches[2]: side 3 is a gable too, and one stands between two slopes; give it a "
          "pitch"]),
        (["gable", "5/12", "5/12", "gable"], {},
         ["roof.pitches[4]: side 1 is a gable too, and one stands between two slopes; give it a "
          "pitch"]),
        (["5/12", "gable", "5/12", "5/12"], {"roof.pitch": "5/12"},
         ["roof.pitch: the pitches of all sides are given; leave it out"]),
        (["5/12", "gable", "5/12"], {},
         ["roof.pitches: there are 3 for 4 sides; give one for each, from the first corner on, or "
          "one pitch for all"]),
        (["5/12", "gable", "5/12", "5/12"], {"ridge": {"kind": "none"}},
         ['ridge.kind: a ridge runs to a gable of such a plan; write kind = "board"']),
        (["5/12", "gable", "5/12", "5/12"], {"ridge.kind": "beam"},
         ['ridge.kind: a plan of corners is not framed over a beam; write "board" or "none"']),
        (["5/12", "gable", "5/12", "5/12"], {"hip.hub": "6in"}, [NO_HUB]),
        (["5/12", "gable", "5/12", "5/12"], {"roof.rake_overhang": 1},
         ["roof.rake_overhang: the barge rafter would stand inside the end rafter; it must be 0, "
          "or at least the rafters' thickness"]),
        (["5/12", "gable", "5/12", "5/12"], {"roof.ends": ["hip", "gable"]},
         ["roof.ends: it is for a plan without corners; leave it out, or give pitches"]),
        (["5/12", "gable", "5/12", "5/12"], {"roof.corners": [*SQUARE[:2], [230, 168], [0, 168]]},
         ["roof.pitches[2]: a gable is square to the walls on both sides of it, and at corner 2 "
          "at (20' 0\", 0\") they turn by 93.4064 deg; make that corner square, or give this "
          "side a pitch",
          "roof.pitches[2]: a gable is square to the walls on both sides of it, and at corner 3 "
          "at (19' 2\", 14' 0\") they turn by 86.5936 deg; make that corner square, or give this "
          "side a pitch"]),
    ],
)  # fmt: skip
def test_mistakes_in_gables(
    pitches: list[Any], changes: dict[str, Any], messages: list[str]
) -> None:
    tables = changed(over(OCTAGON, SQUARE), {"roof.pitch": None, "roof.pitches": pitches})
    assert told(tables, changes) == messages


def test_no_hips_are_asked_for_between_two_gables() -> None:
    pitches = ["5/12", "gable"] * 2
    tables = changed(over(OCTAGON, SQUARE, pitch=None, pitches=pitches), {"hip": None})
    assert job_of(tables).hip is None
    wing = {"form": "hip", "span": "6ft", "length": "4ft", "at": ["10ft", "-4ft"], "turn": 90}
    with_hips = {"wing": [wing], "valley": {"size": "2x8"}}
    assert told(tables, with_hips) == ['hip: it is missing; write [hip] with size = "2x10"']


def test_a_regular_plan_has_gables_only_over_four_sides() -> None:
    gable: dict[str, Any] = {"roof.pitch": None, "roof.pitches": ["gable", *["5/12"] * 7]}
    messages = told(OCTAGON, {**gable, "ridge": {"kind": "board", "size": "2x8"}})
    assert len(messages) == 2
    assert messages[0] == (
        "roof.pitches[1]: a gable is square to the walls on both sides of it, and at corner 1 at "
        '(4\' 1 3/16", 0") they turn by 45 deg; give this side a pitch'
    )
    four = {"roof.sides": 4, "roof.pitches": ["gable", *["5/12"] * 3], "roof.pitch": None}
    board = {"ridge.kind": "board", "ridge.size": "2x8"}
    assert job_of(OCTAGON, four | board).roof.gable_sides == (0,)


@pytest.mark.parametrize(("out", "is_read"), [(1 / 16, True), (1 / 4, False), (1, False)])
def test_how_far_a_gables_corner_may_be_off_square(out: float, is_read: bool) -> None:
    """By as much as a tape might not tell: each corner moves by less than a sixteenth to it."""
    corners = [[0, 0], [240 + out, 0], [240, 168], [0, 168]]
    pitches = ["5/12", "gable", "5/12", "5/12"]
    tables = over(OCTAGON, [(x, y) for x, y in corners], pitch=None, pitches=pitches)
    if is_read:
        assert job_of(tables).roof.gable_sides == (1,)
    else:
        assert told(tables, {})[0].startswith("roof.pitches[2]: a gable is square to the walls")


def test_a_plan_that_was_read_wrongly_asks_for_no_span() -> None:
    wrong = changed(over(OCTAGON, TRIANGLE), {"roof.corners": [["0ft"]]})
    assert told(wrong, {}) == ["roof.corners[1][2]: it is missing"]
