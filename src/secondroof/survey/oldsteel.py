"""Parts of the old steel that have sizes of their own: the screws of the old sheet, and the eave struts."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from secondroof.survey.fields import LengthIn, Record, ScrewSize, ScrewSpacing, WasherSize


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
