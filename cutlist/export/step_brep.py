"""A polyhedron as a boundary representation in a STEP file: the geometry of ISO 10303-42."""

from __future__ import annotations

from cutlist.export.part21 import Derived, ExchangeFile, Ref, direction, point
from cutlist.geometry.polyhedron import PolygonFace, Polyhedron
from cutlist.geometry.space import Vector


def add_placement(file: ExchangeFile, origin: Vector, z: Vector, x: Vector) -> Ref:
    """Add the placement with its origin at a point, its z axis and its x axis along directions."""
    return file.add(
        "AXIS2_PLACEMENT_3D", "", _point(file, origin), _along(file, z), _along(file, x)
    )


def add_solid(file: ExchangeFile, name: str, polyhedron: Polyhedron) -> Ref:
    """Add a solid: plane faces within straight edges, each edge shared by its two faces."""
    vertices = [file.add("VERTEX_POINT", "", _point(file, at)) for at in polyhedron.points]
    curves: dict[tuple[int, int], Ref] = {}
    for face in polyhedron.faces:
        for a, b in face.edges:
            if (b, a) not in curves:
                line = _line(file, polyhedron.points[a], polyhedron.points[b])
                curves[a, b] = file.add("EDGE_CURVE", "", vertices[a], vertices[b], line, True)
    faces = [_face(file, polyhedron, face, curves) for face in polyhedron.faces]
    return file.add("MANIFOLD_SOLID_BREP", name, file.add("CLOSED_SHELL", "", faces))


def _face(
    file: ExchangeFile,
    polyhedron: Polyhedron,
    face: PolygonFace,
    curves: dict[tuple[int, int], Ref],
) -> Ref:
    edges = []
    for a, b in face.edges:
        forward = (a, b) in curves
        curve = curves[(a, b) if forward else (b, a)]
        edges.append(file.add("ORIENTED_EDGE", "", Derived(), Derived(), curve, forward))
    start, end = (polyhedron.points[i] for i in face.edges[0])
    along = (end - start).unit()
    plane = file.add("PLANE", "", add_placement(file, start, face.plane.normal, along))
    bound = file.add("FACE_OUTER_BOUND", "", file.add("EDGE_LOOP", "", edges), True)
    return file.add("ADVANCED_FACE", face.name, [bound], plane, True)


def _line(file: ExchangeFile, start: Vector, end: Vector) -> Ref:
    vector = file.add("VECTOR", "", _along(file, (end - start).unit()), 1.0)
    return file.add("LINE", "", _point(file, start), vector)


def _point(file: ExchangeFile, at: Vector) -> Ref:
    return file.shared("CARTESIAN_POINT", "", point(at))


def _along(file: ExchangeFile, along: Vector) -> Ref:
    return file.shared("DIRECTION", "", direction(along))
