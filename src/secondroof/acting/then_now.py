"""Old against new: what the code of the building's day would have asked of the roof beside what today's asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.wind import find_wind, pressure_sources
from secondroof.checks.model import Need, Source
from secondroof.checks.steps import singled
from secondroof.errors import InputError, MissingError
from secondroof.formula import recording
from secondroof.loads import areas
from secondroof.loads.compare import WindBasis, then_and_now
from secondroof.loads.wind import PARAPET_HEIGHT_FT, edition_data

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from secondroof.acting.wind import Wind
    from secondroof.formula import Step
    from secondroof.loads.compare import ThenNow
    from secondroof.loads.wind import ZonePressures
    from secondroof.roof.model import Roof
    from secondroof.survey.ground import CodeThen
    from secondroof.survey.models import Survey

#: Effective area of a panel or screw, the smallest of every figure. [ft2]
PANEL_FT2 = 10.0
PARTS = ("panel", "purlin")


@dataclass(frozen=True, slots=True)
class ThenNowRow:
    """One part of the roof that is one zone in the old edition and one in today's.

    Attributes
    ----------
    roof_area_ft2 : float
        Area along the slope.
    part : str
        ``panel`` (10 ft2) or ``purlin`` (its own effective area).
    uplift_then_psf, uplift_now_psf : float
        Uplift at allowable stress level, as plain sizes.
    ratio : float
        Now over then.
    unconfirmed : bool
        True where a coefficient of either edition was not confirmed against a printed source.
    """

    zone_then: str
    zone_now: str
    roof_area_ft2: float
    part: str
    effective_area_ft2: float
    uplift_then_psf: float
    uplift_now_psf: float
    ratio: float
    unconfirmed: bool


@dataclass(frozen=True, slots=True)
class ThenNowFound:
    """Old against new over the whole roof.

    Attributes
    ----------
    rows : tuple of ThenNowRow
        Worst ratio first within each part; their areas add to the roof, once for each part.
    zones_then : mapping of zone to polygon
        Zones of the old edition in plan; empty where not known.
    sentence : str
        Why the corners changed, in plain words.
    steps_then, steps_now, sources_then, sources_now
        The panel in the worst zone of each edition, worked alone.
    """

    edition_then: str
    edition_now: str
    rows: tuple[ThenNowRow, ...] = ()
    zones_then: Mapping[str, BaseGeometry] = field(default_factory=dict)
    sentence: str = ""
    clause: str = ""
    checked: str = ""
    assumed: str = ""
    steps_then: tuple[Step, ...] = ()
    steps_now: tuple[Step, ...] = ()
    sources_then: Mapping[str, Source] = field(default_factory=dict)
    sources_now: Mapping[str, Source] = field(default_factory=dict)
    needs: tuple[Need, ...] = ()


def then_now(survey: Survey, roof: Roof, wind: Wind | None, *, need: Need | None = None) -> ThenNowFound:
    """Compare the wind of the building's day with today's, zone by zone.

    Parameters
    ----------
    survey, roof : Survey, Roof
        What was found, and its geometry with today's zones.
    wind : Wind or None
        Today's wind under the enclosure class used; None where something is missing for it.
    need : Need, optional
        What is missing for today's wind, where the caller knows it.

    Returns
    -------
    ThenNowFound
        Rows for a panel and for an old purlin; without the code of its day, what to get.
    """
    then = survey.ground_rules.code_then
    if then is None:
        missing = Need(
            "code the building was designed by: its ASCE 7 edition, wind speed and exposure",
            "the old drawings, the permit file or the building department; enter it under `ground_rules.code_then`",
            "what the building was made for, and why today's code asks more of its corners",
            "estimator",
        )
        return ThenNowFound("", "" if wind is None else wind.edition, needs=(missing,))
    if wind is None:
        edition = None if roof.zone_edition == "not known" else roof.zone_edition
        missing_now = need or find_wind(survey, roof, edition, "enclosed")[1]
        return ThenNowFound(then.wind_edition, "", needs=() if missing_now is None else (missing_now,))
    try:
        return _compared(survey, roof, wind, then)
    except (MissingError, InputError) as error:
        where = f"ASCE {then.wind_edition} in print, or an engineer"
        return ThenNowFound(
            then.wind_edition,
            wind.edition,
            needs=(Need(str(error), where, "what the building was made for", "engineer"),),
        )


def _compared(survey: Survey, roof: Roof, wind: Wind, then: CodeThen) -> ThenNowFound:
    from secondroof.roof.zones import overlay, zones

    ridge = roof.planes[0].y_top_ft if len(roof.planes) == 2 else None
    old_zones = zones(
        then.wind_edition,
        wind.shape,
        wind.slope_deg,
        roof.length_ft,
        roof.width_ft,
        roof.h_ft,
        ridge_y_ft=ridge,
    )
    pieces = overlay(old_zones, roof.zones)
    places = list(pieces)
    enclosure, assumed = _enclosure_then(wind.enclosure, then.wind_edition)
    importance, how = _importance_then(survey, then)
    old = WindBasis(
        then.wind_edition, then.wind_speed, then.exposure, enclosure, wind.K_zt, importance=importance
    )
    new = WindBasis(
        wind.edition,
        wind.V_mph,
        wind.exposure,
        wind.enclosure,
        wind.K_zt,
        wind.elevation_ft,
        wind.use_K_e,
        entered=wind.entered,
    )
    purlin = purlin_area_ft2(roof)
    rows: list[ThenNowRow] = []
    for part, area in zip(PARTS, (PANEL_FT2, purlin), strict=True):
        if not np.isfinite(area):
            continue
        found = then_and_now(
            old, new, places, area, roof_shape=wind.shape, slope_deg=wind.slope_deg, h_ft=roof.h_ft
        )
        rows += sorted(
            _rows(roof, pieces, part, area, found, (old.edition, new.edition)),
            key=lambda r: (-r.ratio, r.zone_then),
        )
    panels = [r for r in rows if r.part == "panel"]
    top = max(panels, key=lambda r: r.uplift_now_psf)
    corner_then = max(panels, key=lambda r: r.uplift_then_psf).zone_then
    both = np.array([PANEL_FT2, purlin if np.isfinite(purlin) else PANEL_FT2])
    p_old = old.pressures(wind.shape, wind.slope_deg, roof.h_ft, corner_then, both)
    p_new = new.pressures(wind.shape, wind.slope_deg, roof.h_ft, top.zone_now, both)
    with recording() as one:
        alone_old = old.pressures(wind.shape, wind.slope_deg, roof.h_ft, corner_then, PANEL_FT2)
    with recording() as two:
        alone_new = new.pressures(wind.shape, wind.slope_deg, roof.h_ft, top.zone_now, PANEL_FT2)
    relief = "the relief of the parapet is counted in neither" if wind.parapet_ft >= PARAPET_HEIGHT_FT else ""
    words = (dict(zip(p.zone_names, p.checked, strict=True)) for p in (alone_old, alone_new))
    then_wind = replace(wind, edition=then.wind_edition, use_K_e=False, enclosure=enclosure, entered=None)
    day = Source(then.source)
    return ThenNowFound(
        edition_then=then.wind_edition,
        edition_now=wind.edition,
        rows=tuple(rows),
        zones_then=old_zones,
        sentence=_why(panels, top.zone_now, corner_then, p_old, p_new, old, new)
        + (f" The old pressures hold an {how.text}." if how.assumed else ""),
        clause=f"{p_old.figure} against {p_new.figure}",
        checked=f"then, zone {corner_then}: {next(words)[corner_then]}; "
        f"now, zone {top.zone_now}: {next(words)[top.zone_now]}",
        assumed="; ".join(x for x in (assumed, how.text if how.assumed else "", relief) if x),
        steps_then=singled(one.steps),
        steps_now=(*wind.steps, *singled(two.steps)),
        sources_then=pressure_sources(survey.ground_rules, then_wind, alone_old, corner_then)
        | {"V": day, "GCpi": Source(f"{enclosure}, the openings of today")}
        | ({"I": how} if edition_data(then.wind_edition).has_importance else {}),
        sources_now=pressure_sources(survey.ground_rules, wind, alone_new, top.zone_now),
    )


def purlin_area_ft2(roof: Roof) -> float:
    """Effective wind area of an ordinary purlin in the longest bay: the middle one of all widths. [ft2]"""
    widths = [line.width_ft for line in roof.lines if line.member == "purlin"]
    if not widths:
        return float("nan")
    return float(areas.purlin_area(float(np.max(np.diff(roof.frames_ft))), float(np.median(widths))))


def _importance_then(survey: Survey, then: CodeThen) -> tuple[float, Source]:
    """Importance factor of the old edition, and where it comes from; by today's risk category where left out.

    Raises
    ------
    MissingError
        ASCE 7-05 with neither the factor nor a risk category.
    """
    data = edition_data(then.wind_edition)
    if not data.has_importance:
        return 1.0, Source(f"ASCE {then.wind_edition} has no importance factor")
    if then.importance is not None:
        return then.importance, Source(then.source)
    risk = survey.ground_rules.risk_category
    if risk is None:
        raise MissingError(
            f"the importance factor of ASCE {then.wind_edition} (ground_rules.code_then.importance), "
            "or the risk category of the building"
        )
    value = data.importance[risk]
    lower = "; the building may have been classed lower in its day" if value > 1 else ""
    return value, Source(
        f"importance factor of {value:.2f}, not given: by today's risk category {risk} (ASCE {then.wind_edition} "
        f"Table 6-1, from memory){lower}",
        True,
    )


def _enclosure_then(enclosure: str, edition: str) -> tuple[str, str]:
    """Enclosure class in the old edition; partially open came with 7-16."""
    if enclosure == "partially open" and edition in ("7-05", "7-10"):
        return "enclosed", f"ASCE {edition} had no partially open class: taken as enclosed then"
    return enclosure, ""


def _rows(
    roof: Roof,
    pieces: Mapping[tuple[str, str], BaseGeometry],
    part: str,
    area: float,
    found: ThenNow,
    editions: tuple[str, str],
) -> list[ThenNowRow]:
    from shapely.geometry import box

    halves = [
        (
            box(0.0, min(p.y_eave_ft, p.y_top_ft), roof.length_ft, max(p.y_eave_ft, p.y_top_ft)),
            float(np.cos(np.radians(p.slope_deg))),
        )
        for p in roof.planes
    ]
    rows = []
    for i, ((old, new), piece) in enumerate(pieces.items()):
        on_roof = sum(float(piece.intersection(half).area) / cos for half, cos in halves)
        rows.append(
            ThenNowRow(
                old,
                new,
                on_roof,
                part,
                area,
                -float(found.uplift_then_psf[i]),
                -float(found.uplift_now_psf[i]),
                float(found.uplift_ratio[i]),
                f"{editions[0]} zone {old}" in found.unconfirmed
                or f"{editions[1]} zone {new}" in found.unconfirmed,
            )
        )
    return rows


def _why(
    panels: list[ThenNowRow],
    corner: str,
    corner_then: str,
    old: ZonePressures,
    new: ZonePressures,
    then: WindBasis,
    now: WindBasis,
) -> str:
    """Each cause with its own numbers, so that one that did not change, or eased, is told as such."""
    here = sorted((r for r in panels if r.zone_now == corner), key=lambda r: -r.roof_area_ft2)
    was = " and ".join(
        f"{r.roof_area_ft2:,.0f} ft2 were zone {r.zone_then} (a panel {r.uplift_then_psf:.1f} psf, now "
        f"{r.uplift_now_psf:.1f}: {r.ratio:.2f} times)"
        for r in here
    )
    start = f"Of today's worst zone, {corner}, {was}, all at allowable level."
    q_old, q_new = _pressure_asd(old), _pressure_asd(new)
    speed = (
        f"Speed map and exposure: {then.V_mph:g} mph of ASCE {then.edition} in exposure {then.exposure} gave a "
        f"velocity pressure of {q_old:.1f} psf, {now.V_mph:g} mph of ASCE {now.edition} in exposure {now.exposure} "
        f"gives {q_new:.1f} psf, {_change(q_new / q_old)}."
    )
    c_old, c_new = np.abs(old.GCp_uplift), np.abs(new.GCp_uplift)
    coefficient = (
        f"Coefficients of the worst zone: {c_old[0]:.2f} then and {c_new[0]:.2f} now on {old.area_ft2[0]:.0f} ft2, "
        f"{_change(c_new[0] / c_old[0])}; {c_old[1]:.2f} then and {c_new[1]:.2f} now on a purlin's "
        f"{old.area_ft2[1]:.0f} ft2, {_change(c_new[1] / c_old[1])}."
    )
    mild_old = min(panels, key=lambda r: r.uplift_then_psf).zone_then
    mild_new = min(panels, key=lambda r: r.uplift_now_psf).zone_now
    a_old = sum(r.roof_area_ft2 for r in panels if r.zone_then == corner_then)
    a_new = sum(r.roof_area_ft2 for r in here)
    b_old = sum(r.roof_area_ft2 for r in panels if r.zone_then != mild_old)
    b_new = sum(r.roof_area_ft2 for r in panels if r.zone_now != mild_new)
    size = (
        f"Zones: the worst covered {a_old:,.0f} ft2 then and {a_new:,.0f} ft2 now; all beyond the mildest, "
        f"{b_old:,.0f} ft2 then and {b_new:,.0f} ft2 now."
    )
    return " ".join((start, speed, coefficient, size))


def _pressure_asd(p: ZonePressures) -> float:
    """Velocity pressure with K_d in it, at allowable level. [psf]"""
    e = edition_data(p.edition)
    return p.asd_factor * float(np.max(p.q_h_psf)) * (1.0 if e.K_d_in_q else e.K_d)


def _change(ratio: float) -> str:
    if abs(ratio - 1) < 0.01:
        return "alike"
    return f"{100 * (ratio - 1):.0f} % more" if ratio > 1 else f"{100 * (1 - ratio):.0f} % less"
