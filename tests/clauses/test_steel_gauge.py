"""Gauge conventions, coatings and steels."""

import pytest

from secondroof.errors import InputError, NotFoundError
from secondroof.steel import gauge


def test_a_gauge_is_not_a_thickness():
    assert gauge.gauge_thickness(26, "base") == 0.0179
    assert gauge.gauge_thickness(26, "coated") == 0.0217
    with pytest.raises(InputError, match="base or coated"):
        gauge.gauge_thickness(26, "")
    with pytest.raises(InputError, match="not in the table"):
        gauge.gauge_thickness(27, "base")


def test_tables_fall_with_gauge_and_coated_is_thicker():
    base, coated = gauge.GAUGES["base"].t_in, gauge.GAUGES["coated"].t_in
    assert list(base) == sorted(base)
    assert list(base.values()) == sorted(base.values(), reverse=True)
    assert list(base) == list(coated)
    assert all(0.0034 <= coated[g] - base[g] <= 0.0040 for g in base), (
        "zinc of the heavy coating of the convention"
    )


def test_coating_is_not_steel():
    # 0.0209 read on a 26-gauge sheet with AZ50 and 0.0014 of paint: 0.0209 - 0.0016 - 0.0014 = 0.0179
    assert gauge.base_of_reading(0.0209, "AZ50", 0.0014) == pytest.approx(0.0179, abs=1e-9)
    with pytest.raises(InputError, match="no steel"):
        gauge.base_of_reading(0.001, "G90")
    with pytest.raises(NotFoundError, match="Known coatings"):
        gauge.coating_thickness("G99")


def test_coating_from_its_weight():
    # zinc 0.0017 in per oz/ft2, 55 % Al-Zn 0.0032: G90 0.00153, G60 0.00102, AZ50 0.0016, AZ55 0.00176
    for code, want in {"G90": 0.00153, "G60": 0.00102, "AZ50": 0.0016, "AZ55": 0.00176}.items():
        assert gauge.coating_thickness(code) == pytest.approx(want, abs=0.00005)


def test_design_and_minimum_thickness_are_inverse():
    assert gauge.minimum_thickness(gauge.design_thickness(0.0568)) == pytest.approx(0.0568, rel=1e-12)


def test_full_hard_sheet_counts_60_62():
    # 0.75*80 = 60, limit 60; 0.75*82 = 61.5, limit 62
    s = gauge.find_steel("ASTM A792", "SS 80 Class 1")
    assert (s.Fy_design, s.Fu_design) == (60.0, 61.5)
    p = gauge.find_steel("ASTM A1011", "HSLAS 55 Class 1")
    assert (p.Fy_design, p.Fu_design) == (55, 70)
    with pytest.raises(NotFoundError, match="Known:"):
        gauge.find_steel("ASTM A36", "36")
