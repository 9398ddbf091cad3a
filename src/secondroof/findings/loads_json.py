"""Loads and old purlins of the findings as plain JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.findings.plain import need_json, plain, step_json

if TYPE_CHECKING:
    from secondroof.acting.frames import Frames
    from secondroof.acting.then_now import ThenNowFound
    from secondroof.findings.model import CaseRow, Findings
    from secondroof.purlins.found import PurlinsFound, Side
    from secondroof.purlins.ponding import PondingFound
    from secondroof.roof.model import Roof


def loads_json(f: Findings) -> dict[str, Any]:
    """The keys of ``findings_json`` that hold loads and old purlins; null where they could not be worked out."""
    return {
        "loads_cases": [case_json(c) for c in f.cases],
        "loads_notes": [] if f.acting is None else list(f.acting.notes),
        "old_against_new": None if f.then_now is None else then_now_json(f.then_now),
        "frames": None if f.frames is None else frames_json(f.frames),
        "ponding": None if f.ponding is None else ponding_json(f.ponding),
        "old_purlins": None if f.purlins is None else old_purlins_json(f.purlins, f.roof),
    }


def case_json(c: CaseRow) -> dict[str, Any]:
    """One load case; uplift negative, null where it acts on no line of the roof."""
    return {
        "id": c.id,
        "key": c.key,
        "title": c.title,
        "kind": c.kind,
        "when": c.when,
        "level": c.level,
        "psf": plain(c.psf),
        "line": c.line or None,
        "w_lb_ft": plain(c.w_lb_ft) if c.line else None,
        "P_lb": plain(c.P_lb) if c.line else None,
        "clause": c.clause,
        "checked": c.checked,
        "sentence": c.sentence,
        "assumed": c.assumed,
        "steps": [step_json(s) for s in c.steps],
    }


def then_now_json(t: ThenNowFound) -> dict[str, Any]:
    """What the code of the building's day asked beside today's; uplift as plain sizes at allowable level."""
    return {
        "edition_then": t.edition_then,
        "edition_now": t.edition_now,
        "sentence": t.sentence,
        "clause": t.clause,
        "checked": t.checked,
        "assumed": t.assumed,
        "rows": [
            {
                "zone_then": r.zone_then,
                "zone_now": r.zone_now,
                "roof_area_ft2": plain(r.roof_area_ft2),
                "part": r.part,
                "effective_area_ft2": plain(r.effective_area_ft2),
                "uplift_then_psf": plain(r.uplift_then_psf),
                "uplift_now_psf": plain(r.uplift_now_psf),
                "ratio": plain(r.ratio),
                "unconfirmed": r.unconfirmed,
            }
            for r in t.rows
        ],
        "needs": [need_json(n) for n in t.needs],
    }


def frames_json(x: Frames) -> dict[str, Any]:
    """Main-frame wind and weight on each frame line."""
    return {
        "edition": x.edition,
        "figure": x.figure,
        "level": x.level,
        "end_strip_ft": plain(x.end_strip_ft),
        "rise_in": plain(x.rise_in),
        "wind_change": plain(x.wind_change),
        "surfaces": [
            {
                "surface": s.surface,
                "what": s.what,
                "across_up_psf": plain(s.across_up_psf),
                "across_down_psf": plain(s.across_down_psf),
                "along_up_psf": plain(s.along_up_psf),
                "along_down_psf": plain(s.along_down_psf),
            }
            for s in x.surfaces
        ],
        "loads": [
            {
                "frame": load.frame,
                "x_ft": plain(load.x_ft),
                "before_kip": plain(load.before_kip),
                "after_kip": plain(load.after_kip),
                "added_kip": plain(load.added_kip),
            }
            for load in x.loads
        ],
        "sentence": x.sentence,
        "clause": x.clause,
        "checked": x.checked,
        "needs": [need_json(n) for n in x.needs],
        "steps": [step_json(s) for s in x.steps],
    }


def ponding_json(p: PondingFound) -> dict[str, Any]:
    """Water on the roof: which bays the edition asks about, and whether it comes to rest on the purlins."""
    return {
        "state": p.state,
        "bays": [
            {
                "plane": b.plane,
                "bay": b.bay,
                "slope_in12": plain(b.slope_in12),
                "asked": bool(b.asked.susceptible),
            }
            for b in p.bays
        ],
        "C_s": plain(p.C_s),
        "compared": p.compared,
        "head_in": plain(p.ponding_head_in),
        "sentences": list(p.sentences),
        "assumed": list(p.assumed),
        "clause": p.clause,
        "checked": p.checked,
        "needs": [need_json(n) for n in p.needs],
        "steps": [step_json(s) for s in p.steps],
    }


def old_purlins_json(p: PurlinsFound, roof: Roof) -> dict[str, Any]:
    """Every old line in every bay, pressed, lifted and over its seats; reactions of all lines on the frames.

    ``seat`` is null where clips keep the flanges off the frames and no web is crushed.
    """
    frames = roof.frames_ft
    lines = [
        {
            "plane": line.plane,
            "line": line.index,
            "name": line.name,
            "member": line.member,
            "bay": j + 1,
            "x0_ft": plain(frames[j]),
            "x1_ft": plain(frames[j + 1]),
            "way": str(p.way[i]),
            "pressed": _side(p.down["before"], p.down["after"], i, j),
            "lifted": _side(p.up["before"], p.up["after"], i, j),
            "seat": _side(p.bearing["before"], p.bearing["after"], i, j) if p.capacity.crushes else None,
        }
        for i, line in enumerate(p.sections.lines)
        for j in range(len(frames) - 1)
    ]
    reactions = [{"key": key, "kip": plain(np.asarray(R))} for key, R in p.frame_R_kip.items()]
    return {"edition": p.edition, "method": "ASD", "lines": lines, "reactions": reactions}


def _side(before: Side, after: Side, i: int, j: int) -> dict[str, Any]:
    """Worst point of one line and bay: moments in kip-in, over seats reactions in kip."""
    return {
        "ratio": plain(after.ratio[i, j]),
        "ratio_before": plain(before.ratio[i, j]),
        "state": str(after.state[i, j]),
        "state_before": str(before.state[i, j]),
        "point": str(after.point[i, j]),
        "x_ft": plain(after.x_ft[i, j]),
        "combination": after.combination(i, j),
        "combination_before": before.combination(i, j),
        "demand": plain(after.demand[i, j]),
        "capacity": plain(after.capacity[i, j]),
    }
