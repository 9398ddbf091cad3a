"""Purlin lines asked for by name with plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from secondroof.errors import InputError, Problem
from secondroof.lines.beam import peak_deflections, peak_moments, sample_nodes, solve_line, support_mask
from secondroof.lines.laps import E_KSI
from secondroof.lines.ponding import ponding_line
from secondroof.lines.underfoot import underfoot as feel

FloatArray = NDArray[np.float64]


def _per_span(name: str, values: Sequence[float], n: int) -> FloatArray:
    if len(values) not in (1, n):
        raise InputError(
            Problem(name, f"{len(values)} numbers", f"must hold one number, or one for each of {n} spans.",
                    "Give one a span.")
        )  # fmt: skip
    return np.broadcast_to(np.asarray(values, dtype=float), (n,))


def _line(
    spans_ft: Sequence[float],
    I_in4: Sequence[float],
    E_ksi: float,
    cut_over: Sequence[int],
    places: FloatArray,
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_], NDArray[np.bool_], NDArray[np.intp], FloatArray]:
    """Nodes, supports, where held, where cut, span of each piece, stiffness of each piece."""
    spans = np.asarray(spans_ft, dtype=float)
    n = spans.size
    if n == 0 or np.any(spans <= 0):
        raise InputError(Problem("spans_ft", str(list(spans_ft)), "must be above zero.", "Measure each bay."))
    supports = np.concatenate([[0.0], np.cumsum(spans)])
    if places.size and (places.min() < 0 or places.max() > supports[-1]):
        raise InputError(
            Problem(
                "P_x_ft",
                str(places.tolist()),
                f"must lie from 0 to {supports[-1]:g} ft.",
                "Give the place on the line.",
            )
        )
    wrong = [c for c in cut_over if not 2 <= c <= n]
    if wrong:
        inner = f"Inner supports are 2 to {n}." if n > 1 else "One span has none."
        raise InputError(Problem("cut_over", str(wrong), "is not an inner support.", inner))
    x = sample_nodes(supports, places)
    held = support_mask(x, supports)
    cut = support_mask(x, supports[[c - 1 for c in cut_over]]) if cut_over else np.zeros(x.size, dtype=bool)
    span = np.clip(np.searchsorted(supports, (x[1:] + x[:-1]) / 2) - 1, 0, n - 1)
    return x, supports, held, cut, span, E_ksi * _per_span("I_in4", I_in4, n)[span]


def beam(
    spans_ft: Sequence[float],
    I_in4: Sequence[float],
    w_lb_ft: Sequence[float],
    *,
    E_ksi: float = E_KSI,
    P_lb: Sequence[float] = (),
    P_x_ft: Sequence[float] = (),
    cut_over: Sequence[int] = (),
) -> dict[str, Any]:
    """Line of beams over its supports: moments, reactions, deflections.

    Loads and deflections down positive, reactions up positive, moment positive for tension at the bottom.

    Parameters
    ----------
    spans_ft : list
        Spans in order. [ft]
    I_in4 : list
        Second moment of each span, or one for all; laps not counted. [in4]
    w_lb_ft : list
        Load on each span, or one for all, down positive. [lb/ft]
    E_ksi : float
        Modulus of elasticity. [ksi]
    P_lb : list
        Point loads, down positive. [lb]
    P_x_ft : list
        Their places from the first support. [ft]
    cut_over : list of int
        Inner supports over which the line is cut (no moment there), the first support counted 1.
    """
    if len(P_lb) != len(P_x_ft):
        raise InputError(
            Problem(
                "P_x_ft", f"{len(P_x_ft)} numbers", f"must pair with {len(P_lb)} loads.", "One place a load."
            )
        )
    places = np.asarray(P_x_ft, dtype=float)
    x, supports, held, cut, span, EI = _line(spans_ft, I_in4, E_ksi, cut_over, places)
    n = supports.size - 1
    w = _per_span("w_lb_ft", w_lb_ft, n)
    P = np.zeros(x.size)
    for at, load in zip(places, P_lb, strict=True):
        P[np.argmin(np.abs(x - at))] += load
    line = solve_line(x, held, EI, w[span], w[span], P, release=cut)
    M, d = peak_moments(line), peak_deflections(line)
    each = [np.flatnonzero(span == k) for k in range(n)]
    top = [i[np.argmax(M.most[i])] for i in each]
    low = [i[np.argmax(np.maximum(np.abs(d.most[i]), np.abs(d.least[i])))] for i in each]
    down = [(d.most[i], d.most_x_ft[i]) if abs(d.most[i]) >= abs(d.least[i]) else (d.least[i], d.least_x_ft[i])
            for i in low]  # fmt: skip
    return {
        "support_x_ft": supports,
        "M_support_kip_in": line.M_kip_in[held],
        "R_lb": line.R_lb[held],
        "M_span_kip_in": M.most[top],
        "M_span_x_ft": M.most_x_ft[top],
        "V_left_lb": line.V_left_lb[held],
        "V_right_lb": line.V_right_lb[held],
        "d_span_in": [v for v, _ in down],
        "d_span_x_ft": [v for _, v in down],
        "residual": line.residual,
    }


def underfoot(
    spans_ft: Sequence[float],
    I_in4: Sequence[float],
    weight_lb_ft: Sequence[float],
    *,
    E_ksi: float = E_KSI,
    P_lb: float = 300.0,
    cut_over: Sequence[int] = (),
) -> dict[str, Any]:
    """How a purlin line feels underfoot: deflection under a point load at each mid-span, and first frequency.

    Parameters
    ----------
    spans_ft : list
        Spans in order. [ft]
    I_in4 : list
        Second moment of each span, or one for all; laps not counted. [in4]
    weight_lb_ft : list
        Weight that swings with the line, its own included, of each span or one for all. [lb/ft]
    E_ksi : float
        Modulus of elasticity. [ksi]
    P_lb : float
        Point load of a person with tools; it rests on this line alone. [lb]
    cut_over : list of int
        Inner supports over which the line is cut (no moment there), the first support counted 1.
    """
    x, supports, held, cut, span, EI = _line(spans_ft, I_in4, E_ksi, cut_over, np.empty(0))
    weight = _per_span("weight_lb_ft", weight_lb_ft, supports.size - 1)
    found = feel(x, held, EI, weight[span], release=cut, P_lb=P_lb)
    words = "deflection and frequency limits: common practice, no source"
    return {"d_in": found.d_in, "span_over_d": found.span_over_d, "f_1_Hz": found.f_1_Hz, "feel": found.feel,
            "checked": words}  # fmt: skip


def ponding(
    spans_ft: Sequence[float],
    I_in4: Sequence[float],
    width_ft: float,
    stiff_in: float,
    *,
    other_lb_ft: float = 0.0,
    E_ksi: float = E_KSI,
    cut_over: Sequence[int] = (),
) -> dict[str, Any]:
    """Water on one level purlin line whose supports do not sink: where it comes to rest, or that it runs away.

    Parameters
    ----------
    spans_ft : list
        Spans in order. [ft]
    I_in4 : list
        Second moment of each span, or one for all; laps not counted. [in4]
    width_ft : float
        Width of roof the line carries. [ft]
    stiff_in : float
        Depth of water on the line if it did not bend. [in]
    other_lb_ft : float
        Other load there while it rains. [lb/ft]
    E_ksi : float
        Modulus of elasticity. [ksi]
    cut_over : list of int
        Inner supports over which the line is cut (no moment there), the first support counted 1.
    """
    x, _, held, cut, _, EI = _line(spans_ft, I_in4, E_ksi, cut_over, np.empty(0))
    water = ponding_line(x, held, EI, width_ft, stiff_in, other_lb_ft=other_lb_ft, release=cut)
    return {
        "settles": water.settles,
        "growth": water.growth,
        "amplification": water.amplification if water.settles else None,
        "moment_amplification": water.moment_amplification if water.settles else None,
        "water_lb": water.water_lb if water.settles else None,
        "deepest_in": float(np.max(water.depth_in)) if water.settles else None,
        "residual": water.residual,
        "checked": "own derivation; simple span agrees with the exact solution",
    }
