"""Shear of flat webs without holes, AISI S100-16 G2."""

from __future__ import annotations

import numpy as np

from secondroof.formula import formula
from secondroof.steel.numeric import MU, E, Numeric

OMEGA_V, PHI_V = 1.60, 0.95
K_V = 5.34  # no transverse stiffeners

_TABLE = "from memory; a paper restates the clause, and a recalled table value of 2.823 kip agrees"


@formula("V_y", unit="kip", clause="AISI S100-16 G2.1", checked=_TABLE)
def yield_shear(h: Numeric, t: Numeric, F_y: Numeric) -> Numeric:
    """Shear at yield of the flat web [kip].

    Parameters
    ----------
    h, t : numeric
        Flat depth and thickness of the web. [in]
    F_y : numeric
        Yield strength. [ksi]
    """
    return 0.6 * h * t * F_y


@formula("V_cr", unit="kip", clause="AISI S100-16 G2.3", checked=_TABLE)
def buckling_shear(h: Numeric, t: Numeric, k_v: Numeric) -> Numeric:
    """Elastic shear buckling force of the flat web [kip].

    Parameters
    ----------
    h, t : numeric
        Flat depth and thickness of the web. [in]
    k_v : numeric
        Shear buckling coefficient, 5.34 without stiffeners. [-]
    """
    return h * t * np.pi**2 * E * k_v / (12.0 * (1.0 - MU**2) * (h / t) ** 2)


@formula("V_n", unit="kip", clause="AISI S100-16 G2.1", checked=_TABLE)
def nominal_shear(V_y: Numeric, V_cr: Numeric) -> Numeric:
    """Nominal shear of a web without transverse stiffeners [kip].

    Parameters
    ----------
    V_y : numeric
        Shear at yield. [kip]
    V_cr : numeric
        Elastic shear buckling force. [kip]
    """
    return np.where(
        np.sqrt(V_y / V_cr) <= 0.815,
        V_y,
        np.where(np.sqrt(V_y / V_cr) <= 1.227, 0.815 * np.sqrt(V_cr * V_y), V_cr),
    )


@formula("V_n", unit="kip", clause="AISI S100-16 G2.2", checked="from memory")
def nominal_shear_stiffened(V_y: Numeric, V_cr: Numeric) -> Numeric:
    """Nominal shear of a web with transverse stiffeners no more than three depths apart [kip].

    Parameters
    ----------
    V_y : numeric
        Shear at yield. [kip]
    V_cr : numeric
        Elastic shear buckling force. [kip]
    """
    return np.where(
        np.sqrt(V_y / V_cr) <= 0.776, V_y, (1.0 - 0.15 * (V_cr / V_y) ** 0.4) * (V_cr / V_y) ** 0.4 * V_y
    )


@formula("V_a", unit="kip", clause="AISI S100-16 G2, ASD", checked=_TABLE)
def allowable_shear(V_n: Numeric, Omega: Numeric) -> Numeric:
    """Allowable shear [kip].

    Parameters
    ----------
    V_n : numeric
        Nominal shear. [kip]
    Omega : numeric
        Safety factor, 1.60. [-]
    """
    return V_n / Omega


@formula("phi V_n", unit="kip", clause="AISI S100-16 G2, LRFD", checked="from memory")
def design_shear(V_n: Numeric, phi: Numeric) -> Numeric:
    """Design shear [kip].

    Parameters
    ----------
    V_n : numeric
        Nominal shear. [kip]
    phi : numeric
        Resistance factor, 0.95. [-]
    """
    return phi * V_n


def web_shear(h: Numeric, t: Numeric, F_y: Numeric) -> Numeric:
    """Nominal shear of a flat web without stiffeners, AISI S100-16 G2.1 [kip].

    Parameters
    ----------
    h, t : numeric
        Flat depth and thickness of the web. [in]
    F_y : numeric
        Yield strength. [ksi]
    """
    return nominal_shear(yield_shear(h, t, F_y), buckling_shear(h, t, K_V))
