"""Room between ends, against values that can be worked out by hand."""

from math import cos, hypot, radians, sqrt, tan

import pytest

from cutlist.nest import EndFace, Stick, Way
from cutlist.nest.ends import clear_of, gap, long_point, mean_reach

SECTION = (7.25, 1.5)
SQUARE = (EndFace(at=0.0),)
KERF = 0.125


def test_square_ends_are_a_kerf_apart():
    assert gap(SQUARE, SQUARE, SECTION, KERF) == pytest.approx(KERF)


@pytest.mark.parametrize("pitch", [3 / 12, 5 / 12, 1.0])
def test_parallel_plumb_cuts_take_the_kerf_square_to_the_cut(pitch):
    """The saw's width along the board is kerf / cos(slope angle): one right triangle."""
    plumb = (EndFace(at=0.0, per_depth=pitch),)
    assert gap(plumb, plumb, SECTION, KERF) == pytest.approx(KERF * hypot(1, pitch))


def test_a_square_end_beside_a_plumb_cut_touches_at_the_long_point():
    """Right end square, next left end leaning left by 7.25 x 5/12 at the top edge."""
    leaning = (EndFace(at=0.0, per_depth=-5 / 12),)
    expected = 7.25 * 5 / 12 + KERF * 13 / 12  # 5-12-13: the plumb cut's level kerf
    assert gap(SQUARE, leaning, SECTION, KERF) == pytest.approx(expected)


def test_a_bevelled_miter_takes_the_kerf_of_its_compound_angle():
    """Normal (1, -p, -q): level kerf factor sqrt(1 + p^2 + q^2); regular hip jack at 12 in 12."""
    cheek = (EndFace(at=0.0, per_depth=1.0, per_thickness=sqrt(2)),)
    assert gap(cheek, cheek, SECTION, KERF) == pytest.approx(KERF * 2.0)
    assert clear_of(cheek, SECTION, 0.0) == pytest.approx(7.25 + 1.5 * sqrt(2))


def test_a_square_blade_tilt_of_45_degrees():
    bevel = (EndFace(at=0.0, per_thickness=tan(radians(45))),)
    assert gap(bevel, bevel, SECTION, KERF) == pytest.approx(KERF / cos(radians(45)))


def test_a_pointed_end_reaches_to_its_ridge():
    """Two cheeks at 45 degrees meet at mid-thickness, 3/4 in beyond the faces."""
    point = (
        EndFace(at=0.0, per_thickness=1.0),
        EndFace(at=1.5, per_thickness=-1.0),
    )
    assert long_point(point, SECTION) == pytest.approx(0.75)
    assert mean_reach(point, SECTION) == pytest.approx(0.375)
    assert gap(point, SQUARE, SECTION, KERF) == pytest.approx(0.75 + KERF * sqrt(2))


def test_a_plane_counts_only_where_it_is_the_end():
    """Plumb and level tail: the flat lower part does not push a neighbour away at the top.

    Below y = 1 the end runs back steeply; a square neighbour touches the upper, square part.
    """
    tail = (EndFace(at=0.0), EndFace(at=-10.0, per_depth=10.0))
    level_kerf = KERF * hypot(1, 10)
    # The steep part ends at y = 1 where it meets the square part, and its strip starts there.
    assert gap(tail, SQUARE, SECTION, KERF) == pytest.approx(level_kerf)
    # Facing its own negative the neighbour follows the shape, and the strip is as wide.
    steep_only = (EndFace(at=-10.0, per_depth=10.0),)
    assert gap(steep_only, SQUARE, SECTION, KERF) == pytest.approx(62.5 + level_kerf)


def test_an_end_plane_that_cuts_nothing_does_not_count():
    beyond = (EndFace(at=0.0), EndFace(at=5.0, per_depth=0.1))
    assert gap(beyond, SQUARE, SECTION, KERF) == pytest.approx(KERF)


def stick(left: EndFace, right: EndFace) -> Stick:
    return Stick.plain(mark="S", count=1, thickness=1.5, depth=7.25, left=left, right=right)


@pytest.mark.parametrize("way", list(Way))
def test_half_turns_twice_are_none(way):
    drawn = stick(
        EndFace(at=1.0, per_depth=0.5, per_thickness=0.25), EndFace(at=50.0, per_depth=-0.5)
    )
    again = drawn.laid(way).laid(way)
    for mine, theirs in zip((*again.left, *again.right), (*drawn.left, *drawn.right), strict=True):
        assert mine.at == pytest.approx(theirs.at)
        assert mine.per_depth == pytest.approx(theirs.per_depth)
        assert mine.per_thickness == pytest.approx(theirs.per_thickness)
    assert {(round(x, 9), round(y, 9)) for x, y in again.near} == {
        (round(x, 9), round(y, 9)) for x, y in drawn.near
    }


@pytest.mark.parametrize("way", list(Way))
def test_a_laid_stick_keeps_its_length_volume_and_hand(way):
    """Ways are rotations: the product of the axes' signs is +1, so a hand never changes."""
    drawn = stick(EndFace(at=0.0, per_thickness=1.0), EndFace(at=40.0, per_depth=0.75))
    laid = drawn.laid(way, 12.0)
    assert laid.length == pytest.approx(drawn.length)
    assert laid.mean_length == pytest.approx(drawn.mean_length)
    as_if_plain = stick(laid.left[0], laid.right[0])
    assert {(round(x, 9), round(y, 9)) for x, y in laid.near} == {
        (round(x, 9), round(y, 9)) for x, y in as_if_plain.near
    }
    assert {(round(x, 9), round(y, 9)) for x, y in laid.far} == {
        (round(x, 9), round(y, 9)) for x, y in as_if_plain.far
    }


def test_turned_end_for_end_keeps_the_top_edge_and_mirrors_the_slopes():
    """(L, R) -> (-R, -L) for slopes along the depth."""
    turned = stick(EndFace(at=0.0, per_depth=0.5), EndFace(at=40.0, per_depth=0.25)).laid(
        Way.TURNED
    )
    assert turned.left[0].per_depth == pytest.approx(-0.25)
    assert turned.right[0].per_depth == pytest.approx(-0.5)
