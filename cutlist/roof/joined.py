"""A first roof and its wings framed as one, or laid on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from cutlist.errors import JobError
from cutlist.job import Job
from cutlist.roof.building import Building
from cutlist.roof.clearance import must_stand_on_one_slope
from cutlist.roof.framing import frame_lines
from cutlist.roof.hip import Hip
from cutlist.roof.hub import hub_meeting, with_hub
from cutlist.roof.laid_shed import LaidShed, bounded_by_sheds, laid_sheds, sheds_must_meet
from cutlist.roof.laid_wing import LaidWing, laid_slope
from cutlist.roof.measures import proud_corners
from cutlist.roof.meeting import Meeting, meeting_of
from cutlist.roof.overlay import laid_wings
from cutlist.roof.placed import place
from cutlist.roof.roof import Measure, Roof
from cutlist.roof.seat import shared_height
from cutlist.roof.slant import Slant
from cutlist.roof.slope import Slope, slope_of
from cutlist.roof.surface import Surface, Wing, surface_of
from cutlist.roof.wings import buildings
from cutlist.tolerance import SLIVER


def frame_joined(job: Job) -> Roof:
    """Return the roof of a job whose plan is given by its corners, or that has wings.

    Raises JobError where the wings do not make one roof, or one that is not framed here.
    """
    if job.is_laid:
        slopes, meeting, laid, sheds = _laid(job)
        return frame_lines(job, slopes, meeting, laid, sheds)
    built, surface, meeting = _lines(job)
    slopes = [slope_of(job, seen, built, meeting) for seen in surface.visible]
    roof = frame_lines(job, slopes, meeting)
    if job.hip and job.hip.hub:
        return with_hub(roof, meeting.hips[0].top, job.hip.hub)
    proud = (measure for wing in surface.wings for measure in _proud(roof, wing))
    return replace(roof, measures=(*roof.measures, *proud))


def _proud(roof: Roof, wing: Wing) -> Iterator[Measure]:
    """Return how high corners of mitred hips and ridges stand out of their wing's slopes."""
    if wing.is_mitred:
        names = {face.name for face in wing.faces}
        own = [m for m in roof.members if m.role in ("hip", "ridge") and set(m.faces) <= names]
        yield from proud_corners(wing.faces, own)


def _laid(
    job: Job,
) -> tuple[list[Slope], Meeting, tuple[LaidWing, ...], tuple[LaidShed, ...]]:
    """Return slopes and lines of a first roof framed whole, and of wings laid on it."""
    alone = job.model_copy(update={"wing": []})
    height = _height_of_all(job, _surface(alone, 0.0)[1], _surface(job, 0.0)[1])
    first, base = _surface(alone, height)
    built, whole = _surface(job, height)
    sheds_must_meet(job, whole)
    must_stand_on_one_slope(job, whole)
    _must_be_whole(job, whole)
    laid, sheds = tuple(laid_wings(job, whole)), tuple(laid_sheds(job, whole))
    under = meeting_of(job, base)
    _must_clear_hips(job, under.hips, *built)
    over = Meeting(
        ridges=tuple(wing.ridge for wing in laid),
        hips=tuple(hip for wing in laid for hip in wing.hips),
        valleys=(),
    )
    names = {seen.face.name for seen in base.visible}
    slopes = [
        *(slope_of(job, seen, first, under) for seen in base.visible),
        *(slope_of(job, s, built, over) for s in whole.visible if s.face.name not in names),
    ]
    meeting = Meeting(
        ridges=(*under.ridges, *over.ridges), hips=(*under.hips, *over.hips), valleys=()
    )
    slopes = [bounded_by_sheds(laid_slope(slope, laid), sheds) for slope in slopes]
    return slopes, meeting, laid, sheds


def _height_of_all(job: Job, *surfaces: Surface) -> float:
    """Return the height above the plate that all rafters of a laid roof share, but for sheds'."""
    sheds = {wing.faces[0] for surface in surfaces for wing in surface.wings if wing.is_shed}
    seen = (seen.face for surface in surfaces for seen in surface.visible)
    faces = {face.name: face for face in seen if face not in sheds}
    hips = (edge for surface in surfaces for edge in surface.edges if edge.kind == "hip")
    lines = tuple(Hip.between(job, *edge.faces) for edge in hips)
    return shared_height(job, tuple(faces.values()), lines)


def _must_clear_hips(job: Job, hips: Iterable[Slant], first: Building, *wings: Building) -> None:
    """Refuse a wing on a roof so near its corner that its wall would stand in the hip there."""
    for hip, wing in product(hips, wings):
        shared = hip.plan.intersection(wing.footprint.difference(first.footprint))
        if shared.area > SLIVER:
            raise JobError(
                [
                    f"{wing.wing.key}.at: its wall would stand in the {hip.name} at "
                    f"{place(job, shared.centroid)}; move the wing away from that corner"
                ]
            )


def _surface(job: Job, height: float) -> tuple[tuple[Building, ...], Surface]:
    built = buildings(job, height)
    return built, surface_of([b.wing for b in built])


def _lines(job: Job) -> tuple[tuple[Building, ...], Surface, Meeting]:
    """Return buildings, surface and lines at the height above the plate that all rafters share.

    In plan they are the same at any height.
    """
    _, flat = _surface(job, 0.0)
    _must_be_whole(job, flat)
    lines = _meeting(job, flat)
    height = shared_height(
        job,
        tuple(seen.face for seen in flat.visible),
        tuple(slant.line for slant in (*lines.hips, *lines.valleys) if not slant.foot),
    )
    built, surface = _surface(job, height)
    return built, surface, _meeting(job, surface)


def _meeting(job: Job, surface: Surface) -> Meeting:
    if job.hip and job.hip.hub:
        return hub_meeting(job, surface, job.hip.hub)
    return meeting_of(job, surface)


def _must_be_whole(job: Job, surface: Surface) -> None:
    if hidden := [wing for wing in surface.hidden if wing is not surface.wings[0]]:
        raise JobError(
            [
                f"{wing.key}.at: the wing lies wholly under the other roofs, so that nothing of "
                "it is built; is a minus missing, or does another wing stand there?"
                for wing in hidden
            ]
        )
    if split := list(surface.split):
        raise JobError(
            [
                f"wing: the {one.name} and {other.name} slopes lie in one plane at "
                f"{place(job, at)}, over plates of two heights, where one slope is framed over "
                "one; give both one plate_height and their walls one line, or move the wing"
                for one, other, at in split
            ]
        )
    if surface.steps:
        places = dict.fromkeys(place(job, at) for at in surface.steps)
        raise JobError(
            [
                f"wing: the roof has a step at {at}, where a wing ends in the air beside another "
                "roof; move the wing, or change its length, span, pitch or rake_overhang"
                for at in list(places)[:3]
            ]
        )
