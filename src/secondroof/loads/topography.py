"""Topographic factor K_zt of ridges, escarpments and hills, ASCE 7-05 Fig. 6-4, 7-10 and later Fig. 26.8-1."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, Problem
from secondroof.loads.wind_editions import EXPOSURES, codes
from secondroof.loads.wind_formulas import (
    topographic_factor,
    topographic_K_1,
    topographic_K_2,
    topographic_K_3,
)

# K_1/(H/L_h) for exposure B, C, D; gamma; mu upwind, downwind. Verified: BNBC 2020 Fig. 6.2.4 (= ASCE 7-05 Fig. 6-4)
SHAPES = {
    "ridge": ((1.30, 1.45, 1.55), 3.0, 1.5, 1.5),
    "escarpment": ((0.75, 0.85, 0.95), 2.5, 1.5, 4.0),
    "hill": ((0.95, 1.05, 1.15), 4.0, 1.5, 1.5),
}
LEAST_HEIGHT_FT = {"B": 60.0, "C": 15.0, "D": 15.0}  # from memory: 26.8.1


@dataclass(frozen=True, slots=True)
class Topography:
    """Topographic factor with its parts.

    Attributes
    ----------
    applies : bool or array
        H/L_h at least 0.2 and the hill high enough (from memory). That the site lies in the upper half and the hill
        stands alone is for a person to say.
    K_1, K_2, K_3, K_zt : numeric
        Multipliers and factor; K_zt is 1 where it does not apply. [-]
    """

    applies: Any
    K_1: Any
    K_2: Any
    K_3: Any
    K_zt: Any


def topography(
    shape: str,
    exposure: ArrayLike | str,
    H_ft: ArrayLike,
    L_h_ft: ArrayLike,
    x_ft: ArrayLike,
    downwind: ArrayLike,
    z_ft: ArrayLike,
) -> Topography:
    """Topographic factor at a site.

    Parameters
    ----------
    shape : str
        ridge, escarpment or hill.
    exposure : str or array
        B, C, D, or codes.
    H_ft, L_h_ft : numeric
        Height of the hill; distance upwind of the crest to half the height. [ft]
    x_ft : numeric
        Distance from the crest. [ft]
    downwind : bool or array
        True where the site lies downwind of the crest.
    z_ft : numeric
        Height above ground at the site, mean roof height. [ft]
    """
    if shape not in SHAPES:
        raise InputError(
            Problem("shape", str(shape), f"Must be one of {', '.join(SHAPES)}.", "Use one of these.")
        )
    H, L_h, z = (np.asarray(v, dtype=float) for v in (H_ft, L_h_ft, z_ft))
    if not (np.all(H > 0) and np.all(L_h > 0) and np.all(z >= 0)):
        raise InputError(
            Problem(
                "H_ft, L_h_ft, z_ft",
                f"{H_ft!r}, {L_h_ft!r}, {z_ft!r}",
                "Sizes above 0 ft.",
                "Read them off a map.",
            )
        )
    k, gamma, upwind_mu, downwind_mu = SHAPES[shape]
    code = codes("exposure", exposure, EXPOSURES)
    mu = np.where(np.asarray(downwind, dtype=bool), downwind_mu, upwind_mu)
    K_1 = topographic_K_1(np.array(k)[code], H, L_h)
    K_2 = topographic_K_2(np.asarray(x_ft, dtype=float), mu, L_h, H)
    K_3 = topographic_K_3(gamma, z, L_h, H)
    applies = (H / L_h >= 0.2) & (np.array([LEAST_HEIGHT_FT[e] for e in EXPOSURES])[code] <= H)
    return Topography(applies, K_1, K_2, K_3, np.where(applies, topographic_factor(K_1, K_2, K_3), 1.0))
