"""Main-frame wind on low-rise roofs, envelope procedure: ASCE 7-10 Fig. 28.4-1, 7-16 and 7-22 Fig. 28.3-1.

For the change in frame load a recover may bring, and for parts above 700 ft2 of tributary area. Roof surfaces only
(2 windward, 3 leeward, E = end strip 2a wide); torsional cases and the minimum on the projected area are left to the
engineer. Coefficients from memory; one public copy of the 7-22 figure agrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, MissingError, Problem
from secondroof.formula import formula
from secondroof.loads.wind_editions import (
    EXPOSURES,
    codes,
    edition_data,
    internal_coefficient,
    velocity_exposure,
    velocity_pressure,
)
from secondroof.loads.wind_formulas import net_pressure_22

_MEMORY = "from memory: one public copy of the 7-22 figure agrees"
FIGURE = {"7-10": "Fig. 28.4-1", "7-16": "Fig. 28.3-1", "7-22": "Fig. 28.3-1"}
SURFACES = ("2", "3", "2E", "3E")
SLOPES_DEG = (5.0, 20.0, 30.0, 45.0)
# wind square to the ridge (first load case), at SLOPES_DEG
ACROSS = {
    "2": (-0.69, -0.69, 0.21, 0.21),
    "3": (-0.37, -0.48, -0.43, -0.43),
    "2E": (-1.07, -1.07, 0.27, 0.27),
    "3E": (-0.53, -0.69, -0.53, -0.53),
}
# wind along the ridge (second load case), all slopes
ALONG = {"2": -0.69, "3": -0.37, "2E": -1.07, "3E": -0.53}


@formula("p", unit="psf", clause="ASCE 7-10 Eq. 28.4-1, 7-16 Eq. 28.3-1", checked=_MEMORY)
def frame_pressure(q_h: Any, GC_pf: Any, GCpi: Any) -> Any:
    """Net pressure on a roof surface for the main frames, negative = uplift [psf].

    Parameters
    ----------
    q_h : numeric
        Velocity pressure at mean roof height. [psf]
    GC_pf : numeric
        External pressure coefficient of the surface. [-]
    GCpi : numeric
        Internal pressure coefficient with its sign. [-]
    """
    return q_h * (GC_pf - GCpi)


# both end walls, wind along the ridge (second load case): windward, leeward; E = end strip
END_WALLS = {"5": 0.40, "6": -0.29, "5E": 0.61, "6E": -0.43}


@formula("F", unit="kip", clause="ASCE 7-10 Fig. 28.4-1, 7-16 and 7-22 Fig. 28.3-1", checked=_MEMORY)
def end_wall_force(q_h: Any, A: Any, A_E: Any, c: Any, c_E: Any) -> Any:
    """Wind along the ridge on both end walls together, internal pressure cancelling [kip].

    Parameters
    ----------
    q_h : numeric
        Velocity pressure at mean roof height, direction factor counted. [psf]
    A, A_E : numeric
        Area of one end wall that hands its wind to the roof, and the part of it in the end strip. [ft2]
    c, c_E : numeric
        Windward less leeward coefficient outside and inside the end strip. [-]
    """
    return q_h * (c * (A - A_E) + c_E * A_E) / 1000


@dataclass(frozen=True, slots=True)
class FramePressures:
    """Main-frame roof pressures; first axis: surfaces of ``SURFACES``.

    Attributes
    ----------
    across_up_psf, across_down_psf : ndarray
        Wind square to the ridge with internal pressure and with internal suction. [psf]
    along_up_psf, along_down_psf : ndarray
        Wind along the ridge. [psf]
    GC_pf_across, GC_pf_along : ndarray
        External coefficients. [-]
    """

    edition: str
    figure: str
    level: str
    checked: str
    surfaces: tuple[str, ...]
    q_h_psf: Any
    GC_pf_across: Any
    GC_pf_along: Any
    across_up_psf: Any
    across_down_psf: Any
    along_up_psf: Any
    along_down_psf: Any
    asd_factor: float


def frame_pressures(
    edition: str,
    V_mph: ArrayLike,
    exposure: ArrayLike | str,
    h_ft: ArrayLike,
    least_width_ft: ArrayLike,
    K_zt: ArrayLike,
    enclosure: ArrayLike | str,
    slope_deg: ArrayLike,
    *,
    K_e: ArrayLike = 1.0,
) -> FramePressures:
    """Main-frame wind pressures on the roof of a low-rise building.

    Parameters
    ----------
    edition : str
        7-10, 7-16 or 7-22.
    V_mph, exposure, h_ft, K_zt, enclosure, slope_deg
        As in :func:`secondroof.loads.wind.design_pressures`; slope up to 45 degrees.
    least_width_ft : numeric
        Least horizontal dimension; the mean roof height must not exceed it. [ft]
    K_e : numeric
        Ground elevation factor, 7-16 and later. [-]

    Raises
    ------
    MissingError
        7-05: its figure is not held.
    """
    if edition not in FIGURE:
        edition_data(edition)
        raise MissingError(
            f"ASCE {edition}: the main-frame roof coefficients are not held here; an engineer gives them."
        )
    h, theta = np.asarray(h_ft, dtype=float), np.asarray(slope_deg, dtype=float)
    problems = []
    if not (np.all(h > 0) and np.all(h <= 60) and np.all(h <= np.asarray(least_width_ft, dtype=float))):
        problems.append(
            Problem(
                "h_ft",
                str(h_ft)[:60],
                "Low-rise: height up to 60 ft and not above the least width.",
                "Measure again.",
            )
        )
    if not (np.all(theta >= 0) and np.all(theta <= 45)):
        problems.append(
            Problem("slope_deg", str(slope_deg)[:60], "The figure serves 0 to 45 degrees.", "Give degrees.")
        )
    if problems:
        raise InputError(problems)
    e = edition_data(edition)
    code = codes("exposure", exposure, EXPOSURES)
    K_z = np.where((code == 0) & (h < 30.0), 0.70, velocity_exposure(edition, code, h))  # 0.70 in Chapter 28
    q = velocity_pressure(edition, K_z, K_zt, K_e, V_mph)
    across = np.array([np.interp(theta, SLOPES_DEG, ACROSS[s]) for s in SURFACES])
    along = np.array([np.full(theta.shape, ALONG[s]) for s in SURFACES])
    inner = internal_coefficient(edition, enclosure)

    def net(coefficient: Any, sign: float) -> Any:
        if e.K_d_in_q:
            return frame_pressure(q, coefficient, sign * inner)
        return net_pressure_22(q, e.K_d, coefficient, sign * inner)

    return FramePressures(
        edition,
        f"ASCE {edition} {FIGURE[edition]}",
        e.level,
        _MEMORY,
        SURFACES,
        q,
        across,
        along,
        net(across, 1.0),
        net(across, -1.0),
        net(along, 1.0),
        net(along, -1.0),
        e.asd_factor,
    )
