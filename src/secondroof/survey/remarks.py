"""Remarks on a survey: true as far as is known, and worth a second look. None of them stops the reading."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.survey.contradictions import READINGS_PLAY, slope_readings
from secondroof.survey.oldroof import what_is_the_old_roof

if TYPE_CHECKING:
    from secondroof.survey.models import Survey

#: Survey density of standoff: so many a slope, and one more for each so many square feet; common practice, no source.
STANDOFF_A_SLOPE, STANDOFF_EACH_FT2 = 6, 5_000.0


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to look at again: which item, and what about it."""

    item: str
    text: str


def remarks(survey: Survey) -> tuple[Remark, ...]:
    """Sag, doubtful contradictions, and too few readings."""
    return (*_panel_kind(survey), *_density(survey), *_sag(survey), *_strengths(survey))


def _panel_kind(survey: Survey) -> Iterator[Remark]:
    kind = survey.old_panel.kind
    old = what_is_the_old_roof(survey).kind
    if kind is None:
        return
    seam = "seam" in kind
    if seam and old in ("sits", "low"):
        yield Remark(
            "standoff",
            f"The old panel is a {kind} and yet it {'sits' if old == 'sits' else 'lies low'}. "
            "Was the gauge in insulation, or is it pinned down?",
        )
    if not seam and old in ("floats", "mixed"):
        yield Remark(
            "standoff",
            f"The old panel is {kind} and yet it floats in places. Are there blocks, or a second roof below?",
        )


def standoff_wanted(survey: Survey) -> int:
    """Standoff readings short of the survey density; 0 where there are enough."""
    b = survey.building
    area = sum(b.length * p.run * math.hypot(1.0, p.slope / 12) for p in b.planes)
    wanted = STANDOFF_A_SLOPE * len(b.planes) + int(area // STANDOFF_EACH_FT2)
    return max(wanted - sum(len(g.readings) for g in survey.standoff), 0)


def _density(survey: Survey) -> Iterator[Remark]:
    short = standoff_wanted(survey)
    read = sum(len(g.readings) for g in survey.standoff)
    if short and read:
        yield Remark(
            "standoff",
            f"{read} standoff readings; {read + short} are usual on this roof: 6 a slope and 1 more each 5,000 ft2.",
        )


def _sag(survey: Survey) -> Iterator[Remark]:
    for plane in survey.building.planes:
        values = slope_readings(survey, plane.name)
        if not values:
            continue
        mean = sum(values) / len(values)
        if plane.slope - mean > READINGS_PLAY or min(values) < 0.75 * plane.slope:
            yield Remark(
                "slope_readings",
                f"Slope {plane.name} reads {min(values):g} to {max(values):g} in/ft, mean {mean:.2f}, against "
                f"{plane.slope:g} stated: sag. Water may stand; the "
                f"new panel's least slope is asked of {min(values):g}.",
            )


def _strengths(survey: Survey) -> Iterator[Remark]:
    p = survey.purlins
    if p.yield_strength is not None and p.yield_basis is None:
        yield Remark(
            "purlins.yield_basis",
            f"F_y {p.yield_strength:g} ksi has no basis. Say where "
            "it comes from: coupon, mill mark, drawings, assumed.",
        )
    if p.tensile_strength is not None and p.tensile_basis is None:
        yield Remark(
            "purlins.tensile_basis", f"F_u {p.tensile_strength:g} ksi has no basis. Say where it comes from."
        )
