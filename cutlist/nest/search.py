"""From a rounded problem to its best plan and what is proved about it."""

from dataclasses import dataclass
from fractions import Fraction

from cutlist.nest.certify import certify, total_from
from cutlist.nest.counts import count_boards
from cutlist.nest.cover import cover
from cutlist.nest.deadline import Deadline
from cutlist.nest.dive import dive
from cutlist.nest.enumeration import Enumeration, enumeration
from cutlist.nest.gathering import filled, gaps_alike, gathered
from cutlist.nest.greedy import Layout, best_fit, cheapest_boards, layout_of, plan_cost
from cutlist.nest.listing import Limits
from cutlist.nest.master import Columns, Master, Relaxed, Whole, solve_whole
from cutlist.nest.plan import Certificate, Proof
from cutlist.nest.regroup import Regrouping
from cutlist.nest.relaxation import Bounded, relax
from cutlist.nest.rounded import Rounded
from cutlist.nest.simple_worths import simple_worths
from cutlist.nest.ties import emptiest, rank, settle_ties

_DIVES = (1, 8, 30)
"""Rounds of drawing columns within each dive."""
_COUNTS = 100
"""Linear programmes over whole numbers of boards."""
_NEAREST = 1 / 1024
"""Share of the gap within which rows are listed first to find a better plan."""
_WIDE = Limits(layer=60_000, listed=10_000)
"""The longest list worth making for that."""
_FEW = 200
"""Columns in such a list that are worth solving over, and not only with more."""
_MORE = 1.5
"""How many times as many columns the next list must have to be solved as well."""
_GROUPS = 25
"""Groups of boards to plan again before the gap is looked at as a whole, and in each turn after."""
_TURNS = 20
"""Turns of regrouping, diving and solving over all columns after that has failed."""
_FEW_BOARDS = 30
"""Boards of a plan that may be chosen one after another."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """What may be spent to settle one list: on making it, and on the two searches of plans.

    `covers` and `nodes` limit the searches; `seconds` is a share of what is left of the time.
    """

    limits: Limits
    covers: int
    nodes: int
    seconds: float


def _quick(sticks: int) -> Effort:
    """Return the effort for a first try: a list is easy if it has few rows for each stick."""
    limits = Limits(layer=60_000, listed=max(1_200, 20 * sticks))
    return Effort(limits=limits, covers=10_000, nodes=100, seconds=1 / 6)


_LONG = Effort(
    limits=Limits(layer=300_000, listed=50_000), covers=150_000, nodes=20_000, seconds=0.7
)


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
    known or few rows and small groups of boards; no proof is claimed for them.
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
        start = simple_worths(self.rounded)
        self.fewer_boards(start.value)
        self.columns.extend(row for _, row in self.layout)
        bounded = relax(
            self.rounded,
            self.columns,
            Master(self.rounded, self.deadline),
            self.deadline,
            start=start,
            enough=self.just_below,
        )
        certificate = self.certified(bounded)
        self.bound = certified = total_from(self.rounded, certificate.bound(self.rounded.problem))
        self.plan(bounded.relaxed)
        if not self.deadline.passed:
            self.take(
                settle_ties(self.rounded, self.columns, bounded.relaxed, self.layout, self.deadline)
            )
        if self.cost <= certified:
            proof = Proof.CERTIFIED
        else:
            proof = Proof.ENUMERATED if self.cost <= self.bound else Proof.OPEN
        # Longest boards first, and those that carry the same one after another.
        room = self.rounded.room
        return Outcome(
            layout=sorted(self.layout, key=lambda cut: (-room[cut[0]], cut)),
            cost=self.cost,
            bound=self.bound,
            certified_bound=certified,
            proof=proof,
            certificate=certificate,
        )

    def plan(self, edge: Relaxed) -> None:
        """Look for plans and raise the bound by turns, first in what takes least work."""
        if self.open:
            self.take(self.dive(_DIVES[0], 0))
        if not self.open:
            return
        quick = _quick(len(self.rounded.demand))
        self.settle(self.enumeration(edge, quick), quick)
        self.count()
        for turn, rounds in enumerate(_DIVES[1:], start=1):
            if self.open:
                self.take(self.dive(rounds, turn))
        regrouping = Regrouping(self.rounded, edge.worths, edge.premiums, self.deadline)
        self.regroup(regrouping)
        if not self.open:
            return
        rows = self.enumeration(edge, _LONG)
        self.settle(rows, _LONG)
        self.look(rows)
        for turn in range(_TURNS):
            cost = self.cost
            self.regroup(regrouping)
            if self.open:
                self.take(self.dive(_DIVES[-1], turn))
            if self.open:
                below, seconds = self.cost - self.step, self.deadline.left / 4
                self.take(self.whole(self.columns, below=below, nodes=20, seconds=seconds)[0])
            if self.cost < cost:
                self.settle(rows, _LONG)
                self.look(rows)

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

    @property
    def just_below(self) -> float:
        """A bound above this leaves no cheaper plan."""
        return (self.cost - self.step) * (1 + 1e-6) + 1e-3

    def fewer_boards(self, bound: float) -> None:
        """Fill boards, then empty them one by one, unless the bound leaves no cheaper plan."""
        if not gaps_alike(self.rounded) or bound > self.just_below:
            return
        self.take(filled(self.rounded))
        while bound <= self.just_below:
            place = max(emptiest(self.rounded, self.layout))[1]
            emptier = gathered(self.rounded, self.layout, place, self.deadline, emptied=True)
            if not self.take(cheapest_boards(self.rounded, [row for _, row in emptier])):
                return

    def dive(
        self, rounds: int, turn: int, on: tuple[Rounded, Columns] | None = None
    ) -> Layout | None:
        return dive(
            *(on or (self.rounded, self.columns)),
            self.deadline,
            below=self.cost - self.step,
            enough=self.bound,
            rounds=rounds,
            passed_over=turn,
        )

    def count(self) -> None:
        """Raise the bound by whole numbers of boards; look for a plan on those that reach it."""
        if not self.open or len(set(self.rounded.room)) == 1:
            return
        rows = [column.row for column in self.columns.columns]
        counted = count_boards(
            self.rounded,
            rows,
            below=self.cost - self.step,
            nodes=_COUNTS,
            deadline=self.deadline,
        )
        higher = total_from(self.rounded, Fraction(counted.bound))
        self.bound = max(self.bound, min(self.cost, higher))
        if counted.boards is not None and self.open:
            on = self.rounded.on(counted.boards)
            columns = Columns(on)
            columns.extend([*rows, *(row for _, row in best_fit(on))])
            master = Master(on, self.deadline)
            start = simple_worths(on)
            relax(on, columns, master, self.deadline, start=start, enough=float("inf"))
            for rounds in _DIVES[:2]:
                if self.open:
                    self.take(self.dive(rounds, 0, on=(on, columns)))

    def regroup(self, regrouping: Regrouping) -> None:
        if self.open:
            for layout in regrouping.better(self.layout, _GROUPS):
                self.columns.extend(row for _, row in layout)
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

    def whole(
        self, columns: Columns, *, below: int, nodes: int, seconds: float, every: bool = False
    ) -> tuple[Layout | None, bool]:
        """Return the cheapest plan over some columns, and whether there is no cheaper one."""
        answer = solve_whole(
            self.rounded, columns.columns, below=below, nodes=nodes, seconds=seconds, every=every
        )
        return self.layout_of(columns, answer), answer.exhausted

    def layout_of(self, columns: Columns, answer: Whole) -> Layout | None:
        if answer.amounts is None:
            return None
        return layout_of(self.rounded, columns.repeated(answer.amounts))

    def enumeration(self, edge: Relaxed, effort: Effort) -> Enumeration:
        return enumeration(self.rounded, self.columns, edge, effort.limits, self.deadline)

    def settle(self, rows: Enumeration, effort: Effort) -> None:
        """Solve over all rows that a plan little above the bound could use, then a little higher.

        Where no plan is found, the bound is raised; the first plan that is found is the cheapest.
        Stops at the first list that is too long or too hard.
        """
        slack = float(self.step)
        target, some = self.list_to(rows, slack, effort)
        while some is not None and self.open:
            while target < self.cost - self.step:
                further, more = self.list_to(rows, 2 * slack, effort)
                if more is None or len(more) > max(_FEW, _MORE * len(some)):
                    break
                slack, target, some = 2 * slack, further, more
            layout, exhausted = self.cheapest_to(target, rows, some, effort)
            self.take(layout)
            if exhausted:
                reached = target >= self.cost - self.step
                higher = total_from(self.rounded, Fraction(target + self.step))
                self.bound = self.cost if reached else min(self.cost, higher)
                slack *= 2
            elif not layout:
                return
            target, some = self.list_to(rows, slack, effort)

    def cheapest_to(
        self, target: int, rows: Enumeration, some: Columns, effort: Effort
    ) -> tuple[Layout | None, bool]:
        """Return a plan of at most some cost over all rows for it, and if none is cheaper."""
        if len(self.layout) <= _FEW_BOARDS:
            answer = cover(
                self.rounded,
                some.columns,
                rows.worths,
                rows.premiums,
                below=target,
                nodes=effort.covers,
                deadline=self.deadline,
            )
            if answer.exhausted or answer.amounts is not None:
                return self.layout_of(some, answer), answer.exhausted
        seconds = effort.seconds * self.deadline.left
        return self.whole(some, below=target, nodes=effort.nodes, seconds=seconds, every=True)

    def list_to(
        self, rows: Enumeration, slack: float, effort: Effort
    ) -> tuple[int, Columns | None]:
        """Return the highest cost within a slack that would be better, and the rows for it."""
        total = int((rows.proved + slack) // self.step) * self.step
        target = min(max(total, self.bound), self.cost - self.step)
        return target, rows.within(target - rows.proved, effort.limits)

    def look(self, rows: Enumeration) -> None:
        """Look for a better plan in rows that fall little short of their board, then in more.

        None in all rows for any better plan is a proof too: here sticks may be cut too often, and
        what is hard to settle with each cut exactly as often as it is wanted may be easy so.
        """
        share, solved = _NEAREST, 0
        while self.open and share <= 1.0:
            some = rows.within(share * (self.cost - self.step - rows.proved), _WIDE)
            if some is None:
                return
            if share == 1.0 or len(some) >= max(_FEW, _MORE * solved):
                solved = len(some)
                layout, exhausted = self.whole(
                    some, below=self.cost - self.step, nodes=100, seconds=self.deadline.left / 6
                )
                if self.take(layout):
                    share, solved = max(_NEAREST, share / 8), 0
                elif exhausted and share == 1.0:
                    self.bound = self.cost
            share *= 2
