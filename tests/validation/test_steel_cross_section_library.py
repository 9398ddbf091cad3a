"""Gross properties against a general cross-section library (2-D finite elements), figures in the data file.

Shapes without a published table: C with bends, Z with unequal flanges, hats, eave strut, plain Z. The library sees
the true area, the product a centre line: they differ by up to 0.4 percent on the torsion constant, 0.3 on warping.
"""

import json
from pathlib import Path

import pytest

from secondroof.steel import properties, sections

DATA = json.loads((Path(__file__).parents[1] / "data" / "steel_oracle.json").read_text(encoding="utf-8"))
MAKE = {
    "c": sections.c_section,
    "z": sections.z_section,
    "hat": sections.hat_section,
    "eave": sections.eave_strut,
}
TOLERANCE = {"A": 1e-3, "Ix": 1e-3, "Iy": 1e-3, "Ixy": 1e-3, "J": 4e-3, "Cw": 3e-3, "xo": 1e-3, "yo": 1e-3}


@pytest.mark.parametrize("case", DATA["cases"], ids=lambda c: c["id"])
def test_cross_section_library(case):
    got = properties.gross(MAKE[case["make"]](**case["args"]), sharp_corners=case["sharp"])
    for key, want in case["expected"].items():
        limit = TOLERANCE[key] * abs(want) + (2e-4 if key in ("xo", "yo") else 1e-5)
        assert abs(float(getattr(got, key)) - want) <= limit, key
