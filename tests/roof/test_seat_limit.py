"""What held an automatic seat, told with its length."""

from __future__ import annotations

from math import atan, sin
from typing import Any

import pytest

from cutlist.errors import JobError
from cutlist.units import rounded_down
from tests.hips import HIP
from tests.jobs import GABLE, SHED, Tables, roof_of

AUTO: dict[str, Any] = {"rafter.seat": "auto", "rafter.notch_limit": "1/3"}
WIDE = AUTO | {"plate.width": 12}
THIRD = rounded_down(7.25 / 3 / sin(atan(6 / 12)), 1 / 16)


def told(base: Tables, changes: dict[str, Any]) -> dict[str, float]:
    return {m.name: m.value for m in roof_of(base, changes).measures if "automatic" in m.name}


def test_a_seat_given_is_not_told() -> None:
    assert told(GABLE, {"rafter.seat": 3}) == {}


@pytest.mark.parametrize(
    ("base", "changes", "name", "seat"),
    [
        (GABLE, AUTO | {"plate.width": 3.5}, "held by the plate's width", 3.5),
        (GABLE, WIDE, "held by the notch limit", THIRD),
        (
            GABLE,
            AUTO | {"plate.width": 1.5, "plate.posts": {"every": 96, "width": 3.5}},
            "held by the width of header and post",
            5.0,
        ),
        (SHED, AUTO | {"plate.width": 89}, "held by the plate's width", 89),
    ],
)
def test_what_held_it_is_told(
    base: Tables, changes: dict[str, Any], name: str, seat: float
) -> None:
    ((found, value),) = told(base, changes).items()
    assert found == f"automatic seat, {name}"
    assert value == pytest.approx(seat)


def test_slopes_of_their_own_seats_are_told_apart() -> None:
    seats = told(GABLE, WIDE | {"roof.far_pitch": "12/12"})
    assert seats == {
        "automatic seat of the near slope, held by the notch limit": pytest.approx(THIRD),
        "automatic seat of the far slope, held by the notch limit": pytest.approx(
            rounded_down(7.25 / 3 * 2**0.5, 1 / 16)
        ),
    }


def test_a_slope_of_another_pitch_that_holds_the_seat_is_named() -> None:
    """Ends of 12 in 12 are notched to their limit, and with them the sides only to half of it."""
    base = AUTO | {"roof.end_pitch": "12/12", "hip.size": "2x8", "rafter.size": "2x10"}
    assert "automatic seat of the near slope, held by the notch limit of the left slope" in told(
        HIP, base | {"plate.width": 12}
    )


def test_slopes_that_meet_without_a_hip_are_told_so() -> None:
    wing = {"form": "gable", "span": 24, "length": 48, "at": [120, -48], "turn": 90}
    tables = {"wing": [wing | {"pitch": "24/12"}], "valley": {"size": "2x10"}}
    with pytest.raises(JobError, match="share one height above the plate where roofs meet; "):
        roof_of(GABLE, AUTO | tables | {"roof.pitch": "3/12", "roof.length": 240})


def test_a_deep_hip_holds_the_seat_and_then_is_past_its_limit() -> None:
    """A hip deeper than the rafters hangs below them, so that its notch is the deeper."""
    (held,) = told(HIP, AUTO | {"hip.size": "2x10"})
    assert held == "automatic seat, held by the notch limit of the hips"
    past, seat = next(iter(told(HIP, AUTO | {"hip.size": "2x12"}).items()))
    assert past == "automatic seat, held by the least bearing, past the notch limit of the hips"
    assert seat == pytest.approx(1.5, abs=1 / 16)
