"""A reader as strict as a machine control: polylines by their group codes, or a refusal."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tests.export.reading import tags

PLAIN = re.compile(r"-?\d+\.\d{1,6}")
REALS = {*range(10, 60), *range(210, 240)}
# Group codes that each entity may have: handles, owners, layer, subclass markers, and its own.
ALLOWED = {
    "LWPOLYLINE": {5, 330, 100, 8, 90, 70, 10, 20, 42, 43},
    "POLYLINE": {5, 8, 66, 70, 10, 20, 30},
    "VERTEX": {5, 8, 70, 10, 20, 30, 42},
    "SEQEND": {5, 8},
}


@dataclass(frozen=True)
class Line:
    kind: str
    layer: str
    closed: bool
    vertices: tuple[tuple[float, float, float], ...]


class RefusedError(Exception):
    """The drawing is not as a control wants it."""


def lines(content: bytes) -> list[Line]:
    """Return every entity of a drawing. Raises RefusedError where one is no polyline."""
    if not content.endswith(b"EOF\n") or b"\r" in content or not content.isascii():
        raise RefusedError("the file is cut off, or holds other characters than plain ones")
    pairs = tags(content)
    start = pairs.index((2, "ENTITIES"))
    end = pairs.index((0, "ENDSEC"), start)
    found: list[Line] = []
    entities: list[tuple[str, list[tuple[int, str]]]] = []
    for code, value in pairs[start + 1 : end]:
        if code == 0:
            entities.append((value, []))
        else:
            entities[-1][1].append((code, value))
    inside: list[tuple[float, float, float]] | None = None
    for kind, body in entities:
        _check_codes(kind, body)
        values = dict(body)
        if kind == "LWPOLYLINE":
            vertices = _vertices(body)
            if len(vertices) != int(values[90]):
                raise RefusedError("the count of vertices is wrong")
            found.append(Line(kind, values[8], int(values[70]) == 1, vertices))
        elif kind == "POLYLINE":
            if values[66] != "1" or inside is not None:
                raise RefusedError("vertices do not follow")
            head, inside = values, []
        elif kind == "VERTEX":
            if inside is None or values[8] != head[8] or values.get(70, "0") != "0":
                raise RefusedError("a vertex without a polyline")
            inside += _vertices(body)
        else:
            found.append(Line("POLYLINE", head[8], int(head[70]) == 1, tuple(inside or ())))
            inside = None
    if inside is not None:
        raise RefusedError("a polyline without an end")
    for line in found:
        _check_shape(line)
    return found


def _check_codes(kind: str, body: list[tuple[int, str]]) -> None:
    if kind not in ALLOWED:
        raise RefusedError(f"{kind} is no polyline")
    for code, value in body:
        if code not in ALLOWED[kind]:
            raise RefusedError(f"{kind} with code {code}")
        if code in REALS and (not PLAIN.fullmatch(value) or value in ("-0.0", "-0")):
            raise RefusedError(f"{value} is no plain number")


def _vertices(body: list[tuple[int, str]]) -> tuple[tuple[float, float, float], ...]:
    found: list[list[float]] = []
    for code, value in body:
        if code == 10:
            found.append([float(value), 0.0, 0.0])
        elif code in (20, 42):
            found[-1][1 if code == 20 else 2] = float(value)
    return tuple((x, y, bulge) for x, y, bulge in found)


def _check_shape(line: Line) -> None:
    spots = [(x, y) for x, y, _ in line.vertices]
    if len(spots) < (3 if line.closed else 2):
        raise RefusedError("too few vertices")
    following = spots[1:] + spots[:1] if line.closed else spots[1:]
    if any(a == b for a, b in zip(spots, following, strict=False)):
        raise RefusedError("two vertices on one point")
    if not line.closed and any(bulge for _, _, bulge in line.vertices):
        raise RefusedError("an arc in an open line")


def edges(found: list[Line]) -> list[frozenset[tuple[float, float]]]:
    """Return the edges of closed lines, each as its two ends in no order."""
    return [
        frozenset(((x0, y0), (x1, y1)))
        for line in found
        for (x0, y0, _), (x1, y1, _) in zip(
            line.vertices, line.vertices[1:] + line.vertices[:1], strict=True
        )
    ]
