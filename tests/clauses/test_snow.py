"""Snow clauses, with hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError, MissingError
from secondroof.loads import snow
from secondroof.loads import snow_formulas as f

SLOPE_1_12 = float(np.degrees(np.arctan(1 / 12)))  # 4.76 degrees


@pytest.mark.parametrize(
    ("risk", "C_t", "p_f"),
    [
        ("IV", 1.0, 50.4),
        ("IV", 1.1, 55.44),
        ("IV", 1.2, 60.48),
        ("II", 1.0, 42.0),
        ("II", 1.1, 46.2),
        ("II", 1.2, 50.4),
    ],
)
def test_thermal_factor_before_and_after(risk, C_t, p_f):
    # 0.7 x 1.0 x C_t x I_s x 60: an invented mountain shop before insulation, vented, unheated
    b = snow.balanced_snow("7-16", 60.0, 1.0, C_t, risk, SLOPE_1_12, False, 60.0)
    assert float(b.p_f_psf) == pytest.approx(p_f)
    assert float(b.p_s_psf) == pytest.approx(p_f)  # 4.76 degrees: no slope reduction
    assert b.level == "service"
    assert float(b.p_m_psf) == pytest.approx(20.0 * snow.importance_factor(risk))
    assert float(b.rain_psf) == 0.0  # p_g above 20


def test_rain_on_snow_limits():
    # 5 psf where 0 < p_g <= 20 and slope below W/50: W 300 ft -> 6 degrees
    args = ("7-10", np.array([0.0, 15.0, 20.0, 20.01]), 1.0, 1.0, "II")
    assert list(snow.balanced_snow(*args, 1.19, False, 300.0).rain_psf) == [0.0, 5.0, 5.0, 0.0]
    assert float(snow.balanced_snow("7-10", 20.0, 1.0, 1.0, "II", 6.0, False, 300.0).rain_psf) == 0.0
    # p_g 20, C_t 1.0: 0.7 x 20 + 5 = 19 against the minimum of 20
    assert float(
        snow.balanced_snow("7-10", 20.0, 1.0, 1.0, "II", 1.19, False, 300.0).p_uniform_psf
    ) == pytest.approx(20.0)
    # 7-22: 8 psf up to the minimum's limit of the risk category
    r = snow.balanced_snow("7-22", np.array([30.0, 30.1]), 1.0, 1.2, "II", 1.19, False, 300.0)
    assert list(r.rain_psf) == [8.0, 0.0] and list(r.p_m_psf) == [30.0, 30.0] and r.level == "strength"


def test_minimum_only_on_low_slopes():
    p = snow.balanced_snow("7-10", 30.0, 1.0, 1.0, "II", np.array([14.9, 15.0]), False, 50.0).p_m_psf
    assert list(p) == [20.0, 0.0]


@pytest.mark.parametrize(
    ("edition", "C_t", "slippery", "slope", "expected"),
    [
        ("7-10", 1.0, True, 14.04, 1 - 9.04 / 65), ("7-10", 1.0, False, 30.0, 1.0), ("7-10", 1.0, False, 50.0, 0.5),
        ("7-10", 1.1, True, 40.0, 0.5), ("7-10", 1.1, False, 37.5, 1.0), ("7-10", 1.2, True, 42.5, 0.5),
        ("7-10", 1.2, False, 57.5, 0.5), ("7-10", 1.2, False, 70.0, 0.0), ("7-10", 1.0, True, 80.0, 0.0),
        ("7-22", 1.1, False, 50.0, 0.5), ("7-22", 1.15, True, 40.0, 0.5),  # 7-22 keys its panels at 1.1 and 1.2
    ],
)  # fmt: skip
def test_slope_factor_lines(edition, C_t, slippery, slope, expected):
    b = snow.balanced_snow(edition, 50.0, 1.0, C_t, "II", slope, slippery, 50.0)
    assert float(b.C_s) == pytest.approx(expected)


def test_slippery_needs_insulation_on_warm_roofs():
    ask = snow.slippery_allowed
    assert bool(ask("7-10", True, True, 1.0, 30.0, False)) and not bool(
        ask("7-10", True, True, 1.0, 29.0, False)
    )
    assert bool(ask("7-10", True, True, 1.0, 20.0, True)) and not bool(
        ask("7-10", True, False, 1.0, 40.0, True)
    )
    assert bool(ask("7-10", True, True, 1.2, 0.0, False))  # cold roof
    assert not bool(ask("7-10", False, True, 1.2, 40.0, False))


def test_factors_from_words():
    assert snow.exposure_factor("C", "partially exposed") == 1.0
    assert snow.exposure_factor("B", "sheltered") == 1.2
    assert snow.thermal_factor("7-16", snow.thermal_condition(True, True, 30.0)) == 1.1
    assert snow.thermal_factor("7-16", snow.thermal_condition(True, True, 25.0)) == 1.0
    assert snow.thermal_factor("7-22", "cold ventilated") == 1.2
    assert snow.thermal_factor("7-16", snow.thermal_condition(False, False, 0.0)) == 1.2
    with pytest.raises(MissingError, match=r"Table 7\.3-3"):
        snow.thermal_factor("7-22", "heated")
    with pytest.raises(InputError, match="terrain"):
        snow.exposure_factor("above treeline", "sheltered")
    with pytest.raises(InputError, match="condition"):
        snow.thermal_factor("7-10", "warm")


def test_partial_loading_patterns():
    names, share = snow.partial_loading(4)
    assert len(names) == 1 + 4 + 3 == len(share)
    assert np.all(share[0] == 1)
    rows = {tuple(r) for r in share}
    assert (1.0, 0.5, 0.5, 0.5) in rows and (0.5, 0.5, 0.5, 1.0) in rows  # case 1, each end
    assert (0.5, 1.0, 1.0, 1.0) in rows and (1.0, 1.0, 1.0, 0.5) in rows  # case 2
    assert (0.5, 1.0, 1.0, 0.5) in rows  # case 3
    assert snow.partial_loading(1)[1].tolist() == [[1.0]]
    with pytest.raises(InputError):
        snow.partial_loading(0)


def test_unbalanced_by_hand():
    # p_g 60, W 60, S 12, RC II, 7-10: h_d = 0.43 60^(1/3) 70^(1/4) - 1.5 = 0.43 x 3.9149 x 2.8925 - 1.5 = 3.369
    # gamma 0.13 x 60 + 14 = 21.8; surcharge 3.369 x 21.8/sqrt(12) = 21.20; extent 8 x 3.369 x 3.4641/3 = 31.12
    u = snow.unbalanced_snow("7-10", 42.0, 60.0, "II", SLOPE_1_12, 60.0)
    assert bool(u.applies)
    assert float(u.h_d_ft) == pytest.approx(3.369, abs=0.002)
    assert float(u.p_surcharge_psf) == pytest.approx(21.20, abs=0.02)
    assert float(u.extent_ft) == pytest.approx(31.12, abs=0.03)
    assert float(u.p_windward_psf) == pytest.approx(12.6) and float(u.p_leeward_psf) == 42.0
    # risk IV in 7-16: h_d times sqrt(1.2)
    assert float(snow.unbalanced_snow("7-16", 50.4, 60.0, "IV", SLOPE_1_12, 60.0).h_d_ft) == pytest.approx(
        3.369 * 1.2**0.5, abs=0.003
    )


@pytest.mark.parametrize(
    ("slope", "applies"), [(1.19, False), (2.37, False), (2.39, True), (30.2, True), (30.3, False)]
)
def test_unbalanced_slopes(slope, applies):
    u = snow.unbalanced_snow("7-10", 42.0, 60.0, "II", slope, 60.0)
    assert bool(u.applies) is applies
    if not applies:
        assert float(u.p_windward_psf) == 42.0 and float(u.p_surcharge_psf) == 0.0


def test_short_simple_rafters():
    u = snow.unbalanced_snow("7-10", 42.0, 60.0, "III", 18.0, 20.0, simple_rafters=True)
    assert float(u.p_windward_psf) == 0.0 and float(u.p_leeward_psf) == pytest.approx(66.0)  # 1.1 x 60
    assert float(u.p_surcharge_psf) == 0.0


def test_drift_height_of_7_22_against_its_commentary():
    # values of C7.14 as quoted in a public copy (second hand): pg 30, lu 30, W_2 0.55, gamma 17.9 -> 2.46;
    # pg 32, lu 100, W_2 0.5, gamma 19 -> 3.4 (one place)
    assert float(f.drift_height_22(30.0, 30.0, 0.55, 17.9)) == pytest.approx(2.46, abs=0.01)
    assert float(f.drift_height_22(32.0, 100.0, 0.5, 19.0)) == pytest.approx(3.4, abs=0.05)
    # same example, 6 in 12, W 30: surcharge 31.1 psf over 9.3 ft
    u = snow.unbalanced_snow("7-22", 25.0, 30.0, "II", float(np.degrees(np.arctan(0.5))), 30.0, W_2=0.55)
    assert float(u.p_surcharge_psf) == pytest.approx(31.1, abs=0.2)
    assert float(u.extent_ft) == pytest.approx(9.3, abs=0.05)
    with pytest.raises(MissingError, match="W_2"):
        snow.unbalanced_snow("7-22", 25.0, 30.0, "II", 20.0, 30.0)


def test_bad_snow_input():
    with pytest.raises(InputError) as caught:
        snow.balanced_snow("7-10", -1.0, 1.0, 9.0, "II", 5.0, False, 50.0)
    assert [p.field for p in caught.value.problems] == ["p_g_psf", "C_t"]
    with pytest.raises(InputError, match="risk_category"):
        snow.balanced_snow("7-10", 30.0, 1.0, 1.0, "V", 5.0, False, 50.0)
