"""Places on the roof that loads are put at: a whole plane, a bay, the lines under a thing that stands on it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from secondroof.acting.blocks import patches_outside
from secondroof.acting.model import Along, Patch
from secondroof.formula import note_step, recording
from secondroof.survey.statistics import clean

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.formula import Step
    from secondroof.roof.model import Roof, RoofLine, RoofPlane
    from secondroof.survey.models import Survey


def whole_plane(roof: Roof, plane: RoofPlane, psf: float) -> Patch:
    """Even load over one plane, its overhang beyond the eave strut counted. [psf]"""
    way = 1.0 if plane.y_top_ft > plane.y_eave_ft else -1.0
    eave = plane.y_eave_ft - way * overhang_ft(roof, plane) * math.cos(math.radians(plane.slope_deg))
    low, high = min(eave, plane.y_top_ft), max(eave, plane.y_top_ft)
    return Patch(plane.name, 0.0, roof.length_ft, low, high, (psf,) * 4)


def overhang_ft(roof: Roof, plane: RoofPlane) -> float:
    """Roof beyond the eave strut, along the slope. [ft]"""
    return max(plane.area_ft2 / roof.length_ft - plane.slope_length_ft, 0.0)


def patch_area_ft2(roof: Roof, patch: Patch, per: str) -> float:
    """Area of a patch: on plan, or of roof surface where ``per`` is ``slope``. [ft2]"""
    area = (patch.x1_ft - patch.x0_ft) * (patch.y1_ft - patch.y0_ft)
    return area / math.cos(math.radians(plane_named(roof, patch.plane).slope_deg)) if per == "slope" else area


def total_lb(roof: Roof, patches: Iterable[Patch], along: Iterable[Along], per: str = "plan") -> float:
    """Whole weight of patches, outside of blocks, and line loads. [lb]"""
    spread = sum(patch_area_ft2(roof, p, per) * sum(p.psf) / 4 for p in patches_outside(patches, roof))
    lines = sum(a.w0 if a.is_point else (a.w0 + a.w1) / 2 * (a.x1_ft - a.x0_ft) for a in along)
    return spread + lines


def weight_step(
    roof: Roof, title: str, inputs: Mapping[str, object], patches: Iterable[Patch], along: Iterable[Along],
    per: str = "plan",
) -> tuple[Step, ...]:  # fmt: skip
    """Step of a card for weights that no formula makes: what was put in, and the whole of it on the roof. [lb]"""
    whole = total_lb(roof, patches, along, per)
    area = total_lb(roof, [whole_plane(roof, p, 1.0) for p in roof.planes], (), "slope")
    with recording() as r:
        note_step(
            title,
            symbol="W",
            unit="lb",
            clause="sum of weights",
            inputs=inputs,
            result=whole,
            method="patches by their area, line loads by their length, points as they are",
            checked="definition: equilibrium",
            self_check=f"whole weight {whole:,.0f} lb, spread over the roof {whole / area:.2f} psf",
        )
    return tuple(r.steps)


def plane_named(roof: Roof, name: str) -> RoofPlane:
    """The plane of a name; raises KeyError where there is none."""
    for plane in roof.planes:
        if plane.name == name:
            return plane
    raise KeyError(name)


def bay_ends(roof: Roof, bay: int) -> tuple[float, float]:
    """Frame lines at both ends of a bay counted from 1. [ft]"""
    return roof.frames_ft[bay - 1], roof.frames_ft[bay]


def bay_count(roof: Roof) -> int:
    """Number of bays."""
    return len(roof.frames_ft) - 1


def longest_bay(roof: Roof) -> int:
    """The longest bay counted from 1; an end bay where several are as long."""
    n = bay_count(roof)
    return max(
        range(1, n + 1), key=lambda b: (round(bay_ends(roof, b)[1] - bay_ends(roof, b)[0], 6), b in (1, n))
    )


def bay_length(roof: Roof, bay: int) -> float:
    """Length of a bay counted from 1. [ft]"""
    start, end = bay_ends(roof, bay)
    return end - start


def plan_width_ft(line: RoofLine, plane: RoofPlane) -> float:
    """Width of roof a line carries, on plan. [ft]"""
    return line.width_ft * math.cos(math.radians(plane.slope_deg))


def least_slope_in12(survey: Survey, plane: RoofPlane) -> tuple[float, bool]:
    """Least slope of a plane, sag counted, and whether it was read; the plane's own slope where nothing lower was read.

    A reading without a plane speaks for every plane. Doubtful readings count only where they lie lower. [in/ft]
    """
    values = slope_readings_in12(survey, plane)
    least = min(values, default=plane.slope_in12)
    return (least, True) if values and least < plane.slope_in12 else (plane.slope_in12, bool(values))


def slope_readings_in12(survey: Survey, plane: RoofPlane) -> tuple[float, ...]:
    """Clean readings of the slope of a plane, those without a plane counted. [in 12]"""
    groups = [g for g in survey.slope_readings if g.plane in (None, plane.name)]
    return clean([r for g in groups for r in g.readings]).values


def lines_under(plane: RoofPlane, s_ft: float) -> tuple[tuple[int, float], ...]:
    """Lines that carry a point at ``s_ft`` up the slope, with the share of each by the lever rule.

    Beyond the first or last line nothing is given: such a point hangs over and its place is to be looked at.
    """
    at = [line.s_ft for line in plane.lines]
    for low, high, line in zip(at, at[1:], plane.lines, strict=False):
        if low - 1e-9 <= s_ft <= high + 1e-9:
            up = (s_ft - low) / (high - low)
            pair = ((line.index, 1.0 - up), (line.index + 1, up))
            return tuple((i, share) for i, share in pair if share > 1e-9)
    return ()


def in_words(numbers: Sequence[int | str]) -> str:
    """``3``, ``3 and 4``, ``1 to 10``, ``1, 4 and 7``."""
    whole = [n for n in numbers if isinstance(n, int)]
    if len(whole) == len(numbers) > 2 and whole == list(range(whole[0], whole[-1] + 1)):
        return f"{whole[0]} to {whole[-1]}"
    words = [str(n) for n in numbers]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
