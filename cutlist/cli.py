"""The command line: parse, call, print. What a command needs is imported when it runs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from cutlist import __version__
from cutlist.errors import CutlistError, JobError, NoPlanError

if TYPE_CHECKING:
    from cutlist.checks.finding import Finding

DONE, FAILED, BAD_INPUT = 0, 1, 2


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="cutlist")
def main() -> None:
    """Turn a roof's rafters into parts ready for the saw and the CNC, and the boards to buy.

    Begin with `cutlist start`, edit the job file it writes, then `cutlist build` it.
    """


@main.command()
@click.argument("file", required=False, type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--form",
    type=click.Choice(["gable", "shed", "hip"]),
    default="gable",
    show_default=True,
    help="Form of the roof.",
)
@click.option(
    "--units",
    type=click.Choice(["imperial", "metric"]),
    default="imperial",
    show_default=True,
    help="Inches or millimetres.",
)
def start(file: Path | None, form: str, units: str) -> None:
    """Write a commented job file to edit (FILE, or FORM.toml here). It builds as it stands."""
    from cutlist.starter import starter_text

    target = file or Path(f"{form}.toml")
    text = starter_text(form, "metric" if units == "metric" else "imperial")
    try:
        with target.open("x", encoding="utf-8", newline="\n") as new:
            new.write(text)
    except FileExistsError:
        _stop(f"{target}: it exists already; name another file", BAD_INPUT)
    except OSError as error:
        _stop(f"{target}: it cannot be written ({error.strerror})", BAD_INPUT)
    click.echo(f"Wrote {target}. Edit it, then: cutlist build {target}")


@main.command()
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("output"),
    show_default=True,
    help="Folder in which each job gets a folder of its own.",
)
@click.option(
    "--nest-seconds",
    type=click.FloatRange(min=0),
    default=20.0,
    show_default=True,
    help="Longest search for the cheapest board plan of each size.",
)
def build(jobs: tuple[Path, ...], out: Path, nest_seconds: float) -> None:
    """Write everything for each JOB: parts, DXF, cut list, boards to buy, board plan, checks."""
    from cutlist.build import build_job
    from cutlist.export.summary import summary
    from cutlist.export.write import write_build
    from cutlist.job import read_job

    code = DONE
    for i, path in enumerate(jobs):
        try:
            with _told_with(path):
                done = build_job(read_job(path), nest_seconds=nest_seconds)
            folder = write_build(done, out)
        except CutlistError as error:
            click.echo(str(error), err=True)
            code = max(code, FAILED if isinstance(error, NoPlanError) else BAD_INPUT)
        else:
            click.echo(("\n" if i else "") + summary(done, folder))
    raise SystemExit(code)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
def check(job: Path) -> None:
    """Print the checks of JOB and write nothing. Exits 1 if one fails."""
    from cutlist.build import check_job
    from cutlist.job import read_job

    try:
        with _told_with(job):
            findings = check_job(read_job(job))
    except CutlistError as error:
        _stop(str(error), BAD_INPUT)
    order = {"fail": 0, "warn": 1, "pass": 2}
    for finding in sorted(findings, key=lambda f: order[f.result]):
        click.echo(_line(finding))
    counts = {r: sum(f.result == r for f in findings) for r in order}
    click.echo(f"{counts['pass']} pass, {counts['warn']} warn, {counts['fail']} fail")
    raise SystemExit(FAILED if counts["fail"] else DONE)


def _line(finding: Finding) -> str:
    """Return one finding as a line, with what to do under it."""
    line = (
        f"{finding.result:4}  {finding.check}: {finding.subject}: "
        f"{finding.value:.4g} (limit {finding.limit:.4g}); {finding.source}"
    )
    return f"{line}\n      {finding.advice}" if finding.advice else line


@contextmanager
def _told_with(path: Path) -> Iterator[None]:
    """Put the job file's name before problems that were found after it was read."""
    try:
        yield
    except JobError as error:
        named = (p if p.startswith(str(path.name)) else f"{path.name}: {p}" for p in error.problems)
        raise JobError(list(named)) from None


def _stop(message: str, code: int) -> NoReturn:
    click.echo(message, err=True)
    raise SystemExit(code)
