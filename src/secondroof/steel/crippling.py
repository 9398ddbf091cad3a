"""Web crippling of C and Z sections with single webs, AISI S100-16 G5.

The end case holds within one and a half flat depths of the member's end. A web held by a clip that keeps the flange
off its seat carries no crippling reaction; its bolts do.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import Limit, formula
from secondroof.steel.gauge import table
from secondroof.steel.numeric import BoolArray, FloatArray, Numeric, require_positive

END_DEPTHS = (
    1.5  # end case: within this many flat depths of the end; one-flange: opposite loads farther apart
)


@formula("P_n", unit="kip", clause="AISI S100-16 G5", checked="from memory; coefficients from memory too")
def crippling(
    C: Numeric, t: Numeric, F_y: Numeric, theta: Numeric, C_R: Numeric, R: Numeric, C_N: Numeric, N: Numeric,
    C_h: Numeric, h: Numeric,
) -> Numeric:  # fmt: skip
    """Nominal web crippling strength of one web [kip].

    Parameters
    ----------
    C : numeric
        Coefficient. [-]
    t : numeric
        Thickness of the web. [in]
    F_y : numeric
        Yield strength. [ksi]
    theta : numeric
        Angle between web and seat, 90 for C and Z. [deg]
    C_R : numeric
        Bend radius coefficient. [-]
    R : numeric
        Inside bend radius. [in]
    C_N : numeric
        Bearing length coefficient. [-]
    N : numeric
        Bearing length, at least 3/4 in. [in]
    C_h : numeric
        Web slenderness coefficient. [-]
    h : numeric
        Flat depth of the web. [in]
    """
    return (
        C
        * t**2
        * F_y
        * np.sin(np.radians(theta))
        * (1.0 - C_R * np.sqrt(R / t))
        * (1.0 + C_N * np.sqrt(N / t))
        * (1.0 - C_h * np.sqrt(h / t))
    )


@formula("alpha", unit="-", clause="AISI S100-16 G5, overhang", checked="from memory",
         limits=(Limit("L_o_over_h", 0.5, 1.5, "overhang of 0.5 to 1.5 flat depths"),
                 Limit("h_over_t", None, 154.0, "web slenderness up to 154")))  # fmt: skip
def overhang_factor(L_o_over_h: Numeric, h_over_t: Numeric) -> Numeric:
    """Gain of an end support where the member runs past it [-].

    Parameters
    ----------
    L_o_over_h : numeric
        Overhang over flat depth. [-]
    h_over_t : numeric
        Flat depth over thickness. [-]
    """
    return np.maximum(1.34 * L_o_over_h**0.26 / (0.009 * h_over_t + 0.3), 1.0)


@formula("P_a", unit="kip", clause="AISI S100-16 G5, ASD", checked="from memory")
def allowable_crippling(P_n: Numeric, Omega: Numeric) -> Numeric:
    """Allowable web crippling strength [kip].

    Parameters
    ----------
    P_n : numeric
        Nominal strength. [kip]
    Omega : numeric
        Safety factor of the case. [-]
    """
    return P_n / Omega


@formula("phi P_n", unit="kip", clause="AISI S100-16 G5, LRFD", checked="from memory")
def design_crippling(P_n: Numeric, phi: Numeric) -> Numeric:
    """Design web crippling strength [kip].

    Parameters
    ----------
    P_n : numeric
        Nominal strength. [kip]
    phi : numeric
        Resistance factor of the case. [-]
    """
    return phi * P_n


@dataclass(frozen=True, slots=True, eq=False)
class Crippling:
    """Web crippling strength of one web.

    Attributes
    ----------
    P_n, P_a, phi_P_n : (...) array
        Nominal, allowable and design strength; NaN where the formula leaves nothing. [kip]
    Omega, phi : float
        Factors of the case.
    in_range : (...) bool array
        True inside every limit of the clause; outside, an engineer decides.
    broken : tuple of (str, bool array)
        Each limit in words and where it is broken.
    """

    P_n: FloatArray
    P_a: FloatArray
    phi_P_n: FloatArray
    Omega: float
    phi: float
    in_range: BoolArray
    broken: tuple[tuple[str, BoolArray], ...]


def web_crippling(
    kind: str, load: str, h: Numeric, t: Numeric, R: Numeric, F_y: Numeric, N: Numeric, *, fastened: bool,
    stiffened: bool = True, theta: Numeric = 90.0,
) -> Crippling:  # fmt: skip
    """Web crippling strength of a C or Z, AISI S100-16 G5.

    Parameters
    ----------
    kind : str
        ``C`` or ``Z``.
    load : str
        ``EOF``, ``IOF``, ``ETF`` or ``ITF``: end or interior, on one flange or two.
    h, t, R : numeric
        Flat depth and thickness of the web, inside bend radius. [in]
    F_y : numeric
        Yield strength. [ksi]
    N : numeric
        Bearing length. [in]
    fastened : bool
        Whether the flange is fastened to its seat.
    stiffened : bool, optional
        Whether the flanges have lips. Fastened rows hold for lipped flanges.
    theta : numeric, optional
        Angle between web and seat. [deg]

    Raises
    ------
    InputError
        For an unknown case, or a dimension that is not above zero.
    """
    data = table("crippling")
    if kind not in data["rows"] or load not in data["loads"]:
        raise InputError(Problem("crippling", f"{kind} {load}", "must be C or Z with EOF, IOF, ETF or ITF.",
                                 "Say where the load stands and whether it meets one flange or both."))  # fmt: skip
    require_positive("crippling", h=h, t=t, R=R, F_y=F_y, N=N)
    seat = "fastened" if fastened else "unfastened" if stiffened else "unfastened, unstiffened"
    C, C_R, C_N, C_h, Omega, phi, Rt = data["rows"][kind][seat][load]
    h, t, R, F_y, N = (np.asarray(a, dtype=float)[()] for a in (h, t, R, F_y, N))
    limits: list[tuple[str, Any]] = [
        ("h/t up to 200", h / t <= 200.0),
        ("N/t up to 210", N / t <= 210.0),
        ("N/h up to 2", N / h <= 2.0),
        (f"R/t up to {Rt:g}", R / t <= Rt),
        ("web square to its seat for C and Z", np.asarray(theta) == 90.0),
        ("bearing at least 3/4 in", N >= 0.75),
        ("fastened rows need lipped flanges", np.asarray(stiffened or not fastened)),
    ]
    P_n = crippling(C, t, F_y, theta, C_R, R, C_N, N, C_h, h)
    P_n = np.where(P_n > 0, P_n, np.nan)[()]
    ok = np.logical_and.reduce(np.broadcast_arrays(*(good for _, good in limits)))
    return Crippling(
        P_n=np.asarray(P_n), P_a=np.asarray(allowable_crippling(P_n, Omega)),
        phi_P_n=np.asarray(design_crippling(P_n, phi)), Omega=Omega, phi=phi, in_range=np.asarray(ok),
        broken=tuple((words, ~np.asarray(good)) for words, good in limits if not np.all(good)),
    )  # fmt: skip
