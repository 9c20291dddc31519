"""Rafters at the limits of what can be cut: no overhang, long seats, flat and steep slopes."""

from __future__ import annotations

import re
from math import atan, cos, dist, hypot, radians, sin, tan
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.errors import JobError
from cutlist.units import IMPERIAL, parse_length
from tests.checks.findings import findings, results
from tests.jobs import GABLE, SHED, common, in_plan, roof_of

# A 2x8 at 6 in 12 with a 3 1/2 in seat.
PLUMB_DEPTH = 7.25 * hypot(1, 0.5)
HEIGHT = PLUMB_DEPTH - 3.5 * 0.5
LEAST = {
    "square": (7.25 * sin(atan(0.5)), {}),
    "level": (HEIGHT / 0.5, {}),
    "plumb-level": ((HEIGHT - 4) / 0.5, {"rafter.tail_height": 4}),
}


def problems(base: dict[str, Any], changes: dict[str, Any]) -> list[str]:
    with pytest.raises(JobError) as caught:
        roof_of(base, changes)
    return list(caught.value.problems)


@pytest.mark.parametrize("tail", LEAST)
def test_overhang_too_short_for_the_tail(tail: str) -> None:
    least, more = LEAST[tail]
    told = {"square": '3 1/4"', "level": "1' 3/4\"", "plumb-level": '4 3/4"'}[tail]
    for overhang, text in ((0, '0"'), (least - 0.001, None)):
        (problem,) = problems(GABLE, {"rafter.tail": tail, "roof.overhang": overhang, **more})
        assert problem.endswith(
            f"on the near side is too short for a {tail} tail, whose cut would run over the "
            f'plate; it must be at least {told} there, or take tail = "plumb"'
        )
        assert text is None or problem.startswith(f"roof.overhang: {text} on")


@pytest.mark.parametrize("tail", LEAST)
@given(st.floats(5, 60), st.floats(0.5, 6))
@settings(max_examples=30, deadline=None)
def test_the_overhang_asked_for_is_enough(tail: str, angle: float, seat: float) -> None:
    changes = {
        "roof.pitch": f"{angle}deg",
        "roof.span": "60ft",
        "rafter.seat": min(seat, 5 / sin(radians(angle))),
        "rafter.tail": tail,
        "roof.overhang": 0,
        **LEAST[tail][1],
    }
    try:
        roof_of(GABLE, changes)
    except JobError as error:
        (asked,) = re.findall(r"at least (.*?) there", error.problems[0])
        length = parse_length(asked, IMPERIAL)
        if length <= 118:  # the most that a job may ask for
            roof_of(GABLE, changes | {"roof.overhang": asked})


@pytest.mark.parametrize("tail", LEAST)
def test_tail_cut_that_ends_at_the_bearing(tail: str) -> None:
    # A level cut then lies in line with the seat, which bears none the less.
    overhang, more = LEAST[tail]
    changes = {"rafter.tail": tail, "roof.overhang": overhang, **more}
    (notch,) = common(roof_of(GABLE, changes)).notches
    assert notch.seat == pytest.approx(3.5)
    assert notch.depth == pytest.approx(3.5 * sin(atan(0.5)))
    assert notch.plumb_left == pytest.approx(HEIGHT)
    assert notch.heel == pytest.approx(1.75 if tail == "square" else 0, abs=1e-6)
    assert results(GABLE, changes, "bearing length") == {"pass"}


def test_no_overhang() -> None:
    # The tail's plumb cut is the heel line: 8.11 - 1.75 high, and no tail to tell of.
    member = common(roof_of(GABLE, {"roof.overhang": 0}), "near")
    (notch,) = member.notches
    assert (notch.seat, notch.heel) == (pytest.approx(3.5), 0)
    assert notch.depth == pytest.approx(3.5 * sin(atan(0.5)))
    assert member.height_above_plate == pytest.approx(HEIGHT)
    assert member.tail_length == pytest.approx(0, abs=1e-9)
    assert str(member.tail_length) != "-0.0"
    assert member.stick.near.edges == ("seat", "bottom", "plumb", "top", "plumb")
    area = 7.25 * member.line_length - 3.5 * 1.75 / 2
    assert member.stick.near.polygon.area == pytest.approx(area)
    assert "fail" not in {f.result for f in findings(GABLE, {"roof.overhang": 0}, "end notch")}


def test_shed_without_overhangs_and_with_seats_as_wide_as_its_plates() -> None:
    # Both notches end with the stick: what is left is level at both ends.
    changes = {"roof.overhang": 0, "roof.high_overhang": 0}
    member = common(roof_of(SHED, changes))
    assert member.stick.near.edges == (
        "seat", "bottom", "high-heel", "high-seat", "plumb", "top", "plumb",
    )  # fmt: skip
    assert [notch.seat for notch in member.notches] == pytest.approx([90, 90])
    points = in_plan(member)
    assert [p.z for p in (points[0], points[1])] == pytest.approx([0, 0], abs=1e-9)
    rise = 3510 * tan(radians(10))
    high = [(p.y, p.z) for p in points[3:5]]
    assert high == [pytest.approx((3510, rise)), pytest.approx((3600, rise))]


def test_shed_seat_longer_than_its_plate_bears_on_the_plate_alone() -> None:
    changes = {"roof.high_overhang": 0, "rafter.seat": 120}
    member = common(roof_of(SHED, changes))
    assert [notch.seat for notch in member.notches] == pytest.approx([120, 90])
    for support, seat in (("low plate", 120), ("high plate", 90)):
        bearing = next(b for b in roof_of(SHED, changes).bearings if b.support == support)
        assert (bearing.seat, bearing.total) == pytest.approx((seat, 90))


def test_seat_that_leaves_no_wood() -> None:
    # 7.25 / sin(slope) = 16.21 in would leave none; a third of it, 5.40 in, is the limit.
    (problem,) = problems(GABLE, {"rafter.seat": "17in"})
    assert problem == (
        'rafter.seat: 1\' 5" leaves no wood of a 2x8 at this pitch; the notch limit lets 5 3/8"'
    )
    assert results(GABLE, {"rafter.seat": "5 3/8in"}, "notch depth") == {"pass"}
    assert results(GABLE, {"rafter.seat": "16in"}, "notch depth") == {"fail"}


@pytest.mark.parametrize("pitch", ["0.1deg", "89deg"])
def test_lowest_and_steepest(pitch: str) -> None:
    changes = {"roof.pitch": pitch, "roof.span": "4ft", "rafter.seat": "auto", "roof.overhang": 1}
    member = common(roof_of(GABLE, changes), "near")
    angle = radians(float(pitch.removesuffix("deg")))
    assert member.line_length == pytest.approx((24 - 0.75) / cos(angle))
    assert member.stick.length == pytest.approx((24 - 0.75 + 1) / cos(angle) + 7.25 * tan(angle))
    seat = min(3.5, 7.25 / 3 / sin(angle))
    assert seat - 1 / 16 < member.notches[0].seat <= seat + 1e-9


def test_auto_seat_takes_the_bearing_or_the_notch_limit() -> None:
    auto = {"rafter.seat": "auto", "plate.width": "8in"}
    # 7.25 / 3 / sin(slope) = 5.404 in, rounded down to a sixteenth.
    assert common(roof_of(GABLE, auto)).notches[0].seat == pytest.approx(5.375)
    assert results(GABLE, auto, "notch depth") == {"pass"}
    narrow = auto | {"plate.width": "2in"}
    assert common(roof_of(GABLE, narrow)).notches[0].seat == pytest.approx(2)
    # A post beside the header is bearing too; under it, it is not.
    for header, seat in (("beside", 4.0), ("on", 1.5)):
        posts = {"every": "6ft", "width": "2 1/2in", "header": header}
        changes = auto | {"plate": {"width": "1 1/2in", "posts": posts}}
        assert common(roof_of(GABLE, changes)).notches[0].seat == pytest.approx(seat)


@pytest.mark.parametrize(("height", "ok"), [(0.01, True), (8.1, True), (8.11, False), (0, False)])
def test_tail_height_must_be_on_the_plumb_depth(height: float, ok: bool) -> None:
    changes = {"rafter.tail": "plumb-level", "roof.overhang": 30, "rafter.tail_height": height}
    if ok:
        stick = common(roof_of(GABLE, changes)).stick
        assert min(dist(*s) for s in stick.near.segments("plumb")) == pytest.approx(height)
    else:
        (problem,) = problems(GABLE, changes)
        text = {8.11: '8 1/8"', 0: '0"'}[height]
        assert problem == (
            f"rafter.tail_height: {text} is not between 0 and the rafter's plumb depth of 8 1/16\""
        )


def test_beam_that_stands_out_of_the_flatter_side() -> None:
    changes = {
        "roof.far_pitch": "20/12",
        "rafter.size": "2x4",
        "rafter.seat": 1,
        "ridge": {"kind": "beam", "size": "12x12"},
    }
    (problem,) = problems(GABLE, changes)
    assert problem == (
        "ridge.size: a beam so thick stands out of the far slope; take a narrower one, or bring "
        "the pitches nearer to each other"
    )
    roof_of(GABLE, changes | {"ridge.size": "2x12"})


def test_slopes_that_do_not_meet_between_the_plates() -> None:
    heights = {"roof.plate_height": "8ft", "roof.far_plate_height": "20ft"}
    (problem,) = problems(GABLE, heights)
    assert problem == (
        "roof.far_pitch: the two slopes do not meet between the plates; bring the pitches or the "
        "plate heights nearer to each other"
    )


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (
            {"roof.pitch": None, "roof.plate_height": 2400, "roof.far_plate_height": 2400},
            "roof.far_plate_height: the high plate must be higher than plate_height",
        ),
        (
            {"roof.span": 300, "plate.width": 300, "roof.pitch": None, "roof.plate_height": 2400,
             "roof.far_plate_height": 2600},
            "roof.span: it must be more than the plates are wide",
        ),
        (
            {"roof.span": 300, "plate.width": 150},
            "roof.span: the two plates leave no room between them",
        ),
        (
            {"roof.span": 300, "plate.width": 255, "roof.high_end": "ledger",
             "roof.high_overhang": None, "ledger": {"size": "45x245"}},
            "roof.span: it leaves no room between the plate and the ledger",
        ),
    ],
)  # fmt: skip
def test_sheds_that_cannot_be(changes: dict[str, Any], told: str) -> None:
    assert problems(SHED, changes) == [told]
