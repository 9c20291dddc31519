"""The IFC file against its schema, and as another reader of it understands it."""

from __future__ import annotations

from uuid import UUID

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.guid
import ifcopenshell.util.element
import ifcopenshell.util.placement
import ifcopenshell.util.shape
import ifcopenshell.util.unit
import ifcopenshell.validate
import numpy as np
import pytest

from cutlist.build import Build
from cutlist.export.ifc import global_id, ifc_bytes
from cutlist.export.write import build_files
from cutlist.geometry.solid import stick_solid
from tests.export.roofs import framed

JOBS = ["hip", "lean-to", "post-gable", "pyramid", "steep-gable", "unequal-hip"]

METRES_PER_UNIT = {"imperial": 0.0254, "metric": 0.001}


@pytest.fixture(scope="module", params=JOBS)
def build(request: pytest.FixtureRequest) -> Build:
    return framed(request.param)


@pytest.fixture(scope="module")
def model(build: Build) -> ifcopenshell.file:
    return read(ifc_bytes(build))


def read(data: bytes) -> ifcopenshell.file:
    return ifcopenshell.file.from_string(data.decode("ascii"))


def faults(model: ifcopenshell.file) -> list[str]:
    """What breaks the schema: types and numbers of attributes, and its rules in EXPRESS."""
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(model, logger, express_rules=True)
    return [str(statement) for statement in logger.statements]


@pytest.mark.parametrize("name", ["lean-to", "pyramid"])
def test_file_keeps_the_schemas_rules(name: str) -> None:
    data = ifc_bytes(framed(name))
    assert faults(read(data)) == []


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        (b",.RAFTER.", b",.SHINGLE."),  # not in the enumeration
        (b"'Tessellation'", b"'Curve3D'"),  # a rule: the items must be of the type named
    ],
)
def test_judge_sees_faults(right: bytes, wrong: bytes) -> None:
    data = ifc_bytes(framed("lean-to"))
    assert right in data
    assert faults(read(data.replace(right, wrong)))


def test_unit_is_declared(build: Build, model: ifcopenshell.file) -> None:
    scale = ifcopenshell.util.unit.calculate_unit_scale(model)
    assert scale == pytest.approx(METRES_PER_UNIT[build.job.unit_name], rel=1e-15)
    (unit,) = (u for u in model.by_type("IfcNamedUnit") if is_length_in_use(model, u))
    expected = {"imperial": "inch", "metric": "METRE"}
    assert unit.Name == expected[build.job.unit_name]


def is_length_in_use(model: ifcopenshell.file, unit: ifcopenshell.entity_instance) -> bool:
    (assignment,) = model.by_type("IfcUnitAssignment")
    return unit in assignment.Units and unit.UnitType == "LENGTHUNIT"


def test_members_make_up_one_roof_on_a_storey(build: Build, model: ifcopenshell.file) -> None:
    (project,) = model.by_type("IfcProject")
    (roof,) = model.by_type("IfcRoof")
    assert project.Name == build.job.name
    assert roof.PredefinedType == f"{build.job.roof.form.upper()}_ROOF"
    parts = ifcopenshell.util.element.get_parts(roof)
    names = [f"{part.mark}-{number}" for part in build.parts for number in range(1, part.count + 1)]
    assert sorted(member.Name for member in parts) == sorted(names)
    assert len(model.by_type("IfcMember")) == len(build.roof.members)
    storey = ifcopenshell.util.element.get_container(roof)
    assert storey.is_a("IfcBuildingStorey")
    building = ifcopenshell.util.element.get_aggregate(storey)
    assert building.is_a("IfcBuilding")
    assert ifcopenshell.util.element.get_aggregate(building) == project


def test_members_tell_mark_role_and_size(build: Build, model: ifcopenshell.file) -> None:
    members = {member.Name: member for member in model.by_type("IfcMember")}
    for part in build.parts:
        for number in range(1, part.count + 1):
            member = members[f"{part.mark}-{number}"]
            kind = ifcopenshell.util.element.get_type(member)
            assert kind.Name == member.Tag == part.mark
            assert member.ObjectType == part.role
            assert member.PredefinedType == kind.PredefinedType
            assert (member.PredefinedType == "MEMBER") == (part.role in ("ridge", "ledger"))
            sets = ifcopenshell.util.element.get_psets(member)
            assert sets["Pset_MemberCommon"]["Reference"] == part.mark
            told = {k: v for k, v in sets["Cutlist_Part"].items() if k != "id"}
            length = told.pop("Length")
            assert length == pytest.approx(part.stick.length, abs=0.005)
            expected = {
                **{"Mark": part.mark, "Role": part.role, "Size": part.size.name},
                **{"Thickness": part.size.thickness, "Depth": part.size.depth},
                **({"Hand": part.hand} if part.hand else {}),
            }
            assert told == expected


def test_shapes_are_closed_and_stand_in_place(build: Build, model: ifcopenshell.file) -> None:
    metres = METRES_PER_UNIT[build.job.unit_name]
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    members = {member.Name: member for member in model.by_type("IfcMember")}
    for part in build.parts:
        for number, member in enumerate(part.members, start=1):
            there = members[f"{part.mark}-{number}"]
            matrix = ifcopenshell.util.placement.get_local_placement(there.ObjectPlacement)
            assert matrix == pytest.approx(np.array(member.stick.frame.matrix()), abs=1e-8)
            shape = ifcopenshell.geom.create_shape(settings, there)
            solid = stick_solid(member.stick)
            # Members of one part may differ by the tolerance of one shape, 1e-4 a corner.
            volume = ifcopenshell.util.shape.get_volume(shape.geometry)
            assert volume == pytest.approx(solid.volume * metres**3, rel=1e-6)
            corners = ifcopenshell.util.shape.get_vertices(shape.geometry)
            bounds = np.array([corners.min(axis=0), corners.max(axis=0)])
            assert bounds == pytest.approx(solid.bounds * metres, abs=2e-4 * metres)


def test_whole_roof_measures_what_the_job_says() -> None:
    # 24 ft by 36 ft and 16 in of overhang all around, an inch being 25.4 mm by definition.
    model = read(ifc_bytes(framed("hip")))
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    shapes = [ifcopenshell.geom.create_shape(settings, m) for m in model.by_type("IfcMember")]
    corners = np.concatenate([ifcopenshell.util.shape.get_vertices(s.geometry) for s in shapes])
    overhang, span, length = 16 * 0.0254, 24 * 12 * 0.0254, 36 * 12 * 0.0254
    assert corners.min(axis=0)[:2] == pytest.approx([-overhang, -overhang], abs=1e-7)
    assert corners.max(axis=0)[:2] == pytest.approx([length + overhang, span + overhang], abs=1e-7)


def test_identities_are_unique_and_last(build: Build, model: ifcopenshell.file) -> None:
    objects = model.by_type("IfcRoot")
    identities = {found.GlobalId for found in objects}
    assert len(identities) == len(objects)
    again = read(ifc_bytes(build))
    assert {found.GlobalId for found in again.by_type("IfcRoot")} == identities
    renamed = read(ifc_bytes(build_named(build, "Another")))
    assert not identities & {found.GlobalId for found in renamed.by_type("IfcRoot")}


def build_named(build: Build, name: str) -> Build:
    job = build.job.model_copy(update={"name": name})
    return Build(job=job, roof=build.roof, parts=build.parts, findings=(), plans=())


@pytest.mark.parametrize("name", ["C1-1", "C1-2", "東屋"])
def test_identities_are_name_based_uuids(name: str) -> None:
    """The reader's own decoding; RFC 9562 section 5.5 for version and variant."""
    uuid = UUID(ifcopenshell.guid.expand(global_id("job", name)))
    assert uuid.version == 5
    assert uuid.variant == "specified in RFC 4122"


@pytest.mark.parametrize(
    "name", ["it's \\X2\\00FC\\X0\\", "Süd № 7", "東屋", "\N{HOUSE BUILDING} shed", "');#1=X('"]
)
def test_names_stay_text(name: str) -> None:
    model = read(ifc_bytes(framed("lean-to", name)))
    assert model.by_type("IfcProject")[0].Name == name
    assert len(model.by_type("IfcMember")) == len(framed("lean-to").roof.members)


@pytest.mark.parametrize("name", JOBS)
def test_same_job_same_bytes(name: str) -> None:
    assert ifc_bytes(framed(name)) == ifc_bytes(framed.__wrapped__(name))


def test_every_build_has_the_file() -> None:
    build = framed("lean-to")
    assert build_files(build)["roof.ifc"] == ifc_bytes(build)
