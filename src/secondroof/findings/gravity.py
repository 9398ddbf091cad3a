"""Gravity loads of the old roof before and after the recover, as far as the readings go. [psf]"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.errors import InputError, MissingError
from secondroof.loads import snow
from secondroof.recover.formulas import member_weight
from secondroof.rules.facts import ElementForce

if TYPE_CHECKING:
    from secondroof.findings.context import Context


@dataclass(frozen=True, slots=True)
class Gravity:
    """Loads before and after; None where a reading they need is missing.

    Attributes
    ----------
    old_dead_psf : mapping of plane to float, or None
        Old covering, coating, blanket and the purlins themselves; hung loads and collateral not counted, which makes
        the share of what is added larger.
    snow_before_psf, snow_after_psf : float or None
        Flat or sloped balanced snow with the minimum; drifts and sliding are not in it.
    how : str
        What went in.
    """

    old_dead_psf: dict[str, float] | None
    live_psf: float | None
    snow_before_psf: float | None
    snow_after_psf: float | None
    how: str


def gravity(c: Context) -> Gravity:
    """Loads before and after, from survey and ground rules."""
    rules = c.survey.ground_rules
    dead = _old_dead(c)
    before, after = _snow(c, rules.thermal_now), _snow(c, rules.thermal_after)
    parts = "old covering, coating, blanket and purlins; hung loads not counted"
    return Gravity(dead, rules.roof_live, before, after, parts)


def purlin_weight_psf(c: Context) -> float | None:
    """Weight of the old purlins spread over the roof, from their measured section; None where not measured. [psf]"""
    p = c.survey.purlins
    known = c.t_2_in[np.isfinite(c.t_2_in)]
    if p.depth is None or p.top_flange is None or p.bottom_flange is None or not known.size:
        return None
    width = p.depth + p.top_flange + p.bottom_flange + 2 * (p.lip or 0.0)
    lines = len(c.roof.lines) * c.roof.length_ft
    return float(member_weight(float(np.mean(known)), width)) * lines / c.roof.area_ft2


def _old_dead(c: Context) -> dict[str, float] | None:
    panel, blanket, purlins = c.survey.old_panel, c.survey.insulation, purlin_weight_psf(c)
    no_blanket = blanket.where == "none"
    if panel.weight is None or (blanket.weight is None and not no_blanket) or purlins is None:
        return None
    base = panel.weight + (blanket.weight or 0.0) + purlins
    coated = set(panel.coating_planes) or {p.name for p in c.roof.planes}
    return {p.name: base + (panel.coating_psf or 0.0 if p.name in coated else 0.0) for p in c.roof.planes}


def _snow(c: Context, condition: str | None) -> float | None:
    rules = c.survey.ground_rules
    if rules.ground_snow == 0:
        return 0.0
    if c.edition is None or rules.ground_snow is None or rules.exposure is None:
        return None
    if rules.roof_exposure is None or rules.risk_category is None or condition is None:
        return None
    plane = max(c.roof.planes, key=lambda p: p.run_ft)
    try:
        found = snow.balanced_snow(
            c.edition,
            rules.ground_snow,
            snow.exposure_factor(rules.exposure, rules.roof_exposure),
            snow.thermal_factor(c.edition, condition),
            rules.risk_category,
            plane.slope_deg,
            False,
            plane.run_ft,
        )
    except (MissingError, InputError):
        return None
    return float(found.p_uniform_psf)


def elements(c: Context, g: Gravity) -> tuple[ElementForce, ...]:
    """Old purlins of each plane under uniform load, before and after; empty where something is missing.

    Every purlin of a plane carries the same loads per square foot, so one ratio speaks for each of them; purlins under
    hung loads have a smaller one, since what hangs stays the same.
    """
    if g.old_dead_psf is None or g.live_psf is None or g.snow_before_psf is None or g.snow_after_psf is None:
        return ()
    if math.isnan(c.added_psf):
        return ()
    out = []
    for plane, dead in g.old_dead_psf.items():
        before = dead + max(g.live_psf, g.snow_before_psf)
        after = dead + c.added_psf + max(g.live_psf, g.snow_after_psf)
        out.append(
            ElementForce(
                f"purlins, {plane} slope",
                before,
                after,
                dead,
                dead + c.added_psf,
                g.snow_before_psf,
                g.snow_after_psf,
                "psf",
            )
        )
    return tuple(out)
