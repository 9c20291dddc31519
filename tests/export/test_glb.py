"""The 3D file, read as the standard lays it out and by another reader of it."""

from __future__ import annotations

import io
import json
import struct
from collections import Counter

import numpy as np
import pytest
import trimesh

from cutlist.build import Build, build_job
from cutlist.export.glb import glb_bytes
from cutlist.geometry.solid import stick_solid
from cutlist.job import parse_job

JOB = """
name = "Gable"
units = "{units}"
[roof]
form = "gable"
span = "4.8m"
length = "3.6m"
pitch = "30deg"
far_pitch = "40deg"
overhang = "400mm"
rake_overhang = "300mm"
[rafter]
size = "45mm x 195mm"
spacing = "600mm"
[ridge]
kind = "board"
size = "45mm x 270mm"
[plate]
width = "95mm"
"""

MM_PER_UNIT = {"imperial": 25.4, "metric": 1.0}


@pytest.fixture(scope="module", params=["imperial", "metric"])
def build(request: pytest.FixtureRequest) -> Build:
    return build_job(parse_job(JOB.format(units=request.param), "job.toml"), nest_seconds=1)


def tree(data: bytes) -> dict:
    """The JSON chunk. Layout of header and chunks: Khronos glTF 2.0 specification, section 4.4."""
    magic, version, length = struct.unpack("<4sII", data[:12])
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack("<I4s", data[12:20])
    assert kind == b"JSON"
    return json.loads(data[20 : 20 + size])


def test_one_named_node_for_each_member(build: Build) -> None:
    gltf = tree(glb_bytes(build))
    nodes = [n for n in gltf["nodes"] if "mesh" in n]
    names = [n["name"] for n in nodes]
    assert len(set(names)) == len(names) == len(build.roof.members)
    counts = Counter(name.rpartition("-")[0] for name in names)
    assert counts == {part.mark: part.count for part in build.parts}
    assert [m["name"] for m in gltf["meshes"]] == [part.mark for part in build.parts]
    for node in nodes:
        assert gltf["meshes"][node["mesh"]]["name"] == node["name"].rpartition("-")[0]


def test_one_material_for_each_role(build: Build) -> None:
    gltf = tree(glb_bytes(build))
    materials = [m["name"] for m in gltf["materials"]]
    for mesh, part in zip(gltf["meshes"], build.parts, strict=True):
        assert materials[mesh["primitives"][0]["material"]] == part.role
    assert len(materials) == len({part.role for part in build.parts})
    colours = {tuple(m["pbrMetallicRoughness"]["baseColorFactor"]) for m in gltf["materials"]}
    assert len(colours) == len(materials)


def test_every_member_stands_in_place_in_metres_y_up(build: Build) -> None:
    # glTF 2.0 section 3.4: +Y is up, lengths are metres. A plan point (x, y, z) is at (x, z, -y).
    per_unit = MM_PER_UNIT[build.job.unit_name] / 1000
    scene = trimesh.load(io.BytesIO(glb_bytes(build)), file_type="glb")
    for part in build.parts:
        for number, member in enumerate(part.members, start=1):
            matrix, name = scene.graph[f"{part.mark}-{number}"]
            mesh = scene.geometry[name].copy()
            mesh.apply_transform(matrix)
            (x0, y0, z0), (x1, y1, z1) = stick_solid(member.stick).bounds * per_unit
            # The file holds single precision, of members up to 5 m long: 5 * 2^-24 m is 3e-7.
            expected = [(x0, z0, -y1), (x1, z1, -y0)]
            assert np.allclose(mesh.bounds, expected, rtol=0, atol=1e-6)


def test_meshes_are_closed_and_as_large_as_the_wood(build: Build) -> None:
    per_unit = MM_PER_UNIT[build.job.unit_name] / 1000
    scene = trimesh.load(io.BytesIO(glb_bytes(build)), file_type="glb")
    for part in build.parts:
        mesh = scene.geometry[part.mark].copy()
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        assert mesh.is_watertight
        # Square cuts only: the near face's area times the thickness. Outward faces: positive.
        wood = part.stick.near.polygon.area * part.stick.thickness * per_unit**3
        assert mesh.volume == pytest.approx(wood, rel=1e-5)


def test_faces_are_flat(build: Build) -> None:
    scene = trimesh.load(io.BytesIO(glb_bytes(build)), file_type="glb", process=False)
    for mesh in scene.geometry.values():
        assert len(mesh.vertices) == 3 * len(mesh.faces)
        corner_normals = mesh.vertex_normals[mesh.faces]
        assert np.allclose(corner_normals, mesh.face_normals[:, None], atol=1e-5)


def test_same_build_same_bytes(build: Build) -> None:
    again = build_job(build.job, nest_seconds=1)
    assert glb_bytes(build) == glb_bytes(again)
