"""Whether water runs off: valleys that fall to the eaves, and hips that come down to them."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import Point

from cutlist.errors import JobError
from cutlist.job import Job
from cutlist.roof.broken import BrokenHip
from cutlist.roof.face import Face
from cutlist.roof.placed import place
from cutlist.roof.surface import Edge, Surface, is_one_place
from cutlist.tolerance import SAME_SHAPE

LEAST_RISE = 0.05
"""Sine of the least angle, in plan, between a valley and the rafters that come down on it."""


def must_drain(
    job: Job,
    surface: Surface,
    hips: Sequence[Edge],
    valleys: Sequence[Edge],
    broken: Sequence[BrokenHip] = (),
) -> None:
    """Refuse level valleys, and valleys and hips whose lower end is not at the eaves.

    Broken hips may start inside the roof.
    """
    problems = []
    border = surface.border
    for edge in (*hips, *valleys):
        at = place(job, edge.start)
        names = " and ".join(face.name for face in edge.faces)
        if edge.kind == "valley" and not all(_rises_from(face, edge) for face in edge.faces):
            problems.append(
                f"wing: the {names} slopes fall one way where they meet at {at}, so that no valley "
                "runs there; bring their pitches nearer to each other, or their walls nearer to "
                "square"
            )
        elif edge.kind == "valley" and edge.is_level:
            problems.append(
                f"wing: the {names} slopes meet in a level valley at {at}, which does not drain; "
                "move the wings apart, or let them cross"
            )
        elif (
            all(edge is not known.edge for known in broken)
            and border.distance(Point(edge.start.x, edge.start.y)) > SAME_SHAPE
        ):
            problems.append(
                f"wing: the {edge.kind} between the {names} slopes ends at {at}, inside the roof: "
                "roofs that meet so are not framed; move the wing in from that corner, "
                + (
                    'or frame its valleys (valley.kind = "framed")'
                    if job.is_laid
                    else "or change its span"
                )
            )
    clear = job.rafter.size.thickness
    for hip in hips:
        for valley in valleys:
            if is_one_place(hip.start, valley.start):
                problems.append(
                    f"wing: a hip and a valley start from one corner at {place(job, hip.start)}; "
                    "bring the pitches of that end and of the wing to one, or move the wing"
                )
            apart = (hip.end - valley.end).length()
            if SAME_SHAPE < apart < clear and set(hip.faces) & set(valley.faces):
                problems.append(
                    f"wing: a hip and a valley end too near each other at {place(job, hip.end)}: "
                    "no common can stand under the hip; move the wing, or change its length"
                )
    if problems:
        raise JobError(problems)


def _rises_from(face: Face, valley: Edge) -> bool:
    """Tell whether a slope rises from a valley on its own side, where it is the higher of both."""
    (other,) = (other for other in valley.faces if other is not face)
    into = face.uphill * face.pitch - other.uphill * other.pitch
    return into.unit().dot(face.uphill) > LEAST_RISE
