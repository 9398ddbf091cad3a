"""How a line feels underfoot, and deflection limits."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.formula import recording
from secondroof.lines import deflection, underfoot
from secondroof.lines.beam import sample_nodes, support_mask

EI = 29500.0 * 9.18


def line(supports):
    x = sample_nodes(supports)
    return x, support_mask(x, supports)


def test_person_on_a_simple_span():
    # P L^3 / (48 EI): standard beam tables
    x, s = line([0, 25])
    d = underfoot.point_deflections(x, s, EI)
    assert d == pytest.approx([0.3 * 300**3 / (48 * EI)], rel=1e-12)


def test_person_on_two_spans():
    # two equal spans, load in the middle of one: 0.015 P L^3 / EI largest (standard beam tables, near the load);
    # under the load itself 23/1536 P L^3 / EI by three moments
    x, s = line([0, 25, 50])
    d = underfoot.point_deflections(x, s, EI)
    assert d == pytest.approx([23 / 1536 * 0.3 * 300**3 / EI] * 2, rel=1e-12)


@pytest.mark.parametrize("spans", [1, 2, 3, 5])
def test_equal_spans_share_the_frequency_of_one(spans):
    # pi/2 sqrt(g E I / (w L^4)): first mode of a simple span, exact; equal spans swing in turn up and down
    x, s = line(25.0 * np.arange(spans + 1))
    f = underfoot.first_frequency(x, s, EI, 30.0)
    assert float(f) == pytest.approx(float(underfoot.simple_span_frequency(EI, 30.0, 25.0)), rel=2e-6)


def test_frequency_of_a_simple_span_by_hand():
    # EI 270 810 kip-in2, 30 lb/ft, 25 ft: m = 0.0025 / 386.09 kip s2/in2, f = pi/2 sqrt(EI / (m (300 in)^4)) = 3.569
    assert float(underfoot.simple_span_frequency(EI, 30.0, 25.0)) == pytest.approx(3.569, abs=5e-4)


def test_fixed_ends_swing_faster():
    # clamped-clamped first mode (4.73004 / pi)^2 times the simple span: standard vibration tables; a span between
    # very short stiff spans is clamped
    x = sample_nodes([0, 0.5, 25.5, 26.0])
    s = support_mask(x, [0, 0.5, 25.5, 26.0])
    inside = (x[1:] > 0.6) & (x[:-1] < 25.4)
    f = underfoot.first_frequency(x, s, np.where(inside, EI, 1e4 * EI), 30.0)
    ratio = float(f / underfoot.simple_span_frequency(EI, 30.0, 25.0))
    assert ratio == pytest.approx((4.73004 / np.pi) ** 2, rel=2e-3)


def test_frequency_does_not_hang_on_the_nodes_given():
    few = underfoot.first_frequency([0.0, 25.0, 50.0], [True, True, True], EI, 30.0)
    x, s = line([0, 25, 50])
    assert float(few) == pytest.approx(float(underfoot.first_frequency(x, s, EI, 30.0)), rel=2e-6)


def test_feel_and_steps():
    x, s = line([0, 25, 50])
    with recording() as kept:
        soft = underfoot.underfoot(x, s, EI / 8, 30.0)
        firm = underfoot.underfoot(x, s, 8 * EI, 30.0)
    assert soft.feel == ("soft", "soft")
    assert firm.feel == ("firm", "firm")
    assert [st.title for st in kept.steps] == ["First natural frequency of the line"] * 2


def test_batch():
    x, s = line([0, 25, 50])
    many = underfoot.underfoot(x, s, EI * np.array([[1.0], [2.0]]) * np.ones(x.size - 1), 30.0)
    assert many.d_in.shape == (2, 2)
    assert many.f_1_Hz.shape == (2,)
    assert many.d_in[0] == pytest.approx(2 * many.d_in[1], rel=1e-12)
    assert many.f_1_Hz[1] == pytest.approx(np.sqrt(2) * many.f_1_Hz[0], rel=1e-9)
    assert many.feel is None


def test_refusals():
    x, s = line([0, 25])
    with pytest.raises(InputError, match="weight"):
        underfoot.first_frequency(x, s, EI, 0.0)
    with pytest.raises(InputError, match="middle"):
        underfoot.point_deflections([0.0, 10.0, 25.0], [True, False, True], EI)


def test_limits_of_the_code_table():
    # IBC Table 1604.3 roof rows and note a, from public copies
    want = {"formed.purlin.live": 150, "formed.sheet.total": 60, "plain.live": 180, "plain.snow_wind": 180,
            "plain.dead_live": 120, "ceiling.live": 240, "ceiling.snow_wind": 240, "ceiling.dead_live": 180,
            "plaster.live": 360, "plaster.snow_wind": 360, "plaster.dead_live": 240}  # fmt: skip
    assert {k: deflection.BY_KEY[k].over for k in want} == want
    assert len(deflection.BY_KEY) == len(deflection.LIMITS)
    assert all(row.clause and row.checked for row in deflection.LIMITS)
    assert "no other roof covering" in deflection.BY_KEY["formed.purlin.live"].note


def test_ratio_by_hand():
    # 25 ft over 150 is 2.00 in.; 1.5 in. of it is 0.75
    allowed = deflection.allowed_deflection(25.0, 150.0)
    assert allowed == pytest.approx(2.0)
    assert deflection.deflection_ratio(-1.5, allowed) == pytest.approx(0.75)
    assert deflection.span_over_deflection(25.0, 1.5) == pytest.approx(200.0)
