"""Fewer boards at no higher cost."""

from dataclasses import replace

import pytest

from cutlist.nest import Board
from cutlist.nest.deadline import Deadline
from cutlist.nest.fewer_boards import fewer_boards
from cutlist.nest.greedy import plan_cost
from cutlist.nest.master import Columns, Master
from cutlist.nest.relaxation import relax
from cutlist.nest.rounded import Rounded
from cutlist.nest.simple_worths import simple_worths
from tests.nest.test_plans import square


@pytest.mark.parametrize(
    ("prices", "boards"),
    [
        # What a length costs is in proportion: two sticks on one board cost what they cost apart.
        ((12, 20, 32), 4),
        # The long board is dearer than both short ones.
        ((12, 20, 33), 8),
        # It is cheaper: the plan to beat may be of any cost.
        ((12, 20, 31), 4),
    ],
)
def test_sticks_go_together_where_that_costs_no_more(prices, boards):
    lengths = zip((12.0, 20.0, 32.0), prices, strict=True)
    offered = tuple(Board(length=length, price=price) for length, price in lengths)
    rounded = Rounded.of(replace(square(32, {12: 4, 20: 4}), boards=offered))
    apart = [(0, (0,))] * 4 + [(1, (1,))] * 4
    never, columns = Deadline(1000.0), Columns(rounded)
    columns.extend(row for _, row in apart)
    start = simple_worths(rounded)
    master = Master(rounded, never)
    bounded = relax(rounded, columns, master, never, start=start, enough=float("inf"))
    found = fewer_boards(rounded, columns, bounded.relaxed, apart, never)
    assert len(found) == boards
    assert plan_cost(rounded, found) <= plan_cost(rounded, apart)
