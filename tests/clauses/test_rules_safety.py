"""Cautions by reader and roof; nothing that was not looked for becomes safe."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args

import pytest

from secondroof.errors import InputError
from secondroof.rules import CautionFacts, all_cautions, cautions, edge_means, hole_protection
from secondroof.rules.safety import WARNING_LINE, Audience, caution_keys

SAFE = CautionFacts(
    skylights=False,
    skylights_painted_over=False,
    width_ft=40.0,
    slope_in12=1.0,
    soft_sheet=False,
    power_lines=False,
    asbestos_suspect=False,
    wet_bagging=False,
    sheet_opened=False,
    hot_work=False,
    lead_paint=False,
)


def keys(audience: Any, **changes: Any) -> set[str]:
    return {c.key for c in cautions(audience, replace(SAFE, **changes))}


def test_records_are_whole() -> None:
    found = all_cautions()
    assert len({c.key for c in found}) == len(found)
    for c in found:
        assert c.audience and set(c.audience) <= set(get_args(Audience))
        assert c.when in caution_keys()
        assert c.text.endswith(".") and "!" not in c.text
        assert any(w in c.checked for w in ("seen", "summary", "from memory", "common practice, no source"))
        assert c.clause or "common practice" in c.checked


@pytest.mark.parametrize("audience", get_args(Audience))
def test_every_reader_gets_cautions(audience: Any) -> None:
    assert cautions(audience, SAFE)


@pytest.mark.parametrize(
    ("fact", "value", "key"),
    [
        ("skylights", True, "skylights"),
        ("skylights_painted_over", True, "skylights_painted"),
        ("width_ft", 50.1, "monitor_width"),
        ("slope_in12", 4.1, "steep"),
        ("soft_sheet", True, "soft_sheet"),
        ("power_lines", True, "power_lines"),
        ("asbestos_suspect", True, "asbestos"),
        ("wet_bagging", True, "wet_bags"),
        ("sheet_opened", True, "openings"),
        ("hot_work", True, "hot_work"),
        ("lead_paint", True, "lead_paint"),
    ],
)
def test_what_is_found_or_not_read_brings_its_caution(fact: str, value: Any, key: str) -> None:
    assert key not in keys("crew")
    assert key in keys("crew", **{fact: value})
    assert key in keys("crew", **{fact: None})
    (shown,) = [c for c in cautions("crew", replace(SAFE, **{fact: None})) if c.key == key]
    assert shown.why == "not read"
    assert shown.shown.startswith("Not looked for")
    (shown,) = [c for c in cautions("crew", replace(SAFE, **{fact: value})) if c.key == key]
    assert shown.why == "found"
    assert shown.shown == shown.text


def test_limits_themselves_are_not_over() -> None:
    # 1926.501(b)(10): monitor alone on roofs 50 ft wide or less, slopes up to 4:12
    assert "monitor_width" not in keys("crew", width_ft=50.0)
    assert "steep" not in keys("crew", slope_in12=4.0)
    assert "warning_line" in keys("crew", slope_in12=4.0)
    assert "warning_line" not in keys("crew", slope_in12=4.1)


def test_crew_hears_of_every_hazard() -> None:
    assert {c.key for c in all_cautions()} == {c.key for c in cautions("crew", CautionFacts())}


def test_unknown_reader() -> None:
    with pytest.raises(InputError, match="owner; engineer"):
        cautions("visitor", SAFE)  # type: ignore[arg-type]


def test_holes_from_over_six_feet() -> None:
    # 1926.501(b)(4)(i) (seen): over 6 ft
    assert hole_protection(6.0) == ()
    assert hole_protection(6.01)


def test_edges() -> None:
    assert "safety monitor alone" in edge_means(4.0, 50.0)
    assert "safety monitor alone" not in edge_means(4.0, 50.1)
    assert "warning line and monitor" in edge_means(4.0, 80.0)
    # paragraph (b)(11) of the same section: from memory
    assert edge_means(4.1, 20.0) == ("guardrail with toeboards", "safety net", "personal fall arrest")


def test_warning_line_stands_further_off_where_machines_run() -> None:
    # the line's own section, 29 CFR 1926.502(f): seen
    assert (WARNING_LINE.from_edge_ft(False), WARNING_LINE.from_edge_ft(True)) == (6.0, 10.0)
