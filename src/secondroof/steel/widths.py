"""Clause formulas of the effective width method, AISI S100-16 Appendix 1."""

from __future__ import annotations

import numpy as np

from secondroof.formula import Limit, formula
from secondroof.steel.numeric import MU, E, Numeric

_CHAIN = "verified: as a chain, Se of a published example 1.4987 against 1.50 printed"


@formula("F_crl", unit="ksi", clause="AISI S100-16 App. 1, 1.1", checked=_CHAIN)
def plate_buckling(k: Numeric, t: Numeric, w: Numeric) -> Numeric:
    """Elastic buckling stress of a flat element [ksi].

    Parameters
    ----------
    k : numeric
        Plate buckling coefficient. [-]
    t : numeric
        Thickness. [in]
    w : numeric
        Flat width. [in]
    """
    return k * np.pi**2 * E / (12.0 * (1.0 - MU**2)) * (t / w) ** 2


@formula("lambda", unit="-", clause="AISI S100-16 App. 1, 1.1", checked=_CHAIN)
def slenderness(f: Numeric, F_crl: Numeric) -> Numeric:
    """Slenderness of a flat element at a stress [-].

    Parameters
    ----------
    f : numeric
        Compressive stress in the element. [ksi]
    F_crl : numeric
        Its elastic buckling stress. [ksi]
    """
    return np.sqrt(f / F_crl)


@formula("rho", unit="-", clause="AISI S100-16 App. 1, 1.1", checked=_CHAIN)
def local_reduction(lambda_: Numeric) -> Numeric:
    """Part of a flat element that is effective [-].

    Parameters
    ----------
    lambda_ : numeric
        Slenderness. [-]
    """
    return np.where(lambda_ <= 0.673, 1.0, (1.0 - 0.22 / lambda_) / lambda_)


@formula("k", unit="-", clause="AISI S100-16 App. 1, 1.1.2", checked=_CHAIN)
def web_coefficient(psi: Numeric) -> Numeric:
    """Plate buckling coefficient of a web in bending, one edge in tension [-].

    Parameters
    ----------
    psi : numeric
        Tension over compression stress at the edges of the flat web, as a positive number. [-]
    """
    return 4.0 + 2.0 * (1.0 + psi) ** 3 + 2.0 * (1.0 + psi)


@formula("b_1", unit="in", clause="AISI S100-16 App. 1, 1.1.2", checked=_CHAIN)
def web_part_1(b_e: Numeric, psi: Numeric) -> Numeric:
    """Effective part of a web beside the compression flange [in].

    Parameters
    ----------
    b_e : numeric
        Effective width of the web. [in]
    psi : numeric
        Stress ratio of the web. [-]
    """
    return b_e / (3.0 + psi)


@formula("b_2", unit="in", clause="AISI S100-16 App. 1, 1.1.2",
         checked="from memory for h_o/b_o above 4; up to 4 a published example agrees as a chain")  # fmt: skip
def web_part_2(b_e: Numeric, psi: Numeric, h_o: Numeric, b_o: Numeric) -> Numeric:
    """Effective part of a web beside the neutral axis [in].

    Parameters
    ----------
    b_e : numeric
        Effective width of the web. [in]
    psi : numeric
        Stress ratio of the web. [-]
    h_o, b_o : numeric
        Out-to-out depth of the section and width of the compression flange. [in]
    """
    return np.where(
        h_o > 4.0 * b_o,
        b_e / (1.0 + psi) - b_e / (3.0 + psi),
        np.where(psi > 0.236, b_e / 2.0, b_e - b_e / (3.0 + psi)),
    )


@formula("S", unit="-", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN)
def flange_limit(f: Numeric) -> Numeric:
    """Width to thickness scale for an edge-stiffened flange [-].

    Parameters
    ----------
    f : numeric
        Stress in the flange. [ksi]
    """
    return 1.28 * np.sqrt(E / f)


@formula("I_a", unit="in4", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN)
def adequate_lip_inertia(t: Numeric, w: Numeric, S: Numeric) -> Numeric:
    """Second moment a lip needs to hold its flange fully [in4].

    Parameters
    ----------
    t : numeric
        Thickness. [in]
    w : numeric
        Flat width of the flange. [in]
    S : numeric
        Width to thickness scale. [-]
    """
    return np.where(
        w / t <= 0.328 * S,
        0.0,
        t**4 * np.minimum(399.0 * (w / t / S - 0.328) ** 3, 115.0 * w / t / S + 5.0),
    )


@formula("I_s", unit="in4", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN,
         limits=(Limit("theta", 40.0, 140.0, "lip angle of 40 to 140 degrees"),))  # fmt: skip
def lip_inertia(d: Numeric, t: Numeric, theta: Numeric) -> Numeric:
    """Second moment of a full lip about its own centre, along the flange [in4].

    The range of the lip angle is 40 to 140 degrees.

    Parameters
    ----------
    d : numeric
        Flat width of the lip. [in]
    t : numeric
        Thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return d**3 * t * np.sin(np.radians(theta)) ** 2 / 12.0


@formula("R_I", unit="-", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN)
def lip_ratio(I_s: Numeric, I_a: Numeric) -> Numeric:
    """Second moment of the lip over what it needs, at most 1 [-].

    Parameters
    ----------
    I_s, I_a : numeric
        Of the lip as it is, and as needed. [in4]
    """
    return np.where(I_s < I_a, I_s / np.maximum(I_a, 1e-12), 1.0)


@formula("n", unit="-", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN)
def lip_exponent(w: Numeric, t: Numeric, S: Numeric) -> Numeric:
    """Exponent of the lip ratio [-].

    Parameters
    ----------
    w, t : numeric
        Flat width and thickness of the flange. [in]
    S : numeric
        Width to thickness scale. [-]
    """
    return np.maximum(0.582 - w / t / (4.0 * S), 1.0 / 3.0)


@formula("k", unit="-", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN)
def edge_stiffened_coefficient(D: Numeric, w: Numeric, R_I: Numeric, n: Numeric) -> Numeric:
    """Plate buckling coefficient of a flange with a simple lip [-].

    Parameters
    ----------
    D : numeric
        Lip out to out. [in]
    w : numeric
        Flat width of the flange. [in]
    R_I : numeric
        Lip ratio. [-]
    n : numeric
        Exponent. [-]
    """
    return np.minimum(
        np.where(D / w <= 0.25, 3.57 * R_I**n + 0.43, (4.82 - 5.0 * D / w) * R_I**n + 0.43), 4.0
    )


@formula("b", unit="in", clause="AISI S100-16 App. 1, 1.1", checked=_CHAIN)
def effective_width(rho: Numeric, w: Numeric) -> Numeric:
    """Effective width of a flat element [in].

    Parameters
    ----------
    rho : numeric
        Part that is effective. [-]
    w : numeric
        Flat width. [in]
    """
    return rho * w


@formula("d_s", unit="in", clause="AISI S100-16 App. 1, 1.3", checked=_CHAIN)
def reduced_lip(d_s_prime: Numeric, R_I: Numeric) -> Numeric:
    """Effective lip that counts in the section [in].

    Parameters
    ----------
    d_s_prime : numeric
        Effective width of the lip by itself. [in]
    R_I : numeric
        Lip ratio. [-]
    """
    return d_s_prime * R_I


@formula("S_e", unit="in3", clause="AISI S100-16 F3.1", checked=_CHAIN)
def effective_modulus(I_e: Numeric, y_c: Numeric, D: Numeric) -> Numeric:
    """Effective section modulus to the fibre that reaches the stress first [in3].

    Parameters
    ----------
    I_e : numeric
        Second moment of the effective section. [in4]
    y_c : numeric
        Neutral axis from the compression fibre. [in]
    D : numeric
        Depth out to out. [in]
    """
    return I_e / np.maximum(y_c, D - y_c)
