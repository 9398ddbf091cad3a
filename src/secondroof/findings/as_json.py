"""Findings as plain JSON values, for ``check --json`` and other programs. Its schema is published."""

from __future__ import annotations

from typing import Any

from secondroof.checks.model import Check, Load, OtherWay
from secondroof.findings.loads_json import loads_json
from secondroof.findings.model import Findings
from secondroof.findings.plain import need_json, plain, step_json

FORM = 1  # version of this JSON form
__all__ = ["FORM", "check_json", "findings_json", "plain"]


def _way(w: OtherWay) -> dict[str, Any]:
    return {"label": w.label, "ratio": plain(w.ratio), "state": w.state, "used": w.used}


def check_json(c: Check) -> dict[str, Any]:
    """One check."""
    return {
        "id": c.id,
        "key": c.key,
        "what": c.what,
        "where": c.where,
        "whose": c.whose,
        "demand": plain(c.demand),
        "capacity": plain(c.capacity),
        "unit": c.unit,
        "ratio": plain(c.ratio),
        "ratio_before": plain(c.ratio_before),
        "state": c.state,
        "asked": c.asked,
        "asked_why": c.asked_why,
        "clause": c.clause,
        "basis": c.basis,
        "sentence": c.sentence,
        "plane": c.plane,
        "line": c.line,
        "zone": c.zone,
        "x0_ft": plain(c.x0_ft),
        "x1_ft": plain(c.x1_ft),
        "steps": [step_json(s) for s in c.steps],
        "sources": {k: {"text": v.text, "assumed": v.assumed} for k, v in c.sources.items()},
        "both_ways": [_way(w) for w in c.both_ways],
        "moves": [_way(w) for w in c.moves],
        "needs": [need_json(n) for n in c.needs],
    }


def _load(x: Load) -> dict[str, Any]:
    return {
        "id": x.id,
        "what": x.what,
        "where": x.where,
        "zone": x.zone,
        "part": x.part,
        "uplift_psf_asd": plain(x.value),
        "clause": x.clause,
        "sentence": x.sentence,
        "unconfirmed": x.unconfirmed,
        "steps": [step_json(s) for s in x.steps],
    }


def findings_json(f: Findings) -> dict[str, Any]:
    """Findings of one recover as JSON values.

    Uplift in ``zones`` carries its sign (negative is uplift); ratios are demand over capacity; null is unknown.
    """
    v = f.verdict
    s = f.segments
    return {
        "form": FORM,
        "secondroof": f.version,
        "job": f.job,
        "invented": f.invented,
        "recover": {"name": f.recover, "title": f.recover_title},
        "rules": dict(f.rules),
        "verdict": {
            name: {"state": getattr(v, name).state, "sentence": getattr(v, name).sentence}
            for name in ("new_work", "old_steel", "code_path", "open")
        },
        "old_roof": {
            "kind": f.old_roof.kind,
            "sentence": f.old_roof.sentence,
            "open_kinds": list(f.old_roof.open_kinds),
            "refused_kinds": dict(f.old_roof.refused_kinds),
            "strengthening": f.old_roof.strengthening,
            "regions": [
                {
                    "region": r.region,
                    "plane": r.plane,
                    "kind": r.kind,
                    "count": r.count,
                    "low_in": plain(r.low_in),
                    "high_in": plain(r.high_in),
                    "mean_in": plain(r.mean_in),
                    "odd": list(r.odd),
                    "sentence": r.sentence,
                }
                for r in f.old_roof.regions
            ],
        },
        "enclosure": {"used": f.enclosure, "reason": f.enclosure_reason},
        "roof": {
            "area_ft2": plain(f.roof.area_ft2),
            "length_ft": f.roof.length_ft,
            "width_ft": f.roof.width_ft,
            "mean_height_ft": f.roof.h_ft,
            "lines": len(f.roof.lines),
            "line_ft": plain(sum(f.roof.length_ft for _ in f.roof.lines)),
        },
        "zones": [
            {
                "plane": z.plane,
                "zone": z.zone,
                "component": z.component,
                "effective_area_ft2": plain(z.effective_area_ft2),
                "uplift_psf_asd": plain(z.uplift_psf_asd),
                "down_psf_asd": plain(z.down_psf_asd),
                "area_ft2": plain(z.area_ft2),
                "entered": z.entered,
            }
            for z in f.zones
        ],
        "spacing": [
            {
                "zone": x.zone,
                "there_ft": plain(x.there_ft),
                "holds_ft": plain(x.holds_ft),
                "governs": x.governs,
                "sentence": x.sentence,
            }
            for x in f.spacing
        ],
        "weight": {
            "items": [
                {"what": w.what, "psf": plain(w.psf), "how": w.how, "covering": w.covering} for w in f.weight
            ],
            "added_psf": plain(f.added_psf),
        },
        "checks": [check_json(c) for c in f.checks],
        "loads": [_load(x) for x in f.loads],
        "lines": [
            {
                "plane": str(s.plane[i]),
                "line": int(s.line[i]),
                "zone": str(s.zone[i]),
                "x0_ft": plain(s.x0_ft[i]),
                "x1_ft": plain(s.x1_ft[i]),
                "width_ft": plain(s.width_ft[i]),
                "ratio": plain(s.ratio[i]),
                "state": str(s.state[i]),
                "governs": str(s.governs[i]),
            }
            for i in range(s.line.size)
        ],
        **loads_json(f),
        "missing": [need_json(n) for n in f.missing],
        "cautions": {k: list(t) for k, t in f.cautions.items()},
    }
