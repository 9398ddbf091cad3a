"""What maps of loads and of ratios share: the plan's room on the sheet, its quiet base, marks of load and their key.

Bands are drawn in one grey ramp of hatches, closer and darker for more load, so that they read alike on screen,
on a copier and to any eye; every band has its numbers in the key, and the extremes stand on the plan as plates.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from secondroof.checks.numbers import fixed, show
from secondroof.drawings import furniture, names, styles, zones
from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import box_at
from secondroof.drawings.plan import ARROW_ROOM_PX, MOST_HEIGHT, Room
from secondroof.drawings.scene import (
    Group,
    Item,
    Layer,
    Leader,
    Line,
    Point,
    Polygon,
    Tag,
    Text,
    View,
)
from secondroof.drawings.styles import Hatch

if TYPE_CHECKING:
    from collections.abc import Iterable

    from secondroof.drawings.place import Box, Placer
    from secondroof.roof.model import Roof

_RAMP = (
    (24.0, 0.7, "edge", "sheet"), (14.0, 0.7, "edge", "sheet"), (9.0, 0.75, "edge", "z1"), (6.4, 0.85, "edge", "z2"),
    (4.8, 1.0, "ink2", "z2"), (3.7, 1.15, "ink2", "z3"), (2.9, 1.4, "ink2", "z3"),
)  # fmt: skip
MOST_BANDS = 6
PLATE_PX = 13.0
#: ``load n`` for one sign of load; ``down n`` for downward bands of a map that holds both.
LOAD_HATCHES = {
    f"{word} {k}": Hatch(kind, colour, pitch, width, tint)
    for word, kind in (("load", "strokes"), ("down", "net"))
    for k, (pitch, width, colour, tint) in enumerate(_RAMP)
}
styles.HATCHES.update(LOAD_HATCHES)


# ---- the plan under a map


def plan_room(roof: Roof, y: float, width_px: float, most_height_px: float | None = None) -> Room:
    """Where a plan without bars and dimensions lies under a head of height ``y``.

    Parameters
    ----------
    roof : Roof
        The roof.
    y : float
        Height of the title above it. [px]
    width_px : float
        Width of the sheet. [px]
    most_height_px : float, optional
        Most height of the plan itself; left out, 0.8 of the width. [px]

    Returns
    -------
    Room
    """
    left = max(24.0 + names.names_width(roof, 1e3), ARROW_ROOM_PX)
    right = 14.0
    height = most_height_px or MOST_HEIGHT * width_px
    scale = min((width_px - left - right) / roof.length_ft, height / roof.width_ft)
    frames_y = y + 40.0
    top = y + 64.0
    view = View("plan", "ft", scale, (left, top + roof.width_ft * scale))
    return Room(
        view=view,
        top=top,
        left=left,
        right=left + roof.length_ft * scale,
        bottom=top + roof.width_ft * scale,
        frames_y=frames_y,
        chain_y=top,
        chain_x=0.0,
        bars=None,
    )


def outline_ring(roof: Roof) -> tuple[Point, ...]:
    """Outline of the roof in plan. [ft]"""
    return (0.0, 0.0), (roof.length_ft, 0.0), (roof.length_ft, roof.width_ft), (0.0, roof.width_ft)


def base_layers(roof: Roof, room: Room) -> tuple[list[Layer], list[Layer]]:
    """Quiet base of a map: what lies under the load or the ratios, and the words round them.

    Returns
    -------
    tuple of two lists of Layer
        Frames, zones drawn faint and the outline; then ridge, names of lines and the north arrow.
    """
    view = room.view
    centre, circles = names.frame_names(roof, view, room.frames_y)
    quiet = tuple(replace(i, style="zone@0.6") for i in zones.zone_borders(roof) if isinstance(i, Line))
    outline = Polygon((outline_ring(roof),), style="outline", tag=Tag(title="Outline of the roof"))
    under = [
        Layer("frames", "S-GRID", centre, view),
        Layer("frame-names", "S-GRID", circles),
        Layer("zone-borders", "A-ROOF-ZONE", quiet, view),
        Layer("outline", "A-ROOF-OTLN", (outline,), view),
    ]
    over: list[Layer] = []
    if len(roof.planes) > 1:
        ridge, d = roof.planes[0].y_top_ft, 8 / view.scale_px
        line = Line((-d, ridge), (roof.length_ft + d, ridge), "ridge", Tag(title="Ridge"))
        over.append(Layer("ridge", "A-ROOF-OTLN", (line,), view))
    left = room.left - 14 - names.names_width(roof, view.scale_px)
    over.append(Layer("names", "A-ANNO-TEXT", names.line_names(roof, view, left)[0]))
    arrow = furniture.north_arrow((max(16.0, room.left - 62), room.frames_y - 10), roof.planes[0].faces)
    over.append(Layer("north", "A-ANNO-SYMB", arrow))
    return [layer for layer in under if layer.items], over


def pitch_of(roof: Roof, scale_px: float) -> float:
    """Usual distance of neighbouring lines on the sheet. [px]"""
    gaps = sorted(
        abs(b.y_ft - a.y_ft) for p in roof.planes for a, b in zip(p.lines[:-1], p.lines[1:], strict=True)
    )
    return (gaps[len(gaps) // 2] if gaps else roof.width_ft) * scale_px


def bay_of(frames_ft: tuple[float, ...], x_ft: float) -> int:
    """Bay a place lies in, counted from 1; before frame 1 and past the last frame the bay beside it."""
    return 1 + sum(1 for f in frames_ft[1:-1] if f <= x_ft + 1e-9)


def nearest(p: Point, box: Box) -> Point:
    """Point of a box nearest to a point."""
    return min(max(p[0], box[0]), box[2]), min(max(p[1], box[1]), box[3])


def plate(middle: Point, text: str, tag: Tag, dot: Point | None = None) -> Group:
    """Words on a plate as one thing, with a leader from the place they speak of where they stand off it."""
    w = text_width(text, PLATE_PX) + 12
    items: list[Leader | Text] = []
    if dot is not None:
        end = nearest(dot, (middle[0] - w / 2, middle[1] - 10, middle[0] + w / 2, middle[1] + 10))
        items.append(Leader(dot, end))
    items.append(Text(middle, text, PLATE_PX, 500, "middle", plate=True, offset_px=(0.0, 4.5)))
    return Group(tuple(items), tag)


def place_beside(placer: Placer, w: float, h: float, dot: Point, candidates: Iterable[Point]) -> Point | None:
    """Take a place for words at the end of a leader from ``dot``, such that no leader runs under other words.

    The dot itself stays in sight. Where there is no such place, the first free one is taken all the same; None where
    nothing is free.
    """
    tried = list(candidates)
    for middle in tried:
        box = box_at(middle, w, h)
        if not placer.free(box) or nearest(dot, box) == dot:
            continue
        steps = _leader_steps(dot, nearest(dot, box))
        if any(b[0] < x < b[2] and b[1] < y < b[3] for x, y in steps for b in placer.taken):
            continue
        placer.take(box)
        placer.take(box_at(dot, 4.0, 4.0))
        for step in steps:
            placer.take(box_at(step, 1.0, 1.0))
        return middle
    return placer.place(w, h, tried)


def _leader_steps(dot: Point, end: Point) -> list[Point]:
    """Points along a leader, without its dot and its end."""
    far = math.dist(dot, end)
    n = int(far / 4.0)
    return [
        (dot[0] + k * 4.0 / far * (end[0] - dot[0]), dot[1] + k * 4.0 / far * (end[1] - dot[1]))
        for k in range(2, n)
    ]


def plate_size(text: str) -> Point:
    """Size of a plate on the sheet. [px]"""
    return text_width(text, PLATE_PX) + 14, PLATE_PX + 9


# ---- bands of load


@dataclass(frozen=True, slots=True)
class Band:
    """Loads drawn alike.

    Attributes
    ----------
    low, high : float
        Limits, downward positive; equal where the band is one value. [psf]
    hatch : str
        Pattern.
    text : str
        Words of the key.
    """

    low: float
    high: float
    hatch: str
    text: str

    @property
    def is_value(self) -> bool:
        """True where all of the band is one printed value."""
        return self.low == self.high


def signed(value: float, unit: str = "psf", *, both: bool = False) -> str:
    """Load as printed on a map: ``40.3 psf``, ``uplift 34.8 psf``; ``down`` is said where a map holds both."""
    word = "uplift " if value < 0 else "down " if both else ""
    return f"{word}{show(abs(value), unit)} {unit}"


def printed(value: float) -> float:
    """Load as it is printed, so that what reads alike is drawn alike. [psf]"""
    return float(fixed(float(value), 1, plain=True, commas=False))


def round_step(span: float, most: int = MOST_BANDS) -> float:
    """Smallest of 1, 2, 2.5, 5 times a power of ten that needs at most ``most`` bands for a span."""
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(m * power for m in (1.0, 2.0, 2.5, 5.0, 10.0, 20.0) if span / (m * power) <= most)


def bands(values: Iterable[float], low: float, high: float, *, sloped: bool) -> tuple[Band, ...]:
    """Bands of a map, from the lowest signed load to the highest.

    Parameters
    ----------
    values : iterable of float
        Loads of the level places. [psf]
    low, high : float
        Least and largest signed load anywhere. [psf]
    sloped : bool
        Some place has a load that runs from one value to another.

    Returns
    -------
    tuple of Band
        One band a printed value where nothing is sloped and the values are few; else bands of equal width, at
        most seven. No band holds both uplift and downward load.
    """
    both = low < 0 < high
    levels = sorted({printed(v) for v in values} - {0.0})
    limits: list[tuple[float, float]]
    if not sloped and len(levels) <= MOST_BANDS:
        limits = [(v, v) for v in levels]
    elif high == low:
        limits = [(low, high)]
    else:
        step = round_step(high - low)
        first = math.floor(low / step + 1e-9)
        last = max(first + 1, math.ceil(high / step - 1e-9))
        limits = [(k * step, (k + 1) * step) for k in range(first, last)]
    down, up = [x for x in limits if x[1] > 0], [x for x in limits if x[1] <= 0]
    hatches = {x: f"{'down' if both else 'load'} {k}" for x, k in zip(down, ramp(len(down)), strict=True)}
    hatches |= {x: f"load {k}" for x, k in zip(up[::-1], ramp(len(up)), strict=True)}
    return tuple(Band(a, b, hatches[(a, b)], _band_words(a, b, both)) for a, b in limits)


def ramp(n: int) -> list[int]:
    """Steps of the ramp for ``n`` bands, least load first."""
    return {
        0: [],
        1: [2],
        2: [1, 4],
        3: [1, 3, 5],
        4: [0, 2, 4, 6],
        5: [0, 2, 3, 5, 6],
        6: [0, 1, 2, 3, 4, 6],
    }.get(n, list(range(len(_RAMP))))


def _band_words(low: float, high: float, both: bool) -> str:
    if low == high:
        return signed(low, both=both)
    word = "uplift " if low < 0 else "down " if both else ""
    a, b = sorted((abs(low), abs(high)))
    return f"{word}{a:.10g} to {b:.10g} psf"


def key_of_bands(
    at: Point, drawn: Iterable[Band], width_px: float, no_load: bool
) -> tuple[tuple[Item, ...], float]:
    """A swatch and its numbers for each band, in rows; items and the place under them.

    Parameters
    ----------
    at : Point
        Left end of the first row. [px]
    drawn : iterable of Band
        Bands, in the order they are to be read.
    width_px : float
        Width there is. [px]
    no_load : bool
        Some of the roof carries none of this load, and the key says so.
    """
    items: list[Item] = []
    x, y = at
    rows = [(b.hatch, b.text) for b in drawn] + ([("", "none")] if no_load else [])
    for hatch, text in rows:
        w = 42 + text_width(text, 14)
        if x + w > at[0] + width_px and x > at[0]:
            x, y = at[0], y + 26
        ring = ((x, y - 14), (x + 34, y - 14), (x + 34, y + 4), (x, y + 4))
        box = Polygon((ring,), fill="" if hatch else "sheet", hatch=hatch, style="ink")
        items.append(Group((box, Text((x + 42, y), text, 14.0)), Tag(title=f"Key: {text}")))
        x += w + 24
    return tuple(items), y
