"""The job's name and its ground rules: code editions and design data the person brings."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, model_validator

from secondroof.survey.fields import (
    WHOLE,
    DegF,
    LengthFt,
    Mph,
    PlanFt,
    Psf,
    RainInHr,
    Record,
    Text,
    quantity,
)
from secondroof.units import Kind, UnitError


class Job(Record):
    """What the job is called and where its figures come from."""

    name: Text = Field(description="what the job is called")
    place: str | None = Field(None, description="address or place")
    invented: bool = Field(False, description="true for examples that are nobody's roof")
    built: Annotated[int, Field(ge=1850, le=2100)] | None = Field(None, description="year built, e.g. 1984")
    use: str | None = Field(None, description="what is under the roof, and its hours")
    surveyed_by: str | None = Field(None, description="who read what no other name stands beside")
    surveyed_on: str | None = Field(None, description="date, in quotes: '2026-05-14'")
    photos: tuple[str, ...] = Field(
        (), description="photographs of the whole; one for each reading family goes with its group"
    )
    notes: tuple[str, ...] = Field((), description="anything with no place of its own")


Thermal = Literal["heated", "just above freezing", "cold ventilated", "unheated", "freezer"]


class OfficialAnswers(Record):
    """Answers the building official gave where the text reads two ways; left out, not asked yet."""

    asked: str | None = Field(None, description="who was asked, and when")
    coating_is_a_layer: bool | None = Field(
        None, description="a coating on the old roof counts as a covering"
    )
    framing_is_covering: bool | None = Field(
        None, description="sub-framing and insulation count as part of the second covering of 3 psf"
    )
    separate_system: bool | None = Field(
        None, description="the new roof is taken as a complete system carried straight to the structure"
    )


#: One point of a curve: effective wind area [ft2] and coefficient.
CurvePoint = tuple[Annotated[float, Field(gt=0, le=5000)], Annotated[float, Field(ge=-10, le=10)]]


class EnteredCoefficients(Record):
    """Pressure coefficients of one wind zone, read by a person from their own copy of the standard."""

    zone: Annotated[str, Field(min_length=1, max_length=12)] = Field(
        description="zone name of the figure, e.g. 2r"
    )
    uplift: tuple[CurvePoint, ...] = Field(
        (), description="area and GCp, two or three points: [[10, -2.3], [500, -1.1]]"
    )
    downward: tuple[CurvePoint, ...] = Field(
        (), description="the same for pressure toward the roof, positive"
    )
    page: Text = Field(description="figure and page read")
    by: str | None = Field(None, description="who read it")

    @model_validator(mode="after")
    def _curves(self) -> EnteredCoefficients:
        if not self.uplift and not self.downward:
            raise UnitError(
                f"zone {self.zone} has no curve.",
                "Write uplift, downward or both: [[10, -2.3], [500, -1.1]].",
            )
        for name, curve, sign in (("uplift", self.uplift, -1), ("downward", self.downward, 1)):
            _curve(f"zone {self.zone} {name}", curve, sign)
        return self


def _curve(what: str, curve: tuple[tuple[float, float], ...], sign: int) -> None:
    """Two or three points, areas rising, every coefficient of the one sign; an empty curve is not given."""
    if not curve:
        return
    if len(curve) not in (2, 3):
        raise UnitError(
            f"{what} has {len(curve)} point{'s' * (len(curve) > 1)}.",
            "Write the two ends of the curve, and its break where it has one: two or three points.",
        )
    areas = [area for area, _ in curve]
    if any(b <= a for a, b in pairwise(areas)):
        raise UnitError(
            f"{what} has areas {', '.join(f'{a:g}' for a in areas)}.", "Areas rise from point to point."
        )
    wrong = next((c for _, c in curve if c * sign <= 0), None)
    if wrong is not None:
        word, side = ("negative", "away from") if sign < 0 else ("positive", "toward")
        raise UnitError(f"{what} holds {wrong:g}.", f"Pressure {side} the roof is {word}.")


class EnteredZone(Record):
    """One wind zone as rectangles in plan, from a figure: along the ridge from frame 1, across from the first eave."""

    zone: Annotated[str, Field(min_length=1, max_length=12)] = Field(description="zone name of the figure")
    rectangles: tuple[tuple[PlanFt, PlanFt, PlanFt, PlanFt], ...] = Field(
        min_length=1, description="each [along from, across from, along to, across to] in feet"
    )
    page: Text = Field(description="figure and page read")

    @model_validator(mode="after")
    def _ordered(self) -> EnteredZone:
        for i, (x0, y0, x1, y1) in enumerate(self.rectangles):
            if x0 >= x1 or y0 >= y1:
                raise UnitError(
                    f"zone {self.zone}, rectangle {i + 1} [{x0:g}, {y0:g}, {x1:g}, {y1:g}] is not in order.",
                    "Write along from, across from, along to, across to; each from lies before its to.",
                )
        return self


class EnteredThermal(Record):
    """Snow thermal factor read by a person from their own copy of the standard."""

    now: Annotated[float, Field(ge=0.8, le=1.4)] | None = Field(None, description="C_t of the roof today")
    after: Annotated[float, Field(ge=0.8, le=1.4)] | None = Field(None, description="C_t with the recover")
    page: Text = Field(description="table and page read")

    @model_validator(mode="after")
    def _one(self) -> EnteredThermal:
        if self.now is None and self.after is None:
            raise UnitError("has neither now nor after.", "Write now, after or both, as read in the table.")
        return self


class Hill(Record):
    """A hill, ridge or escarpment the site stands on, for the topographic factor."""

    shape: Literal["ridge", "escarpment", "hill"]
    height: LengthFt = Field(description="height of the hill H")
    half_length: LengthFt = Field(description="distance upwind from the crest to half the height, L_h")
    from_crest: LengthFt = Field(description="distance of the building from the crest")
    downwind: bool = Field(description="true where the building lies downwind of the crest")
    source: Text = Field(description="map or survey it was read from")

    @model_validator(mode="after")
    def _a_hill(self) -> Hill:
        for name in ("height", "half_length"):
            if getattr(self, name) <= 0:
                raise UnitError(
                    f"has {name} 0.", f"Measure {name}, or take the hill out: K_zt is 1.0 on flat ground."
                )
        return self


class CodeThen(Record):
    """Design data of the code this building was designed by, or of one to compare with."""

    wind_edition: Literal["7-05", "7-10", "7-16", "7-22"] = Field(
        description="ASCE 7 edition to compare with"
    )
    wind_speed: Mph = Field(description="its basic wind speed: nominal in 7-05, by risk category later")
    exposure: Literal["B", "C", "D"]
    importance: Annotated[float, Field(ge=0.7, le=1.3)] | None = Field(
        None, description="importance factor, 7-05 only; left out, it is taken from today's risk category"
    )
    ground_snow: Psf | None = Field(None, description="its ground snow load")
    source: Text = Field(description="drawings, permit file or old map it comes from")

    @model_validator(mode="after")
    def _of_its_day(self) -> CodeThen:
        if self.importance not in (None, 1.0) and self.wind_edition != "7-05":
            raise UnitError(
                f"has an importance factor of {self.importance:g} with ASCE {self.wind_edition}.",
                "From 7-10 on the wind speed itself follows the risk category; leave importance out.",
            )
        return self


class GroundRules(Record):
    """Code editions in force and the site's design data. Brought by the person, never guessed."""

    source: str | None = Field(None, description="where these figures come from, and the date")
    building_code: Annotated[Literal[2012, 2015, 2018, 2021, 2024], WHOLE] | None = Field(
        None, description="IBC and IEBC edition in force"
    )
    amendments: str | None = Field(None, description="local amendments that touch the roof")
    code_method: Literal["work area", "prescriptive", "performance"] | None = Field(
        None, description="compliance method the owner chose in the IEBC"
    )
    wind_edition: Literal["7-05", "7-10", "7-16", "7-22"] | None = Field(
        None, description="ASCE 7 edition; left out, the one the building code names"
    )
    wind_speed: Mph | None = Field(None, description="basic wind speed V for the risk category")
    exposure: Literal["B", "C", "D"] | None = Field(
        None, description="exposure category, worst of the four sectors"
    )
    risk_category: Literal["I", "II", "III", "IV"] | None = Field(
        None, description="risk category of the building"
    )
    risk_note: str | None = Field(None, description="what could change the risk category")
    ground_elevation: quantity(Kind.LENGTH_FT, -500, 15_000, "a ground elevation") | None = Field(  # type: ignore[valid-type]
        None, description="above sea level, for the ground elevation factor"
    )
    use_elevation_factor: bool = Field(
        False, description="count the ground elevation factor; 1.0 is always allowed"
    )
    topographic_factor: Annotated[float, Field(ge=1.0, le=4.0)] | None = Field(
        None, description="K_zt; 1.0 on flat ground"
    )
    windborne_debris: bool | None = Field(None, description="in a windborne debris region")
    special_wind_region: bool | None = Field(None, description="in a special wind region of the map")
    coastal_certificate: bool | None = Field(
        None, description="windstorm certificate with inspection before covering"
    )
    hill: Hill | None = Field(None, description="the hill it stands on, where the factor is to be worked out")
    entered_coefficients: tuple[EnteredCoefficients, ...] = Field(
        (), description="wind coefficients from your own copy of the standard, where they are not held here"
    )
    entered_zones: tuple[EnteredZone, ...] = Field(
        (), description="wind zones from your own copy of the standard; together they cover the roof once"
    )
    code_then: CodeThen | None = Field(None, description="the code of the building's day, to compare with")
    insurer_factor: Annotated[float, Field(ge=1.0, le=4.0)] | None = Field(
        None, description="factor an insurer asks on wind"
    )
    insurer_note: str | None = Field(None, description="what else the insurer asks")
    ground_snow: Psf | None = Field(None, description="ground snow load p_g; 0 where there is none")
    roof_exposure: Literal["fully exposed", "partially exposed", "sheltered"] | None = Field(
        None, description="exposure of the roof to wind that clears snow, for the snow exposure factor"
    )
    thermal_now: Thermal | None = Field(None, description="thermal condition of the roof today, for snow")
    thermal_after: Thermal | None = Field(
        None,
        description="the same with the recover, for every recover; left out, it follows from each recover's own cavity "
        "and insulation: a vented cavity over more than R-25 makes a heated roof cold",
    )
    entered_thermal_factor: EnteredThermal | None = Field(
        None, description="thermal factor from your own copy of the standard, where it is not held here"
    )
    winter_wind: Annotated[float, Field(gt=0, le=1)] | None = Field(
        None, description="winter wind parameter W_2 of ASCE 7-22, for drifts"
    )
    snow_slides_off: bool | None = Field(
        None,
        description="true: smooth metal, nothing in the way, room below the eave: the slope may lower the snow",
    )
    snow_note: str | None = Field(
        None, description="site-specific map, exposure factor, drifts and sliding snow seen"
    )
    roof_live: Psf | None = Field(None, description="roof live load, 20 psf unless the code says otherwise")
    rain: RainInHr | None = Field(None, description="100-year hourly rain")
    salt_water: quantity(Kind.LENGTH_FT, 0, 1_000_000) | None = Field(  # type: ignore[valid-type]
        None, description="distance to open salt water; left out where none is near"
    )
    climate_zone: str | None = Field(None, description="energy code climate zone, e.g. 4A")
    winter_design: DegF | None = Field(None, description="99 % winter design temperature")
    seismic_category: Literal["A", "B", "C", "D", "E", "F"] | None = Field(
        None, description="seismic design category"
    )
    official_says: OfficialAnswers = OfficialAnswers()
    sds: Annotated[float, Field(ge=0, le=4)] | None = Field(None, description="S_DS")
