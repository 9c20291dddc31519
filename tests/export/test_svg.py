"""Drawings in SVG: the same shapes as recorded, y down, and nothing in a text is markup."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.build import Build
from cutlist.export.draw_part_page import draw_end, draw_whole
from cutlist.export.drawing import Drawing, Pen
from cutlist.export.svg import CAPITAL, Window, svg
from cutlist.geometry.space import Vector
from cutlist.geometry.stick import ENDS
from cutlist.units import IMPERIAL

NAMESPACE = "{http://www.w3.org/2000/svg}"


def small() -> Drawing:
    drawing = Drawing(IMPERIAL, {"A": Pen.WOOD, "B": Pen.NOTE})
    drawing.ring("A", [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0 / 3)])
    drawing.line("B", (0.0, -1.0), (4.0, -1.0))
    drawing.text("B", "up", (1.0, 2.0), 0.5, turned=90.0)
    return drawing


def test_shapes_are_as_recorded_with_y_down() -> None:
    window = Window(left=-1.0, bottom=-2.0, right=5.0, top=3.0)
    root = ElementTree.fromstring(svg(small(), title="t", window=window))
    assert root.get("viewBox") == "-1 -3 6 5"
    ring, line, text = root[1:]
    assert (ring.get("class"), ring.get("points")) == ("wood", "0,0 4,0 4,-0.333")
    assert (line.get("class"), line.get("d")) == ("note", "M0,1 4,1")
    assert (text.get("x"), text.get("y"), text.text) == ("1", "-2", "up")
    assert text.get("transform") == "rotate(-90 1 -2)"
    assert float(text.get("font-size", "")) == pytest.approx(0.5 / CAPITAL, abs=1e-3)


def test_a_quarter_turn_shows_the_same_window() -> None:
    window = Window(left=-1.0, bottom=-2.0, right=5.0, top=3.0)
    root = ElementTree.fromstring(svg(small(), title="t", window=window, turned=True))
    x, y, width, height = map(float, root.get("viewBox", "").split())
    # Turned clockwise, a point right and up of the origin comes to lie down and right of it.
    for px, py in ((-1.0, -2.0), (5.0, 3.0)):
        across, down = py, px
        assert x <= across <= x + width
        assert y <= down <= y + height
    assert (width, height) == (5.0, 6.0)
    group = root.find(f"{NAMESPACE}g")
    assert group is not None
    assert group.get("transform") == "rotate(90)"


@given(st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1))
def test_texts_stay_texts(words: str) -> None:
    drawing = small()
    drawing.text("B", words, (0.0, 0.0), 1.0)
    window = Window.around(drawing, 0.0)
    root = ElementTree.fromstring(svg(drawing, title=words, window=window))
    assert [element.text for element in root][::4] == [words, words]


def test_a_face_in_space_is_refused() -> None:
    drawing = small()
    drawing.face("A", [Vector(0, 0, 0), Vector(1, 0, 0), Vector(0, 1, 1)])
    with pytest.raises(ValueError, match="projected"):
        svg(drawing, title="t", window=Window.around(small(), 0.0))


def test_parts_are_drawn_in_true_proportion(build: Build) -> None:
    for part in build.parts:
        drawings = [draw_whole(build, part), *(draw_end(build, part, end) for end in ENDS)]
        for drawing, window in drawings:
            root = ElementTree.fromstring(svg(drawing, title=part.mark, window=window))
            wood = next(e for e in root if e.get("class") == "wood")
            points = [tuple(map(float, p.split(","))) for p in wood.get("points", "").split()]
            expected = [(x, -y) for x, y in part.stick.near.points]
            assert [c for p in points for c in p] == pytest.approx(
                [c for p in expected for c in p], abs=0.051
            )
