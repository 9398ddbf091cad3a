"""One purlin line: supports and laps, loads on it, and moment, shear and deflection along it with their capacities.

Lengths are to scale; heights are not, since each panel has its own unit. Curves after the recover are heavy, those
before it thin and dashed; a capacity is an area to stay in, and what passes it is hatched as short.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from secondroof.drawings import furniture
from secondroof.drawings.lettering import text_width
from secondroof.drawings.linepanels import (
    AFTER,
    BEFORE,
    LABEL_PX,
    RIGHT_PX,
    Axis,
    Trace,
    axis_of,
    limits_of,
    load_panel,
    over_limit,
    panel,
)
from secondroof.drawings.place import thinned
from secondroof.drawings.scene import Circle, Item, Layer, Line, Polygon, Scene, Tag, Text
from secondroof.errors import InputError, Problem
from secondroof.units import feet_inches

__all__ = ["Trace", "line_diagram"]

GAP_PX = 36.0
LEFT_PX = 58.0


def line_diagram(
    title: str,
    frames_ft: Sequence[float],
    traces: Sequence[Trace],
    *,
    loads: Sequence[Trace] = (),
    laps_ft: Sequence[tuple[float, float]] = (),
    released: Sequence[bool] = (),
    under: str = "",
    names: tuple[str, str] = ("after", "before"),
    notes: Sequence[tuple[str, str]] = (),
    name: str = "line",
    width_px: float = 1080.0,
) -> Scene:
    """Diagram of one purlin line.

    Parameters
    ----------
    title : str
        What the drawing answers, e.g. ``Line S2 under snow``.
    frames_ft : sequence of float
        Frames that carry the line, from frame 1. [ft]
    traces : sequence of Trace
        Moment, shear, deflection: one panel each, in this order.
    loads : sequence of Trace
        Load cases, all in one panel under the line, each named at its end. [lb/ft]
    laps_ft : sequence of (float, float)
        From and to of each lap. [ft]
    released : sequence of bool
        Over which frames the line is not continuous; left out, it is over all inner ones.
    under : str
        The line under the title.
    names : (str, str)
        What ``y`` and ``y_other`` are called.
    notes : sequence of (head, text)
        Notes at the foot.
    name : str
        Name of the scene: ids begin with it.
    width_px : float
        Width of the sheet. [1/96 in]

    Returns
    -------
    Scene
        On the sheet; each panel is a group with its own id and its extremes in words.

    Raises
    ------
    InputError
        Fewer than two frames, or arrays that do not fit each other.
    """
    frames = [float(f) for f in frames_ft]
    _check(frames, [*loads, *traces])
    laps = [(float(a), float(b)) for a, b in laps_ft]
    length = frames[-1]
    ends = [float(t.x_ft[-1]) for t in (*loads, *traces)]
    length = max([length, *ends])
    head, y = furniture.title(title, under, width_px)
    left, right = LEFT_PX, width_px - RIGHT_PX
    y += 26
    beam_axis = Axis(left, right, length, y, y + 30, 0.0, 1.0, False)
    beam = _beam(beam_axis, frames, laps, list(released))
    layers: list[Layer] = []
    y += 64
    panels: list[Item] = []
    grid_top = y - 14
    words: list[Item] = []
    said: list[str] = []
    if loads:
        axis = axis_of(loads, left, right, length, y + 12)
        done, labels, text = load_panel(axis, frames, loads)
        panels += done
        words += labels
        said.append(text)
        y = axis.bottom + GAP_PX
    for t in traces:
        axis = axis_of((t,), left, right, length, y + 12)
        done, labels, text = panel(axis, frames, t, names)
        panels += done
        words += labels
        said.append(text)
        y = axis.bottom + GAP_PX
    foot, height = _foot(beam_axis, frames, y - GAP_PX + 20, width_px, traces, names, notes)
    grid = [Line((beam_axis.x(f), grid_top), (beam_axis.x(f), y - GAP_PX + 6), "frame@0.8") for f in frames]
    for layer, cad, items in (
        ("grid", "S-GRID", tuple(grid)),
        ("line", "S-BEAM-E", beam),
        ("panels", "A-ANNO-SYMB", tuple(panels)),
        ("labels", "A-ANNO-TEXT", tuple(words)),
        ("title", "A-ANNO-TTLB", head),
        ("key", "A-ANNO-TTLB", foot),
    ):
        if items:
            layers.append(Layer(layer, cad, items))
    desc = f"{len(frames) - 1} spans, {len(laps)} laps. " + " ".join(said)
    return Scene(name, title, desc, width_px, height, tuple(layers))


def _check(frames: list[float], traces: Sequence[Trace]) -> None:
    problems: list[Problem] = []
    if len(frames) < 2 or any(b <= a for a, b in pairwise(frames)):
        problems.append(
            Problem(
                "frames_ft",
                str(frames),
                "A line needs two frames or more, in rising order.",
                "Give each frame once.",
            )
        )
    for t in traces:
        n = len(t.x_ft)
        columns = [t.y, *(a for a in (t.y_other, t.limit_pos, t.limit_neg) if a is not None and np.ndim(a))]
        if n < 2 or any(np.shape(a) != (n,) for a in columns) or np.any(np.diff(t.x_ft) < 0):
            problems.append(
                Problem(
                    f"traces[{t.title}]", f"{n} places", "Places must not fall, and each value needs its place.",
                    "Give x_ft, y and capacities of one length, two places or more.",
                )
            )  # fmt: skip
    if problems:
        raise InputError(problems)


def _beam(
    axis: Axis, frames: list[float], laps: list[tuple[float, float]], released: list[bool]
) -> tuple[Item, ...]:
    """The line on its supports: circles with frame numbers, bays between, laps as a second piece over the first."""
    y = axis.bottom - 8
    xs = [axis.x(f) for f in frames]
    items: list[Item] = []
    shown = thinned(xs, 23.0)
    if len(shown) > 2 and xs[shown[-1]] - xs[shown[-2]] < 23.0:
        shown.pop(-2)
    for i in shown:
        items.append(Circle((xs[i], y - 26), 10.0, "circle", "sheet", Tag(title=f"Frame {i + 1}")))
        items.append(Text((xs[i], y - 21.4), str(i + 1), 13.0, 600, "middle"))
    for i, (a, b) in enumerate(pairwise(xs), start=1):
        if text_width(f"bay {i}", LABEL_PX) + 30 <= b - a:
            items.append(Text(((a + b) / 2, y - 21.6), f"bay {i}", LABEL_PX, 400, "middle", "ink2"))
    last = axis.x(axis.length_ft)
    items.append(Line((axis.x(0.0), y), (last, y), "outline"))
    for a, b in laps:
        text = f"Lap from {feet_inches(a)} to {feet_inches(b)}"
        items.append(Line((axis.x(a), y - 4), (axis.x(b), y - 4), "outline", Tag(title=text)))
    for i, x in enumerate(xs):
        size = 6.0 if len(xs) < 40 else 4.0
        ring = ((x, y + 1.5), (x - size, y + 1.5 + 1.4 * size), (x + size, y + 1.5 + 1.4 * size))
        free = i < len(released) and released[i] and 0 < i < len(xs) - 1
        tag = Tag(title=f"Support at frame {i + 1}{', not continuous over it' if free else ''}")
        items.append(Polygon((ring,), fill="sheet", style="ink", tag=tag))
        if free:
            items.append(Circle((x, y), 3.2, "ink", "sheet", Tag(title=f"Not continuous over frame {i + 1}")))
    right = last + 14
    items.append(Text((right, y - 2), "lengths to scale,", LABEL_PX, colour="ink2"))
    items.append(Text((right, y + 13), "heights not", LABEL_PX, colour="ink2"))
    if laps:
        items.append(Text((axis.left - 12, y - 4), "laps", LABEL_PX, 400, "end", "ink2"))
    return tuple(items)


def _foot(
    axis: Axis,
    frames: list[float],
    y: float,
    width: float,
    traces: Sequence[Trace],
    names: tuple[str, str],
    notes: Sequence[tuple[str, str]],
) -> tuple[tuple[Item, ...], float]:
    """Distances of the frames in feet, the key, and notes."""
    items: list[Item] = []
    xs = [axis.x(f) for f in frames]
    widest = max(text_width(feet_inches(f, 1), LABEL_PX) for f in frames) + 8
    shown = thinned(xs, widest)
    if len(shown) > 2 and xs[shown[-1]] - xs[shown[-2]] < widest:
        shown.pop(-2)
    for i in shown:
        items.append(Text((xs[i], y), feet_inches(frames[i], 1), LABEL_PX, 400, "middle", "ink2"))
    y += 28
    x = 0.0
    key: list[tuple[str, str]] = [(AFTER, names[0])]
    if any(t.y_other is not None for t in traces):
        key.append((BEFORE, names[1]))
    for style, word in key if len(key) > 1 else []:
        items.append(Line((x, y - 5), (x + 38, y - 5), style))
        items.append(Text((x + 46, y), word, 14.0))
        x += 46 + text_width(word, 14.0) + 24
    if any(a is not None for t in traces for a in limits_of(t)):
        ring = ((x, y - 13), (x + 38, y - 13), (x + 38, y + 3), (x, y + 3))
        items += [
            Polygon((ring,), fill="raised", style="limit@0.7"),
            Text((x + 46, y), "capacity or limit", 14.0),
        ]
        x += 46 + text_width("capacity or limit", 14.0) + 24
    if any(over_limit(t).any() for t in traces):
        ring = ((x, y - 13), (x + 38, y - 13), (x + 38, y + 3), (x, y + 3))
        items += [
            Polygon((ring,), hatch="short", style="short flag@0.7"),
            Text((x + 46, y), "short", 14.0, 600, colour="short"),
        ]
        x += 46 + text_width("short", 14.0) + 24
    if x > 0:
        y += 18
    if notes:
        items.append(Line((0.0, y - 4), (width, y - 4), "rule"))
        done, y = furniture.notes((0.0, y + 16), notes, width)
        items += done
    return tuple(items), y + 4
