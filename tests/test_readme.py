"""README keeps its word: its commands are those that CI runs, its job file builds."""

import re
from pathlib import Path

from cutlist.build import build_job
from cutlist.job import parse_job

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", README, flags=re.DOTALL)


def test_ci_runs_the_test_command_of_the_readme():
    (command,) = (b.strip() for b in blocks("sh") if "pytest" in b)
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_file_the_readme_names_is_there():
    for name in re.findall(r"fixtures/[\w.-]+\w", README):
        assert (ROOT / name).exists(), name


def test_the_whole_job_of_the_readme_builds():
    (job,) = blocks("toml")
    build = build_job(parse_job(job, "README"))
    assert all(finding.result == "pass" for finding in build.findings)
