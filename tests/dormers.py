"""Dormers, for tests: wings laid on a slope inside the first roof's walls. Plain ones, and any."""

from __future__ import annotations

from math import ceil, hypot
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from tests.jobs import Tables, changed

DORMER: Tables = {
    "name": "Test dormer",
    "units": "imperial",
    "roof": {
        "form": "gable",
        "span": "28ft",
        "length": "40ft",
        "pitch": "9/12",
        "overhang": 12,
        "rake_overhang": 12,
        "plate_height": "8ft",
    },
    "rafter": {"size": "2x8", "spacing": 16},
    "ridge": {"kind": "board", "size": "2x10"},
    "valley": {"size": "2x10", "kind": "overlay", "sheathing": 0.5},
    "plate": {"width": 3.5},
    "wing": [
        {
            "form": "gable",
            "span": "6ft",
            "length": "8ft",
            "at": ["20ft", "3ft"],
            "turn": 90,
            "overhang": 8,
            "rake_overhang": 8,
            "plate_height": "14ft",
        }
    ],
}
"""Its front stands 3 ft inside the wall, its plates 6 ft above the roof's."""

HIPPED: Tables = changed(
    DORMER,
    {
        "hip": {"size": "2x10"},
        "wing": [
            {k: v for k, v in DORMER["wing"][0].items() if k != "rake_overhang"} | {"form": "hip"}
        ],
    },
)
"""The same with a hipped front."""

NEAR_A_PEAK: Tables = {
    "name": "Test dormer near a peak",
    "units": "metric",
    "roof": {
        "form": "hip",
        "span": 7700,
        "length": 17_700,
        "pitch": "45%",
        "plate_height": 2400,
        "overhang": 600,
    },
    "rafter": {"size": "38x235", "spacing": 350, "tail": "level"},
    "ridge": {"kind": "board", "size": "19x286"},
    "valley": {"size": "45x245", "kind": "overlay", "sheathing": 9},
    "plate": {"width": 95},
    "hip": {"size": "45x245", "jacks_from": "common"},
    "wing": [
        {
            "form": "hip",
            "span": 900,
            "length": 2849,
            "pitch": "62%",
            "plate_height": 3682,
            "overhang": 600,
            "at": [17_700, 4300],
            "turn": 180,
        }
    ],
}
"""A narrow one on a hip end, its ridge so high that it dies into the slope just below the peak."""


@st.composite
def any_dormers(draw: st.DrawFn) -> Tables:
    """One or two dormers on any slope of any roof; some cannot be framed, and are refused.

    Their fronts stand inside the wall, flush with it, or out past the overhang; their plates are as
    high as their tails need, and their ridges lower than the roof's.
    """
    tail = draw(st.sampled_from(["plumb", "plumb", "square", "level"]))
    hipped, pitch = draw(st.booleans()), draw(st.integers(45, 120)) / 100
    end_pitch = (
        draw(st.sampled_from([pitch, draw(st.integers(45, 120)) / 100])) if hipped else pitch
    )
    span = draw(st.integers(70, 110)) * 100
    length = draw(st.integers(100, 160)) * 100 + (span if hipped else 0)
    outs = {"plumb": [0, 300], "square": [450, 600], "level": [600, 800]}
    out = draw(st.sampled_from(outs[tail]))
    depth = draw(st.sampled_from([145, 195, 235]))
    side = draw(st.sampled_from(["near", "far", "right"] if hipped else ["near", "far"]))
    slope, along, rise = pitch, length, pitch * span / 2
    if side == "right":
        slope, along = end_pitch, span
    sheathing = draw(st.integers(9, 25))
    count, wings = draw(st.sampled_from([1, 1, 2])), []
    room = along / count
    for i in range(count):
        wing, width, front, run = _dormer(draw, tail, depth, sheathing, slope, rise, out)
        # Clear of rakes or hips, mostly.
        clear = (run * pitch / end_pitch if hipped else 300) + (wing.get("overhang") or out)
        low, high = i * room + clear, (i + 1) * room - clear - width
        begin = draw(st.integers(0, 1000)) / 1000 * (high - low) + low
        begin = round(begin if high > low else (low + high) / 2)
        wings.append(wing | _place(side, begin, width, front, span, length))
    tables: Tables = {
        "name": "Any dormers",
        "units": "metric",
        "roof": {
            "form": "hip" if hipped else "gable",
            "span": span,
            "length": length,
            "pitch": f"{pitch:%}",
            "plate_height": 2400,
            "overhang": out,
        },
        "rafter": {
            "size": f"{draw(st.sampled_from([38, 45]))}x{depth}",
            "spacing": draw(st.integers(350, 700)),
            "tail": tail,
        },
        "ridge": {"kind": "board", "size": draw(st.sampled_from(["45x245", "38x286", "19x286"]))},
        "valley": {
            "size": draw(st.sampled_from(["45x245", "38x286", "25x286"])),
            "kind": "overlay",
            "sheathing": sheathing,
        },
        "plate": {"width": draw(st.sampled_from([95, 140]))},
        "wing": wings,
    }
    if hipped:
        tables["roof"]["end_pitch"] = f"{end_pitch:%}"
    else:
        tables["roof"]["rake_overhang"] = draw(st.sampled_from([0, 300]))
    if hipped or any(wing["form"] == "hip" for wing in wings):
        tables["hip"] = {
            "size": draw(st.sampled_from(["45x245", "38x286"])),
            "top": draw(st.sampled_from(["drop", "back"])),
            "jacks_from": draw(st.sampled_from(["common", "corner"])),
        }
    return tables


def _dormer(
    draw: st.DrawFn, tail: str, depth: int, sheathing: int, slope: float, rise: float, out: int
) -> tuple[dict[str, Any], int, int, float]:
    """Return a dormer's keys, its width, the run of its front, and that of its ridge's end."""
    form = draw(st.sampled_from(["gable", "hip"]))
    own = draw(st.integers(30, 120)) / 100
    front = draw(st.sampled_from([0, -out - 300, *[draw(st.integers(1, 2000))] * 4]))
    given = front <= 0 or draw(st.booleans())
    overhangs = {"plumb": [0, 150, 300], "square": [200, 300], "level": [600, 800]}
    overhang = draw(st.sampled_from(overhangs[tail]))
    tails = own * (overhang if given else out) + depth * hypot(1, own)
    least = (
        slope * (front + 60) + sheathing * hypot(1, slope) + tails + (100 if form == "hip" else 0)
    )
    plate = max(ceil(least), 100) + draw(st.sampled_from([0, *[draw(st.integers(1, 1200))] * 2]))
    end = draw(st.sampled_from([own, draw(st.integers(30, 120)) / 100]))
    widest = min(5000, 0.9 * 2 * (rise - plate) / own)
    if form == "hip" and end < slope:
        # Its hips meet above the slope.
        widest = min(widest, 2 * (plate / slope - front - 500) / (own / end - own / slope))
    assume(widest > 900)
    width = draw(st.integers(900, int(widest)))
    top = (plate + own * width / 2) / slope
    wing: dict[str, Any] = {
        "form": form,
        "span": width,
        "pitch": f"{own:%}",
        "plate_height": 2400 + plate,
        "length": max(300, ceil(plate / slope - front)) + draw(st.integers(0, 500)),
    }
    if given:
        wing["overhang"] = overhang
    if form == "gable":
        wing["rake_overhang"] = draw(st.sampled_from([0, 250]))
    else:
        wing["end_pitch"] = f"{end:%}"
        wing["length"] = max(wing["length"], ceil(own * width / end / 2) + 200)
    if draw(st.integers(0, 3)) == 0:
        wing["far_pitch"] = f"{own * draw(st.integers(80, 120)) / 100:%}"
    return wing, width, front, top


def _place(side: str, begin: int, width: int, front: int, span: int, length: int) -> dict[str, Any]:
    """Return where a dormer's corner is and how it is turned, on a side of the roof."""
    if side == "near":
        return {"at": [begin + width, front], "turn": 90}
    if side == "far":
        return {"at": [begin, span - front], "turn": 270}
    return {"at": [length - front, begin + width], "turn": 180}


SHED_DORMER: Tables = changed(
    DORMER,
    {
        "wing": [
            {
                "form": "shed",
                "length": "12ft",
                "span": "11ft",
                "at": ["14ft", "2ft"],
                "pitch": "3/12",
                "plate_height": "12ft",
                "overhang": 10,
                "rake_overhang": 6,
            }
        ]
    },
)
"""A flat slope on the near one, its front 2 ft inside the wall, its plate 4 ft above the roof's."""


@st.composite
def any_shed_dormers(draw: st.DrawFn) -> Tables:
    """A shed dormer, in place of the first of any dormers; some are refused."""
    tables = draw(any_dormers())
    roof, (_, *others) = tables["roof"], tables["wing"]
    span, length = roof["span"], roof["length"]
    main = float(roof["pitch"].rstrip("%")) / 100
    pitch = draw(st.integers(10, int(70 * main))) / 100
    front, rake = draw(st.integers(0, 1500)), draw(st.sampled_from([0, 200, 400]))
    # Its head is well below the ridge, and clear of rakes or hips.
    back = draw(st.integers(front + 800, span // 2 - 200))
    clear = rake + 100 + (back * main / _end_pitch(roof) if roof["form"] == "hip" else 0)
    assume(length - 2 * clear > 1500)
    width = draw(st.integers(1500, int(length - 2 * clear)))
    begin = draw(st.integers(ceil(clear), max(ceil(clear), int(length - clear - width))))
    far = draw(st.booleans())
    given = {"plumb": [0, 150, 300], "square": [200, 300], "level": [600, 800]}
    shed: dict[str, Any] = {
        "form": "shed",
        "length": width,
        "span": back - front + draw(st.integers(1, 500)),
        "at": [begin + width, span - front] if far else [begin, front],
        "turn": 180 if far else 0,
        "pitch": f"{pitch:%}",
        "plate_height": 2400 + round(front * main + (back - front) * (main - pitch)),
        "overhang": draw(st.sampled_from(given[tables["rafter"]["tail"]])),
        "rake_overhang": rake,
    }
    keeps = others if draw(st.booleans()) else []
    if roof["form"] != "hip" and all(wing["form"] != "hip" for wing in keeps):
        tables = {key: table for key, table in tables.items() if key != "hip"}
    return {**tables, "wing": [shed, *keeps]}


def _end_pitch(roof: dict[str, Any]) -> float:
    return float(roof.get("end_pitch", roof["pitch"]).rstrip("%")) / 100
