"""Wings so narrow or so turned that little room is left: framed whole, or refused with why."""

from __future__ import annotations

import pytest

from cutlist.checks.fit import fit
from cutlist.errors import JobError
from tests.jobs import Tables, case_of, changed, roof_of
from tests.wings import TEE, with_wing

NARROW: Tables = {
    "name": "Test narrow wing",
    "units": "metric",
    "roof": {"form": "gable", "span": 7000, "length": 12000, "pitch": "50%", "overhang": 400},
    "rafter": {"size": "45x195", "spacing": 600},
    "ridge": {"kind": "board", "size": "45x245"},
    "hip": {"size": "45x245"},
    "valley": {"size": "45x245"},
    "plate": {"width": 140},
    "wing": [{"form": "hip", "span": 420, "length": 3000, "at": [6000, -3000], "turn": 90}],
}
OVERLAY = {"valley.kind": "overlay", "valley.sheathing": 18}


@pytest.mark.parametrize("span", [330, 360, 390, 420, 590, 610])
@pytest.mark.parametrize("form", ["gable", "hip"])
@pytest.mark.parametrize("changes", [{}, OVERLAY])
def test_narrow_wings_fit(changes: Tables, form: str, span: int) -> None:
    tables = changed(with_wing(NARROW, {"span": span, "form": form}), changes)
    case = case_of(tables if form == "hip" else changed(tables, {"hip": None}))
    assert [f for f in fit(case) if f.result != "pass"] == []
    # Commons are no jacks: they stand all along, however short they are.
    for side in ("near", "far"):
        commons = [m for m in case.roof.members if m.line == f"wing 1 {side}"]
        assert {m.role for m in commons} == {"common"}
        assert len(commons) >= 5


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        # Two plates of 140 mm and the ridge's 45 mm.
        (
            {"span": 320},
            "wing[1].span: between the plates and the ridge no rafter has room; make it 326 mm or "
            "more",
        ),
        # At 30% the ridge's top is some 35 mm higher than the rafters' over the plate.
        (
            {"pitch": "30%"},
            "wing: the wing 1 ridge would stand in the near plate at (5790 mm, 43 mm); make that "
            "wing wider or steeper, let it open there (open = true), or take a size that is less "
            "deep",
        ),
    ],
)
def test_too_narrow_wings_are_refused(changes: Tables, message: str) -> None:
    with pytest.raises(JobError) as caught:
        roof_of(with_wing(NARROW, changes))
    assert list(caught.value.problems) == [message]


def test_a_wing_too_low_to_be_laid_is_refused() -> None:
    low = with_wing(changed(NARROW, OVERLAY), {"pitch": "30%"})
    with pytest.raises(JobError, match=r"a wing whose ridge ends so low, at \(5790 mm, .*\), c"):
        roof_of(low)


def test_a_laid_wing_that_hardly_stands_out_is_refused() -> None:
    """Its hips' tails would run through those of the roof's rafters beside its mouth."""
    low = {"span": 2108, "length": 301, "at": [7150, -301], "pitch": "4/12", "end_pitch": "14/12"}
    case = with_wing(changed(NARROW, OVERLAY), low)
    with pytest.raises(
        JobError, match=r"whose hip runs among its tails, at \(.*\), cannot be laid"
    ):
        roof_of(changed(case, {"roof.overhang": 450, "rafter.spacing": 400}))


def test_the_rafter_under_a_hips_head_is_never_left_out() -> None:
    """In a turned wing it stands on the valley, shorter than jacks are cut."""
    turned = {"span": 3000, "at": [7000, -1800], "turn": 67.5}
    case = case_of(with_wing(changed(NARROW, {"hip.shortest_jack": 1200}), turned))
    assert [f for f in fit(case) if f.result != "pass"] == []
    heads = [m for m in case.roof.members if m.line == "wing 1 far" and m.role == "valley-jack"]
    assert min(m.line_length for m in heads) < 1200


STEEP = changed(
    NARROW,
    {
        "roof": {"form": "gable", "span": 8700, "length": 16000, "pitch": "89%"},
        "roof.overhang": 450,
        "roof.plate_height": 2400,
        "hip": None,
    },
)
EDGE = {"form": "gable", "turn": 75, "plate_height": 2398, "open": True, "pitch": "82%"}
SLIVER = {"form": "gable", "turn": 247.5, "plate_height": 2300, "open": True}


@pytest.mark.parametrize(
    "tables",
    [
        # A valley's seat 2 mm over a plate lies over its last corner by less than a hair.
        with_wing(STEEP, {**EDGE, "span": 2500, "length": 2400, "at": [4000, -2290]}),
        # Under hips' heads, between two valleys further down, a cripple has one side only.
        with_wing(
            changed(
                STEEP,
                {
                    "roof.form": "hip",
                    "roof.span": 8400,
                    "roof.length": 15900,
                    "roof.pitch": "86%",
                    "hip.size": "45x245",
                    "rafter.spacing": 413,
                },
            ),
            {**SLIVER, "span": 5000, "length": 3270, "at": [3693.3891, 11411.4167]},
        ),
    ],
)
def test_what_is_hardly_there_is_not_framed(tables: Tables) -> None:
    assert [f for f in fit(case_of(tables)) if f.result != "pass"] == []


def test_a_slope_that_drains_across_a_valley_is_refused_with_its_place() -> None:
    """Turned toward the roof and much less steep, it falls away from the line of the two."""
    turned = {"turn": 120, "span": "14ft", "length": "14ft", "at": ["26ft", "-4ft"]}
    wing = with_wing(TEE, {**turned, "pitch": "6/12", "far_pitch": "3/12"})
    with pytest.raises(JobError) as caught:
        roof_of(changed(wing, {"roof.pitch": "12/12"}))
    assert caught.value.problems[0].startswith(
        "wing: the near and wing 1 far slopes fall one way where they meet at (3' 5 13/16\", "
        "-1' 0\"), so that no valley runs there; "
    )
