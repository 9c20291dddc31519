"""Plain sticks and boards from CSV files, and every mistake in them told at once."""

from itertools import chain

import pytest

from cutlist.errors import JobError
from cutlist.lumber import parse_size
from cutlist.nest.problem import Saw
from cutlist.pieces import Bench, read_pieces
from cutlist.units import IMPERIAL

BOARDS = "length,price,on_hand\n8ft,7.10,\n10ft,8.90,\n9ft 2in,,2\n"


@pytest.fixture
def read(tmp_path):
    """Return a function from the texts of both files to the problems, or the mistakes."""

    def from_texts(pieces, boards=BOARDS, size="2x4"):
        files = tmp_path / "pieces.csv", tmp_path / "boards.csv"
        for path, text in zip(files, (pieces, boards), strict=True):
            path.write_text(text, encoding="utf-8")
        bench = Bench(
            units=IMPERIAL,
            size=parse_size(size, IMPERIAL) if size else None,
            saw=Saw(kerf=0.125),
            round_to=1 / 16,
        )
        try:
            return read_pieces(*files, bench)
        except JobError as error:
            return list(error.problems)

    return from_texts


def test_lengths_are_from_long_point_to_long_point(read):
    (problem,) = read("mark,length,count,left_angle,right_angle\nA,40in,3,30,-30\nB,31.5,,,\n")
    slanted, square = problem.sticks
    assert (slanted.count, square.count) == (3, 1)
    assert slanted.length == pytest.approx(40)
    assert square.length == pytest.approx(31.5)
    # A 3 1/2 in deep stick, both ends leaning 30 degrees inward toward the top.
    lean = 3.5 * 3**-0.5
    corners = [(0, 0), (40, 0), (40 - lean, 3.5), (lean, 3.5)]
    assert [*chain(*slanted.near)] == pytest.approx([*chain(*corners)])


def test_boards_for_sale_and_boards_on_hand(read):
    (problem,) = read("mark,length\nA,40in\n")
    assert [(b.length, b.price, b.count, b.on_hand) for b in problem.boards] == [
        (96.0, 710, None, False),
        (120.0, 890, None, False),
        (110.0, None, 2, True),
    ]


def test_a_row_with_a_price_and_boards_on_hand_is_both(read):
    """A list with one row a length, as a spreadsheet has it: none, some and no more to be had."""
    boards = "length,price,on_hand\n8ft,7.10,0\n10ft,8.90,3\n9ft,,2\n"
    (problem,) = read("mark,length\nA,40in\n", boards)
    assert [(b.length, b.price, b.count, b.on_hand) for b in problem.boards] == [
        (96.0, 710, None, False),
        (120.0, None, 3, True),
        (120.0, 890, None, False),
        (108.0, None, 2, True),
    ]


def test_a_board_that_is_neither_there_nor_sold_is_told(read):
    assert read("mark,length\nA,40in\n", "length,on_hand\n8ft,0\n10ft,1\n") == [
        'boards.csv: line 2, column "on_hand": "0": there is none of this board, and no price to '
        "buy one at; take the row out, or leave the cell empty where it can be bought"
    ]


def test_empty_cells_at_the_end_of_lines_are_passed_over(read):
    plain, padded = (
        read(text)[0].sticks for text in ("mark,length\nA,40in\n", "mark,length,,\nA,40in,,\n,,,\n")
    )
    assert padded == plain


def test_millimetres_read_as_inches_are_asked_for_their_unit(read):
    told = (
        "it must lie between 0 and 98' 5 1/16\"; where millimetres are meant, write --units "
        "metric, or the unit with each"
    )
    assert read("mark,length\nA,1200\n", "length\n4800\n") == [
        f'pieces.csv: line 2, column "length": "1200": read as 100\' 0"; {told}',
        f'boards.csv: line 2, column "length": "4800": read as 400\' 0"; {told}',
    ]


@pytest.mark.parametrize("text", ["nan", "inf", "1e300", "-1"])
def test_a_number_that_is_no_length_is_told(read, text):
    (told,) = read(f"mark,length\nA,{text}\n")
    assert "it must lie between 0 and 98' 5 1/16\"" in told


def test_sizes_are_problems_of_their_own(read):
    problems = read(
        "mark,length,size\nA,40in,2x4\nB,30in,2x6\nC,20in,2x4\n",
        "size,length\n2x4,8ft\n2x6,10ft\n",
        size=None,
    )
    assert [(p.size, [s.mark for s in p.sticks]) for p in problems] == [
        ("2x4", ["A", "C"]),
        ("2x6", ["B"]),
    ]


def test_a_size_is_one_however_it_is_written(read):
    problems = read(
        "mark,length,size\nA,40in,2x4\nB,30in,2 x 4\nC,20in,\n",
        "size,length\n1 1/2in x 3 1/2in,8ft\n2\N{MULTIPLICATION SIGN}4,10ft\n",
    )
    assert [(p.size, [s.mark for s in p.sticks]) for p in problems] == [("2x4", ["A", "B", "C"])]
    assert [board.length for board in problems[0].boards] == [96, 120]


def test_semicolons_and_a_byte_order_mark_are_read_too(read):
    (problem,) = read("\ufeffmark;length\nA;40in\n")
    assert problem.sticks[0].length == pytest.approx(40)


def test_tabs_and_degree_signs_are_read_too(read):
    texts = ("mark\tlength\tleft_angle\nA\t40in\t30°\n", "mark,length,left_angle\nA,40in,30\n")
    tabs, commas = (read(text)[0].sticks[0] for text in texts)
    assert tabs == commas


@pytest.mark.parametrize(
    ("pieces", "expected"),
    [
        (
            "mark,lenght\nA,3in\n",
            [
                'pieces.csv: line 1: there is no column "lenght"; did you mean length?',
                'pieces.csv: line 1: column "length" is missing',
            ],
        ),
        (
            "mark,length,count\nA,4ft 2 1/2,x\nA,,2\n",
            [
                'pieces.csv: line 2, column "length": "4ft 2 1/2": the inches have no mark; '
                'write "4ft 2 1/2in"',
                'pieces.csv: line 2, column "count": "x": a whole number from 1 to 100000 is '
                "expected",
                'pieces.csv: line 3, column "length": it is empty',
            ],
        ),
        (
            "mark,length\nA,10in\nA,12in\n",
            ['pieces.csv: line 3, column "mark": "A": line 2 has this mark already'],
        ),
        (
            "mark,length,left_angle,right_angle\nA,3in,80,-80\n",
            [
                'pieces.csv: line 2, column "length": "3in": at these angles its two ends would '
                "cross"
            ],
        ),
        (
            "mark,length,left_angle\nA,30in,95\n",
            [
                'pieces.csv: line 2, column "left_angle": "95": the angle must lie between -85 '
                "and 85 from square"
            ],
        ),
        (
            "mark,length\nA,30in,5\n",
            [
                "pieces.csv: line 2: it has 3 cells and the first line 2; put a text that holds "
                "a comma in quotes"
            ],
        ),
        ("mark,length\n", ["pieces.csv: it lists no pieces"]),
    ],
)
def test_mistakes_are_told_with_line_and_column(read, pieces, expected):
    assert read(pieces) == expected


def test_a_size_without_boards_is_told(read):
    assert read("mark,length,size\nA,30in,2x6\n") == [
        "boards.csv: it lists no boards of 2x6, which pieces are cut from"
    ]


def test_half_priced_boards_are_told(read):
    assert read("mark,length\nA,30in\n", "length,price\n8ft,7\n10ft,\n") == [
        "boards.csv: of 2x4 some boards have a price and some none"
    ]


def test_a_piece_without_a_size_is_told(read):
    (problem,) = read("mark,length\nA,30in\n", size=None)
    assert problem == (
        'pieces.csv: line 2, column "mark": "A": its size is not given; write --size, like "2x4", '
        "or a size column"
    )


def test_missing_file_is_told(tmp_path):
    bench = Bench(units=IMPERIAL, size=None, saw=Saw(kerf=0.125), round_to=1 / 16)
    with pytest.raises(JobError) as caught:
        read_pieces(tmp_path / "no.csv", tmp_path / "none.csv", bench)
    assert caught.value.problems == (
        f"{tmp_path / 'no.csv'}: there is no such file",
        f"{tmp_path / 'none.csv'}: there is no such file",
    )
