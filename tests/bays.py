"""Wings and first roofs over plans of corners, for tests: plain ones, and any made up."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from tests.jobs import Tables, changed, job_of
from tests.polygons import OCTAGON, any_gabled, any_polygons

BAY: Tables = {
    "name": "Test bay",
    "units": "imperial",
    "roof": {
        "form": "gable",
        "span": "24ft",
        "length": "32ft",
        "pitch": "6/12",
        "overhang": 12,
        "rake_overhang": 12,
        "plate_height": "8ft",
    },
    "rafter": {"size": "2x8", "spacing": 16},
    "ridge": {"kind": "board", "size": "2x10"},
    "hip": {"size": "2x10"},
    "valley": {"size": "2x10"},
    "plate": {"width": 5.5},
    "wing": [
        {
            "form": "hip",
            "at": ["10ft", "0ft"],
            "corners": [
                ["0ft", "0ft"],
                ["0ft", "-3ft"],
                ["3ft 6 3/16in", "-6ft 6 3/16in"],
                ["8ft 5 13/16in", "-6ft 6 3/16in"],
                ["12ft", "-3ft"],
                ["12ft", "0ft"],
            ],
        }
    ],
}
"""Half an octagon drawn out: its four hips meet at the end of its ridge."""


def with_bay(base: Tables, corners: list[tuple[float, float]], **keys: Any) -> Tables:
    """Return tables whose one wing has these corners [in, or mm], and other keys set."""
    bay = {**base["wing"][0], "corners": [list(corner) for corner in corners], **keys}
    return changed(base, {"wing": [{k: v for k, v in bay.items() if v is not None}]})


SPLAYED = with_bay(BAY, [(0, 0), (30, -30), (66, -30), (96, 0)])
"""Both its side walls run back into the roof splayed: its hips meet, and one goes on from there."""

POINTED = with_bay(BAY, [(0, 0), (48, -48), (96, 0)])
"""Two walls and the hip between them, which ends on the roof's slope."""

PORCH = changed(
    OCTAGON,
    {
        "roof.span": "20ft",
        "roof.plate_height": "8ft",
        "ridge": {"kind": "board", "size": "2x8"},
        "hip.shortest_jack": None,
        "valley": {"size": "2x8"},
        "wing": [
            {
                "form": "gable",
                "span": "5ft",
                "length": "5ft",
                "at": ["12ft 6in", "-5ft"],
                "turn": 90,
                "rake_overhang": 12,
            }
        ],
    },
)
"""An octagon with a porch on the middle of its first side."""


@st.composite
def any_bays(draw: st.DrawFn) -> Tables:
    """Any bay on a long side of any roof; some cannot be framed, and are refused.

    Its walls turn by up to a right angle each; its side walls run straight back or are splayed.
    """
    span, length = draw(st.integers(60, 100)) * 100, draw(st.integers(100, 160)) * 100
    pitch = draw(st.integers(30, 110))
    hipped = draw(st.booleans())
    tail = draw(st.sampled_from(["plumb", "square", "level"]))
    roof: dict[str, Any] = {
        "form": "hip" if hipped else "gable",
        "span": span,
        "length": length + (span if hipped else 0),
        "pitch": f"{pitch}%",
        "plate_height": 2400,
        "overhang": draw(st.sampled_from([0, 300] if tail == "plumb" else [450, 600])),
    }
    corners = draw(_walls())
    width = max(x for x, _ in corners)
    room = max(length - round(width) - 1000, 0)
    begin = 500 + draw(st.integers(0, room)) + (span // 2 if hipped else 0)
    bay: dict[str, Any] = {"form": "hip", "corners": corners, "open": draw(st.booleans())}
    if draw(st.booleans()):
        bay |= {"at": [begin, 0]}
    else:
        bay |= {"at": [begin + width, span], "turn": 180}
    lower = st.integers(max(20, pitch - 25), pitch).map(lambda percent: f"{percent}%")
    if draw(st.booleans()):
        bay["pitch"] = draw(lower)
    elif draw(st.booleans()):
        side = draw(lower)
        front = draw(st.lists(lower, min_size=len(corners) - 3, max_size=len(corners) - 3))
        bay["pitches"] = [side, *front, draw(st.sampled_from([side, *front]))]
    if draw(st.integers(0, 3)) == 0:
        # Over a lower plate a ridge would come down into one that goes on across the mouth.
        bay["plate_height"] = 2400 + draw(st.integers(-200 if bay["open"] else 0, 300))
    return {
        "name": "Any bay",
        "units": "metric",
        "roof": roof,
        "rafter": {
            "size": draw(st.sampled_from(["45x195", "38x184", "38x235"])),
            "spacing": draw(st.integers(350, 700)),
            "tail": tail,
        },
        "ridge": {"kind": "board", "size": draw(st.sampled_from(["45x245", "38x286", "19x286"]))},
        "hip": {
            "size": draw(st.sampled_from(["45x245", "38x286"])),
            "top": draw(st.sampled_from(["drop", "back"])),
            "jacks_from": draw(st.sampled_from(["common", "corner"])),
        },
        "valley": {"size": draw(st.sampled_from(["45x245", "38x286"]))},
        "plate": {"width": draw(st.sampled_from([95, 140]))},
        "wing": [bay],
    }


@st.composite
def _walls(draw: st.DrawFn) -> list[list[float]]:
    """Make up the walls of a bay, from where they leave the roof's wall to where they return."""
    splay = draw(st.sampled_from([0, 0, 0, 20, 45, 60]))
    count = draw(st.integers(1, 4))
    shares = [draw(st.integers(3, 10)) for _ in range(count + 1)]
    # Turns from the first side wall to the last, all of them to the left.
    turns = [(180 - 2 * splay) * share / sum(shares) for share in shares]
    even = draw(st.booleans())
    if even:
        turns = [(one + other) / 2 for one, other in zip(turns, reversed(turns), strict=True)]
    heading = radians(-90 + splay)
    back = draw(st.integers(5, 20)) * 100
    fronts = [draw(st.integers(8, 25)) * 100 for _ in range(count)]
    if even:
        fronts = [(one + other) // 2 for one, other in zip(fronts, reversed(fronts), strict=True)]
    x, y = back * cos(heading), back * sin(heading)
    corners = [[0.0, 0.0], [x, y]]
    for turn, front in zip(turns, fronts, strict=False):
        heading += radians(turn)
        x, y = x + front * cos(heading), y + front * sin(heading)
        corners.append([x, y])
    # The last wall runs back to the roof's wall.
    heading += radians(turns[-1])
    corners.append([x - y / sin(heading) * cos(heading), 0.0])
    return [[round(x), round(y)] for x, y in corners]


@st.composite
def gabled_bays(draw: st.DrawFn) -> Tables:
    """Any bay with a gable, its walls square or askew to the roof's; some are refused."""
    tables = draw(any_bays())
    bay = tables["wing"][0]
    askew = radians(draw(st.one_of(st.just(0), st.integers(-40, 40))))
    width, out = draw(st.integers(15, 40)) * 100, draw(st.integers(5, 30)) * 100
    way, across = (sin(askew), -cos(askew)), (cos(askew), sin(askew))
    corners = [(0.0, 0.0)]
    if draw(st.integers(0, 5)) == 0:
        before = askew - radians(draw(st.integers(30, 45)))
        first = draw(st.integers(5, 15)) * 100
        corners.append((first * sin(before), -first * cos(before)))
    x, y = corners[-1]
    # The wall after the gable runs back to the roof's wall.
    out += width * max(sin(askew) / cos(askew), 0.0)
    corners.append((x + out * way[0], y + out * way[1]))
    x, y = corners[-1][0] + width * across[0], corners[-1][1] + width * across[1]
    corners += [(x, y), (x - y * way[0] / way[1], 0.0)]
    pitch = f"{draw(st.integers(20, 80))}%"
    if draw(st.integers(0, 2)):
        pitch = tables["roof"]["pitch"]
    bay["corners"] = [[round(x), round(y)] for x, y in corners]
    bay["pitches"] = [*[pitch] * (len(corners) - 3), "gable", pitch]
    bay["rake_overhang"] = draw(st.sampled_from([0, 60, 250]))
    bay.pop("pitch", None)
    return tables


@st.composite
def any_porches(draw: st.DrawFn) -> Tables:
    """Any roof over a convex plan with a wing on one of its walls, square to it."""
    return _with_porch(draw, draw(any_polygons()))


@st.composite
def gabled_porches(draw: st.DrawFn) -> Tables:
    """Any roof over a convex plan with a gable, and a wing on a wall with a slope."""
    return _with_porch(draw, draw(any_gabled()))


def _with_porch(draw: st.DrawFn, tables: Tables) -> Tables:
    roof = tables["roof"]
    tables["hip"].pop("hub", None)
    tables["roof"]["plate_height"] = 2400
    job = job_of({**tables, "ridge": {"kind": "board", "size": "45x245"}})
    plan = job.roof.plan
    i = draw(st.integers(0, len(plan) - 1).filter(lambda i: i not in job.roof.gable_sides))
    (ax, ay), (bx, by) = plan[i], plan[(i + 1) % len(plan)]
    length = hypot(bx - ax, by - ay)
    along = ((bx - ax) / length, (by - ay) / length)
    span = round(length * draw(st.integers(30, 80)) / 100)
    begin = (length - span) * draw(st.integers(10, 90)) / 100
    out, into = draw(st.integers(10, 40)) * 100, 60
    # The wing's length runs into the roof, its span from the right to the left seen so.
    at = [
        ax + along[0] * (begin + span) + along[1] * out,
        ay + along[1] * (begin + span) - along[0] * out,
    ]
    pitch = job.roof.side_pitches[i]
    assert pitch != "gable"
    # A lower ridge would stand in the plate across its mouth.
    assume(span * pitch * 0.8 / 2 > 250)
    wing: dict[str, Any] = {
        "form": draw(st.sampled_from(["gable", "hip"])),
        "span": span,
        "length": out + into,
        "at": at,
        "turn": degrees(atan2(along[1], along[0])) + 90,
        "pitch": f"{100 * pitch * draw(st.sampled_from([1, 1, 0.9, 0.8])):.4f}%",
        "open": draw(st.booleans()),
    }
    if wing["form"] == "gable":
        wing["rake_overhang"] = draw(st.sampled_from([0, 250]))
    valley: dict[str, Any] = {"size": draw(st.sampled_from(["45x245", "38x286"]))}
    if draw(st.integers(0, 3)) == 0:
        valley |= {"kind": "overlay", "sheathing": 15}
        wing["open"] = False
    return {**tables, "roof": roof, "valley": valley, "wing": [wing]}
