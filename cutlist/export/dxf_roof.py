"""The assembled roof as faces in plan coordinates, and below it on the sheet its framing plan."""

from __future__ import annotations

from cutlist.build import Build
from cutlist.export.dxf import BLUE, GREEN, GREY, RED, WHITE, Drawing
from cutlist.export.dxf_plan import draw_plan
from cutlist.export.dxf_solid import facets

_PLAN_LAYERS = {"PLAN-PLATE": RED, "PLAN-POST": RED, "PLAN-MARKS": GREEN, "PLAN-NOTES": GREY}

ROOF_COLOR, PLAN_COLOR = BLUE, WHITE


def roof_drawing(build: Build) -> bytes:
    """Return the DXF of the whole roof.

    Every role has a layer of its own in space (`ROOF-COMMON`) and in the plan (`PLAN-COMMON`).
    """
    roles = dict.fromkeys(member.role.upper() for member in build.roof.members)
    layers = {
        **{f"ROOF-{role}": ROOF_COLOR for role in roles},
        **{f"PLAN-{role}": PLAN_COLOR for role in roles},
        **_PLAN_LAYERS,
    }
    drawing = Drawing(build.job.units, layers)
    for part in build.parts:
        shape = list(facets(part.stick))
        for member in part.members:
            frame = member.stick.frame
            for facet in shape:
                drawing.face(f"ROOF-{member.role.upper()}", map(frame.outward, facet))
    draw_plan(build, drawing)
    return drawing.to_bytes()
