"""Whether the roof goes together: all its members and supports put in place as solid bodies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from cutlist.checks.finding import Case, Finding
from cutlist.geometry.space import Plane, Vector
from cutlist.geometry.stick import CutPlane, Stick
from cutlist.roof.member import Member
from cutlist.tolerance import ON_PLANE, PARALLEL, SLIVER

if TYPE_CHECKING:
    from cutlist.geometry.solid import Solid

SOURCE = "solid geometry of this build"

MOST_ROWS = 12
"""Failing places told one by one; the rest are told together."""


@dataclass(frozen=True, kw_only=True, eq=False)
class _Body:
    """A member or support in place. `label`: what people call it; `line`: what cuts call it."""

    label: str
    line: str
    stick: Stick
    solid: Solid
    member: Member | None = None

    @property
    def kind(self) -> str:
        """What it is among others: a member's role, or the last word of a support's name."""
        return self.member.role if self.member else self.line.split()[-1]


@dataclass(frozen=True, kw_only=True)
class _Measure:
    """One place measured: `kind` tells it among others that pass, `place` where it fails.

    `margin` is how far inside the limit it is, negative where it fails.
    """

    kind: str
    place: str
    value: float
    limit: float
    margin: float
    advice: str


def fit(case: Case) -> Iterator[Finding]:
    """Hold every member against its neighbours, its bearings and its roof faces, as solids.

    No two share space, each cut face touches what it was cut to lie on, and every top lies in
    its faces. One finding for each kind of place that passes, one for each mark or pair that fails.
    """
    # Loads the solid modeller, which most runs of the program never need.
    from cutlist.geometry.solid import near_pairs

    symbol = case.job.units.symbol
    bodies = _bodies(case)
    pairs = near_pairs([body.solid for body in bodies])
    yield from _told(f"shared space [cubic {symbol}]", _shared_space(bodies, pairs))
    yield from _told(f"contact of cut faces [square {symbol}]", _contact(bodies, pairs))
    yield from _told("top edges in their faces", _tops(case, bodies))


def _bodies(case: Case) -> list[_Body]:
    """Return the members first, then the supports."""
    from cutlist.geometry.solid import stick_solid

    marks = {id(member): part.mark for part in case.parts for member in part.members}
    members = [
        _Body(
            label=marks[id(m)],
            line=m.line,
            stick=m.stick,
            solid=stick_solid(m.stick),
            member=m,
        )
        for m in case.roof.members
    ]
    supports = [
        _Body(label=s.name, line=s.name, stick=s.stick, solid=stick_solid(s.stick))
        for s in case.roof.supports
    ]
    return members + supports


def _shared_space(bodies: list[_Body], pairs: Iterable[tuple[int, int]]) -> Iterator[_Measure]:
    """Measure the volume that a member shares with another, or with a support.

    Supports are not held against each other: plates cross at the corners of a building.
    """
    for one, other in ((bodies[i], bodies[j]) for i, j in pairs):
        if one.member is None:
            continue
        volume = one.solid.shared_volume(other.solid)
        limit = SLIVER * min(b.stick.thickness * b.stick.depth for b in (one, other))
        yield _Measure(
            kind="members beside each other or on their supports",
            place=f"{one.label} and {other.label}",
            value=volume,
            limit=limit,
            margin=limit - volume,
            advice="they would stand in one place: move one of them, or leave it out",
        )


def _contact(bodies: list[_Body], pairs: Iterable[tuple[int, int]]) -> Iterator[_Measure]:
    """Measure the area over which each cut face lies on what it was cut to lie on."""
    beside: list[list[_Body]] = [[] for _ in bodies]
    for i, j in pairs:
        beside[i].append(bodies[j])
        beside[j].append(bodies[i])
    for body, neighbours in zip(bodies, beside, strict=True):
        if body.member is None:
            continue
        limit = SLIVER * body.stick.thickness
        for cut, plane in _bearing_faces(body):
            areas = {
                other: body.solid.contact_area(plane, other.solid)
                for other in neighbours
                if other.line in cut.against
            }
            touched = [other for other in areas if areas[other] > limit]
            area = max(areas.values(), default=0.0)
            if len(touched) > 1:
                area = body.solid.contact_area(plane, *(other.solid for other in touched))
            kinds = " and ".join(sorted({other.kind for other in touched}))
            names = " or ".join(cut.against)
            yield _Measure(
                kind=f"{body.kind} {cut.name} on {kinds}",
                place=f"{body.label} {cut.name} on {names}",
                value=area,
                limit=limit,
                margin=area - limit,
                advice=f"no {names} touches this face of {body.label}: move or recut one of them",
            )


def _bearing_faces(body: _Body) -> Iterator[tuple[CutPlane, Plane]]:
    """Return each cut face that is to lie on something, with its plane in plan coordinates.

    A plane that leaves no face, as a heel's of a rafter without a tail or one cheek of a hip that
    lands on the other, is passed over as long as another of the same notch or end leaves one.
    """
    together: dict[object, list[tuple[CutPlane, Plane]]] = {}
    for cut in body.stick.cuts:
        planes = [(p, body.stick.frame.plane_outward(p.plane)) for p in cut.planes if p.against]
        together.setdefault(cut.end or cut, []).extend(planes)
    for planes in together.values():
        real = [pair for pair in planes if body.solid.face_area(pair[1]) > ON_PLANE]
        yield from real or planes


def _tops(case: Case, bodies: Iterable[_Body]) -> Iterator[_Measure]:
    """Measure how far each member's top is off the roof faces that are its own."""
    planes = {face.name: face.plane for face in case.roof.faces}
    for body in bodies:
        if body.member is None or not body.member.faces:
            continue
        off = _off_faces(body, [planes[name] for name in body.member.faces])
        yield _Measure(
            kind=body.kind,
            place=body.label,
            value=off,
            limit=ON_PLANE,
            margin=ON_PLANE - abs(off),
            advice="it stands above its roof face: lower it"
            if off > 0
            else "it lies under its roof face: raise it",
        )


def _off_faces(body: _Body, planes: Sequence[Plane]) -> float:
    """Return how far a top stands above any of its faces, or else, negative, under all of them.

    A top parallel to a face is to lie in it whole. Any other, as a ridge's or a dropped hip's, is
    to have points in one of its faces that are at least half its own length apart.
    """
    if body.kind == "valley" and len(planes) > 1:
        return _off_valley(body, planes)
    frame, corners = body.stick.frame, body.solid.corners.reshape(-1, 3)
    along = corners @ _array(frame.x)
    depth = (corners - _array(frame.origin)) @ _array(frame.y)
    is_top = depth > body.stick.depth - ON_PLANE
    above, under = -np.inf, -np.inf
    for plane in planes:
        height = corners @ _array(plane.normal) - plane.offset
        above = max(above, height.max())
        if frame.y.cross(plane.normal).length() < PARALLEL:
            under = max(under, height[is_top].min(initial=height.max()))
        else:
            order = np.argsort(-height)
            reach = np.maximum.accumulate(along[order]) - np.minimum.accumulate(along[order])
            under = max(under, height[order][reach >= np.ptp(along[is_top]) / 2][0])
    return float(above if above > ON_PLANE else under)


def _off_valley(body: _Body, planes: Sequence[Plane]) -> float:
    """Return how far a valley stands above both its faces, or else how far its middle is under.

    The roof there is the higher of its faces. The middle of the top edge is to lie on their line.
    """
    stick = body.stick

    def height(points: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> float:
        over = [points @ _array(plane.normal) - plane.offset for plane in planes]
        return float(np.min(over, axis=0).max())

    above = height(body.solid.corners.reshape(-1, 3))
    ends = [point for segment in stick.middle.segments("top") for point in segment]
    middle = [_array(stick.frame.outward(Vector(x, y, stick.thickness / 2))) for x, y in ends]
    return above if above > ON_PLANE else height(np.array(middle))


def _array(vector: Vector) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([vector.x, vector.y, vector.z])


def _told(check: str, measures: Iterable[_Measure]) -> Iterator[Finding]:
    """Return one finding for each kind that passes, and one for each place that fails."""
    passing: dict[str, list[_Measure]] = {}
    failing: dict[str, list[_Measure]] = {}
    for measure in measures:
        if measure.margin >= 0:
            passing.setdefault(measure.kind, []).append(measure)
        else:
            failing.setdefault(measure.place, []).append(measure)
    told = dict(list(failing.items())[:MOST_ROWS])
    if rest := [m for place, alike in failing.items() if place not in told for m in alike]:
        told["other places"] = rest
    for subject, alike in passing.items():
        yield _finding(check, subject, alike)
    for subject, alike in told.items():
        yield _finding(check, subject, alike)


def _finding(check: str, subject: str, alike: list[_Measure]) -> Finding:
    """Return the worst of several measures as one finding."""
    worst = min(alike, key=lambda measure: measure.margin)
    kept = worst.margin >= 0
    return Finding(
        check=check,
        subject=f"{subject} (worst of {len(alike)})" if len(alike) > 1 else subject,
        value=worst.value,
        limit=worst.limit,
        result="pass" if kept else "fail",
        source=SOURCE,
        advice="" if kept else worst.advice,
    )
