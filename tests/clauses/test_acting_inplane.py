"""Shear in the plane of the roof, by hand from the low-rise figure (coefficients from memory) and statics."""

from __future__ import annotations

from dataclasses import replace

import pytest

import secondroof as sr
from secondroof.acting.inplane import in_plane
from secondroof.findings.context import gather


def test_barn_by_hand():
    """80 x 100 ft, eave 14, ridge 17.3, V 112 C 7-16: q_h 0.00256 x 0.85 x 0.849 x 112^2 = 23.2 psf (K_z at 15.7 ft).

    a = max(min(8, 0.4 x 15.7 = 6.3), 3.2, 3) = 6.3 ft, end strip 12.5 ft; upper half of the wall (14 + 17.3) / 4
    = 7.83 ft.
    Outside the strip 0.40 + 0.29 = 0.69, in it 0.61 + 0.43 = 1.04; 0.6 for ASD.
    """
    survey = sr.load(sr.example("tamsel-feed-barn"))
    c = gather(survey, survey.recovers[0])
    found = in_plane(c.survey, c.roof, c.wind)
    q = 0.00256 * 0.8565 * 0.85 * 112**2
    half, strip = (14 + 17.333) / 4, 2 * 0.4 * c.roof.h_ft
    force = 0.6 * q * half * (0.69 * (80 - strip) + 1.04 * strip) / 1000
    assert found.force_kip == pytest.approx(force, rel=0.01)
    assert found.shear_lb_ft == pytest.approx(1000 * force / 200, rel=0.01)
    assert len(found.steps) >= 2


def test_without_wind_there_is_no_number():
    survey = sr.load(sr.example("tamsel-feed-barn"))
    c = gather(survey, survey.recovers[0])
    found = in_plane(c.survey, c.roof, None)
    assert found.force_kip is None
    assert found.shear_lb_ft is None
    assert "not worked out" in found.sentence
    assert len(found.needs) == 1


def test_a_figure_not_held_is_told():
    """7-05: its main-frame figure is not held here."""
    survey = sr.load(sr.example("tamsel-feed-barn"))
    c = gather(survey, survey.recovers[0])
    found = in_plane(c.survey, c.roof, replace(c.wind, edition="7-05"))
    assert found.force_kip is None
    assert "7-05" in found.sentence
    assert found.needs[0].who == "engineer"


def test_direction_factor_stands_outside_q_in_7_22():
    """K_d 0.85 of buildings once, whether in q_h (7-16) or beside it (7-22); no other difference in exposure C here.

    Exposure constants of 7-22 differ, so the force is worked again: q_h of 7-22 without K_d, times 0.85 (from memory).
    """
    survey = sr.load(sr.example("tamsel-feed-barn"))
    c = gather(survey, survey.recovers[0])
    found = in_plane(c.survey, c.roof, replace(c.wind, edition="7-22"))
    symbol = {s.symbol: s for s in found.steps}
    q_h, q_d = float(symbol["q_h"].result), float(symbol["q_d"].result)
    assert q_d == pytest.approx(0.85 * q_h)
    half, strip = (c.roof.eave_height_ft + c.roof.ridge_height_ft) / 4, 2 * 0.4 * c.roof.h_ft
    force = 0.6 * q_d * half * (0.69 * (80 - strip) + 1.04 * strip) / 1000
    assert found.force_kip == pytest.approx(force, rel=1e-3)
