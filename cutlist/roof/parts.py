"""From members to parts: one mark for all sticks of one shape, hands told apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from cutlist.geometry.outline import Outline
from cutlist.geometry.stick import Stick
from cutlist.lumber import Size
from cutlist.roof.member import Member, Role
from cutlist.tolerance import SAME_SHAPE

Hand = Literal["left", "right", ""]

MARK_LETTERS: dict[Role, str] = {
    "common": "C",
    "hip": "H",
    "valley": "V",
    "valley-plate": "VP",
    "head-plate": "HP",
    "hip-jack": "J",
    "valley-jack": "VJ",
    "cripple-jack": "CJ",
    "barge": "B",
    "ridge": "R",
    "ledger": "L",
}


@dataclass(frozen=True, kw_only=True)
class Part:
    """Sticks of one shape: the mark written on them and all the members cut to it."""

    mark: str
    hand: Hand
    members: tuple[Member, ...]

    @property
    def member(self) -> Member:
        """One member that stands for all."""
        return self.members[0]

    @property
    def stick(self) -> Stick:
        """The shape."""
        return self.member.stick

    @property
    def role(self) -> Role:
        """What it is for."""
        return self.member.role

    @property
    def size(self) -> Size:
        """The lumber it is cut from."""
        return self.member.size

    @property
    def count(self) -> int:
        """How many are cut."""
        return len(self.members)


def group_parts(members: Iterable[Member]) -> tuple[Part, ...]:
    """Return the parts of a roof, in the order in which their first members come.

    A shape and its mirror image share a number: J3L is the left hand of J3R.
    """
    shapes: list[list[Member]] = []
    for member in members:
        for alike in shapes:
            if _is_alike(alike[0], member) and _same(alike[0].stick, member.stick):
                alike.append(member)
                break
        else:
            shapes.append([member])
    numbers: dict[Role, int] = {}
    marks: list[str] = []
    for i, (first, *_) in enumerate(shapes):
        hand = hand_of(first.stick)
        twin = next(
            (
                j
                for j, (other, *_) in enumerate(shapes[:i])
                if hand and _is_alike(other, first) and _mirrored(other.stick, first.stick)
            ),
            None,
        )
        if twin is None:
            numbers[first.role] = numbers.get(first.role, 0) + 1
            marks.append(f"{MARK_LETTERS[first.role]}{numbers[first.role]}")
        else:
            marks.append(marks[twin].rstrip("LR"))
        marks[i] += hand[:1].upper()
    return tuple(
        Part(mark=mark, hand=hand_of(shape[0].stick), members=tuple(shape))
        for mark, shape in zip(marks, shapes, strict=True)
    )


def hand_of(stick: Stick) -> Hand:
    """Return the side of the head's long point, seen from above looking from foot to head.

    A head with no long point gives way to the foot; a stick alike on both sides has no hand.
    """
    if stick.is_square_to_face or _mirrored(stick, stick):
        return ""
    near, far = (max(x for x, _ in o.points) for o in (stick.near, stick.far))
    if abs(near - far) < SAME_SHAPE:
        far, near = (min(x for x, _ in o.points) for o in (stick.near, stick.far))
    return "right" if near > far else "left"


def _is_alike(one: Member, other: Member) -> bool:
    """Tell whether two members could share a part, before their shapes are looked at."""
    return (
        one.role == other.role
        and one.size == other.size
        and abs(one.stick.length - other.stick.length) < SAME_SHAPE
    )


def _same(one: Stick, other: Stick) -> bool:
    return one.cuts == other.cuts or (
        len(one.outlines) == len(other.outlines)
        and all(map(_same_outline, one.outlines, other.outlines))
    )


def _mirrored(one: Stick, other: Stick) -> bool:
    """Tell whether one stick is the other seen in a mirror along its wide face."""
    return len(one.outlines) == len(other.outlines) and all(
        map(_same_outline, one.outlines, reversed(other.outlines))
    )


def _same_outline(one: Outline, other: Outline) -> bool:
    return len(one.points) == len(other.points) and all(
        abs(ax - bx) < SAME_SHAPE and abs(ay - by) < SAME_SHAPE
        for (ax, ay), (bx, by) in zip(one.points, other.points, strict=True)
    )
