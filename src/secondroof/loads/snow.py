"""Snow on a roof: balanced, minimum, rain on snow, partial, unbalanced; ASCE 7-05 to 7-22.

Drifts and sliding snow stand in ``snow_drift``.

Numbers broadcast. Loads of 7-22 stand at strength level (its ground snow is), older ones at service level; each
result says which. Cases are kept apart, as the standard asks: minimum, unbalanced, partial and rain on snow are
never added to drifts or sliding here. The factors for text inputs are data (``tables/snow.toml``).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, MissingError, Problem
from secondroof.loads import snow_formulas as f
from secondroof.loads.wind_figures import check_edition, load_table

FloatArray = NDArray[np.float64]
LOW_UNBALANCED_DEG, HIGH_UNBALANCED_DEG = 2.38, 30.2


def level(edition: str) -> str:
    """Level at which snow loads of an edition stand: ``strength`` in 7-22, ``service`` before."""
    return "strength" if check_edition(edition) == "7-22" else "service"


def _word(table: dict[str, Any], field: str, word: str) -> Any:
    if word not in table:
        allowed = ", ".join(k for k in table if k != "checked")
        raise InputError(Problem(field, str(word), f"Must be one of {allowed}.", "Use one of these."))
    return table[word]


def importance_factor(risk_category: str) -> float:
    """Snow importance factor I_s of 7-10 and 7-16 (7-22 has none). [-]."""
    return float(_word(load_table("snow")["importance"], "risk_category", risk_category))


def exposure_factor(terrain: str, roof_exposure: str) -> float:
    """Exposure factor C_e by terrain (B, C, D, above treeline, treeless Alaska) and exposure of the roof. [-].

    `roof_exposure` is fully exposed, partially exposed or sheltered; an obstruction shelters within ten times its
    height above the roof.
    """
    row = _word(load_table("snow")["exposure"], "roof_exposure", roof_exposure)
    return float(_word(row, "terrain", terrain))


def thermal_factor(edition: str, condition: str) -> float:
    """Thermal factor C_t by thermal condition of the roof as it will be. [-].

    `condition` is heated, just above freezing, cold ventilated, unheated, freezer or greenhouse.

    Raises
    ------
    MissingError
        Heated roofs in 7-22: the factor follows roof R and ground snow, and the table is not held.
    """
    table = load_table("snow")["thermal"][check_edition(edition)]
    if edition == "7-22" and condition == "heated":
        raise MissingError(
            "ASCE 7-22 Table 7.3-3: the thermal factor of a heated, unventilated roof follows roof R and ground snow "
            "and is not held here (public copies disagree). Read it in your own copy of the standard and enter it "
            "under `ground_rules.entered_thermal_factor`; 1.2 is its upper end."
        )
    return float(_word({k: v for k, v in table.items() if k != "checked"}, "condition", condition))


def thermal_checked(edition: str) -> str:
    """How the thermal factors of an edition were confirmed."""
    return str(load_table("snow")["thermal"][check_edition(edition)]["checked"])


def thermal_condition(heated: bool, ventilated: bool, r_value: float) -> str:
    """Thermal condition of a roof from what is built: a vented cavity over more than R-25 makes a heated roof cold.

    Parameters
    ----------
    heated : bool
        The space below is heated.
    ventilated : bool
        Outside air moves freely between insulation and roof surface.
    r_value : float
        R between the heated space and the vented cavity. [h ft2 F/Btu]
    """
    if not heated:
        return "unheated"
    return "cold ventilated" if ventilated and r_value > 25 else "heated"


def slippery_allowed(
    edition: str,
    metal: ArrayLike,
    unobstructed: ArrayLike,
    C_t: ArrayLike,
    r_value: ArrayLike,
    ventilated: ArrayLike,
) -> NDArray[np.bool_]:
    """True where the slippery line of the slope factor may be used.

    Metal surface, nothing in the way and room below the eave; before 7-22 a warm roof (C_t up to 1.0) also needs R-30
    unventilated or R-20 ventilated. Snow guards, an abutting roof or gutters that hold snow take it away.
    """
    smooth = np.asarray(metal, dtype=bool) & np.asarray(unobstructed, dtype=bool)
    warm = np.asarray(C_t, dtype=float) <= 1.0
    r_enough = np.asarray(r_value, dtype=float) >= np.where(np.asarray(ventilated, dtype=bool), 20.0, 30.0)
    return np.asarray(smooth & (r_enough | ~warm | (check_edition(edition) == "7-22")))


def knee_slope(edition: str, C_t: ArrayLike, slippery: ArrayLike) -> Any:
    """Slope at which the slope factor starts to fall. [deg]."""
    knees = load_table("snow")["knee_deg"]
    warm_to = 1.1 if check_edition(edition) == "7-22" else 1.0
    factor = np.asarray(C_t, dtype=float)
    panel = np.where(factor <= warm_to, 0, np.where(factor < 1.2, 1, 2))
    lines = np.array([[knees[s][p] for p in ("warm", "middle", "cold")] for s in ("other", "slippery")])
    return lines[np.asarray(slippery, dtype=bool).astype(int), panel]


@dataclass(frozen=True, slots=True)
class BalancedSnow:
    """Balanced snow with the cases that stand beside it.

    Attributes
    ----------
    p_f_psf, C_s, p_s_psf : numeric
        Flat roof snow, slope factor, sloped roof (balanced) snow.
    p_m_psf : numeric
        Minimum load, a uniform case of its own; 0 where it does not apply (slope 15 degrees and more).
    rain_psf : numeric
        Rain-on-snow surcharge to the balanced case; 0 where it does not apply.
    p_uniform_psf : numeric
        Larger of balanced with rain-on-snow, and minimum. [psf]
    gamma_pcf : numeric
        Snow density.
    level : str
        ``service`` or ``strength``.
    """

    edition: str
    level: str
    p_f_psf: Any
    C_s: Any
    p_s_psf: Any
    p_m_psf: Any
    rain_psf: Any
    p_uniform_psf: Any
    gamma_pcf: Any


def check_numbers(**values: tuple[Any, float, float]) -> None:
    """Raise for values outside (value, low, high); names every one."""
    problems = []
    for field, (value, low, high) in values.items():
        given = np.asarray(value, dtype=float)
        if given.size and not (np.min(given) >= low and np.max(given) <= high):
            problems.append(
                Problem(
                    field, str(value)[:60], f"Allowed: {low:g} to {high:g}.", "Give a number in this range."
                )
            )
    if problems:
        raise InputError(problems)


def balanced_snow(
    edition: str,
    p_g_psf: ArrayLike,
    C_e: ArrayLike,
    C_t: ArrayLike,
    risk_category: str,
    slope_deg: ArrayLike,
    slippery: ArrayLike,
    eave_to_ridge_ft: ArrayLike,
) -> BalancedSnow:
    """Balanced snow of a roof, with minimum and rain-on-snow.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    p_g_psf : numeric
        Ground snow load of that edition (strength level, by risk category, in 7-22). [psf]
    C_e, C_t : numeric
        Exposure and thermal factors. [-]
    risk_category : str
        I, II, III or IV.
    slope_deg : numeric
        Roof slope. [deg]
    slippery : bool or array
        The slippery line may be used, see :func:`slippery_allowed`.
    eave_to_ridge_ft : numeric
        Plan distance from eave to ridge. [ft]

    Returns
    -------
    BalancedSnow
    """
    check_numbers(
        p_g_psf=(p_g_psf, 0, 1000),
        C_e=(C_e, 0.5, 1.5),
        C_t=(C_t, 0.8, 1.4),
        slope_deg=(slope_deg, 0, 90),
        eave_to_ridge_ft=(eave_to_ridge_ft, 1e-6, 5000),
    )
    p_g, theta = np.asarray(p_g_psf, dtype=float), np.asarray(slope_deg, dtype=float)
    W = np.asarray(eave_to_ridge_ft, dtype=float)
    I_s = importance_factor(risk_category)
    if edition == "7-22":
        p_m_max = float(load_table("snow")["minimum_7_22"]["p_m_max"][risk_category])
        p_f = f.flat_roof_snow_22(C_e, C_t, p_g)
        minimum, rain, rain_to = f.minimum_snow_22(p_g, p_m_max), 8.0, p_m_max
    else:
        check_edition(edition)
        p_f = f.flat_roof_snow(C_e, C_t, I_s, p_g)
        minimum, rain, rain_to = f.minimum_snow(I_s, p_g), 5.0, 20.0
    C_s = f.slope_factor(theta, knee_slope(edition, C_t, slippery))
    p_s = f.sloped_roof_snow(C_s, p_f)
    p_m = np.where(theta < 15.0, minimum, 0.0)
    p_rain = np.where((p_g > 0) & (p_g <= rain_to) & (theta < W / 50.0), rain, 0.0)
    return BalancedSnow(
        edition,
        level(edition),
        p_f,
        C_s,
        p_s,
        p_m,
        p_rain,
        np.maximum(p_s + p_rain, p_m),
        f.snow_density(p_g),
    )


def partial_loading(n_span: int) -> tuple[tuple[str, ...], FloatArray]:
    """Patterns of partial snow on a member of several spans, ASCE 7-10 and later 7.5.

    Purlins are not exempt: only members square to the ridge on slopes of 1/2 in 12 and more are.

    Parameters
    ----------
    n_span : int
        Number of spans.

    Returns
    -------
    names : tuple of str
        Pattern names, the balanced case first.
    share : ndarray, shape (n_pattern, n_span)
        Share of the balanced load on each span, 1 or 0.5.
    """
    if n_span < 1:
        raise InputError(Problem("n_span", str(n_span), "A member has one span or more.", "Count the spans."))
    rows: list[tuple[str, FloatArray]] = [("balanced on all spans", np.ones(n_span))]
    if n_span > 1:
        for name, end in (("first", 0), ("last", n_span - 1)):
            full_end = np.full(n_span, 0.5)
            full_end[end] = 1.0
            rows.append((f"case 1: full on the {name} span, half elsewhere", full_end))
            rows.append((f"case 2: half on the {name} span, full elsewhere", 1.5 - full_end))
        for i in range(n_span - 1):
            pair = np.full(n_span, 0.5)
            pair[i : i + 2] = 1.0
            rows.append((f"case 3: full on spans {i + 1} and {i + 2}, half elsewhere", pair))
    return tuple(r[0] for r in rows), np.array([r[1] for r in rows])


def full_drift_height(edition: str, l_u: Any, p_g: Any, I_s: float, W_2: Any, gamma: Any) -> Any:
    """Drift height by the equation of the edition, before any reduction. [ft]."""
    if edition == "7-22":
        if W_2 is None:
            raise MissingError(
                "W_2, the winter wind parameter, is needed for drifts in ASCE 7-22: read it from the map of the "
                "standard or its official hazard tool and enter it under `ground_rules.winter_wind`."
            )
        check_numbers(W_2=(W_2, 0.01, 1.0))
        return f.drift_height_22(p_g, np.asarray(l_u, dtype=float), W_2, gamma)
    if edition == "7-16":
        return f.drift_height_16(l_u, p_g, I_s)
    return f.drift_height(l_u, p_g)


@dataclass(frozen=True, slots=True)
class UnbalancedSnow:
    """Unbalanced snow of a gable or hip roof; wind square to the ridge.

    Attributes
    ----------
    applies : bool or array
        Slope from 2.38 to 30.2 degrees.
    p_windward_psf, p_leeward_psf : numeric
        Uniform loads of the two sides.
    p_surcharge_psf, extent_ft : numeric
        Further load on the leeward side from the ridge over this plan distance.
    """

    edition: str
    level: str
    applies: Any
    p_windward_psf: Any
    p_leeward_psf: Any
    p_surcharge_psf: Any
    extent_ft: Any
    h_d_ft: Any


def unbalanced_snow(
    edition: str,
    p_s_psf: ArrayLike,
    p_g_psf: ArrayLike,
    risk_category: str,
    slope_deg: ArrayLike,
    eave_to_ridge_ft: ArrayLike,
    *,
    simple_rafters: bool = False,
    W_2: ArrayLike | None = None,
    leeward_run_ft: ArrayLike | None = None,
) -> UnbalancedSnow:
    """Unbalanced snow of a gable or hip roof, ASCE 7-10 and later 7.6.1.

    Parameters
    ----------
    edition, risk_category, W_2
        As for the balanced snow and the drifts.
    p_s_psf, p_g_psf : numeric
        Balanced snow; ground snow. [psf]
    slope_deg : numeric
        Slope of the leeward side. [deg]
    eave_to_ridge_ft : numeric
        Eave to ridge on the windward side, where the snow comes from. [ft]
    simple_rafters : bool
        Simply supported rafters from ridge to eave; matters for eave-to-ridge distances up to 20 ft.
    leeward_run_ft : numeric, optional
        Eave to ridge on the leeward side, where the surcharge lies; left out, as the windward side. [ft]
    """
    check_numbers(
        p_s_psf=(p_s_psf, 0, 2000),
        p_g_psf=(p_g_psf, 0, 1000),
        slope_deg=(slope_deg, 0, 90),
        eave_to_ridge_ft=(eave_to_ridge_ft, 1e-6, 5000),
    )
    check_edition(edition)
    theta, W = np.asarray(slope_deg, dtype=float), np.asarray(eave_to_ridge_ft, dtype=float)
    p_s, p_g = np.asarray(p_s_psf, dtype=float), np.asarray(p_g_psf, dtype=float)
    I_s = 1.0 if edition == "7-22" else importance_factor(risk_category)
    gamma = f.snow_density(p_g)
    h_d = full_drift_height(edition, W, p_g, I_s, W_2, gamma)
    S = 1.0 / np.tan(np.radians(np.clip(theta, LOW_UNBALANCED_DEG, HIGH_UNBALANCED_DEG)))
    applies = (theta >= LOW_UNBALANCED_DEG) & (theta <= HIGH_UNBALANCED_DEG) & (p_g > 0)
    short = (W <= 20.0) & simple_rafters
    run = W if leeward_run_ft is None else np.asarray(leeward_run_ft, dtype=float)
    extent = np.minimum(f.unbalanced_extent(h_d, S), run)
    drifted = applies & ~short
    return UnbalancedSnow(
        edition,
        level(edition),
        applies,
        p_windward_psf=np.where(applies, np.where(short, 0.0, 0.3 * p_s), p_s),
        p_leeward_psf=np.where(applies & short, I_s * p_g, p_s),
        p_surcharge_psf=np.where(drifted, f.unbalanced_surcharge(h_d, gamma, S), 0.0),
        extent_ft=np.where(drifted, extent, 0.0),
        h_d_ft=h_d,
    )
