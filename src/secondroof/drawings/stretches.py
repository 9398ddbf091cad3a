"""Old lines on a plan, each drawn in stretches by the state of the chain that holds the new line to it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.checks.model import STATE_ORDER, State
from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import Placer, around, box_at
from secondroof.drawings.scene import Group, Item, Leader, Line, Mark, Point, Polygon, Tag, Text, View
from secondroof.drawings.words import check_at, ratio_text

if TYPE_CHECKING:
    from secondroof.checks.model import Check
    from secondroof.findings.model import Findings
    from secondroof.roof.model import Roof


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of one line in one zone."""

    plane: str
    line: int
    name: str
    zone: str
    x0_ft: float
    x1_ft: float
    y_ft: float
    ratio: float | None
    state: State
    governs: str
    check: str

    @property
    def badness(self) -> tuple[int, float]:
        """Larger is worse: state in its order, then ratio."""
        return -STATE_ORDER.index(self.state), -math.inf if self.ratio is None else self.ratio


def stretches(findings: Findings) -> tuple[Stretch, ...]:
    """Every stretch as a row, with the card that speaks of it."""
    s = findings.segments
    names = {(line.plane, line.index): line.name for line in findings.roof.lines}
    cards: dict[tuple[str, str, str], str] = {}
    out = []
    for i in range(len(s.line)):
        plane, zone, governs = str(s.plane[i]), str(s.zone[i]), str(s.governs[i])
        key = (governs, zone, plane)
        if key not in cards:
            found = check_at(findings, *key)
            cards[key] = found.id if found else ""
        ratio = float(s.ratio[i])
        state: State = next(x for x in STATE_ORDER if x == str(s.state[i]))
        out.append(
            Stretch(
                plane=plane,
                line=int(s.line[i]),
                name=names.get((plane, int(s.line[i])), f"{plane}{int(s.line[i])}"),
                zone=zone,
                x0_ft=float(s.x0_ft[i]),
                x1_ft=float(s.x1_ft[i]),
                y_ft=float(s.y_ft[i]),
                ratio=None if math.isnan(ratio) else ratio,
                state=state,
                governs=governs,
                check=cards[key],
            )
        )
    return tuple(out)


def lengths_by_state(rows: tuple[Stretch, ...]) -> dict[State, float]:
    """Feet of line in each state."""
    out: dict[State, float] = dict.fromkeys(STATE_ORDER, 0.0)
    for r in rows:
        out[r.state] += r.x1_ft - r.x0_ft
    return out


def bays_words(frames_ft: tuple[float, ...], x0: float, x1: float) -> str:
    """``bay 3`` or ``bays 2 to 5``: those the stretch lies in."""
    bays = [i for i in range(1, len(frames_ft)) if frames_ft[i] > x0 + 0.05 and frames_ft[i - 1] < x1 - 0.05]
    if not bays:
        return ""
    return f"bay {bays[0]}" if len(bays) == 1 else f"bays {bays[0]} to {bays[-1]}"


def say(r: Stretch, frames_ft: tuple[float, ...]) -> str:
    """What a screen reader says of a stretch."""
    words = [f"Line {r.name}", bays_words(frames_ft, r.x0_ft, r.x1_ft), f"zone {r.zone}"]
    if r.ratio is not None:
        words.append(f"{'known links ' if r.state == 'unknown' else ''}ratio {ratio_text(r.ratio)}")
    words.append(f"{r.state}, {r.governs} governs" if r.governs else r.state)
    return ", ".join(w for w in words if w)


def data_of(r: Stretch) -> tuple[tuple[str, str], ...]:
    """Data the page hangs clicks on."""
    return ("plane", r.plane), ("line", r.name), ("zone", r.zone), ("state", r.state), ("check", r.check)


def stretch_lines(
    rows: tuple[Stretch, ...], view: View, frames_ft: tuple[float, ...], pitch_px: float
) -> tuple[Item, ...]:
    """Strokes of every stretch; weights shrink where lines lie very close, so that they stay apart."""
    k = min(1.0, max(0.35, pitch_px / 8.0))
    factor = "" if k == 1.0 else f"@{k:.2f}"
    items: list[Item] = []
    first = True
    order: dict[str, int] = {"holds": 0, "engineer": 1, "unknown": 2, "short": 3}
    for r in sorted(rows, key=lambda r: (order[r.state], r.plane, r.line, r.x0_ft)):
        tag = Tag(title=say(r, frames_ft), data=data_of(r), hot=True, stop=first)
        first = False
        a, b = (r.x0_ft, r.y_ft), (r.x1_ft, r.y_ft)
        if r.state == "engineer":
            d = 2.0 * k / view.scale_px
            two = tuple(
                Line((x0, y + s), (x1, y + s), f"engineer{factor}")
                for (x0, y), (x1, _) in ((a, b),)
                for s in (d, -d)
            )
            items.append(Group(two, tag))
        else:
            items.append(Line(a, b, f"{r.state}{factor}", tag))
    return tuple(items)


def governing(rows: tuple[Stretch, ...], roof: Roof) -> tuple[Stretch, ...]:
    """The worst stretch of each plane and zone, worst first; of equals the longest, then the one nearest mid-slope."""
    middle = {p.name: (0.65 * p.y_eave_ft + 0.35 * p.y_top_ft) for p in roof.planes}
    best: dict[tuple[str, str], tuple[tuple[float, ...], Stretch]] = {}
    for r in rows:
        rank, ratio = r.badness
        how = (float(rank), round(ratio, 3), round(r.x1_ft - r.x0_ft, 2), -abs(r.y_ft - middle[r.plane]))
        key = (r.plane, r.zone)
        if key not in best or how > best[key][0]:
            best[key] = (how, r)
    return tuple(r for _, r in sorted(best.values(), key=lambda b: b[0], reverse=True))


def flag(r: Stretch, middle: Point, frames_ft: tuple[float, ...], marked: bool, dot: Point | None) -> Item:
    """Plate, mark and ratio of one stretch, as one hot place."""
    text = flag_words(r)
    w, h = flag_size(r)
    x0, y0 = middle[0] - w / 2, middle[1] - h / 2
    ring = ((x0, y0), (x0 + w, y0), (x0 + w, y0 + h), (x0, y0 + h))
    colour = "marked" if marked else (r.state if text == r.state else "ink")
    items: list[Line | Polygon | Mark | Text | Leader] = []
    if dot is not None:
        end = _nearest(dot, (x0, y0, x0 + w, y0 + h))
        items.append(Leader(dot, end))
    items += [
        Polygon(
            (ring,), fill="marker" if marked else "sheet", style="marked" if marked else f"{r.state} flag"
        ),
        Mark((x0 + 13, middle[1]), r.state, 11.0, colour="marked" if marked else ""),
        Text((x0 + 23, middle[1] + 4.7), text, 13.5, 600, colour=colour),
    ]
    return Group(tuple(items), Tag(title=say(r, frames_ft), data=data_of(r), hot=True, stop=True))


def flag_words(r: Stretch) -> str:
    """The ratio; where a link is unknown the word, since the ratio of the others is not the answer."""
    return r.state if r.state == "unknown" else ratio_text(r.ratio) or r.state


def flag_size(r: Stretch) -> Point:
    """Size of a flag on the sheet."""
    return text_width(flag_words(r), 13.5) + 31, 20.0


def _nearest(p: Point, box: tuple[float, float, float, float]) -> Point:
    return min(max(p[0], box[0]), box[2]), min(max(p[1], box[1]), box[3])


def flags(
    rows: tuple[Stretch, ...],
    view: View,
    placer: Placer,
    roof: Roof,
    highlight: Stretch | None,
) -> tuple[Item, ...]:
    """Flags of the governing stretches, none over another; a flag moved off its line points to it."""
    items: list[Item] = []
    of = None if highlight is None else (highlight.plane, highlight.zone)
    wanted = [r for r in governing(rows, roof) if (r.plane, r.zone) != of]
    if highlight is not None:
        wanted.insert(0, highlight)
    for r in wanted:
        w, h = flag_size(r)
        x0, x1 = view.px((r.x0_ft, 0.0))[0], view.px((r.x1_ft, 0.0))[0]
        y = view.px((0.0, r.y_ft))[1]
        share = (0.30, 0.36, 0.24, 0.42, 0.5, 0.18, 0.6, 0.7, 0.8)
        along = [(x0 + f * (x1 - x0), y) for f in share] if x1 - x0 > w else []
        near = around(((x0 + x1) / 2, y), 9.0, 220.0, 1.6)
        middle = placer.place(w, h, [*along, *near])
        if middle is None:
            continue
        on_it = abs(middle[1] - y) <= h / 2 and x0 - 2 <= middle[0] <= x1 + 2
        dot = None if on_it else (min(max(middle[0], x0 + 2), x1 - 2) if x1 - x0 > 4 else (x0 + x1) / 2, y)
        if dot is not None and abs(dot[0] - middle[0]) <= w / 2 and abs(dot[1] - middle[1]) <= h / 2:
            dot = None  # the flag lies on the place itself
        items.append(flag(r, middle, roof.frames_ft, r is highlight, dot))
        if dot is not None:
            placer.take(box_at(dot, 6, 6))
    return tuple(items)


def stretch_of(rows: tuple[Stretch, ...], check: Check | None) -> Stretch | None:
    """The stretch a card speaks of: its own place, else the worst in its zone."""
    if check is None or check.zone is None:
        return None
    at = [
        r
        for r in rows
        if r.zone == check.zone and check.plane in (None, r.plane) and check.line in (None, r.line)
    ]
    if check.x0_ft is not None:
        at = [r for r in at if abs(r.x0_ft - (check.x0_ft or 0.0)) < 0.01] or at
    return max(at, key=lambda r: r.badness, default=None)
