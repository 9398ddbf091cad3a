"""One load case on the plan: load by place as bands with their numbers, and loads along lines on their lines."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.numbers import show, unit_text
from secondroof.drawings import furniture, zones
from secondroof.drawings.legend import (
    Band,
    bands,
    base_layers,
    bay_of,
    key_of_bands,
    place_beside,
    plan_room,
    plate,
    plate_size,
    printed,
    signed,
)
from secondroof.drawings.loadalong import Drawn, along_items
from secondroof.drawings.loadfield import Field, band_areas, field_of
from secondroof.drawings.place import Placer, around, box_at
from secondroof.drawings.scene import Item, Layer, Line, Point, Polygon, Scene, Tag, Text, View

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from secondroof.acting.model import Case
    from secondroof.roof.model import Roof

MOST_LABELS = 14


# ---- values on the plan


@dataclass(frozen=True, slots=True)
class _Spot:
    """A value to be written: its load, the area it holds over (None for a point), and its place."""

    psf: float
    area: BaseGeometry | None
    at: Point
    plane: str
    size: float


def spots(field: Field) -> list[_Spot]:
    """Values worth a plate: the largest and least first, then peaks of slopes, then level loads by their area."""
    import shapely

    found: list[_Spot] = []
    level = field.level
    once, where = np.unique(field.psf[:, 0], return_inverse=True)
    values = np.array([printed(v) for v in once])[where]
    boxes = shapely.box(field.x_ft[:, 0], field.y_ft[:, 0], field.x_ft[:, 1], field.y_ft[:, 1])
    for plane in dict.fromkeys(field.plane.tolist()):
        on = field.plane == plane
        for value in _worth(values[on & level], field.area_ft2[on & level]):
            at = np.flatnonzero(on & level & (values == value))
            shape = shapely.coverage_union_all(boxes[at])
            big = max(zones.parts(shape), key=lambda p: p.area)
            point = big.representative_point()
            load = float(field.psf[at[0], 0])
            found.append(_Spot(load, shape, (point.x, point.y), plane, float(shape.area)))
        sloped = np.flatnonzero(on & ~level)
        if len(sloped):
            for part in zones.parts(shapely.coverage_union_all(boxes[sloped])):
                inside = sloped[shapely.covers(part, boxes[sloped])]
                found.append(_peak(field, inside, plane))
    if not found:
        return []
    found.sort(key=lambda s: (-abs(s.psf), -s.size))
    least = min(found, key=lambda s: (abs(s.psf), -s.size))
    peaks = [s for s in found[1:] if s.area is None and s is not least]
    rest = sorted((s for s in found[1:] if s.area is not None and s is not least), key=lambda s: -s.size)
    return [found[0], *([least] if least is not found[0] else []), *peaks, *rest]


def _worth(values: np.ndarray, areas: np.ndarray) -> list[float]:
    """Level loads worth a plate: the largest, the least that is not nought, and those over the largest areas."""
    some = values != 0.0
    found, where = np.unique(values[some], return_inverse=True)
    if not len(found):
        return []
    sums = np.bincount(where, weights=areas[some])
    ends = (int(np.argmax(np.abs(found))), int(np.argmin(np.abs(found))))
    return [float(found[i]) for i in dict.fromkeys((*ends, *np.argsort(-sums, kind="stable")[:MOST_LABELS]))]


def _peak(field: Field, cells: np.ndarray, plane: str) -> _Spot:
    """Largest load on sloping ground: the middle of the longest edge that holds it, else its corner."""
    size = np.abs(field.psf[cells])
    top = size.max()
    best: tuple[float, Point, float] | None = None
    for i in cells:
        (x0, x1), (y0, y1) = field.x_ft[i].tolist(), field.y_ft[i].tolist()
        ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        is_top = np.abs(field.psf[i]) >= top - 1e-9 * max(1.0, top)
        for k in np.flatnonzero(is_top):
            p, q = ring[k], ring[(k + 1) % 4] if is_top[(k + 1) % 4] else ring[k]
            length = math.dist(p, q)
            if best is None or length > best[0] + 1e-9:
                middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
                best = (length, middle, float(field.psf[i, k]))
    assert best is not None
    return _Spot(best[2], None, best[1], plane, float(field.area_ft2[cells].sum()))


def value_plates(field: Field, roof: Roof, view: View, placer: Placer) -> tuple[tuple[Item, ...], int]:
    """Plates of the values, none over another; and how many found no room."""
    import shapely

    both = bool(len(field.psf)) and field.psf.min() < 0 < field.psf.max()
    found = spots(field)
    items: list[Item] = []
    left_out = max(0, len(found) - MOST_LABELS)
    ends = {id(s): w for s, w in zip(found[1:2], ("Least",), strict=False)}
    ends |= {id(s): "Largest" for s in found[:1]}
    for s in found[:MOST_LABELS]:
        text = signed(s.psf, both=both)
        w, h = plate_size(text)
        middle: Point | None = None
        dot: Point | None = None
        if s.area is not None:
            shapes = sorted(zones.parts(s.area), key=lambda p: -p.area)[:3]
            for shape in shapes:
                x0, y0, x1, y1 = shape.bounds
                u, v = np.meshgrid(np.linspace(0.03, 0.97, 25), np.linspace(0.03, 0.97, 25))
                cx, cy = (x0 + u * (x1 - x0)).ravel(), (y0 + v * (y1 - y0)).ravel()
                hw, hh = w / 2 / view.scale_px, h / 2 / view.scale_px
                fits = shapely.contains(shape, shapely.box(cx - hw, cy - hh, cx + hw, cy + hh))
                order = np.argsort((cx - 0.5 * (x0 + x1)) ** 2 + 4 * (cy - 0.4 * y1 - 0.6 * y0) ** 2)
                middle = placer.place(w, h, [view.px((cx[i], cy[i])) for i in order if fits[i]])
                if middle is not None:
                    break
        if middle is None:
            dot = view.px(s.at)
            placer.take(box_at(dot, 5, 5))
            near = around(dot, 9.0, 230.0, 1.6)
            middle = place_beside(placer, w, h, dot, near)
        if middle is None:
            left_out += 1
            continue
        where = f"plane {s.plane}, bay {bay_of(roof.frames_ft, s.at[0])}"
        title = f"{ends[id(s)]} of the map: {text}, {where}" if id(s) in ends else f"{text}, {where}"
        items.append(plate(middle, text, Tag(title=title, hot=True, stop=not items), dot))
    return tuple(items), left_out


# ---- the drawing


def load_map(
    roof: Roof,
    case: Case,
    *,
    under: str = "",
    width_px: float = 1080.0,
    most_height_px: float | None = None,
) -> Scene:
    """Plan of one load case: bands of load with their numbers, loads along lines, zones faint.

    Parameters
    ----------
    roof : Roof
        The roof.
    case : Case
        The load case; patches that overlap are added, a pattern shares them out by bay.
    under : str
        What stands before the words on how the load acts, e.g. the job's name.
    width_px : float
        Width of the sheet. [1/96 in]
    most_height_px : float, optional
        Most height of the plan itself; left out, 0.8 of the width. [1/96 in]

    Returns
    -------
    Scene
        Model in feet, as the roof plan.

    Raises
    ------
    InputError
        The case does not fit the roof.
    """
    field = field_of(case, roof)
    title = case.title[:1].upper() + case.title[1:]
    head, y = furniture.title(title, " ".join(w for w in (under, acts_words(case)) if w), width_px)
    room = plan_room(roof, y, width_px, most_height_px)
    view = room.view
    placer = Placer((room.left + 1, room.top + 1, room.right - 1, room.bottom - 1))
    drawn: tuple[Band, ...] = ()
    areas: list[BaseGeometry] = []
    if len(field.psf):
        values = field.psf[field.level, 0]
        drawn = bands(
            values.tolist(), float(field.psf.min()), float(field.psf.max()), sloped=not field.level.all()
        )
        areas = band_areas(field, drawn)
    along = along_items(case, roof, view, placer)
    plates, left_out = value_plates(field, roof, view, placer)
    under_it, over_it = base_layers(roof, room)
    steel = tuple(Line((0.0, x.y_ft), (roof.length_ft, x.y_ft), "old@0.45") for x in roof.lines)
    layers = [
        Layer("load", "A-ROOF-ZONE", _areas(areas, drawn), view),
        *under_it,
        Layer("lines", "S-BEAM-E", steel, view),
        Layer("along", "A-ANNO-SYMB", along.bars, view),
        *over_it,
        Layer("share", "A-ANNO-TEXT", _shares(case, roof, view, room.bottom)),
        Layer("along-labels", "A-ANNO-TEXT", along.labels),
        Layer("values", "A-ANNO-TEXT", plates),
        Layer("title", "A-ANNO-TTLB", head),
    ]
    foot, height = _foot(case, roof, field, drawn, areas, along, left_out, room.bottom, width_px, view)
    layers.append(Layer("key", "A-ANNO-TTLB", foot))
    return Scene(
        name=f"load-{case.key}",
        title=title,
        desc=describe(case, roof, field),
        width_px=width_px,
        height_px=height,
        layers=tuple(layer for layer in layers if layer.items),
    )


def acts_words(case: Case) -> str:
    """How the numbers of a map are to be read."""
    when = {
        "before": "As the roof is today.",
        "after": "With the recover on.",
        "both": "Before and after alike.",
    }
    how = "Acts square to the roof." if case.acts == "normal" else "Acts straight down."
    per = "horizontal projection" if case.per == "plan" else "roof surface"
    level = "Strength level" if case.level == "strength" else "Service level"
    if any(v < 0 for p in case.patches for v in p.psf) and case.acts != "normal":
        how = "Acts straight up or down."
    measure = f", per square foot of {per}" if case.patches else ""
    return f"{when[case.when]} {how} {level} load{measure}."


def _areas(areas: Sequence[BaseGeometry], drawn: Sequence[Band]) -> tuple[Item, ...]:
    items: list[Item] = []
    for k, (shape, b) in enumerate(zip(areas, drawn, strict=True)):
        for part in zones.parts(shape):
            tag = Tag(title=b.text, data=(("band", str(k + 1)),))
            items.append(Polygon(zones.rings(part), hatch=b.hatch, style="plate@0.5", tag=tag))
    return tuple(items)


def _shares(case: Case, roof: Roof, view: View, bottom: float) -> tuple[Item, ...]:
    """Share of the load under each bay of a pattern, where the word fits."""
    if case.pattern is None:
        return ()
    words = {1.0: "full", 0.5: "half", 0.0: "none"}
    items: list[Item] = []
    for a, b, share in zip(roof.frames_ft, roof.frames_ft[1:], case.pattern, strict=False):
        x = view.px(((a + b) / 2, 0.0))[0]
        items.append(Text((x, bottom + 20), words.get(share, f"{share:g}"), 12.5, 600, "middle"))
    return tuple(items)


def _foot(
    case: Case,
    roof: Roof,
    field: Field,
    drawn: Sequence[Band],
    areas: Sequence[BaseGeometry],
    along: Drawn,
    left_out: int,
    bottom: float,
    width: float,
    view: View,
) -> tuple[tuple[Item, ...], float]:
    y = bottom + (54 if case.pattern else 40)
    items: list[Item] = []
    bar_w = furniture.scale_bar((0.0, 0.0), view.scale_px, "ft")[1]
    bar, _ = furniture.scale_bar((width - bar_w - 4, y - 9), view.scale_px, "ft")
    items += bar
    room = width - bar_w - 40
    bare = sum(a.area for a in areas) < (1 - 1e-6) * roof.length_ft * roof.width_ft
    if drawn or along.bars:
        shown = [b for b, a in zip(drawn, areas, strict=True) if a.area > 0]
        shown.sort(key=lambda b: (b.low >= 0, abs(b.low + b.high)))
        if drawn:
            key, y = key_of_bands((0.0, y), shown, room, bare)
            items += key
            y += 26 if along.bars else 0
        key, y = along.key((0.0, y), room)
        items += key
    y += 18
    items.append(Line((0.0, y - 4), (width, y - 4), "rule"))
    lines: list[tuple[str, str]] = []
    if not drawn and not along.bars:
        lines.append(("Nothing is drawn:", "this case has no place on these purlins."))
    lines.append(("What it is:", case.sentence))
    if case.assumed:
        lines.append(("Assumed:", case.assumed))
    if drawn:
        lines.append(("Sum of the areas:", sum_words(case, roof, field)))
    if left_out or along.left_out:
        n = left_out + along.left_out
        more = "1 value of its own" if n == 1 else f"{n} values of their own"
        lines.append(("Not written on the plan:", f"{more}; the key gives their bands."))
    source = "; ".join(w.strip().rstrip(".") for w in (case.clause, case.checked) if w.strip())
    if source:
        lines.append(("Clause:", f"{source}."))
    notes, y = furniture.notes((0.0, y + 16), lines, width)
    return (*items, *notes), y + 4


def total_lb(case: Case, roof: Roof, field: Field) -> float:
    """All of the load of the patches, along the slope where it is given by roof surface. [lb]"""
    if case.per == "plan":
        return field.total
    lean = {p.name: math.cos(math.radians(p.slope_deg)) for p in roof.planes}
    k = np.array([1 / lean[p] for p in field.plane.tolist()])
    return float((field.psf.mean(axis=1) * field.area_ft2 * k).sum())


def sum_words(case: Case, roof: Roof, field: Field) -> str:
    """``12,345 lb over 8,000 ft2 of plan``."""
    total = total_lb(case, roof, field)
    word = " of uplift" if total < 0 else ""
    area = float(field.area_ft2[np.any(field.psf != 0.0, axis=1)].sum())
    return f"{abs(total):,.0f} lb{word} over {show(area, 'ft2', 'whole')} {unit_text('ft2')} of plan."


def describe(case: Case, roof: Roof, field: Field) -> str:
    """The drawing in words."""
    text = f"Load map, {case.title}."
    if len(field.psf):
        found = spots(field)
        both = bool(field.psf.min() < 0 < field.psf.max())
        if found:
            s = found[0]
            text += f" Largest {signed(s.psf, both=both)} on plane {s.plane}, bay {bay_of(roof.frames_ft, s.at[0])}."
        if len(found) > 1 and found[1].psf != found[0].psf:
            text += f" Least written {signed(found[1].psf, both=both)}."
        text += f" In all {sum_words(case, roof, field)}"
    if case.along:
        points = sum(a.is_point for a in case.along)
        text += f" {len(case.along) - points} line loads and {points} point loads."
    return text
