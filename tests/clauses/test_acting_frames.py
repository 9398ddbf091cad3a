"""What the frames get from wind and weight, and the code of the building's day beside today's.

Hand calculations stand in the comments.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from _wind_roofs import BARN, cases, context, monoslope, survey_of, with_rules

from secondroof.acting.frames import frame_words, frames, on_frames_kip
from secondroof.acting.model import Along, Case, Patch
from secondroof.acting.then_now import then_now
from secondroof.checks.render import card_lines_of, symbols_table
from secondroof.errors import InputError
from secondroof.findings.context import gather
from secondroof.survey.ground import CodeThen

# Frames ---------------------------------------------------------------------------------------------------------


def dead(along: tuple[Along, ...] = (), psf: float = 2.0) -> Case:
    roof = context(BARN).roof
    patches = tuple(
        Patch(p.name, 0.0, roof.length_ft, *sorted((p.y_eave_ft, p.y_top_ft)), (psf,) * 4)
        for p in roof.planes
    )
    return Case("dead.old", "D", "both", "old roof", "", "", patches, along, per="slope")


def test_frames_share_the_roof_by_hand() -> None:
    # bays 25, 25, 24.9, 25.1; 2 psf on 2 x 40/cos(4.76) ft of slope = 2 x 80.277 = 160.55 lb/ft along the building
    roof = context(BARN).roof
    w = 2 * 80 * np.hypot(12, 1) / 12 / 1000
    assert on_frames_kip(roof, [dead()]) == pytest.approx(w * np.array([12.5, 25, 24.95, 25, 12.55]))
    # a point of 500 lb 5 ft into bay 1 of 25 ft: 400 and 100 lb
    with_point = on_frames_kip(roof, [dead((Along("W", 2, 5.0, 5.0, 500.0, 500.0),), psf=0.0)])
    assert with_point == pytest.approx([0.4, 0.1, 0, 0, 0])
    # a load rising 0 to 30 lb/ft over bay 1: 375 lb, its middle at 2/3: 125 and 250 lb
    rising = on_frames_kip(roof, [dead((Along("W", 2, 0.0, 25.0, 0.0, 30.0),), psf=0.0)])
    assert rising == pytest.approx([0.125, 0.25, 0, 0, 0])


def test_loads_square_to_the_roof_are_no_weight() -> None:
    c = context(BARN)
    assert not on_frames_kip(c.roof, list(cases(c).values())).any()


def test_main_frame_wind_by_hand_and_unchanged() -> None:
    # q 23.38 (above); surface 2 at 4.76 degrees: 23.38 x (-0.69 - 0.18) = -20.34; 2E: x (-1.07 - 0.18) = -29.22 psf
    # end strip 2a = 2 x min(0.1 x 80, 0.4 x 15.65) = 12.52 ft; figure from memory, one public copy agrees
    c = context(BARN)
    before = on_frames_kip(c.roof, [dead()])
    found = frames(c.survey, c.recover, c.roof, c.edition, c.wind, before, before * 1.5)
    by = {s.surface: s for s in found.surfaces}
    assert by["2"].across_up_psf == pytest.approx(-20.34, abs=0.01)
    assert by["2E"].across_up_psf == pytest.approx(-29.22, abs=0.01)
    assert found.end_strip_ft == pytest.approx(12.52)
    # line 2.5 in and clip: K_z grows with (h + rise)^(2/9.5)
    assert found.wind_change == pytest.approx(((15.65 + found.rise_in / 12) / 15.65) ** (2 / 9.5) - 1)
    assert [x.added_kip for x in found.loads] == pytest.approx(before * 0.5)
    assert "(frames 2 to 4 alike," in found.sentence  # 25, 24.95 and 25 ft: within 0.5 % of each other
    assert card_lines_of(found.steps, sources=found.sources)
    assert not [r.name for r in symbols_table(found.steps, found.sources) if "not stated" in r.source]


@pytest.mark.parametrize("case", ["7-05", "monoslope", "no wind"])
def test_frames_without_their_figure_say_so_and_keep_the_weights(case: str) -> None:
    c = context(BARN)
    if case == "7-05":
        c = with_rules(c, wind_edition="7-05", wind_speed=90.0)
    elif case == "monoslope":
        assert c.wind is not None
        c = replace(c, wind=replace(c.wind, slope_deg=6.0), roof=replace(c.roof, shape="single slope"))
    else:
        c = with_rules(c, wind_speed=None)
    load = np.ones(5)
    found = frames(c.survey, c.recover, c.roof, c.edition, c.wind, load, load + 0.25)
    assert found.surfaces == ()
    assert len(found.needs) == 1
    assert found.loads[1].added_kip == pytest.approx(0.25)
    assert "not worked out" in found.sentence


def weight_words(before: list[float], after: list[float]) -> str:
    c = context(BARN)
    return frames(c.survey, c.recover, c.roof, c.edition, c.wind, before, after).sentence


def test_the_frame_that_carries_most_is_named_and_the_one_with_the_largest_share() -> None:
    # 6 of 10 kip on frames 3 and 4 but for rounding; frame 2 carries most; on frame 1 4 kip is 80 %
    text = weight_words([5, 12, 10, 10, 5], [9, 17, 16, 16 + 1e-12, 8])
    assert (
        "goes from 12.00 to 17.00 kip of roof weight (frame 2, +5.00 kip, 42 % of its dead roof load)" in text
    )
    assert "the largest share is added on frame 1, 80 %, from 5.00 to 9.00 kip" in text
    # one frame that both carries most and gains most is named once
    text = weight_words([5, 10, 10, 10, 5], [6, 12, 15, 12, 6])
    assert "(frame 3, +5.00 kip" in text
    assert "largest share" not in text
    # equal but for rounding: told together
    text = weight_words([5, 10, 10, 10, 5], [8, 16 + 1e-13, 16, 16 + 2e-13, 8])
    assert "(frames 2 to 4 alike, +6.00 kip" in text


@pytest.mark.parametrize(
    ("frames_alike", "words"),
    [((3,), "frame 3"), ((2, 3), "frames 2 and 3 alike"), ((2, 4, 6, 7, 8), "frames 2, 4 and 6 to 8 alike")],
)
def test_frames_alike_are_told_together(frames_alike: tuple[int, ...], words: str) -> None:
    assert frame_words(frames_alike) == words


def test_unknown_weights_stay_unknown() -> None:
    c = context(BARN)
    found = frames(c.survey, c.recover, c.roof, c.edition, c.wind, np.ones(5), np.full(5, np.nan))
    assert "not known" in found.sentence
    with pytest.raises(InputError, match="5 frame lines"):
        frames(c.survey, c.recover, c.roof, c.edition, c.wind, np.ones(4), np.ones(4))


# Old against new ------------------------------------------------------------------------------------------------


def then(**more: Any) -> CodeThen:
    given = {
        "wind_edition": "7-05",
        "wind_speed": 90.0,
        "exposure": "C",
        "source": "invented drawings",
        **more,
    }
    return CodeThen(**given)


def test_then_and_now_by_hand() -> None:
    # 7-05: q 0.00256 x 0.8565 x 0.85 x 90^2 = 15.10; zone 3 at 10 ft2 15.10 x (-2.8 - 0.18) = -45.0 psf (service)
    # 7-16: zone 3 at 10 ft2 23.38 x (-3.2 - 0.18) x 0.6 = -47.4 psf; zone 2 of 7-05: 15.10 x (-1.8 - 0.18) = -29.9
    c = with_rules(context(BARN), code_then=then())
    found = then_now(c.survey, c.roof, c.wind)
    rows = {(r.zone_then, r.zone_now): r for r in found.rows if r.part == "panel"}
    assert rows["3", "3"].uplift_then_psf == pytest.approx(45.0, abs=0.05)
    assert rows["3", "3"].uplift_now_psf == pytest.approx(47.4, abs=0.05)
    assert rows["2", "3"].uplift_then_psf == pytest.approx(29.9, abs=0.05)
    assert rows["2", "3"].ratio == pytest.approx(47.412 / 29.891, rel=1e-3)
    assert all(r.unconfirmed for r in found.rows)  # every 7-16 coefficient is from memory
    # a = 6.26 ft: corners 4 x 6.26^2 = 156.8 ft2 in plan then; 0.6h by 0.2h legs now: 4 x (2 x 9.39 x 3.13 - 3.13^2)
    cos = np.cos(np.arctan(1 / 12))
    corner_then = sum(r.roof_area_ft2 for (a, _), r in rows.items() if a == "3")
    corner_now = sum(r.roof_area_ft2 for (_, b), r in rows.items() if b == "3")
    assert corner_then == pytest.approx(4 * 6.26**2 / cos, rel=1e-6)
    assert corner_now == pytest.approx(4 * (2 * 9.39 * 3.13 - 3.13**2) / cos, rel=1e-6)
    for words in ("Speed map and exposure: 90 mph", "2.80 then and 3.20 now", "7 % less", "197 ft2 now"):
        assert words in found.sentence


def test_then_and_now_covers_the_roof_once_for_each_part() -> None:
    for name in (BARN, "port-averill-net-store"):
        c = with_rules(context(name), code_then=then())
        found = then_now(c.survey, c.roof, c.wind)
        for part in ("panel", "purlin"):
            area = sum(r.roof_area_ft2 for r in found.rows if r.part == part)
            assert area == pytest.approx(c.roof.area_ft2, rel=1e-9)
        ratios = [r.ratio for r in found.rows if r.part == "panel"]
        assert ratios == sorted(ratios, reverse=True)


def test_the_same_code_then_and_now_is_alike() -> None:
    same = then(wind_edition="7-16", wind_speed=112.0)
    c = with_rules(context(BARN), code_then=same)
    found = then_now(c.survey, c.roof, c.wind)
    assert {r.ratio for r in found.rows} == {1.0}
    assert all(r.zone_then == r.zone_now for r in found.rows)
    assert found.sentence.count("alike") == 3


def test_importance_counts_in_7_05() -> None:
    one, more = (
        then_now(c.survey, c.roof, c.wind).rows[0]
        for c in (with_rules(context(BARN), code_then=then(importance=i)) for i in (1.0, 1.15))
    )
    assert more.uplift_then_psf == pytest.approx(1.15 * one.uplift_then_psf)
    assert more.uplift_now_psf == one.uplift_now_psf


@pytest.mark.parametrize(("risk", "value"), [("I", 0.87), ("II", 1.0), ("III", 1.15), ("IV", 1.15)])
def test_importance_left_out_is_by_risk_category_and_said(risk: str, value: float) -> None:
    # ASCE 7-05 Table 6-1, from memory
    at_one = with_rules(context(BARN), code_then=then(importance=1.0))
    left_out = with_rules(context(BARN), code_then=then(), risk_category=risk)
    one = then_now(at_one.survey, at_one.roof, at_one.wind)
    found = then_now(left_out.survey, left_out.roof, left_out.wind)
    assert found.rows[0].uplift_then_psf == pytest.approx(value * one.rows[0].uplift_then_psf)
    source = found.sources_then["I"]
    assert source.assumed
    assert "invented drawings" not in source.text
    assert f"risk category {risk}" in found.assumed
    assert f"risk category {risk}" in found.sentence
    assert not one.sources_then["I"].assumed
    assert "risk category" not in one.assumed


def test_importance_is_asked_for_where_nothing_says_it() -> None:
    c = with_rules(context(BARN), code_then=then(), risk_category=None)
    found = then_now(c.survey, c.roof, c.wind)
    assert found.rows == ()
    assert "importance" in found.needs[0].what


def test_then_and_now_cards_print() -> None:
    c = with_rules(context(BARN), code_then=then())
    found = then_now(c.survey, c.roof, c.wind)
    for steps, sources in ((found.steps_then, found.sources_then), (found.steps_now, found.sources_now)):
        assert card_lines_of(steps, sources=sources)
        assert not [r.name for r in symbols_table(steps, sources) if "not stated" in r.source]
    assert found.sources_then["V"].text == "invented drawings"


def test_then_and_now_says_what_is_missing() -> None:
    c = with_rules(context(BARN), code_then=None)
    assert then_now(c.survey, c.roof, c.wind).needs[0].who == "estimator"
    no_wind = with_rules(context(BARN), code_then=then(), wind_speed=None)
    found = then_now(no_wind.survey, no_wind.roof, no_wind.wind)
    assert found.rows == ()
    assert "wind speed" in found.needs[0].what

    def change(d: Any) -> None:
        monoslope(d, "7-16")
        d["ground_rules"]["code_then"] = {
            "wind_edition": "7-10", "wind_speed": 115, "exposure": "C", "source": "invented",
        }  # fmt: skip

    survey = survey_of(change)
    single = gather(survey, survey.recovers[0])
    held = then_now(single.survey, single.roof, single.wind)
    assert held.rows == ()
    assert "Fig. 30.4-5A" in held.needs[0].what
