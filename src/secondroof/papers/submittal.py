"""The engineer's submittal as data for its template: everything found, with every card."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import Check
from secondroof.checks.numbers import feet_inches, show
from secondroof.findings.model import Findings
from secondroof.papers.cards import CardWriter
from secondroof.papers.readings import reading_tables
from secondroof.papers.submittal_loads import load_section
from secondroof.papers.words import (
    PARTS,
    VERDICT_HEADS,
    invented_tables,
    ratio_text,
    spacing_state,
    who_decides,
    without_head,
    worst_first,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.papers.loadsheets import Sheet
    from secondroof.survey.models import Survey

FOOT = "Clauses and values to be checked by the engineer against the edition in force."


def submittal_data(
    findings: Findings, survey: Survey, section_line: str, sheets: Sequence[Sheet] = ()
) -> dict[str, Any]:
    """Everything the submittal prints, as plain JSON values; ``sheets`` are the drawings it is set with."""
    f = findings
    writer = CardWriter()
    load_cards = writer.loads(f.loads)
    by_hand = [c for c in f.checks if c.id[0] != "C" or c.steps]
    return {
        "job": f.job,
        "place": survey.job.place or "",
        "paper": f"Engineer's submittal, recover {f.recover}",
        "recover": f.recover,
        "recover_title": f.recover_title,
        "invented": f.invented,
        "invented_tables": list(invented_tables(survey, f.recover)),
        "version": f.version,
        "foot": ("Invented example. " if f.invented else "") + FOOT,
        "verdict": verdict_rows(f),
        "missing": [_need(n) for n in f.missing],
        "decides": [
            {"who": who, "what": [{"what": w, "ids": ids} for w, ids in rows]} for who, rows in who_decides(f)
        ],
        "gets": who_gets(f),
        "basis": basis_rows(f),
        "cautions": list(f.cautions.get("engineer", ())),
        "roof": roof_rows(f),
        "section_line": section_line,
        "readings": reading_tables(survey),
        "old_roof": _old_roof(f),
        "loads": load_table(f),
        "weight": weight_rows(f),
        "hold": _hold(f),
        "spacing": [
            {
                "zone": x.zone,
                "there": f"{x.there_ft:.2f}",
                "holds": "" if x.holds_ft is None else f"{x.holds_ft:.2f}",
                "state": spacing_state(x),
                "sentence": without_head(x.sentence),
            }
            for x in f.spacing
        ],
        "code": [_code_row(c) for c in f.checks if c.id[0] == "C"],
        "old_steel": [_old_steel_row(c) for c in f.checks if c.id[0] == "S"],
        "load_cards": load_cards,
        **load_section(f, writer, sheets),
        "cards": [writer.check(c) for c in by_hand],
    }


def verdict_rows(f: Findings) -> list[dict[str, Any]]:
    """Four sentences with their states."""
    return [
        {"head": head, "state": s.state, "sentence": without_head(s.sentence)}
        for name, head in VERDICT_HEADS
        for s in (getattr(f.verdict, name),)
    ]


def _need(n: Any) -> dict[str, str]:
    return {"what": n.what, "where": n.where, "decides": n.decides, "who": n.who}


def who_gets(f: Findings) -> str:
    """Who gets the missing items, counted."""
    count: dict[str, int] = {}
    for n in f.missing:
        count[n.who] = count.get(n.who, 0) + 1
    return ", ".join(f"the {who} {k}" for who, k in count.items())


def basis_rows(f: Findings) -> list[dict[str, Any]]:
    """Ground rules as rows; one not given is blank."""
    names = {
        "building code": "Building code",
        "wind": "Wind",
        "V": "Wind speed V",
        "exposure": "Exposure",
        "risk category": "Risk category",
        "enclosure": "Enclosure",
        "source": "Source",
    }
    rows = []
    for key, value in f.rules.items():
        text = value
        if key == "enclosure" and f.enclosure_reason:
            text = f"{value.removesuffix(' (assumed)')}. {f.enclosure_reason}"
        rows.append(
            {
                "name": names.get(key, key),
                "value": "" if value == "not given" else text,
                "pencil": value.endswith("(assumed)"),
            }
        )
    return rows


def roof_rows(f: Findings) -> list[list[str]]:
    """Size of the roof: pairs of name and value."""
    r = f.roof
    gaps = [ln.gap_ft for ln in r.lines]
    rows = [
        ["shape", r.shape],
        ["length, width", f"{feet_inches(r.length_ft)} by {feet_inches(r.width_ft)}"],
        ["area along the slope", f"{show(r.area_ft2, 'ft2', 'whole')} ft²"],
        ["mean roof height", f"{show(r.h_ft, 'ft')} ft"],
        ["lines", f"{len(r.lines)}, at most {show(max(gaps), 'ft')} ft apart" if gaps else "not read"],
    ]
    for p in r.planes:
        rows.append([f"slope {p.name}", f"{show(p.slope_in12, '-')} in 12, run {feet_inches(p.run_ft)}"])
    return rows


def _old_roof(f: Findings) -> dict[str, Any]:
    o = f.old_roof
    words = {
        "sits": "sits on the purlin",
        "low": "low over the purlin",
        "between": "neither low nor floating",
        "floats": "floats above the purlin",
        "unknown": "unknown",
    }
    return {
        "sentence": o.sentence,
        "open": list(o.open_kinds),
        "refused": [[k, v] for k, v in o.refused_kinds.items()],
        "strengthening": o.strengthening,
        "regions": [
            {
                "region": r.region,
                "plane": r.plane or "",
                "kind": words.get(r.kind, r.kind),
                "count": r.count,
                "range": ""
                if r.low_in is None or r.high_in is None
                else f"{show(r.low_in, 'in', 'gap')} to {show(r.high_in, 'in', 'gap')}",
                "mean": "" if r.mean_in is None else show(r.mean_in, "in", "gap"),
                "odd": list(r.odd),
            }
            for r in o.regions
        ],
    }


def load_table(f: Findings) -> list[dict[str, Any]]:
    """Pressures by zone and part; planes that agree stand in one row."""
    found: dict[tuple[str, ...], list[str]] = {}
    for z in f.zones:
        area = show(z.effective_area_ft2, "ft2")
        up, down = (show(abs(v), "psf") for v in (z.uplift_psf_asd, z.down_psf_asd))
        found.setdefault((z.zone, z.component, area, up, down), []).append(z.plane)
    cards = {(x.zone, x.part): x for x in f.loads}
    rows = []
    for (zone, part, area, up, down), planes in found.items():
        card = cards.get((zone, part))
        rows.append(
            {
                "zone": zone,
                "planes": ", ".join(dict.fromkeys(planes)),
                "part": PARTS.get(part, part),
                "area": area,
                "up": up,
                "down": down,
                "card": card.id if card else "",
                "unconfirmed": bool(card and card.unconfirmed),
            }
        )
    return rows


def weight_rows(f: Findings) -> dict[str, Any]:
    """Weight ledger; an item not known is blank."""

    def psf(value: float) -> str:
        return show(value, "psf", "weight") if math.isfinite(value) else ""

    covering = [w.psf for w in f.weight if w.covering]
    return {
        "items": [
            {"what": w.what, "psf": psf(w.psf), "how": w.how, "covering": w.covering} for w in f.weight
        ],
        "covering": psf(float(sum(covering))) if covering else "",
        "added": psf(f.added_psf),
    }


def _hold(f: Findings) -> dict[str, Any]:
    rows = [c for c in f.checks if c.id[0] in "PH"]
    s = f.segments
    length = s.x1_ft - s.x0_ft
    by_state = {
        state: show(float(np.sum(length[s.state == state])), "ft", "whole")
        for state in ("holds", "short", "unknown", "engineer")
    }
    return {
        "rows": [_row(c) for c in rows],
        "lengths": by_state,
        "total": show(float(np.sum(length)), "ft", "whole"),
        "moves": [
            {"id": c.id, "what": c.what, "zone": c.zone or "", "ways": [_move(w) for w in c.moves]}
            for c in worst_first(c for c in rows if c.state == "short" and c.moves)
        ][:8],
    }


def _move(w: Any) -> dict[str, Any]:
    return {"label": w.label, "ratio": ratio_text(w.ratio), "state": w.state}


def _row(c: Check) -> dict[str, Any]:
    from secondroof.papers.words import amount

    return {
        "id": c.id,
        "what": c.what,
        "where": c.where,
        "zone": c.zone or "",
        "asked": amount(c.demand, c.unit),
        "there": amount(c.capacity, c.unit),
        "ratio": ratio_text(c.ratio),
        "state": c.state,
        "clause": c.clause,
    }


def _code_row(c: Check) -> dict[str, Any]:
    return {
        **_row(c),
        "sentence": without_head(c.sentence),
        "asked": c.asked,
        "why": c.asked_why,
        "basis": c.basis,
        "needs": [f"{n.what} ({n.where})" for n in c.needs],
    }


def _old_steel_row(c: Check) -> dict[str, Any]:
    return {**_code_row(c), "whose": c.whose, "before": ratio_text(c.ratio_before)}
