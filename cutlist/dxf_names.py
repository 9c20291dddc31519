"""What DXF lets layers be called."""

from __future__ import annotations

import re
from typing import Literal

DxfVersion = Literal["R12", "R2000", "R2010"]

FORBIDDEN = '<>/\\":;?*|=`'
"""Characters that no layer's name may hold: from the DXF reference, from memory."""

LONGEST = 255
LONGEST_R12 = 31
"""Most characters of a layer's name, in all versions and in R12: from memory."""


def layer_name(name: str) -> str:
    """Return the name of a layer as it is. Raises ValueError where it is none."""
    if found := sorted(set(name) & set(FORBIDDEN)):
        raise ValueError(f"a layer's name must not hold {' '.join(found)}")
    if not (name.isascii() and name.isprintable()):
        raise ValueError("a layer's name is written in plain letters, digits and marks")
    if not name or name != name.strip() or len(name) > LONGEST:
        raise ValueError(f"a layer's name has 1 to {LONGEST} characters, no space at its ends")
    if name.upper() == "DEFPOINTS":
        raise ValueError("what lies on that layer is never plotted; take another")
    return name


def too_new(name: str) -> str | None:
    """Return why R12 cannot have a layer of that name; None where it can."""
    if re.fullmatch(rf"[A-Za-z0-9$_-]{{1,{LONGEST_R12}}}", name):
        return None
    return f"R12 has names of up to {LONGEST_R12} letters, digits and $ _ - only"
