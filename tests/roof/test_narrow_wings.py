"""Wings hardly wider than their plates: framed whole, or refused with what stands in what."""

from __future__ import annotations

import pytest

from cutlist.checks.fit import fit
from cutlist.errors import JobError
from tests.jobs import Tables, case_of, changed, roof_of
from tests.wings import with_wing

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
            "wing wider or steeper, or take a ridge that is less deep",
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
