"""No part of a slope is left without rafters: they stand no further apart than on centres.

A jack that is left out as too short counts where the roof tells of it: at a sharp corner such jacks
may leave more of an eave open than they are long.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from shapely import LineString, MultiPoint, Point, Polygon

from cutlist.geometry.space import Vector
from cutlist.roof.face import Face
from cutlist.roof.member import Member
from cutlist.roof.surface import surface_of
from cutlist.roof.wings import buildings
from tests.jobs import Tables, changed, job_of, refused_passed_over, roof_of
from tests.wings import (
    CROSS,
    ELL,
    EQUAL_TEE,
    HIPPED,
    TEE,
    any_wings,
    wings_on_turned_wings,
    with_wing,
)

SCANS = 12


def plan(member: Member) -> Polygon:
    corners = (
        member.stick.frame.outward(Vector(x, y, z))
        for z, outline in member.stick.levels
        for x, y in outline.points
    )
    hull = MultiPoint([(c.x, c.y) for c in corners]).convex_hull
    assert isinstance(hull, Polygon)
    return hull


def strip(face: Face, begin: float, end: float) -> Polygon:
    """Return a strip up a whole slope, in plan."""
    far = 100 * face.length
    points = ((begin, -far), (end, -far), (end, far), (begin, far))
    return Polygon([(p.x, p.y) for p in (face.point(*at, 0.0) for at in points)])


def gaps(
    face: Face, part: Polygon, wood: list[Polygon], plates: Sequence[Polygon] = ()
) -> Iterator[float]:
    """Return the gaps, between centres and to the edges, on level lines above the plate.

    Plates carry the slope along their edges.
    """
    corners = [Vector(x, y, 0.0) for x, y in part.exterior.coords]
    top = max(face.run(c) for c in corners)
    ends = [min(face.station(c) for c in corners), max(face.station(c) for c in corners)]
    for i in range(1, SCANS):
        points = (face.point(s, top * i / SCANS, 0.0) for s in (ends[0] - 1, ends[1] + 1))
        scan = LineString([(p.x, p.y) for p in points])
        for piece in getattr(inside := scan.intersection(part), "geoms", [inside]):
            crossed = (piece.intersection(shape) for shape in wood)
            middles = [c.centroid for c in crossed if not c.is_empty]
            middles += [Point(at) for p in plates for at in piece.intersection(p).coords]
            at = sorted(
                face.station(Vector(x, y, 0.0))
                for x, y in [*piece.coords, *((m.x, m.y) for m in middles)]
            )
            yield from (after - before for before, after in pairwise(at))


@pytest.mark.parametrize("is_open", [False, True])
@pytest.mark.parametrize(
    ("base", "step"),
    [(base, step) for base in (TEE, EQUAL_TEE, HIPPED, CROSS) for step in (0, -6, 6)] + [(ELL, 0)],
)
def test_every_slope_is_carried(base: Tables, step: int, is_open: bool) -> None:
    wing: dict[str, object] = {"plate_height": 96 + step, "open": is_open}
    if base not in (TEE, HIPPED):
        # Ridges at one height: as wide as the roof, and so much flatter or steeper.
        wing["pitch"] = f"{(72 - step) / 1.44}%"
    tables = with_wing(changed(base, {"roof.plate_height": "8ft"}), wing)
    assert_carried(tables)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.filter_too_much])
@given(any_wings())
def test_every_slope_of_any_wings_is_carried(tables: Tables) -> None:
    with refused_passed_over():
        assert_carried(tables)


@settings(deadline=None, max_examples=15)
@given(wings_on_turned_wings())
def test_every_slope_of_wings_at_odd_angles_is_carried(tables: Tables) -> None:
    with refused_passed_over():
        assert_carried(tables)


def assert_carried(tables: Tables) -> None:
    job, roof = job_of(tables), roof_of(tables)
    most = job.rafter.spacing + job.rafter.size.thickness
    for seen in surface_of([b.wing for b in buildings(job, 0.0)]).visible:
        # Hips, valleys and ridges carry a slope's edges, a valley that runs on its middle.
        half = job.rafter.size.thickness / 2
        wood = [
            *(
                plan(m)
                for m in roof.members
                if m.line == seen.face.name or m.role in ("hip", "valley", "ridge")
            ),
            *(
                strip(seen.face, jack.station - half, jack.station + half)
                for jack in roof.left_out
                if jack.line == seen.face.name
            ),
        ]
        plates = [plan(m) for m in roof.members if m.role == "valley-plate"]
        for part in seen.parts:
            assert max(gaps(seen.face, part, wood, plates)) < most
