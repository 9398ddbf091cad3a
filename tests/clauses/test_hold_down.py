"""Links of the hold-down chain against hand calculations. Clauses: AISI S100-16 J4, from memory where marked there."""

from __future__ import annotations

import numpy as np
import pytest

from secondroof.recover import brackets, chain, notched
from secondroof.recover import formulas as f
from secondroof.recover.chain import Design, Stretch
from secondroof.survey.proposals import BracketLine, Clip, NewPanel, NotchedLine, Recover, ZoneCount

PANEL = NewPanel(kind="standing seam", seam="trapezoidal, double fold", width=24, thickness=0.0239, girth=31)
CLIP = Clip(height=0.375, screws=2, screw_diameter=0.25)


def notched_design(screws: int = 1, Fu2: float | None = 65.0) -> Design:
    framing = NotchedLine(
        kind="notched sub-purlin", height=2.5, thickness=0.0598, developed_width=7, yield_strength=50,
        tensile_strength=65, screw_diameter=0.25, washer_diameter=0.5, screws_per_flat=ZoneCount(other=screws),
    )  # fmt: skip
    recover = Recover(name="R1", title="x", panel=PANEL, clip=CLIP, framing=framing)
    return Design(recover, None, "", False, Fu2, 50.0, 1.88, 1.0)


def stretch(p: float, b: float, t: float, n: float = 1, theta: float = 4.764) -> Stretch:
    return Stretch(p, p, p, p, b, b, t, n, theta)


def test_pull_out_of_the_look_sample() -> None:
    # Hand: w = 122.8 x 3.75 = 460.5 lb/ft; one screw a foot; 0.85 x 0.0630 x 0.250 x 65,000 / 3 = 290.06 lb; 1.588.
    # (invented net store, line S2; the same numbers stand on the sample submittal page of the look)
    held = notched.pull_out(stretch(122.8, 3.75, 0.0630), notched_design())
    assert float(held.demand) == pytest.approx(460.5)
    assert float(held.capacity) == pytest.approx(290.06, abs=0.01)
    assert float(held.ratio) == pytest.approx(1.588, abs=0.001)


def test_allowables_of_the_trade_notes() -> None:
    # Common practice table, 0.85 t d Fu / 3 at Fu 65: t .048: 221 lb, .060: 276, .075: 345, .105: 483 (1/4-14).
    for t, lb in ((0.048, 221), (0.060, 276), (0.075, 345), (0.105, 483)):
        held = notched.pull_out(stretch(1.0, 1.0, t), notched_design())
        assert float(held.capacity) == pytest.approx(lb, abs=0.6)


def test_two_screws_share() -> None:
    one = notched.pull_out(stretch(47.4, 5.0, 0.0575, n=1), notched_design())
    two = notched.pull_out(stretch(47.4, 5.0, 0.0575, n=2), notched_design(2))
    assert float(two.ratio) == pytest.approx(float(one.ratio) / 2)


def test_clip_screws() -> None:
    # Hand: clip 47.4 x 2 x 5 = 474 lb on two screws = 237 lb; 0.85 x 0.0598 x 0.25 x 65,000 / 3 = 275.3 lb.
    held = chain.clip_screws(stretch(47.4, 5.0, 0.0575), notched_design())
    assert float(held.demand) == pytest.approx(237.0)
    assert float(held.capacity) == pytest.approx(275.33, abs=0.01)


def test_pull_over_is_one_sided() -> None:
    # Hand: 1.5 x 0.0598 x 0.5 x 65 = 2.915 kip, half of it for the one-sided pull, over 3.0: 485.9 lb.
    held = notched.pull_over(stretch(47.4, 5.0, 0.0575), notched_design())
    assert float(held.capacity) == pytest.approx(485.9, abs=0.1)


def test_missing_thickness_or_strength_is_unknown_never_a_pass() -> None:
    for design, t in ((notched_design(), float("nan")), (notched_design(Fu2=None), 0.0575)):
        for work in (notched.pull_out, notched.shear, notched.combined):
            assert np.isnan(work(stretch(10.0, 1.0, t), design).ratio)
        assert chain.thickness_need(design) is not None


def test_no_uplift_test_is_unknown() -> None:
    assert np.isnan(chain.panel_uplift(stretch(10.0, 5.0, 0.06), notched_design()).ratio)


def test_screw_without_its_own_test_is_unknown() -> None:
    assert np.isnan(notched.screw(stretch(10.0, 5.0, 0.06), notched_design()).ratio)


def test_combined_is_never_below_pull_out_alone() -> None:
    # J4.5.2 with V = 0 allows T/Pnot of 1.15/2.55 = 0.451, pull-out alone 1/3: pull-out governs, both are checked.
    s = stretch(np.linspace(1, 100, 50), 5.0, 0.0575)
    design = notched_design()
    worst = np.fmax(notched.pull_out(s, design).ratio, notched.combined(s, design).ratio)
    assert np.all(worst >= notched.pull_out(s, design).ratio)


def bracket_design(**more: object) -> Design:
    framing = BracketLine(
        kind="line on base brackets", height=2.5, thickness=0.0598, developed_width=7, yield_strength=50,
        tensile_strength=65, bracket_spacing=2.0, bracket_height=2.0, bracket_base=3.0, bracket_thickness=0.075,
        bracket_tensile=65, bracket_weight=1.1, screws_per_bracket=ZoneCount(other=4), screw_diameter=0.25,
        washer_diameter=0.5, **more,
    )  # type: ignore[arg-type] # fmt: skip
    recover = Recover(name="R1", title="x", panel=PANEL, clip=CLIP, framing=framing)
    return Design(recover, None, "", False, 65.0, 57.0, 1.9, 2.0)


def test_bracket_pull_with_its_couple() -> None:
    # Hand: w = 51.3 x 5 = 256.5 lb/ft, R = 513 lb; down-slope 1.9 x 5 x sin(1.193 deg) = 0.1978 lb/ft, V = 0.3956 lb;
    # couple 0.3956 x 4.5 in / (3.0 in x 2 screws) = 0.297 lb; T = 513/4 + 0.297 = 128.55 lb.
    # Capacity 0.85 x 0.0595 x 0.25 x 65,000 / 3 = 273.95 lb.
    s = stretch(51.3, 5.0, 0.0595, n=4, theta=1.1935)
    held = brackets.pull_out(s, bracket_design())
    assert float(held.demand) == pytest.approx(128.55, abs=0.01)
    assert float(held.capacity) == pytest.approx(273.95, abs=0.01)


def test_bracket_and_line_without_their_data_are_unknown() -> None:
    s = stretch(51.3, 5.0, 0.0595, n=4)
    assert np.isnan(brackets.bracket(s, bracket_design()).ratio)
    assert np.isnan(brackets.bending(s, bracket_design()).ratio)


def test_line_between_brackets() -> None:
    # Hand: 256.5 x 2^2 / 8 x 12 / 1000 = 1.539 kip-in; S_e 0.40 x 50 / 1.67 = 11.98 kip-in.
    held = brackets.bending(stretch(51.3, 5.0, 0.0595, n=4), bracket_design(section_modulus=0.40))
    assert float(held.demand) == pytest.approx(1.539, abs=1e-3)
    assert float(held.capacity) == pytest.approx(11.976, abs=1e-3)


def test_bare_screw_over_a_gap() -> None:
    # Check figure of the invented hall: 100 lb over 1.37 in on a 0.25 in bar, 137 in-lb, about 89 ksi.
    assert float(f.screw_bending_stress(100.0, 1.37, 0.25)) == pytest.approx(89.3, abs=0.1)


def test_whole_columns_and_single_values_agree() -> None:
    p, b, t = np.array([20.0, 60.0]), np.array([4.0, 5.0]), np.array([0.06, 0.055])
    design = notched_design()
    for link in notched.LINKS:
        both = np.broadcast_to(
            link.work(Stretch(p, p, p, p, b, b, t, np.ones(2), np.full(2, 4.8)), design).ratio, (2,)
        )
        for i in range(2):
            one = link.work(stretch(p[i], b[i], t[i], theta=4.8), design).ratio
            assert np.allclose(float(one), both[i], rtol=1e-12, equal_nan=True)
