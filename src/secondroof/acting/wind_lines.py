"""Wind on the old purlins: line loads on every line, each zone's pressure on the width that lies in it.

Stretches end where a zone border really falls and at every frame, since the effective area of a purlin is that of
its own bay. Pressures stand at the level of the edition's own W; the combinations bring them to ASD or LRFD.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from secondroof.acting.model import Along, Case, Part
from secondroof.acting.wind import DECIDES, find_wind, pressure_sources, uplift_combination
from secondroof.checks.model import Need, Source
from secondroof.checks.steps import singled
from secondroof.formula import formula, note_step, recording
from secondroof.loads import areas
from secondroof.loads.wind import edition_data

if TYPE_CHECKING:
    from secondroof.acting.wind import Wind
    from secondroof.formula import Step
    from secondroof.roof.model import Roof
    from secondroof.roof.strips import Strips
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

FloatArray = NDArray[np.float64]
#: Tributary area above which a part may be designed for main-frame wind (from memory, ASCE 7-16 30.2.3).
FRAME_WIND_FT2 = 700.0
#: Shares of width smaller than this are rounding.
TINY = 1e-6


@formula("w", unit="lb/ft", clause="width on the line times pressure", checked="definition")
def purlin_line_load(p: Any, b: Any) -> Any:
    """Wind on one foot of old purlin, square to the roof [lb/ft].

    Parameters
    ----------
    p : numeric
        Net pressure at the purlin's effective area, negative = uplift. [psf]
    b : numeric
        Width of roof the line carries, along the slope. [ft]
    """
    return p * b


@dataclass(frozen=True, slots=True)
class PurlinWind:
    """Wind on every stretch of every old line, as columns of equal length.

    Attributes
    ----------
    edition, level : str
        Edition, and level of the loads: ``strength``, or ``service`` in 7-05.
    asd_factor : float
        Factor on W in the uplift combination of ASD. [-]
    names : tuple of str
        Zone names, in the order of the columns of ``share``.
    plane, line, zone : (n,) array
        Plane, line counted from the eave, and zone in which the line itself lies.
    bay : (n,) int array
        Bay counted from frame 1, from 1.
    x0_ft, x1_ft : (n,) array
        Ends along the ridge.
    width_ft, area_ft2 : (n,) array
        Width carried, and effective wind area of the purlin over its bay.
    share : (n, n_zones) array
        Share of the width in each zone; rows sum to 1.
    p_up_psf, p_down_psf : (n,) array
        Mean pressure on the width; uplift negative.
    w_up_lb_ft, w_down_lb_ft : (n,) array
        Line loads square to the roof; uplift negative.
    """

    edition: str
    level: str
    asd_factor: float
    names: tuple[str, ...]
    plane: np.ndarray
    line: np.ndarray
    zone: np.ndarray
    bay: np.ndarray
    x0_ft: FloatArray
    x1_ft: FloatArray
    width_ft: FloatArray
    area_ft2: FloatArray
    share: FloatArray
    p_up_psf: FloatArray
    p_down_psf: FloatArray
    w_up_lb_ft: FloatArray
    w_down_lb_ft: FloatArray


def purlin_wind(wind: Wind, roof: Roof, strips: Strips) -> PurlinWind:
    """Wind on the old purlins of a roof.

    Parameters
    ----------
    wind : Wind
        Wind on the roof, under the enclosure class used.
    roof : Roof
        The roof; its frames part the stretches.
    strips : Strips
        Stretches of line by wind zone, from :func:`secondroof.roof.strips.strips`.

    Returns
    -------
    PurlinWind
        Minimum pressures are applied zone by zone, before the widths are shared.
    """
    frames = np.asarray(roof.frames_ft)
    part, bay, x0, x1 = _cut_at_frames(strips, frames)
    width = strips.width_ft[part]
    area = np.asarray(areas.purlin_area(np.diff(frames)[bay - 1], width), dtype=float)
    share = strips.share[part]
    p = wind.pressures(np.array(strips.names), np.broadcast_to(area[:, None], share.shape))
    up = np.sum(share * p.p_uplift_psf, axis=1)
    down = np.sum(share * p.p_down_psf, axis=1)
    return PurlinWind(
        edition=wind.edition,
        level=p.level,
        asd_factor=p.asd_factor,
        names=strips.names,
        plane=strips.plane[part],
        line=strips.line[part],
        zone=strips.zone[part],
        bay=bay,
        x0_ft=x0,
        x1_ft=x1,
        width_ft=width,
        area_ft2=area,
        share=share,
        p_up_psf=up,
        p_down_psf=down,
        w_up_lb_ft=np.asarray(purlin_line_load(up, width)),
        w_down_lb_ft=np.asarray(purlin_line_load(down, width)),
    )


def _cut_at_frames(
    strips: Strips, frames: FloatArray
) -> tuple[NDArray[np.intp], NDArray[np.intp], FloatArray, FloatArray]:
    """Every stretch parted at the frames inside it: which stretch, bay from 1, and ends."""
    low = np.maximum(strips.x0_ft[:, None], frames[None, :-1])
    high = np.minimum(strips.x1_ft[:, None], frames[None, 1:])
    part, bay = np.nonzero(high - low > TINY)
    return part, bay + 1, low[part, bay], high[part, bay]


def wind_cases(
    survey: Survey,
    recover: Recover,
    roof: Roof,
    edition: str | None,
    wind: Wind | None,
    strips: Strips,
    *,
    need: Need | None = None,
    enclosure_reason: str = "",
    enclosure_assumed: bool = False,
) -> Part:
    """Wind cases of the old purlins: up and down, today and with the recover alike.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry. A recover changes neither outline nor slope.
    edition : str or None
        Edition of ASCE 7; None where not known.
    wind : Wind or None
        Wind on the roof; None where something is missing for it.
    strips : Strips
        Stretches of line by wind zone.
    need : Need, optional
        What is missing for the wind, where the caller knows it.
    enclosure_reason, enclosure_assumed : str, bool
        Why the enclosure class, and whether it is assumed.

    Returns
    -------
    Part
        ``wind.up`` and ``wind.down``, loads square to the roof along every line; what is missing instead.
    """
    if wind is None:
        return Part(needs=(need or _missing(survey, roof, edition),))
    if not strips.line.size:
        return Part(notes=wind.notes)  # no line was taped: said where the lines are asked for
    found = purlin_wind(wind, roof, strips)
    cases = tuple(_case(survey, wind, found, up, enclosure_reason, enclosure_assumed) for up in (True, False))
    notes = list(wind.notes)
    largest = float(np.max(np.diff(roof.frames_ft))) * float(np.max(found.width_ft))
    if largest > FRAME_WIND_FT2:
        notes.append(
            f"A purlin here carries up to {largest:,.0f} ft2 of roof. Above {FRAME_WIND_FT2:g} ft2 main-frame wind may "
            "be used for it in place of the pressures shown (ASCE 7-16 30.2.3, from memory); ask the engineer."
        )
    return Part(cases, notes=tuple(notes))


def _missing(survey: Survey, roof: Roof, edition: str | None) -> Need:
    """What is missing for the wind, found again."""
    if edition is not None and roof.zone_edition != edition:
        return Need(
            f"wind zones of this roof by ASCE {edition}, with their coefficients",
            "the printed standard, entered under `ground_rules.entered_zones` and "
            "`ground_rules.entered_coefficients`; or an engineer",
            DECIDES,
            "engineer",
        )
    found = find_wind(survey, roof, edition, "enclosed")[1]
    return found or Need("wind on the roof", "the enclosure class and the ground rules", DECIDES, "estimator")


def _case(survey: Survey, wind: Wind, found: PurlinWind, up: bool, reason: str, assumed: bool) -> Case:
    p = found.p_up_psf if up else found.p_down_psf
    w = found.w_up_lb_ft if up else found.w_down_lb_ft
    near = np.abs(p) >= 0.99 * np.max(
        np.abs(p)
    )  # of the stretches in the worst zone the one that carries most
    i = int(np.argmax(np.where(near, np.abs(w), -1.0)))
    steps, sources, checked = _card(survey, wind, found, i, up, reason, assumed)
    k = int(np.argmax(np.abs(w)))
    factor, combination = found.asd_factor, uplift_combination(wind.edition)
    size, load = abs(float(p[i])), abs(float(w[i]))
    sentence = (
        f"Worst on the old purlins is line {found.plane[i]}{int(found.line[i])}, bay {int(found.bay[i])}, zone "
        f"{found.zone[i]}: {size:.1f} psf {'up' if up else 'down'} at the purlin's own {found.area_ft2[i]:.0f} ft2, "
        f"{load:.0f} lb/ft on {found.width_ft[i]:.2f} ft of roof, {found.level} level of ASCE {wind.edition}"
    )
    sentence += (
        f"; at allowable level {factor * size:.1f} psf and {factor * load:.0f} lb/ft." if factor != 1 else "."
    )
    if k != i and abs(float(w[k])) > load * 1.001:
        sentence += (
            f" Line {found.plane[k]}{int(found.line[k])}, bay {int(found.bay[k])}, carries more roof and gets "
            f"{abs(float(w[k])):.0f} lb/ft."
        )
    if up:
        sentence += f" Held down by sure dead load only: {combination.ASD} (ASD), {combination.LRFD} (LRFD)."
    words = "openings were not read, taken as partially enclosed" if assumed else ""
    return Case(
        key="wind.up" if up else "wind.down",
        kind="W_up" if up else "W_down",
        when="both",
        title="wind lifting" if up else "wind pressing down",
        sentence=sentence,
        clause=edition_data(wind.edition).pressure_clause,
        along=tuple(
            Along(str(a), int(b), float(c), float(d), float(e), float(e), f"zone {z}")
            for a, b, c, d, e, z in zip(
                found.plane, found.line, found.x0_ft, found.x1_ft, w, found.zone, strict=True
            )
        ),
        per="slope",
        acts="normal",
        level="strength" if found.level == "strength" else "service",
        checked=checked,
        steps=steps,
        sources=sources,
        assumed=words,
    )


def _card(
    survey: Survey, wind: Wind, found: PurlinWind, i: int, up: bool, reason: str, assumed: bool
) -> tuple[tuple[Step, ...], dict[str, Source], str]:
    """The worst stretch worked alone, with how its coefficients were confirmed."""
    span = float(survey.building.bays[int(found.bay[i]) - 1])
    crossed = [k for k in range(len(found.names)) if found.share[i, k] > TINY]
    worst = max(crossed, key=lambda k: float(found.share[i, k]))
    size = []
    with recording() as recorder:
        area = areas.purlin_area(span, float(found.width_ft[i]))
        for k in crossed:
            one = wind.pressures(found.names[k], area)
            size.append(float(one.p_uplift_psf if up else one.p_down_psf))
        p = float(sum(found.share[i, k] * v for k, v in zip(crossed, size, strict=True)))
        if len(crossed) > 1:
            note_step(
                "Pressure over the width of the line",
                symbol="p",
                unit="psf",
                clause="each zone on the width that lies in it",
                inputs={
                    f"zone {found.names[k]}": f"{v:.2f} psf on {found.share[i, k] * found.width_ft[i]:.2f} ft"
                    for k, v in zip(crossed, size, strict=True)
                },
                result=p,
                method="pressure of each zone times its share of the width, added",
                checked="definition",
            )
        purlin_line_load(p, float(found.width_ft[i]))
    zone = found.names[worst]
    pressure = wind.pressures(zone, area)
    sources = pressure_sources(survey.ground_rules, wind, pressure, zone, reason, assumed)
    sources |= {
        "L": Source("bay, survey"),
        "b": Source("half way to the next line each side, as taped"),
        "p": Source("above"),
        "A": Source("old purlin over its bay, a third of the span as its least width"),
    }
    words = dict(zip(pressure.zone_names, pressure.checked, strict=True))
    checked = "; ".join(dict.fromkeys(f"zone {found.names[k]}: {words[found.names[k]]}" for k in crossed))
    once: dict[str, Step] = {}
    for step in (*wind.steps, *singled(recorder.steps)):
        once.setdefault(repr((step.title, step.inputs, step.result)), step)
    return tuple(once.values()), sources, checked
