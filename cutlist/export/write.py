"""A job's folder: replaced whole, or left as it was.

Everything is made in memory first, then written to a temporary folder beside the target, then
moved into place by renaming. Temporary folders begin with a dot, as no job's folder does.
"""

from __future__ import annotations

import json
import secrets
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

from cutlist.build import Build, Cutting
from cutlist.errors import OutputError
from cutlist.export.data import SHAPE_KEYS, cutting_data, data, json_bytes
from cutlist.export.naming import folder_name

TEMPORARY = ".cutlist-"
DATA_FILE = "build.json"


def write_build(build: Build, out_dir: Path) -> Path:
    """Write everything about a build to `out_dir/<job name>/` and return that folder.

    Raises OutputError with a message to print where it cannot be written there, or where the
    folder holds anything but an earlier build of the same job. Nothing there has changed then.
    """
    return _write(build.job.name, lambda: build_files(build), out_dir)


def write_cutting(cutting: Cutting, out_dir: Path) -> Path:
    """Write board plans to `out_dir/<name>/` and return that folder; as `write_build` does."""
    return _write(cutting.name, lambda: cutting_files(cutting), out_dir)


def build_files(build: Build) -> dict[str, bytes]:
    """Return every file of a build by its path inside the job's folder."""
    from cutlist.export.cnc import cnc_files
    from cutlist.export.draw_part import draw_part
    from cutlist.export.draw_roof import draw_roof
    from cutlist.export.dxf import dxf_bytes
    from cutlist.export.glb import glb_bytes
    from cutlist.export.ifc import ifc_bytes
    from cutlist.export.labels import labels_pdf
    from cutlist.export.patterns import patterns_pdf
    from cutlist.export.report import report_html
    from cutlist.export.step import step_bytes
    from cutlist.export.tables import csv_files, tables
    from cutlist.export.workbook import workbook_bytes

    return {
        "report.html": report_html(build),
        **csv_files(tables(build)),
        "cut-list.xlsx": workbook_bytes(build),
        "patterns.pdf": patterns_pdf(build),
        "labels.pdf": labels_pdf(build),
        **{f"parts/{part.mark}.dxf": dxf_bytes(draw_part(build, part)) for part in build.parts},
        **_board_files(build.cutting),
        **cnc_files(build),
        "roof.dxf": dxf_bytes(draw_roof(build)),
        "roof.glb": glb_bytes(build),
        "roof.step": step_bytes(build),
        "roof.ifc": ifc_bytes(build),
        DATA_FILE: json_bytes(data(build)),
    }


def cutting_files(cutting: Cutting) -> dict[str, bytes]:
    """Return every file of board plans by its path inside their folder."""
    from cutlist.export.labels import plain_labels_pdf
    from cutlist.export.tables import csv_files, cutting_tables

    return {
        **csv_files(cutting_tables(cutting)),
        "labels.pdf": plain_labels_pdf(cutting),
        **_board_files(cutting),
        DATA_FILE: json_bytes(cutting_data(cutting)),
    }


def _board_files(cutting: Cutting) -> dict[str, bytes]:
    from cutlist.export.draw_board import draw_board
    from cutlist.export.dxf import dxf_bytes
    from cutlist.export.naming import alike_boards, named_boards

    return {
        f"boards/{board.name}.dxf": content
        for alike in alike_boards(named_boards(cutting.plans))
        for content in [dxf_bytes(draw_board(cutting, alike))]
        for board in alike
    }


def _write(name: str, files: Callable[[], Mapping[str, bytes]], out_dir: Path) -> Path:
    target = out_dir / folder_name(name)
    try:
        _refuse_foreign(target, name)
        content = files()
        out_dir.mkdir(parents=True, exist_ok=True)
        _replace_folder(target, content)
    except OutputError:
        raise
    except OSError as error:
        raise OutputError(_message(target, error)) from error
    return target


def _refuse_foreign(target: Path, job_name: str) -> None:
    """Raise OutputError unless the target is free, empty, or an earlier build of this job."""
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise OutputError(
            f"{target}: something that is not a folder stands there; move it away, or give "
            "another folder with --out"
        )
    if not target.exists() or not any(target.iterdir()):
        return
    owner = _job_in(target / DATA_FILE)
    if owner is None:
        raise OutputError(
            f"{target}: this folder holds files that are not a build of ours, so it is left "
            "alone; move it away, rename the job, or give another folder with --out"
        )
    if owner != job_name:
        raise OutputError(
            f'{target}: this folder holds the job "{owner}", so "{job_name}" is not written over '
            "it; rename one of them, or give another folder with --out"
        )


def _job_in(file: Path) -> str | None:
    """Return the name of the job that a build.json tells of; None where it is none of ours."""
    try:
        found = json.loads(file.read_bytes())
    except (FileNotFoundError, IsADirectoryError, ValueError):
        return None
    if not isinstance(found, dict) or not all(key in found for key in SHAPE_KEYS):
        return None
    return str(found["name"])


def _replace_folder(target: Path, files: Mapping[str, bytes]) -> None:
    """Make the target hold just these files; whatever goes wrong, it is as before."""
    token = secrets.token_hex(6)
    fresh = target.with_name(f"{TEMPORARY}{token}-new")
    old = target.with_name(f"{TEMPORARY}{token}-old")
    try:
        fresh.mkdir()
        for name, content in files.items():
            path = fresh / name
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)
        if target.exists():
            target.rename(old)
        fresh.rename(target)
    except BaseException:
        # Also on an interrupt: it may come between the two renames.
        if old.exists() and not target.exists():
            old.rename(target)
        raise
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
        if target.exists():
            shutil.rmtree(old, ignore_errors=True)


def _message(target: Path, error: OSError) -> str:
    reason = (error.strerror or str(error)).lower()
    where = error.filename or target
    return f"{target}: it cannot be written ({where}: {reason}); give another folder with --out"
