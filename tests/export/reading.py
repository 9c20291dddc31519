"""Readers of drawings that share no code with what wrote them: GDAL, and the format's tag pairs."""

from __future__ import annotations

import warnings
from collections import defaultdict
from dataclasses import dataclass
from itertools import combinations, pairwise
from pathlib import Path

import pyogrio.raw
import shapely
from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True)
class Entity:
    layer: str
    text: str | None
    shape: BaseGeometry


def entities(path: Path) -> list[Entity]:
    """Return what GDAL reads in a drawing."""
    with warnings.catch_warnings():
        # GDAL closes a 3DFACE of three corners itself, and says so.
        warnings.filterwarnings("ignore", message="Non closed ring")
        meta, _, shapes, fields = pyogrio.raw.read(path)
    columns = dict(zip(meta["fields"], fields, strict=True))
    return [
        Entity(layer, text, shapely.from_wkb(shape))
        for layer, text, shape in zip(columns["Layer"], columns["Text"], shapes, strict=True)
    ]


def by_layer(path: Path) -> dict[str, list[BaseGeometry]]:
    """Return the shapes on each layer, texts left out."""
    found: dict[str, list[BaseGeometry]] = defaultdict(list)
    for entity in entities(path):
        if not entity.text:
            found[entity.layer].append(entity.shape)
    return found


def ring(shape: BaseGeometry) -> shapely.Polygon:
    """Return the polygon that a closed line draws; fails where it is open or crosses itself."""
    assert shape.geom_type == "LineString"
    assert shape.is_ring, "the polyline is not closed, or crosses itself"
    return shapely.Polygon(shape.coords)


def doubled(shapes: list[BaseGeometry]) -> list[str]:
    """Return the pairs of lines that run over each other for more than a point."""
    tree = shapely.STRtree(shapes)
    pairs = {
        (min(i, j), max(i, j)) for i, j in tree.query(shapes, "intersects").T.tolist() if i != j
    }
    return [
        f"{shapes[i].wkt} and {shapes[j].wkt}"
        for i, j in sorted(pairs)
        if shapes[i].intersection(shapes[j]).length > 1e-6
    ] + [f"{s.wkt} over itself" for s in shapes if _repeats(s)]


def _repeats(shape: BaseGeometry) -> bool:
    points = list(shape.coords)
    segments = [shapely.LineString(pair) for pair in pairwise(points)]
    return any(a.intersection(b).length > 1e-6 for a, b in combinations(segments, 2))


def tags(content: bytes) -> list[tuple[int, str]]:
    """Return the group codes and values of a drawing in order."""
    lines = content.decode("ascii").split("\n")
    return [
        (int(code), value) for code, value in zip(lines[0::2], lines[1::2], strict=False) if code
    ]


def header(content: bytes) -> dict[str, list[str]]:
    """Return the values of each variable in the header."""
    found: dict[str, list[str]] = {}
    name = ""
    for code, value in tags(content):
        if (code, value) == (0, "ENDSEC"):
            break
        if code == 9:
            name = value
        elif name:
            found.setdefault(name, []).append(value)
    return found
