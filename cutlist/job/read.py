"""The job file read: every mistake in it told at once."""

from __future__ import annotations

import tomllib
from pathlib import Path

from pydantic import ValidationError

from cutlist.errors import JobError
from cutlist.job.faults import fault, toml_fault
from cutlist.job.rules import contradictions
from cutlist.job.tables import SAW_DEFAULTS, Job
from cutlist.units import IMPERIAL, METRIC


def read_job(path: Path) -> Job:
    """Return the job in a file. Raises JobError with every mistake found."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise JobError([f"{path}: there is no such file"]) from None
    except UnicodeDecodeError:
        raise JobError([f"{path}: it is not a text file in UTF-8"]) from None
    except OSError as error:
        raise JobError([f"{path}: it cannot be read ({error.strerror})"]) from None
    return parse_job(text, path.name)


def parse_job(text: str, source: str) -> Job:
    """Return the job in a TOML text. Raises JobError with every mistake found.

    `source` is the name that messages begin with.
    """
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobError([f"{source}: {toml_fault(str(error), text)}"]) from None
    units = METRIC if raw.get("units") == "metric" else IMPERIAL
    saw = raw.setdefault("saw", {})
    if isinstance(saw, dict):
        raw["saw"] = {**SAW_DEFAULTS[units.name], **saw}
    try:
        job = Job.model_validate(raw, context={"units": units})
    except ValidationError as error:
        problems = [fault(details) for details in error.errors()]
        raise JobError([f"{source}: {p}" for p in problems]) from None
    if found := list(contradictions(job)):
        raise JobError([f"{source}: {key}: {reason}" for key, reason in found])
    return job
