"""The faces of a stick as a solid, for drawings in space."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from itertools import combinations, pairwise

from ezdxf.math.triangulation import mapbox_earcut_2d

from cutlist.geometry.outline import Outline, Point
from cutlist.geometry.space import ACROSS, Plane, Vector, meet
from cutlist.geometry.stick import Stick
from cutlist.tolerance import ON_PLANE

Facet = tuple[Vector, ...]
"""Three or four corners of a flat face, counter-clockwise seen from outside the wood."""

_Edge = tuple[Point, Point]
_Key = tuple[str, int]


def facets(stick: Stick) -> Iterator[Facet]:
    """Return the stick's faces in its own frame: both wide faces, and bands along every edge.

    The bands run between the outlines at the levels where the stick's shape changes. An edge that
    one level has and the next has not narrows to a point between them.
    """
    yield from _cap(stick.near, stick.thickness)
    for facet in _cap(stick.far, 0.0):
        yield facet[::-1]
    yield from edge_faces(stick)


def edge_faces(stick: Stick) -> Iterator[Facet]:
    """Return the faces between the two wide ones, in bands along every edge."""
    for (low, below), (high, above) in pairwise(levels(stick)):
        yield from _band(below, low, above, high)


def levels(stick: Stick) -> tuple[tuple[float, Outline], ...]:
    """Return the outlines between which every edge runs straight, each with its z, far face first.

    The solid's corners are where three of its planes meet, so its shape changes nowhere else.
    """
    found = [0.0, stick.thickness]
    if not stick.is_square_to_face:
        sawn = [p.plane for cut in stick.cuts for p in cut.planes]
        edges = [Plane(ACROSS, stick.depth), Plane(-ACROSS, 0.0)]
        for planes in combinations((*sawn, *edges), 3):
            # Parallel planes, or planes along one line, meet in no point.
            with suppress(ZeroDivisionError):
                corner = meet(*planes)
                if -ON_PLANE <= corner.x <= stick.length + ON_PLANE:
                    found.append(corner.z)
    inside = sorted(z for z in found if 0.0 <= z <= stick.thickness)
    apart = [z for i, z in enumerate(inside) if not i or z - inside[i - 1] > ON_PLANE]
    return tuple((z, stick.outline(z)) for z in apart)


def _cap(outline: Outline, z: float) -> Iterator[Facet]:
    for triangle in mapbox_earcut_2d(outline.points):
        a, b, c = (Vector(p.x, p.y, z) for p in triangle)
        yield (a, b, c) if (b - a).cross(c - a).z > 0 else (a, c, b)


def _band(below: Outline, low: float, above: Outline, high: float) -> Iterator[Facet]:
    under, over = _edges(below), _edges(above)
    for key in dict.fromkeys((*under, *over)):
        a, b = under[key] if key in under else (_narrowed(key, over, under),) * 2
        c, d = over[key] if key in over else (_narrowed(key, under, over),) * 2
        corners = (Vector(*a, low), Vector(*b, low), Vector(*d, high), Vector(*c, high))
        yield tuple(dict.fromkeys(corners))


def _edges(outline: Outline) -> dict[_Key, _Edge]:
    """Return the edges around an outline; those of one name are told apart by their order in x."""
    points = outline.points
    edges = list(zip(outline.edges, zip(points, points[1:] + points[:1], strict=True), strict=True))
    numbers: Counter[str] = Counter()
    keys: dict[_Edge, _Key] = {}
    for name, edge in sorted(edges, key=lambda item: min(x for x, _ in item[1])):
        keys[edge] = (name, numbers[name])
        numbers[name] += 1
    return {keys[edge]: edge for _, edge in edges}


def _narrowed(key: _Key, having: dict[_Key, _Edge], lacking: dict[_Key, _Edge]) -> Point:
    """Return the point to which an edge narrows at the level that lacks it.

    It is where the nearest edge before it ends there.
    """
    around = list(having)
    at = around.index(key)
    before = next(k for k in reversed(around[at:] + around[:at]) if k in lacking)
    return lacking[before][1]
