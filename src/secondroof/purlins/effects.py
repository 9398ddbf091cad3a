"""Moments, shears, reactions and deflections of every old purlin line of a plane under every case.

Three ways a line may work are solved, because a lap of an old roof is never known to be stiff: laps counted (both
members over the lap), laps not counted (one member straight through) and simple spans (cut over every frame).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from secondroof.lines.beam import support_mask, unrecorded_line
from secondroof.lines.laps import E_KSI, lap_ends, line_I

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.acting.lineloads import LineLoads

FloatArray = NDArray[np.float64]
Way = Literal["laps counted", "laps not counted", "simple spans"]
#: Stands in where no section of a line is known; no strength of that line is then known either. [in4]
STAND_IN_IN4 = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Effects:
    """What the cases do on the lines of one plane, worked one way.

    Attributes
    ----------
    plane : str
        The plane.
    way : Way
        How the line was taken to work.
    lines : ndarray of int, shape (n_line,)
        Lines counted from the eave.
    x_ft : ndarray, shape (n_node,)
        Places along the ridge. [ft]
    M, V_left, V_right, R, d : ndarray, shape (n_case, n_line, n_node)
        Moment [kip-in], shear just left and right [lb], reaction [lb], deflection [in]; square to the roof.
    residual : float
        Largest self-check of the solver. [-]
    """

    plane: str
    way: Way
    lines: NDArray[np.intp]
    x_ft: FloatArray
    M: FloatArray
    V_left: FloatArray
    V_right: FloatArray
    R: FloatArray
    d: FloatArray
    residual: float


def all_lap_ends(frames_ft: Sequence[float], lap_in: FloatArray) -> FloatArray:
    """Places where some line's laps end, both sides of every inner frame. [ft]

    Parameters
    ----------
    frames_ft : sequence of float
        Frame lines. [ft]
    lap_in : ndarray, shape (n_line, n_frame)
        Lap each side of each frame; NaN laps have no end. [in]
    """
    different = np.unique(np.nan_to_num(lap_in, nan=0.0), axis=0) / 12.0
    return np.unique(np.concatenate([np.zeros(0), *(lap_ends(frames_ft, lap, lap) for lap in different)]))


def stiffness(
    x_ft: FloatArray, frames_ft: Sequence[float], Ix_in4: FloatArray, lap_in: FloatArray, way: Way
) -> FloatArray:
    """Bending stiffness of every piece of every line. [kip-in2]

    Parameters
    ----------
    x_ft : ndarray, shape (n_node,)
        Places; ends of laps are among them. [ft]
    frames_ft : sequence of float
        Frame lines. [ft]
    Ix_in4 : ndarray, shape (n_line, n_bay)
        Second moment of each line and bay; where NaN the mean of the line's other bays stands in. [in4]
    lap_in : ndarray, shape (n_line, n_frame)
        Lap each side; NaN where there is none. [in]
    way : Way
        Only ``laps counted`` adds the lapping members.

    Returns
    -------
    ndarray, shape (n_line, n_node - 1)
    """
    finite = np.isfinite(Ix_in4)
    mean = np.where(finite, Ix_in4, 0.0).sum(axis=1) / np.maximum(finite.sum(axis=1), 1)
    known = np.where(finite, Ix_in4, np.where(mean > 0, mean, STAND_IN_IN4)[:, None])
    counted = way == "laps counted"
    rows = [
        line_I(x_ft, frames_ft, I, lap / 12.0, lap / 12.0, laps_counted=counted)
        for I, lap in zip(known, lap_in, strict=True)
    ]
    return E_KSI * np.array(rows)


def effects(
    loads: LineLoads, frames_ft: Sequence[float], Ix_in4: FloatArray, lap_in: FloatArray, way: Way
) -> Effects:
    """Solve every line of one plane under every case.

    Parameters
    ----------
    loads : LineLoads
        Loads of the plane; ends of laps are among its places.
    frames_ft : sequence of float
        Frame lines. [ft]
    Ix_in4 : ndarray, shape (n_line, n_bay)
        Second moment of each line of the plane in each bay; where NaN the mean of the line's other bays stands in, and
        what holds on such a line is not known to hold. [in4]
    lap_in : ndarray, shape (n_line, n_frame)
        Lap each side of each frame. [in]
    way : Way
        How the line works.
    """
    x = loads.x_ft
    held = support_mask(x, frames_ft)
    cut = held.copy() if way == "simple spans" else np.zeros_like(held)
    cut[[0, -1]] = False
    w0, w1, P = loads.square_to_roof()
    EI = stiffness(x, frames_ft, Ix_in4, lap_in, way)
    shape = (len(loads.cases), loads.lines.size, x.size)
    M, left, right, R, d = (np.zeros(shape) for _ in range(5))
    residual = 0.0
    for rows in _alike(EI):
        found = unrecorded_line(x, held, EI[rows[0]], w0[:, rows], w1[:, rows], P[:, rows], release=cut)
        M[:, rows], left[:, rows], right[:, rows] = found.M_kip_in, found.V_left_lb, found.V_right_lb
        R[:, rows], d[:, rows] = found.R_lb, found.d_in
        residual = max(residual, found.residual)
    return Effects(loads.plane, way, loads.lines, x, M, left, right, R, d, residual)


def _alike(EI: FloatArray) -> list[NDArray[np.intp]]:
    """Lines of equal stiffness all along, together."""
    _, group = np.unique(EI, axis=0, return_inverse=True)
    return [np.flatnonzero(group.ravel() == g) for g in range(int(group.max()) + 1)]
