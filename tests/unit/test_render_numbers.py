"""Numbers as people read them. Expected texts: the table of how things are shown, or rounding by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from secondroof.checks.numbers import (
    decimals_needed,
    feet_inches,
    fixed,
    show,
    show_si,
    show_with_unit,
    to_si,
    unit_text,
)


@pytest.mark.parametrize(
    ("value", "unit", "kind", "text"),
    [
        (122.83, "psf", None, "122.8"),  # pressure: 1 decimal
        (460.4875, "lb/ft", None, "460.5"),  # line load: 1 decimal
        (1228.04, "lb", None, "1,228.0"),  # force on a card: 1 decimal
        (1228.04, "lb", "whole", "1,228"),  # force elsewhere: whole
        (1.5874, "ratio", None, "1.59"),  # ratio: 2 decimals
        (1.003, "ratio", None, "1.003"),  # never a short 1.00
        (1.00004, "ratio", None, "1.00004"),
        (1.0, "ratio", None, "1.00"),  # exactly 1 holds and says so
        (0.9999, "ratio", None, "1.00"),
        (0.13, "in", "gap", "0.13"),
        (0.063, "in", "base steel", "0.0630"),
        (1.4, "psf", "weight", "1.40"),
        (31.4, "%", None, "31"),
        (86000, "$", None, "86,000"),
        (65000.0, "psi", None, "65,000"),
        (55.0, "ksi", None, "55"),
        (29500.0, "ksi", None, "29,500"),
        (0.85, "-", None, "0.85"),
        (3.0, "-", None, "3.00"),
        (0.71312, "-", None, "0.7131"),
        (0.0000065, "1/degF", None, "0.0000065"),  # never an exponent
        (1, "per ft", None, "1"),
        (-0.04, "psf", None, "\u22120.04"),  # true minus; never a nought that is not one
        (-1e-15, "psf", None, "0.0"),  # a remainder of floating point
        (2.5e9, "-", None, "2,500,000,000"),
        (np.array([122.83]), "psf", None, "122.8"),
        (None, "psf", None, "not read"),
        (float("nan"), "psf", None, "not known"),
        (float("inf"), "lb", None, "infinite"),
        (True, "-", None, "yes"),
    ],
)
def test_show(value, unit, kind, text):
    assert show(value, unit, kind) == text


def test_show_refuses_arrays_and_unknown_kinds():
    with pytest.raises(ValueError, match="one number"):
        show(np.array([1.0, 2.0]), "psf")
    with pytest.raises(ValueError, match="kind of number"):
        show(1.0, "psf", "nonsense")


def test_units_beside_numbers():
    assert show_with_unit(122.8, "psf") == "122.8 psf"
    assert show_with_unit(86000, "$") == "$86,000"
    assert show_with_unit(None, "psf") == "not read"
    assert show_with_unit(0.5, "-") == "0.50"
    assert unit_text("in^2") == "in²" and unit_text("degF") == "°F" and unit_text("in4", plain=True) == "in4"


def test_plain_is_ascii():
    assert show(-12.0, "psf", plain=True) == "-12.0"


def test_feet_and_inches():
    assert feet_inches(24 + 6.5 / 12) == "24'-6 1/2\""
    assert feet_inches(14.9999) == "15'-0\""  # carried over, not 14'-12"
    assert feet_inches(73 + 11 / 12, eighths=False) == "73'-11\""
    assert feet_inches(-0.5) == "\u22120'-6\""


def test_si_factors():
    # exact definitions: 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N
    lbf, foot, inch = 4.4482216152605, 0.3048, 0.0254
    assert to_si(1.0, "psf")[0] == pytest.approx(lbf / foot**2 / 1000, rel=1e-12)
    assert to_si(1.0, "ksi")[0] == pytest.approx(1000 * lbf / inch**2 / 1e6, rel=1e-12)
    assert to_si(1.0, "lb/ft")[0] == pytest.approx(lbf / foot, rel=1e-12)
    assert to_si(1.0, "kip-in")[0] == pytest.approx(lbf * inch, rel=1e-12)
    assert to_si(1.0, "kip-in2")[0] == pytest.approx(lbf * inch**2, rel=1e-12)
    assert to_si(1.0, "pcf")[0] == pytest.approx(lbf / foot**3 / 1000, rel=1e-12)
    assert to_si(1.0, "kip/in")[0] == pytest.approx(lbf / inch / 1000, rel=1e-12)
    assert to_si(1.0, "lb-in")[0] == pytest.approx(lbf * inch, rel=1e-12)
    assert to_si(212.0, "degF")[0] == pytest.approx(100.0, rel=1e-12)
    # R and U are inverse; 1 Btu(IT) = 1055.05585262 J
    u = 1055.05585262 / 3600 / foot**2 * 9 / 5
    assert to_si(1.0, "Btu/h-ft2-degF")[0] == pytest.approx(u, rel=1e-9)
    assert to_si(1.0, "h-ft2-degF/Btu")[0] == pytest.approx(1 / u, rel=1e-9)


def test_si_text():
    assert show_si(122.8, "psf") == "5.88 kPa"  # 122.8 x 0.0478803
    assert show_si(0.063, "in", "base steel") == "1.600 mm"
    assert show_si(460.5, "lb/ft") == "6,720 N/m"  # 460.5 x 14.5939 = 6720.5
    assert show_si(None, "psf") == "not read"


@given(st.floats(allow_nan=False, allow_infinity=False, width=32))
def test_no_exponent_ever(value):
    for unit in ("psf", "-", "ratio", "in4", "unheard"):
        text = show(value, unit)
        assert "e" not in text.lower()
        read = float(text.replace(",", "").replace("\u2212", "-"))
        assert abs(read - value) <= max(abs(value) * 0.05, 0.0051)


@given(st.floats(min_value=1.0, exclude_min=True, max_value=1.02))
def test_short_ratio_never_prints_as_one(value):
    assert float(show(value, "ratio")) > 1.0


@given(st.floats(min_value=1e-9, max_value=1e9))
def test_needed_decimals_are_exact(value):
    assert float(fixed(value, decimals_needed(value), commas=False)) == value
