"""AISI S100-16 I6.3.1 and K2.1.1 on a person's own panel tests; hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.steel import factors_from_tests as factors
from secondroof.steel import panel_tests as pt


def demo(**change):
    """Invented numbers."""
    base = {
        "spans_ft": [1.0, 2.5, 5.0], "ultimate_psf": [190.0, 130.0, 70.0], "n_tests": [3, 3, 3],
        "source": "invented for tests", "invented": True, "failure": "panel",
    }  # fmt: skip
    return pt.PanelTest(**{**base, **change})


def test_three_tests_factor_by_hand():
    # phi = 1.52*1.10*exp(-2.5*sqrt(0.1^2+0.05^2+5.7*0.065^2+0.21^2)) = 1.672*exp(-2.5*0.2840467) = 0.821933
    f = factors.panel_factor(3, failure="panel")
    assert f.phi == pytest.approx(0.821933, abs=2e-6)
    assert f.Omega == pytest.approx(1.946630, abs=5e-6)
    # clip: 1.672*exp(-3.5*0.2840467) = 0.618693, 1.6/0.618693 = 2.5861
    c = factors.panel_factor(3, failure="clip")
    assert c.Omega == pytest.approx(2.5861, abs=3e-4)
    assert factors.panel_factor(3).Omega == c.Omega, "an unknown failure takes the higher factor"


def test_number_of_tests():
    # n 4: (1+1/4)*3/1 = 3.75; n 6: (1+1/6)*5/3 = 1.94444; n 3: 5.7
    assert factors.sample_correction(np.array([3.0, 4.0, 6.0])) == pytest.approx(
        [5.7, 3.75, 1.944444], rel=1e-6
    )


def test_fewer_than_three_and_floors():
    f = factors.panel_factor([1, 2, 3, 1000], failure="panel")
    assert f.Omega[:2].tolist() == [2.0, 2.0]
    assert f.phi[:2].tolist() == [0.8, 0.8]
    assert f.few.tolist() == [True, True, False, False]
    assert np.isnan(f.Omega_test[:2]).all()
    # very many equal tests: 1.672*exp(-2.5*sqrt(0.0566+0.004225)) = 0.90257 -> phi 0.90, Omega 1.7727
    assert f.phi[3] == pytest.approx(0.90, abs=1e-12)
    assert factors.panel_safety_factor(1.5, 5) == 1.67


def test_spread_of_three_tests():
    assert not factors.spread_is_wide([85.0, 100.0, 115.0])
    assert factors.spread_is_wide([84.0, 100.0, 116.0])


@pytest.mark.parametrize("bad", [{"n": 0}, {"n": 3, "failure": "fold"}, {"n": 3, "V_P": -0.1}])
def test_impossible_factor_inputs(bad):
    with pytest.raises(InputError):
        factors.panel_factor(**bad)


def test_strength_between_and_outside_tested_spans():
    c = pt.uplift_capacity(demo(), np.array([0.9, 1.0, 2.0, 2.5, 5.0, 5.01]))
    # at 2.0: 190 - 60*(1.0/1.5) = 150
    assert np.isnan(c.ultimate_psf[[0, 5]]).all()
    assert np.isnan(c.allowable_psf[[0, 5]]).all()
    assert c.ultimate_psf[1:5] == pytest.approx([190, 150, 130, 70])
    assert c.in_tested_range.tolist() == [False, True, True, True, True, False]
    assert c.between_tests.tolist() == [False, False, True, False, False, False]
    assert c.allowable_psf[2] == pytest.approx(150 / 1.946630, rel=1e-4)


def test_worse_factor_of_the_two_tests_beside_the_span():
    c = pt.uplift_capacity(demo(n_tests=[6, 1, 6]), np.array([1.0, 2.0, 4.0]))
    assert c.Omega[0] < 2.0
    assert c.Omega[1:].tolist() == [2.0, 2.0]


def test_single_tested_span():
    one = demo(spans_ft=[5.0], ultimate_psf=[70.0], n_tests=[3])
    assert pt.uplift_capacity(one, 5.0).ultimate_psf == 70.0
    assert np.isnan(pt.uplift_capacity(one, 4.9).ultimate_psf)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"spans_ft": [2.5, 1.0, 5.0]}, "spans_ft"), ({"ultimate_psf": [190.0, -1.0, 70.0]}, "ultimate_psf"),
        ({"n_tests": [3, 3]}, "n_tests"), ({"source": " "}, "source"), ({"n_tests": [3, 0, 3]}, "n_tests"),
        ({"spans_ft": [1.0, 1.0, 5.0]}, "spans_ft"), ({"ultimate_psf": [float("nan"), 130.0, 70.0]}, "ultimate_psf"),
    ],
)  # fmt: skip
def test_tables_that_cannot_be_used(change, field):
    with pytest.raises(InputError, match=field):
        demo(**change)


def test_table_cannot_be_changed_afterwards():
    with pytest.raises(ValueError):
        demo().ultimate_psf[0] = 999.0


def state(conditions):
    return {c.key: c.state for c in conditions}


def test_067_rule_reports_each_condition():
    full = demo(standard="AISI S906", panel_thickness_in=0.0239, panel_width_in=24.0, seam="trapezoidal",
                failure_mode="clip out of seam")  # fmt: skip
    met = pt.nominal_wind_067(full, zone="3", components_and_cladding=True, wind_edition="ASCE 7-10")
    assert len(met) == 7
    assert set(state(met).values()) == {"met"}
    field = pt.nominal_wind_067(full, zone="1", components_and_cladding=True, wind_edition="ASCE 7-10")
    assert state(field)["zone"] == "not met"
    nothing = pt.nominal_wind_067(demo(), zone=None, components_and_cladding=None, wind_edition="ASCE 7-16")
    assert set(state(nothing).values()) == {"unknown"}
    heavy = demo(panel_thickness_in=0.0312, panel_width_in=18.5, seam="vertical", failure_mode="panel tore")
    s = state(pt.nominal_wind_067(heavy, zone="2", components_and_cladding=True, wind_edition="ASCE 7-16"))
    assert (s["thickness"], s["vertical_width"], s["trapezoidal_width"], s["failure"], s["tested"]) == (
        "not met", "not met", "met", "not met", "unknown",
    )  # fmt: skip


def test_thinner_support_than_tested_is_not_covered():
    t = demo(support_thickness_in=0.060, support_Fu_ksi=65)
    assert state(pt.support_conditions(t, 0.054, 65)) == {
        "support_thickness": "not met",
        "support_strength": "met",
    }
    assert state(pt.support_conditions(t, None, 65))["support_thickness"] == "unknown"
    assert state(pt.support_conditions(demo(), 0.06, 65))["support_strength"] == "unknown"
