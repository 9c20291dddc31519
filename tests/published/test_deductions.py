"""What the ridge takes off, what the tail adds, and the cut at the ridge, against print."""

from __future__ import annotations

import pytest

from tests.checks.findings import findings
from tests.jobs import GABLE, common, in_plan, roof_of
from tests.published.tables import Row, each, published


@each("ridge_deduction")
def test_half_the_ridge_is_taken_off_level(row: Row) -> None:
    printed, tolerance = published(row, "shortening_level")
    whole, shortened = (
        max(point.y for point in in_plan(common(roof_of(GABLE, {"ridge": ridge}), "near")))
        for ridge in ({"kind": "none"}, {"kind": "board", "size": row["ridge"]})
    )
    assert whole - shortened == pytest.approx(printed, abs=tolerance)


@each("tail_length")
def test_tail_along_the_slope(row: Row) -> None:
    printed, tolerance = published(row, "tail_length")
    roof = roof_of(
        GABLE,
        {
            "units": "metric",
            "roof.span": row["span"],
            "roof.pitch": row["pitch"],
            "roof.overhang": row["overhang"],
            "rafter": {"size": "45x145", "spacing": "450mm", "seat": 90},
            "ridge.size": "25x190",
            "plate.width": 90,
        },
    )
    for member in roof.members:
        if member.role == "common":
            assert member.tail_length == pytest.approx(printed, abs=tolerance)


@each("plumb_cut")
def test_plumb_cut(row: Row) -> None:
    # The tail is level, so that the plumb cut at the ridge is the only one.
    changes = {
        "roof.pitch": row["pitch"],
        "roof.overhang": 16,
        "rafter.size": row["size"],
        "rafter.tail": "level",
    }
    printed, tolerance = float(row["plumb_cut_in"]), float(row["tolerance"])
    cut = common(roof_of(GABLE, changes)).stick.near.length("plumb")
    assert cut == pytest.approx(printed, abs=tolerance)
    # The ridge is held against the same length.
    (told,) = findings(GABLE, changes, "ridge depth")
    assert told.limit == pytest.approx(cut)
