"""People's units. Factors: the yard and pound agreement of 1959 (1 in = 25.4 mm, 1 lb = 0.45359237 kg)."""

from __future__ import annotations

import pytest

from secondroof.units import Kind, UnitError, feet_inches, parse

READS = [
    ("24'-6 1/2\"", Kind.LENGTH_FT, 24 + 6.5 / 12),
    ("24' 6-1/2\"", Kind.LENGTH_FT, 24 + 6.5 / 12),
    ("24'", Kind.LENGTH_FT, 24),
    ("24'-6", Kind.LENGTH_FT, 24.5),
    ("5 ft 3 in", Kind.LENGTH_FT, 5.25),
    ('6"', Kind.LENGTH_FT, 0.5),
    ("168 in", Kind.LENGTH_FT, 14),
    ("7.47 m", Kind.LENGTH_FT, 7.47 / 0.3048),
    ("1,250 ft", Kind.LENGTH_FT, 1250),
    ("24′-6½″", Kind.LENGTH_FT, 24 + 6.5 / 12),
    ("13/16", Kind.LENGTH_IN, 0.8125),
    ("13/16 in", Kind.LENGTH_IN, 0.8125),
    ("1 3/8 in", Kind.LENGTH_IN, 1.375),
    ("1-3/8", Kind.LENGTH_IN, 1.375),
    ("2'-0\"", Kind.LENGTH_IN, 24),
    (".0690", Kind.LENGTH_IN, 0.069),
    ("35 mm", Kind.LENGTH_IN, 35 / 25.4),
    ("0.060 in", Kind.THICKNESS_IN, 0.060),
    ("60 mil", Kind.THICKNESS_IN, 0.060),
    ("16 ga base", Kind.THICKNESS_IN, 0.0598),
    ("16 ga (coated)", Kind.THICKNESS_IN, 0.0635),
    ("1/4:12", Kind.SLOPE_IN12, 0.25),
    ("1:12", Kind.SLOPE_IN12, 1),
    ("1 in 12", Kind.SLOPE_IN12, 1),
    ("0.98 in/ft", Kind.SLOPE_IN12, 0.98),
    ("4.7636°", Kind.SLOPE_IN12, 1.0),
    ("20 psf", Kind.PRESSURE_PSF, 20),
    ("0.96 kPa", Kind.PRESSURE_PSF, 960 * 0.3048**2 / 4.4482216152605),
    ("51 m/s", Kind.SPEED_MPH, 51 * 3600 / 1609.344),
    ("60 ft²", Kind.AREA_FT2, 60),
    ("80 squares", Kind.AREA_FT2, 8000),
    ("62 %", Kind.SHARE, 0.62),
    ("R-19", Kind.R_VALUE, 19),
    ("R19", Kind.R_VALUE, 19),
    ("8 F", Kind.TEMPERATURE_F, 8),
    ("-14 F", Kind.TEMPERATURE_F, -14),
    ("-10 °C", Kind.TEMPERATURE_F, 14),
    ("345 MPa", Kind.STRESS_KSI, 345 / 6.894757293168361),
    ("9 lb/ft", Kind.LINE_LOAD_LB_FT, 9),
    (5, Kind.LENGTH_FT, 5),
]


@pytest.mark.parametrize(("text", "kind", "value"), READS)
def test_reads(text, kind, value):
    assert parse(text, kind) == pytest.approx(value, rel=1e-5 if "°" in str(text) else 1e-12)


REFUSED = [
    ("26 ga", Kind.THICKNESS_IN, "convention"),
    ("17 ga base", Kind.THICKNESS_IN, "not in the table"),
    ("5-6", Kind.LENGTH_FT, "range"),
    ("11/4", Kind.LENGTH_IN, "run together"),
    ("1 9/8", Kind.LENGTH_IN, "cannot be read"),
    ("1.5 1/2", Kind.LENGTH_IN, "not known"),
    ("1/0", Kind.LENGTH_IN, "cannot be read"),
    ("5.5' 3\"", Kind.LENGTH_FT, "fraction of a foot"),
    ("5' 13\"", Kind.LENGTH_FT, "12 in or more"),
    ("4'\"", Kind.LENGTH_FT, "feet and inches"),
    ("20 psf", Kind.LENGTH_FT, "not a length"),
    ("3 cubits", Kind.LENGTH_FT, "not known"),
    ("1,25", Kind.LENGTH_FT, "not known"),
    ("", Kind.LENGTH_FT, "empty"),
    ("9" * 90, Kind.LENGTH_FT, "too long"),
    (True, Kind.LENGTH_FT, "not a length"),
    (float("nan"), Kind.LENGTH_FT, "finite"),
    (10**400, Kind.LENGTH_FT, "finite"),
    ([], Kind.LENGTH_FT, "not a length"),
    ("1e3", Kind.LENGTH_FT, "not known"),
]


@pytest.mark.parametrize(("text", "kind", "words"), REFUSED)
def test_refuses(text, kind, words):
    with pytest.raises(UnitError, match=words) as caught:
        parse(text, kind)
    assert caught.value.mend


def test_feet_inches():
    assert feet_inches(24 + 6.5 / 12) == "24'-6 1/2\""
    assert feet_inches(0) == "0'-0\""
    assert feet_inches(11.999) == "12'-0\""
    assert feet_inches(-1.5) == "-1'-6\""
