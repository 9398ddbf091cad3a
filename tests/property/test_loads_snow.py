"""What must hold of snow loads and combinations whatever the numbers."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from secondroof.loads import snow, snow_drift
from secondroof.loads.combinations import combine

EDITIONS = ["7-05", "7-10", "7-16", "7-22"]


@given(st.sampled_from(EDITIONS), st.floats(1, 200), st.floats(0, 50), st.floats(0, 60), st.floats(0, 9), st.booleans(),
       st.sampled_from([1.0, 1.1, 1.2]))  # fmt: skip
def test_balanced_rises_with_ground_snow_and_falls_with_slope(
    edition, p_g, more, slope, steeper, slippery, C_t
):
    low, high = snow.balanced_snow(
        edition, np.array([p_g, p_g + more]), 1.0, C_t, "II", slope, slippery, 50.0
    ).p_s_psf
    assert high >= low
    flat, steep = snow.balanced_snow(
        edition, p_g, 1.0, C_t, "II", np.array([slope, slope + steeper]), slippery, 50.0
    ).p_s_psf
    assert steep <= flat


@given(
    st.sampled_from(EDITIONS), st.floats(1, 150), st.floats(0.1, 40), st.floats(20, 400), st.floats(20, 400)
)
def test_drifts_stay_below_the_step(edition, p_g, step, upper, lower):
    p_s = 0.7 * p_g
    for d in snow_drift.drift_at_step(edition, p_g, p_s, step, upper, lower, "II", W_2=0.5):
        assert 0.0 <= float(d.p_d_psf) <= float(d.h_c_ft) * (0.13 * p_g + 14) + 1e-9
        assert float(d.width_ft) >= 0.0
        assert float(d.surcharge(0.0)) <= float(d.p_d_psf) + 1e-9


@given(st.sampled_from(EDITIONS), st.floats(1, 150), st.floats(2.4, 30), st.floats(21, 300))
def test_unbalanced_keeps_within_the_slope(edition, p_g, slope, W):
    u = snow.unbalanced_snow(edition, 0.7 * p_g, p_g, "II", slope, W, W_2=0.5)
    assert 0 <= float(u.extent_ft) <= W
    assert float(u.p_windward_psf) <= 0.7 * p_g <= float(u.p_leeward_psf) + 1e-9


@given(
    st.sampled_from(EDITIONS),
    st.sampled_from(["ASD", "LRFD"]),
    st.lists(st.floats(0, 100), min_size=7, max_size=7),
)
def test_governing_value_is_the_named_combination(edition, method, q):
    loads = {
        "D": q[0],
        "D_sure": min(q[0], q[1]),
        "Lr": q[2],
        "S": q[3],
        "R": q[4],
        "W_down": q[5],
        "W_up": -q[6],
    }
    c = combine(edition, method, loads)
    assert float(c.down) == float(c.values[c.down_index]) == max(map(float, c.values))
    assert float(c.up) == float(c.values[c.up_index]) == min(map(float, c.values))
    assert float(c.down) >= q[0]  # dead load alone is always among them
