"""Section along the purlin, looking up the slope: old ribs, notches or brackets, screws, clips at the seams."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from secondroof.drawings.across import Drawn
from secondroof.drawings.framing import BASE_EDGE_IN, BRACKET_WIDTH_IN, CLIP_BASE_IN, NewLine, screws_words
from secondroof.drawings.lettering import text_width
from secondroof.drawings.scene import Dimension, Item, Line, Point, Polygon, Polyline, Tag, Text, View
from secondroof.drawings.steelwork import breaks, clipped, label, profile, screw, screw_length
from secondroof.recover.notched import NOTCH_PLAY_IN

if TYPE_CHECKING:
    from secondroof.checks.model import Check
    from secondroof.drawings.sizes import OldPanel, Sizes
    from secondroof.survey.proposals import Recover

MOST_BRACKET_IN = 34.0


def length_of(panel: OldPanel | None, recover: Recover, n: NewLine | None) -> float:
    """Length drawn: a panel and a bit; two brackets where they stand close enough. [in]"""
    length: float = recover.panel.width + 6.0
    if n is not None and n.spacing_in is not None and n.spacing_in <= MOST_BRACKET_IN - 5:
        length = max(length, n.spacing_in + 5)
    if panel is not None and panel.pitch_in is not None and not panel.seamed:
        length = max(length, 2 * panel.pitch_in + 4)
    return length


def along(
    view: View,
    length: float,
    sizes: Sizes,
    n: NewLine | None,
    recover: Recover,
    check: Check | None,
    demand: tuple[str, ...],
) -> Drawn:
    """Everything of the second view, from x = 0 to ``length``."""
    old: list[Item] = []
    new: list[Item] = []
    pans: list[Item] = []
    cover: list[Item] = []
    screws: list[Item] = []
    dims: list[Item] = []
    words: list[Item] = []
    p, panel = sizes.purlin, sizes.panel
    depth = p.depth_in if p else 0.0
    if p is not None:
        ring = ((0.0, 0.0), (length, 0.0), (length, -depth), (0.0, -depth))
        old.append(
            Polygon((ring,), fill="oldT", style="old", tag=Tag(title="Old purlin, seen from the eave"))
        )
        lip = p.lip_in or 0.0
        for y in (-lip, -depth + lip) if lip else ():
            old.append(Line((0.0, y), (length, y), "hidden"))
    ribs = rib_places(panel, length)
    if n is not None and panel is not None:
        if n.post:
            new += _brackets(view, n, length, screws, words, sizes)
        else:
            new += _notched(n, panel, ribs, length)
            at = flats(panel, ribs, length)
            t2 = (p.t_in or 0.06) if p else 0.06
            for x in screw_places(n, at, panel) if p is not None else ():
                screws += screw(x, n.bottom + n.t, screw_length(n.bottom + n.t + t2), n.screw_d)
            lost = _not_drawn(panel)
            if lost:
                at_px = view.px((0.6, (n.top + n.bottom) / 2 - 0.2))
                words.append(Text(at_px, lost, 13.0, 500, colour="unknown"))
    if panel is not None:
        pans += _old_panel(panel, ribs, length, n)
    if n is not None and panel is not None:
        cover += _cover(n, recover, length, screws)
        dims += _dims(view, panel, ribs, n, recover, length)
        words += _labels(view, panel, ribs, n, recover, length, depth, demand, check)
    high = n.pan + (recover.panel.rib_height or 0.5) if n else 2.0
    old += breaks(view, (0.0, length), -depth, high + 0.3)
    return Drawn(tuple(old), tuple(new), tuple(pans), tuple(cover), tuple(screws), tuple(dims), tuple(words))


def _not_drawn(panel: OldPanel) -> str:
    """What of the notched line cannot be drawn for want of a reading."""
    if panel.pitch_in is None:
        return "rib spacing not read: notches and screws not drawn"
    if panel.height_in is None or panel.base_in is None:
        return "size of the ribs not read: notches not drawn"
    return ""


def rib_places(panel: OldPanel | None, length: float) -> list[float]:
    """Middles of ribs or seams; a flat (or a pan) stands about the middle of the view."""
    if panel is None or panel.pitch_in is None:
        return []
    pitch = panel.pitch_in
    n = int(length / pitch)
    n = max(1, n - (n % 2 == 1 and n > 1))
    first = (length - (n - 1) * pitch) / 2
    return [
        first + k * pitch for k in range(-1, n + 1) if -pitch / 2 < first + k * pitch < length + pitch / 2
    ]


def flats(panel: OldPanel, ribs: list[float], length: float) -> list[tuple[float, float]]:
    """Flats between ribs, between the notches on both sides."""
    half = (panel.base_in or 0.0) / 2 + NOTCH_PLAY_IN
    edges = [(a + half, b - half) for a, b in pairwise(ribs)]
    return [(max(a, 0.0), min(b, length)) for a, b in edges if b > 0 and a < length]


def screw_places(n: NewLine, at: list[tuple[float, float]], panel: OldPanel) -> list[float]:
    """Screws of each flat: one in its middle, more of them evenly about it."""
    pitch = panel.pitch_in or 0.0
    half = pitch / 2 - (panel.base_in or 0.0) / 2 - NOTCH_PLAY_IN
    step = min(2.5, 2 * max(half - 0.5, 0.1) / max(n.screws - 1, 1))
    out = []
    for a, b in at:
        middle = (b - half) if a == 0.0 else a + half
        out += [
            x for k in range(n.screws) if a + 0.3 < (x := middle + (k - (n.screws - 1) / 2) * step) < b - 0.3
        ]
    return out


def _old_panel(panel: OldPanel, ribs: list[float], length: float, n: NewLine | None) -> list[Item]:
    g = panel.standoff_in + (panel.t_in or 0.0) / 2
    tag = Tag(title=f"Old panel: {panel.kind}")
    h, base = panel.height_in, panel.base_in
    if h is None or not ribs or (base is None and "vertical" not in panel.kind and "snap" not in panel.kind):
        return [Polyline(((0.0, g), (length, g)), "cut old", thick=panel.t_in or 0.0, tag=tag)]
    if panel.seamed:
        return [
            Polyline(
                seams(0.0, length, ribs, g, h, base or 0.0, panel.kind),
                "cut old",
                thick=panel.t_in or 0.0,
                tag=tag,
            )
        ]
    top = panel.top_in if panel.top_in is not None else (base or 0.0) * 0.4
    items: list[Item] = [
        Polyline(
            profile(0.0, length, ribs, g, base or 0.0, top, h), "cut old", thick=panel.t_in or 0.0, tag=tag
        )
    ]
    if panel.minor_in:
        for a, b in flats(panel, ribs, length):
            for f in (0.25, 0.75):
                x = a + f * (b - a)
                if b - a > 4:
                    bump = (
                        (x - 0.45, g),
                        (x - 0.2, g + panel.minor_in),
                        (x + 0.2, g + panel.minor_in),
                        (x + 0.45, g),
                    )
                    items.append(Polyline(bump, "cut old", tag=Tag(title="Minor rib")))
    return items


def seams(
    x0: float, x1: float, at: list[float], y: float, h: float, base: float, kind: str
) -> tuple[Point, ...]:
    """Pan with its seams: a trapezoid with an upright top, or an upright with a fold."""
    points: list[Point] = [(x0, y)]
    for s in at:
        if "trapezoid" in kind and base > 0:
            half, w = base / 2, min(0.28, base / 8)
            shape = [
                (-half, 0.0),
                (-half * 0.42, 0.74 * h),
                (-w, 0.76 * h),
                (-w, h),
                (w, h),
                (w, 0.76 * h),
                (half * 0.42, 0.74 * h),
                (half, 0.0),
            ]
        else:
            shape = [(-0.06, 0.0), (-0.06, h), (0.35, h), (0.35, h - 0.22), (0.06, h - 0.22), (0.06, 0.0)]
        if base == 0.0 and not x0 <= s - 0.06 <= s + 0.35 <= x1:
            continue
        points += [(s + dx, y + dy) for dx, dy in shape]
    points.append((x1, y))
    return clipped(points, x0, x1) if base > 0 else tuple(points)


def _notched(n: NewLine, panel: OldPanel, ribs: list[float], length: float) -> list[Item]:
    """The line with its web cut out over each rib."""
    outline: list[Point] = [(0.0, n.top), (0.0, n.bottom)]
    if panel.height_in is not None and panel.base_in is not None:
        half, up = panel.base_in / 2 + NOTCH_PLAY_IN, min(panel.height_in + NOTCH_PLAY_IN, n.height - 0.2)
        for r in ribs:
            a, b = r - half, r + half
            if a <= 0.0 < b:
                outline = [(0.0, n.top), (0.0, n.bottom + up), (b, n.bottom + up), (b, n.bottom)]
            elif a < length <= b:
                outline += [(a, n.bottom), (a, n.bottom + up), (length, n.bottom + up), (length, n.top)]
                break
            elif 0.0 < a < length:
                outline += [(a, n.bottom), (a, n.bottom + up), (b, n.bottom + up), (b, n.bottom)]
    if outline[-1] != (length, n.top):
        outline += [(length, n.bottom), (length, n.top)]
    return [
        Polygon((tuple(outline),), fill="newT", style="new", tag=Tag(title=n.name)),
        Line((0.0, n.top - 0.25), (length, n.top - 0.25), "new hidden"),
    ]


def _brackets(
    view: View, n: NewLine, length: float, screws: list[Item], words: list[Item], sizes: Sizes
) -> list[Item]:
    """The line on its brackets; each bracket stands on the purlin through a slot in the pan."""
    items: list[Item] = []
    assert n.spacing_in is not None
    two = n.spacing_in + 4 <= length
    at = [(length - n.spacing_in) / 2, (length + n.spacing_in) / 2] if two else [length / 2]
    half = BRACKET_WIDTH_IN / 2
    t2 = (sizes.purlin.t_in or 0.06) if sizes.purlin else 0.06
    for x in at:
        post = ((x - half, 0.0), (x + half, 0.0), (x + half, n.post), (x - half, n.post))
        items.append(Polygon((post,), fill="newT", style="new", tag=Tag(title="Base bracket")))
        base = (
            (x - half - BASE_EDGE_IN, 0.0),
            (x + half + BASE_EDGE_IN, 0.0),
            (x + half + BASE_EDGE_IN, n.base_t),
            (x - half - BASE_EDGE_IN, n.base_t),
        )
        items.append(Polygon((base,), fill="new", style="new"))
        seen = max(1, (n.screws + 1) // 2)
        for k in range(seen):
            dx = 0.0 if seen == 1 else -half - 0.2 + (2 * half + 0.4) * k / (seen - 1)
            screws += screw(x + dx, n.base_t, screw_length(n.base_t + t2), n.screw_d)
    ring = ((0.0, n.bottom), (length, n.bottom), (length, n.top), (0.0, n.top))
    items.append(Polygon((ring,), fill="newT", style="new", tag=Tag(title=n.name)))
    items.append(Line((0.0, n.top - 0.25), (length, n.top - 0.25), "new hidden"))
    if not two:
        words.append(
            Text(
                view.px((length / 2 + 1.6, n.post / 2 + 0.7)),
                f"next bracket {n.spacing_in:g} in away, beyond the drawing",
                13.0,
                400,
                colour="ink2",
                halo=True,
            )
        )
    return items


def _cover(n: NewLine, recover: Recover, length: float, screws: list[Item]) -> list[Item]:
    p = recover.panel
    t = p.thickness
    y = n.pan + t / 2
    at = seam_places(recover, length)
    items: list[Item] = []
    tag = Tag(title=f"New panel, {p.width:g} in wide")
    if p.rib_height is None:
        items.append(Polyline(((0.0, y), (length, y)), "cut new", thick=t, tag=tag))
    else:
        base = 1.5 * p.rib_height if "trapezoid" in p.seam else 0.0
        items.append(
            Polyline(seams(0.0, length, at, y, p.rib_height, base, p.seam), "cut new", thick=t, tag=tag)
        )
    if recover.clip.kind == "none":
        return items
    ct = recover.clip.base_thickness or 0.06
    for x in at:
        half = CLIP_BASE_IN / 2
        ring = ((x - half, n.top), (x + half, n.top), (x + half, n.top + ct), (x - half, n.top + ct))
        screws.append(Polygon((ring,), fill="ink", style="ink", tag=Tag(title="Clip at the seam")))
        screws.append(Line((x, n.top + ct), (x, n.pan + (p.rib_height or 1.0) * 0.9), "screw"))
        k = recover.clip.screws
        for j in range(min(k, 4)):
            dx = -0.7 + 1.4 * j / max(k - 1, 1) if k > 1 else -0.5
            screws += screw(x + dx, n.top + ct, screw_length(ct + n.t), recover.clip.screw_diameter)
    return items


def seam_places(recover: Recover, length: float) -> list[float]:
    """Two seams, a panel apart, about the middle."""
    w = recover.panel.width
    return [x for x in ((length - w) / 2, (length + w) / 2) if 0.0 <= x <= length] or [length / 2]


def _dims(
    view: View, panel: OldPanel, ribs: list[float], n: NewLine, recover: Recover, length: float
) -> list[Item]:
    items: list[Item] = []
    seam = seam_places(recover, length)
    top = n.pan + (recover.panel.rib_height or 0.0)
    if len(seam) == 2:
        y = view.px((0.0, top))[1] - 20
        items.append(Dimension((seam[0], top), (seam[1], top), "x", y, f'{recover.panel.width:g}" panel'))
    inside = [r for r in ribs if 0.8 < r < length - 0.8]
    below = view.px((0.0, 0.0))[1]
    word = "seam" if panel.seamed else "rib module"
    if len(inside) >= 2 and panel.height_in is not None:
        a, b = inside[0], inside[1]
        framing = recover.framing
        ordered = framing.rib_module if framing.kind == "notched sub-purlin" else None
        more = [f"{panel.measured_count} readings"] if panel.measured_in is not None else []
        if ordered is not None:
            more.append(f'line ordered to {ordered:.2f}"')
        size = (
            f'measured {panel.measured_in:.2f}"'
            if panel.measured_in is not None
            else f'{panel.pitch_in:g}", nominal'
        )
        lines = (f"{word} {size}", ", ".join(more))
        y = below + 62
        items.append(
            Dimension(
                (a, panel.standoff_in),
                (b, panel.standoff_in),
                "x",
                y,
                lines[0],
                ((view.px((a, 0))[0] + view.px((b, 0))[0]) / 2, y + 17),
                "middle",
                lines[1:] if lines[1] else (),
                assumed=panel.measured_in is None,
            )
        )
    if not panel.seamed and panel.base_in is not None and panel.height_in is not None and len(inside) >= 2:
        r = inside[1]
        half = panel.base_in / 2
        y = below + 30
        at = (view.px((r + half, 0.0))[0] + 10, y + 4.5)
        left, right = (r - half, panel.standoff_in), (r + half, panel.standoff_in)
        items.append(Dimension(left, right, "x", y, f'rib {panel.base_in:.2f}"', at, "start"))
    return items


def _labels(
    view: View,
    panel: OldPanel,
    ribs: list[float],
    n: NewLine,
    recover: Recover,
    length: float,
    depth: float,
    demand: tuple[str, ...],
    check: Check | None,
) -> list[Item]:
    items: list[Item] = []
    seam = seam_places(recover, length)
    x = seam[0] + max(recover.panel.rib_height or 0, 1.0) + 0.6 if len(seam) == 2 else 1.0
    y = view.px((0.0, n.pan))[1] - 26
    head = f'{n.name}, {n.t:.4f} in thick, {n.height:g}" high'
    items += label(view, (x + 0.9, n.top - 0.4), (view.px((x + 1.1, 0.0))[0], y), head, ())
    inside = [r for r in ribs if 0.8 < r < length - 0.8]
    foot = view.px((0.0, -max(depth, 4.0)))[1] + 30
    if not panel.seamed and panel.minor_in and inside:
        wide = [(a, b) for a, b in flats(panel, ribs, length) if b - a > 4]
        if wide:
            a, b = wide[0]
            dot = (a + 0.25 * (b - a), panel.standoff_in + panel.minor_in)
            items += label(
                view,
                dot,
                (view.px((0.4, 0.0))[0], foot),
                f'Minor ribs, {panel.minor_in:g}" high',
                ("the foot rides on them:", "relieve it there, or test"),
            )
    text = screws_words(n)
    w = (
        max(text_width(text, 13.5), *(text_width(t.lstrip("~"), 13.0) for t in demand))
        if demand
        else text_width(text, 13.5)
    )
    at_x = view.px((length, 0.0))[0] - w - 10
    if n.post:
        dot = (
            length / 2 if n.spacing_in is None or n.spacing_in + 4 > length else (length + n.spacing_in) / 2,
            -0.3,
        )
    else:
        places = screw_places(n, flats(panel, ribs, length), panel)
        if not places:
            return items
        dot = (max(places), -0.25)
    items += label(view, dot, (at_x, foot), text, demand)
    return items
