"""Strength of the old purlins; hand calculations in the comments.

The 8 x 2.25 x 0.059 Z of the AISI D100 four-span example (as carried into RP20-5 and the Direct Strength Method
Design Guide) is the section of most of it; F_y 55 ksi.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from secondroof.findings.geometry import build_roof
from secondroof.formula import recording
from secondroof.purlins import strength as st
from secondroof.purlins import supports as sup
from secondroof.purlins.elastic import elastic_by_strips
from secondroof.purlins.sections import line_sections
from secondroof.survey.fields import ThicknessGroup
from secondroof.survey.reading import load_survey

EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def example(name):
    return load_survey(EXAMPLES / f"{name}.survey.yaml")


@cache
def z8(*thickness):
    """Tamsel's roof with the published Z; one thickness, or end bays and interior."""
    survey = example("tamsel-feed-barn")
    groups = tuple(
        ThicknessGroup(readings=[t], bays=bays, family="f" if bays else None)
        for t, bays in zip(thickness, (None, (1, 4)), strict=False)
    )
    purlins = survey.purlins.model_copy(update=dict(
        depth=8.0, top_flange=2.25, bottom_flange=2.25, lip=0.91, lip_angle=50.0, thickness=groups,
        yield_strength=55.0, yield_basis="drawings", rust_grades=(),
    ))  # fmt: skip
    survey = survey.model_copy(update={"purlins": purlins})
    return line_sections(survey, build_roof(survey, None))


def k_of(f, line=3, bay=1):
    return int(f.which[line, bay])


def test_span_under_gravity_by_both_methods():
    # own reference Se 1.7858 at 55 ksi: local moment 1.7858 x 55 = 98.22
    f = z8(0.059)
    k, b = k_of(f), st.capacity(f).top_held
    assert b.detail.S_e[k] == pytest.approx(1.7858, rel=3e-3)
    assert b.no_distortional.nominal[k] == pytest.approx(98.22, rel=3e-3)
    assert b.no_distortional.asd[k] == pytest.approx(98.22 / 1.67, rel=3e-3)
    assert b.no_distortional.lrfd[k] == pytest.approx(98.22 * 0.90, rel=3e-3)
    assert b.M.nominal[k] <= b.no_distortional.nominal[k]
    assert (b.governing[k], b.method[k]) == ("distortional", "effective width")
    assert b.M.asd[k] == pytest.approx(b.M.nominal[k] / 1.67)
    assert b.detail.M_ne[k] == pytest.approx(b.detail.M_y[k])  # held by the sheet: no lateral-torsional loss


def test_rotational_restraint_helps_only_where_the_top_flange_is_compressed():
    f = z8(0.059)
    free, held = st.capacity(f), st.capacity(f, k_phi=0.1)
    k = k_of(f)
    assert held.top_held.M.nominal[k] > free.top_held.M.nominal[k]
    assert held.bottom_held.M.nominal[k] == free.bottom_held.M.nominal[k]


def test_finite_strips_feed_the_direct_strength_method():
    # RP20-5: M_crl 91.48; M_y 1.94 x 55 = 106.7: (1 - 0.15 x 0.8574^0.4) 0.8574^0.4 x 106.7 = 86.2
    # DSM Design Guide: M_crd 0.7655 M_y: (1 - 0.22 x 0.8749) 0.8749 x 106.7 = 75.4
    f = z8(0.059)
    keep = np.zeros(f.count, dtype=bool)
    keep[k_of(f)] = True
    one = replace(f, numbers=keep)
    elastic = elastic_by_strips(one)
    b = st.capacity(one, elastic=elastic).top_held.detail
    assert b.M_nl_dsm[keep] == pytest.approx([86.2], rel=1.5e-2)
    assert b.M_nd[keep] == pytest.approx([75.4], rel=1.5e-2)
    assert np.all(np.isnan(elastic.F_crl_top[~keep]))
    # the four-span example of D100 takes beta 1.23 beside the lap: 0.77 x 1.23 M_y gives 81.8
    graded = st.bending_at(one, k_of(f), "bottom", 49.1, C_b=1.67, L_m_in=49.1, M_ratio=0.0, elastic=elastic)
    assert float(graded.detail.M_nd) == pytest.approx(81.8, rel=1.5e-2)


def test_lap_end_to_inflection_point():
    # D100 example: 49.1 in, C_b 1.67; the clause formula gives M_cre 370 kip-in (taken at 49.25: 368), above 2.78 M_y
    f = z8(0.059)
    b = st.bending_at(f, k_of(f), "bottom", 49.1, C_b=st.C_B_TO_ZERO)
    assert b.detail.F_cre * b.detail.S_f == pytest.approx(370.0, rel=1e-2)
    assert b.detail.F_n == 55.0
    # own reference: L 100 in, C_b 1: F_n 27.869, M_ne 54.07
    b = st.bending_at(f, k_of(f), "bottom", 100.0)
    assert b.detail.F_n == pytest.approx(27.869, rel=5e-3)
    assert b.M.nominal == pytest.approx(54.07, rel=2e-2)
    assert b.governing in ("lateral-torsional", "local")


def test_moment_gradient_beside_the_lap():
    # D100 takes beta 1.23 for 49.1 in from lap end to inflection point; the clause: 1 + 0.4 (22.8/49.1)^0.7 = 1.234
    f = z8(0.059)
    k = k_of(f)
    plain = st.bending_at(f, k, "bottom", 49.1, C_b=1.67)
    graded = st.bending_at(f, k, "bottom", 49.1, C_b=1.67, L_m_in=49.1, M_ratio=0.0)
    assert graded.detail.F_crd / plain.detail.F_crd == pytest.approx(1.23, abs=0.01)
    assert graded.M.nominal > plain.M.nominal
    assert graded.no_distortional.nominal == plain.no_distortional.nominal


def test_many_lengths_equal_one_at_a_time_and_round_to_the_safe_side():
    f = z8(0.059, 0.070)
    which = f.which[:, :, None]
    L = np.array([0.0, 30.1, 49.1, 100.0, 250.0])
    all_at_once = st.bending_at(f, which, "bottom", L, C_b=1.3)
    assert all_at_once.M.asd.shape == (*f.which.shape, 5)
    for j, length in enumerate(L):
        one = st.bending_at(f, int(f.which[2, 0]), "bottom", length, C_b=1.3)
        assert all_at_once.M.asd[2, 0, j] == pytest.approx(float(one.M.asd), rel=1e-12)
        assert all_at_once.governing[2, 0, j] == one.governing
    assert np.all(np.diff(all_at_once.M.nominal, axis=-1) <= 1e-9)
    assert st.bending_at(f, 0, "bottom", 30.1).M.nominal == st.bending_at(f, 0, "bottom", 30.25).M.nominal


def test_shear_of_the_flat_web():
    # h 8 - 2(0.1875 + 0.059) = 7.507; V_y 0.6 x 7.507 x 0.059 x 55 = 14.616; h/t 127.24: V_cr 3.895; V_n V_cr
    f = z8(0.059)
    V = st.capacity(f).shear
    assert V.nominal[k_of(f)] == pytest.approx(3.895, rel=1e-3)
    assert V.asd[k_of(f)] == pytest.approx(3.895 / 1.60, rel=1e-3)
    assert V.lrfd[k_of(f)] == pytest.approx(3.895 * 0.95, rel=1e-3)


def test_crippling_at_a_bearing_given_and_at_the_least():
    # own reference wc-Z8-0.07-EOF-f: N 5, R 0.1875, F_y 55: P_n 2.6089, allowable 1.4908, design 2.2176
    f = z8(0.070)
    c, k = st.capacity(f, bearing_in=5.0), k_of(z8(0.070))
    assert c.bearing_read
    assert [c.end.P.nominal[k], c.end.P.asd[k], c.end.P.lrfd[k]] == pytest.approx(
        [2.6089, 1.4908, 2.2176], rel=1e-3
    )
    assert c.end.in_range[k]
    guess = st.capacity(f)
    assert not guess.bearing_read
    assert guess.interior.bearing_in == 2.5
    assert guess.interior_least.P.asd[k] < guess.interior.P.asd[k] < c.interior.P.asd[k]
    # (1 + 0.14 sqrt(N/t)) with t 0.070: N 0.75 1.4583, N 2.5 1.8367, N 5 2.1832
    assert guess.interior_least.P.asd[k] / guess.interior.P.asd[k] == pytest.approx(1.4583 / 1.8367, rel=1e-4)
    assert guess.interior.P.asd[k] / c.interior.P.asd[k] == pytest.approx(1.8367 / 2.1832, rel=1e-4)
    assert any("sit on the frames" in n.what for n in guess.needs)
    assert c.crushes
    assert guess.crushes
    assert c.needs == ()
    assert "assumed" in guess.bearing
    assert "read" in c.bearing


def test_a_clip_that_keeps_the_flange_off_the_frame_crushes_nothing():
    # a web bolted to a clip carries no crippling reaction; its bolts do (practice of the trade, from memory)
    f = z8(0.070)
    c = st.capacity(f, seat="web bolted to a clip")
    assert not c.crushes
    assert c.needs == ()
    assert "bolts" in c.bearing
    sits = st.capacity(f, seat="flange on the frame")
    assert sits.crushes
    assert sits.needs == st.capacity(f).needs != ()
    assert st.capacity(f, seat="flange on the frame", bearing_in=5.0).needs == ()


def test_supports_add_both_members_only_where_the_lap_counts():
    f = z8(0.059, 0.070)
    c = st.capacity(f)
    left, right = f.which[:, :-1], f.which[:, 1:]
    both = sup.support(c, left, right, True)
    one = sup.support(c, left, right, False)
    a, b = int(f.which[3, 0]), int(f.which[3, 1])
    m = c.bottom_held
    assert f.t_in[a] == 0.070
    assert f.t_in[b] == 0.059
    assert both.M.asd[3, 0] == m.M.asd[a] + m.M.asd[b]
    assert one.M.asd[3, 0] == min(m.M.asd[a], m.M.asd[b])
    assert both.V.lrfd[3, 0] == c.shear.lrfd[a] + c.shear.lrfd[b]
    assert both.M_nlo[3, 0] == m.M_nlo[a] + m.M_nlo[b]
    assert both.P_n[3, 0] == c.interior.P.nominal[a] + c.interior.P.nominal[b]
    up = sup.support(c, left, right, both.both, side="top")
    assert up.M.asd[3, 0] == c.top_held.M.asd[a] + c.top_held.M.asd[b]
    low = sup.support(c, left, right, True, least_bearing=True)
    assert low.P_n[3, 0] < both.P_n[3, 0]


def test_interactions():
    # own reference h3-nested-z: left 0.7383, right 0.9706 (ASD), 1.485 (LRFD)
    args = (2.0, 90.0, 6.5, 190.0)
    assert sup.bending_crippling_ratio(*args, nested=True) == pytest.approx(0.7383 / 0.9706, rel=1e-3)
    assert sup.bending_crippling_ratio(*args, "lrfd", nested=True) == pytest.approx(0.7383 / 1.485, rel=1e-3)
    # single webs: (0.91 x 2/6.5 + 90/190) / (1.33/1.70) = 0.75368/0.78235
    assert sup.bending_crippling_ratio(*args) == pytest.approx(0.75368 / 0.78235, rel=1e-4)
    # a support that is lifted is not crippled
    assert sup.bending_crippling_ratio(-2.0, 90.0, 6.5, 190.0) == pytest.approx(90 / 190 / 0.78235, rel=1e-4)


def test_nested_rule_is_not_met_by_silence():
    f = z8(0.059, 0.070)
    rows = sup.nested_conditions(f, int(f.which[3, 0]), int(f.which[3, 1]))
    states = {c.key: c.state for c in rows}
    assert states["h_over_t"] == states["Fy"] == states["R_over_t"] == states["thickness_ratio"] == "met"
    assert states["web_bolts"] == states["flange_bolts"] == states["N_over_t"] == "unknown"
    full = sup.nested_conditions(f, 0, 1, bearing_in=5.0, web_bolts=2, flange_bolts=2, bolt_diameter_in=0.5,
                                webs_touch=True)  # fmt: skip
    assert all(c.state == "met" for c in full)


def test_one_section_leaves_the_steps_of_its_card():
    f = z8(0.059)
    with recording() as r:
        st.bending_at(f, k_of(f), "bottom", 49.0, C_b=1.67)
    symbols = {s.symbol for s in r.steps}
    assert {"F_cre", "F_n", "S_e", "M_nl", "F_crd", "M_nd", "M_a"} <= symbols
    with recording() as r:
        many = st.bending_at(f, f.which, "bottom", 49.0, C_b=1.67)
    one = st.bending_at(f, k_of(f), "bottom", 49.0, C_b=1.67)
    assert many.M.nominal[3, 1] == pytest.approx(float(one.M.nominal), rel=1e-12)


def test_harrow_pass_against_the_hand_figures_of_its_notes():
    # notes of the job (rough, by hand): simple span 25 ft, effective Sx about 4.7 in3, about 150 lb/ft at ASD 1.67;
    # about a tenth lower where a tenth of the thickness is rusted away
    survey = example("harrow-pass-district-shop")
    f = line_sections(survey, build_roof(survey, None))
    c = st.capacity(f)
    sound, rusted = int(f.which[5, 4]), int(f.which[5, 2])
    assert c.top_held.detail.S_e[sound] == pytest.approx(4.7, rel=0.05)

    def simple_span_lb_ft(M_kip_in):
        return M_kip_in / 12.0 * 8.0 / 25.0**2 * 1000.0

    local = simple_span_lb_ft(c.top_held.no_distortional.asd)
    assert local[sound] == pytest.approx(150.0, rel=0.05)
    assert 0.85 < local[rusted] / local[sound] < 0.92
    # what the notes leave out: distortional buckling of the top flange with no measured restraint against turning
    counted = simple_span_lb_ft(c.top_held.M.asd)
    assert c.top_held.governing[sound] == "distortional"
    assert 0.75 < counted[sound] / local[sound] < 0.90
