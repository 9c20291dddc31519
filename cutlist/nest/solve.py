"""The one way in: a problem becomes a plan."""

from collections import Counter

from cutlist.errors import NoPlanError
from cutlist.nest.greedy import Layout
from cutlist.nest.plan import Certificate, Plan, Proof
from cutlist.nest.problem import Problem
from cutlist.nest.rounded import Rounded, board_room, steps_up
from cutlist.nest.search import search


def solve(problem: Problem, *, seconds: float = 20.0) -> Plan:
    """Return the cheapest plan that can be found, with what is proved about cheaper ones.

    The search stops by itself when it has its proof, and after about `seconds` if not.

    Raises NoPlanError if a stick is longer than every board, if its two ends cross, or if the
    boards are too few; the message has a line for each reason.
    """
    if not problem.sticks:
        return _nothing_to_cut(problem)
    _check_sticks(problem)
    rounded = Rounded.of(problem)
    found = search(rounded, seconds)
    _check_supply(rounded, found.layout)
    return Plan(
        problem=problem,
        boards=tuple(rounded.cut(board, row) for board, row in found.layout),
        cost=found.cost,
        bound=found.bound,
        certified_bound=found.certified_bound,
        proof=found.proof,
        certificate=found.certificate,
    )


def _nothing_to_cut(problem: Problem) -> Plan:
    nothing = Certificate(scale=1, stick_prices={}, board_premiums=tuple(0 for _ in problem.boards))
    return Plan(
        problem=problem,
        boards=(),
        cost=0,
        bound=0,
        certified_bound=0,
        proof=Proof.CERTIFIED,
        certificate=nothing,
    )


def _check_sticks(problem: Problem) -> None:
    """Raise NoPlanError naming every stick that no board can hold, or that does not part others.

    Where the ends of a stick cross, its neighbours could meet in the corner that it leaves empty.
    """
    text, trim = problem.length_text, problem.saw.end_trim
    if not problem.boards:
        raise NoPlanError(
            f"{problem.size}: there are no boards to cut; name the lengths that the yard sells"
        )
    room = max(board_room(problem, board) for board in problem.boards)
    longest = text(max(board.length for board in problem.boards))
    reasons = [
        f"{problem.size}: the two ends of stick {stick.mark} cross within its section, so that it"
        " has not the full depth and thickness anywhere: make it longer, or leave it out and cut"
        " it from an offcut"
        for stick in problem.sticks
        if not stick.is_whole
    ]
    reasons += [
        f"{problem.size}: stick {stick.mark} needs a board of {text(stick.length + 2 * trim)}"
        f" ({text(stick.length)} long, and {text(trim)} of trim at each end), and the longest is"
        f" {longest}: offer a longer board, splice the stick over a bearing, or make it shorter"
        for stick in problem.sticks
        if steps_up(stick.length, problem.grid) > room
    ]
    if reasons:
        raise NoPlanError("\n".join(reasons))


def _check_supply(rounded: Rounded, layout: Layout) -> None:
    """Raise NoPlanError saying what is missing if the plan uses boards that are not there."""
    problem = rounded.problem
    missing = [row for board, row in layout if board == rounded.problem_boards]
    if not missing:
        return
    uncut = Counter(problem.sticks[rounded.lays[i].stick].mark for row in missing for i in row)
    sticks = ", ".join(f"{count} x {mark}" for mark, count in sorted(uncut.items()))
    longest = problem.length_text(max(board.length for board in problem.boards))
    raise NoPlanError(
        f"{problem.size}: the boards do not suffice; {len(missing)} more of {longest} would do"
        f" for what is left uncut ({sticks}): put more boards on hand, or name lengths to buy"
    )
