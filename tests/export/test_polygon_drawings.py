"""What is told and drawn of a roof over a plan of sides."""

from __future__ import annotations

from cutlist.build import Build
from cutlist.export.draw_plan import draw_plan_page
from cutlist.export.draw_view import draw_view
from cutlist.export.drawing import Drawing, Text
from cutlist.export.wording import roof_text
from tests.export.roofs import framed
from tests.jobs import case_of
from tests.polygons import GABLED


def texts(drawing: Drawing) -> list[str]:
    return [call.text for call in drawing.calls if isinstance(call, Text)]


def test_it_is_told_by_its_sides_and_extent() -> None:
    assert roof_text(framed("gazebo")) == "Hip roof, 8 sides, 12' 0\" by 12' 0\"; 5 in 12"


def test_gables_are_told_and_have_no_name_on_the_picture() -> None:
    case = case_of(GABLED)
    build = Build(job=case.job, roof=case.roof, parts=case.parts, findings=(), plans=())
    assert roof_text(build) == "Hip roof, 6 sides (1 gable), 24' 1 3/16\" by 14' 0\"; 5 in 12"
    named = [text for text in texts(draw_view(build)) if text.startswith("side")]
    assert sorted(named) == [f"side {i}" for i in (1, 3, 4, 5, 6)]


def test_every_side_is_named_once_on_the_picture() -> None:
    named = [text for text in texts(draw_view(framed("gazebo"))) if text.startswith("side")]
    assert sorted(named) == [f"side {i}" for i in range(1, 9)]


def test_the_plan_measures_the_building_and_its_overhangs() -> None:
    """12 ft between opposite sides, 14 in of overhang at every side."""
    told = texts(draw_plan_page(framed("gazebo")))
    assert told.count("12' 0\"") == 2
    assert told.count("1' 2\"") == 4
