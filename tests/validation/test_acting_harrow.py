"""Snow of whole roofs against printed examples and a veteran's figures.

Sources, each named beside its number:

* the veteran's notes that come with the invented mountain shop (Harrow Pass): flat roof snow by risk category and
  thermal factor, unbalanced snow "about 74" and "63" psf; two figures and round numbers, so 1 percent is asked;
* MBMA Metal Building Systems Manual 2012, snow load example 1.3.5.14(b), ASCE 7-10;
* O'Rourke, Snow Loads: Guide to the Snow Load Provisions of ASCE 7-10, example 4-3;
* SK&A Structural Engineers, "Snow Drift Loads: ASCE 7-16 vs 7-22", a roof step in 7-16 and in 7-22;
* clauses of ASCE 7-16 worked by hand in the comments.

Inputs and printed values of the examples are in tests/data/loads_cases.json.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import secondroof as sr
from secondroof.acting.model import Case, Part
from secondroof.acting.snow import snow
from secondroof.findings.geometry import build_roof
from secondroof.survey.ground import GroundRules
from secondroof.survey.models import Edges, Plane, RoofNear, Survey

CASES = {
    c["id"]: c
    for c in json.loads(
        (Path(__file__).parents[1] / "data" / "loads_cases.json").read_text(encoding="utf-8")
    )["cases"]
}


def harrow(near: tuple[RoofNear, ...] = (), **rules: Any) -> Survey:
    """Harrow Pass with its snow rules set here, whatever the example file says of them."""
    found = sr.load(sr.example("harrow-pass-district-shop"))
    told = {
        "ground_snow": 60.0,
        "roof_exposure": "partially exposed",
        "thermal_now": "heated",
        "thermal_after": "cold ventilated",
        "entered_thermal_factor": None,
        "snow_slides_off": None,
        "risk_category": "IV",
        **rules,
    }
    return found.model_copy(
        update={
            "ground_rules": found.ground_rules.model_copy(update=told),
            "building": found.building.model_copy(update={"roofs_near": near, "blocks": ()}),
            "edges": Edges(parapet_walls=()),
            "roof_items": (),
        }
    )


def of(survey: Survey, edition: str = "7-16") -> tuple[Part, dict[str, Case]]:
    part = snow(survey, survey.recovers[0], build_roof(survey, None), edition)
    return part, {c.key: c for c in part.cases}


@pytest.mark.parametrize(
    ("risk", "condition", "printed"),
    [
        ("IV", "heated", 50.4),
        ("IV", "cold ventilated", 55.4),
        ("IV", "unheated", 60.5),
        ("II", "heated", 42.0),
        ("II", "cold ventilated", 46.2),
        ("II", "unheated", 50.4),
    ],
)
def test_flat_roof_snow_of_the_notes(risk: str, condition: str, printed: float) -> None:
    _, found = of(harrow(risk_category=risk, thermal_after=condition))
    assert found["snow.balanced.after"].headline_psf == pytest.approx(printed, abs=0.05)  # printed to 0.1


@pytest.mark.parametrize(("risk", "printed"), [("IV", 74.0), ("II", 63.0)])
def test_unbalanced_snow_of_the_notes(risk: str, printed: float) -> None:
    _, found = of(harrow(risk_category=risk))
    for plane in ("N", "S"):
        assert found[f"snow.unbalanced.{plane}.before"].headline_psf == pytest.approx(printed, rel=0.01)


def test_unbalanced_snow_lies_on_the_upper_part_of_the_leeward_slope() -> None:
    # 7-16 7.6.1: h_d = sqrt(1.2) (0.43 x 60^(1/3) x 70^(1/4) - 1.5) = 1.09545 x 3.36934 = 3.69093; S = 12, gamma 21.8
    # 21.8 x 3.69093 / sqrt(12) = 23.227 over 8 x 3.69093 x sqrt(12) / 3 = 34.095 of the 60 ft
    _, found = of(harrow())
    upper = [p for p in found["snow.unbalanced.N.before"].patches if p.psf[0] > 51]
    assert len(upper) == 1 and upper[0].plane == "N"
    assert upper[0].y1_ft == pytest.approx(60.0) and upper[0].y0_ft == pytest.approx(60 - 34.095, abs=0.005)
    assert upper[0].psf[0] == pytest.approx(50.4 + 23.227, abs=0.005)


def test_drift_from_the_salt_shed() -> None:
    # 9 ft off, 14 ft higher, 40 ft deep, bays 2 to 4 (25 to 100 ft). 7-16 7.7.2:
    # h_d = 1.09545 (0.43 x 40^(1/3) x 70^(1/4) - 1.5) = 1.09545 x 2.75368 = 3.01651; (6 x 14 - 9)/6 = 12.5 does not cut
    # 21.8 x 3.01651 = 65.760 over 6 x 3.01651 = 18.099 ft; windward from 120 ft is lower there: 0.75 x 5.0774 = 3.808,
    # w 15.232: 83.02 x 6.232/15.232 = 33.97 at the edge over 6.2 ft
    shed = RoofNear(what="salt shed", side="N", stands="higher", step=14, gap=9, depth=40, first=25, last=100)
    part, found = of(harrow((shed,)))
    assert not any("windward" in k for k in found) and not part.needs
    for when, balanced in (("before", 50.4), ("after", 55.44)):
        c = found[f"snow.drift.salt-shed.{when}"]
        assert c.headline_psf == pytest.approx(balanced + 65.760, abs=0.01)
        over = [p for p in c.patches if max(p.psf) > balanced + 0.01]
        assert {(p.plane, p.x0_ft, p.x1_ft, p.y0_ft) for p in over} == {("N", 25.0, 100.0, 0.0)}
        assert over[0].y1_ft == pytest.approx(18.099, abs=0.005)


def test_what_goes_onto_the_lean_to() -> None:
    # sliding, 7-16 7.9: 0.4 x 50.4 x 60 = 1209.6 lb/ft, 80.64 psf over 15 ft; after 0.4 x 55.44 x 60 = 1330.56
    # and 88.70 psf
    # drift, 7.7.1: l_u 120: 1.09545 x (0.43 x 4.93242 x 2.89251 - 1.5) = 5.07738, under 0.6 x 24 = 14.4;
    # h_c = 6 - 50.4/21.8 = 3.68807: 21.8 x 3.68807 = 80.4 psf
    # w = 4 x 5.07738^2 / 3.68807 = 27.960 (8 h_c = 29.5), more than its 24 ft
    lean_to = RoofNear(what="lean-to", side="S", stands="lower", step=6, gap=0, depth=24)
    _, found = of(harrow((lean_to,)))
    assert "1,209.6 lb" in found["snow.sliding.lean-to.before"].sentence
    assert "80.6 psf" in found["snow.sliding.lean-to.before"].sentence
    assert "1,330.6 lb" in found["snow.sliding.lean-to.after"].sentence
    assert "88.7 psf" in found["snow.sliding.lean-to.after"].sentence
    drift = found["snow.drift.onto-lean-to.before"]
    assert (
        "80.4 psf" in drift.sentence
        and "28'-0\"" in drift.sentence
        and "cut at its 24'-0\"" in drift.sentence
    )
    assert not drift.patches


def gable(
    slope: float, run: float, length: float, near: tuple[RoofNear, ...], rules: dict[str, Any]
) -> Survey:
    """A plain gable with the ground rules of a printed example."""
    base = harrow(near)
    planes = tuple(Plane(name=n, run=run, slope=slope) for n in ("N", "S"))
    building = base.building.model_copy(
        update={"planes": planes, "width": 2 * run, "length": length, "bays": (length,)}
    )
    told = GroundRules(source="printed example", **rules)
    insulation = base.insulation.model_copy(update={"installed_r": 30.0, "nominal_r": 30.0})
    return base.model_copy(update={"building": building, "ground_rules": told, "insulation": insulation})


def test_metal_building_manual_example() -> None:
    case = CASES["mbma-1.3.5.14b"]
    x, printed = case["inputs"], case["expected"]
    survey = gable(
        x["slope_rise_per_12"],
        x["W_eave_to_ridge_ft"],
        100.0,
        (),
        {
            "ground_snow": x["pg"],
            "exposure": "C",
            "roof_exposure": "fully exposed",  # C_e 0.9
            "risk_category": x["risk_category"],
            "thermal_now": "heated",
            "thermal_after": "heated",
            "snow_slides_off": True,
        },
    )
    part, found = of(survey, x["edition"])
    steps = {s.symbol: float(s.result) for s in found["snow.balanced.before"].steps}
    assert steps["C_e"] == x["Ce"] and steps["C_t"] == x["Ct"] and steps["I_s"] == x["Is"]
    assert steps["C_s"] == pytest.approx(printed["Cs"], abs=0.008)  # printed 0.86; 1 - 9.04/65 = 0.861
    assert steps["p_f"] == pytest.approx(printed["pf"], abs=0.05)
    assert steps["p_m"] == pytest.approx(printed["pm"])
    assert found["snow.balanced.before"].headline_psf == pytest.approx(printed["pm"])  # the minimum governs
    unbalanced = {s.symbol: float(s.result) for s in found["snow.unbalanced.N.before"].steps}
    assert unbalanced["h_d"] == pytest.approx(printed["hd_ft"], abs=0.01)
    assert unbalanced["gamma"] == pytest.approx(printed["gamma_pcf"])
    assert not part.needs


def test_snow_guide_example_4_3() -> None:
    case = CASES["orourke-4-3"]
    x, printed = case["inputs"], case["expected"]
    survey = gable(
        x["slope_rise_per_12"],
        x["W_eave_to_ridge_ft"],
        200.0,
        (),
        {
            "ground_snow": x["pg"],
            "exposure": "C",
            "roof_exposure": "partially exposed",  # C_e 1.0
            "risk_category": "II",
            "thermal_now": "unheated",
            "thermal_after": "unheated",
        },
    )
    _, found = of(survey, x["edition"])
    c = found["snow.balanced.before"]
    steps = {s.symbol: float(s.result) for s in c.steps}
    assert steps["p_s"] == pytest.approx(printed["ps"]) and steps["C_s"] == printed["Cs"]
    assert steps["p_m"] == pytest.approx(printed["pm"])
    assert "rain on snow" not in c.sentence and c.headline_psf == pytest.approx(printed["ps"])


def test_roof_step_in_two_editions() -> None:
    case = CASES["ska-drift-7-16"]
    x, printed = case["inputs"], case["expected"]
    high = RoofNear(what="high", side="E", stands="higher", step=x["step_ft"], gap=0, depth=x["lu_ft"])
    rules = {
        "ground_snow": x["pg"],
        "exposure": "C",
        "roof_exposure": "partially exposed",
        "risk_category": "II",
        "thermal_now": "heated",
        "thermal_after": "heated",
    }
    _, found = of(gable(1.0, 60.0, x["lower_roof_ft"], (high,), rules), "7-16")
    c = found["snow.drift.high.before"]
    assert c.headline_psf == pytest.approx(printed["peak_psf"], abs=0.2)
    assert {p.plane for p in c.patches} == {"N", "S"}
    # 7-22 of the same page: p_g 63, W_2 0.45, C_t 1.0: peak "about 89" psf; the factor is entered
    rules |= {
        "ground_snow": 63.0,
        "winter_wind": 0.45,
        "entered_thermal_factor": {"now": 1.0, "after": 1.0, "page": "the page"},
    }
    _, found = of(gable(1.0, 60.0, x["lower_roof_ft"], (high,), rules), "7-22")
    assert found["snow.drift.high-leeward.before"].headline_psf == pytest.approx(89.0, abs=0.5)
    assert "snow.drift.high-windward.before" in found


def test_the_example_file_itself() -> None:
    """The shop as it stands in the examples: its two recovers give two thermal factors, its neighbours their drifts."""
    survey = sr.load(sr.example("harrow-pass-district-shop"))
    roof = build_roof(survey, None)
    found = {r.name: {c.key: c for c in snow(survey, r, roof, "7-16").cases} for r in survey.recovers}
    assert found["R1"]["snow.balanced.before"].headline_psf == pytest.approx(50.4)
    assert found["R1"]["snow.balanced.after"].headline_psf == pytest.approx(50.4)
    assert found["R2"]["snow.balanced.after"].headline_psf == pytest.approx(55.44)
    for name in ("R1", "R2"):
        assert found[name]["snow.drift.salt-shed.before"].headline_psf == pytest.approx(116.16, abs=0.01)


def test_block_drift_of_the_distribution_hall() -> None:
    # Quillmark: a block 20 ft higher in one corner; p_g 20, gamma 16.6, heated: p_s 14.0, h_b 0.843, so nothing
    # cuts a drift under 19 ft. Windward drift from L feet of roof: 0.75 (0.43 L^(1/3) x 30^(1/4) - 1.5), 7-16, I_s 1.0.
    survey = sr.load(sr.example("quillmark-distribution-hall"))
    roof = build_roof(survey, None)
    found = {c.key: c for c in snow(survey, survey.recovers[0], roof, "7-16").cases}
    (block,) = survey.building.blocks
    drifts = {k.split(".")[2]: c for k, c in found.items() if "drift.mezz" in k and k.endswith("before")}
    assert len(drifts) == 2  # in a corner: two faces have roof before them
    before = {
        "along": max(block.along_from, roof.length_ft - block.along_to),
        "across": max(block.across_from, roof.width_ft - block.across_to),
    }
    want = sorted(14.0 + 16.6 * 0.75 * (0.43 * L ** (1 / 3) * 30**0.25 - 1.5) for L in before.values())
    got = sorted(c.headline_psf or 0.0 for c in drifts.values())
    assert got == pytest.approx(want, rel=1e-9)
    # 600 ft roof less 60 and 667 less 100, as the notes give the block: 540 ft and 567 ft
    assert got == pytest.approx([97.4, 99.0], abs=0.1)
