"""The example build under output/ is what the command writes."""

from pathlib import Path

from cutlist.build import build_job
from cutlist.export.write import build_files
from cutlist.job import read_job

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "output" / "Orchard pavilion"


def test_the_example_is_what_the_command_writes():
    written = build_files(build_job(read_job(ROOT / "fixtures" / "pyramid.toml")))
    kept = {
        path.relative_to(EXAMPLE).as_posix(): path.read_bytes()
        for path in EXAMPLE.rglob("*")
        if path.is_file()
    }
    assert sorted(kept) == sorted(written)
    changed = [name for name, content in written.items() if kept[name] != content]
    assert not changed
