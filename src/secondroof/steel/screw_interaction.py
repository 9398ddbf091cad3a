"""Shear and tension together in one screw, AISI S100-16 J4.5.

The clauses hold only in the ranges in which they were tested. Outside them the straight-line sum of the
available strengths stands in: its ratio is always the higher one, and the caller is told.
"""

from __future__ import annotations

import numpy as np

from secondroof.formula import Limit, formula
from secondroof.steel.numeric import Numeric

OMEGA_PULLOVER, PHI_PULLOVER = 2.35, 0.65  # J4.5.1
OMEGA_PULLOUT, PHI_PULLOUT = 2.55, 0.60  # J4.5.2

_J451 = (
    Limit("t_1", 0.0285, 0.0445, "J4.5.1 was tested on sheets of 0.0285 to 0.0445 in."),
    Limit("d", 0.216, 0.25, "J4.5.1 was tested with No. 12 and No. 14 screws"),
    Limit("d_w", None, 0.75, "J4.5.1: washer no more than 3/4 in."),
    Limit("F_u1", None, 70.0, "J4.5.1: tensile strength no more than 70 ksi"),
)
_J452 = (
    Limit("t_2", 0.0297, 0.0724, "J4.5.2 was tested in steel of 0.0297 to 0.0724 in."),
    Limit("d", 0.164, 0.25, "J4.5.2 was tested with No. 8 to No. 14 screws"),
    Limit("F_u2", None, 121.0, "J4.5.2: tensile strength no more than 121 ksi"),
)


@formula("t_2/t_1", unit="-", clause="AISI S100-16 J4.5.1", checked="from memory; a textbook agrees",
         limits=(Limit("result", 2.5, None, "J4.5.1 needs the other sheet 2.5 times as thick"),))  # fmt: skip
def pullover_thickness_ratio(t_1: Numeric, t_2: Numeric) -> Numeric:
    """Thickness ratio for combined shear and pull-over [-].

    Parameters
    ----------
    t_1, t_2 : numeric
        Base thickness under the head, and of the other sheet. [in]
    """
    return t_2 / t_1


@formula("F_u/F_y", unit="-", clause="AISI S100-16 J4.5.2", checked="from memory",
         limits=(Limit("result", 1.0, 1.62, "J4.5.2 was tested with F_u/F_y of 1.0 to 1.62"),))  # fmt: skip
def tensile_to_yield(F_u2: Numeric, F_y2: Numeric) -> Numeric:
    """Tensile over yield strength of the sheet that holds the thread [-].

    Parameters
    ----------
    F_u2, F_y2 : numeric
        Tensile and yield strength of that sheet. [ksi]
    """
    return F_u2 / F_y2


@formula("ratio", unit="-", clause="AISI S100-16 J4.5.1, ASD", checked="from memory", limits=_J451)
def shear_pull_over_asd(
    V: Numeric,
    T: Numeric,
    t_1: Numeric,
    d: Numeric,
    F_u1: Numeric,
    d_w: Numeric,
    k_e: Numeric,
    Omega: Numeric,
) -> Numeric:
    """Combined shear and pull-over of one screw, allowable stress design [-].

    Parameters
    ----------
    V, T : numeric
        Shear and tension in the screw at service level. [kip]
    t_1 : numeric
        Base thickness under the head. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u1 : numeric
        Tensile strength under the head. [ksi]
    d_w : numeric
        Effective pull-over diameter. [in]
    k_e : numeric
        1, or 0.5 where the pull is on one side only. [-]
    Omega : numeric
        Safety factor, 2.35. [-]
    """
    return (V / (2.7 * t_1 * d * F_u1) + 0.71 * T / (k_e * 1.5 * t_1 * d_w * F_u1)) * Omega / 1.10


@formula("ratio", unit="-", clause="AISI S100-16 J4.5.1, LRFD", checked="from memory", limits=_J451)
def shear_pull_over_lrfd(
    V: Numeric, T: Numeric, t_1: Numeric, d: Numeric, F_u1: Numeric, d_w: Numeric, k_e: Numeric, phi: Numeric
) -> Numeric:
    """Combined shear and pull-over of one screw, load and resistance factor design [-].

    Parameters
    ----------
    V, T : numeric
        Factored shear and tension in the screw. [kip]
    t_1 : numeric
        Base thickness under the head. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u1 : numeric
        Tensile strength under the head. [ksi]
    d_w : numeric
        Effective pull-over diameter. [in]
    k_e : numeric
        1, or 0.5 where the pull is on one side only. [-]
    phi : numeric
        Resistance factor, 0.65. [-]
    """
    return (V / (2.7 * t_1 * d * F_u1) + 0.71 * T / (k_e * 1.5 * t_1 * d_w * F_u1)) / (1.10 * phi)


@formula("ratio", unit="-", clause="AISI S100-16 J4.5.2, ASD", checked="from memory", limits=_J452)
def shear_pull_out_asd(
    V: Numeric, T: Numeric, t_2: Numeric, t_c: Numeric, d: Numeric, F_u2: Numeric, Omega: Numeric
) -> Numeric:
    """Combined shear and pull-out of one screw, allowable stress design [-].

    Parameters
    ----------
    V, T : numeric
        Shear and tension in the screw at service level. [kip]
    t_2 : numeric
        Base thickness of the sheet that holds the thread. [in]
    t_c : numeric
        Lesser of the penetration and that thickness. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u2 : numeric
        Tensile strength of that sheet. [ksi]
    Omega : numeric
        Safety factor, 2.55. [-]
    """
    return (V / (4.2 * np.sqrt(t_2**3 * d) * F_u2) + T / (0.85 * t_c * d * F_u2)) * Omega / 1.15


@formula("ratio", unit="-", clause="AISI S100-16 J4.5.2, LRFD", checked="from memory", limits=_J452)
def shear_pull_out_lrfd(
    V: Numeric, T: Numeric, t_2: Numeric, t_c: Numeric, d: Numeric, F_u2: Numeric, phi: Numeric
) -> Numeric:
    """Combined shear and pull-out of one screw, load and resistance factor design [-].

    Parameters
    ----------
    V, T : numeric
        Factored shear and tension in the screw. [kip]
    t_2 : numeric
        Base thickness of the sheet that holds the thread. [in]
    t_c : numeric
        Lesser of the penetration and that thickness. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u2 : numeric
        Tensile strength of that sheet. [ksi]
    phi : numeric
        Resistance factor, 0.60. [-]
    """
    return (V / (4.2 * np.sqrt(t_2**3 * d) * F_u2) + T / (0.85 * t_c * d * F_u2)) / (1.15 * phi)


@formula("ratio", unit="-", clause="AISI S100-16 J4.5.3, ASD", checked="from memory")
def screw_shear_tension_asd(
    V: Numeric, T: Numeric, P_nvs: Numeric, P_nts: Numeric, Omega: Numeric
) -> Numeric:
    """Combined shear and tension in the screw itself, allowable stress design [-].

    Parameters
    ----------
    V, T : numeric
        Shear and tension in the screw at service level. [kip]
    P_nvs, P_nts : numeric
        Shear and tension strength of the screw, from the maker's test. [kip]
    Omega : numeric
        Safety factor, 3.0. [-]
    """
    return (V / P_nvs + T / P_nts) * Omega / 1.3


@formula("ratio", unit="-", clause="AISI S100-16 J4.5.3, LRFD", checked="from memory")
def screw_shear_tension_lrfd(V: Numeric, T: Numeric, P_nvs: Numeric, P_nts: Numeric, phi: Numeric) -> Numeric:
    """Combined shear and tension in the screw itself, load and resistance factor design [-].

    Parameters
    ----------
    V, T : numeric
        Factored shear and tension in the screw. [kip]
    P_nvs, P_nts : numeric
        Shear and tension strength of the screw, from the maker's test. [kip]
    phi : numeric
        Resistance factor, 0.50. [-]
    """
    return (V / P_nvs + T / P_nts) / (1.3 * phi)


@formula("ratio", unit="-", clause="conservative stand-in outside J4.5, straight line of allowable values",
         checked="own derivation: its ratio is never below that of J4.5, a test shows it")  # fmt: skip
def straight_line(V: Numeric, T: Numeric, V_a: Numeric, T_a: Numeric) -> Numeric:
    """Straight-line sum of shear and tension over their available strengths [-].

    Parameters
    ----------
    V, T : numeric
        Shear and tension in the screw. [kip]
    V_a, T_a : numeric
        Available shear and tension, at Omega 3.0 or phi 0.50. [kip]
    """
    return V / V_a + T / T_a
