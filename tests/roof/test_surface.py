"""The surface of roofs that meet: it tiles the plan, is the highest, and agrees along its edges."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from shapely import LineString, Point, Polygon, union_all
from shapely_polyskel.polyskel import skeletonize

from cutlist.roof.surface import Surface, height_at
from tests.jobs import Tables, changed, refused_passed_over
from tests.wings import CROSS, ELL, EQUAL_TEE, HIPPED, TEE, any_wings, surface, with_wing

ROOFS = {"tee": TEE, "ell": ELL, "equal tee": EQUAL_TEE, "hipped": HIPPED, "cross": CROSS}


def kinds(of: Surface) -> dict[str, int]:
    found = [edge.kind for edge in of.edges]
    return {kind: found.count(kind) for kind in ("ridge", "hip", "valley")}


@pytest.mark.parametrize(
    ("name", "ridges", "hips", "valleys"),
    [
        ("tee", 2, 0, 2),
        ("equal tee", 2, 0, 2),
        ("ell", 2, 1, 1),
        ("hipped", 2, 6, 2),
        # Both ridges pass through the crossing.
        ("cross", 2, 0, 4),
    ],
)
def test_lines_of_roofs_that_meet(name: str, ridges: int, hips: int, valleys: int) -> None:
    assert kinds(surface(ROOFS[name])) == {"ridge": ridges, "hip": hips, "valley": valleys}


def test_where_a_lower_ridge_ends() -> None:
    """Spans 24 and 16 ft at one pitch: half of 16 ft past the building line, by equal rises."""
    of = surface(TEE)
    (ridge,) = [e for e in of.edges if e.kind == "ridge" and "wing" in e.faces[0].name]
    assert max(ridge.start.y, ridge.end.y) == pytest.approx(8 * 12)
    valleys = [e for e in of.edges if e.kind == "valley"]
    assert {(round(v.end.x, 4), round(v.end.y, 4)) for v in valleys} == {(20 * 12, 8 * 12)}
    # Inside corners of the eaves, a foot of overhang out from both building lines.
    starts = {(round(v.start.x, 4), round(v.start.y, 4)) for v in valleys}
    assert starts == {(11 * 12, -12), (29 * 12, -12)}


def test_faces_in_one_plane_are_one() -> None:
    of = surface(ELL)
    merged = [seen for seen in of.visible if len(seen.merged) > 1]
    assert [seen.face.name for seen in merged] == ["right"]
    assert merged[0].face.length == pytest.approx(40 * 12)  # 24 ft of the end and 16 of the wing


def assert_is_a_roof(of: Surface) -> None:
    """The faces tile the plan, and wherever two meet they are at one height."""
    shapes = [part for seen in of.visible for part in seen.parts]
    # Corners are kept to 1e-7, along borders of some tens of metres.
    tolerance = 1e-7 * of.outline.length * len(shapes)
    assert sum(s.area for s in shapes) == pytest.approx(of.outline.area, abs=tolerance)
    assert union_all(shapes).symmetric_difference(of.outline).area < tolerance
    assert all(part.is_valid for part in shapes)
    for seen in of.visible:
        for part in seen.parts:
            inside = part.representative_point()
            at = (inside.x, inside.y)
            # No wing that covers this place is higher than its face.
            heights = [w.height(at) for w in of.wings if covers(w.ring, inside)]
            assert height_at(seen.face, at) == pytest.approx(max(heights), abs=1e-6)
    for edge in of.edges:
        for end in (edge.start, edge.end):
            for face in edge.faces:
                assert height_at(face, (end.x, end.y)) == pytest.approx(end.z, abs=1e-6)


def covers(ring: list[tuple[float, float]], point: Point) -> bool:
    return bool(Polygon(ring).covers(point))


@pytest.mark.parametrize("name", ROOFS)
def test_faces_tile_the_plan(name: str) -> None:
    assert_is_a_roof(surface(ROOFS[name]))


@settings(deadline=None, max_examples=60)
@given(any_wings())
def test_any_faces_tile_the_plan(tables: Tables) -> None:
    with refused_passed_over():
        of = surface(tables)
    assert_is_a_roof(of)


# Hips all around, one pitch and one height of plates: the lines of the roof in plan are the
# straight skeleton of its eaves, here that of a general-purpose library.
@pytest.mark.parametrize(
    "tables",
    [
        HIPPED,
        with_wing(HIPPED, {"span": "24ft", "at": ["34ft", "-14ft"]}),
        with_wing(HIPPED, {"at": ["40ft", "-14ft"]}),
        with_wing(HIPPED, {"at": ["27ft", "-19ft"], "span": "15ft", "length": "19ft"}),
        changed(
            HIPPED,
            {
                "wing": [
                    *HIPPED["wing"],
                    {
                        "form": "hip",
                        "span": "18ft",
                        "length": "13ft",
                        "at": ["9ft", "37ft"],
                        "turn": 270,
                    },
                ]
            },
        ),
    ],
)
def test_lines_are_the_straight_skeleton(tables: Tables) -> None:
    assert_lines_are_the_skeleton(surface(tables))


def assert_lines_are_the_skeleton(of: Surface) -> None:
    skeleton = skeletonize(list(of.outline.exterior.coords)[:-1])  # type: ignore[attr-defined]
    theirs = union_all(
        [
            LineString([(tree.source.x, tree.source.y), (sink.x, sink.y)])
            for tree in skeleton
            for sink in tree.sinks
            if (tree.source.x, tree.source.y) != (sink.x, sink.y)
        ]
    )
    ours = union_all([LineString([(e.start.x, e.start.y), (e.end.x, e.end.y)]) for e in of.edges])
    assert ours.within(theirs.buffer(1e-4))
    # The eaves on both sides of a wing are one slope here, two edges there: what parts them there,
    # on from where the wing's ridge ends, runs inside the slope.
    for seam in getattr(rest := theirs.difference(ours.buffer(1e-4)), "geoms", [rest]):
        inside = [part.covers(seam) for seen in of.visible for part in seen.parts]
        assert seam.is_empty or inside.count(True) == 1
    eave = min(edge.start.z for edge in of.edges)
    for tree in skeleton:
        at = (tree.source.x, tree.source.y)
        top = max(w.height(at) for w in of.wings if Polygon(w.ring).covers(Point(at)))
        # The skeleton's height is the distance from the eaves; the pitch is 6 in 12.
        assert top - eave == pytest.approx(tree.height / 2, abs=1e-4)


def test_a_wing_that_ends_in_the_air_leaves_a_step() -> None:
    # Its side wall is in line with the gable wall, past which its eaves reach, and the gable's
    # rake not so far: from the building line to under its ridge the eave has no end.
    flush = with_wing(TEE, {"at": ["40ft", "-12ft"]})
    steps = surface(changed(flush, {"roof.rake_overhang": 2})).steps
    assert steps
    assert {round(step.x) for step in steps} == {40 * 12 + 2}
    assert surface(TEE).steps == ()
