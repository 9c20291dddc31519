"""From a job to its framed roof: the one place that knows every form."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from cutlist.job import Job
from cutlist.roof.joined import frame_joined
from cutlist.roof.ridged import frame_ridged
from cutlist.roof.roof import Roof
from cutlist.roof.seat_limit import automatic_seats
from cutlist.roof.shed import frame_shed

FORMS: dict[str, Callable[[Job], Roof]] = {
    "gable": frame_ridged,
    "hip": frame_ridged,
    "shed": frame_shed,
}


def frame_roof(job: Job) -> Roof:
    """Return the framed roof. Raises JobError or GeometryError where it cannot be built so."""
    joined = job.wing or job.roof.is_polygon
    roof = frame_joined(job) if joined else FORMS[job.roof.form](job)
    return replace(roof, measures=(*roof.measures, *automatic_seats(job, roof)))
