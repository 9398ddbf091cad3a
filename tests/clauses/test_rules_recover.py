"""Is a recover allowed; the separate system read two ways; construction loads; the walk itself."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from secondroof.errors import InputError
from secondroof.rules import CodeFacts, ElementForce, RuleFinding, code_path
from secondroof.rules.allowed import BANNED_COVERINGS, construction_loads_rule, recover_allowed_rule

SOUND = CodeFacts(
    edition=2018,
    layers=1,
    old_covering="metal panel",
    coating="none",
    soaked_share=0.0,
    decayed_base=False,
    separate_system=False,
)
YEARS = (2012, 2015, 2018, 2021, 2024)


def allowed(**changes: Any) -> RuleFinding:
    (found,) = recover_allowed_rule(replace(SOUND, **changes))
    return found


@pytest.mark.parametrize("year", YEARS)
def test_one_sound_layer_is_allowed_in_every_edition(year: int) -> None:
    f = allowed(edition=year)
    assert (f.state, f.asked) == ("holds", "required")


@pytest.mark.parametrize("year", YEARS)
@pytest.mark.parametrize(
    ("changes", "item"),
    [
        ({"layers": 2}, "item 3"),
        ({"decayed_base": True}, "item 1"),
        ({"soaked_share": 0.05}, "item 1"),
        ({"soaked_share": 0.05, "soaked_removed": False}, "item 1"),
        ({"coating": "acrylic", "coating_counts": True}, "item 3"),
        *(({"old_covering": kind}, "item 2") for kind in BANNED_COVERINGS),
    ],
)
def test_the_three_bans(year: int, changes: dict[str, Any], item: str) -> None:
    # IBC 2012 1510.3 seen whole; IEBC 2018 705.3.1.1 item 1 seen, items 2 and 3 by summary
    f = allowed(edition=year, **changes)
    assert f.state == "short"
    assert f.clause.endswith(item)


@pytest.mark.parametrize(
    "changes", [{"layers": 2}, {"decayed_base": True}, {"soaked_share": 0.1}, {"layers": 3}]
)
def test_a_separate_system_over_a_ban_wins_in_2012_and_is_a_question_after(changes: dict[str, Any]) -> None:
    # 2012: printed as an exception to the bans (seen). From 2015 an item of the permitted list (seen 2018)
    f = allowed(edition=2012, separate_system=True, **changes)
    assert (f.state, f.clause) == ("holds", "IBC 2012 1510.3 exception 1")
    for year in YEARS[1:]:
        f = allowed(edition=year, separate_system=True, **changes)
        assert (f.state, f.asked) == ("engineer", "ask the official")
        assert "against" in f.clause


def test_two_bans_are_both_named() -> None:
    f = allowed(layers=2, decayed_base=True)
    assert f.clause == "IEBC 2018 705.3.1.1 item 1, item 3"


def test_soaked_part_taken_out_first() -> None:
    f = allowed(soaked_share=0.07, soaked_removed=True)
    assert f.state == "holds"
    assert "7 percent" in f.sentence
    assert "tear-off" not in f.sentence
    assert "tear-off" in allowed(soaked_share=0.3, soaked_removed=True).sentence


def test_a_coating_is_asked_about_and_the_answer_kept() -> None:
    f = allowed(coating="acrylic")
    assert (f.state, f.asked) == ("engineer", "ask the official")
    assert allowed(coating="acrylic", coating_counts=False).state == "holds"
    assert allowed(coating="acrylic", coating_counts=True).state == "short"


@pytest.mark.parametrize("name", ["layers", "old_covering", "coating", "soaked_share", "decayed_base"])
def test_nothing_missing_passes(name: str) -> None:
    f = allowed(**{name: None})
    assert f.state == "unknown"
    assert f.needs


def test_wood_shake_depends_on_the_hidden_space() -> None:
    assert allowed(old_covering="wood shake").state == "unknown"
    assert "wood shake" in allowed(old_covering="wood shake", layers=None).sentence


def test_a_replacement_is_no_recover() -> None:
    assert allowed(action="replacement", layers=3).asked == "not required"


def test_construction_loads() -> None:
    # IBC 2012 1510.2 (seen): material and equipment loads met during the work
    (f,) = construction_loads_rule(replace(SOUND, edition=2012))
    assert (f.state, f.clause, f.clause_checked) == ("unknown", "IBC 2012 1510.2", "seen")
    assert f.needs
    assert construction_loads_rule(replace(SOUND, construction_loads_shown=True))[0].state == "holds"
    assert construction_loads_rule(replace(SOUND, construction_loads_shown=False))[0].state == "short"


def test_nothing_known_passes_nothing() -> None:
    for f in code_path(CodeFacts()):
        assert f.state != "holds", f.key
        assert f.sentence
        assert f.needs or f.key == "method", f.key


def test_the_walk_keeps_its_order_and_repeats_itself() -> None:
    first, again = code_path(SOUND), code_path(SOUND)
    assert first == again
    heads = [f.key.split(".")[0] for f in first]
    order = list(dict.fromkeys(heads))
    assert order == [
        "edition", "method", "recover", "construction_loads", "gravity", "snow", "wind", "diaphragm", "energy", "fire",
        "slope", "drainage", "seismic", "insurer", "coastal_certificate", "asbestos",
    ]  # fmt: skip


@pytest.mark.parametrize("year", [None, *YEARS])
@pytest.mark.parametrize("method", [None, "level 1", "level 2", "prescriptive"])
def test_every_finding_is_complete(year: int | None, method: Any) -> None:
    for f in code_path(CodeFacts(edition=year, method=method)):
        assert f.state in ("holds", "short", "unknown", "engineer")
        assert f.asked in ("required", "not required", "ask the official")
        assert f.whose in ("new", "made worse", "was so")
        assert f.clause_checked in ("seen", "summary", "from memory")
        assert f.clause and f.subject and f.sentence.endswith(".")
        assert "!" not in f.sentence
        assert all(n.what and n.where and n.decides for n in f.needs)


def test_without_an_edition_editions_that_agree_answer_and_others_stay_open() -> None:
    found = {f.key: f for f in code_path(replace(SOUND, edition=None, share_removed=0.0))}
    assert found["recover.allowed"].state == "holds"
    assert any("edition" in n.what for n in found["recover.allowed"].needs)
    assert found["diaphragm.reroof"].state == "holds"
    two = {f.key: f for f in code_path(replace(SOUND, edition=None, layers=2, separate_system=True))}
    assert two["recover.allowed"].state == "unknown"
    assert "2012 required, holds" in two["recover.allowed"].sentence
    # 120 mph lies between the limits of 2018 (115) and 2021 (130)
    windy = replace(SOUND, edition=None, share_removed=0.6, V_mph=120.0, special_wind_region=False)
    assert {f.key: f for f in code_path(windy)}["diaphragm.reroof"].state == "unknown"


def test_bad_facts_are_told_all_at_once() -> None:
    with pytest.raises(InputError) as caught:
        CodeFacts(
            edition=2016,
            old_covering="Slate",  # type: ignore[arg-type]
            share_removed=60,
            added_dead_psf=1.0,
            added_covering_psf=1.5,
            V_mph=-1,
            seismic_design_category="d",
            elements=(ElementForce("purlin", 0.0, 1.0), ElementForce("strut", 10.0, 11.0, dead_before=2.0)),
        )
    fields_named = [p.field for p in caught.value.problems]
    for name in (
        "edition",
        "old_covering",
        "share_removed",
        "added_covering_psf",
        "V_mph",
        "seismic_design_category",
    ):
        assert name in fields_named
    assert any(n.startswith("elements[0]") for n in fields_named)
    assert any(n.startswith("elements[1]") for n in fields_named)
    assert all(p.mend for p in caught.value.problems)


def test_not_a_number_is_refused() -> None:
    with pytest.raises(InputError, match="finite"):
        CodeFacts(V_mph=float("nan"))


def test_every_fact_is_described() -> None:
    doc = CodeFacts.__doc__ or ""
    assert [f.name for f in fields(CodeFacts) if f.name not in doc] == []
