"""Roof live load on every purlin line, reduced for what the line carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.model import Along, Case, Part
from secondroof.acting.where import bay_length, longest_bay, plan_width_ft
from secondroof.checks.model import Need, Source
from secondroof.formula import recording
from secondroof.loads import live as numbers

if TYPE_CHECKING:
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

#: Loads for which the reduction was written: 20 psf less what area and slope take off, never under 12. [psf]
LEAST_PSF, MOST_PSF = 12.0, 20.0
CLAUSE = "ASCE 7-10 4.8.2"


def live(survey: Survey, recover: Recover, roof: Roof, edition: str | None) -> Part:
    """Reduced roof live load (``live.roof``).

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Named beside the clause: the reduction was read in 7-10 and is taken unchanged in the others (from memory).
    """
    L_0 = survey.ground_rules.roof_live
    if L_0 is None:
        need = Need("roof live load", "the code's table of live loads, with the local amendments",
                    "gravity on every purlin where snow does not govern", "estimator")  # fmt: skip
        return Part((), (need,))
    if L_0 == 0 or not roof.lines:
        return Part((), (), ("The ground rules give no roof live load.",) if L_0 == 0 else ())
    return Part((_roof_live(float(L_0), roof, edition),))


def line_live_psf(L_0_psf: float, area_ft2: np.ndarray, rise_in12: np.ndarray) -> np.ndarray:
    """Roof live load of lines; loads outside 12 to 20 psf are not reduced. [psf]

    Parameters
    ----------
    L_0_psf : float
        Roof live load before reduction. [psf]
    area_ft2, rise_in12 : array
        Tributary area on plan [ft2] and slope, rise in 12, of each line.
    """
    if not LEAST_PSF <= L_0_psf <= MOST_PSF:
        return np.full(np.shape(area_ft2), L_0_psf)
    return np.asarray(numbers.reduced_roof_live(area_ft2, rise_in12, L_0_psf))


def _roof_live(L_0: float, roof: Roof, edition: str | None) -> Case:
    bay = longest_bay(roof)
    span = bay_length(roof, bay)
    lines = [(line, plane) for plane in roof.planes for line in plane.lines]
    width = np.array([plan_width_ft(line, plane) for line, plane in lines])
    slope = np.array([plane.slope_in12 for _, plane in lines])
    psf = line_live_psf(L_0, np.maximum(width * span, 1e-9), slope)
    w = psf * width
    along = tuple(
        Along(line.plane, line.index, 0.0, roof.length_ft, float(q), float(q), "roof live load")
        for (line, _), q in zip(lines, w, strict=True)
    )
    worst = int(np.argmax(w))
    with recording() as r:
        again = line_live_psf(L_0, np.asarray(width[worst] * span), slope[worst])
    name, area = lines[worst][0].name, width[worst] * span
    held = edition in (None, "7-10")
    reduces = LEAST_PSF <= L_0 <= MOST_PSF
    how = (
        f"{L_0:g} psf before reduction; line {name} with {area:.0f} ft2 on plan takes {float(again):.1f} psf, "
        f"{w[worst]:.0f} lb/ft"
        if reduces
        else f"{L_0:g} psf, not reduced: the reduction is written for loads of 12 to 20 psf; line {name} takes "
        f"{w[worst]:.0f} lb/ft"
    )
    return Case(
        "live.roof",
        "Lr",
        "both",
        "roof live load",
        f"Roof live load {how}. Never together with snow or rain. A roof that people walk for upkeep must also "
        f"carry {numbers.CONCENTRATED_LB:g} lb at any one place.",
        CLAUSE if held else f"{CLAUSE}, taken unchanged in {edition} (from memory)",
        along=along,
        checked="verified: ASCE 7-10 4.8.2 and a university worked problem"
        if held
        else f"from memory: taken unchanged in {edition}; ASCE 7-10 4.8.2 was read",
        steps=tuple(r.steps),
        sources={"L_0": Source("ground rules"), "F": Source("slope of the plane"),
                 "A_T": Source(f"width line {name} carries on plan, by the longest bay, {span:.1f} ft")},
    )  # fmt: skip
