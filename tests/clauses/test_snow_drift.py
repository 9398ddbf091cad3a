"""Drifts and sliding snow, with hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import MissingError
from secondroof.loads import snow_drift
from secondroof.loads import snow_formulas as f


def test_step_by_hand():
    # p_g 25, lu 40: h_d 2.08 (published, SK&A); gamma 17.25; p_s 17.5: h_b 1.014; step 4: h_c 2.986; w 4 x 2.077 = 8.31
    lee, wind = snow_drift.drift_at_step("7-16", 25.0, 17.5, 4.0, 40.0, 30.0, "II")
    assert float(lee.h_b_ft) == pytest.approx(17.5 / 17.25)
    assert float(lee.width_ft) == pytest.approx(4 * float(lee.h_d_ft))
    assert bool(lee.required)
    # windward from 30 ft of lower roof: 0.75 (0.43 x 3.1072 x 2.4323 - 1.5) = 0.75 x 1.7498
    assert float(wind.h_d_ft) == pytest.approx(0.75 * 1.7498, abs=0.001)
    assert str(snow_drift.larger(lee, wind).kind) == "leeward"


def test_step_cuts_the_drift():
    # h_d 3.369 (p_g 60, lu 60), gamma 21.8, p_s 42: h_b 1.927; step 4: h_c 2.073 < h_d
    # p_d = 21.8 x 2.073 = 45.2; w = 4 x 3.369^2/2.073 = 21.9 > 8 x 2.073 = 16.6
    lee, _ = snow_drift.drift_at_step("7-10", 60.0, 42.0, 4.0, 60.0, 30.0, "II")
    assert float(lee.p_d_psf) == pytest.approx(45.2, abs=0.1)
    assert float(lee.width_ft) == pytest.approx(16.59, abs=0.03)


def test_no_drift_on_a_low_step_or_without_snow():
    low, _ = snow_drift.drift_at_step("7-10", 60.0, 42.0, 2.3, 60.0, 30.0, "II")  # h_c 0.37 < 0.2 x 1.93
    assert not bool(low.required) and float(low.p_d_psf) == 0.0 and float(low.width_ft) == 0.0
    none, _ = snow_drift.drift_at_step("7-10", 0.0, 0.0, 10.0, 60.0, 30.0, "II")
    assert float(none.p_d_psf) == 0.0


def test_surcharge_is_a_triangle():
    lee, _ = snow_drift.drift_at_step("7-10", 25.0, 17.5, 10.0, 40.0, 30.0, "II")
    w, p = float(lee.width_ft), float(lee.p_d_psf)
    assert lee.surcharge(np.array([0.0, w / 2, w, w + 1, -1])) == pytest.approx([p, p / 2, 0, 0, 0])


def test_step_of_7_22_against_a_published_example():
    # SK&A engineering insight "Snow Drift Loads: ASCE 7-16 vs 7-22":
    # pg 63, W_2 0.45, lu 40, step 4 ft -> peak about 89 psf
    p_f = f.flat_roof_snow_22(1.0, 1.0, 63.0)
    lee, wind = snow_drift.drift_at_step("7-22", 63.0, p_f, 4.0, 40.0, 30.0, "II", W_2=0.45)
    assert float(p_f + lee.p_d_psf) == pytest.approx(89.0, abs=0.5)
    assert wind.kind == "windward"
    with pytest.raises(MissingError, match="winter_wind"):
        snow_drift.drift_at_step("7-22", 63.0, p_f, 4.0, 40.0, 30.0, "II")


def test_windward_width_of_7_22():
    # second hand: pg 40, W_2 0.5, lu 240, gamma 19.2: h_d 5.063, 0.75 h_d 3.797, w 8 x 3.797 = 30.38
    _, wind = snow_drift.drift_at_step("7-22", 40.0, 28.48, 10.0, 100.0, 240.0, "II", W_2=0.5)
    assert float(wind.h_d_ft) == pytest.approx(3.797, abs=0.002)
    assert float(wind.width_ft) == pytest.approx(30.38, abs=0.02)


def test_neighbour_and_its_limits():
    # higher building 14 ft above, 9 ft away, 40 ft long; p_g 60: h_d = 0.43 x 3.4200 x 2.8925 - 1.5 = 2.754
    # (6 x 14 - 9)/6 = 12.5 does not limit; extent min(6 x 2.754, 75) = 16.5
    d = snow_drift.drift_from_neighbour("7-10", 60.0, 42.0, 14.0, 9.0, 40.0, "II")
    assert float(d.h_d_ft) == pytest.approx(2.754, abs=0.002)
    assert float(d.width_ft) == pytest.approx(16.52, abs=0.02)
    far = snow_drift.drift_from_neighbour(
        "7-10", 60.0, 42.0, np.array([14.0, 3.0]), np.array([20.0, 18.0]), 40.0, "II"
    )
    assert not np.any(far.required)  # 20 ft; 6 x 3 = 18 ft


def test_parapet_is_three_quarters():
    d = snow_drift.drift_at_parapet("7-10", 60.0, 42.0, 6.0, 60.0, "II")
    assert float(d.h_d_ft) == pytest.approx(0.75 * 3.369, abs=0.002)


def test_sliding_onto_a_lean_to():
    # p_f 42, W 60: 0.4 x 42 x 60 = 1008 lb/ft over 15 ft = 67.2 psf
    s = snow_drift.sliding_snow("7-10", 42.0, 60.0, 4.76, True, 24.0)
    assert float(s.total_lb_per_ft) == pytest.approx(1008.0) and float(s.p_psf) == pytest.approx(67.2)
    narrow = snow_drift.sliding_snow("7-10", 42.0, 60.0, 4.76, True, 10.0)
    assert float(narrow.total_lb_per_ft) == pytest.approx(672.0) and float(narrow.width_ft) == 10.0
    assert not bool(
        snow_drift.sliding_snow("7-10", 42.0, 60.0, 4.76, False, 24.0).applies
    )  # not slippery: above 2 in 12
    assert not bool(snow_drift.sliding_snow("7-10", 42.0, 60.0, 1.1, True, 24.0).applies)  # below 1/4 in 12
