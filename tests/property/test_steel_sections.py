"""What must hold for any section."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from secondroof.steel import effective, properties, sections, strength

dims = st.tuples(
    st.floats(6, 12), st.floats(2.1, 3.5), st.floats(0.6, 1.2), st.floats(0.045, 0.12), st.floats(0.1, 0.3),
    st.floats(45, 90),
)  # fmt: skip
ALL = tuple(properties.Properties.__dataclass_fields__)


@given(dims, st.floats(0.5, 3.0))
def test_size_scales_by_its_power(dim, n):
    D, B, d, t, R, a = dim
    p = properties.gross(sections.z_section(D, B, d, t, R, a))
    q = properties.gross(sections.z_section(n * D, n * B, n * d, n * t, n * R, a))
    for name, power in (
        ("A", 2),
        ("Ix", 4),
        ("Iy", 4),
        ("Ixy", 4),
        ("J", 4),
        ("Cw", 6),
        ("Sx", 3),
        ("rx", 1),
    ):
        assert getattr(q, name) == pytest.approx(getattr(p, name) * n**power, rel=1e-9), name


@given(dims)
def test_equal_flanges_are_symmetric(dim):
    p = properties.gross(sections.z_section(*dim))
    assert p.y_top == pytest.approx(float(p.y_bottom), rel=1e-9)
    assert abs(p.xo) + abs(p.yo) < 1e-8, "shear centre of a point-symmetric Z is its centroid"
    top = effective.effective_section(sections.z_section(*dim), 55.0, compression="top").Se
    bottom = effective.effective_section(sections.z_section(*dim), 55.0, compression="bottom").Se
    assert top == pytest.approx(float(bottom), rel=1e-9)
    c = properties.gross(sections.c_section(*dim))
    assert c.xo < -c.x_web * 0 and c.xo < c.x_web, "shear centre of a C lies behind its web"
    assert c.Ix == pytest.approx(float(p.Ix), rel=1e-9), "a flange turned round keeps Ix"


@given(dims, st.floats(20, 80))
def test_effective_is_never_more_than_gross_and_falls_with_stress(dim, f):
    s = sections.z_section(*dim)
    p = properties.gross(s)
    e = effective.effective_section(s, np.array([f, 1.1 * f]))
    assert np.all(e.settled)
    assert np.all(e.Se <= p.Sx * (1 + 1e-9))
    assert e.Se[1] <= e.Se[0] * (1 + 1e-9)
    assert np.all(e.Ie <= p.Ix * (1 + 1e-9))


@settings(max_examples=15)
@given(st.lists(dims, min_size=1, max_size=4))
def test_arrays_equal_scalars(rows):
    many = sections.z_section(*np.array(rows).T)
    F = strength.flexural_strength(many, 55.0, L_y=60.0)
    P = properties.gross(many)
    for i, row in enumerate(rows):
        one = sections.z_section(*row)
        assert strength.flexural_strength(one, 55.0, L_y=60.0).M_n == pytest.approx(
            F.M_n[i], rel=1e-10, nan_ok=True
        )
        p = properties.gross(one)
        for name in ALL:
            assert getattr(p, name) == pytest.approx(getattr(P, name)[i], rel=1e-12, abs=1e-12)


@given(dims, st.floats(0.0, 0.3))
def test_rust_never_helps(dim, part):
    s = sections.z_section(*dim)
    r = sections.rusted(s, part * s.t)
    a, b = strength.flexural_strength(s, 55.0), strength.flexural_strength(r, 55.0)
    assert np.isnan(b.M_n) or b.M_n <= a.M_n * (1 + 1e-9)


@given(dims, st.floats(33, 60))
def test_never_more_than_yield(dim, Fy):
    f = strength.flexural_strength(sections.z_section(*dim), Fy)
    assert np.isnan(f.M_n) or f.M_n <= f.M_y * (1 + 1e-9)
    assert f.M_n_dsm <= f.M_y * (1 + 1e-9)
