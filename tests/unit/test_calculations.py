"""Every composed calculation run alone from text: a worked value, its card, and its JSON.

Expected numbers: by hand in the comment beside them, or of the published source named there. "From memory" marks
coefficients that could not be looked up; what is then tested is that the calculation uses what the tables hold.
"""

import json
import math
from functools import cache

import numpy as np
import pytest

from secondroof import calculation_words
from secondroof.calculations import COMPOSED, calculations, find, run, run_json, values
from secondroof.errors import InputError, NotFoundError, SecondroofError
from secondroof.units import UnitError

# AISI D100-17 Example II-5 (figure quoted in a public summary of the example): C 8 x 2 x 0.625 x 0.0566, Fy 50 ksi
C8 = "kind=C depth_in=8 flange_in=2 lip_in=0.625 t_in=0.0566 R_in=0.0849"
# AISI research report RP20-5, input table of its four-span purlin example
Z8 = "kind=Z depth_in=8 flange_in=2.25 lip_in=0.93 t_in=0.070 R_in=0.1875"

# I6.2.1, every condition met (from memory): a continuous Z takes 0.70
PURLIN = (
    "kind=Z continuous=yes depth_in=8 thickness_in=0.070 flange_in=2.25 flat_flange_in=1.73 lipped=yes Fy_ksi=55 "
    "span_ft=25 shortest_lap_in=15 adjacent_span_ratio=1 held_at_supports=yes sheet_Fy_ksi=80 "
    "sheet_thickness_in=0.0239 rib_depth_in=1.25 rib_spacing_in=12 sheet_sound=yes blanket_in=0 "
    "blanket_is_glass_fibre=yes screw_diameter_in=0.216 washer_in=0.5 screw_spacing_in=12 screws_well_placed=yes "
    "standoff_screws=no"
)

# name, arguments as a person writes them, expected values by name ("" for a single number), relative tolerance, steps
WORKED = [
    # 26.2: width of an area not less than a third of the span; 5 x 2, 25 x 25/3, 2.5 x 5
    ("loads.areas.panel", "support_spacing_ft=5 coverage_ft=2", {"": 10.0}, 1e-12, 1),
    ("loads.areas.purlin", "span_ft=25 purlin_spacing_ft=5", {"": 625 / 3}, 1e-12, 1),
    ("loads.areas.subpurlin", "support_spacing_ft=2.5 line_spacing_ft=5", {"": 12.5}, 1e-12, 1),
    # a fastener takes what it holds: 2 x 5, 1 x 5
    ("loads.areas.clip", "panel_coverage_ft=24_in line_spacing_ft=5", {"": 10.0}, 1e-12, 1),
    ("loads.areas.screw", "screw_spacing_ft=1 tributary_width_ft=5", {"": 5.0}, 1e-12, 1),
    # half gaps: 2, 2 + 2.5, 2.5 + 2.5, 2.5
    ("loads.areas.tributary_width", "line_y_ft=0,4,9,14", {"": [2.0, 4.5, 5.0, 2.5]}, 1e-12, 0),
    # ASCE 7-16 2.4.1: D + S = 4 + 20; 0.6 D + 0.6 W with the sure dead load = 0.6 x 3 - 0.6 x 40
    ("loads.combinations", "edition=7-16 method=ASD D=4 D_sure=3 Lr=12 S=20 W_up=-40",
     {"down_psf": 24.0, "up_psf": -22.2, "down_combination": "D + (Lr or S or R) [S]",
      "up_combination": "0.6D + 0.6W [W up]"}, 1e-12, 0),
    # 3000 lb over 20 ft = 150 lb/ft; each half, 1 ft from the purlin of 5, gives a fifth of its half to the outer one
    ("loads.live.bundle", "weight_lb=3000 bundle_along_ft=20 bundle_across_ft=4 purlin_y_ft=0,5,10,15 centre_y_ft=5",
     {"purlin": [0, 1, 2], "w_lb_per_ft": [15.0, 120.0, 15.0]}, 1e-12, 0),
    # 4.8.2: R1 = 1.2 - 0.001 x 300 = 0.9, R2 = 1; 20 x 0.9
    ("loads.live.reduced", "A_T_ft2=300 rise_in_12=1:12", {"": 18.0}, 1e-12, 3),
    # 8.3: 5.2 x (2 + 1.5)
    ("loads.rain", "edition=7-16 static_in=2 hydraulic_in=1.5", {"": 18.2}, 1e-12, 1),
    # 8.4 from memory: 1/4 in/ft is below 1 in/ft where the purlins run along the free edge
    ("loads.rain.ponding", "edition=7-16 slope_in_per_ft=1/4 purlins_parallel_to_eave=yes free_drainage=yes "
     "span_over_spacing=5", {"susceptible": True}, 0, 0),
    # MBMA Metal Building Systems Manual 2012, example 1.3.5.14(b), printed to 18.9, 0.86, 24, 17.25
    ("loads.snow.balanced", "edition=7-10 p_g_psf=25 C_e=0.9 C_t=1.0 risk_category=IV slope_deg=14.04 slippery=yes "
     "eave_to_ridge_ft=25", {"p_f_psf": 18.9, "C_s": 0.86, "p_m_psf": 24.0, "gamma_pcf": 17.25}, 0.006, 5),
    # by hand, 7.7.1: gamma = 0.13 x 40 + 14 = 19.2; h_d = 0.43 x 100^(1/3) x 50^(1/4) - 1.5 = 3.8074; width
    # min(6 x 3.8074, 6 x 10 - 5) = 22.84; peak 3.8074 x 19.2 = 73.10
    ("loads.snow.drift_at_neighbour", "edition=7-16 p_g_psf=40 p_s_psf=28 height_ft=10 gap_ft=5 "
     "neighbour_length_ft=100 risk_category=II", {"p_d_psf": 73.10, "width_ft": 22.84, "h_b_ft": 28 / 19.2}, 2e-4, 7),
    # 7.8: 0.75 x 3.8074 = 2.8556 stands above the clear height 4 - 28/19.2 = 2.5417, so 2.5417 x 19.2 = 48.8
    ("loads.snow.drift_at_parapet", "edition=7-16 p_g_psf=40 p_s_psf=28 height_ft=4 upwind_length_ft=100 "
     "risk_category=II", {"h_d_ft": 2.8556, "p_d_psf": 48.8, "width_ft": 4 * 2.8556**2 / 2.5417}, 1e-4, 7),
    # public engineering note on drifts of 7-16 and 7-22: printed h_d 2.08 ft, p_d 35.8 psf
    ("loads.snow.drift_at_step", "edition=7-16 p_g_psf=25 p_s_psf=17.5 step_ft=4 upper_length_ft=40 "
     "lower_length_ft=30 risk_category=II", {"leeward.h_d_ft": 2.08, "leeward.p_d_psf": 35.8}, 0.005, 13),
    # 7.5 by hand: full on spans 2 and 3 is case 3 in the middle
    ("loads.snow.partial", "n_span=4", {"share": [[1, 1, 1, 1], [1, 0.5, 0.5, 0.5], [0.5, 1, 1, 1], [0.5, 0.5, 0.5, 1],
     [1, 1, 1, 0.5], [1, 1, 0.5, 0.5], [0.5, 1, 1, 0.5], [0.5, 0.5, 1, 1]]}, 1e-12, 0),
    # 7.9: 0.4 x 28 x 50 = 560 lb/ft over 15 ft
    ("loads.snow.sliding", "edition=7-16 p_f_upper_psf=28 eave_to_ridge_ft=50 slope_deg=10 slippery=yes "
     "lower_width_ft=30", {"total_lb_per_ft": 560.0, "p_psf": 560 / 15, "width_ft": 15.0}, 1e-12, 1),
    # 7.4: metal, nothing in the way, warm and R-30 unventilated
    ("loads.snow.slippery", "edition=7-16 metal=yes unobstructed=yes C_t=1.0 r_value=R-30 ventilated=no",
     {"": True}, 0, 0),
    # Table 7.3-2: a vented cavity over more than R-25 is cold; unheated 1.2
    ("loads.snow.thermal_condition", "heated=yes ventilated=yes r_value=30", {"": "cold ventilated"}, 0, 0),
    ("loads.snow.thermal_factor", "edition=7-16 condition=unheated", {"": 1.2}, 1e-12, 0),
    # 7.6.1 by hand: h_d = 0.43 x 50^(1/3) x 50^(1/4) - 1.5 = 2.7125, S = 12/2; p = 2.7125 x 19.2/sqrt(6) = 21.26,
    # over 8/3 x sqrt(6) x 2.7125 = 17.72 ft; windward 0.3 x 28
    ("loads.snow.unbalanced", "edition=7-16 p_s_psf=28 p_g_psf=40 risk_category=II slope_deg=9.4623 "
     "eave_to_ridge_ft=50", {"p_surcharge_psf": 21.26, "extent_ft": 17.72, "p_windward_psf": 8.4}, 5e-4, 4),
    # end points from memory (-2.3 at 10 ft2, -1.4 at 500): -2.3 + 0.9 log(5)/log(50)
    ("loads.wind.coefficient", "edition=7-16 roof_shape=gable slope_deg=4 zone=2 area_ft2=10,50 sign=negative",
     {"GCp": [-2.3, -2.3 + 0.9 * math.log(5) / math.log(50)]}, 1e-12, 1),
    # 200 ft2 in one wall against none in the rest, above 4 ft2: partially enclosed, 0.55
    ("loads.wind.enclosure", "edition=7-16 wall_openings_ft2=200,0,0,0 wall_gross_ft2=2000,1000,2000,1000 "
     "roof_openings_ft2=0 roof_gross_ft2=10000", {"name": "partially enclosed", "GCpi": 0.55}, 1e-12, 4),
    # K_z = 2.01 (20/900)^(2/9.5) = 0.90188; q = 0.00256 x 0.90188 x 0.85 x 115^2 = 25.954; coefficients from memory:
    # (-0.69 - 0.18) q on surface 2, (-1.07 - 0.18) q on 2E
    ("loads.wind.frame_pressures", "edition=7-16 V_mph=115 exposure=C h_ft=20 least_width_ft=60 K_zt=1 "
     "enclosure=enclosed slope_deg=4",
     {"q_h_psf": 25.954, "across_up_psf": [-0.87 * 25.954, -0.55 * 25.954, -1.25 * 25.954, -0.71 * 25.954]}, 1e-4, 5),
    # International Residential Code 2018 Table R301.2(2), p. 58, zone 1, 20 ft2, 180 mph: printed -34.1 and 13.3
    ("loads.wind.pressure", "edition=7-10 V_mph=180 exposure=B h_ft=30 enclosure=enclosed roof_shape=gable "
     "slope_deg=4 zone=1 area_ft2=20", {"p_uplift_asd_psf": -34.1, "p_down_asd_psf": 13.3}, 0.0045, 8),
    # q_05 = 0.00256 x 0.90188 x 0.85 x 90^2 = 15.896; (-1.0 - 0.18) 15.896 = -18.76 (cells of the code of 7-10, which
    # are those of 7-05); today's inner zone from memory: 0.6 x (-0.9 - 0.18) 25.954 = -16.82
    ("loads.wind.then_and_now", "edition_then=7-05 V_then_mph=90 exposure_then=C enclosure_then=enclosed zone_then=1 "
     "edition_now=7-16 V_now_mph=115 exposure_now=C enclosure_now=enclosed zone_now=1' roof_shape=gable slope_deg=4 "
     "h_ft=20 area_ft2=10", {"uplift_then_psf": [-18.76], "uplift_now_psf": [-16.82], "zone_now": ["1'"]}, 5e-4, 10),
    # from memory: axisymmetric hill, exposure C: K_1 = 1.05 x 100/400, K_3 = exp(-4 x 20/400)
    ("loads.wind.topography", "shape=hill exposure=C H_ft=100 L_h_ft=400 x_ft=0 downwind=no z_ft=20",
     {"K_1": 0.2625, "K_3": math.exp(-0.2), "K_zt": (1 + 0.2625 * math.exp(-0.2)) ** 2}, 1e-9, 4),
    # printed 0.85 at 15 ft in exposure C; q = 0.00256 x 0.8489 x 0.85 x 115^2
    ("loads.wind.velocity_pressure", "edition=7-16 V_mph=115 exposure=C z_ft=15",
     {"K_z": 0.8489, "q_psf": 0.00256 * 0.8489 * 0.85 * 115**2}, 1e-4, 2),
    # 0.1 x 60 = 6 against 0.4 x 20 = 8
    ("roof.strip_width", "edition=7-16 slope_deg=4 h_ft=20 least_width_ft=60", {"": 6.0}, 1e-12, 1),
    # an L of 200 x 80 and 100 x 80 ft; each of five outward corners: 0.6 h x 0.2 h both ways, 12 x 4 + 8 x 4 = 80 ft2
    ("roof.zones", "edition=7-16 roof_shape=gable slope_deg=4 h_ft=20 outline_x_ft=0,200,200,100,100,0 "
     "outline_y_ft=0,0,80,80,160,160", {"total_ft2": 24000.0, "zone 3 ft2": 400.0}, 1e-9, 0),
    # four equal spans (beam tables of a steel construction manual): 0.1071 w L2, 0.0772 w L2, 0.393 w L, 0.0065 w L4/EI
    ("lines.beam", "spans_ft=25,25,25,25 I_in4=9.18 w_lb_ft=100",
     {"M_support_kip_in": [0, -80.36, -53.57, -80.36, 0], "R_lb": [982, 2857, 2321, 2857, 982],
      "M_span_kip_in": [57.9, 27.3, 27.3, 57.9],
      "d_span_in": [1.610, 0.4713, 0.4713, 1.610]}, 0.0025, 1),
    # exact for a simple span: growth C = 12 x 5.2 w L4 / (pi4 EI) a share; I chosen so that the one-way C is 0.25:
    # water under a half sine grows 1/(1 - C); per inch 5.2 x 5 lb/ft on 25 ft
    ("lines.ponding", f"spans_ft=25 I_in4={26 / 12000 * 300**4 / (math.pi**4 * 29500 * 0.25)} width_ft=5 stiff_in=1",
     {"settles": True, "growth": 0.25}, 2e-3, 1),
    # P L3/48 EI = 0.3 x 300^3/(48 x 29500 x 9);
    # f = pi/2 sqrt(EI g/(w L4)) = pi/2 sqrt(29500 x 9 x 386.1/(0.02/12 x 300^4))
    ("lines.underfoot", "spans_ft=25 I_in4=9 weight_lb_ft=20",
     {"d_in": [0.3 * 300**3 / (48 * 29500 * 9)],
      "f_1_Hz": math.pi / 2 * math.sqrt(29500 * 9 * 386.1 / (0.02 / 12 * 300**4))}, 5e-4, 1),
    # H3 by hand: (0.91 x 0.25 + 20/60) / (1.33/1.70)
    ("steel.bending_crippling", "P=0.5 P_n=2 M=20 M_n=60", {"": (0.91 * 0.25 + 1 / 3) / (1.33 / 1.7)}, 1e-9, 2),
    # G5 from memory, Z fastened EOF: 4 t2 Fy (1 - 0.14 sqrt(R/t)) (1 + 0.35 sqrt(N/t)) (1 - 0.02 sqrt(h/t)); Omega 1.75
    ("steel.crippling", "kind=Z load=EOF h=7.485 t=0.07 R=0.1875 F_y=55 N=5 fastened=yes",
     {"P_n": 2.6089, "P_a": 1.4908, "in_range": True}, 1e-4, 2),
    # Example II-5: local moment at Fy 75.0 by effective width; My 82.0
    ("steel.flexural_strength", f"{C8} F_y=50", {"M_nl_ewm": 75.0, "M_y": 82.0}, 0.004, 20),
    # straight between the tests: 120 - 50 x 1.5/2.5
    ("steel.panel_uplift", "spans_ft=2.5,5 ultimate_psf=120,70 n_tests=3,3 source=invented invented=yes span_ft=4",
     {"ultimate_psf": 90.0, "between_tests": True}, 1e-12, 5),
    # J4 by hand (coefficients from memory): 0.85 t2 d Fu2, 1.5 t1 dw Fu1, 2.7 t1 d Fu1
    ("steel.screws.group", "T=0.2 V=100_lb t1=0.023 t2=0.06 d=1/4_in Fu1=62 Fu2=70 dw=0.5",
     {"pull_out": 0.8925, "pull_over": 1.0695, "shear": 0.96255, "ratio_pull_out": 0.2 * 3 / 0.8925}, 1e-9, 10),
    ("steel.screws.shear", "t1=0.023 t2=0.060 d=0.25 Fu1=62 Fu2=70", {"": 2.7 * 0.023 * 0.25 * 62}, 1e-9, 4),
    # Example II-5, printed 46.5 ksi
    ("steel.section.distortional", C8, {"F_crd": 46.5}, 0.004, 10),
    # Example II-5, printed 1.50 in3 at 50 ksi
    ("steel.section.effective", f"{C8} f=50", {"Se": 1.50, "web_full": False}, 0.004, 10),
    # RP20-5 input table: Mcrl = 151.86 kip-in
    ("steel.section.finite_strips", Z8, {"M_crl": 151.86}, 0.012, 1),
    # RP20-5 input table: Ix 9.18, Iy 1.28, Ixy 2.47, J 0.00159
    ("steel.section.gross", Z8, {"Ix": 9.18, "Iy": 1.28, "Ixy": 2.47, "J": 0.00159}, 0.007, 0),
    # flat web 8 - 2 (R + t) = 7.485 in over 0.070
    ("steel.section.limits", f"{Z8} F_y=55", {"limits.web.value": 7.485 / 0.07, "inside": True}, 1e-9, 0),
    # slender web: 0.904 E k t3/h form of G2.3, pi2 E/(12 (1 - 0.3^2)) x 5.34/(h/t)^2 x h t
    ("steel.shear", "h=7.507 t=0.059 F_y=55",
     {"": math.pi**2 * 29500 / (12 * 0.91) * 5.34 * 0.059**3 / 7.507}, 1e-9, 3),
    ("steel.uplift_factor", PURLIN, {"R": 0.70, "state": "met"}, 1e-12, 1),
]  # fmt: skip


PRESSURE = next(w[1] for w in WORKED if w[0] == "loads.wind.pressure")
SLIDING = next(w[1] for w in WORKED if w[0] == "loads.snow.sliding")


def given(text):
    """Arguments of a test line; an underscore stands for a blank inside a value."""
    pairs = (item.split("=", 1) for item in text.split())
    return {k: v.replace("_", " ") for k, v in pairs}


@cache
def done_of(name):
    """The worked run of a calculation, made once."""
    return run(name, given(next(w[1] for w in WORKED if w[0] == name)))


def test_every_composed_calculation_has_a_worked_value():
    assert sorted(row[0] for row in WORKED) == sorted(c.name for c in COMPOSED)


@pytest.mark.parametrize(("name", "text", "expected", "rel", "steps"), WORKED, ids=[w[0] for w in WORKED])
def test_worked(name, text, expected, rel, steps):
    done = done_of(name)
    found = {v.name: v.value for v in values(done)}
    for key, want in expected.items():
        if isinstance(want, (str, bool)) or (isinstance(want, list) and isinstance(want[0], str)):
            assert found[key] == want
        else:
            assert np.array(found[key], dtype=float) == pytest.approx(
                np.array(want, dtype=float), rel=rel, abs=1e-9
            )
    assert len(done.steps) >= steps

    told = json.loads(json.dumps(run_json(done), allow_nan=False))
    assert set(told) >= {"name", "clause", "inputs", "input_units", "result", "unit", "steps"}
    assert set(told["inputs"]) == set(given(text))
    assert told["result"] == found.get("", found)
    assert len(told["steps"]) == len(done.steps)
    assert all(step["title"] and step["clause"] and step["checked"] for step in told["steps"])


@pytest.mark.parametrize("name", [c.name for c in COMPOSED])
def test_the_card_prints(name):
    from secondroof.papers.terminal import calculation_card, calculation_use

    done = done_of(name)
    card = calculation_card(done)
    assert card.startswith(name)
    assert "Result" in card
    assert "cannot be printed" not in card
    assert all(a.name in calculation_use(done.calculation) for a in done.calculation.arguments)


def test_every_argument_has_a_meaning_and_every_measure_a_unit():
    numbers = {"K_zt", "C_e"}
    for row in COMPOSED:
        for a in calculations()[row.name].arguments:
            assert a.what, (row.name, a.name)
            if (
                a.name.endswith(("_psf", "_ft", "_in", "_mph", "_ksi", "_lb", "_deg", "_ft2"))
                or a.name in numbers
            ):
                assert a.unit, (row.name, a.name)


def test_defaults_and_units_are_told():
    told = {a.name: a for a in find("loads.wind.pressure").arguments}
    assert told["V_mph"].unit == "mph" and told["V_mph"].required
    assert "(0 unless given)" in told["parapet_ft"].what and not told["parapet_ft"].required
    assert "entered" not in told  # coefficients read off a figure belong to a survey, not to a line of text
    units = {v.name: v.unit for v in values(run("loads.wind.pressure", given(PRESSURE)))}
    assert units["p_uplift_asd_psf"] == "psf"
    assert units["q_h_psf"] == "psf"


def test_units_of_people_are_read():
    metric = given(PRESSURE) | {"V_mph": "289.682 km/h", "h_ft": "9.144 m", "area_ft2": "1.8580608 m2"}
    ours = given(PRESSURE)
    one, other = (run("loads.wind.pressure", g).result.p_uplift_psf for g in (metric, ours))
    assert float(one) == pytest.approx(float(other), rel=1e-5)  # 180 mph is 289.682 km/h, to six figures


@pytest.mark.parametrize(("name", "near"), [
    ("loads.wind.presure", "loads.wind.pressure"), ("drift_at_stp", "loads.snow.drift_at_step"),
    ("gros", "steel.section.gross"),
])  # fmt: skip
def test_unknown_names_get_the_nearest(name, near):
    with pytest.raises(NotFoundError, match=near.replace(".", r"\.")):
        run(name, {})


def test_last_parts_are_enough():
    assert find("wind.pressure").name == find("loads.wind.pressure").name == "loads.wind.pressure"
    with pytest.raises(NotFoundError, match=r"steel\.screws\.shear.*steel\.shear"):
        find("shear")


def test_all_that_is_wrong_is_told_at_once():
    with pytest.raises(InputError) as caught:
        run("loads.wind.pressure", {"V_mph": "fast", "exposur": "C", "edition": "7-16"})
    said = str(caught.value)
    assert "V_mph: cannot be read" in said
    assert "Meant exposure?" in said
    assert "h_ft: is needed: Mean roof height" in said


@pytest.mark.parametrize(("name", "text", "says"), [
    ("loads.wind.pressure", PRESSURE + " slope_deg=4,18", "slope"),
    ("loads.wind.pressure", PRESSURE + " area_ft2=1,200", "may be one number or a list"),
    ("loads.wind.velocity_pressure", "edition=7-10 V_mph=115 exposure=C z_ft=15 ground_elevation_ft=5000",
     "no elevation"),
    ("steel.section.gross", "kind=Z depth_in=8 flange_in=2.25 lip_in=3 t_in=0.07 R_in=0.1875", "Measure"),
    ("steel.section.gross", "kind=I depth_in=8 flange_in=2.25 lip_in=1 t_in=0.07 R_in=0.1875", "Z, C or hat"),
    ("steel.section.gross", "kind=hat depth_in=3 flange_in=2 t_in=0.06 R_in=0.1", "width of one foot"),
    ("steel.screws.shear", "t1=0 t2=0 d=0.25 Fu1=62 Fu2=70", "no finite number"),
    ("loads.snow.sliding", SLIDING + " slippery=maybe", "neither yes nor no"),
    ("loads.snow.partial", "n_span=2.5", "whole number"),
    ("lines.beam", "spans_ft=25,25 I_in4=9,9,9 w_lb_ft=100", "one for each of 2 spans"),
    ("lines.beam", "spans_ft=25,25 I_in4=9 w_lb_ft=100 P_lb=300 P_x_ft=60", "from 0 to 50"),
    ("lines.beam", "spans_ft=25,25 I_in4=9 w_lb_ft=100 cut_over=1", "inner support"),
    ("roof.zones", "edition=7-16 roof_shape=gable slope_deg=4 h_ft=20", "length_ft"),
    ("loads.combinations", "edition=7-16 method=ASD D=4 W_up=-40", "D_sure"),
    ("loads.areas.clip", "panel_coverage_ft=1,2 line_spacing_ft=4,5,6", "do not fit each other"),
])  # fmt: skip
def test_bad_input_names_the_argument(name, text, says):
    with pytest.raises(SecondroofError) as caught:
        run(name, given(text))
    assert says in str(caught.value)


@pytest.mark.parametrize("name", [c.name for c in COMPOSED if "finite" not in c.name])
def test_odd_values_never_break_a_calculation(name):
    """Every argument in turn gets an odd value: an answer, or an error of ours in words."""
    base = given(next(w[1] for w in WORKED if w[0] == name))
    for a in find(name).arguments:
        for odd in ("0", "-1", "abc", "1, 2, 3", "[]", ""):
            try:
                json.dumps(run_json(run(name, {**base, a.name: odd})), allow_nan=False)
            except SecondroofError as error:
                assert str(error)


def test_beam_cut_over_every_support_is_simple_spans():
    # w L2/8 = 100 x 625 / 8 x 12/1000 = 93.75; 5 w L4/384 EI
    found = run("lines.beam", given("spans_ft=25,25 I_in4=9 w_lb_ft=100 cut_over=2")).result
    assert found["M_span_kip_in"] == pytest.approx([93.75, 93.75], rel=1e-9)
    d = 5 * (100 / 12000) * 300**4 / (384 * 29500 * 9)
    assert found["d_span_in"] == pytest.approx([d, d], rel=1e-6)
    # P L/4 = 300 x 300/4 /1000 = 22.5
    point = run("lines.beam", given("spans_ft=25 I_in4=9 w_lb_ft=0 P_lb=300 P_x_ft=12.5")).result
    assert point["M_span_kip_in"] == pytest.approx([22.5], rel=1e-9)


@pytest.mark.parametrize(("text", "annotation", "want"), [
    ("25,25,30", "Sequence[float]", [25.0, 25.0, 30.0]), ("25", "Sequence[float]", [25.0]), ("4", "int", 4),
    ("1'", "str | Sequence[str]", "1'"), ("1',2", "str | Sequence[str]", ["1'", "2"]), ("yes", "bool", True),
    ("none", "float | None", None), ("1e-3", "float", 1e-3), ("1,200", "float", 1200.0),
])  # fmt: skip
def test_values_as_people_write_them(text, annotation, want):
    assert calculation_words.read_value(text, "x", "", annotation, "") == want


def test_kip_is_read_bare_or_from_pounds():
    read = calculation_words.read_value
    assert read("0.2", "T", "kip", "Numeric", "") == pytest.approx(0.2)
    assert read("200 lb", "T", "kip", "Numeric", "") == pytest.approx(0.2)
    with pytest.raises(UnitError):
        read("200 psf", "T", "kip", "Numeric", "")
