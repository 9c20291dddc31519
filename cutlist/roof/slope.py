"""One slope of roofs that meet: what bounds its rafters, and where they stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cutlist.errors import JobError
from cutlist.geometry.space import GROUND, Plane, Vector, meet
from cutlist.job import Job
from cutlist.roof.bounds import ON_WALL, Bound, Piece, piece_member, pieces_at
from cutlist.roof.building import Building
from cutlist.roof.face import Face
from cutlist.roof.hip import commons_side, shortest_jack
from cutlist.roof.meeting import Meeting
from cutlist.roof.member import Member
from cutlist.roof.placed import place
from cutlist.roof.plates import plate_mitres, plates_of
from cutlist.roof.roof import LeftOut
from cutlist.roof.slant import Slant
from cutlist.roof.support import Strip
from cutlist.roof.surface import Interval, Visible, joined
from cutlist.roof.valley import Valley
from cutlist.tolerance import ON_PLANE, SAME_POINT, SAME_SHAPE


@dataclass(frozen=True, kw_only=True)
class Slope:
    """A face with all that its rafters are laid out by.

    `kings`: stations of the commons under the upper ends of its hips. `peak`: the one from which
    spacing is carried under hips that meet without such commons. `walls`: those of the rafters
    flush with a gable wall, each with the station out to which its roof reaches. `begin`: from
    where spacing is carried otherwise. `mitres`: where its plates end.
    """

    seen: Visible
    bounds: tuple[Bound, ...]
    plates: tuple[Interval, ...]
    kings: tuple[float, ...]
    peak: float | None
    walls: tuple[tuple[float, float], ...]
    begin: float
    mitres: tuple[Plane, ...]

    @property
    def face(self) -> Face:
        """The face itself."""
        return self.seen.face


def slope_of(job: Job, seen: Visible, built: Sequence[Building], meeting: Meeting) -> Slope:
    """Return a face of some buildings with what bounds it, its plates and its fixed rafters."""
    face = seen.face
    walls: list[Interval] = []
    own = {f.name for f in seen.merged}
    begin = 0.0
    for building in built:
        for gable in building.gables:
            if all(side.name not in own for side in gable.faces):
                continue
            wall = face.corner - gable.wall.normal * gable.wall.distance(face.corner)
            reach = wall + gable.wall.normal * gable.rake
            if building.wing.is_mitred:
                begin = face.station(wall)
            walls.append((face.station(wall), face.station(reach)))
    kings: list[float] = []
    tops: list[Vector] = []
    for slant in meeting.hips:
        station = face.station(slant.top)
        if face not in (slant.line.main, slant.line.end):
            continue
        if not slant.ridges:
            tops.append(slant.top)
        elif all(abs(station - king) > SAME_SHAPE for king in kings):
            kings.append(station)
    peak = min(tops, key=lambda p: (-round(face.run(p), 3), face.station(p)), default=None)
    valleys = [slant.line for slant in meeting.valleys]
    return Slope(
        seen=seen,
        bounds=tuple(_bounds(job, seen, meeting)),
        plates=plates_of(job, seen, built, valleys),
        kings=tuple(sorted(kings)),
        peak=face.station(peak) if peak else None,
        walls=tuple(walls),
        begin=begin,
        mitres=tuple(plate_mitres(job, face, built, valleys)),
    )


def _bounds(job: Job, seen: Visible, meeting: Meeting) -> Iterator[Bound]:
    """Return all lines at which rafters of a face end."""
    face = seen.face
    eave = face.plumb(-face.overhang).flipped()
    for start, end in seen.segments():
        ends = Vector(*start, 0.0), Vector(*end, 0.0)
        if all(abs(face.run(p) + face.overhang) < ON_PLANE for p in ends):
            yield Bound(
                kind="eave",
                is_upper=False,
                between=_between(face, *ends),
                plane=eave,
                against=(),
            )
    for ridge in meeting.ridges:
        if face in ridge.faces:
            yield Bound(
                kind="ridge",
                is_upper=True,
                between=_between(
                    face, *(ridge.start + ridge.along * at for at in ridge.reach_on(face))
                ),
                plane=ridge.side(face),
                against=(ridge.name,),
            )
    for slant in (*meeting.hips, *meeting.valleys):
        line = slant.line
        if face in (line.main, line.end):
            yield from _slant_bounds(job, face, slant)


def _slant_bounds(job: Job, face: Face, slant: Slant) -> Iterator[Bound]:
    line = slant.line
    is_valley = isinstance(line, Valley)
    runs_on = is_valley and (slant.stop - slant.top).length() > SAME_SHAPE
    side = line.side(face)
    low, high = slant.side_ends(job, face)
    yield Bound(
        kind="valley" if is_valley else "hip",
        is_upper=not is_valley,
        between=_between(face, low, slant.top if runs_on and face is line.end else high),
        plane=side,
        against=(line.line,),
        top=slant.top,
        at_top=slant.ridges,
    )
    if slant.on is not None and face in slant.on.faces:
        # The ridge's end goes on in the line of the broken hip's side.
        corner = meet(side, slant.on.side(face), GROUND)
        yield Bound(
            kind="hip",
            is_upper=True,
            between=_between(face, corner, low),
            plane=side,
            against=(slant.on.name,),
        )
    if slant.ridges:
        # Where the hip runs nearly along the face, the last jack reaches past the hip's head.
        station, half = face.station(slant.top), job.rafter.size.thickness / 2
        begin = station + half if face.station(low) > station else station - half
        other = line.end if face is line.main else line.main
        yield Bound(
            kind="hip",
            is_upper=True,
            between=_between(face, face.point(begin, 0.0, 0.0), low),
            plane=commons_side(job, face, slant.top),
            against=(other.name, *slant.ridges),
        )
    if runs_on and face is line.main:
        _, high = slant.side_ends(job, line.end)
        yield Bound(
            kind="valley",
            is_upper=True,
            between=_between(face, slant.top, high),
            plane=line.side(line.end),
            against=(line.line,),
            top=slant.stop,
        )


def slope_rafters(job: Job, slope: Slope, strips: Sequence[Strip]) -> Iterator[Member]:
    """Return commons and jacks of a slope along it; jacks too short to be cut are left out."""
    kept = [piece for piece in _standing(job, slope) if _is_kept(job, piece)]
    made = [piece_member(job, piece, strips) for piece in (*kept, *_kings(job, slope))]
    yield from sorted(made, key=lambda member: (member.station, member.stick.frame.origin.z))


def slope_left_out(job: Job, slope: Slope) -> Iterator[LeftOut]:
    """Return the jacks of a slope that are left out."""
    for piece in _standing(job, slope):
        if not _is_kept(job, piece):
            whole, least = piece.is_whole(job.rafter.size.thickness), shortest_jack(job)
            is_long = whole and piece.length >= least
            yield LeftOut(
                line=slope.face.name,
                station=piece.station,
                length=piece.length if whole else 0.0,
                least=piece.length + _overlap(job, piece) if is_long else least,
                ends_at=piece.ends_at,
            )


def _standing(job: Job, slope: Slope) -> list[Piece]:
    """Return all rafters of a slope, however short, but for those under hips' upper ends.

    One that has nothing to stand on is moved to where it has.
    """
    stations, thickness = _stations(job, slope), job.rafter.size.thickness
    found: list[Piece] = []
    for station in stations:
        here = list(_pieces(job, slope, slope.bounds, station))
        others = [o for o in (*stations, *slope.kings) if o != station]
        others += [piece.station for piece in found]
        if not here:
            for flush in _flush(job, slope, station):
                if all(abs(flush - other) >= thickness for other in others):
                    here += _pieces(job, slope, slope.bounds, flush)
        found += here
    return [
        *found,
        *(piece for station in slope.kings for piece in _under_hips(job, slope, station)[:-1]),
    ]


def _kings(job: Job, slope: Slope) -> Iterator[Piece]:
    """Return the rafters under hips' upper ends, on which these land: none is left out."""
    for station in slope.kings:
        yield from _under_hips(job, slope, station)[-1:]


def _under_hips(job: Job, slope: Slope, station: float) -> list[Piece]:
    """Return the rafters on the station of hips' upper ends, the one that they land on last.

    Raises JobError where that one has nothing to stand on.
    """
    here = [bound for bound in slope.bounds if _ends_over(slope.face, bound, station)]
    if not here:
        return []
    found = list(_pieces(job, slope, _king_bounds(job, slope, station), station))
    if not found or not found[-1].is_whole(job.rafter.size.thickness):
        top = here[0].top
        assert top is not None, "a hip's bound has its upper end"
        raise JobError(
            [
                f"wing: under the upper end of a hip, at {place(job, top)}, no rafter of the "
                f"{slope.face.name} slope can stand; make that wing longer, or its end steeper"
            ]
        )
    return found


def _is_kept(job: Job, piece: Piece) -> bool:
    """Tell whether a rafter is no jack, or one long enough to be cut over its whole thickness."""
    if piece.role == "common":
        return True
    is_long = piece.length >= shortest_jack(job) and _overlap(job, piece) < -SAME_POINT
    return is_long and piece.is_whole(job.rafter.size.thickness)


def _overlap(job: Job, piece: Piece) -> float:
    """Return how far the ends of a jack on a valley plate reach past each other."""
    on_plate = piece.low[0].kind == "plate"
    return piece.overlap(job.rafter.size) if on_plate else -piece.length


def _pieces(job: Job, slope: Slope, bounds: Sequence[Bound], station: float) -> Iterator[Piece]:
    """Return the rafters on one station that stand on something."""
    half = job.rafter.size.thickness / 2
    begin, end = station - half, station + half
    over = any(first < end and begin < last for first, last in slope.plates)
    whole = any(
        first - SAME_POINT <= begin and end <= last + SAME_POINT for first, last in slope.plates
    )
    for found in pieces_at(slope.face, bounds, station, job.rafter.size.thickness):
        piece = replace(found, over_plate=over)
        needs_plate = piece.stands_on_plate or piece.low[0].kind in ON_WALL
        if (whole or not needs_plate) and piece.length >= SAME_POINT:
            yield piece


def _flush(job: Job, slope: Slope, station: float) -> Iterator[float]:
    """Return where near a station a rafter stands that has nothing to stand on there.

    Half on the end of a plate, it is moved flush with it. Between a plate and a valley that begins
    only further on, where it would hang, one stands flush with the end of each.
    """
    thickness = job.rafter.size.thickness
    half = thickness / 2
    wide = [(first, last) for first, last in slope.plates if last - first >= thickness]
    for first, last in wide:
        if first < station < last:
            yield min(max(station, first + half), last - half)
            return
    hanging = any(
        piece.length >= shortest_jack(job)
        for piece in pieces_at(slope.face, slope.bounds, station, thickness)
    )
    lands = [*wide, *(b.between for b in slope.bounds if b.kind == "valley" and not b.is_upper)]
    before = [last - half for _, last in lands if last < station]
    after = [first + half for first, _ in lands if station < first]
    if hanging and before and after:
        yield from (max(before), min(after))


def _ends_over(face: Face, bound: Bound, station: float) -> bool:
    """Tell whether a hip's upper end stands over a station."""
    return (
        bound.kind == "hip"
        and bound.top is not None
        and abs(face.station(bound.top) - station) < SAME_SHAPE
    )


def _king_bounds(job: Job, slope: Slope, station: float) -> list[Bound]:
    """Return the bounds of the common under the upper end of hips: its ridge in place of them.

    Where no ridge of its own passes there it ends at the last commons' side, on the ridge's end.
    """
    face = slope.face
    here = [b for b in slope.bounds if _ends_over(face, b, station)]
    bounds = [b for b in slope.bounds if b not in here]
    top = here[0].top
    assert top is not None, "a hip's bound has its upper end"
    on_ridge = any(
        b.kind == "ridge"
        and b.between[0] - SAME_SHAPE < station < b.between[1] + SAME_SHAPE
        and abs(b.plane.distance(top)) < job.rafter.size.depth
        for b in bounds
    )
    if not on_ridge:
        half = job.rafter.size.thickness / 2
        bounds.append(
            Bound(
                kind="ridge",
                is_upper=True,
                between=(station - half, station + half),
                plane=commons_side(job, face, top),
                against=here[0].at_top,
            )
        )
    return bounds


def _stations(job: Job, slope: Slope) -> list[float]:
    """Return where rafters stand, but for the commons under hips' upper ends.

    One stands flush with each gable wall, the others on centres: from the first common under a hip,
    or from the plate's end.
    """
    face, thickness, spacing = slope.face, job.rafter.size.thickness, job.rafter.spacing
    at_walls = (
        wall + (thickness / 2 if reach <= wall and wall < face.length / 2 else -thickness / 2)
        for wall, reach in slope.walls
    )
    # A common under a hip's upper end does as well.
    apart = thickness - SAME_POINT
    flush = [at for at in at_walls if all(abs(at - king) >= apart for king in slope.kings)]
    fixed = [*slope.kings, *flush]
    from_common = job.hip is None or job.hip.jacks_from == "common"
    origin = slope.begin
    if slope.kings and from_common and min(fixed) == slope.kings[0]:
        origin = slope.kings[0]
    if slope.peak is not None and from_common:
        # Where a hub takes the place of the common there, two stand about it.
        origin = slope.peak + (0 if _is_ended(slope, slope.peak, thickness) else spacing / 2)
    least = min(b.between[0] for b in slope.bounds)
    most = max(b.between[1] for b in slope.bounds)
    first = int((least - origin) // spacing)
    centres = [origin + i * spacing for i in range(first, int((most - origin) // spacing) + 2)]
    past = [tuple(sorted(wall)) for wall in slope.walls]
    free = [
        s
        for s in centres
        if all(abs(s - f) >= thickness - SAME_POINT for f in fixed)
        and not any(begin <= s + thickness / 2 and s - thickness / 2 <= end for begin, end in past)
        and (slope.peak is None or _is_ended(slope, s, thickness))
    ]
    return sorted([*flush, *free])


def _is_ended(slope: Slope, station: float, thickness: float) -> bool:
    """Tell whether hips and ridges end a rafter over its whole thickness; they do not at a hub."""
    half = thickness / 2 - SAME_POINT
    ended = joined(bound.between for bound in slope.bounds if bound.is_upper)
    return any(begin <= station - half and station + half <= end for begin, end in ended)


def slope_barges(job: Job, slope: Slope) -> Iterator[Member]:
    """Return the barge rafters outside the gables of a slope."""
    thickness = job.rafter.size.thickness
    for wall, reach in slope.walls:
        if abs(reach - wall) > SAME_POINT:
            station = reach + (thickness / 2 if reach < wall else -thickness / 2)
            for piece in pieces_at(slope.face, slope.bounds, station, thickness):
                yield piece_member(job, piece, (), is_barge=True)


def _between(face: Face, one: Vector, other: Vector) -> tuple[float, float]:
    begin, end = sorted((face.station(one), face.station(other)))
    return begin, end
