"""Forces along the hold-down chain: statics of one stretch of line. Uplift is written as a plain size."""

from __future__ import annotations

from typing import Any

import numpy as np

from secondroof.formula import formula

Numeric = Any

_STATICS = "definition: equilibrium"


@formula("w", unit="lb/ft", clause="equilibrium", checked=_STATICS)
def line_uplift(p: Numeric, b: Numeric) -> Numeric:
    """Uplift on one foot of line. [lb/ft]

    Parameters
    ----------
    p : numeric
        Uplift pressure at the effective area of the part. [psf]
    b : numeric
        Width of roof the line holds, along the slope. [ft]
    """
    return p * b


@formula("T", unit="lb", clause="equilibrium", checked=_STATICS)
def screw_tension(w: Numeric, s: Numeric, n: Numeric) -> Numeric:
    """Tension in one screw of a line. [lb]

    Parameters
    ----------
    w : numeric
        Uplift on one foot of line. [lb/ft]
    s : numeric
        Distance between screw groups along the line. [ft]
    n : numeric
        Screws in one group. [-]
    """
    return w * s / n


@formula("P_c", unit="lb", clause="equilibrium", checked=_STATICS)
def clip_force(p: Numeric, c: Numeric, b: Numeric) -> Numeric:
    """Pull on one clip. [lb]

    Parameters
    ----------
    p : numeric
        Uplift pressure at the area one clip holds. [psf]
    c : numeric
        Width of one panel. [ft]
    b : numeric
        Width of roof the line holds, along the slope. [ft]
    """
    return p * c * b


@formula("R", unit="lb", clause="equilibrium", checked=_STATICS)
def bracket_uplift(w: Numeric, s: Numeric) -> Numeric:
    """Pull on one base bracket. [lb]

    Parameters
    ----------
    w : numeric
        Uplift on one foot of line. [lb/ft]
    s : numeric
        Distance between brackets along the line. [ft]
    """
    return w * s


@formula("T", unit="lb", clause="equilibrium", checked=_STATICS)
def shared(R: Numeric, n: Numeric) -> Numeric:
    """Share of one screw. [lb]

    Parameters
    ----------
    R : numeric
        Force on the group. [lb]
    n : numeric
        Screws in the group. [-]
    """
    return R / n


@formula("v", unit="lb/ft", clause="equilibrium", checked=_STATICS)
def down_slope(D: Numeric, b: Numeric, theta: Numeric, q_d: Numeric) -> Numeric:
    """Shear down the slope on one foot of line: weight of the new roof, and clip drag. [lb/ft]

    Parameters
    ----------
    D : numeric
        New dead load. [psf]
    b : numeric
        Width of roof the line holds, along the slope. [ft]
    theta : numeric
        Roof slope. [deg]
    q_d : numeric
        Thermal drag of the clips. [lb/ft]
    """
    return D * b * np.sin(np.radians(theta)) + q_d


@formula("V", unit="lb", clause="equilibrium", checked=_STATICS)
def screw_shear(v: Numeric, s: Numeric, n: Numeric) -> Numeric:
    """Shear in one screw of a line. [lb]

    Parameters
    ----------
    v : numeric
        Shear down the slope on one foot of line. [lb/ft]
    s : numeric
        Distance between screw groups along the line. [ft]
    n : numeric
        Screws in one group. [-]
    """
    return v * s / n


@formula(
    "T",
    unit="lb",
    clause="equilibrium of the bracket about its base",
    checked="own derivation: half the screws act in tension",
)
def bracket_screw_tension(R: Numeric, V: Numeric, h: Numeric, a: Numeric, n: Numeric) -> Numeric:
    """Tension in one screw of a bracket base: uplift shared, and the couple of the shear at its top. [lb]

    Parameters
    ----------
    R : numeric
        Pull on the bracket. [lb]
    V : numeric
        Shear at the top of the bracket. [lb]
    h : numeric
        Height from the purlin to where the shear acts. [in]
    a : numeric
        Distance between the screw rows. [in]
    n : numeric
        Screws in the base. [-]
    """
    return R / n + V * h / (a * n / 2)


@formula("M", unit="lb-in", clause="simple span, force at the middle", checked=_STATICS)
def clip_moment(P_c: Numeric, s: Numeric) -> Numeric:
    """Bending of the line between two screw groups, clip at the middle, taken as a simple span. [lb-in]

    Parameters
    ----------
    P_c : numeric
        Pull on one clip. [lb]
    s : numeric
        Distance between screw groups along the line. [ft]
    """
    return P_c * 12 * s / 4


@formula("M", unit="kip-in", clause="simple span, even load", checked=_STATICS)
def span_moment(w: Numeric, s: Numeric) -> Numeric:
    """Bending of the line between two brackets, taken as a simple span. [kip-in]

    Parameters
    ----------
    w : numeric
        Uplift on one foot of line. [lb/ft]
    s : numeric
        Distance between brackets. [ft]
    """
    return w * s**2 / 8 * 12 / 1000


@formula(
    "M_a",
    unit="kip-in",
    clause="AISI S100-16 F2, F3, ASD",
    checked="from memory; Omega 1.67 recomputes a printed example",
)
def allowable_moment(S_e: Numeric, F_y: Numeric, Omega: Numeric) -> Numeric:
    """Allowable moment of the line from its effective section modulus. [kip-in]

    Parameters
    ----------
    S_e : numeric
        Effective section modulus. [in3]
    F_y : numeric
        Yield strength. [ksi]
    Omega : numeric
        Safety factor. [-]
    """
    return S_e * F_y / Omega


@formula("f_b", unit="ksi", clause="bending of a round bar", checked=_STATICS)
def screw_bending_stress(V: Numeric, g: Numeric, d: Numeric) -> Numeric:
    """Bending stress of a screw that crosses an open gap, from shear alone. [ksi]

    Parameters
    ----------
    V : numeric
        Shear in the screw. [lb]
    g : numeric
        Open gap the screw crosses. [in]
    d : numeric
        Diameter of the screw, outside of thread. [in]
    """
    return 32 * V * g / (np.pi * d**3) / 1000


@formula("P_a", unit="lb", clause="definition of the kip", checked="definition")
def in_pounds(P_kip: Numeric) -> Numeric:
    """Allowable strength in pounds. [lb]

    Parameters
    ----------
    P_kip : numeric
        Allowable strength. [kip]
    """
    return 1000 * P_kip


@formula("ratio", unit="-", clause="demand over capacity", checked="definition")
def demand_over_capacity(demand: Numeric, capacity: Numeric) -> Numeric:
    """Demand over capacity. [-]

    Parameters
    ----------
    demand : numeric
        What is asked. [as the check]
    capacity : numeric
        What is there. [as the check]
    """
    return demand / capacity
