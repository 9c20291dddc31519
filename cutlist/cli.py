"""The command line: parse, call, print. What a command needs is imported when it runs."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from shlex import quote
from typing import NoReturn

import click

from cutlist import __version__
from cutlist.errors import CutlistError, GeometryError, JobError, NoPlanError

DONE, FAILED, BAD_INPUT = 0, 1, 2

INTERRUPTED = 130
"""What shells and scripts take for Ctrl-C: 128 and the signal's number."""


class Commands(click.Group):
    """The commands, of which any may be stopped with Ctrl-C."""

    def invoke(self, ctx: click.Context) -> object:
        """Run a command. The folder of a job that is stopped stays as it was."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            _stop("\nStopped before it was done; no folder is half written.", INTERRUPTED)


_OUT = click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("output"),
    show_default=True,
    help="Folder in which each job gets a folder of its own.",
)
_NEST_SECONDS = click.option(
    "--nest-seconds",
    type=click.FloatRange(min=0),
    default=20.0,
    show_default=True,
    help="Longest search for the cheapest board plan of each size.",
)


@click.group(
    cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
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
    click.echo(f"Wrote {target}. Edit it, then: cutlist build {quote(str(target))}")


@main.command()
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@_OUT
@_NEST_SECONDS
@click.option("--quiet", is_flag=True, help="Print nothing but mistakes.")
@click.option("--json", "as_json", is_flag=True, help="Print a line of JSON for each job.")
def build(
    jobs: tuple[Path, ...], out: Path, nest_seconds: float, quiet: bool, as_json: bool
) -> None:
    """Write everything for each JOB: parts, DXF, cut list, boards to buy, board plan, checks."""
    from cutlist.build import build_job
    from cutlist.export.data import result_line
    from cutlist.export.summary import summary
    from cutlist.export.write import write_build
    from cutlist.job import read_job

    code = DONE
    built: dict[str, Path] = {}
    for i, path in enumerate(jobs):
        try:
            found = read_job(path)
            other = built.setdefault(found.name, path)
            if other != path:
                raise JobError(
                    [
                        f'{path}: name: "{found.name}" is the name of {other} as well, '
                        "whose folder it would take; give one of them another name"
                    ]
                )
            with _told_with(path), _progress(path, quiet) as tell:
                done = build_job(found, nest_seconds=nest_seconds, tell=tell)
                tell("writing")
                folder = write_build(done, out)
        except CutlistError as error:
            click.echo(str(error), err=True)
            code = max(code, FAILED if isinstance(error, NoPlanError) else BAD_INPUT)
            continue
        if as_json:
            click.echo(result_line(done, folder), nl=False)
        elif not quiet:
            click.echo(("\n" if i else "") + summary(done, folder), nl=False)
    raise SystemExit(code)


@main.command()
@click.argument("pieces", type=click.Path(path_type=Path))
@click.option(
    "--boards",
    required=True,
    type=click.Path(path_type=Path),
    help="Boards to cut from: a CSV file with length, and where wanted price, on_hand, size.",
)
@click.option("--size", help='Size of rows that name none, like "2x4" or "45x95".')
@click.option(
    "--units",
    type=click.Choice(["imperial", "metric"]),
    default="imperial",
    show_default=True,
    help="What bare numbers are in: inches or millimetres.",
)
@click.option("--kerf", help="Width of the saw's cut.  [default: 1/8in or 3mm]")
@click.option("--end-trim", help="Cut off each end of a board.  [default: 1/4in or 5mm]")
@click.option("--keep-offcut", help="Shortest offcut to keep.  [default: 24in or 600mm]")
@click.option("--any-way-up", is_flag=True, help="Pieces may lie with either edge up.")
@click.option("--name", help="Name of the folder written.  [default: the file's]")
@_OUT
@_NEST_SECONDS
def nest(
    pieces: Path,
    boards: Path,
    size: str | None,
    units: str,
    kerf: str | None,
    end_trim: str | None,
    keep_offcut: str | None,
    any_way_up: bool,
    name: str | None,
    out: Path,
    nest_seconds: float,
) -> None:
    """Plan the boards for any sticks, with saw list and labels.

    PIECES is a CSV file with mark, length and, where wanted, count, left_angle, right_angle (of
    the cuts, from square) and size. Lengths run from long point to long point. A positive angle
    leans like /, a negative one like a backslash, the piece's top edge up.
    """
    from cutlist.build import Cutting, plan_boards
    from cutlist.export.summary import cutting_summary
    from cutlist.export.write import write_cutting
    from cutlist.pieces import bench, read_pieces

    try:
        table = bench(
            units="metric" if units == "metric" else "imperial",
            size=size,
            kerf=kerf,
            end_trim=end_trim,
            keep_offcut=keep_offcut,
            crown_up=not any_way_up,
        )
        plans = plan_boards(read_pieces(pieces, boards, table), nest_seconds)
        cutting = Cutting(
            name=name or pieces.stem,
            units=table.units,
            round_to=table.round_to,
            saw=table.saw,
            plans=plans,
        )
        folder = write_cutting(cutting, out)
    except CutlistError as error:
        _stop(str(error), FAILED if isinstance(error, NoPlanError) else BAD_INPUT)
    click.echo(cutting_summary(cutting, folder), nl=False)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--all", "passed", is_flag=True, help="Tell what passed too, with its source.")
def check(job: Path, passed: bool) -> None:
    """Print what the checks of JOB find and write nothing. Exits 1 if one fails."""
    from cutlist.build import check_job
    from cutlist.export.summary import checks_text
    from cutlist.job import read_job

    try:
        found = read_job(job)
        with _told_with(job):
            findings = check_job(found)
    except CutlistError as error:
        _stop(str(error), BAD_INPUT)
    click.echo(checks_text(findings, found, passed=passed), nl=False)
    raise SystemExit(FAILED if any(f.result == "fail" for f in findings) else DONE)


@contextmanager
def _progress(path: Path, quiet: bool) -> Iterator[Callable[[str], None]]:
    """Show what is being done on one line that is wiped at the end; only to a person."""
    shown = sys.stderr.isatty() and not quiet

    def tell(step: str) -> None:
        if shown:
            click.echo(f"\r\x1b[K{path.name}: {step} ...", err=True, nl=False)

    try:
        yield tell
    finally:
        if shown:
            click.echo("\r\x1b[K", err=True, nl=False)


@contextmanager
def _told_with(path: Path) -> Iterator[None]:
    """Put the job file's name before problems that were found after it was read."""
    try:
        yield
    except JobError as error:
        raise JobError([f"{path.name}: {problem}" for problem in error.problems]) from None
    except GeometryError as error:
        raise JobError([f"{path.name}: a member cannot be cut so: {error}"]) from None


def _stop(message: str, code: int) -> NoReturn:
    click.echo(message, err=True)
    raise SystemExit(code)
