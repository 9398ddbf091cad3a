"""What the old roof is, on the invented jobs and at the bounds."""

from __future__ import annotations

import pytest

from secondroof.survey.fields import StandoffGroup
from secondroof.survey.oldroof import kind_of, odd_ones, what_is_the_old_roof
from secondroof.survey.reading import load_survey
from secondroof.survey.remarks import remarks, standoff_wanted


@pytest.fixture(scope="module")
def job(root):
    return lambda name: load_survey(next((root / "examples").glob(f"{name}*.survey.yaml")))


def old(job, *groups):
    survey = job("tamsel").model_copy(
        update={"standoff": tuple(StandoffGroup.model_validate(g) for g in groups)}
    )
    return what_is_the_old_roof(survey)


@pytest.mark.parametrize(
    ("name", "kind", "open_kinds"),
    [
        ("tamsel", "sits", ("notched sub-purlin",)),
        ("port-averill", "sits", ("notched sub-purlin",)),
        ("harrow", "low", ("notched sub-purlin",)),
        ("quillmark", "mixed", ("line on base brackets",)),
    ],
)
def test_jobs(job, name, kind, open_kinds):
    found = what_is_the_old_roof(job(name))
    assert (found.kind, found.open_kinds) == (kind, open_kinds)
    assert "hat section on ribs" in found.refused_kinds


def test_barn_and_store_name_the_odd_ones(job):
    assert what_is_the_old_roof(job("tamsel")).regions[0].odd == (".31?: read again: 0.13",)
    region = what_is_the_old_roof(job("port-averill")).regions[0]
    assert region.odd == (".62?: in a dent",)
    assert (region.count, region.low_in, region.high_in) == (17, 0.10, 0.20)


def test_shop_is_low_and_says_what_is_above(job):
    found = what_is_the_old_roof(job("harrow"))
    assert [r.kind for r in found.regions] == ["sits", "low"]
    assert "7 of 11 are above 3/8 in" in found.regions[1].sentence
    assert "highest 0.45" in found.sentence


def test_hall_is_mixed(job):
    found = what_is_the_old_roof(job("quillmark"))
    assert [r.kind for r in found.regions] == ["floats", "between", "floats", "floats"]
    assert found.regions[0].mean_in == pytest.approx(1.37, abs=0.01)  # job D
    assert found.regions[0].odd == ("1.90?: tall clip on a shim",)
    assert "1.11 to 1.45 in" in found.refused_kinds["notched sub-purlin"]
    assert found.strengthening.startswith("None may be counted")


def test_strengthening(job):
    assert what_is_the_old_roof(job("tamsel")).strengthening.startswith("Not counted")


@pytest.mark.parametrize(
    ("inches", "kind"),
    [
        (0.0, "sits"),
        (0.25, "sits"),
        (0.3, "low"),
        (0.375, "low"),
        (0.45, "between"),
        (0.7, "between"),
        (0.75, "floats"),
        (1.0, "floats"),
        (1.625, "floats"),
    ],
)
def test_bounds(inches, kind):
    assert kind_of(inches) == kind


def test_odd_rule():
    # hand: median .12, MAD .01, 3.5 x 1.4826 x .01 = .052; .31 is .19 away and more than 1/8 in
    assert odd_ones([0.12, 0.14, 0.10, 0.13, 0.31, 0.12, 0.11]) == (4,)
    assert odd_ones([0.12, 0.12, 0.12, 0.20]) == ()  # far in MADs, but only .08 in
    assert odd_ones([0.1, 1.4]) == ()


def test_far_reading_without_a_mark_is_named(job):
    found = old(job, {"readings": [0.12, 0.14, 0.10, 0.13, 0.31, 0.12, 0.11]})
    assert found.kind == "sits"
    assert "far from the other 6, 0.10 to 0.14" in found.regions[0].odd[0]


def test_unknown_and_between(job):
    assert old(job).kind == "unknown"
    assert old(job, {"readings": ["0.1?"]}).kind == "unknown"
    between = old(job, {"readings": [0.5, 0.55, 0.6]})
    assert (between.kind, between.open_kinds) == ("unknown", ())
    assert "engineer" in between.sentence
    assert old(job, {"readings": [1.4, 1.38]}).kind == "floats"
    assert old(job, {"readings": [0.1]}, {"readings": [1.4]}).kind == "mixed"


def test_two_kinds_in_one_group_are_told(job):
    found = old(job, {"readings": [0.1, 0.12, 0.11, 1.38, 1.4, 1.41, 1.39]})
    assert "part the region" in found.regions[0].sentence
    assert (found.kind, found.regions[0].count, found.regions[0].odd) == ("mixed", 7, ())
    assert "notched sub-purlin" in found.refused_kinds
    assert "0.10 to 0.12 in" in found.sentence


def test_remarks(job):
    hall = {r.item for r in remarks(job("quillmark"))}
    assert {"standoff", "slope_readings"} <= hall
    assert standoff_wanted(job("quillmark")) == 2 * 6 + 400_287 // 5_000 - 40  # area: check figure of job D
    assert remarks(job("tamsel")) == ()
    seam = job("tamsel").model_copy(
        update={"old_panel": job("tamsel").old_panel.model_copy(update={"kind": "snap seam"})}
    )
    assert any("snap seam" in r.text for r in remarks(seam))
    ribbed = job("quillmark").model_copy(update={"old_panel": job("tamsel").old_panel})
    assert any("floats in places" in r.text for r in remarks(ribbed))
