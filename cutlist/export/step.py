"""The assembled roof as solids in a STEP file, for other CAD: ISO 10303-214.

Each part is one product, named by its mark, role and size, with one solid whose faces carry the
names of the cuts that made them. The roof is an assembly: each member is an occurrence of its part,
named by the mark and a number, such as `C1-3`, and placed in plan coordinates.
"""

from __future__ import annotations

from dataclasses import dataclass

from cutlist.build import Build
from cutlist.export.part21 import UNCERTAINTY, Derived, Enum, ExchangeFile, Ref, Typed
from cutlist.export.step_brep import add_placement, add_solid
from cutlist.geometry.polyhedron import stick_polyhedron
from cutlist.geometry.space import IDENTITY, Frame
from cutlist.units import METRIC, Units

SCHEMA = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"


def step_bytes(build: Build) -> bytes:
    """Return the roof as a STEP file in the job's unit. The same build gives the same bytes."""
    file = ExchangeFile(SCHEMA)
    products = _Products(file, build.job.units)
    placed = []
    for part in build.parts:
        purpose = f"{part.role} {part.size.name}"
        solid = add_solid(file, part.mark, stick_polyhedron(part.stick))
        shape = products.shape(
            products.product(part.mark, f"{part.mark} {purpose}", purpose),
            "ADVANCED_BREP_SHAPE_REPRESENTATION",
            [_frame(file, IDENTITY), solid],
        )
        placed += [
            (f"{part.mark}-{number}", shape, _frame(file, member.stick.frame))
            for number, member in enumerate(part.members, start=1)
        ]
    roof = products.shape(
        products.product("roof", build.job.name, f"{build.job.roof.form} roof"),
        "SHAPE_REPRESENTATION",
        [_frame(file, IDENTITY), *(place for *_, place in placed)],
    )
    for name, shape, place in placed:
        products.occurrence(name, shape, roof, place)
    products.close()
    return file.to_bytes("roof.step", "Roof members as solids")


@dataclass(frozen=True, slots=True)
class _Shape:
    """A product's definition, its shape and the placement in which that stands."""

    definition: Ref
    representation: Ref
    origin: Ref


class _Products:
    """Adds products with their shapes, and occurrences of one within another."""

    def __init__(self, file: ExchangeFile, units: Units) -> None:
        self._file = file
        self._units = _units(file, units)
        application = file.add(
            "APPLICATION_CONTEXT", "core data for automotive mechanical design processes"
        )
        file.add(
            "APPLICATION_PROTOCOL_DEFINITION",
            "international standard",
            "automotive_design",
            2000,
            application,
        )
        self._product_context = file.add("PRODUCT_CONTEXT", "", application, "mechanical")
        self._definition_context = file.add(
            "PRODUCT_DEFINITION_CONTEXT", "part definition", application, "design"
        )
        self._products: list[Ref] = []

    def product(self, identity: str, name: str, description: str) -> Ref:
        """Add a product and return its definition."""
        product = self._file.add("PRODUCT", identity, name, description, [self._product_context])
        self._products.append(product)
        formation = self._file.add("PRODUCT_DEFINITION_FORMATION", "", "", product)
        return self._file.add(
            "PRODUCT_DEFINITION", "design", "", formation, self._definition_context
        )

    def shape(self, definition: Ref, kind: str, items: list[Ref]) -> _Shape:
        """Give a product its shape: a representation of that kind, first its own placement."""
        # Each has a context of its own: a transformation may only relate two different ones.
        representation = self._file.add(kind, "", items, _context(self._file, self._units))
        held = self._file.add("PRODUCT_DEFINITION_SHAPE", "", "", definition)
        self._file.add("SHAPE_DEFINITION_REPRESENTATION", held, representation)
        return _Shape(definition, representation, items[0])

    def occurrence(self, name: str, part: _Shape, whole: _Shape, place: Ref) -> None:
        """Put a part into a whole so that its own placement comes to lie on another."""
        add = self._file.add
        move = add("ITEM_DEFINED_TRANSFORMATION", "", "", part.origin, place)
        relation = self._file.add_complex(
            REPRESENTATION_RELATIONSHIP=("", "", part.representation, whole.representation),
            REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION=(move,),
            SHAPE_REPRESENTATION_RELATIONSHIP=(),
        )
        usage = add(
            "NEXT_ASSEMBLY_USAGE_OCCURRENCE",
            name,
            name,
            "",
            whole.definition,
            part.definition,
            None,
        )
        held = add("PRODUCT_DEFINITION_SHAPE", "", "", usage)
        add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION", relation, held)

    def close(self) -> None:
        """Add the category of all products, without which some readers find none."""
        self._file.add("PRODUCT_RELATED_PRODUCT_CATEGORY", "part", None, self._products)


def _frame(file: ExchangeFile, frame: Frame) -> Ref:
    return add_placement(file, frame.origin, frame.z, frame.x)


def _context(file: ExchangeFile, units: tuple[Ref, Ref, Ref]) -> Ref:
    uncertainty = file.shared(
        "UNCERTAINTY_MEASURE_WITH_UNIT",
        Typed("LENGTH_MEASURE", UNCERTAINTY),
        units[0],
        "distance_accuracy_value",
        "",
    )
    return file.add_complex(
        GEOMETRIC_REPRESENTATION_CONTEXT=(3,),
        GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT=([uncertainty],),
        GLOBAL_UNIT_ASSIGNED_CONTEXT=(units,),
        REPRESENTATION_CONTEXT=("", "3D"),
    )


def _units(file: ExchangeFile, units: Units) -> tuple[Ref, Ref, Ref]:
    """Add the units of length, plane angle and solid angle: millimetres or inches, and radians."""
    length = file.add_complex(
        LENGTH_UNIT=(), NAMED_UNIT=(Derived(),), SI_UNIT=(Enum("MILLI"), Enum("METRE"))
    )
    if units is not METRIC:
        measure = Typed("LENGTH_MEASURE", units.in_mm)
        in_millimetres = file.add("LENGTH_MEASURE_WITH_UNIT", measure, length)
        of_length = file.add("DIMENSIONAL_EXPONENTS", 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
        length = file.add_complex(
            CONVERSION_BASED_UNIT=("INCH", in_millimetres),
            LENGTH_UNIT=(),
            NAMED_UNIT=(of_length,),
        )
    angle = file.add_complex(
        NAMED_UNIT=(Derived(),), PLANE_ANGLE_UNIT=(), SI_UNIT=(None, Enum("RADIAN"))
    )
    solid_angle = file.add_complex(
        NAMED_UNIT=(Derived(),), SI_UNIT=(None, Enum("STERADIAN")), SOLID_ANGLE_UNIT=()
    )
    return length, angle, solid_angle
