"""The judge finds what is wrong: each test spoils a right plan in one way."""

from dataclasses import replace

import pytest

from cutlist.nest import Board, EndFace, Piece, Problem, Proof, Saw, Stick, Way, solve, verify

PITCH = 5 / 12


def rafter(mark: str, count: int, length: float) -> Stick:
    return Stick.plain(
        mark=mark,
        count=count,
        thickness=1.5,
        depth=7.25,
        left=EndFace(at=0.0, per_depth=PITCH),
        right=EndFace(at=length, per_depth=PITCH / 2),
    )


PROBLEM = Problem(
    size="2x8",
    thickness=1.5,
    depth=7.25,
    sticks=(rafter("A", 5, 60.0), rafter("B", 4, 37.5), rafter("C", 2, 81.25)),
    boards=(
        Board(length=120.0, price=890),
        Board(length=192.0, price=1560),
        Board(length=110.0, count=1, on_hand=True),
    ),
    saw=Saw(kerf=0.125, end_trim=0.25, keep_offcut=24.0),
    grid=1 / 64,
)
PLAN = solve(PROBLEM)


def spoilt(board: int, **changes):
    boards = list(PLAN.boards)
    boards[board] = replace(boards[board], **changes)
    return replace(PLAN, boards=tuple(boards))


def fullest() -> int:
    return max(range(len(PLAN.boards)), key=lambda b: len(PLAN.boards[b].pieces))


def findings(plan) -> str:
    return "\n".join(verify(PROBLEM, plan))


def test_the_plan_itself_is_right():
    assert verify(PROBLEM, PLAN) == ()


def test_a_stick_left_out():
    b = fullest()
    assert "times, not" in findings(spoilt(b, pieces=PLAN.boards[b].pieces[:-1]))


def test_a_stick_cut_twice():
    assert "times, not" in findings(replace(PLAN, boards=(*PLAN.boards, PLAN.boards[0])))


@pytest.mark.parametrize("by", [-0.001, -0.1, -3.0])
def test_a_neighbour_too_near(by):
    b = fullest()
    *most, last = PLAN.boards[b].pieces
    plan = spoilt(b, pieces=(*most, replace(last, at=last.at + by)))
    assert "not a kerf apart" in findings(plan) or "overlap" in findings(plan)


def test_a_stick_in_the_trim():
    b = fullest()
    first, *rest = PLAN.boards[b].pieces
    plan = spoilt(b, pieces=(replace(first, at=first.at - 0.01), *rest))
    assert "beyond the trimmed board" in findings(plan)


def test_pieces_out_of_order():
    b = fullest()
    plan = spoilt(b, pieces=tuple(reversed(PLAN.boards[b].pieces)))
    assert "lies before" in findings(plan)


def test_the_wrong_edge_up():
    b = fullest()
    first, *rest = PLAN.boards[b].pieces
    flipped = Piece(stick=first.stick, way=Way.FLIPPED, at=first.at)
    assert "the crown forbids" in findings(spoilt(b, pieces=(flipped, *rest)))


def test_another_shape():
    b = fullest()
    first, *rest = PLAN.boards[b].pieces
    shorter = rafter(first.mark, first.stick.count, 20.0)
    plan = spoilt(b, pieces=(replace(first, stick=shorter), *rest))
    assert "another shape" in findings(plan)


def test_an_outline_beyond_its_ends():
    stick = replace(PROBLEM.sticks[0], near=((-5.0, 0.0), (60.0, 0.0), (60.0, 7.25), (-5.0, 7.25)))
    problem = replace(PROBLEM, sticks=(stick, *PROBLEM.sticks[1:]))
    assert any("reaches beyond its ends" in finding for finding in verify(problem, PLAN))


def test_more_boards_than_there_are():
    b = next(i for i, cut in enumerate(PLAN.boards) if not cut.board.on_hand)
    on_hand = PROBLEM.boards[2]
    plan = replace(
        PLAN,
        boards=tuple(
            replace(cut, board=on_hand) if i == b or cut.board.on_hand else cut
            for i, cut in enumerate(PLAN.boards)
        ),
    )
    used = sum(cut.board == on_hand for cut in plan.boards)
    assert used < 2 or "are cut, and there are 1" in findings(plan)
    three = replace(PLAN, boards=tuple(replace(cut, board=on_hand) for cut in PLAN.boards))
    assert "are cut, and there are 1" in findings(three)


def test_a_wrong_cost_leftover_or_claim():
    assert "the boards cost" in findings(replace(PLAN, cost=PLAN.cost - 1))
    assert "over, not" in findings(spoilt(0, leftover=PLAN.boards[0].leftover + 1.0))
    assert "above the cost" in findings(replace(PLAN, bound=PLAN.cost + 1))
    assert "its bound is not its cost" in findings(replace(PLAN, bound=PLAN.bound - 1))


def spoilt_certificate(**changes) -> str:
    return findings(replace(PLAN, certificate=replace(PLAN.certificate, **changes)))


def test_the_certificate_fails_when_tampered_with():
    certificate = PLAN.certificate
    assert PLAN.proof is Proof.CERTIFIED
    higher = {mark: price * 2 for mark, price in certificate.stick_prices.items()}
    assert "worth more than it costs" in spoilt_certificate(stick_prices=higher)
    lower = {mark: price // 2 for mark, price in certificate.stick_prices.items()}
    assert "the certificate proves" in spoilt_certificate(stick_prices=lower)
    assert "the certificate proves" in spoilt_certificate(scale=certificate.scale * 2)
    assert "worth more" in spoilt_certificate(scale=certificate.scale // 2)
    some = dict(list(certificate.stick_prices.items())[1:])
    assert "does not price exactly" in spoilt_certificate(stick_prices=some)
    premiums = certificate.board_premiums
    assert "board without limit" in spoilt_certificate(board_premiums=(1, *premiums[1:]))
    assert "not one premium" in spoilt_certificate(board_premiums=premiums[1:])
    negative = dict(certificate.stick_prices, A=-1)
    assert "whole numbers" in spoilt_certificate(stick_prices=negative)


@pytest.mark.parametrize("mark", ["A", "B", "C"])
def test_one_price_raised_is_enough_to_fail(mark):
    """Prices of a proved optimum are tight: no stick can be priced a tenth higher."""
    prices = dict(PLAN.certificate.stick_prices)
    prices[mark] = prices[mark] * 11 // 10 + PLAN.certificate.scale
    assert "worth more than it costs" in spoilt_certificate(stick_prices=prices)
