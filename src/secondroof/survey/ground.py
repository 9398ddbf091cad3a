"""The job's name and its ground rules: code editions and design data the person brings."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from secondroof.survey.fields import WHOLE, DegF, Mph, Psf, RainInHr, Record, Text, quantity
from secondroof.units import Kind


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
        None, description="the same with the recover: added insulation or a vented cavity makes a roof colder"
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
