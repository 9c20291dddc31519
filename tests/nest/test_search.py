"""The two exact searches over a list of rows agree, and hard known jobs stay settled."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.nest import Proof, solve, verify
from cutlist.nest.cover import cover
from cutlist.nest.deadline import Deadline
from cutlist.nest.enumeration import Enumeration, centred
from cutlist.nest.greedy import best_fit, plan_cost
from cutlist.nest.listing import Limits
from cutlist.nest.master import Columns, Master, Whole, solve_whole
from cutlist.nest.relaxation import relax
from cutlist.nest.rounded import Rounded
from cutlist.nest.simple_worths import simple_worths
from tests.benchmarks.instances import FIXTURES, angled
from tests.nest.strategies import problems

WIDE = Limits(layer=100_000, listed=50_000)
JOBS = {job.name: job for job in angled(FIXTURES / "rafter_jobs.json.gz")}


def cost_of(rounded: Rounded, columns: Columns, answer: Whole) -> int | None:
    if answer.amounts is None:
        return None
    rows = zip(columns.columns, answer.amounts, strict=True)
    return sum(rounded.cost[column.board] * int(amount) for column, amount in rows)


@given(problem=problems(most_sticks=3), cheaper=st.integers(0, 3))
@settings(deadline=None, max_examples=40)
def test_rows_chosen_one_after_another_give_what_the_integer_programme_gives(problem, cheaper):
    sticks = tuple(replace(stick, count=min(stick.count, 3)) for stick in problem.sticks)
    rounded = Rounded.of(replace(problem, sticks=sticks))
    never = Deadline(1000.0)
    columns = Columns(rounded)
    plan = best_fit(rounded)
    for _, row in plan:
        columns.add(row)
    master, start = Master(rounded, never), simple_worths(rounded)
    edge = relax(rounded, columns, master, never, start=start, enough=float("inf")).relaxed
    rows = Enumeration(rounded, *centred(rounded, columns, edge, never), never)
    below = plan_cost(rounded, plan)[0] - cheaper * max(1, rounded.problem.cost_step)
    some = rows.within(below - rows.proved, WIDE)
    if not len(some):
        return
    by_turns = cover(
        rounded,
        some.columns,
        rows.worths,
        rows.premiums,
        below=below,
        nodes=1_000_000,
        deadline=never,
    )
    whole = solve_whole(
        rounded, some.columns, below=below, nodes=1_000_000, seconds=100.0, every=True
    )
    assert by_turns.exhausted
    assert whole.exhausted
    assert cost_of(rounded, some, by_turns) == cost_of(rounded, some, whole)
    if by_turns.amounts is not None:
        cut = sum(
            amount * np.bincount(rounded.stick_of[list(column.row)], minlength=len(sticks))
            for column, amount in zip(some.columns, by_turns.amounts, strict=True)
        )
        assert tuple(cut) == rounded.demand


def test_a_search_cut_short_proves_nothing():
    rounded = Rounded.of(JOBS["short_10_flat_s3"].problem)
    columns = Columns(rounded)
    for _, row in best_fit(rounded):
        columns.add(row)
    zero = np.zeros(len(rounded.demand)), np.zeros(len(rounded.room))
    answer = cover(rounded, columns.columns, *zero, below=10**6, nodes=1, deadline=Deadline(1000.0))
    assert (answer.amounts, answer.exhausted) == (None, False)


@pytest.mark.parametrize("name", ["short_10_mild_s1", "short_30_mild_s1"])
def test_jobs_with_many_prices_are_settled(name):
    job = JOBS[name]
    plan = solve(job.problem, seconds=120.0)
    assert verify(job.problem, plan) == ()
    assert job.low <= plan.cost <= job.high
    assert plan.proof is Proof.ENUMERATED
