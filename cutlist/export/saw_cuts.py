"""From a board of the plan to the passes of a saw that parts it, in order.

The board is fed to the left against a stop; every pass goes through the whole section and what is
left of the blade falls off. An end of one plane is finished by its pass. Of an end of several
planes one is sawn in passing where it spares the neighbour; the others are sawn on the loose piece
(*after*). Two ends that are parallel and one kerf apart are one pass.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import asin, atan, degrees
from typing import Literal

from cutlist.nest.ends import End, EndFace, Section, long_point, mirrored, surfaces
from cutlist.nest.plan import CutBoard
from cutlist.nest.problem import Problem
from cutlist.tolerance import ON_PLANE, PARALLEL

Side = Literal["left", "right"]
Served = tuple[int, Side]
"""A piece, by its place on the board from 0, and which of its ends."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SawCut:
    """One pass of the saw, in the board's frame.

    `face` is the side of the blade toward the stop; the kerf lies behind it. `stop` is where the
    stop stands and `long_point` how far the pass reaches, both along the board [job's unit].
    `piece` is what falls off, or is sawn further where `after` is true; None where waste falls off.
    """

    face: EndFace
    stop_side: Side
    stop: float
    long_point: float
    serves: tuple[Served, ...]
    piece: int | None
    after: bool = False

    @property
    def miter(self) -> float:
        """Angle of the cut's line on the wide face from square [deg]; positive leans right.

        It leans right where it lies further right at the upper edge than at the lower.
        """
        return degrees(atan(self.face.per_depth))

    @property
    def tilt(self) -> float:
        """Angle of the blade from square to the wide face [deg]; positive leans right at the top.

        The plane's normal is (1, -per_depth, -per_thickness), not of unit length.
        """
        return degrees(asin(self.face.per_thickness / self.face.level_factor))

    def from_stop(self, y: float, z: float) -> float:
        """Return how far from the stop the blade's face crosses a line along the board.

        Negative where it crosses beyond the stop, the blade running out at the end itself.
        """
        return self._away(self.face.x(y, z))

    @property
    def reach(self) -> float:
        """How far the furthest point of the pass lies from the stop."""
        return self._away(self.long_point)

    def _away(self, x: float) -> float:
        return x - self.stop if self.stop_side == "left" else self.stop - x


@dataclass(frozen=True, kw_only=True, slots=True)
class Sawing:
    """All passes on one board, and the square length that is left behind the last."""

    cuts: tuple[SawCut, ...]
    leftover: float


def saw_board(problem: Problem, cut: CutBoard) -> Sawing:
    """Return the passes that cut a board: those through it first, then those on loose pieces."""
    bench = _Bench(
        section=(problem.depth, problem.thickness),
        kerf=problem.saw.kerf,
        left=(EndFace(at=0.0),),
        right=(EndFace(at=cut.board.length),),
    )
    ends = [(piece.laid.left, piece.laid.right) for piece in cut.pieces]
    first, last = ends[0][0], ends[-1][1]
    if not _same(first, bench.left):
        bench.through(bench.before(bench.real_left(first)[0]), serves=((0, "left"),), piece=None)
    for number, ((_, right), (left, _)) in enumerate(pairwise(ends)):
        bench.part(number, right, left)
    if _same(last, bench.right):
        bench.loose.append((bench.left, bench.right))
        leftover = 0.0
    else:
        # The plane that reaches least far leaves the longest offcut.
        face = min(bench.real(last), key=lambda f: long_point((f,), bench.section))
        bench.through(face, serves=((len(ends) - 1, "right"),), piece=len(ends) - 1)
        leftover = cut.board.length - long_point(bench.left[-1:], bench.section)
    for number, (left, right) in enumerate(ends):
        bench.finish(number, left, right)
    return Sawing(cuts=tuple(bench.cuts), leftover=max(0.0, leftover))


@dataclass(kw_only=True)
class _Bench:
    """What lies on the saw: the ends of what is left of the board, and of the pieces cut loose."""

    section: Section
    kerf: float
    left: End
    right: End
    loose: list[tuple[End, End]] = field(default_factory=list)
    cuts: list[SawCut] = field(default_factory=list)

    def real(self, right: End) -> list[EndFace]:
        """Return the planes of a right end that cut anything."""
        return [face for face, _ in surfaces(right, self.section)]

    def real_left(self, left: End) -> list[EndFace]:
        """Return the planes of a left end that cut anything."""
        return [face.mirrored() for face in self.real(mirrored(left))]

    def behind(self, face: EndFace) -> EndFace:
        """Return the blade's right side, from its left."""
        return face.moved(self.kerf * face.level_factor)

    def before(self, face: EndFace) -> EndFace:
        """Return the blade's left side, from its right."""
        return face.moved(-self.kerf * face.level_factor)

    def through(self, face: EndFace, *, serves: tuple[Served, ...], piece: int | None) -> None:
        """Saw through the board; what is left of the blade falls off."""
        self.cuts.append(
            SawCut(
                face=face,
                stop_side="left",
                stop=-long_point(mirrored(self.left), self.section),
                long_point=_reach(face, self.right, self.section),
                serves=serves,
                piece=piece,
            )
        )
        if piece is not None:
            self.loose.append((self.left, (face, *self.right)))
        self.left = (*self.left, self.behind(face))

    def part(self, number: int, right: End, left: End) -> None:
        """Part a piece from the next one, in one pass where that finishes both ends."""
        rights, lefts = self.real(right), self.real_left(left)
        one: tuple[Served, ...] = ((number, "right"),)
        next_one: tuple[Served, ...] = ((number + 1, "left"),)
        shared = [a for a in rights if any(_is_same(self.behind(a), b) for b in lefts)]
        sparing = [a for a in rights if self._room(a, right, left) > -ON_PLANE]
        early = [b for b in map(self.before, lefts) if self._room(b, right, left) > -ON_PLANE]
        if shared:
            self.through(shared[0], serves=(*one, *next_one), piece=number)
        elif sparing:
            self.through(sparing[0], serves=one, piece=number)
            self.through(self.before(lefts[0]), serves=next_one, piece=None)
        elif early:
            self.through(early[0], serves=next_one, piece=number)
        else:
            between = [self._touching(slope, right) for slope in _crossings(rights, lefts)]
            face = max(between, key=lambda f: self._room(f, right, left))
            self.through(face, serves=(), piece=number)

    def finish(self, number: int, left: End, right: End) -> None:
        """Saw the planes of a loose piece's ends that are not made yet, its right end first."""
        has_left, has_right = self.loose[number]
        for face in self.real(right):
            if not any(_is_same(face, made) for made in has_right):
                self.cuts.append(
                    SawCut(
                        face=face,
                        stop_side="left",
                        stop=-long_point(mirrored(has_left), self.section),
                        long_point=_reach(face, has_right, self.section),
                        serves=((number, "right"),),
                        piece=number,
                        after=True,
                    )
                )
                has_right = (*has_right, face)
        for face in self.real_left(left):
            if not any(_is_same(face, made) for made in has_left):
                self.cuts.append(
                    SawCut(
                        face=face,
                        stop_side="right",
                        stop=long_point(has_right, self.section),
                        long_point=-_reach(face.mirrored(), mirrored(has_left), self.section),
                        serves=((number, "left"),),
                        piece=number,
                        after=True,
                    )
                )
                has_left = (*has_left, face)

    def _room(self, face: EndFace, right: End, left: End) -> float:
        """Return how clear a pass is of the ends on its two sides; negative where it cuts in."""
        before = min(
            face.x(y, z) - end.x(y, z)
            for end, part in surfaces(right, self.section)
            for y, z in part
        )
        after = min(
            -end.x(y, z) - self.behind(face).x(y, z)
            for end, part in surfaces(mirrored(left), self.section)
            for y, z in part
        )
        return min(before, after)

    def _touching(self, slope: EndFace, right: End) -> EndFace:
        """Return the plane of a slope that just touches a right end."""
        return slope.moved(
            max(
                end.x(y, z) - slope.x(y, z)
                for end, part in surfaces(right, self.section)
                for y, z in part
            )
        )


def _reach(face: EndFace, end: End, section: Section) -> float:
    """Return how far a new plane reaches along the stick where it cuts an end that is there."""
    return max(
        plane.x(y, z)
        for plane, part in surfaces((*end, face), section)
        if plane is face
        for y, z in part
    )


def _crossings(rights: Iterable[EndFace], lefts: Iterable[EndFace]) -> Iterator[EndFace]:
    """Return the slopes that lie both between two planes of one end and two of the other.

    A plane that parts two convex ends where an edge of one meets an edge of the other has a slope
    between those of the two planes at either edge.
    """
    for (a, b), (c, d) in (
        (one, other) for one in combinations(rights, 2) for other in combinations(lefts, 2)
    ):
        ux, uy = b.per_depth - a.per_depth, b.per_thickness - a.per_thickness
        vx, vy = d.per_depth - c.per_depth, d.per_thickness - c.per_thickness
        turn = ux * vy - uy * vx
        if abs(turn) < PARALLEL:
            continue
        wx, wy = c.per_depth - a.per_depth, c.per_thickness - a.per_thickness
        share = (wx * vy - wy * vx) / turn
        yield EndFace(
            at=0.0, per_depth=a.per_depth + share * ux, per_thickness=a.per_thickness + share * uy
        )


def _same(end: End, other: End) -> bool:
    return len(end) == len(other) == 1 and _is_same(end[0], other[0])


def _is_same(face: EndFace, other: EndFace) -> bool:
    return (
        abs(face.at - other.at) < ON_PLANE
        and abs(face.per_depth - other.per_depth) < PARALLEL
        and abs(face.per_thickness - other.per_thickness) < PARALLEL
    )
