"""Shear the roof passes in its own plane: wind along the ridge on the end walls, handed to the roof at its edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.frames import frame_sources, main_frame_pressures
from secondroof.checks.model import Source
from secondroof.checks.steps import singled
from secondroof.errors import InputError, MissingError
from secondroof.formula import formula, recording
from secondroof.loads.mwfrs import END_WALLS, end_wall_force
from secondroof.loads.wind_formulas import edge_strip_width

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.acting.wind import Wind
    from secondroof.formula import Step
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey


@formula("v", unit="lb/ft", clause="half the force to each side wall, spread along it", checked="definition")
def edge_shear(F: float, L: float) -> float:
    """Shear along each side wall where the sheet alone passed the wind [lb/ft].

    Parameters
    ----------
    F : numeric
        Force at the roof, at the level used. [kip]
    L : numeric
        Length of the roof along the ridge. [ft]
    """
    return 1000 * F / (2 * L)


@dataclass(frozen=True, slots=True)
class InPlane:
    """Wind the roof passes in its plane along the ridge.

    Attributes
    ----------
    force_kip, shear_lb_ft : float
        Force on the roof, and shear along each side wall were the sheet alone to pass it, at allowable stress level.
    sentence, clause : str
        In plain words.
    steps, sources : tuple of Step, mapping of str to Source
        The card; pressures on the roof itself, which pass nothing in its plane, are left out.
    """

    force_kip: float
    shear_lb_ft: float
    sentence: str
    clause: str
    steps: tuple[Step, ...]
    sources: Mapping[str, Source]


def in_plane(survey: Survey, roof: Roof, wind: Wind | None) -> InPlane | None:
    """Shear in the plane of the roof from wind along the ridge; None where the wind or its figure is not held.

    The upper half of each end wall, to mid-height of its gable, hands its wind to the roof (common practice, no
    source).
    """
    if wind is None:
        return None
    try:
        with recording() as recorder:
            found = main_frame_pressures(wind, roof, roof.h_ft)
            q = float(found.q_h_psf) * (1.0 if wind.edition != "7-22" else 0.85)
            half = (roof.eave_height_ft + roof.ridge_height_ft) / 4.0
            strip = 2.0 * float(edge_strip_width(roof.h_ft, min(roof.length_ft, roof.width_ft)))
            c, c_E = END_WALLS["5"] - END_WALLS["6"], END_WALLS["5E"] - END_WALLS["6E"]
            F = found.asd_factor * float(end_wall_force(q, half * roof.width_ft, half * strip, c, c_E))
            v = float(edge_shear(F, roof.length_ft))
    except (MissingError, InputError):
        return None
    text = (
        f"Wind along the ridge brings {F:.1f} kip to the roof at allowable level; were the sheet alone to pass it, "
        f"{v:.0f} lb/ft along each side wall. Coefficients from memory. The engineer says what rods and sheet take."
    )
    sources = frame_sources(survey, wind, found) | {
        "A": Source("upper half of the end wall, to mid-height of its gable (common practice, no source)"),
        "A_E": Source("the part of it in the end strip"),
        **dict.fromkeys(("c", "c_E"), Source("end walls, windward less leeward (from memory)")),
        "F": Source("above, at allowable level"),
        "L": Source("length of the roof"),
        "B": Source("the lesser of length and width of the roof"),
        "h": Source("mean roof height, survey"),
    }
    steps = tuple(s for s in (*wind.steps, *singled(recorder.steps)) if np.size(s.result) == 1)
    return InPlane(F, v, text, found.figure, steps, sources)
