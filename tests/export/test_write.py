"""A job's folder is replaced whole or left alone, and no name leads out of the output folder."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.build import Build
from cutlist.errors import OutputError
from cutlist.export import write
from cutlist.export.naming import LONGEST_NAME, folder_name
from cutlist.export.write import TEMPORARY, write_build


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def contents(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_everything_of_the_contract_is_written(build: Build, tmp_path: Path) -> None:
    folder = write_build(build, tmp_path / "made" / "for it")
    found = set(contents(folder))
    tables = {"cut-list", "lumber-order", "board-plan", "layout", "checks"}
    assert found >= {"report.html", "roof.dxf", "build.json", *(f"{table}.csv" for table in tables)}
    assert {p.stem for p in (folder / "parts").iterdir()} == {part.mark for part in build.parts}
    boards = sum(len(plan.boards) for plan in build.plans)
    assert len(list((folder / "boards").iterdir())) == boards
    assert names(folder.parent) == [folder.name], "nothing temporary is left"


def test_a_second_build_replaces_the_first_whole(gable: Build, tmp_path: Path) -> None:
    folder = write_build(gable, tmp_path)
    before = contents(folder)
    (folder / "parts" / "C9.dxf").write_text("of an earlier build")
    assert write_build(gable, tmp_path) == folder
    assert contents(folder) == before
    assert names(tmp_path) == [folder.name]


@pytest.mark.parametrize("fault", [KeyboardInterrupt, OSError(28, "No space left on device")])
@pytest.mark.parametrize("at", ["write_bytes", "rename", "second rename"])
def test_an_interrupted_write_leaves_the_old_folder(
    gable: Build,
    named: Callable[[str], Build],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    at: str,
    fault: type[BaseException] | OSError,
) -> None:
    folder = write_build(gable, tmp_path)
    (folder / "layout.csv").write_text("old")
    before = contents(folder)
    method = at.removeprefix("second ")
    real = getattr(Path, method)
    calls = {"layout.csv": 0, "rename": 0}

    def fail(self: Path, *args: object) -> object:
        calls["rename"] += method == "rename"
        if self.name == "layout.csv" or calls["rename"] == (2 if at.startswith("second") else 1):
            raise fault
        return real(self, *args)

    with monkeypatch.context() as patch:
        patch.setattr(Path, method, fail)
        with pytest.raises(OutputError if isinstance(fault, OSError) else KeyboardInterrupt):
            write_build(gable, tmp_path)
    assert contents(folder) == before
    assert names(tmp_path) == [folder.name]


def test_a_failed_first_build_leaves_nothing(
    gable: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(self: Path, content: bytes) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", fail)
    with pytest.raises(KeyboardInterrupt):
        write_build(gable, tmp_path)
    assert names(tmp_path) == []


def test_folders_that_are_not_ours_are_left_alone(gable: Build, tmp_path: Path) -> None:
    folder = tmp_path / folder_name(gable.job.name)
    folder.mkdir()
    assert write_build(gable, tmp_path) == folder, "an empty folder is free"
    (folder / "build.json").unlink()
    (folder / "photo.jpg").write_text("mine")
    before = contents(folder)
    with pytest.raises(OutputError, match="not a build of ours"):
        write_build(gable, tmp_path)
    (folder / "build.json").write_text('{"name": "Fern Row shelter"}')
    with pytest.raises(OutputError, match="not a build of ours"):
        write_build(gable, tmp_path)
    (folder / "build.json").unlink()
    assert contents(folder) == before


def test_another_job_of_the_same_folder_is_not_overwritten(
    named: Callable[[str], Build], tmp_path: Path
) -> None:
    folder = write_build(named("a/b"), tmp_path)
    with pytest.raises(OutputError, match='holds the job "a/b"'):
        write_build(named("a:b"), tmp_path)
    assert json.loads((folder / "build.json").read_bytes())["name"] == "a/b"


def test_a_file_or_a_link_in_the_way(gable: Build, tmp_path: Path) -> None:
    target = tmp_path / folder_name(gable.job.name)
    target.write_text("a file")
    with pytest.raises(OutputError, match="not a folder"):
        write_build(gable, tmp_path)
    target.unlink()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    target.symlink_to(elsewhere)
    with pytest.raises(OutputError, match="not a folder"):
        write_build(gable, tmp_path)
    target.unlink()
    (tmp_path / "plain").write_text("a file")
    with pytest.raises(OutputError, match="cannot be written"):
        write_build(gable, tmp_path / "plain")


def test_an_unwritable_folder(
    gable: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if os.geteuid() == 0:
        # Nothing is unwritable to root, so the refusal is played.
        def refuse(self: Path, *args: object, **kwargs: object) -> None:
            raise PermissionError(13, "Permission denied", str(self))

        monkeypatch.setattr(Path, "mkdir", refuse)
    else:
        tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="permission denied"):
        write_build(gable, tmp_path)
    assert names(tmp_path) == []


def test_nothing_is_touched_before_all_files_are_made(
    gable: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(build: Build) -> dict[str, bytes]:
        assert names(tmp_path) == []
        raise RuntimeError

    monkeypatch.setattr(write, "build_files", fail)
    with pytest.raises(RuntimeError):
        write_build(gable, tmp_path)
    assert names(tmp_path) == []


NAMES = ["../..", "..", ".", "/etc/passwd", "C:\\x", "CON", "con.txt", "nul ", "COM1", "LPT¹", " "]
NAMES += [
    "=cmd()",
    "<script>",
    ".cutlist-00-new",
    "~",
    "a\0b",
    "a\nb",
    "\u202etxt.exe",
    "...",
    "- -",
]


@pytest.mark.parametrize("name", NAMES)
def test_hostile_names_stay_in_the_output_folder(
    named: Callable[[str], Build], tmp_path: Path, name: str
) -> None:
    out = tmp_path / "out"
    folder = write_build(named(name), out)
    assert folder.parent == out
    assert folder.resolve().parent == out.resolve()
    assert names(tmp_path) == ["out"]
    assert names(out) == [folder.name]


@given(st.text(max_size=200))
def test_folder_names_are_safe_everywhere(name: str) -> None:
    safe = folder_name(name)
    assert 0 < len(safe.encode()) <= LONGEST_NAME + 4
    assert not set(safe) & set('<>:"/\\|?*')
    assert not any(unicodedata.category(c).startswith("C") for c in safe)
    assert safe[0] not in ".-~ "
    assert safe[-1] not in ". "
    assert not safe.startswith(TEMPORARY)
    assert folder_name(safe) == safe, "a safe name is kept"
    assert safe.split(".")[0].upper() not in {"CON", "PRN", "AUX", "NUL", "COM1", "LPT1"}


def test_ordinary_names_are_kept() -> None:
    for name in ("Alder Hollow market stand", "Größe 2", "屋根 (1)", "v1.2"):
        assert folder_name(name) == name
    assert folder_name("CON") == "job CON"
    assert folder_name("") == folder_name("...") == "job"
    assert folder_name("Cafe\N{COMBINING ACUTE ACCENT}") == "Café"


def test_heavy_libraries_wait_until_files_are_made() -> None:
    code = (
        "import sys, cutlist.export.write, cutlist.export.summary;"
        "print([name for name in ('ezdxf', 'jinja2', 'pandas') if name in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout == "[]\n"
