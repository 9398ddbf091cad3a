"""Recovers tried on a roof, and the test tables they stand on. Edge records, like the survey's."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from secondroof.survey.around import more_than_nothing
from secondroof.survey.fields import (
    Ksi,
    LengthFt,
    LengthIn,
    Pounds,
    PoundsPerFoot,
    Psf,
    Record,
    RValue,
    Share,
    SlopeIn12,
    Text,
    ThicknessIn,
)


class UpliftTest(Record):
    """A person's uplift test table of one panel with its clip, on a stated support."""

    name: Text
    source: Text = Field(description="report, laboratory, date; or 'invented'")
    invented: bool = False
    method: str = Field("ASTM E1592", description="test method")
    spans: tuple[LengthFt, ...] = Field(min_length=1, description="support spacings tested")
    ultimate: tuple[Psf, ...] = Field(
        min_length=1, description="failure load at each spacing, as a plain size"
    )
    tests_each: Annotated[int, Field(ge=1, le=100)] = Field(description="tests at each spacing")
    scatter: Annotated[float, Field(ge=0, le=1)] | None = Field(
        None, description="coefficient of variation of the tests"
    )
    failure: str | None = None
    panel_width: LengthIn
    panel_thickness: ThicknessIn
    seam: Text
    clip: Text
    support_thickness: ThicknessIn = Field(description="thickness of the steel the clips were screwed to")

    @model_validator(mode="after")
    def _match(self) -> UpliftTest:
        if len(self.spans) != len(self.ultimate):
            raise ValueError("spans and ultimate need one value each per tested spacing.")
        if list(self.spans) != sorted(set(self.spans)):
            raise ValueError("spans must rise, each tested spacing once.")
        return self


class NewPanel(Record):
    """The new covering."""

    kind: Literal["standing seam", "through-fastened"]
    seam: Literal[
        "trapezoidal, double fold",
        "trapezoidal, single fold",
        "vertical, double fold",
        "vertical, single fold",
        "snap seam",
        "lapped",
    ]
    material: Literal["steel", "aluminium"] = "steel"
    width: LengthIn
    thickness: ThicknessIn = Field(description="base metal")
    girth: LengthIn | None = Field(None, description="width of flat sheet one panel is formed from")
    weight: Psf | None = Field(None, description="where the maker states it; else from thickness and girth")
    rib_height: LengthIn | None = None
    least_slope: SlopeIn12 | None = Field(None, description="least slope its tester allows")
    uplift_test: str | None = Field(None, description="name of the test table used")
    fixed_at: Literal["eave", "ridge", "mid-slope"] | None = None
    finish: str | None = None


class Clip(Record):
    """Clip between new panel and new line."""

    kind: Literal["floating two-piece", "fixed", "none"] = "floating two-piece"
    height: LengthIn
    screws: Annotated[int, Field(ge=1, le=8)] = 2
    screw_diameter: LengthIn = Field(description="outside of thread, e.g. 0.25")
    base_thickness: ThicknessIn | None = Field(None, description="clip steel under the screw head")
    base_tensile: Ksi | None = None
    washer_diameter: LengthIn | None = Field(None, description="screw head or washer")
    weight: Pounds | None = Field(None, description="each, with its screws")


class ScrewStrength(Record):
    """A screw's own strength from its maker's test report."""

    tension: Pounds
    shear: Pounds
    source: Text


class ZoneCount(Record):
    """A whole number for each wind zone; ``other`` serves zones not named."""

    other: Annotated[int, Field(ge=1, le=12)] = Field(description="every zone not named")
    by_zone: dict[str, Annotated[int, Field(ge=1, le=12)]] = Field(
        default_factory=dict, description='zone names as the edition has them: {"3": 2}'
    )


class NotchedLine(Record):
    """A notched sub-purlin over each old purlin: web cut out for the ribs, foot on the flats, screwed through."""

    kind: Literal["notched sub-purlin"]
    height: LengthIn
    thickness: ThicknessIn
    developed_width: LengthIn = Field(description="flat width it is formed from, for weight")
    yield_strength: Ksi
    tensile_strength: Ksi
    screw_diameter: LengthIn
    washer_diameter: LengthIn = Field(description="screw head or washer on the foot")
    screws_per_flat: ZoneCount
    screw: ScrewStrength | None = None
    rib_module: LengthIn | None = Field(
        None, description="module the notches are ordered to; left out, the nominal one"
    )
    piece_length: LengthFt | None = None


class BracketLine(Record):
    """A sub-purlin line on base brackets set on the old purlins through the floating panel."""

    kind: Literal["line on base brackets"]
    height: LengthIn = Field(description="of the line above the brackets")
    thickness: ThicknessIn
    developed_width: LengthIn
    yield_strength: Ksi
    tensile_strength: Ksi
    section_modulus: Annotated[float, Field(gt=0)] | None = Field(
        None, description="effective, in3, from its own section table"
    )
    bracket_spacing: LengthFt
    bracket_height: LengthIn
    bracket_base: LengthIn = Field(description="distance between its screw rows, along the slope")
    bracket_thickness: ThicknessIn
    bracket_tensile: Ksi
    bracket_weight: Pounds
    bracket_uplift: Pounds | None = Field(
        None, description="allowable from its test; left out where none is known"
    )
    screws_per_bracket: ZoneCount
    screw_diameter: LengthIn
    washer_diameter: LengthIn
    screws_line_to_bracket: Annotated[int, Field(ge=1, le=8)] = 2
    screw: ScrewStrength | None = None


class NewInsulation(Record):
    """Insulation added between old and new roof."""

    kind: Text
    thickness: LengthIn
    r_value: RValue | None = None
    weight: Psf
    combustible: bool | None = Field(None, description="foam or other board that burns")
    fire_tested: bool | None = Field(None, description="a fire test covers this assembly with it")


class Bundle(Record):
    """Bundles of new panels set down on the roof."""

    weight: Pounds = Field(description="weight of one, with its dunnage")
    up_slope: LengthFt = Field(description="how far it bears up the slope")
    along: LengthFt = Field(description="how far it bears along the purlins")
    middle_up_slope: LengthFt | None = Field(
        None, description="its middle from the eave; left out, mid-slope"
    )
    middle_along: LengthFt | None = Field(
        None, description="its middle from frame 1; left out, the middle of the longest bay"
    )

    @model_validator(mode="after")
    def _measured(self) -> Bundle:
        more_than_nothing(weight=self.weight, up_slope=self.up_slope, along=self.along)
        return self


class Recover(Record):
    """One complete proposal."""

    name: Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9-]{0,15}$")]
    title: Text
    panel: NewPanel
    clip: Clip
    framing: Annotated[NotchedLine | BracketLine, Field(discriminator="kind")]
    insulation: NewInsulation | None = None
    other_weight: Psf | None = Field(None, description="screws, closures, sealant, trim spread over the roof")
    clip_drag: PoundsPerFoot | None = Field(
        None, description="thermal drag of the clips along the slope, per foot of line"
    )
    removed_share: Share = Field(0.0, description="share of the old covering taken off")
    cavity: Literal["sealed", "vented"] | None = Field(None, description="space between the two roofs")
    removes_wet: bool | None = Field(
        None, description="wet insulation is taken out or dried before the cover closes over it"
    )
    opens_insulation: bool | None = Field(
        None, description="the work opens the old insulation from above anywhere"
    )
    bundle: Bundle | None = Field(None, description="how panels are set down on the roof while building")
    snow_guards: bool = Field(False, description="snow guards on the new roof hold the snow")
    storm_doors: tuple[Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"], ...] = Field(
        (), description="walls whose open openings get doors rated for storms as part of this recover"
    )
    note: str | None = None
