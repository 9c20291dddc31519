"""What a router with three axes leaves to be done, where the job asks for its drawings."""

from __future__ import annotations

from collections.abc import Iterator

from cutlist.checks.finding import Case, Finding, at_least, at_most
from cutlist.geometry.relief import SHORTEST_EDGE, Relief, reliefs
from cutlist.roof.parts import Part

RELIEF = "geometry: a disc of the bit's diameter that touches the corner"
TILT = "common practice, no source (a router with three axes cuts square to the face)"


def relief_room(case: Case) -> Iterator[Finding]:
    """Hold how far each corner's relief reaches against what its edges have room for.

    Where there is none the drawing keeps the corner sharp.
    """
    cnc = case.job.cnc
    if cnc is None or cnc.relief is None:
        return
    for part in case.parts:
        for subject, relief in _corners(part, cnc.relief / 2):
            check, value, limit = (
                "room for corner relief",
                relief.room,
                relief.reach + SHORTEST_EDGE,
            )
            if value >= limit and not relief.fits:
                check, value, limit = (
                    "corner relief clear of other edges",
                    relief.clearance,
                    relief.radius,
                )
            yield at_least(
                check,
                subject,
                value,
                limit,
                source=RELIEF,
                advice="that corner is drawn sharp: square it by hand, or take a thinner bit",
            )


def router_tilt(case: Case) -> Iterator[Finding]:
    """Tell which parts have cuts that a router with three axes cannot make."""
    if case.job.cnc is None:
        return
    for part in case.parts:
        yield at_most(
            "blade tilt on the router [deg]",
            part.mark,
            max(p.tilt for cut in part.stick.cuts if cut.end for p in cut.planes),
            0.0,
            source=TILT,
            advice="cut square by the face that lies up it may end too short: leave the end long "
            "and saw the tilt",
            otherwise="warn",
        )
        if part.stick.bevels:
            yield at_most(
                "bevel along the edge on the router [deg]",
                part.mark,
                max(plane.tilt for plane in part.stick.bevels),
                0.0,
                source=TILT,
                advice="no drawing for the router holds it: saw it along the edge afterwards",
                otherwise="warn",
            )


def _corners(part: Part, radius: float) -> Iterator[tuple[str, Relief]]:
    """Return the reliefs of both faces, each corner named by its edges; of like faces once."""
    stick = part.stick
    faces = [("", stick.near)]
    if not stick.is_square_to_face:
        faces = [(", near face", stick.near), (", far face", stick.far)]
    for face, outline in faces:
        for relief in reliefs(outline.points, radius):
            edges = outline.edges[relief.corner - 1], outline.edges[relief.corner]
            yield f"{part.mark} {edges[0]} and {edges[1]}{face}", relief
