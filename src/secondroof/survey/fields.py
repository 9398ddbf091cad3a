"""Building stones of the survey records: quantities in people's units, raw readings, places."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from secondroof.units import Kind, UnitError, parse


class Record(BaseModel):
    """Base of all survey records: frozen, no unknown fields, no NaN."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, str_strip_whitespace=True)


@dataclass(frozen=True, slots=True)
class Bounds:
    """Smallest and largest value a quantity may have before it is taken for a slip of the pen."""

    low: float
    high: float
    what: str = ""


#: What any quantity of a kind may be, where its field says nothing narrower; common practice, no source.
BOUNDS: dict[Kind, Bounds] = {
    Kind.LENGTH_FT: Bounds(0.0, 10_000.0),
    Kind.LENGTH_IN: Bounds(0.0, 3_600.0),
    Kind.THICKNESS_IN: Bounds(0.010, 0.250, "base steel of sheet or purlin"),
    Kind.PRESSURE_PSF: Bounds(0.0, 1_000.0),
    Kind.FORCE_LB: Bounds(0.0, 200_000.0),
    Kind.LINE_LOAD_LB_FT: Bounds(0.0, 5_000.0),
    Kind.STRESS_KSI: Bounds(10.0, 200.0, "strength of a metal"),
    Kind.SPEED_MPH: Bounds(60.0, 250.0, "basic wind speed"),
    Kind.AREA_FT2: Bounds(0.0, 2_000_000.0),
    Kind.RAIN_IN_HR: Bounds(0.0, 30.0),
    Kind.R_VALUE: Bounds(0.0, 100.0),
    Kind.TEMPERATURE_F: Bounds(-100.0, 250.0),
    Kind.SLOPE_IN12: Bounds(0.0, 24.0),
    Kind.SHARE: Bounds(0.0, 1.0),
}


def within(value: float, kind: Kind, bounds: Bounds) -> float:
    """``value`` where it lies within ``bounds``; else UnitError, naming the unit that may have been meant."""
    if bounds.low <= value <= bounds.high:
        return value
    unit = "" if kind.unit == "-" else f" {kind.unit}"
    what = bounds.what or kind.value.what.removeprefix("an ").removeprefix("a ")
    if value < 0 <= bounds.low:
        return _out(f"is negative; {what} is {bounds.low:g} to {bounds.high:g}{unit}.", value, kind, bounds)
    return _out(
        f"is {value:g}{unit}, outside what {what} can be: {bounds.low:g} to {bounds.high:g}{unit}.",
        value,
        kind,
        bounds,
    )


def _out(message: str, value: float, kind: Kind, bounds: Bounds) -> float:
    fits = [
        u for u in _UNITS_TO_TRY.get(kind, ()) if bounds.low <= value * kind.value.factors[u] <= bounds.high
    ]
    if fits:
        raise UnitError(
            message, f"If {_UNIT_NAMES.get(fits[0], fits[0])} were meant, write {value:g} {fits[0]}."
        )
    raise UnitError(message, f"Write {kind.value.what} such as {kind.value.example}.")


_UNITS_TO_TRY: dict[Kind, tuple[str, ...]] = {
    Kind.LENGTH_FT: ("in", "mm"),
    Kind.LENGTH_IN: ("mm",),
    Kind.THICKNESS_IN: ("mm", "mil"),
    Kind.PRESSURE_PSF: ("pa",),
    Kind.STRESS_KSI: ("mpa", "psi"),
    Kind.SPEED_MPH: ("m/s",),
    Kind.RAIN_IN_HR: ("mm/h",),
    Kind.SHARE: ("%",),
}
_UNIT_NAMES: dict[str, str] = {
    "in": "inches",
    "mm": "millimetres",
    "mil": "mils",
    "pa": "pascals",
    "mpa": "megapascals",
    "m/s": "metres a second",
    "%": "per cent",
}


def _read(value: object, kind: Kind, bounds: Bounds) -> float:
    """A written quantity within bounds; a gauge that counts the coating is no base steel."""
    if kind is Kind.THICKNESS_IN and isinstance(value, str) and re.search(r"coated|galv", value.lower()):
        raise UnitError(
            "is a thickness with its coating; the steel alone carries.",
            "Write 16 ga base, or the bare thickness in inches.",
        )
    return within(parse(value, kind), kind, bounds)


def _reader(kind: Kind, bounds: Bounds) -> Any:
    def read(value: object) -> object:
        return None if value is None else _read(value, kind, bounds)

    return read


def quantity(kind: Kind, low: float | None = None, high: float | None = None, what: str = "") -> Any:
    """Annotation of a quantity of one kind; accepts a number in its unit or text with units."""
    own = BOUNDS.get(kind, Bounds(float("-inf"), float("inf")))
    bounds = Bounds(own.low if low is None else low, own.high if high is None else high, what or own.what)
    return Annotated[
        float,
        BeforeValidator(_reader(kind, bounds)),
        WithJsonSchema(
            {
                "anyOf": [{"type": "number"}, {"type": "string", "minLength": 1}],
                "unit": kind.unit,
                "example": kind.value.example,
                "description": f"{kind.value.what} [{kind.unit} when a bare number]; e.g. {kind.value.example}",
            }
        ),
    ]


LengthFt = quantity(Kind.LENGTH_FT)
LengthIn = quantity(Kind.LENGTH_IN)
ThicknessIn = quantity(Kind.THICKNESS_IN)
Psf = quantity(Kind.PRESSURE_PSF)
Pounds = quantity(Kind.FORCE_LB)
PoundsPerFoot = quantity(Kind.LINE_LOAD_LB_FT)
Ksi = quantity(Kind.STRESS_KSI)
Mph = quantity(Kind.SPEED_MPH)
AreaFt2 = quantity(Kind.AREA_FT2)
RainInHr = quantity(Kind.RAIN_IN_HR)
RValue = quantity(Kind.R_VALUE)
DegF = quantity(Kind.TEMPERATURE_F)
SlopeIn12 = quantity(Kind.SLOPE_IN12)
Share = quantity(Kind.SHARE)
BuildingLength = quantity(Kind.LENGTH_FT, 5, 6_000, "a building's length or width")
Height = quantity(Kind.LENGTH_FT, 5, 120, "an eave or ridge height")
BayWidth = quantity(Kind.LENGTH_FT, 3, 120, "a bay width")
RunLength = quantity(Kind.LENGTH_FT, 3, 2_000, "a run")
FromEave = quantity(Kind.LENGTH_FT, 0, 2_000, "a distance from the eave")
PlanFt = quantity(Kind.LENGTH_FT, 0, 6_000, "a place on the roof")
ScrewSize = quantity(Kind.LENGTH_IN, 0.08, 0.5, "a screw's outside of thread")
WasherSize = quantity(Kind.LENGTH_IN, 0.1, 2.0, "a washer or screw head")
ScrewSpacing = quantity(Kind.LENGTH_IN, 0.5, 60.0, "a spacing of screws")
SeatLength = quantity(Kind.LENGTH_IN, 0.75, 36.0, "a seat of a purlin")
BendRadius = quantity(Kind.LENGTH_IN, 0.02, 1.0, "an inside bend radius")


def _whole(value: object) -> object:
    return int(value) if isinstance(value, str) and re.fullmatch(r"\d{1,4}", value.strip()) else value


#: Turns a whole number written as text into a number, for fields that take one of a few numbers.
WHOLE = BeforeValidator(_whole)

Text = Annotated[str, Field(min_length=1, max_length=2000)]
PlaneName = Annotated[str, Field(min_length=1, max_length=12)]


class Reading(Record):
    """One raw reading: the value as it was written, and what is doubted about it."""

    value: float
    written: str = Field("", description="as written in the field")
    doubtful: bool = Field(False, description="marked ? in the field")
    why: str | None = Field(None, description="what is doubted")
    set_aside: str | None = Field(None, description="why it is not used for the design value")
    read_again: float | None = Field(None, description="value read the second time")
    at: str | None = Field(None, description="place of this one reading")


_IN_WORDS = {
    "type": "object",
    "required": ["read"],
    "additionalProperties": False,
    "properties": {
        "read": {"type": ["number", "string"]},
        "read_again": {"type": ["number", "string"]},
        "doubtful": {"type": "boolean"},
        "why": {"type": "string"},
        "set_aside": {"type": "string"},
        "at": {"type": "string"},
    },
}


def readings_of(kind: Kind, low: float | None = None, high: float | None = None, what: str = "") -> Any:
    """Annotation of a list of raw readings of one kind.

    Each item is a number, text such as ``.31?`` (doubtful) or a mapping
    ``{read: .0625, why: primer on?, set_aside: primer not stripped}``.
    """
    own = BOUNDS[kind]
    bounds = Bounds(own.low if low is None else low, own.high if high is None else high, what or own.what)
    known = ("read", *(k for k in Reading.model_fields if k not in ("value", "written")))

    def read_one(item: object) -> object:
        if isinstance(item, Reading):
            return item
        if item is None:
            raise UnitError("is blank.", "Write the reading, or leave it out.")
        if isinstance(item, dict):
            return read_mapping({str(k): v for k, v in item.items()})
        text = str(item).strip()
        doubtful = text.endswith("?")
        number = text[:-1].strip() if doubtful else item
        return Reading(value=_read(number, kind, bounds), written=text, doubtful=doubtful)

    def read_mapping(body: dict[str, Any]) -> Reading:
        strange = next((k for k in body if k not in known), None)
        if strange is not None:
            raise UnitError(f"has an item that is not known: {strange}.", f"Known: {', '.join(known)}.")
        if body.get("read") is None:
            raise UnitError("has no value.", "Write read: and the value.")
        base = read_one(body.pop("read"))
        assert isinstance(base, Reading)
        again = body.pop("read_again", None)
        doubtful = body.pop("doubtful", None)
        if not isinstance(doubtful, bool | None):
            raise UnitError("doubtful is true or false.", "Write doubtful: true, or a ? after the value.")
        for key, words in body.items():
            if not isinstance(words, str | None):
                raise UnitError(f"{key} is not words.", f"Write {key}: and the words.")
        return Reading(
            value=base.value,
            written=base.written,
            doubtful=(base.doubtful or "why" in body) if doubtful is None else doubtful,
            read_again=None if again is None else _read(again, kind, bounds),
            **body,
        )

    def read_all(items: object) -> object:
        if not isinstance(items, (list, tuple)):
            raise UnitError("is not a list of readings.", "Write them in brackets: [.12, .14, .31?].")
        out, wrong = [], []
        for i, item in enumerate(items):
            try:
                out.append(read_one(item))
            except UnitError as error:
                wrong.append((i, error))
        if wrong:
            raise ReadingsError(wrong)
        return tuple(out)

    one = {"anyOf": [{"type": "number"}, {"type": "string"}, _IN_WORDS], "unit": kind.unit}
    return Annotated[
        tuple[Reading, ...],
        BeforeValidator(read_all),
        WithJsonSchema(
            {
                "type": "array",
                "items": one,
                "minItems": 1,
                "readings": True,
                "description": f"raw readings [{kind.unit}], each as it was written; .31? is doubtful; "
                "{read: .0625, why: primer on?, set_aside: not stripped}; {read: .31?, read_again: .13}",
            }
        ),
        Field(min_length=1),
    ]


class ReadingsError(UnitError):
    """Every reading of one list that cannot be used, each with its place in the list (from 0)."""

    def __init__(self, wrong: list[tuple[int, UnitError]]) -> None:
        first = wrong[0][1]
        super().__init__("; ".join(f"reading {i + 1} {e.message}" for i, e in wrong), first.mend)
        self.wrong = tuple(wrong)


class Place(Record):
    """Where something was read. Unstated means the place was not written down, or all places alike."""

    plane: PlaneName | None = Field(None, description="roof plane")
    lines: tuple[Annotated[int, Field(ge=0)], ...] | None = Field(
        None, description="purlin lines counted from the eave, strut = 0"
    )
    bays: tuple[Annotated[int, Field(ge=1)], ...] | None = Field(
        None, description="bays counted from frame 1"
    )
    frames: tuple[Annotated[int, Field(ge=1)], ...] | None = Field(
        None, description="frame lines, frame 1 at the first end"
    )
    station: Literal["eave", "mid", "ridge"] | None = Field(None, description="how far up the slope")
    at: str | None = Field(None, description="place in words")


class Group(Place):
    """Readings of one item in one place, never an average alone."""

    by: str | None = Field(None, description="who read it")
    on: str | None = Field(None, description="date read")
    tool: str | None = Field(None, description="tool used")
    subtracted: str | None = Field(None, description="what was subtracted, e.g. panel thickness")
    note: str | None = None
    photos: tuple[str, ...] = ()


class LengthGroup(Group):
    """Lengths in feet read in one place."""

    what: str | None = Field(
        None, description="what was measured: end wall to end wall, a diagonal, the spacing of a line"
    )
    readings: readings_of(Kind.LENGTH_FT)  # type: ignore[valid-type]


class GapGroup(Group):
    """Gaps and small dimensions in inches read in one place."""

    what: str | None = Field(
        None, description="what was measured, where the item has several: rib base, end lap"
    )
    readings: readings_of(Kind.LENGTH_IN)  # type: ignore[valid-type]


class ThicknessGroup(Group):
    """Bare-steel thickness read in one place."""

    member: Literal["purlin", "eave strut", "ridge purlin"] = "purlin"
    family: str | None = Field(None, description="gauge family, e.g. end bays")
    nominal: ThicknessIn | None = Field(  # type: ignore[valid-type]
        None, description="thickness the drawings say, for loss"
    )
    readings: readings_of(Kind.THICKNESS_IN)  # type: ignore[valid-type]


class SlopeGroup(Group):
    """Slope readings in inches per foot."""

    readings: readings_of(Kind.SLOPE_IN12, -3.0, 24.0, "a slope read on the pan")  # type: ignore[valid-type]


class StandoffGroup(GapGroup):
    """Standoff read in one place: top of purlin flange to underside of panel flat."""

    readings: readings_of(Kind.LENGTH_IN, 0.0, 12.0, "a standoff")  # type: ignore[valid-type]


class StrengthGroup(Group):
    """Strength from coupon tests of one place."""

    readings: readings_of(Kind.STRESS_KSI)  # type: ignore[valid-type]


class RustGroup(Place):
    """Rust in one place, graded by eye after brush and hammer."""

    member: Text = Field(description="eave strut, purlin, ridge purlin, screws, panel")
    grade: Annotated[int, Field(ge=0, le=4)] = Field(description="0 none, 1 surface, 2 pits, 3 loss, 4 holes")
    faces: str | None = Field(None, description="top, bottom, both")
    note: str | None = None
    photos: tuple[str, ...] = ()
