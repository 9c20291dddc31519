"""Dormers that are refused: which ends of them run into the slope, and what they must clear."""

from __future__ import annotations

from typing import Any

import pytest

from cutlist.errors import JobError
from cutlist.units import IMPERIAL, parse_length
from tests.dormers import DORMER, HIPPED
from tests.jobs import Tables, changed, roof_of
from tests.wings import with_wing


def refused(tables: Tables) -> tuple[str, ...]:
    with pytest.raises(JobError) as caught:
        roof_of(tables)
    return caught.value.problems


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        # Eaves at 72 - 6 in over the plate, and the slope at (36 + 24) x 9/12 = 45 in under them.
        (
            {"length": "2ft"},
            "wing[1].length: neither end of it runs into the roof beneath, at (17' 0\", 5' 0\"); "
            "make it 4' 4\" or more",
        ),
        # 36 x 9/12 + 6 = 33 in over the plate at 96.
        (
            {"plate_height": None},
            "wing[1].plate_height: its eaves lie in the roof beneath, at (17' 0\", 3' 0\"); make "
            "it more than 10' 9\"",
        ),
        (
            {"plate_height": "10ft 9in"},
            "wing[1].plate_height: its eaves lie in the roof beneath, at (17' 0\", 3' 0\"); make "
            "it more than 10' 9\"",
        ),
        (
            {"plate_height": "20ft", "at": ["20ft", "10ft"], "length": "3ft"},
            "wing[1].length: neither end of it runs into the roof beneath, at (17' 0\", 13' 0\"); "
            "make it 5' 4\" or more",
        ),
        (
            {"turn": 0},
            "wing[1]: its left end stands half above the slope beneath and half in it, at "
            "(20' 0\", 6' 0\"); move or turn the wing so that it stands on one slope and its "
            "length runs straight up it",
        ),
        (
            {"turn": 91},
            "wing[1].turn: its length is not square to the eaves beneath it at "
            "(20' 7 1/16\", 7' 4\"); turn it so that it runs straight up the slope",
        ),
        (
            {"at": ["20ft", "-6in"], "plate_height": "12ft"},
            "wing[1].at: its front wall stands over the first roof's overhang at (20' 0\", -6\"); "
            "set it on the wall there or inside it, or out past the overhang",
        ),
        (
            {"at": ["4ft", "3ft"]},
            "wing[1]: its left end stands half in another roof at (2' 0\", 3' 0\"); move it "
            "clear, or so that its whole width is inside",
        ),
        # Its ridge would come down to the slope past the roof's own ridge.
        (
            {"span": "14ft", "at": ["24ft", "3ft"], "plate_height": "15ft 6in"},
            "wing[1]: its roof stands higher than the one it runs into, so that its ridge would "
            "come out of it past (17' 0\", 11' 0\"); make its span narrower, its pitch or "
            "plate_height lower, or move it",
        ),
    ],
)
def test_dormers_that_do_not_run_into_a_slope(changes: dict[str, Any], told: str) -> None:
    assert refused(with_wing(DORMER, changes)) == (told,)


def test_a_dormer_keeps_to_one_slope() -> None:
    hipped = changed(
        DORMER, {"roof.form": "hip", "roof.rake_overhang": None, "hip": {"size": "2x10"}}
    )
    (told,) = refused(with_wing(hipped, {"at": [166, 36], "pitch": "6/12"}))
    assert told.startswith("wing[1].at: at (")
    assert told.endswith(
        "its roof reaches past the edge of the near slope that it stands on; move it, or make it "
        "smaller"
    )


def test_dormers_keep_clear_of_each_other() -> None:
    """Their overhangs of 8 in each take the room between walls 16 in apart."""

    def beside(distance: float) -> Tables:
        first = DORMER["wing"][0]
        return {**DORMER, "wing": [first, {**first, "at": [240 + 72 + distance, 36]}]}

    (told,) = refused(beside(15))
    assert told.startswith("wing[2].at: its roof comes to that of wing[1] at (")
    assert told.endswith("; move them apart")
    refused(beside(16))
    roof_of(beside(16.01))


@pytest.mark.parametrize(
    ("base", "tail", "height"),
    [(DORMER, "plumb", "11ft 6in"), (DORMER, "square", "11ft 3in"), (HIPPED, "plumb", "11ft 6in")],
)
def test_a_dormer_is_as_low_as_its_eaves_let(base: Tables, tail: str, height: str) -> None:
    """What is told to be high enough is, and a sixteenth less is not."""
    low = with_wing(changed(base, {"rafter.tail": tail}), {"plate_height": height})
    (told,) = refused(low)
    assert told.startswith("wing[1].plate_height: at (")
    least = told.split("make it ")[1].split(" or more")[0]
    roof_of(with_wing(low, {"plate_height": least}))
    (again,) = refused(with_wing(low, {"plate_height": inches(least) - 1 / 16}))
    assert again.split("make it ")[1].split(" or more")[0] == least


def inches(text: str) -> float:
    return parse_length(text, IMPERIAL)


def test_jacks_at_a_fascia_need_a_plate_that_comes_in_under_them() -> None:
    """Flat and deep rafters come down to the sheathing far outside the wall."""
    flat = with_wing(
        changed(DORMER, {"rafter.size": "2x12", "valley.size": "2x4", "ridge.size": "2x12"}),
        {"pitch": "4/12", "overhang": 0, "rake_overhang": 0},
    )
    (told,) = refused(flat)
    assert told.startswith("valley.size: at (")
    wide = told.split("take one at least ")[1].split(" wide")[0]
    with pytest.raises(JobError):
        roof_of(changed(flat, {"valley.size": f"1 1/2in x {inches(wide) - 0.1}in"}))
    roof_of(changed(flat, {"valley.size": f"1 1/2in x {inches(wide)}in"}))


def test_no_posts_carry_a_dormer() -> None:
    (told,) = refused(changed(DORMER, {"plate.posts": {"every": "8ft", "width": 5.5}}))
    assert told == (
        "plate.posts: the walls of wing[1] stand on the roof, where no posts carry its plates; "
        "leave posts out, or leave out its overhang so that its fascia is level"
    )


def test_a_tail_too_short_is_told_with_the_wings_key() -> None:
    (told,) = refused(with_wing(changed(DORMER, {"rafter.tail": "level"}), {"overhang": 6}))
    assert told.startswith('wing[1].overhang: 6" on the wing 1 near side is too short for a level')


def test_a_hip_that_comes_down_on_the_plate_in_the_valley_is_refused() -> None:
    """A front so flat beside steep slopes that its hips run back nearly along the valleys."""
    flat = {"form": "hip", "span": 1083, "length": 1793, "at": [3095, 238], "turn": 90}
    tables = {
        "name": "Flat front",
        "units": "metric",
        "roof": {
            "form": "hip",
            "span": 7300,
            "length": 18000,
            "pitch": "57%",
            "end_pitch": "113%",
            "overhang": 300,
            "plate_height": 2400,
        },
        "rafter": {"size": "45x145", "spacing": 586},
        "ridge": {"kind": "board", "size": "45x245"},
        "hip": {"size": "45x245", "top": "back"},
        "valley": {"size": "25x286", "kind": "overlay", "sheathing": 10},
        "plate": {"width": 95},
        "wing": [flat | {"pitch": "100%", "end_pitch": "34%", "plate_height": 3187}],
    }
    (told,) = refused(tables)
    assert told.startswith("wing[1]: its hip would come down on the plate in its valley at (")
