"""The framing plan of roofs that meet: the whole is measured."""

from __future__ import annotations

import pytest

from cutlist.export.draw_plan import draw_plan_page
from cutlist.export.drawing import Line, Text
from tests.export.roofs import framed


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
