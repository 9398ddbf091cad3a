"""Code path rows: what is known of the roof told to the rules room, and its answers turned into checks."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from secondroof.acting.where import least_slope_in12, slope_readings_in12
from secondroof.checks.model import Check, Need, OtherWay, State
from secondroof.findings.context import Context
from secondroof.findings.gravity import gravity
from secondroof.findings.words import said
from secondroof.rules.codepath import code_path
from secondroof.rules.facts import CodeFacts, Insulation, Method, RuleFinding, Seam
from secondroof.rules.safety import CautionFacts, cautions

if TYPE_CHECKING:
    from secondroof.acting.gathered import Acting
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

METHODS: dict[str, Method] = {"work area": "level 1", "prescriptive": "prescriptive"}
INSULATION: dict[str, Insulation] = {
    "draped over purlins": "draped below deck",
    "between purlins": "draped below deck",
    "above deck": "above deck",
    "none": "none",
}
URM = {"none": False, "reinforced": False, "unreinforced": True}
#: Words for what burns; facts of the trade, no source.
BURNS = re.compile(
    r"polystyrene|polyiso|urethane|phenolic|foam|\b(?:xps|eps|pir|pur|plastic|wood|wooden|plywood|timber|lumber)\b",
    re.I,
)
NONE = re.compile(r"\s*(?:none|no)\b", re.I)
READERS = ("owner", "engineer", "official", "shop", "crew", "surveyor")


def code_facts(c: Context, hold_state: State, acting: Acting) -> CodeFacts:
    """What the code path is asked about, from survey and recover; a blank stays blank."""
    s, r, g = c.survey, c.recover, gravity(c, acting)
    rules, old, ins, edges = s.ground_rules, s.old_panel, s.insulation, s.edges
    added = None if math.isnan(c.added_psf) else c.added_psf
    covering = sum(i.psf for i in c.weight if i.covering)
    seam: Seam = "standing seam" if r.panel.kind == "standing seam" else "lapped, with lap sealant"
    coating = old.coating
    flattest = min(c.roof.planes, key=lambda p: least_slope_in12(s, p)[0])
    return CodeFacts(
        edition=rules.building_code,
        method=METHODS.get(rules.code_method or ""),
        layers=old.layers,
        old_covering=None if old.kind is None else "metal panel",
        coating=coating if coating is None or coating.lower() != "none" else "none",
        coating_counts=rules.official_says.coating_is_a_layer,
        soaked_share=ins.wet_share
        if ins.wet_share is not None
        else 0.0
        if ins.spots_cut and ins.spots_wet == 0
        else None,
        soaked_removed=r.removes_wet,
        decayed_base=None if old.base is None else old.base == "decayed",
        separate_system=rules.official_says.separate_system,
        official_counts_framing=rules.official_says.framing_is_covering,
        added_dead_psf=added,
        added_covering_psf=None if math.isnan(covering) else covering,
        old_dead_psf=None if g.old_dead_psf is None else min(g.old_dead_psf.values()),
        live_psf=g.live_psf,
        snow_before_psf=g.snow_before_psf,
        snow_after_psf=g.snow_after_psf,
        old_dead_reckoned=g.reckoned or None,
        elements=(*g.purlins, *g.frames),
        bundle=_bundle(r, acting),
        new_cover_wind_shown=None if hold_state == "unknown" else hold_state == "holds",
        share_removed=r.removed_share,
        strips_cut=r.removed_share > 0,
        V_mph=rules.wind_speed,
        special_wind_region=rules.special_wind_region,
        seismic_design_category=rules.seismic_category,
        share_reroofed=1.0,
        slope_in12=flattest.slope_in12,
        slope_readings_in12=slope_readings_in12(s, flattest),
        panel_min_slope_in12=r.panel.least_slope,
        seam=seam,
        insulation=INSULATION.get(ins.where or ""),
        cavity_opened=r.opens_insulation,
        cavity_vented=None if r.cavity is None else r.cavity == "vented",
        part_of_envelope=None if ins.space is None else ins.space != "unheated",
        foam_in_cavity=False if r.insulation is None else r.insulation.combustible,
        foam_found=_burns(s),
        fire_tested=None if r.insulation is None else r.insulation.fire_tested,
        positive_drainage=None if edges.water_stands is None else not edges.water_stands,
        water_trapped=None if edges.drainage is None else edges.drainage != "over the eaves",
        secondary_drains_present=None
        if edges.secondary_drains is None
        else edges.secondary_drains == "present",
        urm_parapets=URM.get(edges.masonry_parapets or ""),
        climate_zone=rules.climate_zone,
        lower_roof_near=None if s.building.roofs_beside is None else s.building.roofs_beside != "none",
        suspect_asbestos=_asbestos(s),
        coastal_certificate=rules.coastal_certificate,
        insurer_asks=None if rules.insurer_factor is None else rules.insurer_factor > 1.0,
        insurer_factor=rules.insurer_factor,
    )


def _bundle(recover: Recover, acting: Acting) -> str | None:
    """Where the recover's bundle is set on the purlins; None where it gives none."""
    case = next((k for k in acting.cases if k.key == "bundle.after"), None)
    if case is not None:
        return case.sentence
    if recover.bundle is None:
        return None
    return f"{recover.bundle.weight:,.0f} lb are given, and they do not stand whole on lines where they are set down."


def _burns(s: Survey) -> str | None:
    """Foam or wood in the old roof, in the survey's words; ``none`` where it says none, None where it says nothing."""
    said = [words for words in (s.thermal_blocks, s.insulation.kind) if words]
    found = [words for words in said if BURNS.search(words) and not NONE.match(words)]
    if found:
        return "; ".join(found)
    return None if s.thermal_blocks is None else "none"


def _asbestos(s: Survey) -> bool | None:
    word = s.surroundings.asbestos
    return None if word is None else word in ("suspected, not tested", "tested, present")


def code_rows(c: Context, hold_state: State, acting: Acting) -> tuple[Check, ...]:
    """Rows of the code path, in the order of the permit memo."""
    found = code_path(code_facts(c, hold_state, acting))
    return tuple(_row(f"C-{i:02d}", rule) for i, rule in enumerate(found, start=1))


def _row(number: str, rule: RuleFinding) -> Check:
    ways = tuple(
        OtherWay(
            f"{b.basis}: {b.before:.2f} to {b.after:.2f} {b.unit}, up {b.increase_pct:.1f} % against {b.limit_pct:g} %",
            b.increase_pct / b.limit_pct,
            "short" if b.over else "holds",
        )
        for b in rule.ratio_bases
    )
    numbers = "; ".join(f"{name} {value:g} {unit}".strip() for name, (value, unit) in rule.numbers.items())
    return Check(
        id=number,
        key=rule.key,
        what=rule.subject,
        where="whole roof",
        whose=rule.whose,
        state=rule.state,
        clause=f"{rule.clause} ({rule.clause_checked})",
        sentence=said(rule.state, rule.sentence),
        asked=rule.asked,
        basis=numbers,
        both_ways=ways,
        needs=tuple(Need(n.what, n.where, n.decides, "estimator") for n in rule.needs),
    )


def caution_texts(c: Context) -> dict[str, tuple[str, ...]]:
    """Cautions by reader."""
    s = c.survey
    items = s.roof_items
    glass = None if items is None else [i for i in items if i.kind in ("skylight", "smoke vent")]
    soft = (
        None
        if s.old_panel.walkable is None
        else s.old_panel.walkable != "yes, on lines" or bool(s.old_panel.not_walkable)
    )
    spots = s.insulation.spots_wet
    facts = CautionFacts(
        skylights=None if glass is None else bool(glass),
        skylights_painted_over=None if glass is None else any(g.painted_over for g in glass),
        width_ft=min(c.roof.length_ft, c.roof.width_ft),
        slope_in12=max(p.slope_in12 for p in c.roof.planes),
        soft_sheet=soft,
        power_lines=None
        if s.surroundings.power_lines is None
        else s.surroundings.power_lines.lower() not in ("none", "none near"),
        asbestos_suspect=_asbestos(s),
        wet_bagging=None if spots is None else spots > 0,
        sheet_opened=c.recover.removed_share > 0 or c.recover.framing.kind == "line on base brackets",
    )
    return {reader: tuple(a.shown for a in cautions(reader, facts)) for reader in READERS}  # type: ignore[arg-type]
