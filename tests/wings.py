"""Roofs that meet, for tests: plain ones to change, and any made up."""

from __future__ import annotations

from cmath import rect
from math import ceil, radians, tan
from typing import Any

from hypothesis import strategies as st

from cutlist.roof.surface import Surface, surface_of
from cutlist.roof.wings import buildings
from tests.jobs import Tables, changed, job_of

TEE: Tables = {
    "name": "Test tee",
    "units": "imperial",
    "roof": {
        "form": "gable",
        "span": "24ft",
        "length": "40ft",
        "pitch": "6/12",
        "overhang": 12,
        "rake_overhang": 12,
    },
    "rafter": {"size": "2x8", "spacing": 16},
    "ridge": {"kind": "board", "size": "2x10"},
    "valley": {"size": "2x10"},
    "plate": {"width": 5.5},
    "wing": [
        {
            "form": "gable",
            "span": "16ft",
            "length": "12ft",
            "at": ["28ft", "-12ft"],
            "turn": 90,
            "rake_overhang": 12,
        }
    ],
}
"""A lower, narrower wing in the middle of a gable roof: its ridge ends on the near slope."""

ELL: Tables = changed(
    TEE,
    {
        "roof.form": "hip",
        "roof.ends": ["gable", "hip"],
        "hip": {"size": "2x10"},
        "wing": [
            {
                "form": "gable",
                "span": "24ft",
                "length": "16ft",
                "at": ["40ft", "-16ft"],
                "turn": 90,
                "rake_overhang": 12,
            }
        ],
    },
)
"""Equal spans around a corner: a hip outside, a valley inside, both ridges at one height."""


def with_wing(base: Tables, changes: dict[str, Any]) -> Tables:
    """Return tables with keys of the first wing set, or taken out by None."""
    wing = {**base["wing"][0], **changes}
    return changed(base, {"wing": [{k: v for k, v in wing.items() if v is not None}]})


FLUSH = with_wing(ELL, {"span": "16ft"})
"""A narrower wing in line with the hip end: the hip starts at its ridge."""

EQUAL_TEE = with_wing(TEE, {"span": "24ft", "at": ["32ft", "-12ft"]})
"""A wing as wide as the roof: two valleys run to the crossing of the ridges."""

HIPPED = with_wing(
    changed(ELL, {"roof.ends": None, "roof.rake_overhang": None}),
    {"form": "hip", "span": "16ft", "at": ["28ft", "-14ft"], "length": "14ft"},
)
"""Hips at all three free ends, the wing's ridge lower."""

CROSS = with_wing(EQUAL_TEE, {"length": "48ft"})
"""A wing that passes over the first roof and out again, at one height."""


def surface(tables: Tables) -> Surface:
    return surface_of([b.wing for b in buildings(job_of(tables), 0.0)])


@st.composite
def any_wings(draw: st.DrawFn) -> Tables:
    """Any roof with one or two wings; many of them cannot be framed, and are refused."""

    def pitch() -> str:
        return f"{draw(st.integers(30, 110))}%"

    def size(*sizes: str) -> str:
        return draw(st.sampled_from(sizes))

    tail = draw(st.sampled_from(["plumb", "square", "level"]))
    span, length = draw(st.integers(50, 90)) * 100, draw(st.integers(10_000, 16_000))
    ends = draw(st.sampled_from([None, ["hip", "hip"], ["gable", "hip"], ["hip", "gable"]]))
    wings = [
        _wing(draw, span, length, hipped, 90 if i == 0 else draw(st.sampled_from([90, 270])))
        for i, hipped in enumerate(draw(st.lists(st.booleans(), min_size=1, max_size=2)))
    ]
    roof: dict[str, Any] = {
        "form": "hip" if ends else "gable",
        "span": span,
        "length": length,
        "pitch": pitch(),
        "plate_height": 2400,
        "overhang": draw(st.sampled_from([0, 300] if tail == "plumb" else [450, 600])),
    }
    if ends:
        roof["ends"] = ends
        if draw(st.booleans()):
            roof["end_pitch"] = pitch()
    if not ends or "gable" in ends:
        roof["rake_overhang"] = draw(st.sampled_from([0, 300]))
    tables: Tables = {
        "name": "Any wings",
        "units": "metric",
        "roof": roof,
        "rafter": {
            "size": size("45x195", "38x184", "38x235"),
            "spacing": draw(st.integers(350, 700)),
            "tail": tail,
        },
        "ridge": {"kind": "board", "size": size("45x245", "38x286", "19x286")},
        "valley": _valley(draw),
        "plate": {"width": draw(st.sampled_from([95, 140]))},
        "wing": wings,
    }
    if draw(st.integers(0, 3)) == 0:
        header = draw(st.sampled_from(["on", "beside"]))
        posts = {"every": draw(st.integers(1500, 3000)), "width": 120, "header": header}
        tables["plate"]["posts"] = posts
    if ends or any(wing["form"] == "hip" for wing in wings):
        tables["hip"] = {
            "size": size("45x245", "38x286"),
            "top": size("drop", "back"),
            "jacks_from": size("common", "corner"),
        }
    return tables


def _valley(draw: st.DrawFn) -> dict[str, Any]:
    valley = {"size": draw(st.sampled_from(["45x245", "38x286"]))}
    if draw(st.integers(0, 3)) == 0:
        return {**valley, "kind": "overlay", "sheathing": draw(st.integers(9, 25))}
    return valley


def _wing(draw: st.DrawFn, span: int, length: int, hipped: bool, turn: int) -> dict[str, Any]:
    width = draw(st.one_of(st.just(span), st.integers(25, span // 100).map(lambda w: 100 * w)))
    out = draw(st.integers(1500, 5000))
    wing: dict[str, Any] = {
        "form": "hip" if hipped else "gable",
        "span": width,
        "length": out,
        "turn": turn + draw(st.sampled_from([0, 0, 0, -15, 8])),
        "rake_overhang": draw(st.sampled_from([0, 250])),
        "open": draw(st.booleans()),
    }
    if turn == 90:
        wing["at"] = [draw(st.one_of(st.integers(width, length), st.just(length))), -out]
    else:
        wing["at"] = [draw(st.integers(0, length - width)), span + out]
    if draw(st.integers(0, 2)) == 0:
        wing["plate_height"] = 2400 + draw(st.integers(-200, 600))
    for key in ("pitch", "far_pitch"):
        if draw(st.integers(0, 3)) == 0:
            wing[key] = f"{draw(st.integers(30, 110))}%"
    return wing


def _turned(wing: dict[str, Any], more: float) -> dict[str, Any]:
    """Return a wing turned by so many degrees about the middle of its right end.

    There it is drawn out so far that its whole width still runs in.
    """
    turned = _along(wing) * _way(more)
    corner = _right_end(wing) - turned * (wing["length"] + 1j * wing["span"] / 2)
    out = wing["span"] / 2 * abs(tan(radians(more))) + (10 if more else 0)
    return {**_moved(wing, corner, more), "length": ceil(wing["length"] + out)}


def _both_turned(
    host: dict[str, Any], on: dict[str, Any], more: float
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return a wing turned as above, and one on its side that goes with it."""
    middle = _right_end(host)
    corner = middle + (complex(*on["at"]) - middle) * _way(more)
    return _turned(host, more), _moved(on, corner, more)


def _right_end(wing: dict[str, Any]) -> complex:
    return complex(*wing["at"]) + _along(wing) * (wing["length"] + 1j * wing["span"] / 2)


def _moved(wing: dict[str, Any], corner: complex, more: float) -> dict[str, Any]:
    return {**wing, "at": [corner.real, corner.imag], "turn": wing["turn"] + more}


def _along(wing: dict[str, Any]) -> complex:
    return _way(wing["turn"])


def _way(degrees: float) -> complex:
    return rect(1.0, radians(degrees))


@st.composite
def three_wings(draw: st.DrawFn) -> Tables:
    """A roof with three wings clear of each other: on both long sides, or one on another's side.

    Some are turned by odd angles.
    Each is narrower than what it runs into and no steeper, so that nearly all can be framed.
    """
    span, length = draw(st.integers(70, 90)) * 100, draw(st.integers(150, 200)) * 100
    pitch = draw(st.integers(40, 100))

    def wing(widest: int, out: int, turn: int) -> dict[str, Any]:
        return {
            "form": draw(st.sampled_from(["gable", "hip"])),
            "span": 100 * draw(st.integers(25, widest // 100)),
            "length": out,
            "turn": turn,
            "pitch": f"{draw(st.integers(max(30, pitch - 15), pitch))}%",
            "plate_height": 2400 - draw(st.integers(0, 100)),
            "open": draw(st.booleans()),
        }

    def beside(side: int, begin: int, end: int) -> dict[str, Any]:
        out = draw(st.integers(2000, 4000))
        found = wing(min(span - 1500, end - begin), out, side)
        left = draw(st.integers(begin, end - found["span"]))
        at = [left + found["span"], -out] if side == 90 else [left, span + out]
        return {**found, "at": at}

    middle, clear = length // 2, 1500
    odd = st.sampled_from([0, 0, 0, -22.5, -15, -4, 8, 30])
    if draw(st.booleans()):
        sides = draw(st.sampled_from([(90, 90, 270), (90, 270, 270)]))
        first = beside(sides[0], clear, middle - clear // 2)
        second = beside(sides[1], middle + clear // 2, length - clear)
        third = beside(sides[2], clear, (length if sides[2] != sides[1] else middle) - clear)
        wings = [_turned(wing, draw(odd)) for wing in (first, second, third)]
    else:
        out = draw(st.integers(6500, 8000))
        host = {**wing(span - 1500, out, 90), "form": "gable", "at": [middle + 2000, -out]}
        host["span"] = max(host["span"], 4500)
        on = wing(min(host["span"] - 1500, 3500), draw(st.integers(2000, 3000)), 0)
        on["pitch"] = host["pitch"]
        on["plate_height"] = host["plate_height"]
        on["at"] = [middle + 2000, -out + clear]
        host, on = _both_turned(host, on, draw(odd))
        wings = [host, on, _turned(beside(270, clear, length - clear), draw(odd))]
    form = "hip" if draw(st.booleans()) else "gable"
    roof = {"form": form, "span": span, "length": length, "pitch": f"{pitch}%"}
    return _with_wings("Three wings", roof, draw(st.integers(400, 700)), wings)


def _with_wings(
    name: str, roof: dict[str, Any], spacing: int, wings: list[dict[str, Any]]
) -> Tables:
    """Return a metric roof with wings, its other keys the same for all."""
    tables: Tables = {
        "name": name,
        "units": "metric",
        "roof": {**roof, "plate_height": 2400, "overhang": 450},
        "rafter": {"size": "45x195", "spacing": spacing},
        "ridge": {"kind": "board", "size": "45x245"},
        "valley": {"size": "45x245"},
        "plate": {"width": 140},
        "wing": wings,
    }
    if any(table["form"] == "hip" for table in (roof, *wings)):
        tables["hip"] = {"size": "45x245"}
    return tables


@st.composite
def wings_on_turned_wings(draw: st.DrawFn) -> Tables:
    """A wing, and one on its side at an odd angle to it, drawn into it with its whole width."""
    span, length = draw(st.integers(70, 90)) * 100, draw(st.integers(150, 200)) * 100
    pitch, out, low = (draw(st.integers(*ends)) for ends in ((40, 100), (6500, 8000), (0, 100)))
    host: dict[str, Any] = {
        "form": "gable",
        "span": draw(st.integers(45, (span - 1500) // 100)) * 100,
        "length": out,
        "turn": 90,
        "plate_height": 2400 - low,
        "open": draw(st.booleans()),
        "at": [length // 2 + 2000, -out],
    }
    width = 100 * draw(st.integers(25, min((host["span"] - 1500) // 100, 35)))
    own = draw(st.integers(2000, 3000))
    on: dict[str, Any] = {
        "form": draw(st.sampled_from(["gable", "hip"])),
        "span": width,
        "length": own,
        "turn": 180,
        "pitch": f"{draw(st.integers(max(30, pitch - 20), pitch))}%",
        "plate_height": host["plate_height"] - draw(st.integers(0, 80)),
        "open": draw(st.booleans()),
        "at": [host["at"][0] + own, 1500 - out + width],
    }
    spacing = draw(st.integers(400, 700))
    turned = _turned(on, draw(st.sampled_from([-22.5, -15, -4, 8, 15, 25])))
    roof = {"form": "gable", "span": span, "length": length, "pitch": f"{pitch}%"}
    return _with_wings("A wing on a wing", roof, spacing, [host, turned])


def _with_hip_ends(draw: st.DrawFn) -> Tables:
    """Return any wings on a roof of which the right end at least is a hip."""
    tables: Tables = draw(any_wings().filter(lambda tables: tables["roof"]["form"] == "hip"))
    roof = tables["roof"]
    roof["ends"] = draw(st.sampled_from([["hip", "hip"], ["gable", "hip"]]))
    if "gable" not in roof["ends"]:
        roof.pop("rake_overhang", None)
    return tables


@st.composite
def wings_on_hip_ends(draw: st.DrawFn) -> Tables:
    """A hip roof with a narrower wing on its right end, which keeps its slope beside it."""
    tables = _with_hip_ends(draw)
    roof = tables["roof"]
    width = 100 * draw(st.integers(20, roof["span"] // 100 - 5))
    aside = draw(st.integers(0, roof["span"] - width))
    wing = tables["wing"][0] | {"span": width, "at": [roof["length"], aside], "turn": 0}
    if draw(st.booleans()):
        wing["pitch"] = f"{draw(st.integers(30, 110))}%"
    for key in ("ends", "plate_height", "overhang"):
        wing.pop(key, None)
    return {**tables, "wing": [wing]}


@st.composite
def flush_wings(draw: st.DrawFn) -> Tables:
    """A hip roof with narrower wings, each with one wall in line with a hip end's."""
    tables = _with_hip_ends(draw)
    roof = tables["roof"]
    end_pitch = roof.get("end_pitch", roof["pitch"])
    places = ["near right", "far right"]
    if "gable" not in roof["ends"]:
        places += ["near left", "far left"]
    places = draw(st.lists(st.sampled_from(places), min_size=1, max_size=3, unique=True))
    wings = [_flush_wing(draw, roof, place, end_pitch) for place in places]
    return {**tables, "valley": {"size": tables["valley"]["size"]}, "wing": wings}


def _flush_wing(
    draw: st.DrawFn, roof: dict[str, Any], place: str, end_pitch: str
) -> dict[str, Any]:
    """Return a wing at a corner of a roof, its slope there the roof's own end's."""
    side, end = place.split()
    narrower = 100 * draw(st.integers(20, roof["span"] // 100 - 2))
    width = min(narrower, roof["length"] // 2 - 1000)
    out = draw(st.integers(1500, 5000))
    own = end_pitch if draw(st.booleans()) else f"{draw(st.integers(30, 110))}%"
    # Seen from its outer end a wing's near slope is the one on the right.
    is_near = (side, end) in {("near", "right"), ("far", "left")}
    begin = roof["length"] - width if end == "right" else 0
    at = [begin + width, -out] if side == "near" else [begin, roof["span"] + out]
    return {
        "form": draw(st.sampled_from(["gable", "hip"])),
        "span": width,
        "length": out,
        "turn": 90 if side == "near" else 270,
        "at": at,
        "pitch": end_pitch if is_near else own,
        "far_pitch": own if is_near else end_pitch,
        "rake_overhang": draw(st.sampled_from([0, 250])),
        "open": draw(st.booleans()),
    }
