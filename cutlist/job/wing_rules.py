"""Keys of a job with wings that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator

from cutlist.job.tables import Job, RoofTable, ValleyTable, WingTable
from cutlist.units import format_length

NOT_FRAMED = "roofs that meet are not framed"


def wing_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    """Find what is wrong with the wings of a job, as (key, what is wrong and what to do)."""
    if not job.wing:
        if job.valley:
            yield "valley", "there are no valleys without a [[wing]]; leave the table out"
        return
    if job.valley is None:
        yield "valley", 'it is missing; write [valley] with size = "2x10"'
    else:
        yield from _sheathing(job.valley)
    if job.ridge and job.ridge.kind != "board":
        yield "ridge.kind", f'{NOT_FRAMED} without a ridge board; write kind = "board"'
    yield from _form(job, "roof", job.roof)
    for i, wing in enumerate(job.wing, start=1):
        key = f"wing[{i}]"
        yield from _form(job, key, wing)
        yield from _keys(job, key, wing)


def _sheathing(valley: ValleyTable) -> Iterator[tuple[str, str]]:
    if valley.kind == "overlay" and valley.sheathing is None:
        yield (
            "valley.sheathing",
            'it is missing; the thickness of what both roofs are sheathed with, like "1/2in"',
        )
    if valley.kind != "overlay" and valley.sheathing is not None:
        yield "valley.sheathing", 'it is for kind = "overlay" only'


def _form(job: Job, key: str, table: RoofTable) -> Iterator[tuple[str, str]]:
    if table.form == "shed" and (key == "roof" or not job.is_laid):
        but = "" if key == "roof" else ', but for a dormer laid on it (valley.kind = "overlay")'
        yield f"{key}.form", f'{NOT_FRAMED} with a shed{but}; write "gable" or "hip"'
    if "half-hip" in (table.ends or ()):
        yield f"{key}.ends", f'{NOT_FRAMED} with a half-hip; write "hip" or "gable"'
    own = job.roof.plate_height if table.plate_height is None else table.plate_height
    if table.far_plate_height not in (None, own):
        yield (
            f"{key}.far_plate_height",
            f"{NOT_FRAMED} with two plate heights in one of them; leave it out",
        )


def _keys(job: Job, key: str, table: WingTable) -> Iterator[tuple[str, str]]:
    """Hold a wing's keys against each other and against the first roof's."""
    given = table.model_fields_set
    if table.open and job.is_laid:
        yield f"{key}.open", "it is laid on the first roof, whose wall goes on; leave it out"
    if table.form == "shed":
        yield from _shed_keys(key, table) if job.is_laid else ()
    elif table.form == "gable":
        for name in ("end_pitch", "ends"):
            if name in given:
                yield f"{key}.{name}", 'it is for form = "hip" only'
    if table.has_hips and job.hip is None and not job.roof.has_hips:
        yield "hip", 'it is missing; write [hip] with size = "2x10"'
    for name in ("high_end", "high_overhang"):
        if name in given:
            yield f"{key}.{name}", "no wing has a high end over a plate; leave it out"
    if "hip_start" in given:
        yield f"{key}.hip_start", "it is for a half-hip only"
    if 0 < table.rake_overhang < job.rafter.size.thickness:
        yield (
            f"{key}.rake_overhang",
            "the barge rafter would stand inside the end rafter; it must be 0, or at least the "
            "rafters' thickness",
        )
    if table.plate_height is not None and job.roof.plate_height is None:
        yield "roof.plate_height", f"it is missing; {key}.plate_height is measured beside it"
    elif job.roof.first_pitch:
        yield from _fascia(job, key, table)


def _shed_keys(key: str, table: WingTable) -> Iterator[tuple[str, str]]:
    """Hold the keys of a shed dormer against each other."""
    for name, why in (
        ("pitch", "its slope is flatter than the one beneath"),
        ("plate_height", "its front wall stands on the roof"),
        ("overhang", "its fascia is its own"),
    ):
        if getattr(table, name) is None:
            yield f"{key}.{name}", f"it is missing, and a shed dormer needs it: {why}"
    for name in ("far_pitch", "end_pitch", "ends", "corners", "sides", "pitches"):
        if name in table.model_fields_set:
            yield f"{key}.{name}", "a shed has one slope over a rectangle; leave it out"


def _fascia(job: Job, key: str, table: RoofTable) -> Iterator[tuple[str, str]]:
    """Hold a wing's overhang against the fascia, which is level where roofs meet.

    A wing that is laid on the first roof may have a higher one of its own.
    """

    def text(length: float) -> str:
        return format_length(length, job.units, job.saw.round_to)

    first, own = job.roof, job.roof.first_pitch or 0.0
    pitch = table.first_pitch or own
    drop = first.overhang * own
    floor = first.plate_height or 0.0
    raised = 0.0 if table.plate_height is None else table.plate_height - floor
    level = (drop + raised) / pitch
    if level < 0:
        yield (
            f"{key}.plate_height",
            "the fascia is level where roofs meet, and over a plate so low it would lie inside "
            f"the wall; it must be at least {text(floor - drop)}",
        )
    elif table.overhang is not None and abs(table.overhang - level) > job.saw.round_to / 2:
        told = f"the fascia is level where roofs meet, which makes it {text(level)}; leave it out"
        least = ""
        if job.is_laid and not table.is_polygon:
            if table.overhang < level:
                return
            told = f"its fascia would lie under the first roof's; it must be at most {text(level)}"
            least = "at least "
        if first.plate_height is not None:
            plate = floor + table.overhang * pitch - drop
            told += f", or make its plate_height {least}{text(plate)}"
        yield f"{key}.overhang", told
