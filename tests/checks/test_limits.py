"""Every check at its limit, from both sides. The limits themselves are held against print in
tests/published.
"""

from __future__ import annotations

from math import atan, cos, sin, sqrt
from typing import Any

import pytest

from cutlist.build import check_job
from cutlist.checks.finding import Finding
from cutlist.checks.run import AT_RIDGES, cautions
from cutlist.errors import JobError
from tests.checks.findings import findings
from tests.hips import HIP, METRIC_HIP
from tests.jobs import GABLE, SHED, Tables, changed, job_of
from tests.polygons import OCTAGON
from tests.wings import TEE, with_wing

HAIR = 0.001
SINE = sin(atan(0.5))  # of the test gable's slope: a seat s is notched s sin(slope) deep
THIRD, QUARTER = 7.25 / 3 / SINE, 7.25 / 4 / SINE
LEFT_3_5 = (7.25 - 3.5) / SINE  # the seat that leaves 3 1/2 in of a 2x8
PLUMB = 7.25 / cos(atan(0.5))  # a 2x8's plumb cut

WIDE = {"rafter.notch_limit": 0.9, "plate.width": 12}
SOLE = {"roof.overhang": 0}
LEDGER: dict[str, Any] = {"roof.high_end": "ledger", "roof.high_overhang": None}


@pytest.mark.parametrize(
    ("check", "base", "kept", "broken", "result"),
    [
        ("notch depth", GABLE, {"rafter.seat": THIRD - HAIR},
         {"rafter.seat": THIRD + HAIR}, "fail"),
        ("notch depth", GABLE, {"rafter.seat": QUARTER - HAIR, "rafter.notch_limit": "1/4"},
         {"rafter.seat": QUARTER + HAIR, "rafter.notch_limit": "1/4"}, "fail"),
        ("end notch", GABLE, SOLE | {"rafter.seat": QUARTER - HAIR},
         SOLE | {"rafter.seat": QUARTER + HAIR}, "warn"),
        ("depth left over the notch", GABLE, WIDE | {"rafter.seat": LEFT_3_5 - HAIR},
         WIDE | {"rafter.seat": LEFT_3_5 + HAIR}, "fail"),
        ("bearing length", GABLE, {"rafter.seat": 1.5}, {"rafter.seat": 1.5 - HAIR}, "fail"),
        ("bearing length", GABLE, {"plate.width": 1.5}, {"plate.width": 1.5 - HAIR}, "fail"),
        ("bearing length", SHED, {"rafter.seat": 38}, {"rafter.seat": 38 - HAIR}, "fail"),
        ("overhang", GABLE, {"roof.overhang": 24}, {"roof.overhang": 24 + HAIR}, "warn"),
        ("ridge depth", GABLE, {"ridge.size": f"1 1/2in x {PLUMB + HAIR:.6f}in"},
         {"ridge.size": f"1 1/2in x {PLUMB - HAIR:.6f}in"}, "fail"),
        ("ridge thickness", GABLE, {"ridge.size": "1x10"}, {"ridge.size": "0.749in x 9.25in"},
         "fail"),
        ("slope for a ridge that is no beam [in 12]", GABLE, {"roof.pitch": "3/12"},
         {"roof.pitch": "2.999/12"}, "fail"),
        ("ledger depth", SHED,
         LEDGER | {"ledger": {"size": f"45mm x {195 / cos(0.17453292519943295) + HAIR:.6f}mm"}},
         LEDGER | {"ledger": {"size": f"45mm x {195 / cos(0.17453292519943295) - HAIR:.6f}mm"}},
         "fail"),
    ],
)  # fmt: skip
def test_limit(
    check: str, base: Tables, kept: dict[str, Any], broken: dict[str, Any], result: str
) -> None:
    inside, outside = findings(base, kept, check), findings(base, broken, check)
    assert {finding.result for finding in inside} == {"pass"}
    assert {finding.advice for finding in inside} == {""}
    assert {finding.result for finding in outside} == {result}
    for finding in outside:
        assert finding.advice
        assert finding.source
        assert finding.value == pytest.approx(finding.limit, abs=0.01)


@pytest.mark.parametrize(
    ("changes", "advice"),
    [
        ({"rafter.seat": 1.25}, "lengthen the seat"),
        ({"plate.width": 1.25}, "widen the plate"),
        ({"rafter.seat": 1, "plate.width": 1.25}, "lengthen the seat, and widen the plate"),
        ({"rafter.seat": "auto", "plate.width": 1.25}, "widen the plate"),
        (
            {"rafter.size": "2x4", "rafter.seat": "auto", "rafter.notch_limit": "1/4",
             "roof.pitch": "12/12"},
            "take a deeper rafter, a larger rafter.notch_limit, or a lower pitch",
        ),
        (
            {"ridge": {"kind": "beam", "size": "2x10"}},
            "take a thicker ridge beam: each side bears on half of it",
        ),
    ],
)  # fmt: skip
def test_a_short_bearing_is_told_what_holds_it(changes: dict[str, Any], advice: str) -> None:
    told = {f.advice for f in findings(GABLE, changes, "bearing length") if f.result == "fail"}
    assert told == {advice}


def test_overhang_at_the_high_end_of_a_shed() -> None:
    most = 610
    low, high = findings(SHED, {"roof.high_overhang": most + HAIR}, "overhang")
    assert (low.result, high.result) == ("pass", "warn")
    assert (high.value, high.limit) == pytest.approx((most + HAIR, most))
    assert high.subject == "C1 high end"
    assert high.advice.startswith("shorten roof.high_overhang")


def longest(changes: dict[str, Any]) -> list[Finding]:
    boards = [{"size": "2x8", "lengths": ["12ft"]}]
    return [f for f in findings(GABLE, changes | {"lumber": boards}, "board length")
            if f.subject == "C1"]  # fmt: skip


def test_part_longer_than_any_board() -> None:
    # Rafters come to (120 - 0.75 + overhang) / cos + 7.25 tan, and a board is trimmed at both ends.
    overhang = (144 - 0.5 - 7.25 * 0.5) * cos(atan(0.5)) - 119.25
    (kept,) = longest({"roof.overhang": overhang})
    assert (kept.result, kept.value, kept.limit) == ("pass", pytest.approx(144), 144)
    (broken,) = longest({"roof.overhang": overhang + HAIR})
    assert (broken.result, broken.limit) == ("fail", 144)
    # A hair over twelve feet is told as more than twelve feet.
    assert broken.advice == (
        "C1 needs a 2x8 of 12' 1/16\" and the longest is 12' 0\": list a longer board under "
        "[[lumber]], shorten the overhang or the span, or bear the rafter on a wall or beam "
        "between and cut it in two"
    )


def test_a_roof_that_is_refused_is_asked_for_its_unit_too() -> None:
    """A hip roof of 20 by 12, read in inches: its hips are refused, and its size is asked of."""
    tables = changed(HIP, {"roof.span": 20, "roof.length": 12})
    with pytest.raises(JobError) as error:
        check_job(job_of(tables))
    *_, asked = error.value.problems
    assert len(error.value.problems) == 2
    assert asked.startswith("roof: it is only 1' 0\" wide: ")
    assert asked.endswith('like "12ft"')


def test_boards_on_hand_count_as_boards() -> None:
    boards = [{"size": "2x8", "lengths": ["8ft"], "on_hand": [{"length": "13ft"}]}]
    told = findings(GABLE, {"lumber": boards}, "board length")
    assert {f.result for f in told} == {"pass"}
    assert {f.limit for f in told if f.subject == "C1"} == {156}


def test_a_ridge_that_is_a_beam_or_none_is_held_to_no_ridge_board_rule() -> None:
    for ridge in ({"kind": "beam", "size": "4x6"}, {"kind": "none"}):
        told = findings(GABLE, {"roof.pitch": "2/12", "ridge": ridge}, "ridge depth")
        assert told == []
    low = findings(GABLE, {"roof.pitch": "2/12", "ridge": {"kind": "none"}},
                   "slope for a ridge that is no beam [in 12]")  # fmt: skip
    assert {f.result for f in low} == {"fail"}


@pytest.mark.parametrize("thickness", [38, 37.9])
def test_a_metric_hip_is_held_to_the_dressed_millimetres(thickness: float) -> None:
    """38 mm is what 2 in nominal is dressed to; 1 1/2 in would be a tenth more."""
    size = {"hip.size": f"{thickness}x245"}
    (told,) = findings(METRIC_HIP, size, "hip thickness")
    assert (told.limit, told.result) == (38, "pass" if thickness == 38 else "fail")


def test_a_ridge_is_held_to_the_rafters_that_lie_on_it() -> None:
    """A steep wing's plumb cuts, 10 1/4 in, lie on its own ridge and not on the main one's."""
    steep = with_wing(TEE, {"pitch": "12/12", "span": "8ft"})
    told = {(f.result, round(f.limit, 6)) for f in findings(steep, {}, "ridge depth")}
    main, wing = (round(7.25 * sqrt(1 + pitch**2), 6) for pitch in (0.5, 1.0))
    assert told == {("pass", main), ("fail", wing)}


def test_checks_name_the_limit_that_the_job_chose() -> None:
    for limit, source in (
        ("1/3", "common practice, no source (a third of the depth)"),
        ("1/4", "IRC 2006/2009 R802.7.1 (notches at the ends: a quarter of the depth)"),
        ("0.3", "limit chosen in the job file"),
    ):
        (told,) = findings(GABLE, {"rafter.notch_limit": limit}, "notch depth")
        assert told.source == source


def test_lumber_that_no_part_is_cut_from() -> None:
    job = job_of(GABLE, {"lumber": [{"size": "2x6", "lengths": ["12ft"]}]})
    with pytest.raises(JobError) as caught:
        check_job(job)
    assert caught.value.problems == (
        "lumber[1].size: no part is cut from 2x6; the roof takes 2x8, 2x10",
    )


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"roof.span": "4ft"}, None),
        ({"roof.span": 20}, '"20ft"'),
        ({"roof.length": 24}, '"24ft"'),
    ],
)
def test_a_very_small_roof_is_asked_for_its_unit(
    changes: dict[str, object], told: str | None
) -> None:
    found = [f for f in check_job(job_of(GABLE, changes)) if f.check == "size of the roof"]
    assert [f.result for f in found] == (["warn"] if told else [])
    assert all(told and told in f.advice for f in found)


def test_a_roof_too_small_for_any_rafter_is_told_of_its_size() -> None:
    """A hub takes the place of the only commons, and all jacks are left out."""
    lumber = [{"size": "2x6", "lengths": ["8ft"]}]
    tables = changed(
        OCTAGON, {"roof.span": 12, "hip.hub": 4, "hip.shortest_jack": 12, "lumber": lumber}
    )
    with pytest.raises(JobError) as caught:
        check_job(job_of(tables))
    assert caught.value.problems == (
        "lumber[1].size: no part is cut from 2x6; no rafter is long enough, so check the units of "
        "the roof's size",
    )


def test_every_finding_stands_on_a_source() -> None:
    for base in (GABLE, SHED):
        for finding in check_job(job_of(base)):
            assert finding.source
            assert finding.result == "pass"


def test_who_frames_hips_or_valleys_is_told_to_brace_them() -> None:
    """Valley plates lie on the sheathing, and bring no load to a point."""
    laid = {"valley.kind": "overlay", "valley.sheathing": 0.5}
    for tables, told in ((HIP, True), (TEE, True), (GABLE, False), (changed(TEE, laid), False)):
        assert (AT_RIDGES in cautions(job_of(tables))) is told
