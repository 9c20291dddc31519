"""Roofs over plans of any number of sides, for tests: plain ones to change, and any made up."""

from __future__ import annotations

from math import cos, pi, radians, sin
from typing import Any

from hypothesis import strategies as st

from cutlist.roof.surface import Surface, surface_of
from cutlist.roof.wings import buildings
from tests.jobs import Tables, changed, job_of

OCTAGON: Tables = {
    "name": "Test octagon",
    "units": "imperial",
    "roof": {"form": "hip", "sides": 8, "span": "14ft", "pitch": "5/12", "overhang": 12},
    "rafter": {"size": "2x6", "spacing": 16},
    "ridge": {"kind": "none"},
    "hip": {"size": "2x8", "shortest_jack": 0},
    "plate": {"width": 3.5},
}
"""A regular plan: all hips meet in one point."""

LONG = changed(OCTAGON, {"roof.length": "20ft", "ridge.kind": "board", "ridge.size": "2x8"})
"""An octagon drawn out: four hips meet at each end of its ridge."""


def over(base: Tables, corners: list[tuple[Any, Any]], **roof: Any) -> Tables:
    """Return tables with their plan given by corners."""
    plan = {"roof.sides": None, "roof.span": None, "roof.length": None, "roof.corners": corners}
    plan |= {"ridge.kind": "board", "ridge.size": "2x8"}
    return changed(base, plan | {f"roof.{key}": value for key, value in roof.items()})


UNEVEN = over(
    OCTAGON,
    [("0ft", "0ft"), ("24ft", "0ft"), ("24ft", "14ft"), ("17ft", "20ft"), ("0ft", "14ft")],
)
"""Five sides of which no two are alike: hips start where lower hips meet."""


GABLED = over(
    OCTAGON,
    [
        ("0ft", "0ft"),
        ("20ft", "0ft"),
        ("20ft", "14ft"),
        ("0ft", "14ft"),
        ("-4ft 1 3/16in", "9ft 10 13/16in"),
        ("-4ft 1 3/16in", "4ft 1 3/16in"),
    ],
    pitch=None,
    pitches=["5/12", "gable", "5/12", "5/12", "5/12", "5/12"],
    rake_overhang=12,
)
"""A gable at the right end, half an octagon at the left: four hips meet there, and a ridge."""


def surface(tables: Tables) -> Surface:
    return surface_of([b.wing for b in buildings(job_of(tables), 0.0)])


@st.composite
def any_polygons(draw: st.DrawFn) -> Tables:
    """Any roof over a convex plan; some cannot be framed, and are refused."""
    count = draw(st.integers(3, 8))
    roof: dict[str, Any] = {"form": "hip", "plate_height": 2400}
    if count % 2 == 0 and draw(st.booleans()):
        roof["sides"], roof["span"] = count, draw(st.integers(30, 80)) * 100
        if count > 3 and draw(st.booleans()):
            roof["length"] = 2 * roof["span"]
    else:
        roof["corners"] = draw(_corners(count))
    if draw(st.integers(0, 2)):
        roof["pitch"] = f"{draw(st.integers(25, 110))}%"
    else:
        first = draw(st.integers(30, 90))
        others = st.integers(-12, 12).map(lambda more: f"{first + more}%")
        roof["pitches"] = [
            f"{first}%",
            *draw(st.lists(others, min_size=count - 1, max_size=count - 1)),
        ]
    hub = None
    if "sides" in roof and "pitch" in roof and "length" not in roof and draw(st.booleans()):
        hub = draw(st.integers(100, 500))
    tail = draw(st.sampled_from(["plumb", "square", "level"]))
    roof["overhang"] = draw(st.sampled_from([0, 300] if tail == "plumb" else [450, 600]))
    return {
        "name": "Any plan",
        "units": "metric",
        "roof": roof,
        "rafter": {
            "size": draw(st.sampled_from(["45x145", "45x195", "38x184"])),
            "spacing": draw(st.integers(350, 900)),
            "tail": tail,
        },
        "ridge": {"kind": "board", "size": draw(st.sampled_from(["45x245", "19x286"]))},
        "hip": {
            "size": draw(st.sampled_from(["45x245", "38x286", "90x260"])),
            "top": draw(st.sampled_from(["drop", "back"])),
            "jacks_from": draw(st.sampled_from(["common", "corner"])),
            **({"hub": hub} if hub else {}),
        },
        "plate": {"width": draw(st.sampled_from([95, 140]))},
    }


@st.composite
def _corners(draw: st.DrawFn, count: int) -> list[list[float]]:
    """Make up corners on an ellipse, which make a plan without inside corners."""
    shares = draw(st.lists(st.integers(4, 10), min_size=count, max_size=count))
    long, wide = draw(st.integers(25, 60)) * 100, draw(st.integers(20, 40)) * 100
    turn = radians(draw(st.integers(0, 359)))
    corners = []
    for share in shares:
        turn += 2 * pi * share / sum(shares)
        corners.append([round(long * cos(turn)), round(wide * sin(turn))])
    return corners


@st.composite
def any_gabled(draw: st.DrawFn) -> Tables:
    """Any roof over a convex plan with a gable, or two over a rectangle; some are refused."""
    tables = draw(any_polygons())
    corners = draw(_square_at_one_side())
    count = len(corners)
    pitch = draw(st.integers(25, 110))
    pitches: list[str] = [f"{pitch}%"] * count
    if draw(st.integers(0, 2)) == 0:
        others = st.integers(-12, 12).map(lambda more: f"{max(pitch + more, 20)}%")
        pitches = draw(st.lists(others, min_size=count, max_size=count))
    pitches[-1] = "gable"
    if count == 4 and draw(st.booleans()):
        corners = [[x, corners[i - i % 2][1]] for i, (x, _) in enumerate(corners)]
        corners[1][0] = corners[2][0]
        pitches[1] = "gable"
    first = draw(st.integers(0, count - 1))
    turn = radians(draw(st.one_of(st.just(0), st.integers(0, 359))))
    placed = [
        [round(x * cos(turn) - y * sin(turn)), round(x * sin(turn) + y * cos(turn))]
        for x, y in corners
    ]
    roof = {k: v for k, v in tables["roof"].items() if k in ("form", "plate_height", "overhang")}
    roof |= {
        "corners": placed[first:] + placed[:first],
        "pitches": pitches[first:] + pitches[:first],
        "rake_overhang": draw(st.sampled_from([0, 60, 300])),
    }
    tables["hip"].pop("hub", None)
    return {**tables, "roof": roof}


@st.composite
def _square_at_one_side(draw: st.DrawFn) -> list[list[float]]:
    """Make up corners of a plan of which the last side is square to both beside it."""
    count = draw(st.integers(1, 5))
    shares = [draw(st.integers(3, 10)) for _ in range(count + 1)]
    if draw(st.booleans()):
        shares = [one + other for one, other in zip(shares, reversed(shares), strict=True)]
    fronts = [draw(st.integers(8, 35)) * 100 for _ in range(count)]
    heading, at, ring = radians(180), (0.0, 0.0), []
    for share, front in zip(shares, fronts, strict=False):
        heading += pi * share / sum(shares)
        ring.append(at)
        at = (at[0] + front * cos(heading), at[1] + front * sin(heading))
    ring.append(at)
    # Both sides beside the gable run on to where it stands.
    wall = max(x for x, _ in ring) - at[1] / 3 + draw(st.integers(3, 60)) * 100
    return [[wall, 0.0], *([x, y] for x, y in ring), [wall, at[1]]]
