"""Bays in the job file: what they may hold, and whole messages for every mistake in them."""

from __future__ import annotations

from typing import Any

import pytest

from tests.bays import BAY, POINTED
from tests.job.test_job import told
from tests.jobs import Tables, changed, job_of
from tests.wings import TEE, with_wing

PITCHES = ["6/12", "5/12", "50%", "5/12", "6/12"]


def test_a_bay_is_read() -> None:
    (wing,) = job_of(with_wing(BAY, {"pitches": PITCHES})).wing
    assert len(wing.plan) == 6
    assert wing.plan[2] == pytest.approx((42 + 3 / 16, -78 - 3 / 16))
    assert wing.side_pitches == pytest.approx((1 / 2, 5 / 12, 1 / 2, 5 / 12, 1 / 2))


def test_a_bay_has_the_roofs_pitch_unless_it_says_another() -> None:
    (wing,) = job_of(BAY).wing
    assert wing.side_pitches == (0, 0, 0, 0, 0)
    (wing,) = job_of(with_wing(BAY, {"pitch": "4/12"})).wing
    assert wing.side_pitches == pytest.approx([1 / 3] * 5)


@pytest.mark.parametrize(
    ("changes", "messages"),
    [
        ({"form": "gable"},
         ['hip: it is for form = "hip" only',
          'wing[1].form: a plan of corners is roofed by hips; write form = "hip"']),
        ({"span": "12ft", "length": "3ft"},
         ["wing[1].span: the corners say it; leave it out",
          "wing[1].length: the corners say it; leave it out"]),
        ({"sides": 8, "corners": None, "span": "6ft"},
         ["wing[1].sides: a wing has a span and a length, or corners; leave it out"]),
        ({"end_pitch": "6/12"},
         ["wing[1].end_pitch: it is for a plan without corners; leave it out, or give pitches"]),
        ({"rake_overhang": 12}, ["wing[1].rake_overhang: no wall of this wing is a gable; leave it "
                                 "out"]),
        ({"pitches": ["gable", *PITCHES[1:]]},
         ["wing[1].pitches[1]: this wall runs back to the mouth, and a gable stands between two "
          "slopes; give it a pitch"]),
        ({"pitches": [*PITCHES[:2], "gable", *PITCHES[3:]], "rake_overhang": 1},
         ["wing[1].rake_overhang: the barge rafter would stand inside the end rafter; it must be "
          "0, or at least the rafters' thickness",
          "wing[1].pitches[3]: a gable is square to the walls on both sides of it, and at corner 3 "
          "at (3' 6 3/16\", -6' 6 3/16\") they turn by 45 deg; make that corner square, or give "
          "this side a pitch",
          "wing[1].pitches[3]: a gable is square to the walls on both sides of it, and at corner 4 "
          "at (8' 5 13/16\", -6' 6 3/16\") they turn by 45 deg; make that corner square, or give "
          "this side a pitch"]),
        ({"pitches": PITCHES[:4]},
         ["wing[1].pitches: there are 4 for 5 walls between its corners; give one for each, from "
          "the first corner on, or one pitch for all"]),
        ({"pitch": "6/12", "pitches": PITCHES},
         ["wing[1].pitch: the pitches of all sides are given; leave it out"]),
        ({"pitches": []},
         ["wing[1].pitches: there are 0 for 5 walls between its corners; give one for each, from "
          "the first corner on, or one pitch for all"]),
        ({"corners": [["0ft", "0ft"], ["4ft", "-4ft"]]},
         ["wing[1].corners: a plan has three corners at least, and this one has 2"]),
        ({"corners": []}, ["wing[1].corners: a plan has three corners at least, and this one has "
                           "0"]),
        ({"corners": [["8ft", "0ft"], ["4ft", "-4ft"], ["0ft", "0ft"]]},
         ["wing[1].corners[1]: (8' 0\", 0\"): the corners run clockwise; write them in the "
          "opposite order"]),
        ({"corners": [["0ft", "0ft"], ["4ft"], ["8ft", "0ft"]]},
         ["wing[1].corners[2][2]: it is missing"]),
        ({"pitches": ["8/12", *PITCHES[1:]], "overhang": 12},
         ['wing[1].overhang: the fascia is level where roofs meet, which makes it 9"; leave it '
          "out, or make its plate_height 8' 2\""]),
    ],
)  # fmt: skip
def test_mistakes_in_a_bay(changes: dict[str, Any], messages: list[str]) -> None:
    assert told(with_wing(BAY, changes), {}) == messages


@pytest.mark.parametrize(
    ("base", "changes", "messages"),
    [
        (TEE, {"wing": [{**TEE["wing"][0], "pitches": PITCHES}]},
         ["wing[1].pitches: it is for a wing with corners; write pitch"]),
        (POINTED, {"valley": {"size": "2x8", "kind": "overlay", "sheathing": "1/2in"}},
         ['valley.kind: wing[1] has corners, and such a wing is framed into the other roof; write '
          '"framed", or give it a span and a length']),
        (POINTED, {"plate.posts": {"every": "6ft", "width": 5.5}},
         ["plate.posts.header: a plan of corners is not framed over posts beside the header, which "
          'would meet at its corners; write "on"']),
        (POINTED, {"hip": None}, ['hip: it is missing; write [hip] with size = "2x10"']),
        (POINTED, {"ridge": {"kind": "none"}},
         ['ridge.kind: roofs that meet are not framed without a ridge board; write kind = '
          '"board"']),
    ],
)  # fmt: skip
def test_mistakes_beside_a_bay(base: Tables, changes: dict[str, Any], messages: list[str]) -> None:
    assert told(base, changes) == messages


def test_two_bays_are_told_of_posts_once() -> None:
    two = changed(POINTED, {"wing": [*POINTED["wing"], *BAY["wing"]]})
    (problem,) = told(two, {"plate.posts": {"every": "6ft", "width": 5.5}})
    assert problem.startswith("plate.posts.header: a plan of corners is not framed over posts")
