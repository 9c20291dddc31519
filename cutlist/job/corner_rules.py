"""Keys of a job whose plan is given by its corners that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, tan

from cutlist.job.plan import plan_faults, regular_length
from cutlist.job.tables import Job
from cutlist.units import format_length, rounded_up

LEAST_SIDE_MM = 300.0
"""A side shorter than this is no wall to frame over."""

_OF_A_RECTANGLE = ("far_pitch", "end_pitch", "ends", "hip_start", "far_plate_height")


def corner_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    """Find what is wrong with a plan of corners, as (key, what is wrong and what to do)."""
    roof, given = job.roof, job.roof.model_fields_set
    yield from _hub(job)
    for i, wing in enumerate(job.wing, start=1):
        for key in ("corners", "sides", "pitches"):
            if key in wing.model_fields_set:
                yield f"wing[{i}].{key}", "a wing is over a rectangle; give it a span and a length"
    if not roof.is_polygon:
        if "pitches" in given:
            yield "roof.pitches", "it is for a plan with corners or sides; write pitch"
        return
    plan = "corners" if roof.corners is not None else "sides"
    if roof.form != "hip":
        yield "roof.form", f'a plan of {plan} is roofed by hips; write form = "hip"'
    for key in _OF_A_RECTANGLE:
        if key in given:
            yield f"roof.{key}", f"it is for a plan without {plan}; leave it out, or give pitches"
    if job.wing:
        yield "wing", f"roofs that meet are not framed over a plan of {plan}; leave the wings out"
    if job.plate.posts:
        yield "plate.posts", f"a plan of {plan} is not framed over posts; leave them out"
    if job.ridge and job.ridge.kind == "beam":
        yield "ridge.kind", f'a plan of {plan} is not framed over a beam; write "board" or "none"'
    yield from _corners(job) if plan == "corners" else _sides(job)
    yield from _pitches(job)


def _corners(job: Job) -> Iterator[tuple[str, str]]:
    roof = job.roof
    corners = roof.corners or []
    for key in ("sides", "span", "length"):
        if key in roof.model_fields_set:
            yield f"roof.{key}", "the corners say it; leave it out"
    if len(corners) < 3:
        yield "roof.corners", f"a plan has three corners at least, and this one has {len(corners)}"
        return
    for number, fault in plan_faults(corners, job.units.from_mm(LEAST_SIDE_MM)):
        x, y = (format_length(c, job.units, job.saw.round_to) for c in corners[number - 1])
        yield f"roof.corners[{number}]", f"({x}, {y}): {fault}"


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
    least = hip.size.thickness / tan(pi / roof.sides)
    if hip.hub < least:
        text = format_length(rounded_up(least, job.saw.round_to), job.units, job.saw.round_to)
        yield "hip.hub", f"its faces are narrower than the hips are thick; make it {text} or more"
    elif hip.hub > roof.span / 2:
        yield "hip.hub", "it is wider than half the span; make it narrower"


def _pitches(job: Job) -> Iterator[tuple[str, str]]:
    roof, count = job.roof, len(job.roof.plan)
    if roof.pitches is None:
        return
    if roof.pitch is not None:
        yield "roof.pitch", "the pitches of all sides are given; leave it out"
    if len(roof.pitches) != count:
        yield (
            "roof.pitches",
            f"there are {len(roof.pitches)} for {count} sides; give one for each, from the first "
            "corner on, or one pitch for all",
        )
