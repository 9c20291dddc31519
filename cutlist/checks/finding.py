"""What a check finds, and what it looks at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cutlist.job import Job
from cutlist.roof.parts import Part
from cutlist.roof.roof import Roof

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A roof to be checked, with the job it came from."""

    job: Job
    roof: Roof
    parts: Sequence[Part]

    def mark_of(self, member: object) -> str:
        """Return the mark of the part that a member is cut to."""
        return next(p.mark for p in self.parts if any(m is member for m in p.members))
