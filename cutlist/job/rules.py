"""Keys of a job that contradict each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from cutlist.dxf_names import too_new
from cutlist.job.corner_rules import corner_contradictions
from cutlist.job.tables import CncTable, Job
from cutlist.job.wing_rules import wing_contradictions
from cutlist.units import format_length


def contradictions(job: Job) -> Iterator[tuple[str, str]]:
    """Find keys that contradict each other, as (key, what is wrong and what to do)."""
    forms: dict[str, Callable[[Job], Iterator[tuple[str, str]]]] = {
        "gable": _gable_contradictions,
        "hip": _hip_contradictions,
        "shed": _shed_contradictions,
    }
    yield from forms[job.roof.form](job)
    roof, rafter = job.roof, job.rafter
    if rafter.tail == "plumb-level" and rafter.tail_height is None:
        yield "rafter.tail_height", 'it is missing; a plumb-level tail needs it, like "4in"'
    if rafter.tail != "plumb-level" and rafter.tail_height is not None:
        yield "rafter.tail_height", f'it is for tail = "plumb-level" only, not "{rafter.tail}"'
    if rafter.spacing < rafter.size.thickness:
        yield "rafter.spacing", "it is less than the rafters' thickness"
    if 0 < roof.rake_overhang < rafter.size.thickness:
        yield (
            "roof.rake_overhang",
            "the barge rafter would stand inside the end rafter; it must be 0, or at least the "
            "rafters' thickness",
        )
    if roof.far_plate_height is not None and roof.plate_height is None:
        yield "roof.plate_height", "it is missing; far_plate_height is measured beside it"
    if job.plate.posts and job.plate.posts.every < job.plate.posts.width:
        yield "plate.posts.every", "the posts would stand inside each other"
    yield from wing_contradictions(job)
    yield from corner_contradictions(job)
    yield from _label_contradictions(job)
    if job.cnc is not None:
        yield from _cnc_contradictions(job, job.cnc)
    yield from _lumber_contradictions(job)


def _gable_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    yield from _ridge_contradictions(job)
    for key in ("end_pitch", "ends", "hip_start"):
        if key in job.roof.model_fields_set:
            yield f"roof.{key}", 'it is for form = "hip" only'
    if job.hip and all(wing.form != "hip" for wing in job.wing):
        yield "hip", 'it is for form = "hip" only'


def _hip_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    roof = job.roof
    yield from _ridge_contradictions(job)
    if job.hip is None and roof.has_hips:
        yield "hip", 'it is missing; write [hip] with size = "2x10"'
    if job.ends == ("gable", "gable"):
        yield "roof.ends", 'neither end is hipped; write form = "gable"'
    if ("half-hip" in job.ends) != (roof.hip_start is not None):
        yield (
            "roof.hip_start",
            "it is the height above the plate at which a half-hip starts; give it with a "
            '"half-hip" in ends, and only then',
        )
    if "hip" in job.ends and roof.far_plate_height not in (None, roof.plate_height):
        yield "roof.far_plate_height", "hips need all plates at one height; leave it out"
    has_gable = bool({"gable", "half-hip"}.intersection(job.ends) or roof.gable_sides)
    if roof.rake_overhang and not has_gable:
        yield "roof.rake_overhang", "no end of this roof is a gable; leave it out"


def _ridge_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    if job.roof.pitch is None and not (job.roof.is_polygon and job.roof.pitches):
        yield "roof.pitch", 'it is missing; write for example pitch = "6/12"'
    for key in ("high_end", "high_overhang"):
        if key in job.roof.model_fields_set:
            yield f"roof.{key}", 'it is for form = "shed" only'
    if job.ledger:
        yield "ledger", 'it is for a shed with high_end = "ledger" only'
    if job.ridge is None:
        yield "ridge", 'it is missing; write [ridge] with kind = "board" and size = "2x10"'
    elif job.ridge.kind != "none" and job.ridge.size is None:
        yield "ridge.size", 'it is missing; write for example size = "2x10"'
    elif job.ridge.kind == "none" and job.ridge.size is not None:
        yield "ridge.size", 'a roof with kind = "none" has no ridge; leave the size out'


def _shed_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    roof = job.roof
    if (roof.pitch is None) == (roof.far_plate_height is None):
        yield (
            "roof.pitch",
            "give either pitch or far_plate_height (the high plate's), since one follows from the "
            "other",
        )
    for key in ("far_pitch", "end_pitch", "ends", "hip_start"):
        if key in roof.model_fields_set:
            yield f"roof.{key}", "a shed roof has one slope"
    if job.hip is not None:
        yield "hip", 'it is for form = "hip" only'
    if job.ridge is not None:
        yield "ridge", "a shed roof has no ridge; leave the table out"
    if roof.high_end == "ledger":
        if job.ledger is None:
            yield "ledger", 'it is missing; write [ledger] with size = "2x8"'
        if roof.far_plate_height is not None:
            yield "roof.far_plate_height", "a ledger is not a plate; give pitch instead"
        if roof.high_overhang:
            yield "roof.high_overhang", "rafters that butt against a ledger end there"
    elif job.ledger is not None:
        yield "ledger", 'it is for high_end = "ledger" only'


def _label_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    labels, stock = job.labels, job.labels.stock(job.units)
    if labels.on == "roll":
        for key in sorted(labels.model_fields_set - {"on", "width", "height"}):
            yield f"labels.{key}", 'it is for on = "sheet" only; a roll has width and height'
        return
    for key, fits, count, side, taken, page in (
        ("columns", stock.fits_across, stock.columns, stock.width, stock.taken_across, 0),
        ("rows", stock.fits_down, stock.rows, stock.height, stock.taken_down, 1),
    ):
        if not fits:
            size, total, room = (
                format_length(x, job.units, job.units.round_to)
                for x in (side, taken, stock.page[page])
            )
            yield (
                f"labels.{key}",
                f"{count} labels of {size} with their margin and gaps take {total}, and the sheet "
                f"has {room}",
            )
    if stock.first > stock.columns * stock.rows:
        yield "labels.first", f"a sheet has {stock.columns * stock.rows} labels"


def _cnc_contradictions(job: Job, cnc: CncTable) -> Iterator[tuple[str, str]]:
    taken: dict[str, str] = {}
    for key, name in cnc.layers:
        # CAD programs tell no large letters from small ones in names.
        other = taken.setdefault(name.upper(), key)
        if other != key:
            yield f"cnc.layers.{key}", f'"{name}" is the name of the layer for {other} already'
        if cnc.dxf == "R12" and (reason := too_new(name)):
            yield f"cnc.layers.{key}", f'"{name}": {reason}'
    if cnc.files != "board":
        return
    if job.saw.kerf == 0:
        yield "saw.kerf", 'with files = "board" in [cnc] neighbours would share a line; give a kerf'
    elif cnc.relief is not None and cnc.relief > job.saw.kerf:
        width, kerf = (
            format_length(x, job.units, job.units.grid) for x in (cnc.relief, job.saw.kerf)
        )
        yield (
            "cnc.relief",
            f"a bit of {width} does not go between parts that are nested {kerf} apart; make kerf "
            'in [saw] as wide as the bit, or choose files = "part"',
        )


def _lumber_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    seen: set[tuple[float, float]] = set()
    for i, table in enumerate(job.lumber, start=1):
        key = f"lumber[{i}]"
        section = (table.size.thickness, table.size.depth)
        if section in seen:
            yield f"{key}.size", f"{table.size.name} is listed twice; put its lengths in one table"
        seen.add(section)
        if not table.lengths and not table.on_hand:
            yield key, "it lists no boards; give lengths, or boards on_hand"
        if len(set(table.lengths)) != len(table.lengths):
            yield f"{key}.lengths", "a length is listed twice"
        if table.prices is not None and len(table.prices) != len(table.lengths):
            yield (
                f"{key}.prices",
                f"there are {len(table.prices)} prices for {len(table.lengths)} lengths; give one "
                "for each, in the same order",
            )
