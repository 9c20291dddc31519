"""The STEP file as another CAD kernel reads it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ItemsByEntity, IFSelect_RetDone
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.STEPControl import STEPControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_ChildIterator, TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from cutlist.build import Build
from cutlist.export.step import step_bytes
from cutlist.export.write import build_files
from cutlist.geometry.polyhedron import stick_polyhedron
from cutlist.geometry.solid import stick_solid
from tests.export.roofs import framed

JOBS = ["hip", "lean-to", "post-gable", "pyramid", "steep-gable", "unequal-hip"]

MM_PER_UNIT = {"imperial": 25.4, "metric": 1.0}


@dataclass(frozen=True)
class Placed:
    """An occurrence in the assembly, its shape in the assembly's place, in millimetres."""

    name: str
    part: str
    shape: TopoDS_Shape

    @property
    def volume(self) -> float:
        properties = GProp_GProps()
        BRepGProp.VolumeProperties_s(self.shape, properties)
        return properties.Mass()

    @property
    def bounds(self) -> np.ndarray:
        box = Bnd_Box()
        BRepBndLib.AddOptimal_s(self.shape, box, False, False)
        corners = box.CornerMin(), box.CornerMax()
        return np.array([(corner.X(), corner.Y(), corner.Z()) for corner in corners])

    def count(self, kind: object) -> int:
        found, explorer = 0, TopExp_Explorer(self.shape, kind)
        while explorer.More():
            found += 1
            explorer.Next()
        return found


@dataclass(frozen=True)
class Assembly:
    name: str
    parts: tuple[str, ...]
    placed: tuple[Placed, ...]


def children(label: TDF_Label) -> Iterator[TDF_Label]:
    iterator = TDF_ChildIterator(label)
    while iterator.More():
        yield iterator.Value()
        iterator.Next()


def name_of(label: TDF_Label) -> str:
    name = TDataStd_Name()
    assert label.FindAttribute(TDataStd_Name.GetID_s(), name)
    return name.Get().ToExtString()


def placed(label: TDF_Label) -> Placed:
    part = TDF_Label()
    assert XCAFDoc_ShapeTool.GetReferredShape_s(label, part)
    return Placed(name_of(label), name_of(part), XCAFDoc_ShapeTool.GetShape_s(label))


def read(data: bytes, folder: Path) -> Assembly:
    """The kernel works in millimetres, whatever unit the file is in."""
    file = folder / "roof.step"
    file.write_bytes(data)
    reader, document = STEPCAFControl_Reader(), TDocStd_Document(TCollection_ExtendedString("any"))
    reader.SetNameMode(True)
    assert reader.ReadFile(str(file)) == IFSelect_RetDone
    assert reader.Transfer(document)
    shapes = list(children(XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).Label()))
    (whole,) = (s for s in shapes if XCAFDoc_ShapeTool.IsAssembly_s(s))
    assert [s for s in shapes if XCAFDoc_ShapeTool.IsFree_s(s)] == [whole]
    return Assembly(
        name=name_of(whole),
        parts=tuple(name_of(s) for s in shapes if s != whole),
        placed=tuple(map(placed, children(whole))),
    )


@pytest.fixture(scope="module", params=JOBS)
def build(request: pytest.FixtureRequest) -> Build:
    return framed(request.param)


@pytest.fixture(scope="module")
def assembly(build: Build, tmp_path_factory: pytest.TempPathFactory) -> Assembly:
    return read(step_bytes(build), tmp_path_factory.mktemp("step"))


def test_parts_tell_mark_role_and_size(build: Build, assembly: Assembly) -> None:
    assert assembly.name == build.job.name
    names = [f"{part.mark} {part.role} {part.size.name}" for part in build.parts]
    assert sorted(assembly.parts) == sorted(names)


def test_every_member_is_an_occurrence_of_its_part(build: Build, assembly: Assembly) -> None:
    assert len({p.name for p in assembly.placed}) == len(build.roof.members)
    counts = Counter(p.part.split()[0] for p in assembly.placed)
    assert counts == {part.mark: part.count for part in build.parts}
    assert all(p.part.split()[0] == p.name.rpartition("-")[0] for p in assembly.placed)


def test_solids_are_valid_and_stand_in_place(build: Build, assembly: Assembly) -> None:
    mm = MM_PER_UNIT[build.job.unit_name]
    placed = {p.name: p for p in assembly.placed}
    for part in build.parts:
        polyhedron = stick_polyhedron(part.stick)
        for number, member in enumerate(part.members, start=1):
            there = placed[f"{part.mark}-{number}"]
            assert there.count(TopAbs_SOLID) == 1
            assert there.count(TopAbs_FACE) == len(polyhedron.faces)
            # The explorer meets every edge once from each of its two faces.
            assert there.count(TopAbs_EDGE) == sum(len(f.corners) for f in polyhedron.faces)
            assert BRepCheck_Analyzer(there.shape).IsValid()
            # Members of one part may differ by the tolerance of one shape, 1e-4 a corner.
            solid = stick_solid(member.stick)
            assert there.volume == pytest.approx(solid.volume * mm**3, rel=1e-6)
            assert there.bounds == pytest.approx(solid.bounds * mm, abs=2e-4 * mm)


def complaints(data: bytes, folder: Path, capfd: pytest.CaptureFixture[str]) -> list[str]:
    """What the kernel finds wrong with types and numbers of attributes."""
    file = folder / "roof.step"
    file.write_bytes(data)
    reader = STEPControl_Reader()
    reader.ReadFile(str(file))
    capfd.readouterr()
    reader.PrintCheckLoad(False, IFSelect_ItemsByEntity)
    return [line for line in capfd.readouterr().out.splitlines() if line.startswith("Check:")]


def test_reader_has_nothing_to_complain_of(
    build: Build, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    data = step_bytes(build)
    assert complaints(data, tmp_path, capfd) == []
    broken = data.replace(b"=VECTOR(", b"=DIRECTION(", 1)
    assert complaints(broken, tmp_path, capfd) != []


def test_whole_roof_measures_what_the_job_says(tmp_path: Path) -> None:
    # 24 ft by 36 ft and 16 in of overhang all around, an inch being 25.4 mm by definition.
    bounds = [p.bounds for p in read(step_bytes(framed("hip")), tmp_path).placed]
    least, most = np.min(bounds, axis=0)[0], np.max(bounds, axis=0)[1]
    assert least[:2] == pytest.approx([-16 * 25.4, -16 * 25.4], abs=1e-4)
    assert most[:2] == pytest.approx([(36 * 12 + 16) * 25.4, (24 * 12 + 16) * 25.4], abs=1e-4)


@pytest.mark.parametrize(
    "name",
    ["it's \\X2\\00FC\\X0\\", "Süd № 7", "東屋 2", "\N{HOUSE BUILDING} shed", "a','b", "');#1=X('"],
)
def test_names_stay_text(name: str, tmp_path: Path) -> None:
    assembly = read(step_bytes(framed("lean-to", name)), tmp_path)
    assert assembly.name == name
    assert len(assembly.placed) == len(framed("lean-to").roof.members)


def test_every_reference_is_to_an_entity_of_the_file(build: Build) -> None:
    lines = step_bytes(build).decode("ascii").splitlines()
    entities = [line for line in lines if line.startswith("#")]
    numbers = [int(re.match(r"#(\d+)=", line)[1]) for line in entities]  # type: ignore[index]
    assert numbers == list(range(1, len(entities) + 1))
    used = {int(n) for line in entities for n in re.findall(r"#(\d+)", line.partition("=")[2])}
    assert used <= set(numbers)


@pytest.mark.parametrize("name", JOBS)
def test_same_job_same_bytes(name: str) -> None:
    assert step_bytes(framed(name)) == step_bytes(framed.__wrapped__(name))


def test_every_build_has_the_file() -> None:
    build = framed("lean-to")
    assert build_files(build)["roof.step"] == step_bytes(build)
