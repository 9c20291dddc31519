"""The wings of a job: the first roof and all that meet it, each turned and moved to its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import cos, inf, radians, sin

from shapely import LineString, Point, Polygon, union_all

from cutlist.errors import JobError
from cutlist.geometry.outline import Line
from cutlist.geometry.space import ORIGIN, UP, Vector
from cutlist.job import Job, RoofTable
from cutlist.roof.ends import level_overhang, raised
from cutlist.roof.face import Face
from cutlist.roof.slopes import Slopes, ridged_slopes
from cutlist.roof.surface import Wing, height_at, lower_line
from cutlist.tolerance import ON_PLANE, SAME_POINT
from cutlist.units import format_length


@dataclass(frozen=True, slots=True, kw_only=True)
class Gable:
    """An end without a slope: its wing's long faces, and how far past the wall the roof reaches.

    `station` is the wall's along the faces, `outward` the sign of the way out of the building.
    """

    faces: tuple[Face, Face]
    station: float
    outward: int
    rake: float


@dataclass(frozen=True, kw_only=True)
class Building:
    """A wing as built: `footprint` holds its building lines, drawn on into what it runs into.

    `joins`: whether an end of it runs into another. `is_open`: whether it opens into that one.
    """

    wing: Wing
    gables: tuple[Gable, ...]
    footprint: Polygon
    joins: bool
    is_open: bool


@dataclass(frozen=True, kw_only=True)
class _Placed:
    """A table of the job in its place; `key` is the table's in the job file."""

    key: str
    name: str
    table: RoofTable
    origin: Vector
    along: Vector
    is_open: bool

    @property
    def across(self) -> Vector:
        return UP.cross(self.along)

    def point(self, x: float, y: float) -> Vector:
        return self.origin + self.along * x + self.across * y

    @property
    def walls(self) -> Polygon:
        """The building lines as given."""
        length, span = self.table.length, self.table.span
        corners = (self.point(*at) for at in ((0, 0), (length, 0), (length, span), (0, span)))
        return Polygon([(c.x, c.y) for c in corners])

    def end(self, right: bool, beyond: float) -> LineString:
        """Return the wall at an end, moved that far out of the building."""
        x = self.table.length + beyond if right else -beyond
        corners = (self.point(x, 0.0), self.point(x, self.table.span))
        return LineString([(c.x, c.y) for c in corners])


def buildings(job: Job, height_above_plate: float) -> tuple[Building, ...]:
    """Return the first roof of a job and its wings, all with one height above the plate.

    An end that stands in or against another wing runs on until it is under that one's surface.
    Raises JobError where one does not touch another, or stands half in it.
    """
    placed = _placed(job)
    _must_touch(job, placed)
    _must_stand_apart(job, placed)
    joined = {id(p): _joined_ends(job, p, [o for o in placed if o is not p]) for p in placed}
    alone = [_build(job, p, joined[id(p)], (0.0, 0.0), height_above_plate) for p in placed]
    found = []
    for p, building in zip(placed, alone, strict=True):
        hosts = [b.wing for b in alone if b is not building]
        reach = [
            _reach(job, p, building.wing, hosts, right) if joins else 0.0
            for right, joins in zip((False, True), joined[id(p)], strict=True)
        ]
        found.append(_build(job, p, joined[id(p)], (reach[0], reach[1]), height_above_plate))
    return tuple(found)


def _placed(job: Job) -> list[_Placed]:
    first = _Placed(
        key="roof",
        name="",
        table=job.roof,
        origin=ORIGIN,
        along=Vector(1.0, 0.0, 0.0),
        is_open=False,
    )
    found = [first]
    for i, table in enumerate(job.wing, start=1):
        turn = table.turn % 360
        # Sine and cosine of right angles are not quite whole numbers.
        x, y = (cos(radians(turn)), sin(radians(turn)))
        if turn % 90 == 0:
            x, y = round(x), round(y)
        found.append(
            _Placed(
                key=f"wing[{i}]",
                name=f"wing {i} ",
                table=table,
                origin=Vector(*table.at, raised(job, table)),
                along=Vector(x, y, 0.0),
                is_open=table.open,
            )
        )
    return found


def _must_touch(job: Job, placed: Sequence[_Placed]) -> None:
    whole = union_all([p.walls.buffer(ON_PLANE) for p in placed])
    if isinstance(whole, Polygon):
        return
    for p in placed[1:]:
        rest = union_all([o.walls for o in placed if o is not p])
        if p.walls.distance(rest) > ON_PLANE:
            raise JobError(
                [
                    f"{p.key}.at: the wing at {place(job, p.origin)} does not touch the other "
                    f"roofs; the nearest is {_text(job, p.walls.distance(rest))} away"
                ]
            )
    raise JobError(["wing: some of the wings do not touch the others"])


def _must_stand_apart(job: Job, placed: Sequence[_Placed]) -> None:
    """Refuse wings that stand in each other outside the first roof: both would frame one place."""
    first, *wings = placed
    for one, other in combinations(wings, 2):
        shared = one.walls.intersection(other.walls).difference(first.walls)
        if shared.area > ON_PLANE:
            raise JobError(
                [
                    f"{other.key}.at: the wing stands in {one.key} at "
                    f"{place(job, shared.centroid)}; end one at the other's wall"
                ]
            )


def _joined_ends(job: Job, p: _Placed, others: list[_Placed]) -> tuple[bool, bool]:
    """Tell for the left and the right end whether it runs on into another wing."""
    rest = union_all([o.walls for o in others])

    def joins(right: bool) -> bool:
        # Just past the wall: an end that only shares another's wall line does not run into it.
        wall = p.end(right, job.saw.round_to / 2)
        inside = wall.intersection(rest).length
        if SAME_POINT < inside < wall.length - job.saw.round_to:
            middle = wall.intersection(rest).centroid
            raise JobError(
                [
                    f"{p.key}: its {'right' if right else 'left'} end stands half in another roof "
                    f"at {place(job, middle)}; move it clear, or so that its whole width runs in"
                ]
            )
        return bool(inside > SAME_POINT)

    return joins(False), joins(True)


def _build(
    job: Job,
    p: _Placed,
    joins: tuple[bool, bool],
    reach: tuple[float, float],
    height: float,
) -> Building:
    """Return a wing in its place, its joined ends drawn out by their reach."""
    slopes = _own_slopes(job, p, joins)
    faces = tuple(_moved(job, p, joins, face, height) for face in slopes.faces)
    near, far = faces[0], faces[1]
    length, rake = p.table.length, p.table.rake_overhang
    limits, gables = [], []
    for right, slope in ((False, slopes.left), (True, slopes.right)):
        if slope is not None:
            continue
        out = p.along if right else -p.along
        past = reach[right] if joins[right] else rake
        wall = length if right else 0.0
        edge = p.point(wall, 0.0) + out * past
        limits.append(Line("limit", out.x, out.y, out.x * edge.x + out.y * edge.y))
        if not joins[right]:
            gables.append(
                Gable(faces=(near, far), station=wall, outward=1 if right else -1, rake=rake)
            )
    begin, end = -reach[0], length + reach[1]
    span = p.table.span
    corners = (p.point(*at) for at in ((begin, 0), (end, 0), (end, span), (begin, span)))
    return Building(
        wing=Wing(name=p.name.strip(), faces=faces, limits=tuple(limits)),
        gables=tuple(gables),
        footprint=Polygon([(c.x, c.y) for c in corners]),
        joins=any(joins),
        is_open=p.is_open,
    )


def _own_slopes(job: Job, p: _Placed, joins: tuple[bool, bool]) -> Slopes:
    """Return the slopes of a wing as of a roof alone, its joined ends gables far away."""
    form, hip = p.table.form, "hip" if p.table.form == "hip" else "gable"
    ends = tuple(
        "gable" if joined else end
        for end, joined in zip(p.table.ends or (hip, hip), joins, strict=True)
    )
    if ends == ("gable", "gable"):
        form = "gable"
    pitch = p.table.pitch or job.roof.pitch
    table = RoofTable.model_construct(
        **{
            **dict(p.table),
            "form": form,
            "ends": ends if form == "hip" else None,
            "pitch": pitch,
            "overhang": job.roof.overhang,
            "length": p.table.length + any(joins) * 2 * p.table.span,
            "plate_height": None,
            "far_plate_height": None,
        }
    )
    try:
        return ridged_slopes(job.model_copy(update={"roof": table, "wing": []}))
    except JobError as error:
        raise JobError([text.replace("roof.", f"{p.key}.") for text in error.problems]) from None


def _moved(job: Job, p: _Placed, joins: tuple[bool, bool], face: Face, height: float) -> Face:
    """Return a face of a wing in its place in the plan."""
    is_end = face.name in ("left", "right")
    corner = p.origin
    if face.name == "far":
        corner = p.point(0.0, p.table.span)
    elif face.name == "right":
        corner = p.point(p.table.length, 0.0)

    def turned(v: Vector) -> Vector:
        return p.along * v.x + p.across * v.y

    return replace(
        face,
        name=f"{p.name}{face.name}",
        corner=corner,
        along=turned(face.along),
        uphill=turned(face.uphill),
        length=p.table.span if is_end else p.table.length,
        height_above_plate=height,
        overhang=level_overhang(job, face.pitch, corner.z),
    )


def _reach(job: Job, p: _Placed, wing: Wing, hosts: list[Wing], right: bool) -> float:
    """Return how far past its wall a joined end runs until it is under another wing.

    Its ridge and both its eaves are followed. Raises JobError where one never comes under another.
    """
    near, far = wing.faces[:2]
    out = p.along if right else -p.along
    wall = p.point(p.table.length if right else 0.0, 0.0)
    ridge = lower_line(near, far)
    # Across the wing, where its ridge stands: heights of both faces are equal there.
    across = p.across
    start = wall
    slope = ridge.a * across.x + ridge.b * across.y
    middle = -ridge.excess((start.x, start.y)) / slope
    reach = 0.0
    for y in (middle, -near.overhang, p.table.span + far.overhang):
        at = start + across * y
        height = min(height_at(face, (at.x, at.y)) for face in (near, far))
        entry = min((_entry(host, at, out, height) for host in hosts), default=inf)
        if entry == inf and y != middle:
            continue  # Past the other roof's end: a step, told with its place.
        if entry == inf:
            raise JobError(
                [
                    f"{p.key}: its roof stands higher than the one it runs into, so that its ridge "
                    f"would come out of it past {place(job, at)}; make its span narrower, its "
                    "pitch lower, or let it pass over the other and out again"
                ]
            )
        reach = max(reach, entry)
    return reach


def _entry(host: Wing, start: Vector, out: Vector, height: float) -> float:
    """Return how far along a level line a wing is first at least as high; infinite if never."""
    first, last = 0.0, inf
    for missing, gain in _missing(host, start, out, height):
        if abs(gain) < SAME_POINT:
            last = -inf if missing > ON_PLANE else last
        elif gain > 0:
            first = max(first, missing / gain)
        else:
            last = min(last, missing / gain)
    return first if first <= last + ON_PLANE else inf


def _missing(
    host: Wing, start: Vector, out: Vector, height: float
) -> Iterator[tuple[float, float]]:
    """Return what is missing at a point till a wing covers it, and how much a unit of way adds.

    Each of its faces must be as high, and none of its ends lie behind.
    """
    for face in host.faces:
        below = height - height_at(face, (start.x, start.y))
        yield below, face.pitch * face.uphill.dot(out)
    for end in host.limits:
        yield end.excess((start.x, start.y)), -(end.a * out.x + end.b * out.y)


def place(job: Job, point: Vector | Point) -> str:
    """Return a plan position as people read it."""
    return f"({_text(job, point.x)}, {_text(job, point.y)})"


def _text(job: Job, length: float) -> str:
    return format_length(length, job.units, job.saw.round_to)
