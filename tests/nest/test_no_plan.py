"""What is said when there is no plan."""

from dataclasses import replace

import pytest

from cutlist.errors import NoPlanError
from cutlist.nest import Board, EndFace, Problem, Saw, Stick, solve, verify


def stick(mark: str, count: int, length: float) -> Stick:
    return Stick.plain(
        mark=mark,
        count=count,
        thickness=1.5,
        depth=5.5,
        left=EndFace(at=0.0),
        right=EndFace(at=length),
    )


PROBLEM = Problem(
    size="2x6",
    thickness=1.5,
    depth=5.5,
    sticks=(stick("A", 2, 130.0), stick("B", 3, 60.0), stick("C", 1, 140.5)),
    boards=(Board(length=96.0), Board(length=120.0)),
    saw=Saw(kerf=0.125, end_trim=0.25),
    grid=1 / 64,
    length_text=lambda x: f"{x:g} in",
)


def test_all_sticks_longer_than_any_board_are_named_at_once():
    with pytest.raises(NoPlanError) as error:
        solve(PROBLEM)
    first, second = str(error.value).splitlines()
    assert first == (
        "2x6: stick A needs a board of 130.5 in (130 in long, and 0.25 in of trim at each end), and"
        " the longest is 120 in: offer a longer board, splice the stick over a bearing, or make it"
        " shorter"
    )
    assert second.startswith("2x6: stick C needs a board of 141 in")


def test_too_few_boards_on_hand():
    on_hand = (Board(length=192.0, count=2, on_hand=True),)
    with pytest.raises(NoPlanError) as error:
        solve(replace(PROBLEM, boards=on_hand))
    assert str(error.value).startswith(
        "2x6: the boards do not suffice; 2 more of 192 in would do for what is left uncut ("
    )


def test_just_enough_boards_on_hand():
    on_hand = (Board(length=192.0, count=4, on_hand=True),)
    plan = solve(replace(PROBLEM, boards=on_hand))
    assert (plan.cost, plan.bound, len(plan.boards)) == (0, 0, 4)


def test_no_boards_at_all():
    with pytest.raises(NoPlanError, match="no boards to cut"):
        solve(replace(PROBLEM, boards=()))


def test_nothing_to_cut_is_an_empty_plan():
    plan = solve(replace(PROBLEM, sticks=()))
    assert (plan.boards, plan.cost, plan.waste) == ((), 0, 0.0)


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="same mark"):
        replace(PROBLEM, sticks=(PROBLEM.sticks[0], PROBLEM.sticks[0]))
    with pytest.raises(ValueError, match="price, or none"):
        replace(PROBLEM, boards=(Board(length=96.0), Board(length=120.0, price=5)))
    with pytest.raises(ValueError, match="have a count"):
        replace(PROBLEM, boards=(Board(length=96.0, on_hand=True),))


def test_a_stick_whose_ends_cross_is_named():
    crossed = Stick.plain(
        mark="X",
        count=1,
        thickness=1.5,
        depth=5.5,
        left=EndFace(at=0.0, per_depth=1.0),
        right=EndFace(at=2.0),
    )
    problem = replace(PROBLEM, sticks=(stick("B", 3, 60.0), crossed))
    with pytest.raises(NoPlanError, match="the two ends of stick X cross within its section"):
        solve(problem)
    plan = solve(replace(PROBLEM, sticks=(stick("B", 3, 60.0),)))
    assert "the two ends of a stick cross: X" in verify(problem, plan)
