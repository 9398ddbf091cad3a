"""Analytic distortional buckling in bending, AISI S100-16 Appendix 2, 2.3.3.3.

Flange with its lip on centre lines without bends: ``b`` flange, ``d`` lip, ``theta`` angle of the lip to the flange.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.formula import formula
from secondroof.steel.numeric import MU, E, FloatArray, G, Numeric
from secondroof.steel.sections import Section

_AISI = "AISI S100-16 App. 2, 2.3.3.3"
_PUBLISHED = "verified: flange properties and F_crd of a published example, within 0.4 percent"


@formula("b", unit="in", clause=_AISI, checked=_PUBLISHED)
def flange_centre_line(b_o: Numeric, t: Numeric, theta: Numeric) -> Numeric:
    """Flange width on the centre line, without bends [in].

    Parameters
    ----------
    b_o, t : numeric
        Flange out to out, and thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return b_o - t / 2.0 - t / 2.0 * np.tan(np.radians(theta) / 2.0)


@formula("d", unit="in", clause=_AISI, checked=_PUBLISHED)
def lip_centre_line(d_o: Numeric, t: Numeric, theta: Numeric) -> Numeric:
    """Lip length on the centre line, without bends [in].

    Parameters
    ----------
    d_o, t : numeric
        Lip out to out, and thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return d_o - t / 2.0 * np.tan(np.radians(theta) / 2.0)


@formula("A_f", unit="in2", clause=_AISI, checked=_PUBLISHED)
def flange_area(b: Numeric, d: Numeric, t: Numeric) -> Numeric:
    """Area of flange and lip [in2].

    Parameters
    ----------
    b, d, t : numeric
        Flange and lip on the centre line, thickness. [in]
    """
    return (b + d) * t


@formula("J_f", unit="in4", clause=_AISI, checked=_PUBLISHED)
def flange_torsion(b: Numeric, d: Numeric, t: Numeric) -> Numeric:
    """Torsion constant of flange and lip [in4].

    Parameters
    ----------
    b, d, t : numeric
        Flange and lip on the centre line, thickness. [in]
    """
    return (b + d) * t**3 / 3.0


@formula("I_xf", unit="in4", clause=_AISI, checked=_PUBLISHED)
def flange_Ix(b: Numeric, d: Numeric, t: Numeric, theta: Numeric) -> Numeric:
    """Second moment of flange and lip about the axis along the flange [in4].

    Parameters
    ----------
    b, d, t : numeric
        Flange and lip on the centre line, thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return (
        t
        * (t**2 * b**2 + t**2 * b * d + (4.0 * b * d**3 + d**4) * np.sin(np.radians(theta)) ** 2)
        / (12.0 * (b + d))
    )


@formula("I_yf", unit="in4", clause=_AISI, checked=_PUBLISHED)
def flange_Iy(b: Numeric, d: Numeric, t: Numeric, theta: Numeric) -> Numeric:
    """Second moment of flange and lip about the axis along the web [in4].

    Parameters
    ----------
    b, d, t : numeric
        Flange and lip on the centre line, thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return (
        t
        * (
            b**4
            + 4.0 * d * b**3
            + 6.0 * d**2 * b**2 * np.cos(np.radians(theta))
            + 4.0 * d**3 * b * np.cos(np.radians(theta)) ** 2
            + d**4 * np.cos(np.radians(theta)) ** 2
        )
        / (12.0 * (b + d))
    )


@formula("I_xyf", unit="in4", clause=_AISI, checked=_PUBLISHED)
def flange_Ixy(b: Numeric, d: Numeric, t: Numeric, theta: Numeric) -> Numeric:
    """Product of inertia of flange and lip [in4].

    Parameters
    ----------
    b, d, t : numeric
        Flange and lip on the centre line, thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return t * b * d**2 * np.sin(np.radians(theta)) * (b + d * np.cos(np.radians(theta))) / (4.0 * (b + d))


@formula("x_of", unit="in", clause=_AISI, checked=_PUBLISHED)
def flange_xo(b: Numeric, d: Numeric, theta: Numeric) -> Numeric:
    """Centroid of flange and lip to their shear centre, along the flange [in].

    Parameters
    ----------
    b, d : numeric
        Flange and lip on the centre line. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return (b**2 - d**2 * np.cos(np.radians(theta))) / (2.0 * (b + d))


@formula("h_xf", unit="in", clause=_AISI, checked=_PUBLISHED)
def flange_hx(b: Numeric, d: Numeric, theta: Numeric) -> Numeric:
    """Centroid of flange and lip to the junction with the web, along the flange [in].

    Parameters
    ----------
    b, d : numeric
        Flange and lip on the centre line. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return -(b**2 + 2.0 * d * b + d**2 * np.cos(np.radians(theta))) / (2.0 * (b + d))


@formula("y_of", unit="in", clause=_AISI, checked=_PUBLISHED)
def flange_yo(b: Numeric, d: Numeric, theta: Numeric) -> Numeric:
    """Centroid of flange and lip to their shear centre, along the web [in].

    Parameters
    ----------
    b, d : numeric
        Flange and lip on the centre line. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    return -(d**2) * np.sin(np.radians(theta)) / (2.0 * (b + d))


@formula("a", unit="in6", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def warping_term(I_xf: Numeric, I_yf: Numeric, I_xyf: Numeric, x_of: Numeric, h_xf: Numeric) -> Numeric:
    """Warping of flange and lip about the junction with the web [in6].

    Parameters
    ----------
    I_xf, I_yf, I_xyf : numeric
        Second moments of flange and lip. [in4]
    x_of, h_xf : numeric
        Distances along the flange. [in]
    """
    return I_xf * (x_of - h_xf) ** 2 - I_xyf**2 / I_yf * (x_of - h_xf) ** 2


@formula("L_crd", unit="in", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def critical_length(a: Numeric, h_o: Numeric, t: Numeric) -> Numeric:
    """Half-wavelength of distortional buckling in bending [in].

    Parameters
    ----------
    a : numeric
        Warping of flange and lip about the junction. [in6]
    h_o, t : numeric
        Depth out to out, thickness of the web. [in]
    """
    return (4.0 * np.pi**4 * h_o * (1.0 - MU**2) / t**3 * a + np.pi**4 * h_o**4 / 720.0) ** 0.25


@formula("k_phife", unit="kip", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def elastic_flange(a: Numeric, J_f: Numeric, L: Numeric) -> Numeric:
    """Elastic rotational stiffness given by the flange to the junction [kip].

    Parameters
    ----------
    a : numeric
        Warping of flange and lip about the junction. [in6]
    J_f : numeric
        Torsion constant of flange and lip. [in4]
    L : numeric
        Lesser of the half-wavelength and the spacing of restraints. [in]
    """
    return (np.pi / L) ** 4 * E * a + (np.pi / L) ** 2 * G * J_f


@formula("k_phiwe", unit="kip", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def elastic_web(h_o: Numeric, t: Numeric, L: Numeric) -> Numeric:
    """Elastic rotational stiffness given by the web to the junction [kip].

    Parameters
    ----------
    h_o, t : numeric
        Depth out to out, thickness of the web. [in]
    L : numeric
        Lesser of the half-wavelength and the spacing of restraints. [in]
    """
    return (
        E
        * t**3
        / (12.0 * (1.0 - MU**2))
        * (3.0 / h_o + (np.pi / L) ** 2 * 19.0 * h_o / 60.0 + (np.pi / L) ** 4 * h_o**3 / 240.0)
    )


@formula("k_phifg", unit="in2", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def geometric_flange(
    A_f: Numeric,
    I_xf: Numeric,
    I_yf: Numeric,
    I_xyf: Numeric,
    x_of: Numeric,
    h_xf: Numeric,
    y_of: Numeric,
    L: Numeric,
) -> Numeric:
    """Rotational stiffness the stressed flange takes away, by unit stress [in2].

    Parameters
    ----------
    A_f : numeric
        Area of flange and lip. [in2]
    I_xf, I_yf, I_xyf : numeric
        Second moments of flange and lip. [in4]
    x_of, h_xf, y_of : numeric
        Distances of flange and lip. [in]
    L : numeric
        Lesser of the half-wavelength and the spacing of restraints. [in]
    """
    return (np.pi / L) ** 2 * (
        A_f
        * (
            (x_of - h_xf) ** 2 * (I_xyf / I_yf) ** 2
            - 2.0 * y_of * (x_of - h_xf) * (I_xyf / I_yf)
            + h_xf**2
            + y_of**2
        )
        + I_xf
        + I_yf
    )


@formula("k_phiwg", unit="in2", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def geometric_web(h_o: Numeric, t: Numeric, L: Numeric, xi: Numeric) -> Numeric:
    """Rotational stiffness the stressed web takes away, by unit stress [in2].

    Parameters
    ----------
    h_o, t : numeric
        Depth out to out, thickness of the web. [in]
    L : numeric
        Lesser of the half-wavelength and the spacing of restraints. [in]
    xi : numeric
        Stress gradient of the web, (f1 - f2)/f1; 2 where bending is symmetric. [-]
    """
    return (
        h_o
        * t
        * np.pi**2
        / 13440.0
        * (
            (45360.0 * (1.0 - xi) + 62160.0) * (L / h_o) ** 2
            + 448.0 * np.pi**2
            + (h_o / L) ** 2 * (53.0 + 3.0 * (1.0 - xi)) * np.pi**4
        )
        / (np.pi**4 + 28.0 * np.pi**2 * (L / h_o) ** 2 + 420.0 * (L / h_o) ** 4)
    )


@formula("beta", unit="-", clause="AISI S100-16 App. 2, 2.3.3.3", checked="from memory")
def gradient_factor(L: Numeric, L_m: Numeric, M_ratio: Numeric) -> Numeric:
    """Moment gradient factor for distortional buckling [-].

    Parameters
    ----------
    L : numeric
        Lesser of the half-wavelength and the spacing of restraints. [in]
    L_m : numeric
        Spacing of restraints against distortion. [in]
    M_ratio : numeric
        M1/M2, smaller over larger end moment between them, positive in reverse curvature. [-]
    """
    return np.clip(1.0 + 0.4 * (L / L_m) ** 0.7 * np.maximum(1.0 + M_ratio, 0.0) ** 0.7, 1.0, 1.3)


@formula("F_crd", unit="ksi", clause="AISI S100-16 App. 2, 2.3.3.3", checked=_PUBLISHED)
def distortional_stress(
    beta: Numeric, k_fe: Numeric, k_we: Numeric, k_phi: Numeric, k_fg: Numeric, k_wg: Numeric
) -> Numeric:
    """Elastic distortional buckling stress in bending [ksi].

    Parameters
    ----------
    beta : numeric
        Moment gradient factor, 1 where not counted. [-]
    k_fe, k_we : numeric
        Elastic stiffness from flange and web. [kip]
    k_phi : numeric
        Rotational restraint of the compression flange by sheathing, 0 where not measured. [kip]
    k_fg, k_wg : numeric
        Stiffness taken away by unit stress, flange and web. [in2]
    """
    return beta * (k_fe + k_we + k_phi) / (k_fg + k_wg)


@dataclass(frozen=True, slots=True, eq=False)
class Distortional:
    """Analytic distortional buckling of one side of a section.

    Attributes
    ----------
    F_crd, L, beta : (...) array
        Buckling stress, half-wavelength used, gradient factor; NaN where the flange has no lip (it then has no
        distortional mode of this kind) and for hats. [ksi], [in], [-]
    flange : mapping of str to array
        Properties of flange and lip, by symbol.
    """

    F_crd: FloatArray
    L: FloatArray
    beta: FloatArray
    flange: dict[str, FloatArray]


def flange_properties(b_o: Numeric, d_o: Numeric, t: Numeric, theta: Numeric) -> dict[str, Any]:
    """Properties of flange and lip by symbol: b, d, Af, Jf, Ixf, Iyf, Ixyf, xof, hxf, yof [in].

    Parameters
    ----------
    b_o, d_o, t : numeric
        Flange and lip out to out, thickness. [in]
    theta : numeric
        Angle of the lip to the flange. [deg]
    """
    b, d = flange_centre_line(b_o, t, theta), lip_centre_line(d_o, t, theta)
    return {
        "b": b, "d": d, "Af": flange_area(b, d, t), "Jf": flange_torsion(b, d, t), "Ixf": flange_Ix(b, d, t, theta),
        "Iyf": flange_Iy(b, d, t, theta), "Ixyf": flange_Ixy(b, d, t, theta), "xof": flange_xo(b, d, theta),
        "hxf": flange_hx(b, d, theta), "yof": flange_yo(b, d, theta),
    }  # fmt: skip


def distortional(
    section: Section, *, compression: str = "top", k_phi: Numeric = 0.0, L_m: Numeric = np.inf, M_ratio: Numeric = -1.0,
    xi: Numeric = 2.0,
) -> Distortional:  # fmt: skip
    """Distortional buckling stress of the compressed flange, AISI S100-16 App. 2, 2.3.3.3.

    Parameters
    ----------
    section : Section
        One section or an array.
    compression : str, optional
        ``top`` or ``bottom``.
    k_phi : numeric, optional
        Rotational restraint by sheathing on the compressed flange; 0 where not measured. [kip-in/rad/in]
    L_m : numeric, optional
        Spacing of restraints against distortion. [in]
    M_ratio : numeric, optional
        M1/M2; the default -1 (uniform moment) gives beta 1. [-]
    xi : numeric, optional
        Stress gradient of the web. [-]
    """
    top = compression == "top"
    lip, fl = (0, 1) if top else (4, 3)
    b_o, d_o = (section.top, section.top_lip) if top else (section.bottom, section.bottom_lip)
    theta = section.top_angle if top else section.bottom_angle
    t = np.minimum(section.t_elements[..., fl], np.where(d_o > 0, section.t_elements[..., lip], np.inf))
    t_hold = np.minimum(section.t_web, t)  # a web holds no better than the thinner steel at its bend lets it
    with np.errstate(all="ignore"):
        p = flange_properties(b_o, d_o, t, theta)
        a = warping_term(p["Ixf"], p["Iyf"], p["Ixyf"], p["xof"], p["hxf"])
        L = np.minimum(critical_length(a, section.depth, t_hold), L_m)
        beta = gradient_factor(L, L_m, M_ratio)
        F = distortional_stress(
            beta, elastic_flange(a, p["Jf"], L), elastic_web(section.depth, t_hold, L), k_phi,
            geometric_flange(p["Af"], p["Ixf"], p["Iyf"], p["Ixyf"], p["xof"], p["hxf"], p["yof"], L),
            geometric_web(section.depth, section.t_web, L, xi),
        )  # fmt: skip
        ok = section.possible & (d_o > 0) & (section.kind != "hat")
        out: Callable[[Any], FloatArray] = lambda v: np.where(ok, v, np.nan)  # noqa: E731
        return Distortional(out(F), out(L), out(beta), {k: out(v) for k, v in p.items()})
