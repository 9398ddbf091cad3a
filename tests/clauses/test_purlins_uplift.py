"""Old purlins under uplift and what the old sheet does: every condition from the survey, three ways kept apart."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.findings.geometry import build_roof
from secondroof.purlins.restraint import restraint
from secondroof.purlins.sagbraces import sag_braces
from secondroof.purlins.sections import line_sections
from secondroof.purlins.strength import bending_at, capacity
from secondroof.purlins.uplift import SheetFacts, sheet_facts, uplift_strengths
from secondroof.steel import uplift as rule
from secondroof.survey.fields import GapGroup, ThicknessGroup
from secondroof.survey.oldsteel import OldScrews
from secondroof.survey.reading import load_survey

EXAMPLES = Path(__file__).parents[2] / "examples"
ALL = dict(
    old_panel=dict(
        screws=OldScrews(diameter=0.25, washer=0.5, spacing=12.0, in_middle_of_flange=True, off_flange=False),
        yield_strength=80.0, yield_basis="mark on the sheet",
    ),
    purlins=dict(held_at_supports=True),
)  # fmt: skip
NONE = dict(
    old_panel=dict(screws=OldScrews(), yield_strength=None, yield_basis=None),
    purlins=dict(held_at_supports=None),
)


@cache
def example(name):
    return load_survey(EXAMPLES / f"{name}.survey.yaml")


def with_(survey, **parts):
    return survey.model_copy(
        update={name: getattr(survey, name).model_copy(update=fields) for name, fields in parts.items()}
    )


def sound():
    """Tamsel's roof with the published Z, a sheet of 0.0185 in, and nothing left open."""
    return with_(
        example("tamsel-feed-barn"),
        purlins=dict(depth=8.0, top_flange=2.25, bottom_flange=2.25, lip=0.91, lip_angle=50.0, rust_grades=(),
                     thickness=(ThicknessGroup(readings=[0.059]),), yield_strength=55.0, yield_basis="drawings"),
        old_panel=dict(thickness=(ThicknessGroup(readings=[0.0185]),), screws_spun=0.02, base="sound"),
        insulation=dict(where="draped over purlins", thickness=4.0, kind="blanket"),
    )  # fmt: skip


def worked(survey, recover="first", facts=ALL):
    survey = with_(survey, **facts)
    roof = build_roof(survey, None)
    f = line_sections(survey, roof)
    chosen = survey.recovers[0] if recover == "first" else recover
    return f, uplift_strengths(survey, chosen, roof, f, capacity(f))


def row(u, line=3, bay=1):
    return int(u.which[line, bay])


def test_every_condition_met():
    # own reference uplift-cont-Z: R 0.70, Se 1.786, F_y 55: M_n 68.761, allowable 41.174, design 61.885
    _, u = worked(sound())
    i = row(u)
    assert (u.state[i], u.R[i], u.continuous[i]) == ("known", 0.70, True)
    assert [u.fastened.nominal[i], u.fastened.asd[i], u.fastened.lrfd[i]] == pytest.approx(
        [68.761, 41.174, 61.885], rel=3e-3
    )
    assert u.fastened_if_met.nominal[i] == u.fastened.nominal[i]
    assert u.reasons[i] == ()


def test_short_laps_make_simple_spans():
    # 11 in is under 1.5 x 8 = 12: R 0.65 for 8 in, times 1 - 0.01 x 4: 0.624; own reference 61.296
    _, u = worked(with_(sound(), purlins=dict(laps_each_side=(GapGroup(readings=[24.0, 11.0]),))))
    i = row(u)
    assert not u.continuous[i]
    assert u.R[i] == pytest.approx(0.624)
    assert u.fastened.nominal[i] == pytest.approx(61.296, rel=3e-3)


def test_laps_not_read_are_unknown_and_shown_the_lower_way():
    _, u = worked(with_(sound(), purlins=dict(laps_each_side=())))
    i = row(u)
    assert u.state[i] == "unknown"
    assert np.isnan(u.R[i])
    assert np.isnan(u.fastened.nominal[i])
    assert u.R_if_met[i] == pytest.approx(0.624)
    assert any("laps" in n.what for n in u.needs)


def test_one_lap_not_read_leaves_its_two_bays_unknown():
    laps = (GapGroup(frames=(2, 3), readings=[24.0]),)
    _, u = worked(with_(sound(), purlins=dict(laps_each_side=laps)))
    assert [u.state[row(u, 3, bay)] for bay in range(4)] == ["known", "known", "unknown", "unknown"]


def test_silence_about_sheet_and_screws_is_not_met():
    f, u = worked(sound(), facts=NONE)
    i = row(u)
    assert u.state[i] == "unknown"
    assert np.isnan(u.R[i])
    assert u.R_if_met[i] == 0.70
    open_ones = {c.key for c in u.factor[i].conditions if c.state == "unknown"}
    assert open_ones == {"held", "sheet_Fy", "screw", "washer", "standoff", "screw_spacing", "screw_place"}
    # sizes of the screws are one thing to get, where they stand another
    asked = {n.what for n in u.needs if "fastened sheet" in n.decides}
    assert len(asked) == 4
    assert np.isfinite(u.between_sag.asd[i])
    assert f.state[u.section[i]] == "known"


def test_facts_come_from_the_survey():
    assert sheet_facts(with_(sound(), **ALL)) == SheetFacts(80.0, 0.25, 0.5, 12.0, True, False, True)
    assert sheet_facts(with_(sound(), **NONE)) == SheetFacts()


@pytest.mark.parametrize("basis", [None, "assumed"])
def test_a_sheet_strength_that_rests_on_nothing_meets_nothing(basis):
    strong = dict(ALL["old_panel"], yield_basis=basis)
    _, u = worked(sound(), facts=dict(ALL, old_panel=strong))
    i = row(u)
    assert u.state[i] == "unknown"
    assert {c.key: c.state for c in u.factor[i].conditions}["sheet_Fy"] == "unknown"
    assert np.isnan(u.R[i])


@pytest.mark.parametrize(
    ("change", "key"),
    [
        (dict(diameter=0.19), "screw"),
        (dict(washer=0.4), "washer"),
        (dict(spacing=24.0), "screw_spacing"),
        (dict(in_middle_of_flange=False), "screw_place"),
        (dict(off_flange=True), "standoff"),
    ],
)
def test_screws_that_break_a_condition(change, key):
    screws = ALL["old_panel"]["screws"].model_copy(update=change)
    _, u = worked(sound(), facts=dict(ALL, old_panel=dict(ALL["old_panel"], screws=screws)))
    i = row(u)
    assert u.state[i] == "engineer"
    assert {c.key: c.state for c in u.factor[i].conditions}[key] == "not met"
    assert np.isnan(u.R_if_met[i])


def test_a_sheet_held_off_the_flange_is_a_brace_only_by_an_engineer():
    survey = with_(sound(), old_panel=dict(screws=OldScrews(off_flange=True)))
    assert {r.braces for r in restraint(survey)} == {"engineer"}


@pytest.mark.parametrize(
    ("parts", "key", "state"),
    [
        ({"old_panel": {"thickness": (ThicknessGroup(readings=[0.0179]),)}}, "sheet_t", "engineer"),
        ({"old_panel": {"thickness": ()}}, "sheet_t", "unknown"),
        ({"old_panel": {"rib_height": 1.0}}, "ribs", "engineer"),
        ({"old_panel": {"rib_module": 16.0}}, "rib_spacing", "engineer"),
        ({"old_panel": {"screws_spun": None}}, "sheet_sound", "unknown"),
        ({"old_panel": {"screws_spun": 0.3}}, "sheet_sound", "unknown"),
        ({"old_panel": {"base": "decayed"}}, "sheet_sound", "engineer"),
        ({"old_panel": {"base": None}}, "sheet_sound", "unknown"),
        ({"insulation": {"thickness": 7.0}}, "blanket", "engineer"),
        ({"insulation": {"where": None}}, "blanket", "unknown"),
        ({"insulation": {"kind": "foam board"}}, "blanket_kind", "engineer"),
        ({"purlins": {"yield_strength": 65.0}}, "Fy", "engineer"),
        ({"purlins": {"lip": 0.0}}, "lips", "engineer"),
        ({"purlins": {"top_flange": 2.0, "bottom_flange": 2.5}}, "flange", "engineer"),
        ({"purlins": {"bottom_flange": 3.0}}, "depth_over_flange", "engineer"),
    ],
)
def test_each_condition_speaks_from_the_survey(parts, key, state):
    survey = sound()
    for name, fields in parts.items():
        survey = with_(survey, **{name: fields})
    _, u = worked(survey)
    i = row(u)
    assert u.state[i] == state
    assert {c.key: c.state for c in u.factor[i].conditions}[key] == (
        "not met" if state == "engineer" else "unknown"
    )
    assert np.isnan(u.R[i])
    assert np.isnan(u.fastened.asd[i])
    assert u.reasons[i]


def test_a_sheet_partly_taken_off_is_no_longer_known():
    survey = sound()
    part = survey.recovers[0].model_copy(update={"removed_share": 0.2})
    _, u = worked(survey, part)
    assert u.state[row(u)] == "unknown"
    assert np.isnan(u.R[row(u)])
    _, u = worked(survey, survey.recovers[0].model_copy(update={"removed_share": 1.0}))
    assert u.state[row(u)] == "engineer"
    assert np.isnan(u.R_if_met[row(u)])
    _, today = worked(survey, None)
    assert today.state[row(today)] == "known"


def test_the_other_way_between_sag_braces():
    # Tamsel: one line of straps mid-bay, 24.9 and 25 ft bays: 150 in; no brace counted: 300 in
    f, u = worked(sound(), facts=NONE)
    i = row(u, bay=0)
    assert u.sag.per_bay == 1
    assert u.sag_length_in[i] == 150.0
    k = int(u.section[i])
    assert u.between_sag.asd[i] == bending_at(f, k, "bottom", 150.0).M.asd
    assert u.unbraced.asd[i] == bending_at(f, k, "bottom", 300.0).M.asd
    assert u.unbraced.asd[i] < u.between_sag.asd[i]
    # own reference: L 300 in, C_b 1: F_n 3.436, M_ne 6.666
    assert u.unbraced.nominal[i] == pytest.approx(6.666, rel=1e-2)
    assert "mid-web" in u.caution


def test_sag_braces_not_written_down_are_a_need_and_no_number():
    f, u = worked(with_(sound(), bracing=dict(sag=None)), facts=NONE)
    assert np.all(np.isnan(u.between_sag.asd))
    assert np.all(np.isfinite(u.unbraced.asd[f.numbers[u.section]]))
    assert any("sag" in n.what for n in u.needs)


def test_a_seamed_roof_has_no_default_factor():
    _, u = worked(example("quillmark-distribution-hall"))
    i = row(u, 5, 5)
    assert u.state[i] == "engineer"
    assert np.isnan(u.R_if_met[i])
    assert np.isnan(u.fastened_if_met.asd[i])
    assert any("S908" in n.what and n.who == "engineer" for n in u.needs)
    assert u.sag_length_in[i] == pytest.approx(29.0 * 12 / 3)


def test_rows_of_the_whole_roof_are_few_and_every_place_has_one():
    f, u = worked(example("quillmark-distribution-hall"))
    assert u.which.shape == f.which.shape == (122, 23)
    assert len(u.factor) <= 20
    assert np.array_equal(u.section[u.which], f.which)


@pytest.mark.parametrize(
    ("words", "n"),
    [
        ("1 line of straps mid-bay", 1), ("sag angles, 2 per bay", 2), ("sag angles at third points, all present", 2),
        ("two lines at third points", 2), ("rods at mid-bay", 1), ("none", 0), ("no sag rods", 0),
        ("quarter points", 3),
        ("one row per bay", 1), ("some straps", None), ("sag angles", None), ("2 lines mid-bay", None),
        ("2 per bay, one missing in bay 4", None), ("straps, most cut", None), (None, None), ("1 or 2 per bay?", None),
    ],
)  # fmt: skip
def test_sag_braces_from_clear_words_only(words, n):
    got = sag_braces(words)
    assert got.per_bay == n
    assert bool(got.needs) is (n is None)


def test_a_number_of_sag_lines_goes_before_the_words_and_not_before_a_fault():
    assert sag_braces("sag angles", per_bay=2).per_bay == 2
    assert sag_braces("1 line of straps mid-bay", per_bay=2).per_bay == 2
    assert sag_braces(None, per_bay=0).per_bay == 0
    assert sag_braces(None, per_bay=3).sentence.startswith("Sag braces, as written: 3 in each bay")
    assert sag_braces("straps, most cut", per_bay=2).per_bay is None
    assert sag_braces("straps", ("straps unhooked in bay 2",), per_bay=2).per_bay is None
    survey = with_(sound(), bracing=dict(sag="sag angles", sag_lines_per_bay=2))
    _, u = worked(survey)
    assert u.sag_length_in[row(u, bay=0)] == 100.0  # 25 ft in three


def test_a_fault_of_the_straps_is_heard():
    assert sag_braces("1 line of straps mid-bay", ("one rod slack",)).per_bay == 1
    assert sag_braces("1 line of straps mid-bay", ("straps unhooked in bay 2",)).per_bay is None


# The array form of the rule ----------------------------------------------------------------------------------


def test_arrays_say_what_one_purlin_says():
    g = np.random.default_rng(3)
    n = 400
    fields = [f for f in rule.FastenedPurlin.__dataclass_fields__ if f not in ("kind", "continuous")]
    good = dict(depth_in=8.0, thickness_in=0.059, flange_in=2.25, flat_flange_in=1.7, lipped=1.0, Fy_ksi=55.0,
                span_ft=25.0, shortest_lap_in=18.0, adjacent_span_ratio=1.0, held_at_supports=1.0, sheet_Fy_ksi=80.0,
                sheet_thickness_in=0.0185, rib_depth_in=1.25, rib_spacing_in=12.0, sheet_sound=1.0, blanket_in=4.0,
                blanket_is_glass_fibre=1.0, screw_diameter_in=0.25, washer_in=0.5, screw_spacing_in=12.0,
                screws_well_placed=1.0, standoff_screws=0.0)  # fmt: skip
    flags = {
        "lipped",
        "held_at_supports",
        "sheet_sound",
        "blanket_is_glass_fibre",
        "screws_well_placed",
        "standoff_screws",
    }
    columns = {}
    for name in fields:
        a = np.full(n, good[name])
        spoiled = g.random(n) < 0.03
        a[spoiled] = 1.0 - good[name] if name in flags else good[name] * g.choice([0.5, 2.2], spoiled.sum())
        a[g.random(n) < 0.03] = np.nan
        columns[name] = a
    is_Z, continuous = g.random(n) < 0.5, g.random(n) < 0.5
    got = rule.uplift_factors(is_Z, continuous, **columns)
    seen = set()
    for i in range(n):
        one = {
            f: None if np.isnan(c[i]) else bool(c[i]) if f in flags else float(c[i])
            for f, c in columns.items()
        }
        p = rule.FastenedPurlin(kind="Z" if is_Z[i] else "C", continuous=bool(continuous[i]), **one)
        want = rule.uplift_factor(p)
        seen.add(want.state)
        assert got.met[i] == (want.state == "met")
        assert got.broken[i] == (want.state == "not met")
        assert [got.R[i], got.R_if_met[i]] == pytest.approx([want.R, want.R_if_met], nan_ok=True)
    assert seen == {"met", "not met", "unknown"}


def test_a_column_that_is_no_field_is_refused():
    with pytest.raises(InputError, match="depth"):
        rule.uplift_factors(True, True, depth=8.0)


# What the old sheet does -------------------------------------------------------------------------------------


def test_what_the_sheets_of_the_examples_do():
    answers = {}
    for name in (
        "tamsel-feed-barn",
        "harrow-pass-district-shop",
        "port-averill-net-store",
        "quillmark-distribution-hall",
    ):
        survey = example(name)
        rows = restraint(survey, survey.recovers[0])
        assert [r.plane for r in rows] == [p.name for p in survey.building.planes]
        answers[name.split("-")[0]] = (rows[0].braces, rows[0].diaphragm)
    assert answers["tamsel"] == answers["harrow"] == ("yes", "engineer")
    assert answers["port"][0] == "unknown"  # whether the old roof is sound is not written down there
    assert answers["quillmark"] == ("no", "no")


@pytest.mark.parametrize(
    ("change", "braces", "need"),
    [
        ({"kind": None}, "unknown", "kind"), ({"kind": "snap seam"}, "no", None), ({"kind": "corrugated"}, "yes", None),
        ({"base": None}, "unknown", "sound"), ({"base": "decayed in places"}, "engineer", None),
        ({"base": "decayed"}, "no", None), ({"screws_spun": 0.10}, "engineer", None),
        ({"screws_spun": None}, "yes", "spin"),
    ],
)  # fmt: skip
def test_brace_by_kind_and_soundness(change, braces, need):
    r = restraint(with_(sound(), old_panel=change))[0]
    assert r.braces == braces
    assert (need is None) or any(need in n.what for n in r.needs)


def test_a_screwed_sheet_over_a_gap_is_no_brace():
    survey = sound()
    group = survey.standoff[0].model_copy(
        update={"plane": "W", "readings": type(survey.standoff[0])(readings=[1.3, 1.4, 1.35]).readings}
    )
    r = {x.plane: x for x in restraint(survey.model_copy(update={"standoff": (group, *survey.standoff[1:])}))}
    assert r["W"].braces == "no"
    assert r["E"].braces == "yes"
    unread = {x.plane: x for x in restraint(survey.model_copy(update={"standoff": survey.standoff[1:]}))}
    assert unread["W"].braces == "unknown"


def test_what_would_be_taken_away_and_what_must_stay():
    survey = sound()
    r = restraint(survey, survey.recovers[0])[0]
    assert r.braces_after == "yes"
    assert any("stays" in s for s in r.sentences)
    assert "brace" in r.tear_off
    assert "roll" in r.tear_off
    assert "diaphragm" in r.floating
    assert "I6.2.1" in r.strips
    assert any("old sheet" in k for k in r.keep)
    assert any("straps" in k for k in r.keep)
    assert "restore first: one rod slack" in r.keep
    off = restraint(survey, survey.recovers[0].model_copy(update={"removed_share": 1.0}))[0]
    assert (off.braces, off.braces_after) == ("yes", "no")


def test_rods_not_written_down_are_a_need():
    r = restraint(with_(sound(), bracing=dict(rods=None)))[0]
    assert any("rods" in n.what for n in r.needs)
    none = restraint(with_(sound(), bracing=dict(rods="none")))[0]
    assert any("no roof rods" in s for s in none.sentences)
    assert not any(k.startswith("roof rods") for k in none.keep)
