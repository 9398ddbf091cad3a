"""What must hold for any screw in any two sheets."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from secondroof.steel import screws

t = st.floats(0.01, 0.12)
d = st.sampled_from(sorted(screws.SCREW_DIAMETER_IN.values()))
fu = st.floats(40, 110)
force = st.floats(0, 3)


@given(force, force, t, t, d, fu, fu, st.floats(0.3125, 0.75))
def test_straight_line_is_never_below_the_tested_interaction(T, V, t1, t2, dia, Fu1, Fu2, dw):
    # Fy2 = Fu2/1.3 is inside the range of J4.5.2, no Fy2 is outside it
    inside = screws.screw_group(T, V, t1, t2, dia, Fu1, Fu2, dw, Fy2=Fu2 / 1.3)
    outside = screws.screw_group(T, V, t1, t2, dia, Fu1, Fu2, dw)
    assert outside.ratio_shear_pull_out >= inside.ratio_shear_pull_out - 1e-12
    line_over = V / inside.shear_available + T / inside.pull_over_available
    assert inside.ratio_shear_pull_over <= line_over + 1e-12


@given(t, t, d, fu, fu)
def test_thicker_sheet_is_never_weaker(t1, t2, dia, Fu1, Fu2):
    s0 = screws.nominal_shear(t1, t2, dia, Fu1, Fu2)
    assert screws.nominal_shear(t1, 1.05 * t2, dia, Fu1, Fu2) >= s0 * (1 - 1e-12)
    assert s0 <= 2.7 * min(t1 * Fu1, t2 * Fu2) * dia * (1 + 1e-12)


@given(st.lists(st.tuples(force, force, t, t), min_size=1, max_size=6))
def test_arrays_equal_scalars(rows):
    T, V, t1, t2 = np.array(rows).T
    many = screws.screw_group(T, V, t1, t2, 0.25, 65, 70, 0.5, Fy2=55)
    for i, row in enumerate(rows):
        one = screws.screw_group(*row, 0.25, 65, 70, 0.5, Fy2=55)
        assert many.ratio[i] == one.ratio
        assert many.governing[i] == one.governing
        assert many.in_range[i] == one.in_range
