"""Own weight of the old purlins, line by line and bay by bay, from their measured section."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from secondroof.acting.model import Along, Case, Part
from secondroof.checks.model import Need, Source
from secondroof.formula import formula, recording
from secondroof.roof.ridge import shared_ridge
from secondroof.steel.properties import gross
from secondroof.steel.sections import c_section, z_section
from secondroof.survey.statistics import thickness_everywhere

if TYPE_CHECKING:
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey

Numeric = Any
FloatArray = NDArray[np.float64]

#: Inside bend radius of old purlins, not in a survey [in]; it moves the weight by about a hundredth.
BEND_RADIUS_IN = 0.1875
#: Angle of a lip that was not read [deg]; it hardly moves the weight.
LIP_ANGLE_DEG = 50.0
DEAD_CLAUSE = "dead load, weights by name"


@formula(
    "w",
    unit="lb/ft",
    clause="weight of steel 490 lb/ft3",
    checked="verified: 3.403 lb/ft for each square inch of steel",
)
def steel_weight(A: Numeric) -> Numeric:
    """Weight of one foot of a steel member. [lb/ft]

    Parameters
    ----------
    A : numeric
        Area of its section. [in2]
    """
    return 3.403 * A


def purlin_areas(survey: Survey) -> tuple[dict[str, FloatArray], tuple[Need, ...]]:
    """Gross area of the old purlins of every line in every bay, (n_line, n_bay) by plane, and what is missing. [in2]

    NaN where no thickness was read, or where such a section cannot exist.
    """
    p = survey.purlins
    lacking = [
        words
        for words, value in (
            ("depth", p.depth),
            ("top flange", p.top_flange),
            ("bottom flange", p.bottom_flange),
            ("lip (0 for a plain section)", p.lip),
        )
        if value is None
    ]
    if lacking or not p.thickness:
        what = ", ".join([*lacking, *([] if p.thickness else ["thickness"])])
        return {}, (Need(f"old purlins: {what}", "calipers and tape at 3 purlins in 3 bays; bare steel for thickness",
                         "weight of the purlins, for gravity and against uplift; not counted until then"),)  # fmt: skip
    make = c_section if p.shape == "C" else z_section
    angle = LIP_ANGLE_DEG if p.lip_angle is None else p.lip_angle
    found: dict[str, FloatArray] = {}
    needs: tuple[Need, ...] = ()
    for name, (_, which, values) in thickness_everywhere(survey).items():
        t = np.array([np.nan if v is None else v.value_in for v in values])
        with np.errstate(invalid="ignore"):
            section = make(
                p.depth, p.top_flange, p.lip, t, BEND_RADIUS_IN, angle, bottom_flange=p.bottom_flange
            )
            area = np.asarray(gross(section).A)
        found[name] = area[which] if which.size else np.zeros(which.shape)
        if not np.all(np.isfinite(found[name])):
            needs = (Need("thickness of every kind of old member, in a section that can exist",
                          "micrometer on bare steel; calipers on the section",
                          "weight of the purlins; the lines without it are not counted until then"),)  # fmt: skip
    return found, needs


def purlins_part(survey: Survey, roof: Roof) -> Part:
    """Case of the own weight of the old purlins; lines whose thickness is not known are left out and named."""
    areas, needs = purlin_areas(survey)
    along: list[Along] = []
    halved = shared_ridge(roof) or ()  # one purlin of both planes: half of it on each
    for plane in roof.planes:
        area = areas.get(plane.name)
        if area is None:
            continue
        for weight, line in zip(np.asarray(steel_weight(area)), plane.lines, strict=True):
            row = weight / 2 if (line.plane, line.index) in halved else weight
            breaks = [0, *(np.flatnonzero(np.diff(row) != 0) + 1).tolist(), row.size]
            for a, b in pairwise(breaks):
                if np.isfinite(row[a]):
                    x0, x1, value = roof.frames_ft[a], roof.frames_ft[b], float(row[a])
                    along.append(Along(plane.name, line.index, x0, x1, value, value, "own weight"))
    if not along:
        return Part((), needs)
    alone = [a.w0 for a in along if (a.plane, a.line) not in halved]
    heaviest = max(alone, default=along[0].w0)
    with recording() as r:
        steel_weight(max(float(np.nanmax(a)) for a in areas.values() if a.size))
    lightest = min(alone, default=heaviest)
    span = f"{heaviest:.2f}" if heaviest - lightest < 0.005 else f"{lightest:.2f} to {heaviest:.2f}"
    shape = survey.purlins.shape
    case = Case(
        "dead.purlins",
        "D",
        "both",
        "old purlins",
        f"The old purlins weigh {span} lb/ft, from their measured size and the thinnest clean reading of each place. "
        "Steel doubled in the laps lies over the frames and is not counted.",
        DEAD_CLAUSE,
        along=tuple(along),
        sure=True,
        checked="verified: 3.403 lb/ft for each square inch of steel",
        steps=tuple(r.steps),
        sources={"A": Source(f"measured section, bends of {BEND_RADIUS_IN:g} in inside taken", True)},
        assumed="eave struts and ridge lines of the same size as the purlins; bend radius; laps not counted"
        + ("" if shape else "; Z shape"),
    )
    return Part((case,), needs)


def purlin_weight_psf(survey: Survey, roof: Roof) -> float | None:
    """Weight of the old purlins spread over the roof; None where a part of it is not known. [psf]"""
    areas, needs = purlin_areas(survey)
    if needs or not areas:
        return None
    bays = np.diff(np.asarray(roof.frames_ft))
    return float(sum(np.sum(steel_weight(a) * bays) for a in areas.values())) / roof.area_ft2
