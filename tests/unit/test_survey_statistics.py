"""Readings to design values. Expected numbers: the invented jobs' check figures, or by hand in the comment."""

from __future__ import annotations

import numpy as np
import pytest

from secondroof.survey.fields import GapGroup, ThicknessGroup
from secondroof.survey.reading import load_survey
from secondroof.survey.statistics import (
    clean,
    design_thickness,
    run_out,
    statistic,
    thickness_everywhere,
    tolerance_factor,
)


def readings(*items):
    return GapGroup(readings=list(items)).readings


@pytest.fixture(scope="module")
def job(root):
    return lambda name: load_survey(next((root / "examples").glob(f"{name}*.survey.yaml")))


def test_doubtful_only_on_the_bad_side():
    high = clean(readings(".098", ".0985", ".097", ".1025?"))
    assert high.values == (0.098, 0.0985, 0.097)
    assert str(high.aside[0]).startswith(".1025?: doubtful")
    low = clean(readings(".052", ".049", ".047?"))
    assert min(low.values) == 0.047
    assert len(low.doubtful) == 1
    assert clean(readings(".052", ".047?"), "high").values == (0.052,)


def test_only_doubtful_ones():
    found = clean(readings(".05?", ".06?"))
    assert found.values == (0.05,)
    assert len(found.aside) == 1


def test_read_again_and_set_aside():
    found = clean(
        readings(
            {"read": ".31?", "read_again": ".13"},
            {"read": ".0625", "why": "primer on?", "set_aside": "primer"},
        )
    )
    assert found.values == (0.13,)
    assert [a.reason for a in found.aside] == ["read again: 0.13", "primer"]


def test_statistic():
    s = statistic(readings(".10", ".12", ".14"))
    assert (s.count, s.lowest, s.highest, s.design) == (3, 0.10, 0.14, 0.10)
    assert s.mean == pytest.approx(0.12)  # hand
    assert s.deviation == pytest.approx(0.02)  # hand: sqrt((4 + 0 + 4) 1e-4 / 2)
    assert s.limit is None
    assert "lowest of 3 clean" in s.rule
    assert statistic(readings({"read": 1, "set_aside": "x"})) is None


def test_tolerance_limit():
    # k for 95 % coverage with 75 % confidence, from memory of the published one-sided tables (n = 5, 10, 20).
    for n, k in ((5, 2.463), (10, 2.104), (20, 1.932)):
        assert tolerance_factor(n) == pytest.approx(k, abs=0.002)
    s = statistic(readings(1, 2, 3, 4, 5), tolerance=True)
    assert s.design == pytest.approx(3 - tolerance_factor(5) * np.sqrt(2.5))  # hand: mean 3, variance 2.5


def test_tolerance_factor_by_sampling():
    """Share of samples whose limit lies below the 5 % point of the population: 75 %, by its definition."""
    x = np.random.default_rng(7).standard_normal((40_000, 6))
    limit = x.mean(1) - tolerance_factor(6) * x.std(1, ddof=1)
    assert np.mean(limit < -1.6448536) == pytest.approx(0.75, abs=0.01)


def test_barn_thickness(job):
    """Lowest clean reading .0575, two set aside (check figure of job A)."""
    barn = job("tamsel")
    at = {bay: design_thickness(barn, "W", 3, bay, 4) for bay in (1, 2, 3, 4)}
    assert {b: t.value_in for b, t in at.items()} == dict.fromkeys((1, 2, 3, 4), 0.0575)  # one gauge
    assert not any(t.assumed for t in at.values())
    assert all(".0625" in t.note and ".0605" in t.note for t in at.values())  # the two set aside
    assert design_thickness(barn, "E", 0, 2, 4).value_in == 0.0575  # no strut readings: a purlin's


def test_net_store_thickness(job):
    store = job("port-averill")

    def value(plane, line, bay):
        return design_thickness(store, plane, line, bay, 12)

    assert value("S", 0, 5).value_in == 0.047  # strut, doubtful on the bad side
    assert value("S", 1, 5).value_in == value("S", 2, 1).value_in == 0.0630
    assert value("N", 5, 5).value_in == 0.0740
    assert value("N", 5, 12).value_in == value("S", 5, 1).value_in == 0.0900  # end bays
    assert value("N", 16, 4).value_in == value("S", 16, 1).value_in == 0.0730  # ridge line
    assumed = value("S", 5, 5)
    assert (assumed.value_in, assumed.assumed) == (0.0740, True)
    assert value("N", 0, 5).value_in == 0.0740  # strut read on S only


def test_everywhere_agrees_with_one_by_one(job):
    store = job("port-averill")
    for plane, (t, which, values) in thickness_everywhere(store).items():
        for line in range(t.shape[0]):
            for bay in range(t.shape[1]):
                one = design_thickness(store, plane, line, bay + 1, 12)
                assert t[line, bay] == one.value_in
                assert values[which[line, bay]] == one


def test_nothing_read(job):
    barn = job("tamsel")
    bare = barn.model_copy(update={"purlins": barn.purlins.model_copy(update={"thickness": ()})})
    assert design_thickness(bare, "W", 3, 1, 4) is None
    strut = ThicknessGroup(member="eave strut", readings=["0.05"])
    only_strut = barn.model_copy(update={"purlins": barn.purlins.model_copy(update={"thickness": (strut,)})})
    assert design_thickness(only_strut, "W", 3, 1, 4) is None
    assert np.isnan(thickness_everywhere(only_strut)["W"][0][3, 0])


def test_barn_run_out(job):
    """Check figures of job A: 0.050 in a rib at the W eave; mean of six 12.0375; worst 0.21 in a 10-ft piece."""
    found = run_out(job("tamsel"))
    assert found.ribs == 30
    eave = next(s for s in found.stations if (s.plane, s.station) == ("W", "eave"))
    assert eave.module_in - found.nominal_in == pytest.approx(0.050)
    assert found.mean_module_in == pytest.approx(361.125 / 30)
    assert found.worst_in() == pytest.approx(0.21, abs=0.005)
    drift = dict(zip([(s.plane, s.station) for s in found.stations], found.drift_in(), strict=True))
    assert sorted(drift, key=lambda k: -abs(drift[k]))[:2] in (  # both ends of the E fan
        [("E", "eave"), ("E", "ridge")], [("E", "ridge"), ("E", "eave")])  # fmt: skip
    assert found.drift_in(12.0)[0] == pytest.approx(0.50, abs=0.005)  # nominal notches at the W eave
    assert found.fan_in()["E"] == pytest.approx((361.75 - 360.5) / 30 * 120 / 12.0375)  # hand


def test_hall_run_out(job):
    """24-in panels without ribs between seams: the module is the coverage."""
    assert run_out(job("quillmark")).modules_in == pytest.approx((24.0, 23.98, 24.02))
