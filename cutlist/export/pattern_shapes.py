"""What patterns there are: the heads, notches and tails of a roof's parts, each shape once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist
from typing import Literal

from shapely import LineString, Polygon, box, get_parts
from shapely.geometry.base import BaseGeometry

from cutlist.build import Build
from cutlist.export.draw_part import angles_text, heel_line_on, notch_text
from cutlist.export.rows import length_text
from cutlist.geometry.outline import Outline, Point
from cutlist.geometry.stick import CutPlane, End
from cutlist.roof.parts import Part
from cutlist.tolerance import ON_PLANE, PARALLEL, SAME_SHAPE

Kind = Literal["cut", "edge", "far", "middle", "heel"]
BOARD_EDGES = ("top", "bottom")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A straight line of a pattern.

    `cut`: a sawn edge of the near face; `edge`: the board's own and bevels along it; `far` and
    `middle`: sawn edges of the far face and of places between, where they differ; `heel`: the heel
    line.
    """

    kind: Kind
    start: Point
    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """One shape, from the window's left end (x = 0) and the bottom edge (y = 0), near face up.

    `parts` share it; `notes` tell its angles and measures, `places` for each part where it has it.
    """

    name: str
    thickness: float
    strokes: tuple[Stroke, ...]
    wood: Polygon
    parts: tuple[Part, ...]
    notes: tuple[str, ...]
    places: tuple[str, ...]

    def is_like(self, other: Pattern) -> bool:
        """Tell whether another pattern has the same name and the same shape."""
        return (
            self.name == other.name
            and abs(self.thickness - other.thickness) < SAME_SHAPE
            and len(self.strokes) == len(other.strokes)
            and all(
                one.kind == two.kind
                and dist(one.start, two.start) < SAME_SHAPE
                and dist(one.end, two.end) < SAME_SHAPE
                for one, two in zip(self.strokes, other.strokes, strict=True)
            )
        )


def patterns(build: Build) -> tuple[Pattern, ...]:
    """Return every shape once, with all the parts that have it."""
    found: list[Pattern] = []
    for part in build.parts:
        for pattern in _of_part(build, part):
            for i, other in enumerate(found):
                if pattern.is_like(other):
                    found[i] = replace(
                        other,
                        parts=(*other.parts, *pattern.parts),
                        places=(*other.places, *pattern.places),
                    )
                    break
            else:
                found.append(pattern)
    return tuple(found)


def _of_part(build: Build, part: Part) -> Iterator[Pattern]:
    """Return the patterns of one part; a single square cut needs none."""
    stick, member = part.stick, part.member
    has_tail = member.heel_line is not None
    ends: tuple[tuple[End, str, float], ...] = (
        ("head", "Head", stick.length),
        ("foot", *(("Tail", member.tail_length) if has_tail else ("Foot", stick.length))),
    )
    for end, name, length in ends:
        planes = stick.end_planes(end)
        if len(planes) > 1 or 1 - abs(planes[0].plane.normal.x) > PARALLEL:
            notes = [
                f"{plane.name} cut, {angles_text(build, plane.miter, plane.tilt)}"
                for plane in planes
            ]
            place = length_text(build, length) or ""
            yield _pattern(build, part, planes, name, notes, place)
    for i, (notch, cut) in enumerate(zip(member.notches, stick.notches, strict=True)):
        if not _places(part, cut.planes):
            continue  # a hip less deep than the rafters hangs over its seat, and nothing is cut
        text = notch_text(build, notch)
        # The first notch's heel lies on the heel line; the others have no line of their own.
        on_heel_line = has_tail and i == 0
        upper_end = max(_extent(part, cut.planes))
        away = member.line_length if on_heel_line else stick.length - upper_end
        place = length_text(build, away) or ""
        yield _pattern(build, part, cut.planes, text.partition(":")[0], [text], place)


def _pattern(
    build: Build,
    part: Part,
    planes: tuple[CutPlane, ...],
    name: str,
    notes: list[str],
    place: str,
) -> Pattern:
    stick = part.stick
    margin = build.job.units.from_inches(1.25)
    first, last = _extent(part, planes)
    least = max(0.0, first - margin)
    window = box(least, 0.0, min(stick.length, last + margin), stick.depth)
    strokes = [
        Stroke(kind=kind, start=(ax - least, ay), end=(bx - least, by))
        for kind, line in _lines(part)
        for (ax, ay), (bx, by) in _straight(line.intersection(window))
    ]
    # What a cut leaves of the face that lies up may be nothing, where it takes all of an end.
    faces = (outline.polygon.intersection(window) for outline in (stick.near, stick.far))
    seen = next(face for face in faces if not face.is_empty)
    wood = max(get_parts(seen), key=lambda p: p.area)
    return Pattern(
        name=name,
        thickness=stick.thickness,
        strokes=tuple(strokes),
        wood=Polygon([(x - least, y) for x, y in wood.exterior.coords]),
        parts=(part,),
        notes=tuple(notes),
        places=(place,),
    )


def _extent(part: Part, planes: tuple[CutPlane, ...]) -> tuple[float, float]:
    """Return the least and the most x of the edges that planes have made."""
    xs = _places(part, planes)
    return min(xs), max(xs)


def _places(part: Part, planes: tuple[CutPlane, ...]) -> list[float]:
    """Return the x of both ends of every edge that planes have made."""
    return [
        x
        for z, outline in part.stick.levels
        for plane in planes
        for edge in _edges_on(plane, outline, z)
        for x, _ in edge
    ]


def _edges_on(plane: CutPlane, outline: Outline, z: float) -> Iterator[tuple[Point, Point]]:
    """Return the edges of an outline, at one place in the thickness, that a plane has made."""
    n, offset = plane.plane.normal, plane.plane.offset
    for edge in outline.segments(plane.name):
        if all(abs(n.x * x + n.y * y + n.z * z - offset) < ON_PLANE for x, y in edge):
            yield edge


def _lines(part: Part) -> Iterator[tuple[Kind, BaseGeometry]]:
    """Return all lines of a part as it lies, near face up."""
    stick = part.stick
    along = {plane.name for plane in stick.bevels}
    levels: list[tuple[Kind, Outline]] = [("cut", stick.near), ("far", stick.far)]
    levels += (("middle", outline) for outline in stick.outlines[1:-1])
    drawn: BaseGeometry = Polygon()
    for kind, outline in levels:
        ring = outline.points
        for start, end, name in zip(ring, (*ring[1:], ring[0]), outline.edges, strict=True):
            new = LineString((start, end)).difference(drawn)
            yield "edge" if name in along.union(BOARD_EDGES) else kind, new
        drawn = drawn.union(outline.polygon.exterior.buffer(ON_PLANE))
    if heel := heel_line_on(part.member):
        yield "heel", LineString(heel)


def _straight(shape: BaseGeometry) -> Iterator[tuple[Point, Point]]:
    for line in get_parts(shape):
        if isinstance(line, LineString) and line.length > 10 * ON_PLANE:
            for (ax, ay, *_), (bx, by, *_) in pairwise(line.coords):
                yield (ax, ay), (bx, by)
