"""Every line of the roof by its ratio, bay by bay: one map for gravity, one for uplift, the worst ten numbered.

Strokes are those of the roof plan (state by style and colour); within a state a heavier stroke is a larger ratio.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal, Protocol

import numpy as np

from secondroof.checks.model import STATE_ORDER, State
from secondroof.drawings import furniture
from secondroof.drawings.legend import base_layers, pitch_of, place_beside, plan_room
from secondroof.drawings.lettering import cut, text_width
from secondroof.drawings.place import Placer, around
from secondroof.drawings.scene import (
    Circle,
    Group,
    Item,
    Layer,
    Leader,
    Line,
    Mark,
    Point,
    Polygon,
    Scene,
    Tag,
    Text,
    View,
)
from secondroof.drawings.stretches import Stretch, bays_words, data_of, lengths_by_state, say, stretch_lines
from secondroof.drawings.words import listed, ratio_text, whole
from secondroof.errors import InputError, Problem

if TYPE_CHECKING:
    from secondroof.roof.model import Roof

WORST = 10
#: Over this many stretches, neighbours alike are drawn as one.
MOST_STROKES = 1000
#: Ratios of neighbours drawn as one differ by no more than the first, or the next where strokes are too many.
ALIKE = (0.05, 0.1, 0.2)
#: Stroke against its usual weight, by ratio: up to each limit.
_WEIGHTS = {
    "holds": ((0.5, 0.7), (0.8, 1.0), (0.95, 1.5), (math.inf, 2.0)),
    "short": ((1.1, 0.8), (1.4, 1.0), (math.inf, 1.35)),
}
QUESTIONS = {
    "gravity": "Do the old purlins carry what presses down?",
    "uplift": "Do the old purlins hold against uplift?",
}


class Ratios(Protocol):
    """Columns of equal length, one row a stretch of line: what :func:`ratio_map` draws.

    ``plane`` and ``line`` (count from the eave) name the line, ``x0_ft`` and ``x1_ft`` are its ends [ft], ``ratio``
    is demand over capacity (NaN where not known), ``state`` one of holds, short, unknown, engineer. A column
    ``governs`` (what governs, in words) may stand beside them.
    """

    @property
    def plane(self) -> Any: ...
    @property
    def line(self) -> Any: ...
    @property
    def x0_ft(self) -> Any: ...
    @property
    def x1_ft(self) -> Any: ...
    @property
    def ratio(self) -> Any: ...
    @property
    def state(self) -> Any: ...


@dataclass(frozen=True, slots=True)
class RatioRows:
    """Columns of ratios, where a caller has no record of its own.

    Attributes
    ----------
    plane : (n,) str
    line : (n,) int
        Count from the eave.
    x0_ft, x1_ft : (n,) float
        Ends. [ft]
    ratio : (n,) float
        NaN where not known.
    state : (n,) str
    governs : (n,) str, optional
        What governs, in words.
    """

    plane: np.ndarray
    line: np.ndarray
    x0_ft: np.ndarray
    x1_ft: np.ndarray
    ratio: np.ndarray
    state: np.ndarray
    governs: np.ndarray | None = None


def ratio_rows(roof: Roof, segments: Ratios) -> tuple[Stretch, ...]:
    """Rows as stretches of the roof's lines, in order of plane, line and place.

    Raises
    ------
    InputError
        Columns of unequal length, a line the roof does not have, a state that is none, or a row that says *holds*
        without a ratio or with one over 1.
    """
    columns = [segments.plane, segments.line, segments.x0_ft, segments.x1_ft, segments.ratio, segments.state]
    n = len(columns[0])
    if any(len(c) != n for c in columns):
        raise InputError(
            Problem(
                "segments",
                str([len(c) for c in columns]),
                "Columns differ in length.",
                "Give one row a stretch.",
            )
        )
    governs = getattr(segments, "governs", None)
    order = {p.name: k for k, p in enumerate(roof.planes)}
    lines = {(x.plane, x.index): x for x in roof.lines}
    problems: list[Problem] = []
    out: list[Stretch] = []
    zones = _zones_of(roof, segments)
    for i in range(n):
        plane, index, ratio = str(segments.plane[i]), int(segments.line[i]), float(segments.ratio[i])
        line = lines.get((plane, index))
        state: State | None = next((s for s in STATE_ORDER if s == str(segments.state[i])), None)
        row = f"segments[{i}]"
        if line is None:
            problems.append(
                Problem(
                    row, f"{plane}{index}", "The roof has no such line.", "Use plane and count from the eave."
                )
            )
        elif state is None:
            problems.append(
                Problem(row, str(segments.state[i]), f"A state is one of {', '.join(STATE_ORDER)}.", "")
            )
        elif state == "holds" and not ratio <= 1.0 + 1e-9:
            given = "no ratio" if math.isnan(ratio) else f"ratio {ratio:.6g}"
            problems.append(
                Problem(row, given, "It cannot hold.", "Where nothing is known the state is unknown.")
            )
        else:
            out.append(
                Stretch(
                    plane=plane,
                    line=index,
                    name=line.name,
                    zone=zones[i],
                    x0_ft=float(segments.x0_ft[i]),
                    x1_ft=float(segments.x1_ft[i]),
                    y_ft=line.y_ft,
                    ratio=None if math.isnan(ratio) else ratio,
                    state=state,
                    governs="" if governs is None else str(governs[i]),
                    check="",
                )
            )
    if problems:
        raise InputError(problems)
    return tuple(sorted(out, key=lambda r: (order[r.plane], r.line, r.x0_ft)))


def _zones_of(roof: Roof, segments: Ratios) -> list[str]:
    """Wind zones each stretch runs through: ``1`` or ``1 and 2``."""
    import shapely

    ys = {(x.plane, x.index): x.y_ft for x in roof.lines}
    inside = 1e-3
    y = np.array([ys.get((str(p), int(k)), 0.0) for p, k in zip(segments.plane, segments.line, strict=True)])
    y = np.clip(y, inside, roof.width_ft - inside)
    x0, x1 = (np.asarray(v, dtype=float) for v in (segments.x0_ft, segments.x1_ft))
    if not len(y):
        return []
    ends = np.stack([np.stack([x0 + inside, y], axis=-1), np.stack([x1 - inside, y], axis=-1)], axis=1)
    runs = np.asarray(shapely.linestrings(ends))
    words: list[list[str]] = [[] for _ in y]
    for name, shape in roof.zones.items():
        shapely.prepare(shape)
        near = np.flatnonzero(shapely.intersects(shape, runs))
        within = shapely.contains(shape, runs[near])
        some = within | (shapely.length(shapely.intersection(runs[near], shape)) > 0.05)
        for i in near[some]:
            words[i].append(name)
    return [listed(sorted(w)) for w in words]


def joined_rows(rows: Sequence[Stretch], most: int = MOST_STROKES) -> tuple[tuple[Stretch, ...], float]:
    """Rows as they are where they are few; else neighbours of one state and nearly one ratio made one.

    A joined row carries the largest ratio of its bays and what governs there, so nothing looks better than it is,
    and never reaches over a change of state or of stroke. Ratios are let differ by 0.05, by more only while the
    strokes are still over ``most``.

    Returns
    -------
    tuple
        Rows to draw, and by how much the ratios of one row differ at most: 0 where none was joined.
    """
    if len(rows) <= most:
        return tuple(rows), 0.0
    out: tuple[Stretch, ...] = ()
    for alike in (*ALIKE, math.inf):
        out = _joined(rows, alike)
        if len(out) <= most:
            break
    return (out, alike) if len(out) < len(rows) else (out, 0.0)


def _joined(rows: Sequence[Stretch], alike: float) -> tuple[Stretch, ...]:
    out: list[Stretch] = []
    least: list[float] = []
    for r in rows:
        last = out[-1] if out else None
        if (
            last is not None
            and (last.plane, last.line, last.state) == (r.plane, r.line, r.state)
            and (last.ratio is None) == (r.ratio is None)
            and abs(last.x1_ft - r.x0_ft) < 0.01
            and _weight(last) == _weight(r)
        ):
            a, b = r.ratio or 0.0, last.ratio or 0.0
            low = min(a, least[-1])
            if max(a, b) - low <= alike:
                zone = listed(sorted({*_zone_words(last.zone), *_zone_words(r.zone)}))
                worse = r if a > b else last
                out[-1] = replace(worse, x0_ft=last.x0_ft, x1_ft=r.x1_ft, zone=zone)
                least[-1] = low
                continue
        out.append(r)
        least.append(r.ratio or 0.0)
    return tuple(out)


def _zone_words(zone: str) -> list[str]:
    return [w for part in zone.split(", ") for w in part.split(" and ") if w]


def _weight(r: Stretch) -> float:
    """Stroke of a stretch against the usual one of its state."""
    if r.ratio is None or r.state not in _WEIGHTS:
        return 1.0
    return next(k for limit, k in _WEIGHTS[r.state] if r.ratio <= limit)


def ratio_strokes(rows: Sequence[Stretch], roof: Roof, view: View) -> tuple[Item, ...]:
    """Strokes of the rows in the style of the roof plan, heavier for a larger ratio; the worst on top."""
    pitch = pitch_of(roof, view.scale_px)
    out: list[Item] = []
    for state in ("holds", "engineer", "unknown", "short"):
        of_state = [r for r in rows if r.state == state]
        for k in sorted({_weight(r) for r in of_state}):
            drawn = stretch_lines(tuple(r for r in of_state if _weight(r) == k), view, roof.frames_ft, pitch)
            for item in drawn:
                tag = replace(item.tag, stop=not out)
                out.append(replace(_heavier(item, k), tag=tag))
    return tuple(out)


def _heavier(item: Item, k: float) -> Item:
    if k == 1.0 or not isinstance(item, Line):
        return item
    style, _, factor = item.style.partition("@")
    return replace(item, style=f"{style}@{(float(factor) if factor else 1.0) * k:.2f}")


def worst(rows: Sequence[Stretch], n: int = WORST) -> tuple[Stretch, ...]:
    """The worst rows that have a ratio of their own, by state and then ratio; what is unknown is not ranked."""
    ranked = [r for r in rows if r.ratio is not None and r.state != "unknown"]
    ranked.sort(key=lambda r: (STATE_ORDER.index(r.state), -(r.ratio or 0.0), r.plane, r.line, r.x0_ft))
    return tuple(ranked[:n])


# ---- the drawing


def ratio_map(
    roof: Roof,
    segments: Ratios,
    *,
    kind: Literal["gravity", "uplift"] = "gravity",
    title: str = "",
    under: str = "",
    notes: Sequence[tuple[str, str]] = (),
    width_px: float = 1080.0,
    most_height_px: float | None = None,
) -> Scene:
    """Plan with every line of the roof drawn by its ratio in each bay, and the worst ten numbered and listed.

    Parameters
    ----------
    roof : Roof
        The roof.
    segments : Ratios
        Columns plane, line, x0_ft, x1_ft, ratio, state, and governs where there is one.
    kind : str
        ``gravity`` or ``uplift``: the question, and the scene's name.
    title, under : str
        The question in other words, and the line under it.
    notes : sequence of (head, text)
        Notes at the foot, after what the drawing says itself.
    width_px : float
        Width of the sheet. [1/96 in]
    most_height_px : float, optional
        Most height of the plan itself; left out, 0.8 of the width. [1/96 in]

    Returns
    -------
    Scene

    Raises
    ------
    InputError
        Rows that do not fit the roof or contradict themselves.
    """
    rows = ratio_rows(roof, segments)
    drawn, alike = joined_rows(rows)
    question = title or QUESTIONS[kind]
    head, y = furniture.title(question, under, width_px)
    room = plan_room(roof, y, width_px, most_height_px)
    view = room.view
    placer = Placer((room.left + 1, room.top + 1, room.right - 1, room.bottom - 1))
    ten = worst(rows)
    under_it, over_it = base_layers(roof, room)
    layers = [
        *under_it,
        Layer("lines", "S-BEAM-E", ratio_strokes(drawn, roof, view), view),
        *over_it,
        Layer("worst", "A-ANNO-SYMB", number_flags(ten, roof, view, placer)),
        Layer("title", "A-ANNO-TTLB", head),
    ]
    foot, height = _foot(_told(rows, drawn, alike), rows, ten, roof, room.bottom, width_px, view, notes)
    layers.append(Layer("key", "A-ANNO-TTLB", foot))
    return Scene(
        name=f"ratios-{kind}",
        title=question,
        desc=describe(rows, ten, roof),
        width_px=width_px,
        height_px=height,
        layers=tuple(layer for layer in layers if layer.items),
    )


def number_flags(ten: Sequence[Stretch], roof: Roof, view: View, placer: Placer) -> tuple[Item, ...]:
    """Number of each of the worst on its bay, with its ratio where that fits; none over another.

    Where the bay itself is taken, the number stands near it at the end of a leader.
    """
    items: list[Item] = []
    shares = (0.5, 0.32, 0.68, 0.18, 0.82)
    for k, r in enumerate(ten, start=1):
        x0, x1 = view.px((r.x0_ft, 0.0))[0], view.px((r.x1_ft, 0.0))[0]
        y = view.px((0.0, r.y_ft))[1]
        text = ratio_text(r.ratio)
        wide = text_width(text, 13.5) + 34
        on_it: Point | None = None
        if x1 - x0 > wide + 8:
            on_it = placer.place(wide, 20.0, [(x0 + f * (x1 - x0), y) for f in shares])
        if on_it is not None:
            items.append(_flag(k, r, text, wide, on_it, None, roof))
            continue
        middle = placer.place(18.0, 18.0, [(x0 + f * (x1 - x0), y) for f in shares])
        dot = None
        if middle is None:
            dot = ((x0 + x1) / 2, y)
            inward = 1 if dot[0] < (placer.inside[0] + placer.inside[2]) / 2 else -1
            middle = place_beside(
                placer, 18.0, 18.0, dot, around((dot[0] + inward * (x1 - x0) / 2, y), 7.0, 320.0, 2.5)
            )
        if middle is not None:
            items.append(_flag(k, r, "", 18.0, middle, dot, roof))
    return tuple(items)


def _flag(k: int, r: Stretch, text: str, w: float, middle: Point, dot: Point | None, roof: Roof) -> Group:
    """A numbered circle in the colour of the state, on a plate with the ratio where there is one."""
    items: list[Leader | Polygon | Circle | Text] = []
    x = middle[0]
    if dot is not None:
        far = math.dist(dot, middle)
        items.append(Leader(dot, (x + 9 * (dot[0] - x) / far, middle[1] + 9 * (dot[1] - middle[1]) / far)))
    if text:
        x0, y0 = middle[0] - w / 2, middle[1] - 10
        ring = ((x0, y0), (x0 + w, y0), (x0 + w, y0 + 20), (x0, y0 + 20))
        items.append(Polygon((ring,), fill="sheet", style=f"{r.state} flag"))
        x = x0 + 12
        items.append(Text((x0 + 25, middle[1] + 4.7), text, 13.5, 600))
    items.append(Circle((x, middle[1]), 8.2, "circle" if text else f"{r.state} flag", "sheet"))
    items.append(Text((x, middle[1] + 4.4), str(k), 12.5, 600, "middle"))
    tag = Tag(
        id=f"worst-{k}", title=f"Worst {k}: {say(r, roof.frames_ft)}", data=data_of(r), hot=True, stop=True
    )
    return Group(tuple(items), tag)


def _foot(
    told: Sequence[tuple[str, str]],
    rows: Sequence[Stretch],
    ten: Sequence[Stretch],
    roof: Roof,
    bottom: float,
    width: float,
    view: View,
    notes: Sequence[tuple[str, str]],
) -> tuple[tuple[Item, ...], float]:
    items: list[Item] = []
    lengths = lengths_by_state(tuple(rows))
    bar_w = furniture.scale_bar((0.0, 0.0), view.scale_px, "ft")[1]
    y = bottom + 40
    beside = furniture.key_width(lengths) + 40 + bar_w <= width
    if not beside:
        items += furniture.scale_bar((0.0, y - 8), view.scale_px, "ft")[0]
        y += 28
    key, y = furniture.key_of_states((0.0, y), lengths, width)
    items += key
    if beside:
        items += furniture.scale_bar((width - bar_w - 4, y - 9), view.scale_px, "ft")[0]
    y += 18
    items.append(Line((0.0, y - 4), (width, y - 4), "rule"))
    done, y = worst_list(ten, roof, y + 18, width)
    items += done
    lines = [*told, *notes]
    if lines:
        items.append(Line((0.0, y - 8), (width, y - 8), "rule"))
        said, y = furniture.notes((0.0, y + 12), lines, width)
        items += said
    return tuple(items), y + 4


def worst_list(ten: Sequence[Stretch], roof: Roof, y: float, width: float) -> tuple[list[Item], float]:
    """The worst as a list in columns: number, line, bay, mark and ratio, what governs; items and place under them."""
    if not ten:
        return [Text((0.0, y), "No ratio is known, so none is ranked.", 13.0, 600)], y + 18
    items: list[Item] = [Text((0.0, y), f"Worst {len(ten)}" if len(ten) > 1 else "Worst", 14.0, 600)]
    columns = 2 if width >= 900 and len(ten) > 1 else 1
    per = math.ceil(len(ten) / columns)
    w = (width - 24 * (columns - 1)) / columns
    for k, r in enumerate(ten):
        x, at = (k // per) * (w + 24), y + 22 + 20 * (k % per)
        items.append(Text((x + 16, at), str(k + 1), 13.0, 600, "end"))
        where = f"{r.name}, {bays_words(roof.frames_ft, r.x0_ft, r.x1_ft)}"
        items.append(Text((x + 26, at), cut(where, 116, 13.0), 13.0))
        items.append(Mark((x + 156, at - 4.5), r.state, 11.0))
        items.append(Text((x + 168, at), ratio_text(r.ratio), 13.0, 600))
        words = f"{r.state}, {r.governs}" if r.governs else r.state
        items.append(Text((x + 210, at), cut(words, w - 212, 13.0), 13.0, colour="ink2"))
    return items, y + 22 + 20 * per


def _told(rows: Sequence[Stretch], drawn: Sequence[Stretch], alike: float) -> list[tuple[str, str]]:
    """What the drawing leaves out or joins, said under it."""
    out: list[tuple[str, str]] = []
    unknown = [r for r in rows if r.state == "unknown"]
    if unknown:
        many = "1 stretch" if len(unknown) == 1 else f"{len(unknown)} stretches"
        some = sorted({r.name for r in unknown}, key=lambda n: (len(n), n))
        names = listed(some) if len(some) <= 8 else f"{len(some)} lines"
        out.append(
            (
                "Unknown, not ranked:",
                f"{many}, on {names}. They may be worse than any listed.",
            )
        )
    out.append(("Strokes:", "state by its style; within a state the heavier stroke is the larger ratio."))
    if len(drawn) < len(rows):
        near = f" whose ratios lie within {alike:g}" if math.isfinite(alike) else ""
        out.append(
            (
                "Drawn as one:",
                f"neighbouring bays of one line in one state and stroke{near}; the largest ratio is said. "
                f"{whole(len(rows))} stretches, {whole(len(drawn))} strokes.",
            )
        )
    return out


def describe(rows: Sequence[Stretch], ten: Sequence[Stretch], roof: Roof) -> str:
    """The drawing in words."""
    counts = Counter(r.state for r in rows)
    told = listed(f"{counts[s]} {s}" for s in STATE_ORDER if counts[s])
    text = f"{len({(r.plane, r.line) for r in rows})} lines in {len(rows)} stretches: {told or 'none is judged'}."
    if ten:
        text += f" Worst: {say(ten[0], roof.frames_ft)}."
    return text
