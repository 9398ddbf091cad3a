"""AISI S100-16 I6.2: the R factor and each of its conditions."""

from dataclasses import replace

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.steel import uplift

GOOD = uplift.FastenedPurlin(
    kind="Z", continuous=True, depth_in=8.0, thickness_in=0.059, flange_in=2.25, flat_flange_in=1.89, lipped=True,
    Fy_ksi=55.0, span_ft=25.0, shortest_lap_in=12.0, adjacent_span_ratio=1.0, held_at_supports=True,
    sheet_Fy_ksi=80.0, sheet_thickness_in=0.0179, rib_depth_in=1.25, rib_spacing_in=12.0, sheet_sound=True,
    blanket_in=4.0, blanket_is_glass_fibre=True, screw_diameter_in=0.216, washer_in=0.5, screw_spacing_in=12.0,
    screws_well_placed=True, standoff_screws=False,
)  # fmt: skip


def test_factor_table():
    d = np.array([6.5, 6.6, 8.5, 8.6, 12.0, 12.1])
    assert uplift.simple_span_factor(d, True)[:5].tolist() == [0.70, 0.65, 0.65, 0.50, 0.50]
    assert uplift.simple_span_factor(d, False)[:5].tolist() == [0.70, 0.65, 0.65, 0.40, 0.40]
    assert np.isnan(uplift.simple_span_factor(d, True)[5])
    assert uplift.continuous_span_factor(np.array([True, False])).tolist() == [0.70, 0.60]


def test_a_26_gauge_sheet_of_0179_is_just_too_thin():
    got = uplift.uplift_factor(GOOD)
    assert got.state == "not met"
    assert np.isnan(got.R)
    assert [c.key for c in got.conditions if c.state == "not met"] == ["sheet_t"]


def test_all_met():
    got = uplift.uplift_factor(replace(GOOD, sheet_thickness_in=0.0185))
    assert (got.state, got.R) == ("met", 0.70)
    simple = uplift.uplift_factor(replace(GOOD, sheet_thickness_in=0.0185, continuous=False))
    assert pytest.approx(0.65 * 0.96) == simple.R


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"depth_in": 12.5, "shortest_lap_in": 30.0, "thickness_in": 0.1, "flange_in": 3.0, "flat_flange_in": 2.5},
         "depth"),
        ({"lipped": False}, "lips"), ({"thickness_in": 0.046, "flat_flange_in": 1.9}, "depth_over_t"),
        ({"flange_in": 3.0}, "depth_over_flange"), ({"flat_flange_in": 0.9}, "flange_over_t"),
        ({"shortest_lap_in": 11.9}, "lap"), ({"span_ft": 33.1}, "span"), ({"held_at_supports": False}, "held"),
        ({"sheet_Fy_ksi": 33.0}, "sheet_Fy"), ({"rib_depth_in": 1.0}, "ribs"),
        ({"rib_spacing_in": 16.0}, "rib_spacing"),
        ({"sheet_sound": False}, "sheet_sound"), ({"blanket_in": 6.5}, "blanket"),
        ({"blanket_is_glass_fibre": False}, "blanket_kind"), ({"screw_diameter_in": 0.190}, "screw"),
        ({"washer_in": 0.375}, "washer"), ({"standoff_screws": True}, "standoff"), ({"screw_spacing_in": 24.0},
         "screw_spacing"), ({"screws_well_placed": False}, "screw_place"), ({"Fy_ksi": 65.0}, "Fy"),
    ],
)  # fmt: skip
def test_each_condition_can_fail_alone(change, key):
    got = uplift.uplift_factor(replace(GOOD, sheet_thickness_in=0.0185, **change))
    assert [c.key for c in got.conditions if c.state == "not met"] == [key]
    assert got.state == "not met"
    assert np.isnan(got.R)
    assert np.isnan(got.R_if_met)


def test_narrow_flange():
    got = uplift.uplift_factor(replace(GOOD, sheet_thickness_in=0.0185, depth_in=7.0, flange_in=2.0))
    assert [c.key for c in got.conditions if c.state == "not met"] == ["flange"]


def test_one_unknown_is_enough_to_say_no():
    got = uplift.uplift_factor(replace(GOOD, sheet_thickness_in=0.0185, shortest_lap_in=None))
    assert got.state == "unknown"
    assert np.isnan(got.R)
    assert got.R_if_met == 0.70
    bare = uplift.uplift_factor(uplift.FastenedPurlin(kind="Z", continuous=False))
    assert bare.state == "unknown"


def test_unequal_spans_fall_back():
    got = uplift.uplift_factor(replace(GOOD, sheet_thickness_in=0.0185, adjacent_span_ratio=1.3))
    assert pytest.approx(0.65 * 0.96) == got.R
    assert "simple-span" in got.note
    # a shallow C must not gain by it: 0.70 simple against 0.60 continuous
    c = replace(
        GOOD, sheet_thickness_in=0.0185, kind="C", depth_in=6.5, adjacent_span_ratio=1.3, flat_flange_in=1.8
    )
    assert pytest.approx(0.60) == uplift.uplift_factor(c).R


def test_no_blanket_needs_no_glass_fibre():
    got = uplift.uplift_factor(
        replace(GOOD, sheet_thickness_in=0.0185, blanket_in=0.0, blanket_is_glass_fibre=None)
    )
    assert got.state == "met"


def test_other_shapes_are_refused():
    with pytest.raises(InputError, match="C or Z"):
        uplift.uplift_factor(uplift.FastenedPurlin(kind="hat", continuous=False))


def test_base_test_values():
    # mean 0.60, deviations -0.03, 0, 0.03: standard deviation 0.03 -> 0.57
    assert uplift.group_factor([0.57, 0.60, 0.63]) == pytest.approx(0.57)
    # between 0.50 at 60 and 0.70 at 120: at 90 -> 0.60; never above 1
    assert uplift.base_test_factor(0.50, 0.70, 60.0, 120.0, 90.0) == pytest.approx(0.60)
    assert uplift.base_test_factor(0.98, 1.05, 60.0, 120.0, 120.0) == 1.0
    with pytest.raises(InputError, match="three tests"):
        uplift.group_factor([0.6, 0.6])
