"""The worth table holds what the best row is worth, and a bound by length alone is a bound."""

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutlist.nest.deadline import Deadline
from cutlist.nest.greedy import best_fit, plan_cost
from cutlist.nest.master import Columns, Master
from cutlist.nest.pricing import WorthTable, less_charges
from cutlist.nest.relaxation import relax
from cutlist.nest.rounded import Rounded
from cutlist.nest.simple_worths import simple_worths
from tests.nest.brute_force import cheapest
from tests.nest.strategies import problems
from tests.nest.test_plans import square


@given(
    capacity=st.integers(10, 60),
    widths=st.dictionaries(st.integers(3, 20), st.integers(1, 3), min_size=1, max_size=4),
    kerf=st.integers(0, 2),
    data=st.data(),
)
@settings(deadline=None)
def test_where_all_gaps_are_the_same_no_stick_counts_more_often_than_wanted(
    capacity, widths, kerf, data
):
    problem = square(capacity, widths)
    problem = replace(problem, saw=replace(problem.saw, kerf=float(kerf)))
    worth = {width: data.draw(st.integers(0, 9)) for width in widths}
    best = max(
        sum(n * worth[width] for width, n in zip(widths, counts, strict=True))
        for counts in product(*(range(n + 1) for n in widths.values()))
        if sum(n * (width + kerf) for width, n in zip(widths, counts, strict=True))
        <= capacity + kerf
    )
    if max(widths) <= capacity:
        table = WorthTable(Rounded.of(problem), np.array(list(worth.values())))
        assert table.best(capacity) == best


@given(problem=problems(most_sticks=3), data=st.data(), whole=st.booleans())
@settings(deadline=None, max_examples=50)
def test_the_table_holds_what_the_best_of_all_rows_is_worth(problem, data, whole):
    rounded = Rounded.of(replace(problem, grid=1.0))
    assume(rounded.gaps.size > 1)
    worths = np.array(
        [data.draw(st.integers(0, 9)) for _ in rounded.demand], int if whole else float
    )
    table = WorthTable(rounded, worths)

    @cache
    def best(end, room):
        follow = (
            worths[rounded.stick_of[lay]] + best(rounded.right_of[lay], room - take)
            for lay, take in enumerate(rounded.take[end])
            if take <= room
        )
        return max(follow, default=0)

    room = max(rounded.room)
    assert table.after.shape == (len(rounded.take), room + 1)
    for end in range(len(rounded.take)):
        assert list(table.after[end]) == [best(end, r) for r in range(room + 1)]


@given(problem=problems(most_sticks=3), data=st.data())
@settings(deadline=None, max_examples=50)
def test_what_fits_on_the_coarse_grid_fits(problem, data):
    rounded = Rounded.of(replace(problem, grid=1 / 256))
    coarse = rounded.coarse
    assert max(coarse.room) < max(rounded.room) / 2
    worths = np.array([data.draw(st.integers(1, 9)) for _ in rounded.demand])
    starts = [(room, None) for room in coarse.room if room > 0]
    for row in WorthTable(coarse, worths).draw(starts, np.array(rounded.demand)):
        for coarse_room, room in zip(coarse.room, rounded.room, strict=True):
            assert coarse.taken(row) > coarse_room or rounded.taken(row) <= room


@given(
    rooms=st.lists(st.integers(-1, 6), min_size=1, max_size=4).filter(lambda r: max(r) >= 0),
    data=st.data(),
)
def test_charges_are_taken_off_by_the_room_left_on_the_longest_board(rooms, data):
    charges = np.array([data.draw(st.integers(0, 9)) for _ in rooms], float)
    most = np.array([[data.draw(st.integers(0, 9)) for _ in range(max(rooms) + 1)]])
    margins = less_charges(most, tuple(rooms), charges)
    for left in range(max(rooms) + 1):
        own = [left - max(rooms) + room for room in rooms]
        gains = [most[0, r] - c for r, c in zip(own, charges, strict=True) if r >= 0]
        assert margins[0, left] == max(gains, default=-np.inf)


@given(problem=problems(most_sticks=3), data=st.data())
@settings(deadline=None, max_examples=50)
def test_a_drawn_row_is_worth_no_more_than_the_table_says(problem, data):
    rounded = Rounded.of(problem)
    worths = np.array([data.draw(st.integers(0, 9)) for _ in rounded.demand])
    table = WorthTable(rounded, worths)
    starts = [(max(rounded.room), lay) for lay in range(len(rounded.lays))]
    for row in table.draw(starts, np.array(rounded.demand)):
        taken = rounded.taken(row)
        assert sum(worths[rounded.stick_of[list(row)]]) <= table.best(taken)
        assert taken <= max(rounded.room)


@given(problem=problems(most_sticks=2))
@settings(deadline=None, max_examples=40)
def test_worths_by_length_prove_no_more_than_the_cheapest_plan_costs(problem):
    sticks = tuple(replace(stick, count=min(stick.count, 3)) for stick in problem.sticks)
    problem = replace(problem, sticks=sticks)
    rounded = Rounded.of(problem)
    assert relaxed(rounded, enough=-1.0).value <= cheapest(problem) + 1e-6


@given(
    capacity=st.integers(10, 60),
    widths=st.dictionaries(st.integers(3, 60), st.integers(1, 30), min_size=1, max_size=8),
    kerf=st.integers(0, 2),
)
@settings(deadline=None)
def test_simple_worths_are_fair_and_prove_no_less_than_length_does(capacity, widths, kerf):
    widths = {width: n for width, n in widths.items() if width <= capacity}
    assume(widths)
    problem = square(capacity, widths)
    rounded = Rounded.of(replace(problem, saw=replace(problem.saw, kerf=float(kerf))))
    found = simple_worths(rounded)
    assert WorthTable(rounded, found.worths).best(capacity) <= 1 + 1e-9
    taken = sum(n * (width + kerf) for width, n in widths.items())
    assert found.value >= taken / (capacity + kerf) - 1e-9


@pytest.mark.parametrize(
    ("widths", "boards"),
    [
        # More than half a board each: no two go together, though three quarters would hold all.
        ({51: 8, 10: 3}, 8),
        # Of sticks longer than a third of a board two go on one.
        ({34: 9}, 5),
        # Beside one of 76 nothing fits; else three of 26 or four of 25 go on a board.
        ({76: 4, 26: 4, 25: 4}, 7),
    ],
)
def test_simple_worths_prove_more_than_length_does(widths, boards):
    rounded = Rounded.of(square(100, widths))
    assert boards - 1 < simple_worths(rounded).value <= boards
    assert sum(width * n for width, n in widths.items()) <= 100 * (boards - 1)


def test_full_boards_are_proved_without_a_linear_programme():
    rounded = Rounded.of(square(20, {12: 2, 8: 2}))
    found = relaxed(rounded, enough=plan_cost(rounded, best_fit(rounded))[0] - 1 + 1e-3)
    assert found.value == pytest.approx(2.0)
    assert not len(found.amounts)


def relaxed(rounded, enough):
    never = Deadline(1000.0)
    columns = Columns(rounded)
    columns.extend(row for _, row in best_fit(rounded))
    master, start = Master(rounded, never), simple_worths(rounded)
    return relax(rounded, columns, master, never, start=start, enough=enough).relaxed
