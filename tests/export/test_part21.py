"""Exchange files: what stands in a line, and what another reader makes of it."""

from __future__ import annotations

import re

import ifcopenshell
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.export.part21 import (
    Derived,
    Enum,
    ExchangeFile,
    Ref,
    Typed,
    direction,
    encoded,
    point,
)
from cutlist.geometry.space import Vector


def lines(file: ExchangeFile) -> list[str]:
    text = file.to_bytes("a.step", "").decode("ascii")
    return text[text.index("DATA;\n") + 6 : text.index("ENDSEC;\nEND-ISO")].splitlines()


def test_every_kind_of_argument() -> None:
    file = ExchangeFile("IFC4")
    first = file.add("ONE", "text", 1, 1.0, 0.5, True, False, None)
    file.add("TWO", first, Enum("MILLI"), Derived(), Typed("MEASURE", 25.4), [1, [first]], ())
    file.add_complex(A=(), B=(first,))
    assert lines(file) == [
        "#1=ONE('text',1,1.,0.5,.T.,.F.,$);",
        "#2=TWO(#1,.MILLI.,*,MEASURE(25.4),(1,(#1)),());",
        "#3=(A()B(#1));",
    ]


def test_shared_entities_are_written_once() -> None:
    file = ExchangeFile("IFC4")
    assert file.shared("POINT", (0.0, 1.0)) == file.shared("POINT", (0.0, 1.0)) == Ref(1)
    assert file.shared("POINT", (1.0, 0.0)) == Ref(2)
    assert file.add("POINT", (0.0, 1.0)) == Ref(3)
    assert len(lines(file)) == 3


def test_header() -> None:
    data = ExchangeFile("IFC4").to_bytes("a.step", "view").decode("ascii")
    assert data.startswith("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('view'),'2;1');\nFILE_NAME(")
    assert ",'1970-01-01T00:00:00'," in data
    assert "FILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n" in data
    assert data.endswith("ENDSEC;\nEND-ISO-10303-21;\n")


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("2x8", "'2x8'"),
        ("it's", r"'it\X2\0027\X0\s'"),
        ("a\\'b", r"'a\X2\005C0027\X0\b'"),
        ("Süd", r"'S\X2\00FC\X0\d'"),
        ("\n", r"'\X2\000A\X0\'"),
        ("東屋", r"'\X2\67715C4B\X0\'"),
        ("\N{HOUSE BUILDING}ü", r"'\X4\0001F3E0000000FC\X0\'"),
    ],
)
def test_encoding(text: str, written: str) -> None:
    """The control directives of ISO 10303-21, their syntax from memory; next, a reader's word."""
    assert encoded(text) == written


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=20))
def test_another_reader_reads_every_text(text: str) -> None:
    file = ExchangeFile("IFC4")
    file.add("IFCPROPERTYSINGLEVALUE", text, None, None, None)
    model = ifcopenshell.file.from_string(file.to_bytes("", "").decode("ascii"))
    assert model.by_id(1).Name == text


@given(*[st.floats(-1e6, 1e6)] * 3)
def test_coordinates_have_a_point_and_no_exponent(x: float, y: float, z: float) -> None:
    file = ExchangeFile("IFC4")
    file.add("IFCCARTESIANPOINT", point(Vector(x, y, z)))
    (line,) = lines(file)
    number = r"-?\d+\.\d{0,12}"
    found = re.fullmatch(rf"#1=IFCCARTESIANPOINT\(\(({number}),({number}),({number})\)\);", line)
    assert found
    assert "-0." not in [n.rstrip("0") for n in found.groups()]
    model = ifcopenshell.file.from_string(file.to_bytes("", "").decode("ascii"))
    # Rounded to nine decimals; a double of a million holds ten.
    assert model.by_id(1).Coordinates == pytest.approx((x, y, z), abs=1e-9, rel=0)


@given(*[st.floats(-1, 1)] * 3)
def test_directions_are_finer(x: float, y: float, z: float) -> None:
    assert direction(Vector(x, y, z)) == pytest.approx((x, y, z), abs=1e-12, rel=0)
