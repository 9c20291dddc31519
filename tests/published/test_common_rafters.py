"""Lengths and rises of common rafters, from a job file to the framed roof, against print.

Print gives lengths to the middle of the ridge, so these roofs have none.
"""

from __future__ import annotations

import pytest

from cutlist.roof.roof import Roof
from cutlist.units import UNITS, parse_length
from tests.jobs import GABLE, common, roof_of
from tests.published.tables import Row, each, published


def gable(units: str, span: str | float, pitch: str) -> Roof:
    return roof_of(
        GABLE,
        {
            "units": units,
            "roof.span": span,
            "roof.pitch": pitch,
            "roof.overhang": 0,
            "rafter.size": "2x6" if units == "imperial" else "45x145",
            "rafter.spacing": "400mm",
            "rafter.seat": "20mm",
            "plate.width": "89mm",
            "ridge": {"kind": "none"},
        },
    )


@each("framing_square")
def test_framing_square(row: Row) -> None:
    length = common(gable("imperial", "20ft", f"{row['rise_in_12']}/12")).line_length
    printed, tolerance = float(row["per_foot_of_run_in"]), float(row["tolerance"])
    assert length / 10 == pytest.approx(printed, abs=tolerance)


@each("common_rafters")
def test_line_length(row: Row) -> None:
    printed, tolerance = published(row, "line_length")
    roof = gable(row["units"], row["span"], row["pitch"])
    for member in roof.members:
        assert member.line_length == pytest.approx(printed, abs=tolerance)


@each("rise_and_length")
def test_rise_and_length_of_a_run(row: Row) -> None:
    printed, tolerance = published(row)
    run = parse_length(row["run"], UNITS["metric" if row["units"] == "metric" else "imperial"])
    roof = gable(row["units"], 2 * run, row["pitch"])
    heights = {height.name: height.above_plate for height in roof.heights}
    rise = (
        heights["rafter tops meeting over the ridge"] - heights["rafter tops at the building line"]
    )
    measured = {"length": common(roof).line_length, "rise": rise}
    assert measured[row["quantity"]] == pytest.approx(printed, abs=tolerance)
