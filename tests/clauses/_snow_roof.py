"""Snow cases of whole roofs, with hand calculations in the comments.

The roof, unless a test says otherwise (invented): gable 100 x 80 ft, runs of 40 ft at 2 in 12, four bays of 25 ft, the
first eave to the south, so that frame 1 stands at the west end. p_g 40 psf, terrain C, partially exposed (C_e 1.0),
risk category II (I_s 1.0), heated today (C_t 1.0), cold and vented after (C_t 1.1), ASCE 7-10:
p_f = 0.7 x 40 = 28.0 psf today and 30.8 psf after; gamma = 0.13 x 40 + 14 = 19.2 pcf; (40 + 10)^(1/4) = 2.65915.
"""

from __future__ import annotations

import copy
import io
from typing import Any

from ruamel.yaml import YAML

import secondroof as sr
from secondroof.acting.model import Case, Part, Patch
from secondroof.acting.snow import snow
from secondroof.findings.geometry import build_roof

P_B, P_A, GAMMA, ROOT4 = 28.0, 30.8, 19.2, 50**0.25

BASE: dict[str, Any] = {
    "secondroof": 1,
    "job": {"name": "snow test shop", "invented": True},
    "ground_rules": {
        "source": "invented",
        "wind_edition": "7-10",
        "exposure": "C",
        "risk_category": "II",
        "ground_snow": 40,
        "roof_exposure": "partially exposed",
        "thermal_now": "heated",
        "thermal_after": "cold ventilated",
    },
    "building": {
        "shape": "gable",
        "length": 100,
        "width": 80,
        "planes": [
            {"name": "S", "run": 40, "slope": 2, "lines": [0, "5 to 40 by 5"]},
            {"name": "N", "run": 40, "slope": 2, "lines": [0, "5 to 40 by 5"]},
        ],
        "bays": [25, 25, 25, 25],
        "eave_height": 16,
        "first_plane_faces": "S",
        "roofs_near": [],
    },
    "edges": {"parapet_walls": []},
    "insulation": {"where": "draped over purlins", "nominal_r": 10, "installed_r": 8},
    "roof_items": [],
    "recovers": [
        {
            "name": "R1",
            "title": "test",
            "panel": {
                "kind": "standing seam",
                "seam": "trapezoidal, double fold",
                "width": 24,
                "thickness": 0.0236,
                "girth": 31,
            },
            "clip": {"height": 0.375, "screw_diameter": 0.25},
            "framing": {
                "kind": "notched sub-purlin",
                "height": 3,
                "thickness": 0.06,
                "developed_width": 7,
                "yield_strength": 50,
                "tensile_strength": 65,
                "screw_diameter": 0.25,
                "washer_diameter": 0.5,
                "screws_per_flat": {"other": 1},
            },
        }
    ],
}


def made(edition: str | None = "7-10", **changes: Any) -> tuple[Part, Any, Any]:
    """Snow of the roof with dotted fields changed; None takes a field out."""
    data = copy.deepcopy(BASE)
    for path, value in changes.items():
        *above, last = path.split("__")
        at: Any = data
        for key in above:
            at = at[0] if key == "0" else at.setdefault(key, {})
        if value is None:
            at.pop(last, None)
        else:
            at[last] = value
    out = io.StringIO()
    YAML().dump(data, out)
    survey = sr.read(out.getvalue())
    roof = build_roof(survey, None)
    return snow(survey, survey.recovers[0], roof, edition), roof, survey


def cases(part: Part) -> dict[str, Case]:
    found = {c.key: c for c in part.cases}
    assert len(found) == len(part.cases)  # keys are unique
    return found


def area(p: Patch) -> float:
    return (p.x1_ft - p.x0_ft) * (p.y1_ft - p.y0_ft)


def total(case: Case) -> float:
    """Load of a case, lb: corners are linear along the sides, so the mean of the four is the mean of the patch."""
    return sum(sum(p.psf) / 4 * area(p) for p in case.patches)


def at(case: Case, x: float, y: float) -> float:
    """Load at a place, by the corner loads of the patches there. [psf]"""
    out = 0.0
    for p in case.patches:
        if p.x0_ft <= x < p.x1_ft and p.y0_ft <= y < p.y1_ft:
            u, v = (x - p.x0_ft) / (p.x1_ft - p.x0_ft), (y - p.y0_ft) / (p.y1_ft - p.y0_ft)
            a, b, c, d = p.psf
            out += a * (1 - u) * (1 - v) + b * u * (1 - v) + c * u * v + d * (1 - u) * v
    return out


EVERYTHING: dict[str, Any] = {
    "building__roofs_near": [
        {"what": "high hall", "side": "W", "stands": "higher", "step": 10, "gap": 0, "depth": 50},
        {
            "what": "shed",
            "side": "N",
            "stands": "higher",
            "step": 12,
            "gap": 8,
            "depth": 40,
            "first": 20,
            "last": 60,
        },
        {"what": "porch", "side": "S", "stands": "lower", "step": 5, "gap": 0, "depth": 12},
        {
            "what": "barn",
            "side": "E",
            "stands": "higher",
            "step": 9,
            "gap": 0,
            "depth": 30,
            "slope": 4,
            "run": 25,
        },
    ],
    "building__blocks": [
        {"what": "tower", "height": 12, "along_from": 40, "along_to": 60, "across_from": 30, "across_to": 55}
    ],
    "edges__parapet_walls": [{"side": "N", "height": 3}, {"side": "E", "height": 4, "first": 10, "last": 50}],
    "roof_items": [
        {
            "kind": "unit",
            "what": "big unit",
            "plane": "S",
            "along": 80,
            "up_slope": 20,
            "width": 20,
            "length": 10,
            "height": 60,
        }
    ],
}
