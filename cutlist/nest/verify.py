"""Judge a plan from the problem alone: re-lay every board from outlines and count everything.

Nothing of the search is used. A board is looked at in slices across its thickness. In each slice a
stick is a polygon and every cut is a strip, the saw's kerf wide, beside one of the polygon's edges;
no strip may touch the neighbour. From slice to slice corners move in straight lines, and turn only
where end planes meet. So the worst is seen in the slices just beside those places and the faces.
"""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations, pairwise
from math import sqrt

from shapely import Polygon, union_all

from cutlist.nest.ends import End, EndFace
from cutlist.nest.plan import CutBoard, Piece, Plan, Proof
from cutlist.nest.problem import Problem, Stick, Way
from cutlist.nest.verify_bound import bound_findings
from cutlist.tolerance import ON_PLANE, SAME_POINT


def verify(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """Return what is wrong with a plan, one message each; nothing if it is right.

    Checked: every stick once for each of its count; pieces whole and apart by the kerf; the end
    trim; leftovers; the number of boards; the cost; the bound, from the certificate.
    """
    spacing = _Spacing(problem)
    findings = [*_sticks(problem, plan), *_costs(problem, plan), *_bounds(problem, plan)]
    crossed = [stick.mark for stick in problem.sticks if not stick.is_whole]
    if crossed:
        return (*findings, f"the two ends of a stick cross: {', '.join(crossed)}")
    findings += (finding for stick in problem.sticks for finding in _outlines(stick))
    for number, cut in enumerate(plan.boards, start=1):
        findings += (f"board {number}: {finding}" for finding in spacing.judge(cut))
    return tuple(findings)


def _sticks(problem: Problem, plan: Plan) -> Iterator[str]:
    known = {stick.mark: stick for stick in problem.sticks}
    made = Counter(piece.mark for cut in plan.boards for piece in cut.pieces)
    for mark in sorted(known.keys() | made.keys()):
        wanted = known[mark].count if mark in known else 0
        if made[mark] != wanted:
            yield f"stick {mark} is cut {made[mark]} times, not {wanted}"
    for cut in plan.boards:
        for piece in cut.pieces:
            if piece.mark in known and piece.stick != known[piece.mark]:
                yield f"stick {piece.mark} is cut to another shape than the problem has"
            if piece.way not in problem.ways(piece.stick):
                yield f"stick {piece.mark} lies {piece.way.value}, which the crown forbids"


def _costs(problem: Problem, plan: Plan) -> Iterator[str]:
    used = Counter(cut.board for cut in plan.boards)
    there: Counter[object] = Counter()
    for board in problem.boards:
        there[board] += len(plan.boards) if board.count is None else board.count
    for board, count in used.items():
        if count > there[board]:
            yield f"{count} boards of {board.length:g} are cut, and there are {there[board]}"
    cost = 0
    for cut in plan.boards:
        if not cut.board.on_hand:
            by_length = round(cut.board.length / problem.grid)
            cost += by_length if cut.board.price is None else cut.board.price
    if cost != plan.cost:
        yield f"the boards cost {cost}, not {plan.cost}"


def _bounds(problem: Problem, plan: Plan) -> Iterator[str]:
    if plan.bound > plan.cost:
        yield f"the bound {plan.bound} is above the cost {plan.cost}"
    if plan.proof is not Proof.OPEN and plan.bound != plan.cost:
        yield f"the plan is called {plan.proof.value}, and its bound is not its cost"
    if plan.proof is Proof.CERTIFIED and plan.certified_bound != plan.cost:
        yield "the plan is called certified, and its certified bound is not its cost"
    if plan.certified_bound > plan.bound:
        yield f"the certified bound {plan.certified_bound} is above the bound {plan.bound}"
    yield from bound_findings(problem, plan)


def _outlines(stick: Stick) -> Iterator[str]:
    first, *_, last = _levels(stick.section, stick.left, stick.right)
    for name, ring, z in ("near", stick.near, last), ("far", stick.far, first):
        face = Polygon(ring)
        if not face.is_valid or not face.exterior.is_ccw:
            yield f"stick {stick.mark}: its {name} outline crosses itself or runs clockwise"
        elif not _slice(stick, z).buffer(ON_PLANE).covers(face):
            yield f"stick {stick.mark}: its {name} outline reaches beyond its ends or edges"


class _Spacing:
    """Judges boards; what it has seen of a pair of neighbours it remembers."""

    def __init__(self, problem: Problem) -> None:
        self._saw = problem.saw
        self._section = problem.depth, problem.thickness
        self._pairs: dict[tuple[object, ...], str | None] = {}

    def judge(self, cut: CutBoard) -> Iterator[str]:
        """Yield what is wrong on one board."""
        if not cut.pieces:
            yield "carries nothing"
            return
        trim, length = self._saw.end_trim, cut.board.length
        for piece in cut.pieces:
            laid = piece.laid
            shapes = [_slice(laid, z) for z in _levels(self._section, laid.left, laid.right)]
            start, _, end, _ = union_all(shapes).bounds
            if start < trim - ON_PLANE or end > length - trim + ON_PLANE:
                yield f"{piece.mark} lies from {start:g} to {end:g}, beyond the trimmed board"
        for before, after in pairwise(cut.pieces):
            yield from filter(None, [self._pair(before, after)])
        last = cut.pieces[-1].laid
        sawn = max(
            strip.bounds[2]
            for z in _levels(self._section, last.right)
            for strip in _strips(last.right, 1, self._section[0], z, self._saw.kerf)
        )
        if abs(max(0.0, length - sawn) - cut.leftover) > ON_PLANE:
            yield f"leaves {max(0.0, length - sawn):g} over, not {cut.leftover:g}"

    def _pair(self, before: Piece, after: Piece) -> str | None:
        apart = round((after.at - before.at) / SAME_POINT)
        key = before.mark, before.way, after.mark, after.way, apart
        if key not in self._pairs:
            one, two = before.stick.laid(before.way), after.stick.laid(after.way)
            self._pairs[key] = self._judge_pair(one, two.laid(Way.AS_DRAWN, after.at - before.at))
        return self._pairs[key]

    def _judge_pair(self, before: Stick, after: Stick) -> str | None:
        depth, kerf = before.depth, self._saw.kerf - ON_PLANE
        for z in _levels(self._section, before.right, after.left):
            one, two = _slice(before, z), _slice(after, z)
            if one.intersection(two).area > ON_PLANE * depth:
                return f"{before.mark} and {after.mark} overlap"
            if one.centroid.x > two.centroid.x:
                return f"{after.mark} lies before {before.mark}"
            if kerf > 0.0 and (
                any(strip.intersects(two) for strip in _strips(before.right, 1, depth, z, kerf))
                or any(strip.intersects(one) for strip in _strips(after.left, -1, depth, z, kerf))
            ):
                return f"{before.mark} and {after.mark} are not a kerf apart"
        return None


def _levels(section: tuple[float, float], *ends: End) -> list[float]:
    """Return where to slice: just beside the faces and every place where end planes meet."""
    depth, thickness = section
    # Where two planes meet: a + b y + c z = 0.
    meets = [
        (f.at - g.at, f.per_depth - g.per_depth, f.per_thickness - g.per_thickness)
        for end in ends
        for f, g in combinations(end, 2)
    ]
    turns = {0.0, thickness}
    for a, b, c in meets:
        turns |= {-(a + b * y) / c for y in (0.0, depth) if c}
    for (a, b, c), (d, e, f) in combinations(meets, 2):
        if b * f != c * e:
            turns.add((a * e - b * d) / (b * f - c * e))
    inside = sorted(z for z in turns if 0.0 <= z <= thickness)
    return [
        z
        for low, high in pairwise(inside)
        if high - low > ON_PLANE
        for z in (low + SAME_POINT, high - SAME_POINT)
    ]


def _edges(end: End, side: int, depth: float, z: float) -> list[tuple[EndFace, float, float]]:
    """Return the edges that a right (side 1) or left (-1) end has in a slice, from the bottom up.

    Each is the plane that makes it and the y where it starts and stops.
    """
    turns = {0.0, depth}
    for f, g in combinations(end, 2):
        if f.per_depth != g.per_depth:
            turns.add((g.x(0.0, z) - f.x(0.0, z)) / (f.per_depth - g.per_depth))
    inside = sorted(y for y in turns if 0.0 <= y <= depth)
    return [
        (min(end, key=lambda face: side * face.x((low + high) / 2, z)), low, high)
        for low, high in pairwise(inside)
        if high - low > SAME_POINT / 1000  # an edge may begin at a point in the slice before
    ]


def _slice(stick: Stick, z: float) -> Polygon:
    """Return the stick without its notches in a slice across its thickness."""
    right, left = (
        [(f.x(y, z), y) for f, low, high in _edges(end, side, stick.depth, z) for y in (low, high)]
        for end, side in ((stick.right, 1), (stick.left, -1))
    )
    return Polygon([*right, *reversed(left)])


def _strips(end: End, side: int, depth: float, z: float, kerf: float) -> list[Polygon]:
    """Return what the saw takes in a slice beside each edge of an end."""
    strips = []
    for face, low, high in _edges(end, side, depth, z):
        wide = side * kerf * sqrt(1.0 + face.per_depth**2 + face.per_thickness**2)
        edge = [(face.x(y, z), y) for y in (low, high)]
        strips.append(Polygon([*edge, *((x + wide, y) for x, y in reversed(edge))]))
    return strips
