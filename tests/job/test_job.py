"""The job file: what it may hold, and whole messages for every mistake in it."""

from __future__ import annotations

from math import radians, tan
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutlist.errors import JobError
from cutlist.job import Job, parse_job, read_job
from cutlist.units import IMPERIAL, METRIC, parse_length
from tests.jobs import GABLE, SHED, Tables, changed, job_of, toml


def problems(text: str) -> list[str]:
    with pytest.raises(JobError) as caught:
        parse_job(text, "job.toml")
    assert all(problem.startswith("job.toml: ") for problem in caught.value.problems)
    return [problem.removeprefix("job.toml: ") for problem in caught.value.problems]


def told(base: Tables, changes: dict[str, Any]) -> list[str]:
    return problems(toml(changed(base, changes)))


def test_imperial_job() -> None:
    job = job_of(
        GABLE,
        {
            "roof.span": "20ft",
            "roof.overhang": "400mm",
            "roof.rake_overhang": 12,
            "roof.far_pitch": "30deg",
            "rafter.notch_limit": "1/4",
            "plate.posts": {"every": "6ft", "width": "5 1/2in"},
            "lumber": [
                {"size": "2x8", "lengths": ["12ft"], "prices": [9.5],
                 "on_hand": [{"length": "9ft 2in"}]}
            ],
        },
    )  # fmt: skip
    assert (job.roof.span, job.roof.rake_overhang) == (240, 12)
    assert job.roof.overhang == pytest.approx(400 / 25.4)
    assert (job.roof.pitch, job.roof.far_pitch) == (0.5, pytest.approx(tan(radians(30))))
    assert (job.rafter.size.thickness, job.rafter.size.depth) == (1.5, 7.25)
    assert (job.rafter.notch_limit, job.rafter.tail) == (0.25, "plumb")
    assert job.plate.posts.header == "beside"
    table = job.boards(job.rafter.size)
    assert (table.lengths, table.prices) == ([144], [9.5])
    assert (table.on_hand[0].length, table.on_hand[0].count) == (110, 1)
    # What a job leaves out.
    assert (job.saw.kerf, job.saw.end_trim, job.saw.keep_offcut) == (0.125, 0.25, 24)
    assert (job.saw.round_to, job.saw.crown_up) == (1 / 16, True)
    assert job.boards(job.ridge.size).lengths == [96, 120, 144, 168, 192, 216, 240]
    assert job_of(GABLE, {"rafter.seat": None}).rafter.seat == "auto"


def test_metric_job() -> None:
    job = job_of(SHED, {"roof.span": "12ft", "roof.overhang": "40cm", "saw": {"kerf": "2.5mm"}})
    assert job.roof.span == pytest.approx(3657.6)
    assert (job.roof.overhang, job.units) == (400, METRIC)
    assert (job.rafter.size.thickness, job.rafter.size.depth) == (45, 195)
    assert (job.saw.kerf, job.saw.end_trim, job.saw.round_to) == (2.5, 5, 1)
    assert job.boards(job.rafter.size).lengths[0] == 2700


KEYS = ", ".join(field.alias or name for name, field in Job.model_fields.items())
NUMBER_OR_TEXT = "a number or a text in quotes is expected"
NO_LENGTH = 'it is no length; write one like "16ft 3 1/2in", "3 1/2in", "89mm" or "1.2m"'
NO_SIZE = 'it is no size; write one like "2x8" or "45mm x 195mm"'


@pytest.mark.parametrize(
    ("key", "value", "message"),
    [
        ("roof.pitch", "0deg", '"0deg": the slope must lie between 0 and 90 degrees'),
        ("roof.pitch", "90deg", '"90deg": the slope must lie between 0 and 90 degrees'),
        ("roof.pitch", "0/12", '"0/12": the rise must lie between a thousandth of the run and a '
         "hundred times the run"),
        ("roof.pitch", 6, '6: it has no unit; write rise over run ("6/12"), degrees ("26.6deg") '
         'or percent ("50%")'),
        ("roof.pitch", True, f"true: {NUMBER_OR_TEXT}"),
        ("roof.span", -240, "-240: read as -20' 0\"; it must lie between 11 13/16\" and 984' 3\""),
        ("roof.span", "-20ft", "\"-20ft\": read as -20' 0\"; it must lie between 11 13/16\" and "
         "984' 3\""),
        ("roof.span", "2000ft", "\"2000ft\": read as 2000' 0\"; it must lie between 11 13/16\" and "
         "984' 3\""),
        ("roof.span", 1e12, "1000000000000.0: read as 1000000000000.0; it must lie between "
         "11 13/16\" and 984' 3\""),
        ("roof.span", "20", '"20": it has no unit; write "20in" or "20ft"'),
        ("roof.span", "wide", f'"wide": {NO_LENGTH}'),
        ("roof.span", [20], f"[20]: {NUMBER_OR_TEXT}"),
        ("roof.overhang", "-1in", '"-1in": read as -1"; it must lie between 0" and 9\' 10 1/16"'),
        ("rafter.spacing", 0, '0: read as 0"; it must lie between 3" and 9\' 10 1/16"'),
        ("rafter.seat", "long", f'"long": {NO_LENGTH}'),
        ("rafter.seat", 0, '0: read as 0"; it must lie between 3/64" and 3\' 3 23/64"'),
        ("saw.kerf", "13in", '"13in": read as 1\' 1"; it must lie between 0" and 11 3/4"'),
        ("saw.round_to", 0, '0: read as 0"; it must lie between 1/64" and 1 1/64"'),
        ("saw.crown_up", 1, "1: true or false is expected"),
        ("roof.form", "gabel", '"gabel": expected "gable", "shed" or "hip"; did you mean "gable"?'),
        ("roof.form", 3, '3: expected "gable", "shed" or "hip"'),
        ("rafter.tail", "round", '"round": expected "plumb", "square", "level" or "plumb-level"'),
        ("units", "feet", '"feet": expected "imperial" or "metric"'),
        ("rafter.size", "2x7", '"2x7": 2x7 is no nominal size; write the actual one with units, '
         'like "1 3/4in x 9 1/2in"'),
        ("rafter.size", "2x", f'"2x": {NO_SIZE}'),
        ("rafter.size", 28, '28: a text in quotes is expected, like "2x8" or "45mm x 195mm"'),
        ("rafter.size", "8in x 2in", '"8in x 2in": the thickness comes first and must be more than '
         "0 and at most the depth"),
        ("rafter.size", "2in x 80in", '"2in x 80in": 2 x 80 in is no lumber; write "2x8"'),
        ("rafter.notch_limit", "1", "\"1\": it must lie between 0 and 1, as a share of the "
         "rafter's depth"),
        ("rafter.notch_limit", "2/3in", '"2/3in": it is no fraction; write one like "1/3"'),
        ("name", "", '"": it is empty'),
        ("name", 3, "3: a text in quotes is expected"),
        ("name", "x" * 121, '"' + "x" * 56 + "...: it is too long"),
        ("saw", 3, "3: a table is expected, like [saw]"),
        ("rafter", [], "[]: a table is expected, like [rafter]"),
        ("roof.overhnag", "1ft", "there is no such key; did you mean overhang?"),
        ("roof.spacing", 24, "there is no such key; it belongs in [rafter]"),
        # One letter away from a key here counts for more than a key of that name elsewhere.
        ("roof.side", 8, "there is no such key; did you mean sides?"),
        ("kerf", 1, "there is no such key; it belongs in [saw]"),
        ("colour", "red", f"there is no such key; known here: {KEYS}"),
        ("plate.posts.widht", 4, "there is no such key; did you mean width?"),
        ("lumber", {"size": "2x8"}, "{'size': '2x8'}: write it in double brackets, [[lumber]], "
         "once for each size"),
    ],
)  # fmt: skip
def test_wrong_value(key: str, value: object, message: str) -> None:
    posts = {"every": "6ft", "width": "5 1/2in"}
    base = changed(GABLE, {"plate.posts": posts}) if "posts" in key else GABLE
    assert told(base, {key: value}) == [f"{key}: {message}"]


def test_a_value_near_its_limit_is_told_as_it_was_read() -> None:
    """In centimetres by mistake: not read as the 10 mm that would be let."""
    assert told(SHED, {"plate.width": 9.5}) == [
        "plate.width: 9.5: read as 9.5 mm; it must lie between 10 mm and 1000 mm"
    ]


@pytest.mark.parametrize("word", ["inf", "nan", "-inf"])
def test_number_that_is_none(word: str) -> None:
    text = toml(GABLE).replace('span = "20ft"', f"span = {word}")
    assert problems(text) == [
        f'roof.span: {word}: read as {word}; it must lie between 11 13/16" and 984\' 3"'
    ]


@pytest.mark.parametrize(
    ("key", "example"),
    [
        ("name", 'name = "Garden shed"'),
        ("units", 'units = "imperial"'),
        ("roof", "[roof]"),
        ("plate", "[plate]"),
        ("roof.span", 'span = "20ft"'),
        ("roof.form", 'form = "gable"'),
        ("roof.overhang", 'overhang = "16in"'),
        ("rafter.size", 'size = "2x8"'),
        ("ridge.kind", 'kind = "board"'),
        ("plate.width", 'width = "3 1/2in"'),
    ],
)
def test_missing_key(key: str, example: str) -> None:
    assert told(GABLE, {key: None}) == [f"{key}: it is missing; write for example {example}"]


@pytest.mark.parametrize(
    ("base", "changes", "messages"),
    [
        (GABLE, {"roof.pitch": None},
         ['roof.pitch: it is missing; write for example pitch = "6/12"']),
        (GABLE, {"ridge": None},
         ['ridge: it is missing; write [ridge] with kind = "board" and size = "2x10"']),
        (GABLE, {"ridge.size": None},
         ['ridge.size: it is missing; write for example size = "2x10"']),
        (GABLE, {"ridge.kind": "none"},
         ['ridge.size: a roof with kind = "none" has no ridge; leave the size out']),
        (GABLE, {"roof.high_end": "ledger"}, ['roof.high_end: it is for form = "shed" only']),
        (GABLE, {"ledger": {"size": "2x8"}},
         ['ledger: it is for a shed with high_end = "ledger" only']),
        (GABLE, {"rafter.tail": "plumb-level"},
         ['rafter.tail_height: it is missing; a plumb-level tail needs it, like "4in"']),
        (GABLE, {"rafter.tail_height": 4},
         ['rafter.tail_height: it is for tail = "plumb-level" only, not "plumb"']),
        (GABLE, {"rafter.size": "6x8", "rafter.spacing": 4},
         ["rafter.spacing: it is less than the rafters' thickness"]),
        (GABLE, {"roof.rake_overhang": 1},
         ["roof.rake_overhang: the barge rafter would stand inside the end rafter; it must be 0, "
          "or at least the rafters' thickness"]),
        (GABLE, {"roof.far_plate_height": "9ft"},
         ["roof.plate_height: it is missing; far_plate_height is measured beside it"]),
        (GABLE, {"plate.posts": {"every": "1ft", "width": "14in"}},
         ["plate.posts.every: the posts would stand inside each other"]),
        (GABLE, {"roof.end_pitch": "6/12"}, ['roof.end_pitch: it is for form = "hip" only']),
        (SHED, {"roof.pitch": None},
         ["roof.pitch: give either pitch or far_plate_height (the high plate's), since one follows "
          "from the other"]),
        (SHED, {"roof.plate_height": 2400, "roof.far_plate_height": 3000},
         ["roof.pitch: give either pitch or far_plate_height (the high plate's), since one follows "
          "from the other"]),
        (SHED, {"roof.far_pitch": "5/12"}, ["roof.far_pitch: a shed roof has one slope"]),
        (SHED, {"ridge": {"kind": "none"}},
         ["ridge: a shed roof has no ridge; leave the table out"]),
        (SHED, {"ledger": {"size": "45x195"}}, ['ledger: it is for high_end = "ledger" only']),
        (SHED, {"roof.high_end": "ledger"},
         ['ledger: it is missing; write [ledger] with size = "2x8"',
          "roof.high_overhang: rafters that butt against a ledger end there"]),
        (GABLE, {"lumber": [{"size": "2x8"}]},
         ["lumber[1]: it lists no boards; give lengths, or boards on_hand"]),
        (GABLE, {"lumber": [{"size": "2x8", "lengths": ["8ft", 96]}]},
         ["lumber[1].lengths: a length is listed twice"]),
        (GABLE, {"lumber": [{"size": "2x8", "lengths": ["8ft"], "prices": [1, 2]}]},
         ["lumber[1].prices: there are 2 prices for 1 lengths; give one for each, in the same "
          "order"]),
        (GABLE, {"lumber": [{"size": "2x8", "lengths": ["8ft"]},
                            {"size": "1 1/2in x 7 1/4in", "lengths": ["9ft"]}]},
         ["lumber[2].size: 1 1/2in x 7 1/4in is listed twice; put its lengths in one table"]),
        (GABLE, {"lumber": [{"size": "2x8", "lengths": ["8ft", "10"]}]},
         ['lumber[1].lengths[2]: "10": it has no unit; write "10in" or "10ft"']),
        (GABLE, {"lumber": [{"size": "2x8", "lengths": "8ft"}]},
         ['lumber[1].lengths: "8ft": a list is expected, in brackets']),
        (GABLE, {"lumber": [{"size": "2x8", "lengths": ["8ft"], "prices": [-1]}]},
         ["lumber[1].prices[1]: -1: it should be greater than 0"]),
        (GABLE, {"lumber": [{"size": "2x8", "on_hand": [{"length": "8ft", "count": 1.5}]}]},
         ["lumber[1].on_hand[1].count: 1.5: a whole number is expected"]),
        (GABLE, {"lumber": [3]}, ["lumber[1]: 3: a table is expected"]),
    ],
)  # fmt: skip
def test_contradiction(base: Tables, changes: dict[str, Any], messages: list[str]) -> None:
    assert told(base, changes) == messages


def test_all_mistakes_are_told_together() -> None:
    assert told(
        GABLE,
        {
            "roof.span": "-20ft",
            "roof.pitch": "90deg",
            "roof.overhnag": 12,
            "rafter.size": "2x7",
            "plate.width": None,
            "saw.kerf": "thin",
            "lumber": [{"size": "2x8", "lengths": ["8"], "on_hand": [{"lenght": 90}]}],
        },
    ) == [
        'roof.span: "-20ft": read as -20\' 0"; it must lie between 11 13/16" and 984\' 3"',
        'roof.pitch: "90deg": the slope must lie between 0 and 90 degrees',
        "roof.overhnag: there is no such key; did you mean overhang?",
        'rafter.size: "2x7": 2x7 is no nominal size; write the actual one with units, like '
        '"1 3/4in x 9 1/2in"',
        'plate.width: it is missing; write for example width = "3 1/2in"',
        f'saw.kerf: "thin": {NO_LENGTH}',
        'lumber[1].lengths[1]: "8": it has no unit; write "8in" or "8ft"',
        'lumber[1].on_hand[1].length: it is missing; write for example length = "9ft 2in"',
        "lumber[1].on_hand[1].lenght: there is no such key; did you mean length?",
    ]


QUOTES = '\n  a value with letters or marks needs quotes, like span = "20ft" or size = "2x8"'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('name = "x"\nunits = imperial', f"line 2 cannot be read: units = imperial{QUOTES}"),
        ("[roof]\r\nspan = 20ft\r\n", f"line 2 cannot be read: span = 20ft{QUOTES}"),
        ("a = [", "Invalid value (at end of document)"),
        (
            "[roof\n",
            "line 1 cannot be read: [roof\n  Expected ']' at the end of a table declaration",
        ),
        (
            'n = "a"\nn = "b"\n',
            'line 2 cannot be read: n = "b"\n  this key stands twice in its table; take one out',
        ),
        (
            "[roof]\n[roof]\n",
            "line 2 cannot be read: [roof]\n  this table stands twice; put its keys together",
        ),
        (
            "[roof]\nspan = \u201c20ft\u201d\n",
            "line 2 cannot be read: span = \u201c20ft\u201d\n"
            "  its quotes are curly; write straight ones",
        ),
        (
            "[roof]\nspan = 3,6  # metres\n",
            "line 2 cannot be read: span = 3,6  # metres\n"
            "  a number takes no comma; decimals stand behind a point, like 30.5",
        ),
        ('n = "a\n', 'line 1 cannot be read: n = "a\n  a quote is opened and not closed'),
        ("x = " + "y" * 90, f"line 1 cannot be read: x = {'y' * 53}...{QUOTES}"),
    ],
)
def test_broken_toml(text: str, message: str) -> None:
    assert problems(text) == [message]


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    def reading(path: Path) -> tuple[str, ...]:
        with pytest.raises(JobError) as caught:
            read_job(path)
        return caught.value.problems

    missing, latin = tmp_path / "none.toml", tmp_path / "latin.toml"
    latin.write_bytes('name = "Caf\xe9"'.encode("latin-1"))
    assert reading(missing) == (f"{missing}: there is no such file",)
    assert reading(latin) == (f"{latin}: it is not a text file in UTF-8",)
    assert reading(tmp_path) == (f"{tmp_path}: it cannot be read (Is a directory)",)


def test_file_as_text_editors_write_it(tmp_path: Path) -> None:
    # Some begin a file with a byte order mark and end its lines in two characters.
    path = tmp_path / "job.toml"
    path.write_bytes(toml(GABLE).replace("\n", "\r\n").encode("utf-8-sig"))
    assert read_job(path) == job_of(GABLE)


@pytest.mark.parametrize(
    ("key", "units"),
    [(key, units) for key in ("roof.span", "roof.overhang", "rafter.spacing", "plate.width")
     for units in (IMPERIAL, METRIC)],
)  # fmt: skip
def test_the_limits_told_are_let(key: str, units: Any) -> None:
    base = GABLE if units is IMPERIAL else SHED
    (problem,) = told(base, {key: 1e8})
    for limit in problem.partition("between ")[2].split(" and "):
        job_of(base, {key: limit})
        assert parse_length(limit, units) >= 0


VALUES = (
    "0",
    "-1",
    "1e400",
    "nan",
    "true",
    "[]",
    "[1]",
    "{}",
    '""',
    '"1/0in"',
    '"x"',
    "'\"'",
    "1979-05-27",
)


@given(
    st.integers(0, len(toml(GABLE).splitlines()) - 1),
    st.one_of(st.sampled_from(VALUES), st.text("0123/\"'-in[]=.fx°% ", max_size=8)),
)
def test_no_file_is_answered_with_anything_but_messages(line: int, value: str) -> None:
    lines = toml(GABLE).splitlines()
    lines[line] = f"{lines[line].partition('=')[0]} = {value}"
    try:
        parse_job("\n".join(lines), "job.toml")
    except JobError as error:
        told = error.problems
    else:
        return
    assert told
    assert all(problem.startswith("job.toml: ") for problem in told)


def test_cnc_table() -> None:
    assert job_of(GABLE).cnc is None
    cnc = job_of(GABLE, {"cnc": {}}).cnc
    assert cnc is not None
    assert (cnc.dxf, cnc.files, cnc.relief, cnc.text) == ("R2010", "part", None, "strokes")
    assert (cnc.origin, cnc.side) == ("lower-left", "near")
    assert tuple(dict(cnc.layers).values()) == ("OUTLINE", "FAR", "MARKS", "BOARD")
    given = job_of(SHED, {"cnc": {"relief": "1/4in", "layers": {"cut": "Cut 1"}}}).cnc
    assert given is not None
    assert given.relief == pytest.approx(6.35)
    assert (given.layers.cut, given.layers.text) == ("Cut 1", "MARKS")


MARKS_REFUSED = "a layer's name must not hold"


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"dxf": "R14"}, 'cnc.dxf: "R14": expected "R12", "R2000" or "R2010"'),
        ({"files": "parts"}, 'did you mean "part"?'),
        ({"side": "back"}, 'cnc.side: "back": expected "near" or "far"'),
        ({"relief": 0}, "cnc.relief: 0: read as 0"),
        ({"relief": "6"}, 'cnc.relief: "6": it has no unit; write "6in"'),
        ({"releif": 1}, "cnc.releif: there is no such key; did you mean relief?"),
        ({"layers": {"mark": "A"}}, "cnc.layers.mark: there is no such key"),
        ({"layers": {"cut": "A|B"}}, f'cnc.layers.cut: "A|B": {MARKS_REFUSED} |'),
        ({"layers": {"cut": 'a"<'}}, f'{MARKS_REFUSED} " <'),
        ({"layers": {"cut": ""}}, "has 1 to 255 characters"),
        ({"layers": {"cut": " A"}}, "no space at its ends"),
        ({"layers": {"cut": "Schnitt-Ä"}}, "is written in plain letters, digits and marks"),
        ({"layers": {"cut": "A\nB"}}, "is written in plain letters, digits and marks"),
        ({"layers": {"cut": "DefPoints"}}, "never plotted"),
        ({"layers": {"cut": 7}}, "cnc.layers.cut: 7: a text in quotes is expected"),
        ({"layers": {"text": "outline"}}, '"outline" is the name of the layer for cut already'),
        ({"dxf": "R12", "layers": {"cut": "Cut 1"}}, '"Cut 1": R12 has names of up to 31'),
        ({"dxf": "R12", "layers": {"cut": "A" * 32}}, "R12 has names of up to 31"),
        (
            {"files": "board", "relief": "1/4in"},
            'cnc.relief: a bit of 1/4" does not go between parts that are nested 1/8" apart',
        ),
    ],
)
def test_cnc_mistakes(options: dict[str, Any], message: str) -> None:
    (problem,) = told(GABLE, {"cnc": options})
    assert message in problem


def test_cnc_boards_need_a_kerf() -> None:
    options = {"cnc": {"files": "board"}, "saw": {"kerf": 0}}
    (problem,) = told(GABLE, options)
    assert problem.startswith('saw.kerf: with files = "board" in [cnc]')
    assert job_of(GABLE, {"cnc": {"files": "board", "relief": "1/8in"}}).cnc
