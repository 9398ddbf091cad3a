"""Beam lines against closed forms worked by hand; the source of each number stands beside it."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.formula import recording
from secondroof.lines.beam import (
    peak_deflections,
    peak_moments,
    sample_nodes,
    solve_line,
    support_mask,
    unrecorded_line,
)

EI = 29500.0 * 9.18  # kip-in2


def line(supports, extra=(), parts=20):
    x = sample_nodes(supports, extra, parts)
    return x, support_mask(x, supports)


def test_simple_span_under_even_load():
    # w L^2 / 8 and 5 w L^4 / (384 EI): definition of the simple span
    x, s = line([0, 25])
    r = solve_line(x, s, EI, 100.0, 100.0, 0.0)
    assert r.M_kip_in.max() == pytest.approx(0.1 * 25**2 / 8 * 12, rel=1e-12)
    assert r.d_in.max() == pytest.approx(5 * 0.1 / 12 * 300**4 / (384 * EI), rel=1e-12)
    assert r.R_lb[s] == pytest.approx([1250, 1250], rel=1e-12)
    assert r.residual < 1e-12


def test_simple_span_under_growing_load():
    # standard beam tables, load increasing uniformly to one end, W = w L / 2: M = 0.1283 W L at 0.5774 L,
    # d = 0.01304 W L^3 / EI at 0.5193 L
    x, s = line([0, 24])
    grow = 140.0 * x / 24
    r = solve_line(x, s, EI, grow[:-1], grow[1:], 0.0)
    W = 140 * 24 / 2 / 1000
    p, d = peak_moments(r), peak_deflections(r)
    assert p.most.max() == pytest.approx(0.1283 * W * 24 * 12, rel=4e-4)
    assert p.most_x_ft[p.most.argmax()] == pytest.approx(0.5774 * 24, rel=1e-4)
    assert d.most.max() == pytest.approx(0.01304 * W * (24 * 12) ** 3 / EI, rel=4e-4)
    assert d.most_x_ft[d.most.argmax()] == pytest.approx(0.5193 * 24, rel=1e-4)


def test_growing_load_between_nodes_is_exact_with_no_inner_node():
    few = solve_line([0.0, 24.0], [True, True], EI, 0.0, 140.0, 0.0)
    p = peak_moments(few)
    # w L^2 / (9 sqrt 3): exact value behind the table's 0.1283
    assert p.most[0] == pytest.approx(0.14 * 24**2 / (9 * np.sqrt(3)) * 12, rel=1e-12)
    x, s = line([0, 24])
    many = solve_line(x, s, EI, 140 * x[:-1] / 24, 140 * x[1:] / 24, 0.0)
    assert peak_deflections(few).most.max() == pytest.approx(peak_deflections(many).most.max(), rel=1e-12)


@pytest.mark.parametrize(("w0", "w1", "over"), [(0.0, 90.0, 20.0), (90.0, 0.0, 30.0), (90.0, 90.0, 12.0)])
def test_fixed_end_moments_of_straight_loads(w0, w1, over):
    # fixed-end moments w L^2 / 20 at the heavy end, w L^2 / 30 at the light end, w L^2 / 12 even: standard tables.
    # The mirror image of a span about a support makes that support a fixed end; both ends are fixed between two
    # such mirrors, so a very long row of mirrored spans holds the fixed-end moment in its middle.
    places = np.arange(0, 42) * 20.0
    turned = np.arange(places.size - 1) % 2
    loads = np.where(turned[:, None] == 0, [[w1, w0]], [[w0, w1]])
    r = solve_line(places, np.ones(places.size, dtype=bool), EI, loads[:, 0], loads[:, 1], 0.0)
    # at support 20 the ends with w1 meet
    assert -r.M_kip_in[20] == pytest.approx(0.09 * 20**2 / over * 12, rel=1e-9)


def test_point_load_off_the_middle():
    # P a b / L and P a^2 b^2 / (3 EI L): standard beam tables
    x, s = line([0, 30], [9.0])
    P = np.where(np.isclose(x, 9), 500.0, 0.0)
    r = solve_line(x, s, EI, 0.0, 0.0, P)
    at = int(np.argmax(P))
    assert r.M_kip_in[at] == pytest.approx(0.5 * 9 * 21 / 30 * 12, rel=1e-12)
    assert r.d_in[at] == pytest.approx(0.5 * (9 * 21 * 144) ** 2 / (3 * EI * 360), rel=1e-12)
    assert r.V_left_lb[at] - r.V_right_lb[at] == pytest.approx(500)


def test_overhang():
    # overhang a beyond a span L, even load on the overhang only: M = -w a^2 / 2,
    # end d = w a^3 (4 L + 3 a) / (24 EI): standard beam tables
    x, s = line([0, 20], [24.0], 10)
    w = np.where(x[1:] > 20, 60.0, 0.0)
    r = solve_line(x, s, EI, w, w, 0.0)
    L, a, q = 240.0, 48.0, 0.06 / 12
    assert r.M_kip_in[s][-1] == pytest.approx(-q * a**2 / 2, rel=1e-12)
    assert r.d_in[-1] == pytest.approx(q * a**3 * (4 * L + 3 * a) / (24 * EI), rel=1e-12)
    mirrored = solve_line(24 - x[::-1], s[::-1], EI, w[::-1], w[::-1], 0.0)
    assert mirrored.d_in[0] == pytest.approx(r.d_in[-1], rel=1e-12)


def test_both_overhangs_make_a_span_level():
    # equal end moments w a^2 / 2 against w L^2 / 12 of the span: with a = L / sqrt 6 the ends stay level
    a = 20 / np.sqrt(6)
    x, s = line([0, 20], [-a, 20 + a])
    r = solve_line(x, s, EI, 80.0, 80.0, 0.0)
    held = np.flatnonzero(s)
    assert r.slope_right[held] == pytest.approx([0, 0], abs=1e-12)


def test_cut_line_is_simple_spans():
    x, s = line([0, 25, 45])
    cut = np.isclose(x, 25)
    r = solve_line(x, s, EI, 100.0, 100.0, 0.0, release=cut)
    assert r.M_kip_in[cut] == 0
    assert peak_moments(r).most.max() == pytest.approx(0.1 * 25**2 / 8 * 12, rel=1e-12)
    left, right = r.slope_left[cut][0], r.slope_right[cut][0]
    # slopes w L^3 / (24 EI) of the two simple spans
    assert left == pytest.approx(-0.1 / 12 * 300**3 / (24 * EI), rel=1e-12)
    assert right == pytest.approx(0.1 / 12 * 240**3 / (24 * EI), rel=1e-12)


def test_support_that_sinks():
    # middle support of two equal spans sinks by s: M = 3 EI s / L^2 there
    x, s = line([0, 25, 50])
    r = solve_line(x, s, EI, 0.0, 0.0, 0.0, settle_in=np.where(np.isclose(x, 25), 0.5, 0.0))
    assert r.M_kip_in[np.isclose(x, 25)] == pytest.approx(3 * EI * 0.5 / 300**2, rel=1e-12)
    assert r.d_in[np.isclose(x, 25)] == 0.5
    assert r.R_lb.sum() == pytest.approx(0, abs=1e-9)


def test_stiffness_that_changes_in_a_span():
    # by unit load: simple span, half of it twice as stiff, load P at the middle:
    # d = P L^3 / (96 EI) + P L^3 / (96 * 2 EI)
    r = solve_line([0.0, 10.0, 20.0], [True, False, True], [EI, 2 * EI], 0.0, 0.0, [0, 1000.0, 0])
    assert r.d_in[1] == pytest.approx(240**3 / (96 * EI) * 1.5, rel=1e-12)


def test_batches_agree_with_single_lines():
    rng = np.random.default_rng(4)
    x, s = line([0, 25, 48, 75], [78.0])
    n = x.size
    stiff = EI * rng.uniform(0.5, 2, (3, 1, n - 1))
    w0, w1, P = rng.normal(size=(4, n - 1)), rng.normal(size=(4, n - 1)), rng.normal(size=(3, 4, n))
    r = solve_line(x, s, stiff, 100 * w0, 100 * w1, 100 * P)
    assert r.M_kip_in.shape == (3, 4, n)
    for i in range(3):
        for j in range(4):
            one = solve_line(x, s, stiff[i, 0], 100 * w0[j], 100 * w1[j], 100 * P[i, j])
            assert np.allclose(one.M_kip_in, r.M_kip_in[i, j], rtol=1e-11, atol=1e-11)
            assert np.allclose(one.d_in, r.d_in[i, j], rtol=1e-11, atol=1e-11)
            assert np.allclose(peak_moments(one).most, peak_moments(r).most[i, j], rtol=1e-11, atol=1e-11)


def test_nodes_keep_supports_and_given_places():
    x = sample_nodes([1.0, 26.0], [0.0, 26.0 + 5e-7, 2.25, 7.1, 7.1 + 5e-7, 27.0], 20)
    assert {0.0, 1.0, 26.0, 27.0, 2.25} <= set(x)
    assert 7.1 in x
    assert np.diff(x).min() > 1e-6
    assert x.size == 21 + 3  # 2.25 is itself a twentieth; 0, 27 and 7.1 are new


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"x_ft": [0, 10, 10]}, "x_ft"),
        ({"support": [True, False, False]}, "support"),
        ({"support": [True, True]}, "support"),
        ({"EI_kip_in2": [EI, 0.0]}, "EI_kip_in2"),
        ({"EI_kip_in2": [EI, np.nan]}, "EI_kip_in2"),
        ({"w0_lb_ft": [1.0, 2.0, 3.0]}, "w0_lb_ft"),
        ({"P_lb": [0.0, np.inf, 0.0]}, "P_lb"),
        ({"release": [False, True, False]}, "release"),
        ({"support": [False, True, True], "release": [False, True, False]}, "release"),
        ({"w0_lb_ft": "heavy"}, "solve_line"),
        ({"w0_lb_ft": np.zeros((2, 2)), "P_lb": np.zeros((3, 3))}, "solve_line"),
    ],
)
def test_bad_lines_are_refused(change, field):
    good = {"x_ft": [0, 10, 20], "support": [True, False, True], "EI_kip_in2": EI, "w0_lb_ft": 1.0,
            "w1_lb_ft": 1.0, "P_lb": 0.0}  # fmt: skip
    with pytest.raises(InputError) as caught:
        solve_line(**{**good, **change})
    assert field in {p.field for p in caught.value.problems}


def test_residual_sees_a_wrong_reaction():
    from secondroof.lines.solver import _residual

    x, s = line([0, 25, 50])
    r = unrecorded_line(x, s, EI, 100.0, 100.0, 0.0)
    k = 1000.0
    args = (12 * x, r.w0_lb_ft / 12 / k, r.w1_lb_ft / 12 / k, np.diff(12 * x), r.P_lb / k)
    assert _residual(*args, r.R_lb / k, r.slope_left, r.slope_right, s) < 1e-12
    wrong = r.R_lb.copy()
    wrong[0] += 1.0
    assert _residual(*args, wrong / k, r.slope_left, r.slope_right, s) > 1e-5
    assert _residual(*args, r.R_lb / k, r.slope_left + 1e-6 * s, r.slope_right, s) > 1e-6


def test_a_line_leaves_one_step():
    x, s = line([0, 25, 50])
    with recording() as kept:
        solve_line(x, s, EI, 100.0, 100.0, 0.0)
        unrecorded_line(x, s, EI, 100.0, 100.0, 0.0)
    (step,) = kept.steps
    assert step.inputs["spans"] == (25.0, 25.0)
    assert step.inputs["load"] == pytest.approx(5000.0)
    assert "equilibrium" in step.self_check
