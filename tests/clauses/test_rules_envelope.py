"""Slope, drainage, fire, energy path and table cells; neighbours, asbestos, coast, insurer."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args

import pytest

from secondroof.errors import InputError, NotFoundError
from secondroof.rules import CodeFacts, RuleFinding, least_slope, roof_u
from secondroof.rules.energy import energy_rule, zone_number
from secondroof.rules.envelope import drainage_rule, fire_rule, slope_rule
from secondroof.rules.facts import Seam
from secondroof.rules.outside import asbestos_rule, coastal_rule, insurer_rule, neighbour_snow_rule

YEARS = (2012, 2015, 2018, 2021, 2024)


def slope(**changes: Any) -> RuleFinding:
    facts = CodeFacts(edition=2018, seam="standing seam", slope_in12=1.0, positive_drainage=True)
    (found,) = slope_rule(replace(facts, **changes))
    return found


@pytest.mark.parametrize("year", YEARS)
@pytest.mark.parametrize(
    ("seam", "least"),
    [("lapped, no sealant", 3.0), ("lapped, with lap sealant", 0.5), ("standing seam", 0.25)],
)
def test_least_slope_by_seam(year: int, seam: Any, least: float) -> None:
    # IBC 1507.4.2 (2012 text seen)
    assert least_slope(seam) == least
    assert slope(edition=year, seam=seam, slope_in12=least).state == "holds"
    assert slope(edition=year, seam=seam, slope_in12=least, positive_drainage=False).state == "holds"
    assert slope(edition=year, seam=seam, slope_in12=0.99 * least, positive_drainage=False).state == "short"


@pytest.mark.parametrize("seam", get_args(Seam)[:2])
def test_the_relief_does_not_reach_lapped_panels(seam: Any) -> None:
    f = slope(seam=seam, slope_in12=0.4)
    assert f.state == "short"
    assert "1/4:12 only" in f.sentence


def test_the_relief_needs_drainage() -> None:
    assert (slope(slope_in12=0.125).state, slope(slope_in12=0.125).asked) == ("holds", "not required")
    assert slope(slope_in12=0.125, positive_drainage=None).state == "unknown"
    assert slope(slope_in12=0.125, positive_drainage=False).state == "short"


def test_the_panels_own_limit_may_be_steeper() -> None:
    assert slope(slope_in12=0.46, panel_min_slope_in12=0.5).state == "short"
    assert slope(slope_in12=0.5, panel_min_slope_in12=0.5).state == "holds"
    assert slope().needs  # not given: listed, though the code's limit holds


def test_the_lowest_reading_decides_the_slope() -> None:
    # IBC 1507.4.2: 1/4:12 for standing seam; a stated slope is never a pass over a lower reading
    read = (0.26, 0.25, 0.22, 0.20, 0.15)
    f = slope(slope_in12=0.25, slope_readings_in12=read, positive_drainage=None)
    assert (f.state, f.asked) == ("engineer", "required")
    assert "0.25:12 as stated and 0.15:12 at the lowest of 5 readings, 3 of them under 0.25:12" in f.sentence
    assert any("48 hours" in n.what for n in f.needs)
    assert slope(slope_in12=0.25, slope_readings_in12=read, positive_drainage=False).state == "short"
    assert slope(slope_in12=0.25, slope_readings_in12=read).asked == "not required"  # it drains: the relief
    assert slope(slope_in12=0.25, slope_readings_in12=(0.2, 0.2), positive_drainage=None).state == "unknown"
    assert slope(slope_in12=0.25, slope_readings_in12=(0.3, 0.26), positive_drainage=False).state == "holds"
    lapped = "lapped, with lap sealant"
    assert slope(seam=lapped, slope_in12=0.5, slope_readings_in12=(0.5, 0.4)).state == "engineer"
    assert slope(seam=lapped, slope_in12=0.5, slope_readings_in12=(0.45, 0.4)).state == "short"
    assert slope(slope_in12=1.0, slope_readings_in12=(1.0, 0.4), panel_min_slope_in12=0.5).state == "engineer"
    assert slope(slope_in12=1.0, slope_readings_in12=(0.4,), panel_min_slope_in12=0.5).state == "short"


def test_what_burns_in_the_old_roof_is_for_the_official() -> None:
    facts = CodeFacts(edition=2021, old_covering="metal panel", foam_in_cavity=False, foam_found="none")
    (f,) = fire_rule(replace(facts, foam_found="1 in polystyrene on every purlin"))
    assert (f.state, f.asked) == ("engineer", "ask the official")
    assert "1 in polystyrene on every purlin" in f.sentence
    assert fire_rule(replace(facts, foam_found=None))[0].state == "unknown"
    assert fire_rule(replace(facts, foam_found="none"))[0].state == "holds"


def test_slope_unknown_and_wrong_seam() -> None:
    assert slope(slope_in12=None).state == "unknown"
    assert slope(seam=None).state == "unknown"
    with pytest.raises(InputError, match="standing seam"):
        least_slope("welded")  # type: ignore[arg-type]


def drains(**changes: Any) -> RuleFinding:
    facts = CodeFacts(
        edition=2018, positive_drainage=True, secondary_drains_present=False, water_trapped=True
    )
    (found,) = drainage_rule(replace(facts, **changes))
    return found


def test_secondary_drains_by_edition() -> None:
    # before 2015 a reroof had to add them; since then not where the roof drains (summaries)
    assert (drains(edition=2012).state, drains(edition=2012).asked) == ("short", "required")
    for year in YEARS[1:]:
        assert drains(edition=year).asked == "not required"
        assert drains(edition=year, positive_drainage=False).state == "short"
        assert drains(edition=year, positive_drainage=None).state == "unknown"
    assert drains(edition=2012, water_trapped=None).state == "unknown"


def test_secondary_drains_stay() -> None:
    gone = {"secondary_drains_present": True, "secondary_drains_kept": False}
    assert drains(edition=2024, **gone).state == "short"
    assert drains(edition=2018, **gone).asked == "ask the official"
    assert drains(secondary_drains_present=True, secondary_drains_kept=True).state == "holds"
    assert drains(secondary_drains_present=True).state == "unknown"
    assert drains(secondary_drains_present=None).state == "unknown"
    assert drains(water_trapped=False, secondary_drains_present=None).asked == "not required"


def test_fire() -> None:
    facts = CodeFacts(edition=2018, old_covering="metal panel", foam_in_cavity=False, foam_found="none")
    assert fire_rule(facts)[0].state == "holds"
    assert fire_rule(replace(facts, old_covering=None))[0].state == "unknown"
    assert fire_rule(replace(facts, old_covering="wood shake"))[0].state == "unknown"
    assert fire_rule(replace(facts, foam_in_cavity=None))[0].state == "unknown"
    assert [fire_rule(replace(facts, foam_in_cavity=True, fire_tested=t))[0].state for t in (None, True, False)] == [
        "unknown", "holds", "short",
    ]  # fmt: skip


def energy(**changes: Any) -> tuple[RuleFinding, RuleFinding]:
    facts = CodeFacts(
        edition=2018,
        insulation="draped below deck",
        cavity_opened=False,
        part_of_envelope=True,
        climate_zone="5A",
    )
    upgrade, opened = energy_rule(replace(facts, **changes))
    return upgrade, opened


@pytest.mark.parametrize("year", YEARS)
def test_a_recover_is_excused(year: int) -> None:
    assert [f.asked for f in energy(edition=year)] == ["not required", "not required"]


def test_a_blanket_opened_from_above_is_a_question() -> None:
    upgrade, opened = energy(cavity_opened=True)
    assert upgrade.asked == "not required"
    assert (opened.state, opened.asked) == ("engineer", "ask the official")
    assert energy(cavity_opened=None)[1].state == "unknown"
    assert energy(edition=2012, cavity_opened=True)[0].asked == "ask the official"
    assert energy(edition=2012, cavity_opened=None)[0].state == "unknown"


def test_replacement_bites_only_over_insulation_above_the_deck() -> None:
    upgrade, opened = energy(action="replacement")
    assert (upgrade.asked, opened.asked) == ("not required", "ask the official")
    upgrade, _ = energy(action="replacement", insulation="above deck")
    assert upgrade.asked == "required"
    # U 0.032, insulation entirely above deck, zone 5 (read in a public copy)
    assert upgrade.numbers["largest U"] == (0.032, "Btu/(h ft2 F)")
    assert (
        energy(action="replacement", insulation="above deck", part_of_envelope=False)[0].asked
        == "not required"
    )
    assert energy(action="replacement", insulation=None)[0].state == "unknown"
    assert energy(action="replacement", insulation="above deck", part_of_envelope=None)[0].state == "unknown"
    no_table = energy(action="replacement", insulation="above deck", edition=2021)[0]
    assert "not kept here" in no_table.sentence


def test_a_vented_cavity_leaves_the_table() -> None:
    # 90.1-2022: a metal building roof has no ventilated cavity (seen)
    assert "no longer a metal building roof" in energy(cavity_vented=True)[0].sentence


@pytest.mark.parametrize(
    ("year", "zone", "cell"),
    [
        # read in a public copy whose companion rows are those of 2015 and 2018
        (2018, 1, ("R-19 + R-11 LS", 0.044, 0.035)),
        (2015, "2A", ("R-19 + R-11 LS", 0.035, 0.035)),
        (2018, "5B", ("R-19 + R-11 LS", 0.035, 0.035)),
        (2018, 8, ("R-30 + R-11 LS", 0.029, 0.029)),
        # from memory
        (2021, 8, ("R-25 + R-11 + R-11 LS", 0.026, 0.026)),
        (2024, "0A", ("R-19 + R-11 LS", 0.044, 0.035)),
    ],
)
def test_roof_u(year: int, zone: int | str, cell: tuple[str, float, float]) -> None:
    got = roof_u(year, zone)
    assert (got.R_method, got.U_other, got.U_group_r) == cell
    assert got.checked == ("seen" if year < 2021 else "from memory")


def test_roof_u_never_rises_with_the_zone() -> None:
    for year in (2015, 2018, 2021, 2024):
        values = [roof_u(year, z).U_other for z in range(1, 9)]
        assert values == sorted(values, reverse=True)


def test_cells_not_kept_and_zones_not_zones() -> None:
    with pytest.raises(NotFoundError, match="read it in the code in force"):
        roof_u(2012, 4)
    with pytest.raises(NotFoundError):
        roof_u(2018, 0)
    assert zone_number(" 4a ") == 4
    for wrong in ("9", "4D", "", "cold"):
        with pytest.raises(InputError, match="climate zone"):
            zone_number(wrong)


def test_neighbours() -> None:
    facts = CodeFacts(edition=2018, snow_before_psf=14.0)
    assert neighbour_snow_rule(facts)[0].state == "unknown"
    assert neighbour_snow_rule(replace(facts, lower_roof_near=True))[0].asked == "required"
    assert neighbour_snow_rule(replace(facts, lower_roof_near=False))[0].state == "holds"
    assert neighbour_snow_rule(replace(facts, snow_before_psf=0.0))[0].state == "holds"


def test_asbestos_is_looked_for_first() -> None:
    assert [asbestos_rule(CodeFacts(suspect_asbestos=s))[0].state for s in (None, True, False)] == [
        "unknown", "unknown", "holds",
    ]  # fmt: skip


def test_coast_and_insurer() -> None:
    (f,) = coastal_rule(CodeFacts(coastal_certificate=True))
    assert (f.state, f.asked) == ("engineer", "required")
    assert "before anything is covered" in f.sentence
    assert coastal_rule(CodeFacts())[0].state == "unknown"
    assert insurer_rule(CodeFacts())[0].state == "unknown"
    assert insurer_rule(CodeFacts(insurer_asks=False))[0].state == "holds"
    assert insurer_rule(CodeFacts(insurer_asks=True))[0].state == "unknown"
    states = [
        insurer_rule(CodeFacts(insurer_factor=2.0, insurer_shown=s))[0].state for s in (None, True, False)
    ]
    assert states == ["unknown", "holds", "short"]
    assert insurer_rule(CodeFacts(insurer_factor=2.0))[0].asked == "not required"
