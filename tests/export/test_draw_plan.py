"""The framing plan of roofs that meet: the whole is measured."""

from __future__ import annotations

from itertools import combinations

import pytest
from shapely import MultiPoint

from cutlist.build import Build
from cutlist.export.draw_plan import draw_plan_page
from cutlist.export.drawing import Line, Text
from cutlist.export.wing_places import wing_places
from tests.export.roofs import framed
from tests.jobs import GABLE, case_of, changed, job_of

BOTH = {"roof.span": "20ft", "roof.length": "40ft", "valley": {"size": "2x10"}}


@pytest.mark.parametrize(
    ("name", "width", "depth"),
    [
        # 1 ft of rake, 40 ft and 16 in of overhang; 1 ft, 16 ft, 24 ft and 16 in.
        ("ell", "42' 4\"", "42' 4\""),
        # 10.8 m and two rakes of 0.3 m; 3.6 m, 6.6 m and two overhangs of 0.4 m.
        ("tee", "11400 mm", "11000 mm"),
    ],
)
def test_the_whole_of_roofs_that_meet_is_measured(name: str, width: str, depth: str) -> None:
    texts = [c for c in draw_plan_page(framed(name)).calls if isinstance(c, Text)]
    notes = [c for c in texts if c.layer == "PLAN-NOTES"]
    level = [c.text for c in notes if not c.turned]
    upright = [c.text for c in notes if c.turned]
    assert (level.count(width), upright.count(depth)) == (1, 1)


@pytest.mark.parametrize(
    ("name", "level"),
    [
        # Corner to wall, the bay's mouth, wall to corner; then both dormers and what is between.
        ("bay", ["9' 0\"", "12' 0\"", "9' 0\""]),
        ("dormer", ["7' 0\"", "6' 0\"", "9' 0\"", "7' 0\"", "7' 0\""]),
        ("tee", ["3600 mm", "4200 mm", "3000 mm"]),
        ("shed-dormer", ["9' 0\"", "16' 0\"", "9' 0\""]),
    ],
)
def test_where_wings_stand_along_the_wall_is_measured(name: str, level: list[str]) -> None:
    build = framed(name)
    texts = [c for c in draw_plan_page(build).calls if isinstance(c, Text)]
    notes = [c for c in texts if c.layer == "PLAN-NOTES" and not c.turned]
    rows: dict[float, list[str]] = {}
    for note in notes:
        rows.setdefault(round(note.at[1], 3), []).append(note.text)
    assert level in rows.values()


def test_wings_are_measured_along_the_side_that_they_stand_at() -> None:
    at = {"span": "8ft", "length": "6ft", "pitch": "6/12"}
    wings = [
        at | {"form": "gable", "at": ["10ft", "26ft"], "turn": -90},
        at | {"form": "gable", "at": ["46ft", "18ft"], "turn": 180},
    ]
    places = wing_places(job_of(changed(GABLE, BOTH | {"wing": wings})))
    assert places == {
        "far": pytest.approx((0, 120, 216, 480)),
        "right": pytest.approx((0, 120, 216, 240)),
    }


def test_an_oblique_wing_and_one_roof_alone_are_not_measured_so() -> None:
    assert wing_places(job_of(GABLE)) == {}
    wing = {"form": "gable", "span": "8ft", "length": "20ft", "pitch": "6/12"}
    oblique = [wing | {"at": ["15ft", "-6ft"], "turn": 80}]
    assert wing_places(job_of(changed(GABLE, BOTH | {"wing": oblique}))) == {}


@pytest.mark.parametrize("name", ["bay", "dormer", "shed-dormer", "tee", "gazebo", "corner-wing"])
def test_no_mark_is_written_over_another(name: str) -> None:
    texts = [c for c in draw_plan_page(framed(name)).calls if isinstance(c, Text)]
    rooms = [MultiPoint(c.corners).convex_hull for c in texts if c.layer == "PLAN-MARKS"]
    assert len(rooms) > 20
    assert not any(one.intersection(other).area > 0 for one, other in combinations(rooms, 2))


def test_no_dimension_is_written_over_the_mark_of_a_barge() -> None:
    """The outermost stick of a gabled wing is its barge, and its mark stands outside of it.

    No rafter comes to the plate beside it, so that the first space reaches past the wing.
    """
    wing = {"form": "gable", "span": "8ft", "length": "8ft", "turn": 90, "rake_overhang": 12}
    wing |= {"at": ["12ft", "-8ft"], "pitch": "6/12", "open": True}
    tables = BOTH | {"rafter.spacing": 24, "wing": [wing]}
    case = case_of(GABLE, tables)
    build = Build(job=case.job, roof=case.roof, parts=case.parts, findings=(), plans=())
    texts = [c for c in draw_plan_page(build).calls if isinstance(c, Text)]
    marks, notes = (
        [MultiPoint(c.corners).convex_hull for c in texts if c.layer == layer]
        for layer in ("PLAN-MARKS", "PLAN-NOTES")
    )
    assert not any(one.intersection(other).area > 0 for one in marks for other in notes)


def test_one_roof_is_measured_once() -> None:
    notes = [c for c in draw_plan_page(framed("hip")).calls if isinstance(c, Text)]
    texts = [c.text for c in notes if c.layer == "PLAN-NOTES"]
    assert len(texts) == 3 + 3 + 2


def test_the_first_spaces_start_at_the_plate_that_they_are_along() -> None:
    """The first side of an octagon starts where its plate does, not where the whole plan does."""
    build = framed("gazebo")
    first = build.roof.faces[0]
    marks = [m.center for m in build.roof.marks if m.line == f"{first.name} plate"]
    at = first.corner.x + marks[0]
    lines = [c for c in draw_plan_page(build).calls if isinstance(c, Line)]
    notes = [c for c in lines if c.layer == "PLAN-NOTES" and c.start[1] < -20]
    assert first.corner.x > 40
    assert any(x == pytest.approx(at) for c in notes for x in (c.start[0], c.end[0]))
