"""Strengths of a plane's lines laid out by bay, lap end and frame, for one way of working and one method."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from secondroof.purlins.ratios import Limits
from secondroof.purlins.strength import C_B_TO_ZERO, bending_at
from secondroof.purlins.supports import bending_crippling_ratio, support

if TYPE_CHECKING:
    from secondroof.loads.combinations import Method as Combined
    from secondroof.purlins.effects import Way
    from secondroof.purlins.sections import LineSections
    from secondroof.purlins.strength import Capacity, Method
    from secondroof.purlins.uplift import UpliftStrengths

FloatArray = NDArray[np.float64]
#: Step of the ladder of unbraced lengths; lengths between are rounded up. [in]
HOG_STEP_IN = 3.0
METHOD: dict[Combined, Method] = {"ASD": "asd", "LRFD": "lrfd"}


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """What holds the top flange: the answer for the sheet, and the spacing of sag braces by row of the uplift table."""

    answer: str
    sag_length_in: FloatArray


def bare_of(lift: UpliftStrengths, method: Method) -> FloatArray:
    """Strength of the bare bottom flange by row of the uplift table. [kip-in]

    With the fastened sheet where every condition is met; with the open ones taken as met where some are open (an upper
    bound, used only to say *short*); else between the sag braces found, else with no brace: numbers for the engineer.
    """
    best = lift.fastened.by(method)
    for other in (lift.fastened_if_met, lift.between_sag, lift.unbraced):
        best = np.where(np.isnan(best), other.by(method), best)
    return np.asarray(best)


def limits_of(
    found: LineSections, cap: Capacity, lift: UpliftStrengths, at: NDArray[np.intp], lap_in: FloatArray,
    method: Combined, way: Way, held: Held, hogs: FloatArray,
) -> Limits:  # fmt: skip
    """Strengths of the lines ``at`` (rows of ``found.lines``).

    Parameters
    ----------
    lap_in : ndarray, shape (n_line, n_frame)
        Laps that count; NaN where they do not. [in]
    method : str
        ASD or LRFD.
    way : Way
        How the line works.
    held : Held
        What holds the top flange at this stage.
    hogs : ndarray
        Table of :func:`hog_table` by the same method.
    """
    m = METHOD[method]
    which, rows = found.which[at], lift.which[at]
    top = cap.top_held.M.by(m)[which]
    if held.answer == "no":
        length = np.where(np.isnan(held.sag_length_in), 12.0 * lift.span_ft, held.sag_length_in)
        top = bending_at(found, which, "top", length[rows]).M.by(m)
    both = np.nan_to_num(lap_in)[:, 1:-1] > 0
    left, right = which[:, :-1], which[:, 1:]
    seat, lifted = (support(cap, left, right, both, side=s) for s in ("bottom", "top"))
    ends = which[:, [0, -1]]

    def framed(inner: FloatArray, end: FloatArray) -> FloatArray:
        return np.concatenate([end[ends[:, :1]], inner, end[ends[:, 1:]]], axis=1)

    single = way == "simple spans"
    crush = cap.end.P.by(m)[left] + cap.end.P.by(m)[right] if single else seat.P.by(m)
    crush_n = cap.end.P.nominal[left] + cap.end.P.nominal[right] if single else seat.P_n
    bearing, bearing_n = framed(crush, cap.end.P.by(m)), framed(crush_n, cap.end.P.nominal)
    moment_n = framed(seat.M_nlo, cap.bottom_held.M_nlo)

    def press(i: int, P: FloatArray, M: FloatArray) -> FloatArray:
        with_M = np.asarray(bending_crippling_ratio(P, M, bearing_n[i], moment_n[i], m))
        return np.where((M > 0) & (P > 0), with_M, 0.0)

    def hog(i: int, length_in: FloatArray) -> FloatArray:
        step = np.minimum(np.ceil(length_in / HOG_STEP_IN - 1e-9).astype(int), hogs.shape[1] - 1)
        return np.asarray(hogs[np.repeat(which[i], 2), step])

    return Limits(
        span=top, bare=bare_of(lift, m)[rows], turned=bare_of(lift, m)[rows], hog=hog,
        shear=cap.shear.by(m)[which], seat=framed(seat.M.by(m), cap.bottom_held.M.by(m)),
        seat_lifted=framed(lifted.M.by(m), cap.top_held.M.by(m)), seat_shear=framed(seat.V.by(m), cap.shear.by(m)),
        bearing=bearing, side=cap.end.P.by(m)[which] if single else None, press=press,
    )  # fmt: skip


def hog_table(found: LineSections, longest_in: float, method: Method) -> FloatArray:
    """Strength with the bottom flange compressed at a ladder of lengths, (n, n_step). [kip-in]

    Lengths rise from 0 in steps of ``HOG_STEP_IN``; C_b and the gradient factor of distortional buckling are those of a
    moment that falls in a line to zero over the length.
    """
    lengths = np.arange(0.0, longest_in + HOG_STEP_IN, HOG_STEP_IN)
    each = np.arange(found.count)[:, None]
    restraint = np.where(lengths > 0, lengths, np.inf)
    return bending_at(found, each, "bottom", lengths, C_b=C_B_TO_ZERO, L_m_in=restraint, M_ratio=0.0).M.by(
        method
    )
