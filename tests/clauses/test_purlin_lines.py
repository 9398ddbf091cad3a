"""Old lines worked whole: loads, effects, strength and states joined. By hand from statics and the clauses named."""

from __future__ import annotations

import math

import numpy as np
import pytest

import secondroof as sr
from secondroof.findings.build import acting_on
from secondroof.findings.context import gather
from secondroof.purlins.card import purlin_card
from secondroof.purlins.found import purlins_found
from secondroof.purlins.strength import bending_at


def worked(survey):
    c = gather(survey, survey.recovers[0])
    acting = acting_on(c)
    return c, acting, purlins_found(survey, c.recover, c.roof, acting, c.edition)


@pytest.fixture(scope="module")
def shop():
    return worked(sr.load(sr.example("harrow-pass-district-shop")))


@pytest.fixture(scope="module")
def barn():
    return worked(sr.load(sr.example("tamsel-feed-barn")))


def row_of(f, name):
    return next(i for i, line in enumerate(f.sections.lines) if line.name == name)


def test_short_laps_make_simple_spans_and_the_other_way_is_kept(shop):
    _, _, f = shop
    i = row_of(f, "S7")
    assert f.way[i] == "simple spans"
    assert "continuous" in f.other_way[i]
    assert np.all(np.isfinite(f.down_other[i]))


def test_full_laps_make_a_continuous_line_and_its_strut_is_not(barn):
    _, _, f = barn
    assert f.way[row_of(f, "E4")] == "continuous"
    assert f.way[row_of(f, "E0")] == "simple spans"


def test_field_line_under_balanced_snow_by_hand(shop):
    """S line 7, bay 6, a simple span: M = w L^2 / 8 with w from the sum of vertical cases on its width, times cos.

    Snow blown over the ridge governs; its surcharge reaches 34'-1" from the ridge, so line 7 at 28 ft from the eave
    (60 - 27.9 ft on plan = 32.1 ft from the ridge) carries 73.6 psf over its whole 4 ft.
    """
    c, acting, f = shop
    i, j = row_of(f, "S7"), 5
    side = f.down["after"]
    plane = next(p for p in c.roof.planes if p.name == "S")
    cos = math.cos(math.radians(plane.slope_deg))
    width = 4.0 * cos
    unbalanced = next(k for k in acting.cases if k.key == "snow.unbalanced.S.after")
    heavy = max(v for p in unbalanced.patches for v in p.psf)
    dead = 0.0
    for case in acting.cases:
        if case.kind != "D" or case.when == "before":
            continue
        for p in case.patches:
            if p.plane == "S" and p.y0_ft <= plane.y_eave_ft - 1e-6 and p.x0_ft < 140 < p.x1_ft:
                dead += p.psf[0] * (4.0 if case.per == "slope" else width)
        for a in case.along:
            if a.plane == "S" and a.line == 7 and not a.is_point and a.x0_ft < 140 < a.x1_ft:
                dead += a.w0
    w = (dead + heavy * width) * cos
    assert side.point[i, j] == "span"
    assert side.demand[i, j] == pytest.approx(w * 25.0**2 / 8 * 12 / 1000, rel=2e-3)
    k = int(f.sections.which[i, j])
    assert side.capacity[i, j] == pytest.approx(float(bending_at(f.sections, k, "top", 0.0).M.asd))
    assert "D + (Lr or S or R)" in side.combination(i, j)


@pytest.mark.parametrize("name", ["down", "up"])
@pytest.mark.parametrize("stage", ["before", "after"])
def test_every_governing_case_alone_agrees_with_the_batch(barn, shop, name, stage):
    for c, acting, f in (barn, shop):
        side = getattr(f, name)[stage]
        for i in range(0, len(f.sections.lines), 3):
            for j in range(side.ratio.shape[1]):
                if side.ratio[i, j] > 0:
                    card = purlin_card(c.roof, acting, f, i, j, name, stage)
                    assert card.ratio == pytest.approx(side.ratio[i, j], rel=1e-9)
                    assert card.steps


def test_a_ratio_that_is_not_known_is_never_a_pass(barn, shop):
    for _, _, f in (barn, shop):
        for sides in (f.down, f.up, f.bearing):
            for side in sides.values():
                assert set(np.unique(side.state.astype(str))) <= {"holds", "short", "unknown", "engineer"}
                assert np.all(side.state[np.isnan(side.ratio)] == "unknown")
                assert np.all(side.ratio[side.state == "holds"] <= 1.0)


def test_open_conditions_of_the_uplift_rule_hold_nothing(shop):
    """AISI S100-16 I6.2.1: where a condition is not known the lines are unknown, or short where short even if met."""
    _, _, f = shop
    open_rows = f.uplift.state == "unknown"
    assert open_rows.any()
    at = open_rows[f.uplift.which]
    assert not np.any(f.up["after"].state[at] == "holds")
    assert np.all(f.up["after"].ratio[at & (f.up["after"].state == "short")] > 1.0)


def test_added_weight_presses_more_and_lifts_less(barn):
    _, _, f = barn
    assert np.all(f.down["after"].ratio >= f.down["before"].ratio - 1e-9)
    assert np.all(f.up["after"].ratio <= f.up["before"].ratio + 1e-9)


def test_reactions_carry_every_load_down(barn):
    """Sum of the frames' reactions of a case is its whole load square to the roof (statics)."""
    _, acting, f = barn
    for k, case in enumerate(acting.cases):
        total = 0.0
        for plane in f.loads.values():
            w0, w1, P = plane.square_to_roof()
            total += float(np.sum((w0[k] + w1[k]) / 2 * np.diff(plane.x_ft)) + P[k].sum())
        assert f.frame_R_kip[case.key].sum() * 1000 == pytest.approx(total, rel=1e-9, abs=1e-6)


def test_without_a_thickness_nothing_is_said():
    survey = sr.load(sr.example("tamsel-feed-barn"))
    bare = survey.model_copy(update={"purlins": survey.purlins.model_copy(update={"thickness": ()})})
    _, _, f = worked(bare)
    assert np.all(f.down["after"].state == "unknown")
    assert np.all(np.isnan(f.down["after"].ratio) | (f.down["after"].ratio == 0))
    assert any("thick" in n.what for n in f.needs)


def test_an_impossible_section_is_unknown_and_says_so():
    survey = sr.load(sr.example("tamsel-feed-barn"))
    odd = survey.model_copy(update={"purlins": survey.purlins.model_copy(update={"lip": 3.5})})
    _, _, f = worked(odd)
    assert np.all(f.down["after"].state == "unknown")
    assert any("lip" in reason for reasons in f.sections.reasons for reason in reasons)


def test_a_symmetric_roof_is_worked_alike_on_both_sides():
    survey = sr.load(sr.example("tamsel-feed-barn"))
    first = survey.building.planes[0].lines
    planes = tuple(p.model_copy(update={"lines": first}) for p in survey.building.planes)
    same = survey.model_copy(update={
        "hung_loads": (),
        "old_panel": survey.old_panel.model_copy(update={"coating": "none", "coating_psf": None, "coating_planes": ()}),
        "building": survey.building.model_copy(update={
            "bays": (25.0, 25.0, 25.0, 25.0),
            "planes": planes,
        }),
        "recovers": tuple(r.model_copy(update={"bundle": None}) for r in survey.recovers),
        "purlins": survey.purlins.model_copy(update={"thickness": survey.purlins.thickness[:1]}),
    })  # fmt: skip
    _, _, f = worked(same)
    n = len(f.sections.lines) // 2
    for side in (f.down["after"], f.up["after"]):
        np.testing.assert_allclose(side.ratio[:n], side.ratio[n:], rtol=1e-9)
        np.testing.assert_allclose(side.ratio[:n], side.ratio[:n, ::-1], rtol=1e-9)


def test_lrfd_stands_beside_asd(barn):
    _, _, f = barn
    assert np.all(np.isfinite(f.down_lrfd)) and np.all(f.down_lrfd > 0)
    assert np.all(np.abs(f.down_lrfd / f.down["after"].ratio - 1) < 0.35)


def test_base_tests_a_person_brings_give_r_inside_the_purlins_tested():
    """AISI S908 (from memory): mean less one deviation of each group, straight between them by S_e F_y, at most 1."""
    from secondroof.survey.oldsteel import BaseTests

    survey = sr.load(sr.example("quillmark-distribution-hall"))
    tests = BaseTests(
        source="invented",
        thin_ratios=(0.50, 0.55, 0.60),
        thin_moment=60.0,
        thick_ratios=(0.6, 0.7, 0.8),
        thick_moment=140.0,
    )
    brought = survey.model_copy(
        update={"old_panel": survey.old_panel.model_copy(update={"base_tests": tests})}
    )
    c = gather(brought, brought.recovers[0])
    f = purlins_found(brought, c.recover, c.roof, acting_on(c), c.edition, only=frozenset({"N2"}), brief=True)
    k = int(f.uplift.which[row_of(f, "N2"), 5])
    M = float(f.uplift.fastened.nominal[k] / f.uplift.R[k])
    thin, thick = 0.55 - 0.05, 0.70 - 0.10
    assert 60.0 < M < 140.0
    assert f.uplift.R[k] == pytest.approx(thin + (thick - thin) * (M - 60.0) / 80.0)
    assert f.uplift.state[k] == "known"
    i = row_of(f, "N2")
    tested = f.uplift.which[i] == k  # end bays are thicker than any purlin tested
    assert tested.sum() > 15
    assert set(f.up["after"].state[i][tested].tolist()) <= {"holds", "short"}
    off = c.recover.model_copy(update={"removed_share": 1.0})
    bare = purlins_found(brought, off, c.roof, acting_on(c), c.edition, only=frozenset({"N2"}), brief=True)
    assert np.all(np.isnan(bare.uplift.R))
