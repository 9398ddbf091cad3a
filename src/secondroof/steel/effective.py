"""Effective section in bending about the axis square to the web, effective width method.

The neutral axis is found by repetition: strips of the compression flange, its lip and the web that do not work are
taken out of the gross section until the axis rests. The web may lose its middle part only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import spec_of
from secondroof.steel import widths
from secondroof.steel.numeric import BoolArray, FloatArray, Numeric
from secondroof.steel.properties import Properties, gross
from secondroof.steel.sections import Section

K_UNSTIFFENED = (
    0.43  # Appendix 1, 1.2.1; used on the lip too: within 0.6 percent of the gradient value, safe side
)
K_STIFFENED = 4.0  # Appendix 1, 1.1
MOST_PASSES = 60
SECANT_PASSES = 20


@dataclass(frozen=True, slots=True, eq=False)
class Effective:
    """Effective section at one stress; NaN where the section cannot exist or the axis did not settle.

    Attributes
    ----------
    Se : (...) array
        Effective section modulus to the fibre that reaches the stress first. [in3]
    Ie : (...) array
        Second moment of the effective section. [in4]
    y_c : (...) array
        Neutral axis from the compression fibre. [in]
    b, k_flange, R_I, d_s : (...) array
        Effective flange width, its coefficient, lip ratio, effective lip. [in], [-], [-], [in]
    b_e, b_1, b_2 : (...) array
        Effective web and its two parts. [in]
    web_full : (...) bool array
        True where the web loses nothing.
    settled : (...) bool array
        True where the neutral axis came to rest.
    passes : int
        Repetitions used.
    """

    Se: FloatArray
    Ie: FloatArray
    y_c: FloatArray
    b: FloatArray
    k_flange: FloatArray
    R_I: FloatArray
    d_s: FloatArray
    b_e: FloatArray
    b_1: FloatArray
    b_2: FloatArray
    web_full: BoolArray
    settled: BoolArray
    passes: int


def _as_is(func: Callable[..., Any]) -> Callable[..., Any]:
    return func


def _unrecorded(func: Callable[..., Any]) -> Callable[..., Any]:
    return spec_of(func).func


@dataclass(frozen=True, slots=True)
class _Side:
    """The compressed side of a section: flange, lip, web and where they lie below the compression fibre."""

    w: Any
    t_f: Any
    d: Any
    D_lip: Any
    theta: Any
    t_l: Any
    h: Any
    t_w: Any
    y_flange: Any
    y_lip: Any
    y_web: Any
    depth: Any
    h_o: Any
    b_o: Any
    stiffened: bool  # both edges of the flange held by webs
    flanges: int
    webs: int


def _side(s: Section, side: str) -> _Side:
    flats, te = s.flats, s.t_elements
    r_mid = s.R + s.t / 2.0
    zero = np.zeros(s.shape)
    if s.kind == "hat":
        top = side == "top"
        k = 2 if top else 0
        return _Side(
            w=flats[..., k], t_f=te[..., k], d=zero, D_lip=zero, theta=zero + 90.0, t_l=te[..., k], h=flats[..., 1],
            t_w=s.t_web, y_flange=s.t / 2.0, y_lip=zero, y_web=s.t / 2.0 + r_mid, depth=s.depth,
            h_o=s.depth, b_o=s.top if top else s.bottom, stiffened=top, flanges=1 if top else 2, webs=2,
        )  # fmt: skip
    lip, fl = (0, 1) if side == "top" else (4, 3)
    theta = s.top_angle if side == "top" else s.bottom_angle
    bend = s.top_bend if side == "top" else s.bottom_bend
    overall = s.top_lip if side == "top" else s.bottom_lip
    return _Side(
        w=flats[..., fl], t_f=te[..., fl], d=flats[..., lip], D_lip=overall, theta=theta, t_l=te[..., lip],
        h=flats[..., 2], t_w=te[..., 2], y_flange=s.t / 2.0,
        y_lip=s.t / 2.0 + r_mid * (1.0 - np.cos(np.radians(theta))),
        y_web=s.t / 2.0 + r_mid * (1.0 - np.cos(np.radians(bend))), depth=s.depth,
        h_o=s.depth, b_o=s.top if side == "top" else s.bottom, stiffened=False, flanges=1, webs=1,
    )  # fmt: skip


def _pass(v: _Side, y_c: Any, f: Any, c: Callable[..., Any]) -> dict[str, Any]:
    """Effective parts for a neutral axis; ``c`` says whether the formulas are recorded."""
    f = f * np.minimum(1.0, y_c / (v.depth - y_c))  # where the tension fibre reaches f first
    one = np.ones(np.shape(v.w))

    def rho(k: Any, t: Any, w: Any, stress: Any) -> Any:
        w = np.maximum(w, 1e-9)
        return c(widths.local_reduction)(c(widths.slenderness)(stress, c(widths.plate_buckling)(k, t, w)))

    lipped = v.d > 0
    if v.stiffened:
        k_flange, R_I, d_s = K_STIFFENED * one, one, 0.0 * one
        b = c(widths.effective_width)(rho(k_flange, v.t_f, v.w, f), v.w)
    else:
        S = c(widths.flange_limit)(f)
        I_a = c(widths.adequate_lip_inertia)(v.t_f, v.w, S)
        R_I = np.where(lipped, c(widths.lip_ratio)(c(widths.lip_inertia)(v.d, v.t_l, v.theta), I_a), 1.0)
        n = c(widths.lip_exponent)(v.w, v.t_f, S)
        k_lip = c(widths.edge_stiffened_coefficient)(v.D_lip, v.w, R_I, n)
        k_flange = np.where(lipped, k_lip, K_UNSTIFFENED)
        b_reduced = c(widths.effective_width)(rho(k_flange, v.t_f, v.w, f), v.w)
        b = np.where(lipped & (v.w / v.t_f <= 0.328 * S), v.w, b_reduced)
        d_s = c(widths.reduced_lip)(rho(K_UNSTIFFENED, v.t_l, v.d, f) * v.d, R_I)
    f_1 = f * (y_c - v.y_web) / y_c
    f_2 = f * (v.y_web + v.h - y_c) / y_c
    psi = np.maximum(f_2 / f_1, 0.0)
    b_e = c(widths.effective_width)(rho(c(widths.web_coefficient)(psi), v.t_w, v.h, f_1), v.h)
    b_1 = c(widths.web_part_1)(b_e, psi)
    b_2 = c(widths.web_part_2)(b_e, psi, v.h_o, v.b_o)
    return {"k_flange": k_flange, "R_I": R_I, "b": b, "d_s": d_s, "b_e": b_e, "b_1": b_1, "b_2": b_2}


def _remove(v: _Side, parts: dict[str, Any], y_c: Any, A: Any, Q: Any, I0: Any) -> tuple[Any, Any, Any]:
    """Area, neutral axis and second moment (about the axis) once the idle parts are out."""
    idle_f = (v.w - parts["b"]) * v.t_f * v.flanges
    sin = np.sin(np.radians(v.theta))
    idle_l = v.d - parts["d_s"]
    y_l = v.y_lip + (v.d + parts["d_s"]) / 2.0 * sin
    idle_w = np.maximum(y_c - v.y_web - parts["b_1"] - parts["b_2"], 0.0)
    y_w = v.y_web + parts["b_1"] + idle_w / 2.0
    a_l, a_w = idle_l * v.t_l, idle_w * v.t_w * v.webs
    A_e = A - idle_f - a_l - a_w
    Q_e = Q - idle_f * v.y_flange - a_l * y_l - a_w * y_w
    own = a_l * (idle_l * sin) ** 2 / 12.0 + a_w * idle_w**2 / 12.0
    I_e = I0 - idle_f * v.y_flange**2 - a_l * y_l**2 - a_w * y_w**2 - own
    new = Q_e / A_e
    return new, I_e - A_e * new**2, idle_w


def effective_section(
    section: Section, f: Numeric, *, compression: str = "top", properties: Properties | None = None
) -> Effective:
    """Effective section at a stress, AISI S100-16 Appendix 1.

    Parameters
    ----------
    section : Section
        One section or an array.
    f : numeric
        Stress at the fibre that reaches it first: Fn (Fy where no buckling between braces), or the service stress
        for deflection. [ksi]
    compression : str, optional
        ``top`` or ``bottom``: which flange is compressed.
    properties : Properties, optional
        Gross properties where already worked out.

    Raises
    ------
    InputError
        For a stress that is not above zero, or another side.
    """
    f = np.asarray(f, dtype=float)
    if compression not in ("top", "bottom"):
        mend = "Say which flange is compressed."
        raise InputError(Problem("compression", compression, "must be top or bottom.", mend))
    if not np.all(np.isnan(f) | (f > 0)):
        raise InputError(
            Problem("stress f", str(f), "must be above zero.", "Give Fy or the service stress in ksi.")
        )
    p = gross(section) if properties is None else properties
    v = replace(_side(section, compression), depth=p.y_top + p.y_bottom)
    with np.errstate(all="ignore"):
        y0 = p.y_top if compression == "top" else p.y_bottom
        A, Q, I0 = p.A, p.A * y0, p.Ix + p.A * y0**2
        y_c, passes, rest = y0 + 0.0 * f, 0, np.zeros(np.shape(y0 + f), dtype=bool)
        before, gap_before = y_c, np.full(y_c.shape, np.nan)
        for passes in range(1, MOST_PASSES + 1):
            new, _, _ = _remove(v, _pass(v, y_c, f, _unrecorded), y_c, A, Q, I0)
            gap = new - y_c
            near = np.abs(gap) <= 1e-12 * v.depth
            # secant on the gap, the plain repetition where that steps out of the section or the pair lies too near;
            # each section stops by itself: its neighbours in the array do not matter
            leap = y_c - gap * (y_c - before) / (gap - gap_before)
            good = ~near & np.isfinite(leap) & (leap > 0.0) & (leap < v.depth) & (passes <= SECANT_PASSES)
            before, gap_before = y_c, gap
            y_c = np.where(rest, y_c, np.where(good, leap, new))
            rest = rest | near
            if np.all(rest | ~np.isfinite(new)):
                break
        parts = _pass(v, y_c, f, _as_is)
        _, I_e, idle_w = _remove(v, parts, y_c, A, Q, I0)
        ok = section.possible & rest & np.isfinite(I_e)
        Se = widths.effective_modulus(I_e, y_c, v.depth)

        def out(a: Any) -> FloatArray:
            return np.where(ok, a, np.nan)

        return Effective(
            Se=out(Se), Ie=out(I_e), y_c=out(y_c), web_full=np.asarray(idle_w <= 0.0), settled=np.asarray(ok),
            passes=passes, **{k: out(a) for k, a in parts.items()},
        )  # fmt: skip
