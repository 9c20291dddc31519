"""Random nesting problems for the property tests."""

from hypothesis import strategies as st

from cutlist.nest import Board, EndFace, Problem, Saw, Stick

DEPTH, THICKNESS, GRID = 7.25, 1.5, 1 / 64


@st.composite
def ends(draw: st.DrawFn, side: int) -> tuple[EndFace, ...]:
    """One plane or two that meet in a ridge, with the stick's long points near x = 0."""
    slopes = st.sampled_from([-1.0, -0.5, -1 / 3, 0.0, 0.0, 0.25, 0.5, 1.0])
    tilts = st.sampled_from([0.0, 0.0, 0.0, -1.0, 0.5, 1.0])
    first = EndFace(at=0.0, per_depth=draw(slopes), per_thickness=draw(tilts))
    if draw(st.integers(0, 3)):
        return (first,)
    at = draw(st.sampled_from([0.0, 1.0, -1.0]))
    return (first, EndFace(at=side * at, per_depth=draw(slopes), per_thickness=draw(tilts)))


@st.composite
def sticks(draw: st.DrawFn, mark: str, longest: float) -> Stick:
    """A stick whose outlines are those of its end planes."""
    left, right = draw(ends(-1)), draw(ends(1))
    clear = draw(st.floats(1.0, longest - 45.0))
    gap = clear + sum(
        abs(f.per_depth) * DEPTH + abs(f.per_thickness) * THICKNESS + abs(f.at)
        for f in (*left, *right)
    )
    right = tuple(face.moved(gap) for face in right)
    return Stick(
        mark=mark,
        count=draw(st.integers(1, 6)),
        thickness=THICKNESS,
        depth=DEPTH,
        left=left,
        right=right,
        near=ring(left, right, THICKNESS),
        far=ring(left, right, 0.0),
    )


def ring(left, right, z):
    """Outline of a face between end planes, its corners found by sampling where planes cross."""
    ys = {0.0, DEPTH}
    for end in (left, right):
        for f in end:
            for g in end:
                if f.per_depth != g.per_depth:
                    y = (g.x(0, z) - f.x(0, z)) / (f.per_depth - g.per_depth)
                    if 0 < y < DEPTH:
                        ys.add(y)
    up = [(min(f.x(y, z) for f in right), y) for y in sorted(ys)]
    down = [(max(f.x(y, z) for f in left), y) for y in sorted(ys, reverse=True)]
    return tuple(up + down)


@st.composite
def problems(draw: st.DrawFn, most_sticks: int = 6) -> Problem:
    """A job of few sticks; the longest board is sold without limit, so that a plan exists."""
    priced = draw(st.booleans())
    lengths = draw(st.lists(st.integers(60, 200), min_size=1, max_size=3, unique=True))
    boards = [
        Board(length=length, price=draw(st.integers(1, 3000)) if priced else None)
        for length in lengths
    ]
    for length in draw(st.lists(st.integers(30, 200), max_size=2)):
        boards.append(Board(length=length, count=draw(st.integers(1, 2)), on_hand=True))
    count = draw(st.integers(1, most_sticks))
    return Problem(
        size="2x8",
        thickness=THICKNESS,
        depth=DEPTH,
        sticks=tuple(draw(sticks(f"S{i}", max(lengths))) for i in range(count)),
        boards=tuple(boards),
        saw=Saw(
            kerf=draw(st.sampled_from([0.0, 0.1, 0.125])),
            end_trim=draw(st.sampled_from([0.0, 0.25])),
            keep_offcut=24.0,
            crown_up=draw(st.booleans()),
        ),
        grid=GRID,
    )
