"""The assembled roof as a building model in an IFC file: ISO 16739-1, schema IFC4.

Each part is a member type, named by its mark, with one closed shape and its mark, role and size as
properties. Each stick of the roof is a member of that type, named by the mark and a number, such as
`C1-3`, and placed in plan coordinates. Together they are a roof on a storey of a building.
"""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID, uuid5

from cutlist.build import Build
from cutlist.export.part21 import (
    UNCERTAINTY,
    Argument,
    Derived,
    Enum,
    ExchangeFile,
    Ref,
    Typed,
    direction,
    point,
)
from cutlist.export.rounding import TABLE_PLACES, rounded
from cutlist.geometry.polyhedron import Polyhedron, stick_polyhedron
from cutlist.geometry.space import IDENTITY, Frame
from cutlist.roof.parts import Part
from cutlist.units import METRIC, Units

RAFTERS = frozenset({"common", "barge", "hip", "valley", "hip-jack", "valley-jack", "cripple-jack"})
"""Roles that are a RAFTER to the schema; others, such as a ridge, are a MEMBER."""

ROOF_TYPES: Mapping[str, str] = {"gable": "GABLE_ROOF", "shed": "SHED_ROOF", "hip": "HIP_ROOF"}
"""The schema's name for each form of roof."""

_IDENTITIES = UUID("fbabf125-f6a8-4335-9587-4803ba956ea6")
"""Namespace of the identities: the same job and name have the same one in every file."""

_DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"


def ifc_bytes(build: Build) -> bytes:
    """Return the roof as an IFC4 file in the job's unit. The same build gives the same bytes."""
    job, model = build.job, _Model(build)
    project = model.root("IFCPROJECT", "project", job.name, *_none(4), [model.context], model.units)
    building = model.spatial("IFCBUILDING", "building", job.name, *_none(3))
    storey = model.spatial("IFCBUILDINGSTOREY", "storey", "Roof", 0.0)
    kind = Enum(ROOF_TYPES.get(job.roof.form, "NOTDEFINED"))
    roof = model.root("IFCROOF", "roof", "Roof", *_none(2), model.origin, *_none(2), kind)
    model.relate("IFCRELAGGREGATES", "project parts", project, [building])
    model.relate("IFCRELAGGREGATES", "building parts", building, [storey])
    model.relate("IFCRELCONTAINEDINSPATIALSTRUCTURE", "storey contents", [roof], storey)
    members: list[Ref] = []
    for part in build.parts:
        shape = model.shape(stick_polyhedron(part.stick))
        of_part = [
            model.member(part, f"{part.mark}-{number}", member.stick.frame, shape)
            for number, member in enumerate(part.members, start=1)
        ]
        model.relate(
            "IFCRELDEFINESBYTYPE", f"{part.mark} type", of_part, model.member_type(part, shape)
        )
        members += of_part
    model.relate("IFCRELAGGREGATES", "roof parts", roof, members)
    return model.to_bytes()


def global_id(*names: str) -> str:
    """Return the identity that belongs to names: a name-based UUID as 22 digits to base 64.

    Source of the digits: ISO 16739-1, IfcGloballyUniqueId.
    """
    number = uuid5(_IDENTITIES, "\n".join(names)).int
    return "".join(_DIGITS[number >> shift & 63] for shift in range(126, -1, -6))


class _Model:
    """Adds the objects of one building model."""

    def __init__(self, build: Build) -> None:
        self._job = build.job
        self._file = ExchangeFile("IFC4")
        self._axes = self._placement(IDENTITY)
        self._unmoved = self._file.add(
            "IFCCARTESIANTRANSFORMATIONOPERATOR3D",
            *_none(2),
            self._file.shared("IFCCARTESIANPOINT", point(IDENTITY.origin)),
            *_none(2),
        )
        self.origin = self._file.add("IFCLOCALPLACEMENT", None, self._axes)
        self.units = _units(self._file, self._job.units)
        self.context = self._file.add(
            "IFCGEOMETRICREPRESENTATIONCONTEXT", None, "Model", 3, UNCERTAINTY, self._axes, None
        )
        self._body = self._file.add(
            "IFCGEOMETRICREPRESENTATIONSUBCONTEXT",
            *("Body", "Model"),
            *[Derived()] * 4,
            *(self.context, None, Enum("MODEL_VIEW"), None),
        )

    def to_bytes(self) -> bytes:
        """Return the file."""
        return self._file.to_bytes("roof.ifc", "ViewDefinition [ReferenceView_V1.2]")

    def root(self, entity: str, key: str, name: str | None, *attributes: Argument) -> Ref:
        """Add an object with an identity; `attributes` are those after its name."""
        identity = global_id(self._job.name, key)
        return self._file.add(entity, identity, None, name, *attributes)

    def relate(self, entity: str, key: str, one: Argument, other: Argument) -> None:
        """Add a relation, its two sides in the schema's order."""
        self.root(entity, key, None, None, one, other)

    def spatial(self, entity: str, key: str, name: str, *attributes: Argument) -> Ref:
        """Add a building or a storey at the plan's origin; `attributes` are those of its own."""
        whole = Enum("ELEMENT")
        return self.root(entity, key, name, *_none(2), self.origin, *_none(2), whole, *attributes)

    def shape(self, polyhedron: Polyhedron) -> Ref:
        """Add a closed shape that members can show, each in its own place."""
        corners = self._file.add(
            "IFCCARTESIANPOINTLIST3D", [point(corner) for corner in polyhedron.points]
        )
        faces = [
            self._file.add("IFCINDEXEDPOLYGONALFACE", [i + 1 for i in face.corners])
            for face in polyhedron.faces
        ]
        surface = self._file.add("IFCPOLYGONALFACESET", corners, True, faces, None)
        return self._file.add(
            "IFCREPRESENTATIONMAP", self._axes, self._representation("Tessellation", surface)
        )

    def member_type(self, part: Part, shape: Ref) -> Ref:
        """Add the type of all members of a part, with what is to be known about it."""
        return self.root(
            "IFCMEMBERTYPE",
            part.mark,
            part.mark,
            f"{part.role} {part.size.name}",
            None,
            [self._common_properties(part), self._properties(part)],
            [shape],
            part.mark,
            part.role,
            _kind(part),
        )

    def member(self, part: Part, name: str, frame: Frame, shape: Ref) -> Ref:
        """Add a member of the roof, standing in a frame."""
        shown = self._representation(
            "MappedRepresentation", self._file.add("IFCMAPPEDITEM", shape, self._unmoved)
        )
        return self.root(
            "IFCMEMBER",
            name,
            name,
            f"{part.role} {part.size.name}",
            part.role,
            self._file.add("IFCLOCALPLACEMENT", self.origin, self._placement(frame)),
            self._file.add("IFCPRODUCTDEFINITIONSHAPE", *_none(2), [shown]),
            part.mark,
            _kind(part),
        )

    def _common_properties(self, part: Part) -> Ref:
        """Add the schema's own properties of members, where other programs look for a mark."""
        reference = self._property("Reference", Typed("IFCIDENTIFIER", part.mark))
        name = "Pset_MemberCommon"
        return self.root("IFCPROPERTYSET", f"{part.mark} {name}", name, None, [reference])

    def _properties(self, part: Part) -> Ref:
        texts = {"Mark": part.mark, "Role": part.role, "Size": part.size.name, "Hand": part.hand}
        lengths = {
            "Thickness": part.size.thickness,
            "Depth": part.size.depth,
            "Length": part.stick.length,
        }
        places = TABLE_PLACES[self._job.unit_name]
        values = [
            *((name, Typed("IFCLABEL", text)) for name, text in texts.items() if text),
            *(
                (name, Typed("IFCPOSITIVELENGTHMEASURE", rounded(length, places)))
                for name, length in lengths.items()
            ),
        ]
        name = "Cutlist_Part"
        held = [self._property(*value) for value in values]
        return self.root("IFCPROPERTYSET", f"{part.mark} {name}", name, None, held)

    def _property(self, name: str, value: Typed) -> Ref:
        return self._file.add("IFCPROPERTYSINGLEVALUE", name, None, value, None)

    def _representation(self, kind: str, item: Ref) -> Ref:
        return self._file.add("IFCSHAPEREPRESENTATION", self._body, "Body", kind, [item])

    def _placement(self, frame: Frame) -> Ref:
        return self._file.add(
            "IFCAXIS2PLACEMENT3D",
            self._file.shared("IFCCARTESIANPOINT", point(frame.origin)),
            self._file.shared("IFCDIRECTION", direction(frame.z)),
            self._file.shared("IFCDIRECTION", direction(frame.x)),
        )


def _kind(part: Part) -> Enum:
    return Enum("RAFTER" if part.role in RAFTERS else "MEMBER")


def _none(count: int) -> list[None]:
    return [None] * count


def _units(file: ExchangeFile, units: Units) -> Ref:
    """Add the units of length and of angles: millimetres or inches, and radians."""
    length = file.add("IFCSIUNIT", Derived(), Enum("LENGTHUNIT"), Enum("MILLI"), Enum("METRE"))
    if units is not METRIC:
        in_millimetres = file.add(
            "IFCMEASUREWITHUNIT", Typed("IFCLENGTHMEASURE", units.in_mm), length
        )
        of_length = file.add("IFCDIMENSIONALEXPONENTS", 1, 0, 0, 0, 0, 0, 0)
        length = file.add(
            "IFCCONVERSIONBASEDUNIT", of_length, Enum("LENGTHUNIT"), "inch", in_millimetres
        )
    angle = file.add("IFCSIUNIT", Derived(), Enum("PLANEANGLEUNIT"), None, Enum("RADIAN"))
    return file.add("IFCUNITASSIGNMENT", [length, angle])
