"""Wind clause formulas and look-ups, with hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError, MissingError
from secondroof.formula import recording
from secondroof.loads import wind
from secondroof.loads.wind import EnteredCurve, design_pressures


def pressures(edition="7-16", V=112.0, exposure="C", h=15.7, elevation=None, K_zt=1.0, enclosure="enclosed",
              shape="gable", slope=4.76, zone="1", area=10.0, **more):  # fmt: skip
    return design_pressures(
        edition, V, exposure, h, elevation, K_zt, enclosure, shape, slope, zone, area, **more
    )


@pytest.mark.parametrize(
    ("edition", "exposure", "z", "printed"),
    [
        # reference values of the K_z formula to two places, as the printed tables give them (from memory)
        ("7-16", "B", 15, 0.57), ("7-16", "B", 20, 0.62), ("7-16", "B", 25, 0.66), ("7-16", "B", 30, 0.70),
        ("7-16", "B", 60, 0.85), ("7-16", "C", 15, 0.85), ("7-16", "C", 30, 0.98),
        ("7-16", "D", 15, 1.03), ("7-16", "D", 40, 1.22), ("7-16", "D", 60, 1.31),
        ("7-22", "B", 15, 0.57), ("7-22", "C", 15, 0.85), ("7-22", "D", 15, 1.03),
        # components and cladding floor in exposure B before 7-16
        ("7-05", "B", 15, 0.70), ("7-10", "B", 15, 0.70), ("7-10", "B", 30, 0.70),
        ("7-10", "C", 0, 0.85),
    ],
)  # fmt: skip
def test_exposure_coefficient_table_values(edition, exposure, z, printed):
    assert float(wind.velocity_exposure(edition, exposure, z)) == pytest.approx(printed, abs=0.0051)


@pytest.mark.parametrize(
    ("z", "printed"),
    [(0, 1.00), (1000, 0.96), (2000, 0.93), (3000, 0.90), (4000, 0.86), (5000, 0.83), (6000, 0.80)],
)
def test_elevation_factor_table(z, printed):  # ASCE 7-16 Table 26.9-1, from memory
    assert float(wind.ground_elevation_factor(z)) == pytest.approx(printed, abs=0.0056)


def test_exposure_coefficient_where_the_table_cuts():
    # 2.01 (60/900)^(2/9.5) = 1.1366; the table prints 1.13 (cut, not rounded)
    assert np.floor(100 * float(wind.velocity_exposure("7-16", "C", 60))) == 113


def test_velocity_pressure_by_hand():
    # 7-16, exposure C, 15.7 ft: K_z = 2.01 (15.7/900)^(2/9.5) = 0.8570; q = 0.00256 x 0.8570 x 0.85 x 112^2 = 23.39 psf
    p = pressures()
    assert float(p.K_z) == pytest.approx(0.8570, abs=5e-4)
    assert float(p.q_h_psf) == pytest.approx(23.39, abs=0.01)
    # zone 1 at 10 ft2: 0.6 x 23.39 x (-1.7 - 0.18) = -26.39
    assert float(p.p_uplift_asd_psf) == pytest.approx(-26.39, abs=0.01)
    # down: 23.39 x (0.3 + 0.18) = 11.23 < 16: the minimum governs, 0.6 x 16 = 9.6
    assert float(p.p_down_psf) == 16.0 and bool(p.minimum_down) and not bool(p.minimum_uplift)
    assert float(p.p_down_asd_psf) == pytest.approx(9.6)


def test_K_d_moves_out_of_q_in_7_22_and_pressure_stays():
    # 7-22: same numbers, K_d in the pressure instead of q. K_z differs in the third place only (15 ft: 0.849/0.851)
    old, new = pressures("7-16", h=15.0), pressures("7-22", h=15.0)
    assert float(new.q_h_psf) * 0.85 == pytest.approx(float(old.q_h_psf), rel=0.005)
    assert float(new.p_uplift_psf) == pytest.approx(float(old.p_uplift_psf), rel=0.005)


def test_service_level_of_7_05():
    # 7-05 90 mph, B, 30 ft, overhang zone 3 at 100 ft2: 12.34 x 0.8 = 9.9 psf, raised to the 10 psf minimum
    p = pressures("7-05", V=90, exposure="B", h=30, zone="3", area=100, overhang=True)
    assert float(p.p_uplift_psf) == -10.0 == float(p.p_uplift_asd_psf)
    assert p.level == "service" and p.asd_factor == 1.0
    assert np.isnan(p.p_down_psf)  # overhang figures give suction only


def test_elevation_factor_only_where_asked_and_allowed():
    assert float(pressures(elevation=6900.0).K_e) == 1.0
    assert float(pressures(elevation=6900.0, use_K_e=True).K_e) == pytest.approx(0.779, abs=0.001)
    with pytest.raises(MissingError, match="ground_elevation_ft"):
        pressures(use_K_e=True)
    with pytest.raises(InputError, match="no ground elevation factor"):
        pressures("7-10", elevation=100.0, use_K_e=True)


@pytest.mark.parametrize(
    ("zone", "area", "expected"),
    [
        ("1'", 50, -0.9), ("1'", 316.2278, -0.65), ("1'", 5000, -0.4),  # level, middle in log10, level
        ("1", 208.3, -2.1120 + 0.4120 * 2.31869), ("2", 100, -2.8297 + 0.5297 * 2), ("3", 100, -4.2595 + 1.0595 * 2),
    ],
)  # fmt: skip
def test_7_16_low_slope_curves_agree_with_the_recalled_equations(zone, area, expected):
    # equations of the 7-16 commentary as recalled (from memory); 3e-4 is their four-place rounding over the range
    assert float(wind.gcp("7-16", "gable 0-7", zone, area, "negative")) == pytest.approx(expected, abs=3e-4)


@pytest.mark.parametrize(
    ("area", "expected"), [(10, -1.7), (100, -1.6), (223.607, -1.3000), (500, -1.0), (2000, -1.0), (1, -1.7)]
)
def test_three_point_curve(area, expected):
    # 7-16 overhang zone 1: -1.8 + 0.1 log A to 100, -3.3168 + 0.8584 log A to 500 (from memory); 223.6 is mid in log10
    got = wind.gcp("7-16", "gable 0-7 overhang", "1", area, "negative")
    assert float(got) == pytest.approx(expected, abs=2e-4)
    many = wind.gcp("7-16", "gable 0-7 overhang", np.array([1, 2]), area, "negative")
    assert float(many[0]) == pytest.approx(expected, abs=2e-4)


def test_zone_codes_names_and_grids_agree():
    fig = wind.figure("7-16", "gable 0-7")
    names = np.array([["1'", "2"], ["3", "1"]])
    areas = np.array([[10.0, 20.0], [300.0, 50.0]])
    by_name = wind.gcp("7-16", "gable 0-7", names, areas, "negative")
    assert np.array_equal(by_name, wind.gcp("7-16", "gable 0-7", fig.code(names), areas, "negative"))
    one = [[float(wind.gcp("7-16", "gable 0-7", n, a, "negative")) for n, a in zip(*row, strict=True)]
           for row in zip(names, areas, strict=True)]  # fmt: skip
    assert np.allclose(by_name, one, rtol=1e-14)
    grid = pressures(zone=fig.code(["1'", "1", "2", "3"])[:, None], area=np.array([10.0, 50.0, 208.0]))
    assert grid.p_uplift_psf.shape == (4, 3)


def test_many_roofs_equal_one_by_one():
    V, h = np.array([100.0, 120.0, 150.0]), np.array([15.0, 30.0, 60.0])
    many = pressures(
        V=V, h=h, exposure=np.array(["B", "C", "D"]), enclosure=np.array([0, 1, 3]), zone=["1", "2", "3"]
    )
    for k in range(3):
        one = pressures(V=V[k], h=h[k], exposure="BCD"[k], zone="123"[k],
                        enclosure=("enclosed", "partially enclosed", "partially open")[k])  # fmt: skip
        assert float(one.p_uplift_psf) == float(many.p_uplift_psf[k])
        assert float(one.p_down_psf) == float(many.p_down_psf[k])


def test_hip_up_to_25_degrees_takes_zone_3_as_zone_2():  # note of 7-05 Fig. 6-11C, verified in BNBC 2020
    assert float(pressures("7-10", shape="hip", slope=20, zone="3").GCp_uplift) == -1.7
    assert float(pressures("7-10", shape="hip", slope=26, zone="3").GCp_uplift) == -2.6
    assert float(pressures("7-10", shape="gable", slope=20, zone="3").GCp_uplift) == -2.6


def test_parapet_all_round_relieves_corner_and_raises_positive():
    # note of the low-slope figure: negative zone 3 = zone 2; positive zones 2, 3 = walls 4, 5 (x 0.9 up to 10 degrees)
    low, tall = (
        pressures(zone=["1", "2", "3"], parapet_ft=2.9),
        pressures(zone=["1", "2", "3"], parapet_ft=3.0),
    )
    assert np.allclose(low.GCp_uplift, [-1.7, -2.3, -3.2]) and not np.any(low.parapet_relief)
    assert np.allclose(tall.GCp_uplift, [-1.7, -2.3, -2.3])
    assert np.allclose(tall.GCp_down, [0.3, 0.9, 0.9])
    assert list(tall.parapet_relief) == [False, True, True]
    assert pressures("7-10", zone=["1", "2"], parapet_ft=3.0).unconfirmed == (
        "2",
    )  # the wall values are from memory
    steep = pressures("7-10", slope=18, zone="3", parapet_ft=4.0)  # no rule above 7 degrees
    assert float(steep.GCp_uplift) == -2.6 and not np.any(steep.parapet_relief)


def test_figure_choice_and_its_edges():
    assert wind.figure_for("7-16", "gable", 7.0).key == "gable 0-7"
    assert wind.figure_for("7-16", "gable", 7.13).key == "gable 7-20"  # 1.5:12
    assert wind.figure_for("7-16", "monoslope", 2.39).key == "gable 0-7"
    assert wind.figure_for("7-16", "monoslope", 4.76).key == "monoslope 3-10"
    assert wind.figure_for("7-10", "multispan gable", 9.0).key == "gable 0-7"
    with pytest.raises(InputError, match="several figures"):
        wind.figure_for("7-16", "gable", np.array([4.0, 14.0]))
    with pytest.raises(InputError, match="3 degrees"):
        wind.figure_for("7-16", "monoslope", np.array([2.0, 5.0]))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (dict(shape="hip", slope=14.0), "Fig. 30.3-2E"),
        (dict(slope=22.0, zone="3r"), "Fig. 30.3-2C"),
        (dict(edition="7-22", slope=14.0), "7-22"),
        (dict(edition="7-10", shape="hip", slope=30.0), "hip"),
        (dict(enclosure="open"), "Open building"),
        (dict(slope=14.0, overhang=True, zone="2e"), "overhang"),
    ],
)
def test_what_was_not_recalled_says_which_figure_to_read(change, words):
    with pytest.raises(MissingError, match=words):
        pressures(**change)


def test_missing_figure_says_where_to_type():
    with pytest.raises(MissingError, match=r"ground_rules\.entered_coefficients"):
        pressures(slope=22.0, zone="3r")


def test_entered_coefficients_are_used_and_shown():
    curve = EnteredCurve(
        negative=((10, -3.0), (100, -1.5)), page="p. 999, Fig. 30.3-2C", by="A. Reader"
    )  # invented
    p = pressures(slope=22.0, zone=["1", "3r"], area=31.6227766, entered={"3r": curve})
    assert float(p.GCp_uplift[1]) == pytest.approx(-2.25)
    assert "entered by A. Reader, p. 999" in p.checked[p.zone_names.index("3r")]
    assert "3r" in p.unconfirmed
    with pytest.raises(InputError, match="page"):
        EnteredCurve(negative=((10, -3.0),))
    with pytest.raises(InputError, match="rise"):
        EnteredCurve(negative=((10, -3.0), (10, -1.0)), page="p. 1")
    with pytest.raises(InputError, match="must be negative"):
        EnteredCurve(negative=((10, 3.0), (20, -1.0)), page="p. 1")


def test_verified_and_unconfirmed_zones_are_told_apart():
    assert pressures("7-10", zone=["1", "2", "3"]).unconfirmed == ()
    assert pressures("7-16", zone=["1'", "3"]).unconfirmed == ("1'", "3")


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (dict(V=0.0), "V_mph"), (dict(V=float("nan")), "V_mph"), (dict(h=61.0), "h_ft"), (dict(area=0.0), "area_ft2"),
        (dict(exposure="A"), "exposure"), (dict(exposure=3), "exposure"), (dict(enclosure="shut"), "enclosure"),
        (dict(edition="7-98"), "edition"), (dict(shape="barrel"), "roof_shape"),
        (dict(zone="9"), "zone"), (dict(zone=7), "zone"),
        (dict(slope=-1.0), "slope_deg"),
        (dict(K_zt=0.5), "K_zt"), (dict(edition="7-10", enclosure="partially open"), "enclosure"),
        (dict(slope=float("nan")), "slope_deg"),
    ],
)  # fmt: skip
def test_bad_input_names_the_field(change, field):
    with pytest.raises(InputError) as caught:
        pressures(**change)
    assert [p.field for p in caught.value.problems] == [field]


def test_topographic_factor_by_hand():
    # 2-D ridge, exposure C: k 1.45, H 100, L_h 400 (H/L_h 0.25), crest, z 20:
    # K_1 0.3625, K_2 1, K_3 exp(-3 x 20/400) 0.8607
    # K_zt = (1 + 0.3625 x 0.8607)^2 = 1.7214
    K_1 = wind.topographic_K_1(1.45, 100.0, 400.0)
    K_2 = wind.topographic_K_2(0.0, 1.5, 400.0, 100.0)
    K_3 = wind.topographic_K_3(3.0, 20.0, 400.0, 100.0)
    assert float(wind.topographic_factor(K_1, K_2, K_3)) == pytest.approx(1.7214, abs=5e-4)
    # steep hill: H/L_h 1.0 counts as 0.5 in K_1, and 2H stands for L_h in K_2 and K_3
    assert float(wind.topographic_K_1(1.45, 100.0, 100.0)) == pytest.approx(0.725)
    assert float(wind.topographic_K_2(150.0, 1.5, 100.0, 100.0)) == pytest.approx(0.5)
    assert float(wind.topographic_K_2(900.0, 1.5, 100.0, 100.0)) == 0.0


def test_strip_width():
    assert float(wind.edge_strip_width(20.0, 60.0)) == 6.0  # 0.1 x 60 < 0.4 x 20
    assert float(wind.edge_strip_width(15.7, 80.0)) == pytest.approx(6.28)
    assert float(wind.edge_strip_width(10.0, 20.0)) == 3.0  # not below 3 ft
    assert float(wind.edge_strip_width(14.0, 400.0)) == 16.0  # not below 4 % of the width
    assert float(wind.edge_strip_width_wide(14.0, 400.0)) == pytest.approx(11.2)  # 0.8 h


def test_steps_are_recorded():
    with recording() as r:
        pressures()
    assert {
        "exposure_coefficient",
        "velocity_pressure_16",
        "coefficient_between",
        "net_pressure",
        "minimum_uplift",
    } <= {s.formula.name.rsplit(".", 1)[1] for s in r.steps if s.formula}
