"""Gravity on purlins and frames before and after, against sums by hand on the invented barn."""

from __future__ import annotations

import math

import pytest

import secondroof as sr
from secondroof.findings.build import acting_on
from secondroof.findings.context import Context, gather
from secondroof.findings.gravity import Gravity, gravity

COS = 12 / math.hypot(12, 1)  # slope 1:12
SLOPE_FT = 40 / COS  # one plane along the slope


def of(survey, **rules) -> tuple[Context, Gravity]:
    if rules:
        survey = survey.model_copy(update={"ground_rules": survey.ground_rules.model_copy(update=rules)})
    c = gather(survey, survey.recovers[0])
    return c, gravity(c, acting_on(c))


@pytest.fixture(scope="module")
def barn():
    return sr.load(sr.example("tamsel-feed-barn"))


@pytest.fixture(scope="module")
def found(barn):
    return of(barn)


def test_purlins_take_the_line_that_gains_most(found) -> None:
    # W0, the strut: strip 4.90 / 2 = 2.45 ft of slope. Added for each foot of line: panel 1.26, blanket 0.22 and small
    # parts 0.08 psf on 2.45 ft, and the whole new line; each square foot of plan carries 1 / cos of slope.
    c, g = found
    weights = {w.what: w.psf for w in c.weight}
    line_lb_ft = weights["new lines"] * c.roof.area_ft2 / 1800  # 18 lines of 100 ft
    spread = sum(v for k, v in weights.items() if k != "new lines")
    e = g.purlins[0]
    assert (len(g.purlins), e.unit) == (2, "psf")
    assert "W slope" in e.name
    assert "W0" in e.name
    assert e.dead_after - e.dead_before == pytest.approx((spread + line_lb_ft / 2.45) / COS, rel=1e-9)
    # snow 15 psf is below the live load: 20 psf, not reduced at 2.45 / 4.98 ft by 25 ft, under 200 ft2
    assert (e.snow_before, e.snow_after) == (pytest.approx(15.0), pytest.approx(15.0))
    assert e.before == pytest.approx(e.dead_before + 20.0)
    assert e.after == pytest.approx(e.dead_after + 20.0)


def test_frames_get_their_tributary_load(found) -> None:
    # Frame 2: 25 ft of building 80 ft wide. Snow 15 x 80 x 25 = 30.0 kip; live load at 2,000 ft2 is 0.6 x 20 = 12 psf,
    # 24 kip, so snow governs. Added weight on both planes: sum of the ledger, psf of slope, by 2 x 40.14 x 25 ft2.
    c, g = found
    (e,) = g.frames
    assert (e.unit, "frame 2" in e.name, "frames 1 to 5" in e.name) == ("kip", True, True)
    assert e.snow_after == pytest.approx(30.0)
    assert e.after - e.before == pytest.approx(c.added_psf * 2 * SLOPE_FT * 25 / 1000, rel=1e-9)
    assert e.before == pytest.approx(e.dead_before + 30.0)


def test_live_load_of_a_frame_is_reduced(barn) -> None:
    # no snow: 12 psf on 2,000 ft2 is 24 kip
    _, g = of(barn, ground_snow=0.0)
    (e,) = g.frames
    assert e.before - e.dead_before == pytest.approx(24.0)


def test_strength_level_snow_comes_down_to_asd(barn) -> None:
    # ASCE 7-22 gives snow at strength level; its ASD combination 3 takes 0.7 S (from memory)
    c, g = of(barn, building_code=2024, winter_wind=0.35)
    assert c.edition == "7-22"
    assert g.snow_after_psf is not None
    assert g.purlins[0].snow_after == pytest.approx(0.7 * g.snow_after_psf)


def test_what_is_missing_gives_no_element(barn) -> None:
    unweighed = barn.model_copy(update={"old_panel": barn.old_panel.model_copy(update={"weight": None})})
    bare = unweighed.model_copy(
        update={"old_panel": unweighed.old_panel.model_copy(update={"thickness": ()})}
    )
    assert of(bare)[1].purlins == ()
    assert of(bare)[1].frames == ()
    assert of(barn, roof_live=None)[1].purlins == ()
    assert of(barn, roof_exposure=None)[1].frames == ()
    assert of(barn, roof_exposure=None)[1].snow_after_psf is None


def test_the_overhang_is_on_the_strut_and_on_the_frames(barn) -> None:
    # 12 in of overhang: the strut carries 2.45 + 1 ft; a frame 1 ft of slope more at each eave
    wide = barn.model_copy(update={"edges": barn.edges.model_copy(update={"overhang": 12.0})})
    (narrow,), (e,) = of(barn)[1].frames, of(wide)[1].frames
    assert e.snow_after == pytest.approx(15.0 * (80 + 2 * COS) * 25 / 1000)
    assert e.dead_before > narrow.dead_before


def test_an_old_roof_not_weighed_is_reckoned_and_said_so(barn, found) -> None:
    # the added weight is the same; today's dead load is reckoned, and at least flat sheet without what is unsure
    unweighed = barn.model_copy(update={"old_panel": barn.old_panel.model_copy(update={"weight": None})})
    (_, weighed), (_, g) = found, of(unweighed)
    assert weighed.reckoned == ""
    assert all(e.before_least is None for e in (*weighed.purlins, *weighed.frames))
    assert "the covering by its thickness" in g.reckoned
    assert g.old_dead_psf is None
    for one, other in zip((*weighed.purlins, *weighed.frames), (*g.purlins, *g.frames), strict=True):
        assert other.after - other.before == pytest.approx(one.after - one.before)
        assert other.before_least is not None
        assert other.before_least < other.before


def test_snow_that_rises_since_the_roof_gets_colder_is_named(barn) -> None:
    # Harrow R2 vents the cavity: C_t 1.0 heated to 1.1 (ASCE 7-16 Table 7.3-2, from memory), snow up by a tenth
    harrow = sr.load(sr.example("harrow-pass-district-shop"))
    c = gather(harrow, harrow.recovers[1])
    g = gravity(c, acting_on(c))
    assert g.snow_after_psf == pytest.approx(1.1 * g.snow_before_psf)
    both = f"from {g.snow_before_psf:.1f} to {g.snow_after_psf:.1f} psf"
    assert g.snow_words == f"Snow goes {both} since the roof gets colder (C_t 1 to 1.1)."
    assert of(barn)[1].snow_words == ""
