"""The surface over a plan of any number of sides: it tiles the plan and agrees along its lines."""

from __future__ import annotations

from math import dist

import pytest
from hypothesis import given, settings
from shapely import LineString, union_all
from shapely_polyskel.polyskel import skeletonize

from cutlist.roof.surface import Surface, height_at
from tests.jobs import Tables, changed, refused_passed_over
from tests.polygons import GABLED, LONG, OCTAGON, UNEVEN, any_gabled, any_polygons, over, surface
from tests.roof.test_surface import assert_is_a_roof, kinds

TRIANGLE = over(OCTAGON, [("0ft", "0ft"), ("18ft", "0ft"), ("5ft", "13ft")])


@pytest.mark.parametrize(
    ("tables", "ridges", "hips"),
    [(OCTAGON, 0, 8), (LONG, 1, 8), (TRIANGLE, 0, 3), (UNEVEN, 0, 7), (GABLED, 1, 4)],
    ids=["octagon", "long", "triangle", "uneven", "gabled"],
)
def test_lines_of_the_roof(tables: Tables, ridges: int, hips: int) -> None:
    assert kinds(surface(tables)) == {"ridge": ridges, "hip": hips, "valley": 0}


@settings(deadline=None, max_examples=60)
@given(any_polygons())
def test_any_faces_tile_the_plan(tables: Tables) -> None:
    of = surface(tables)
    assert_is_a_roof(of)
    assert of.steps == ()
    # A slope over every side, and the fascia level all round.
    assert len(of.visible) == len(of.wings[0].faces)
    eaves = [height_at(of.wings[0].faces[0], corner) for corner in of.wings[0].ring[:2]]
    assert min(e.start.z for e in of.edges) == pytest.approx(min(eaves), abs=1e-6)


@settings(deadline=None, max_examples=60)
@given(any_gabled())
def test_any_faces_tile_a_plan_with_a_gable(tables: Tables) -> None:
    with refused_passed_over():
        of = surface(tables)
    assert_is_a_roof(of)
    assert of.steps == ()
    (wing,) = of.wings
    # A slope over every side but the gables, and one ridge out to each of these.
    sides = len(tables["roof"]["pitches"]) - tables["roof"]["pitches"].count("gable")
    assert len(of.visible) == len(wing.faces) == sides
    on_rakes = [e for e in of.edges for p in (e.start, e.end) if wing.has_rake_at(p)]
    assert [e.kind for e in on_rakes] == ["ridge"] * len(wing.rakes)


def skeleton_lines(of: Surface) -> tuple[LineString, list[tuple[tuple[float, float], float]]]:
    """Return the straight skeleton of the eaves, and the distance of its points from them."""
    # The library takes corners clockwise, seen with y upward.
    ring = [(corner[0], corner[1]) for corner in reversed(of.wings[0].ring)]
    trees = skeletonize(ring)
    lines = [
        LineString([(tree.source.x, tree.source.y), (sink.x, sink.y)])
        for tree in trees
        for sink in tree.sinks
        if dist((tree.source.x, tree.source.y), (sink.x, sink.y)) > 1e-6
    ]
    return union_all(lines), [((t.source.x, t.source.y), t.height) for t in trees]


# With one pitch the lines of the roof in plan are the straight skeleton of its eaves, here that of
# a general-purpose library.
@pytest.mark.parametrize(
    "tables",
    [
        TRIANGLE,
        UNEVEN,
        over(OCTAGON, [(0, 0), (300, 20), (310, 200), (180, 290), (60, 260), (-40, 120)]),
        changed(OCTAGON, {"roof.sides": 6, "roof.length": "22ft"}),
    ],
)
def test_lines_are_the_straight_skeleton(tables: Tables) -> None:
    of = surface(tables)
    theirs, points = skeleton_lines(of)
    ours = union_all([LineString([(e.start.x, e.start.y), (e.end.x, e.end.y)]) for e in of.edges])
    assert ours.hausdorff_distance(theirs) < 1e-4
    eave = min(edge.start.z for edge in of.edges)
    for at, height in points:
        # Its height is the distance from the eaves; the pitch is 5 in 12.
        assert of.wings[0].height(at) - eave == pytest.approx(height * 5 / 12, abs=1e-4)
