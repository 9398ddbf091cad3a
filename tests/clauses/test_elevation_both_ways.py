"""Ground elevation factor: 1.0 as used, and the factor itself beside it on every hold-down row that wind drives.

K_e = exp(-0.0000362 z_e), ASCE 7-16 Table 26.9-1 note: at 6900 ft exp(-0.24978) = 0.7790.
"""

from __future__ import annotations

import numpy as np
import pytest

import secondroof as sr
from secondroof.acting.wind import elevation_left_out
from secondroof.findings.context import gather
from secondroof.findings.hold_rows import hold_rows

HARROW = "harrow-pass-district-shop"
LABEL = "with the ground elevation factor 0.78"


def test_both_ways_where_the_elevation_is_given() -> None:
    survey = sr.load(sr.example(HARROW))
    c = gather(survey, survey.recovers[0])
    factor = elevation_left_out(survey.ground_rules)
    assert factor == pytest.approx(np.exp(-0.0000362 * 6900))
    rows = [r for r in hold_rows(c) if r.state in ("holds", "short") and r.key != "shear"]
    assert rows
    for row in rows:
        way = next(w for w in row.both_ways if w.label == LABEL)
        assert way.ratio is not None
        assert row.ratio is not None
        assert way.ratio < row.ratio
        assert not way.used
    panel = next(r for r in rows if r.id == "P-01")
    lower = next(w for w in panel.both_ways if w.label == LABEL)
    assert panel.ratio == pytest.approx(1.20, abs=0.01)  # an engineer's hand check: 1.20 short, 0.94 with K_e
    assert lower.ratio == pytest.approx(factor * panel.ratio)  # no minimum governs, no dead load counted
    assert any("Ground elevation factor 1.0" in n and "0.78" in n for n in c.wind.notes)


def test_no_other_way_where_it_says_nothing() -> None:
    barn = sr.load(sr.example("tamsel-feed-barn"))
    rules = barn.ground_rules
    assert elevation_left_out(rules.model_copy(update={"ground_elevation": None})) is None
    high = {"ground_elevation": 6900.0}
    assert elevation_left_out(rules.model_copy(update={**high, "use_elevation_factor": True})) is None
    assert (
        elevation_left_out(rules.model_copy(update={**high, "wind_edition": "7-10"})) is None
    )  # came with 7-16
    assert elevation_left_out(rules.model_copy(update={**high, "wind_edition": "7-16"})) == pytest.approx(
        0.779, abs=1e-3
    )
