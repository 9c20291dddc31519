"""A wing laid on a roof: where both roofs' rafters end for it, and the sheathing under it.

A wing whose fascia is level with the host's shares its plates' height: its walls end at the host's,
and so do its plates. One with a fascia of its own is free: its plates die on the sheathing, so that
it may stand inside the host's walls, on its slope.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from cutlist.geometry.space import UP, Frame, Plane, Vector
from cutlist.geometry.stick import Stick, end_cut
from cutlist.roof.bounds import Bound
from cutlist.roof.face import Face
from cutlist.roof.laid_valley import LaidValley, mouth
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.slant import Slant
from cutlist.roof.slope import Slope
from cutlist.roof.support import Support
from cutlist.roof.surface import Interval
from cutlist.tolerance import ON_PLANE


@dataclass(frozen=True, kw_only=True)
class Free:
    """What a laid wing has that its own fascia makes free of the host's.

    `front`: the host's run of its front wall, negative outside the host's. `tails_to`: the host's
    run up to which the tails of its rafters clear the sheathing. `end`: the slope of a hipped
    front. `deck`: in plan, convex pieces of the host's sheathing under it and beside it.
    """

    front: float
    tails_to: float
    end: Face | None
    deck: tuple[Polygon, ...]


@dataclass(frozen=True, kw_only=True)
class LaidWing:
    """A wing laid on a slope: its valleys, its ridge with its end cut to the slope, its hips."""

    valleys: tuple[LaidValley, LaidValley]
    ridge: RidgeLine
    hips: tuple[Slant, ...]
    free: Free | None = None

    @property
    def host(self) -> Face:
        """The slope it is laid on."""
        return self.valleys[0].host

    @property
    def mouth(self) -> Interval:
        """From where to where along the host's building line its side walls stand."""
        return mouth(self.valleys)

    @property
    def stands_inside(self) -> bool:
        """Whether all of it stands inside the host's walls, over whose eaves it has no part."""
        return self.free is not None and self.free.front > -ON_PLANE

    @property
    def plate_lengths(self) -> Iterator[tuple[LaidValley, float]]:
        """The valleys of a free wing, each with the length of the wall's plate that ends there."""
        if self.free is not None:
            for valley in self.valleys:
                yield valley, valley.start - self.free.front

    @property
    def tails_beside(self) -> BaseGeometry:
        """Where, in plan, the host's rafters have their tails on both sides of the mouth."""
        host, (begin, end) = self.host, self.mouth
        before, beyond = (
            Polygon(host.strip(stations, (0.0, -host.overhang)))
            for stations in ((0.0, begin), (end, host.length))
        )
        return before.union(beyond)


def decks(wing: LaidWing) -> Iterator[Support]:
    """Return the sheathing under a wing.

    Under one whose fascia is level with the host's it lies from the host's building line up between
    the valleys. Under a free one it reaches out past its eaves and rakes.
    """
    if wing.free is None:
        yield _between_valleys(wing)
        return
    for piece in wing.free.deck:
        yield deck_piece(wing.host, wing.valleys[0].sheathing, piece)


def _between_valleys(wing: LaidWing) -> Support:
    host, first = wing.host, wing.valleys[0]
    x = host.uphill.cross(UP)
    middle = host.point(sum(wing.mouth) / 2, 0.0, 0.0)

    def along(valley: LaidValley) -> Plane:
        plane = Plane.through(valley.top, valley.direction.cross(UP))
        return plane if plane.distance(middle) < 0 else plane.flipped()

    return Support(
        name=first.deck_name,
        stick=Stick.trimmed(
            thickness=first.sheathing,
            depth=host.slope_length(host.run(first.top)),
            frame=Frame.along(
                host.point(0.0, 0.0, host.height_above_plate), x, host.plane.normal.cross(x)
            ),
            cuts=(
                *(end_cut("cheek", along(valley)) for valley in wing.valleys),
                end_cut("plumb", host.plumb(0.0).flipped()),
            ),
        ),
    )


def deck_piece(host: Face, sheathing: float, piece: Polygon) -> Support:
    """Return a convex piece of a slope's sheathing, so thick, its edges plumb."""
    x = host.uphill.cross(UP)
    corners = [Vector(x, y, 0.0) for x, y, *_ in orient(piece).exterior.coords]
    runs = [host.run(corner) for corner in corners]
    low = min(runs)
    return Support(
        name=f"{host.name} sheathing",
        stick=Stick.trimmed(
            thickness=sheathing,
            depth=host.slope_length(max(runs) - low),
            frame=Frame.along(host.point(0.0, low, host.top(low)), x, host.plane.normal.cross(x)),
            cuts=[
                end_cut("plumb", Plane.through(one, (other - one).cross(UP)))
                for one, other in pairwise(corners)
            ],
        ),
    )


def plate_ends(face: Face, laid: Iterable[LaidWing]) -> Iterator[Plane]:
    """Return the sheathing on which the plate under a slope of a free wing dies.

    Under the sheathing's top lies beyond.
    """
    for wing in laid:
        if wing.free is not None:
            for valley in wing.valleys:
                dies_at = valley.deck_run(valley.face.corner.z)
                if valley.face == face and dies_at > valley.start - ON_PLANE:
                    yield valley.deck.flipped()


def laid_bounds(wing: LaidWing) -> Iterator[tuple[Face, Bound]]:
    """Return at what rafters of both roofs end where a wing is laid on another.

    The host's have no tails between the wing's walls, where these come out past its own; nor have
    the wing's where theirs would be in the sheathing. Past the end of its wall's plate the wing's
    stand on its valley plates.
    """
    if not wing.stands_inside:
        yield wing.host, _wall(wing.host, wing.mouth)
    for valley in wing.valleys:
        without_tails = -wing.host.overhang
        if wing.free is not None:
            without_tails = wing.free.tails_to
            if not wing.stands_inside:
                without_tails = max(without_tails, -wing.host.overhang)
        beside, corner, top = (
            valley.station(run)
            for run in (without_tails, valley.start, valley.host.run(valley.top))
        )
        if without_tails < valley.start:
            yield valley.face, _wall(valley.face, (min(beside, corner), max(beside, corner)))
        yield (
            valley.face,
            Bound(
                kind="plate",
                is_upper=False,
                between=(min(corner, top), max(corner, top)),
                plane=valley.seat,
                against=(valley.line,),
                trim=valley.fascia,
            ),
        )


def _wall(face: Face, between: Interval) -> Bound:
    plane = face.plumb(0.0).flipped()
    return Bound(kind="wall", is_upper=False, between=between, plane=plane, against=())


def laid_slope(slope: Slope, laid: Sequence[LaidWing]) -> Slope:
    """Return a slope of the host or of a wing, as bounded by the wings that are laid on the host.

    A free wing's plates run from its front back to the sheathing on which they die.
    """
    face = slope.face
    more = [bound for wing in laid for owner, bound in laid_bounds(wing) if owner == face]
    bounds, walls, plates = slope.bounds, slope.walls, slope.plates
    for wing in laid:
        if wing.free is not None and face == wing.free.end:
            plates = ((0.0, face.length),)
        for valley in wing.valleys:
            if valley.face != face:
                continue
            at = valley.station(valley.start)
            if wing.free is None:
                walls = (*walls, (at, at))
            else:
                is_up = valley.station(valley.start + 1.0) > at
                on_plate = (0.0, at) if is_up else (at, face.length)
                plates = (on_plate,)
                bounds = tuple(_clipped(bounds, at, is_up))
    return replace(slope, bounds=(*bounds, *more), walls=walls, plates=plates)


def _clipped(bounds: Iterable[Bound], at: float, is_up: bool) -> Iterator[Bound]:
    """Return bounds of which no eave runs on past a station, up the host's slope."""
    for bound in bounds:
        begin, end = bound.between
        if bound.kind == "eave":
            begin, end = (begin, min(end, at)) if is_up else (max(begin, at), end)
            if begin >= end:
                continue
        yield replace(bound, between=(begin, end))
