"""Loads along lines on a plan: bars as thick as the load, dots for points, the largest and least labelled."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from secondroof.checks.numbers import show
from secondroof.drawings.legend import bay_of, pitch_of, place_beside, plate, plate_size
from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import Placer, around
from secondroof.drawings.scene import Circle, Group, Item, Point, Polygon, Tag, Text, View
from secondroof.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.acting.model import Along, Case
    from secondroof.roof.model import Roof, RoofLine

POINT_PX = 3.4
_BAR_PX = 8.0
#: Labels of one kind of load stand for places at least this far apart.
CLEAR_PX = 70.0


@dataclass(frozen=True, slots=True)
class Drawn:
    """Loads along lines as drawn: bars and points in the model, labels on the sheet.

    Attributes
    ----------
    bars, labels : tuple of Item
        What is drawn.
    left_out : int
        Values that found no room.
    largest_lb_ft, thick_px : float
        Largest line load and the thickness it is drawn with.
    uplift, both, points : bool
        Some line load is uplift; some is downward as well; there are point loads.
    """

    bars: tuple[Item, ...] = ()
    labels: tuple[Item, ...] = ()
    left_out: int = 0
    largest_lb_ft: float = 0.0
    thick_px: float = 0.0
    uplift: bool = False
    both: bool = False
    points: bool = False

    def key(self, at: Point, width_px: float) -> tuple[tuple[Item, ...], float]:
        """Thickness of two line loads, and what a dot is; items and the place under them."""
        x, y = at
        items: list[Item] = []
        rows: list[tuple[float, str, str]] = []
        if self.largest_lb_ft > 0:
            for k in (1.0, 0.5):
                value = f"{show(k * self.largest_lb_ft, 'lb/ft')} lb/ft"
                value = f"uplift {value}" if self.uplift and not self.both else value
                rows.append((k * self.thick_px, _tone(k), f"{value} along the line" if k == 1.0 else value))
            if self.both:
                rows.append((max(4.0, self.thick_px), "sheet", "uplift"))
        for px, fill, text in rows:
            ring = (
                (x, y - 5 - px / 2),
                (x + 34, y - 5 - px / 2),
                (x + 34, y - 5 + px / 2),
                (x, y - 5 + px / 2),
            )
            items.append(
                Group(
                    (Polygon((ring,), fill=fill, style="ink@0.6"), Text((x + 42, y), text, 14.0)),
                    Tag(title=f"Key: {text}"),
                )
            )
            x += 42 + text_width(text, 14) + 24
            if x > at[0] + 0.85 * width_px:
                x, y = at[0], y + 24
        if self.points:
            dot = Circle((x + 17, y - 5), POINT_PX, "ink", "ink2")
            items.append(Group((dot, Text((x + 42, y), "point load", 14.0)), Tag(title="Key: point load")))
        return tuple(items), y


def along_items(case: Case, roof: Roof, view: View, placer: Placer) -> Drawn:
    """Loads of a case along its lines: bars as thick as the load, dots for points, the largest and least labelled.

    Parameters
    ----------
    case : Case
        The load case; a pattern shares its line loads and points out by bay too.
    roof : Roof
        Its roof.
    view : View
        Where the plan lies on the sheet.
    placer : Placer
        Where labels may go.

    Returns
    -------
    Drawn

    Raises
    ------
    InputError
        A load hangs on a line the roof does not have.
    """
    lines = {(x.plane, x.index): x for x in roof.lines}
    wrong = sorted({f"{a.plane}{a.line}" for a in case.along if (a.plane, a.line) not in lines})
    if wrong:
        raise InputError(
            Problem(
                "case.along.line", ", ".join(wrong), f"{case.key} lies on lines the roof does not have.",
                f"Its lines are {', '.join(f'{p.lines[0].name} to {p.lines[-1].name}' for p in roof.planes)}.",
            )
        )  # fmt: skip
    if not all(math.isfinite(w) for a in case.along for w in (a.w0, a.w1)):
        raise InputError(
            Problem(
                "case.along", case.key, "A load along a line is no number.",
                "Leave out what is not known and list it as missing.",
            )
        )  # fmt: skip
    rows = [a for row in case.along for a in _by_bay(row, case, roof) if a.w0 or a.w1]
    spread = [a for a in rows if not a.is_point]
    top = max((max(abs(a.w0), abs(a.w1)) for a in spread), default=0.0)
    both = len({a.w0 + a.w1 < 0 for a in spread}) > 1
    thick = min(_BAR_PX, max(2.4, 0.45 * pitch_of(roof, view.scale_px)))
    items: list[Item] = []
    for a in sorted(rows, key=lambda a: a.is_point):
        line = lines[(a.plane, a.line)]
        data = (("plane", a.plane), ("line", line.name))
        tag = Tag(
            title=f"Line {line.name}, bay {bay_of(roof.frames_ft, a.x0_ft)}: {along_words(a)}", data=data
        )
        if a.is_point:
            items.append(Circle((a.x0_ft, line.y_ft), POINT_PX, "ink", "sheet" if a.w0 < 0 else "ink2", tag))
            continue
        d0, d1 = (max(1.2, abs(w) / top * thick) / 2 / view.scale_px for w in (a.w0, a.w1))
        y = line.y_ft
        ring = ((a.x0_ft, y - d0), (a.x1_ft, y - d1), (a.x1_ft, y + d1), (a.x0_ft, y + d0))
        hollow = both and a.w0 + a.w1 < 0
        fill = "sheet" if hollow else _tone(max(abs(a.w0), abs(a.w1)) / top)
        items.append(Polygon((ring,), fill=fill, style="ink@0.7" if hollow else "", tag=tag))
    labels, left_out = _along_labels(rows, lines, roof, view, placer)
    return Drawn(
        bars=tuple(items),
        labels=labels,
        left_out=left_out,
        largest_lb_ft=top,
        thick_px=thick,
        uplift=any(a.w0 + a.w1 < 0 for a in spread),
        both=both,
        points=len(spread) < len(rows),
    )


def _tone(share: float) -> str:
    """Ink of a bar by its share of the largest: where bars are thin, the tone tells them apart."""
    return "ink2" if share > 0.5 else "edge"


def along_words(a: Along) -> str:
    """``radiant heater 42.0 lb/ft``; a point in whole pounds; a slope from one end to the other."""
    word = "uplift " if a.w0 + a.w1 < 0 else ""
    if a.is_point:
        value = f"{show(abs(a.w0), 'lb', 'whole')} lb"
    else:
        ends = [show(abs(w), "lb/ft") for w in (a.w0, a.w1)]
        value = f"{ends[0] if ends[0] == ends[1] else ' to '.join(ends)} lb/ft"
    return " ".join(w for w in (a.what, f"{word}{value}") if w)


def _by_bay(a: Along, case: Case, roof: Roof) -> list[Along]:
    """A load as it acts: whole, or in pieces with the share of each bay of a pattern."""
    if case.pattern is None:
        return [a]
    if a.is_point:
        share = case.pattern[bay_of(roof.frames_ft, a.x0_ft) - 1]
        return [replace(a, w0=share * a.w0, w1=share * a.w1)]
    cuts = [a.x0_ft, *(f for f in roof.frames_ft[1:-1] if a.x0_ft < f < a.x1_ft), a.x1_ft]
    out = []
    for x0, x1 in pairwise(cuts):
        share = case.pattern[bay_of(roof.frames_ft, (x0 + x1) / 2) - 1]
        w0, w1 = (share * (a.w0 + (a.w1 - a.w0) * (x - a.x0_ft) / (a.x1_ft - a.x0_ft)) for x in (x0, x1))
        out.append(replace(a, x0_ft=x0, x1_ft=x1, w0=w0, w1=w1))
    return out


def _along_labels(
    rows: list[Along],
    lines: Mapping[tuple[str, int], RoofLine],
    roof: Roof,
    view: View,
    placer: Placer,
) -> tuple[tuple[Item, ...], int]:
    """One label a kind of load and value, at most the largest and the least of each kind; and how many had no room."""
    alike: dict[tuple[str, bool], dict[str, list[Along]]] = {}
    for a in rows:
        alike.setdefault((a.what, a.is_point), {}).setdefault(along_words(a), []).append(a)
    wanted: list[tuple[str, list[Along]]] = []
    for by_words in alike.values():
        kinds = sorted(by_words.items(), key=lambda kv: -max(abs(kv[1][0].w0), abs(kv[1][0].w1)))
        wanted += kinds if len(kinds) <= 2 else [kinds[0], kinds[-1]]
    wanted.sort(key=lambda kv: -max(abs(kv[1][0].w0), abs(kv[1][0].w1)))
    items: list[Item] = []
    left_out = 0
    labelled: list[Point] = []
    told: set[tuple[str, bool]] = set()
    for text, group in wanted:
        n = len(group)
        on = len({(a.plane, a.line) for a in group})
        more = "" if n == 1 else f", {n} points" if group[0].is_point else f", {on} lines" if on > 1 else ""
        said = text + more
        places = [_middle(a, lines, view) for a in group]
        clear = [k for k, p in enumerate(places) if all(math.dist(p, q) > CLEAR_PX for q in labelled)]
        if not clear and (group[0].what, group[0].is_point) in told:
            continue  # the largest of its kind stands beside it; the key gives the rest
        k = min(clear or range(n), key=lambda k: (abs(k - n // 2), k))
        dot, a = places[k], group[k]
        told.add((a.what, a.is_point))
        labelled.append(dot)
        line = lines[(a.plane, a.line)]
        x0, x1 = view.px((a.x0_ft, 0.0))[0], view.px((a.x1_ft, 0.0))[0]
        w, h = plate_size(said)
        near = [(x, dot[1] - 20) for x in (dot[0], x0 + w / 2, x1 - w / 2)] if n == 1 else []
        middle = place_beside(placer, w, h, dot, [*near, *around((dot[0], dot[1] - 20), 9.0, 230.0, 1.6)])
        if middle is None:
            left_out += 1
            continue
        title = f"Line {line.name}: {said}"
        items.append(plate(middle, said, Tag(title=title, hot=True, stop=not items), dot))
    return tuple(items), left_out


def _middle(a: Along, lines: Mapping[tuple[str, int], RoofLine], view: View) -> Point:
    """Middle of a load on the sheet. [px]"""
    return view.px(((a.x0_ft + a.x1_ft) / 2, lines[(a.plane, a.line)].y_ft))
