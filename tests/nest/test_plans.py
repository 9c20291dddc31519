"""What every plan must be, on random problems."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from cutlist.nest import Board, EndFace, Problem, Proof, Saw, Stick, solve, verify
from tests.benchmarks.instances import boxed
from tests.nest.brute_force import cheapest
from tests.nest.strategies import DEPTH, GRID, THICKNESS, problems

slow = settings(deadline=None, max_examples=40, suppress_health_check=list(HealthCheck))


@given(problem=problems())
@slow
def test_every_plan_is_right(problem):
    plan = solve(problem)
    assert verify(problem, plan) == ()
    assert plan.certified_bound <= plan.bound <= plan.cost
    assert plan.proof is not Proof.OPEN


@given(problem=problems(most_sticks=3))
@slow
def test_nothing_cheaper_is_found_by_trying_everything(problem):
    assume(sum(stick.count for stick in problem.sticks) <= 5)
    plan = solve(problem)
    assert plan.proof is not Proof.OPEN
    assert plan.cost == cheapest(problem)


@given(problem=problems())
@slow
def test_box_nesting_is_never_cheaper(problem):
    """Each stick as its bounding length, apart by the widest kerf there is."""
    assert solve(problem).cost <= solve(boxed(problem)).cost


@given(problem=problems())
@settings(slow, max_examples=10)
def test_the_same_problem_has_the_same_plan(problem):
    assert solve(problem) == solve(problem)


@given(
    capacity=st.integers(20, 60),
    widths=st.dictionaries(st.integers(3, 20), st.integers(1, 4), min_size=1, max_size=6),
)
@settings(slow, max_examples=25)
def test_square_ends_are_the_classical_problem(capacity, widths):
    """A general-purpose constraint solver finds the same number of boards."""
    plan = solve(square(capacity, widths))
    assert plan.proof is not Proof.OPEN
    assert plan.cost == fewest_bins(capacity, [w for w, n in widths.items() for _ in range(n)])


@given(widths=st.dictionaries(st.integers(3, 28), st.integers(1, 2), min_size=2, max_size=4))
@settings(slow, max_examples=25)
def test_no_plan_of_the_same_cost_has_fewer_boards(widths):
    def priced(*prices):
        lengths = zip((12.0, 20.0, 32.0), prices, strict=True)
        return tuple(Board(length=length, price=price) for length, price in lengths)

    assume(sum(widths.values()) <= 6)
    problem = square(32, widths)
    plan = solve(replace(problem, boards=priced(12, 20, 32)))
    # With one more charged for each board, cost and boards are told by one number.
    both = cheapest(replace(problem, boards=priced(1201, 2001, 3201)))
    assert 100 * plan.cost + len(plan.boards) == both


def square(capacity: int, widths: dict[int, int]) -> Problem:
    return Problem(
        size="board",
        thickness=THICKNESS,
        depth=DEPTH,
        sticks=tuple(
            Stick.plain(
                mark=f"W{width}",
                count=count,
                thickness=THICKNESS,
                depth=DEPTH,
                left=EndFace(at=0.0),
                right=EndFace(at=float(width)),
            )
            for width, count in widths.items()
        ),
        boards=(Board(length=float(capacity), price=1),),
        saw=Saw(kerf=0.0),
        grid=1.0,
    )


def fewest_bins(capacity: int, widths: list[int]) -> int:
    cp_model = pytest.importorskip("ortools.sat.python.cp_model")
    model = cp_model.CpModel()
    bins = range(len(widths))
    used = [model.new_bool_var(f"u{b}") for b in bins]
    into = [[model.new_bool_var(f"x{i}_{b}") for b in bins] for i in range(len(widths))]
    for row in into:
        model.add_exactly_one(row)
    for b in bins:
        load = sum(width * row[b] for width, row in zip(widths, into, strict=True))
        model.add(load <= capacity * used[b])
    for b in bins[1:]:
        model.add(used[b] <= used[b - 1])
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def test_parallel_plumb_cuts_share_their_kerf():
    """Two 5-in-12 rafters on a board that just holds them nested, in lengths worked out by hand.

    Long points overlap by the plumb cut's slant: 2 x 60 + 7.25 x 5/12 + 1/8 x 13/12.
    """
    rafter = Stick.plain(
        mark="C1",
        count=2,
        thickness=THICKNESS,
        depth=DEPTH,
        left=EndFace(at=0.0, per_depth=5 / 12),
        right=EndFace(at=60.0, per_depth=5 / 12),
    )
    length = 2 * 60.0 + 7.25 * 5 / 12 + 0.125 * 13 / 12
    job = Problem(
        size="2x8",
        thickness=THICKNESS,
        depth=DEPTH,
        sticks=(rafter,),
        boards=(Board(length=length + 3 * GRID, price=100),),
        saw=Saw(kerf=0.125),
        grid=GRID,
    )
    plan = solve(job)
    assert plan.cost == 100
    assert plan.boards[0].pieces[-1].end == pytest.approx(length)
    short = solve(replace(job, boards=(Board(length=length - GRID, price=100),)))
    assert short.cost == 200


@given(
    capacity=st.integers(20, 60),
    widths=st.dictionaries(st.integers(3, 20), st.integers(1, 3), min_size=1, max_size=5),
)
@settings(slow, max_examples=20)
def test_the_longest_offcut_is_one_that_can_be_had(capacity, widths):
    """No offcut is longer than what all boards leave together, and none shorter than its share."""
    plan = solve(square(capacity, widths))
    rest = capacity * len(plan.boards) - sum(width * n for width, n in widths.items())
    longest = max(cut.leftover for cut in plan.boards)
    assert rest / len(plan.boards) <= longest + 1e-6 <= rest + 2e-6
    if sum(widths.values()) <= 6:
        assert longest == pytest.approx(longest_offcut(capacity, widths, len(plan.boards)))


def longest_offcut(capacity: int, widths: dict[int, int], boards: int) -> int:
    """Return the longest offcut of any plan with so many boards, by trying everything."""
    sticks = [width for width, n in widths.items() for _ in range(n)]
    best = 0
    for places in product(range(boards), repeat=len(sticks)):
        loads = [0] * boards
        for place, width in zip(places, sticks, strict=True):
            loads[place] += width
        if max(loads) <= capacity and min(loads):
            best = max(best, capacity - min(loads))
    return best
