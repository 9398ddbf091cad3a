"""What is not known never becomes a pass: loads, sheet, sections and lines taken from a roof that holds."""

from __future__ import annotations

import functools

import numpy as np
import pytest

import secondroof as sr

LINE = "four-span-line"


@functools.cache
def survey():
    """The four-span line under a light live load and a light wind, so that some bays hold."""
    s = sr.load(sr.example(LINE))
    light = s.ground_rules.model_copy(update={"roof_live": 4.0, "ground_snow": 5.0, "wind_speed": 85.0})
    return s.model_copy(update={"ground_rules": light})


def changed(**parts):
    s = survey()
    return s.model_copy(update={k: getattr(s, k).model_copy(update=v) for k, v in parts.items()})


@functools.cache
def whole():
    return sr.check(survey())


def test_the_roof_has_bays_that_hold():
    f = whole()
    assert "holds" in f.purlins.down["after"].state
    assert "holds" in f.purlins.up["after"].state


@pytest.mark.parametrize(
    "rules",
    [
        {"roof_live": None},
        {"ground_snow": None},
        {"roof_live": None, "ground_snow": None},
        {"wind_speed": None},
    ],
    ids=" and ".join,
)
def test_without_a_load_nothing_pressed_down_holds(rules):
    f = sr.check(changed(ground_rules=rules))
    down = f.purlins.down["after"]
    assert "holds" not in down.state
    assert "unknown" in down.state
    rows = [c for c in f.checks if c.key == "purlin pressed" and c.state == "unknown"]
    assert rows and all(c.needs for c in rows)


def test_without_wind_the_lifted_rows_stay_and_are_unknown():
    f = sr.check(changed(ground_rules={"wind_speed": None}))
    rows = [c for c in f.checks if c.key == "purlin lifted"]
    assert rows
    assert {c.state for c in rows} <= {"unknown", "engineer"}
    assert all(c.ratio is None for c in rows)
    assert not np.isin(f.purlins.up["after"].state, ["holds", "short"]).any()


def test_snow_known_today_but_not_with_the_recover_is_no_relief():
    s = changed(ground_rules={"ground_snow": 40.0, "thermal_now": "heated", "thermal_after": None})
    warm = s.recovers[0].insulation
    layer = {"kind": "blanket", "thickness": 9.0, "r_value": 30.0, "weight": 0.4}
    warm = (
        type(s.recovers[0]).model_fields["insulation"].annotation.__args__[0](**layer)
        if warm is None
        else (warm.model_copy(update={"r_value": 30.0}))
    )
    asked = {"cavity": None, "insulation": warm}
    f = sr.check(s.model_copy(update={"recovers": tuple(r.model_copy(update=asked) for r in s.recovers)}))
    assert f.acting.incomplete("after", ("S",)) and not f.acting.incomplete("before", ("S",))
    rows = [c for c in f.checks if c.key == "purlin pressed"]
    assert {c.whose for c in rows} == {"made worse"}
    assert {c.asked for c in rows} == {"ask the official"}
    assert "holds" not in {c.state for c in rows}


def test_tearing_the_sheet_off_makes_uplift_worse_and_says_so():
    s = survey()
    off = s.model_copy(
        update={"recovers": tuple(r.model_copy(update={"removed_share": 1.0}) for r in s.recovers)}
    )
    f = sr.check(off)
    rows = [
        c for c in f.checks if c.key == "purlin lifted" and c.ratio is not None and c.ratio_before is not None
    ]
    assert rows
    assert all(c.ratio > 2 * c.ratio_before for c in rows if "purlins" in c.what)
    assert {c.whose for c in rows} == {"made worse"}


def test_a_bay_that_is_not_known_hides_no_shortage_beside_it():
    s = sr.load(sr.example(LINE))
    grades = ({"member": "purlin", "lines": (1,), "bays": (2,), "grade": 4},)
    group = type(s.purlins).model_fields["rust_grades"].annotation.__args__[0]
    bad = s.model_copy(
        update={"purlins": s.purlins.model_copy(update={"rust_grades": tuple(group(**g) for g in grades)})}
    )
    before, after = sr.check(s).purlins, sr.check(bad).purlins
    i = next(k for k, line in enumerate(after.sections.lines) if line.name == "N1")
    assert before.down["after"].state[i, 2] == "short"
    assert after.down["after"].state[i, 2] == "short"
    assert after.down["after"].state[i, 1] in ("unknown", "engineer")


def test_a_plane_without_lines_leaves_the_old_steel_unknown():
    s = survey()
    planes = (s.building.planes[0], s.building.planes[1].model_copy(update={"lines": ()}))
    f = sr.check(s.model_copy(update={"building": s.building.model_copy(update={"planes": planes})}))
    row = next(c for c in f.checks if c.key == "purlin gravity")
    assert row.state == "unknown" and row.needs
    assert f.verdict.old_steel.state in ("short", "unknown")


def test_without_a_thickness_the_rows_do_not_claim_the_recover_asks_nothing():
    f = sr.check(changed(purlins={"thickness": ()}))
    rows = [c for c in f.checks if c.key.startswith("purlin ") and c.ratio is None and c.state == "unknown"]
    assert rows
    assert {c.asked for c in rows if c.key in ("purlin pressed", "purlin lifted")} == {"ask the official"}


@pytest.mark.parametrize("name", sorted(sr.examples()))
def test_the_last_ratio_on_every_card_is_that_of_its_row(name):
    for c in sr.check(sr.load(sr.example(name))).checks:
        if c.key in ("purlin pressed", "purlin lifted") and c.steps:
            assert c.steps[-1].result == pytest.approx(c.ratio, rel=1e-9), c.id


def test_a_ridge_purlin_of_both_planes_carries_both():
    f = sr.check(sr.load(sr.example("quillmark-distribution-hall")))
    p = f.purlins
    assert p.shared_ridge == frozenset({("N", 60), ("S", 60)})
    row = {line.name: i for i, line in enumerate(p.sections.lines)}
    a, b, field = row["N60"], row["S60"], row["N59"]
    np.testing.assert_allclose(p.down["after"].demand[a], p.down["after"].demand[b], rtol=1e-9)
    assert p.down["after"].demand[a, 1] == pytest.approx(p.down["after"].demand[field, 1], rel=0.05)
