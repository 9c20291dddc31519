"""Other ways to make a plan, to measure against."""

import time
from collections import defaultdict

import highspy
import numpy as np

from cutlist.nest import Problem
from cutlist.nest.greedy import cheapest_boards, plan_cost
from cutlist.nest.rounded import Rounded
from tests.benchmarks.instances import boxed


def first_fit_decreasing(problem: Problem) -> int:
    """Return the cost of boxes put on the first board that holds them, longest first.

    Every board opened is of one length, the best for the job; then each is cut down to the cheapest
    that holds its boxes.
    """
    rounded = Rounded.of(boxed(problem))
    gap = int(rounded.gaps[0, 0])
    sticks = [lay for lay in rounded.by_length for _ in range(rounded.demand[lay])]
    costs = []
    for opened in {
        room for room, count in zip(rounded.room, rounded.count, strict=True) if count is None
    }:
        rows: list[list[int]] = []
        left: list[int] = []
        for stick in sticks:
            lay = rounded.lays_of[stick][0]
            length = rounded.lays[lay].length
            fits = (i for i, room in enumerate(left) if room >= length + gap)
            if (first := next(fits, None)) is not None:
                rows[first].append(lay)
                left[first] -= length + gap
            else:
                rows.append([lay])
                left.append(max(opened, length) - length)
        costs.append(plan_cost(rounded, cheapest_boards(rounded, [tuple(r) for r in rows]))[0])
    return min(costs)


def arc_flow(
    problem: Problem, seconds: float, most_arcs: int = 400_000
) -> tuple[int | None, bool, float]:
    """Solve one integer programme over all positions that sticks can take on a board.

    A node is the last right end and the room used up to its long point; an arc is a stick laid
    from there, or a board closed there. Flow from the start is conserved at each node, and arcs
    carry each stick as often as it is wanted. Returns cost, whether it is proved, and seconds;
    no cost if there are more arcs than `most_arcs` or none was found in time.
    """
    began = time.process_time()
    rounded = Rounded.of(problem)
    start = (len(rounded.gaps), 0)
    nodes = {start: 0}
    arcs: list[tuple[int, int | None, int]] = []
    waiting = [start]
    longest = max(rounded.room)
    while waiting:
        end, used = waiting.pop()
        here = nodes[end, used]
        for number, lay in enumerate(rounded.lays):
            reach = used + int(rounded.take[end, number])
            if reach <= longest:
                there = (lay.right, reach)
                if there not in nodes:
                    nodes[there] = len(nodes)
                    waiting.append(there)
                arcs.append((here, nodes[there], number))
        if len(arcs) > most_arcs:
            return None, False, time.process_time() - began
    closings = [
        (nodes[node], board)
        for node in nodes
        for board, room in enumerate(rounded.room)
        if node != start and node[1] <= room
    ]
    solver = highspy.Highs()
    for option, value in ("output_flag", False), ("threads", 1), ("time_limit", seconds):
        solver.setOptionValue(option, value)
    solver.setOptionValue("mip_rel_gap", 0.0)
    model = highspy.HighsLp()
    sticks, limited = len(rounded.demand), [b for b, c in enumerate(rounded.count) if c is not None]
    model.num_col_ = len(arcs) + len(closings)
    model.num_row_ = len(nodes) - 1 + sticks + len(limited)
    entries: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for column, (here, there, lay) in enumerate(arcs):
        if here:
            entries[column].append((here - 1, -1.0))
        entries[column].append((there - 1, 1.0))
        entries[column].append((len(nodes) - 1 + rounded.lays[lay].stick, 1.0))
    for column, (here, board) in enumerate(closings, start=len(arcs)):
        entries[column].append((here - 1, -1.0))
        if board in limited:
            entries[column].append((len(nodes) - 1 + sticks + limited.index(board), 1.0))
    order = range(model.num_col_)
    model.col_cost_ = np.array([0.0] * len(arcs) + [float(rounded.cost[b]) for _, b in closings])
    model.col_lower_ = np.zeros(model.num_col_)
    model.col_upper_ = np.full(model.num_col_, highspy.kHighsInf)
    conserved = [0.0] * (len(nodes) - 1)
    model.row_lower_ = np.array(conserved + list(map(float, rounded.demand)) + [0.0] * len(limited))
    model.row_upper_ = np.array(
        conserved
        + [highspy.kHighsInf] * sticks
        + [float(rounded.count[board] or 0) for board in limited]
    )
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.cumsum([0, *(len(entries[c]) for c in order)])
    model.a_matrix_.index_ = np.array([row for c in order for row, _ in entries[c]])
    model.a_matrix_.value_ = np.array([value for c in order for _, value in entries[c]])
    model.integrality_ = [highspy.HighsVarType.kInteger] * model.num_col_
    solver.passModel(model)
    solver.run()
    info = solver.getInfo()
    proved = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    found = info.primal_solution_status == 2
    cost = round(info.objective_function_value) if found else None
    return cost, proved, time.process_time() - began
