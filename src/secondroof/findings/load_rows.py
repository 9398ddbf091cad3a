"""Load cards: uplift of each zone on each part, worked alone with the recorder on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.wind import pressure_sources as sources_of
from secondroof.checks.model import Load, Source, ZoneRow
from secondroof.findings.context import Context
from secondroof.findings.words import amount, zone_words
from secondroof.formula import recording
from secondroof.loads import areas
from secondroof.loads.wind import edition_data

if TYPE_CHECKING:
    from secondroof.acting.wind import Wind
    from secondroof.loads.wind import ZonePressures

PART_WORDS = {
    "panel": "new panel",
    "clip": "one clip",
    "screw": "fixing to the old purlin",
    "line": "new line",
    "purlin": "old purlin",
}


def part_area(c: Context, zone: str, part: str) -> float:
    """Largest effective area of a part among the stretches of a zone; the old purlin's over its longest bay. [ft2]"""
    here = c.strips.zone == zone
    if part != "purlin":
        return float(np.max(np.asarray(c.hold.areas_ft2[part])[here])) if here.any() else 10.0
    bays = np.diff(c.roof.frames_ft)
    width = float(np.max(c.strips.width_ft[here])) if here.any() else 5.0
    return float(areas.purlin_area(float(bays.max()), width))


def load_rows(c: Context) -> tuple[Load, ...]:
    """One card for each zone and part, worst zone first."""
    if c.wind is None:
        return ()
    rows: list[Load] = []
    for zone in c.roof.zones:
        for part in PART_WORDS:
            area = part_area(c, zone, part)
            if not np.isfinite(area):
                continue
            rows.append(_row(c, c.wind, zone, part, area, f"L-{len(rows) + 1:02d}"))
    return tuple(rows)


def _row(c: Context, wind: Wind, zone: str, part: str, area: float, number: str) -> Load:
    with recording() as recorder:
        p = wind.pressures(np.array(zone), area)
    value = -float(p.p_uplift_asd_psf)
    data = edition_data(wind.edition)
    unconfirmed = zone in p.unconfirmed
    entered = wind.entered_words(zone)
    note = " Coefficients not confirmed against a printed source." if unconfirmed else ""
    if entered:
        note = f" Coefficients {entered}; not confirmed here."
    place = f"{zone_words(zone).capitalize()}, {PART_WORDS[part]}, {area:.1f} ft2"
    text = f"{place}: uplift {amount(value, 'psf')} (ASD), {wind.enclosure}.{note}"
    sources = pressure_sources(c, wind, p, zone)
    return Load(
        id=number,
        what=f"Uplift on the {PART_WORDS[part]}",
        where=zone_words(zone),
        zone=zone,
        part=part,
        value=value,
        unit="psf",
        clause=data.pressure_clause,
        sentence=text,
        steps=(*wind.steps, *recorder.steps),
        sources=sources,
        unconfirmed=unconfirmed,
    )


def pressure_sources(c: Context, wind: Wind, found: ZonePressures, zone: str) -> dict[str, Source]:
    """Where every number of a pressure in a zone comes from, with the enclosure of this roof."""
    rules = c.survey.ground_rules
    return sources_of(rules, wind, found, zone, c.enclosure.reason, c.enclosure.assumed)


def zone_rows(c: Context) -> tuple[ZoneRow, ...]:
    """Pressures by plane, zone and part, for tables and other programs."""
    if c.wind is None:
        return ()
    from shapely.geometry import box

    rows = []
    for plane in c.roof.planes:
        low, high = sorted((plane.y_eave_ft, plane.y_top_ft))
        there = box(0.0, low, c.roof.length_ft, high)
        for zone, shape in c.roof.zones.items():
            area = shape.intersection(there).area / np.cos(np.radians(plane.slope_deg))
            if area < 1e-6:
                continue
            for part in PART_WORDS:
                a = part_area(c, zone, part)
                if not np.isfinite(a):
                    continue
                p = c.wind.pressures(np.array(zone), a)
                rows.append(
                    ZoneRow(
                        plane.name,
                        zone,
                        part,
                        a,
                        float(p.p_uplift_asd_psf),
                        float(p.p_down_asd_psf),
                        float(area),
                        c.wind.entered_words(zone),
                    )
                )
    return tuple(rows)
