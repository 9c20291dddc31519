"""A shed dormer on a steeper roof: where its rafters land, through the framing of a shed roof."""

from __future__ import annotations

import pytest

from cutlist.geometry.space import Plane, meet
from cutlist.units import parse_pitch
from tests.dormers import SHED_DORMER
from tests.jobs import GABLE, SHED, changed, roof_of
from tests.published.tables import Row, rows
from tests.wings import with_wing

ROWS = rows("shed_dormer")
RUN = next(row for row in ROWS if row["quantity"] == "dormer_run")


def test_run_to_the_main_roof() -> None:
    main, _ = roof_of(GABLE, {"roof.span": "60ft", "roof.pitch": RUN["main_pitch"]}).faces
    (dormer,) = roof_of(
        SHED,
        {
            "units": "imperial",
            "roof.span": "25ft",
            "roof.length": "12ft",
            "roof.pitch": RUN["dormer_pitch"],
            "roof.overhang": 0,
            "roof.high_overhang": 0,
            "rafter": {"size": "2x6", "spacing": "16in", "seat": "3 1/2in"},
            "plate.width": "3 1/2in",
        },
    ).faces
    # The wall's height is measured between the lines of the two roofs' rafters.
    raised = float(RUN["wall_height_in"]) + main.height_above_plate - dormer.height_above_plate
    lifted = Plane.through(
        dormer.point(0, 0, dormer.height_above_plate + raised), dormer.plane.normal
    )
    landing = meet(lifted, main.plane, main.across(0.0))
    printed, tolerance = float(RUN["published"]), float(RUN["tolerance"])
    assert landing.y / 12 == pytest.approx(printed, abs=tolerance)


def test_pitch_of_a_shed_of_that_run() -> None:
    # The other way round: a shed that rises from the wall's top to the main roof over the printed
    # run has the printed pitch, as nearly as the run is printed.
    run, tolerance = float(RUN["published"]), float(RUN["tolerance"])
    wall = float(RUN["wall_height_in"])
    landing = 12 * run * parse_pitch(RUN["main_pitch"])
    (dormer,) = roof_of(
        SHED,
        {
            "units": "imperial",
            "roof.span": 12 * run + 3.5,
            "roof.length": "12ft",
            "roof.pitch": None,
            "roof.plate_height": wall,
            "roof.far_plate_height": landing,
            "roof.overhang": 0,
            "roof.high_overhang": 0,
            "rafter": {"size": "2x6", "spacing": "16in", "seat": "3 1/2in"},
            "plate.width": "3 1/2in",
        },
    ).faces
    slack = wall / (12 * run**2) * tolerance
    assert dormer.pitch == pytest.approx(parse_pitch(RUN["dormer_pitch"]), abs=slack)


def test_run_of_a_dormer_laid_on_the_roof() -> None:
    wall, tolerance = float(RUN["wall_height_in"]), float(RUN["tolerance"])
    dormer = changed(
        SHED_DORMER,
        {"roof.span": "60ft", "roof.pitch": RUN["main_pitch"], "roof.plate_height": 0.125},
    )
    shed = {"at": ["14ft", 0], "span": "24ft", "plate_height": "10ft", "overhang": 6}
    tables = with_wing(dormer, {**shed, "pitch": RUN["dormer_pitch"]})
    main, _, own = roof_of(tables).faces
    # The wall's height is measured between the lines of the two roofs' rafters.
    plate = wall + 0.125 + main.height_above_plate - own.height_above_plate
    main, _, own = roof_of(with_wing(tables, {"plate_height": plate})).faces
    landing = meet(own.plane, main.plane, main.across(0.0))
    assert landing.y / 12 == pytest.approx(float(RUN["published"]), abs=tolerance)


STUDS = [row for row in ROWS if row["quantity"] == "stud_common_difference"]


@pytest.mark.parametrize("row", STUDS, ids=lambda row: f"{row['spacing_in']}in")
def test_studs_between_the_two_roofs(row: Row) -> None:
    main, dormer = (
        roof_of(GABLE, {"roof.pitch": row[pitch]}).faces[0]
        for pitch in ("main_pitch", "dormer_pitch")
    )
    spacing = float(row["spacing_in"])
    first, second = (main.top(run) - dormer.top(run) for run in (spacing, 2 * spacing))
    printed, tolerance = float(row["published"]), float(row["tolerance"])
    assert second - first == pytest.approx(printed, abs=tolerance)
