"""Labels as they are bought: so many on a sheet, or one after another on a roll."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cutlist.tolerance import ON_PLANE
from cutlist.units import IMPERIAL, Units


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelStock:
    """One kind of label sheet or roll, in the job's unit.

    `sheet` is the sheet's width and height; None for a roll, on which each label is a page. The
    margins lead to the first label at the upper left, the gaps from one label to the next. `first`
    is the number of the first label that is still on the first sheet, counted along the rows.
    """

    width: float
    height: float
    sheet: tuple[float, float] | None = None
    columns: int = 1
    rows: int = 1
    margin_left: float = 0.0
    margin_top: float = 0.0
    gap_across: float = 0.0
    gap_down: float = 0.0
    first: int = 1

    @property
    def page(self) -> tuple[float, float]:
        """Width and height of what goes through the printer at once."""
        return self.sheet or (self.width, self.height)

    @property
    def taken_across(self) -> float:
        """From the sheet's left edge to the right edge of the last column."""
        return self.margin_left + self.columns * (self.width + self.gap_across) - self.gap_across

    @property
    def taken_down(self) -> float:
        """From the sheet's top to the lower edge of the last row."""
        return self.margin_top + self.rows * (self.height + self.gap_down) - self.gap_down

    @property
    def fits_across(self) -> bool:
        """Whether the columns stay on the sheet."""
        return self.taken_across <= self.page[0] + ON_PLANE

    @property
    def fits_down(self) -> bool:
        """Whether the rows stay on the sheet."""
        return self.taken_down <= self.page[1] + ON_PLANE

    def corners(self) -> Iterator[tuple[float, float]]:
        """Return the lower left corner of each label on a page, measured from the page's own."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield (
                    self.margin_left + column * (self.width + self.gap_across),
                    self.page[1]
                    - self.margin_top
                    - row * (self.height + self.gap_down)
                    - self.height,
                )


def usual_sheet(units: Units) -> LabelStock:
    """Return ten large labels on a Letter or A4 sheet, sizes sold everywhere.

    Common practice, no source: 4 in by 2 in on Letter, 99.1 mm by 57 mm on A4.
    """
    if units is IMPERIAL:
        return LabelStock(
            sheet=(8.5, 11.0),
            width=4.0,
            height=2.0,
            columns=2,
            rows=5,
            margin_left=0.15625,
            margin_top=0.5,
            gap_across=0.1875,
        )
    return LabelStock(
        sheet=(210.0, 297.0),
        width=99.1,
        height=57.0,
        columns=2,
        rows=5,
        margin_left=4.65,
        margin_top=6.0,
        gap_across=2.5,
    )


def usual_roll(units: Units) -> LabelStock:
    """Return a roll of large labels: 4 in by 2 in, or 100 mm by 50 mm."""
    if units is IMPERIAL:
        return LabelStock(width=4.0, height=2.0)
    return LabelStock(width=100.0, height=50.0)
