"""Where a part is marked along its top edge, measured from one end with a hooked tape."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_uppercase

from cutlist.geometry.outline import Outline
from cutlist.geometry.stick import End
from cutlist.roof.member import Member
from cutlist.tolerance import ON_PLANE


@dataclass(frozen=True, slots=True, kw_only=True)
class TopMark:
    """A point of the top edge: its letter, what it is, its x, and how far it is from mark A.

    A is the head's long point: on most parts the tape hooks over it.
    """

    letter: str
    name: str
    x: float
    away: float


def top_marks(member: Member) -> tuple[TopMark, ...]:
    """Return the marks along a part's top edge, from the head's long point to the foot."""
    found = [*_end(member, "head"), *_heels(member), *_end(member, "foot")]
    found.sort(key=lambda mark: -mark[0])
    first = found[0][0]
    return tuple(
        TopMark(letter=letter, name=name, x=x, away=first - x)
        for letter, (x, name) in zip(ascii_uppercase, found, strict=False)
    )


def top_reach(outline: Outline) -> tuple[float, float]:
    """Return the least and the most x of an outline's top edge, backing included."""
    edges = (*outline.segments("top"), *outline.segments("backing"))
    along = [x for edge in edges for x, _ in edge]
    return min(along), max(along)


def _end(member: Member, end: End) -> Iterator[tuple[float, str]]:
    stick, side = member.stick, 1 if end == "head" else 0
    outward = 1 if end == "head" else -1
    name = "tail" if end == "foot" and member.tail_length > ON_PLANE else end
    near, middle, far = (top_reach(o)[side] for o in (stick.near, stick.middle, stick.far))
    # Two cheeks of unequal slopes do not meet at mid-thickness.
    point = max(
        (near, middle, far, *(top_reach(o)[side] for o in stick.outlines)),
        key=lambda x: x * outward,
    )
    alike = abs(near - far) < ON_PLANE
    if (point - near) * outward > ON_PLANE and (point - far) * outward > ON_PLANE:
        yield point, f"{name}, {'mid-thickness' if abs(point - middle) < ON_PLANE else 'point'}"
    if alike:
        yield near, name if abs(point - near) < ON_PLANE else f"{name}, both faces"
    else:
        yield near, f"{name}, near face"
        yield far, f"{name}, far face"


def _heels(member: Member) -> Iterator[tuple[float, str]]:
    """Return where the plumb lines over the heels reach the top edge at mid-thickness."""
    stick = member.stick
    least, most = top_reach(stick.middle)
    planes = []
    if member.heel_line is not None:
        planes.append(("heel line", stick.frame.plane_inward(member.heel_line)))
    notches = [cut for cut in stick.cuts if len(cut.planes) > 1]
    planes += [(f"{cut.planes[1].name} line", cut.planes[1].plane) for cut in notches[1:]]
    for name, plane in planes:
        x = stick.top_at(plane)
        if least + ON_PLANE < x < most - ON_PLANE:
            yield x, name.replace("-", " ")
