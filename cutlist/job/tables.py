"""The job file's tables, as read: lengths in the job's unit, pitches as rise per unit of run."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    StrictBool,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    field_validator,
)
from pydantic_core import PydanticKnownError

from cutlist.dxf_names import DxfVersion
from cutlist.job.plan import regular_plan
from cutlist.job.values import (
    Bearing,
    BoardLength,
    Building,
    Corner,
    EndForm,
    Ends,
    Height,
    LabelCount,
    LabelGap,
    LabelSide,
    LayerName,
    LumberSize,
    NotchLimit,
    OffcutLength,
    Overhang,
    Pitch,
    PlanPlace,
    RoundTo,
    SawLength,
    Seat,
    Sheathing,
    SheetSide,
    SidePitch,
    Sides,
    Spacing,
    Tail,
    ToolDiameter,
)
from cutlist.label_stock import LabelStock, usual_roll, usual_sheet
from cutlist.lumber import Size, standard_lengths
from cutlist.units import UNITS, UnitName, Units

NOT_GIVEN = float("nan")
"""Stands for a length that some plans have and others do not, until the plan is known."""


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class RoofTable(_Table):
    """The building and its slopes.

    Over a rectangle it has a span and a length; over any other plan `corners`, or a number of
    `sides` and the span between opposite ones. What is not asked for then is 0.
    """

    form: Literal["gable", "shed", "hip"] = Field(description='form = "gable"')
    corners: Annotated[list[Corner], Field(max_length=24)] | None = None
    sides: Sides | None = None
    span: Building = Field(NOT_GIVEN, description='span = "20ft"', validate_default=True)
    length: Building = Field(NOT_GIVEN, description='length = "32ft"', validate_default=True)
    pitch: Pitch | None = Field(None, description='pitch = "6/12"')
    pitches: list[SidePitch] | None = None
    far_pitch: Pitch | None = None
    end_pitch: Pitch | None = None
    ends: Ends = None
    hip_start: Height | None = None
    plate_height: Height | None = None
    far_plate_height: Height | None = None
    overhang: Overhang = Field(description='overhang = "16in"')
    rake_overhang: Overhang = 0.0
    high_end: Literal["plate", "ledger"] = "plate"
    high_overhang: Overhang = 0.0

    @field_validator("span", "length", mode="wrap")
    @classmethod
    def _asked_for(
        cls, value: Any, handler: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> Any:
        """Ask for a span and a length unless the plan says them; `sides` need the span."""
        if value is not NOT_GIVEN:
            return handler(value)
        # What was given wrongly is not among the data.
        given = [key for key in ("corners", "sides") if info.data.get(key, ...) is not None]
        if not given or (given == ["sides"] and info.field_name == "span"):
            raise PydanticKnownError("missing")
        return 0.0

    @property
    def is_polygon(self) -> bool:
        """Whether its plan is given by corners or by a number of sides."""
        return self.corners is not None or self.sides is not None

    @property
    def plan(self) -> tuple[tuple[float, float], ...]:
        """The corners of its building lines, counter-clockwise."""
        if self.corners is not None:
            return tuple(self.corners)
        if self.sides is not None:
            return regular_plan(self.sides, self.span, self.length or None)
        return ((0.0, 0.0), (self.length, 0.0), (self.length, self.span), (0.0, self.span))

    @property
    def first_pitch(self) -> float | None:
        """The pitch of its first side that has one; None where it is not given."""
        return next((pitch for pitch in self.pitches or () if pitch != "gable"), self.pitch)

    @property
    def side_pitches(self) -> tuple[SidePitch, ...]:
        """The pitch over each side of a plan given by its corners, or that it is a gable."""
        count = len(self.plan)
        return tuple(self.pitches or [self.pitch or 0.0] * count)

    @property
    def gable_sides(self) -> tuple[int, ...]:
        """The sides of a plan given by its corners that are gables, counted from 0."""
        return tuple(i for i, pitch in enumerate(self.pitches or ()) if pitch == "gable")

    @property
    def has_hips(self) -> bool:
        """Whether it is of the form with hips, and more than a ridge between two gables' slopes."""
        gables = len(self.gable_sides)
        return self.form == "hip" and not (gables and len(self.side_pitches) - gables == 2)


class WingTable(RoofTable):
    """A further roof that meets the first, or another wing.

    `at` is the corner of its building lines from which its length and its span are measured, in
    plan coordinates of the first roof; `turn` [deg] turns its length from the first one's, counter-
    clockwise. `open` leaves out the plate of what it runs into, across its mouth.

    A bay's `corners` are measured from `at`, those of its walls in order from where they leave the
    other roof to where they come back to it: from the last corner to the first is its mouth.

    `overhang` follows from the first roof's, so that the fascia is level, but for a wing that is
    laid on the first roof and has a span: that one may have its own.
    """

    at: tuple[PlanPlace, PlanPlace] = Field(description='at = ["10ft", "-12ft"]')
    turn: Annotated[float, Field(ge=-360, le=360)] = 0.0
    open: StrictBool = False
    overhang: Overhang | None = None  # type: ignore[assignment]

    @property
    def side_pitches(self) -> tuple[SidePitch, ...]:
        """The pitch over each wall of a bay, or that it is a gable; 0 where the first roof's."""
        return tuple(self.pitches or [self.pitch or 0.0] * (len(self.plan) - 1))


class RafterTable(_Table):
    """What rafters are made of, where they stand and how they are cut."""

    size: LumberSize = Field(description='size = "2x8"')
    spacing: Spacing = Field(description='spacing = "16in"')
    seat: Seat = "auto"
    notch_limit: NotchLimit = 1 / 3
    tail: Tail = "plumb"
    tail_height: Overhang | None = None


class RidgeTable(_Table):
    """What the rafters' heads meet."""

    kind: Literal["board", "beam", "none"] = Field(description='kind = "board"')
    size: LumberSize | None = Field(None, description='size = "2x10"')


class HipTable(_Table):
    """Hip rafters, and how the jacks beside them are laid out.

    `hub`: the width, between opposite faces, of a post that hips of a regular plan end on.
    """

    size: LumberSize = Field(description='size = "2x10"')
    top: Literal["drop", "back"] = "drop"
    jacks_from: Literal["common", "corner"] = "common"
    shortest_jack: Overhang | None = None
    hub: Bearing | None = None


class ValleyTable(_Table):
    """Valley rafters, or the plates under wings laid on the finished first roof."""

    size: LumberSize = Field(description='size = "2x10"')
    kind: Literal["framed", "overlay"] = "framed"
    sheathing: Sheathing | None = None


class LedgerTable(_Table):
    """The board on the wall that a lean-to's rafters butt against."""

    size: LumberSize = Field(description='size = "2x8"')


class PostsTable(_Table):
    """Posts under a header: their spacing on centres, their width, where the header runs."""

    every: Building = Field(description='every = "8ft"')
    width: Bearing = Field(description='width = "5 1/2in"')
    header: Literal["beside", "on"] = "beside"


class PlateTable(_Table):
    """What the rafters' feet bear on."""

    width: Bearing = Field(description='width = "3 1/2in"')
    posts: PostsTable | None = None


class SawTable(_Table):
    """What the saw takes, and how lengths are printed."""

    kerf: SawLength
    end_trim: SawLength
    keep_offcut: OffcutLength
    crown_up: StrictBool = True
    round_to: RoundTo


class RackBoard(_Table):
    """Boards of one length already on hand."""

    length: BoardLength = Field(description='length = "9ft 2in"')
    count: int = Field(1, ge=1, le=10_000, description="count = 3")


class LumberTable(_Table):
    """The boards of one size: lengths sold, their prices, boards on hand."""

    size: LumberSize = Field(description='size = "2x8"')
    lengths: list[BoardLength] = []
    prices: list[Annotated[float, Field(gt=0, lt=1e6)]] | None = None
    on_hand: list[RackBoard] = []


class LabelsTable(_Table):
    """The labels that are printed: what is left out is as on the usual sheet or roll."""

    on: Literal["sheet", "roll"] = "sheet"
    width: LabelSide | None = None
    height: LabelSide | None = None
    sheet: tuple[SheetSide, SheetSide] | None = None
    columns: LabelCount | None = None
    rows: LabelCount | None = None
    margin_left: LabelGap | None = None
    margin_top: LabelGap | None = None
    gap_across: LabelGap | None = None
    gap_down: LabelGap | None = None
    first: LabelCount | None = None

    def stock(self, units: Units) -> LabelStock:
        """Return the sheet or roll, with the usual sizes filled in."""
        given = {key: value for key, value in self if key != "on" and value is not None}
        return replace(usual_roll(units) if self.on == "roll" else usual_sheet(units), **given)


class CncLayers(_Table):
    """Names of the layers of the CNC's drawings."""

    cut: LayerName = "OUTLINE"
    far: LayerName = "FAR"
    text: LayerName = "MARKS"
    board: LayerName = "BOARD"


class CncTable(_Table):
    """The drawings for a CNC router: their version, what each holds, how it lies on the table."""

    dxf: DxfVersion = "R2010"
    files: Literal["part", "size", "board"] = "part"
    relief: ToolDiameter | None = None
    text: Literal["strokes", "none"] = "strokes"
    origin: Literal["lower-left", "lower-right", "upper-left", "upper-right"] = "lower-left"
    side: Literal["near", "far"] = "near"
    layers: CncLayers = CncLayers()


class Job(_Table):
    """A whole job as read: every length in `units`, defaults filled in."""

    name: str = Field(min_length=1, max_length=120, description='name = "Garden shed"')
    unit_name: UnitName = Field(alias="units", description='units = "imperial"')
    roof: RoofTable = Field(description="[roof]")
    rafter: RafterTable = Field(description="[rafter]")
    ridge: RidgeTable | None = None
    hip: HipTable | None = None
    valley: ValleyTable | None = None
    wing: list[WingTable] = []
    ledger: LedgerTable | None = None
    plate: PlateTable = Field(description="[plate]")
    saw: SawTable
    labels: LabelsTable = LabelsTable()
    cnc: CncTable | None = None
    lumber: list[LumberTable] = []

    @property
    def units(self) -> Units:
        """The unit of every length in the job."""
        return UNITS[self.unit_name]

    @property
    def is_laid(self) -> bool:
        """Whether its wings are laid on the finished first roof."""
        return self.valley is not None and self.valley.kind == "overlay"

    @property
    def ends(self) -> tuple[EndForm, EndForm]:
        """How the left and the right end of the roof are made, seen from the near side."""
        both: EndForm = "hip" if self.roof.form == "hip" else "gable"
        return self.roof.ends or (both, both)

    def boards(self, size: Size) -> LumberTable:
        """Return the boards to cut a size from: the job's own, or the standard lengths."""
        for table in self.lumber:
            if (table.size.thickness, table.size.depth) == (size.thickness, size.depth):
                return table
        return LumberTable.model_construct(
            size=size, lengths=list(standard_lengths(self.units)), prices=None, on_hand=[]
        )


SAW_DEFAULTS: dict[UnitName, dict[str, float]] = {
    "imperial": {"kerf": 0.125, "end_trim": 0.25, "keep_offcut": 24, "round_to": 1 / 16},
    "metric": {"kerf": 3, "end_trim": 5, "keep_offcut": 600, "round_to": 1},
}
