"""What a check finds, and what it looks at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cutlist.job import Job
from cutlist.roof.parts import Part
from cutlist.roof.roof import Roof
from cutlist.tolerance import ON_PLANE

Result = Literal["pass", "warn", "fail"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One rule held against one part or place.

    `value` and `limit` are lengths in the job's unit unless the check's name says otherwise;
    `advice` says what to do, and is empty where the rule is kept.
    """

    check: str
    subject: str
    value: float
    limit: float
    result: Result
    source: str
    advice: str = ""


def at_most(
    check: str,
    subject: str,
    value: float,
    limit: float,
    *,
    source: str,
    advice: str,
    otherwise: Result = "fail",
) -> Finding:
    """Return the finding of a rule that is kept where a value does not exceed its limit."""
    return _held(check, subject, value, limit, value <= limit + ON_PLANE, source, advice, otherwise)


def at_least(
    check: str,
    subject: str,
    value: float,
    limit: float,
    *,
    source: str,
    advice: str,
    otherwise: Result = "fail",
) -> Finding:
    """Return the finding of a rule that is kept where a value reaches its limit."""
    return _held(check, subject, value, limit, value >= limit - ON_PLANE, source, advice, otherwise)


def _held(
    check: str,
    subject: str,
    value: float,
    limit: float,
    kept: bool,
    source: str,
    advice: str,
    otherwise: Result,
) -> Finding:
    return Finding(
        check=check,
        subject=subject,
        value=value,
        limit=limit,
        result="pass" if kept else otherwise,
        source=source,
        advice="" if kept else advice,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A roof to be checked, with the job it came from."""

    job: Job
    roof: Roof
    parts: Sequence[Part]

    def mark_of(self, member: object) -> str:
        """Return the mark of the part that a member is cut to."""
        return next(p.mark for p in self.parts if any(m is member for m in p.members))
