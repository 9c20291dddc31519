"""Names of boards: one each, safe as file names, and sets of boards that are cut alike."""

from __future__ import annotations

from dataclasses import replace

from cutlist.build import Build
from cutlist.export.naming import alike_boards, named_boards, names_in_runs


def test_board_names_are_distinct_and_safe(gable: Build) -> None:
    plan = gable.plans[0]
    odd = [
        replace(plan, problem=replace(plan.problem, size=size))
        for size in ("2x6", "2X6", '1 3/4in x 9 1/2in"', "1-3/4in x 9-1/2in", "../2x6")
    ]
    boards = named_boards(odd)
    names = [board.name for board in boards]
    assert len({name.lower() for name in names}) == len(names) == 5 * len(plan.boards)
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.") for name in names)
    assert names[0] == "2x6-01"
    assert names[2 * len(plan.boards)] == "1-3-4in-x-9-1-2in-01"


def test_alike_boards_are_cut_alike_and_each_comes_once(build: Build) -> None:
    boards = named_boards(build.plans)
    sets = alike_boards(boards)
    assert sorted(b.name for alike in sets for b in alike) == sorted(b.name for b in boards)
    for alike in sets:
        for board in alike:
            assert board.cut.board == alike[0].cut.board
            assert [(p.mark, p.near) for p in board.cut.pieces] == [
                (p.mark, p.near) for p in alike[0].cut.pieces
            ]


def test_names_in_runs(gable: Build) -> None:
    plan = gable.plans[0]
    boards = named_boards([replace(plan, boards=plan.boards[:1] * 9)])
    assert names_in_runs(boards[:1]) == "2x6-01"
    assert names_in_runs(boards) == "2x6-01 to 2x6-09"
    assert names_in_runs([*boards[:2], *boards[3:4], *boards[5:]]) == (
        "2x6-01 to 2x6-02, 2x6-04, 2x6-06 to 2x6-09"
    )
