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
