"""What the ridge, or the ledger, must be to take the rafters' heads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from cutlist.checks.finding import Case, Finding, at_least
from cutlist.geometry.stick import Stick
from cutlist.roof.face import plumb_depth
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE
from cutlist.units import UnitName, slope_degrees

RIDGE_DEPTH = "IRC 2006 R802.3 (ridge not less deep than the cut end of the rafter)"
LOW_PITCH = "IRC 2021 R802.4.4 (under 3 in 12 ridge, hips and valleys are designed as beams)"
HIP_DEPTH = "IRC 2021 R802.4.3 (hip or valley not less deep than the cut end of the rafter)"

LEAST_RIDGE_THICKNESS: Mapping[UnitName, tuple[float, str]] = {
    "imperial": (0.75, "IRC 2006 R802.3 (ridge at least 1 in nominal, 3/4 in dressed by PS 20)"),
    "metric": (19.0, "IRC 2006 R802.3 (ridge at least 1 in nominal, 19 mm dressed by PS 20)"),
}
LEAST_HIP_THICKNESS: Mapping[UnitName, tuple[float, str]] = {
    "imperial": (
        1.5,
        "IRC 2021 R802.4.3 (hip or valley at least 2 in nominal, 1 1/2 in dressed by PS 20)",
    ),
    "metric": (
        38.0,
        "IRC 2021 R802.4.3 (hip or valley at least 2 in nominal, 38 mm dressed by PS 20)",
    ),
}
"""The standard gives both units of a dressed size (the millimetres from memory)."""

LEAST_PITCH = 3 / 12


def ridge_depth(case: Case) -> Iterator[Finding]:
    """Hold the depth of a ridge board or ledger against the plumb cuts that lie on it."""
    sources = {"ridge": RIDGE_DEPTH, "ledger": "common practice, no source (as for a ridge)"}
    for part in case.parts:
        if part.role not in sources or (case.job.ridge and case.job.ridge.kind == "beam"):
            continue
        yield at_least(
            f"{part.role} depth",
            part.mark,
            part.stick.depth,
            _deepest_cut_on(case, part),
            source=sources[part.role],
            advice=f"take a deeper {part.role}, so that the whole plumb cut bears",
        )


def _deepest_cut_on(case: Case, part: Part) -> float:
    """Return the depth of the deepest plumb cut of a rafter that lies on a ridge or ledger."""
    lines = {member.line for member in part.members}
    return max(
        plumb_depth(case.job.rafter.size.depth, face.pitch)
        for face in case.roof.faces
        if any(face.name in member.faces for member in part.members)
        or any(
            member.line == face.name and lines.intersection(plane.against)
            for member in case.roof.members
            for plane in member.stick.end_planes("head")
        )
    )


def hip_depth(case: Case) -> Iterator[Finding]:
    """Hold the depth of each hip's and valley's sides against the plumb cuts of jacks there.

    A backed hip's sides are less deep than its middle. The code does not say whether the hip's
    depth is plumb or square to its edge: the square one passes either way, the plumb one alone is
    a warning.
    """
    for part in case.parts:
        if part.role not in ("hip", "valley"):
            continue
        faces = [f for f in case.roof.faces if f.name in part.member.faces]
        cut = max(plumb_depth(case.job.rafter.size.depth, face.pitch) for face in faces)
        square = _side_depth(part.stick)
        plumb = square / part.stick.frame.y.z
        yield at_least(
            f"{part.role} depth",
            part.mark,
            square,
            cut,
            source=HIP_DEPTH,
            advice=f"take a deeper {part.role}, so that the jacks' whole cuts bear on it",
            otherwise="warn" if plumb >= cut - ON_PLANE else "fail",
        )


def _side_depth(stick: Stick) -> float:
    """Return the depth of the shallower wide face, square to the edge, below any backing."""
    tops = [
        y
        for outline in (stick.far, stick.near)
        for segment in (*outline.segments("backing"), *outline.segments("top"))
        for _, y in segment
    ]
    return min(tops)


def ridge_thickness(case: Case) -> Iterator[Finding]:
    """Hold the thickness of ridge, hips and valleys against the least."""
    rules = {
        "ridge": LEAST_RIDGE_THICKNESS,
        "hip": LEAST_HIP_THICKNESS,
        "valley": LEAST_HIP_THICKNESS,
    }
    for part in case.parts:
        if part.role not in rules:
            continue
        limit, source = rules[part.role][case.job.unit_name]
        yield at_least(
            f"{part.role} thickness",
            part.mark,
            part.stick.thickness,
            limit,
            source=source,
            advice=f"take a thicker {part.role}",
        )


def low_pitch(case: Case) -> Iterator[Finding]:
    """Tell where a slope is too low for a ridge that is not a beam."""
    if case.job.ridge is None or case.job.ridge.kind == "beam":
        return
    metric = case.job.unit_name == "metric"
    for face in case.roof.faces:
        slope, least = (
            slope_degrees(pitch) if metric else 12 * pitch for pitch in (face.pitch, LEAST_PITCH)
        )
        yield at_least(
            f"slope for a ridge that is no beam [{'deg' if metric else 'in 12'}]",
            f"{face.name} slope",
            slope,
            least,
            source=LOW_PITCH,
            advice='set ridge.kind = "beam" and have the beam designed',
        )
