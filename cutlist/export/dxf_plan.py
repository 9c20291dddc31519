"""The framing plan: where everything stands, seen from above."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees

from shapely import MultiPoint, Polygon

from cutlist.build import Build
from cutlist.export.dxf import Drawing
from cutlist.export.dxf_dimension import Dimensions, Span, chain
from cutlist.export.rows import length_text, marks_of_members
from cutlist.geometry.outline import Point
from cutlist.geometry.space import Vector
from cutlist.roof.layout import stations
from cutlist.roof.member import Member
from cutlist.tolerance import ON_PLANE
from cutlist.units import format_pitch


def draw_plan(build: Build, drawing: Drawing) -> None:
    """Draw the framing plan below the roof, its x the same and its y moved clear of it."""
    plan = [(member, _seen_from_above(member)) for member in build.roof.members]
    bounds = MultiPoint([p for _, wood in plan for p in wood.exterior.coords]).bounds
    least_x, least_y, most_x, most_y = bounds
    height = max((most_x - least_x) / 70, (most_y - least_y) / 70)
    sheet = _Sheet(
        build=build, drawing=drawing, shift=least_y - most_y - 20 * height, height=height
    )
    for member, wood in plan:
        sheet.ring(f"PLAN-{member.role.upper()}", wood)
    for bearing in _bearing_lines(build):
        sheet.bearing(bearing)
    sheet.marks(plan)
    sheet.dimensions((least_x, least_y, most_x, most_y))
    sheet.notes((least_x, least_y))


def _seen_from_above(member: Member) -> Polygon:
    """Return a straight stick's silhouette: the hull of its corners in plan."""
    frame = member.stick.frame
    corners = (
        frame.outward(Vector(x, y, z))
        for z, outline in member.stick.levels
        for x, y in outline.points
    )
    hull = MultiPoint([(corner.x, corner.y) for corner in corners]).convex_hull
    hull = hull.simplify(ON_PLANE)
    if not isinstance(hull, Polygon):
        raise TypeError(f"a {member.role} has no width in plan")
    return hull


@dataclass(frozen=True, slots=True, kw_only=True)
class _BearingLine:
    """A plate or header in plan: where its heel line starts, along it, and inward under seats."""

    start: Point
    along: Point
    inward: Point
    length: float

    def strip(self, begin: float, end: float, near: float, far: float) -> Polygon:
        """Return a rectangle by places along the line and distances inward."""
        return Polygon(
            [
                tuple(
                    s + a * station + i * depth
                    for s, a, i in zip(self.start, self.along, self.inward, strict=True)
                )
                for station, depth in ((begin, near), (end, near), (end, far), (begin, far))
            ]
        )


def _bearing_lines(build: Build) -> Iterator[_BearingLine]:
    """Return the plates under the faces, and a shed's high plate under the upper ends."""
    roof = build.job.roof
    for face in build.roof.faces:
        along, uphill = (face.along.x, face.along.y), (face.uphill.x, face.uphill.y)
        length = roof.length if abs(along[0]) > abs(along[1]) else roof.span
        yield _BearingLine(
            start=(face.corner.x, face.corner.y), along=along, inward=uphill, length=length
        )
        if roof.form == "shed" and roof.high_end == "plate":
            heel = face.point(0.0, roof.span - build.job.plate.width, 0.0)
            yield _BearingLine(start=(heel.x, heel.y), along=along, inward=uphill, length=length)


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

    def bearing(self, line: _BearingLine) -> None:
        """Draw a plate or header, and the posts that carry it."""
        job = self.build.job
        width, posts = job.plate.width, job.plate.posts
        self.ring("PLAN-PLATE", line.strip(0.0, line.length, 0.0, width))
        if posts is None:
            return
        near = width if posts.header == "beside" else (width - posts.width) / 2
        for station in stations(line.length, posts.every, posts.width):
            half = posts.width / 2
            post = line.strip(station - half, station + half, near, near + posts.width)
            self.ring("PLAN-POST", post)

    def marks(self, plan: list[tuple[Member, Polygon]]) -> None:
        """Write every member's mark beside it, along it."""
        names = marks_of_members(self.build)
        height = min(0.8 * self.height, self.build.job.rafter.spacing / 3)
        for member, wood in plan:
            direction = member.stick.frame.x
            turned = degrees(atan2(direction.y, direction.x)) % 180
            # Read from below or from the right; beside the stick, on the text's upper side.
            if turned > 90 + ON_PLANE:
                turned -= 180
            clear = member.size.thickness / 2 + 0.35 * height
            up = (-direction.y, direction.x) if abs(direction.x) < abs(direction.y) else (0, 1)
            if up[0] > 0:
                up = (-up[0], -up[1])
            norm = (up[0] ** 2 + up[1] ** 2) ** 0.5
            at = wood.centroid
            place = (
                at.x + up[0] / norm * clear,
                at.y + up[1] / norm * clear + self.shift,
            )
            self.drawing.text(
                "PLAN-MARKS", names[id(member)], place, height, align="center", turned=turned
            )

    def dimensions(self, bounds: tuple[float, float, float, float]) -> None:
        """Measure the building, its overhangs and the first spaces of the rafters."""
        roof = self.build.job.roof
        least_x, least_y, most_x, most_y = bounds
        common = sorted({m.station for m in self.build.roof.members if m.heel_line})
        inside = [s for s in common if 0 < s < roof.length]
        below: list[list[Span]] = [_chain_of(self, _distinct(least_x, 0.0, roof.length, most_x))]
        if len(inside) > 2:
            spaces = (0.0, inside[1], inside[2])
            below.insert(0, _chain_of(self, spaces))
        self._rows("x", least_y + self.shift, -1, below)
        across = _distinct(least_y, 0.0, roof.span, most_y)
        moved = tuple(y + self.shift for y in across)
        # Clear of the texts that stand left of the dimensions below.
        self._rows("y", least_x - 6 * self.height, -1, [_chain_of(self, moved)])

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
        slopes = ", ".join(
            f"{face.name} {format_pitch(face.pitch, job.units)}" for face in self.build.roof.faces
        )
        lines = [
            f"{job.name}: framing plan. The roof in space stands above it, in plan coordinates",
            f"Slopes: {slopes}",
            f"Rafters: {job.rafter.size.name} at {self.text(job.rafter.spacing)} on centres",
        ]
        for height in self.build.roof.heights:
            line = f"{height.name}: {self.text(height.above_plate)} above the plate"
            if job.roof.plate_height is not None:
                line += f", {self.text(job.roof.plate_height + height.above_plate)} above the floor"
            lines.append(line[0].upper() + line[1:])
        top = corner[1] + self.shift - 9 * self.height
        for number, line in enumerate(lines):
            at = (corner[0], top - 2 * self.height * number)
            self.drawing.text("PLAN-NOTES", line, at, self.height)


def _chain_of(sheet: _Sheet, places: tuple[float, ...]) -> list[Span]:
    lengths = (end - start for start, end in pairwise(places))
    return chain(places, [sheet.text(length) for length in lengths])


def _distinct(*places: float) -> tuple[float, ...]:
    """Return the places in order, those that are the same only once."""
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > ON_PLANE:
            kept.append(place)
    return tuple(kept)
