"""The assembled roof as a binary glTF 2.0 file, for viewing in a browser or on a phone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import trimesh
from numpy.typing import NDArray
from trimesh.exchange.gltf import export_glb
from trimesh.visual import TextureVisuals
from trimesh.visual.material import PBRMaterial

from cutlist.build import Build
from cutlist.geometry.solid import stick_solid
from cutlist.geometry.space import IDENTITY, Frame
from cutlist.roof.parts import Part

MM_PER_METRE = 1000.0

Y_UP = np.array([[1, 0, 0, 0], [0, 0, 1, 0], [0, -1, 0, 0], [0, 0, 0, 1]], dtype=np.float64)
"""From plan coordinates, z up, to those of glTF, y up and both right-handed."""

COLOURS: dict[str, tuple[float, float, float]] = {
    "common": (0.74, 0.56, 0.34),
    "barge": (0.55, 0.38, 0.22),
    "ridge": (0.22, 0.34, 0.42),
    "ledger": (0.22, 0.34, 0.42),
    "hip": (0.50, 0.20, 0.13),
    "valley": (0.20, 0.38, 0.25),
    "valley-plate": (0.34, 0.48, 0.36),
    "head-plate": (0.34, 0.48, 0.36),
    "hip-jack": (0.78, 0.66, 0.40),
    "valley-jack": (0.60, 0.64, 0.38),
    "cripple-jack": (0.66, 0.66, 0.60),
}
"""Base colour by role, as linear RGB from 0 to 1."""

OTHER_COLOUR = (0.5, 0.5, 0.5)


def glb_bytes(build: Build) -> bytes:
    """Return the roof as a glTF 2.0 binary: metres, y up, one named node for each member.

    A part is one mesh named by its mark; its members are nodes named by the mark and a number, such
    as `C1-3`. Faces are flat: no two share a vertex. The same build gives the same bytes.
    """
    metre = MM_PER_METRE / build.job.units.in_mm
    materials: dict[str, PBRMaterial] = {}
    scene = trimesh.Scene()
    for part in build.parts:
        material = materials.setdefault(part.role, _material(part.role))
        scene.geometry[part.mark] = _mesh(part, metre, material)
        for number, member in enumerate(part.members, start=1):
            scene.graph.update(
                frame_to=f"{part.mark}-{number}",
                matrix=_placement(member.stick.frame, metre),
                geometry=part.mark,
            )
    return bytes(export_glb(scene, include_normals=True))


def _mesh(part: Part, metre: float, material: PBRMaterial) -> trimesh.Trimesh:
    """Return a part in its own frame, in metres, each triangle with corners of its own."""
    solid = stick_solid(replace(part.stick, frame=IDENTITY))
    corners = solid.corners / metre
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals = across / np.linalg.norm(across, axis=1, keepdims=True)
    return trimesh.Trimesh(
        vertices=corners.reshape(-1, 3),
        faces=np.arange(3 * len(corners)).reshape(-1, 3),
        vertex_normals=np.repeat(normals, 3, axis=0),
        visual=TextureVisuals(material=material),
        process=False,
    )


def _placement(frame: Frame, metre: float) -> NDArray[np.float64]:
    """Return the matrix from a stick's frame in metres to the file's coordinates."""
    matrix = np.array(frame.matrix())
    matrix[:3, 3] /= metre
    placed: NDArray[np.float64] = Y_UP @ matrix
    return placed


def _material(role: str) -> PBRMaterial:
    return PBRMaterial(
        name=role,
        baseColorFactor=[*COLOURS.get(role, OTHER_COLOUR), 1.0],
        metallicFactor=0.0,
        roughnessFactor=0.9,
    )
