"""Bending with shear (H2) and with web crippling (H3), AISI S100-16.

The left sides are ratios: at or below 1 holds.
"""

from __future__ import annotations

import numpy as np

from secondroof.formula import formula
from secondroof.steel.numeric import MET, NOT_MET, UNKNOWN, Condition, Numeric

OMEGA_H3, PHI_H3 = 1.70, 0.90
_NESTED = "from memory; agrees with an own reference case"


@formula("ratio", unit="-", clause="AISI S100-16 H2", checked="from memory")
def bending_shear(M: Numeric, M_av: Numeric, V: Numeric, V_av: Numeric) -> Numeric:
    """Bending and shear together, web without stiffeners [-].

    Parameters
    ----------
    M, V : numeric
        Moment and shear at the place. [kip-in], [kip]
    M_av : numeric
        Available moment with local buckling alone, at F_n = F_y. [kip-in]
    V_av : numeric
        Available shear. [kip]
    """
    return np.sqrt((M / M_av) ** 2 + (V / V_av) ** 2)


@formula("ratio", unit="-", clause="AISI S100-16 H2, stiffened web", checked="from memory")
def bending_shear_stiffened(M: Numeric, M_av: Numeric, V: Numeric, V_av: Numeric) -> Numeric:
    """Bending and shear together, web with stiffeners [-].

    Parameters
    ----------
    M, V : numeric
        Moment and shear at the place. [kip-in], [kip]
    M_av : numeric
        Available moment with local buckling alone, at F_n = F_y. [kip-in]
    V_av : numeric
        Available shear. [kip]
    """
    return np.where(
        (abs(M) > 0.5 * M_av) & (abs(V) > 0.7 * V_av),
        np.maximum((0.6 * abs(M) / M_av + abs(V) / V_av) / 1.3, np.maximum(abs(M) / M_av, abs(V) / V_av)),
        np.maximum(abs(M) / M_av, abs(V) / V_av),
    )


@formula("left", unit="-", clause="AISI S100-16 H3, single webs", checked="from memory")
def bending_crippling_left(P: Numeric, P_n: Numeric, M: Numeric, M_n: Numeric) -> Numeric:
    """Bending and crippling together, single web: left side of the clause [-].

    Parameters
    ----------
    P : numeric
        Concentrated load or reaction. [kip]
    P_n : numeric
        Nominal crippling strength. [kip]
    M : numeric
        Moment there. [kip-in]
    M_n : numeric
        Nominal moment with local buckling alone, at F_n = F_y. [kip-in]
    """
    return 0.91 * P / P_n + M / M_n


@formula("left", unit="-", clause="AISI S100-16 H3, nested Z", checked=_NESTED)
def nested_z_left(P: Numeric, P_n: Numeric, M: Numeric, M_n: Numeric) -> Numeric:
    """Bending and crippling together, two nested Z over a support: left side of the clause [-].

    Parameters
    ----------
    P : numeric
        Reaction. [kip]
    P_n : numeric
        Sum of the nominal crippling strengths of the two. [kip]
    M : numeric
        Moment there. [kip-in]
    M_n : numeric
        Sum of the nominal moments of the two, at F_n = F_y. [kip-in]
    """
    return 0.86 * P / P_n + M / M_n


@formula("right", unit="-", clause="AISI S100-16 H3, ASD", checked=_NESTED)
def right_asd(limit: Numeric, Omega: Numeric) -> Numeric:
    """Right side of bending with crippling, allowable stress design [-].

    Parameters
    ----------
    limit : numeric
        1.33 single webs, 1.65 nested Z. [-]
    Omega : numeric
        Safety factor, 1.70. [-]
    """
    return limit / Omega


@formula("right", unit="-", clause="AISI S100-16 H3, LRFD", checked=_NESTED)
def right_lrfd(limit: Numeric, phi: Numeric) -> Numeric:
    """Right side of bending with crippling, load and resistance factor design [-].

    Parameters
    ----------
    limit : numeric
        1.33 single webs, 1.65 nested Z. [-]
    phi : numeric
        Resistance factor, 0.90. [-]
    """
    return limit * phi


def bending_crippling(
    P: Numeric, P_n: Numeric, M: Numeric, M_n: Numeric, *, nested: bool = False, method: str = "asd"
) -> Numeric:
    """Ratio of bending with crippling, left over right side of AISI S100-16 H3 [-].

    Parameters
    ----------
    P, M : numeric
        Reaction and moment, service level for ASD, factored for LRFD. [kip], [kip-in]
    P_n, M_n : numeric
        Nominal strengths; sums of both members where nested. [kip], [kip-in]
    nested : bool, optional
        Two nested Z over a support, where every condition of :func:`nested_z_conditions` is met.
    method : str, optional
        ``asd`` or ``lrfd``.
    """
    left = nested_z_left(P, P_n, M, M_n) if nested else bending_crippling_left(P, P_n, M, M_n)
    limit = 1.65 if nested else 1.33
    return left / (right_asd(limit, OMEGA_H3) if method == "asd" else right_lrfd(limit, PHI_H3))


def nested_z_conditions(
    *, h_over_t: float | None, N_over_t: float | None, Fy_ksi: float | None, R_over_t: float | None,
    web_bolts: int | None, flange_bolts: int | None, bolt_diameter_in: float | None, webs_touch: bool | None,
    thickness_ratio: float | None,
) -> tuple[Condition, ...]:  # fmt: skip
    """Conditions for the nested Z rule, each met, not met or unknown. From memory.

    Parameters
    ----------
    h_over_t, N_over_t, R_over_t : float or None
        Flat depth, bearing length and bend radius over thickness, of the worse member. [-]
    Fy_ksi : float or None
        Yield strength. [ksi]
    web_bolts : int or None
        Bolts through the webs at each end of the lap.
    flange_bolts : int or None
        Bolts through the flanges into the support.
    bolt_diameter_in : float or None
        Their diameter. [in]
    webs_touch : bool or None
        Whether the webs lie in contact.
    thickness_ratio : float or None
        Thicker over thinner. [-]
    """

    def row(key: str, text: str, value: float | bool | None, met: bool) -> Condition:
        given = "not measured" if value is None else str(value) if isinstance(value, bool) else f"{value:g}"
        state = UNKNOWN if value is None else MET if met else NOT_MET
        return Condition(key, text, state, given, "AISI S100-16 H3")

    def top(value: float | None, limit: float) -> bool:
        return value is not None and value <= limit

    def least(value: float | None, limit: float) -> bool:
        return value is not None and value >= limit

    return (
        row("h_over_t", "flat web over thickness at most 150", h_over_t, top(h_over_t, 150.0)),
        row("N_over_t", "bearing length over thickness at most 140", N_over_t, top(N_over_t, 140.0)),
        row("Fy", "yield strength at most 70 ksi", Fy_ksi, top(Fy_ksi, 70.0)),
        row("R_over_t", "bend radius over thickness at most 5.5", R_over_t, top(R_over_t, 5.5)),
        row("web_bolts", "at least two bolts through the webs at each end", web_bolts, least(web_bolts, 2)),
        row(
            "flange_bolts",
            "two bolts through the flanges into the support",
            flange_bolts,
            least(flange_bolts, 2),
        ),
        row("bolt_diameter", "bolts of 1/2 in (A307)", bolt_diameter_in, least(bolt_diameter_in, 0.5)),
        row("webs_touch", "webs in contact", webs_touch, bool(webs_touch)),
        row(
            "thickness_ratio", "thicker over thinner at most 1.3", thickness_ratio, top(thickness_ratio, 1.3)
        ),
    )
