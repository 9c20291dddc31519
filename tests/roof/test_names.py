"""What lines between slopes are called: short, plain, and one name a line."""

from __future__ import annotations

import pytest

from cutlist.geometry.space import Vector
from cutlist.roof.face import Face, names_together


def slope(name: str) -> Face:
    return Face(
        name=name,
        corner=Vector(0, 0, 0),
        along=Vector(1, 0, 0),
        uphill=Vector(0, 1, 0),
        length=100.0,
        pitch=0.5,
        height_above_plate=6.0,
        overhang=12.0,
    )


@pytest.mark.parametrize(
    ("one", "other", "together"),
    [
        ("near", "left", "near left"),
        ("side 1", "side 12", "side 1-12"),
        ("wing 2 near", "wing 2 left", "wing 2 near left"),
        ("wing 1 side 2", "wing 1 side 3", "wing 1 side 2-3"),
        # Of two roofs both are named whole.
        ("near", "wing 1 far", "near wing 1 far"),
        ("wing 1 near", "wing 2 near", "wing 1 near wing 2 near"),
        ("side 3", "wing 1 side 1", "side 3 wing 1 side 1"),
        ("wing 1 side 2", "wing 12 side 2", "wing 1 side 2 wing 12 side 2"),
    ],
)
def test_what_two_slopes_share_is_said_once(one: str, other: str, together: str) -> None:
    assert names_together(slope(one), slope(other)) == together
