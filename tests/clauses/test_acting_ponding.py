"""Ponding of whole roofs: which bays are asked about, water on real purlins, metal against membrane.

A purlin on one span with level water all along it has a closed solution, worked here by hand: EI y'''' = k (h + y) + w
with k the weight of an inch of water on a foot of line, so with a = (L / 2) (k / EI)^(1/4) the depth at mid-span is
(h + w / k) (1 / cos a + 1 / cosh a) / 2 - w / k, and the mean depth (h + w / k) (tan a + tanh a) / (2 a) - w / k.
"""

import math

import pytest

import secondroof as sr
from secondroof.acting.rain import rain
from secondroof.checks.render import card_lines_of
from secondroof.findings.geometry import build_roof
from secondroof.purlins.ponding import bays_asked, ponding
from secondroof.purlins.sections import line_sections
from secondroof.purlins.strength import capacity
from secondroof.purlins.water import MOST_BAYS, Work, bay_slope_in12
from secondroof.survey.fields import SlopeGroup

COS = 12 / math.hypot(12, 1)
E_PSI = 29.5e6
INSIDE = {"drainage": "inside gutters or behind parapets", "static_head": 8.0, "hydraulic_head": 1.0}
SHALLOW = {**INSIDE, "static_head": 4.5, "hydraulic_head": 0.5}
DRY = {"drainage": "over the eaves"}


@pytest.fixture(scope="module")
def barn():
    return sr.load(sr.example("tamsel-feed-barn"))


def with_bays(survey, *bays):
    building = survey.building.model_copy(update={"bays": bays, "length": sum(bays), "bays_far_eave": None})
    recovers = tuple(r.model_copy(update={"bundle": None}) for r in survey.recovers)
    # one plane reading of thickness for every bay; nothing hangs
    thickness = tuple(g.model_copy(update={"bays": None}) for g in survey.purlins.thickness)
    return survey.model_copy(
        update={
            "building": building,
            "recovers": recovers,
            "hung_loads": (),
            "purlins": survey.purlins.model_copy(update={"thickness": thickness}),
        }
    )


def with_edges(survey, **fields):
    return survey.model_copy(update={"edges": survey.edges.model_copy(update=fields)})


def worked(survey, edition="7-16", **more):
    return ponding(survey, survey.recovers[0], build_roof(survey, None), edition, **more)


@pytest.fixture(scope="module")
def one_span(barn):
    """The barn cut down to one bay of 25 ft, water 9 in deep at the eave with the drains blocked."""
    return with_edges(with_bays(barn, 25.0), **INSIDE)


@pytest.fixture(scope="module")
def one_span_found(one_span):
    return worked(one_span)


# Which bays --------------------------------------------------------------------------------------------------


def test_editions_ask_differently(barn):
    roof = build_roof(barn, None)
    # least slopes read .97 and .99 in/ft: 7-10 asks below 1/4, 7-16 below 1 where purlins run along the eave
    assert not any(b.asked.susceptible for b in bays_asked(barn, roof, "7-10"))
    asked = bays_asked(barn, roof, "7-16")
    assert len(asked) == 8 and all(b.asked.susceptible for b in asked)
    assert {b.slope_in12 for b in asked} == {0.97, 0.99}


def test_sag_read_in_one_bay_speaks_for_that_bay(barn):
    dip = SlopeGroup(plane="E", bays=[2], readings=[0.2])
    survey = barn.model_copy(update={"slope_readings": (*barn.slope_readings, dip)})
    roof = build_roof(survey, None)
    asked = [(b.plane, b.bay) for b in bays_asked(survey, roof, "7-10") if b.asked.susceptible]
    assert asked == [("E", 2)]
    assert (
        bay_slope_in12(survey, roof.planes[1], 2) == 0.2 and bay_slope_in12(survey, roof.planes[1], 3) == 0.99
    )


def test_standing_water_and_a_back_fall_are_asked_about(barn):
    stands = with_edges(barn, water_stands=True)
    assert all(b.asked.susceptible for b in bays_asked(stands, build_roof(stands, None), "7-10"))
    back = barn.model_copy(update={"slope_readings": (SlopeGroup(plane="W", readings=[-0.1]),)})
    asked = bays_asked(back, build_roof(back, None), "7-10")
    assert {b.plane for b in asked if b.asked.susceptible} == {"W"}


# Water on the purlins ----------------------------------------------------------------------------------------


def line_numbers(survey, row):
    """Width [ft], water per inch [lb/ft per in] and other load [lb/ft], I [in4], span [in] of one line."""
    roof = build_roof(survey, None)
    sections = line_sections(survey, roof)
    work = Work.of(survey, survey.recovers[0], roof, sections, 0.0)
    line = sections.lines[row]
    width = work.width_ft(line)
    return (
        width,
        5.2 * width,
        work.other_lb_ft(line),
        float(sections.Ix_in4[row, 0]),
        survey.building.length * 12,
    )


def closed(h, k_lb_ft, w_lb_ft, I, L):
    """Depth at mid-span and mean depth [in]; k per inch and w on a foot of line."""
    a = L / 2 * (k_lb_ft / 12 / (E_PSI * I)) ** 0.25
    assert a < math.pi / 2  # growth below 1
    lifted = h + w_lb_ft / k_lb_ft
    mid = lifted * (1 / math.cos(a) + 1 / math.cosh(a)) / 2
    mean = lifted * (math.tan(a) + math.tanh(a)) / (2 * a)
    return mid - w_lb_ft / k_lb_ft, mean - w_lb_ft / k_lb_ft


def test_water_on_one_span_by_the_closed_solution(one_span, one_span_found):
    # line W1, 4.90 ft up the slope: 9 - .97 x 4.90 cos = 4.26 in over it if nothing bent; width 4.94 cos on plan
    (water,) = (w for w in one_span_found.lines if w.name == "W1")
    assert water.level_in == pytest.approx(9 - 0.97 * 4.90 * COS)
    width, k, w, I, L = line_numbers(one_span, 1)
    assert width == pytest.approx(9.88 / 2 * COS)
    mid, mean = closed(water.level_in, k, w, I, L)
    assert float(water.water.depth_in.max()) == pytest.approx(mid, rel=0.01)  # 12 parts of the span
    assert water.water.water_lb == pytest.approx(mean * k * 25, rel=0.01)
    assert water.head_in == pytest.approx(mid - water.level_in, rel=0.01)
    # one half-wave comes back by k L^4 / (pi^4 EI)
    assert water.water.growth == pytest.approx(k / 12 * L**4 / (math.pi**4 * E_PSI * I), rel=0.01)


def test_dead_load_on_the_line_by_hand(one_span):
    # W1 carries 4.94 ft of slope: covering .87, coating .10, blanket .19, new panel 1.26, insulation .22, small
    # parts .08; own weight 2.72 and new line 1.42 lb/ft (both worked in the gravity tests)
    _, _, other, _, _ = line_numbers(one_span, 1)
    assert other == pytest.approx(4.94 * (0.87 + 0.10 + 0.19 + 1.26 + 0.22 + 0.08) + 2.72 + 1.42, abs=0.05)


def test_flexibility_of_the_softest_purlin(one_span, one_span_found):
    # W4, 14.86 to 24.90 ft: S = 5.02 cos; C_s = 32 S L^4 / (1e7 I), AISC 360 Appendix 2
    _, _, _, I, _ = line_numbers(one_span, 4)
    assert one_span_found.C_s["W"] == pytest.approx(32 * 5.02 * COS * 25**4 / 1e7 / I)
    symbols = [s.symbol for s in one_span_found.steps]
    card_lines_of(one_span_found.steps)  # refuses a step it cannot print
    assert "C_s" in symbols and "C_p + 0.9 C_s" in symbols


@pytest.fixture(scope="module")
def shallow(barn):
    """One bay of 8 ft, 5 in of water at the eave: short enough that the purlins bear what they hold."""
    return with_edges(with_bays(barn, 8.0), **SHALLOW)


@pytest.fixture(scope="module")
def shallow_found(shallow):
    return worked(shallow)


def test_frames_are_left_to_the_engineer(shallow_found):
    assert shallow_found.state == "engineer" and shallow_found.susceptible and 0 < shallow_found.ratio < 1
    assert any("frame rafters" in n.what and n.who == "engineer" for n in shallow_found.needs)
    assert "frames that do not sink" in shallow_found.assumed
    assert any("comes to rest on every purlin" in s for s in shallow_found.sentences)
    assert not any("before the water comes to rest" in s for s in shallow_found.sentences)


# Strength under that water -----------------------------------------------------------------------------------


def test_moment_at_rest_against_what_the_purlin_is_allowed(one_span, one_span_found):
    # the closed solution twice differentiated: at mid-span, with b = a / (L / 2) and EI b^4 = k,
    # M = (k h + w) / b^2 (1 / cos a - 1 / cosh a) / 2
    (water,) = (w for w in one_span_found.lines if w.name == "W1")
    _, k, w, I, L = line_numbers(one_span, 1)
    a = L / 2 * (k / 12 / (E_PSI * I)) ** 0.25
    M = (k * water.level_in + w) / 12 * (L / 2 / a) ** 2 * (1 / math.cos(a) - 1 / math.cosh(a)) / 2 / 1000
    got = water.bends
    assert (
        got.place == "span"
        and got.x_ft == pytest.approx(12.5)
        and got.M_kip_in == pytest.approx(M, rel=0.015)
    )
    sections = line_sections(one_span, build_roof(one_span, None))
    M_a = float(capacity(sections).top_held.M.asd[sections.which[1, 0]])  # screwed sheet: top flange held
    assert got.M_a_kip_in == pytest.approx(M_a) and got.ratio == pytest.approx(M / M_a, rel=0.015)


def test_past_its_strength_before_the_water_rests(one_span_found):
    assert one_span_found.state == "short" and one_span_found.bends_on == "W1" and one_span_found.ratio > 1
    assert one_span_found.ponding_head_in["W"] == math.inf
    (said,) = (
        s for s in one_span_found.sentences if "past their strength before the water comes to rest" in s
    )
    assert (
        f"{one_span_found.ratio:.2f} of its allowable moment" in said and "taken over the whole line" in said
    )
    assert any("D + R" in s for s in one_span_found.sentences)
    on_card = [s for s in one_span_found.steps if s.symbol == "ratio"]
    assert [float(s.result) for s in on_card] == [pytest.approx(one_span_found.ratio)]
    assert {"M", "F_y", "t"} <= set(one_span_found.sources)


def test_sheet_that_holds_nothing_leaves_less_strength(one_span, one_span_found):
    panel = one_span.old_panel.model_copy(update={"kind": "standing seam"})
    loose = worked(one_span.model_copy(update={"old_panel": panel}))
    (free,), (held,) = ([w.bends for w in f.lines if w.name == "W1"] for f in (loose, one_span_found))
    assert free.answer == "no" and free.M_a_kip_in < held.M_a_kip_in and free.ratio > held.ratio
    assert 1 < free.at_best < free.ratio, "short only by what no bracing could better"


def test_sheet_not_known_is_not_a_pass(shallow):
    panel = shallow.old_panel.model_copy(update={"kind": None})
    found = worked(shallow.model_copy(update={"old_panel": panel}))
    assert found.state == "unknown" and any("old sheet" in n.what for n in found.needs)


def test_a_false_end_of_a_long_line_is_not_judged():
    survey = sr.load(sr.example("quillmark-distribution-hall"))
    found = worked(survey)
    assert found.state == "short" and len(survey.building.bays) > MOST_BAYS
    # the softest bay is the second: bays 1 to 7 are worked, the two next to the false end are not looked at
    assert {w.bends.bay for w in found.lines} <= {1, 2, 3, 4, 5}


def test_water_runs_away_on_a_long_span(barn):
    survey = with_edges(with_bays(barn, 40.0), **INSIDE)
    _, k, _, I, L = line_numbers(survey, 1)
    assert k / 12 * L**4 / (math.pi**4 * E_PSI * I) > 1
    found = worked(survey)
    assert found.state == "short" and any("runs away" in s for s in found.sentences)
    assert found.ponding_head_in["W"] == math.inf


def test_free_running_barn_gathers_nothing(barn):
    found = worked(barn)
    assert found.state == "engineer" and not found.lines and found.ponding_head_in == {"W": 0.0, "E": 0.0}
    assert worked(barn, "7-10").state == "holds"


def test_almost_flat_roof_gathers_behind_the_strut(barn):
    # slope .02 in/ft: W1 falls .10 in to the eave and sinks over half an inch under its dead load on 25 ft
    flat = barn.model_copy(update={"slope_readings": (SlopeGroup(readings=[0.02]),)})
    found = worked(with_bays(flat, 25.0), "7-10")
    (first,) = (w for w in found.lines if w.name == "W1")
    _, _, w, I, L = line_numbers(with_bays(flat, 25.0), 1)
    assert first.level_in == pytest.approx(-0.02 * 4.90 * COS)
    dead = 5 * w / 12 * L**4 / (384 * E_PSI * I)  # simple span, even load
    assert float(first.water.depth_in.max()) > dead + first.level_in > 0
    assert first.water.settles and found.state == "short" and first.past


def test_snow_lying_there_sinks_the_purlin_further(one_span, one_span_found):
    more = worked(one_span, snow_psf=10.0)
    (dry,), (wet,) = ([w for w in f.lines if w.name == "W1"] for f in (one_span_found, more))
    assert wet.head_in > dry.head_in


# What is missing ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edges", "edition", "lacks"),
    [
        ({**INSIDE, "static_head": None}, "7-16", "static head"),
        ({**INSIDE, "hydraulic_head": None}, "7-16", "hydraulic head"),
        ({"drainage": None}, "7-10", "where water leaves"),
        (DRY, None, "edition"),
    ],
)
def test_missing_facts_leave_it_unknown(barn, edges, edition, lacks):
    found = worked(with_edges(with_bays(barn, 25.0), **edges), edition)
    assert found.state == "unknown" and any(lacks in n.what for n in found.needs)
    assert edition is None or not found.ponding_head_in


def test_sections_not_known(one_span):
    purlins = one_span.purlins.model_copy(update={"thickness": ()})
    found = worked(one_span.model_copy(update={"purlins": purlins}))
    assert found.state == "unknown" and not found.C_s and found.comparison is None and found.needs


def test_slope_not_read(barn):
    found = worked(barn.model_copy(update={"slope_readings": ()}), "7-10")
    assert found.state == "unknown" and any(n.what.startswith("slope") for n in found.needs)


# Metal against membrane --------------------------------------------------------------------------------------


def test_metal_against_membrane_on_one_span(barn):
    survey = with_bays(barn, 25.0)  # water runs over the eaves: compared at an inch
    found = worked(survey)
    assert found.compared.startswith("purlin line W4")
    got = found.comparison
    _, k, w, I, L = line_numbers(survey, 4)
    # metal: channels of 3 in ribs keep the water, which grows nothing; membrane, level held: mean depth over an inch
    assert got.channels_hold and got.metal.amplification == 1.0
    _, mean = closed(1.0, k, w, I, L)
    assert got.level_held.amplification == pytest.approx(mean, rel=0.01)
    # 20 psf on 5.02 cos ft, simple span: 5 w L^4 / 384 EI against L/150 and L/180
    d = 5 * (20 * 5.02 * COS / 12) * L**4 / (384 * E_PSI * I)
    rows = {(r.roof, r.limit.over): r for r in got.limits if r.limit.load == "live"}
    assert rows["metal", 150].deflection_in == pytest.approx(d, rel=1e-3)
    assert rows["metal", 150].allowed_in == pytest.approx(2.0) and rows[
        "membrane", 180
    ].allowed_in == pytest.approx(300 / 180)
    assert any("L/150" in s and "L/180" in s for s in found.sentences)


def test_backing_gutter_takes_the_metal_roof_its_credit(one_span_found):
    got = one_span_found.comparison
    assert not got.channels_hold and got.metal.amplification == got.level_held.amplification
    assert any("no better" in s for s in one_span_found.sentences)


# With the rain load ------------------------------------------------------------------------------------------


def test_ponding_head_feeds_the_rain_load_of_7_22(shallow, shallow_found):
    roof = build_roof(shallow, None)
    part = rain(shallow, shallow.recovers[0], roof, "7-22", shallow_found.ponding_head_in)
    head = shallow_found.ponding_head_in["W"]
    assert head == max(w.head_in for w in shallow_found.lines if w.plane == "W") > 0
    assert part.cases[0].patches[0].psf[0] == pytest.approx(5.2 * (5 + head)) and not part.needs


def test_no_rain_load_where_the_purlins_fail_first(one_span, one_span_found):
    roof = build_roof(one_span, None)
    part = rain(one_span, one_span.recovers[0], roof, "7-22", one_span_found.ponding_head_in)
    assert not part.cases and part.needs
