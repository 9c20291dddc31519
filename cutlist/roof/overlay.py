"""Wings laid on the finished slope of the first roof: plates on its sheathing, no valley rafters.

The first roof is framed whole and sheathed. A wing's ridge runs on until it lands on the sheathing.
Along the line in which the two roofs meet a valley plate lies flat on the sheathing, set back so
far that its outer edge comes up to the wing's rafters' tops; the wing's jacks stand on it. Both
roofs take the same sheathing, so that their finished surfaces meet over the line of their rafters'
tops. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cutlist.errors import JobError
from cutlist.geometry.space import UP
from cutlist.geometry.stick import end_cut
from cutlist.job import Job
from cutlist.roof.clearance import free_of, front_run
from cutlist.roof.draining import must_drain
from cutlist.roof.face import plumb_depth
from cutlist.roof.laid_valley import LaidValley
from cutlist.roof.laid_wing import LaidWing
from cutlist.roof.meeting import hip_slant, ridge_end
from cutlist.roof.placed import place
from cutlist.roof.ridges import ridges_of
from cutlist.roof.slant import Slant
from cutlist.roof.surface import Edge, Surface, Wing, is_one_place
from cutlist.tolerance import ON_PLANE, PARALLEL, SAME_POINT, SLIVER


def laid_wings(job: Job, surface: Surface) -> Iterator[LaidWing]:
    """Return the wings of a surface as laid on the slopes of its first roof.

    Raises JobError for a wing that does not end on one slope, square to it, under its ridge.
    """
    first = surface.wings[0]
    wings = [wing for wing in surface.wings[1:] if not wing.is_shed]
    sheds = {wing.faces[0].name for wing in surface.wings if wing.is_shed}
    edges = [
        edge
        for edge in surface.edges
        if edge.kind == "valley" and not sheds & {face.name for face in edge.faces}
    ]
    hips = [edge for edge in surface.edges if edge.kind == "hip"]
    ridges = ridges_of(job, surface)
    must_drain(job, surface, hips, edges)
    for wing in wings:
        own = {face.name for face in wing.faces}
        mine = [edge for edge in edges if own & {face.name for face in edge.faces}]
        valleys = [_laid_valley(job, edge, wing, first) for edge in mine]
        tops = {(round(edge.end.x, 3), round(edge.end.y, 3)) for edge in mine}
        ridge = [r for r in ridges if own >= {face.name for face in r.faces}]
        if len(valleys) != 2 or len(tops) != 1 or len(ridge) != 1:
            at = f" at {place(job, mine[0].end)}" if mine else ""
            raise JobError([_refused(wing, f"a wing that meets it as {wing.name} does{at}")])
        own_hips = [edge for edge in hips if own >= {face.name for face in edge.faces}]
        cuts = [
            (end_cut("slope", valleys[0].deck.flipped()).against(valleys[0].deck_name),)
            if is_one_place(point, mine[0].end)
            else ridge_end(job, ridge[0], point, ridge, own_hips, [], {})
            for point in (ridge[0].start, ridge[0].end)
        ]
        whole = replace(ridge[0], cuts=(cuts[0], cuts[1]))
        if any(valley.reach(whole) < SAME_POINT for valley in valleys):
            told = f"a wing whose ridge ends so low, at {place(job, mine[0].end)},"
            raise JobError([f"{_refused(wing, told)}, or make it wider or steeper"])
        slants = tuple(hip_slant(job, edge, [whole]) for edge in own_hips)
        both = valleys[0], valleys[1]
        laid = LaidWing(valleys=both, ridge=whole, hips=slants)
        if wing.is_free:
            yield replace(laid, free=free_of(job, surface, wing, both, slants))
            continue
        for slant in slants:
            if _stands_in(valleys[0], slant):
                told = f"a wing whose hip comes down on it, as at {place(job, slant.top)},"
                raise JobError([f"{_refused(wing, told)}, or make it longer"])
            shared = slant.plan.intersection(laid.tails_beside)
            if shared.area > SLIVER:
                told = f"a wing whose hip runs among its tails, at {place(job, shared.centroid)},"
                raise JobError([f"{_refused(wing, told)}, or make it longer"])
        yield laid


def _laid_valley(job: Job, edge: Edge, wing: Wing, first: Wing) -> LaidValley:
    own = {face.name for face in wing.faces}
    (face,) = (face for face in edge.faces if face.name in own)
    (host,) = (other for other in edge.faces if other is not face)
    if host.name not in {f.name for f in first.faces}:
        told = f"a wing that meets another, as at {place(job, edge.start)},"
        raise JobError([_refused(wing, told)])
    if abs(host.uphill.dot(face.along)) < 1 - PARALLEL:
        at = place(job, edge.start)
        if wing.is_free:
            told = (
                f"{wing.key}.turn: its length is not square to the eaves beneath it at {at}; turn"
            )
            raise JobError([f"{told} it so that it runs straight up the slope"])
        raise JobError([_refused(wing, f"a wing that is not square to it, as at {at},")])
    valley = LaidValley.of(job, host, face, edge.end)
    return _freed(valley) if wing.is_free else valley


def _freed(valley: LaidValley) -> LaidValley:
    """Return the valley of a wing that has its own fascia, beside which its plate ends.

    The wall's plate dies on the sheathing; outside the host's walls there is none to die on.
    """
    host, face = valley.host, valley.face
    start = valley.deck_run(face.corner.z)
    if front_run(host, face) < -ON_PLANE:
        start = max(start, 0.0)
    return replace(valley, start=start, fascia=face.plumb(-face.overhang).flipped())


def _stands_in(valley: LaidValley, slant: Slant) -> bool:
    """Tell whether a wing's hip comes down into the sheathing that the wing is laid on."""
    hip = slant.line
    under = UP * (hip.drop + plumb_depth(hip.size.depth, hip.pitch))
    inside = valley.host.run(slant.top)
    begin = slant.top - hip.direction * (inside / hip.direction.dot(valley.host.uphill))
    sides = [hip.outward(face) * hip.width(face) for face in (hip.main, hip.end)]
    ends = (begin, slant.top) if inside > 0 else ()
    corners = (end + side - under for end in ends for side in sides)
    return any(valley.deck.distance(corner) < -ON_PLANE for corner in corners)


def _refused(wing: Wing, what: str) -> str:
    if wing.is_free:
        return f"{wing.key}: {what} cannot be laid on the first roof; move it, or change its size"
    return f'valley.kind: {what} cannot be laid on the first roof; write kind = "framed"'
