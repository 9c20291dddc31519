"""What is left of a rectangle after cuts, and what cannot be cut."""

from __future__ import annotations

import pytest

from cutlist.errors import GeometryError
from cutlist.geometry.outline import Line, cut_outline

BOX = (0.0, 0.0, 10.0, 4.0)
LEFT = Line("left", -1, 0, -1)  # takes x < 1
SLOPE = Line("slope", 1, 1, 12)  # takes x + y > 12: the corner at (10, 4)


def test_rectangle() -> None:
    outline = cut_outline(BOX, [], [])
    assert outline.points == ((0, 0), (10, 0), (10, 4), (0, 4))
    assert outline.edges == ("bottom", "stop", "top", "start")
    assert outline.length("top") == 10
    assert outline.segments("stop") == (((10, 0), (10, 4)),)
    assert outline.moved(-2).points[0] == (-2, 0)


def test_ends_and_a_notch() -> None:
    # The notch takes what lies beyond x = 3 and under y = 1, as far as the bottom edge goes.
    notch = [Line("seat", 0.5, 1, 3.5), Line("heel", -1, 0, -3)]
    outline = cut_outline(BOX, [LEFT, SLOPE], [[n.flipped() for n in notch]])
    assert outline.points == ((1, 0), (3, 0), (3, 2), (7, 0), (10, 0), (10, 2), (8, 4), (1, 4))
    assert outline.edges == (
        "bottom", "heel", "seat", "bottom", "stop", "slope", "top", "left",
    )  # fmt: skip
    assert outline.polygon.area == 36 - 2 - 4
    assert outline.length("bottom") == 2 + 3


def test_doubled_and_straight_vertices_are_left_out() -> None:
    # Three cuts through one point, and one that only touches a corner.
    touching = Line("touching", -1, -1, 0)
    ends = [LEFT, Line("again", -2, 0, -2), Line("cross", -1, 0.001, -1), touching]
    outline = cut_outline(BOX, ends, [])
    assert len(outline.points) == 4


def test_edge_in_line_with_a_cut_has_the_cuts_name() -> None:
    # As where the two bevels of a backed hip meet in the middle of its top edge.
    for height in (4.0, 3.5):
        outline = cut_outline(BOX, [Line("backing", 0, 1, height)], [])
        assert outline.edges == ("bottom", "stop", "backing", "start")


@pytest.mark.parametrize(
    ("ends", "notches", "reason"),
    [
        ([Line("all", 1, 0, -1)], [], "the cuts leave nothing of the stick"),
        ([], [[Line("seat", 0, 1, -1)]], "the cuts leave nothing of the stick"),
        (
            [],
            [[Line("one", 1, 0, 4), Line("other", -1, 0, -6)]],
            "the cuts part the stick in pieces",
        ),
        (
            [],
            [
                [
                    Line("west", 1, 0, 4),
                    Line("east", -1, 0, -6),
                    Line("south", 0, 1, 1),
                    Line("north", 0, -1, -3),
                ]
            ],
            "a notch does not reach the stick's edge",
        ),
    ],
)
def test_what_cannot_be_cut(ends: list[Line], notches: list[list[Line]], reason: str) -> None:
    with pytest.raises(GeometryError, match=f"^{reason}$"):
        cut_outline(BOX, ends, notches)
