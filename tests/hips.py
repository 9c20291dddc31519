"""Hip roofs for tests: plain ones to change, any made up, and what is read off their members."""

from __future__ import annotations

from math import hypot

from hypothesis import strategies as st

from cutlist.geometry.space import UP, Plane, Vector, meet
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.frame import frame_roof
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from tests.jobs import Tables, changed, job_of, refused_passed_over

HIP: Tables = {
    "name": "Test hip",
    "units": "imperial",
    "roof": {"form": "hip", "span": "20ft", "length": "30ft", "pitch": "8/12", "overhang": 12},
    "rafter": {"size": "2x8", "spacing": 16, "seat": 2.5},
    "ridge": {"kind": "board", "size": "2x10"},
    "hip": {"size": "2x10", "top": "drop", "shortest_jack": 0},
    "plate": {"width": 5.5},
}
METRIC_HIP: Tables = {
    "name": "Test hip",
    "units": "metric",
    "roof": {"form": "hip", "span": 6400, "length": 9600, "pitch": "60%", "overhang": 400},
    "rafter": {"size": "38x184", "spacing": 400, "seat": 70},
    "ridge": {"kind": "board", "size": "38x235"},
    "hip": {"size": "38x235", "top": "drop", "shortest_jack": 0},
    "plate": {"width": 140},
}

# ------------------------------------------------------------------ what is read off a roof


def face(roof: Roof, name: str) -> Face:
    return next(f for f in roof.faces if f.name == name)


def members(roof: Roof, role: str, line: str | None = None) -> list[Member]:
    return [m for m in roof.members if m.role == role and line in (None, m.line)]


def hip_rafter(roof: Roof, line: str = "near left hip") -> Member:
    return next(m for m in roof.members if m.role == "hip" and m.line == line)


def jacks_to(roof: Roof, slope: str, hip: str) -> list[Member]:
    """Return the jacks of a slope that end at a hip, the shortest first."""
    jacks = [
        m
        for m in members(roof, "hip-jack", slope)
        if any(hip in p.against for p in m.stick.end_planes("head"))
    ]
    return sorted(jacks, key=lambda jack: jack.line_length)


def apex(roof: Roof, end: str = "left") -> Vector:
    """Return where the planes of both main slopes and an end's meet."""
    return meet(*(face(roof, name).plane for name in ("near", "far", end)))


def theoretical_length(member: Member, point: Vector) -> float:
    """Return the length along a member's top edge from heel line to plumb over a plan point."""
    frame = member.stick.frame
    level = Vector(frame.x.x, frame.x.y, 0.0)
    assert member.heel_line is not None
    stand, heel = (
        member.stick.top_at(frame.plane_inward(plane))
        for plane in (Plane.through(point, level), member.heel_line)
    )
    return stand - heel


def level(member: Member, length: float) -> float:
    """Return the level run that a length along a member makes."""
    return length * hypot(member.stick.frame.x.x, member.stick.frame.x.y)


def corners(member: Member) -> list[Vector]:
    """Return the corners of both wide faces and of what lies between them, in plan."""
    stick = member.stick
    places = {0.0: stick.far, stick.thickness / 2: stick.middle, stick.thickness: stick.near}
    return [stick.frame.outward(Vector(x, y, z)) for z, o in places.items() for x, y in o.points]


def top_corners(member: Member) -> list[Vector]:
    """Return the points of both long edges of a member's top."""
    stick = member.stick
    return [
        stick.frame.outward(Vector(x, y, z))
        for z, outline in ((0.0, stick.far), (stick.thickness, stick.near))
        for name in ("top", "backing")
        for segment in outline.segments(name)
        for x, y in segment
    ]


def plumb_above(plane: Plane, point: Vector) -> float:
    """Return how high a point stands plumb above a plane."""
    return plane.distance(point) / plane.normal.dot(UP)


def measure(roof: Roof, name: str) -> float:
    return next(m.value for m in roof.measures if m.name == name)


# ------------------------------------------------------------------ any hip roof

percents = st.floats(22, 130).map(lambda p: f"{p:.3f}%")


@st.composite
def hip_tables(
    draw: st.DrawFn,
    *,
    ends: st.SearchStrategy[tuple[str, str]] | None = None,
    regular: bool | None = None,
    tops: tuple[str, ...] = ("drop", "back"),
) -> Tables:
    """Make up a hip roof: regular or unequal, up to a point, half-hips, one end a gable."""
    metric = draw(st.booleans())
    scale = 1.0 if metric else 1 / 25.4
    kinds = [("hip", "hip"), ("hip", "gable"), ("half-hip", "half-hip"), ("hip", "half-hip")]
    form = draw(st.sampled_from(kinds) if ends is None else ends)
    span = draw(st.integers(3000, 9000))
    pitch = draw(percents)
    roof: Tables = {
        "form": "hip",
        "span": f"{span}mm",
        "length": f"{draw(st.one_of(st.just(span), st.integers(span, 14000)))}mm",
        "pitch": pitch,
        "ends": list(form),
        "overhang": draw(st.sampled_from([0, 400, 600])) * scale,
    }
    if not (draw(st.booleans()) if regular is None else regular):
        roof["end_pitch"] = draw(percents)
        if draw(st.booleans()):
            roof["far_pitch"] = draw(percents)
    if "half-hip" in form:
        roof["hip_start"] = draw(st.integers(300, 1500)) * scale
    if {"half-hip", "gable"} & set(form):
        roof["rake_overhang"] = draw(st.sampled_from([0, 300])) * scale
    tail = draw(st.sampled_from(["plumb", "plumb", "square", "level", "plumb-level"]))
    if tail != "plumb":
        roof["overhang"] = 600 * scale
        roof["rake_overhang"] = 600 * scale if "rake_overhang" in roof else None
    rafter: Tables = {
        "size": draw(st.sampled_from(["38mm x 184mm", "45mm x 195mm", "63mm x 200mm"])),
        "spacing": draw(st.integers(350, 900)) * scale,
        "seat": draw(st.sampled_from(["auto", "60mm"])),
        "tail": tail,
        "tail_height": "90mm" if tail == "plumb-level" else None,
    }
    kind = draw(st.sampled_from(["board", "beam", "none"]))
    ridge: Tables = {"kind": kind}
    if kind != "none":
        ridge["size"] = draw(st.sampled_from(["19mm x 235mm", "38mm x 286mm", "63mm x 286mm"]))
    hip: Tables = {
        "size": draw(st.sampled_from(["38mm x 235mm", "45mm x 245mm", "90mm x 260mm"])),
        "top": draw(st.sampled_from(tops)),
        "jacks_from": draw(st.sampled_from(["common", "corner"])),
    }
    plate = {"width": draw(st.sampled_from(["89mm", "140mm"]))}
    tables: Tables = {"name": "Any", "units": "metric" if metric else "imperial"}
    tables |= {"roof": roof, "rafter": rafter, "ridge": ridge, "hip": hip, "plate": plate}
    return changed(tables, {f"{t}.{k}": None for t in tables for k in none_keys(tables[t])})


def none_keys(table: object) -> list[str]:
    return [k for k, v in table.items() if v is None] if isinstance(table, dict) else []


def framed_or_passed(tables: Tables) -> tuple[Job, Roof]:
    """Frame a made-up job; one that is refused, its parts not going together, is passed over."""
    job = job_of(tables)
    with refused_passed_over():
        return job, frame_roof(job)
