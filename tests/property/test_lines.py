"""What must hold for any line of beams."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from secondroof.lines import laps, ponding, underfoot
from secondroof.lines.beam import peak_deflections, peak_moments, sample_nodes, solve_line, support_mask


@st.composite
def lines(draw, cuts=True):
    """A line with two to six spans, overhangs or not, uneven stiffness and load, and cuts over some supports."""
    spans = draw(st.lists(st.floats(4, 40), min_size=2, max_size=6))
    supports = np.concatenate(([0.0], np.cumsum(spans)))
    left, right = draw(st.sampled_from([0.0, 1.0, 4.0])), draw(st.sampled_from([0.0, 2.5]))
    extra = [v for v in (-left, supports[-1] + right) if v < 0 or v > supports[-1]]
    extra += [f * supports[-1] for f in draw(st.lists(st.floats(0.01, 0.99), max_size=4))]
    x = sample_nodes(supports, extra, draw(st.integers(1, 6)))
    held = support_mask(x, supports)
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    n = x.size
    EI = 2e5 * rng.uniform(0.3, 3, n - 1)
    w0, w1, P = 200 * rng.normal(size=n - 1), 200 * rng.normal(size=n - 1), 500 * rng.normal(size=n)
    cut = np.zeros(n, dtype=bool)
    if cuts:
        inner = np.flatnonzero(held)[1:-1]
        cut[inner] = rng.random(inner.size) < 0.3
    return x, held, EI, w0, w1, P, cut


def solved(case):
    x, held, EI, w0, w1, P, cut = case
    return solve_line(x, held, EI, w0, w1, P, release=cut)


def close(a, b):
    a, b = np.asarray(a), np.asarray(b)
    return np.allclose(a, b, rtol=1e-8, atol=1e-8 * max(1e-9, float(np.max(np.abs(b)))))


@given(lines())
def test_equilibrium(case):
    x, _, _, w0, w1, P, _ = case
    r = solved(case)
    h = np.diff(x)
    load = (w0 + w1) / 2 * h
    at = x[:-1] + h * np.where(w0 + w1 == 0, 0.5, (w0 + 2 * w1) / np.where(w0 + w1 == 0, 1, 3 * (w0 + w1)))
    scale = np.abs(load).sum() + np.abs(P).sum()
    assert r.R_lb.sum() == pytest.approx(load.sum() + P.sum(), abs=1e-9 * scale)
    assert (r.R_lb * x).sum() == pytest.approx((load * at).sum() + (P * x).sum(), abs=1e-8 * scale * x[-1])
    assert r.residual < 1e-9
    assert r.V_left_lb[0] == 0
    assert r.V_right_lb[-1] == pytest.approx(0, abs=1e-9 * scale)


@given(lines())
def test_supports_and_cuts(case):
    _, held, *_, cut = case
    r = solved(case)
    assert np.all(r.d_in[held] == 0)
    assert np.all(r.R_lb[~held] == 0)
    assert np.all(r.M_kip_in[cut] == 0)
    joined = held & ~cut
    steep = np.abs(r.slope_left).max()
    assert np.allclose(r.slope_left[joined], r.slope_right[joined], atol=1e-9 * steep)


@given(lines())
def test_superposition(case):
    x, held, EI, w0, w1, P, cut = case
    whole = solved(case)
    spread = solve_line(x, held, EI, w0, w1, 0.0, release=cut)
    points = solve_line(x, held, EI, 0.0, 0.0, P, release=cut)
    assert close(spread.M_kip_in + points.M_kip_in, whole.M_kip_in)
    assert close(spread.d_in + points.d_in, whole.d_in)
    assert close(solve_line(x, held, EI, -3 * w0, -3 * w1, -3 * P, release=cut).R_lb, -3 * whole.R_lb)


@given(lines())
def test_mirror(case):
    x, held, EI, w0, w1, P, cut = case
    r = solved(case)
    m = solve_line(
        x[0] + x[-1] - x[::-1], held[::-1], EI[::-1], w1[::-1], w0[::-1], P[::-1], release=cut[::-1]
    )
    assert close(m.M_kip_in[::-1], r.M_kip_in)
    assert close(m.d_in[::-1], r.d_in)
    assert close(m.R_lb[::-1], r.R_lb)
    assert close(-m.V_left_lb[::-1], r.V_right_lb)


@given(lines())
def test_symmetric_line_and_load_give_a_symmetric_answer(case):
    x, held, EI, w0, w1, P, cut = case
    both = np.concatenate((x, 2 * x[-1] - x[-2::-1]))
    join = held[-1] if held[-1] else False
    r = solve_line(
        both, np.concatenate((held[:-1], [join], held[-2::-1])), np.concatenate((EI, EI[::-1])),
        np.concatenate((w0, w1[::-1])), np.concatenate((w1, w0[::-1])), np.concatenate((P, P[-2::-1])),
        release=np.concatenate((cut, cut[-2::-1])),
    )  # fmt: skip
    assert close(r.M_kip_in[::-1], r.M_kip_in)
    assert close(r.d_in[::-1], r.d_in)
    if join:
        assert r.slope_right[x.size - 1] == pytest.approx(0, abs=1e-9 * np.abs(r.slope_right).max())


@given(lines(), st.data())
def test_work_done_there_and_here_is_the_same(case, data):
    # reciprocal theorem: deflection at b under a load at a is that at a under the same load at b
    x, held, EI, *_, cut = case
    a, b = data.draw(st.integers(0, x.size - 1)), data.draw(st.integers(0, x.size - 1))
    P = np.zeros((2, x.size))
    P[0, a] = P[1, b] = 1000.0
    d = solve_line(x, held, EI, 0.0, 0.0, P, release=cut).d_in
    assert d[0, b] == pytest.approx(d[1, a], rel=1e-8, abs=1e-8 * np.abs(d).max())


@given(lines())
def test_work_of_loads_is_energy_of_bending(case):
    # half the work of point loads is the integral of M^2 / (2 EI): M is straight between nodes
    x, held, EI, _, _, P, cut = case
    r = solve_line(x, held, EI, 0.0, 0.0, P, release=cut)
    a, b = r.M_kip_in[:-1], r.M_kip_in[1:]
    energy = (np.diff(x) * 12 * (a**2 + a * b + b**2) / 3 / EI).sum()
    assert (P / 1000 * r.d_in).sum() == pytest.approx(energy, rel=1e-8, abs=1e-12)


@given(lines())
def test_more_nodes_change_nothing(case):
    x, held, EI, w0, w1, P, cut = case
    middle, mean = (x[1:] + x[:-1]) / 2, (w0 + w1) / 2
    at = np.arange(1, x.size)
    fine = solve_line(
        np.insert(x, at, middle), np.insert(held, at, False), np.repeat(EI, 2),
        np.column_stack((w0, mean)).ravel(), np.column_stack((mean, w1)).ravel(), np.insert(P, at, 0.0),
        release=np.insert(cut, at, False),
    )  # fmt: skip
    r = solved(case)
    assert close(fine.M_kip_in[::2], r.M_kip_in)
    assert close(fine.d_in[::2], r.d_in)
    peaks, finer = peak_moments(r), peak_moments(fine)
    assert close(np.maximum(finer.most[::2], finer.most[1::2]), peaks.most)
    assert close(np.minimum(finer.least[::2], finer.least[1::2]), peaks.least)
    assert np.all(peaks.most >= np.maximum(r.M_kip_in[1:], r.M_kip_in[:-1]))
    assert np.all(peak_deflections(r).least <= np.minimum(r.d_in[1:], r.d_in[:-1]))


@given(lines())
def test_a_cut_never_stiffens(case):
    x, held, EI, _, _, P, cut = case
    force = solve_line(x, held, EI, 0.0, 0.0, P, release=None)
    freed = solve_line(x, held, EI, 0.0, 0.0, P, release=cut)
    assert (P * freed.d_in).sum() >= (P * force.d_in).sum() * (1 - 1e-9)


@given(lines(), st.floats(1.05, 4))
def test_stiffer_lines_sink_less_and_swing_faster(case, factor):
    x, held, EI, *_, cut = case
    f, g = (underfoot.first_frequency(x, held, k * EI, 25.0, release=cut) for k in (1.0, factor))
    assert float(g) == pytest.approx(float(f) * np.sqrt(factor), rel=1e-9)


@given(st.floats(0.05, 0.9), st.floats(0.1, 3.0), st.integers(1, 4))
def test_water_grows_with_limberness_and_level(share, level, spans):
    places = 25.0 * np.arange(spans + 1)
    x = sample_nodes(places, (), 6)
    held = support_mask(x, places)
    EI = 5.2 * 5 / 12000 * 300**4 / np.pi**4 / share
    r = ponding.ponding_line(x, held, EI, 5.0, level)
    assert r.settles
    assert r.residual < 1e-9
    assert 1 <= r.amplification <= 1 / (1 - r.growth) * (1 + 1e-9)
    more = ponding.ponding_line(x, held, EI, 5.0, 2 * level)
    assert more.amplification == pytest.approx(r.amplification, rel=1e-9), "wet everywhere it is linear"
    assert ponding.ponding_line(x, held, 2 * EI, 5.0, level).amplification < r.amplification


@given(
    st.lists(st.floats(15, 30), min_size=2, max_size=5),
    st.lists(st.floats(0.1, 4), min_size=12, max_size=12),
    st.lists(st.floats(4, 12), min_size=5, max_size=5),
)
def test_laps_only_add(spans, reach, I):
    k = len(spans) + 1
    supports = np.concatenate(([0.0], np.cumsum(spans)))
    left, right = np.array(reach[:k]), np.array(reach[6 : 6 + k])
    left[[0, -1]] = right[[0, -1]] = 0
    x = sample_nodes(supports, laps.lap_ends(supports, left, right), 8)
    bays = np.array(I[: k - 1])
    summed = laps.line_I(x, supports, bays, left, right)
    single = laps.line_I(x, supports, bays, left, right, laps_counted=False)
    h = np.diff(x)
    # every lap adds its length times the neighbour's second moment: left part the next bay's, right part the last's
    want = sum(left[i] * bays[i] + right[i] * bays[i - 1] for i in range(1, k - 1))
    assert ((summed - single) * h).sum() == pytest.approx(want, rel=1e-6, abs=1e-4)
