"""Clause formulas of the snow chapters, ASCE 7-05 to 7-22."""

from __future__ import annotations

from typing import Any

import numpy as np

from secondroof.formula import Limit, formula

_READ = "verified: ASCE 7-10 chapter 7"


@formula("p_f", unit="psf", clause="ASCE 7-10 and 7-16 Eq. 7.3-1", checked=_READ)
def flat_roof_snow(C_e: Any, C_t: Any, I_s: Any, p_g: Any) -> Any:
    """Flat roof snow load [psf].

    Parameters
    ----------
    C_e : numeric
        Exposure factor. [-]
    C_t : numeric
        Thermal factor. [-]
    I_s : numeric
        Importance factor. [-]
    p_g : numeric
        Ground snow load, service level. [psf]
    """
    return 0.7 * C_e * C_t * I_s * p_g


@formula("p_f", unit="psf", clause="ASCE 7-22 Eq. 7.3-1", checked="verified: two trade articles on 7-22")
def flat_roof_snow_22(C_e: Any, C_t: Any, p_g: Any) -> Any:
    """Flat roof snow load, strength level [psf].

    Parameters
    ----------
    C_e : numeric
        Exposure factor. [-]
    C_t : numeric
        Thermal factor. [-]
    p_g : numeric
        Ground snow load of the risk category, strength level. [psf]
    """
    return 0.7 * C_e * C_t * p_g


@formula(
    "C_s",
    unit="-",
    clause="ASCE 7-10 Fig. 7-2, 7-16 and 7-22 Fig. 7.4-1",
    checked="from memory: lines of the figure; slippery warm line verified by a metal building manual example",
    limits=(Limit("theta", 0.0, 90.0, "slope in degrees"),),
)
def slope_factor(theta: Any, theta_0: Any) -> Any:
    """Roof slope factor [-].

    Parameters
    ----------
    theta : numeric
        Roof slope. [deg]
    theta_0 : numeric
        Slope at which the factor starts to fall, by surface and thermal factor. [deg]
    """
    return np.minimum(np.maximum((70 - theta) / (70 - theta_0), 0), 1)


@formula("p_s", unit="psf", clause="ASCE 7-10 and later Eq. 7.4-1", checked=_READ)
def sloped_roof_snow(C_s: Any, p_f: Any) -> Any:
    """Sloped roof (balanced) snow load on the horizontal projection [psf].

    Parameters
    ----------
    C_s : numeric
        Roof slope factor. [-]
    p_f : numeric
        Flat roof snow load. [psf]
    """
    return C_s * p_f


@formula("p_m", unit="psf", clause="ASCE 7-10 and 7-16 7.3.4", checked=_READ)
def minimum_snow(I_s: Any, p_g: Any) -> Any:
    """Minimum snow load of low-slope roofs, a case of its own [psf].

    Parameters
    ----------
    I_s : numeric
        Importance factor. [-]
    p_g : numeric
        Ground snow load. [psf]
    """
    return I_s * np.minimum(p_g, 20)


@formula(
    "p_m",
    unit="psf",
    clause="ASCE 7-22 7.3.3, Table 7.3-4",
    checked="from memory: two public copies agree",
)
def minimum_snow_22(p_g: Any, p_m_max: Any) -> Any:
    """Minimum snow load of low-slope roofs, strength level, a case of its own [psf].

    Parameters
    ----------
    p_g : numeric
        Ground snow load, strength level. [psf]
    p_m_max : numeric
        Upper limit for the risk category. [psf]
    """
    return np.minimum(p_g, p_m_max)


@formula(
    "gamma",
    unit="pcf",
    clause="ASCE 7-10 Eq. 7.7-1",
    checked="verified: ASCE 7-10 7.7.1 and two worked examples",
)
def snow_density(p_g: Any) -> Any:
    """Snow density [pcf].

    Parameters
    ----------
    p_g : numeric
        Ground snow load. [psf]
    """
    return np.minimum(0.13 * p_g + 14, 30)


@formula(
    "h_d",
    unit="ft",
    clause="ASCE 7-10 Fig. 7-9",
    checked="verified: two worked examples (see docs/verification/loads.md)",
)
def drift_height(l_u: Any, p_g: Any) -> Any:
    """Drift height [ft].

    Parameters
    ----------
    l_u : numeric
        Length of roof upwind of the drift, counted as at least 20 ft. [ft]
    p_g : numeric
        Ground snow load. [psf]
    """
    return np.maximum(0.43 * np.maximum(l_u, 20) ** (1 / 3) * (p_g + 10) ** (1 / 4) - 1.5, 0)


@formula(
    "h_d",
    unit="ft",
    clause="ASCE 7-16 Fig. 7.6-1",
    checked="from memory: as 7-10 with sqrt(I_s); a public copy agrees",
)
def drift_height_16(l_u: Any, p_g: Any, I_s: Any) -> Any:
    """Drift height [ft].

    The lesser height allowed for fetches under 20 ft is not used (safe side).

    Parameters
    ----------
    l_u : numeric
        Length of roof upwind of the drift, counted as at least 20 ft. [ft]
    p_g : numeric
        Ground snow load. [psf]
    I_s : numeric
        Importance factor. [-]
    """
    return np.maximum(np.sqrt(I_s) * (0.43 * np.maximum(l_u, 20) ** (1 / 3) * (p_g + 10) ** (1 / 4) - 1.5), 0)


@formula(
    "h_d",
    unit="ft",
    clause="ASCE 7-22 Eq. 7.6-1",
    checked="from memory: two values of its commentary as quoted in a public copy agree",
)
def drift_height_22(p_g: Any, l_u: Any, W_2: Any, gamma: Any) -> Any:
    """Drift height [ft].

    Parameters
    ----------
    p_g : numeric
        Ground snow load, strength level. [psf]
    l_u : numeric
        Length of roof upwind of the drift. [ft]
    W_2 : numeric
        Winter wind parameter: share of winter hours with wind above 10 mph. [-]
    gamma : numeric
        Snow density. [pcf]
    """
    return 1.5 * np.sqrt(p_g**0.74 * l_u**0.70 * W_2**1.7 / gamma)


@formula("h_b", unit="ft", clause="ASCE 7-10 7.7.1", checked=_READ)
def balanced_depth(p_s: Any, gamma: Any) -> Any:
    """Depth of the balanced snow [ft].

    Parameters
    ----------
    p_s : numeric
        Balanced snow load. [psf]
    gamma : numeric
        Snow density. [pcf]
    """
    return p_s / gamma


@formula("h_c", unit="ft", clause="ASCE 7-10 7.7.1", checked=_READ)
def clear_height(h: Any, h_b: Any) -> Any:
    """Clear height from the balanced snow to the upper level [ft].

    Parameters
    ----------
    h : numeric
        Height of the upper level above this roof. [ft]
    h_b : numeric
        Depth of the balanced snow. [ft]
    """
    return np.maximum(h - h_b, 0)


@formula("h_d", unit="ft", clause="ASCE 7-10 7.7.1 and 7.8, windward drift", checked=_READ)
def windward_drift_height(h_d: Any) -> Any:
    """Windward drift height [ft].

    Parameters
    ----------
    h_d : numeric
        Drift height by the equation, from the length of this roof. [ft]
    """
    return 0.75 * h_d


@formula(
    "h_d",
    unit="ft",
    clause="ASCE 7-16 and 7-22 7.7.1",
    checked="from memory: a leeward drift need not be higher than 60 % of the lower roof's length",
)
def leeward_drift_limit(h_d: Any, L: Any) -> Any:
    """Leeward drift height, not above 60 % of the lower roof's length [ft].

    Parameters
    ----------
    h_d : numeric
        Drift height by the equation. [ft]
    L : numeric
        Length of the lower roof square to the step. [ft]
    """
    return np.minimum(h_d, 0.6 * L)


@formula("w", unit="ft", clause="ASCE 7-10 and 7-16 7.7.1", checked=_READ)
def drift_width(h_d: Any, h_c: Any) -> Any:
    """Width of a drift against a step [ft].

    Parameters
    ----------
    h_d : numeric
        Drift height before it is cut at the step. [ft]
    h_c : numeric
        Clear height from the balanced snow to the upper level. [ft]
    """
    return np.where(h_d <= h_c, 4 * h_d, np.minimum(4 * h_d**2 / h_c, 8 * h_c))


@formula(
    "w",
    unit="ft",
    clause="ASCE 7-22 7.7.1, windward drift",
    checked="from memory: a public copy agrees; where the step cuts the drift, own reading",
)
def windward_drift_width_22(h_d: Any, h_c: Any) -> Any:
    """Width of a windward drift [ft].

    Parameters
    ----------
    h_d : numeric
        Windward drift height, 0.75 of the equation, before it is cut at the step. [ft]
    h_c : numeric
        Clear height from the balanced snow to the upper level. [ft]
    """
    return np.where(h_d <= h_c, 8 * h_d, 8 * h_d**2 / h_c)


@formula("p_d", unit="psf", clause="ASCE 7-10 7.7.1", checked=_READ)
def drift_surcharge(h_d: Any, h_c: Any, gamma: Any) -> Any:
    """Greatest surcharge of a drift, on top of the balanced snow [psf].

    Parameters
    ----------
    h_d : numeric
        Drift height. [ft]
    h_c : numeric
        Clear height from the balanced snow to the upper level. [ft]
    gamma : numeric
        Snow density. [pcf]
    """
    return gamma * np.minimum(h_d, h_c)


@formula("h_d", unit="ft", clause="ASCE 7-10 7.7.2", checked=_READ)
def adjacent_drift_height(h_d: Any, h: Any, s: Any) -> Any:
    """Leeward drift height beside a higher building that stands apart [ft].

    Parameters
    ----------
    h_d : numeric
        Drift height from the length of the higher roof. [ft]
    h : numeric
        Height of the higher roof above this roof. [ft]
    s : numeric
        Clear distance between the buildings. [ft]
    """
    return np.maximum(np.minimum(h_d, (6 * h - s) / 6), 0)


@formula("w", unit="ft", clause="ASCE 7-10 7.7.2", checked=_READ)
def adjacent_drift_width(h_d: Any, h: Any, s: Any) -> Any:
    """Extent of the drift beside a higher building that stands apart [ft].

    Parameters
    ----------
    h_d : numeric
        Drift height from the length of the higher roof. [ft]
    h : numeric
        Height of the higher roof above this roof. [ft]
    s : numeric
        Clear distance between the buildings. [ft]
    """
    return np.maximum(np.minimum(6 * h_d, 6 * h - s), 0)


@formula("p", unit="psf", clause="ASCE 7-10 and later 7.6.1", checked=_READ)
def unbalanced_surcharge(h_d: Any, gamma: Any, S: Any) -> Any:
    """Surcharge on the leeward side beside the ridge [psf].

    Parameters
    ----------
    h_d : numeric
        Drift height with the eave-to-ridge distance as fetch. [ft]
    gamma : numeric
        Snow density. [pcf]
    S : numeric
        Run for a rise of one. [-]
    """
    return h_d * gamma / np.sqrt(S)


@formula("x", unit="ft", clause="ASCE 7-10 and later 7.6.1", checked=_READ)
def unbalanced_extent(h_d: Any, S: Any) -> Any:
    """Extent of the leeward surcharge from the ridge, on plan [ft].

    Parameters
    ----------
    h_d : numeric
        Drift height with the eave-to-ridge distance as fetch. [ft]
    S : numeric
        Run for a rise of one. [-]
    """
    return 8 * h_d * np.sqrt(S) / 3


@formula("w_sl", unit="lb/ft", clause="ASCE 7-10 and later 7.9", checked=_READ)
def sliding_snow(p_f: Any, W: Any) -> Any:
    """Sliding snow on a lower roof, per foot of eave [lb/ft].

    Parameters
    ----------
    p_f : numeric
        Flat roof snow load of the upper roof. [psf]
    W : numeric
        Distance from eave to ridge of the upper roof. [ft]
    """
    return 0.4 * p_f * W
