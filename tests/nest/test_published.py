"""Published optima of classical instances; sources in fixtures/cutting_stock/SOURCES.md.

A few that are quick; `python -m tests.benchmarks.nesting --all` runs every instance there is.
"""

import pytest

from cutlist.nest import Proof, solve, verify
from tests.benchmarks.instances import FIXTURES, angled, classical, several_lengths

QUICK = {
    "falkenauer_t": [0, 20],
    "falkenauer_u": [0, 20],
    "scholl_1": [0, 300, 700],
    "scholl_2": [5, 250],
    "schwerin_1": [0, 50],
    "schwerin_2": [0, 50],
}


@pytest.mark.parametrize(("name", "number"), [(n, i) for n in QUICK for i in QUICK[n]])
def test_the_published_number_of_boards(name, number):
    instance = list(classical(FIXTURES / f"{name}.txt.gz"))[number]
    plan = solve(instance.problem)
    assert plan.cost == plan.bound == instance.high
    assert verify(instance.problem, plan) == ()


@pytest.mark.parametrize("number", [0, 3, 20, 33, 58])
def test_the_known_cost_of_boards_of_several_lengths(number):
    instance = list(several_lengths(FIXTURES / "several_lengths.txt.gz"))[number]
    plan = solve(instance.problem)
    assert plan.cost == plan.bound == instance.low == instance.high
    assert verify(instance.problem, plan) == ()


@pytest.mark.parametrize("number", [0, 1, 2, 3, 5, 6, 12, 13])
def test_the_known_optimum_of_an_angled_job(number):
    instance = list(angled(FIXTURES / "rafter_jobs.json.gz"))[number]
    plan = solve(instance.problem)
    assert plan.proof is not Proof.OPEN
    assert plan.cost == instance.low == instance.high
    assert verify(instance.problem, plan) == ()
