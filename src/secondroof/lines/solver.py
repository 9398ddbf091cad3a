"""Force method for a line of beams: moments over supports first, the rest by statics.

Every integral over a piece is exact for loads that vary in a straight line and stiffness that does not vary inside
the piece.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from secondroof.lines.words import IN_PER_FT, LB_PER_KIP, BoolArray, FloatArray


def force_method(
    x_ft: FloatArray,
    support: BoolArray,
    release: BoolArray,
    EI: FloatArray,
    w0_lb_ft: FloatArray,
    w1_lb_ft: FloatArray,
    P_lb: FloatArray,
    settle_in: FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, float]:
    """Moments [kip-in], shears left and right [lb], reactions [lb], deflections [in], slopes left and right, residual.

    Arguments are those of :func:`secondroof.lines.beam.solve_line`, checked and of full length; loads of full shape.
    """
    n = x_ft.size
    held = np.flatnonzero(support)
    left_over, right_over = int(held[0] > 0), int(held[-1] < n - 1)
    # Parts of the line: left overhang if any, the spans, right overhang if any; piece e runs from node e to e + 1.
    edges = np.concatenate(([0] * left_over, held, [n - 1] * right_over)).astype(np.intp)
    first = edges[:-1]
    parts = list(zip(first.tolist(), edges[1:].tolist(), strict=True))
    part_of = np.repeat(np.arange(first.size), np.diff(edges))
    spans = slice(left_over, left_over + held.size - 1)

    x = x_ft * IN_PER_FT
    h = np.diff(x)
    length = x[edges[1:]] - x[edges[:-1]]
    xi0 = (x[:-1] - x[first][part_of]) / length[part_of]
    xi1 = (x[1:] - x[first][part_of]) / length[part_of]
    w0, w1 = (w / (IN_PER_FT * LB_PER_KIP) for w in (w0_lb_ft, w1_lb_ft))
    P = P_lb / LB_PER_KIP
    load = (w0 + w1) / 2 * h

    # Moments of each part as if it began at a free, unloaded end.
    drop = np.zeros_like(load)
    drop[..., 1:] = load[..., :-1] + P[..., 1:-1]
    drop[..., first] = 0.0
    if left_over:
        drop[..., 0] = P[..., 0]
    shear = -_running(drop, parts)
    moment_right = _running(shear * h - h**2 * (2 * w0 + w1) / 6, parts)
    ends = moment_right[..., edges[1:] - 1]
    # The same between end moments of zero.
    base0 = _before(moment_right, first) - ends[..., part_of] * xi0
    base1 = moment_right - ends[..., part_of] * xi1

    # Moments over supports.
    top = np.zeros((*load.shape[:-1], held.size))
    if left_over:
        top[..., 0] = ends[..., 0]
    if right_over:
        end_shear = load[..., -1] + P[..., -1] - shear[..., -1]
        top[..., -1] = -(ends[..., -1] + end_shear * length[-1])
    area, lean = _bent(base0, base1, w0, w1, h, EI)
    far = np.add.reduceat(xi0 * area + (xi1 - xi0) * lean, first, axis=-1)[..., spans]
    near = np.add.reduceat(area, first, axis=-1)[..., spans] - far
    flex = [np.add.reduceat(h / EI * shape, first, axis=-1)[..., spans] for shape in _shapes(xi0, xi1)]
    tilt = np.diff(settle_in[..., held], axis=-1) / length[spans]
    _three_moments(top, flex, near, far, tilt, release[held])

    # Everything from statics.
    at_start = np.zeros((*load.shape[:-1], first.size))
    at_end = np.zeros_like(at_start)
    at_start[..., left_over:] = top[..., : first.size - left_over]
    at_end[..., : first.size - right_over] = top[..., 1 - left_over : 1 - left_over + first.size - right_over]
    M0 = base0 + at_start[..., part_of] * (1 - xi0) + at_end[..., part_of] * xi0
    M1 = base1 + at_start[..., part_of] * (1 - xi1) + at_end[..., part_of] * xi1
    V0 = shear + ((at_end - at_start - ends) / length)[..., part_of]
    V1 = V0 - load
    M = np.concatenate((M0, M1[..., -1:]), axis=-1)
    M[..., held] = top
    none = np.zeros_like(M[..., :1])
    V_left = np.concatenate((none, V1), axis=-1)
    V_right = np.concatenate((V0, none), axis=-1)
    R = np.where(support, V_right - V_left + P, 0.0)

    # Slope and deflection, part by part, then turned so that each span meets its supports.
    area, lean = _bent(M0, M1, w0, w1, h, EI)
    turn = -_running(area, parts)
    turn0 = _before(turn, first)
    sag = _running(turn0 * h - h * (area - lean), parts)
    turn_end, sag_end = turn[..., edges[1:] - 1], sag[..., edges[1:] - 1]
    start_d = np.zeros_like(at_start)
    start_d[..., left_over:] = settle_in[..., held][..., : first.size - left_over]
    start_turn = np.zeros_like(at_start)
    start_turn[..., spans] = tilt - sag_end[..., spans] / length[spans]
    if left_over:
        start_turn[..., 0] = start_turn[..., 1] - turn_end[..., 0]
        start_d[..., 0] = settle_in[..., held[0]] - sag_end[..., 0] - start_turn[..., 0] * length[0]
    if right_over:
        start_turn[..., -1] = start_turn[..., -2] + turn_end[..., -2]
    slope0 = turn0 + start_turn[..., part_of]
    slope1 = turn + start_turn[..., part_of]
    d1 = sag + start_d[..., part_of] + start_turn[..., part_of] * (xi1 * length[part_of])
    d = np.concatenate((start_d[..., :1], d1), axis=-1)
    d[..., held] = settle_in[..., held]
    slope_left = np.concatenate((slope0[..., :1], slope1), axis=-1)
    slope_right = np.concatenate((slope0, slope1[..., -1:]), axis=-1)

    residual = _residual(x, w0, w1, h, P, R, slope_left, slope_right, support & ~release)
    k = LB_PER_KIP
    return M, V_left * k, V_right * k, R * k, d, slope_left, slope_right, residual


def _running(values: FloatArray, parts: list[tuple[int, int]]) -> FloatArray:
    """Running sum along the line that begins anew in each part."""
    out = np.empty_like(values)
    for a, b in parts:
        np.cumsum(values[..., a:b], axis=-1, out=out[..., a:b])
    return out


def _before(running: FloatArray, first: NDArray[np.intp]) -> FloatArray:
    """Value at the left end of each piece from the running value at its right end: zero where a part begins."""
    out = np.empty_like(running)
    out[..., 1:] = running[..., :-1]
    out[..., first] = 0.0
    return out


def _bent(
    M0: FloatArray, M1: FloatArray, w0: FloatArray, w1: FloatArray, h: FloatArray, EI: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Area of M / EI over each piece, and its first moment about the left end divided by the length of the piece."""
    area = h * (M0 + M1) / 2 + h**3 * (w0 + w1) / 24
    lean = h * (M0 + 2 * M1) / 6 + h**3 * (7 * w0 + 8 * w1) / 360
    return area / EI, lean / EI


def _shapes(xi0: FloatArray, xi1: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Mean over each piece of (1 - xi)^2, xi^2 and xi (1 - xi), xi running from 0 to 1 over the span."""
    a0, a1 = 1 - xi0, 1 - xi1
    return (
        (a0**2 + a0 * a1 + a1**2) / 3,
        (xi0**2 + xi0 * xi1 + xi1**2) / 3,
        (2 * a0 * xi0 + a0 * xi1 + a1 * xi0 + 2 * a1 * xi1) / 6,
    )


def _three_moments(
    top: FloatArray,
    flex: list[FloatArray],
    near: FloatArray,
    far: FloatArray,
    tilt: FloatArray,
    cut: BoolArray,
) -> None:
    """Fill in the moments over inner supports so that slopes agree; a cut support keeps zero.

    Elimination from left to right: the matrix is symmetric and positive definite, so no rows change places.
    """
    aa, bb, ab = flex
    k = top.shape[-1]
    ratio = np.zeros_like(top)
    for i in range(1, k - 1):
        if cut[i]:
            continue
        pivot = bb[..., i - 1] + aa[..., i] - ab[..., i - 1] * ratio[..., i - 1]
        ratio[..., i] = ab[..., i] / pivot
        right = tilt[..., i - 1] - tilt[..., i] - far[..., i - 1] - near[..., i]
        top[..., i] = (right - ab[..., i - 1] * top[..., i - 1]) / pivot
    for i in range(k - 2, 0, -1):
        top[..., i] -= ratio[..., i] * top[..., i + 1]


def _residual(
    x: FloatArray,
    w0: FloatArray,
    w1: FloatArray,
    h: FloatArray,
    P: FloatArray,
    R: FloatArray,
    slope_left: FloatArray,
    slope_right: FloatArray,
    joined: BoolArray,
) -> float:
    """Largest relative want of equilibrium of the whole line, or of equal slopes over uncut supports."""
    load, arm = (w0 + w1) / 2 * h, x - x[0]
    force = load.sum(-1) + P.sum(-1) - R.sum(-1)
    turning = (load * arm[:-1] + h**2 * (w0 + 2 * w1) / 6).sum(-1) + ((P - R) * arm).sum(-1)
    size = np.abs(load).sum(-1) + np.abs(P).sum(-1) + np.abs(R).sum(-1)
    slope = np.abs(slope_left - slope_right)[..., joined].max(-1)
    steepest = np.maximum(np.abs(slope_left).max(-1), np.abs(slope_right).max(-1))
    tiny = np.finfo(float).tiny
    worst = np.maximum(np.abs(force), np.abs(turning) / arm[-1]) / np.maximum(size, tiny)
    return float(np.max(np.maximum(worst, slope / np.maximum(steepest, tiny)), initial=0.0))
