"""Arcs of a polyline as points, by the definition of the bulge: the tangent of a quarter turn."""

from __future__ import annotations

from collections.abc import Iterable
from math import atan, cos, hypot, sin


def flattened(
    contour: Iterable[tuple[float, float, float]], steps: int
) -> list[tuple[float, float]]:
    """Return the corners of a closed contour, each arc as so many chords."""
    vertices = list(contour)
    points = []
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1], strict=True):
        points.append((x0, y0))
        if not bulge:
            continue
        turn, chord = 4 * atan(bulge), hypot(x1 - x0, y1 - y0)
        # The middle lies off the chord's own middle, to the left where the arc turns left.
        radius = chord / 2 / sin(turn / 2)
        off = radius * cos(turn / 2) / chord
        cx, cy = (x0 + x1) / 2 - off * (y1 - y0), (y0 + y1) / 2 + off * (x1 - x0)
        for i in range(1, steps):
            c, s = cos(turn * i / steps), sin(turn * i / steps)
            dx, dy = x0 - cx, y0 - cy
            points.append((cx + dx * c - dy * s, cy + dx * s + dy * c))
    return points
