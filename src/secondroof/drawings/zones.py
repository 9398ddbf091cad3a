"""Wind zones on a plan: areas, borders, plates, and borders dimensioned from the edges."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, cast

from secondroof.checks.numbers import show
from secondroof.drawings import styles
from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import Placer, box_at, spread
from secondroof.drawings.scene import Anchor, Dimension, Item, Leader, Line, Point, Polygon, Tag, Text, View
from secondroof.units import feet_inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from shapely.geometry import Polygon as Shape
    from shapely.geometry.base import BaseGeometry

    from secondroof.checks.model import ZoneRow
    from secondroof.roof.model import Roof

PLATE_PX = 13.0


def parts(shape: BaseGeometry) -> Iterator[Shape]:
    """Polygons of a zone."""
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "Polygon" and not part.is_empty:
            yield cast("Shape", part)


def rings(part: Shape) -> tuple[tuple[Point, ...], ...]:
    """Outline and holes as points."""
    return tuple(
        tuple((float(x), float(y)) for x, y in r.coords[:-1]) for r in (part.exterior, *part.interiors)
    )


def zone_areas(roof: Roof) -> tuple[Item, ...]:
    """Hatched areas, back to front: the worst on top."""
    items: list[Item] = []
    for zone in sorted(roof.zones, key=lambda z: (styles.zone_hatch(z), z)):
        hatch = styles.zone_hatch(zone)
        for part in parts(roof.zones[zone]):
            items.append(
                Polygon(rings(part), hatch=hatch, tag=Tag(title=f"Zone {zone}", data=(("zone", zone),)))
            )
    return tuple(items)


def zone_borders(roof: Roof) -> tuple[Item, ...]:
    """Borders between zones, each once; edges of the roof left out."""
    seen: set[tuple[Point, Point]] = set()
    for shape in roof.zones.values():
        for part in parts(shape):
            for ring in rings(part):
                for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
                    if not _on_edge(roof, a, b):
                        a, b = (round(a[0], 4), round(a[1], 4)), (round(b[0], 4), round(b[1], 4))
                        seen.add((min(a, b), max(a, b)))
    return tuple(Line(a, b, "zone") for a, b in sorted(seen))


def _on_edge(roof: Roof, a: Point, b: Point) -> bool:
    for k, far in ((0, roof.length_ft), (1, roof.width_ft)):
        for edge in (0.0, far):
            if abs(a[k] - edge) < 1e-6 and abs(b[k] - edge) < 1e-6:
                return True
    return False


def border_places(roof: Roof, axis: int) -> list[float]:
    """Places of the long zone borders across ``x`` (axis 0) or ``y`` (axis 1), with both edges.

    A border counts where it runs along most of the zone it bounds: corner legs are told on the plate instead.
    """
    far = roof.width_ft if axis == 0 else roof.length_ft
    lengths: dict[float, float] = {}
    for item in zone_borders(roof):
        assert isinstance(item, Line)
        if abs(item.a[axis] - item.b[axis]) < 1e-6:
            at = round(item.a[axis], 4)
            lengths[at] = lengths.get(at, 0.0) + abs(item.a[1 - axis] - item.b[1 - axis])
    end = roof.length_ft if axis == 0 else roof.width_ft
    return [0.0, *sorted(at for at, length in lengths.items() if length > 0.3 * far), end]


def _along_slope(roof: Roof, y0: float, y1: float) -> float:
    """Length on the roof between two plan places across it, over the ridge if need be. [ft]"""
    total = 0.0
    for plane in roof.planes:
        low, high = sorted((plane.y_eave_ft, plane.y_top_ft))
        piece = max(0.0, min(y1, high) - max(y0, low))
        total += piece / math.cos(math.radians(plane.slope_deg))
    return total


def border_dimensions(roof: Roof, view: View, top_px: float, right_px: float) -> tuple[Item, ...]:
    """Chains across the top and up the right side, in feet and whole inches; words never over each other."""
    items: list[Item] = []
    top, right = view.px((0.0, roof.width_ft))[1], view.px((roof.length_ft, 0.0))[0]
    xs = border_places(roof, 0)
    if len(xs) > 2:
        for (a, b), w in zip(pairwise(xs), _chain(xs, view.scale_px), strict=True):
            middle = (view.px((0.0, 0.0))[0] + w.x, top_px - 5 - 15 * w.row)
            if w.row:
                stem = view.px(((a + b) / 2, 0.0))[0]
                items.append(
                    Line(view.model((stem, top_px - 2)), view.model((stem, middle[1] + 3)), "dim@0.6")
                )
            p, q = view.model((view.px((a, 0))[0], top)), view.model((view.px((b, 0))[0], top))
            items.append(Dimension(p, q, "x", top_px, w.text, middle, w.anchor, gap_px=60.0))
    ys = border_places(roof, 1)
    if len(ys) > 2:
        spans = list(pairwise(ys))
        at: list[float] = [-(view.px((0.0, (a + b) / 2))[1] + 4.5) for a, b in spans]
        for (a, b), text_y in zip(spans, spread(at, 14.0), strict=True):
            p, q = view.model((right, view.px((0.0, a))[1])), view.model((right, view.px((0.0, b))[1]))
            text = feet_inches(_along_slope(roof, a, b), 1)
            items.append(Dimension(p, q, "y", right_px, text, (right_px + 8, -text_y), "start", gap_px=6.0))
    return tuple(items)


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    x: float
    anchor: Anchor
    row: int


def _chain(xs: list[float], scale: float) -> list[_Word]:
    """Words of a chain of dimensions: over their span where it is wide enough, else beside it, else a row higher."""
    taken: list[list[tuple[float, float]]] = []
    out: list[_Word] = []
    n = len(xs) - 1
    for i, (a, b) in enumerate(pairwise(xs)):
        text = feet_inches(b - a, 1)
        w, x0, x1 = text_width(text, 13.0), a * scale, b * scale
        anchor: Anchor = "middle"
        x = (x0 + x1) / 2
        if w + 8 > x1 - x0:
            if i in (0, n - 1) and n > 1:
                anchor, x = ("end", x0 - 7) if i == 0 else ("start", x1 + 7)
            elif i in (1, n - 2):
                anchor, x = ("start", x0 + 7) if i == 1 else ("end", x1 - 7)
        left = x - {"start": 0.0, "middle": w / 2, "end": w}[anchor]
        row = next(
            (k for k, used in enumerate(taken) if all(left > e + 6 or left + w + 6 < s for s, e in used)),
            len(taken),
        )
        if row == len(taken):
            taken.append([])
        taken[row].append((left, left + w))
        out.append(_Word(text, x, anchor, row))
    return out


def top_rows(roof: Roof, scale: float) -> int:
    """How many rows of words the chain across the top needs."""
    xs = border_places(roof, 0)
    return 1 + max(w.row for w in _chain(xs, scale)) if len(xs) > 2 else 0


def plate_words(zone: str, rows: Iterable[ZoneRow]) -> str:
    """``zone 2  34.8 psf``: uplift at the panel's own area, at allowable level; the worst plane."""
    of_zone = [r for r in rows if r.zone == zone]
    panel = [r for r in of_zone if "panel" in r.component]
    if zone[:1] not in "123":
        return "wind zones not known"
    if not (panel or of_zone):
        return f"zone {zone}  uplift not known"
    value = max(abs(r.uplift_psf_asd) for r in (panel or of_zone))
    return f"zone {zone}  {show(value, 'psf')} psf"


def legs(shape: BaseGeometry, roof: Roof) -> str:
    """How a crew chalks a corner zone: its size along the eave and up the rake."""
    found = list(parts(shape.simplify(1e-6)))
    if len(found) < 2:
        return ""
    sizes = set()
    for part in found:
        x0, y0, x1, y1 = part.bounds
        full = abs(part.area - (x1 - x0) * (y1 - y0)) < 1e-6 * part.area
        thick = None if full else _leg_width(part)
        sizes.add((round(x1 - x0, 3), round(y1 - y0, 3), None if thick is None else round(thick, 3)))
    if len(sizes) != 1:
        return ""
    x, y, thick = sizes.pop()
    where = "all four corners" if len(found) == 4 else f"{len(found)} places"
    if thick is not None:
        return f"legs {feet_inches(max(x, y), 1)} long, {feet_inches(thick, 1)} wide, {where}"
    return f"{feet_inches(x, 1)} by {feet_inches(y, 1)}, {where}"


def _leg_width(part: Shape) -> float | None:
    """Width of the legs of an L: its area and its two lengths give it."""
    x0, y0, x1, y1 = part.bounds
    total = (x1 - x0) + (y1 - y0)
    inside = total**2 - 4 * part.area
    return (total - math.sqrt(inside)) / 2 if inside >= 0 and len(part.exterior.coords) == 7 else None


def plates(
    roof: Roof,
    rows: tuple[ZoneRow, ...],
    view: View,
    placer: Placer,
    outside_y: float,
    shown: Mapping[str, str] | None = None,
) -> tuple[tuple[Item, ...], int]:
    """A plate on each zone; where none fits inside, words under the plan at the end of a leader.

    Returns
    -------
    tuple
        Items on the sheet, and how many rows under the plan were used.
    """
    import numpy as np
    import shapely

    items: list[Item] = []
    outside: list[tuple[float, float, str, str]] = []
    left, right = view.px((0.0, 0.0))[0], view.px((roof.length_ft, 0.0))[0]
    for zone, shape in roof.zones.items():
        text = (shown or {}).get(zone) or plate_words(zone, rows)
        w, h = text_width(text, PLATE_PX) + 12, PLATE_PX + 7
        gx, gy = np.meshgrid(np.linspace(0.03, 0.97, 33), np.linspace(0.02, 0.98, 61))
        cx, cy = gx.ravel() * roof.length_ft, gy.ravel() * roof.width_ft
        hw, hh = w / 2 / view.scale_px, h / 2 / view.scale_px
        boxes = shapely.box(cx - hw, cy - hh, cx + hw, cy + hh)
        inside = shapely.contains(shape, boxes)
        want = (0.62 * roof.length_ft, 0.2 * roof.width_ft)
        order = np.argsort((cx - want[0]) ** 2 + (cy - want[1]) ** 2, kind="stable")
        found = placer.place(w, h, (view.px((float(cx[i]), float(cy[i]))) for i in order if inside[i]))
        if found is not None:
            items.append(Text(found, text, PLATE_PX, 500, "middle", plate=True, offset_px=(0.0, 4.5)))
            continue
        x, y = view.px(_dot(shape, roof, 0.22 + 0.24 * len(outside)))
        outside.append((x, y, text, legs(shape, roof)))
    rows_used: list[list[tuple[float, float]]] = []
    for x, y, text, more in sorted(outside, reverse=True):
        w = text_width(f"{text}  {more}".strip(), PLATE_PX) + 6
        start = max(left, min(x + 6, right - w))
        clear = [all(start + w + 12 < s or start > e + 12 for s, e in used) for used in rows_used]
        row = next((k for k, free in enumerate(clear) if free), len(clear))
        if row == len(rows_used):
            rows_used.append([])
        rows_used[row].append((min(start, x - 4), start + w))
        at_y = outside_y + 18 * row
        stop = (x, at_y - 4) if start > x else (x, at_y - PLATE_PX)
        items.append(Leader((x, y), stop))
        items.append(Text((start, at_y), text, PLATE_PX, 600, halo=True))
        if more:
            items.append(
                Text((start + text_width(text, PLATE_PX) + 8, at_y), more, PLATE_PX, colour="ink2", halo=True)
            )
        placer.take(box_at((start + w / 2, at_y - 4), w, 16))
    return tuple(items), len(rows_used)


def _dot(shape: BaseGeometry, roof: Roof, share: float) -> Point:
    """A point of a zone near the foot of the sheet, at a share of the length, to point at from below."""
    from shapely.geometry import LineString

    x = share * roof.length_ft
    cut = shape.intersection(LineString([(x, 0.0), (x, roof.width_ft)]))
    found = [g for g in getattr(cut, "geoms", [cut]) if g.length > 1e-6]
    if found:
        low = min(found, key=lambda g: float(g.bounds[1]))
        return x, float(low.bounds[1]) + 0.3 * min(float(low.length), 0.1 * roof.width_ft)
    part = min(parts(shape), key=lambda p: (p.bounds[1], p.bounds[0]))
    point = part.representative_point()
    return float(point.x), float(point.y)
