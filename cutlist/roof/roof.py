"""A framed roof: its faces, its members, the heights to set it by and what it bears on."""

from __future__ import annotations

from dataclasses import dataclass

from cutlist.roof.face import Face
from cutlist.roof.member import Member
from cutlist.roof.support import Support


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """A height to set the roof by, from the top of the (near or low) plate."""

    name: str
    above_plate: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What of the roof is worth knowing on site, such as the jacks' common difference.

    `value` is a length in the job's unit unless the name ends in another unit, as `[deg]`.
    """

    name: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """What one member's seat really bears on, as level lengths along it.

    `over_post`: whether the member's whole thickness stands over a post; None where the support is
    not carried on posts. `post_beyond`: how far in from the heel a post beside the header starts;
    None where the header lies on the posts, or there are none.
    """

    member: Member
    support: str
    seat: float
    on_plate: float
    on_post: float
    over_post: bool | None = None
    post_beyond: float | None = None

    @property
    def total(self) -> float:
        """Level length of the seat that has something under it."""
        return self.on_plate + self.on_post


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutMark:
    """Where a member stands on a plate, ridge, ledger, hip or valley, from the line's start.

    `center`: its mid-thickness. `taken`: how much of the line it takes, where it comes to it at an
    angle; None where it is square to it.
    """

    line: str
    center: float
    member: Member
    over_post: bool | None = None
    taken: float | None = None

    @property
    def edge(self) -> float:
        """Its side toward the line's start, where the line is struck that it stands beyond."""
        taken = self.member.stick.thickness if self.taken is None else self.taken
        return self.center - taken / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A jack that is not made, since it would be too short to be cut.

    `line`: its slope. `station`: where it would stand, along that one's plate. `length`: from its
    heel line, or from its foot if that is higher, to its head along its top edge; 0 where that edge
    would be gone on one of its sides. `least`: what it would have to be. `ends_at`: what it would
    land on, in words.
    """

    line: str
    station: float
    length: float
    least: float
    ends_at: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """A roof as framed.

    A cut face lies `against` the members of a line, or the supports of a name.
    """

    faces: tuple[Face, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    heights: tuple[Height, ...]
    bearings: tuple[Bearing, ...]
    marks: tuple[LayoutMark, ...]
    measures: tuple[Measure, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
