from hypothesis import given, settings

from cutlist.nest import solve, verify
from tests.nest.strategies import problems


@given(problem=problems())
@settings(deadline=None, max_examples=100)
def test_every_plan_is_right(problem):
    assert verify(problem, solve(problem)) == ()
