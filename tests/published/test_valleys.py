"""Valleys and what stands on them against print, read off members of roofs framed from a job file.

A valley between equal slopes has a hip's lengths, and jacks on it differ as jacks on a hip do, so
rows of the hip tables are asked of valleys too.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot

import pytest

from cutlist.geometry.space import meet
from cutlist.roof.roof import Roof
from tests.dormers import DORMER
from tests.hips import face, level, members, theoretical_length
from tests.jobs import changed, roof_of
from tests.published.tables import Row, each, published, rows
from tests.wings import EQUAL_TEE, with_wing

LINE = "near wing 1 far valley"


def tee(span: str, pitch: str, spacing: str = "16in") -> Roof:
    """Return a roof and a wing of one span and pitch, whose ridges cross."""
    tables = changed(
        EQUAL_TEE,
        {
            "roof.span": span,
            "roof.length": "60ft",
            "roof.pitch": pitch,
            "rafter.spacing": spacing,
            "rafter.size": "2x10",
            "ridge.size": "2x12",
            "valley.size": "2x12",
        },
    )
    return roof_of(with_wing(tables, {"span": span, "at": ["45ft", "-12ft"]}))


def valley_length(roof: Roof) -> float:
    """Return the length along the valley from the heel line to where the ridges cross."""
    planes = [face(roof, name).plane for name in ("near", "far", "wing 1 near")]
    return theoretical_length(members(roof, "valley", LINE)[0], meet(*planes))


@each("valleys")
def test_valley(row: Row) -> None:
    roof = tee(row["span"], row["pitch"])
    run = face(roof, "near").run(
        meet(*(face(roof, name).plane for name in ("near", "far", "wing 1 near")))
    )
    (valley,) = members(roof, "valley", LINE)
    found = {
        "valley run": level(valley, valley_length(roof)),
        "valley length per foot of common run": 12 * valley_length(roof) / run,
        "valley length": valley_length(roof),
    }[row["quantity"]]
    figure, tolerance = published(row)
    assert found == pytest.approx(figure, abs=tolerance)


@each("valleys")
def test_a_dormers_valley(row: Row) -> None:
    """As long from over its wall to its ridge as that of a roof whose plates are level."""
    wing = {"span": row["span"], "pitch": row["pitch"], "at": ["45ft", "6ft"], "length": "20ft"}
    tables = changed(
        DORMER,
        {
            "roof.span": "80ft",
            "roof.length": "60ft",
            "roof.pitch": row["pitch"],
            "ridge.size": "2x12",
        },
    )
    roof = roof_of(with_wing(tables, wing))
    host, near, far = (face(roof, name) for name in ("near", "wing 1 near", "wing 1 far"))
    line = meet(host.plane, near.plane, far.plane) - meet(host.plane, near.plane, near.plumb(0.0))
    run = row["span"].removesuffix("ft")
    found = {
        "valley run": hypot(line.x, line.y),
        "valley length per foot of common run": line.length() / (float(run) / 2),
        "valley length": line.length(),
    }[row["quantity"]]
    figure, tolerance = published(row)
    assert found == pytest.approx(figure, abs=tolerance)


REGULAR = [
    row
    for row in rows("hip_roofs")
    if row["quantity"] in ("hip length per foot of common run", "jack difference")
    and row["units"] == "imperial"
    and not row["end_pitch"]
]


def test_the_hip_tables_have_such_rows() -> None:
    assert len(REGULAR) > 6


@pytest.mark.parametrize("row", REGULAR, ids=lambda row: f"{row['source']} {row['quantity']}")
def test_a_valley_is_as_a_hip_in_print(row: Row) -> None:
    roof = tee("24ft", row["pitch"], row["spacing"] or "16in")
    figure, tolerance = published(row)
    if row["quantity"] == "jack difference":
        # Those on one side of the wing's middle.
        middle = 45 * 12 - 12 * 12
        lengths = sorted(
            m.line_length for m in members(roof, "valley-jack", "near") if m.station < middle
        )
        steps = {round(b - a, 6) for a, b in pairwise(lengths)}
        (found,) = steps
    else:
        found = valley_length(roof)  # 12 ft of common run
        figure, tolerance = 12 * figure, 12 * tolerance
    assert found == pytest.approx(figure, abs=tolerance)
