"""Measure nesting: `python -m tests.benchmarks.nesting [--all] [--seconds 60]`.

Prints two tables. Classical instances: how many are proved, that every optimum is the published
one, and processor seconds on one core. Angled jobs: the same, what is saved against nesting
boxes and against first-fit decreasing, and, but for the project's own roofs, the time of one
integer programme (arc flow) over the same problem. By default a sample of each set; with --all
every instance. Exits 1 if any plan is wrong, any proved optimum differs from the published one, or
a bound lies above it.
"""

import argparse
import sys
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from statistics import mean, median

from cutlist.nest import Plan, Proof, solve, verify
from tests.benchmarks.baselines import arc_flow, first_fit_decreasing
from tests.benchmarks.instances import (
    FIXTURES,
    Instance,
    angled,
    boxed,
    classical,
    several_lengths,
)
from tests.benchmarks.roofs import houses, own_roofs

CLASSICAL = {
    "falkenauer_t": 8,
    "falkenauer_u": 6,
    "scholl_1": 40,
    "scholl_2": 40,
    "scholl_3": 5,
    "schwerin_1": 10,
    "schwerin_2": 10,
    "waescher": 4,
    "hard28": 7,
    "several_lengths": 6,
}
"""Sets, and every how many instances one is run by default."""
ANGLED = {
    "roof": "mixed roofs",
    "par": "parallel plumb cuts",
    "short": "many short sticks",
    "own": "own roofs",
    "house": "houses with wings",
}
_MADE = {"own": own_roofs, "house": houses}


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """One instance, its plan, and the processor time that the plan took."""

    instance: Instance
    plan: Plan
    seconds: float

    @property
    def proved(self) -> bool:
        return self.plan.proof is not Proof.OPEN

    @property
    def faults(self) -> list[str]:
        """What contradicts the published bounds or the judge."""
        found = list(verify(self.instance.problem, self.plan))
        if self.plan.bound > self.instance.high or self.plan.cost < self.instance.low:
            found.append(f"cost {self.plan.cost}, bound {self.plan.bound}: against published")
        return [f"{self.instance.name}: {fault}" for fault in found]


def run(instance: Instance, seconds: float) -> Run:
    began = time.process_time()
    plan = solve(instance.problem, seconds=seconds)
    done = Run(instance=instance, plan=plan, seconds=time.process_time() - began)
    print(
        f"{instance.name}: {plan.cost} (bound {plan.bound}, {plan.proof.value},"
        f" {done.seconds:.2f} s)",
        file=sys.stderr,
        flush=True,
    )
    return done


def figures(runs: list[Run]) -> list[str]:
    """How many are proved, certified, and at the published optimum; median and longest time."""
    seconds = [r.seconds for r in runs]
    return [
        f"{sum(r.proved for r in runs)}/{len(runs)}",
        str(sum(r.plan.proof is Proof.CERTIFIED for r in runs)),
        str(sum(r.plan.cost <= r.instance.high for r in runs)),
        f"{median(seconds):.2f} / {max(seconds):.1f}",
    ]


def percent(shares: Iterable[float]) -> str:
    values = [100.0 * share for share in shares]
    return f"{mean(values):.1f} (up to {max(values):.1f})"


def row(*cells: str) -> None:
    print("| " + " | ".join(cells) + " |", flush=True)


def spent_on(flows: list[tuple[int, bool, float]]) -> list[str]:
    """How many arc flow has proved, if it was tried; median and longest time."""
    if not flows:
        return ["", ""]
    seconds = [t for *_, t in flows]
    proved = sum(proved for _, proved, _ in flows)
    return [f"{proved}/{len(flows)}", f"{median(seconds):.1f} / {max(seconds):.1f}"]


def given(kind: str) -> Iterator[Instance]:
    """Yield the jobs of a kind in the reference data."""
    return (j for j in angled(FIXTURES / "rafter_jobs.json.gz") if j.name.startswith(kind))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--all", action="store_true", help="every instance, not a sample")
    parser.add_argument("--seconds", type=float, default=60.0, help="limit for each instance")
    parser.add_argument("--only", default="", help="sets whose name contains this")
    options = parser.parse_args()
    runs: list[Run] = []

    row("set", "proven", "certified", "at the published optimum", "median / longest s")
    row(*["---"] * 5)
    for name, every in CLASSICAL.items():
        if options.only in name:
            read = several_lengths if name == "several_lengths" else classical
            instances = list(read(FIXTURES / f"{name}.txt.gz"))
            chosen = instances[:: 1 if options.all else every]
            done = [run(instance, options.seconds) for instance in chosen]
            row(name, *figures(done))
            runs += done

    print()
    row(
        *("angled jobs", "proven", "certified", "at the known optimum", "median / longest s"),
        *("worst gap %", "cheaper than box nesting %", "than first-fit decreasing %"),
        *("arc flow: proven", "median / longest s"),
    )
    row(*["---"] * 10)
    for kind, name in ANGLED.items():
        if options.only not in f"angled {kind}":
            continue
        jobs = list(_MADE[kind]() if kind in _MADE else given(kind))
        done = [run(job, options.seconds) for job in jobs[:: 1 if options.all else 3]]
        problems = [r.instance.problem for r in done]
        boxes = [solve(boxed(problem), seconds=options.seconds).cost for problem in problems]
        fits = [first_fit_decreasing(problem) for problem in problems]
        # Hundreds of sticks in a job make too large a programme to wait for.
        flows = [] if kind in _MADE else [arc_flow(p, options.seconds) for p in problems]
        row(
            name,
            *figures(done),
            f"{100 * max(r.plan.gap for r in done):.2f}",
            percent(1 - r.plan.cost / box for r, box in zip(done, boxes, strict=True)),
            percent(1 - r.plan.cost / fit for r, fit in zip(done, fits, strict=True)),
            *spent_on(flows),
        )
        runs += done
        for r, (cost, proved, _) in zip(done, flows, strict=False):
            if proved and r.proved and cost != r.plan.cost:
                print(f"{r.instance.name}: arc flow finds {cost}, not {r.plan.cost}")

    faults = [fault for r in runs for fault in r.faults]
    print("\n".join(["", *faults]) if faults else "\nEvery plan is right.")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
