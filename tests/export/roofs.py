"""Framed roofs of the demo jobs, for tests of files that need no board plan."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from cutlist.build import Build
from cutlist.job import read_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.parts import group_parts

FIXTURES = Path(__file__).parents[2] / "fixtures"


@cache
def framed(name: str, job_name: str | None = None) -> Build:
    """Return a demo job's build without checks and plans, under another name if one is given."""
    job = read_job(FIXTURES / f"{name}.toml")
    if job_name is not None:
        job = job.model_copy(update={"name": job_name})
    roof = frame_roof(job)
    return Build(job=job, roof=roof, parts=group_parts(roof.members), findings=(), plans=())
