"""Builds that the tests of every output share: each form, both units, awkward names."""

from __future__ import annotations

from collections.abc import Callable
from importlib.util import find_spec

import pytest

from cutlist.build import Build, build_job
from cutlist.job import parse_job

# Outside readers that have no wheels for some machines: their tests are left out there.
_READERS = {"test_step.py": "OCP", "test_ifc.py": "ifcopenshell"}

collect_ignore = [test for test, reader in _READERS.items() if find_spec(reader) is None]

GABLE_ON_POSTS = """
name = "Fern Row shelter"
units = "imperial"
[roof]
form = "gable"
span = "16ft"
length = "26ft"
pitch = "5/12"
overhang = "14in"
rake_overhang = "10in"
plate_height = "8ft"
[rafter]
size = "2x6"
spacing = "24in"
seat = "3in"
[ridge]
kind = "board"
size = "2x8"
[plate]
width = "1 1/2in"
posts = { every = "8ft", width = "5 1/2in" }
[saw]
crown_up = false
[[lumber]]
size = "2x6"
lengths = ["12ft", "20ft"]
prices = [8.5, 14.25]
on_hand = [{ length = "11ft 6in", count = 2 }]
"""

STEEP_ON_BEAM = """
name = "Steep loft"
units = "imperial"
[roof]
form = "gable"
span = "15ft"
length = "10ft"
pitch = "12/12"
far_pitch = "16/12"
overhang = "10in"
[rafter]
size = "2x10"
spacing = "16in"
tail = "plumb-level"
tail_height = "5in"
[ridge]
kind = "beam"
size = "3 1/2in x 14in"
[plate]
width = "5 1/2in"
"""

LEDGER = """
name = "Lean-to"
units = "metric"
[roof]
form = "shed"
span = "2.9m"
length = "4.3m"
pitch = "18deg"
overhang = "350mm"
high_end = "ledger"
[rafter]
size = "45x170"
spacing = "600mm"
tail = "square"
[ledger]
size = "45x195"
[plate]
width = "95mm"
"""

TWO_PLATES = """
name = "=cmd()|' /C calc'!A0 <script>"
units = "metric"
[roof]
form = "shed"
span = "2.4m"
length = "1.9m"
pitch = "20%"
overhang = "0mm"
high_overhang = "250mm"
[rafter]
size = "45x145"
spacing = "450mm"
tail = "level"
[plate]
width = "90mm"
"""

REGULAR_HIP = """
name = "Regular hip"
units = "imperial"
[roof]
form = "hip"
span = "12ft"
length = "17ft"
pitch = "6/12"
overhang = "12in"
[rafter]
size = "2x6"
spacing = "24in"
[ridge]
kind = "board"
size = "2x8"
[hip]
size = "2x8"
[plate]
width = "3 1/2in"
"""

BACKED_HIP = """
name = "Unequal hip"
units = "metric"
[roof]
form = "hip"
span = "4m"
length = "6m"
pitch = "25deg"
end_pitch = "35deg"
overhang = "300mm"
[rafter]
size = "45x145"
spacing = "600mm"
tail = "plumb-level"
tail_height = "80mm"
[ridge]
kind = "board"
size = "45x195"
[hip]
size = "45x195"
top = "back"
[plate]
width = "95mm"
"""

JOBS = {
    "hip": REGULAR_HIP,
    "backed hip": BACKED_HIP,
    "gable": GABLE_ON_POSTS,
    "steep": STEEP_ON_BEAM,
    "ledger": LEDGER,
    "shed": TWO_PLATES.replace('"0mm"', '"900mm"'),
    "no tail": TWO_PLATES.replace("level", "plumb"),
}


def build_text(text: str) -> Build:
    return build_job(parse_job(text, "job.toml"), nest_seconds=1)


_BUILDS: dict[str, Build] = {}


def _build(key: str) -> Build:
    if key not in _BUILDS:
        _BUILDS[key] = build_text(JOBS[key])
    return _BUILDS[key]


@pytest.fixture(params=JOBS)
def build(request: pytest.FixtureRequest) -> Build:
    """Every build in turn."""
    return _build(request.param)


@pytest.fixture
def gable() -> Build:
    return _build("gable")


@pytest.fixture
def named(gable: Build) -> Callable[[str], Build]:
    """The gable under another name, as a job file could give it."""

    def rename(name: str) -> Build:
        job = gable.job.model_copy(update={"name": name})
        return Build(
            job=job,
            roof=gable.roof,
            parts=gable.parts,
            findings=gable.findings,
            plans=gable.plans,
        )

    return rename
