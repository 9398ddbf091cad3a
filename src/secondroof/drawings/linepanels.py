"""Panels of a line diagram: one quantity along a purlin line, its capacity, and its extremes in numbers."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from secondroof.checks.numbers import MINUS, show, unit_text
from secondroof.drawings.lettering import cut, text_width
from secondroof.drawings.place import Placer, spread
from secondroof.drawings.scene import Circle, Group, Item, Line, Point, Polygon, Polyline, Tag, Text
from secondroof.drawings.words import listed
from secondroof.units import feet_inches

PANEL_PX = 118.0
#: Room at the right for the names of the curves.
RIGHT_PX = 138.0
LABEL_PX = 12.5
_DASHES = ("outline", "hidden@1.4", "frame@1.6", "zone", "ink", "pencil")
AFTER, BEFORE = "outline", "hidden@1.4"


@dataclass(frozen=True, slots=True)
class Trace:
    """One quantity along a line.

    Attributes
    ----------
    title : str
        e.g. ``Moment``; of a load, the name of its case.
    unit : str
        e.g. ``kip-in``, ``lb``, ``in``, ``lb/ft``.
    x_ft : (n,) float
        Places from frame 1, not falling; a place that stands twice is a jump. [ft]
    y : (n,) float
        Values; NaN where not known, and the curve has a gap there.
    y_other : (n,) float, optional
        The same before the recover.
    limit_pos, limit_neg : (n,) float or float, optional
        Capacity for positive and for negative values, each as a plain size. NaN where not known, infinite where
        nothing limits.
    down : bool
        Positive values are drawn downward: loads and deflections.
    """

    title: str
    unit: str
    x_ft: np.ndarray
    y: np.ndarray
    y_other: np.ndarray | None = None
    limit_pos: np.ndarray | float | None = None
    limit_neg: np.ndarray | float | None = None
    down: bool = False


@dataclass(frozen=True, slots=True)
class Axis:
    """Place of one panel on the sheet."""

    left: float
    right: float
    length_ft: float
    top: float
    bottom: float
    low: float
    high: float
    down: bool

    def x(self, ft: float) -> float:
        return self.left + (self.right - self.left) * ft / self.length_ft

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return (
            self.top + share * (self.bottom - self.top)
            if self.down
            else self.bottom - share * (self.bottom - self.top)
        )


def limits_of(t: Trace) -> tuple[np.ndarray | None, np.ndarray | None]:
    """Capacity as signed values at each place: upper, lower."""
    n = len(t.x_ft)
    upper = (
        None if t.limit_pos is None else np.broadcast_to(np.abs(np.asarray(t.limit_pos, dtype=float)), (n,))
    )
    lower = (
        None if t.limit_neg is None else -np.broadcast_to(np.abs(np.asarray(t.limit_neg, dtype=float)), (n,))
    )
    return upper, lower


def axis_of(traces: Sequence[Trace], left: float, right: float, length: float, top: float) -> Axis:
    """Axis of a panel that takes in every known value and capacity, with room for words beyond the curve."""
    values = [0.0]
    for t in traces:
        for a in (t.y, t.y_other, *limits_of(t)):
            if a is not None:
                finite = np.asarray(a, dtype=float)
                finite = finite[np.isfinite(finite)]
                values += [float(finite.min()), float(finite.max())] if len(finite) else []
    low, high = min(values), max(values)
    if high == low:
        low, high = low - 1.0, high + 1.0
    room = 0.16 * (high - low)  # words of the extremes stand beyond the curve
    low, high = low - (room if low < 0 else 0.0), high + (room if high > 0 else 0.0)
    return Axis(left, right, length, top, top + PANEL_PX, low, high, traces[0].down)


def _frame_of(axis: Axis, title: str, unit: str, top: float) -> list[Item]:
    """Title, zero line and round values at the left of a panel."""
    items: list[Item] = [Text((0.0, top - 9), title, 14.0, 600, halo=True)]
    items.append(
        Text((text_width(title, 14.0) + 8, top - 9), unit_text(unit), 13.0, colour="ink2", halo=True)
    )
    zero = axis.y(0.0)
    items.append(Line((axis.left, zero), (axis.right, zero), "axis"))
    step = _step(axis.high - axis.low)
    for k in range(math.ceil(axis.low / step - 1e-9), math.floor(axis.high / step + 1e-9) + 1):
        at = axis.y(k * step)
        items.append(Line((axis.left - 4, at), (axis.left, at), "axis"))
        text = f"{abs(k * step):,.10g}"
        items.append(
            Text((axis.left - 8, at + 4.4), f"{MINUS if k < 0 else ''}{text}", LABEL_PX, 400, "end", "ink2")
        )
    return items


def _step(span: float) -> float:
    power = 10.0 ** math.floor(math.log10(span / 5))
    return next(m * power for m in (1.0, 2.0, 2.5, 5.0, 10.0, 20.0) if span / (m * power) <= 5)


def _runs(x: np.ndarray, y: np.ndarray) -> list[np.ndarray]:
    """Indices of the stretches without a gap."""
    known = np.flatnonzero(np.isfinite(y))
    return [r for r in np.split(known, np.flatnonzero(np.diff(known) > 1) + 1) if len(r) > 1]


def _curve(axis: Axis, x: np.ndarray, y: np.ndarray, style: str) -> list[Polyline]:
    return [
        Polyline(_thinned([(axis.x(float(x[i])), axis.y(float(y[i]))) for i in run]), style)
        for run in _runs(x, y)
    ]


def _thinned(points: list[Point]) -> tuple[Point, ...]:
    """Points that lie on the straight between their neighbours to a tenth of a pixel left out."""
    out = [points[0]]
    for k in range(1, len(points) - 1):
        (ax, ay), (bx, by), (cx, cy) = out[-1], points[k], points[k + 1]
        off = abs((cx - ax) * (by - ay) - (bx - ax) * (cy - ay)) / max(math.hypot(cx - ax, cy - ay), 1e-9)
        if off > 0.1 or bx - ax > 12:
            out.append(points[k])
    return (*out, points[-1])


def _bands(axis: Axis, t: Trace) -> list[Polygon | Polyline]:
    """Capacity: ground from nought to the limit, with the limit as its edge; nothing where it is not known."""
    out: list[Polygon | Polyline] = []
    zero = axis.y(0.0)
    for limit in limits_of(t):
        if limit is None:
            continue
        for run in _runs(t.x_ft, np.where(np.isfinite(limit), limit, np.nan)):
            edge = _thinned([(axis.x(float(t.x_ft[i])), axis.y(float(limit[i]))) for i in run])
            out.append(Polygon(((*edge, (edge[-1][0], zero), (edge[0][0], zero)),), fill="raised"))
            out.append(Polyline(edge, "limit@0.7"))
    return out


def over_limit(t: Trace) -> np.ndarray:
    """(n,) bool: places where ``y`` passes its capacity; exactly at it holds."""
    upper, lower = limits_of(t)
    y = np.asarray(t.y, dtype=float)
    out = np.zeros(len(y), dtype=bool)
    with np.errstate(invalid="ignore"):
        if upper is not None:
            out |= (y > 0) & (y > upper * (1 + 1e-9))
        if lower is not None:
            out |= (y < 0) & (y < lower * (1 + 1e-9))
    return out


def _over(axis: Axis, t: Trace) -> list[Polygon]:
    """Area between a curve and the capacity it passes, cut where they cross."""
    out: list[Polygon] = []
    x, y = np.asarray(t.x_ft, dtype=float), np.asarray(t.y, dtype=float)
    for limit, sign in zip(limits_of(t), (1.0, -1.0), strict=True):
        if limit is None:
            continue
        past = sign * (y - limit)
        ring: list[tuple[float, float, float]] = []
        for i in range(len(x)):
            if not (np.isfinite(past[i])):
                out += _ring(axis, ring)
                ring = []
                continue
            if i and np.isfinite(past[i - 1]) and (past[i - 1] > 0) != (past[i] > 0):
                k = past[i - 1] / (past[i - 1] - past[i])
                at = y[i - 1] + k * (y[i] - y[i - 1])
                cross = (float(x[i - 1] + k * (x[i] - x[i - 1])), float(at), float(at))
                ring.append(cross)
                if past[i] <= 0:
                    out += _ring(axis, ring)
                    ring = []
            if past[i] > 0:
                ring.append((float(x[i]), float(y[i]), float(limit[i])))
        out += _ring(axis, ring)
    return out


def _ring(axis: Axis, ring: list[tuple[float, float, float]]) -> list[Polygon]:
    if len(ring) < 2:
        return []
    curve = [(axis.x(x), axis.y(y)) for x, y, _ in ring]
    back = [(axis.x(x), axis.y(limit)) for x, _, limit in reversed(ring)]
    return [Polygon(((*_thinned(curve), *_thinned(back)),), hatch="short", style="short flag@0.7")]


def value_text(value: float, unit: str) -> str:
    """Value with its unit and a true minus; pounds and pounds a foot as on every drawing."""
    kind = "whole" if unit == "lb" else None
    return f"{show(value, unit, kind)} {unit_text(unit)}"


def where_text(x_ft: float, frames: list[float]) -> str:
    """``at frame 3`` or ``12'-6" along, bay 2``."""
    for i, f in enumerate(frames, start=1):
        if abs(f - x_ft) < 0.02:
            return f"at frame {i}"
    bay = 1 + sum(1 for f in frames[1:-1] if f <= x_ft)
    return f"{feet_inches(x_ft, 1)} along, bay {bay}"


def extremes(t: Trace, frames_ft: Sequence[float]) -> list[int]:
    """Places worth a label: the largest and least of all, then those of each bay and at each frame, worst first."""
    y = np.asarray(t.y, dtype=float)
    known = np.isfinite(y)
    if not known.any():
        return []
    filled_high, filled_low = np.where(known, y, -np.inf), np.where(known, y, np.inf)
    first = [int(np.argmax(filled_high)), int(np.argmin(filled_low))]
    rest: list[int] = []
    for a, b in pairwise(frames_ft):
        at = np.flatnonzero((t.x_ft >= a - 1e-6) & (t.x_ft <= b + 1e-6) & known)
        if len(at):
            rest += [int(at[np.argmax(y[at])]), int(at[np.argmin(y[at])])]
    rest.sort(key=lambda i: -abs(y[i]))
    top = float(np.max(np.abs(y[known])))
    return [i for i in dict.fromkeys([*first, *rest]) if abs(y[i]) > 0.02 * top]


def panel(
    axis: Axis, frames: list[float], t: Trace, names: tuple[str, str]
) -> tuple[list[Item], list[Item], str]:
    """Panel of one quantity: items, labels, and what a screen reader hears."""
    y = np.asarray(t.y, dtype=float)
    lines: list[Line | Polyline | Polygon] = [*_bands(axis, t), *_over(axis, t)]
    if t.y_other is not None:
        lines += _curve(axis, t.x_ft, np.asarray(t.y_other, dtype=float), BEFORE)
    lines += _curve(axis, t.x_ft, y, AFTER)
    picked = extremes(t, frames)
    over = over_limit(t)
    text = f"{t.title}: not known."
    if picked:
        worst = " and ".join(
            f"{value_text(float(y[i]), t.unit)} {where_text(float(t.x_ft[i]), frames)}" for i in picked[:2]
        )
        text = f"{t.title}: {worst}."
        if over.any():
            text += f" Passes {_limit_word(t)} in {_bays_over(t, over, frames)}."
    missing = _missing(t)
    if missing:
        text += f" {missing}."
    slug = re.sub(r"[^a-z0-9]+", "-", t.title.lower()).strip("-")
    tag = Tag(id=f"trace-{slug}", title=text, data=(("trace", slug),), hot=True, stop=True)
    placer = Placer((axis.left, axis.top - 4, axis.right, axis.bottom + 6), 2.0)
    labels = _labels(axis, t, picked, placer, over, frames)
    labels += _end_words(axis, t, names)
    if missing:
        labels.append(Text((axis.right, axis.top - 9), missing, 13.0, 600, "end", "unknown", halo=True))
    return [*_frame_of(axis, t.title, t.unit, axis.top), Group(tuple(lines), tag)], labels, text


def _bays_over(t: Trace, over: np.ndarray, frames: list[float]) -> str:
    """``bays 1, 3 to 5 and 23``: those in which the curve passes its capacity."""
    inner = np.asarray(frames[1:-1])
    bays = sorted(set((1 + np.searchsorted(inner, t.x_ft[over], side="right")).tolist()))
    runs: list[list[int]] = []
    for bay in bays:
        if runs and bay == runs[-1][-1] + 1:
            runs[-1].append(bay)
        else:
            runs.append([bay])
    words = [f"{r[0]}" if len(r) == 1 else f"{r[0]} to {r[-1]}" for r in runs]
    return f"{'bay' if len(bays) == 1 else 'bays'} {listed(words)}"


def _limit_word(t: Trace) -> str:
    return "its limit" if t.unit in ("in", "mm") else "its capacity"


def _missing(t: Trace) -> str:
    """What is not known of a panel, in words; empty where all is."""
    out = []
    if not np.isfinite(np.asarray(t.y, dtype=float)).all():
        out.append(
            "part of the curve not known"
            if np.isfinite(np.asarray(t.y, dtype=float)).any()
            else "curve not known"
        )
    given = [a for a in limits_of(t) if a is not None]
    if not given:
        out.append("no limit given" if t.unit in ("in", "mm") else "no capacity given")
    elif any(np.isnan(a).any() for a in given):
        out.append(
            "capacity not known"
            if all(np.isnan(a).all() for a in given)
            else "part of the capacity not known"
        )
    return ", ".join(out)


def _labels(
    axis: Axis, t: Trace, picked: list[int], placer: Placer, over: np.ndarray, frames: list[float]
) -> list[Item]:
    """Values at extremes, on the outer side of the curve, none over another."""
    out: list[Item] = []
    for k, i in enumerate(picked):
        value = float(t.y[i])
        text = show(value, t.unit, "whole" if t.unit == "lb" else None)
        if k < 2:
            text = value_text(value, t.unit)
        w = text_width(text, LABEL_PX) + 4
        x, y = axis.x(float(t.x_ft[i])), axis.y(value)
        out_y = y + (10.0 if (value > 0) == axis.down else -10.0)
        x_in = min(max(x, axis.left + w / 2), axis.right - w / 2)
        near = [(x_in, out_y), (x_in + w / 2 + 4, out_y), (x_in - w / 2 - 4, out_y)]
        if k < 2:  # the largest and the least always stand, if need be on the inner side
            inner = 2 * y - out_y
            near += [(x_in + dx, v) for v in (inner, y) for dx in (0, w / 2 + 6, -w / 2 - 6)]
            near += [(x_in + dx, out_y) for dx in (w, -w, 1.5 * w, -1.5 * w)]
        middle = placer.place(w, 13.0, near)
        if middle is None:
            continue
        colour = "short" if over[i] else "ink"
        title = f"{t.title} {value_text(value, t.unit)} {where_text(float(t.x_ft[i]), frames)}"
        words = Text((middle[0], middle[1] + 4.4), text, LABEL_PX, 600, "middle", colour, halo=True)
        out.append(Group((Circle((x, y), 2.2, "ink", "ink"), words), Tag(title=title)))
    return out


def _end_words(axis: Axis, t: Trace, names: tuple[str, str]) -> list[Item]:
    """Names of the curves and of the capacity at the right end, moved apart."""
    rows: list[tuple[float, str, str]] = []
    for a, called, colour in ((t.y, names[0], "ink"), (t.y_other, names[1], "ink2")):
        if a is not None:
            y = np.asarray(a, dtype=float)
            run = np.flatnonzero(np.isfinite(y))
            if len(run):
                rows.append((axis.y(float(y[run[-1]])), called, colour))
    word = "limit" if t.unit in ("in", "mm") else "capacity"
    for limit in limits_of(t):
        if limit is not None and np.isfinite(limit).any():
            run = np.flatnonzero(np.isfinite(limit))
            least = float(limit[run][np.argmin(np.abs(limit[run]))])
            whole = show(abs(least), t.unit, "whole" if t.unit == "lb" else None)
            same = float(np.ptp(limit[run])) <= 1e-9 * max(1.0, abs(least))
            rows.append(
                (
                    axis.y(float(limit[run[-1]])),
                    f"{word} {whole}" if same else f"{word} {whole} least",
                    "ink2",
                )
            )
    rows.sort(key=lambda r: r[0])
    out: list[Item] = []
    if t.y_other is None:
        rows = [r for r in rows if r[1] != names[0]]
    for (at, said, colour), place in zip(rows, spread([r[0] for r in rows], 15.0), strict=True):
        if abs(place - at) > 2:
            out.append(Line((axis.right + 2, at), (axis.right + 9, place), "dim@0.6"))
        out.append(
            Text(
                (axis.right + 12, place + 4.4),
                cut(said, RIGHT_PX - 14, 13.0),
                13.0,
                600 if colour == "ink" else 400,
                colour=colour,
            )
        )
    return out


def load_panel(axis: Axis, frames: list[float], loads: Sequence[Trace]) -> tuple[list[Item], list[Item], str]:
    """All load cases in one panel, each named at its end with its own dashes."""
    lines: list[Line | Polyline | Polygon] = []
    rows: list[tuple[float, str, str]] = []
    said: list[str] = []
    labels: list[Item] = []
    placer = Placer((axis.left, axis.top - 4, axis.right, axis.bottom + 6), 2.0)
    for k, t in enumerate(loads):
        style = _DASHES[k % len(_DASHES)]
        lines += _curve(axis, t.x_ft, np.asarray(t.y, dtype=float), style)
        picked = extremes(t, frames)
        if not picked:
            said.append(f"{t.title} not known")
            continue
        known = np.flatnonzero(np.isfinite(np.asarray(t.y, dtype=float)))
        rows.append((axis.y(float(t.y[known[-1]])), t.title, style))
        ends = sorted({value_text(float(t.y[i]), t.unit) for i in picked[:2]})
        said.append(f"{t.title} {' to '.join(ends)}")
        level = float(np.ptp(np.asarray(t.y, dtype=float)[known])) < 1e-9
        labels += _labels(
            axis, t, picked[: 1 if level else 4], placer, np.zeros(len(t.y), dtype=bool), frames
        )
    rows.sort(key=lambda r: r[0])
    for (at, word, style), place in zip(rows, spread([r[0] for r in rows], 15.0), strict=True):
        labels.append(Line((axis.right + 2, at), (axis.right + 12, place), style))
        labels.append(Text((axis.right + 16, place + 4.4), cut(word, RIGHT_PX - 18, 13.0), 13.0, 500))
    text = f"Load along the line: {'; '.join(said)}."
    tag = Tag(id="trace-loads", title=text, data=(("trace", "loads"),), hot=True, stop=True)
    return (
        [*_frame_of(axis, "Load along the line", loads[0].unit, axis.top), Group(tuple(lines), tag)],
        labels,
        text,
    )
