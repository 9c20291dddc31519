"""A hub: a post under the peak of a regular plan, each hip cut square on a face of its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import cos, pi, tan

from cutlist.geometry.space import UP, Frame, Plane, Vector
from cutlist.geometry.stick import Stick, end_cut
from cutlist.job import Job
from cutlist.roof.hip import Hip
from cutlist.roof.meeting import Meeting
from cutlist.roof.member import Member
from cutlist.roof.roof import Height, Measure, Roof
from cutlist.roof.slant import Slant
from cutlist.roof.support import Support
from cutlist.roof.surface import Surface
from cutlist.tolerance import ON_PLANE, PARALLEL

NAME = "hub"


def hub_meeting(job: Job, surface: Surface, width: float) -> Meeting:
    """Return the hips of a surface that all meet in one point, their heads on a hub's faces.

    `width`: between its opposite faces.
    """
    hips = []
    for edge in surface.edges:
        line = Hip.between(job, *edge.faces)
        face = Plane.through(edge.end - line.level * (width / 2), line.level)
        head = (end_cut("plumb", face).against(NAME),)
        hips.append(Slant(line=line, top=edge.end, stop=edge.end, head=head))
    return Meeting(ridges=(), hips=tuple(hips), valleys=())


def with_hub(roof: Roof, centre: Vector, width: float) -> Roof:
    """Return a roof with the hub that its hips end on, and what to know to make and set it."""
    hub = hub_support(centre, roof.members, width)
    bottom = hub.stick.frame.origin.z
    sides = len(roof.faces)
    return replace(
        roof,
        supports=(*roof.supports, hub),
        heights=(
            *roof.heights,
            Height(name="tops of the hips at the hub", above_plate=bottom + hub.stick.length),
            Height(name="bottoms of the hips at the hub", above_plate=bottom),
        ),
        measures=(
            *roof.measures,
            Measure(name="width of each face of the hub", value=width * tan(pi / sides)),
        ),
    )


def hub_support(centre: Vector, members: Iterable[Member], width: float) -> Support:
    """Return the hub around a centre, between the heads of its hips and as deep as they are there.

    A job does not say how far it reaches above and below.
    """
    hips = [member for member in members if member.role == "hip"]
    heights = [point.z for hip in hips for point in _head(hip)]
    least, most = min(heights), max(heights)
    faces = [_head_plane(hip).flipped() for hip in hips]
    out = faces[0].normal
    across = out.cross(UP)
    # Over half as many sides as make an even number, corners stand where others have faces.
    depth = width if len(hips) % 4 == 0 else width / cos(pi / len(hips))
    base = Vector(centre.x, centre.y, least) - across * (depth / 2) - out * (width / 2)
    beside = [
        face
        for face in faces
        if min(face.normal.cross(way).length() for way in (out, across)) > PARALLEL
    ]
    return Support(
        name=NAME,
        stick=Stick.trimmed(
            thickness=width,
            depth=depth,
            frame=Frame.along(base, UP, across),
            cuts=(
                end_cut("square", Plane(UP, most)),
                end_cut("square", Plane(-UP, -least)),
                *(end_cut("bevel", face) for face in beside),
            ),
        ),
    )


def _head_plane(hip: Member) -> Plane:
    (plane,) = hip.stick.end_planes("head")
    return hip.stick.frame.plane_outward(plane.plane)


def _head(hip: Member) -> Iterator[Vector]:
    """Return the corners of a hip's head."""
    stick, plane = hip.stick, _head_plane(hip)
    for z, outline in stick.levels:
        for x, y in outline.points:
            point = stick.frame.outward(Vector(x, y, z))
            if abs(plane.distance(point)) < ON_PLANE:
                yield point
