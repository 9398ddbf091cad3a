"""Loads and old purlins of the engineer's submittal: lists first, then the data of their cards."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.numbers import show
from secondroof.papers.loadwords import (
    SIDES,
    WHEN,
    CaseGroup,
    counts_words,
    grouped,
    line_text,
    psf_text,
    signed,
    state_counts,
    without_stage,
)
from secondroof.papers.words import amount, numbers, without_head

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.findings.model import CaseRow, Findings
    from secondroof.papers.cards import CardWriter
    from secondroof.papers.loadsheets import Sheet


def load_section(f: Findings, writer: CardWriter, sheets: Sequence[Sheet]) -> dict[str, Any]:
    """What the submittal prints of loads and old purlins, as plain JSON values."""
    return {
        "cases": [_group_row(g) for g in grouped(f.cases)],
        "patterns": [_pattern_row(c) for g in grouped(f.cases) if len(g.cases) > 1 for c in g.cases],
        "loads_notes": [] if f.acting is None else list(f.acting.notes),
        "loads_needs": [] if f.acting is None else [n.what for n in f.acting.needs],
        "maps": [s.name for s in sheets if s.name.startswith("load-")],
        "then_now": _then_now(f),
        "frames": _frames(f),
        "ponding": _ponding(f),
        "old_purlins": _old_purlins(f, sheets),
        "case_cards": [*_case_cards(f.cases, writer), *_other_cards(f, writer)],
    }


def _group_row(g: CaseGroup) -> dict[str, Any]:
    c = g.first
    line, w, P = line_text(c)
    assumed = list(dict.fromkeys(x.assumed for x in g.cases if x.assumed))
    return {
        "id": g.id,
        "title": g.title,
        "when": WHEN[c.when],
        "level": c.level,
        "psf": psf_text(c),
        "line": line,
        "w": w,
        "P": P,
        "assumed": "; ".join(assumed),
    }


def _pattern_row(c: CaseRow) -> dict[str, str]:
    line, w, _ = line_text(c)
    title = without_stage(c.title).removeprefix("partial snow, ")
    return {"id": c.id, "title": title, "when": WHEN[c.when], "psf": psf_text(c), "line": line, "w": w}


def _then_now(f: Findings) -> dict[str, Any] | None:
    t = f.then_now
    if t is None:
        return None
    return {
        "then": t.edition_then,
        "now": t.edition_now,
        "sentence": t.sentence,
        "assumed": t.assumed,
        "needs": [f"{n.what} ({n.where})" for n in t.needs],
        "rows": [
            {
                "then": r.zone_then,
                "now": r.zone_now,
                "area": show(r.roof_area_ft2, "ft2", "whole"),
                "part": "old purlin" if r.part == "purlin" else r.part,
                "effective": show(r.effective_area_ft2, "ft2", "whole"),
                "was": show(r.uplift_then_psf, "psf"),
                "is": show(r.uplift_now_psf, "psf"),
                "times": f"{r.ratio:.2f}",
                "unconfirmed": r.unconfirmed,
            }
            for r in t.rows
        ],
    }


def _frames(f: Findings) -> dict[str, Any] | None:
    x = f.frames
    if x is None:
        return None
    reactions = _reactions(f)
    return {
        "sentence": x.sentence,
        "level": x.level,
        "strip": "" if x.end_strip_ft is None else show(x.end_strip_ft, "ft"),
        "needs": [f"{n.what} ({n.where})" for n in x.needs],
        "surfaces": [
            [s.what, *(signed(v, "psf") for v in (s.across_up_psf, s.across_down_psf, s.along_up_psf,
                                                  s.along_down_psf))]
            for s in x.surfaces
        ],
        "loads": [
            [str(a.frame), _kip(a.before_kip), _kip(a.after_kip), _kip(a.added_kip)] for a in x.loads
        ],
        "columns": [name for name, _ in reactions],
        "reactions": [
            [str(k + 1), *(_kip(float(R[k])) for _, R in reactions)] for k in range(len(f.roof.frames_ft))
        ]
        if reactions
        else [],
    }  # fmt: skip


def _kip(value: float) -> str:
    return "" if np.isnan(value) else f"{value:.2f}".replace("-", "−")


def _reactions(f: Findings) -> list[tuple[str, np.ndarray]]:
    """Reactions of all old lines on the frames by kind of load, of one kind the case that puts most on any frame."""
    p = f.purlins
    if p is None or not p.frame_R_kip or not np.isfinite(np.stack(list(p.frame_R_kip.values()))).all():
        return []
    R = {c.key: np.asarray(p.frame_R_kip[c.key], dtype=float) for c in f.cases}

    def dead(stage: str) -> np.ndarray:
        here = [R[c.key] for c in f.cases if c.kind == "D" and c.when in (stage, "both")]
        return np.asarray(np.sum(here, axis=0)) if here else np.zeros(len(f.roof.frames_ft))

    def most(kind: str) -> np.ndarray | None:
        here = [R[c.key] for c in f.cases if c.kind == kind and c.when != "before"]
        return max(here, key=lambda r: float(np.max(np.abs(r)))) if here else None

    out = [("dead, today", dead("before")), ("dead, with recover", dead("after"))]
    for kind, name in (
        ("Lr", "live"),
        ("S", "snow"),
        ("R", "rain"),
        ("W_up", "wind up"),
        ("W_down", "wind down"),
    ):
        found = most(kind)
        if found is not None:
            out.append((name, found))
    return out


def _ponding(f: Findings) -> dict[str, Any] | None:
    p = f.ponding
    if p is None:
        return None
    return {
        "state": p.state,
        "sentences": list(p.sentences),
        "assumed": list(p.assumed),
        "needs": [f"{n.what} ({n.where})" for n in p.needs],
    }


def _old_purlins(f: Findings, sheets: Sequence[Sheet]) -> dict[str, Any] | None:
    p = f.purlins
    if p is None:
        return None
    counts = []
    for side, word in SIDES:
        found = state_counts(p, side)
        counts.append([word, counts_words(found["before"]), counts_words(found["after"])])
    ways: dict[str, list[str]] = {}
    for line, way in zip(p.sections.lines, p.way, strict=True):
        ways.setdefault(str(way), []).append(line.name)
    return {
        "edition": p.edition,
        "counts": counts,
        "ways": [[way, str(len(names))] for way, names in ways.items()],
        "assumed": [a.sentence.removeprefix("Assumed: ") for a in p.sections.assumed],
        "strength": p.sections.strength.sentence,
        "needs": [n.what for n in p.needs],
        "residual": f"{p.residual:.1e}",
        "maps": [s.name for s in sheets if s.name.startswith("old-purlins")],
        "worst": next((s.name for s in sheets if s.name == "worst-line"), ""),
    }


# Cards ----------------------------------------------------------------------------------------------------------


def _case_cards(cases: Sequence[CaseRow], writer: CardWriter) -> list[dict[str, Any]]:
    """One card a case; patterns share that of the worst, and today shares the card of with-recover where alike."""
    alike: dict[tuple[Any, ...], list[CaseGroup]] = {}
    for g in grouped(cases):
        c = g.first
        steps = tuple((s.title, repr(s.result)) for s in c.steps)
        alike.setdefault((g.title, c.psf, c.w_lb_ft, c.P_lb, steps), []).append(g)
    out = []
    for groups in alike.values():
        c = groups[-1].first
        ids = [x.id for g in groups for x in g.cases]
        whens = " and ".join(dict.fromkeys(WHEN[g.first.when] for g in groups))
        line, w, P = line_text(c)
        on = [t for t in (f"{w} lb/ft" if w else "", f"{P} lb" if P else "") if t]
        where = "today and with recover" if whens == "both" else whens
        where += f"; most on line {line}: {', '.join(on)}" if line and on else ""
        more = ""
        if len(groups[0].cases) > 1:
            more = f" One card stands for every pattern ({c.id} is worked here); the table of patterns lists them."
        assumed = f" Assumed: {c.assumed}." if c.assumed else ""
        out.append(
            writer.plain(
                id=_ids(ids), title=groups[0].title[:1].upper() + groups[0].title[1:], where=where, clause=c.clause,
                steps=c.steps, sources=c.sources, unit="psf", value=_value(c),
                sentence=without_head(c.sentence) + more + assumed, basis=c.checked,
            )
        )  # fmt: skip
    return out


def _ids(ids: Sequence[str]) -> str:
    """Card numbers of one card; two unbroken runs stand as two."""
    runs: list[list[str]] = []
    for i in ids:
        if runs and int(i.rsplit("-", 1)[1]) == int(runs[-1][-1].rsplit("-", 1)[1]) + 1:
            runs[-1].append(i)
        else:
            runs.append([i])
    return ", ".join(numbers(run) for run in runs)


def _value(c: CaseRow) -> str:
    if c.psf is not None:
        return amount(c.psf, "psf").replace("-", "−")
    _, w, P = line_text(c)
    return f"{w} lb/ft" if w else f"{P} lb" if P else ""


def _other_cards(f: Findings, writer: CardWriter) -> list[dict[str, Any]]:
    out = []
    t = f.then_now
    if t is not None and t.rows:
        for head, edition, steps, sources in (
            ("Then", t.edition_then, t.steps_then, t.sources_then),
            ("Now", t.edition_now, t.steps_now, t.sources_now),
        ):
            out.append(
                writer.plain(
                    id=head, title=f"Uplift of a panel in the worst zone by ASCE {edition}", where="old against new",
                    clause=t.clause, steps=steps, sources=sources, unit="psf", value="",
                    sentence="The panel in the worst zone, worked alone; the table compares the whole roof.",
                    basis=t.checked,
                )
            )  # fmt: skip
    x = f.frames
    if x is not None and x.steps:
        surface = x.surfaces[x.index]
        out.append(
            writer.plain(
                id="Frames", title=f"Main-frame wind on the {surface.what}", where="", clause=x.clause, steps=x.steps,
                sources=x.sources, unit="psf", value="", sentence=x.sentence, basis=x.checked,
            )
        )  # fmt: skip
    return out
