"""Wind joined to a roof: line loads on purlins, frames, old against new, what a person enters.

Hand calculations stand in the comments. All coefficients entered here are invented.
"""

from __future__ import annotations

import functools
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from _wind_roofs import BARN, PAGE, RECTANGLES, cases, context, monoslope, survey_of, with_rules

import secondroof as sr
from secondroof.acting.wind import topographic, uplift_combination
from secondroof.acting.wind_lines import purlin_wind, wind_cases
from secondroof.checks.render import card_lines_of, symbols_table
from secondroof.errors import InputError
from secondroof.findings.context import Context, gather
from secondroof.findings.geometry import build_roof
from secondroof.findings.model import Findings
from secondroof.roof.strips import strips
from secondroof.survey.ground import Hill

# The combination ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edition", "ASD", "LRFD"),
    [
        ("7-05", "0.6D + W", "0.9D + 1.6W"),  # from memory: ASCE 7-05 2.4.1, 2.3.2
        ("7-10", "0.6D + 0.6W", "0.9D + 1.0W"),  # ASCE 7-10 2.4.1 no. 7, 2.3.2 no. 6
        ("7-16", "0.6D + 0.6W", "0.9D + 1.0W"),  # from memory: as 7-10
        ("7-22", "0.6D + 0.6W", "0.9D + 1.0W"),  # from memory: as 7-10
    ],
)
def test_uplift_combination(edition: str, ASD: str, LRFD: str) -> None:
    found = uplift_combination(edition)
    assert (found.ASD, found.LRFD) == (ASD, LRFD)
    assert (found.dead_ASD, found.dead_LRFD) == (0.6, 0.9)


def test_every_uplift_check_says_its_combination() -> None:
    f = sr.check(sr.load(sr.example(BARN)))
    rows = [x for x in f.checks if x.id[0] in "PH" and x.key not in ("shear", "lines")]
    assert rows
    assert all(x.basis.startswith("0.6D + 0.6W of ASCE 7-16") for x in rows)
    assert not any("0.6W" in x.basis for x in f.checks if x.key == "shear")


# Line loads -----------------------------------------------------------------------------------------------------


def test_barn_purlin_in_zone_3_by_hand() -> None:
    # h (14 + 17.3)/2 = 15.65; K_z 2.01 (15.65/900)^(2/9.5) = 0.8565; q 0.00256 x 0.8565 x 0.85 x 112^2 = 23.38 psf.
    # A 25 x 25/3 = 208.3 ft2; GCp -3.2 + 1.8 log(20.83)/log(50) = -1.803 (7-16 figure, from memory);
    # p 23.38 x (-1.803 - 0.18) = -46.36 psf; line W1: (4.90 + 4.98)/2 = 4.94 ft: 229.0 lb/ft up
    c = context(BARN)
    assert c.wind is not None
    found = purlin_wind(c.wind, c.roof, c.strips)
    row = (found.plane == "W") & (found.line == 1) & (found.x0_ft == 0.0)
    assert found.share[row][0, found.names.index("3")] == pytest.approx(1.0)
    assert found.area_ft2[row] == pytest.approx(625 / 3)
    assert found.p_up_psf[row] == pytest.approx(-46.36, abs=0.01)
    assert found.w_up_lb_ft[row] == pytest.approx(-229.0, abs=0.1)
    # toward the roof: 23.38 x (0.2 + 0.18) = 8.9, so the minimum of 16 psf (7-16 30.2.2) governs: 79.0 lb/ft
    assert found.w_down_lb_ft[row] == pytest.approx(16 * 4.94, abs=0.01)
    assert (found.level, found.asd_factor) == ("strength", 0.6)


def test_coast_purlin_in_zone_3() -> None:
    # the veteran's notes of the invented coast job: 25 x 25/3 = 208 ft2, about 77 psf and 385 lb/ft at 5 ft (ASD)
    c = context("port-averill-net-store")
    assert c.wind is not None
    found = purlin_wind(c.wind, c.roof, c.strips)
    three = found.share[:, found.names.index("3")] > 0.999
    wide = three & (np.abs(found.width_ft - 5.0) < 1e-9)
    assert wide.any()
    assert found.area_ft2[wide] == pytest.approx(208, abs=0.5)
    assert 0.6 * found.p_up_psf[wide] == pytest.approx(-77, abs=0.5)
    assert 0.6 * found.w_up_lb_ft[wide] == pytest.approx(-385, abs=1.0)
    assert "77.0 psf and 385 lb/ft" in cases(c)["wind.up"].sentence


def test_cases_are_the_columns() -> None:
    c = context(BARN)
    assert c.wind is not None
    both = cases(c)
    found = purlin_wind(c.wind, c.roof, c.strips)
    for key, kind, w in (("wind.up", "W_up", found.w_up_lb_ft), ("wind.down", "W_down", found.w_down_lb_ft)):
        case = both[key]
        assert (case.kind, case.acts, case.when, case.level) == (kind, "normal", "both", "strength")
        assert [a.w0 for a in case.along] == list(w)
        assert all(a.w0 == a.w1 and not a.is_point for a in case.along)
    assert max(a.w0 for a in both["wind.up"].along) < 0 < min(a.w0 for a in both["wind.down"].along)


def test_lines_are_covered_once_and_parted_at_frames() -> None:
    c = context(BARN)
    assert c.wind is not None
    found = purlin_wind(c.wind, c.roof, c.strips)
    assert found.share.sum(axis=1) == pytest.approx(1.0)
    frame = np.asarray(c.roof.frames_ft)
    assert np.all(found.x0_ft >= frame[found.bay - 1] - 1e-9) and np.all(
        found.x1_ft <= frame[found.bay] + 1e-9
    )
    for line in c.roof.lines:
        here = (found.plane == line.plane) & (found.line == line.index)
        assert float(np.sum((found.x1_ft - found.x0_ft)[here])) == pytest.approx(c.roof.length_ft)
        assert found.x0_ft[here][1:] == pytest.approx(found.x1_ft[here][:-1])


RANDOM = np.random.default_rng(3)
ROOFS = [
    (edition, int(RANDOM.integers(2, 7)), *(float(round(v, 2)) for v in RANDOM.uniform([20, 25, 12], [30, 90, 24])))
    for edition in ("7-05", "7-10", "7-16", "7-22")
    for _ in range(2)
]  # fmt: skip


def plain_roof(edition: str, n_bays: int, bay: float, run: float, eave: float) -> Context:
    """A gable of even bays and lines 1/22 of the run apart, 1/2 in 12."""

    def change(d: Any) -> None:
        rise = run * 0.5 / 12
        at = [round(float(s), 6) for s in np.linspace(0.0, run * np.hypot(1, 0.5 / 12), 23)[:-1]]
        b = d["building"]
        b.update(length=n_bays * bay, width=2 * run, bays=[bay] * n_bays)
        b.update(eave_height=eave, ridge_height=eave + rise, outline_readings=[])
        for plane in b["planes"]:
            plane.update(run=run, slope="1/2:12", lines=list(at))
        d["ground_rules"]["wind_edition"] = edition
        d["edges"].pop("overhang", None)
        for key in ("standoff", "roof_items", "hung_loads", "slope_readings"):
            d.pop(key, None)
        d["purlins"].pop("thickness", None)
        d["recovers"][0].pop("bundle", None)

    survey = survey_of(change)
    return gather(survey, survey.recovers[0])


@pytest.mark.parametrize(("edition", "n_bays", "bay", "run", "eave"), ROOFS)
def test_line_loads_add_to_zone_areas_times_pressures(
    edition: str, n_bays: int, bay: float, run: float, eave: float
) -> None:
    """At one effective area (a third of equal bays wins) nothing of the roof is lost or counted twice."""
    c = plain_roof(edition, n_bays, bay, run, eave)
    assert c.wind is not None
    found = purlin_wind(c.wind, c.roof, c.strips)
    area = bay * bay / 3
    assert found.area_ft2 == pytest.approx(area)
    p = c.wind.pressures(np.array(found.names), np.full(len(found.names), area))
    cos = np.cos(np.radians(c.roof.planes[0].slope_deg))
    zone_area = np.array([shape.area for shape in c.roof.zones.values()]) / cos
    length = found.x1_ft - found.x0_ft
    assert float(np.sum(found.w_up_lb_ft * length)) == pytest.approx(
        float(np.sum(zone_area * p.p_uplift_psf)), rel=1e-6
    )
    assert float(np.sum(found.w_down_lb_ft * length)) == pytest.approx(
        float(np.sum(zone_area * p.p_down_psf)), rel=1e-6
    )


@pytest.mark.parametrize(("edition", "n_bays", "bay", "run", "eave"), ROOFS[::3])
def test_symmetric_roof_symmetric_loads(
    edition: str, n_bays: int, bay: float, run: float, eave: float
) -> None:
    c = plain_roof(edition, n_bays, bay, run, eave)
    assert c.wind is not None
    found = purlin_wind(c.wind, c.roof, c.strips)
    long = c.roof.length_ft

    def table(plane: str, mirrored: bool) -> list[tuple[float, ...]]:
        rows = []
        for k in np.flatnonzero(found.plane == plane):
            a, b = float(found.x0_ft[k]), float(found.x1_ft[k])
            a, b = (long - b, long - a) if mirrored else (a, b)
            rows.append(
                (float(found.line[k]), a, b, float(found.w_up_lb_ft[k]), float(found.w_down_lb_ft[k]))
            )
        return sorted(rows)

    first = np.array(table("W", False))
    for other in (table("E", False), table("W", True)):
        assert first == pytest.approx(np.array(other), abs=1e-6)


def test_pressure_at_the_level_of_the_edition() -> None:
    service = cases(with_rules(context(BARN), wind_edition="7-05", wind_speed=90.0))["wind.up"]
    assert service.level == "service"
    assert "0.6D + W (ASD)" in service.sentence
    assert "allowable level" not in service.sentence  # it stands there already


def test_wide_purlins_may_take_frame_wind() -> None:
    c = context(BARN)
    wide = replace(c.strips, width_ft=np.full(c.strips.width_ft.shape, 30.0))
    notes = wind_cases(c.survey, c.recover, c.roof, c.edition, c.wind, wide).notes
    assert any("main-frame wind" in n for n in notes)
    as_built = wind_cases(c.survey, c.recover, c.roof, c.edition, c.wind, c.strips).notes
    assert not any("main-frame wind" in n for n in as_built)


def test_without_wind_a_need_and_no_case() -> None:
    c = with_rules(context(BARN), wind_speed=None)
    part = wind_cases(c.survey, c.recover, c.roof, c.edition, c.wind, c.strips)
    assert part.cases == ()
    assert "the basic wind speed V" in part.needs[0].what
    no_edition = wind_cases(c.survey, c.recover, c.roof, None, None, c.strips)
    assert "edition" in no_edition.needs[0].what


@pytest.mark.parametrize("name", [BARN, "port-averill-net-store"])
def test_cards_print_and_every_symbol_has_its_source(name: str) -> None:
    for case in cases(context(name)).values():
        assert card_lines_of(case.steps, sources=case.sources)
        rows = symbols_table(case.steps, case.sources)
        assert rows
        assert not [r.name for r in rows if "not stated" in r.source]
        assert case.checked.startswith("zone ")
        assert case.steps[-1].symbol == "w"
        worst = max(abs(a.w0) for a in case.along)
        assert abs(float(case.steps[-1].result)) <= worst + 1e-9


def test_card_of_a_line_over_two_zones_prints() -> None:
    c = context(BARN)
    assert c.wind is not None
    from secondroof.acting import wind_lines

    found = purlin_wind(c.wind, c.roof, c.strips)
    i = int(np.flatnonzero((found.share > 1e-6).sum(axis=1) > 1)[0])
    steps, sources, checked = wind_lines._card(c.survey, c.wind, found, i, True, "", False)
    assert card_lines_of(steps, sources=sources)
    assert float(steps[-1].result) == pytest.approx(float(found.w_up_lb_ft[i]), rel=1e-12)
    assert checked.count("zone ") >= 2


# The hill -------------------------------------------------------------------------------------------------------

RIDGE = Hill(shape="ridge", height=100, half_length=400, from_crest=0, downwind=True, source="invented map")
# ASCE 7-05 Fig. 6-4 (multipliers verified against a public code that copies it): ridge, exposure C
# K_1 = 1.45 x 100/400 = 0.3625; K_2 = 1 at the crest; K_3 = exp(-3 x 15.65/400) = 0.88925
RIDGE_K_ZT = (1 + 0.3625 * 0.88925) ** 2


def test_hill_gives_the_topographic_factor() -> None:
    flat = context(BARN)
    c = with_rules(flat, topographic_factor=None, hill=RIDGE)
    assert c.wind is not None
    assert flat.wind is not None
    assert c.wind.K_zt == pytest.approx(RIDGE_K_ZT, rel=1e-4)
    here, there = (np.asarray(w.pressures("3", 10.0).p_uplift_psf) for w in (c.wind, flat.wind))
    assert here == pytest.approx(c.wind.K_zt * there)
    up = cases(c)["wind.up"]
    assert [s.symbol for s in up.steps[:4]] == ["K_1", "K_2", "K_3", "K_zt"]
    assert not [r.name for r in symbols_table(up.steps, up.sources) if "not stated" in r.source]


def test_hill_stands_on_the_load_cards() -> None:
    survey = context(BARN).survey
    ground = survey.ground_rules.model_copy(update={"topographic_factor": None, "hill": RIDGE})
    load = sr.check(survey.model_copy(update={"ground_rules": ground})).loads[0]
    assert load.steps[0].symbol == "K_1"
    assert "invented map" in load.sources["K_zt"].text


def test_low_hill_counts_nothing() -> None:
    low = RIDGE.model_copy(update={"height": 50.0})  # 50/400 = 0.125 below 0.2 (26.8.1, from memory)
    rules = context(BARN).survey.ground_rules.model_copy(update={"topographic_factor": None, "hill": low})
    found = topographic(rules, 15.65)
    assert found is not None
    assert found.K_zt == 1.0
    assert "too low or too flat" in found.source


def test_factor_given_and_hill_that_differ() -> None:
    c = with_rules(context(BARN), hill=RIDGE)  # the barn has 1.0 given
    assert c.wind is not None
    assert c.wind.K_zt == 1.0
    up = cases(c)["wind.up"]
    assert up.sources["K_zt"].assumed
    part = wind_cases(c.survey, c.recover, c.roof, c.edition, c.wind, c.strips)
    assert any("1 as given is used" in n and f"{RIDGE_K_ZT:.2f}" in n for n in part.notes)
    same = with_rules(context(BARN), topographic_factor=round(RIDGE_K_ZT, 3), hill=RIDGE)
    assert same.wind is not None
    assert not any("Topographic" in n or "as given is used" in n for n in same.wind.notes)


# Zones and coefficients a person enters -------------------------------------------------------------------------

#: Invented points; p(zone 3, 10 ft2) in 7-22: q_h K_d (GCp - GCpi).
POINTS = {
    "1": ([[10, -1.5], [300, -0.8]], [[10, 0.5], [300, 0.3]]),
    "2": ([[10, -2.3], [300, -1.2]], [[10, 0.5], [300, 0.3]]),
    "3": ([[10, -3.1], [300, -1.6]], [[10, 0.5], [300, 0.3]]),
}


def twelve_degrees(d: Any, zones: bool = True, coefficients: bool = True) -> None:
    b = d["building"]
    for plane in b["planes"]:
        plane["slope"] = "2.55:12"  # 12.0 degrees
    b["ridge_height"] = 22.5
    d.pop("slope_readings")
    rules = d["ground_rules"]
    rules["wind_edition"] = "7-22"
    if zones:
        rules["entered_zones"] = [{"zone": z, "rectangles": r, "page": PAGE} for z, r in RECTANGLES.items()]
    if coefficients:
        rules["entered_coefficients"] = [
            {"zone": z, "uplift": up, "downward": down, "page": PAGE, "by": "A. Reader"}
            for z, (up, down) in POINTS.items()
        ]


def test_figure_not_held_says_where_to_type_both() -> None:
    f = sr.check(survey_of(lambda d: twelve_degrees(d, False, False)))
    assert f.verdict.new_work.state == "unknown"
    text = " ".join(n.what for n in f.missing)
    assert "ground_rules.entered_zones" in text and "ground_rules.entered_coefficients" in text
    only_zones = sr.check(survey_of(lambda d: twelve_degrees(d, True, False)))
    assert only_zones.verdict.new_work.state == "unknown"
    assert any("ground_rules.entered_coefficients" in n.what for n in only_zones.missing)


@functools.cache
def entered_findings() -> Findings:
    return sr.check(survey_of(twelve_degrees))


def test_entered_roof_runs_to_the_end() -> None:
    f = entered_findings()
    assert list(f.roof.zones) == ["3", "2", "1"]  # worst first
    assert sum(s.area for s in f.roof.zones.values()) == pytest.approx(8000.0)
    # h 18.25; 7-22 exposure C: K_z 2.41 (18.25/2460)^(2/9.8) = 0.8859 (constants from memory);
    # q_h 0.00256 x 0.8859 x 112^2 = 28.45; zone 3 at 10 ft2: 28.45 x 0.85 x (-3.1 - 0.18) = -79.3; x 0.6 = -47.6 psf
    clip = next(z for z in f.zones if z.zone == "3" and z.component == "clip")
    assert clip.effective_area_ft2 == pytest.approx(10.0, rel=0.02)
    assert clip.uplift_psf_asd == pytest.approx(-47.6, abs=0.05)
    assert {c.state for c in f.checks if c.key == "pull-out"} == {"holds"}


def test_entered_coefficients_are_shown_with_their_page() -> None:
    f = entered_findings()
    assert all(z.entered == f"entered by A. Reader, {PAGE}" for z in f.zones)
    assert sr.findings_json(f)["zones"][0]["entered"].endswith(PAGE)
    for load in f.loads:
        assert load.unconfirmed
        assert PAGE in load.sentence and PAGE in load.sources["GCp"].text
    assert all(not z.entered for z in sr.check(sr.load(sr.example(BARN))).zones)


def test_entered_roof_has_line_loads() -> None:
    survey = survey_of(twelve_degrees)
    c = gather(survey, survey.recovers[0])
    up = cases(c)["wind.up"]
    assert PAGE in up.checked
    part = wind_cases(c.survey, c.recover, c.roof, c.edition, c.wind, c.strips)
    assert any("Wind zones are as entered" in n for n in part.notes)


@pytest.mark.parametrize(
    ("rectangle", "words"),
    [((8, 8, 92, 70), "168.00 ft2 of the roof uncovered"), ((8, 8, 92, 90), "overlap by 672.00")],
)
def test_entered_zones_that_do_not_meet_are_refused(rectangle: Any, words: str) -> None:
    # 84 x 2 = 168 ft2 left bare; 84 x 8 = 672 ft2 of zone 2 covered twice, and 84 x 10 = 840 ft2 beyond the roof
    survey = survey_of(twelve_degrees)
    inner = survey.ground_rules.entered_zones[2].model_copy(update={"rectangles": (rectangle,)})
    zones = (*survey.ground_rules.entered_zones[:2], inner)
    ground = survey.ground_rules.model_copy(update={"entered_zones": zones})
    with pytest.raises(InputError, match=words) as caught:
        build_roof(survey.model_copy(update={"ground_rules": ground}), "7-22")
    assert caught.value.problems[0].field == "ground_rules.entered_zones"
    if "overlap" in words:
        assert "840.00 ft2 beyond the roof" in str(caught.value)


def test_a_zone_name_written_wrong_is_not_left_unused() -> None:
    def change(d: Any) -> None:
        twelve_degrees(d)
        d["ground_rules"]["entered_coefficients"][0]["zone"] = "1x"

    f = sr.check(survey_of(change))
    assert f.verdict.new_work.state == "unknown"
    assert any("1x" in n.what for n in f.missing)


def test_monoslope_needs_zones_only_where_coefficients_are_held() -> None:
    f = sr.check(survey_of(lambda d: monoslope(d, "7-16")))
    assert f.zones
    assert all(not z.entered for z in f.zones)


def test_monoslope_without_any_figure_runs_on_what_is_entered() -> None:
    def change(d: Any) -> None:
        monoslope(d, "7-22")
        d["ground_rules"]["entered_coefficients"] = [
            {"zone": z, "uplift": up, "downward": down, "page": PAGE} for z, (up, down) in POINTS.items()
        ]

    f = sr.check(survey_of(change))
    assert f.zones
    assert PAGE in f.loads[0].sources["GCp"].text
    lacking = sr.check(survey_of(lambda d: monoslope(d, "7-22")))
    assert lacking.zones == ()
    assert any("ground_rules.entered_coefficients" in n.what for n in lacking.missing)


# A parapet, both ways -------------------------------------------------------------------------------------------


def test_parapet_relief_is_shown_both_ways() -> None:
    f = sr.check(survey_of(lambda d: d["edges"].update(parapet_all_round="3 ft")))
    row = next(c for c in f.checks if c.key == "pull-out" and c.zone == "3")
    other = next(w for w in row.both_ways if "parapet" in w.label)
    assert other.ratio is not None and row.ratio is not None
    plain = sr.check(sr.load(sr.example(BARN)))
    bare = next(c for c in plain.checks if c.key == "pull-out" and c.zone == "3" and c.line == row.line)
    assert other.ratio == pytest.approx(bare.ratio)
    assert other.ratio > row.ratio
    inner = next(c for c in f.checks if c.key == "pull-out" and c.zone == "1'")
    assert not any("parapet" in w.label for w in inner.both_ways)


def test_strips_without_tags_give_the_same_loads() -> None:
    c = context(BARN)
    assert c.wind is not None
    a, b = (purlin_wind(c.wind, c.roof, s) for s in (c.strips, strips(c.roof)))
    for found in (a, b):
        assert float(np.sum(found.w_up_lb_ft * (found.x1_ft - found.x0_ft))) == pytest.approx(
            float(np.sum(a.w_up_lb_ft * (a.x1_ft - a.x0_ft)))
        )
