"""Check one recover on one roof: every row, the verdict, and what is missing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

import secondroof
from secondroof.acting.frames import frames, on_frames_kip
from secondroof.acting.gathered import acting
from secondroof.acting.then_now import then_now
from secondroof.checks.model import Check, Need, Segments, SpacingRow, State, worst
from secondroof.errors import InputError, Problem
from secondroof.findings.case_rows import case_rows
from secondroof.findings.code_rows import caution_texts, code_rows
from secondroof.findings.context import Context, gather
from secondroof.findings.hold_rows import hold_rows, link_state, rows_at
from secondroof.findings.load_rows import load_rows, zone_rows
from secondroof.findings.model import Findings
from secondroof.findings.old_roof_rows import old_roof_rows
from secondroof.findings.old_steel_rows import old_steel_rows
from secondroof.findings.verdict import verdict
from secondroof.findings.words import said
from secondroof.purlins.found import purlins_found
from secondroof.purlins.ponding import ponding
from secondroof.recover.holddown import largest_spacing
from secondroof.survey.missing import what_is_missing

if TYPE_CHECKING:
    from secondroof.acting.frames import Frames
    from secondroof.acting.gathered import Acting
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover


#: Items of the survey that a check asks for in other words: said once.
SAME_AS = {
    "compliance method of the existing-building code": "method of the existing-building code",
    "asbestos in coatings, sealants, felts": "asbestos test of coatings, mastics, sealants and cement sheet",
}


def pick(survey: Survey, recover: str | None) -> Recover:
    """Recover of a survey by name; the first where none is named."""
    if not survey.recovers:
        raise InputError(
            Problem(
                "recovers",
                "none",
                "There is no recover to check.",
                "Add one under recovers: in the survey file.",
            )
        )
    if recover is None:
        return survey.recovers[0]
    for r in survey.recovers:
        if r.name == recover:
            return r
    names = ", ".join(r.name for r in survey.recovers)
    raise InputError(
        Problem("recover", recover, "There is no recover of that name.", f"Recovers here: {names}.")
    )


def findings(survey: Survey, recover: str | None = None) -> Findings:
    """Every check of one recover on one roof.

    Parameters
    ----------
    survey : Survey
        A survey that reads without problems.
    recover : str, optional
        Name of the recover; the first where none is named.

    Returns
    -------
    Findings
        The same survey, recover and version give the same findings, byte for byte.
    """
    return findings_of(gather(survey, pick(survey, recover)))


def findings_of(c: Context) -> Findings:
    """Findings from a gathered context."""
    hold = hold_rows(c)
    loads = load_rows(c)
    acts = acting_on(c)
    purlins = None if c.edition is None else purlins_found(c.survey, c.recover, c.roof, acts, c.edition)
    sections = None if purlins is None else purlins.sections
    pond = ponding(c.survey, c.recover, c.roof, c.edition, found=sections)
    hold_state: State = worst(r.state for r in hold) if hold else "unknown"
    checks = (
        *hold,
        *old_roof_rows(c),
        *old_steel_rows(c, acts, purlins, pond),
        *code_rows(c, hold_state, acts),
    )
    missing = _missing(c, checks, acts)
    rules = c.survey.ground_rules
    return Findings(
        job=c.survey.job.name,
        invented=c.survey.job.invented,
        recover=c.recover.name,
        recover_title=c.recover.title,
        version=secondroof.__version__,
        verdict=verdict(checks, missing),
        checks=checks,
        segments=_segments(c),
        zones=zone_rows(c),
        spacing=_spacing(c),
        weight=c.weight,
        added_psf=c.added_psf,
        missing=missing,
        old_roof=c.old_roof,
        roof=c.roof,
        rules={
            "building code": "not given"
            if rules.building_code is None
            else f"IBC and IEBC {rules.building_code}",
            "wind": "not given" if c.edition is None else f"ASCE {c.edition}",
            "V": "not given" if rules.wind_speed is None else f"{rules.wind_speed:g} mph",
            "exposure": rules.exposure or "not given",
            "risk category": rules.risk_category or "not given",
            "enclosure": c.enclosure.used + (" (assumed)" if c.enclosure.assumed else ""),
            "source": rules.source or "not given",
        },
        cautions=caution_texts(c),
        loads=loads,
        enclosure=c.enclosure.used,
        enclosure_reason=c.enclosure.reason,
        acting=acts,
        cases=case_rows(c.roof, acts, len(loads) + 1, None if purlins is None else purlins.loads),
        then_now=then_now(c.survey, c.roof, c.wind, need=c.wind_need),
        frames=_frames(c, acts),
        ponding=pond,
        purlins=purlins,
    )


def _segments(c: Context) -> Segments:
    s, links = c.strips, c.hold.links
    n = s.line.size
    ratios = {k.key: np.broadcast_to(np.asarray(c.hold.held[k.key].ratio, float), (n,)) for k in links}
    rank = {"short": 0, "unknown": 1, "engineer": 2, "holds": 3}
    state, governs = np.full(n, "unknown", dtype=object), np.full(n, "", dtype=object)
    ratio = np.full(n, np.nan)
    refused = c.recover.framing.kind in c.old_roof.refused_kinds
    for i in range(n):
        states = [(link_state(ratios[k.key][i], k.judged_by_engineer), k) for k in links]
        known = [(float(ratios[k.key][i]), k) for _, k in states if not math.isnan(ratios[k.key][i])]
        top = max(known, key=lambda v: v[0]) if known else None
        worst_state = min(states, key=lambda v: rank[v[0]])
        # the engineer's part of the line itself is one row of the verdict; a map of it on every line would say nothing
        shown = [v for v in states if v[0] != "engineer"] or states
        state[i] = "short" if refused else min(shown, key=lambda v: rank[v[0]])[0]
        governs[i] = top[1].key if state[i] in ("short", "holds") and top else worst_state[1].key
        ratio[i] = top[0] if top else np.nan
    return Segments(
        plane=s.plane,
        line=s.line,
        zone=s.zone,
        x0_ft=s.x0_ft,
        x1_ft=s.x1_ft,
        y_ft=s.y_ft,
        width_ft=s.width_ft,
        ratio=ratio,
        state=state,
        governs=governs,
        links=ratios,
    )


def _spacing(c: Context) -> tuple[SpacingRow, ...]:
    rows = []
    for zone in c.roof.zones:
        if c.wind is None or not (c.strips.zone == zone).any():
            continue
        found = largest_spacing(c.wind, c.design, c.hold, zone)
        left_out = (
            f" Left out, not known: {', '.join(u.lower() for u in found.left_out)}." if found.left_out else ""
        )
        governs = next((k.title.lower() for k in c.hold.links if k.key == found.governs), found.governs)
        there = f"Zone {zone}: lines stand {found.there_ft:.2f} ft apart"
        if math.isnan(found.holds_ft):
            text = f"Zone {zone}: no spacing down to 6 in holds; {governs} governs.{left_out}"
        elif found.state == "short":
            text = f"{there}; {found.holds_ft:g} ft would hold, {governs} governs.{left_out}"
        elif found.untested:
            text = f"{there}; up to {found.holds_ft:g} ft is shown to hold, beyond it {governs} is not known.{left_out}"
        else:
            text = f"{there}; what is known holds up to {found.holds_ft:g} ft.{left_out}"
        text = said(found.state, text)
        rows.append(
            SpacingRow(
                zone,
                found.there_ft,
                None if math.isnan(found.holds_ft) else found.holds_ft,
                found.governs,
                text,
            )
        )
    return tuple(rows)


def acting_on(c: Context) -> Acting:
    """Every load case of one context."""
    why = (c.enclosure.reason, c.enclosure.assumed)
    return acting(
        c.survey, c.recover, c.roof, c.edition, c.wind, c.strips, wind_need=c.wind_need, enclosure=why
    )


def _frames(c: Context, acts: Acting) -> Frames:
    """Main-frame wind, and dead load on every frame before and after."""
    before = on_frames_kip(c.roof, [k for k in acts.cases if k.kind == "D" and k.when in ("before", "both")])
    after = on_frames_kip(c.roof, [k for k in acts.cases if k.kind == "D" and k.when in ("after", "both")])
    return frames(c.survey, c.recover, c.roof, c.edition, c.wind, before, after, need=c.wind_need)


def _missing(c: Context, checks: tuple[Check, ...], acts: Acting) -> tuple[Need, ...]:
    """What is missing, once each: first what checks and loads wait for, then what was not read."""
    found: dict[str, Need] = {}
    for check in checks:
        for need in check.needs:
            found.setdefault(need.what, need)
    for need in acts.needs:
        found.setdefault(need.what, need)
    for need in what_is_missing(c.survey):
        if SAME_AS.get(need.what) not in found:
            found.setdefault(need.what, need)
    return tuple(found.values())


def segment_checks(survey: Survey, recover: str | None, index: int) -> tuple[Check, ...]:
    """All links of one stretch of the roof, each with its card; for a touch on the plan.

    Parameters
    ----------
    index : int
        Row of ``Findings.segments``.
    """
    c = gather(survey, pick(survey, recover))
    if not 0 <= index < c.strips.line.size:
        raise InputError(
            Problem(
                "stretch",
                str(index),
                f"Stretches are 0 to {c.strips.line.size - 1}.",
                "Pick one on the plan.",
            )
        )
    return rows_at(c, index)
