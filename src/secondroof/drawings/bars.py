"""Worst ratio on each line, as bars level with the lines of the plan beside them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from secondroof.drawings.furniture import title
from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import Placer
from secondroof.drawings.scene import Group, Item, Layer, Line, Point, Polygon, Scene, Tag, Text, View
from secondroof.drawings.stretches import Stretch, data_of, say, stretches
from secondroof.drawings.words import ratio_text

if TYPE_CHECKING:
    from secondroof.findings.model import Findings

MOST_LABELS = 6


def worst_by_line(rows: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    """The worst stretch of each line, in order of the lines."""
    best: dict[tuple[str, int], Stretch] = {}
    for r in rows:
        key = (r.plane, r.line)
        if key not in best or r.badness > best[key].badness:
            best[key] = r
    return tuple(best.values())


def axis_end(ratios: list[float]) -> tuple[float, float]:
    """End and step of the axis of ratios: at least 1.25, whole steps."""
    top = max([1.0, *ratios]) * 1.04
    step = next(
        (s for s in (0.5, 1.0, 2.0, 5.0, 10.0) if top / s <= 4.2), 10.0 ** math.ceil(math.log10(top / 4))
    )
    return max(1.25, top), step


def bar_items(
    findings: Findings, view: View, x0: float, x1: float, pitch_px: float, highlight: Stretch | None = None
) -> tuple[Item, ...]:
    """Bars between ``x0`` and ``x1`` on the sheet, level with the lines of ``view``."""
    rows = stretches(findings)
    worst = worst_by_line(rows)
    end, step = axis_end([shown_ratio(r) for r in worst])
    label_w = 40.0
    k = (x1 - x0 - label_w) / end
    ys = {(r.plane, r.line): view.px((0.0, r.y_ft))[1] for r in worst}
    top, bottom = min(ys.values()) - 12, max(ys.values()) + 10
    h = max(1.6, min(10.0, (0.62 if pitch_px > 15 else 0.5) * pitch_px))
    items: list[Item] = [
        Text((x0, top - 46), "Worst on each line", 14.0, 600),
        Text((x0, top - 29), "demand / capacity", 12.5, colour="ink2"),
    ]
    at = 0.0
    while at <= end + 1e-9:
        x = x0 + at * k
        items.append(Line((x, top), (x, bottom), "rule"))
        if abs(at - 1.0) > 1e-9:
            items.append(Text((x, top - 7), f"{at:g}", 12.5, 400, "middle", "ink2"))
        at += step
    bars: list[Item] = []
    placer = Placer((x0, top - 4, x1, bottom + 14), 0.5)
    labels: list[Item] = []
    at_open = None if highlight is None else (highlight.plane, highlight.line)
    label_first = sorted(worst, key=lambda r: ((r.plane, r.line) != at_open, -r.badness[0], -r.badness[1]))
    first = label_first[0] if at_open is not None and label_first else None
    for r in worst:
        y = ys[(r.plane, r.line)]
        bars.append(_bar(r, x0, y, h, k, findings))
        placer.take((x0, y - h / 2, x0 + shown_ratio(r) * k + 1, y + h / 2))
    seen: set[str] = set()
    unknown = sum(r.state == "unknown" or r.ratio is None for r in worst)
    for r in label_first:
        blank = (r.state == "unknown" or r.ratio is None) and unknown <= MOST_LABELS - len(
            findings.roof.planes
        )
        special = r.plane not in seen or blank or r is first
        seen.add(r.plane)
        if special and len(labels) < MOST_LABELS:
            y = ys[(r.plane, r.line)]
            said = "" if r.state == "unknown" else ratio_text(r.ratio)
            text = said or f"{r.name} {r.state}"
            x = x0 + shown_ratio(r) * k + 6
            w = text_width(text, 12.5)
            if placer.place(w, 13.0, [(x + w / 2, y)]) is not None:
                colour = "marked" if r is first else "ink" if said else r.state
                labels.append(Text((x, y + 4.4), text, 12.5, 600, "start", colour, halo=r is not first))
    limit = x0 + k
    return (
        *items,
        *bars,
        Line((limit, top - 4), (limit, bottom), "limit"),
        Text((limit, top - 7), "1", 13.0, 600, "middle", halo=True),
        *labels,
    )


def shown_ratio(r: Stretch) -> float:
    """Length of a bar: where the ratio is not known, to the limit."""
    return 1.0 if r.state == "unknown" or r.ratio is None else r.ratio


def _bar(r: Stretch, x0: float, y: float, h: float, k: float, findings: Findings) -> Item:
    length = shown_ratio(r) * k
    ring: tuple[Point, ...] = (
        (x0, y - h / 2),
        (x0 + length, y - h / 2),
        (x0 + length, y + h / 2),
        (x0, y + h / 2),
    )
    said = say(r, findings.roof.frames_ft)
    tag = Tag(title=f"Worst on {said[0].lower()}{said[1:]}", data=data_of(r))
    if h < 7:  # too low for a pattern
        fill = {"holds": "sheet", "short": "short", "unknown": "unknownT", "engineer": "engineer"}[r.state]
        return Group((Polygon((ring,), fill=fill, style=f"{r.state} flag@0.5"),), tag)
    hatch = "" if r.state == "holds" else r.state
    bar = Polygon((ring,), fill="" if hatch else "sheet", hatch=hatch, style=f"{r.state} flag")
    return Group((bar,), tag)


def worst_on_each_line(findings: Findings, width_px: float = 280.0, height_px: float = 620.0) -> Scene:
    """Bars of the worst ratio on each line as a scene of their own, eave of the first plane at the foot.

    Parameters
    ----------
    findings : Findings
        Of one recover.
    width_px, height_px : float
        Size of the sheet. [1/96 in]

    Returns
    -------
    Scene
        One bar a line, limit at 1.0, with what each says to a screen reader.
    """
    head, y = title(
        "How near is each line to its limit?",
        f"Recover {findings.recover}: worst stretch of each line",
        width_px,
    )
    top = y + 84
    scale = (height_px - top - 24) / findings.roof.width_ft
    view = View("bars", "ft", scale, (0.0, height_px - 24))
    pitch = line_pitch(findings, scale)
    names: list[Item] = []
    from secondroof.drawings.names import line_names

    named, left = line_names(findings.roof, view, 0.0, distances=False)
    names.extend(named)
    bars = bar_items(findings, View("bars", "ft", scale, (0.0, height_px - 24)), left + 8, width_px, pitch)
    layers = (
        Layer("title", "A-ANNO-TTLB", head),
        Layer("names", "A-ANNO-TEXT", tuple(names)),
        Layer("bars", "A-ANNO-SYMB", bars),
    )
    return Scene("bars", "Worst ratio on each line", _desc(findings), width_px, height_px, layers)


def _desc(findings: Findings) -> str:
    rows = sorted(worst_by_line(stretches(findings)), key=lambda r: r.badness, reverse=True)
    return "Worst first: " + "; ".join(say(r, findings.roof.frames_ft) for r in rows[:5]) + "."


def line_pitch(findings: Findings, scale_px: float) -> float:
    """Usual distance of neighbouring lines on the sheet. [px]"""
    gaps = sorted(
        abs(b.y_ft - a.y_ft)
        for p in findings.roof.planes
        for a, b in zip(p.lines[:-1], p.lines[1:], strict=True)
    )
    return (gaps[len(gaps) // 2] if gaps else findings.roof.width_ft) * scale_px
