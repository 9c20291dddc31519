"""Mistakes in the job file as people read them: the key, what was read, what is expected."""

from __future__ import annotations

import difflib
import re
from typing import Any

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from cutlist.job.tables import Job
from cutlist.units import NO_COMMA

_TOML = {
    "Cannot overwrite a value": "this key stands twice in its table; take one out",
    "Cannot declare": "this table stands twice; put its keys together",
    "Illegal character '\\n'": "a quote is opened and not closed",
    "Unterminated string": "a quote is opened and not closed",
}
"""What is wrong in a TOML text, by how the reader of it begins to tell."""

_CURLY = "\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}"
"""Quotes that word processors make of straight ones."""


def toml_fault(error: str, text: str) -> str:
    """Return a TOML fault with the line it is in and, where likely, that quotes are missing."""
    reason, _, place = error.partition(" (at line ")
    number = place.partition(",")[0]
    if not number.isdigit():
        return error
    line = text.split("\n")[int(number) - 1].strip()
    reason = next((told for begin, told in _TOML.items() if reason.startswith(begin)), reason)
    if not reason.startswith(("Invalid value", "Expected newline")):
        return f"line {number} cannot be read: {_cut(line)}\n  {reason}"
    if any(quote in line for quote in _CURLY):
        told = "its quotes are curly; write straight ones"
        return f"line {number} cannot be read: {_cut(line)}\n  {told}"
    if re.search(r"=\s*-?\d+,\d+\s*(#|$)", line):
        return f"line {number} cannot be read: {_cut(line)}\n  {NO_COMMA}"
    return (
        f"line {number} cannot be read: {_cut(line)}\n"
        '  a value with letters or marks needs quotes, like span = "20ft" or size = "2x8"'
    )


_EXPECTED = {
    "string_type": "a text in quotes is expected",
    "string_too_short": "it is empty",
    "string_too_long": "it is too long",
    "bool_type": "true or false is expected",
    "int_type": "a whole number is expected",
    "float_parsing": "a number is expected, its decimals behind a point, like 8.90",
    "int_from_float": "a whole number is expected",
    "list_type": "a list is expected, in brackets",
    "tuple_type": "a list is expected, in brackets",
}


def fault(error: ErrorDetails) -> str:
    """Return one mistake as: key, what was read, what is expected."""
    key = _key(error["loc"])
    if error["type"] == "extra_forbidden":
        return f"{key}: there is no such key{_suggestion(error['loc'])}"
    if error["type"] == "missing":
        # One of a list's items has no example of its own: the whole list's is shown.
        loc = error["loc"]
        field = _field(loc[:-1] if isinstance(loc[-1], int) else loc)
        example = field.description if field else None
        return f"{key}: it is missing" + (f"; write for example {example}" if example else "")
    reason = error["msg"].removeprefix("Value error, ")
    if error["type"] == "literal_error":
        expected = error["ctx"]["expected"].replace("'", '"')
        guess = difflib.get_close_matches(str(error["input"]), _quoted(expected), 1)
        reason = f"expected {expected}" + (f'; did you mean "{guess[0]}"?' if guess else "")
    elif error["type"] == "model_type":
        reason = "a table is expected" + ("" if key.endswith("]") else f", like [{key}]")
    elif key == "lumber":
        reason = "write it in double brackets, [[lumber]], once for each size"
    elif key == "wing":
        reason = "write it in double brackets, [[wing]], once for each wing"
    elif error["type"] in ("too_long", "too_short"):
        count = error["ctx"]["max_length" if error["type"] == "too_long" else "min_length"]
        reason = f"it should have {count} items, not {error['ctx']['actual_length']}"
    elif error["type"] in _EXPECTED:
        reason = _EXPECTED[error["type"]]
    return f"{key}: {_shown(error['input'])}: {reason.replace('Input should be', 'it should be')}"


def _quoted(expected: str) -> list[str]:
    return expected.split('"')[1::2]


def _shown(value: object) -> str:
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return _cut(f'"{value}"' if isinstance(value, str) else text)


def _cut(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."


def _key(loc: tuple[int | str, ...]) -> str:
    """Return a key path as people write it; items of a list are counted from one."""
    parts = [f"[{p + 1}]" if isinstance(p, int) else f".{p}" for p in loc if p in _keys_of(loc)]
    return "".join(parts).removeprefix(".")


def _keys_of(loc: tuple[int | str, ...]) -> tuple[int | str, ...]:
    """Drop the tags that pydantic adds for the branches of a union."""
    return tuple(p for p in loc if isinstance(p, int) or p.replace("_", "").isalpha())


def _model_of(loc: tuple[int | str, ...]) -> type[BaseModel] | None:
    """Return the model that holds the last key of a path."""
    model: type[BaseModel] = Job
    for part in loc[:-1]:
        if isinstance(part, int):
            continue
        field = next((f for n, f in model.model_fields.items() if part in (n, f.alias)), None)
        inner = _inner_model(field.annotation) if field else None
        if inner is None:
            return None
        model = inner
    return model


def _inner_model(annotation: Any) -> type[BaseModel] | None:
    """Return the model inside an annotation such as `PostsTable | None` or `list[RackBoard]`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        if found := _inner_model(inner):
            return found
    return None


def _field(loc: tuple[int | str, ...]) -> Any:
    model = _model_of(loc)
    if model is None:
        return None
    return next((f for n, f in model.model_fields.items() if loc[-1] in (n, f.alias)), None)


def _suggestion(loc: tuple[int | str, ...]) -> str:
    """Return the nearest key of the same table, or where else the key belongs."""
    wrong, model = str(loc[-1]), _model_of(loc)
    keys = [f.alias or name for name, f in model.model_fields.items()] if model else []
    if misspelt := difflib.get_close_matches(wrong, keys, 1, cutoff=0.85):
        return f"; did you mean {misspelt[0]}?"
    for name, field in Job.model_fields.items():
        inner = _inner_model(field.annotation)
        if inner and wrong in inner.model_fields:
            return f"; it belongs in [{name}]"
    if close := difflib.get_close_matches(wrong, keys, 1):
        return f"; did you mean {close[0]}?"
    return "; known here: " + ", ".join(keys) if keys else ""
