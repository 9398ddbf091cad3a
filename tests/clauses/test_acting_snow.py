"""Snow cases of a whole roof, by hand; the roof and its numbers stand at the head of ``_snow_roof``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from _snow_roof import EVERYTHING, P_A, P_B, area, at, cases, made, total

from secondroof.acting.model import Part
from secondroof.acting.snow import snow
from secondroof.acting.thermal import thermal
from secondroof.checks.render import card_lines_of, symbols_table

# --- balanced, minimum, rain, partial


def test_balanced_before_and_after() -> None:
    part, _, _ = made()
    found = cases(part)
    for key, p in (("snow.balanced.before", P_B), ("snow.balanced.after", P_A)):
        c = found[key]
        assert (c.kind, c.when, c.level, c.per, c.acts) == (
            "S",
            key.rsplit(".", 1)[1],
            "service",
            "plan",
            "vertical",
        )
        assert c.headline_psf == pytest.approx(p)
        assert total(c) == pytest.approx(p * 8000)
        assert f"{p:.1f} psf balanced" in c.sentence
        assert "minimum 20.0 psf" in c.sentence  # I_s x 20, slope 9.46 degrees below 15
    assert {p.plane for p in found["snow.balanced.before"].patches} == {"S", "N"}
    assert any("28.0 psf to 30.8 psf" in n and "7.12" in n for n in part.notes)


def test_minimum_and_rain_are_in_the_balanced_case_only() -> None:
    # p_g 18, C_t 1.0: p_f 12.6; rain 5 where 9.46 degrees < W/50: no, W 40 gives 0.8; minimum I_s p_g = 18 governs
    found = cases(made(ground_rules__ground_snow=18)[0])
    assert found["snow.balanced.before"].headline_psf == pytest.approx(18.0)
    assert found["snow.partial.1.before"].headline_psf == pytest.approx(12.6)
    # runs of 40 at 1/8 in 12 (0.597 degrees < 0.8): 12.6 + 5 = 17.6 beside the minimum of 18
    flat = [{"name": n, "run": 40, "slope": 0.125, "lines": [0, "5 to 40 by 5"]} for n in ("S", "N")]
    part, _, _ = made(ground_rules__ground_snow=18, building__planes=flat)
    c = cases(part)["snow.balanced.before"]
    assert "17.6 psf with rain on snow" in c.sentence and "minimum 18.0 psf" in c.sentence
    assert c.headline_psf == pytest.approx(18.0)
    assert not any("unbalanced" in c.key for c in part.cases)  # below 1/2 in 12
    assert sum("No unbalanced snow" in n for n in part.notes) == 2
    # unheated, p_g 18: 0.7 x 1.2 x 18 = 15.12; with rain 20.12 is above the minimum of 18
    part, _, _ = made(
        ground_rules__ground_snow=18, building__planes=flat, ground_rules__thermal_now="unheated"
    )
    assert cases(part)["snow.balanced.before"].headline_psf == pytest.approx(20.12)


def test_partial_patterns() -> None:
    # four bays: end span full and rest half (2), the reverse (2), every pair (3)
    found = cases(made()[0])
    rows = [found[f"snow.partial.{n}.before"] for n in range(1, 8)]
    assert "snow.partial.8.before" not in found
    assert {r.pattern for r in rows} == {
        (1, 0.5, 0.5, 0.5),
        (0.5, 1, 1, 1),
        (0.5, 0.5, 0.5, 1),
        (1, 1, 1, 0.5),
        (1, 1, 0.5, 0.5),
        (0.5, 1, 1, 0.5),
        (0.5, 0.5, 1, 1),
    }
    assert all(total(r) == pytest.approx(P_B * 8000) for r in rows)  # the share is not in the patches
    # two bays: the pair is the balanced case and the reverse of one end is the other end
    two = cases(made(building__length=50, building__bays=[25, 25])[0])
    assert [c.pattern for k, c in two.items() if "partial" in k and k.endswith("before")] == [
        (1, 0.5),
        (0.5, 1),
    ]
    one = cases(made(building__length=25, building__bays=[25])[0])
    assert not any("partial" in k for k in one)


# --- unbalanced


def test_unbalanced_gable() -> None:
    # l_u 40: h_d = 0.43 x 3.41995 x 2.65915 - 1.5 = 2.41049; S = 6
    # surcharge 19.2 x 2.41049 / sqrt(6) = 18.894 over 8 x 2.41049 x sqrt(6) / 3 = 15.746 from the ridge
    found = cases(made()[0])
    s, n = found["snow.unbalanced.S.before"], found["snow.unbalanced.N.before"]
    assert at(s, 50, 39.9) == pytest.approx(28 + 18.894, abs=0.002)
    assert at(s, 50, 40 - 15.73) == pytest.approx(46.894, abs=0.002)
    assert at(s, 50, 40 - 15.76) == pytest.approx(28.0)
    assert at(s, 50, 41) == pytest.approx(0.3 * 28)
    assert total(s) == pytest.approx(100 * (28 * 40 + 0.3 * 28 * 40 + 18.894 * 15.746), rel=1e-4)
    assert s.headline_psf == pytest.approx(46.894, abs=0.002)
    for x, y in ((10, 5), (50, 30), (90, 39), (50, 60)):  # a symmetric roof has mirrored cases
        assert at(s, x, y) == pytest.approx(at(n, x, 80 - y - 1e-9), abs=1e-6)
    after = found["snow.unbalanced.S.after"]
    assert at(after, 50, 39.9) == pytest.approx(30.8 + 18.894, abs=0.002)  # the drift follows p_g, not C_t


def test_unbalanced_unequal_gable() -> None:
    # S run 30 at 2 in 12, N run 50 at 1.2 in 12. S leeward: fetch is the N run:
    # h_d = 0.43 x 3.68403 x 2.65915 - 1.5 = 2.71247; S = 6: 19.2 x 2.71247 / 2.44949 = 21.261
    # N leeward: fetch 30: 0.43 x 3.10723 x 2.65915 - 1.5 = 2.05293; S = 10: 19.2 x 2.05293 / 3.16228 = 12.465
    planes = [
        {"name": "S", "run": 30, "slope": 2, "lines": [0, "5 to 30 by 5"]},
        {"name": "N", "run": 50, "slope": 1.2, "lines": [0, "5 to 50 by 5"]},
    ]
    found = cases(made(building__planes=planes, building__shape="unequal gable")[0])
    s, n = found["snow.unbalanced.S.before"], found["snow.unbalanced.N.before"]
    assert at(s, 50, 29.9) == pytest.approx(28 + 21.261, abs=0.002)
    assert at(n, 50, 30.1) == pytest.approx(28 + 12.465, abs=0.002)
    assert at(s, 50, 30.1) == pytest.approx(8.4) and at(n, 50, 29.9) == pytest.approx(8.4)
    # extents 8 x 2.71247 x 2.44949 / 3 = 17.718 and 8 x 2.05293 x 3.16228 / 3 = 17.312
    assert at(s, 50, 30 - 17.70) > 40 > at(s, 50, 30 - 17.73)
    assert at(n, 50, 30 + 17.30) > 40 > at(n, 50, 30 + 17.32)
    assert "from memory" in s.assumed


def test_one_slope_has_no_unbalanced_snow() -> None:
    one = [{"name": "S", "run": 80, "slope": 1, "lines": [0, "5 to 80 by 5"]}]
    part, _, _ = made(building__shape="single slope", building__planes=one)
    assert not any("unbalanced" in c.key for c in part.cases)
    assert cases(part)["snow.balanced.before"].headline_psf == pytest.approx(28.0)


# --- thermal factor and slippery roofs


@pytest.mark.parametrize(
    ("rules", "recover", "blanket", "C_t", "words"),
    [
        # 7-10 Table 7-3: heated 1.0; vented over more than R-25 1.1; unheated 1.2
        ({"thermal_now": "heated"}, {"cavity": "sealed"}, {}, 1.0, "sealed"),
        ({"thermal_now": "heated"}, {"cavity": "vented"}, {}, 1.0, "not over 25"),  # R-10 printed
        ({"thermal_now": "heated"}, {"cavity": "vented", "r_value": 19}, {}, 1.1, "cold ventilated"),  # 8 + 19 = 27
        ({"thermal_now": "heated"}, {"cavity": "vented", "r_value": 16}, {}, 1.1, "colder roof"),  # 24 laid, 26 printed
        ({"thermal_now": "heated"}, {"cavity": "vented", "r_value": 15}, {}, 1.0, "not over 25"),  # 25 is not over
        ({"thermal_now": "heated"}, {"cavity": "vented", "r_value": 30}, {"none": True}, 1.1, "cold ventilated"),
        ({"thermal_now": "heated"}, {}, {}, 1.0, "not over 25"),  # vented or not does not matter
        ({"thermal_now": "heated"}, {"r_value": 19}, {}, None, "vented or sealed"),
        ({"thermal_now": "heated"}, {"cavity": "vented"}, {"unknown": True}, None, "R of the old"),
        ({"thermal_now": "unheated"}, {"cavity": "vented", "r_value": 30}, {}, 1.2, "unheated"),
        ({"thermal_now": "just above freezing"}, {"cavity": "sealed"}, {}, 1.1, "stays just above"),
        ({}, {"cavity": "sealed"}, {}, None, "thermal condition"),
        ({}, {"cavity": "sealed"}, {"space": "unheated"}, 1.2, "unheated"),
        ({"thermal_now": "heated", "thermal_after": "unheated"}, {}, {}, 1.2, ""),
    ],
)  # fmt: skip
def test_thermal_factor_with_the_recover(
    rules: dict[str, str], recover: dict[str, Any], blanket: dict[str, Any], C_t: float | None, words: str
) -> None:
    changes: dict[str, Any] = {"ground_rules__thermal_now": rules.get("thermal_now")}
    changes["ground_rules__thermal_after"] = rules.get("thermal_after")
    if "cavity" in recover:
        changes["recovers__0__cavity"] = recover["cavity"]
    if "r_value" in recover:
        changes["recovers__0__insulation"] = {
            "kind": "blanket", "thickness": 6, "weight": 0.3, "r_value": recover["r_value"]
        }  # fmt: skip
    if blanket.get("none"):
        changes["insulation"] = {"where": "none"}
    if blanket.get("unknown"):
        changes["insulation"] = {"where": "draped over purlins"}
    if "space" in blanket:
        changes["insulation__space"] = blanket["space"]
    _, _, survey = made(**changes)
    found = thermal(survey, survey.recovers[0], "7-10", "after")
    assert found.C_t == C_t
    if C_t is None:
        assert found.need is not None and words in found.need.what
    else:
        assert words in found.assumed
        assert (found.assumed == "") == ("thermal_after" in rules)
        assert found.source.assumed == (found.assumed != "")


def test_an_entered_factor_wins_and_is_shown() -> None:
    part, _, _ = made(
        ground_rules__entered_thermal_factor={"now": 1.05, "after": 1.17, "page": "Table 7.3-3, p. 71"}
    )
    found = cases(part)
    assert found["snow.balanced.before"].headline_psf == pytest.approx(28 * 1.05)
    assert found["snow.balanced.after"].headline_psf == pytest.approx(28 * 1.17)
    source = found["snow.balanced.after"].sources["C_t"]
    assert "entered" in source.text and "p. 71" in source.text and not source.assumed


def test_the_slope_lowers_the_snow_only_where_it_is_said_and_allowed() -> None:
    # 6 in 12 = 26.565 degrees; 7-10 warm slippery: (70 - 26.565)/65 = 0.66823; C_t 1.1: (70 - 26.565)/60 = 0.72392
    planes = [{"name": n, "run": 40, "slope": 6, "lines": [0, "5 to 44 by 3"]} for n in ("S", "N")]
    deep = {"where": "draped over purlins", "installed_r": 30}

    def pair(**changes: Any) -> tuple[float, float]:
        found = cases(made(building__planes=planes, **changes)[0])
        return tuple(found[f"snow.partial.1.{w}"].headline_psf for w in ("before", "after"))  # type: ignore[return-value]

    assert pair() == pytest.approx((28.0, 30.8))
    slides = {"ground_rules__snow_slides_off": True, "insulation": deep}
    assert pair(**slides) == pytest.approx((28 * 0.66823, 30.8 * 0.72392), rel=1e-4)
    assert pair(**slides, recovers__0__snow_guards=True) == pytest.approx((28 * 0.66823, 30.8), rel=1e-4)
    assert pair(**{**slides, "insulation": {"installed_r": 8}}) == pytest.approx(
        (28.0, 30.8 * 0.72392), rel=1e-4
    )
    assert pair(**slides, old_panel__coating="acrylic") == pytest.approx((28.0, 30.8 * 0.72392), rel=1e-4)
    assert pair(**slides, edges__parapet_walls=[{"side": "N", "height": 1}]) == pytest.approx((28.0, 30.8))


# --- what is missing


@pytest.mark.parametrize("field", ["ground_snow", "exposure", "roof_exposure", "risk_category"])
def test_a_missing_rule_is_named_and_nothing_is_filled_in(field: str) -> None:
    part, _, _ = made(**{f"ground_rules__{field}": None})
    assert part.cases == () and any(field in n.what for n in part.needs)


def test_no_edition_and_no_snow() -> None:
    part, _, _ = made(None)
    assert part.cases == () and any("edition" in n.what for n in part.needs)
    part, _, _ = made(ground_rules__ground_snow=0)
    assert part == Part(notes=part.notes) and "No snow" in part.notes[0]


def test_today_unknown_still_gives_the_recover() -> None:
    part, _, _ = made(ground_rules__thermal_now=None)
    assert {c.when for c in part.cases} == {"after"}
    assert any("ground_rules.thermal_now" in n.where for n in part.needs)


def test_roofs_near_not_read() -> None:
    part, _, _ = made(building__roofs_near=None)
    assert any("roofs_near" in n.where for n in part.needs)
    part, _, _ = made(building__roofs_near=None, building__roofs_beside="none")
    assert not part.needs


def test_a_size_no_clause_knows_is_asked_for_and_raises_nothing() -> None:
    near = [
        {"what": "tower", "side": "W", "stands": "higher", "step": 90, "gap": 0, "depth": 50},
        {"what": "yard", "side": "S", "stands": "lower", "step": 9, "gap": 0, "depth": 50},
    ]
    _, roof, survey = made(building__roofs_near=near)
    huge = tuple(n.model_copy(update={"step": 900.0}) for n in survey.building.roofs_near)
    building = survey.building.model_copy(update={"roofs_near": huge})
    survey = survey.model_copy(update={"building": building})
    part = snow(survey, survey.recovers[0], roof, "7-10")
    assert {n.what.split(":")[0] for n in part.needs} == {"Drift at tower", "snow at yard"}
    assert not any("drift" in c.key for c in part.cases)
    assert "snow.sliding.yard.before" in cases(part)


# --- 7-22


def test_7_22_is_at_strength_level_with_two_drifts() -> None:
    # unheated 1.2, p_g 63 (strength): p_f 52.92; W_2 0.45; gamma 0.13 x 63 + 14 = 22.19; step 10
    # leeward, l_u 40: 1.5 sqrt(63^0.74 x 40^0.70 x 0.45^1.7 / 22.19) = 1.5 sqrt(21.4542 x 13.2264 x 0.257313 / 22.19)
    # = 2.72095, width 4 h; windward, l_u 100: 0.75 x 1.5 sqrt(21.4542 x 25.1189 x 0.257313 / 22.19) = 2.81229,
    # width 8 h;
    # p_d 22.19 x 2.72095 = 60.378 and 22.19 x 2.81229 = 62.405
    near = [{"what": "hall", "side": "W", "stands": "higher", "step": 10, "gap": 0, "depth": 40}]
    part, _, _ = made(
        "7-22",
        building__roofs_near=near,
        ground_rules__ground_snow=63,
        ground_rules__winter_wind=0.45,
        ground_rules__thermal_now="unheated",
        ground_rules__thermal_after="unheated",
    )
    found = cases(part)
    assert {c.level for c in part.cases} == {"strength"}
    lee, wind = found["snow.drift.hall-leeward.before"], found["snow.drift.hall-windward.before"]
    assert at(lee, 0, 20) == pytest.approx(52.92 + 60.378, abs=0.002)
    assert at(wind, 0, 20) == pytest.approx(52.92 + 62.405, abs=0.002)
    assert total(lee) - 8000 * 52.92 == pytest.approx(0.5 * 60.378 * 4 * 2.72095 * 80, rel=1e-4)
    assert total(wind) - 8000 * 52.92 == pytest.approx(0.5 * 62.405 * 8 * 2.81229 * 80, rel=1e-4)


def test_7_22_asks_for_what_it_does_not_hold() -> None:
    part, _, _ = made("7-22")
    assert {c.when for c in part.cases} == {"after"}  # heated today: the table is not held
    assert any("entered_thermal_factor" in n.where for n in part.needs)
    assert any("ground_rules.winter_wind" in n.where for n in part.needs)
    assert {c.key.split(".")[1] for c in part.cases} == {"balanced", "partial"}


# --- every case


@pytest.mark.parametrize("edition", ["7-05", "7-10", "7-16", "7-22"])
def test_every_case_tiles_the_roof_and_has_its_card(edition: str) -> None:
    rules = (
        {}
        if edition != "7-22"
        else {"ground_rules__winter_wind": 0.4, "ground_rules__thermal_now": "unheated"}
    )
    part, roof, _ = made(edition, **EVERYTHING, **rules)
    assert not part.needs
    found = cases(part)
    assert {k.split(".")[1] for k in found} == {"balanced", "partial", "unbalanced", "drift", "sliding"}
    sides = {p.name: sorted((p.y_eave_ft, p.y_top_ft)) for p in roof.planes}
    for c in part.cases:
        assert "None" not in c.sentence and c.sentence.endswith((".", "used.")) and "psf" in c.sentence
        assert c.checked.startswith(("verified", "from memory"))
        assert c.steps and c.clause.startswith("ASCE 7")
        assert all(line.title for line in card_lines_of(c.steps, sources=c.sources))
        for row in symbols_table(c.steps, c.sources):
            assert row.source and "not known" not in row.source, (c.key, row.name)
        if not c.patches:
            assert c.key.startswith(("snow.sliding.porch", "snow.drift.onto-porch"))
            continue
        assert sum(map(area, c.patches)) == pytest.approx(8000)
        for p in c.patches:
            low, high = sides[p.plane]
            assert 0 <= p.x0_ft < p.x1_ft <= 100 and low <= p.y0_ft < p.y1_ft <= high
            assert min(p.psf) > 0
        for i, p in enumerate(c.patches):
            for q in c.patches[:i]:
                wide = min(p.x1_ft, q.x1_ft) - max(p.x0_ft, q.x0_ft)
                high = min(p.y1_ft, q.y1_ft) - max(p.y0_ft, q.y0_ft)
                assert wide < 1e-6 or high < 1e-6, (c.key, p, q)


def test_same_survey_same_cases() -> None:
    assert [c.key for c in made(**EVERYTHING)[0].cases] == [c.key for c in made(**EVERYTHING)[0].cases]
    names = [
        {"what": "hall", "side": s, "stands": "higher", "step": 9, "gap": 0, "depth": 60} for s in ("W", "E")
    ]
    found = cases(made(building__roofs_near=names)[0])
    west, east = found["snow.drift.hall.before"], found["snow.drift.hall-2.before"]
    for x, y in ((1, 5), (7, 50), (20, 79)):
        assert at(west, x, y) == pytest.approx(at(east, 100 - x - 1e-9, y), abs=1e-6)
