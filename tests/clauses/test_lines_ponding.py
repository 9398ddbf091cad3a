"""Ponding: the two-way criterion, water on a line and on a bay, metal against membrane."""

import numpy as np
import pytest
from scipy.optimize import brentq

from secondroof.errors import InputError
from secondroof.formula import recording
from secondroof.lines import ponding, wet
from secondroof.lines.beam import sample_nodes, support_mask
from secondroof.lines.membrane import metal_against_membrane

EI = 29500.0 * 9.18
SPANS = [0, 25, 50, 75, 100]


def line(supports=SPANS, parts=20):
    x = sample_nodes(supports, (), parts)
    return x, support_mask(x, supports)


def test_criterion_by_hand():
    # L_p 36 ft, L_s 48 ft, S 6 ft, I_p 1830 in4, I_s 518 in4: 32 * 48 * 36^4 / 1.83e10 = 0.141,
    # 32 * 6 * 48^4 / 5.18e9 = 0.197; sum 0.318 is over 0.25 (hand)
    C_p, C_s = ponding.primary_flexibility(48, 36, 1830), ponding.secondary_flexibility(6, 48, 518)
    assert C_p == pytest.approx(0.1410, abs=5e-5)
    assert C_s == pytest.approx(0.1968, abs=5e-5)
    assert ponding.flexibility_sum(C_p, C_s) == pytest.approx(0.3181, abs=1e-4)
    assert ponding.least_deck_inertia(6.0) == pytest.approx(0.0324)


def test_constant_of_the_criterion_is_that_of_water_and_steel():
    # 62.4 lb/ft3 S L^4 / (pi^4 29e6 psi I), in feet and inches, is 31.8e-7 S L^4 / I: the clause rounds to 32e-7
    ours = 62.4 / 1728 * (5 * 12) * (25 * 12) ** 4 / (np.pi**4 * 29e6 * 9.18)
    assert ponding.secondary_flexibility(5.0, 25.0, 9.18) == pytest.approx(ours, rel=0.007)


def test_growth_of_a_simple_span_is_its_flexibility():
    # one half-wave on a simple span: growth = C, 1 / (1 - C) of the one-way formula
    x, s = line([0, 25])
    r = ponding.ponding_line(x, s, EI, 5.0, 1.0)
    C = 5.2 * 5 / 12000 * 300**4 / (np.pi**4 * EI)
    assert r.growth == pytest.approx(C, rel=3e-4)
    wave = ponding.ponding_line(x, s, EI, 5.0, np.sin(np.pi * x / 25))
    assert wave.amplification == pytest.approx(float(ponding.one_way_amplification(C)), rel=2e-3)
    assert ponding.one_way_amplification(1.0) == np.inf
    assert ponding.one_way_amplification(1.2) == np.inf


def test_finer_nodes_close_on_the_exact_solution():
    # EI d'''' = g (1 + d) on a simple span: water over stiff water (tan a + tanh a) / (2 a), own derivation
    a = (5.2 * 5 / 12000 / EI) ** 0.25 * 150
    exact = (np.tan(a) + np.tanh(a)) / (2 * a)
    off = [
        exact - ponding.ponding_line(*line([0, 25], parts), EI, 5.0, 1.0).amplification for parts in (5, 10)
    ]
    assert off[0] / off[1] == pytest.approx(4.0, rel=0.1), "error falls with the square of the distance"


def test_too_limber_a_line_runs_away():
    x, s = line([0, 25])
    C = 5.2 * 5 / 12000 * 300**4 / (np.pi**4 * EI)
    for share, rests in ((0.98, True), (1.02, False)):
        r = ponding.ponding_line(x, s, EI * C / share, 5.0, 0.5)
        assert r.settles is rests
        assert r.growth == pytest.approx(share, rel=3e-4)
    assert r.amplification == np.inf
    assert r.response is None
    assert np.isnan(r.depth_in).all()


def test_water_only_where_it_is_low():
    # the level stands below the surface except in the first bay: the rest stays dry where the line does not sink
    x, s = line()
    r = ponding.ponding_line(x, s, EI, 5.0, np.where(x <= 25, 1.0, -2.0))
    assert (r.depth_in[x > 26] == 0).all()
    assert r.settles
    assert r.residual < 1e-9
    dry = ponding.ponding_line(x, s, EI, 5.0, -1.0)
    assert dry.water_lb == 0
    assert dry.amplification == 1


def test_other_load_holds_water_too():
    x, s = line()
    bare = ponding.ponding_line(x, s, EI, 5.0, 0.0)
    loaded = ponding.ponding_line(x, s, EI, 5.0, 0.0, other_lb_ft=60.0)
    assert bare.water_lb == 0
    assert loaded.water_lb > 0
    assert loaded.response.R_lb.sum() == pytest.approx(60 * 100 + loaded.water_lb, rel=1e-9)


def test_cut_laps_hold_more_water():
    x, s = line()
    whole = ponding.ponding_line(x, s, EI, 5.0, 1.0)
    cut = ponding.ponding_line(x, s, EI, 5.0, 1.0, release=np.isin(x, [25, 50, 75]))
    single = ponding.ponding_line(*line([0, 25]), EI, 5.0, 1.0)
    assert cut.amplification == pytest.approx(single.amplification, rel=1e-9)
    assert whole.amplification < cut.amplification


def two_way_growth(C_p, C_s):
    """Largest growth of a bay of simple secondary members on simple primary ones, exact for very many of them."""

    def gap(rate):
        a = np.pi / 2 * (C_s / rate) ** 0.25
        return C_p / rate * (np.tan(a) + np.tanh(a)) / (2 * a) - 1

    return brentq(gap, C_s * 1.000001, 5.0)


@pytest.mark.parametrize(("L_p", "frame_I"), [(40.0, 200.0), (60.0, 900.0), (50.0, 260.0)])
def test_bay_on_sinking_frames(L_p, frame_I):
    # exact solution of the two differential equations, own derivation: primary a sine, secondary as on a line
    spaces = 10
    S = L_p / spaces
    y = np.arange(spaces + 1) * S
    width = np.where((y == 0) | (y == L_p), S / 2, S)
    x, s = line([0, 25], 16)
    r = ponding.ponding_bay(x, s, EI, y, width, 0.5, 29000 * frame_I, [0, L_p])
    C_s = 5.2 * S / 12000 * 300**4 / (np.pi**4 * EI)
    C_p = 5.2 * 12.5 / 12000 * (12 * L_p) ** 4 / (np.pi**4 * 29000 * frame_I)
    exact = two_way_growth(C_p, C_s)
    assert r.growth == pytest.approx(exact, rel=0.01)
    # stability limit of the two-way method, C_p C_s / ((1 - C_p) (1 - C_s)) = 4 / pi (constant 1.27 printed in the
    # journal discussion): one-term waves, so within 3 percent of the exact growth
    a_p, a_s = C_p / exact, C_s / exact
    assert a_p / (1 - a_p) * a_s / (1 - a_s) == pytest.approx(4 / np.pi, rel=0.05)
    assert r.settles is (exact < 1)


def test_bay_on_frames_that_stay_is_its_lines():
    x, s = line([0, 25, 50], 10)
    y = np.array([0.0, 5.0, 10.0])
    stiff = np.array([[1.0], [0.5], [-0.2]])
    r = ponding.ponding_bay(x, s, EI, y, 5.0, stiff, np.inf, [0, 10])
    fine_line = [
        wet.come_to_rest(26.0 * ponding.water_influence(x, s, EI), np.full(x.size, v)) for v in stiff[:, 0]
    ]
    assert r.depth_in == pytest.approx(np.array([f.depth_in for f in fine_line]), rel=1e-9)
    assert np.all(r.frame_in == 0)


def test_bay_lets_frames_sink_by_their_reactions():
    x, s = line([0, 25, 50], 10)
    y = np.array([0.0, 5.0, 10.0, 15.0, 20.0])
    r = ponding.ponding_bay(x, s, EI, y, 5.0, 1.0, [np.inf, 29000 * 100.0, np.inf], [0, 20])
    assert r.settles
    assert np.all(r.frame_in[:, [0, 2]] == 0)
    assert np.all(r.frame_in[[0, 4]] == pytest.approx(0, abs=1e-12)), "purlins over columns stay"
    assert r.frame_in[2, 1] > r.frame_in[1, 1] > 0
    # stiff plus deflection is depth, everywhere it is wet
    assert r.depth_in == pytest.approx(1.0 + r.deflection_in, abs=1e-9)
    held = np.flatnonzero(s)
    assert r.deflection_in[:, held] == pytest.approx(r.frame_in, abs=1e-9)


ROOF = {"spacing_ft": 5.0, "water_in": 1.0, "live_psf": 20.0, "rib_height_in": 1.25, "eave_open": True,
        "slope_in_per_ft": 0.5, "other_psf": 3.0, "snow_psf": 20.0}  # fmt: skip


def test_metal_keeps_water_a_membrane_gathers():
    x, s = line()
    r = metal_against_membrane(x, s, EI, **ROOF)
    assert r.channels_hold
    assert r.metal.amplification == pytest.approx(1)
    assert r.metal.moment_amplification == pytest.approx(1)
    alone = ponding.ponding_line(x, s, EI, 5.0, 1.0, other_lb_ft=15.0)
    assert r.level_held.amplification == pytest.approx(alone.amplification, rel=1e-9)
    assert r.same_water.amplification == pytest.approx(1, rel=1e-6)
    assert 1 < r.same_water.moment_amplification < r.level_held.moment_amplification


def test_limits_of_both_roofs():
    x, s = line([0, 25])
    r = metal_against_membrane(x, s, EI, **ROOF)
    # 5 w L^4 / (384 EI) for 100 lb/ft over 25 ft: hand
    d = 5 * 0.1 / 12 * 300**4 / (384 * EI)
    got = [(row.roof, row.limit.over, row.ratio) for row in r.limits]
    assert [g[:2] for g in got] == [("metal", 150.0), ("membrane", 180.0), ("membrane", 180.0)]
    assert [g[2] for g in got] == pytest.approx([d / 2.0, d / (300 / 180), d / (300 / 180)], rel=1e-9)
    ceiling = metal_against_membrane(x, s, EI, **{**ROOF, "ceiling": "not plaster"})
    assert [row.limit.over for row in ceiling.limits] == [150.0, 240.0, 240.0]


def test_dip_behind_a_stiff_eave_fills():
    x, s = line()
    flat = metal_against_membrane(x, s, EI, **{**ROOF, "slope_in_per_ft": 0.05})
    assert flat.sag_in > flat.fall_in
    assert flat.metal.amplification > 1
    assert flat.metal.growth > 0
    assert (
        metal_against_membrane(x, s, EI / 6, **{**ROOF, "slope_in_per_ft": 0.05}).metal.amplification
        == np.inf
    )


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"rib_height_in": 0.75}, "over ribs"),
        ({"rib_height_in": None}, "not known"),
        ({"eave_open": False}, "backs up"),
        ({"eave_open": None}, "not known"),
    ],
)
def test_metal_that_does_not_keep_its_water_is_a_membrane(change, word):
    x, s = line()
    r = metal_against_membrane(x, s, EI, **{**ROOF, **change})
    assert not r.channels_hold
    assert word in r.why_not[0]
    assert r.metal is r.level_held


def test_runaway_membrane_says_so():
    x, s = line()
    r = metal_against_membrane(x, s, EI / 3, **ROOF)
    assert r.level_held.amplification == np.inf
    assert np.isnan(r.same_water.amplification)
    assert r.metal.amplification == pytest.approx(1), "a metal roof with fall enough keeps its water"


def test_each_solver_leaves_one_step():
    x, s = line([0, 25], 10)
    with recording() as kept:
        ponding.ponding_line(x, s, EI, 5.0, 1.0)
        ponding.ponding_bay(x, s, EI, [0.0, 5.0], 5.0, 1.0, 29000 * 500.0, [0, 5])
        metal_against_membrane(x, s, EI, **ROOF)
    assert len(kept.steps) == 3
    assert all(step.self_check and step.method for step in kept.steps)


def test_refusals():
    x, s = line([0, 25], 10)
    with pytest.raises(InputError, match="width_ft"):
        ponding.ponding_line(x, s, EI, 0.0, 1.0)
    with pytest.raises(InputError, match="stiff_in"):
        ponding.ponding_line(x, s, EI, 5.0, np.nan)
    with pytest.raises(InputError, match="y_ft"):
        ponding.ponding_bay(x, s, EI, [5.0, 0.0], 5.0, 1.0, EI, [0, 5])
    with pytest.raises(InputError, match="water_in"):
        metal_against_membrane(x, s, EI, **{**ROOF, "water_in": 0.0})
    with pytest.raises(InputError, match="ceiling"):
        metal_against_membrane(x, s, EI, **{**ROOF, "ceiling": "tiles"})
