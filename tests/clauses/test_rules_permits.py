"""What a reroof permit sets off: diaphragm, old sheet, parapets, lateral, wind on the new covering."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from secondroof.rules import CodeFacts, RuleFinding
from secondroof.rules.permits import (
    diaphragm_rule,
    diaphragm_speed,
    lateral_rule,
    new_cover_wind_rule,
    old_purlin_wind_rule,
    old_sheet_rule,
    parapet_rule,
    strengthen_to,
)

STRIPPED = CodeFacts(
    edition=2018, method="level 1", share_removed=0.6, V_mph=120.0, special_wind_region=False
)


def diaphragm(**changes: Any) -> RuleFinding:
    (found,) = diaphragm_rule(replace(STRIPPED, **changes))
    return found


@pytest.mark.parametrize(
    ("year", "speed", "asked"),
    [
        # over 115 mph to 2018 (summary of 2015), over 130 from 2021 (from memory); the limit itself is not over
        (2012, 115.1, "required"),
        (2015, 116.0, "required"),
        (2018, 115.0, "not required"),
        (2021, 130.0, "not required"),
        (2021, 130.1, "required"),
        (2024, 120.0, "not required"),
    ],
)
def test_speed_limits(year: int, speed: float, asked: str) -> None:
    assert diaphragm(edition=year, V_mph=speed).asked == asked


def test_speed_by_edition() -> None:
    assert [diaphragm_speed(y) for y in (2012, 2015, 2018, 2021, 2024)] == [115, 115, 115, 130, 130]


def test_a_special_wind_region_sets_it_off_at_any_speed() -> None:
    assert diaphragm(V_mph=90.0, special_wind_region=True).asked == "required"
    assert diaphragm(V_mph=None, special_wind_region=True).asked == "required"


def test_recover_that_removes_nothing_needs_no_speed() -> None:
    f = diaphragm(share_removed=0.0, V_mph=None, special_wind_region=None)
    assert (f.state, f.asked) == ("holds", "not required")
    assert diaphragm(share_removed=0.5).asked == "not required"


def test_missing_facts_keep_it_open() -> None:
    for changes in ({"share_removed": None}, {"V_mph": None}, {"V_mph": 100.0, "special_wind_region": None}):
        f = diaphragm(**changes)
        assert (f.state, f.asked) == ("unknown", "ask the official")
        assert f.needs
    # slow wind and no special region: not set off, whatever comes off
    assert diaphragm(share_removed=None, V_mph=100.0).asked == "not required"


def test_exception_for_asce_7_88_from_2021() -> None:
    # from memory; text of a state proposal seen
    assert diaphragm(edition=2021, V_mph=140.0, designed_to_asce7_88=True).asked == "not required"
    assert diaphragm(edition=2018, V_mph=140.0, designed_to_asce7_88=True).asked == "required"
    assert diaphragm(edition=2021, V_mph=140.0).needs


def test_seventy_five_percent_kept_below_it_full_loads() -> None:
    # two summaries of the 2015 text
    assert diaphragm().state == "engineer"
    assert diaphragm(diaphragm_capacity_share=0.75).state == "holds"
    f = diaphragm(diaphragm_capacity_share=0.749)
    assert f.state == "short"
    assert f.numbers["strengthen to share of new-building wind"] == (1.0, "-")
    assert (strengthen_to(0.7), strengthen_to(0.75)) == (1.0, 0.0)


def test_prescriptive_method() -> None:
    # the clause entered this method in 2015 (summary)
    assert diaphragm(edition=2012, method="prescriptive").asked == "not required"
    assert diaphragm(edition=2015, method="prescriptive").clause == "IEBC 2015 403.8"
    assert diaphragm(edition=2018, method="prescriptive").clause == "IEBC 2018 503.12"
    assert diaphragm(edition=2012, method="level 1").asked == "required"


def test_old_sheet_stays_whole() -> None:
    facts = CodeFacts(edition=2018)
    assert old_sheet_rule(facts)[0].state == "unknown"
    assert old_sheet_rule(replace(facts, strips_cut=True, old_sheet_is_diaphragm="no"))[0].state == "engineer"
    assert old_sheet_rule(replace(facts, strips_cut=False))[0].state == "unknown"
    for yes_no in ("yes", "no"):
        f = old_sheet_rule(replace(facts, strips_cut=False, old_sheet_is_diaphragm=yes_no))[0]  # type: ignore[arg-type]
        assert f.state == "holds"


@pytest.mark.parametrize("category", ["D", "E", "F"])
def test_parapets_need_all_three(category: str) -> None:
    # IEBC 2018 706.3.1 (seen): more than 25 percent, category D to F, unreinforced masonry
    facts = CodeFacts(edition=2018, seismic_design_category=category, share_reroofed=1.0, urm_parapets=True)
    assert (parapet_rule(facts)[0].state, parapet_rule(facts)[0].asked) == ("engineer", "required")
    for changes in ({"share_reroofed": 0.25}, {"seismic_design_category": "C"}, {"urm_parapets": False}):
        assert parapet_rule(replace(facts, **changes))[0].asked == "not required"  # type: ignore[arg-type]
    for name in ("share_reroofed", "seismic_design_category", "urm_parapets"):
        (f,) = parapet_rule(replace(facts, **{name: None}))  # type: ignore[arg-type]
        assert (f.state, len(f.needs)) == ("unknown", 1)


def test_one_known_no_settles_the_parapets() -> None:
    assert parapet_rule(CodeFacts(edition=2018, urm_parapets=False))[0].state == "holds"


def test_lateral_depends_on_the_method() -> None:
    facts = CodeFacts(edition=2018, method="prescriptive", lateral_dcr_increase_pct=10.0)
    assert lateral_rule(facts)[0].asked == "not required"
    assert lateral_rule(replace(facts, lateral_dcr_increase_pct=10.1))[0].asked == "required"
    assert lateral_rule(replace(facts, lateral_dcr_increase_pct=None))[0].state == "unknown"
    assert (
        lateral_rule(replace(facts, method="level 1", lateral_dcr_increase_pct=None))[0].asked
        == "not required"
    )
    assert lateral_rule(replace(facts, method="level 2", lateral_dcr_increase_pct=12.0))[0].clause.startswith(
        "IEBC 2018 805.3"
    )
    (f,) = lateral_rule(replace(facts, method=None, lateral_dcr_increase_pct=None))
    assert (f.state, f.asked) == ("unknown", "ask the official")


def test_rise_of_seismic_weight_is_printed() -> None:
    # facts sheet A5: 2 psf on an 8 psf building is 25 percent
    facts = CodeFacts(edition=2018, method="level 1", seismic_weight_psf=8.0, added_dead_psf=2.0)
    (f,) = lateral_rule(facts)
    assert f.numbers["increase"][0] == pytest.approx(25.0)
    assert "+25 percent" in f.sentence


def test_wind_on_the_new_covering_is_always_required() -> None:
    for shown, state in ((None, "unknown"), (True, "holds"), (False, "short")):
        (f,) = new_cover_wind_rule(CodeFacts(edition=2018, new_cover_wind_shown=shown))
        assert (f.state, f.asked, f.whose) == (state, "required", "new")
    assert "ASCE 7-16" in f.clause and "1504.3.2" in f.clause


def test_old_purlins_in_uplift_are_not_asked_and_are_told() -> None:
    (f,) = old_purlin_wind_rule(CodeFacts(edition=2018, share_removed=0.0))
    assert (f.state, f.asked, f.whose) == ("engineer", "not required", "was so")
    assert old_purlin_wind_rule(CodeFacts(edition=2018))[0].state == "unknown"
    assert old_purlin_wind_rule(CodeFacts(edition=2018, share_removed=0.6))[0].asked == "ask the official"
