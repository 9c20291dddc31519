"""A board plan: which boards are cut, what lies on each, what it costs and what is proved."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from cutlist.nest.problem import Board, Problem, Ring, Stick, Way


class Proof(Enum):
    """What is known about plans cheaper than this one."""

    CERTIFIED = "certified"
    """There is none, and the certificate proves it to anyone in exact arithmetic."""
    ENUMERATED = "optimal by enumeration"
    """There is none: all that could be part of one were listed and an integer programme over
    the list found nothing. Rests on the solver's floating point."""
    OPEN = "open"
    """One may exist, but none below the bound."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Certificate:
    """Prices for sticks, from which a bound on the cost of every plan follows.

    Give each stick `stick_prices[mark] / scale` and let no board carry sticks worth more than
    its own cost plus `board_premiums[board] / scale`. Then a plan that cuts all sticks costs at
    least what the sticks are worth less the premiums of all boards that there are. Only boards
    of which there is a limited count have a premium. All numbers are whole and not negative;
    `board_premiums` goes by the problem's boards in order.
    """

    scale: int
    stick_prices: dict[str, int]
    board_premiums: tuple[int, ...]

    def bound(self, problem: Problem) -> Fraction:
        """Return the bound that follows if the prices are fair (`verify` checks that they are)."""
        worth = sum(stick.count * self.stick_prices[stick.mark] for stick in problem.sticks)
        premiums = sum(
            premium * (board.count or 0)
            for board, premium in zip(problem.boards, self.board_premiums, strict=True)
        )
        return Fraction(worth - premiums, self.scale)


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """One stick as it lies on a board: the way, and the board x at which its frame's x = 0 lies."""

    stick: Stick
    way: Way
    at: float

    @property
    def mark(self) -> str:
        """The stick's mark."""
        return self.stick.mark

    @property
    def laid(self) -> Stick:
        """The stick in the board's frame."""
        return self.stick.laid(self.way, self.at)

    @property
    def start(self) -> float:
        """The piece's leftmost point, measured from the board's start."""
        return self.laid.start

    @property
    def end(self) -> float:
        """The piece's rightmost point, measured from the board's start."""
        return self.laid.end

    @property
    def turned(self) -> bool:
        """Whether it lies end for end."""
        return self.way.turned

    @property
    def near(self) -> Ring:
        """Outline of the face that lies up, in the board's frame."""
        return self.laid.near

    @property
    def far(self) -> Ring:
        """Outline of the face that lies down, in the board's frame, seen from above."""
        return self.laid.far


@dataclass(frozen=True, kw_only=True, slots=True)
class CutBoard:
    """One board of the plan, its pieces in cutting order.

    `leftover` is the square length that is left behind the last cut, end trim included.
    """

    board: Board
    pieces: tuple[Piece, ...]
    leftover: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """Boards cut so that every stick is made.

    `cost` and `bound` are in the smallest coin, or in steps of the grid where boards have no
    prices. No plan costs less than `bound`; `certified_bound` is the part of that claim which the
    certificate proves by itself (they differ only where the proof is by enumeration).
    """

    problem: Problem
    boards: tuple[CutBoard, ...]
    cost: int
    bound: int
    certified_bound: int
    proof: Proof
    certificate: Certificate

    @property
    def gap(self) -> float:
        """By what share of its cost the plan could at most be beaten (0 when proven)."""
        return (self.cost - self.bound) / self.cost if self.cost else 0.0

    @property
    def stock_length(self) -> float:
        """Length of all boards cut into, bought and on hand."""
        return sum(cut.board.length for cut in self.boards)

    @property
    def parts_length(self) -> float:
        """Length of square-ended board that has the volume of all pieces, notches not counted."""
        return sum(piece.stick.mean_length for cut in self.boards for piece in cut.pieces)

    @property
    def offcuts(self) -> tuple[float, ...]:
        """Leftovers long enough to be kept, longest first."""
        keep = self.problem.saw.keep_offcut
        return tuple(
            sorted((cut.leftover for cut in self.boards if cut.leftover >= keep), reverse=True)
        )

    @property
    def waste(self) -> float:
        """Share of the boards cut into that ends neither in a part nor in a kept offcut."""
        if not self.boards:
            return 0.0
        return 1.0 - (self.parts_length + sum(self.offcuts)) / self.stock_length
