"""The assembled roof as faces in plan coordinates, and below it on the sheet its framing plan."""

from __future__ import annotations

from cutlist.build import Build
from cutlist.export.draw_plan import draw_plan, plan_layers
from cutlist.export.drawing import Drawing, Pen
from cutlist.export.dxf_solid import facets


def draw_roof(build: Build) -> Drawing:
    """Return the drawing of the whole roof.

    Every role has a layer of its own in space (`ROOF-COMMON`) and in the plan (`PLAN-COMMON`).
    """
    roles = dict.fromkeys(member.role.upper() for member in build.roof.members)
    layers = {
        **{f"ROOF-{role}": Pen.SPACE for role in roles},
        **plan_layers(build),
    }
    drawing = Drawing(build.job.units, layers)
    for part in build.parts:
        shape = list(facets(part.stick))
        for member in part.members:
            frame = member.stick.frame
            for facet in shape:
                drawing.face(f"ROOF-{member.role.upper()}", map(frame.outward, facet))
    draw_plan(build, drawing)
    return drawing
