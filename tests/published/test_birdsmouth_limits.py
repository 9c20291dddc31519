"""How long a seat and how deep a notch the published limits let, against what is cut and told."""

from __future__ import annotations

import pytest

from tests.checks.findings import findings
from tests.jobs import GABLE, common, roof_of
from tests.published.tables import Row, each

# Rounding to a hundredth of an inch is finer than any of the printed figures.
ROUND_TO = 0.01


@each("birdsmouth_limits")
def test_birdsmouth_limit(row: Row) -> None:
    printed, tolerance = float(row["published_in"]), float(row["tolerance"])
    changes = {
        "roof.span": "40ft",
        "roof.pitch": row["pitch"],
        "rafter.size": row["size"],
        "rafter.seat": "auto",
        "rafter.notch_limit": row["limit"],
        "plate.width": "16in",
        "ridge.size": "2x16",
        "saw.round_to": ROUND_TO,
    }
    notch = common(roof_of(GABLE, changes)).notches[0]
    told = findings(GABLE, changes, "notch depth")
    assert [finding.result for finding in told] == ["pass"]
    if row["quantity"] == "seat":
        assert notch.seat == pytest.approx(printed, abs=tolerance)
    else:
        assert told[0].limit == pytest.approx(printed, abs=tolerance)
        assert notch.depth <= told[0].limit
