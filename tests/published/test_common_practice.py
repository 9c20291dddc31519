"""Facts of the trade that framers work by, none of them with a source in print."""

from __future__ import annotations

import pytest

from cutlist.roof.member import Member
from tests.checks.findings import findings
from tests.jobs import GABLE, common, in_plan, roof_of

CHANGES = {
    "roof.pitch": "6/12",
    "roof.overhang": "9in",
    "rafter.size": "2x6",
    "rafter.seat": "4in",
    "rafter.notch_limit": "1/3",
    "plate.width": "5 1/2in",
}


@pytest.fixture(scope="module")
def rafter() -> Member:
    return common(roof_of(GABLE, CHANGES), "near")


def test_seat_is_struck_with_the_square_eight_inches_out(rafter: Member) -> None:
    # common practice, no source: at 6 in 12 the square lies on the bottom edge with 12 in of its
    # blade level along the seat and 6 in of its tongue plumb. For a 4 in seat it is held 12 - 4 =
    # 8 in from the heel line: there the bottom edge is 6 in under the seat.
    tail, heel, *_ = in_plan(rafter)
    assert (tail.y, heel.y) == pytest.approx((-9, 0))
    under = tail.z + (heel.z - tail.z) * (-8 - tail.y) / (heel.y - tail.y)
    assert under == pytest.approx(-6)
    assert rafter.notches[0].seat == pytest.approx(4)


def test_its_notch_is_just_inside_a_third_of_the_depth(rafter: Member) -> None:
    # common practice, no source: a third of the depth, square to the edge, is the most.
    (told,) = findings(GABLE, CHANGES, "notch depth")
    assert told.value == pytest.approx(rafter.notches[0].depth)
    assert told.limit == pytest.approx(5.5 / 3)
    assert 5.5 / 3 - 1 / 16 < told.value < 5.5 / 3
    assert told.result == "pass"
    (longer,) = findings(GABLE, CHANGES | {"rafter.seat": "4 1/8in"}, "notch depth")
    assert longer.result == "fail"


def test_overhang_is_level_along_the_run(rafter: Member) -> None:
    # common practice, no source: an overhang is measured level from the building line.
    assert min(point.y for point in in_plan(rafter)) == pytest.approx(-9)


def test_seat_is_as_wide_as_the_plate() -> None:
    # US Army EN5156, Carpentry II, p 3-7: the seat cut takes the width of the plate. Here "auto"
    # takes all of a 3 1/2 in plate, since that is inside the notch limit.
    member = common(roof_of(GABLE, {"rafter.seat": "auto"}))
    assert member.notches[0].seat == pytest.approx(3.5)
