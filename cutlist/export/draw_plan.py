"""The framing plan: where everything stands, seen from above."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, hypot, inf, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPoint, Polygon, STRtree

from cutlist.build import Build
from cutlist.export.dimension import ROW, Dimensions, Span, chain, distinct
from cutlist.export.drawing import Drawing, Pen, Text, text_width
from cutlist.export.rows import length_text, marks_of_members
from cutlist.export.wing_places import ALONG_SIDE, Side, wing_places
from cutlist.export.wording import measures_text
from cutlist.geometry.outline import Point
from cutlist.geometry.space import ALONG, Vector
from cutlist.geometry.stick import Stick
from cutlist.roof.member import Member
from cutlist.tolerance import ON_PLANE, PARALLEL
from cutlist.units import format_pitch

PAGE_TEXT = 1 / 45
"""Height of a page's text by the plan's longer side."""

PAGE_MARK = 0.55
"""Height of a page's marks by the rafters' spacing: as large as stands between two."""

FITTED_SIZES = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4)
"""Sizes of a mark that are tried where there is little room."""

FITTED_PLACES = (0.0, 0.2, -0.2, 0.35, -0.35, 0.45, -0.45)
"""Places along the stick that are tried, as shares of its length from its middle."""

MARK_GAP = 0.3
"""Room kept between marks by their height, so that no two read as one."""

_OTHER_LAYERS = {
    "PLAN-PLATE": Pen.STOCK,
    "PLAN-POST": Pen.STOCK,
    "PLAN-MARKS": Pen.MARK,
    "PLAN-NOTES": Pen.NOTE,
}


def plan_layers(build: Build) -> dict[str, Pen]:
    """Return the layers of the plan: one for each role, and those that every plan has."""
    roles = dict.fromkeys(member.role.upper() for member in build.roof.members)
    return {**{f"PLAN-{role}": Pen.WOOD for role in roles}, **_OTHER_LAYERS}


def draw_plan(build: Build, drawing: Drawing) -> None:
    """Draw the framing plan below the roof, its x the same and its y moved clear of it."""
    wood = _wood(build)
    least_x, least_y, most_x, most_y = bounds = _bounds(wood)
    height = max((most_x - least_x) / 70, (most_y - least_y) / 70)
    sheet = _Sheet(
        build=build, drawing=drawing, shift=least_y - most_y - 20 * height, height=height
    )
    sheet.members(wood)
    sheet.supports()
    sheet.marks(wood, min(0.8 * height, build.job.rafter.spacing / 3))
    sheet.dimensions(bounds)
    sheet.notes((least_x, least_y))


def draw_plan_page(build: Build) -> Drawing:
    """Return the framing plan as a page shows it: in plan coordinates, its marks large."""
    drawing = Drawing(build.job.units, plan_layers(build))
    wood = _wood(build)
    least_x, least_y, most_x, most_y = bounds = _bounds(wood)
    height = max(most_x - least_x, most_y - least_y) * PAGE_TEXT
    sheet = _Sheet(build=build, drawing=drawing, shift=0.0, height=height)
    sheet.supports()
    sheet.members(wood)
    sheet.marks(wood, min(PAGE_MARK * build.job.rafter.spacing, 1.2 * height))
    sheet.dimensions(bounds)
    return drawing


def _wood(build: Build) -> list[tuple[Member, Polygon]]:
    return [(member, _seen_from_above(member.stick)) for member in build.roof.members]


def _bounds(wood: list[tuple[Member, Polygon]]) -> tuple[float, float, float, float]:
    return MultiPoint([p for _, shape in wood for p in shape.exterior.coords]).bounds


def _seen_from_above(stick: Stick) -> Polygon:
    """Return a straight stick's silhouette: the hull of its corners in plan."""
    corners = (
        stick.frame.outward(Vector(x, y, z))
        for z, outline in stick.levels
        for x, y in outline.points
    )
    hull = MultiPoint([(corner.x, corner.y) for corner in corners]).convex_hull
    hull = hull.simplify(ON_PLANE)
    assert isinstance(hull, Polygon), "a body has an area seen from any side"
    return hull


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """The plan's place on the drawing: `shift` is added to y; `height` is of its text."""

    build: Build
    drawing: Drawing
    shift: float
    height: float

    def ring(self, layer: str, shape: Polygon) -> None:
        points = [(x, y + self.shift) for x, y, *_ in shape.exterior.coords[:-1]]
        self.drawing.ring(layer, points)

    def text(self, length: float) -> str:
        return length_text(self.build, length) or ""

    def members(self, plan: list[tuple[Member, Polygon]]) -> None:
        for member, wood in plan:
            self.ring(f"PLAN-{member.role.upper()}", wood)

    def supports(self) -> None:
        for support in self.build.roof.supports:
            layer = "PLAN-POST" if support.name.endswith("post") else "PLAN-PLATE"
            self.ring(layer, _seen_from_above(support.stick))

    def marks(self, plan: list[tuple[Member, Polygon]], height: float) -> None:
        """Write every member's mark beside it, along it.

        Where it would run over wood or other marks it is moved along, to the other side, or made
        smaller; where nothing is clear it stands where it covers least. Short members, which have
        few places, come first.
        """
        names = marks_of_members(self.build)
        wood = STRtree([shape for _, shape in plan])
        written: list[Polygon] = []
        for member, shape in sorted(plan, key=lambda seen: seen[0].stick.length):
            name = names[id(member)]
            tries = (
                self._beside(member, shape, name, size * height, side, along)
                for size in FITTED_SIZES
                for along in _places_along(member, name, size * height)
                for side in (1, -1)
            )
            text = _clearest(tries, wood, written)
            written.append(_room(text).buffer(MARK_GAP * text.height))
            self.drawing.calls.append(text)

    def _beside(
        self,
        member: Member,
        wood: Polygon,
        mark: str,
        height: float,
        side: int = 1,
        along: float = 0.0,
    ) -> Text:
        direction = member.stick.frame.x
        turned = degrees(atan2(direction.y, direction.x)) % 180
        # Read from below or from the right; above the stick as its text is read.
        if turned > 90 + ON_PLANE:
            turned -= 180
        clear = member.size.thickness / 2 + 0.35 * height
        if side < 0:
            clear = -clear - height
        at, moved = wood.centroid, along * member.stick.length
        place = (
            at.x + direction.x * moved - sin(radians(turned)) * clear,
            at.y + direction.y * moved + cos(radians(turned)) * clear + self.shift,
        )
        return Text("PLAN-MARKS", mark, place, height, "center", turned)

    def dimensions(self, bounds: tuple[float, float, float, float]) -> None:
        """Measure the building, its overhangs and the first spaces of the rafters.

        Where roofs meet, so is where wings stand along each side, and the whole, outside of all
        else.
        """
        plan = self.build.job.roof.plan
        xs, ys = zip(*plan, strict=True)
        least_x, least_y, most_x, most_y = bounds
        first = self.build.roof.marks[0].line if self.build.roof.marks else ""
        beyond = self.build.job.rafter.size.thickness
        inside = [m.center for m in self.build.roof.marks if m.line == first and m.center > beyond]
        below: list[list[Span]] = [_chain_of(self, distinct(least_x, min(xs), max(xs), most_x))]
        side = self.build.roof.faces[0]
        if len(inside) > 1 and side.along.dot(ALONG) > 1 - PARALLEL:
            spaces = tuple(side.corner.x + at for at in (0.0, inside[0], inside[1]))
            below.insert(0, _chain_of(self, spaces))
        across = distinct(least_y, min(ys), max(ys), most_y)
        beside = [_chain_of(self, tuple(y + self.shift for y in across))]
        wings = self._wing_rows()
        below[-1:-1] = wings["near"]
        beside[:0] = wings["left"]
        if self.build.job.wing:
            below.append(_chain_of(self, (least_x, most_x)))
            beside.append(_chain_of(self, (least_y + self.shift, most_y + self.shift)))
        # Clear of the texts that stand left and right of the dimensions below.
        clear = 6 * self.height
        lowest, highest = self._marked()
        self._rows("x", min(least_y + self.shift, lowest), -1, below)
        self._rows("y", least_x - clear, -1, beside)
        self._rows("x", max(most_y + self.shift, highest), 1, wings["far"])
        self._rows("y", most_x + clear, 1, wings["right"])

    def _marked(self) -> tuple[float, float]:
        """Return the least and the most y that dimensions begin at to stand clear of the marks.

        The texts of their first row stand a little more than their height away from there.
        """
        marks = (c for c in self.drawing.calls if isinstance(c, Text) and c.layer == "PLAN-MARKS")
        places = [y for mark in marks for _, y in mark.corners]
        room = 0.9 * self.height
        return min(places, default=inf) + room, max(places, default=-inf) - room

    def _wing_rows(self) -> dict[Side, list[list[Span]]]:
        """Return the row, if any, that says where wings stand along each side of the first roof."""
        rows: dict[Side, list[list[Span]]] = {side: [] for side in ALONG_SIDE}
        for side, places in wing_places(self.build.job).items():
            shift = self.shift if ALONG_SIDE[side] == "y" else 0.0
            rows[side].append(_chain_of(self, tuple(place + shift for place in places)))
        return rows

    def _rows(self, axis: str, edge: float, away: int, rows: list[list[Span]]) -> None:
        Dimensions(
            drawing=self.drawing,
            layer="PLAN-NOTES",
            axis="x" if axis == "x" else "y",
            edge=edge,
            away=away,
            height=self.height,
        ).draw(rows)

    def notes(self, corner: Point) -> None:
        """Write what the plan shows and the heights to set the roof by."""
        job = self.build.job
        faces = self.build.roof.faces
        pitches = [format_pitch(face.pitch, job.units) for face in faces]
        slopes = ", ".join(
            f"{face.name} {pitch}" for face, pitch in zip(faces, pitches, strict=True)
        )
        if len(set(pitches)) == 1:
            slopes = f"all {pitches[0]}" if len(faces) > 1 else pitches[0]
        lines = [
            f"{job.name}: framing plan. The roof in space stands above it, in plan coordinates",
            f"Slopes: {slopes}",
            f"Rafters: {job.rafter.size.name} at {self.text(job.rafter.spacing)} on centres",
        ]
        lines += [
            f"{name[0].upper()}{name[1:]}: {value}" for name, value in measures_text(self.build)
        ]
        for height in self.build.roof.heights:
            line = f"{height.name}: {self.text(height.above_plate)} above the plate"
            if job.roof.plate_height is not None:
                line += f", {self.text(job.roof.plate_height + height.above_plate)} above the floor"
            lines.append(line[0].upper() + line[1:])
        rows = 9 + ROW * (bool(job.wing) + ("near" in wing_places(job)))
        top = min(corner[1] + self.shift, self._marked()[0]) - rows * self.height
        for number, line in enumerate(lines):
            at = (corner[0], top - 2 * self.height * number)
            self.drawing.text("PLAN-NOTES", line, at, self.height)


def _places_along(member: Member, mark: str, height: float) -> Iterator[float]:
    """Return the places along a stick at which a mark stands beside it whole, the middle always."""
    frame, length = member.stick.frame, member.stick.length
    room = 0.5 - text_width(mark, height) / (2 * length * hypot(frame.x.x, frame.x.y))
    return (along for along in FITTED_PLACES if not along or abs(along) <= room)


def _clearest(tries: Iterable[Text], wood: STRtree, written: Sequence[Polygon]) -> Text:
    """Return the first text that is clear, or the one that covers least, other texts above all."""
    best, least = None, (inf, inf)
    others = np.array(written, dtype=object)
    for text in tries:
        room = _room(text)
        marks = others[shapely.intersects(room, others)]
        shapes = wood.geometries[wood.query(room, "intersects")]
        covered = _share_under(room, marks), _share_under(room, shapes)
        if covered < least:
            best, least = text, covered
        if covered == (0.0, 0.0):
            break
    assert best is not None, "there is at least one place to try"
    return best


def _share_under(room: Polygon, shapes: NDArray[np.object_]) -> float:
    """Return the share of a room that is covered, where shapes overlap counted for each."""
    return float(shapely.area(shapely.intersection(room, shapes)).sum()) / room.area


def _room(text: Text) -> Polygon:
    """Return the room that a text takes."""
    hull = MultiPoint(text.corners).convex_hull
    assert isinstance(hull, Polygon), "a mark has at least one character"
    return hull


def _chain_of(sheet: _Sheet, places: tuple[float, ...]) -> list[Span]:
    lengths = (end - start for start, end in pairwise(places))
    return chain(places, [sheet.text(length) for length in lengths])
