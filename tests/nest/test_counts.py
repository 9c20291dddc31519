"""Whole numbers of boards: the bound they give is no higher than the cheapest plan."""

from dataclasses import replace
from math import inf

import pytest
from hypothesis import assume, given, settings

from cutlist.nest import Board, Proof, solve, verify
from cutlist.nest.counts import count_boards
from cutlist.nest.deadline import Deadline
from cutlist.nest.greedy import best_fit, plan_cost
from cutlist.nest.rounded import Rounded
from tests.benchmarks.instances import FIXTURES, angled, square
from tests.nest.brute_force import cheapest
from tests.nest.strategies import problems


def counted(problem, below, nodes=1000):
    rounded = Rounded.of(problem)
    rows = [row for _, row in best_fit(rounded)]
    return count_boards(rounded, rows, below=below, nodes=nodes, deadline=Deadline(1000.0))


def five_sticks():
    """Two sticks fit a short board and three a long one: 2 1/2 short boards in fractions."""
    boards = (Board(length=12.0, price=10), Board(length=18.0, price=16))
    return replace(square([(6, 5)], 12), boards=boards)


def test_fractions_of_boards_are_not_bought():
    found = counted(five_sticks(), below=30)
    assert (found.bound, found.boards) == (26, (1, 1))
    assert solve(five_sticks()).cost == 26


def test_nothing_at_most_so_dear_puts_the_bound_above_it():
    assert counted(five_sticks(), below=24) == counted(five_sticks(), below=25)
    found = counted(five_sticks(), below=24)
    assert (found.bound, found.boards) == (26, None)


def test_a_count_cut_short_proves_what_it_has_reached():
    whole = counted(five_sticks(), below=30)
    assert counted(five_sticks(), below=30, nodes=0).bound == 0
    assert counted(five_sticks(), below=30, nodes=1).bound <= whole.bound


@given(problem=problems(most_sticks=3))
@settings(deadline=None, max_examples=60)
def test_the_bound_is_no_higher_than_the_cheapest_plan(problem):
    sticks = tuple(replace(stick, count=min(stick.count, 2)) for stick in problem.sticks)
    problem = replace(problem, sticks=sticks)
    least = cheapest(problem)
    assume(least < inf)
    rounded = Rounded.of(problem)
    below = plan_cost(rounded, best_fit(rounded))[0]
    found = counted(problem, below)
    assert found.bound <= least
    if found.boards is not None:
        spent = sum(n * cost for n, cost in zip(found.boards, rounded.cost, strict=True))
        assert spent == found.bound <= below
        supplied = zip(found.boards, rounded.count, strict=True)
        assert all(count is None or n <= count for n, count in supplied)


@pytest.mark.parametrize("name", ["short_30_mild_s4", "short_80_steep_s2"])
def test_jobs_open_without_whole_boards_are_settled(name):
    """The data's own bounds leave these open; the first has a known plan of this cost."""
    job = next(j for j in angled(FIXTURES / "rafter_jobs.json.gz") if j.name == name)
    plan = solve(job.problem, seconds=300.0)
    assert verify(job.problem, plan) == ()
    assert job.low <= plan.cost <= job.high
    assert plan.proof is Proof.ENUMERATED
