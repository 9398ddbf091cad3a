"""Section across the purlin: old purlin, old panel at its real standoff, new line, clip and new pan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.drawings.framing import BASE_EDGE_IN, NewLine
from secondroof.drawings.lettering import wrapped
from secondroof.drawings.scene import Dimension, Item, Line, Point, Polygon, Polyline, Tag, Text, View
from secondroof.drawings.sizes import Sizes
from secondroof.drawings.steelwork import (
    breaks,
    dimension_chain,
    label,
    purlin_section,
    screw,
    screw_length,
    wave,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

HALF_IN = 10.5
#: Length over which a draped blanket comes up to the purlin [in]; drawn so, not read.
DRAPE_IN = 3.2


@dataclass(frozen=True, slots=True)
class Drawn:
    """Items of one view, by what they are."""

    old: tuple[Item, ...]
    new: tuple[Item, ...]
    panel: tuple[Item, ...]
    cover: tuple[Item, ...]
    screws: tuple[Item, ...]
    dims: tuple[Item, ...]
    words: tuple[Item, ...]


def across(
    view: View,
    sizes: Sizes,
    n: NewLine | None,
    recover: Recover,
    survey: Survey,
    right_px: float,
    left_px: float,
) -> Drawn:
    """Everything of the first view. ``right_px`` and ``left_px`` are where its dimension chains stand."""
    way = -1.0 if sizes.points_down else 1.0
    x0, x1 = -HALF_IN + 1.5, HALF_IN + 1.5
    old: list[Item] = []
    new: list[Item] = []
    pans: list[Item] = []
    cover: list[Item] = []
    screws: list[Item] = []
    dims: list[Item] = []
    words: list[Item] = []
    p, panel = sizes.purlin, sizes.panel
    if p is not None:
        old.append(purlin_section(p, way))
        dims += _purlin_dims(view, p, way, left_px)
    if panel is not None:
        old += _blanket(sizes, way, x0, x1)
        g = panel.standoff_in
        centre = way * (p.top_in / 2 if p else 1.0)
        if n is not None and n.post:
            slot = 0.45
            pans += [_pan(x0, centre - slot, g, panel.t_in), _pan(centre + slot, x1, g, panel.t_in)]
        else:
            pans.append(_pan(x0, x1, g, panel.t_in))
        if panel.height_in is not None:
            pans.append(
                Line(
                    (x0, g + panel.height_in),
                    (x1, g + panel.height_in),
                    "hidden",
                    Tag(title="Old ribs, beyond"),
                )
            )
        if sizes.block and g > 0.3 and p is not None:
            a, b = sorted((way * 0.1, way * (p.top_in - 0.1)))
            ring = ((a, 0.0), (b, 0.0), (b, g), (a, g))
            where = Tag(title=f"Thermal block: {sizes.block}")
            if n is None or not n.post:
                old.append(Polygon((ring,), fill="oldT", style="old", tag=where))
    if n is not None and panel is not None:
        new += _line(n, way, p.top_in if p else 2.5)
        screws += _screws(n, sizes, way) if p is not None else []
        cover += _cover(n, recover, x0, x1)
        new += _fill(n, panel.standoff_in, recover, way, x0, x1)
        screws += _clip(n, recover, way, p.top_in if p else 2.5)
        dims += _heights(view, sizes, n, recover, x0, x1, right_px, left_px)
    low = -(p.depth_in if p else 4.0)
    high = (n.pan + (recover.panel.rib_height or 0.5)) if n else 2.0
    old += breaks(view, (x0, x1), -(sizes.blanket_in or 1.5) - 0.6, high + 0.3)
    words += _labels(view, sizes, survey, n, way, low)
    return Drawn(tuple(old), tuple(new), tuple(pans), tuple(cover), tuple(screws), tuple(dims), tuple(words))


def _pan(x0: float, x1: float, g: float, t: float | None) -> Polyline:
    y = g + (t or 0.0) / 2
    return Polyline(((x0, y), (x1, y)), "cut old", thick=t or 0.0, tag=Tag(title="Old panel"))


def _blanket(sizes: Sizes, way: float, x0: float, x1: float) -> list[Item]:
    """Old blanket at its true thickness, squeezed over the purlin."""
    t, panel, p = sizes.blanket_in, sizes.panel, sizes.purlin
    if t is None or panel is None:
        return []
    g = panel.standoff_in
    a, b = sorted((0.0, way * ((p.top_in + (p.lip_in or 0.0)) if p else 2.5)))

    def low(x: float) -> float:
        away = max(a - x, x - b, 0.0)
        f = min(away / DRAPE_IN, 1.0)
        return -(t - g) * (f * f * (3 - 2 * f))

    n = 60
    face = tuple((x0 + (x1 - x0) * i / n, low(x0 + (x1 - x0) * i / n)) for i in range(n + 1))
    top: Callable[[float], float] = lambda x: g  # noqa: E731
    items: list[Item] = [Polyline(face, "old@0.8", tag=Tag(title="Facing of the old blanket"))]
    items += wave(x0, a - 0.8, low, top, "old@0.8")
    items += wave(b + 0.8, x1, low, top, "old@0.8")
    return items


def _purlin_dims(view: View, p: object, way: float, left_px: float) -> list[Item]:
    from secondroof.drawings.sizes import Purlin

    assert isinstance(p, Purlin)
    items: list[Item] = []
    depth_px = left_px + 74
    items.append(
        Dimension(
            (0.0, 0.0),
            (0.0, -p.depth_in),
            "y",
            depth_px,
            f'{p.depth_in:.2f}"',
            (depth_px - 8, view.px((0, -p.depth_in * 0.62))[1]),
            "end",
            gap_px=8.0,
        )
    )
    if p.bottom_in is not None:
        foot = -way if p.shape == "Z" else way
        y = view.px((0.0, -p.depth_in))[1] + 26
        ends = sorted((0.0, foot * p.bottom_in))
        middle = (view.px((sum(ends) / 2, 0.0))[0], y + 17)
        items.append(
            Dimension((ends[0], -p.depth_in), (ends[1], -p.depth_in), "x", y, f'{p.bottom_in:.2f}"', middle)
        )
    y = view.px((0.0, -1.55))[1]
    ends = sorted((0.0, way * p.top_in))
    middle = (view.px((sum(ends) / 2, 0.0))[0], y + 17)
    items.append(Dimension((ends[0], -0.5), (ends[1], -0.5), "x", y, f'{p.top_in:.2f}"', middle))
    return items


def _line(n: NewLine, way: float, flange: float) -> list[Item]:
    """The new line: foot and top flange each way of its web; on a bracket where the old roof floats."""
    t = n.t
    tag = Tag(title=n.name)
    if not n.post:
        web = 0.0
        low, top = n.bottom + t / 2, n.top - t / 2
        points: tuple[Point, ...] = ((way * n.flange, low), (web, low), (web, top), (-way * n.flange, top))
        return [Polyline(points, "cut new", thick=t, tag=tag)]
    c = way * flange / 2
    half = n.base / 2 + BASE_EDGE_IN
    bt = n.base_t
    base = Polyline(
        ((c - half, bt / 2), (c + half, bt / 2)),
        "cut new",
        thick=bt,
        tag=Tag(title="Base plate of the bracket"),
    )
    post = Polyline(
        ((c, bt), (c, n.post - bt / 2), (c + way * n.flange, n.post - bt / 2)),
        "cut new",
        thick=bt,
        tag=Tag(title="Base bracket"),
    )
    b = n.bottom + t / 2
    points = ((c + way * n.flange, b), (c, b), (c, n.top - t / 2), (c - way * n.flange, n.top - t / 2))
    return [base, post, Polyline(points, "cut new", thick=t, tag=tag)]


def _screws(n: NewLine, sizes: Sizes, way: float) -> list[Item]:
    p = sizes.purlin
    t2 = (p.t_in or 0.06) if p else 0.06
    top = p.top_in if p else 2.5
    items: list[Item] = []
    if not n.post:
        at = way * min(top / 2, n.flange / 2 if n.flange < top else top / 2)
        grip = n.bottom + n.t + t2
        return list(screw(at, n.bottom + n.t, screw_length(grip), n.screw_d))
    c = way * top / 2
    for x in (c - n.base / 2, c + n.base / 2) if n.base else (c,):
        items += screw(x, n.base_t, screw_length(n.base_t + t2), n.screw_d)
    items += screw(c + way * n.flange / 2, n.bottom + n.t, screw_length(n.t + n.base_t), n.screw_d)
    return items


def top_middle(n: NewLine, way: float, flange: float) -> float:
    """Middle of the line's top flange, where the clip stands."""
    web = 0.0 if not n.post else way * flange / 2
    return web - way * n.flange / 2


def _clip(n: NewLine, recover: Recover, way: float, flange: float) -> list[Item]:
    if recover.clip.kind == "none":
        return []
    x = top_middle(n, way, flange)
    t = recover.clip.base_thickness or 0.06
    w = min(0.9, n.flange * 0.45)
    ring = ((x - w, n.top), (x + w, n.top), (x + w, n.top + t), (x - w, n.top + t))
    items: list[Item] = [Polygon((ring,), fill="ink", style="ink", tag=Tag(title="Clip"))]
    rise = n.pan + (recover.panel.rib_height or 1.0) * 0.75
    items.append(
        Line(
            (x + w * 0.6, n.top + t), (x + w * 0.6, rise), "new hidden", Tag(title="Clip in the seam, beyond")
        )
    )
    items += screw(x - w * 0.3, n.top + t, screw_length(t + n.t), recover.clip.screw_diameter)
    return items


def _cover(n: NewLine, recover: Recover, x0: float, x1: float) -> list[Item]:
    t = recover.panel.thickness
    y = n.pan + t / 2
    items: list[Item] = [Polyline(((x0, y), (x1, y)), "cut new", thick=t, tag=Tag(title="New panel"))]
    rib = recover.panel.rib_height
    if rib is not None:
        items.append(
            Line(
                (x0, n.pan + rib), (x1, n.pan + rib), "new hidden", Tag(title="Seam of the new panel, beyond")
            )
        )
    return items


def _fill(n: NewLine, g: float, recover: Recover, way: float, x0: float, x1: float) -> list[Item]:
    """New insulation, lying on the old panel, no thicker than the room there is."""
    if recover.insulation is None:
        return []
    top = min(g + recover.insulation.thickness, n.pan)
    a, b = sorted((-way * n.flange, way * n.flange))
    low: Callable[[float], float] = lambda x: g + 0.06  # noqa: E731
    high: Callable[[float], float] = lambda x: top - 0.04  # noqa: E731
    return [*wave(x0, a - 0.3, low, high, "new thin"), *wave(b + 0.3, x1, low, high, "new thin")]


def _heights(
    view: View,
    sizes: Sizes,
    n: NewLine,
    recover: Recover,
    x0: float,
    x1: float,
    right_px: float,
    left_px: float,
) -> list[Item]:
    panel, region = sizes.panel, sizes.region
    assert panel is not None
    g = panel.standoff_in
    pieces: list[tuple[float, float, str, bool]] = []
    rib = recover.panel.rib_height
    if rib is not None:
        pieces.append((n.pan, n.pan + rib, f'{rib:.2f}" seam', False))
    pieces.append((n.top, n.pan, f'{n.clip:.3g}" clip', False))
    pieces.append((n.bottom, n.top, f'{n.height:.2f}" line', False))
    more: tuple[str, ...] = ()
    text = f'standoff {g:.2f}"'
    if region is not None and region.low_in is not None and region.high_in is not None:
        more = (
            f"mean of {region.count} readings,",
            f'{region.low_in:.2f}" to {region.high_in:.2f}",',
            *wrapped(region.region, 138.0, 12.5),
        )
    items = list(dimension_chain(view, x1, right_px, [*pieces, (0.0, g, text, False)], more))
    if n.post:
        c = right_px - 46
        items.append(
            Dimension(
                (x1, 0.0),
                (x1, n.post),
                "y",
                c,
                f'{n.post:.2f}" bracket',
                (c - 7, view.px((0, (g + n.post) / 2))[1] + 4.5),
                "end",
                gap_px=5.0,
            )
        )
    rise = n.pan - g
    middle = (left_px - 8, view.px((0.0, (g + n.pan) / 2))[1])
    items.append(
        Dimension(
            (x0, g),
            (x0, n.pan),
            "y",
            left_px,
            f'rise {rise:.2f}"',
            middle,
            "end",
            ("to new pan",),
            gap_px=6.0,
        )
    )
    return items


def _labels(
    view: View, sizes: Sizes, survey: Survey, n: NewLine | None, way: float, low: float
) -> list[Item]:
    p = sizes.purlin
    items: list[Item] = []
    x = (
        2.6
        if p is None
        else max(p.top_in, p.bottom_in or 0.0 if p.shape == "C" else 0.0) + (p.lip_in or 0.0) + 0.5
    )
    at_x = view.px((x if way > 0 else 1.2, 0.0))[0]
    y = view.px((0.0, min(-(sizes.blanket_in or 0.0) - 0.3, low * 0.45)))[1] + 12
    if n is not None and p is not None:
        length = screw_length((n.base_t if n.post else n.bottom + n.t) + (p.t_in or 0.06))
        dot = (
            way * (p.top_in / 2 + (n.base / 2 if n.post else 0.0)),
            -length * 0.45 + n.bottom * (0 if n.post else 1),
        )
        items += label(
            view,
            dot,
            (at_x, y),
            f'Screw {n.screw_d:g}", {length:.2f}" long',
            ("~grip and three threads, assumed",),
        )
        y += 42
    if p is None:
        items.append(
            Text(
                view.px((-3.2, -(sizes.blanket_in or 0.0) - 0.9)),
                "old purlin not read, not drawn",
                13.0,
                500,
                colour="unknown",
                halo=True,
            )
        )
        return items
    bottom = "" if p.bottom_in is None or p.bottom_in == p.top_in else f" x {p.bottom_in:g}"
    head = f"Old purlin, {p.shape} {p.depth_in:g} x {p.top_in:g}{bottom}"
    lines = [f"t {p.t_in:.4f} in, {p.t_note}" if p.t_in is not None else "t not read"]
    q = survey.purlins
    for name, value, basis in (
        ("Fy", q.yield_strength, q.yield_basis),
        ("Fu", q.tensile_strength, q.tensile_basis),
    ):
        if value is None:
            lines.append(f"{name} not read")
        elif basis in ("assumed", "chalk mark", None):
            lines.append(
                f"~{name} {value:g} ksi, {'assumed' if basis in ('assumed', None) else basis + ', assumed'}"
            )
        else:
            lines.append(f"{name} {value:g} ksi, {basis}")
    dot_y = min(low * 0.72, view.model((0.0, y))[1])
    items += label(view, (0.0, max(dot_y, low + 0.4)), (at_x, y), head, tuple(lines))
    return items
