"""Load cases as a page shows them: today beside with the recover, patterns of partial snow in one row."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.numbers import feet_inches, show
from secondroof.web.contexts import CaseLine, CaseRows, CellOf, Link, Table

if TYPE_CHECKING:
    from secondroof.acting.lineloads import LineLoads
    from secondroof.acting.model import Case
    from secondroof.drawings.scene import Scene
    from secondroof.findings.model import CaseRow, Findings
    from secondroof.roof.model import RoofLine

Href = Callable[..., str]
KINDS = {
    "D": "Dead load: what is there for good",
    "Lr": "Roof live load: people and what they carry",
    "C": "While building",
    "R": "Rain",
    "S": "Snow",
    "W_up": "Wind that lifts",
    "W_down": "Wind that presses",
}
NONE_THERE = "not there"
PARTIAL = re.compile(r"^snow\.partial\.")


@dataclass(frozen=True, slots=True)
class Pair:
    """One case today and with the recover; the same row twice where they are alike."""

    stem: str
    title: str
    kind: str
    before: CaseRow | None
    after: CaseRow | None

    @property
    def either(self) -> CaseRow:
        """The row with the recover, else today's."""
        found = self.after or self.before
        assert found is not None
        return found


def pairs_of(rows: tuple[CaseRow, ...]) -> tuple[Pair, ...]:
    """Cases today beside the same cases with the recover, in their order."""
    found: dict[str, dict[str, CaseRow]] = {}
    for row in rows:
        stem = re.sub(r"\.(before|after)$", "", row.key)
        sides = found.setdefault(stem, {})
        for stage in ("before", "after"):
            if row.when in (stage, "both"):
                sides[stage] = row
    out = []
    for stem, sides in found.items():
        one = sides.get("after") or sides["before"]
        title = re.sub(r", (today|with the recover)$", "", one.title)
        out.append(
            Pair(stem, title[:1].upper() + title[1:], one.kind, sides.get("before"), sides.get("after"))
        )
    return tuple(out)


def case_lines(f: Findings, href: Href) -> tuple[CaseRows, ...]:
    """Every case by kind; patterns of partial snow under one row that names the one governing most."""
    pairs = pairs_of(f.cases)
    out = []
    for kind, title in KINDS.items():
        here = [p for p in pairs if p.kind == kind]
        partial = [p for p in here if PARTIAL.match(p.stem)]
        lines = [_line(p, href) for p in here if p not in partial]
        if partial:
            lines.append(_folded(f, partial, href))
        if lines:
            out.append(CaseRows(title, tuple(lines)))
    return tuple(out)


def _line(p: Pair, href: Href, title: str = "", inside: tuple[CaseLine, ...] = ()) -> CaseLine:
    one = p.either
    cards = dict.fromkeys(r.id for r in (p.before, p.after) if r is not None)
    return CaseLine(
        key=one.key,
        title=title or p.title,
        href=href(case=one.key) + "#map",
        cards=tuple(Link(id, href(card=id, case=one.key) + "#card", card=True) for id in cards),
        psf_before=_psf(p.before),
        psf_after=_psf(p.after),
        line=one.line,
        line_href=href(line=one.line, case=one.key) + "#line" if one.line else "",
        w_before=_along(p.before),
        w_after=_along(p.after),
        level="strength" if one.level == "strength" else "service",
        assumed=one.assumed,
        inside=inside,
    )


def _psf(row: CaseRow | None) -> str:
    if row is None:
        return NONE_THERE
    if row.psf is None and row.kind in ("W_up", "W_down"):
        return "by zone"
    if row.psf is None and not row.line:
        return "elsewhere"
    return "on lines" if row.psf is None else show(row.psf, "psf", "weight" if row.kind == "D" else None)


def _along(row: CaseRow | None) -> str:
    if row is None:
        return NONE_THERE
    if not row.line:
        return "none on ours"
    parts = [show(row.w_lb_ft, "lb/ft")] if row.w_lb_ft or not row.P_lb else []
    if row.P_lb:
        parts.append(f"{show(row.P_lb, 'lb', 'whole')} lb at a point")
    return " and ".join(parts)


def _folded(f: Findings, partial: list[Pair], href: Href) -> CaseLine:
    """One row for all patterns: the one that presses a line hardest among those that govern somewhere."""
    worst = _governing(f, partial)
    first = worst or partial[0]
    short = first.title.replace("Partial snow, ", "")
    says = f"worst: {short}" if worst else "none of them governs a line"
    title = f"{len(partial)} pattern{'s' if len(partial) > 1 else ''} of partial snow, {says}"
    return _line(first, href, title, tuple(_line(p, href) for p in partial))


def _governing(f: Findings, partial: list[Pair]) -> Pair | None:
    """Pattern in the combination of the largest ratio that any pattern governs, pressed, with the recover."""
    if f.purlins is None:
        return None
    side = f.purlins.down["after"]
    titles = {p.either.title: p for p in partial}
    found: list[Pair | None] = [
        next((p for t, p in titles.items() if t in name), None) for name in side.names
    ]
    at = np.array([p is not None for p in found], dtype=bool)
    if not at.any():
        return None
    ratio = np.where(at[side.row] & np.isfinite(side.ratio), side.ratio, -1.0)
    if ratio.max() < 0:
        return None
    return found[int(side.row.flat[int(np.argmax(ratio))])]


# ---- one line and its loads


def line_of(f: Findings, name: str) -> RoofLine | None:
    """Line of a name: the one asked for, else the line the heaviest case loads most."""
    lines = {line.name: line for line in f.roof.lines}
    if name in lines:
        return lines[name]
    heavy = [r for r in f.cases if r.line in lines]
    if heavy:
        return lines[max(heavy, key=lambda r: abs(r.w_lb_ft)).line]
    return next(iter(lines.values()), None)


def loads_on(f: Findings, line: RoofLine) -> tuple[LineLoads, int]:
    """Every case on the lines of one plane, and the row of this line."""
    from secondroof.acting.lineloads import line_loads

    plane = next(p for p in f.roof.planes if p.name == line.plane)
    acting = f.acting
    found = line_loads(f.roof, plane, () if acting is None else acting.cases)
    return found, int(np.flatnonzero(found.lines == line.index)[0])


def line_table(f: Findings, line: RoofLine, href: Href) -> Table:
    """What every case puts on one line: largest and whole, today and with the recover."""
    found, i = loads_on(f, line)
    where = {c.key: k for k, c in enumerate(found.cases)}
    totals = found.totals_lb()
    rows: list[tuple[CellOf, ...]] = []
    folded: list[Pair] = []
    for p in pairs_of(f.cases):
        if PARTIAL.match(p.stem):
            folded.append(p)
            continue
        cells: list[str] = []
        for row in (p.before, p.after):
            if row is None:
                cells += [NONE_THERE, NONE_THERE]
                continue
            k = where[row.key]
            w = np.concatenate([found.w0[k, i], found.w1[k, i]])
            cells += [
                show(float(w[np.argmax(np.abs(w))]), "lb/ft"),
                show(float(totals[k, i]), "lb", "whole"),
            ]
        if any(totals[where[r.key], i] for r in (p.before, p.after) if r is not None):
            rows.append(
                (
                    p.title,
                    *cells,
                    Link(p.either.id, href(card=p.either.id, line=line.name) + "#card", card=True),
                )
            )
    if folded:
        rows.append((f"Partial snow, {len(folded)} patterns", *["shares of snow all over"] * 4, ""))
    head = (
        "load",
        "today, most lb/ft",
        "today, whole lb",
        "recover, most lb/ft",
        "recover, whole lb",
        "card",
    )
    return Table(head, tuple(rows), (False, True, True, True, True, False))


def line_scene(f: Findings, line: RoofLine, chosen: str) -> Scene:
    """Diagram of what one line gets: dead load today and with the recover, live load, snow, wind."""
    from secondroof.drawings.linediagram import Trace, line_diagram

    found, i = loads_on(f, line)
    x = np.repeat(found.x_ft, 2)[1:-1]

    def curve(at: list[int]) -> np.ndarray:
        w0, w1 = found.w0[at, i].sum(axis=0), found.w1[at, i].sum(axis=0)
        return np.stack([w0, w1], axis=1).ravel()

    def of(kind: str, *stages: str) -> list[int]:
        return [k for k, c in enumerate(found.cases) if c.kind == kind and c.when in (*stages, "both")]

    traces: list[Trace] = []
    for title, at in (("dead, today", of("D", "before")), ("dead, recover", of("D", "after"))):
        if at:
            traces.append(Trace(title, "lb/ft", x, curve(at), down=True))
    for k in _picked(found, i, chosen):
        traces.append(Trace(_short(found.cases[k]), "lb/ft", x, curve([k]), down=True))
    points = _points(found, i)
    notes = [
        ("Downward is drawn down; uplift is negative.", "Loads as each case acts, not yet combined."),
        ("Strength level:", "wind is drawn at the level its edition gives; combinations factor it.")
        if any(found.cases[k].level == "strength" for k in _picked(found, i, chosen))
        else ("", ""),
        ("Point loads:", points or "none on this line."),
    ]
    length = f.roof.length_ft
    under = f"{line.member.capitalize()}, {feet_inches(line.s_ft)} from the eave, {feet_inches(length)} long."
    return line_diagram(
        f"What line {line.name} gets", f.roof.frames_ft, (), loads=traces, under=under,
        notes=[n for n in notes if n[0]], name="line-loads",
    )  # fmt: skip


def _short(case: Case) -> str:
    stage = {"before": ", today", "after": ", recover", "both": ""}[case.when]
    words = {"W_up": "wind lifting", "W_down": "wind pressing", "Lr": "live load", "C": "bundle", "R": "rain"}
    if case.kind in words:
        return words[case.kind] + stage
    what = re.sub(r",? (today|with the recover)$", "", case.title)
    kinds = {
        "balanced": "snow all over",
        "partial": "partial snow",
        "unbalanced": "snow over ridge",
        "drift": "drift",
    }
    return kinds.get(case.key.split(".")[1], what) + stage


def _picked(found: LineLoads, i: int, chosen: str) -> list[int]:
    """Live load, the snow that loads this line most, wind both ways, and the case chosen where it is not among them."""
    total = np.abs(found.totals_lb()[:, i])
    out: list[int] = []
    for kind in ("Lr", "S", "R", "W_up", "W_down"):
        at = [k for k, c in enumerate(found.cases) if c.kind == kind and c.when != "before" and total[k] > 0]
        if at:
            out.append(max(at, key=lambda k: float(total[k])))
    out += [
        k for k, c in enumerate(found.cases)
        if c.key == chosen and k not in out and c.kind != "D" and np.any(found.w0[k, i] != 0)
    ]  # fmt: skip
    return out


def _points(found: LineLoads, i: int) -> str:
    out = []
    for k, case in enumerate(found.cases):
        stage = {"before": ", today", "after": ", with the recover", "both": ""}[case.when]
        for n in np.flatnonzero(found.P[k, i]):
            at = feet_inches(float(found.x_ft[n]))
            out.append(f"{show(float(found.P[k, i, n]), 'lb', 'whole')} lb at {at} ({case.title}{stage})")
    if len(out) > 8:
        out = [*out[:8], f"and {len(out) - 8} more"]
    return f"{'; '.join(out)}." if out else ""
