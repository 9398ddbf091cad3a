# ruff: noqa: E501  (tables of invented readings read better in one line)
"""Findings made by hand for the drawing tests: an invented barn and an invented large hall.

Roof geometry, zones and stretches are built by the real code; pressures and ratios are plausible numbers that are
nobody's results. Nothing here may be used as a check figure.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from secondroof.checks.model import Check, OldRoof, RegionReading, Segments, Sentence, Verdict, ZoneRow
from secondroof.findings.geometry import build_roof
from secondroof.findings.model import Findings
from secondroof.roof.strips import strips
from secondroof.survey.models import Survey

PANEL = {
    "kind": "standing seam", "seam": "trapezoidal, double fold", "width": 24, "thickness": 0.0239, "rib_height": 3,
    "fixed_at": "ridge",
}  # fmt: skip
CLIP = {"height": 0.375, "screw_diameter": 0.25, "screws": 2}
NOTCHED = {
    "kind": "notched sub-purlin", "height": 2.5, "thickness": 0.0598, "developed_width": 7.5, "yield_strength": 50,
    "tensile_strength": 65, "screw_diameter": 0.25, "washer_diameter": 0.5, "rib_module": 12.04,
    "screws_per_flat": {"other": 1, "by_zone": {"3": 2}},
}  # fmt: skip
BRACKETS = {
    "kind": "line on base brackets", "height": 2.0, "thickness": 0.0598, "developed_width": 6.5, "yield_strength": 50,
    "tensile_strength": 65, "bracket_spacing": 2, "bracket_height": 4.75, "bracket_base": 1.5, "bracket_thickness": 0.0747,
    "bracket_tensile": 65, "bracket_weight": 0.6, "screws_per_bracket": {"other": 4}, "screw_diameter": 0.25,
    "washer_diameter": 0.5,
}  # fmt: skip


def barn_survey(**change: object) -> Survey:
    lines = [0, 4.90, 9.88, 14.86, 19.85, 24.90, 29.80, 34.80, 39.00]
    data: dict[str, object] = {
        "secondroof": 1,
        "job": {"name": "Invented feed barn", "invented": True},
        "building": {
            "shape": "gable", "length": 100, "width": 80, "bays": [25.0, 25.0, 24.9, 25.1], "eave_height": 14,
            "ridge_height": 17.3, "first_plane_faces": "W",
            "planes": [{"name": "W", "run": 40, "slope": 1, "lines": lines}, {"name": "E", "run": 40, "slope": 1, "lines": lines}],
        },
        "old_panel": {
            "kind": "through-fastened ribbed", "coverage": 36, "rib_module": 12, "rib_height": 1.25, "rib_base": 2.7,
            "rib_top": 0.9, "minor_rib_height": 0.1, "run_out": [{"readings": [361.5, 361.25, 360.75, 360.5, 361.0, 361.75]}],
        },
        "standoff": [{"plane": "W", "readings": [0.12, 0.14, 0.10, 0.13, 0.12, 0.18]},
                     {"plane": "E", "readings": [0.10, 0.11, 0.12, 0.15, 0.10, 0.11]}],
        "purlins": {
            "shape": "Z", "depth": 8, "top_flange": 2.25, "bottom_flange": 2.5, "lip": 0.75, "lip_angle": 45,
            "orientation": "top flange faces up-slope both sides", "yield_strength": 50, "yield_basis": "chalk mark",
            "thickness": [{"lines": [1, 2], "readings": [0.0585, 0.0590, 0.0580, {"read": 0.0625, "set_aside": "primer"}]},
                          {"readings": [0.0575, 0.0580]}],
        },
        "bracing": {"rods": "rod X in roof bays 1 and 3", "faults": ["one rod slack"]},
        "enclosure": {"openings": [
            {"wall": "E", "what": "sliding door", "count": 2, "area": 140, "state": "shut in storms, owner's word"},
            {"wall": "N", "what": "louvre", "count": 3, "area": 9, "state": "open"},
        ]},
        "insulation": {"kind": "faced blanket", "where": "draped over purlins", "thickness": 3, "nominal_r": 10},
        "hung_loads": [{"what": "light", "count": 8, "weight": 18},
                       {"what": "unit heater", "weight": 210, "plane": "E", "lines": [4], "bays": [3]}],
        "roof_items": [
            {"kind": "skylight", "what": "skylight", "count": 6, "width": 3, "length": 10},
            {"kind": "pipe", "what": "flue 8 in", "plane": "E", "along": 61, "up_slope": 6, "width": 0.67, "length": 0.67},
            {"kind": "curb", "what": "roof fan on curb", "plane": "W", "along": 38.5, "up_slope": 22, "width": 4, "length": 4},
        ],
        "recovers": [{"name": "R1", "title": "one notched line on every old purlin", "panel": PANEL, "clip": CLIP,
                      "framing": NOTCHED, "insulation": {"kind": "unfaced blanket", "thickness": 4, "weight": 0.2}}],
    }  # fmt: skip
    return Survey.model_validate({**data, **change})


def hall_survey(**change: object) -> Survey:
    step = 300.07 / 60
    lines = [round(i * step, 3) for i in range(61)]
    data: dict[str, object] = {
        "secondroof": 1,
        "job": {"name": "Invented distribution hall", "invented": True},
        "building": {
            "shape": "gable", "length": 667, "width": 600, "bays": [29.0] * 23, "eave_height": 32, "ridge_height": 38.2,
            "first_plane_faces": "S",
            "planes": [{"name": "S", "run": 300, "slope": 0.25, "lines": lines}, {"name": "N", "run": 300, "slope": 0.25, "lines": lines}],
        },
        "old_panel": {"kind": "trapezoidal-seam standing seam", "coverage": 24, "rib_height": 3, "rib_base": 4.5},
        "standoff": [{"at": "field", "readings": [1.33, 1.36, 1.41, 1.38, 1.30, 1.44, 1.37]},
                     {"at": "line 1", "lines": [1], "readings": [0.45, 0.44, 0.46]}],
        "thermal_blocks": "1 in polystyrene at every purlin",
        "purlins": {"shape": "Z", "depth": 8.5, "top_flange": 2.5, "bottom_flange": 2.5, "lip": 0.9,
                    "thickness": [{"readings": [0.060, 0.0605, 0.0595, 0.061]}], "yield_strength": 57, "yield_basis": "mill mark"},
        "insulation": {"kind": "faced blanket", "where": "draped over purlins", "thickness": 6},
        "roof_items": [{"kind": "skylight", "what": "skylight", "count": 96, "width": 2, "length": 10},
                       {"kind": "unit", "what": "rooftop unit", "count": 22, "note": "700 to 4,200 lb"},
                       {"kind": "pipe", "what": "pipe", "count": 140}],
        "hung_loads": [{"what": "sprinkler branch line", "count": 120, "per_foot": 4}],
        "recovers": [{"name": "R1", "title": "one line on base brackets over every old purlin", "panel": PANEL, "clip": CLIP,
                      "framing": BRACKETS}],
    }  # fmt: skip
    return Survey.model_validate({**data, **change})


def findings_of(
    survey: Survey, base_psf: dict[str, float], capacity: float, edition: str | None = "7-16"
) -> Findings:
    """Plausible findings: ratio = zone pressure x width / capacity; strut unknown, one line for the engineer."""
    roof = build_roof(survey, edition)
    cut = strips(roof)
    psf = np.array([base_psf.get(str(z), 30.0) for z in cut.zone])
    ratio = psf * cut.width_ft / capacity
    state = np.where(ratio <= 1.0, "holds", "short").astype(object)
    governs = np.array(["pull-out"] * len(ratio), dtype=object)
    first, last = roof.planes[0].name, roof.planes[-1].name
    unread = (cut.line == 0) & (cut.plane == last)
    judged = (cut.line == 0) & (cut.plane == first)
    ratio[unread] = np.nan
    state[unread], state[judged] = "unknown", "engineer"
    segments = Segments(
        cut.plane, cut.line, cut.zone, cut.x0_ft, cut.x1_ft, cut.y_ft, cut.width_ft, ratio, state, governs, {}
    )
    checks = []
    for k, zone in enumerate(roof.zones):
        at = np.flatnonzero((cut.zone == zone) & (state != "unknown"))
        if not len(at):
            continue
        i = int(at[np.nanargmax(ratio[at])])
        checks.append(
            Check(
                id=f"H-{k + 1:02}", key="pull-out", what="Screws pulled out of the old purlin", where=f"zone {zone}", whose="new",
                state=str(state[i]), clause="AISI S100-16 J4.4.1", sentence="Invented.", demand=float(psf[i] * cut.width_ft[i]),
                capacity=capacity, unit="lb", ratio=float(ratio[i]), plane=str(cut.plane[i]), line=int(cut.line[i]), zone=zone,
                x0_ft=float(cut.x0_ft[i]), x1_ft=float(cut.x1_ft[i]),
            )
        )  # fmt: skip
    rows = tuple(
        ZoneRow(p.name, z, part, 50.0, base_psf.get(z, 30.0) * k, 16.0, 1000.0)
        for p in roof.planes for z in roof.zones for part, k in (("panel", 1.0), ("clip", 1.1))
    )  # fmt: skip
    said = Sentence("unknown", "Invented.")
    regions = []
    for group in survey.standoff:
        values = [r.value for r in group.readings]
        regions.append(
            RegionReading(group.at or f"{group.plane} slope", group.plane, "sits", len(values), min(values), max(values),
                          sum(values) / len(values), (), "Invented.")
        )  # fmt: skip
    recover = survey.recovers[0]
    return Findings(
        job=survey.job.name, invented=True, recover=recover.name, recover_title=recover.title, version="0", verdict=Verdict(said, said, said, said),
        checks=tuple(checks), segments=segments, zones=rows if edition else (), spacing=(), weight=(), added_psf=1.4, missing=(),
        old_roof=OldRoof("sits", tuple(regions), (), {}, "", ""), roof=roof, rules={}, cautions={},
    )  # fmt: skip


@cache
def barn() -> tuple[Findings, Survey]:
    survey = barn_survey()
    return findings_of(survey, {"1'": 24.0, "1": 31.6, "2": 41.7, "3": 58.2}, 260.0), survey


@cache
def hall() -> tuple[Findings, Survey]:
    survey = hall_survey()
    return findings_of(survey, {"1'": 16.4, "1": 28.5, "2": 37.6, "3": 51.3}, 170.0), survey


def shed(length: float, width: float, names: str = "A") -> tuple[Findings, Survey]:
    """Build a single-slope roof of any size, lines about 5 ft apart."""
    n = max(2, round(width / 5) + 1)
    lines = [round(width * 0.995 * i / (n - 1), 2) for i in range(n)]
    bays = max(1, round(length / 25))
    survey = barn_survey(
        building={
            "shape": "single slope", "length": length, "width": width, "bays": [length / bays] * bays, "eave_height": 12,
            "first_plane_faces": "NE", "planes": [{"name": names, "run": width, "slope": 0.25, "lines": lines}],
        },
        roof_items=None, hung_loads=None, bracing={}, enclosure={},
    )  # fmt: skip
    return findings_of(survey, {"1": 30.0, "2": 45.0, "3": 60.0}, 240.0), survey
