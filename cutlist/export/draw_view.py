"""The roof's framing from outside: an axonometric view without what is hidden.

Of each face that looks to the eye, what nearer faces cover is taken away. Nearness is linear over
the picture, so of two planes one is nearer up to a straight line: exact for any roof.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from math import cos, radians, sin

from shapely import MultiPoint, MultiPolygon, Polygon, STRtree, get_parts, union_all
from shapely.geometry.base import BaseGeometry

from cutlist.build import Build
from cutlist.export.drawing import Drawing, Pen, Text
from cutlist.geometry.outline import Line, clip
from cutlist.geometry.polyhedron import stick_polyhedron
from cutlist.geometry.space import UP, Plane, Vector
from cutlist.geometry.stick import Stick
from cutlist.roof.face import Face
from cutlist.tolerance import ON_PLANE, SLIVER

AZIMUTH_DEG, ELEVATION_DEG = -62.0, 34.0
"""Where the eye is: degrees from the plan's x axis about the vertical, and above level."""

LAYERS = {"WOOD": Pen.WOOD, "PLATE": Pen.STOCK, "NOTES": Pen.NOTE}
TEXT = 1 / 42
"""Height of the text by the picture's width."""

_AZIMUTH, _ELEVATION = radians(AZIMUTH_DEG), radians(ELEVATION_DEG)
RIGHT = Vector(-sin(_AZIMUTH), cos(_AZIMUTH), 0.0)
TO_EYE = Vector(cos(_ELEVATION) * cos(_AZIMUTH), cos(_ELEVATION) * sin(_AZIMUTH), sin(_ELEVATION))
UPWARD = (UP - TO_EYE * UP.dot(TO_EYE)).unit()
"""Axes of the picture and the direction to the eye, in plan coordinates."""


Nearness = tuple[float, float, float]


def draw_view(build: Build) -> Drawing:
    """Return the picture of all members and of what they stand on, the sides of the roof named."""
    drawing = Drawing(build.job.units, LAYERS)
    faces = [
        *(face for support in build.roof.supports for face in _shown("PLATE", support.stick)),
        *(face for member in build.roof.members for face in _shown("WOOD", member.stick)),
    ]
    for layer, region in _visible(faces):
        drawing.ring(layer, [(x, y) for x, y, *_ in region.exterior.coords[:-1]])
    whole = MultiPolygon([face.picture for face in faces]).convex_hull
    least, _, most, _ = whole.bounds
    height = (most - least) * TEXT
    for slope in build.roof.faces:
        drawing.calls.append(_name(slope, height, whole))
    return drawing


def _name(slope: Face, height: float, whole: BaseGeometry) -> Text:
    """Return a slope's name, so far out that it stands on paper and not on wood."""
    for step in count(2):
        at = on_picture(slope.point(slope.length / 2, -slope.overhang - step * height, 0.0))
        name = Text("NOTES", slope.side, at, height, "middle", 0.0)
        if not MultiPoint(name.corners).envelope.intersects(whole):
            return name
    raise AssertionError("a picture ends somewhere")


def on_picture(point: Vector) -> tuple[float, float]:
    """Return where a plan point lies on the picture."""
    return point.dot(RIGHT), point.dot(UPWARD)


def stick_faces(stick: Stick) -> Iterator[tuple[Vector, ...]]:
    """Return all faces of a stick in plan coordinates, counter-clockwise seen from outside."""
    solid = stick_polyhedron(stick)
    for face in solid.faces:
        yield tuple(stick.frame.outward(solid.points[i]) for i in face.corners)


def normal(face: Sequence[Vector]) -> Vector:
    """Return a direction out of a flat face, as long as twice its area (Newell's method)."""
    total = Vector(0.0, 0.0, 0.0)
    for i, point in enumerate(face):
        total += (point - face[0]).cross(face[(i + 1) % len(face)] - face[0])
    return total


@dataclass(frozen=True, slots=True, kw_only=True)
class _Face:
    """A face that looks to the eye: as it lies on the picture, and its plane in space."""

    layer: str
    picture: Polygon
    plane: Plane

    @property
    def nearness(self) -> Nearness:
        """How far toward the eye it stands over the picture: at + per_x x + per_y y."""
        n = self.plane.normal
        facing = n.dot(TO_EYE)
        return self.plane.offset / facing, -n.dot(RIGHT) / facing, -n.dot(UPWARD) / facing


def _shown(layer: str, stick: Stick) -> Iterator[_Face]:
    for face in stick_faces(stick):
        out = normal(face)
        if out.dot(TO_EYE) > ON_PLANE:
            yield _Face(
                layer=layer,
                picture=Polygon(map(on_picture, face)),
                plane=Plane.through(face[0], out),
            )


def _visible(faces: Sequence[_Face]) -> list[tuple[str, Polygon]]:
    """Return what is seen of the faces, in an order in which they can be painted.

    The regions do not overlap, but one may lie in a hole of another: the larger comes first.
    """
    pictures = [face.picture for face in faces]
    covers: list[list[BaseGeometry]] = [[] for _ in faces]
    for i, j in STRtree(pictures).query(pictures, "intersects").T.tolist():
        shared = pictures[i].intersection(pictures[j])
        if i != j and shared.area > SLIVER:
            covers[i].append(_where_nearer(shared, faces[j].nearness, faces[i].nearness))
    regions = [
        (face.layer, part)
        for face, nearer in zip(faces, covers, strict=True)
        for part in get_parts(face.picture.difference(union_all(nearer)))
        if isinstance(part, Polygon) and part.area > SLIVER
    ]
    return sorted(regions, key=lambda region: -Polygon(region[1].exterior).area)


def _where_nearer(shape: BaseGeometry, one: Nearness, other: Nearness) -> BaseGeometry:
    """Return the part of a shape in which one plane is nearer to the eye than another."""
    at, per_x, per_y = (a - b for a, b in zip(one, other, strict=True))
    least_x, least_y, most_x, most_y = shape.bounds
    box = [(least_x, least_y), (most_x, least_y), (most_x, most_y), (least_x, most_y)]
    # Of faces in one plane, such as plates' tops at a corner, neither hides the other.
    nearer = clip(box, Line("", -per_x, -per_y, at - ON_PLANE))
    return shape.intersection(Polygon(nearer)) if len(nearer) > 2 else Polygon()
