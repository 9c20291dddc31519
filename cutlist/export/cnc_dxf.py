"""DXF for machine controls: polylines of lines and arcs on layers, and nothing else.

In R12 they are POLYLINE entities, later LWPOLYLINE. The same call gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ezdxf.document import Drawing

from cutlist.dxf_names import DxfVersion
from cutlist.export.dxf import document_text, fixed_metadata, plain_numbers
from cutlist.export.rounding import DXF_PLACES
from cutlist.geometry.relief import Contour
from cutlist.units import IMPERIAL, Units


@dataclass(frozen=True, slots=True, kw_only=True)
class Polyline:
    """A line on a layer, in a colour number of the format."""

    layer: str
    color: int
    vertices: Contour
    closed: bool = True


def polylines_dxf(version: DxfVersion, units: Units, lines: Sequence[Polyline]) -> bytes:
    """Return the file. Arcs must stay within the box of all vertices, as reliefs do."""
    with fixed_metadata():
        document = Drawing.new(version)
    measurement = 0 if units is IMPERIAL else 1
    document.header["$INSUNITS"] = units.dxf_code
    document.header["$MEASUREMENT"] = measurement
    for name, color in {line.layer: line.color for line in lines}.items():
        if name in document.layers:
            document.layers.get(name).color = color
        else:
            document.layers.add(name, color=color)
    space = document.modelspace()
    draw = space.add_polyline2d if version == "R12" else space.add_lwpolyline
    for line in lines:
        attributes = {"layer": line.layer}
        draw(line.vertices, format="xyb", close=line.closed, dxfattribs=attributes)
    xs, ys, _ = zip(*(vertex for line in lines for vertex in line.vertices), strict=True)
    text = document_text(document, (min(xs), min(ys), 0.0), (max(xs), max(ys), 0.0))
    if version == "R12":
        text = _with_units(text, units.dxf_code, measurement)
    return plain_numbers(text, DXF_PLACES[units.name]).encode("ascii")


def _with_units(text: str, code: int, measurement: int) -> str:
    """Return an R12 text whose header tells its unit.

    R12 itself knows no such variables, so they are left out of it; programs look for them all
    the same, and those that do not know a variable pass over it.
    """
    told = f"  9\n$INSUNITS\n 70\n{code}\n  9\n$MEASUREMENT\n 70\n{measurement}\n"
    return text.replace("  0\nENDSEC\n", f"{told}  0\nENDSEC\n", 1)
