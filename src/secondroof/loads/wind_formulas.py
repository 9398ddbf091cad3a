"""Clause formulas of the wind chapters: exposure, elevation, topography, velocity pressure, net pressure."""

from __future__ import annotations

from typing import Any

import numpy as np

from secondroof.formula import Limit, formula

_CELLS = "verified: residential code 2018 Table R301.2(2) and county permit cells"


@formula(
    "K_z",
    unit="-",
    clause="ASCE 7-05 Table 6-3, 7-10 Table 30.3-1, 7-16 and 7-22 Table 26.10-1",
    checked="verified: height factors of BNBC 2020 Fig. 6.2.3, with the constants of 7-05 to 7-16 only",
)
def exposure_coefficient(z: Any, z_min: Any, c: Any, z_g: Any, alpha: Any) -> Any:
    """Velocity pressure exposure coefficient [-].

    Parameters
    ----------
    z : numeric
        Height above ground. [ft]
    z_min : numeric
        Height below which the coefficient stays level. [ft]
    c : numeric
        Constant of the edition, 2.01 (2.41 in 7-22). [-]
    z_g : numeric
        Nominal height of the boundary layer. [ft]
    alpha : numeric
        Power of the speed profile. [-]
    """
    return c * (np.maximum(z, z_min) / z_g) ** (2 / alpha)


@formula(
    "K_e",
    unit="-",
    clause="ASCE 7-16 and 7-22 Table 26.9-1",
    checked="from memory: two public copies agree; 1.0 is always permitted",
)
def ground_elevation_factor(z_e: Any) -> Any:
    """Ground elevation factor [-].

    Parameters
    ----------
    z_e : numeric
        Ground elevation above sea level. [ft]
    """
    return np.exp(-0.0000362 * z_e)


@formula(
    "K_1",
    unit="-",
    clause="ASCE 7 topographic figure",
    checked="verified: BNBC 2020 Fig. 6.2.4 (= 7-05 Fig. 6-4)",
)
def topographic_K_1(k: Any, H: Any, L_h: Any) -> Any:
    """Topographic multiplier for the shape of the hill [-].

    Parameters
    ----------
    k : numeric
        K_1/(H/L_h) of the figure for shape and exposure. [-]
    H : numeric
        Height of the hill. [ft]
    L_h : numeric
        Distance upwind of the crest to half the height. [ft]
    """
    return k * np.minimum(H / L_h, 0.5)


@formula(
    "K_2",
    unit="-",
    clause="ASCE 7 topographic figure",
    checked="verified: BNBC 2020 Fig. 6.2.4 (= 7-05 Fig. 6-4)",
)
def topographic_K_2(x: Any, mu: Any, L_h: Any, H: Any) -> Any:
    """Topographic multiplier for the distance from the crest [-].

    Parameters
    ----------
    x : numeric
        Distance from the crest, upwind or downwind. [ft]
    mu : numeric
        Attenuation factor of the figure. [-]
    L_h : numeric
        Distance upwind of the crest to half the height. [ft]
    H : numeric
        Height of the hill; 2H is used for L_h where H/L_h is above 0.5. [ft]
    """
    return np.maximum(1 - np.abs(x) / (mu * np.maximum(L_h, 2 * H)), 0)


@formula(
    "K_3",
    unit="-",
    clause="ASCE 7 topographic figure",
    checked="verified: BNBC 2020 Fig. 6.2.4 (= 7-05 Fig. 6-4)",
)
def topographic_K_3(gamma: Any, z: Any, L_h: Any, H: Any) -> Any:
    """Topographic multiplier for the height above ground [-].

    Parameters
    ----------
    gamma : numeric
        Height attenuation factor of the figure. [-]
    z : numeric
        Height above ground. [ft]
    L_h : numeric
        Distance upwind of the crest to half the height. [ft]
    H : numeric
        Height of the hill; 2H is used for L_h where H/L_h is above 0.5. [ft]
    """
    return np.exp(-gamma * z / np.maximum(L_h, 2 * H))


@formula(
    "K_zt", unit="-", clause="ASCE 7-10 Eq. 26.8-1 (7-05 Eq. 6-3)", checked="verified: BNBC 2020 Fig. 6.2.4"
)
def topographic_factor(K_1: Any, K_2: Any, K_3: Any) -> Any:
    """Topographic factor [-].

    Parameters
    ----------
    K_1, K_2, K_3 : numeric
        Topographic multipliers. [-]
    """
    return (1 + K_1 * K_2 * K_3) ** 2


@formula("q_h", unit="psf", clause="ASCE 7-05 Eq. 6-15", checked="verified: BNBC 2020 Fig. 6.2.3 cells")
def velocity_pressure_05(K_z: Any, K_zt: Any, K_d: Any, V: Any, I: Any) -> Any:
    """Velocity pressure at mean roof height, service level [psf].

    Parameters
    ----------
    K_z : numeric
        Velocity pressure exposure coefficient. [-]
    K_zt : numeric
        Topographic factor. [-]
    K_d : numeric
        Wind directionality factor. [-]
    V : numeric
        Nominal 3-second gust speed. [mph]
    I : numeric
        Importance factor. [-]
    """
    return 0.00256 * K_z * K_zt * K_d * V**2 * I


@formula("q_h", unit="psf", clause="ASCE 7-10 Eq. 30.3-1", checked=_CELLS)
def velocity_pressure_10(K_z: Any, K_zt: Any, K_d: Any, V: Any) -> Any:
    """Velocity pressure at mean roof height, strength level [psf].

    Parameters
    ----------
    K_z : numeric
        Velocity pressure exposure coefficient. [-]
    K_zt : numeric
        Topographic factor. [-]
    K_d : numeric
        Wind directionality factor. [-]
    V : numeric
        Basic wind speed. [mph]
    """
    return 0.00256 * K_z * K_zt * K_d * V**2


@formula(
    "q_h",
    unit="psf",
    clause="ASCE 7-16 Eq. 26.10-1",
    checked="from memory: as 7-10 (verified) with the ground elevation factor added",
)
def velocity_pressure_16(K_z: Any, K_zt: Any, K_d: Any, K_e: Any, V: Any) -> Any:
    """Velocity pressure at mean roof height, strength level [psf].

    Parameters
    ----------
    K_z : numeric
        Velocity pressure exposure coefficient. [-]
    K_zt : numeric
        Topographic factor. [-]
    K_d : numeric
        Wind directionality factor. [-]
    K_e : numeric
        Ground elevation factor. [-]
    V : numeric
        Basic wind speed. [mph]
    """
    return 0.00256 * K_z * K_zt * K_d * K_e * V**2


@formula(
    "q_h",
    unit="psf",
    clause="ASCE 7-22 Eq. 26.10-1",
    checked="from memory: the directionality factor stands in the pressure equation of this edition",
)
def velocity_pressure_22(K_z: Any, K_zt: Any, K_e: Any, V: Any) -> Any:
    """Velocity pressure at mean roof height, strength level, without directionality [psf].

    Parameters
    ----------
    K_z : numeric
        Velocity pressure exposure coefficient. [-]
    K_zt : numeric
        Topographic factor. [-]
    K_e : numeric
        Ground elevation factor. [-]
    V : numeric
        Basic wind speed. [mph]
    """
    return 0.00256 * K_z * K_zt * K_e * V**2


@formula("p", unit="psf", clause="ASCE 7-05 Eq. 6-22, 7-10 Eq. 30.4-1, 7-16 Eq. 30.3-1", checked=_CELLS)
def net_pressure(q_h: Any, GCp: Any, GCpi: Any) -> Any:
    """Net pressure on components and cladding, negative = uplift [psf].

    Parameters
    ----------
    q_h : numeric
        Velocity pressure at mean roof height. [psf]
    GCp : numeric
        External pressure coefficient. [-]
    GCpi : numeric
        Internal pressure coefficient with its sign. [-]
    """
    return q_h * (GCp - GCpi)


@formula(
    "p", unit="psf", clause="ASCE 7-22 Eq. 30.3-1", checked="from memory: K_d stands here in 7-22, not in q_h"
)
def net_pressure_22(q_h: Any, K_d: Any, GCp: Any, GCpi: Any) -> Any:
    """Net pressure on components and cladding, negative = uplift [psf].

    Parameters
    ----------
    q_h : numeric
        Velocity pressure at mean roof height, without directionality. [psf]
    K_d : numeric
        Wind directionality factor. [-]
    GCp : numeric
        External pressure coefficient. [-]
    GCpi : numeric
        Internal pressure coefficient with its sign. [-]
    """
    return q_h * K_d * (GCp - GCpi)


@formula(
    "p",
    unit="psf",
    clause="ASCE 7-10 and 7-16 30.2.2 (7-05 6.1.4.2)",
    checked="from memory: 16 psf (10 psf in 7-05)",
)
def minimum_uplift(p: Any, p_min: Any) -> Any:
    """Uplift pressure not less than the minimum net pressure [psf].

    Parameters
    ----------
    p : numeric
        Net uplift pressure, negative. [psf]
    p_min : numeric
        Minimum net pressure. [psf]
    """
    return np.minimum(p, -p_min)


@formula(
    "p",
    unit="psf",
    clause="ASCE 7-10 and 7-16 30.2.2 (7-05 6.1.4.2)",
    checked="from memory: 16 psf (10 psf in 7-05)",
)
def minimum_down(p: Any, p_min: Any) -> Any:
    """Downward pressure not less than the minimum net pressure [psf].

    Parameters
    ----------
    p : numeric
        Net downward pressure, positive. [psf]
    p_min : numeric
        Minimum net pressure. [psf]
    """
    return np.maximum(p, p_min)


@formula(
    "p_asd",
    unit="psf",
    clause="ASCE 7-10 and later 2.4.1: 0.6W (7-05: W)",
    checked="verified: ASCE 7-10 2.4.1",
)
def allowable_level(f: Any, p: Any) -> Any:
    """Wind pressure at allowable stress level [psf].

    Parameters
    ----------
    f : numeric
        Factor on W in allowable stress combinations, 0.6 (1.0 in 7-05). [-]
    p : numeric
        Wind pressure at the level of the edition. [psf]
    """
    return f * p


@formula(
    "V_asd",
    unit="mph",
    clause="IBC 2018 1609.3.1",
    checked="verified: IBC 2018 Table 1609.3.1 as reproduced by FEMA (2019)",
)
def nominal_speed(V: Any) -> Any:
    """Nominal (allowable stress) wind speed equal to a strength-level speed [mph].

    Parameters
    ----------
    V : numeric
        Basic wind speed, strength level. [mph]
    """
    return V * np.sqrt(0.6)


@formula(
    "a",
    unit="ft",
    clause="ASCE 7 (GCp) figures, notation",
    checked="verified: BNBC 2020 notation and a handbook page of ASCE 7-02",
    limits=(Limit("h", high=60.0, why="low-rise figures serve h up to 60 ft"),),
)
def edge_strip_width(h: Any, B: Any) -> Any:
    """Width of the edge strips [ft].

    Parameters
    ----------
    h : numeric
        Mean roof height (eave height allowed up to 10 degrees). [ft]
    B : numeric
        Least horizontal dimension of the building. [ft]
    """
    return np.maximum(np.minimum(0.1 * B, 0.4 * h), np.maximum(0.04 * B, 3))


@formula(
    "a",
    unit="ft",
    clause="ASCE 7 (GCp) figures, notation, exception for slopes up to 7 degrees and B above 300 ft",
    checked="from memory: not confirmed against a printed source",
    limits=(Limit("B", low=300.0, why="the exception serves buildings wider than 300 ft"),),
)
def edge_strip_width_wide(h: Any, B: Any) -> Any:
    """Width of the edge strips of a wide, low-slope building [ft].

    Parameters
    ----------
    h : numeric
        Mean roof height (eave height allowed up to 10 degrees). [ft]
    B : numeric
        Least horizontal dimension of the building. [ft]
    """
    return np.minimum(np.maximum(np.minimum(0.1 * B, 0.4 * h), np.maximum(0.04 * B, 3)), 0.8 * h)
