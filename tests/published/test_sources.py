"""Every published figure names a source that is cited."""

from __future__ import annotations

import re

import pytest

from tests.published.tables import FOLDER, rows

TABLES = sorted(path.stem for path in FOLDER.glob("*.csv") if path.stem != "sources")


@pytest.mark.parametrize("table", TABLES)
def test_every_row_names_a_cited_source(table: str) -> None:
    cited = {row["source"] for row in rows("sources")}
    for row in rows(table):
        keys = re.findall(r"[A-Z][A-Z0-9_]{3,}", row["source"])
        assert keys, row
        assert set(keys) <= cited


def test_no_source_is_cited_in_vain() -> None:
    used = " ".join(row["source"] for table in TABLES for row in rows(table))
    assert [row["source"] for row in rows("sources") if row["source"] not in used] == []
