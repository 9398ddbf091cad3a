"""Parts of the old steel that have sizes of their own: the screws of the old sheet, and the eave struts."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from secondroof.survey.fields import LengthIn, Record, ScrewSize, ScrewSpacing, Text, WasherSize

TestRatio = Annotated[float, Field(gt=0, le=2)]
KipIn = Annotated[float, Field(gt=0, le=10_000)]


class OldScrews(Record):
    """Screws that hold the old sheet to the purlins: ten drawn in each plane, the worst written down."""

    diameter: ScrewSize | None = Field(
        None, description="outside of the thread; No. 12 is 0.216 in, 1/4-14 is 0.25"
    )
    washer: WasherSize | None = Field(None, description="across the washer, or the head where there is none")
    spacing: ScrewSpacing | None = Field(
        None, description="largest distance along the purlin in the field of the roof"
    )
    in_middle_of_flange: bool | None = Field(
        None, description="near the middle of the purlin flange and beside the rib, all seen"
    )
    off_flange: bool | None = Field(
        None, description="true where screws or spacers hold the sheet off the purlin flange"
    )
    note: str | None = Field(None, description="other kinds, later screws, and where")


class EaveStrut(Record):
    """Old eave struts, where they were measured; their thickness stands under thickness, member: eave strut."""

    shape: Literal["C", "sloped C"] = Field(
        description="sloped C: its top flange lies in the roof plane; C: square to the web"
    )
    depth: LengthIn = Field(description="outside depth along the web")
    top_flange: LengthIn = Field(description="width of the top flange")
    bottom_flange: LengthIn = Field(description="width of the bottom flange")
    lip: LengthIn = Field(description="length of the lip; 0 where there is none")
    note: str | None = Field(None, description="where it differs")


class BaseTests(Record):
    """Base tests (AISI S908) of the old seamed panel on its clips and purlins in uplift, from their report."""

    source: Text = Field(description="report, laboratory, date; or 'invented'")
    thin_ratios: tuple[TestRatio, ...] = Field(
        min_length=3,
        description="test moment over S_e F_y of each test on the thinnest purlin, three or more",
    )
    thin_moment: KipIn = Field(description="S_e F_y of the thinnest purlin tested, kip-in")
    thick_ratios: tuple[TestRatio, ...] = Field(min_length=3, description="the same on the thickest purlin")
    thick_moment: KipIn = Field(description="S_e F_y of the thickest purlin tested, kip-in")

    @model_validator(mode="after")
    def _rising(self) -> BaseTests:
        if self.thick_moment <= self.thin_moment:
            raise ValueError("thick_moment must be above thin_moment: the tests span a range of purlins.")
        return self
