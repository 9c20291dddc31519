"""Exchange files as ISO 10303-21 lays them out: the text in which STEP and IFC files are written.

An entity is a line `#12=NAME(arguments);`. Arguments are given as plain values: a text, a whole or
decimal number, a truth value, None for an unset one, a sequence for a list; or as one of the kinds
of this module.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import cutlist
from cutlist.export.rounding import rounded
from cutlist.geometry.space import Vector

POINT_PLACES = 9
"""Decimals of coordinates: far finer than the tolerance by which CAD programs join faces."""

DIRECTION_PLACES = 12
"""Decimals of directions, which reach as far as a stick is long."""

UNCERTAINTY = 1e-6
"""Points nearer than this are one, in the job's unit: a thousand times what rounding moves them."""

NO_DATE = "1970-01-01T00:00:00"
"""The header must have a date. The true one would make every file another."""

_RUN = re.compile(r"[^ -&(-\[\]-~]+")
"""Characters that do not stand for themselves in a text."""


@dataclass(frozen=True, slots=True)
class Ref:
    """An entity of the file."""

    number: int


@dataclass(frozen=True, slots=True)
class Enum:
    """A value of an enumeration, such as .MILLI."""

    name: str


@dataclass(frozen=True, slots=True)
class Typed:
    """A value with its type, where an attribute may be of several: LENGTH_MEASURE(25.4)."""

    type: str
    value: str | float


@dataclass(frozen=True, slots=True)
class Derived:
    """An attribute that the schema computes, so that a file leaves it out."""


Argument = str | float | bool | None | Ref | Enum | Typed | Derived | Sequence["Argument"]


class ExchangeFile:
    """One file: its entities in the order in which they are added."""

    def __init__(self, schema: str) -> None:
        self._schema = schema
        self._records: list[str] = []
        self._shared: dict[str, Ref] = {}

    def add(self, name: str, *arguments: Argument) -> Ref:
        """Add an entity."""
        return self._append(_record(name, arguments))

    def add_complex(self, **records: Sequence[Argument]) -> Ref:
        """Add one entity of several types, given in the order of the alphabet."""
        return self._append(f"({''.join(_record(*item) for item in records.items())})")

    def shared(self, name: str, *arguments: Argument) -> Ref:
        """Return the entity that says just this; it is added when first asked for."""
        record = _record(name, arguments)
        if record not in self._shared:
            self._shared[record] = self._append(record)
        return self._shared[record]

    def to_bytes(self, name: str, description: str) -> bytes:
        """Return the file; `name` is what its own header calls it."""
        program = f"cutlist {cutlist.__version__}"
        header = (
            _record("FILE_DESCRIPTION", ([description], "2;1")),
            _record("FILE_NAME", (name, NO_DATE, [""], [""], program, program, "")),
            _record("FILE_SCHEMA", ([self._schema],)),
        )
        lines = (
            "ISO-10303-21;",
            "HEADER;",
            *(f"{record};" for record in header),
            "ENDSEC;",
            "DATA;",
            *(f"#{number}={record};" for number, record in enumerate(self._records, start=1)),
            "ENDSEC;",
            "END-ISO-10303-21;",
            "",
        )
        return "\n".join(lines).encode("ascii")

    def _append(self, record: str) -> Ref:
        self._records.append(record)
        return Ref(len(self._records))


def point(at: Vector) -> tuple[float, float, float]:
    """Return a point's coordinates as a file holds them."""
    return (
        rounded(at.x, POINT_PLACES),
        rounded(at.y, POINT_PLACES),
        rounded(at.z, POINT_PLACES),
    )


def direction(along: Vector) -> tuple[float, float, float]:
    """Return the components of a unit direction as a file holds them."""
    return (
        rounded(along.x, DIRECTION_PLACES),
        rounded(along.y, DIRECTION_PLACES),
        rounded(along.z, DIRECTION_PLACES),
    )


def encoded(text: str) -> str:
    r"""Return a text between apostrophes, in the characters that the standard allows.

    Printable ASCII stands for itself. A run of anything else is written between control directives:
    four hexadecimal digits a character after `\X2\`, or eight after `\X4\` where one is beyond the
    basic plane, up to `\X0\`. Apostrophes and backslashes could be doubled instead; some readers
    then take a comma behind those for the text's end, or a directive for a backslash.
    """
    return f"'{_RUN.sub(_directive, text)}'"


def _directive(run: re.Match[str]) -> str:
    text = run[0]
    kind, code = ("X2", "utf-16-be") if max(text) <= "\uffff" else ("X4", "utf-32-be")
    return f"\\{kind}\\{text.encode(code).hex().upper()}\\X0\\"


def _record(name: str, arguments: Sequence[Argument]) -> str:
    return f"{name}({','.join(map(_written, arguments))})"


def _written(argument: Argument) -> str:
    match argument:
        case None:
            return "$"
        case Derived():
            return "*"
        case bool():
            return ".T." if argument else ".F."
        case str():
            return encoded(argument)
        case int():
            return str(argument)
        case float():
            # Always with a point, and without the exponent that only some readers take.
            return f"{argument:.{DIRECTION_PLACES}f}".rstrip("0")
        case Ref():
            return f"#{argument.number}"
        case Enum():
            return f".{argument.name}."
        case Typed():
            return _record(argument.type, (argument.value,))
    return f"({','.join(map(_written, argument))})"
