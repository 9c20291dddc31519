"""Wings laid on a roof with a fascia of their own: which ends stand above it, which run into it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from cutlist.errors import JobError
from cutlist.geometry.space import Vector, meet
from cutlist.job import Job
from cutlist.roof.placed import Ends, Placed, just_past, length_text, place
from cutlist.roof.surface import Wing, height_at
from cutlist.tolerance import ON_PLANE, SAME_POINT
from cutlist.units import rounded_up


def sunk_ends(job: Job, p: Placed, first: Placed, beneath: Wing) -> Ends:
    """Return those ends of a laid wing by which it runs into the first roof's surface.

    An end inside that roof stands free where the wing's eaves are above the surface over its whole
    width, and runs in where they are below it. `beneath` is the first roof, its rafters' tops at
    the plate. Raises JobError for an end that is half above it, and for a wing both or
    neither of whose ends run in.
    """
    inside = [end for end in p.ends if _stands_inside(job, p, first, end)]
    sunk = [end for end in inside if _runs_in(job, p, beneath, end)]
    if not sunk:
        raise JobError([_too_short(job, p, beneath)])
    if len(sunk) == len(p.ends):
        raise JobError([_too_low(job, p, beneath)])
    return frozenset(sunk)


def _stands_inside(job: Job, p: Placed, first: Placed, end: int) -> bool:
    """Tell whether an end's wall is inside the first roof. Raises JobError where half of it is."""
    wall = just_past(job, p, end)
    inside = wall.intersection(first.walls)
    if SAME_POINT < inside.length < wall.length - SAME_POINT:
        raise JobError(
            [
                f"{p.key}: its {p.side(end)} stands half in another roof at "
                f"{place(job, inside.centroid)}; move it clear, or so that its whole width is "
                "inside"
            ]
        )
    return bool(inside.length > SAME_POINT)


def _runs_in(job: Job, p: Placed, beneath: Wing, end: int) -> bool:
    """Tell whether a wing's eaves are under a surface at an end. Raises JobError for half of it."""
    under = [_eaves(p) - height for height in _heights(p, beneath, end)]
    if min(under) > ON_PLANE:
        return False
    if max(under) > ON_PLANE:
        raise JobError(
            [
                f"{p.key}: its {p.side(end)} stands half above the slope beneath and half in it, "
                f"at {place(job, _middle(p, end))}; move or turn the wing so that it stands on one "
                "slope and its length runs straight up it"
            ]
        )
    return True


def _eaves(p: Placed) -> float:
    """Return the height of a wing's fascia, less what all rafters have above their plates."""
    return p.origin.z - (p.drop or 0.0)


def _heights(p: Placed, beneath: Wing, end: int) -> Iterator[float]:
    """Return the height of a surface at an end's corners, and where it bends between them."""
    wall = p.line(end)
    corners = p.corners[end], p.corners[(end + 1) % len(p.corners)]
    yield from (beneath.height(_plan(corner)) for corner in corners)
    for one, other in combinations(beneath.faces, 2):
        if abs(one.plane.normal.cross(other.plane.normal).dot(wall.normal)) > SAME_POINT:
            at = meet(one.plane, other.plane, wall)
            here = Vector(at.x, at.y, corners[0].z)
            if (here - corners[0]).dot(here - corners[1]) < 0:
                yield beneath.height(_plan(at))


def _middle(p: Placed, end: int) -> Vector:
    return (p.corners[end] + p.corners[(end + 1) % len(p.corners)]) * 0.5


def _too_short(job: Job, p: Placed, beneath: Wing) -> str:
    """Return why a wing whose ends all stand above the slope is refused."""
    upper = max(p.ends, key=lambda end: beneath.height(_plan(_middle(p, end))))
    at, out = _middle(p, upper), p.line(upper).normal
    face = beneath.face_over(_plan(at))
    told = f"neither end of it runs into the roof beneath, at {place(job, at)}"
    gain = face.pitch * face.uphill.dot(out)
    if gain < ON_PLANE:
        return f"{p.key}: {told}; move or turn it so that its length ends in it, up a slope"
    longer = rounded_up((_eaves(p) - height_at(face, _plan(at))) / gain, job.saw.round_to)
    length = length_text(job, p.table.length + longer)
    return f"{p.key}.length: {told}; make it {length} or more"


def _too_low(job: Job, p: Placed, beneath: Wing) -> str:
    """Return why a wing whose ends both run into the slope is refused."""
    lower = min(p.ends, key=lambda end: beneath.height(_plan(_middle(p, end))))
    missing = max(_heights(p, beneath, lower)) - _eaves(p)
    told = f"its eaves lie in the roof beneath, at {place(job, _middle(p, lower))}"
    floor = job.roof.plate_height
    if floor is None:
        return f"roof.plate_height: it is missing, and {p.key}.plate_height above it: {told}"
    height = length_text(job, rounded_up(floor + p.origin.z + missing, job.saw.round_to))
    return f"{p.key}.plate_height: {told}; make it more than {height}"


def _plan(at: Vector) -> tuple[float, float]:
    return at.x, at.y
