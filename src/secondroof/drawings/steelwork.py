"""Parts a section is made of: cut steel, screws, insulation, labels with leaders."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import spread
from secondroof.drawings.scene import Dimension, Item, Leader, Point, Polygon, Polyline, Tag, Text, View
from secondroof.drawings.sizes import Purlin

#: Waves of insulation, one to this length. [in]
WAVE_IN = 1.1


def purlin_section(p: Purlin, way: float) -> Polyline:
    """Z or C cut across, top of its top flange at y = 0, outside of its web at x = 0; ``way`` +1 points right."""
    t = p.t_in or 0.0
    a = math.radians(p.lip_angle_deg)
    lip = p.lip_in or 0.0
    y0, y1 = -t / 2, -p.depth_in + t / 2
    points: list[Point] = []
    if lip:
        points.append((way * (p.top_in + lip * math.cos(a)), y0 - lip * math.sin(a)))
    points += [(way * p.top_in, y0), (0.0, y0), (0.0, y1)]
    if p.bottom_in is not None:
        foot = -way if p.shape == "Z" else way
        points.append((foot * p.bottom_in, y1))
        if lip:
            points.append((foot * (p.bottom_in + lip * math.cos(a)), y1 + lip * math.sin(a)))
    return Polyline(tuple(points), "cut old", thick=t, tag=Tag(title=f"Old purlin, {p.shape}"))


def screw(x: float, top: float, length: float, d: float) -> tuple[Item, ...]:
    """Screw with a hexagon head standing on ``top``, ``length`` under the head. [in]"""
    head, r = 1.75 * d, d / 2
    tip = min(0.3, length / 2)
    return (
        Polygon(
            (
                (
                    (x - head / 2, top),
                    (x + head / 2, top),
                    (x + head / 2, top + 0.75 * d),
                    (x - head / 2, top + 0.75 * d),
                ),
            ),
            fill="ink",
        ),
        Polygon(
            (
                (
                    (x - head * 0.75, top),
                    (x + head * 0.75, top),
                    (x + head * 0.75, top + 0.06),
                    (x - head * 0.75, top + 0.06),
                ),
            ),
            fill="ink",
        ),
        Polygon(
            (
                (
                    (x - r, top),
                    (x + r, top),
                    (x + r * 0.8, top - length + tip),
                    (x, top - length),
                    (x - r * 0.8, top - length + tip),
                ),
            ),
            fill="ink",
        ),
    )


def screw_length(grip: float) -> float:
    """Least length under the head: what lies between, three threads through and the drill point, to 1/4. [in]

    Common practice, no source.
    """
    return math.ceil((grip + 3 / 14 + 0.35) / 0.25 - 1e-9) * 0.25


def wave(
    x0: float, x1: float, low: Callable[[float], float], high: Callable[[float], float], style: str
) -> tuple[Item, ...]:
    """One continuous wave between two edges, squeezed where they near each other."""
    if x1 - x0 < 0.5:
        return ()
    n = max(1, round((x1 - x0) / WAVE_IN))
    steps = 14 * n
    points = []
    for i in range(steps + 1):
        x = x0 + (x1 - x0) * i / steps
        s = math.tanh(3.0 * math.sin(2 * math.pi * n * i / steps)) / math.tanh(3.0)
        a, b = low(x), high(x)
        points.append((x, (a + b) / 2 + 0.46 * (b - a) * s))
    return (Polyline(tuple(points), style, tag=Tag(title="Insulation")),)


def label(view: View, dot: Point, at_px: Point, head: str, more: tuple[str, ...]) -> tuple[Item, ...]:
    """Bold words with lighter lines under them, and one straight stroke from a dot on the thing. Sheet items.

    A line that begins with ``~`` is assumed. The stroke comes straight down where the dot is over the words.
    """
    x, y = view.px(dot)
    width = text_width(head, 13.5)
    over = at_px[0] + 4 <= x <= at_px[0] + width and y < at_px[1] - 20
    end = (x, at_px[1] - 14) if over else (at_px[0] - 5, at_px[1] - 4.5)
    items: list[Item] = [Leader((x, y), end), Text(at_px, head, 13.5, 600, halo=True)]
    for k, line in enumerate(more, start=1):
        words, assumed = line.lstrip("~"), line.startswith("~")
        items.append(
            Text((at_px[0], at_px[1] + 16 * k), words, 13.0, colour="ink2", halo=True, assumed=assumed)
        )
    return tuple(items)


def dimension_chain(
    view: View, x: float, at_px: float, pieces: list[tuple[float, float, str, bool]], more: tuple[str, ...]
) -> tuple[Item, ...]:
    """Dimensions up the sheet from the top down, words clear of each other; the last carries ``more`` lines."""
    rows = sorted(pieces, key=lambda p: -p[1])
    wanted = [view.px((0.0, (a + b) / 2))[1] + 4.5 for a, b, _, _ in rows]
    items: list[Item] = []
    for (a, b, text, assumed), y in zip(rows, spread(wanted, 16.0), strict=True):
        last = (a, b, text, assumed) == rows[-1]
        items.append(
            Dimension(
                (x, a),
                (x, b),
                "y",
                at_px,
                text,
                (at_px + 10, y),
                "start",
                more if last else (),
                assumed,
                gap_px=5.0,
            )
        )
    return tuple(items)


def breaks(view: View, xs: tuple[float, ...], low: float, high: float) -> tuple[Item, ...]:
    """Where the drawing stops but the thing goes on."""
    return tuple(Polyline(((x, low), (x, high)), "break") for x in xs)


def profile(
    x0: float, x1: float, ribs: list[float], y: float, base: float, top: float, height: float
) -> tuple[Point, ...]:
    """Pan at ``y`` with trapezoid ribs standing on it, cut at both ends."""
    points: list[Point] = [(x0, y)]
    for r in ribs:
        points += [(r - base / 2, y), (r - top / 2, y + height), (r + top / 2, y + height), (r + base / 2, y)]
    points.append((x1, y))
    return clipped(points, x0, x1)


def clipped(points: list[Point], x0: float, x1: float) -> tuple[Point, ...]:
    """A run of points whose x never falls, cut at ``x0`` and ``x1``."""
    inside: list[Point] = []
    for a, b in pairwise(points):
        if b[0] <= x0 or a[0] >= x1:
            continue
        if not inside:
            inside.append(_at(a, b, max(a[0], x0)))
        inside.append(_at(a, b, min(b[0], x1)))
    return tuple(inside)


def _at(a: Point, b: Point, x: float) -> Point:
    if abs(b[0] - a[0]) < 1e-9:
        return b
    f = (x - a[0]) / (b[0] - a[0])
    return x, a[1] + f * (b[1] - a[1])
