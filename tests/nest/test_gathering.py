"""Boards that are filled and emptied stay a plan, and come to carry as little as can be."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutlist.nest import Board
from cutlist.nest.deadline import Deadline
from cutlist.nest.gathering import filled, gaps_alike, gathered
from cutlist.nest.greedy import best_fit
from cutlist.nest.rounded import Rounded
from tests.nest.test_plans import square

NEVER = Deadline(1000.0)


@st.composite
def alike(draw: st.DrawFn) -> Rounded:
    """Square ends and a kerf, boards of one length or of two, perhaps some on hand."""
    kerf, capacity = draw(st.integers(0, 2)), draw(st.integers(20, 60))
    widths = draw(st.dictionaries(st.integers(3, 20), st.integers(1, 6), min_size=1, max_size=8))
    job = square(capacity, widths)
    boards = list(job.boards)
    if draw(st.booleans()):
        boards.append(Board(length=float(draw(st.integers(25, 40))), price=1))
    if draw(st.booleans()):
        boards.append(Board(length=30.0, price=0, count=draw(st.integers(1, 2)), on_hand=True))
    return Rounded.of(replace(job, saw=replace(job.saw, kerf=float(kerf)), boards=tuple(boards)))


def check_plan(rounded, layout):
    cut = Counter(rounded.lays[lay].stick for _, row in layout for lay in row)
    assert cut == Counter(dict(enumerate(rounded.demand)))
    assert all(row and rounded.taken(row) <= rounded.room[board] for board, row in layout)
    used = Counter(board for board, _ in layout)
    assert all(count is None or used[b] <= count for b, count in enumerate(rounded.count))


@given(rounded=alike())
@settings(deadline=None)
def test_filled_boards_are_a_plan(rounded):
    assert gaps_alike(rounded)
    check_plan(rounded, filled(rounded))


@given(rounded=alike(), emptied=st.booleans(), data=st.data())
@settings(deadline=None)
def test_gathering_uses_no_other_boards_and_puts_no_more_on_the_one(rounded, emptied, data):
    layout = best_fit(rounded)
    place = data.draw(st.integers(0, len(layout) - 1))
    after = gathered(rounded, layout, place, NEVER, emptied=emptied)
    check_plan(rounded, after)
    before = [board for board, _ in layout]
    if len(after) == len(layout):
        assert [board for board, _ in after] == before
        assert rounded.taken(after[place][1]) <= rounded.taken(layout[place][1])
    assert Counter(board for board, _ in after) <= Counter(before)


@given(
    capacity=st.integers(20, 60),
    widths=st.dictionaries(st.integers(3, 20), st.integers(1, 4), min_size=2, max_size=6),
)
@settings(deadline=None)
def test_a_board_carries_no_less_than_the_others_leave_to_it(capacity, widths):
    rounded = Rounded.of(square(capacity, widths))
    layout = best_fit(rounded)
    assume(len(layout) > 1)
    after = gathered(rounded, layout, len(layout) - 1, NEVER, emptied=False)
    rest = sum(width * n for width, n in widths.items()) - capacity * (len(layout) - 1)
    assert rounded.taken(after[-1][1]) >= max(min(widths), rest)


@pytest.mark.parametrize(
    ("capacity", "widths", "boards"),
    [
        (19, {5: 3, 7: 2, 9: 1}, 2),
        (22, {3: 3, 13: 2, 11: 3, 7: 3, 6: 3}, 5),
        (30, {10: 2, 11: 2, 16: 2, 7: 2, 9: 3}, 4),
    ],
)
def test_a_board_that_best_fit_leaves_over_is_emptied(capacity, widths, boards):
    rounded = Rounded.of(square(capacity, widths))
    layout = best_fit(rounded)
    assert len(layout) == boards + 1
    assert len(gathered(rounded, layout, len(layout) - 1, NEVER, emptied=True)) == boards
