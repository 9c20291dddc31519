"""Hip roofs that cannot be: each is refused with what is wrong and what would work."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutlist.errors import JobError
from tests.checks.findings import findings
from tests.hips import HIP, METRIC_HIP, apex, framed_or_passed, hip_tables, members
from tests.jobs import Tables, changed, roof_of

REFUSED = [
    ({"hip": None}, 'hip: it is missing; write [hip] with size = "2x10"'),
    ({"roof.ends": ["gable", "gable"]}, 'roof.ends: neither end is hipped; write form = "gable"'),
    (
        {"roof.ends": ["hip"]},
        'roof.ends: [\'hip\']: two are expected, the left end and the right, like ["hip", "gable"]',
    ),
    (
        {"roof.ends": ["hip", "jerkin"]},
        'roof.ends[2]: "jerkin": expected "hip", "half-hip" or "gable"',
    ),
    (
        {"roof.hip_start": "3ft"},
        "roof.hip_start: it is the height above the plate at which a half-hip starts; give it "
        'with a "half-hip" in ends, and only then',
    ),
    (
        {"roof.ends": ["half-hip", "hip"]},
        "roof.hip_start: it is the height above the plate at which a half-hip starts; give it "
        'with a "half-hip" in ends, and only then',
    ),
    # 12 in of slope run 9.985 in: the wall jack's run is its half thickness more, and less half the
    # hip's diagonal, 9.985 + 1.061 - 0.75, so 6.86 in up; the end common's is half a main common's
    # more, under an apex 80 in up: 80 - (9.985 + 0.75) * 8 / 12 = 72.84 in.
    (
        {"roof.ends": ["half-hip", "hip"], "roof.hip_start": "9ft", "hip.shortest_jack": 12},
        "roof.hip_start: 9' 0\" leaves rafters of the left end too short to cut; give a height "
        'between 6 7/8" and 6\' 13/16" above the plate',
    ),
    (
        {"roof.plate_height": "8ft", "roof.far_plate_height": "9ft"},
        "roof.far_plate_height: hips need all plates at one height; leave it out",
    ),
    (
        {"roof.rake_overhang": "1ft"},
        "roof.rake_overhang: no end of this roof is a gable; leave it out",
    ),
    ({"hip.top": "backed"}, 'hip.top: "backed": expected "drop" or "back"; did you mean "back"?'),
    ({"hip.jacks_from": "ridge"}, 'hip.jacks_from: "ridge": expected "common" or "corner"'),
    (
        {"roof.length": "15ft"},
        "roof.length: 15' 0\" is too short for its hips; make it 20' 0\" for hips that meet in a "
        "point, or make it 20' 1 1/2\" or more, or give an end_pitch of 10.76/12 or steeper",
    ),
    (
        {"roof.length": "20ft 1in"},
        'roof.length: 20\' 1" leaves a ridge of 1"; make it 20\' 0" for hips that meet in a '
        "point, or make it 20' 1 1/2\" or more, or give an end_pitch of 8.02/12 or steeper",
    ),
    (
        {"roof.length": "9ft", "roof.ends": ["hip", "gable"]},
        "roof.length: 9' 0\" is too short for its hips; make it 10' 2 1/4\" or more, or give an "
        "end_pitch of 9.08/12 or steeper",
    ),
    (
        {"roof.end_pitch": "2/12", "rafter.seat": "1/2in"},
        "rafter.seat: the rafters of the left slope get no seat, since all share one height above "
        'the plate around a hip; make it longer than 2 1/16", or bring the pitches nearer to each '
        "other",
    ),
    (
        # Steep ends would give even the first slope, which is the lowest, none.
        {
            "roof.span": "10ft",
            "roof.length": "10ft",
            "roof.pitch": "25%",
            "roof.end_pitch": "118%",
            "hip.size": "2x12",
            "rafter.seat": "auto",
        },
        "rafter.seat: the rafters of the near slope get no seat, since all share one height above "
        "the plate around a hip; take a larger rafter.notch_limit, or bring the pitches nearer to "
        "each other",
    ),
]


@pytest.mark.parametrize(("changes", "message"), REFUSED, ids=[m[:40] for _, m in REFUSED])
def test_refused_with_what_would_work(changes: Tables, message: str) -> None:
    with pytest.raises(JobError) as caught:
        roof_of(HIP, changes)
    assert [p.removeprefix("job.toml: ") for p in caught.value.problems] == [message]


def ways_out(message: str, *, metric: bool) -> list[Tables]:
    """Return the changes to a job that a message about its length offers."""
    lengths = re.findall(r"make it ([^,]*?)(?: for| or more)", message)
    pitches = re.findall(r"end_pitch of (\S+) or steeper", message)
    unit = [t if metric else t.replace("' ", "ft ").replace('"', "in") for t in lengths]
    return [{"roof.length": t} for t in unit] + [{"roof.end_pitch": p} for p in pitches]


@settings(deadline=None, max_examples=60)
@given(
    hip_tables(ends=st.sampled_from([("hip", "hip"), ("hip", "gable"), ("gable", "hip")])),
    st.floats(0.3, 1.02),
)
def test_every_way_that_a_message_offers_works(tables: Tables, part: float) -> None:
    """A plan too short for its hips, from far too short to a ridge that is almost long enough."""
    plain = {"rafter.tail": "plumb", "rafter.tail_height": None, "rafter.seat": "50mm"}
    tables = changed(tables, plain | {"rafter.notch_limit": 0.9})
    _, long = framed_or_passed(changed(tables, {"roof.length": "80m"}))
    hipped = sum(apex(long, f.name).x if f.name == "left" else 0 for f in long.faces)
    right = [f for f in long.faces if f.name == "right"]
    hipped += sum(right[0].run(apex(long, "right")) for _ in right)
    short = changed(tables, {"roof.length": hipped * part})
    message = refusal(short)
    if not message.startswith("roof.length"):
        return
    ways = ways_out(message, metric=tables["units"] == "metric")
    assert ways
    # A much steeper end may ask for a longer seat, but never again for another length.
    assert [w for w in ways if refusal(changed(short, w)).startswith("roof.length")] == []


def refusal(tables: Tables) -> str:
    """Return why a roof is refused; nothing where it is not."""
    try:
        roof_of(tables)
    except JobError as error:
        return error.problems[0]
    return ""


def test_length_of_an_unequal_point_need_not_be_exact() -> None:
    """6.4 m at 25 degrees against ends of 35: the point is at 4262.06 mm, which no tape shows."""
    changes = {
        "roof.pitch": "25deg",
        "roof.end_pitch": "35deg",
        "roof.length": "4262mm",
        "ridge": {"kind": "none"},
        "rafter.seat": "auto",
    }
    roof = roof_of(METRIC_HIP, changes)
    assert apex(roof, "left").x == pytest.approx(apex(roof, "right").x, abs=1e-9)
    assert len([m for m in members(roof, "common") if m.line == "near"]) == 1
    with pytest.raises(JobError, match=r"make it 4262 mm for hips that meet in a point"):
        roof_of(METRIC_HIP, changes | {"roof.length": "4265mm"})


@pytest.mark.parametrize(
    ("changes", "check", "result", "advice"),
    [
        ({"hip.size": "2x8"}, "hip depth", "fail", "take a deeper hip"),
        ({"hip.size": "2x6"}, "bearing length", "fail", "take a deeper hip"),
        ({"hip.size": "2x12"}, "notch depth", "fail", "a hip less deep"),
        ({"hip.size": "1x10"}, "hip thickness", "fail", "take a thicker hip"),
    ],
)
def test_a_hip_of_the_wrong_size(changes: Tables, check: str, result: str, advice: str) -> None:
    hips = [f for f in findings(HIP, changes, check) if f.subject.startswith("H")]
    assert {f.result for f in hips} == {result}
    assert all(advice in f.advice for f in hips)


def test_a_backed_hips_sides_are_what_jacks_bear_on() -> None:
    """Beside a jack a backed hip is less deep than its middle, by its backing."""
    (whole,) = findings(HIP, {}, "hip depth")
    (backed,) = findings(HIP, {"hip.top": "back"}, "hip depth")
    assert whole.value == pytest.approx(9.25)
    assert backed.value == pytest.approx(9.25 - 0.75 * 8 / (288 + 64) ** 0.5)


def test_an_automatic_seat_leaves_the_rafters_their_bearing() -> None:
    """A hip too deep for its notch limit is told so itself, not by rafters without a seat."""
    deep = {"hip.size": "2x12", "rafter.seat": "auto"}
    assert {f.result for f in findings(HIP, deep, "bearing length")} == {"pass"}
    (hip,) = [f for f in findings(HIP, deep, "notch depth") if f.result == "fail"]
    assert hip.subject.startswith("H1")
