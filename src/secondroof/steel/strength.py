"""Bending strength of a section both ways: effective width and direct strength, AISI S100-16 F2 to F4.

The two methods check each other. Where the section is inside the limits of the effective width method that one
gives the strength and the other is shown; where only the direct strength method covers it, that one does; outside
both it is refused, or rational analysis with its own factors where asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.steel import distortional as dist
from secondroof.steel import flexure
from secondroof.steel.effective import effective_section
from secondroof.steel.numeric import BoolArray, FloatArray, Numeric
from secondroof.steel.properties import Properties, gross
from secondroof.steel.scope import scope
from secondroof.steel.sections import Section

ELEMENT_SAFETY = 0.90  # element formulas lie up to 11 percent above finite strips where flanges are wide
METHODS = ("effective width", "direct strength", "rational analysis", "refused")
LIMITS = ("yield", "lateral-torsional", "local", "distortional", "refused", "unknown")


@dataclass(frozen=True, slots=True, eq=False)
class Flexure:
    """Bending strength about the axis square to the web, compression on one named side.

    NaN where the section cannot exist, is outside what the methods cover (``governing`` is then ``refused``), or
    where a yield strength or unbraced length was NaN (``unknown``).

    Attributes
    ----------
    M_n : (...) array
        Nominal moment. [kip-in]
    M_a, phi_M_n : (...) array
        Allowable and design moment. [kip-in]
    Omega, phi : (...) array
        Factors used. [-]
    method : (...) array of str
        One of ``METHODS``.
    governing : (...) array of str
        One of ``LIMITS``, for the method used.
    M_n_ewm, M_n_dsm : (...) array
        Nominal moment by each method, whichever governs. [kip-in]
    M_nl_ewm, M_nl_dsm, M_nl : (...) array
        With local buckling, by each method and by the one used. [kip-in]
    M_nlo : (...) array
        With local buckling at F_n = F_y by the method used, for H2 and H3. [kip-in]
    M_nd, M_ne, M_y : (...) array
        With distortional buckling, with lateral-torsional buckling, at first yield. [kip-in]
    distortional_counted : (...) bool array
        False where the flange has no lip or it was left out on purpose.
    F_cre, F_n, F_crl, F_crd : (...) array
        Stresses. [ksi]
    S_e, S_f : (...) array
        Effective modulus at F_n, gross modulus to the compression fibre. [in3]
    inside_ewm, inside_dsm : (...) bool array
        Whether each method covers the section.
    """

    M_n: FloatArray
    M_a: FloatArray
    phi_M_n: FloatArray
    Omega: FloatArray
    phi: FloatArray
    method: Any
    governing: Any
    M_n_ewm: FloatArray
    M_n_dsm: FloatArray
    M_nl_ewm: FloatArray
    M_nl_dsm: FloatArray
    M_nl: FloatArray
    M_nlo: FloatArray
    M_nd: FloatArray
    M_ne: FloatArray
    M_y: FloatArray
    distortional_counted: BoolArray
    F_cre: FloatArray
    F_n: FloatArray
    F_crl: FloatArray
    F_crd: FloatArray
    S_e: FloatArray
    S_f: FloatArray
    inside_ewm: BoolArray
    inside_dsm: BoolArray


def lateral_stress(
    section: Section, L_y: Numeric, L_t: Numeric, C_b: Numeric = 1.0, *, compression: str = "top",
    properties: Properties | None = None,
) -> Numeric:  # fmt: skip
    """Elastic lateral-torsional buckling stress by shape, AISI S100-16 F2.1 [ksi].

    Parameters
    ----------
    section : Section
        One section or an array; a hat bends about its axis of symmetry's normal and is taken as a C.
    L_y, L_t : numeric
        Unbraced lengths sideways and in twist; 0 where braced throughout. [in]
    C_b : numeric, optional
        Moment gradient factor. [-]
    compression : str, optional
        ``top`` or ``bottom``.
    properties : Properties, optional
        Gross properties where already worked out.
    """
    p = gross(section) if properties is None else properties
    S_f = p.Sx_top if compression == "top" else p.Sx_bottom
    least = 1e-3  # braced throughout: stress far above any yield
    s_ey = flexure.sideways_stress(np.maximum(L_y, least), p.ry)
    s_t = flexure.twisting_stress(p.A, p.ro, p.J, p.Cw, np.maximum(L_t, least))
    form = flexure.lateral_stress_Z if section.kind == "Z" else flexure.lateral_stress_C
    return form(C_b, p.ro, p.A, S_f, s_ey, s_t)


def local_stress(
    section: Section, *, compression: str = "top", properties: Properties | None = None
) -> Numeric:
    """Elastic local buckling stress from the weakest element, times 0.90 [ksi].

    For portfolios; finite strips are better for one section.

    Parameters
    ----------
    section : Section
        One section or an array.
    compression : str, optional
        ``top`` or ``bottom``.
    properties : Properties, optional
        Gross properties where already worked out.
    """
    s, te = section, section.t_elements
    p = gross(section) if properties is None else properties
    y_c = p.y_top if compression == "top" else p.y_bottom
    with np.errstate(all="ignore"):
        if s.kind == "hat":
            xi = (p.y_top + p.y_bottom) / y_c
            top = compression == "top"
            k_f, k, width = (4.0, 2, s.top - s.t) if top else (0.43, 0, s.bottom - s.t / 2)
            flange = flexure.element_local(k_f, te[..., k], width)
            web = flexure.element_local(
                flexure.web_local_coefficient(xi), s.t_web, s.web_flat + 2 * s.R + s.t
            )
            return ELEMENT_SAFETY * np.minimum(flange, web)
        lip, fl = (0, 1) if compression == "top" else (4, 3)
        b_o, d_o = (s.top, s.top_lip) if compression == "top" else (s.bottom, s.bottom_lip)
        theta = s.top_angle if compression == "top" else s.bottom_angle
        has = d_o > 0
        b = np.where(has, dist.flange_centre_line(b_o, s.t, theta), b_o - s.t / 2)
        d = np.where(has, dist.lip_centre_line(d_o, s.t, theta), 1.0)
        xi_l = d * np.sin(np.radians(theta)) / y_c
        web = flexure.element_local(
            flexure.web_local_coefficient((p.y_top + p.y_bottom) / y_c), s.t_web, s.depth - s.t
        )  # fmt: skip
        flange = flexure.element_local(np.where(has, 4.0, 0.43), te[..., fl], b)
        edge = np.where(
            has, flexure.element_local(flexure.lip_local_coefficient(xi_l), te[..., lip], d), np.inf
        )
        return ELEMENT_SAFETY * np.minimum(np.minimum(web, flange), edge)


def _lacking(stress: Numeric | None) -> bool:
    return stress is None or bool(np.any(np.isnan(stress)))


def flexural_strength(
    section: Section, F_y: Numeric, *, compression: str = "top", L_y: Numeric = 0.0, L_t: Numeric | None = None,
    C_b: Numeric = 1.0, k_phi: Numeric = 0.0, L_m: Numeric = np.inf, M_ratio: Numeric = -1.0,
    F_crl: Numeric | None = None, F_crd: Numeric | None = None, count_distortional: Numeric = True,
    outside: str = "refuse",
    properties: Properties | None = None,
) -> Flexure:  # fmt: skip
    """Bending strength by both methods.

    Parameters
    ----------
    section : Section
        One section or an array.
    F_y : numeric
        Yield strength. [ksi]
    compression : str, optional
        ``top`` or ``bottom``: which flange is compressed.
    L_y : numeric, optional
        Unbraced length of the compressed flange; 0 where braced throughout. [in]
    L_t : numeric, optional
        Unbraced length in twist, ``L_y`` where not given. [in]
    C_b : numeric, optional
        Moment gradient factor. [-]
    k_phi : numeric, optional
        Measured rotational restraint of the *compressed* flange by sheathing. [kip-in/rad/in]
    L_m : numeric, optional
        Spacing of restraints against distortion. [in]
    M_ratio : numeric, optional
        M1/M2 between them. [-]
    F_crl, F_crd : numeric, optional
        Elastic buckling stresses at the compression fibre from finite strips; element and analytic formulas where
        not given, and where the strips found no minimum (NaN). [ksi]
    count_distortional : numeric of bool, optional
        False only where a clause lets it be left out (I6.2.1, I6.2.2).
    outside : str, optional
        ``refuse``, or ``rational`` for Omega 2.00 and phi 0.80 outside the dimensional limits.
    properties : Properties, optional
        Gross properties where already worked out.

    Raises
    ------
    InputError
        For another ``outside`` or side, or a yield strength that is not above zero.
    """
    if outside not in ("refuse", "rational"):
        raise InputError(Problem("outside", outside, "must be refuse or rational.", "Give one of the two."))
    F_y = np.asarray(F_y, dtype=float)[()]
    if not np.all(np.isnan(F_y) | ((F_y > 0) & np.isfinite(F_y))):
        raise InputError(
            Problem("purlin.F_y", str(F_y), "must be above zero.", "Give the yield strength in ksi.")
        )
    p = gross(section) if properties is None else properties
    S_f = p.Sx_top if compression == "top" else p.Sx_bottom
    with np.errstate(all="ignore"):
        L_t = L_y if L_t is None else L_t
        F_cre = lateral_stress(section, L_y, L_t, C_b, compression=compression, properties=p)
        F_n = flexure.global_stress(F_cre, F_y)
        M_y = flexure.global_moment(p.Sx, F_y)
        M_ne = flexure.global_moment(S_f, F_n)
        S_e = effective_section(section, F_n, compression=compression, properties=p).Se
        M_nl_ewm = flexure.local_moment_ewm(S_e, F_n)
        braced = bool(np.all((F_n == F_y) | np.isnan(F_n)))
        S_eo = (
            S_e
            if braced
            else effective_section(section, F_y + 0.0 * F_n, compression=compression, properties=p).Se
        )
        elements = local_stress(section, compression=compression, properties=p) if _lacking(F_crl) else np.nan
        F_l: Any = elements if F_crl is None else np.where(np.isnan(F_crl), elements, F_crl)
        M_nl_dsm = flexure.local_moment_dsm(np.minimum(M_ne, M_y), S_f * F_l)
        F_d: Any = F_crd
        if _lacking(F_crd):
            analytic = dist.distortional(
                section, compression=compression, k_phi=k_phi, L_m=L_m, M_ratio=M_ratio,
                xi=(p.y_top + p.y_bottom) / (p.y_top if compression == "top" else p.y_bottom),
            ).F_crd  # fmt: skip
            F_d = analytic if F_crd is None else np.where(np.isnan(F_crd), analytic, F_crd)
        has_lip = (section.top_lip if compression == "top" else section.bottom_lip) > 0
        counted = np.asarray(count_distortional) & has_lip & (section.kind != "hat")
        M_nd = flexure.distortional_moment(M_y, S_f * F_d)
        cap_d = np.where(counted, M_nd, np.inf)
        ewm, dsm = np.minimum(M_nl_ewm, cap_d), np.minimum(M_nl_dsm, cap_d)
    in_e = scope(section, F_y, compression=compression, method="ewm").inside
    in_d = scope(section, F_y, compression=compression, method="dsm").inside
    rational = section.possible & (outside == "rational")
    which = np.where(in_e, 0, np.where(in_d, 1, np.where(rational, 2, 3)))
    M_nl = np.where(which == 0, M_nl_ewm, M_nl_dsm)
    M_n = np.where(which == 0, ewm, np.where(which == 3, np.nan, dsm))
    Omega = np.where(which < 2, flexure.OMEGA_B, flexure.OMEGA_RATIONAL)
    phi = np.where(which < 2, flexure.PHI_B, flexure.PHI_RATIONAL)
    with np.errstate(all="ignore"):
        limit = np.where(cap_d < M_nl, 3, np.where(M_nl < np.minimum(M_ne, M_y) * (1 - 1e-9), 2,
                                                   np.where(F_n < F_y * (1 - 1e-9), 1, 0)))  # fmt: skip
        limit = np.where(which == 3, 4, np.where(np.isnan(M_n), 5, limit))
        M_nlo = np.where(which == 0, S_eo * F_y, flexure.local_moment_dsm(M_y, S_f * F_l))
    shape = np.broadcast_shapes(np.shape(M_n), np.shape(F_y), np.shape(F_cre))

    def wide(a: Any, kind: Any = float) -> Any:
        return np.broadcast_to(np.asarray(a, dtype=kind), shape)

    return Flexure(
        M_n=wide(M_n), M_a=wide(flexure.allowable_moment(M_n, Omega)), phi_M_n=wide(flexure.design_moment(M_n, phi)),
        Omega=wide(Omega), phi=wide(phi), method=wide(np.asarray(METHODS)[which], None),
        governing=wide(np.asarray(LIMITS)[limit], None), M_n_ewm=wide(ewm), M_n_dsm=wide(dsm), M_nl_ewm=wide(M_nl_ewm),
        M_nl_dsm=wide(M_nl_dsm), M_nl=wide(M_nl), M_nlo=wide(M_nlo), M_nd=wide(M_nd), M_ne=wide(M_ne),
        M_y=wide(M_y), distortional_counted=wide(counted, bool), F_cre=wide(F_cre), F_n=wide(F_n), F_crl=wide(F_l),
        F_crd=wide(F_d), S_e=wide(S_e), S_f=wide(S_f), inside_ewm=wide(in_e, bool), inside_dsm=wide(in_d, bool),
    )  # fmt: skip
