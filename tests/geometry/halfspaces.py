"""Convex bodies as their half-spaces: every corner found by solving, without any clipping."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray

Array = NDArray[np.float64]


def corners(normals: Array, offsets: Array) -> Array:
    """Return the corners of all points p with normals @ p <= offsets, in two or three dimensions.

    A corner is where as many planes as there are dimensions cross, and no other plane cuts it off.
    """
    picks = np.array(list(combinations(range(len(offsets)), normals.shape[1])))
    systems, rights = normals[picks], offsets[picks]
    crossing = np.abs(np.linalg.det(systems)) > 1e-9
    points = np.linalg.solve(systems[crossing], rights[crossing][..., None])[..., 0]
    inside = (points @ normals.T <= offsets + 1e-8).all(axis=1)
    kept: Array = points[inside]
    return kept


def section(normals: Array, offsets: Array, z: float) -> shapely.Geometry:
    """Return the section of a body at one z as a shapely shape."""
    flat = corners(normals[:, :2], offsets - normals[:, 2] * z)
    return shapely.MultiPoint(flat).convex_hull if len(flat) else shapely.Polygon()
