"""The nesting problem: sticks with their ends, boards to cut them from, and the saw.

- A stick lies on a board in one of a few *ways*: as it is drawn, or turned end for end about its
  depth, so that its top edge stays on the board's crown edge. Where the crown does not matter it
  may also be flipped (bottom edge up) or rotated (both). All are half turns, so a left-hand part
  stays a left-hand part.
- Neighbours on a board keep the kerf between them, measured square to each of their cuts, at
  every point of the section (`ends.gap`). The extreme points of the first and the last stick
  keep the end trim.
- Every stick is cut once for each of its count. A board cuts no more often than its count.
- A plan costs what its bought boards cost: their prices, or their lengths where none are given.
  Boards on hand cost nothing. Of the cheapest plans, one with the fewest boards is wanted, and
  of those the one with the longest single offcut.
- Costs are compared on a grid of lengths: what sticks and gaps take is rounded up to it and what
  boards give is rounded down, so that a plan that fits on the grid fits in wood. "Cheapest" means
  cheapest among the plans that fit on the grid.

Lengths are in the job's unit, money in its smallest coin.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from functools import reduce
from itertools import product
from math import gcd

from cutlist.nest.ends import End, EndFace, long_point, mean_reach, mirrored, moved
from cutlist.tolerance import SAME_POINT

Ring = tuple[tuple[float, float], ...]
"""A closed outline as (x, y), counter-clockwise, its first point not repeated."""


class Way(Enum):
    """How a stick lies on a board, against how it is drawn."""

    AS_DRAWN = "as drawn"
    TURNED = "turned"
    """Half a turn about the depth: end for end, the other face up, top edge stays."""
    FLIPPED = "flipped"
    """Half a turn about the length: top edge down, the other face up, ends stay."""
    ROTATED = "rotated"
    """Half a turn about the thickness: end for end and top edge down, same face up."""

    @property
    def turned(self) -> bool:
        """Whether the stick's left end lies on the right."""
        return self in (Way.TURNED, Way.ROTATED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Stick:
    """A part to be cut, and how many of it.

    Its frame has x along it, y from the bottom edge (0) to the top edge (depth) and z from the
    far face (0) to the near face (thickness); x = 0 may be anywhere. It lies where x is at least
    that of every `left` face and at most that of every `right` face. `near` and `far` are the
    outlines of the two faces, notches and all. A stick that is not `crowned` may have either edge
    up, whatever the saw's rule.
    """

    mark: str
    count: int
    thickness: float
    depth: float
    left: End
    right: End
    near: Ring
    far: Ring
    crowned: bool = True

    @classmethod
    def plain(
        cls,
        *,
        mark: str,
        count: int,
        thickness: float,
        depth: float,
        left: EndFace,
        right: EndFace,
        crowned: bool = True,
    ) -> "Stick":
        """Make a stick with one plane at each end and no notches; outlines follow from these."""
        near, far = (
            (
                (left.x(0.0, z), 0.0),
                (right.x(0.0, z), 0.0),
                (right.x(depth, z), depth),
                (left.x(depth, z), depth),
            )
            for z in (thickness, 0.0)
        )
        return cls(
            mark=mark,
            count=count,
            thickness=thickness,
            depth=depth,
            left=(left,),
            right=(right,),
            near=near,
            far=far,
            crowned=crowned,
        )

    def __post_init__(self) -> None:
        if self.count < 1:
            raise ValueError(f"stick {self.mark}: count must be at least 1, not {self.count}")
        if not self.left or not self.right:
            raise ValueError(f"stick {self.mark}: has no left or no right end face")

    @property
    def section(self) -> tuple[float, float]:
        """Depth and thickness."""
        return self.depth, self.thickness

    @property
    def is_whole(self) -> bool:
        """Whether its right end lies beyond its left end over the whole section."""
        corners = product((0.0, self.depth), (0.0, self.thickness))
        return all(
            right.x(y, z) - left.x(y, z) > -SAME_POINT
            for (y, z), right, left in product(corners, self.right, self.left)
        )

    @property
    def start(self) -> float:
        """The leftmost x of the stick."""
        return -long_point(mirrored(self.left), self.section)

    @property
    def end(self) -> float:
        """The rightmost x of the stick."""
        return long_point(self.right, self.section)

    @property
    def length(self) -> float:
        """Length of the shortest square-ended stick that it can be cut from."""
        return self.end - self.start

    @property
    def mean_length(self) -> float:
        """Length of a square-ended stick of the same volume, notches not counted."""
        return mean_reach(self.right, self.section) + mean_reach(mirrored(self.left), self.section)

    def ends(self, way: Way) -> tuple[End, End]:
        """Return the left and the right end of the stick as it lies in a way, about its origin."""
        if way is Way.AS_DRAWN:
            return self.left, self.right
        x = -1.0 if way.turned else 1.0
        flips_depth = way in (Way.FLIPPED, Way.ROTATED)
        flips_thickness = way in (Way.TURNED, Way.FLIPPED)
        y = -1.0 if flips_depth else 1.0
        z = -1.0 if flips_thickness else 1.0
        corner = self.depth * flips_depth, self.thickness * flips_thickness
        left, right = (
            tuple(
                EndFace(
                    at=x * face.x(*corner),
                    per_depth=x * y * face.per_depth,
                    per_thickness=x * z * face.per_thickness,
                )
                for face in end
            )
            for end in (self.left, self.right)
        )
        return (right, left) if way.turned else (left, right)

    def laid(self, way: Way, at: float = 0.0) -> "Stick":
        """Return the stick as it lies in a way, its frame's origin moved to `at` on the board."""
        depth = self.depth
        left, right = self.ends(way)

        def ring(points: Ring) -> Ring:
            match way:
                case Way.AS_DRAWN:
                    return tuple((x + at, y) for x, y in points)
                case Way.TURNED:
                    return tuple((at - x, y) for x, y in reversed(points))
                case Way.FLIPPED:
                    return tuple((x + at, depth - y) for x, y in reversed(points))
                case Way.ROTATED:
                    return tuple((at - x, depth - y) for x, y in points)

        swaps_faces = way in (Way.TURNED, Way.FLIPPED)
        near, far = (self.far, self.near) if swaps_faces else (self.near, self.far)
        return replace(
            self,
            left=moved(left, at),
            right=moved(right, at),
            near=ring(near),
            far=ring(far),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Board:
    """One length of lumber that the yard sells or that is on hand.

    `price` is in the smallest coin; None where no prices are given. `count` is how many there
    are; None means as many as one likes.
    """

    length: float
    price: int | None = None
    count: int | None = None
    on_hand: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Saw:
    """What the saw and the shop ask for.

    `kerf` is the width of the cut; `end_trim` is cut off both ends of a board before use; an
    offcut of at least `keep_offcut` is kept. With `crown_up` every stick keeps its top edge on
    the board's crown edge.
    """

    kerf: float
    end_trim: float = 0.0
    keep_offcut: float = float("inf")
    crown_up: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """The sticks of one lumber size and the boards to cut them from.

    `size` names the lumber in messages. `grid` is the step of length on which plans are compared
    (1/64 in, 0.1 mm). `length_text` writes a length for a message.
    """

    size: str
    thickness: float
    depth: float
    sticks: tuple[Stick, ...]
    boards: tuple[Board, ...]
    saw: Saw
    grid: float
    length_text: Callable[[float], str] = "{:g}".format

    def __post_init__(self) -> None:
        marks = [stick.mark for stick in self.sticks]
        if len(set(marks)) < len(marks):
            raise ValueError(f"{self.size}: two sticks have the same mark")
        if any((s.depth, s.thickness) != (self.depth, self.thickness) for s in self.sticks):
            raise ValueError(f"{self.size}: a stick has another section than the boards")
        if len({board.price is None for board in self.boards if not board.on_hand}) > 1:
            raise ValueError(f"{self.size}: either every board sold has a price, or none")
        if any(board.on_hand and board.count is None for board in self.boards):
            raise ValueError(f"{self.size}: boards on hand have a count")

    def ways(self, stick: Stick) -> tuple[Way, ...]:
        """Return the ways in which a stick may lie."""
        return (Way.AS_DRAWN, Way.TURNED) if self.saw.crown_up and stick.crowned else tuple(Way)

    @property
    def priced(self) -> bool:
        """Whether costs are money; else they are lengths in steps of the grid."""
        return any(board.price is not None for board in self.boards if not board.on_hand)

    def cost(self, board: Board) -> int:
        """Return what one such board adds to the cost of a plan."""
        if board.on_hand:
            return 0
        return round(board.length / self.grid) if board.price is None else board.price

    @property
    def cost_step(self) -> int:
        """The greatest number that divides the cost of every plan (0 if nothing costs)."""
        return reduce(gcd, map(self.cost, self.boards), 0)
