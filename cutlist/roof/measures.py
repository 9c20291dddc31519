"""Lengths and angles of hips, valleys and jacks worth knowing on site that no part's row tells."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import degrees

from cutlist.geometry.space import UP, Vector
from cutlist.job import Job
from cutlist.roof.face import Face
from cutlist.roof.hip import Hip
from cutlist.roof.member import Member
from cutlist.roof.ridge import Ridge
from cutlist.roof.roof import Measure
from cutlist.roof.slant_line import SlantLine
from cutlist.roof.slopes import Slopes
from cutlist.tolerance import ON_PLANE, SAME_SHAPE


def measures(
    job: Job,
    slopes: Slopes,
    ridge: Ridge,
    hips: tuple[Hip, ...],
    length: float,
    peak: Iterable[Member],
) -> tuple[Measure, ...]:
    """Return what to know of ridge, jacks and hips; `length` is the ridge's.

    `peak`: the commons and the ridge, whose corners at a hip's top end are measured.
    """
    found = [Measure(name="ridge length", value=length)] if ridge.size else []
    found += line_measures(job, hips)
    if slopes.ends:
        found += proud_corners(slopes.faces, peak)
    return tuple(found)


def line_measures(job: Job, lines: Sequence[SlantLine]) -> list[Measure]:
    """Return what to know of hips, valleys and the jacks beside them, once where all agree."""
    hips = tuple(line for line in lines if isinstance(line, Hip))
    found = _jack_differences(job, lines)
    if any(hip.backed for hip in hips):
        found += _by_side("backing angle", hips, lambda h, f: degrees(h.backing_angle(f)), "[deg]")
        found += _by_side("backing down the side", hips, Hip.backing_depth)
    else:
        found += _merged("drop", {f"of the {hip.line}": hip.drop for hip in hips}, "of every hip")
        found += _shifts(hips)
    lowered = {f"of the {v.line}": v.drop for v in lines if v.drop and not isinstance(v, Hip)}
    return found + _merged("drop", lowered, "of every supporting valley")


def _jack_differences(job: Job, lines: Sequence[SlantLine]) -> list[Measure]:
    """Return how much jacks of each slope differ in length from one to the next."""
    steps: dict[str, float] = {}
    for face in dict.fromkeys(face for line in lines for face in (line.main, line.end)):
        beside = {
            f"on the {face.name} slope, to the {line.line}": face.slope_length(
                job.rafter.spacing * line.run_difference(face)
            )
            for line in lines
            if face in (line.main, line.end)
        }
        steps |= (
            {f"on the {face.name} slope": next(iter(beside.values()))} if _agree(beside) else beside
        )
    return _merged("common difference of jacks", steps)


def _shifts(hips: tuple[Hip, ...]) -> list[Measure]:
    """Return how far unbacked hips between unequal slopes stand off their lines."""
    shifts = {
        f"of the {hip.line} to the {(hip.main if hip.shift > 0 else hip.end).side}": abs(hip.shift)
        for hip in hips
    }
    return _merged("shift", shifts) if max(shifts.values(), default=0.0) > SAME_SHAPE else []


def _by_side(
    what: str, hips: tuple[Hip, ...], value: Callable[[Hip, Face], float], unit: str = ""
) -> list[Measure]:
    """Return a measure of both sides of each hip, told once for all hips where they agree."""
    main = {f"of the {h.line}, {h.main.side}": value(h, h.main) for h in hips}
    end = {f"of the {h.line}, {h.end.side}": value(h, h.end) for h in hips}
    if _agree(main | end):
        return _merged(what, main, "of every hip", unit)
    return [
        *_merged(what, main, "of every hip toward the long sides", unit),
        *_merged(what, end, "of every hip toward the ends", unit),
    ]


def _merged(
    what: str, values: dict[str, float], together: str = "", unit: str = ""
) -> list[Measure]:
    """Return a measure of each place, or one of all together where they agree."""
    if values and _agree(values):
        values = {together: next(iter(values.values()))}
    return [
        Measure(name=" ".join(filter(None, (what, place, unit))), value=value)
        for place, value in values.items()
    ]


def _agree(values: dict[str, float]) -> bool:
    return max(values.values()) - min(values.values()) < SAME_SHAPE


def proud_corners(faces: Iterable[Face], peak: Iterable[Member]) -> Iterator[Measure]:
    """Return how high, if any, a corner of these members stands plumb above a slope not its own.

    The last commons reach half their thickness past the hips' top end, and a ridge with them;
    where slopes are unequal, or no ridge as thick keeps their heads apart, a corner stands out.
    """
    planes = [face.plane for face in faces]
    proud = max(
        plane.distance(point) / plane.normal.dot(UP)
        for member in peak
        for point in _corners(member)
        for plane in planes
    )
    if proud > ON_PLANE:
        yield Measure(name="to plane off corners at the hips' tops, plumb", value=proud)


def _corners(member: Member) -> Iterable[Vector]:
    """Return the corners of a member's wide faces, in plan coordinates."""
    stick = member.stick
    for z, outline in ((0.0, stick.far), (stick.thickness, stick.near)):
        yield from (stick.frame.outward(Vector(x, y, z)) for x, y in outline.points)
