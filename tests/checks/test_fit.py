"""The fit of whole roofs: that right ones pass, and that each kind of fault is found."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.checks.finding import Case, Finding
from cutlist.checks.fit import MOST_ROWS, fit
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import Frame, Plane, Vector
from cutlist.geometry.stick import Cut, Stick
from cutlist.job import Job, parse_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.member import Member
from cutlist.roof.parts import group_parts
from cutlist.roof.roof import Roof
from tests.jobs import refused_passed_over

SPACE, CONTACT, TOPS = "shared space", "contact of cut faces", "top edges"

GABLE = """
name = "Gable"
units = "imperial"
[roof]
form = "gable"
span = "20ft"
length = "10ft"
pitch = "5/12"
overhang = "16in"
rake_overhang = "12in"
[rafter]
size = "2x8"
spacing = "24in"
[ridge]
kind = "board"
size = "2x10"
[plate]
width = "3 1/2in"
"""


def case_of(text: str) -> Case:
    return framed(parse_job(text, "job.toml"))


def framed(job: Job) -> Case:
    roof = frame_roof(job)
    return Case(job=job, roof=roof, parts=group_parts(roof.members))


def with_members(case: Case, members: tuple[Member, ...]) -> Case:
    roof: Roof = replace(case.roof, members=members)
    return Case(job=case.job, roof=roof, parts=group_parts(members))


def with_stick(case: Case, index: int, change: Callable[[Stick], Stick]) -> Case:
    members = list(case.roof.members)
    members[index] = replace(members[index], stick=change(members[index].stick))
    return with_members(case, tuple(members))


def moved(x: float, y: float, z: float) -> Callable[[Stick], Stick]:
    """Stand a stick somewhere else, by a shift in plan coordinates."""

    def change(stick: Stick) -> Stick:
        f = stick.frame
        return replace(stick, frame=Frame(f.origin + Vector(x, y, z), f.x, f.y, f.z))

    return change


def recut(name: str, by: float, end: str | None = None) -> Callable[[Stick], Stick]:
    """Move the sawn faces of a name into the waste, or, by less than nothing, into the wood."""

    def plane(p: Plane) -> Plane:
        return p.moved(by)

    def cut(c: Cut) -> Cut:
        if end is not None and c.end != end:
            return c
        return Cut(
            tuple(replace(p, plane=plane(p.plane)) if p.name == name else p for p in c.planes)
        )

    def change(stick: Stick) -> Stick:
        return replace(stick, cuts=tuple(cut(c) for c in stick.cuts))

    return change


def failures(case: Case) -> list[Finding]:
    return [f for f in fit(case) if f.result != "pass"]


def subjects(findings: list[Finding], check: str) -> list[str]:
    return [f.subject for f in findings if f.check.startswith(check)]


# ------------------------------------------------------------------ right roofs pass

SIZES = ["38mm x 140mm", "1 1/2in x 7 1/4in", "1 1/2in x 9 1/4in", "45mm x 195mm", "63mm x 200mm"]
pitches = st.floats(0.2, 1.5).map(lambda p: f"{100 * p:.3f}%")


@st.composite
def plates(draw: st.DrawFn) -> str:
    width = draw(st.sampled_from(["38mm", "3 1/2in", "5 1/2in"]))
    posts = draw(
        st.sampled_from(
            [
                "",
                'posts = { every = "4ft", width = "5 1/2in" }',
                'posts = { every = "1.7m", width = "140mm", header = "on" }',
            ]
        )
    )
    return f'[plate]\nwidth = "{width}"\n{posts}\n'


@st.composite
def rafter_tables(draw: st.DrawFn) -> str:
    seat = draw(st.sampled_from(["auto", "2in", "50mm"]))
    tail = draw(st.sampled_from(["plumb", "square", "level", 'plumb-level"\ntail_height = "3in']))
    size, spacing = draw(st.sampled_from(SIZES)), draw(st.integers(300, 900))
    return f'[rafter]\nsize = "{size}"\nspacing = "{spacing}mm"\nseat = "{seat}"\ntail = "{tail}"\n'


@st.composite
def buildings(draw: st.DrawFn) -> str:
    units = draw(st.sampled_from(["imperial", "metric"]))
    span, length = draw(st.integers(2400, 9000)), draw(st.integers(900, 3000))
    overhang, rake = draw(st.sampled_from([0, 300, 600])), draw(st.sampled_from([0, 150, 400]))
    return (
        f'name = "Any"\nunits = "{units}"\n[roof]\nspan = "{span}mm"\nlength = "{length}mm"\n'
        f'overhang = "{overhang}mm"\nrake_overhang = "{rake}mm"\n'
    )


@st.composite
def gables(draw: st.DrawFn) -> str:
    step = draw(st.integers(-300, 300))
    ridge = draw(
        st.sampled_from(
            [
                '"board"\nsize = "1 1/2in x 11 1/4in"',
                '"board"\nsize = "19mm x 184mm"',
                '"beam"\nsize = "90mm x 286mm"',
                '"none"',
            ]
        )
    )
    return (
        draw(buildings())
        + f'form = "gable"\npitch = "{draw(pitches)}"\nfar_pitch = "{draw(pitches)}"\n'
        + f'plate_height = "2400mm"\nfar_plate_height = "{2400 + step}mm"\n'
        + draw(rafter_tables())
        + f"[ridge]\nkind = {ridge}\n"
        + draw(plates())
    )


@st.composite
def sheds(draw: st.DrawFn) -> str:
    ledger = draw(st.booleans())
    high = (
        'high_end = "ledger"\n'
        if ledger
        else f'high_overhang = "{draw(st.sampled_from([0, 250]))}mm"\n'
    )
    return (
        draw(buildings())
        + f'form = "shed"\npitch = "{draw(pitches)}"\n'
        + high
        + draw(rafter_tables())
        + ('[ledger]\nsize = "38mm x 286mm"\n' if ledger else "")
        + draw(plates())
    )


def any_case(text: str) -> Case:
    """Frame a made-up job; one whose parts cannot be put together so is passed over."""
    job = parse_job(text, "job.toml")
    with refused_passed_over():
        return framed(job)


@settings(deadline=None, max_examples=60)
@given(st.one_of(gables(), sheds()))
def test_any_gable_or_shed_fits(text: str) -> None:
    case = any_case(text)
    findings = list(fit(case))
    assert [f for f in findings if f.result != "pass"] == []
    touching = " / ".join(subjects(findings, CONTACT))
    for name in {
        p.name for m in case.roof.members for c in m.stick.cuts for p in c.planes if p.against
    }:
        # A rafter without a tail has no heel.
        assert name in touching or (name == "heel" and not case.job.roof.overhang)
    assert len(subjects(findings, SPACE)) == 1


@settings(deadline=None, max_examples=30)
@given(st.one_of(gables(), sheds()))
def test_seats_touch_as_much_as_the_bearings_say(text: str) -> None:
    """Bearing lengths come from rules of arithmetic, contact areas from the solids."""
    case = any_case(text)
    for bearing in case.roof.bearings:
        if bearing.support == "ridge beam":
            continue
        thickness = bearing.member.stick.thickness
        name = "high-seat" if bearing.support == "high plate" else "seat"
        on_plate = area_on_supports(case, bearing.member.stick, name, bearing.support)
        assert on_plate == pytest.approx(bearing.on_plate * thickness)
        if bearing.over_post:
            on_post = area_on_supports(case, bearing.member.stick, name, f"{bearing.support} post")
            assert on_post == pytest.approx(bearing.on_post * thickness, abs=1e-9)


def area_on_supports(case: Case, stick: Stick, cut: str, support: str) -> float:
    (seat,) = stick.planes(cut)
    plane, body = stick.frame.plane_outward(seat.plane), stick_solid(stick)
    return body.contact_area(
        plane, *(stick_solid(s.stick) for s in case.roof.supports if s.name == support)
    )


def test_the_modeller_is_not_loaded_with_the_checks() -> None:
    program = "import sys, cutlist.build; sys.exit('manifold3d' in sys.modules)"
    subprocess.run([sys.executable, "-c", program], check=True)


def test_contact_areas_of_a_gable() -> None:
    (plumb,) = [f for f in fit(case_of(GABLE)) if f.subject.startswith("common plumb on ridge")]
    # The ridge is deeper than the plumb cut: the whole cut, 7 1/4 in of slope 5 in 12, is on it.
    assert plumb.value == pytest.approx(1.5 * 7.25 * hypot(12, 5) / 12)
    assert plumb.result == "pass"


def test_rows_stay_few() -> None:
    findings = list(fit(case_of(GABLE)))
    assert len(findings) == 8  # 1 of space; 2 of plates, 2 of ridge; 3 roles' tops
    assert {f.source for f in findings} == {"solid geometry of this build"}


# ------------------------------------------------------------------ wrong roofs fail


def test_two_members_in_one_place() -> None:
    case = case_of(GABLE)
    # The second rafter is moved until half its thickness stands in the first.
    first, second = case.roof.members[:2]
    shift = first.station - second.station + first.stick.thickness / 2
    found = failures(with_stick(case, 1, moved(shift, 0, 0)))
    assert subjects(found, SPACE) == ["C1 and C1"]
    (space,) = [f for f in found if f.check.startswith(SPACE)]
    assert space.value == pytest.approx(stick_solid(first.stick).volume / 2)
    assert space.advice
    assert subjects(found, CONTACT) == []


def test_a_rafter_cut_short() -> None:
    found = failures(with_stick(case_of(GABLE), 2, recut("plumb", -0.01, "head")))
    assert [(f.check, f.subject) for f in found] == [
        ("contact of cut faces [square in]", "C2 plumb on ridge")
    ]
    assert found[0].value == 0


def test_a_rafter_cut_long() -> None:
    found = failures(with_stick(case_of(GABLE), 2, recut("plumb", 0.01, "head")))
    assert subjects(found, SPACE) == ["C2 and R1"]
    assert subjects(found, CONTACT) == ["C2 plumb on ridge"]
    (space,) = [f for f in found if f.check.startswith(SPACE)]
    # A parallelogram into the ridge, less the corner by which it rises over the ridge's top.
    corner = 0.01 * (0.01 * 5 / 12) / 2
    assert space.value == pytest.approx(1.5 * (0.01 * 7.25 * hypot(12, 5) / 12 - corner))


@pytest.mark.parametrize("by", [-1 / 16, -1e-4])
def test_a_seat_cut_too_deep(by: float) -> None:
    found = failures(with_stick(case_of(GABLE), 2, recut("seat", by)))
    assert [f.subject for f in found] == ["C2 seat on near plate"]


@pytest.mark.parametrize("by", [1 / 16, 1e-4])
def test_a_seat_cut_too_shallow(by: float) -> None:
    found = failures(with_stick(case_of(GABLE), 2, recut("seat", by)))
    assert subjects(found, SPACE) == ["C2 and near plate"]
    assert subjects(found, CONTACT) == ["C2 seat on near plate"]


def test_a_seat_left_uncut() -> None:
    def uncut(stick: Stick) -> Stick:
        return replace(stick, cuts=tuple(c for c in stick.cuts if len(c.planes) == 1))

    assert "C2 and near plate" in subjects(failures(with_stick(case_of(GABLE), 2, uncut)), SPACE)


def test_a_notch_that_is_not_in_the_wood_at_all() -> None:
    case = case_of(GABLE)
    found = failures(with_stick(case, 2, recut("seat", 12.0)))
    assert "C2 seat on near plate" in subjects(found, CONTACT)


def test_a_seat_beside_a_post_that_stands_too_high() -> None:
    posts = '[plate]\nposts = { every = "4ft", width = "5 1/2in" }'
    case = case_of(GABLE.replace("[plate]", posts).replace('"3 1/2in"', '"1 1/2in"'))
    assert failures(case) == []
    supports = tuple(
        replace(s, stick=moved(0, 0, 3)(s.stick)) if s.name.endswith("post") else s
        for s in case.roof.supports
    )
    found = failures(replace(case, roof=replace(case.roof, supports=supports)))
    assert any("near plate post" in s for s in subjects(found, SPACE))
    assert {f.check for f in found} == {"shared space [cubic in]"}


@pytest.mark.parametrize(("up", "advice"), [(0.01, "lower"), (-0.01, "raise")])
def test_a_rafter_out_of_its_face(up: float, advice: str) -> None:
    found = failures(with_stick(case_of(GABLE), 2, moved(0, 0, up)))
    (top,) = [f for f in found if f.check.startswith(TOPS)]
    assert top.subject == "C1"
    # Square to the face, a plumb shift is less by the slope's cosine.
    assert top.value == pytest.approx(up * 12 / hypot(12, 5))
    assert advice in top.advice


def test_a_ridge_board_too_low_and_too_high() -> None:
    case = case_of(GABLE)
    ridge = next(i for i, m in enumerate(case.roof.members) if m.role == "ridge")
    for up in (-0.5, 0.5):
        found = failures(with_stick(case, ridge, moved(0, 0, up)))
        assert subjects(found, TOPS) == ["R1"]
        assert found[0].value == pytest.approx(up * 12 / hypot(12, 5))


def test_a_gap_in_the_ridge() -> None:
    case = case_of(GABLE.replace('length = "10ft"', 'length = "40ft"'))
    ridges = [i for i, m in enumerate(case.roof.members) if m.role == "ridge"]
    assert len(ridges) > 1
    found = failures(with_stick(case, ridges[0], recut("square", -0.25, "head")))
    assert len(subjects(found, CONTACT)) == 2  # the joint is open for both its lengths
    assert all("square on ridge" in s for s in subjects(found, CONTACT))


def test_a_roof_without_its_ridge() -> None:
    case = case_of(GABLE)
    members = tuple(m for m in case.roof.members if m.role != "ridge")
    found = failures(with_members(case, members))
    assert subjects(found, CONTACT) == [
        "C1 plumb on ridge (worst of 12)",
        "B1 plumb on ridge (worst of 4)",
    ]


def test_many_faults_are_capped() -> None:
    case = case_of(GABLE.replace('length = "10ft"', 'length = "40ft"'))
    members = tuple(
        replace(m, stick=recut("plumb", -0.01 * (i + 1), "head")(m.stick))
        if m.role == "common"
        else m
        for i, m in enumerate(case.roof.members)
    )
    count = sum(m.role == "common" for m in members)
    assert count > MOST_ROWS
    found = subjects(failures(with_members(case, members)), CONTACT)
    assert len(found) == MOST_ROWS + 1
    assert found[-1] == f"other places (worst of {count - MOST_ROWS})"
