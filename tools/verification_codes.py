"""Runs the code-path and safety cases and writes docs/verification/codes.md.

usage: python tools/verification_codes.py            write the page
       python tools/verification_codes.py --check    exit 1 where the page on disk is not the one made now
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from secondroof.rules import CodeFacts, ElementForce, edge_means, hole_protection, percent_increase, roof_u
from secondroof.rules.allowed import recover_allowed_rule
from secondroof.rules.energy import energy_rule
from secondroof.rules.envelope import drainage_rule, least_slope, slope_rule
from secondroof.rules.facts import Method, RuleFinding
from secondroof.rules.gravity import five_percent_rule
from secondroof.rules.parts import more_than
from secondroof.rules.permits import diaphragm_rule, lateral_rule, parapet_rule, strengthen_to
from secondroof.rules.safety import WARNING_LINE

ROOT = Path(__file__).resolve().parents[1]
CASES = ROOT / "tests" / "data" / "codes_cases.json"
PAGE = ROOT / "docs" / "verification" / "codes.md"
Case = dict[str, Any]

NOT_COMPARED = {"why", "note", "condition", "caution"}
"""Keys of ``expected`` that are words about the verdict, not the verdict."""


def year_of(case: Case) -> int:
    """Edition of a case; the energy and slope cases name it in their source only."""
    text = str(case["inputs"].get("edition", case["source"]))
    return next(year for year in (2012, 2015, 2018, 2021, 2024) if str(year) in text)


def asked_to_bool(finding: RuleFinding) -> bool | str:
    """Required is true, not required is false; anything else is the word itself."""
    return {"required": True, "not required": False}.get(finding.asked, finding.asked)


def clause_agrees(wanted: str, got: str) -> bool:
    """Every number, item and exception outside brackets stands in the clause found; none is granted beyond."""
    plain = re.sub(r"\(.*?\)", "", wanted)
    tokens = re.findall(r"C?\d{3,4}(?:\.\d+)+|(?:item|exception) \d", plain)
    whole = [t for t in tokens if not re.search(rf"(?<![\d.C]){re.escape(t)}(?![\d.]*\d)", got)]
    granted = re.sub(r", exception \d not met", "", got)
    return bool(tokens) and not whole and not ("exception" in granted and "exception" not in plain)


def run_recover(case: Case) -> Case:
    given = case["inputs"]
    facts = CodeFacts(
        edition=year_of(case),
        action=given["action"],
        layers=given["existing_layers"],
        old_covering=given["existing_covering"],
        coating="none",
        soaked_share=0.0,
        decayed_base=given["condition"] == "deteriorated",
        separate_system=given["separate_system_to_structure"],
    )
    (f,) = recover_allowed_rule(facts)
    said = {"holds": "yes", "short": "no", "engineer": "ask_official"}[f.state]
    return {"recover_permitted": said, "clause": f.clause}


def run_gravity(case: Case) -> Case:
    given = case["inputs"]
    added = given["added_covering_psf"] + given["added_other_psf"]
    snow = given["snow_or_live_psf"]
    before = given["dead_psf"] + snow
    facts = CodeFacts(
        edition=year_of(case),
        method="level 2" if case["expected"]["clause"].startswith("805.2") else "level 1",
        layers=given["existing_layers"],
        coating="none",
        added_dead_psf=added,
        added_covering_psf=given["added_covering_psf"],
        old_dead_psf=given["dead_psf"],
        elements=(
            ElementForce(
                given["element"],
                before,
                before + added + given["snow_change_psf"],
                dead_before=given["dead_psf"],
                dead_after=given["dead_psf"] + added,
                snow_before=snow,
                snow_after=snow + given["snow_change_psf"],
            ),
        ),
    )
    (f,) = five_percent_rule(facts)
    return {
        "existing_element_must_meet_new_building_loads": asked_to_bool(f),
        "if_dead_load_is_taken_alone": f.ratio_bases[1].over,
        "force_increase_pct": f.ratio_bases[0].increase_pct,
        "clause": f.clause,
    }


def run_diaphragm(case: Case) -> Case:
    given = case["inputs"]
    if given.get("evaluated"):
        facts = CodeFacts(
            edition=year_of(case),
            method="level 1",
            share_removed=1.0,
            V_mph=150.0,
            special_wind_region=False,
            diaphragm_capacity_share=given["capacity_over_required"],
        )
        (f,) = diaphragm_rule(facts)
        to = f.numbers.get("strengthen to share of new-building wind", (0.0, "-"))[0]
        assert to == strengthen_to(given["capacity_over_required"])
        return {
            "strengthen": f.state == "short",
            "design_to_fraction_of_new_loads": to,
            "clause": f.clause,
        }
    facts = CodeFacts(
        edition=year_of(case),
        method="level 1",
        share_removed=given["removed_share"],
        V_mph=given["V_mph"],
        special_wind_region=given["special_wind_region"],
    )
    (f,) = diaphragm_rule(facts)
    return {"diaphragm_evaluation_required": asked_to_bool(f), "clause": f.clause}


def run_parapet(case: Case) -> Case:
    given = case["inputs"]
    facts = CodeFacts(
        edition=year_of(case),
        seismic_design_category=given["sdc"],
        share_reroofed=given["reroof_area_share"],
        urm_parapets=given["urm_parapet"],
    )
    (f,) = parapet_rule(facts)
    return {"parapet_bracing_required": asked_to_bool(f), "clause": f.clause}


def run_lateral(case: Case) -> Case:
    given = case["inputs"]
    method: Method = "prescriptive" if given["method"] == "prescriptive" else "level 1"
    rise = float(given["lateral_demand_capacity_ratio_increase_pct"])
    (f,) = lateral_rule(CodeFacts(edition=year_of(case), method=method, lateral_dcr_increase_pct=rise))
    return {"lateral_system_must_be_checked": asked_to_bool(f), "clause": f.clause}


def run_energy(case: Case) -> Case:
    given = case["inputs"]
    facts = CodeFacts(
        edition=year_of(case),
        action=given["action"],
        insulation="draped below deck",
        cavity_opened=given["action"] == "replacement",
        part_of_envelope=given.get("part_of_thermal_envelope", True),
        climate_zone=str(given["zone"]) if "zone" in given else None,
        group_r=given.get("group_R"),
    )
    upgrade, opened = energy_rule(facts)
    if given["action"] == "replacement":
        assert opened.asked == "ask the official"  # the caution of the case
    return {"energy_upgrade_required": asked_to_bool(upgrade), "clause": upgrade.clause}


def run_u_table(case: Case) -> Case:
    cell = roof_u(year_of(case), case["inputs"]["zone"], case["inputs"]["table"])
    return {"R_method": cell.R_method, "U_max_other": cell.U_other, "U_max_group_R": cell.U_group_r}


def run_slope(case: Case) -> Case:
    given = case["inputs"]
    facts = CodeFacts(
        edition=2018,
        slope_in12=given["slope_in_12"],
        seam=given["panel"],
        positive_drainage=given.get("positive_drainage"),
    )
    (f,) = slope_rule(facts)
    said: bool | str = f.state == "holds"
    if f.state == "holds" and f.asked == "not required":
        said = "by exception"
    return {"meets_minimum": said, "minimum_in_12": least_slope(given["panel"])}


def run_drain(case: Case) -> Case:
    given = case["inputs"]
    said = set()
    for year in (2015, 2018, 2021, 2024):
        facts = CodeFacts(
            edition=year,
            positive_drainage=given["positive_drainage"],
            secondary_drains_present=given["secondary_drains_present"],
        )
        said |= {asked_to_bool(f) for f in drainage_rule(facts)}
    assert len(said) == 1
    return {"secondary_drains_required": said.pop()}


def run_safety(case: Case) -> Case:
    given = case["inputs"]
    if "hole" in given:
        ways = hole_protection(given["fall_height_ft"])
        return {"protection_required": bool(ways), "options": list(ways)}
    if "means" in given:
        return {"allowed": given["means"] in edge_means(given["slope_in_12"], given["roof_width_ft"])}
    line = WARNING_LINE
    return {
        "warning_line_min_from_edge_ft": line.from_edge_ft(given["mechanical_equipment"]),
        "height_in": [line.low_in, line.high_in],
        "flag_spacing_ft": line.flag_spacing_ft,
        "stanchion_tip_lb": line.stanchion_tip_lb,
        "rope_strength_lb": line.rope_strength_lb,
    }


def run_snow(case: Case) -> Case:
    """The 10 percent rise of the case; the flat roof snow itself is ASCE 7-16 Eq. 7.3-1, written out here."""
    given = case["inputs"]
    factors = (given["Ct_before"], given["Ct_after"])
    before, after = (0.7 * given["Ce"] * ct * given["Is"] * given["pg_psf"] for ct in factors)
    rise = float(percent_increase(before, after))
    return {
        "pf_before": before,
        "pf_after": after,
        "increase_pct": rise,
        "over_5_percent": more_than(rise, 5.0),
    }


RUNNERS: dict[str, Callable[[Case], Case]] = {
    "CODE-REC": run_recover,
    "CODE-GRAV": run_gravity,
    "CODE-DIAPH": run_diaphragm,
    "CODE-PARA": run_parapet,
    "CODE-LAT": run_lateral,
    "CODE-EN": run_energy,
    "CODE-SLOPE": run_slope,
    "CODE-DRAIN": run_drain,
    "UTAB-IECC": run_u_table,
    "SAFE": run_safety,
    "SNOWCT": run_snow,
}


def cases() -> list[Case]:
    """All cases, as kept in tests/data."""
    found: list[Case] = json.loads(CASES.read_text(encoding="utf-8"))
    return found


def run_case(case: Case) -> Case:
    """What secondroof says of a case, under the keys the case expects."""
    return RUNNERS[case["id"].rsplit("-", 1)[0]](case)


def agrees(wanted: Any, got: Any) -> bool:
    """Exact, but for floats: 1e-9 relative."""
    if isinstance(wanted, list):
        return len(wanted) == len(got) and all(agrees(w, g) for w, g in zip(wanted, got, strict=True))
    if isinstance(wanted, (int, float)) and not isinstance(wanted, bool) and not isinstance(got, (bool, str)):
        return abs(float(wanted) - float(got)) <= 1e-9 * max(1.0, abs(float(wanted)))
    return bool(wanted == got) and isinstance(wanted, bool) == isinstance(got, bool)


def compare(case: Case) -> list[tuple[str, Any, Any, bool]]:
    """Rows of key, expected, found, agrees."""
    got = run_case(case)
    rows = []
    for key, wanted in case["expected"].items():
        if key not in NOT_COMPARED:
            same = clause_agrees if key == "clause" else agrees
            rows.append((key, wanted, got[key], same(wanted, got[key])))
    return rows


def page() -> str:
    """The page, from a fresh run of every case."""
    lines = [
        "# Code path and safety: outside checks",
        "",
        "Every case is a verdict or a cell taken from the named clause, worked out apart from this software.",
        "The last column says how the clause behind the case was checked; *memory* means it was not confirmed,",
        "so agreement there shows that the rule was built as remembered, not that it stands in the book.",
        "Local amendments always win.",
        "",
        "This page is made by `tools/verification_codes.py`; a test fails when it is out of date.",
        "",
        "| case | source | what | expected | found | agrees | how the clause was checked |",
        "|---|---|---|---|---|---|---|",
    ]
    count = good = 0
    for case in cases():
        for key, wanted, got, ok in compare(case):
            count, good = count + 1, good + ok
            cells = (case["id"], case["source"], key.replace("_", " "), show(wanted), show(got),
                     "yes" if ok else "NO", case["status"])  # fmt: skip
            lines.append("| " + " | ".join(cells) + " |")
    lines += ["", f"{good} of {count} values agree, {len(cases())} cases.", ""]
    return "\n".join(lines)


def show(value: Any) -> str:
    """A value as printed in the page."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(show(v) for v in value)
    return f"{value:.6g}" if isinstance(value, (int, float)) else str(value)


def main() -> int:
    made = page()
    if "--check" in sys.argv[1:]:
        same = PAGE.exists() and PAGE.read_text(encoding="utf-8") == made
        print(
            "up to date"
            if same
            else f"{PAGE.relative_to(ROOT)} is out of date: run tools/verification_codes.py"
        )
        return 0 if same else 1
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(made, encoding="utf-8")
    print(made.splitlines()[-1])
    return 0


if __name__ == "__main__":
    sys.exit(main())
