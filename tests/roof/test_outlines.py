"""Outlines of rafters against drawings by hand: vertices, areas, lengths and places."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, degrees, radians, tan
from typing import Any

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cutlist.geometry.space import Vector
from cutlist.lumber import parse_size
from cutlist.roof.member import Member
from cutlist.roof.roof import Roof
from cutlist.units import UNITS, UnitName
from tests.jobs import GABLE, SHED, common, in_plan, roof_of
from tests.roof.drawn import Drawn, Vertex

TAILS = ("plumb", "square", "level", "plumb-level")
SIZES: dict[UnitName, tuple[str, ...]] = {
    "imperial": ("2x4", "2x6", "2x8", "2x10", "1 3/4in x 9 1/2in"),
    "metric": ("45x95", "45x145", "45x195", "47x220"),
}
RIDGES: dict[UnitName, tuple[str, ...]] = {
    "imperial": ("2x12", "1x10", "4x12"),
    "metric": ("45x245", "25x220", "90x300"),
}

# A roof is up to 1e4 of its unit long, of which doubles keep 1e-11; steep slopes lose some.
EXACT = 1e-7


@dataclass(frozen=True, kw_only=True)
class Example:
    """A framed roof and its rafters drawn by hand from the same figures, by slope and role."""

    roof: Roof = field(repr=False)
    span: float
    step: float
    drawn: dict[tuple[str, str], Drawn]

    def rafters(self) -> list[tuple[Member, Drawn]]:
        return [
            (member, self.drawn[member.line, member.role])
            for member in self.roof.members
            if member.role in ("common", "barge")
        ]

    def own(self, member: Member) -> list[Vertex]:
        """Return a member's outline as runs and heights over its own plate."""
        points = in_plan(member)
        if member.line == "far":
            return [(self.span - point.y, point.z - self.step) for point in points]
        return [(point.y, point.z) for point in points]


@dataclass(frozen=True, kw_only=True)
class Figures:
    """What gable and shed have in common, as written in the job and as numbers in its unit."""

    changes: dict[str, Any]
    mm: float
    span: float
    depth: float
    thickness: float
    seat: float
    width: float
    tail: str
    tail_height: float
    pitches: tuple[float, ...]

    def drawn(self, pitch: float, head: float, overhang: float, **more: Any) -> Drawn:
        return Drawn(
            pitch=pitch,
            depth=self.depth,
            seat=self.seat,
            overhang=overhang,
            tail=self.tail,
            tail_height=self.tail_height,
            head=head,
            **more,
        )


@st.composite
def figures(draw: st.DrawFn, *, slopes: int) -> Figures:
    name: UnitName = draw(st.sampled_from(("imperial", "metric")))
    mm = UNITS[name].from_mm(1.0)
    size = draw(st.sampled_from(SIZES[name]))
    section = parse_size(size, UNITS[name])
    first = draw(st.floats(6, 78))
    angles = (first, *(first + draw(st.floats(-20, 6)) for _ in range(slopes - 1)))
    assume(min(angles) >= 5)
    pitches = tuple(tan(radians(angle)) for angle in angles)
    steepest = max(radians(angle) for angle in angles)
    # As far as the seat of the steepest slope leaves a tenth of the depth.
    seat = draw(st.floats(0.05, 0.9)) * section.depth / (tan(steepest) * cos(steepest))
    seat = min(seat, 900 * mm)
    tail = draw(st.sampled_from(TAILS))
    height = 0.0
    if tail == "plumb-level":
        flattest = min(radians(angle) for angle in angles)
        height = draw(st.floats(0.05, 0.95)) * section.depth / cos(flattest)
    span, width = draw(st.floats(3000, 12_000)) * mm, draw(st.floats(20, 300)) * mm
    rake = draw(st.sampled_from((0.0, section.thickness, 300 * mm)))
    changes = {
        "units": name,
        "roof.span": span,
        "roof.length": 1200 * mm,
        "roof.pitch": f"{first!r}deg",
        "roof.rake_overhang": rake,
        "rafter": {"size": size, "spacing": 700 * mm, "seat": seat, "tail": tail},
        "plate": {"width": width},
    }
    if height:
        changes["rafter.tail_height"] = height
    if slopes > 1:
        changes["roof.far_pitch"] = f"{angles[1]!r}deg"
    return Figures(
        changes=changes,
        mm=mm,
        span=span,
        depth=section.depth,
        thickness=section.thickness,
        seat=seat,
        width=width,
        tail=tail,
        tail_height=height,
        pitches=pitches,
    )


def overhang_over(draw: st.DrawFn, drawn: list[Drawn], mm: float) -> float:
    """Draw an overhang that every tail allows, and a job too."""
    out = max(d.least_overhang for d in drawn) + draw(st.floats(1, 1500)) * mm
    assume(out <= 3000 * mm)
    return out


@st.composite
def gables(draw: st.DrawFn) -> Example:
    f = draw(figures(slopes=2))
    name: UnitName = f.changes["units"]
    kind = draw(st.sampled_from(("board", "beam", "none")))
    ridge: dict[str, Any] = {"kind": kind}
    half = 0.0
    if kind != "none":
        ridge["size"] = draw(st.sampled_from(RIDGES[name]))
        half = parse_size(ridge["size"], UNITS[name]).thickness / 2
    step = draw(st.floats(-1000, 1000)) * f.mm
    plain = [f.drawn(pitch, 0.0, 0.0) for pitch in f.pitches]
    overhang = overhang_over(draw, plain, f.mm)
    # Where the two top edges meet: height + pitch run, from both sides, over one span.
    near, far = plain
    rise = step + far.height_above_plate - near.height_above_plate
    run = (rise + far.pitch * f.span) / (near.pitch + far.pitch)
    runs = (run, f.span - run)
    assume(min(runs) > f.width + f.seat + half + 10 * f.mm)
    short = half if kind == "board" else 0.0
    bottoms = [base + d.bottom(r) for d, r, base in zip(plain, runs, (0.0, step), strict=True)]
    drawn = {}
    for line, pitch, r, base in zip(("near", "far"), f.pitches, runs, (0.0, step), strict=True):
        beam = (half, max(bottoms) - base) if kind == "beam" else None
        for role in ("common", "barge"):
            drawn[line, role] = f.drawn(
                pitch, r - short, overhang, beam=beam, birdsmouth=role == "common"
            )
    changes = f.changes | {
        "ridge": ridge,
        "roof.overhang": overhang,
        "roof.plate_height": 3000 * f.mm,
        "roof.far_plate_height": 3000 * f.mm + step,
    }
    return Example(roof=roof_of(GABLE, changes), span=f.span, step=step, drawn=drawn)


@st.composite
def sheds(draw: st.DrawFn) -> Example:
    f = draw(figures(slopes=1))
    (pitch,) = f.pitches
    overhang = overhang_over(draw, [f.drawn(pitch, 0.0, 0.0)], f.mm)
    changes = f.changes | {"roof.overhang": overhang, "roof.high_overhang": None}
    high = draw(st.sampled_from(("plate", "plate heights", "ledger")))
    if high == "ledger":
        size = "45mm x 245mm"
        changes |= {"roof.high_end": "ledger", "ledger": {"size": size}}
        head, inside = f.span - 45 * f.mm, None
    else:
        beyond = draw(st.sampled_from((0.0, 350 * f.mm)))
        changes["roof.high_overhang"] = beyond
        head, inside = f.span + beyond, f.span - f.width
        if high == "plate heights":
            changes["roof.pitch"] = None
            changes["roof.plate_height"] = 2400 * f.mm
            changes["roof.far_plate_height"] = 2400 * f.mm + pitch * inside
            assume(2400 * f.mm + pitch * inside <= 30_000 * f.mm)
    assume(f.seat < f.span - 2 * f.width)
    return Example(
        roof=roof_of(SHED, changes),
        span=f.span,
        step=0.0,
        drawn={
            ("low", "common"): f.drawn(pitch, head, overhang, inside=inside),
            ("low", "barge"): f.drawn(pitch, head, overhang, birdsmouth=False),
        },
    )


def same_ring(points: list[Vertex], expected: list[Vertex]) -> bool:
    """Tell whether two closed rings are one, wherever they start."""
    if len(points) != len(expected):
        return False
    start = min(range(len(points)), key=lambda i: abs(complex(*points[i]) - complex(*expected[0])))
    turned = points[start:] + points[:start]
    return all(
        abs(complex(*one) - complex(*other)) < EXACT
        for one, other in zip(turned, expected, strict=True)
    )


@settings(max_examples=150, deadline=None)
@given(st.one_of(gables(), sheds()))
def test_outline(example: Example) -> None:
    for member, drawn in example.rafters():
        stick = member.stick
        own = example.own(member)
        assert same_ring(own, drawn.vertices()), (own, drawn.vertices())
        assert stick.length == pytest.approx(drawn.length, abs=EXACT)
        area = drawn.length * drawn.depth - drawn.cut_away
        assert stick.near.polygon.area == pytest.approx(area, rel=1e-9)
        for outline in stick.outlines:
            ring = shapely.LinearRing(outline.points)
            assert outline.polygon.is_valid
            assert ring.is_ccw
            assert outline.points[0][0] == pytest.approx(0, abs=EXACT)
            assert len(set(outline.points)) == len(outline.points) == len(outline.edges)
            assert outline.polygon.bounds == pytest.approx(
                (0, 0, stick.length, stick.depth), abs=EXACT
            )
        assert stick.near == stick.far
        assert stick.is_square_to_face


@settings(max_examples=100, deadline=None)
@given(st.one_of(gables(), sheds()))
def test_edges_in_plan(example: Example) -> None:
    """Top edges lie in the roof plane, seats on the plate, heels on its outside."""
    for member, drawn in example.rafters():
        ends = example.own(member)
        named = list(zip(member.stick.middle.edges, ends, ends[1:] + ends[:1], strict=True))

        def on(name: str, ring: list[tuple[str, Vertex, Vertex]] = named) -> list[Vertex]:
            return [v for edge, *both in ring if edge == name for v in both]

        assert [z for _, z in on("top")] == pytest.approx(
            [drawn.top(run) for run, _ in on("top")], abs=EXACT
        )
        assert len(on("top")) == 2
        assert [z for _, z in on("seat")] == pytest.approx([0.0] * len(on("seat")), abs=EXACT)
        assert [run for run, _ in on("heel")] == pytest.approx([0.0] * len(on("heel")), abs=EXACT)
        assert bool(on("seat")) == bool(on("heel")) == drawn.birdsmouth
        xs = [point.x for point in in_plan(member)]
        assert xs == pytest.approx([member.station] * len(xs), abs=EXACT)
        head = member.stick.end_planes("head")[0]
        assert (head.miter, head.tilt) == pytest.approx((degrees(drawn.slope), 0.0))
        assert member.line_length == pytest.approx(drawn.head / cos(drawn.slope), abs=EXACT)
        assert member.tail_length == pytest.approx(drawn.overhang / cos(drawn.slope), abs=EXACT)


def sides(member: Member) -> tuple[float, float]:
    """Return where across the building a level member's wide faces stand."""
    stick = member.stick
    ys = [stick.frame.outward(Vector(0.0, 0.0, z)).y for z in (0.0, stick.thickness)]
    return min(ys), max(ys)


def reach(roof: Roof, line: str) -> set[float]:
    """Return how far across the building the rafters of a slope reach uphill, to 1e-6."""
    pick = min if line == "far" else max
    return {
        round(pick(point.y for point in in_plan(m)), 6)
        for m in roof.members
        if m.role in ("common", "barge") and m.line == line
    }


@settings(max_examples=80, deadline=None)
@given(gables())
def test_heads_lie_on_the_ridge(example: Example) -> None:
    roof = example.roof
    (near,), (far,) = (reach(roof, line) for line in ("near", "far"))
    ridges = [m for m in roof.members if m.role == "ridge"]
    beam = example.drawn["near", "common"].beam
    if ridges and not beam:
        assert [sides(m) for m in ridges] == [pytest.approx((near, far), abs=1e-5)] * len(ridges)
        return
    assert near == pytest.approx(far, abs=1e-5)
    for ridge in ridges:
        assert sum(sides(ridge)) / 2 == pytest.approx(near, abs=1e-5)
        assert max(point.z for point in in_plan(ridge)) == pytest.approx(beam[1], abs=EXACT)


@settings(max_examples=40, deadline=None)
@given(sheds())
def test_heads_lie_on_the_ledger(example: Example) -> None:
    roof = example.roof
    for ledger in (m for m in roof.members if m.role == "ledger"):
        (low,) = reach(roof, "low")
        assert sides(ledger) == pytest.approx((low, example.span), abs=1e-5)
        drawn = example.drawn["low", "common"]
        assert max(p.z for p in in_plan(ledger)) == pytest.approx(drawn.top(drawn.head), abs=EXACT)


# Closed forms, written out once with whole numbers: slope 3 in 4, so that hypotenuses are 5/4.
# Depth 8, seat 4, run 96 to the ridge's face, overhang 12: over the heel 10 - 3 = 7.
WHOLE = {
    "roof.span": 96 * 2 + 1.5,
    "roof.pitch": "9/12",
    "roof.overhang": 12,
    "rafter.size": "1 1/2in x 8in",
    "rafter.seat": 4,
    "ridge": {"kind": "board", "size": "2x12"},
}


@pytest.mark.parametrize(
    ("tail", "points", "area"),
    [
        # Board 135 + 6 long; two wedges of 8 x 6 / 2, and the notch's 4 x 3 / 2.
        (
            {"rafter.tail": "plumb"},
            [(0, 0), (15, 0), (16.8, 2.4), (20, 0), (135, 0), (141, 8), (6, 8)],
            141 * 8 - 24 - 24 - 6,
        ),
        # The square cut takes no wedge from its board.
        (
            {"rafter.tail": "square"},
            [(0, 0), (9, 0), (10.8, 2.4), (14, 0), (129, 0), (135, 8), (0, 8)],
            135 * 8 - 24 - 6,
        ),
        # 4 in plumb: its foot is 4 x 4/5 under the top edge and 4 x 3/5 outside of its tip; the
        # level cut runs from there to the bottom edge, 4 in down for each 3 up the square.
        (
            {"rafter.tail": "plumb-level", "rafter.tail_height": 4},
            [
                (0, 4.8),
                (6.4, 0),
                (11.4, 0),
                (13.2, 2.4),
                (16.4, 0),
                (131.4, 0),
                (137.4, 8),
                (2.4, 8),
            ],
            137.4 * 8 - 24 - 6 - 4.8 * 6.4 / 2 - 2.4 * 3.2 / 2,
        ),
    ],
    ids=["plumb", "square", "plumb-level"],
)
def test_closed_form(tail: dict[str, Any], points: list[Vertex], area: float) -> None:
    for line in ("near", "far"):
        outline = common(roof_of(GABLE, WHOLE | tail), line).stick.near
        assert outline.points == pytest.approx([pytest.approx(p) for p in points])
        assert outline.polygon.area == pytest.approx(area)


def test_closed_form_of_a_level_tail() -> None:
    # The tip stands 7 - 3/4 x 12 = 2 in under the plate's top: the level cut meets the heel line
    # before the bottom edge, 2 in down, and the tail's tip is the leftmost point of the board.
    outline = common(roof_of(GABLE, WHOLE | {"rafter.tail": "level"}), "near").stick.near
    tip, heel = (0, 8), (12 * 0.8, 8 - 12 * 0.6)
    points = [tip, heel, (heel[0] + 1.2, heel[1] + 1.6), (14, 0), (129, 0), (135, 8)]
    assert outline.points == pytest.approx([pytest.approx(p) for p in points])
    assert outline.edges == ("level", "heel", "seat", "bottom", "plumb", "top")
