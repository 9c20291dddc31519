"""From a rounded problem to its best plan and what is proved about it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutlist.nest.certify import certify, total_from
from cutlist.nest.deadline import Deadline
from cutlist.nest.dive import dive
from cutlist.nest.greedy import Layout, best_fit, layout_of, plan_cost
from cutlist.nest.listing import Limits, list_rows
from cutlist.nest.master import Columns, Master, Relaxed, solve_whole
from cutlist.nest.plan import Certificate, Proof
from cutlist.nest.pricing import WorthTable
from cutlist.nest.regroup import Regrouping
from cutlist.nest.relaxation import Bounded, relax, shortage
from cutlist.nest.rounded import Rounded
from cutlist.nest.ties import rank, settle_ties

_LISTED = Limits(layer=300_000, listed=50_000)
_UNFAIR = Limits(layer=30_000, listed=4_000)
_CENTRINGS = 8
"""Times that the middle of the worths is sought again after rows that it lets through."""

_DIVES = (1, 3, 8)
"""Rounds of drawing columns within each dive."""
_NEARER = 1 / 16
"""Share of the gap within which rows are listed first."""
_FEW = 200
"""Columns in such a list that are worth solving over, and not only with more."""
_MORE = 1.5
"""How many times as many columns the next list must have to be solved as well."""
_GROUPS = 10
"""Groups of boards to plan again before the gap is looked at as a whole, and in each turn after."""
_TURNS = 20
"""Turns of regrouping, diving and solving over all columns after that has failed."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """A plan in whole numbers with what is proved about it."""

    layout: Layout
    cost: int
    bound: int
    certified_bound: int
    proof: Proof
    certificate: Certificate


def search(rounded: Rounded, seconds: float) -> Outcome:
    """Look for the cheapest plan and its proof.

    The steps and their limits of work (rows listed, nodes searched, dives) are the same on every
    machine, and so is the plan as long as the seconds suffice. The clock decides where they run
    out: then the plan is the best so far. It may also decide where one integer programme takes a
    sixth or more of what is left of them, since its work is limited in nodes and the first node
    can be long. Fewest boards and the longest offcut among plans that cost the same are sought in
    known rows and small groups of boards; no proof is claimed for them.
    """
    return _Search(rounded, seconds).run()


class _Search:
    def __init__(self, rounded: Rounded, seconds: float) -> None:
        self.rounded = rounded
        self.deadline = Deadline(seconds)
        self.columns = Columns(rounded)
        self.step = max(1, rounded.problem.cost_step)
        self.layout: Layout = []
        self.cost = 0
        self.bound = 0

    def run(self) -> Outcome:
        self.layout = best_fit(self.rounded)
        self.cost, _ = plan_cost(self.rounded, self.layout)
        for _, row in self.layout:
            self.columns.add(row)
        bounded = relax(
            self.rounded,
            self.columns,
            Master(self.rounded, self.deadline),
            self.deadline,
            enough=(self.cost - self.step) * (1 + 1e-6) + 1e-3,
        )
        certificate = self.certified(bounded)
        self.bound = certified = total_from(self.rounded, certificate.bound(self.rounded.problem))
        for turn, rounds in enumerate(_DIVES):
            if self.open:
                self.take(self.dive(rounds, turn))
        regrouping = Regrouping(
            self.rounded, bounded.relaxed.worths, bounded.relaxed.premiums, self.deadline
        )
        self.regroup(regrouping)
        if self.open:
            self.close(bounded.relaxed)
        for turn in range(_TURNS):
            cost = self.cost
            self.regroup(regrouping)
            if self.open:
                self.take(self.dive(_DIVES[-1], turn))
            if self.open:
                self.take(self.whole(self.columns, nodes=20, seconds=self.deadline.left / 4)[0])
            if self.open and self.cost < cost:
                self.close(bounded.relaxed)
        if not self.deadline.passed:
            self.take(
                settle_ties(self.rounded, self.columns, bounded.relaxed, self.layout, self.deadline)
            )
        if self.cost <= certified:
            proof = Proof.CERTIFIED
        else:
            proof = Proof.ENUMERATED if self.cost <= self.bound else Proof.OPEN
        return Outcome(
            layout=self.layout,
            cost=self.cost,
            bound=self.bound,
            certified_bound=certified,
            proof=proof,
            certificate=certificate,
        )

    @property
    def open(self) -> bool:
        return self.bound < self.cost and not self.deadline.passed

    def take(self, layout: Layout | None) -> bool:
        """Keep a plan if it is better than the best so far; tell whether it is cheaper."""
        if layout is None or rank(self.rounded, layout) >= rank(self.rounded, self.layout):
            return False
        before, self.layout = self.cost, layout
        self.cost, _ = plan_cost(self.rounded, layout)
        return self.cost < before

    def dive(self, rounds: int, turn: int) -> Layout | None:
        return dive(
            self.rounded,
            self.columns,
            self.deadline,
            below=self.cost - self.step,
            rounds=rounds,
            passed_over=turn,
        )

    def regroup(self, regrouping: Regrouping) -> None:
        if self.open:
            for layout in regrouping.better(self.layout, _GROUPS):
                for _, row in layout:
                    self.columns.add(row)
                self.take(layout)
                if not self.open:
                    return

    def certified(self, bounded: Bounded) -> Certificate:
        return certify(
            self.rounded,
            bounded.relaxed.worths,
            bounded.relaxed.premiums,
            target=self.cost,
            deadline=self.deadline,
        )

    def whole(self, columns: Columns, nodes: int, seconds: float) -> tuple[Layout | None, bool]:
        """Return a plan over some columns that beats the best so far, and if it is the last."""
        answer = solve_whole(
            self.rounded,
            columns.columns,
            below=self.cost - self.step,
            nodes=nodes,
            seconds=seconds,
        )
        if answer.amounts is None:
            return None, answer.exhausted
        return layout_of(self.rounded, columns.repeated(answer.amounts)), answer.exhausted

    def close(self, edge: Relaxed) -> None:
        """Close the gap: list every row that a cheaper plan could use, and solve over the list.

        A plan of cost T cannot use a row that falls short of its board's charge by more than T less
        the bound which the worths prove. First only rows nearer than that are listed, to find a
        better plan without proof; each shortens the list that is needed for the proof.
        """
        worths, premiums = self.centred(edge)
        charges = np.array(self.rounded.cost) + premiums
        counts = np.array([count or 0 for count in self.rounded.count])
        proved = float(np.array(self.rounded.demand) @ worths - counts @ premiums)
        table = WorthTable(self.rounded, worths)

        def listed(share: float) -> Columns | None:
            slack = share * max(0.0, self.cost - self.step - proved) + 1e-6 * max(charges)
            rows = list_rows(table, charges, slack, _LISTED, self.deadline)
            if rows is None:
                return None
            columns = Columns(self.rounded)
            for row in rows:
                columns.add(row)
            return columns

        share, solved = _NEARER, 0
        while self.open:
            some = listed(share)
            if some is None:
                return
            whole = share >= 1.0
            if whole or len(some) >= max(_FEW, _MORE * solved):
                solved = len(some)
                layout, exhausted = self.whole(
                    some,
                    nodes=100_000 if whole else 300,
                    seconds=self.deadline.left / (2 if whole else 6),
                )
                if self.take(layout):
                    share, solved = max(_NEARER, share / 4), 0
                    if exhausted and whole:
                        self.bound = self.cost
                    continue
                if whole:
                    if exhausted:
                        self.bound = self.cost
                    return
            share *= 2

    def centred(self, edge: Relaxed) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return fair worths from near the middle of all optimal ones: their lists are short.

        Where too many rows are worth more than their board in the middle of what the columns
        allow, the worths are moved towards the `edge`, which is fair.
        """
        hair = 1e-7 * max(self.rounded.cost)
        for turn in range(_CENTRINGS):
            middle = Master(self.rounded, self.deadline, interior=True).solve(self.columns.columns)
            for share in (1.0, 0.5, 0.25, 0.125):
                mixed = Relaxed(
                    value=edge.value,
                    amounts=edge.amounts,
                    worths=share * middle.worths + (1.0 - share) * edge.worths,
                    premiums=share * middle.premiums + (1.0 - share) * edge.premiums,
                )
                charges = np.array(self.rounded.cost) + mixed.premiums
                table = WorthTable(self.rounded, mixed.worths)
                rows = list_rows(table, charges, -hair, _UNFAIR, self.deadline)
                if rows is not None:
                    break
            if rows is None:
                break
            added = sum(self.columns.add(row) for row in rows)
            if not added or turn == _CENTRINGS - 1:
                excess = max((shortage(self.rounded, mixed, row) for row in rows), default=0.0)
                return mixed.worths * (1.0 - excess / max(self.rounded.cost)), mixed.premiums
        return edge.worths, edge.premiums
