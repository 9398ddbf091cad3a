"""AISI S100-16 J4, hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError, NotFoundError
from secondroof.formula import breaches, recording, spec_of
from secondroof.steel import screw_interaction as both
from secondroof.steel import screws


def test_interpolation_between_the_two_cases():
    # t2/t1 = 0.035/0.020 = 1.75, halfway from 1.0 to 2.5. d 0.19, Fu 65 both.
    # tilting 4.2*sqrt(0.035^3*0.19)*65 = 0.779173; bearing t1 2.7*0.020*0.19*65 = 0.66690; t2 1.16708
    # both cases have the same least value 0.66690: bearing under the head governs throughout
    assert screws.nominal_shear(0.020, 0.035, 0.19, 65, 65) == pytest.approx(0.66690, abs=1e-5)
    # t1 0.040, t2 0.060, ratio 1.5: tilting 4.2*sqrt(0.06^3*0.25)*45 = 1.388850; bearing t1 2.7*.04*.25*65 = 1.755
    # bearing t2 2.7*.06*.25*45 = 1.8225; a third of the way from 1.388850 to 1.755 = 1.510900
    assert screws.nominal_shear(0.040, 0.060, 0.25, 65, 45) == pytest.approx(1.510900, abs=2e-5)


def test_thinner_sheet_below_is_tilting_and_thicker_is_bearing():
    assert screws.nominal_shear(0.06, 0.045, 0.25, 65, 70) == pytest.approx(
        float(screws.shear_tilting(0.045, 0.25, 70)), rel=1e-12
    )
    assert screws.nominal_shear(0.02, 0.06, 0.25, 62, 70) == pytest.approx(
        float(screws.shear_bearing(0.02, 0.25, 62)), rel=1e-12
    )


def test_shear_with_pull_over_in_range():
    # t1 0.0299, No. 12, Fu1 65, dw 0.5, t2 0.0747 (ratio 2.498 is out), so t2 0.0800 (2.676)
    # Pnv 2.7*.0299*.216*65 = 1.133449; Pnov 1.5*.0299*.5*65 = 1.457625
    # V 0.2, T 0.3: (0.176453 + 0.71*0.205814)*2.35/1.10 = (0.176453+0.146128)*2.136364 = 0.689149
    g = screws.screw_group(0.3, 0.2, 0.0299, 0.0800, 0.216, 65, 70, 0.5)
    assert bool(g.in_range_pull_over)
    assert g.ratio_shear_pull_over == pytest.approx(0.689149, abs=2e-5)
    out = screws.screw_group(0.3, 0.2, 0.0299, 0.0747, 0.216, 65, 70, 0.5)
    assert not bool(out.in_range_pull_over)
    # straight line: 0.2*3/1.133449 + 0.3*3/1.457625 = 0.529358 + 0.617443
    assert out.ratio_shear_pull_over == pytest.approx(1.146801, abs=2e-5)


def test_shear_with_pull_out_in_range_and_lrfd():
    # t2 0.060, 1/4 in, Fu2 70, Fy2 55 (1.273): Pnv 4.2*sqrt(.06^3*.25)*70 = 2.160431; Pnot .85*.06*.25*70 = 0.8925
    # V 0.2, T 0.2: (0.092574 + 0.224090)*2.55/1.15 = 0.702167; LRFD /(1.15*0.60) = 0.458933
    g = screws.screw_group(0.2, 0.2, 0.060, 0.060, 0.25, 65, 70, 0.5, Fy2=55)
    assert bool(g.in_range_pull_out)
    assert g.ratio_shear_pull_out == pytest.approx(0.702167, abs=2e-5)
    f = screws.screw_group(0.2, 0.2, 0.060, 0.060, 0.25, 65, 70, 0.5, Fy2=55, method="lrfd")
    assert f.ratio_shear_pull_out == pytest.approx(0.458933, abs=2e-5)
    assert f.pull_out_available == pytest.approx(0.44625, abs=1e-9)  # 0.50 * 0.8925


def test_yield_not_given_means_range_not_shown():
    assert not bool(screws.screw_group(0.2, 0.2, 0.06, 0.06, 0.25, 65, 70, 0.5).in_range_pull_out)


def test_screw_itself_is_unknown_without_the_makers_test():
    g = screws.screw_group(0.2, 0.2, 0.06, 0.06, 0.25, 65, 70, 0.5, Fy2=55)
    assert not bool(g.screw_known)
    assert np.isnan(g.ratio_screw)
    assert np.isfinite(g.ratio)
    k = screws.screw_group(
        0.2, 0.3, 0.06, 0.06, 0.25, 65, 70, 0.5, Fy2=55, screw_shear=2.6, screw_tension=4.0
    )
    # (0.3/2.6 + 0.2/4.0)*3/1.3 = 0.381657; single 0.3*3/2.6 = 0.346154
    assert k.ratio_screw == pytest.approx(0.381657, abs=1e-6)


def test_one_sided_pull_over_is_half():
    g = screws.screw_group(0.1, 0.0, 0.023, 0.06, 0.25, 62, 70, 0.5, one_sided=[False, True])
    assert g.pull_over[1] == pytest.approx(g.pull_over[0] / 2, rel=1e-12)
    assert g.ratio_pull_over[1] == pytest.approx(2 * g.ratio_pull_over[0], rel=1e-12)


def test_penetration_less_than_thickness_counts():
    g = screws.screw_group(0.1, 0.0, 0.06, 0.06, 0.25, 65, 70, 0.5, tc=0.03)
    assert g.pull_out == pytest.approx(0.85 * 0.03 * 0.25 * 70, rel=1e-12)


def test_governing_is_named():
    g = screws.screw_group([0.1, 0.0], [0.0, 0.4], 0.06, 0.06, 0.25, 65, 70, 0.5, Fy2=55)
    assert g.governing.tolist() == ["pull-out", "shear"]


def test_diameter_outside_j4_is_a_breach_not_a_clamp():
    found = breaches(spec_of(screws.pull_out), {"t_c": 0.06, "d": 0.3, "F_u2": 65})
    assert [b.limit.name for b in found] == ["d"]
    g = screws.screw_group(0.1, 0.1, 0.06, 0.06, 0.3, 65, 70, 0.5, Fy2=55)
    assert not bool(g.in_range)
    assert not bool(g.in_range_j4)
    assert g.pull_out == pytest.approx(0.85 * 0.06 * 0.3 * 70, rel=1e-12)
    wide = breaches(spec_of(screws.pull_over), {"t_1": 0.02, "d_w": 0.8, "F_u1": 62})
    assert [b.limit.name for b in wide] == ["d_w"]
    ratio = breaches(spec_of(both.pullover_thickness_ratio), {"t_1": 0.03, "t_2": 0.06}, 2.0)
    assert ratio[0].value == 2.0


@pytest.mark.parametrize(
    "bad", [{"t1": 0}, {"t2": -0.06}, {"d": float("nan")}, {"Fu1": 0}, {"T": -0.1}, {"dw": float("inf")}]
)
def test_impossible_inputs_are_refused(bad):
    ok = {"T": 0.1, "V": 0.1, "t1": 0.06, "t2": 0.06, "d": 0.25, "Fu1": 65, "Fu2": 70, "dw": 0.5}
    with pytest.raises(InputError, match=next(iter(bad))):
        screws.screw_group(**{**ok, **bad})


def test_unknown_method_and_size():
    with pytest.raises(InputError, match="asd or lrfd"):
        screws.screw_group(0.1, 0.1, 0.06, 0.06, 0.25, 65, 70, 0.5, method="usd")
    with pytest.raises(NotFoundError, match="Known sizes"):
        screws.screw_diameter("No. 99")
    assert screws.screw_diameter("1/4-14") == 0.250
    assert screws.screw_diameter("No. 14") == 0.242


def test_loose_washer():
    # 0.415 + 2*0.06 + 0.0239 = 0.5589, washer 0.625; washer 0.5 limits
    assert screws.loose_washer_diameter(0.415, 0.06, 0.0239, 0.625) == pytest.approx(0.5589, abs=1e-9)
    assert screws.loose_washer_diameter(0.415, 0.06, 0.0239, 0.5) == 0.5


def test_spacing():
    assert screws.least_spacing(0.25) == 0.75
    assert screws.least_edge(0.25) == 0.375


def test_calls_are_recorded_for_cards():
    with recording() as r:
        screws.screw_group(0.1, 0.1, 0.06, 0.06, 0.25, 65, 70, 0.5, Fy2=55)
    names = {s.formula.name for s in r.steps if s.formula}
    assert "steel.screws.pull_out" in names
    assert "steel.screws.pull_over_one_sided" not in names
    assert "steel.screw_interaction.shear_pull_over_asd" not in names, "outside its range it is not shown"
    assert "steel.screw_interaction.shear_pull_out_asd" in names
    assert all(np.all(np.isfinite(s.result)) for s in r.steps)
    for spec in (spec_of(screws.pull_out), spec_of(both.shear_pull_out_asd)):
        assert all(a.what and a.unit for a in spec.arguments), spec.name
