"""One function, from a job to everything that is written about it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from cutlist.checks.finding import Case, Finding
from cutlist.checks.length import small_roof_hints
from cutlist.checks.run import run_checks
from cutlist.errors import JobError, NoPlanError, PlanCheckError
from cutlist.geometry.stick import End
from cutlist.job import Job
from cutlist.lumber import Size
from cutlist.nest.ends import EndFace
from cutlist.nest.plan import Plan
from cutlist.nest.problem import Board, Problem, Saw, Stick
from cutlist.nest.solve import solve
from cutlist.nest.verify import verify
from cutlist.roof.frame import frame_roof
from cutlist.roof.parts import Part, group_parts
from cutlist.roof.roof import Roof
from cutlist.units import COINS, Units, format_length


@dataclass(frozen=True, kw_only=True)
class Cutting:
    """Boards to be cut: a plan for each size, and what is needed to print them."""

    name: str
    units: Units
    round_to: float
    saw: Saw
    plans: tuple[Plan, ...]

    def text(self, length: float) -> str:
        """Return a length as people read it."""
        return format_length(length, self.units, self.round_to)


@dataclass(frozen=True, kw_only=True)
class Build:
    """A finished job: its roof, parts, findings and one board plan for each size."""

    job: Job
    roof: Roof
    parts: tuple[Part, ...]
    findings: tuple[Finding, ...]
    plans: tuple[Plan, ...]

    @property
    def cutting(self) -> Cutting:
        """The boards to be cut, apart from what they are cut for."""
        return Cutting(
            name=self.job.name,
            units=self.job.units,
            round_to=self.job.saw.round_to,
            saw=_saw(self.job),
            plans=self.plans,
        )


def check_job(job: Job) -> tuple[Finding, ...]:
    """Return what the checks find, without planning boards. Raises JobError, GeometryError."""
    return _framed(job).findings


def build_job(
    job: Job, *, nest_seconds: float = 20.0, tell: Callable[[str], None] = lambda step: None
) -> Build:
    """Return the finished build.

    `nest_seconds` bounds the search for the cheapest board plan of each size; `tell` is called
    with what is being done, for people who wait. Raises JobError or
    GeometryError where the roof cannot be built so, NoPlanError where no board holds a part.
    """
    tell("framing and checking")
    framed = _framed(job)
    tell("planning boards")
    return Build(
        job=job,
        roof=framed.roof,
        parts=framed.parts,
        findings=framed.findings,
        plans=plan_boards(nesting_problems(job, framed.parts), nest_seconds),
    )


def plan_boards(problems: Iterable[Problem], nest_seconds: float) -> tuple[Plan, ...]:
    """Return a board plan for each problem, judged by the independent check.

    Raises NoPlanError, with a line for each reason, where any of them has none.
    """
    plans, missing = [], []
    for problem in problems:
        try:
            plan = solve(problem, seconds=nest_seconds)
        except NoPlanError as error:
            missing.append(str(error))
            continue
        if faults := verify(problem, plan):
            raise PlanCheckError(
                f"the board plan for {problem.size} failed its own check, so nothing was written; "
                "please report this job file: " + "; ".join(faults)
            )
        plans.append(plan)
    if missing:
        raise NoPlanError("\n".join(missing))
    return tuple(plans)


@dataclass(frozen=True, kw_only=True)
class _Framed:
    roof: Roof
    parts: tuple[Part, ...]
    findings: tuple[Finding, ...]


def _framed(job: Job) -> _Framed:
    try:
        roof = frame_roof(job)
    except JobError as error:
        # What is refused of a very small roof is most often its size in another unit.
        raise JobError([*error.problems, *small_roof_hints(job)]) from None
    parts = group_parts(roof.members)
    _refuse_unused_lumber(job, parts)
    return _Framed(
        roof=roof, parts=parts, findings=run_checks(Case(job=job, roof=roof, parts=parts))
    )


def _refuse_unused_lumber(job: Job, parts: tuple[Part, ...]) -> None:
    """Refuse boards of a size that no part is cut from: most often a misread size."""
    used = {_section(part.size): part.size.name for part in parts}
    problems = [
        f"lumber[{i}].size: no part is cut from {table.size.name}; "
        + (
            "no rafter is long enough, so check the units of the roof's size"
            if _section(table.size) == _section(job.rafter.size)
            else "the roof takes " + ", ".join(used.values())
        )
        for i, table in enumerate(job.lumber, start=1)
        if _section(table.size) not in used
    ]
    if problems:
        raise JobError(problems)


def nesting_problems(job: Job, parts: tuple[Part, ...]) -> tuple[Problem, ...]:
    """Return one nesting problem for each lumber size, in the order the parts come."""
    by_section: dict[tuple[float, float], list[Part]] = {}
    for part in parts:
        by_section.setdefault(_section(part.size), []).append(part)
    return tuple(_problem(job, alike) for alike in by_section.values())


def _problem(job: Job, parts: list[Part]) -> Problem:
    size = parts[0].size

    def text(length: float) -> str:
        return format_length(length, job.units, job.saw.round_to)

    return Problem(
        size=size.name,
        thickness=size.thickness,
        depth=size.depth,
        sticks=tuple(_nest_stick(part) for part in parts),
        boards=_boards(job, size),
        saw=_saw(job),
        grid=job.units.grid,
        length_text=text,
    )


def _saw(job: Job) -> Saw:
    table = job.saw
    return Saw(
        kerf=table.kerf,
        end_trim=table.end_trim,
        keep_offcut=table.keep_offcut,
        crown_up=table.crown_up,
    )


def _boards(job: Job, size: Size) -> tuple[Board, ...]:
    table = job.boards(size)
    prices: Sequence[float | None] = table.prices or [None] * len(table.lengths)
    bought = (
        Board(length=length, price=None if price is None else round(price * COINS))
        for length, price in zip(table.lengths, prices, strict=True)
    )
    on_hand = (
        Board(length=board.length, count=board.count, on_hand=True) for board in table.on_hand
    )
    return (*bought, *on_hand)


def _nest_stick(part: Part) -> Stick:
    stick = part.stick

    def faces(end: End) -> tuple[EndFace, ...]:
        return tuple(
            EndFace(
                at=cut.x_at(0.0, 0.0),
                per_depth=-cut.plane.normal.y / cut.plane.normal.x,
                per_thickness=-cut.plane.normal.z / cut.plane.normal.x,
            )
            for cut in stick.end_planes(end)
        )

    return Stick(
        mark=part.mark,
        count=part.count,
        thickness=stick.thickness,
        depth=stick.depth,
        left=faces("foot"),
        right=faces("head"),
        near=stick.near.points,
        far=stick.far.points,
    )


def _section(size: Size) -> tuple[float, float]:
    return size.thickness, size.depth
