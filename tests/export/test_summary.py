"""The summary: what matters first, in lines that fit a terminal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from cutlist.build import Build
from cutlist.checks.run import CAUTIONS
from cutlist.export.summary import WIDTH, checks_text, summary


def test_it_tells_everything_within_the_width(build: Build) -> None:
    text = summary(build, Path("output/here"))
    assert all(len(line) <= WIDTH for line in text.splitlines())
    for part in build.parts:
        assert f"  {part.mark} " in text
    for height in build.roof.heights:
        assert height.name in text
    for plan in build.plans:
        assert plan.problem.size in text
    words = " ".join(text.split())
    assert all(caution in words.replace("- ", "") for caution in (c for c in CAUTIONS))
    assert text.rstrip().endswith("Files: output/here")


def test_what_fails_is_told_first_with_what_to_do(gable: Build) -> None:
    first = gable.findings[0]
    findings = (
        replace(first, check="fine", result="pass"),
        replace(first, check="doubtful [deg]", result="warn", value=9.5, limit=14.04, advice="a"),
        replace(first, check="wrong", result="fail", advice="make it right " * 20),
    )
    build = Build(
        job=gable.job, roof=gable.roof, parts=gable.parts, findings=findings, plans=gable.plans
    )
    text = summary(build)
    assert "1 fail, 1 to look at, 1 pass" in text
    assert text.index("FAIL  wrong: ") < text.index("LOOK  doubtful: ") < text.index("PARTS")
    assert "9.50 deg; the limit is 14.04 deg" in text
    assert "make it right" in text
    assert "fine" not in text
    assert all(len(line) <= WIDTH for line in text.splitlines())


def test_findings_that_are_alike_are_told_once(gable: Build) -> None:
    first = replace(gable.findings[0], check="bearing", result="fail", value=1.0, advice="do this")
    findings = tuple(replace(first, subject=mark) for mark in ("C1", "C2", "C3"))
    build = Build(
        job=gable.job,
        roof=gable.roof,
        parts=gable.parts,
        findings=(*findings, replace(first, subject="C4", value=2.0)),
        plans=gable.plans,
    )
    text = summary(build)
    assert 'bearing: C1, C2, C3: 1"' in text
    assert 'bearing: C4: 2"' in text
    assert text.count("do this") == 2
    assert "4 fail" in text


def test_boards_and_their_cost(gable: Build) -> None:
    text = summary(gable)
    priced = gable.plans[0]
    assert f"costs {priced.cost / 100:.2f}" in text
    assert "from the rack" in text
    assert "buys " in text, "the ridge has no prices, so its length is told"
    assert "All boards" not in text, "money and length do not add up"


def test_a_name_cannot_steer_the_terminal(named: Callable[[str], Build]) -> None:
    assert "\x1b" not in summary(named("\x1b[2Jgone\r\n"))


def test_a_value_that_breaks_its_limit_does_not_read_like_it(gable: Build) -> None:
    first = replace(
        gable.findings[0], check="jack left out", result="warn", value=11.99, limit=12.0
    )
    cut = replace(first, check="overhang", value=24.01, limit=24.0)
    kept = replace(first, check="seat", result="pass", value=2.99, limit=3.0)
    apart = replace(first, check="contact [square in]", value=0.0, limit=1e-5)
    told = checks_text((first, cut, kept, apart), gable.job, passed=True)
    assert "less than 1' 0\"; the limit is 1' 0\"" in told
    assert "more than 2' 0\"; the limit is 2' 0\"" in told
    assert 'seat: C1: 3"; the limit is 3"' in told
    assert "0.00 square in; the limit is more than 0.00 square in" in told
