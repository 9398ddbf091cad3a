"""What stands beside and on the roof, measured: roofs near it, higher blocks through it, parapets.

Along an eave wall, or a high wall, places are measured from frame 1; along an end wall, from the first plane's eave.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from secondroof.survey.fields import LengthFt, PlanFt, Record, SlopeIn12, Text
from secondroof.units import UnitError

Facing = Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"]


def stretch_of_wall(first: float | None, last: float | None) -> None:
    """Both ends of a stretch of wall, or neither, the first before the last; else UnitError."""
    if (first is None) != (last is None):
        given, other = ("first", "last") if last is None else ("last", "first")
        raise UnitError(
            f"has {given} and no {other}.", f"Write {other} too, or leave both out for the whole wall."
        )
    if first is not None and last is not None and first >= last:
        raise UnitError(
            f"begins at {first:g} ft and ends at {last:g} ft.", "first lies before last; mend one of them."
        )


def more_than_nothing(**sizes: float) -> None:
    """Each size is more than 0; else UnitError with its name."""
    for name, size in sizes.items():
        if size <= 0:
            raise UnitError(f"has {name} 0.", f"Measure {name}, or take the entry out.")


class RoofNear(Record):
    """A roof that joins this one at a wall line, or stands within 20 ft of it, for drifts and sliding snow."""

    what: Text = Field(description="what it is: shed, lean-to, higher hall")
    side: Facing = Field(description="wall of this building it stands at")
    stands: Literal["higher", "lower"] = Field(description="above or below this roof's edge there")
    step: LengthFt = Field(description="height between this roof's edge and that roof's near edge")
    gap: LengthFt = Field(description="clear distance between them; 0 where they join")
    depth: LengthFt = Field(description="that roof's size square to this wall")
    first: LengthFt | None = Field(
        None, description="where it begins along the wall, from frame 1 or the first eave"
    )
    last: LengthFt | None = Field(
        None, description="where it ends along the wall; left out with first, the whole wall"
    )
    slope: SlopeIn12 | None = Field(None, description="its slope, where it falls toward this roof")
    run: LengthFt | None = Field(
        None, description="its plan distance eave to ridge, where it falls toward this roof"
    )

    @model_validator(mode="after")
    def _measured(self) -> RoofNear:
        stretch_of_wall(self.first, self.last)
        more_than_nothing(step=self.step, depth=self.depth)
        if self.slope is not None and self.run is not None:
            more_than_nothing(run=self.run)
            if self.run > self.depth:
                raise UnitError(
                    f"has a run of {self.run:g} ft and is {self.depth:g} ft deep.",
                    "The run toward this roof lies within the depth; mend one of them.",
                )
        return self


class RoofBlock(Record):
    """A higher block that stands through this roof: penthouse, mezzanine, tower."""

    what: Text = Field(description="what it is: penthouse, mezzanine, tower")
    height: LengthFt = Field(description="above this roof at its foot")
    along_from: PlanFt = Field(description="where it begins along the ridge, from frame 1")
    along_to: PlanFt = Field(description="where it ends along the ridge")
    across_from: PlanFt = Field(description="where it begins across, from the first plane's eave, in plan")
    across_to: PlanFt = Field(description="where it ends across")

    @model_validator(mode="after")
    def _measured(self) -> RoofBlock:
        more_than_nothing(height=self.height)
        for name in ("along", "across"):
            a, b = getattr(self, f"{name}_from"), getattr(self, f"{name}_to")
            if a >= b:
                raise UnitError(
                    f"has {name}_from {a:g} ft and {name}_to {b:g} ft.",
                    f"{name}_from lies before {name}_to; mend one of them.",
                )
        return self


class Parapet(Record):
    """A parapet along one wall."""

    side: Facing = Field(description="wall it stands on")
    height: LengthFt = Field(description="above the old roof at that edge")
    first: LengthFt | None = Field(
        None, description="where it begins along the wall; left out, the whole wall"
    )
    last: LengthFt | None = Field(None, description="where it ends along the wall")

    @model_validator(mode="after")
    def _measured(self) -> Parapet:
        stretch_of_wall(self.first, self.last)
        more_than_nothing(height=self.height)
        return self
