"""Clause formulas of bending strength, AISI S100-16 F2, F3, F4."""

from __future__ import annotations

import numpy as np

from secondroof.formula import formula
from secondroof.steel.numeric import MU, E, G, Numeric

OMEGA_B, PHI_B = 1.67, 0.90  # F2 to F4; S100-12 had phi 0.95 for some sections, S100-16 has 0.90 throughout
OMEGA_RATIONAL, PHI_RATIONAL = 2.00, 0.80  # A1.2(c), outside the limits of Table B4.1-1


@formula("C_b", unit="-", clause="AISI S100-16 F2.1.1", checked="from memory")
def moment_gradient(M_max: Numeric, M_A: Numeric, M_B: Numeric, M_C: Numeric) -> Numeric:
    """Moment gradient factor of an unbraced length [-].

    Parameters
    ----------
    M_max, M_A, M_B, M_C : numeric
        Absolute moments: greatest, and at quarter, middle and three-quarter points. [kip-in]
    """
    return 12.5 * M_max / (2.5 * M_max + 3.0 * M_A + 4.0 * M_B + 3.0 * M_C)


@formula("sigma_ey", unit="ksi", clause="AISI S100-16 F2.1.1", checked="from memory")
def sideways_stress(L_y: Numeric, r_y: Numeric) -> Numeric:
    """Elastic buckling stress sideways [ksi].

    Parameters
    ----------
    L_y : numeric
        Unbraced length K_y L_y sideways. [in]
    r_y : numeric
        Radius of gyration about the axis along the web, not the least one. [in]
    """
    return np.pi**2 * E / (L_y / r_y) ** 2


@formula("sigma_t", unit="ksi", clause="AISI S100-16 F2.1.1", checked="from memory")
def twisting_stress(A: Numeric, r_o: Numeric, J: Numeric, C_w: Numeric, L_t: Numeric) -> Numeric:
    """Elastic buckling stress in twist [ksi].

    Parameters
    ----------
    A : numeric
        Area. [in2]
    r_o : numeric
        Polar radius of gyration about the shear centre. [in]
    J : numeric
        Torsion constant. [in4]
    C_w : numeric
        Warping constant. [in6]
    L_t : numeric
        Unbraced length K_t L_t in twist. [in]
    """
    return (G * J + np.pi**2 * E * C_w / L_t**2) / (A * r_o**2)


@formula("F_cre", unit="ksi", clause="AISI S100-16 F2.1.1", checked="from memory")
def lateral_stress_C(
    C_b: Numeric, r_o: Numeric, A: Numeric, S_f: Numeric, sigma_ey: Numeric, sigma_t: Numeric
) -> Numeric:
    """Elastic lateral-torsional buckling stress of a C or hat [ksi].

    Parameters
    ----------
    C_b : numeric
        Moment gradient factor. [-]
    r_o : numeric
        Polar radius of gyration about the shear centre. [in]
    A : numeric
        Area. [in2]
    S_f : numeric
        Gross modulus to the compression fibre. [in3]
    sigma_ey, sigma_t : numeric
        Buckling stresses sideways and in twist. [ksi]
    """
    return C_b * r_o * A / S_f * np.sqrt(sigma_ey * sigma_t)


@formula("F_cre", unit="ksi", clause="AISI S100-16 F2.1.3", checked="from memory")
def lateral_stress_Z(
    C_b: Numeric, r_o: Numeric, A: Numeric, S_f: Numeric, sigma_ey: Numeric, sigma_t: Numeric
) -> Numeric:
    """Elastic lateral-torsional buckling stress of a Z, half that of a C [ksi].

    Parameters
    ----------
    C_b : numeric
        Moment gradient factor. [-]
    r_o : numeric
        Polar radius of gyration about the shear centre. [in]
    A : numeric
        Area. [in2]
    S_f : numeric
        Gross modulus to the compression fibre. [in3]
    sigma_ey, sigma_t : numeric
        Buckling stresses sideways and in twist. [ksi]
    """
    return C_b * r_o * A / (2.0 * S_f) * np.sqrt(sigma_ey * sigma_t)


@formula("F_cre", unit="ksi", clause="AISI S100-16 F2.1, simple form", checked="from memory")
def lateral_stress_simple(
    C_b: Numeric, d: Numeric, I_yc: Numeric, S_f: Numeric, L_y: Numeric, half: Numeric
) -> Numeric:
    """Elastic lateral-torsional buckling stress, simple form [ksi].

    Parameters
    ----------
    C_b : numeric
        Moment gradient factor. [-]
    d : numeric
        Depth. [in]
    I_yc : numeric
        Second moment of the compressed half about the axis along the web, I_y/2. [in4]
    S_f : numeric
        Gross modulus to the compression fibre. [in3]
    L_y : numeric
        Unbraced length. [in]
    half : numeric
        1 for a C, 0.5 for a Z. [-]
    """
    return half * C_b * np.pi**2 * E * d * I_yc / (S_f * L_y**2)


@formula("F_n", unit="ksi", clause="AISI S100-16 F2.1", checked="from memory")
def global_stress(F_cre: Numeric, F_y: Numeric) -> Numeric:
    """Nominal stress for yielding and lateral-torsional buckling [ksi].

    Parameters
    ----------
    F_cre : numeric
        Elastic lateral-torsional buckling stress. [ksi]
    F_y : numeric
        Yield strength. [ksi]
    """
    return np.where(
        F_cre >= 2.78 * F_y,
        F_y,
        np.where(
            F_cre > 0.56 * F_y,
            10.0 / 9.0 * F_y * (1.0 - 10.0 * F_y / (36.0 * np.maximum(F_cre, 0.56 * F_y))),
            F_cre,
        ),
    )


@formula("M_ne", unit="kip-in", clause="AISI S100-16 F2.1", checked="from memory")
def global_moment(S_f: Numeric, F_n: Numeric) -> Numeric:
    """Nominal moment for yielding and lateral-torsional buckling [kip-in].

    Parameters
    ----------
    S_f : numeric
        Gross modulus to the compression fibre. [in3]
    F_n : numeric
        Nominal stress. [ksi]
    """
    return S_f * F_n


@formula(
    "M_nl", unit="kip-in", clause="AISI S100-16 F3.1", checked="verified: a published example, 75.0 kip-in"
)
def local_moment_ewm(S_e: Numeric, F_n: Numeric) -> Numeric:
    """Nominal moment with local buckling, effective width method [kip-in].

    Parameters
    ----------
    S_e : numeric
        Effective modulus at the nominal stress. [in3]
    F_n : numeric
        Nominal stress. [ksi]
    """
    return S_e * F_n


@formula("M_nl", unit="kip-in", clause="AISI S100-16 F3.2.1",
         checked="verified: a published example, 93.6 kip-in")  # fmt: skip
def local_moment_dsm(M_ne: Numeric, M_crl: Numeric) -> Numeric:
    """Nominal moment with local buckling, direct strength method [kip-in].

    Parameters
    ----------
    M_ne : numeric
        Nominal moment without local buckling. [kip-in]
    M_crl : numeric
        Elastic local buckling moment. [kip-in]
    """
    return np.where(
        np.sqrt(M_ne / M_crl) <= 0.776,
        M_ne,
        (1.0 - 0.15 * (M_crl / M_ne) ** 0.4) * (M_crl / M_ne) ** 0.4 * M_ne,
    )


@formula("M_nd", unit="kip-in", clause="AISI S100-16 F4.1",
         checked="verified: published examples, 49.8 and 92.6 kip-in")  # fmt: skip
def distortional_moment(M_y: Numeric, M_crd: Numeric) -> Numeric:
    """Nominal moment with distortional buckling [kip-in].

    Parameters
    ----------
    M_y : numeric
        Moment at first yield, gross modulus times F_y. [kip-in]
    M_crd : numeric
        Elastic distortional buckling moment. [kip-in]
    """
    return np.where(
        np.sqrt(M_y / M_crd) <= 0.673, M_y, (1.0 - 0.22 * (M_crd / M_y) ** 0.5) * (M_crd / M_y) ** 0.5 * M_y
    )


@formula("P_nl", unit="kip", clause="AISI S100-16 E3.2.1",
         checked="verified: a published design guide, 19.4 kip")  # fmt: skip
def local_axial_dsm(P_ne: Numeric, P_crl: Numeric) -> Numeric:
    """Nominal axial strength with local buckling, direct strength method [kip].

    Parameters
    ----------
    P_ne : numeric
        Nominal axial strength without local buckling. [kip]
    P_crl : numeric
        Elastic local buckling load. [kip]
    """
    return np.where(
        np.sqrt(P_ne / P_crl) <= 0.776,
        P_ne,
        (1.0 - 0.15 * (P_crl / P_ne) ** 0.4) * (P_crl / P_ne) ** 0.4 * P_ne,
    )


@formula("P_nd", unit="kip", clause="AISI S100-16 E4.1",
         checked="verified: a published design guide, 19.6 kip")  # fmt: skip
def distortional_axial(P_y: Numeric, P_crd: Numeric) -> Numeric:
    """Nominal axial strength with distortional buckling [kip].

    Parameters
    ----------
    P_y : numeric
        Area times yield strength. [kip]
    P_crd : numeric
        Elastic distortional buckling load. [kip]
    """
    return np.where(
        np.sqrt(P_y / P_crd) <= 0.561, P_y, (1.0 - 0.25 * (P_crd / P_y) ** 0.6) * (P_crd / P_y) ** 0.6 * P_y
    )


@formula("k", unit="-", clause="AISI S100-16 App. 2 (element formulas)",
         checked="from memory; 0.90 of the least element lies below our finite strips")  # fmt: skip
def web_local_coefficient(xi: Numeric) -> Numeric:
    """Plate buckling coefficient of a web under a stress gradient [-].

    Parameters
    ----------
    xi : numeric
        (f1 - f2)/f1, 2 in symmetric bending. [-]
    """
    return 0.5 * xi**3 + 4.0 * xi**2 + 4.0 * xi + 4.0


@formula("k", unit="-", clause="AISI S100-16 App. 2 (element formulas)", checked="from memory")
def lip_local_coefficient(xi: Numeric) -> Numeric:
    """Plate buckling coefficient of a lip under a stress gradient [-].

    Parameters
    ----------
    xi : numeric
        (f1 - f2)/f1 along the lip. [-]
    """
    return 1.4 * xi**2 - 0.25 * xi + 0.425


@formula("F_crl", unit="ksi", clause="AISI S100-16 App. 2 (element formulas)", checked="from memory")
def element_local(k: Numeric, t: Numeric, b: Numeric) -> Numeric:
    """Elastic local buckling stress of one element on its centre-line width [ksi].

    Parameters
    ----------
    k : numeric
        Plate buckling coefficient. [-]
    t, b : numeric
        Thickness and centre-line width. [in]
    """
    return k * np.pi**2 * E / (12.0 * (1.0 - MU**2)) * (t / b) ** 2


@formula(
    "M_a", unit="kip-in", clause="AISI S100-16 F, ASD", checked="verified: a published example, 44.9 kip-in"
)
def allowable_moment(M_n: Numeric, Omega: Numeric) -> Numeric:
    """Allowable moment [kip-in].

    Parameters
    ----------
    M_n : numeric
        Nominal moment. [kip-in]
    Omega : numeric
        Safety factor, 1.67, or 2.00 by rational analysis. [-]
    """
    return M_n / Omega


@formula("phi M_n", unit="kip-in", clause="AISI S100-16 F, LRFD", checked="from memory")
def design_moment(M_n: Numeric, phi: Numeric) -> Numeric:
    """Design moment [kip-in].

    Parameters
    ----------
    M_n : numeric
        Nominal moment. [kip-in]
    phi : numeric
        Resistance factor, 0.90, or 0.80 by rational analysis. [-]
    """
    return phi * M_n


@formula("M_cre", unit="kip-in", clause="two-point fit of a finite strip curve",
         checked="verified: a published example")  # fmt: skip
def fitted_global_moment(M_y: Numeric, alpha: Numeric, beta: Numeric, L: Numeric, C_b: Numeric) -> Numeric:
    """Elastic lateral-torsional buckling moment from a curve fitted to two points of a finite strip curve [kip-in].

    Parameters
    ----------
    M_y : numeric
        Moment at first yield. [kip-in]
    alpha : numeric
        Coefficient of 1/L^2. [in2]
    beta : numeric
        Coefficient of 1/L^4. [in4]
    L : numeric
        Unbraced length. [in]
    C_b : numeric
        Moment gradient factor. [-]
    """
    return C_b * M_y * np.sqrt(alpha / L**2 + beta / L**4)
