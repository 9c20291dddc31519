"""Ridges, hips and valleys of roofs that meet: how each ends where several come together.

A ridge that passes a crossing runs through, and others butt against its side. Where a wing's ridge
ends on a slope of a higher roof, one of its two valleys, the supporting one, runs on to that roof's
ridge or a hip of it; the other and the wing's ridge die against it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.geometry.stick import Cut, end_cut
from cutlist.job import Job
from cutlist.roof.broken import BrokenHip, broken_hips
from cutlist.roof.draining import must_drain
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip, commons_side
from cutlist.roof.mitred import Cuts, MitredLine, mitred_lines, mitred_wing, mitres
from cutlist.roof.placed import place
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.ridges import ridges_of, split
from cutlist.roof.slant import Slant
from cutlist.roof.supporting import Supported, supported, unframed
from cutlist.roof.surface import Edge, Surface, is_one_place
from cutlist.roof.valley import Valley
from cutlist.tolerance import SLIVER


@dataclass(frozen=True, kw_only=True)
class Meeting:
    """All lines of a surface, framed."""

    ridges: tuple[RidgeLine, ...]
    hips: tuple[Slant, ...]
    valleys: tuple[Slant, ...]


def meeting_of(job: Job, surface: Surface) -> Meeting:
    """Return the lines of a surface as framed. Raises JobError where some cannot be."""
    ridges = split(ridges_of(job, surface))
    _must_end_apart(job, ridges)
    mitred = mitred_lines(job, surface, ridges)
    hips = [
        edge for edge in surface.edges if edge.kind == "hip" and mitred_wing(surface, edge) is None
    ]
    valleys = [edge for edge in surface.edges if edge.kind == "valley"]
    broken = broken_hips(job, ridges, hips, valleys)
    must_drain(job, surface, hips, valleys, broken)
    hosted = supported(job, surface, ridges, mitred, valleys, broken)
    lines = {id(edge): _valley(job, edge, hosted) for edge in valleys}

    def ends(ridge: RidgeLine) -> tuple[Cuts, Cuts]:
        start, end = (
            ridge_end(job, ridge, point, ridges, hips, valleys, lines, broken)
            for point in (ridge.start, ridge.end)
        )
        return start, end

    stopped = [_stopped(job, line, ridges, valleys, lines, ends) for line in mitred]
    cuts = list(zip(stopped, mitres(job, stopped), strict=True))
    whole = []
    for ridge in ridges:
        own = next((pair for line, pair in cuts if line.stick is ridge), None)
        whole.append(replace(ridge, cuts=ends(ridge) if own is None else own))
    meeting = Meeting(
        ridges=tuple(whole),
        hips=(
            *(hip_slant(job, edge, ridges, broken) for edge in hips),
            *(
                Slant(line=line.stick, top=line.edge.end, stop=line.edge.end, head=end, foot=start)
                for line, (start, end) in cuts
                if not isinstance(line.stick, RidgeLine)
            ),
        ),
        valleys=tuple(_slant(job, edge, lines, hosted, ridges, broken) for edge in valleys),
    )
    _must_stand_clear(job, meeting)
    return meeting


def _stopped(
    job: Job,
    line: MitredLine,
    ridges: Sequence[RidgeLine],
    valleys: Sequence[Edge],
    lines: dict[int, Valley],
    ends: Callable[[RidgeLine], tuple[Cuts, Cuts]],
) -> MitredLine:
    """Return a mitred line with its cuts at an end in the valleys on another roof's slope."""

    def stops(point: Vector, cuts: Cuts) -> Cuts:
        return cuts if any(is_one_place(valley.end, point) for valley in valleys) else ()

    stick, (_, end) = line.stick, line.ends
    if isinstance(stick, RidgeLine):
        first, last = ends(stick)
        return replace(line, stops=(stops(stick.start, first), stops(stick.end, last)))
    cuts = tuple(_between_valleys(line.edge.faces, end, valleys, lines))
    if cuts and any(ridge.holds(end) for ridge in ridges):
        raise JobError([unframed(job, end)])
    return replace(line, stops=((), cuts))


def _must_end_apart(job: Job, ridges: Sequence[RidgeLine]) -> None:
    """Refuse a point in which three ridges end and none runs through."""
    for point in (end for ridge in ridges for end in (ridge.start, ridge.end)):
        here = [ridge for ridge in ridges if ridge.holds(point)]
        if len(here) > 2 and all(ridge.ends_at(point) for ridge in here):
            raise JobError([unframed(job, point)])


def _must_stand_clear(job: Job, meeting: Meeting) -> None:
    """Refuse a hip and a valley whose lines pass so near each other that their sticks would meet.

    Those that come to one point have cuts of their own there, as has one that lands on the other.
    """
    for hip, valley in product(meeting.hips, meeting.valleys):
        if any(hip.line.line in plane.against for cut in valley.head for plane in cut.planes):
            continue
        shared = hip.plan.intersection(valley.plan)
        if shared.area > SLIVER and not is_one_place(hip.top, valley.top):
            raise JobError(
                [
                    f"wing: a hip and a valley would stand in each other at "
                    f"{place(job, shared.centroid)}; move the wing, or change its span or pitch"
                ]
            )


def _valley(job: Job, edge: Edge, hosted: list[Supported]) -> Valley:
    one, other = edge.faces
    for support in hosted:
        if support.edge is edge:
            end = other if support.host is one else one
            return Valley.of(job, support.host, end, supporting=True)
    return Valley.of(job, one, other)


def ridge_end(
    job: Job,
    ridge: RidgeLine,
    point: Vector,
    ridges: Sequence[RidgeLine],
    hips: Sequence[Edge],
    valleys: Sequence[Edge],
    lines: dict[int, Valley],
    broken: Sequence[BrokenHip] = (),
) -> tuple[Cut, ...]:
    """Return the cuts of a ridge at one of its ends; none where it ends square at a gable.

    It butts against the side of a ridge that passes, or was named before it; with hips it ends
    flush with the last commons, under a broken one with its side; between two valleys in their
    corner.
    """
    for known in broken:
        if is_one_place(known.point, point):
            return known.ridge_end
    middle = (ridge.start + ridge.end) * 0.5
    for other in ridges:
        if other is ridge or not other.holds(point):
            continue
        if other.ends_at(point) and ridges.index(other) > ridges.index(ridge):
            continue
        side = other.side(other.face_toward(middle))
        return (end_cut("plumb", side).against(other.name),)
    at_hips = [hip for hip in hips if is_one_place(hip.end, point)]
    for hip in at_hips:
        if any(face in ridge.faces for face in hip.faces):
            (beyond,) = [face for face in hip.faces if face not in ridge.faces]
            return (end_cut("square", commons_side(job, beyond, point).flipped()),)
    return tuple(_between_valleys(ridge.faces, point, valleys, lines))


def _between_valleys(
    faces: tuple[Face, Face], point: Vector, valleys: Sequence[Edge], lines: dict[int, Valley]
) -> Iterator[Cut]:
    """Return the cuts of what stands between two slopes, where both their valleys come to it."""
    for valley in valleys:
        if is_one_place(valley.end, point):
            stick = lines[id(valley)]
            for face in valley.faces:
                if face in faces:
                    yield end_cut("cheek", stick.side(face)).against(stick.line)


def hip_slant(
    job: Job, edge: Edge, ridges: Sequence[RidgeLine], broken: Sequence[BrokenHip] = ()
) -> Slant:
    """Return a hip, its head in the corner of the commons that stand under its upper end."""
    one, other = edge.faces
    hip = Hip.between(job, one, other)
    touching = tuple(ridge.name for ridge in ridges if ridge.holds(edge.end))
    if not touching:
        raise JobError([unframed(job, edge.end)])
    cheeks = []
    for face in edge.faces:
        station = face.station(edge.end)
        toward = 1 if face.station(edge.start) > station else -1
        side = face.across(station + toward * job.rafter.size.thickness / 2)
        plane = side.flipped() if toward > 0 else side
        cheeks.append(end_cut("cheek", plane).against(face.name, *touching))
    slant = Slant(line=hip, top=edge.end, stop=edge.end, head=tuple(cheeks), ridges=touching)
    for known in broken:
        if known.edge is edge:
            return replace(slant, line=known.hip, foot=known.foot, on=known.ridge)
    return slant


def _slant(
    job: Job,
    edge: Edge,
    lines: dict[int, Valley],
    hosted: list[Supported],
    ridges: Sequence[RidgeLine],
    broken: Sequence[BrokenHip],
) -> Slant:
    """Return a valley with its head: on what supports it, or between the ridges that meet there."""
    valley = lines[id(edge)]
    for known in broken:
        if is_one_place(known.point, edge.end):
            return Slant(line=valley, top=edge.end, stop=edge.end, head=known.valley_head)
    for support in hosted:
        if support.edge is edge:
            on = support.on
            name = on.name if isinstance(on, RidgeLine) else on.line
            cut = end_cut("cheek", on.side(support.host)).against(name)
            return Slant(line=valley, top=edge.end, stop=support.stop, head=(cut,))
        if is_one_place(support.point, edge.end):
            carrier = lines[id(support.edge)]
            cut = end_cut("cheek", carrier.side(carrier.end)).against(carrier.line)
            return Slant(line=valley, top=edge.end, stop=edge.end, head=(cut,))
    cuts = []
    for face in edge.faces:
        # A ridge parted at the crossing lies in one plane on both sides of it.
        here = [r for r in ridges if face in r.faces and r.holds(edge.end)]
        if here:
            cut = end_cut("cheek", here[0].side(face))
            cuts.append(cut.against(*(ridge.name for ridge in here)))
    if not cuts:
        raise JobError([unframed(job, edge.end)])
    return Slant(line=valley, top=edge.end, stop=edge.end, head=tuple(cuts))
