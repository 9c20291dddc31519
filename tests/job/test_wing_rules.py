"""Wings in the job file: what they may hold, and whole messages for every mistake in them."""

from __future__ import annotations

from typing import Any

import pytest

from tests.bays import BAY
from tests.hips import HIP
from tests.job.test_job import told
from tests.jobs import GABLE, SHED, Tables, case_of, changed, job_of
from tests.wings import TEE, with_wing


def test_a_wing_is_read() -> None:
    (wing,) = job_of(with_wing(TEE, {"open": True, "turn": -90})).wing
    assert (wing.at, wing.turn, wing.open) == ((28 * 12, -12 * 12), -90, True)
    assert (wing.span, wing.length, wing.pitch) == (16 * 12, 12 * 12, None)


@pytest.mark.parametrize(
    ("changes", "messages"),
    [
        ({"att": ["1ft", "2ft"]}, ["wing[1].att: there is no such key; did you mean at?"]),
        (
            {"at": [0, 0, 0]},
            ["wing[1].at: [0, 0, 0]: it should have 2 items, not 3"],
        ),
        ({"at": None}, ['wing[1].at: it is missing; write for example at = ["10ft", "-12ft"]']),
        (
            {"at": ["1ft"]},
            ['wing[1].at[2]: it is missing; write for example at = ["10ft", "-12ft"]'],
        ),
        (
            {"far_plate_height": "9ft"},
            [
                "wing[1].far_plate_height: roofs that meet are not framed with two plate heights "
                "in one of them; leave it out"
            ],
        ),
        (
            {"plate_height": "8ft"},
            ["roof.plate_height: it is missing; wing[1].plate_height is measured beside it"],
        ),
        (
            {"form": "shed"},
            [
                "wing[1].form: roofs that meet are not framed with a shed, but for a dormer laid "
                'on it (valley.kind = "overlay"); write "gable" or "hip"'
            ],
        ),
        ({"form": "hip"}, ['hip: it is missing; write [hip] with size = "2x10"']),
        ({"ends": ["hip", "hip"]}, ['wing[1].ends: it is for form = "hip" only']),
        (
            {"rake_overhang": 1},
            [
                "wing[1].rake_overhang: the barge rafter would stand inside the end rafter; it "
                "must be 0, or at least the rafters' thickness"
            ],
        ),
        (
            {"pitch": "8/12", "overhang": 12},
            [
                'wing[1].overhang: the fascia is level where roofs meet, which makes it 9"; leave '
                "it out"
            ],
        ),
    ],
)
def test_mistakes_in_a_wing(changes: dict[str, Any], messages: list[str]) -> None:
    assert told(with_wing(TEE, changes), {}) == messages


@pytest.mark.parametrize(
    ("changes", "messages"),
    [
        # 12 in at 6 in 12 is 6 in down.
        (
            {"plate_height": "7ft 5in"},
            [
                "wing[1].plate_height: the fascia is level where roofs meet, and over a plate so "
                "low it would lie inside the wall; it must be at least 7' 6\""
            ],
        ),
        ({"plate_height": "7ft 6in", "overhang": 0}, []),
        ({"plate_height": "8ft 2in", "pitch": "8/12", "overhang": 12}, []),
        (
            {"plate_height": "8ft 3in", "pitch": "8/12", "overhang": 12},
            [
                "wing[1].overhang: the fascia is level where roofs meet, which makes it "
                "1' 1 1/2\"; leave it out, or make its plate_height 8' 2\""
            ],
        ),
    ],
)
def test_a_wings_plate_and_overhang_keep_the_fascia_level(
    changes: dict[str, Any], messages: list[str]
) -> None:
    tables = with_wing(changed(TEE, {"roof.plate_height": "8ft"}), changes)
    if messages:
        assert told(tables, {}) == messages
    else:
        (wing,) = job_of(tables).wing
        assert wing.overhang == changes["overhang"]


LAID = changed(
    TEE,
    {
        "valley": {"size": "2x8", "kind": "overlay", "sheathing": "1/2in"},
        "roof.plate_height": "8ft",
    },
)


@pytest.mark.parametrize(
    ("changes", "messages"),
    [
        # Level it is 12 in, and over a plate 8 in higher at 8 in 12 that much and 3 in more.
        ({"overhang": 12}, []),
        ({"overhang": 8}, []),
        ({"plate_height": "8ft 8in", "pitch": "8/12", "overhang": 21}, []),
        (
            {"plate_height": "8ft 8in", "pitch": "8/12", "overhang": 22},
            [
                "wing[1].overhang: its fascia would lie under the first roof's; it must be at most "
                "1' 9\", or make its plate_height at least 8' 8 11/16\""
            ],
        ),
        (
            {"overhang": -1},
            ['wing[1].overhang: -1: read as -1"; it must lie between 0" and 9\' 10 1/16"'],
        ),
        ({"overhang": "wide"}, ['wing[1].overhang: "wide": ']),
    ],
)
def test_a_wing_that_is_laid_on_may_have_its_own_overhang(
    changes: dict[str, Any], messages: list[str]
) -> None:
    tables = with_wing(LAID, changes)
    if messages:
        (found,) = told(tables, {})
        assert found.startswith(messages[0])
    else:
        (wing,) = job_of(tables).wing
        assert wing.overhang == changes["overhang"]


def test_a_bay_that_is_laid_on_keeps_the_fascia_level() -> None:
    laid = changed(BAY, {"valley": LAID["valley"]})
    found = told(with_wing(laid, {"overhang": 6}), {})
    assert any(m.startswith("wing[1].overhang: the fascia is level where roofs") for m in found)


@pytest.mark.parametrize(
    ("base", "changes", "messages"),
    [
        (TEE, {"valley": None}, ['valley: it is missing; write [valley] with size = "2x10"']),
        (
            TEE,
            {"valley.kind": "laid"},
            ['valley.kind: "laid": expected "framed" or "overlay"'],
        ),
        (
            TEE,
            {"valley.kind": "overlay"},
            [
                "valley.sheathing: it is missing; the thickness of what both roofs are sheathed "
                'with, like "1/2in"'
            ],
        ),
        (
            TEE,
            {"valley.sheathing": "1/2in"},
            ['valley.sheathing: it is for kind = "overlay" only'],
        ),
        (
            with_wing(TEE, {"open": True}),
            {"valley": {"size": "2x8", "kind": "overlay", "sheathing": "1/2in"}},
            ["wing[1].open: it is laid on the first roof, whose wall goes on; leave it out"],
        ),
        (
            TEE,
            {"ridge": {"kind": "none"}},
            [
                "ridge.kind: roofs that meet are not framed without a ridge board; write "
                'kind = "board"'
            ],
        ),
        (
            GABLE,
            {"valley": {"size": "2x10"}},
            ["valley: there are no valleys without a [[wing]]; leave the table out"],
        ),
        (
            HIP,
            {
                "roof.ends": ["half-hip", "hip"],
                "roof.hip_start": "2ft",
                "valley": TEE["valley"],
                "wing": TEE["wing"],
            },
            ['roof.ends: roofs that meet are not framed with a half-hip; write "hip" or "gable"'],
        ),
    ],
)
def test_mistakes_beside_wings(base: Tables, changes: dict[str, Any], messages: list[str]) -> None:
    assert told(base, changes) == messages


def test_a_shed_takes_no_wings() -> None:
    changes = {"valley": {"size": "45x195"}, "wing": TEE["wing"]}
    messages = told(changed(SHED, changes), {})
    told_of_form = 'roof.form: roofs that meet are not framed with a shed; write "gable" or "hip"'
    assert told_of_form in messages


@pytest.mark.parametrize(("size", "result"), [("2x10", "pass"), ("2x6", "fail")])
def test_valleys_are_held_to_the_depth_of_hips(size: str, result: str) -> None:
    from cutlist.checks.ridge import hip_depth

    found = list(hip_depth(case_of(TEE, {"valley.size": size})))
    assert {f.check for f in found} == {"valley depth"}
    assert {f.result for f in found} == {result}
