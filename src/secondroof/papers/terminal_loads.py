"""Loads and old purlins as plain text for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from secondroof.checks.numbers import show
from secondroof.papers.layout import WIDTH, cut, plain_line, table, wrap
from secondroof.papers.loadwords import (
    SIDES,
    WHEN,
    counts_words,
    governing_cases,
    grouped,
    line_text,
    most_changed,
    old_bay,
    psf_text,
    signed,
    state_counts,
    without_stage,
    worst_bays,
)
from secondroof.papers.words import ratio_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.findings.line_look import LineLook, LoadsFound
    from secondroof.findings.model import CaseRow, Findings

#: Old bays a summary names.
MOST_BAYS = 3


def loads_block(f: Findings) -> list[str]:
    """What presses and what lifts, on the line each loads most; and old against new in one line."""
    chosen = governing_cases(f.cases)
    if not chosen:
        return ["Loads on the purlins: not worked out.", ""]
    rows = []
    for c in chosen:
        line, w, _ = line_text(c)
        rows.append((c.id, without_stage(c.title), psf_text(c), line, w))
    head = ("", "", "psf", "line", "lb/ft")
    first, *rest = table(head, rows, {2, 4})
    title = "Loads, each on the line it loads most"
    lines = [title + first[len(title) :] if first[: len(title)].isspace() else title, *map(cut, rest)]
    old = most_changed(f)
    if old is not None and f.then_now is not None:
        lines += wrap(
            f"Old against new: {old.part} in zone {old.zone_now} lifted by {old.uplift_now_psf:.1f} psf, "
            f"{old.uplift_then_psf:.1f} by ASCE {f.then_now.edition_then}: {old.ratio:.2f} times",
            "  ",
        )
    return [*lines, ""]


def purlins_block(f: Findings) -> list[str]:
    """Old purlins: bays by state today and with the recover, and the worst of them."""
    p = f.purlins
    if p is None:
        return ["Old purlins: not worked out; the edition of ASCE 7 is not known.", ""]
    lines = ["Old purlins, bays today -> with the recover"]
    found = []
    for side, word in SIDES:
        counts = state_counts(p, side)
        before, after = counts_words(counts["before"]), counts_words(counts["after"])
        lines += wrap(f"{before} -> {after}" if before != after else f"{after}, the same", f"  {word:<8}")
        found += worst_bays(p, side, MOST_BAYS)
    found.sort(key=lambda b: (b.state != "short", -b.ratio))
    rows = [
        (f"{b.name} bay {b.bay}", b.way, f"{ratio_text(b.before)} -> {ratio_text(b.ratio)}", b.state,
         b.combination)
        for b in found[:MOST_BAYS]
    ]  # fmt: skip
    lines += [cut(x) for x in table(("", "", "", "", ""), rows, set())[1:]] if rows else []
    return [*lines, ""]


def loads_text(f: LoadsFound) -> str:
    """Every load case as a table; with a line asked for, what acts on it and what governs."""
    head = f"{f.job}{' (invented example)' if f.invented else ''}. Recover {f.recover}: {f.recover_title}"
    edition = f"ASCE {f.edition}" if f.edition else "edition of ASCE 7 not given"
    lines = [*wrap(head), *wrap(f"Loads by {edition}; downward positive, uplift negative.", ""), ""]
    lines += _case_table(f.cases) if f.line is None else _line_block(f.line)
    if f.missing:
        lines += ["", f"Missing for the rest, {len(f.missing)}"]
        for n in f.missing:
            lines += wrap(f"{n.what}. Get it: {n.where}. Decides {n.decides}.", "  - ")
    if f.notes:
        lines += ["", "To know"]
        for note in f.notes:
            lines += wrap(note, "  - ")
    return "\n".join(plain_line(x) for x in lines)


def _case_table(cases: tuple[CaseRow, ...]) -> list[str]:
    rows = [
        (g.id, g.title, WHEN[g.first.when], g.first.level, psf_text(g.first), *line_text(g.first))
        for g in grouped(cases)
    ]  # fmt: skip
    if not rows:
        return ["No load case could be worked out."]
    head = ("", "", "", "level", "psf", "line", "lb/ft", "lb")
    return ["Largest by place, and on the line each loads most", *_fitted(head, rows, {4, 6, 7}, 1)]


def _fitted(head: tuple[str, ...], rows: Sequence[tuple[str, ...]], right: set[int], give: int) -> list[str]:
    """Table no wider than the screen: the words in column ``give`` wrap."""
    others = [max(len(r[i]) for r in (head, *rows)) for i in range(len(head)) if i != give]
    room = max(20, WIDTH - 2 - sum(others) - 2 * len(others))
    out: list[tuple[str, ...]] = []
    for r in rows:
        first, *rest = wrap(r[give], width=room)
        out.append((*r[:give], first, *r[give + 1 :]))
        out += [tuple(t if i == give else "" for i in range(len(r))) for t in rest]
    return table(head, out, right)


def _line_block(look: LineLook) -> list[str]:
    line = look.line
    lines = wrap(
        f"Line {line.name}: old {line.member} on the {line.plane} plane, carries "
        f"{show(line.width_ft, 'ft')} ft of roof along the slope"
    )
    rows = []
    for x in look.cases:
        low, high = (signed(v, "lb/ft") for v in (x.low_lb_ft, x.high_lb_ft))
        spread = low if low == high else f"{low} to {high}"
        rows.append(
            (
                x.id,
                without_stage(x.title),
                WHEN[x.when],
                spread,
                signed(x.P_lb, "lb") if x.P_lb else "",
                signed(x.total_lb, "lb"),
            )
        )
    head = ("", "", "", "lb/ft along it", "point, lb", "in all, lb")
    lines += _fitted(head, rows, {3, 4, 5}, 1) if rows else ["  nothing acts on it"]
    if look.purlins is None:
        return [*lines, "", "What governs is not known: the edition of ASCE 7 is not given."]
    p, i = look.purlins, look.row
    for side, word in SIDES:
        lines += ["", f"{word[:1].upper()}{word[1:]}, allowable stress (ASD), worked as {p.way[i]}"]
        table_rows = [
            (f"bay {b.bay}", b.state, ratio_text(b.before), ratio_text(b.ratio), b.point, b.combination)
            for b in (old_bay(p, side, i, j) for j in range(p.sections.which.shape[1]))
        ]
        lines += _fitted(("", "", "today", "with recover", "at", "governs"), table_rows, {2, 3}, 5)
    return lines
