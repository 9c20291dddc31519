"""report.html: the whole job for people, one file that needs no other, on a screen or on paper."""

from __future__ import annotations

from functools import cache
from itertools import groupby

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

import cutlist
from cutlist.build import Build
from cutlist.checks.run import cautions
from cutlist.export import rows
from cutlist.export.draw_plan import draw_plan_page
from cutlist.export.draw_view import draw_view
from cutlist.export.drawing import Drawing
from cutlist.export.naming import alike_boards, named_boards
from cutlist.export.report_boards import board_card
from cutlist.export.report_parts import part_card
from cutlist.export.rows import length_text
from cutlist.export.svg import Window, svg
from cutlist.export.wording import (
    counts_text,
    measures_text,
    money_text,
    plan_text,
    remarks,
    roof_text,
    total_cost,
)

PLAN_MARGIN = 1 / 40
"""Paper around a plan or a picture, by its width."""


def report_html(build: Build) -> bytes:
    """Return the page. The same build gives the same bytes."""
    plan, plan_window = _framed(draw_plan_page(build))
    view, view_window = _framed(draw_view(build))
    name = "Framing plan"
    text = _template().render(
        length=lambda length: length_text(build, length),
        job=build.job,
        version=cutlist.__version__,
        roof=roof_text(build),
        counts=counts_text(build.findings),
        attention=remarks(build.findings, build.job, "fail", "warn"),
        passed=remarks(build.findings, build.job, "pass"),
        order=list(rows.lumber_order(build.cutting)),
        total=total_cost(build.cutting),
        plans=[plan_text(build.cutting, plan) for plan in build.plans],
        heights=build.roof.heights,
        measures=measures_text(build),
        view=Markup(svg(view, title="The roof's framing from outside", window=view_window)),
        plan=Markup(svg(plan, title=name, window=plan_window)),
        plan_turned=Markup(svg(plan, title=name, window=plan_window, turned=True)),
        parts=[part_card(build, part) for part in build.parts],
        boards=[board_card(build, alike) for alike in alike_boards(named_boards(build.plans))],
        lines=[
            (line, list(marks))
            for line, marks in groupby(rows.layout(build), key=lambda row: row["line"])
        ],
        cautions=cautions(build.job),
    )
    return text.encode()


@cache
def _template() -> Template:
    pages = Environment(
        loader=PackageLoader("cutlist.export"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.filters["money"] = money_text
    return pages.get_template("report.html")


def _framed(drawing: Drawing) -> tuple[Drawing, Window]:
    tight = Window.around(drawing, 0.0)
    return drawing, Window.around(drawing, (tight.right - tight.left) * PLAN_MARGIN)
