"""What the checks find on the test jobs."""

from __future__ import annotations

from typing import Any

from cutlist.checks.finding import Finding
from cutlist.checks.run import run_checks
from tests.jobs import Tables, case_of


def findings(base: Tables, changes: dict[str, Any], check: str) -> list[Finding]:
    """Return the findings of one check, in the order they are told."""
    return [f for f in run_checks(case_of(base, changes)) if f.check == check]


def results(base: Tables, changes: dict[str, Any], check: str) -> set[str]:
    """Return the different results of one check."""
    return {finding.result for finding in findings(base, changes, check)}
