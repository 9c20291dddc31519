"""The job file: its model, and every mistake in it told at once.

Lengths come out in the job's unit, pitches as rise per unit of run.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StrictBool,
    ValidationError,
    ValidationInfo,
)
from pydantic_core import ErrorDetails

from cutlist.dxf_names import DxfVersion, layer_name, too_new
from cutlist.errors import JobError
from cutlist.job_wings import wing_contradictions
from cutlist.label_stock import LabelStock, usual_roll, usual_sheet
from cutlist.lumber import Size, parse_size, standard_lengths
from cutlist.units import (
    IMPERIAL,
    METRIC,
    UNITS,
    UnitName,
    Units,
    format_length,
    parse_fraction,
    parse_length,
    parse_pitch,
    rounded_down,
    rounded_up,
)


def _units(info: ValidationInfo) -> Units:
    return info.context["units"] if info.context else IMPERIAL


def _number_or_text(value: object) -> float | str:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError("a number or a text in quotes is expected")
    return value


def length_between(least_mm: float, most_mm: float) -> BeforeValidator:
    """Return the validator of a length from a number or text, in the job's unit, within limits."""

    def validate(value: object, info: ValidationInfo) -> float:
        return _length_within(value, info, least_mm, most_mm)

    return BeforeValidator(validate)


def _length_within(value: object, info: ValidationInfo, least_mm: float, most_mm: float) -> float:
    units = _units(info)
    given = _number_or_text(value)
    length = parse_length(given, units) if isinstance(given, str) else float(given)
    least, most = units.from_mm(least_mm), units.from_mm(most_mm)
    if not least <= length <= most:
        read = format_length(length, units, units.round_to) if abs(length) < 1e9 else given
        # Printed limits are rounded inward, so that what is asked for is let.
        step = units.round_to if least == 0 or least >= units.round_to else units.grid
        low = format_length(rounded_up(least, step), units, step)
        high = format_length(rounded_down(most, step), units, step)
        raise ValueError(f"read as {read}; it must lie between {low} and {high}")
    return length


def _pitch(value: object) -> float:
    return parse_pitch(str(_number_or_text(value)))


def _size(value: object, info: ValidationInfo) -> Size:
    if not isinstance(value, str):
        raise ValueError('a text in quotes is expected, like "2x8" or "45mm x 195mm"')
    return parse_size(value, _units(info))


def _seat(value: object, info: ValidationInfo) -> object:
    if value == "auto":
        return value
    return _length_within(value, info, 1, 1000)


def _notch_limit(value: object) -> float:
    limit = parse_fraction(str(_number_or_text(value)))
    if not 0 < limit < 1:
        raise ValueError("it must lie between 0 and 1, as a share of the rafter's depth")
    return limit


def _two_ends(value: object) -> object:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError('two are expected, the left end and the right, like ["hip", "gable"]')
    return value


Pitch = Annotated[float, BeforeValidator(_pitch)]
EndForm = Literal["hip", "half-hip", "gable"]
Tail = Literal["plumb", "square", "level", "plumb-level"]
LumberSize = Annotated[Size, BeforeValidator(_size)]
Building = Annotated[float, length_between(300, 300_000)]
Spacing = Annotated[float, length_between(75, 3_000)]
PlanPlace = Annotated[float, length_between(-300_000, 300_000)]
Overhang = Annotated[float, length_between(0, 3_000)]
Height = Annotated[float, length_between(0, 30_000)]
Bearing = Annotated[float, length_between(10, 1_000)]
BoardLength = Annotated[float, length_between(300, 30_000)]
SawLength = Annotated[float, length_between(0, 300)]
OffcutLength = Annotated[float, length_between(0, 30_000)]
SheetSide = Annotated[float, length_between(50, 1_500)]
ToolDiameter = Annotated[float, length_between(1, 50)]
LayerName = Annotated[str, AfterValidator(layer_name)]
LabelSide = Annotated[float, length_between(12, 500)]
LabelGap = Annotated[float, length_between(0, 200)]
LabelCount = Annotated[int, Field(strict=True, ge=1, le=100)]
RoundTo = Annotated[float, length_between(0.01, 26)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class RoofTable(_Table):
    """The building and its slopes."""

    form: Literal["gable", "shed", "hip"] = Field(description='form = "gable"')
    span: Building = Field(description='span = "20ft"')
    length: Building = Field(description='length = "32ft"')
    pitch: Pitch | None = Field(None, description='pitch = "6/12"')
    far_pitch: Pitch | None = None
    end_pitch: Pitch | None = None
    ends: Annotated[tuple[EndForm, EndForm] | None, BeforeValidator(_two_ends)] = None
    hip_start: Height | None = None
    plate_height: Height | None = None
    far_plate_height: Height | None = None
    overhang: Overhang = Field(description='overhang = "16in"')
    rake_overhang: Overhang = 0.0
    high_end: Literal["plate", "ledger"] = "plate"
    high_overhang: Overhang = 0.0


class WingTable(RoofTable):
    """A further roof that meets the first, or another wing.

    `at` is the corner of its building lines from which its length and its span are measured, in
    plan coordinates of the first roof; `turn` [deg] turns its length from the first one's, counter-
    clockwise. `open` leaves out the plate of what it runs into, across its mouth.
    """

    at: tuple[PlanPlace, PlanPlace] = Field(description='at = ["10ft", "-12ft"]')
    turn: Annotated[float, Field(ge=-360, le=360)] = 0.0
    open: StrictBool = False
    overhang: Overhang | None = None  # type: ignore[assignment]  # follows from the first roof's


class RafterTable(_Table):
    """What rafters are made of, where they stand and how they are cut."""

    size: LumberSize = Field(description='size = "2x8"')
    spacing: Spacing = Field(description='spacing = "16in"')
    seat: Annotated[float | Literal["auto"], BeforeValidator(_seat)] = "auto"
    notch_limit: Annotated[float, BeforeValidator(_notch_limit)] = 1 / 3
    tail: Tail = "plumb"
    tail_height: Overhang | None = None


class RidgeTable(_Table):
    """What the rafters' heads meet."""

    kind: Literal["board", "beam", "none"] = Field(description='kind = "board"')
    size: LumberSize | None = Field(None, description='size = "2x10"')


class HipTable(_Table):
    """Hip rafters, and how the jacks beside them are laid out."""

    size: LumberSize = Field(description='size = "2x10"')
    top: Literal["drop", "back"] = "drop"
    jacks_from: Literal["common", "corner"] = "common"
    shortest_jack: Annotated[float, length_between(0, 3_000)] | None = None


class ValleyTable(_Table):
    """Valley rafters."""

    size: LumberSize = Field(description='size = "2x10"')
    kind: Literal["framed"] = "framed"


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


def read_job(path: Path) -> Job:
    """Return the job in a file. Raises JobError with every mistake found."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise JobError([f"{path}: there is no such file"]) from None
    except UnicodeDecodeError:
        raise JobError([f"{path}: it is not a text file in UTF-8"]) from None
    except OSError as error:
        raise JobError([f"{path}: it cannot be read ({error.strerror})"]) from None
    return parse_job(text, path.name)


def parse_job(text: str, source: str) -> Job:
    """Return the job in a TOML text. Raises JobError with every mistake found.

    `source` is the name that messages begin with.
    """
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobError([f"{source}: {_toml_message(str(error), text)}"]) from None
    units = METRIC if raw.get("units") == "metric" else IMPERIAL
    saw = raw.setdefault("saw", {})
    if isinstance(saw, dict):
        raw["saw"] = {**SAW_DEFAULTS[units.name], **saw}
    try:
        job = Job.model_validate(raw, context={"units": units})
    except ValidationError as error:
        problems = [_message(details) for details in error.errors()]
        raise JobError([f"{source}: {p}" for p in problems]) from None
    if contradictions := list(_contradictions(job)):
        raise JobError([f"{source}: {key}: {reason}" for key, reason in contradictions])
    return job


def _toml_message(error: str, text: str) -> str:
    """Return a TOML fault with the line it is in and, where likely, that quotes are missing."""
    reason, _, place = error.partition(" (at line ")
    number = place.partition(",")[0]
    if not number.isdigit():
        return error
    line = text.split("\n")[int(number) - 1].strip()
    if not reason.startswith(("Invalid value", "Expected newline")):
        return f"line {number} cannot be read: {_cut(line)}\n  {reason}"
    return (
        f"line {number} cannot be read: {_cut(line)}\n"
        '  a value with letters or marks needs quotes, like span = "20ft" or size = "2x8"'
    )


_EXPECTED = {
    "string_type": "a text in quotes is expected",
    "string_too_short": "it is empty",
    "string_too_long": "it is too long",
    "bool_type": "true or false is expected",
    "int_type": "a whole number is expected",
    "int_from_float": "a whole number is expected",
    "list_type": "a list is expected, in brackets",
    "tuple_type": "a list is expected, in brackets",
}


def _message(error: ErrorDetails) -> str:
    """Return one mistake as: key, what was read, what is expected."""
    key = _key(error["loc"])
    if error["type"] == "extra_forbidden":
        return f"{key}: there is no such key{_suggestion(error['loc'])}"
    if error["type"] == "missing":
        field = _field(error["loc"])
        example = field.description if field else None
        return f"{key}: it is missing" + (f"; write for example {example}" if example else "")
    reason = error["msg"].removeprefix("Value error, ")
    if error["type"] == "literal_error":
        expected = error["ctx"]["expected"].replace("'", '"')
        guess = difflib.get_close_matches(str(error["input"]), _quoted(expected), 1)
        reason = f"expected {expected}" + (f'; did you mean "{guess[0]}"?' if guess else "")
    elif error["type"] == "model_type":
        reason = "a table is expected" + ("" if key.endswith("]") else f", like [{key}]")
    elif key == "lumber":
        reason = "write it in double brackets, [[lumber]], once for each size"
    elif key == "wing":
        reason = "write it in double brackets, [[wing]], once for each wing"
    elif error["type"] in _EXPECTED:
        reason = _EXPECTED[error["type"]]
    return f"{key}: {_shown(error['input'])}: {reason.replace('Input should be', 'it should be')}"


def _quoted(expected: str) -> list[str]:
    return expected.split('"')[1::2]


def _shown(value: object) -> str:
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return _cut(f'"{value}"' if isinstance(value, str) else text)


def _cut(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."


def _key(loc: tuple[int | str, ...]) -> str:
    """Return a key path as people write it; items of a list are counted from one."""
    parts = [f"[{p + 1}]" if isinstance(p, int) else f".{p}" for p in loc if p in _keys_of(loc)]
    return "".join(parts).removeprefix(".")


def _keys_of(loc: tuple[int | str, ...]) -> tuple[int | str, ...]:
    """Drop the tags that pydantic adds for the branches of a union."""
    return tuple(p for p in loc if isinstance(p, int) or p.replace("_", "").isalpha())


def _model_of(loc: tuple[int | str, ...]) -> type[BaseModel] | None:
    """Return the model that holds the last key of a path."""
    model: type[BaseModel] = Job
    for part in loc[:-1]:
        if isinstance(part, int):
            continue
        field = next((f for n, f in model.model_fields.items() if part in (n, f.alias)), None)
        inner = _inner_model(field.annotation) if field else None
        if inner is None:
            return None
        model = inner
    return model


def _inner_model(annotation: Any) -> type[BaseModel] | None:
    """Return the model inside an annotation such as `PostsTable | None` or `list[RackBoard]`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        if found := _inner_model(inner):
            return found
    return None


def _field(loc: tuple[int | str, ...]) -> Any:
    model = _model_of(loc)
    if model is None:
        return None
    return next((f for n, f in model.model_fields.items() if loc[-1] in (n, f.alias)), None)


def _suggestion(loc: tuple[int | str, ...]) -> str:
    """Return the nearest key of the same table, or where else the key belongs."""
    wrong, model = str(loc[-1]), _model_of(loc)
    keys = [f.alias or name for name, f in model.model_fields.items()] if model else []
    for name, field in Job.model_fields.items():
        inner = _inner_model(field.annotation)
        if inner and wrong in inner.model_fields:
            return f"; it belongs in [{name}]"
    if close := difflib.get_close_matches(wrong, keys, 1):
        return f"; did you mean {close[0]}?"
    return "; known here: " + ", ".join(keys) if keys else ""


def _contradictions(job: Job) -> Iterator[tuple[str, str]]:
    """Find keys that contradict each other, as (key, what is wrong and what to do)."""
    forms: dict[str, Callable[[Job], Iterator[tuple[str, str]]]] = {
        "gable": _gable_contradictions,
        "hip": _hip_contradictions,
        "shed": _shed_contradictions,
    }
    yield from forms[job.roof.form](job)
    roof, rafter = job.roof, job.rafter
    if rafter.tail == "plumb-level" and rafter.tail_height is None:
        yield "rafter.tail_height", 'it is missing; a plumb-level tail needs it, like "4in"'
    if rafter.tail != "plumb-level" and rafter.tail_height is not None:
        yield "rafter.tail_height", f'it is for tail = "plumb-level" only, not "{rafter.tail}"'
    if rafter.spacing < rafter.size.thickness:
        yield "rafter.spacing", "it is less than the rafters' thickness"
    if 0 < roof.rake_overhang < rafter.size.thickness:
        yield (
            "roof.rake_overhang",
            "the barge rafter would stand inside the end rafter; it must be 0, or at least the "
            "rafters' thickness",
        )
    if roof.far_plate_height is not None and roof.plate_height is None:
        yield "roof.plate_height", "it is missing; far_plate_height is measured beside it"
    if job.plate.posts and job.plate.posts.every < job.plate.posts.width:
        yield "plate.posts.every", "the posts would stand inside each other"
    yield from wing_contradictions(job)
    yield from _label_contradictions(job)
    if job.cnc is not None:
        yield from _cnc_contradictions(job, job.cnc)
    yield from _lumber_contradictions(job)


def _gable_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    yield from _ridge_contradictions(job)
    for key in ("end_pitch", "ends", "hip_start"):
        if key in job.roof.model_fields_set:
            yield f"roof.{key}", 'it is for form = "hip" only'
    if job.hip and all(wing.form != "hip" for wing in job.wing):
        yield "hip", 'it is for form = "hip" only'


def _hip_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    roof = job.roof
    yield from _ridge_contradictions(job)
    if job.hip is None:
        yield "hip", 'it is missing; write [hip] with size = "2x10"'
    if job.ends == ("gable", "gable"):
        yield "roof.ends", 'neither end is hipped; write form = "gable"'
    if ("half-hip" in job.ends) != (roof.hip_start is not None):
        yield (
            "roof.hip_start",
            "it is the height above the plate at which a half-hip starts; give it with a "
            '"half-hip" in ends, and only then',
        )
    if "hip" in job.ends and roof.far_plate_height not in (None, roof.plate_height):
        yield "roof.far_plate_height", "hips need all plates at one height; leave it out"
    if roof.rake_overhang and "gable" not in job.ends and "half-hip" not in job.ends:
        yield "roof.rake_overhang", "no end of this roof is a gable; leave it out"


def _ridge_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    if job.roof.pitch is None:
        yield "roof.pitch", 'it is missing; write for example pitch = "6/12"'
    for key in ("high_end", "high_overhang"):
        if key in job.roof.model_fields_set:
            yield f"roof.{key}", 'it is for form = "shed" only'
    if job.ledger:
        yield "ledger", 'it is for a shed with high_end = "ledger" only'
    if job.ridge is None:
        yield "ridge", 'it is missing; write [ridge] with kind = "board" and size = "2x10"'
    elif job.ridge.kind != "none" and job.ridge.size is None:
        yield "ridge.size", 'it is missing; write for example size = "2x10"'
    elif job.ridge.kind == "none" and job.ridge.size is not None:
        yield "ridge.size", 'a roof with kind = "none" has no ridge; leave the size out'


def _shed_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    roof = job.roof
    if (roof.pitch is None) == (roof.far_plate_height is None):
        yield (
            "roof.pitch",
            "give either pitch or far_plate_height (the high plate's), since one follows from the "
            "other",
        )
    for key in ("far_pitch", "end_pitch", "ends", "hip_start"):
        if key in roof.model_fields_set:
            yield f"roof.{key}", "a shed roof has one slope"
    if job.hip is not None:
        yield "hip", 'it is for form = "hip" only'
    if job.ridge is not None:
        yield "ridge", "a shed roof has no ridge; leave the table out"
    if roof.high_end == "ledger":
        if job.ledger is None:
            yield "ledger", 'it is missing; write [ledger] with size = "2x8"'
        if roof.far_plate_height is not None:
            yield "roof.far_plate_height", "a ledger is not a plate; give pitch instead"
        if roof.high_overhang:
            yield "roof.high_overhang", "rafters that butt against a ledger end there"
    elif job.ledger is not None:
        yield "ledger", 'it is for high_end = "ledger" only'


def _label_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    labels, stock = job.labels, job.labels.stock(job.units)
    if labels.on == "roll":
        for key in sorted(labels.model_fields_set - {"on", "width", "height"}):
            yield f"labels.{key}", 'it is for on = "sheet" only; a roll has width and height'
        return
    for key, fits, count, side, taken, page in (
        ("columns", stock.fits_across, stock.columns, stock.width, stock.taken_across, 0),
        ("rows", stock.fits_down, stock.rows, stock.height, stock.taken_down, 1),
    ):
        if not fits:
            size, total, room = (
                format_length(x, job.units, job.units.round_to)
                for x in (side, taken, stock.page[page])
            )
            yield (
                f"labels.{key}",
                f"{count} labels of {size} with their margin and gaps take {total}, and the sheet "
                f"has {room}",
            )
    if stock.first > stock.columns * stock.rows:
        yield "labels.first", f"a sheet has {stock.columns * stock.rows} labels"


def _cnc_contradictions(job: Job, cnc: CncTable) -> Iterator[tuple[str, str]]:
    taken: dict[str, str] = {}
    for key, name in cnc.layers:
        # CAD programs tell no large letters from small ones in names.
        other = taken.setdefault(name.upper(), key)
        if other != key:
            yield f"cnc.layers.{key}", f'"{name}" is the name of the layer for {other} already'
        if cnc.dxf == "R12" and (reason := too_new(name)):
            yield f"cnc.layers.{key}", f'"{name}": {reason}'
    if cnc.files != "board":
        return
    if job.saw.kerf == 0:
        yield "saw.kerf", 'with files = "board" in [cnc] neighbours would share a line; give a kerf'
    elif cnc.relief is not None and cnc.relief > job.saw.kerf:
        width, kerf = (
            format_length(x, job.units, job.units.grid) for x in (cnc.relief, job.saw.kerf)
        )
        yield (
            "cnc.relief",
            f"a bit of {width} does not go between parts that are nested {kerf} apart; make kerf "
            'in [saw] as wide as the bit, or choose files = "part"',
        )


def _lumber_contradictions(job: Job) -> Iterator[tuple[str, str]]:
    seen: set[tuple[float, float]] = set()
    for i, table in enumerate(job.lumber, start=1):
        key = f"lumber[{i}]"
        section = (table.size.thickness, table.size.depth)
        if section in seen:
            yield f"{key}.size", f"{table.size.name} is listed twice; put its lengths in one table"
        seen.add(section)
        if not table.lengths and not table.on_hand:
            yield key, "it lists no boards; give lengths, or boards on_hand"
        if len(set(table.lengths)) != len(table.lengths):
            yield f"{key}.lengths", "a length is listed twice"
        if table.prices is not None and len(table.prices) != len(table.lengths):
            yield (
                f"{key}.prices",
                f"there are {len(table.prices)} prices for {len(table.lengths)} lengths; give one "
                "for each, in the same order",
            )
