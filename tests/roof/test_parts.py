"""Marks and hands: one mark for all sticks of one shape, mirrored ones told apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutlist.geometry.space import UP, Frame, Plane, Vector
from cutlist.geometry.stick import Stick, end_cut
from cutlist.lumber import Size
from cutlist.roof.member import Member, Role
from cutlist.roof.parts import Part, group_parts, hand_of
from tests.jobs import GABLE, roof_of

SIZE = Size("2x8", 1.5, 7.25)
FLAT = Frame.along(Vector(0, 0, 0), Vector(1, 0, 0), UP)  # its near face looks toward -y


def stick(*heads: tuple[float, float], foot: float = 0.0, length: float = 100.0) -> Stick:
    """Return a stick whose head planes have these slants up the depth and toward the near face."""
    cuts = [end_cut("foot", Plane.through(Vector(0, 0, 0), Vector(-1, foot, 0)))]
    cuts += [
        end_cut("head", Plane.through(Vector(length, 0, 0), Vector(1, -cheek, up)))
        for up, cheek in heads
    ]
    frame = FLAT.moved(Vector(0, 0, -0.75))
    return Stick.trimmed(thickness=1.5, depth=7.25, frame=frame, cuts=cuts)


def member(shape: Stick, role: Role = "hip-jack", size: Size = SIZE) -> Member:
    return Member(
        role=role,
        size=size,
        stick=shape,
        line="near",
        station=0.0,
        head_cut="head",
        foot_cut="foot",
        faces=(),
    )


SQUARE, PLUMB = stick((0, 0)), stick((0.5, 0))
LEFT, RIGHT = stick((0.5, 1.0)), stick((0.5, -1.0))


def marks(*members: Member) -> list[tuple[str, str, int]]:
    return [(part.mark, part.hand, part.count) for part in group_parts(members)]


def long_side(shape: Stick) -> str:
    """Return the side of the head's long point by the plan: ahead is +x, so left is +y."""
    ends = {
        side: max(x for x, _ in outline.points)
        for side, outline in (("right", shape.near), ("left", shape.far))
    }
    return max(ends, key=lambda side: ends[side])


@pytest.mark.parametrize("shape", [LEFT, RIGHT])
def test_hand_is_the_side_of_the_heads_long_point(shape: Stick) -> None:
    near = shape.frame.outward(Vector(0, 0, shape.thickness))
    assert near.y == pytest.approx(-0.75)  # the near face is on the right, looking along +x
    assert hand_of(shape) == long_side(shape)
    assert {hand_of(LEFT), hand_of(RIGHT)} == {"left", "right"}


def test_hand_of_the_foot_where_the_head_has_none() -> None:
    hands = [hand_of(stick((0.0, 0.0), foot=foot)) for foot in (0.5, -0.5)]
    assert sorted(hands) == ["left", "right"]


@pytest.mark.parametrize("shape", [SQUARE, PLUMB, stick((0.5, 1.0), (0.5, -1.0))])
def test_a_stick_that_is_its_own_mirror_image_has_no_hand(shape: Stick) -> None:
    assert hand_of(shape) == ""
    assert marks(member(shape), member(shape)) == [("J1", "", 2)]


def test_mirrored_sticks_share_a_number() -> None:
    other = stick((0.5, 1.0), length=80), stick((0.5, -1.0), length=80)
    made = [member(s) for s in (LEFT, RIGHT, other[1], LEFT, other[0])]
    hands = {"L": "left", "R": "right"}
    one, two = ("L", "R") if hand_of(LEFT) == "left" else ("R", "L")
    assert marks(*made) == [
        (f"J1{one}", hands[one], 2),
        (f"J1{two}", hands[two], 1),
        (f"J2{two}", hands[two], 1),
        (f"J2{one}", hands[one], 1),
    ]


def test_hands_are_never_one_part() -> None:
    for part in group_parts([member(LEFT), member(RIGHT)]):
        assert part.count == 1


def test_what_differs_has_marks_of_its_own() -> None:
    deeper = replace(SIZE, name="2x10", depth=9.25)
    shapes = [
        member(PLUMB),
        member(PLUMB, role="barge"),
        member(PLUMB, size=deeper),
        member(stick((0.5, 0), length=100.01)),
        member(stick((0.5001, 0))),
        member(stick((0.5, 0), length=100.00001)),  # the first again: a hair is thicker
    ]
    assert marks(*shapes) == [
        ("J1", "", 2), ("B1", "", 1), ("J2", "", 1), ("J3", "", 1), ("J4", "", 1),
    ]  # fmt: skip


def by_mark(changes: dict[str, object]) -> dict[str, Part]:
    return {part.mark: part for part in group_parts(roof_of(GABLE, changes).members)}


def test_parts_of_a_gable() -> None:
    # Both sides are alike, so all commons are one part; barge rafters have no birdsmouth.
    parts = by_mark({"roof.rake_overhang": 12})
    assert {mark: part.count for mark, part in parts.items()} == {"C1": 14, "B1": 4, "R1": 1}
    assert len(parts["C1"].member.notches) == 1
    assert parts["B1"].member.notches == ()
    # Unequal pitches: a part for each side.
    unequal = by_mark({"roof.far_pitch": "8/12"})
    assert {mark: part.count for mark, part in unequal.items()} == {"C1": 7, "C2": 7, "R1": 1}
    # A ridge in two lengths that are alike is one part, cut twice.
    spliced = by_mark({"roof.length": "24ft", "lumber": [{"size": "2x10", "lengths": ["14ft"]}]})
    assert spliced["R1"].count == 2
