"""Deflection rows and the feel underfoot of old lines.

Rows: IBC Table 1604.3, span over 180 for roof members with no ceiling; note a, span over 150 for live load under formed
metal roofing (public copies of the table). Snow over 150: a serviceability practice (AISC Design Guide 3, quoted).
"""

from dataclasses import replace

import numpy as np
import pytest

import secondroof as sr
from secondroof.findings.build import acting_on
from secondroof.findings.context import gather
from secondroof.purlins.found import purlins_found
from secondroof.purlins.service import bent_most, softest


@pytest.fixture(scope="module")
def line():
    survey = sr.load(sr.example("four-span-line"))
    c = gather(survey, survey.recovers[0])
    acting = acting_on(c)
    return c.roof, acting, purlins_found(survey, c.recover, c.roof, acting, c.edition)


def test_both_rows_for_live_and_for_snow(line):
    roof, _, f = line
    bent = bent_most(roof, f)
    assert [(r.load, r.limit.over) for r in bent.rows] == [("Lr", 150), ("Lr", 180), ("S", 150), ("S", 180)]
    for r in bent.rows:
        span = np.diff(roof.frames_ft)[r.bay]
        assert r.allowed_in == pytest.approx(12 * span / r.limit.over)
        assert r.d_in == pytest.approx(f.deflection_by[r.load, "after"][r.line, r.bay])
        assert r.ratio_before == pytest.approx(
            f.deflection_by[r.load, "before"][r.line, r.bay] / r.allowed_in
        )
        assert f.sections.lines[r.line].member != "eave strut"
    assert bent.ratio == max(r.ratio for r in bent.rows if r.limit.over == 150)
    assert bent.state == "holds" and bent.unknown == "" and bent.snow_factor == 1.0


def test_between_the_rows_an_engineer_and_past_both_short(line):
    roof, _, f = line
    ratio = bent_most(roof, f).ratio
    for wanted, state in ((0.95, "engineer"), (1.05, "short")):
        more = {k: d * wanted / ratio for k, d in f.deflection_by.items()}
        assert bent_most(roof, replace(f, deflection_by=more)).state == state


def test_missing_load_or_section_is_unknown_not_a_pass(line):
    roof, _, f = line
    bent = bent_most(roof, replace(f, left_out=frozenset({("S", "after")})))
    assert bent.state == "unknown" and "snow" in bent.unknown and {r.load for r in bent.rows} == {"Lr"}
    i = next(k for k, x in enumerate(f.sections.lines) if x.member == "purlin")
    read = f.sections.Ix_in4.copy()

    class Sections:
        lines, which, state, Ix_in4 = f.sections.lines, f.sections.which, f.sections.state, read

    read[i, 0] = np.nan
    bent = bent_most(roof, replace(f, sections=Sections))
    assert bent.state == "unknown" and f.sections.lines[i].name in bent.unknown
    assert bent_most(roof, replace(f, left_out=frozenset({("S", "after"), ("Lr", "after")}))) is None


def test_soft_is_told(line):
    roof, acting, f = line
    feel = softest(roof, acting, f)
    assert feel.soft == ("soft" in (*feel.before.feel, *feel.after.feel)) and feel.basis.startswith(
        "gross section"
    )

    class Thin:
        lines, which, state = f.sections.lines, f.sections.which, f.sections.state
        Ix_in4 = f.sections.Ix_in4 / 8

    assert softest(roof, acting, replace(f, sections=Thin)).soft and not feel.soft
