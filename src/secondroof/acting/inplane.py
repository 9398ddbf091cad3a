"""Shear the roof passes in its own plane: wind along the ridge on the end walls, handed to the roof at its edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.frames import frame_sources, main_frame_pressures
from secondroof.checks.model import Need, Source
from secondroof.checks.steps import singled
from secondroof.errors import InputError, MissingError
from secondroof.formula import formula, recording
from secondroof.loads.mwfrs import END_WALLS, end_wall_force
from secondroof.loads.wind import edition_data
from secondroof.loads.wind_formulas import edge_strip_width

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.acting.wind import Wind
    from secondroof.formula import Step
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey


DECIDES_IN_PLANE = "what rods and sheet pass in the plane of the roof"


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


@formula(
    "q_d", unit="psf", clause="ASCE 7-22 Eq. 28.3-1", checked="from memory: K_d stands outside q_h in 7-22"
)
def directed_pressure(q_h: float, K_d: float) -> float:
    """Velocity pressure with the direction factor counted, where the edition leaves it out of q_h [psf].

    Parameters
    ----------
    q_h : numeric
        Velocity pressure at mean roof height, without directionality. [psf]
    K_d : numeric
        Wind directionality factor. [-]
    """
    return q_h * K_d


@dataclass(frozen=True, slots=True)
class InPlane:
    """Wind the roof passes in its plane along the ridge.

    Attributes
    ----------
    force_kip, shear_lb_ft : float or None
        Force on the roof, and shear along each side wall were the sheet alone to pass it, at allowable stress level;
        None where not worked out: the sentence then says why.
    sentence, clause : str
        In plain words.
    steps, sources : tuple of Step, mapping of str to Source
        The card; pressures on the roof itself, which pass nothing in its plane, are left out.
    """

    force_kip: float | None
    shear_lb_ft: float | None
    sentence: str
    clause: str
    steps: tuple[Step, ...]
    sources: Mapping[str, Source]
    needs: tuple[Need, ...] = ()


def in_plane(survey: Survey, roof: Roof, wind: Wind | None) -> InPlane:
    """Shear in the plane of the roof from wind along the ridge; without numbers, and why, where it cannot be said.

    The upper half of each end wall, to mid-height of its gable, hands its wind to the roof (common practice, no
    source).
    """
    if wind is None:
        need = Need("wind on the roof", "the ground rules", DECIDES_IN_PLANE, "estimator")
        return _not_worked("the wind on the roof is not known yet", need)
    try:
        with recording() as recorder:
            found = main_frame_pressures(wind, roof, roof.h_ft)
            q = float(found.q_h_psf)
            if not edition_data(wind.edition).K_d_in_q:
                q = float(directed_pressure(q, edition_data(wind.edition).K_d))
            half = (roof.eave_height_ft + roof.ridge_height_ft) / 4.0
            strip = 2.0 * float(edge_strip_width(roof.h_ft, min(roof.length_ft, roof.width_ft)))
            c, c_E = END_WALLS["5"] - END_WALLS["6"], END_WALLS["5E"] - END_WALLS["6E"]
            F = found.asd_factor * float(end_wall_force(q, half * roof.width_ft, half * strip, c, c_E))
            v = float(edge_shear(F, roof.length_ft))
    except (MissingError, InputError) as error:
        where = "an engineer, from the printed standard"
        need = Need(f"main-frame wind on the end walls: {error}", where, DECIDES_IN_PLANE, "engineer")
        return _not_worked(str(error), need)
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


def _not_worked(why: str, need: Need) -> InPlane:
    """The record without numbers, saying why."""
    text = (
        f"Shear in the plane of the roof from wind along the ridge is not worked out here: {why.rstrip('.')}."
    )
    return InPlane(None, None, text, "", (), {}, (need,))
