"""Extremes of a solved line between its nodes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.lines.words import IN_PER_FT, LB_PER_KIP, FloatArray

if TYPE_CHECKING:
    from secondroof.lines.beam import LineResponse

_HALVINGS = 50


@dataclass(frozen=True, slots=True, eq=False)
class Peaks:
    """Highest and lowest value in each piece of a line, its ends counted, and where they stand.

    Attributes
    ----------
    most, least : (..., n-1) array
        Values, in the unit of the function that made them.
    most_x_ft, least_x_ft : (..., n-1) array
        Their places. [ft]
    """

    most: FloatArray
    most_x_ft: FloatArray
    least: FloatArray
    least_x_ft: FloatArray


def peak_moments(response: LineResponse) -> Peaks:
    """Exact highest and lowest moment of each piece [kip-in], at its ends or where the shear is zero.

    Parameters
    ----------
    response : LineResponse
        A solved line.
    """
    h, V, w, k = _pieces(response)
    M = response.M_kip_in
    with np.errstate(divide="ignore", invalid="ignore"):
        # V - w s - k s^2 / 2 = 0, in the form that does not lose figures where k is small.
        q = w + np.copysign(np.sqrt(w**2 + 2 * k * V), w)
        roots = np.stack((2 * V / q, -q / k))
    inside = (roots > 0) & (roots < h)
    s = np.where(inside, roots, 0.0)
    inner = M[..., :-1] + V * s - w * s**2 / 2 - k * s**3 / 6
    values = np.concatenate((inner, np.stack((M[..., :-1], M[..., 1:]))))
    places = np.concatenate((s, np.stack((np.zeros_like(V), np.broadcast_to(h, V.shape)))))
    return _extremes(values, places, response)


def peak_deflections(response: LineResponse) -> Peaks:
    """Highest and lowest deflection of each piece [in], at its ends or where the slope is zero.

    One turning point in a piece is found; pieces of a twentieth of a span do not hold two that matter.

    Parameters
    ----------
    response : LineResponse
        A solved line.
    """
    h, V, w, k = _pieces(response)
    EI = response.EI_kip_in2
    M, turn = response.M_kip_in[..., :-1], response.slope_right[..., :-1]

    def slope(s: FloatArray) -> FloatArray:
        return turn - (M * s + V * s**2 / 2 - w * s**3 / 6 - k * s**4 / 24) / EI

    low, high = np.zeros_like(V), np.broadcast_to(h, V.shape)
    turns = turn * response.slope_left[..., 1:] < 0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        same = slope(middle) * turn > 0
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    s = np.where(turns, low, 0.0)
    bend = M * s**2 / 2 + V * s**3 / 6 - w * s**4 / 24 - k * s**5 / 120
    inner = response.d_in[..., :-1] + turn * s - bend / EI
    values = np.stack((inner, response.d_in[..., :-1], response.d_in[..., 1:]))
    places = np.stack((s, np.zeros_like(s), np.broadcast_to(h, s.shape)))
    return _extremes(values, places, response)


def _pieces(response: LineResponse) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Length [in], shear at the left end [kip], load there [kip/in] and its growth [kip/in2] of each piece."""
    h = np.diff(response.x_ft) * IN_PER_FT
    w = response.w0_lb_ft / (IN_PER_FT * LB_PER_KIP)
    k = (response.w1_lb_ft / (IN_PER_FT * LB_PER_KIP) - w) / h
    return h, response.V_right_lb[..., :-1] / LB_PER_KIP, w, k


def _extremes(values: FloatArray, places_in: FloatArray, response: LineResponse) -> Peaks:
    x = response.x_ft[:-1] + places_in / IN_PER_FT
    most, least = np.argmax(values, axis=0)[None], np.argmin(values, axis=0)[None]
    return Peaks(
        np.take_along_axis(values, most, 0)[0],
        np.take_along_axis(x, most, 0)[0],
        np.take_along_axis(values, least, 0)[0],
        np.take_along_axis(x, least, 0)[0],
    )
