"""The commands as a user runs them: what they print, write and exit with."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from cutlist.cli import main
from cutlist.starter import FORMS, starter_text

FIXTURES = Path(__file__).parent.parent / "fixtures"


def run(*arguments):
    return CliRunner().invoke(main, [str(a) for a in arguments])


@pytest.fixture
def job(tmp_path):
    """Return a job file that builds, in a folder of its own."""
    path = tmp_path / "roof.toml"
    path.write_text(starter_text("gable", "imperial"), encoding="utf-8")
    return path


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_start_writes_a_job_that_builds_as_it_stands(tmp_path, form, units):
    file = tmp_path / "new.toml"
    assert run("start", file, "--form", form, "--units", units).exit_code == 0
    result = run("build", file, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "FAIL" not in result.output
    (built,) = (tmp_path / "out").iterdir()
    assert json.loads((built / "build.json").read_text())["units"] == units


@pytest.mark.parametrize("units", ["imperial", "metric"])
@pytest.mark.parametrize("table", ["labels", "cnc"])
def test_the_tables_that_start_leaves_commented_build_too(tmp_path, table, units):
    lines = starter_text("gable", units).split("\n")
    begin = lines.index(f"# [{table}]")
    end = lines.index("", begin)
    lines[begin:end] = [line.removeprefix("# ") for line in lines[begin:end]]
    file = tmp_path / "new.toml"
    file.write_text("\n".join(lines), encoding="utf-8")
    result = run("build", file, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("form", ["gable", "hip"])
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_the_wing_that_start_offers_meets_its_roof(tmp_path, form, units):
    lines = starter_text(form, units).split("\n")
    begin = lines.index("# [[wing]]")
    end = lines.index("", begin)
    lines[begin:end] = [line.removeprefix("# ") for line in lines[begin:end]]
    file = tmp_path / "new.toml"
    file.write_text("\n".join(lines), encoding="utf-8")
    result = run("check", file)
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("form", ["gable", "hip"])
@pytest.mark.parametrize(("units", "size"), [("imperial", "2x10"), ("metric", "45x245")])
def test_the_bay_that_start_offers_meets_its_roof(tmp_path, form, units, size):
    lines = starter_text(form, units).split("\n")
    begin = len(lines) - lines[::-1].index("# [[wing]]") - 1
    end = lines.index("", begin)
    lines[begin:end] = [line.removeprefix("# ") for line in lines[begin:end]]
    file = tmp_path / "new.toml"
    tables = ("valley",) if form == "hip" else ("hip", "valley")
    more = [f'[{table}]\nsize = "{size}"' for table in tables]
    file.write_text("\n".join([*lines, *more]), encoding="utf-8")
    result = run("check", file, "--all")
    assert result.exit_code == 0, result.output
    assert "hip cheek on hip" in result.output
    assert "0 fail" in result.output.splitlines()[-1]


def test_start_keeps_a_file_that_is_there(job):
    before = job.read_text()
    result = run("start", job)
    assert result.exit_code == 2
    assert result.stderr == f"{job}: it exists already; name another file\n"
    assert job.read_text() == before


@pytest.mark.parametrize("path", sorted(FIXTURES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_demo_job_builds_without_a_failing_check(path, tmp_path):
    result = run("build", path, "--out", tmp_path)
    assert result.exit_code == 0, result.output
    assert "FAIL" not in result.output
    assert "licensed" in result.output


def test_build_takes_several_jobs_and_tells_of_each(job, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(job.read_text().replace('"6/12"', '"13"'), encoding="utf-8")
    result = run("build", bad, job, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert 'bad.toml: roof.pitch: "13": it has no unit' in result.stderr
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["Garden gable"]


def test_two_jobs_of_one_name_do_not_take_each_others_folder(job, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text(job.read_text().replace('"6/12"', '"7/12"'), encoding="utf-8")
    result = run("build", job, other, "--out", tmp_path / "out", "--json")
    assert result.exit_code == 2
    assert f'{other}: name: "Garden gable" is the name of {job} as well' in result.stderr
    (built,) = (tmp_path / "out").iterdir()
    assert "26.57" in (built / "report.html").read_text(encoding="utf-8")


def test_bad_input_writes_nothing(job, tmp_path):
    job.write_text(job.read_text().replace("spacing", "spaceing"), encoding="utf-8")
    result = run("build", job, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert "roof.toml: rafter.spaceing: there is no such key; did you mean spacing?" in (
        result.stderr
    )
    assert "Traceback" not in result.output
    assert not (tmp_path / "out").exists()


def test_a_mistake_found_while_framing_names_the_file(job):
    job.write_text(job.read_text().replace('seat = "auto"', 'seat = "30in"'), encoding="utf-8")
    result = run("check", job)
    assert result.exit_code == 2
    assert result.stderr.startswith("roof.toml: rafter.seat: ")


def test_a_build_that_is_stopped_leaves_the_folder_as_it_was(job, tmp_path, monkeypatch):
    out = tmp_path / "out"
    assert run("build", job, "--out", out).exit_code == 0
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    write, written = Path.write_bytes, []

    def stopped(path, content):
        if len(written) == 3:
            raise KeyboardInterrupt
        written.append(path)
        return write(path, content)

    monkeypatch.setattr(Path, "write_bytes", stopped)
    job.write_text(job.read_text().replace('"6/12"', '"7/12"'), encoding="utf-8")
    result = run("build", job, "--out", out)
    assert result.exit_code == 130
    assert result.stderr.strip() == "Stopped before it was done; no folder is half written."
    assert len(written) == 3
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before


def test_a_part_longer_than_any_board_has_no_plan(job, tmp_path):
    text = job.read_text().replace('"8ft", "10ft", "12ft", "14ft", "16ft", "18ft", "20ft"', '"6ft"')
    job.write_text(text, encoding="utf-8")
    result = run("build", job, "--out", tmp_path / "out")
    assert result.exit_code == 1
    assert "2x8: stick C1 needs a board of 8' " in result.stderr
    assert not (tmp_path / "out").exists()
    checked = run("check", job)
    assert checked.exit_code == 1
    assert checked.output.splitlines()[0].startswith("  FAIL  board length: C1")


def test_check_prints_failures_first_and_exits_with_one(job, tmp_path):
    text = job.read_text().replace('"2x10"', '"2x6"')
    job.write_text(text, encoding="utf-8")
    result = run("check", job)
    assert result.exit_code == 1
    assert result.output.splitlines()[0].startswith("  FAIL  ridge depth: R1")
    assert result.output.splitlines()[-1].startswith("1 fail, ")
    assert "  pass  " not in result.output


def test_check_tells_what_passed_where_asked(job):
    result = run("check", job, "--all")
    assert result.exit_code == 0
    assert "  pass  notch depth: " in result.output
    assert "IRC" in result.output


def test_every_command_has_help():
    for name in main.commands:
        result = run(name, "--help")
        assert result.exit_code == 0
        assert len(result.output.splitlines()) > 4
        assert f"cutlist {name}" in (FIXTURES.parent / "README.md").read_text()


@pytest.mark.parametrize(
    "arguments", [("build",), ("build", "--nest-seconds", "-1", "x"), ("fly",)]
)
def test_wrong_usage_exits_with_two(arguments):
    assert run(*arguments).exit_code == 2


def test_nest_plans_plain_sticks(tmp_path):
    pieces, boards = tmp_path / "stool legs.csv", tmp_path / "boards.csv"
    pieces.write_text("mark,length,count,left_angle,right_angle\nleg,20in,8,-15,15\n")
    boards.write_text("length,price\n8ft,7.10\n10ft,8.90\n")
    result = run("nest", pieces, "--boards", boards, "--size", "2x4", "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "8 pieces" in result.output
    folder = tmp_path / "out" / "stool legs"
    assert {path.name for path in folder.iterdir()} == {
        "board-plan.csv",
        "lumber-order.csv",
        "saw-list.csv",
        "labels.pdf",
        "boards",
        "build.json",
    }


def test_nest_tells_of_wrong_options_and_of_sticks_too_long(tmp_path):
    pieces, boards = tmp_path / "pieces.csv", tmp_path / "boards.csv"
    pieces.write_text("mark,length\nrail,20ft\n")
    boards.write_text("length\n8ft\n")
    wrong = run("nest", pieces, "--boards", boards, "--size", "2x", "--kerf", "3 1/2")
    assert wrong.exit_code == 2
    assert wrong.stderr.splitlines() == [
        '--kerf: "3 1/2": it has no unit; write "3 1/2in" or "3 1/2ft"',
        '--size: "2x": it is no size; write one like "2x8" or "45mm x 195mm"',
    ]
    long = run("nest", pieces, "--boards", boards, "--size", "2x4", "--out", tmp_path / "out")
    assert long.exit_code == 1
    assert "stick rail needs a board of 20' " in long.stderr
    assert not (tmp_path / "out").exists()


def test_json_is_a_line_for_each_job(job, tmp_path):
    result = run("build", job, "--out", tmp_path / "out", "--json")
    (line,) = result.stdout.splitlines()
    told = json.loads(line)
    assert told["folder"] == str(tmp_path / "out" / "Garden gable")
    assert told["checks"]["fail"] == 0
    assert told["proven"] is True
    assert told["cost"] == told["bound"]


def test_quiet_prints_nothing_but_mistakes(job, tmp_path):
    result = run("build", job, "--out", tmp_path / "out", "--quiet")
    assert (result.exit_code, result.output) == (0, "")
    missing = run("build", tmp_path / "no.toml", "--quiet")
    assert missing.exit_code == 2
    assert missing.stderr == f"{tmp_path / 'no.toml'}: there is no such file\n"
