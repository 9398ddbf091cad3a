"""Snow drifts at steps, parapets and neighbours, and sliding snow; ASCE 7-05 to 7-22.

Drifts stand on top of the balanced snow. In 7-22 leeward and windward drifts are each checked on their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from secondroof.loads import snow_formulas as f
from secondroof.loads.snow import check_numbers, full_drift_height, importance_factor, level
from secondroof.loads.wind_figures import check_edition

SLIDE_WIDTH_FT = 15.0


@dataclass(frozen=True, slots=True)
class Drift:
    """A drift: a triangle of snow on top of the balanced load, highest at the obstacle.

    Attributes
    ----------
    required : bool or array
        False where the clear height is under a fifth of the balanced depth.
    kind : str or array
        ``leeward`` or ``windward``, the larger peak.
    h_b_ft, h_c_ft, h_d_ft : numeric
        Balanced depth, clear height above it, drift height before it is cut at the clear height.
    p_d_psf, width_ft : numeric
        Surcharge at the obstacle, and width to where it ends (the roof may end sooner). [psf], [ft]
    """

    edition: str
    level: str
    required: Any
    kind: Any
    h_b_ft: Any
    h_c_ft: Any
    h_d_ft: Any
    p_d_psf: Any
    width_ft: Any

    def surcharge(self, x_ft: ArrayLike) -> Any:
        """Surcharge at a distance from the obstacle. [psf]."""
        x = np.asarray(x_ft, dtype=float)
        share = 1.0 - x / np.maximum(self.width_ft, 1e-9)
        return np.where((x >= 0) & (share > 0), self.p_d_psf * share, 0.0)


def _drift(edition: str, kind: str, height: Any, h_step: Any, p_s: Any, p_g: Any, gamma: Any) -> Drift:
    h_b = f.balanced_depth(p_s, gamma)
    h_c = f.clear_height(h_step, h_b)
    required = (h_c >= 0.2 * h_b) & (p_g > 0)
    use_22 = edition == "7-22" and kind == "windward"
    width = (f.windward_drift_width_22 if use_22 else f.drift_width)(height, np.maximum(h_c, 1e-9))
    p_d = f.drift_surcharge(height, h_c, gamma)
    return Drift(
        edition,
        level(edition),
        required,
        kind,
        h_b,
        h_c,
        np.where(required, height, 0.0),
        np.where(required, p_d, 0.0),
        np.where(required, width, 0.0),
    )


def drift_at_step(
    edition: str,
    p_g_psf: ArrayLike,
    p_s_psf: ArrayLike,
    step_ft: ArrayLike,
    upper_length_ft: ArrayLike,
    lower_length_ft: ArrayLike,
    risk_category: str,
    *,
    W_2: ArrayLike | None = None,
    windward_length_ft: ArrayLike | None = None,
) -> tuple[Drift, Drift]:
    """Leeward and windward drifts on a lower roof against a step, ASCE 7-10 and later 7.7.1.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    p_g_psf, p_s_psf : numeric
        Ground snow; balanced snow on the lower roof. [psf]
    step_ft : numeric
        Height of the upper eave above the lower roof. [ft]
    upper_length_ft, lower_length_ft : numeric
        Roof lengths square to the step: upwind of the leeward drift, and of the windward drift. [ft]
    risk_category : str
        I, II, III or IV.
    W_2 : numeric, optional
        Winter wind parameter, 7-22. [-]
    windward_length_ft : numeric, optional
        Length of roof upwind of the windward drift, where it is not the lower roof's length. [ft]

    Returns
    -------
    leeward, windward : Drift
        Before 7-22 the larger is used (:func:`larger`); in 7-22 each is checked on its own.
    """
    check_edition(edition)
    check_numbers(
        p_g_psf=(p_g_psf, 0, 1000),
        p_s_psf=(p_s_psf, 0, 2000),
        step_ft=(step_ft, 0, 500),
        upper_length_ft=(upper_length_ft, 0, 5000),
        lower_length_ft=(lower_length_ft, 0, 5000),
    )
    p_g, p_s = np.asarray(p_g_psf, dtype=float), np.asarray(p_s_psf, dtype=float)
    lower, step = np.asarray(lower_length_ft, dtype=float), np.asarray(step_ft, dtype=float)
    I_s, gamma = importance_factor(risk_category), f.snow_density(p_g)
    lee = full_drift_height(edition, upper_length_ft, p_g, I_s, W_2, gamma)
    if edition in ("7-16", "7-22"):
        lee = f.leeward_drift_limit(lee, lower)
    leeward = _drift(edition, "leeward", lee, step, p_s, p_g, gamma)
    fetch = lower if windward_length_ft is None else np.asarray(windward_length_ft, dtype=float)
    full = full_drift_height(edition, fetch, p_g, I_s, W_2, gamma)
    return leeward, _drift(edition, "windward", f.windward_drift_height(full), step, p_s, p_g, gamma)


def larger(leeward: Drift, windward: Drift) -> Drift:
    """The drift with the larger height, as 7-10 and 7-16 ask."""
    pick = leeward.h_d_ft >= windward.h_d_ft
    return Drift(
        leeward.edition,
        leeward.level,
        leeward.required,
        np.where(pick, "leeward", "windward"),
        leeward.h_b_ft,
        leeward.h_c_ft,
        np.where(pick, leeward.h_d_ft, windward.h_d_ft),
        np.where(pick, leeward.p_d_psf, windward.p_d_psf),
        np.where(pick, leeward.width_ft, windward.width_ft),
    )


def drift_at_parapet(
    edition: str,
    p_g_psf: ArrayLike,
    p_s_psf: ArrayLike,
    height_ft: ArrayLike,
    upwind_length_ft: ArrayLike,
    risk_category: str,
    *,
    W_2: ArrayLike | None = None,
) -> Drift:
    """Drift against a parapet or projection: three quarters of the height, 7.8. A projection under 15 ft has none."""
    check_edition(edition)
    check_numbers(
        p_g_psf=(p_g_psf, 0, 1000),
        p_s_psf=(p_s_psf, 0, 2000),
        height_ft=(height_ft, 0, 500),
        upwind_length_ft=(upwind_length_ft, 0, 5000),
    )
    p_g, p_s = np.asarray(p_g_psf, dtype=float), np.asarray(p_s_psf, dtype=float)
    gamma = f.snow_density(p_g)
    upwind = np.asarray(upwind_length_ft, dtype=float)
    full = full_drift_height(edition, upwind, p_g, importance_factor(risk_category), W_2, gamma)
    height = f.windward_drift_height(full)
    return _drift(edition, "windward", height, np.asarray(height_ft, dtype=float), p_s, p_g, gamma)


def drift_from_neighbour(
    edition: str,
    p_g_psf: ArrayLike,
    p_s_psf: ArrayLike,
    height_ft: ArrayLike,
    gap_ft: ArrayLike,
    neighbour_length_ft: ArrayLike,
    risk_category: str,
    *,
    W_2: ArrayLike | None = None,
) -> Drift:
    """Leeward drift on this roof beside a higher building that stands apart, 7.7.2.

    None from 20 ft or six times the height difference on. In 7-22 its clause is taken as unchanged (from memory).
    """
    check_edition(edition)
    check_numbers(
        p_g_psf=(p_g_psf, 0, 1000),
        p_s_psf=(p_s_psf, 0, 2000),
        height_ft=(height_ft, 0, 500),
        gap_ft=(gap_ft, 0, 1000),
        neighbour_length_ft=(neighbour_length_ft, 0, 5000),
    )
    p_g, p_s = np.asarray(p_g_psf, dtype=float), np.asarray(p_s_psf, dtype=float)
    h, s = np.asarray(height_ft, dtype=float), np.asarray(gap_ft, dtype=float)
    gamma = f.snow_density(p_g)
    full = full_drift_height(edition, neighbour_length_ft, p_g, importance_factor(risk_category), W_2, gamma)
    h_b = f.balanced_depth(p_s, gamma)
    h_c = f.clear_height(h, h_b)
    required = (h_c >= 0.2 * h_b) & (p_g > 0) & (s < 20.0) & (s < 6.0 * h)
    height, width = f.adjacent_drift_height(full, h, s), f.adjacent_drift_width(full, h, s)
    return Drift(
        edition,
        level(edition),
        required,
        "leeward",
        h_b,
        h_c,
        np.where(required, height, 0.0),
        np.where(required, f.drift_surcharge(height, h_c, gamma), 0.0),
        np.where(required, width, 0.0),
    )


@dataclass(frozen=True, slots=True)
class SlidingSnow:
    """Snow sliding onto a lower roof, on top of its balanced snow.

    Attributes
    ----------
    applies : bool or array
        Slippery roof above 1/4 in 12, other above 2 in 12.
    total_lb_per_ft, p_psf, width_ft : numeric
        Load per foot of eave, as a pressure over the width.
    """

    edition: str
    level: str
    applies: Any
    total_lb_per_ft: Any
    p_psf: Any
    width_ft: Any


def sliding_snow(
    edition: str,
    p_f_upper_psf: ArrayLike,
    eave_to_ridge_ft: ArrayLike,
    slope_deg: ArrayLike,
    slippery: ArrayLike,
    lower_width_ft: ArrayLike,
) -> SlidingSnow:
    """Sliding snow from an upper roof onto a lower one, 7.9: spread over 15 ft, in proportion if narrower."""
    check_numbers(
        p_f_upper_psf=(p_f_upper_psf, 0, 2000),
        eave_to_ridge_ft=(eave_to_ridge_ft, 1e-6, 5000),
        slope_deg=(slope_deg, 0, 90),
        lower_width_ft=(lower_width_ft, 1e-6, 5000),
    )
    rise = 12.0 * np.tan(np.radians(np.minimum(np.asarray(slope_deg, dtype=float), 89.0)))
    applies = rise > np.where(np.asarray(slippery, dtype=bool), 0.25, 2.0)
    full = np.where(
        applies,
        f.sliding_snow(np.asarray(p_f_upper_psf, dtype=float), np.asarray(eave_to_ridge_ft, dtype=float)),
        0.0,
    )
    width = np.minimum(np.asarray(lower_width_ft, dtype=float), SLIDE_WIDTH_FT)
    return SlidingSnow(
        edition, level(edition), applies, full * width / SLIDE_WIDTH_FT, full / SLIDE_WIDTH_FT, width
    )
