"""Hip roofs put together as solids: half-hips, points and one gable end, every tail and ridge."""

from __future__ import annotations

import pytest
from hypothesis import Phase, given, settings

from cutlist.checks.finding import Case
from cutlist.checks.fit import fit
from cutlist.geometry.space import Vector
from cutlist.geometry.stick import Stick
from cutlist.roof.parts import group_parts
from tests.hips import HIP, METRIC_HIP, framed_or_passed, hip_tables, members
from tests.jobs import Tables, case_of, roof_of


@settings(deadline=None, max_examples=60)
@given(hip_tables())
def test_any_hip_roof_goes_together(tables: Tables) -> None:
    job, roof = framed_or_passed(tables)
    case = Case(job=job, roof=roof, parts=group_parts(roof.members))
    assert [f for f in fit(case) if f.result != "pass"] == []


@settings(deadline=None, max_examples=60, phases=[Phase.reuse, Phase.explicit, Phase.generate])
@given(hip_tables())
def test_a_hips_bearing_is_where_the_plates_are(tables: Tables) -> None:
    """What a seat's middle line bears on, by arithmetic, and by looking for plates under it."""
    _, roof = framed_or_passed(tables)
    for bearing in roof.bearings:
        if bearing.member.role != "hip":
            continue
        stick = bearing.member.stick
        (seat,) = stick.planes("seat")
        under = [s.stick for s in roof.supports if s.name in seat.against]
        ((heel, head),) = [sorted(segment) for segment in stick.middle.segments("seat")]
        steps = 400
        places = [
            stick.frame.outward(
                Vector(
                    heel[0] + (head[0] - heel[0]) * (i + 0.5) / steps,
                    heel[1] + (head[1] - heel[1]) * (i + 0.5) / steps,
                    stick.thickness / 2,
                )
            )
            for i in range(steps)
        ]
        found = sum(any(covers(plate, place) for plate in under) for place in places) / steps
        assert bearing.on_plate == pytest.approx(
            found * bearing.seat, abs=2.5 * bearing.seat / steps
        )


def covers(plate: Stick, point: Vector) -> bool:
    """Tell whether a point of a plate's level top lies over its wood."""
    place = plate.frame.inward(point)
    return 0 <= place.x <= plate.length and 0 <= place.z <= plate.thickness


def test_contact_of_a_jack_is_its_whole_cheek() -> None:
    """A 2x8 jack at 8 in 12 on a dropped 2x10: the cheek's plumb length times its width at 45."""
    findings = list(fit(case_of(HIP, {"hip.shortest_jack": None})))
    (cheek,) = [f for f in findings if f.subject.startswith("hip-jack cheek on hip")]
    plumb = 7.25 * (1 + (8 / 12) ** 2) ** 0.5
    assert cheek.value == pytest.approx(plumb * 1.5 * 2**0.5)


def test_point_of_four_hips() -> None:
    case = case_of(HIP, {"roof.length": "20ft", "ridge": {"kind": "none"}})
    assert [f for f in fit(case) if f.result != "pass"] == []
    assert len(members(case.roof, "hip")) == 4
    assert len(members(case.roof, "common")) == 4
    assert members(roof_of(HIP), "ridge")


def test_a_jack_close_to_the_last_common_is_cut_to_it_too() -> None:
    """Steep ends over low sides: the end's last jack reaches past the hip's head."""
    changes = {
        "units": "metric",
        "roof.span": "3m",
        "roof.length": "3m",
        "roof.pitch": "37.5%",
        "roof.end_pitch": "112.5%",
        "roof.far_pitch": "112.5%",
        "rafter": {"size": "63mm x 200mm", "spacing": 535},
        "hip": {"size": "38mm x 286mm", "jacks_from": "corner"},
        "ridge.size": "38mm x 286mm",
        "plate.width": 140,
    }
    case = case_of(METRIC_HIP, changes)
    assert any(len(m.stick.end_planes("head")) == 2 for m in members(case.roof, "hip-jack"))
    assert [f for f in fit(case) if f.result != "pass"] == []
