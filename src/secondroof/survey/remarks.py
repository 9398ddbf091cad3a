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
    """Sag, doubtful contradictions, too few readings, and what is given in two places."""
    checks = (
        _panel_kind,
        _screws,
        _density,
        _sag,
        _strengths,
        _beside,
        _parapets,
        _hung,
        _wind,
        _snow,
        _rain,
    )
    return tuple(remark for check in checks for remark in check(survey))


def to_look_at_again(survey: Survey) -> tuple[tuple[str, str], ...]:
    """The remarks as pairs of the item in words and what about it, in the order of the form, for lists on a page."""
    order = list(type(survey).model_fields)
    seen = sorted(remarks(survey), key=lambda r: order.index(r.item.split(".")[0]))
    return tuple((r.item.replace("_", " ").replace(".", ", "), r.text) for r in seen)


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


def _screws(survey: Survey) -> Iterator[Remark]:
    old = what_is_the_old_roof(survey).kind
    if survey.old_panel.screws.off_flange is False and old in ("floats", "mixed"):
        yield Remark(
            "old_panel.screws",
            "No screw is said to hold the sheet off the flange, and yet it floats in places. Look again from below.",
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


def _beside(survey: Survey) -> Iterator[Remark]:
    b = survey.building
    measured = {near.stands for near in b.roofs_near or ()} | ({"higher"} if b.blocks else set())
    if b.roofs_beside is None and b.roofs_near:
        yield Remark(
            "building.roofs_beside",
            f"is blank, and roofs_near lists {len(b.roofs_near)}. Write "
            f"{' and '.join(sorted(measured, reverse=True))}: the code path reads it.",
        )
    if b.roofs_beside in (None, "none") or not measured:
        return
    for kind in b.roofs_beside.split(" and "):
        if kind not in measured:
            yield Remark(
                "building.roofs_near",
                f"roofs_beside says {b.roofs_beside}, and no {kind} one is measured yet.",
            )


def _parapets(survey: Survey) -> Iterator[Remark]:
    edges = survey.edges
    least = min((p.height for p in edges.parapet_walls or ()), default=None)
    if edges.parapet_all_round and least is not None and least < edges.parapet_all_round:
        yield Remark(
            "edges.parapet_all_round",
            f"says {edges.parapet_all_round:g} ft all round, and the lowest parapet listed is {least:g} ft. "
            "Relief of the wind at corners is taken from it: measure again.",
        )


def _hung(survey: Survey) -> Iterator[Remark]:
    for load in survey.hung_loads or ():
        places = len(load.along)
        if load.weight is not None and 0 < places < load.count:
            yield Remark(
                "hung_loads",
                f"{load.what}: places are given for {places} of {load.count}; where are the others?",
            )


def _wind(survey: Survey) -> Iterator[Remark]:
    rules = survey.ground_rules
    if rules.hill is not None and rules.topographic_factor is not None:
        yield Remark(
            "ground_rules.hill",
            f"A hill is described and K_zt {rules.topographic_factor:g} is given too. Leave one of them blank, so "
            "that it is plain which one counts.",
        )
    zones = {z.zone for z in rules.entered_zones}
    for entered in rules.entered_coefficients:
        for name, curve in (("uplift", entered.uplift), ("downward", entered.downward)):
            sizes = [abs(c) for _, c in curve]
            if sizes != sorted(sizes, reverse=True):
                yield Remark(
                    "ground_rules.entered_coefficients",
                    f"Zone {entered.zone}, {name}: a larger area has the larger coefficient. The figures fall with "
                    f"area: read {entered.page} again.",
                )
        if zones and entered.zone not in zones:
            yield Remark(
                "ground_rules.entered_coefficients",
                f"Zone {entered.zone} is not among the zones entered: it is not used.",
            )


def _snow(survey: Survey) -> Iterator[Remark]:
    rules = survey.ground_rules
    vented = [r.name for r in survey.recovers if r.cavity == "vented"]
    if rules.thermal_after is not None and rules.thermal_after != "cold ventilated" and vented:
        yield Remark(
            "ground_rules.thermal_after",
            f"says {rules.thermal_after} for every recover, and {', '.join(vented)} has a vented cavity. Leave it "
            "blank to let it follow from each recover.",
        )
    guards = [r.name for r in survey.recovers if r.snow_guards]
    if rules.snow_slides_off and guards:
        yield Remark(
            "ground_rules.snow_slides_off",
            f"says that snow slides off, and {', '.join(guards)} has snow guards that hold it.",
        )


def _rain(survey: Survey) -> Iterator[Remark]:
    edges = survey.edges
    if edges.drainage == "over the eaves" and (edges.static_head or edges.hydraulic_head):
        yield Remark(
            "edges.static_head",
            "A head is given, and drainage says over the eaves, where no edge holds water. Which is it?",
        )
