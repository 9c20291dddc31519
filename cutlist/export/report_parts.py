"""What a page tells of one part: its drawings, and the numbers to lay it out and saw it by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot, radians, tan

from markupsafe import Markup

from cutlist.build import Build
from cutlist.export.draw_part_page import SQUARE_DEG, draw_end, draw_whole
from cutlist.export.framing_square import square_setting
from cutlist.export.rows import length_text, size_text
from cutlist.export.svg import svg
from cutlist.export.top_marks import TopMark, top_marks
from cutlist.geometry.stick import CutPlane, End
from cutlist.roof.parts import Part
from cutlist.units import IMPERIAL, slope_degrees

FIGURE_STEPS = 32
"""Parts of an inch in which a square's figures are told: in sixteenths 16.97 would be 17."""

ENDS: tuple[tuple[End, str], ...] = (("head", "Head"), ("foot", "Foot"))


@dataclass(frozen=True, slots=True, kw_only=True)
class SawnEnd:
    """Planes of an end that are set alike, or a bevel along an edge, in words."""

    end: str
    cut: str
    miter: str
    tilt: str
    across: str
    times: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class NotchWords:
    """A notch in words."""

    name: str
    seat: str
    heel: str
    depth: str
    left: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SquareWords:
    """The figures of a framing square in words."""

    body: str
    tongue: str
    angle: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartCard:
    """All that a page shows of one part."""

    part: Part
    role: str
    section: str
    length: str
    whole: Markup
    closeups: tuple[tuple[str, Markup], ...]
    marks: tuple[TopMark, ...]
    ends: tuple[SawnEnd, ...]
    notches: tuple[NotchWords, ...]
    square: SquareWords | None


def part_card(build: Build, part: Part) -> PartCard:
    """Return the card of one part."""
    stick = part.stick

    def text(length: float) -> str:
        return length_text(build, length) or ""

    def drawn(end: End, name: str) -> Markup:
        drawing, window = draw_end(build, part, end)
        return Markup(svg(drawing, title=f"{part.mark}, {name}", window=window))

    whole, window = draw_whole(build, part)
    return PartCard(
        part=part,
        role=part.role.replace("-", " "),
        section=f"{text(stick.thickness)} \N{MULTIPLICATION SIGN} {text(stick.depth)}",
        length=text(stick.length),
        whole=Markup(svg(whole, title=f"{part.mark}, {part.role}", window=window)),
        closeups=tuple(
            (name, drawn(end, name)) for end, name in ENDS[::-1] if not _plain(part, end)
        ),
        marks=top_marks(part.member),
        ends=tuple(_ends(build, part)),
        notches=tuple(
            NotchWords(
                name={"seat": "Birdsmouth"}.get(notch.name, notch.name.replace("-", " ")),
                seat=size_text(build, notch.seat),
                heel=size_text(build, notch.heel),
                depth=size_text(build, notch.depth),
                left=size_text(build, notch.plumb_left),
            )
            for notch in part.member.notches
        ),
        square=_square(build, part),
    )


def degrees_text(angle: float) -> str:
    """Return an angle [deg] as a saw is set to it."""
    return f"{angle:.2f}".rstrip("0").rstrip(".") + "\N{DEGREE SIGN}"


def _ends(build: Build, part: Part) -> Iterator[SawnEnd]:
    for end, name in ENDS:
        planes = Counter(
            SawnEnd(
                end=name,
                cut=plane.name,
                miter=_miter(plane),
                tilt=degrees_text(plane.tilt),
                across=_across(build, part, end, plane),
            )
            for plane in part.stick.end_planes(end)
        )
        for words, times in planes.items():
            yield replace(words, times=times)
    for plane in part.stick.bevels:
        yield SawnEnd(
            end=f"Top edge, {plane.side} side",
            cut=plane.name,
            miter="along it",
            tilt=degrees_text(plane.tilt),
            across="",
        )


def _plain(part: Part, end: End) -> bool:
    """Tell whether an end is merely sawn square, so that there is nothing to look at closely."""
    planes = part.stick.end_planes(end)
    return not part.member.notches and all(
        p.miter < SQUARE_DEG and p.tilt < SQUARE_DEG for p in planes
    )


def _miter(plane: CutPlane) -> str:
    return "square" if plane.miter < SQUARE_DEG else degrees_text(plane.miter)


def _across(build: Build, part: Part, end: End, plane: CutPlane) -> str:
    """Return how far the cut's lines on the two faces lie apart, measured square to them.

    A tilt t through the thickness d moves the line by d tan(t). Where two such cuts meet within
    the thickness neither goes from face to face.
    """
    tilted = [p for p in part.stick.end_planes(end) if p.tilt >= SQUARE_DEG]
    if plane.tilt < SQUARE_DEG or len({p.plane.normal.z > 0 for p in tilted}) > 1:
        return ""
    return length_text(build, part.stick.thickness * tan(radians(plane.tilt))) or ""


def _square(build: Build, part: Part) -> SquareWords | None:
    setting = square_setting(build, part.member)
    if setting is None:
        return None
    up = part.stick.frame.x
    return SquareWords(
        body=_figure(build, setting.body),
        tongue=_figure(build, setting.tongue),
        angle=degrees_text(slope_degrees(abs(up.z) / hypot(up.x, up.y))),
    )


def _figure(build: Build, length: float) -> str:
    """Return a figure of the square as a decimal, and as a fraction where that differs."""
    if build.job.units is not IMPERIAL:
        return f"{length:.0f} mm"
    decimal = f"{length:.2f}".rstrip("0").rstrip(".")
    whole, part = divmod(Fraction(round(length * FIGURE_STEPS), FIGURE_STEPS), 1)
    return f"{decimal} ({whole} {part})" if part else decimal
