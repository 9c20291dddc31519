"""Keys of a job whose plan, or a wing's, is given by its corners that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi, tan

from cutlist.job.plan import Point, gable_faults, plan_faults, regular_length
from cutlist.job.tables import Job, RoofTable, WingTable
from cutlist.units import format_length, rounded_up

LEAST_SIDE_MM = 300.0
"""A side shorter than this is no wall to frame over."""

_OF_A_RECTANGLE = ("far_pitch", "end_pitch", "ends", "hip_start", "far_plate_height")


def corner_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    """Find what is wrong with a plan of corners, as (key, what is wrong and what to do)."""
    roof = job.roof
    yield from _hub(job)
    for i, wing in enumerate(job.wing, start=1):
        yield from _bay(job, f"wing[{i}]", wing)
    plans = ["sides" if t.corners is None else "corners" for t in (roof, *job.wing) if t.is_polygon]
    if job.plate.posts and job.plate.posts.header == "beside" and plans:
        yield (
            "plate.posts.header",
            f"a plan of {plans[0]} is not framed over posts beside the header, which would meet at "
            'its corners; write "on"',
        )
    if not roof.is_polygon:
        if "pitches" in roof.model_fields_set:
            yield "roof.pitches", "it is for a plan with corners or sides; write pitch"
        return
    plan = "corners" if roof.corners is not None else "sides"
    yield from _form(job, "roof", roof, plan)
    if job.ridge and job.ridge.kind == "beam":
        yield "ridge.kind", f'a plan of {plan} is not framed over a beam; write "board" or "none"'
    faults = [*(_corners(job, "roof", roof) if plan == "corners" else _sides(job))]
    faults += _pitches("roof", roof, len(roof.plan), "sides")
    yield from faults or _gables(job, "roof", roof)


def _bay(job: Job, key: str, wing: WingTable) -> Iterator[tuple[str, str]]:
    """Hold the keys of a wing against its corners, if it has any."""
    given = wing.model_fields_set
    if "sides" in given:
        yield f"{key}.sides", "a wing has a span and a length, or corners; leave it out"
        return
    if wing.corners is None:
        if "pitches" in given:
            yield f"{key}.pitches", "it is for a wing with corners; write pitch"
        return
    yield from _form(job, key, wing, "corners")
    if wing.rake_overhang and not wing.gable_sides:
        yield f"{key}.rake_overhang", "no wall of this wing is a gable; leave it out"
    if job.valley and job.valley.kind == "overlay":
        yield (
            "valley.kind",
            f'{key} has corners, and such a wing is framed into the other roof; write "framed", '
            "or give it a span and a length",
        )
    faults = [*_corners(job, key, wing)]
    faults += _pitches(key, wing, len(wing.plan) - 1, "walls between its corners")
    yield from faults or _gables(job, key, wing)


def _form(job: Job, key: str, table: RoofTable, plan: str) -> Iterator[tuple[str, str]]:
    if table.form != "hip":
        yield f"{key}.form", f'a plan of {plan} is roofed by hips; write form = "hip"'
    for name in _OF_A_RECTANGLE:
        if name in table.model_fields_set:
            yield f"{key}.{name}", f"it is for a plan without {plan}; leave it out, or give pitches"


def _corners(job: Job, key: str, table: RoofTable) -> Iterator[tuple[str, str]]:
    corners = table.corners or []
    for name in ("sides", "span", "length"):
        if name in table.model_fields_set:
            yield f"{key}.{name}", "the corners say it; leave it out"
    if len(corners) < 3:
        yield (
            f"{key}.corners",
            f"a plan has three corners at least, and this one has {len(corners)}",
        )
        return
    for number, fault in faults_of_corners(job, corners):
        x, y = (format_length(c, job.units, job.saw.round_to) for c in corners[number - 1])
        yield f"{key}.corners[{number}]", f"({x}, {y}): {fault}"


def faults_of_corners(job: Job, corners: Sequence[Point]) -> Iterator[tuple[int, str]]:
    """Find what keeps corners, in a job's unit, from being a plan, as `plan_faults` does."""
    least = job.units.from_mm(LEAST_SIDE_MM)
    text = format_length(rounded_up(least, job.saw.round_to), job.units, job.saw.round_to)
    yield from plan_faults(corners, least, text)


def _sides(job: Job) -> Iterator[tuple[str, str]]:
    roof = job.roof
    if roof.sides is None or not roof.length:
        return
    least = regular_length(roof.sides, roof.span)
    if roof.length < least - job.saw.round_to / 2:
        text = format_length(least, job.units, job.saw.round_to)
        yield (
            "roof.length",
            f"a regular plan with {roof.sides} sides of this span is {text} long; leave it out, "
            "or make it longer",
        )


def _hub(job: Job) -> Iterator[tuple[str, str]]:
    roof, hip = job.roof, job.hip
    if hip is None or hip.hub is None:
        return
    if roof.sides is None or roof.length > regular_length(roof.sides, roof.span) or roof.pitches:
        yield (
            "hip.hub",
            "it is for a regular plan of sides with one pitch, whose hips all meet in one point; "
            "leave it out",
        )
        return
    if job.wing:
        yield "hip.hub", "it is for a roof without wings; leave it out"
    least = hip.size.thickness / tan(pi / roof.sides)
    if hip.hub < least:
        text = format_length(rounded_up(least, job.saw.round_to), job.units, job.saw.round_to)
        yield "hip.hub", f"its faces are narrower than the hips are thick; make it {text} or more"
    elif hip.hub > roof.span / 2:
        yield "hip.hub", "it is wider than half the span; make it narrower"


def _pitches(key: str, table: RoofTable, count: int, sides: str) -> Iterator[tuple[str, str]]:
    if table.pitches is None:
        return
    if table.pitch is not None:
        yield f"{key}.pitch", "the pitches of all sides are given; leave it out"
    if len(table.pitches) != count:
        yield (
            f"{key}.pitches",
            f"there are {len(table.pitches)} for {count} {sides}; give one for each, from the "
            "first corner on, or one pitch for all",
        )


def _gables(job: Job, key: str, table: RoofTable) -> Iterator[tuple[str, str]]:
    """Hold the gables of a plan without other faults against the sides beside them."""
    gables, sides = table.gable_sides, len(table.side_pitches)
    if len(gables) > sides - 2:
        yield f"{key}.pitches", "a gable stands between two slopes; give two sides a pitch at least"
        return
    if not gables:
        return
    if job.ridge and job.ridge.kind == "none":
        yield "ridge.kind", 'a ridge runs to a gable of such a plan; write kind = "board"'
    is_bay = sides < len(table.plan)
    alone = []
    for i in gables:
        if is_bay and i in (0, sides - 1):
            fault = "this wall runs back to the mouth, and a gable stands between two slopes"
        elif (i + 1) % sides in gables:
            fault = f"side {(i + 1) % sides + 1} is a gable too, and one stands between two slopes"
        else:
            alone.append(i)
            continue
        yield f"{key}.pitches[{i + 1}]", f"{fault}; give it a pitch"
    for i, corner, turn in gable_faults(table.plan, alone, job.saw.round_to):
        x, y = (format_length(c, job.units, job.saw.round_to) for c in table.plan[corner])
        ways = "give this side a pitch"
        if table.corners is not None:
            ways = f"make that corner square, or {ways}"
        yield (
            f"{key}.pitches[{i + 1}]",
            f"a gable is square to the walls on both sides of it, and at corner {corner + 1} at "
            f"({x}, {y}) they turn by {turn:.6g} deg; {ways}",
        )
