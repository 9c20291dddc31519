"""The limits that the checks hold a roof to, against the codes they cite."""

from __future__ import annotations

import pytest

from cutlist.lumber import parse_size
from cutlist.roof.face import plumb_depth
from cutlist.units import IMPERIAL, parse_fraction
from tests.checks.findings import findings
from tests.jobs import GABLE, SHED, common, roof_of
from tests.published.tables import Row, each


# What a limit of the table comes to for a rafter 2x8 (or 45x195 mm) at 6 in 12, by its unit.
def in_the_job(row: Row, depth: float) -> float:
    if row["unit"] == "nominal in":
        return parse_size(f"{row['limit']}x10", IMPERIAL).thickness
    limit = parse_fraction(row["limit"])
    if row["unit"] == "in per 12 in":
        return limit
    if row["unit"] == "plumb length of the cut end":
        return limit * plumb_depth(depth, 6 / 12)
    return limit * depth if row["unit"] == "depth" else limit


@each("code_limits")
def test_limit(row: Row) -> None:
    base = SHED if row["unit"] == "mm" else GABLE
    changes = {"roof.overhang": 0} if row["check"] == "end notch" else {}
    expected = in_the_job(row, common(roof_of(base, changes)).size.depth)
    told = findings(base, changes, row["check"])
    assert told
    assert [finding.limit for finding in told] == pytest.approx([expected] * len(told))


@pytest.mark.parametrize(("check", "mm"), [("overhang", 610), ("depth left over the notch", 89)])
def test_a_metric_job_is_held_to_the_millimetres_in_print(check: str, mm: float) -> None:
    told = findings(SHED, {}, check)
    assert [finding.limit for finding in told] == [mm] * 2
    assert all(f"{mm} mm" in finding.source for finding in told)
