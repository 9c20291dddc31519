"""The fit of hip roofs: regular, unequal, pyramids, one end a gable; hips dropped and backed."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.checks.finding import Case
from cutlist.checks.fit import fit
from cutlist.job import parse_job
from cutlist.roof.frame import frame_roof
from cutlist.roof.parts import group_parts
from tests.jobs import refused_passed_over


@st.composite
def hip_jobs(draw: st.DrawFn) -> str:
    units = draw(st.sampled_from(["imperial", "metric"]))
    span = draw(st.integers(3000, 9000))
    length = draw(st.one_of(st.just(span), st.integers(span, 12000)))
    pitch = st.floats(0.25, 1.2).map(lambda p: f"{100 * p:.3f}%")
    main = draw(pitch)
    others = draw(
        st.one_of(
            st.just(""),
            pitch.map(lambda p: f'end_pitch = "{p}"\n'),
            st.tuples(pitch, pitch).map(lambda p: f'end_pitch = "{p[0]}"\nfar_pitch = "{p[1]}"\n'),
        )
    )
    ends = draw(
        st.sampled_from(
            [
                "",
                'ends = ["hip", "gable"]\nrake_overhang = "300mm"\n',
            ]
        )
    )
    ridge = draw(
        st.sampled_from(
            ['"board"\nsize = "38mm x 286mm"', '"board"\nsize = "63mm x 286mm"', '"none"']
        )
    )
    top, start = (
        draw(st.sampled_from(["drop", "back"])),
        draw(st.sampled_from(["common", "corner"])),
    )
    rafter = draw(st.sampled_from(["38mm x 184mm", "45mm x 195mm", "63mm x 200mm"]))
    hip = draw(st.sampled_from(["38mm x 286mm", "45mm x 245mm", "90mm x 300mm"]))
    spacing = draw(st.integers(400, 900))
    overhang = draw(st.sampled_from([0, 400]))
    seat = draw(st.sampled_from(["auto", "60mm"]))
    return (
        f'name = "Hip"\nunits = "{units}"\n[roof]\nform = "hip"\nspan = "{span}mm"\n'
        f'length = "{length}mm"\npitch = "{main}"\noverhang = "{overhang}mm"\n'
        + others
        + ends
        + f'[rafter]\nsize = "{rafter}"\nspacing = "{spacing}mm"\nseat = "{seat}"\n'
        + f"[ridge]\nkind = {ridge}\n"
        + f'[hip]\nsize = "{hip}"\ntop = "{top}"\njacks_from = "{start}"\n'
        + '[plate]\nwidth = "140mm"\n'
    )


@settings(deadline=None, max_examples=40)
@given(hip_jobs())
def test_any_hip_roof_fits(text: str) -> None:
    job = parse_job(text, "job.toml")
    with refused_passed_over():
        roof = frame_roof(job)
    case = Case(job=job, roof=roof, parts=group_parts(roof.members))
    assert [f for f in fit(case) if f.result != "pass"] == []
