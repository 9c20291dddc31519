"""Whether a free wing stands clear on the slope that it is laid on: what it covers, what it misses.

All of it stands over one slope of the first roof, clear of that one's hips, ridges and rakes and of
other wings; tails, hips and plates clear the sheathing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import hypot, inf

import shapely
from shapely import Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from cutlist.errors import JobError
from cutlist.geometry.space import Vector, meet
from cutlist.job import Job
from cutlist.roof.face import Face, plumb_depth
from cutlist.roof.laid_valley import LaidValley, mouth
from cutlist.roof.laid_wing import Free
from cutlist.roof.placed import length_text, place
from cutlist.roof.rafter import tail_cuts
from cutlist.roof.slant import Slant
from cutlist.roof.surface import Surface, Wing, surface_of
from cutlist.tolerance import ON_PLANE, SAME_POINT, SAME_SHAPE
from cutlist.units import rounded_up


def must_stand_on_one_slope(job: Job, surface: Surface) -> None:
    """Refuse free wings that reach over the edges of a slope, or stand in other wings."""
    first, *wings = surface.wings
    if not any(wing.is_free for wing in wings):
        return
    if job.plate.posts is not None:
        key = next(wing.key for wing in wings if wing.is_free)
        raise JobError(
            [
                f"plate.posts: the walls of {key} stand on the roof, where no posts carry its "
                "plates; leave posts out, or leave out its overhang so that its fascia is level"
            ]
        )
    areas = [area_over(first, wing) for wing in wings]
    for wing, area in zip(wings, areas, strict=True):
        if wing.is_free:
            _must_stay_on(job, first, wing, area)
    for (one, area), (other, area_2) in combinations(zip(wings, areas, strict=True), 2):
        if (one.is_free or other.is_free) and area.distance(area_2) < SAME_SHAPE:
            at = place(job, area.intersection(area_2.buffer(SAME_SHAPE)).centroid)
            raise JobError(
                [f"{other.key}.at: its roof comes to that of {one.key} at {at}; move them apart"]
            )


def area_over(first: Wing, wing: Wing) -> BaseGeometry:
    """Return where, in plan, a wing's roof stands above the first roof's, or beside it."""
    own = {face.name for face in wing.faces}
    seen = surface_of([first, wing]).visible
    return union_all(
        [part for v in seen if v.face.name in own for part in v.parts], grid_size=SAME_POINT
    )


def sheathing_around(job: Job, first: Wing, wing: Wing, host: Face) -> BaseGeometry:
    """Return, in plan, the sheathing of the first roof's slope under a wing and beside it.

    At a peak, where corners of the ridge and of rafters stand above the slope until they are planed
    off, it keeps a rafter's thickness below, unless the wing itself comes nearer.
    """
    under = area_over(first, wing).convex_hull
    area = under.buffer(job.rafter.size.depth, join_style="mitre")
    cell = Polygon(first.cell(host))
    highest = _highest(host, cell) - job.rafter.size.thickness
    return _part(host, area.intersection(cell), -inf, max(highest, _highest(host, under)))


def _highest(host: Face, area: BaseGeometry) -> float:
    """Return the greatest run of a slope at which an area has a corner."""
    corners = shapely.get_coordinates(area)
    return float(max(host.run(Vector(x, y, 0.0)) for x, y in corners))


def _host(first: Wing, area: BaseGeometry) -> Face:
    """Return the slope of a roof that most of an area lies over."""
    return max(
        first.faces, key=lambda face: float(Polygon(first.cell(face)).intersection(area).area)
    )


def _must_stay_on(job: Job, first: Wing, wing: Wing, area: BaseGeometry) -> None:
    """Refuse a wing that reaches past the edges of a slope, but for its eave out past the walls."""
    host = _host(first, area)
    cell = Polygon(first.cell(host)).buffer(SAME_SHAPE, join_style="mitre")
    below = _part(host, area, -inf, -host.overhang + SAME_SHAPE)
    past = area.difference(cell).difference(below)
    if past.area > SAME_SHAPE:
        raise JobError(
            [
                f"{wing.key}.at: at {place(job, past.representative_point())} its roof reaches "
                f"past the edge of the {host.name} slope that it stands on; move it, or make it "
                "smaller"
            ]
        )


def _part(host: Face, area: BaseGeometry, low: float, high: float) -> BaseGeometry:
    """Return the part of an area between two runs of a slope."""
    far = 2 * host.length + sum(map(abs, area.bounds)) + abs(host.corner.x) + abs(host.corner.y)
    low, high = max(low, -far), min(high, far)
    return area.intersection(Polygon(host.strip((-far, far), (low, high))))


def free_of(
    job: Job,
    surface: Surface,
    wing: Wing,
    valleys: tuple[LaidValley, LaidValley],
    slants: Sequence[Slant],
) -> Free:
    """Return what makes a wing free of its host's fascia. Raises JobError where it stands in it."""
    host, side = valleys[0].host, valleys[0].face
    front = front_run(host, side)
    inside = front > -ON_PLANE
    if not inside and front > -host.overhang + ON_PLANE:
        corner = host.point(host.station(side.corner), front, 0.0)
        raise JobError([_over_an_overhang(job, wing, corner)])
    end = next((f for f in wing.faces if f.uphill.dot(host.uphill) > 1 - ON_PLANE), None)
    deck = _deck(job, surface, wing, valleys, inside=inside)
    tails_to = min(_tails_to(job, wing, valley) for valley in valleys)
    flush = job.rafter.size.thickness
    for valley in valleys:
        at = host.point(host.station(valley.face.corner), front, 0.0)
        must_be_high(job, wing, (front + flush - valley.start) * host.pitch, at)
        if end:
            # The front wall's plate is drawn as deep as it is wide.
            behind = front + job.plate.width - valley.start
            must_be_high(job, wing, behind * host.pitch + job.plate.width, at)
        if inside:
            must_be_high(job, wing, (front + flush - tails_to) * host.pitch, at)
    sheathing = valleys[0].deck
    hips = (at for slant in slants for piece in deck for at in slant.underside(piece))
    for lowest in (*_end_tails(job, wing, end), *hips):
        if any(piece.distance(Point(lowest.x, lowest.y)) < SAME_SHAPE for piece in deck):
            must_be_high(job, wing, -sheathing.distance(lowest) / sheathing.normal.z, lowest)
    for valley in valleys:
        _must_carry(job, valley)
        _must_be_clear(job, wing, valley, slants)
    return Free(front=front, tails_to=tails_to, end=end, deck=deck)


def _over_an_overhang(job: Job, wing: Wing, corner: Vector) -> str:
    return (
        f"{wing.key}.at: its front wall stands over the first roof's overhang at "
        f"{place(job, corner)}; set it on the wall there or inside it, or out past the overhang"
    )


def front_run(host: Face, side: Face) -> float:
    """Return the host's run of a wing's front wall, from one of its side slopes."""
    return min(host.run(side.point(station, 0.0, 0.0)) for station in (0.0, side.length))


def _deck(
    job: Job,
    surface: Surface,
    wing: Wing,
    valleys: tuple[LaidValley, LaidValley],
    *,
    inside: bool,
) -> tuple[Polygon, ...]:
    """Return convex pieces of the host's sheathing under a wing and beside it.

    Between the walls of one that stands outside there is none past the host's own wall.
    """
    first, host = surface.wings[0], valleys[0].host
    own = next(face for face in first.faces if face.name == host.name)
    whole = sheathing_around(job, first, wing, own)
    (begin, end), out = mouth(valleys), -host.overhang
    far = abs(begin) + abs(end) + 2 * host.length
    beside = (Polygon(host.strip(ends, (out, 0.0))) for ends in ((-far, begin), (end, far)))
    pieces = (_part(host, whole, 0.0, inf), *(whole.intersection(strip) for strip in beside))
    return tuple(p for p in ((whole,) if inside else pieces) if isinstance(p, Polygon))


def _tails_to(job: Job, wing: Wing, valley: LaidValley) -> float:
    """Return the host's run up to which tails of a wing's slope are clear of the sheathing."""
    face = valley.face
    if face.overhang < SAME_POINT:
        return valley.deck_run(face.corner.z)
    return valley.deck_run(tail_end(job, wing, face).z)


def tail_end(job: Job, wing: Wing, face: Face) -> Vector:
    """Return the lowest point of a rafter's tail, where its underside ends.

    Raises JobError, with the wing's key, for a tail that cannot be cut.
    """
    try:
        cuts = tail_cuts(job, face)
    except JobError as error:
        told = [text.replace("roof.", f"{wing.key}.") for text in error.problems]
        raise JobError(told) from None
    under = face.plane.moved(-job.rafter.size.depth)
    ends = (meet(under, cut.planes[0].plane, face.across(0.0)) for cut in cuts)
    return max(ends, key=lambda at: at.z)


def _end_tails(job: Job, wing: Wing, end: Face | None) -> Iterator[Vector]:
    """Return where tails of a hipped front come nearest to the sheathing: at their two ends."""
    if end is not None and end.overhang > SAME_POINT:
        under = end.plane.moved(-job.rafter.size.depth)
        yield tail_end(job, wing, end)
        yield meet(under, end.plumb(0.0), end.across(0.0))


def must_be_high(job: Job, wing: Wing, missing: float, at: Vector) -> None:
    """Refuse a wing whose plates are too low by so much for what stands at a place."""
    if missing < ON_PLANE:
        return
    raised = wing.faces[0].corner.z + (job.roof.plate_height or 0.0)
    least = length_text(job, rounded_up(raised + missing, job.saw.round_to))
    raise JobError(
        [
            f"{wing.key}.plate_height: at {place(job, at)} its eaves would stand in the sheathing "
            f"beneath; make it {least} or more, or its overhang smaller"
        ]
    )


def _must_be_clear(job: Job, wing: Wing, valley: LaidValley, slants: Iterable[Slant]) -> None:
    """Refuse a wing whose hip would come down on the plate in its valley."""
    for at in (at for slant in slants for at in slant.underside(valley.plan)):
        if valley.seat.distance(at) > ON_PLANE:
            raise JobError(
                [
                    f"{wing.key}: its hip would come down on the plate in its valley at "
                    f"{place(job, at)}; make the wing longer, or its front slope steeper"
                ]
            )


def _must_carry(job: Job, valley: LaidValley) -> None:
    """Refuse a valley plate that the jacks beside the end of the wall's plate would miss."""
    host, size, half = valley.host, valley.size, job.rafter.size.thickness / 2
    at = place(job, valley.edge)
    if plumb_depth(size.thickness, host.pitch) < host.pitch * half:
        least = rounded_up(host.pitch * half / hypot(1.0, host.pitch), job.saw.round_to)
        raise JobError(
            [
                f"valley.size: on a plate so thin jacks would stand in the wall's plate at {at}; "
                f"take one at least {length_text(job, least)} thick"
            ]
        )
    reach = valley.inner_run(valley.start)
    least = 2 * half - valley.face.overhang
    if reach < least:
        gain = (reach - valley.outer_run(valley.start)) / size.depth
        wide = rounded_up(size.depth + (least - reach) / gain, job.saw.round_to)
        raise JobError(
            [
                f"valley.size: at {at} jacks come down to their fascia beside the plate; take one "
                f"at least {length_text(job, wide)} wide, or give the wing a larger overhang"
            ]
        )
