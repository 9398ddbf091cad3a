"""Anchorage of a sloped roof of Z purlins under gravity load.

Purlins whose top flange is held by a sheet roll and slide; somebody has to hold the sheet. The constants of AISI
S100-16 I6.4.1 were not at hand, so the closed forms of the editions before it (1996 to 2004) stand here, from
memory: an estimate for an engineer to replace, never a pass. They hold for 4 to 20 lines of Z whose top flanges all
point up the slope. A positive force holds the sheet from moving up
the slope (the purlins roll that way more than the roof slides down), a negative one from sliding down.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import Limit, formula
from secondroof.steel.numeric import Numeric, require_positive

_OLD = "AISI specification 1996 to 2004, D3.2.1 (superseded)"
_CHECKED = "from memory; exponents are free of dimension, as they must be"
_LINES = (Limit("n_p", 4.0, 20.0, "4 to 20 lines of purlins, top flanges up the slope"),)

# share of end, first interior and other interior lines of restraint, from memory
SHARES: Mapping[str, Mapping[str, float]] = MappingProxyType({
    "supports": MappingProxyType({"end": 0.63, "first interior": 0.87, "other": 0.81}),
    "third points": MappingProxyType({"end": 0.57, "other": 0.48}),
    "midspan": MappingProxyType({"end": 1.05, "other": 0.90}),
})  # fmt: skip


@formula(
    "tan theta_0", unit="-", clause="principle of the inclined principal axes", checked="verified: a handbook"
)
def balanced_slope(I_xy: Numeric, I_x: Numeric) -> Numeric:
    """Slope at which rolling up and sliding down about cancel [-].

    Parameters
    ----------
    I_xy, I_x : numeric
        Product and second moment of the purlin. [in4]
    """
    return I_xy / I_x


@formula("P_L", unit="lb", clause=_OLD, checked=_CHECKED, limits=_LINES)
def single_span_supports(
    b: Numeric, d: Numeric, t: Numeric, n_p: Numeric, theta: Numeric, W: Numeric
) -> Numeric:
    """Force at each end of a single span held at its supports [lb].

    Parameters
    ----------
    b, d, t : numeric
        Flange width, depth, thickness. [in]
    n_p : numeric
        Lines of purlins. [-]
    theta : numeric
        Roof slope. [deg]
    W : numeric
        Gravity load on all lines over the span. [lb]
    """
    return (
        0.5
        * (
            0.220 * b**1.50 / (n_p**0.72 * d**0.90 * t**0.60) * np.cos(np.radians(theta))
            - np.sin(np.radians(theta))
        )
        * W
    )


@formula("P_L", unit="lb", clause=_OLD, checked=_CHECKED, limits=_LINES)
def single_span_third_points(
    b: Numeric, d: Numeric, t: Numeric, n_p: Numeric, theta: Numeric, W: Numeric
) -> Numeric:
    """Force at each third point of a single span held there [lb].

    Parameters
    ----------
    b, d, t : numeric
        Flange width, depth, thickness. [in]
    n_p : numeric
        Lines of purlins. [-]
    theta : numeric
        Roof slope. [deg]
    W : numeric
        Gravity load on all lines over the span. [lb]
    """
    return (
        0.5
        * (
            0.474 * b**1.22 / (n_p**0.57 * d**0.89 * t**0.33) * np.cos(np.radians(theta))
            - np.sin(np.radians(theta))
        )
        * W
    )


@formula("P_L", unit="lb", clause=_OLD, checked=_CHECKED, limits=_LINES)
def single_span_midspan(
    b: Numeric, d: Numeric, t: Numeric, n_p: Numeric, theta: Numeric, W: Numeric
) -> Numeric:
    """Force at the middle of a single span held there [lb].

    Parameters
    ----------
    b, d, t : numeric
        Flange width, depth, thickness. [in]
    n_p : numeric
        Lines of purlins. [-]
    theta : numeric
        Roof slope. [deg]
    W : numeric
        Gravity load on all lines over the span. [lb]
    """
    return (
        0.224 * b**1.32 / (n_p**0.65 * d**0.83 * t**0.50) * np.cos(np.radians(theta))
        - np.sin(np.radians(theta))
    ) * W


@formula("P_L", unit="lb", clause=_OLD, checked=_CHECKED, limits=_LINES)
def multi_span_supports(
    C_tr: Numeric, b: Numeric, d: Numeric, t: Numeric, L: Numeric, n_p: Numeric, theta: Numeric, W: Numeric
) -> Numeric:
    """Force at a support of a line of several spans held at its supports [lb].

    Parameters
    ----------
    C_tr : numeric
        0.63 end, 0.87 first interior, 0.81 other supports. [-]
    b, d, t, L : numeric
        Flange width, depth, thickness, span. [in]
    n_p : numeric
        Lines of purlins. [-]
    theta : numeric
        Roof slope. [deg]
    W : numeric
        Gravity load on all lines over the span. [lb]
    """
    return (
        C_tr
        * (
            0.053 * b**1.88 * L**0.13 / (n_p**0.95 * d**1.07 * t**0.94) * np.cos(np.radians(theta))
            - np.sin(np.radians(theta))
        )
        * W
    )


@formula("P_L", unit="lb", clause=_OLD, checked=_CHECKED, limits=_LINES)
def multi_span_third_points(
    C_th: Numeric, b: Numeric, d: Numeric, t: Numeric, L: Numeric, n_p: Numeric, theta: Numeric, W: Numeric
) -> Numeric:
    """Force at a third point of a line of several spans held there [lb].

    Parameters
    ----------
    C_th : numeric
        0.57 end spans, 0.48 other spans. [-]
    b, d, t, L : numeric
        Flange width, depth, thickness, span. [in]
    n_p : numeric
        Lines of purlins. [-]
    theta : numeric
        Roof slope. [deg]
    W : numeric
        Gravity load on all lines over the span. [lb]
    """
    return (
        C_th
        * (
            0.181 * b**1.15 * L**0.25 / (n_p**0.54 * d**1.11 * t**0.29) * np.cos(np.radians(theta))
            - np.sin(np.radians(theta))
        )
        * W
    )


@formula("P_L", unit="lb", clause=_OLD, checked=_CHECKED, limits=_LINES)
def multi_span_midspan(
    C_ms: Numeric, b: Numeric, d: Numeric, t: Numeric, L: Numeric, n_p: Numeric, theta: Numeric, W: Numeric
) -> Numeric:
    """Force at midspan of a line of several spans held there [lb].

    Parameters
    ----------
    C_ms : numeric
        1.05 end spans, 0.90 other spans. [-]
    b, d, t, L : numeric
        Flange width, depth, thickness, span. [in]
    n_p : numeric
        Lines of purlins. [-]
    theta : numeric
        Roof slope. [deg]
    W : numeric
        Gravity load on all lines over the span. [lb]
    """
    return (
        C_ms
        * (
            0.116 * b**1.32 * L**0.18 / (n_p**0.70 * d * t**0.50) * np.cos(np.radians(theta))
            - np.sin(np.radians(theta))
        )
        * W
    )


_SINGLE: dict[str, Callable[..., Any]] = {
    "supports": single_span_supports,
    "third points": single_span_third_points,
    "midspan": single_span_midspan,
}
_MULTI: dict[str, Callable[..., Any]] = {
    "supports": multi_span_supports,
    "third points": multi_span_third_points,
    "midspan": multi_span_midspan,
}


def anchorage_force(
    held_at: str, *, b_in: Numeric, d_in: Numeric, t_in: Numeric, lines: Numeric, slope_deg: Numeric, load_lb: Numeric,
    span_ft: Numeric | None = None, place: str | None = None,
) -> Numeric:  # fmt: skip
    """Anchorage force of a system of Z purlins, an estimate for the engineer [lb].

    Parameters
    ----------
    held_at : str
        ``supports``, ``third points`` or ``midspan``: where the system is held.
    b_in, d_in, t_in : numeric
        Flange width, depth and base thickness of the purlins. [in]
    lines : numeric
        Lines of purlins that lean on one anchorage. [-]
    slope_deg : numeric
        Roof slope. [deg]
    load_lb : numeric
        Gravity load on all those lines over one span. [lb]
    span_ft : numeric, optional
        Span, for lines of several spans. [ft]
    place : str, optional
        ``end``, ``first interior`` or ``other``, for lines of several spans; a single span where not given.

    Returns
    -------
    numeric
        NaN outside 4 to 20 lines. Positive holds the sheet from moving up the slope.

    Raises
    ------
    InputError
        For an unknown place, or a dimension that is not above zero.
    """
    known = "supports, third points or midspan"
    if held_at not in SHARES or (place is not None and place not in SHARES[held_at]):
        raise InputError(Problem("anchorage", f"{held_at}, {place}", f"must be held at {known}, at a place of it.",
                                 "Say where the purlins are held against sliding."))  # fmt: skip
    require_positive("anchorage", b_in=b_in, d_in=d_in, t_in=t_in, lines=lines)
    n = np.asarray(lines, dtype=float)
    if place is None:
        P = _SINGLE[held_at](b_in, d_in, t_in, n, slope_deg, load_lb)
    else:
        require_positive("anchorage", span_ft=np.nan if span_ft is None else span_ft)
        L = 12.0 * np.asarray(span_ft, dtype=float)
        P = _MULTI[held_at](SHARES[held_at][place], b_in, d_in, t_in, L, n, slope_deg, load_lb)
    return np.where((n >= 4) & (n <= 20), P, np.nan)[()]
