"""The roof's framing from outside: an axonometric view without what is hidden.

Of each face that looks to the eye, what nearer faces cover is taken away. Nearness is linear over
the picture, so of two planes one is nearer up to a straight line: exact for any roof.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from math import cos, radians, sin

from shapely import MultiPoint, MultiPolygon, Polygon, STRtree, get_parts, set_precision, union_all
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from cutlist.build import Build
from cutlist.export.drawing import Drawing, Pen, Text, text_width
from cutlist.geometry.outline import Line, clip
from cutlist.geometry.polyhedron import stick_polyhedron
from cutlist.geometry.space import UP, Plane, Vector
from cutlist.geometry.stick import Stick
from cutlist.roof.face import Face
from cutlist.tolerance import ON_PLANE, SAME_SHAPE, SLIVER

AZIMUTH_DEG, ELEVATION_DEG = -62.0, 34.0
"""Where the eye is: degrees from the plan's x axis about the vertical, and above level."""

LAYERS = {"WOOD": Pen.WOOD, "PLATE": Pen.STOCK, "NOTES": Pen.NOTE}
TEXT = 1 / 42
"""Height of the text by the picture's width."""

FITTED_SIZES = (1.0, 0.85, 0.7, 0.55)
"""Sizes of a name that are tried on a slope with little room for it."""

_AZIMUTH, _ELEVATION = radians(AZIMUTH_DEG), radians(ELEVATION_DEG)
RIGHT = Vector(-sin(_AZIMUTH), cos(_AZIMUTH), 0.0)
TO_EYE = Vector(cos(_ELEVATION) * cos(_AZIMUTH), cos(_ELEVATION) * sin(_AZIMUTH), sin(_ELEVATION))
UPWARD = (UP - TO_EYE * UP.dot(TO_EYE)).unit()
"""Axes of the picture and the direction to the eye, in plan coordinates."""


Nearness = tuple[float, float, float]


def draw_view(build: Build) -> Drawing:
    """Return the picture of all members and of what they stand on, the sides of the roof named.

    A side that is not seen is named only where one roof stands alone: beside another it could be
    taken for one of that. One too small for a name clear of larger ones' goes without.
    """
    drawing = Drawing(build.job.units, LAYERS)
    faces = [
        *(face for support in build.roof.supports for face in _shown("PLATE", support.stick)),
        *(face for member in build.roof.members for face in _shown("WOOD", member.stick)),
    ]
    for layer, region in _visible(faces):
        # On a grid no hairlines are left of what others hide.
        for part in get_parts(set_precision(region, SAME_SHAPE)):
            if not part.is_empty:
                drawing.ring(layer, [(x, y) for x, y, *_ in part.exterior.coords[:-1]])
    whole = MultiPolygon([face.picture for face in faces]).convex_hull
    least, _, most, _ = whole.bounds
    height = (most - least) * TEXT
    sheets = _sheets(build)
    seen = {
        slope: max(get_parts(union_all(parts)), key=lambda part: part.area)
        for slope in build.roof.faces
        if (parts := [region for name, region in sheets if name == slope.name])
    }
    names: list[Text] = []
    for slope in sorted(seen, key=lambda slope: -seen[slope].area):
        names += _name_within(slope, height, seen[slope], names)
    if not build.job.wing:
        names += [_name_beside(s, height, whole) for s in build.roof.faces if s not in seen]
    drawing.calls += names
    return drawing


def _sheets(build: Build) -> list[tuple[str, Polygon]]:
    """Return what would be seen of each slope, by its name, were the roof sheathed.

    Each rafter carries a sheet as wide as their spacing.
    """
    slopes = {slope.name: slope for slope in build.roof.faces if slope.plane.normal.dot(TO_EYE) > 0}
    faces = []
    for member in build.roof.members:
        if slope := slopes.get(member.line):
            half = slope.along * (build.job.rafter.spacing / 2)
            top = [at for segment in member.stick.middle.segments("top") for at in segment]
            low, high = (
                member.stick.frame.outward(Vector(*at, member.stick.thickness / 2))
                for at in (min(top), max(top))
            )
            corners = (low - half, low + half, high + half, high - half)
            picture = Polygon(map(on_picture, corners))
            faces.append(_Face(layer=slope.name, picture=picture, plane=slope.plane))
    return _visible(faces)


def _name_within(slope: Face, height: float, seen: Polygon, taken: Sequence[Text]) -> list[Text]:
    """Return a slope's name where what is seen of it has most room, as large as fits there.

    Small where none fits, and none where that would come upon a name that is `taken`.
    """
    flat = height / text_width(slope.side, height)
    at = polylabel(scale(seen, flat, 1.0, origin=(0, 0)), tolerance=height / 20)
    names = [
        Text("NOTES", slope.side, (at.x / flat, at.y), size * height, "middle", 0.0)
        for size in FITTED_SIZES
    ]
    fitting = [name for name in names if seen.covers(_box(name))]
    free = [n for n in (*fitting, names[-1]) if not any(_box(n).intersects(_box(t)) for t in taken)]
    return free[:1]


def _box(name: Text) -> BaseGeometry:
    return MultiPoint(name.corners).envelope


def _name_beside(slope: Face, height: float, whole: BaseGeometry) -> Text:
    """Return the name of a slope that is not seen, so far out that it stands on paper."""
    for step in count(2):
        at = on_picture(slope.point(slope.length / 2, -slope.overhang - step * height, 0.0))
        name = Text("NOTES", slope.side, at, height, "middle", 0.0)
        if not _box(name).intersects(whole):
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
