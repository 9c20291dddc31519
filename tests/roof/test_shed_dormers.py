"""Shed dormers: one slope laid on a steeper one, as framed."""

from __future__ import annotations

from math import atan, degrees, hypot
from typing import Any

import pytest

from cutlist.checks.fit import fit
from cutlist.errors import JobError
from cutlist.geometry.space import Vector
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.dormers import DORMER, HIPPED, SHED_DORMER
from tests.hips import face, members
from tests.jobs import Tables, case_of, changed, roof_of
from tests.wings import with_wing

MAIN, OWN = 9 / 12, 3 / 12
SHEATHING, PLATE = 0.5, 1.5


def own_rafters(roof: Roof) -> list[Member]:
    return [m for m in roof.members if m.line == "wing 1 front"]


def head_plate(roof: Roof) -> Member:
    (found,) = members(roof, "head-plate")
    return found


def points(member: Member) -> list[Vector]:
    stick = member.stick
    return [
        stick.frame.outward(Vector(x, y, z))
        for z, outline in stick.levels
        for x, y in outline.points
    ]


def test_the_head_plate_lies_on_the_sheathing_under_the_rafters_tops() -> None:
    roof = roof_of(SHED_DORMER)
    plate, slope, host = head_plate(roof), face(roof, "wing 1 front"), face(roof, "near")
    above = sorted(round(host.plane.distance(p), 9) for p in points(plate))
    assert above == [SHEATHING] * 4 + [SHEATHING + PLATE] * 4
    tops = [slope.plane.distance(p) for p in points(plate)]
    assert max(tops) == pytest.approx(0, abs=1e-9)
    # From rake to rake, two corners in the plane of the tops.
    assert sum(abs(t) < 1e-9 for t in tops) == 2
    assert plate.stick.length == pytest.approx(12 * 12 + 2 * 6)


def test_its_upper_edge_is_where_plates_and_roof_meet() -> None:
    """Tops are the wall's height apart at the front, and come together by the pitches' difference.

    At the plate they are still apart by what it and the sheathing are thick, plumb.
    """
    roof = roof_of(SHED_DORMER)
    own, main = (face(roof, name).height_above_plate for name in ("wing 1 front", "near"))
    apart = 4 * 12 + own - main - 24 * MAIN - (SHEATHING + PLATE) * hypot(1, MAIN)
    run = 24 + apart / (MAIN - OWN)
    (up,) = [m.value for m in roof.measures if "head plate" in m.name]
    assert up == pytest.approx(run * hypot(1, MAIN))


def test_rafters_are_cut_to_the_roofs_slope() -> None:
    roof = roof_of(SHED_DORMER)
    commons = [m for m in own_rafters(roof) if m.role == "common"]
    # 12 ft: one flush with each wall, and one every 16 in from the first wall's outside.
    assert [round(m.station, 3) for m in commons] == [
        0.75, *(16.0 * i for i in range(1, 9)), 144 - 0.75
    ]  # fmt: skip
    for rafter in own_rafters(roof):
        (head,) = rafter.stick.end_planes("head")
        assert head.against == ("wing 1 front head plate",)
        # From square: the cut lies along the roof, so that it is sharp by the slopes' difference.
        assert abs(head.miter) == pytest.approx(90 - degrees(atan(MAIN) - atan(OWN)))
        assert head.tilt == pytest.approx(0, abs=1e-9)
    assert sum(m.role == "barge" for m in own_rafters(roof)) == 2
    marks = [mark for mark in roof.marks if mark.line == "wing 1 front head plate"]
    assert marks[0].center == 6 + 0.75


def test_the_roof_beneath_is_framed_whole() -> None:
    alone = {k: v for k, v in SHED_DORMER.items() if k not in ("wing", "valley")}

    def beneath(tables: Tables) -> list[tuple[str, float, bool]]:
        members = roof_of(tables).members
        return [(m.role, m.station, bool(m.notches)) for m in members if m.line in ("near", "far")]

    assert beneath(SHED_DORMER) == beneath(alone)


def test_a_long_head_plate_is_joined_under_rafters() -> None:
    long = changed(
        with_wing(SHED_DORMER, {"length": "30ft", "at": ["5ft", "2ft"]}),
        {"lumber": [{"size": "2x10", "lengths": ["12ft"]}]},
    )
    roof = roof_of(long)
    pieces = members(roof, "head-plate")
    assert len(pieces) == 3
    joints = [piece.station for piece in pieces[1:]]
    assert set(joints) <= {m.station for m in own_rafters(roof)}


FAR = {"at": ["26ft", "26ft"], "turn": 180}


@pytest.mark.parametrize(
    "tables",
    [
        with_wing(SHED_DORMER, FAR),
        with_wing(SHED_DORMER, {"rake_overhang": 0, "overhang": 0}),
        with_wing(SHED_DORMER, {"at": ["14ft", "0ft"]}),
        changed(SHED_DORMER, {"rafter.tail": "square"}),
        changed(SHED_DORMER, {"wing": [SHED_DORMER["wing"][0], {**SHED_DORMER["wing"][0], **FAR}]}),
        changed(
            SHED_DORMER,
            {"wing": [SHED_DORMER["wing"][0], {**DORMER["wing"][0], "at": ["34ft", "3ft"]}]},
        ),
        changed(
            HIPPED,
            {
                "roof.form": "hip",
                "roof.length": "48ft",
                "roof.rake_overhang": None,
                "wing": [{**SHED_DORMER["wing"][0], "at": ["18ft", "2ft"]}],
            },
        ),
    ],
    ids=["far", "no overhangs", "over the wall", "square tails", "two", "and a gable", "on a hip"],
)
def test_shed_dormers_fit(tables: Tables) -> None:
    assert [f for f in fit(case_of(tables)) if f.result != "pass"] == []


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"turn": 90}, "wing[1].turn: its front wall does not run along the eaves beneath it at ("),
        ({"pitch": "9/12"}, "wing[1].pitch: it must be lower than that of the near slope beneath"),
        ({"span": "3ft"}, "wing[1].span: it ends above the roof beneath; make it 5' 3/8\" or more"),
        ({"at": ["14ft", "-1ft"]}, "wing[1].at: its front wall stands outside the first roof's at"),
        ({"plate_height": "9ft 10in"}, "wing[1].plate_height: at ("),
        ({"plate_height": "18ft", "span": "20ft"}, "wing[1].at: at ("),
        ({"at": ["30ft", "2ft"]}, "wing[1].at: at ("),
        ({"pitch": None}, "wing[1].pitch: it is missing, and a shed dormer needs it: its slope"),
        ({"overhang": None}, "wing[1].overhang: it is missing, and a shed dormer needs it: its"),
        ({"plate_height": None}, "wing[1].plate_height: it is missing, and a shed dormer needs"),
        ({"far_pitch": "3/12"}, "wing[1].far_pitch: a shed has one slope over a rectangle"),
        ({"high_overhang": "3in"}, "wing[1].high_overhang: no wing has a high end over a plate"),
    ],
)  # fmt: skip
def test_sheds_that_are_no_dormers_are_refused(changes: dict[str, Any], told: str) -> None:
    with pytest.raises(JobError) as caught:
        roof_of(with_wing(SHED_DORMER, changes))
    assert told in caught.value.problems[0]


def test_a_shed_is_laid_only_on_the_first_roof() -> None:
    framed = changed(SHED_DORMER, {"valley": {"size": "2x10"}})
    with pytest.raises(JobError, match=r"wing\[1\].form: .* but for a dormer laid on it"):
        roof_of(framed)
