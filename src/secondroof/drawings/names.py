"""Names on a plan: lines with their distance from the eave, frames in circles, bays between them."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import spread, thinned
from secondroof.drawings.scene import Circle, Item, Line, Tag, Text, View
from secondroof.units import feet_inches

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofLine

NAME_PX = 13.0
ROW_PX = 14.5


def named_lines(roof: Roof, view: View) -> list[tuple[RoofLine, float, float]]:
    """Lines that get a name, with the place of the line and of its name on the sheet, from the top down."""
    picked: list[tuple[float, RoofLine]] = []
    for plane in roof.planes:
        lines = sorted(plane.lines, key=lambda line: line.s_ft)
        at = [line.s_ft * view.scale_px for line in lines]
        picked += [(view.px((0.0, lines[i].y_ft))[1], lines[i]) for i in thinned(at, ROW_PX)]
    up = {plane.name: k for k, plane in enumerate(roof.planes)}
    picked.sort(key=lambda p: (round(p[0]), -up[p[1].plane]))
    places = spread([y for y, _ in picked], ROW_PX)
    return [(line, y, place) for (y, line), place in zip(picked, places, strict=True)]


def line_names(roof: Roof, view: View, left: float, distances: bool = True) -> tuple[tuple[Item, ...], float]:
    """Names and distances in two columns that begin at ``left``; items and where they end."""
    rows = named_lines(roof, view)
    name_w = max((text_width(line.name, NAME_PX) for line, _, _ in rows), default=0.0)
    far_w = (
        max((text_width(feet_inches(line.s_ft), 12.5) for line, _, _ in rows), default=0.0)
        if distances
        else 0.0
    )
    end = left + name_w + (far_w + 8 if distances else 0.0)
    items: list[Item] = []
    for line, y, place in rows:
        tag = Tag(
            title=f"Line {line.name}, {line.member}, {feet_inches(line.s_ft)} from the eave along the slope"
        )
        items.append(Text((left + name_w, place + 4.5), line.name, NAME_PX, 600, "end", tag=tag))
        if distances:
            items.append(Text((end, place + 4.5), feet_inches(line.s_ft), 12.5, 400, "end", "ink2"))
        if abs(place - y) > 2.0:
            items.append(Line((end + 2, place), (end + 8, y), "dim@0.6"))
    return tuple(items), end


def names_width(roof: Roof, scale_px: float) -> float:
    """Width of both columns. [px]"""
    view = View("w", "ft", scale_px, (0.0, 0.0))
    return line_names(roof, view, 0.0)[1]


def frame_names(roof: Roof, view: View, y: float) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """Centre lines of the frames in the model, and circles and bay names on the sheet at height ``y``."""
    xs = [view.px((f, 0.0))[0] for f in roof.frames_ft]
    r = 11.0 if len(xs) > 99 else 10.0
    shown = thinned(xs, 2 * r + 3)
    if len(shown) > 2 and xs[shown[-1]] - xs[shown[-2]] < 2 * r + 3:
        shown.pop(-2)
    foot = view.px((0.0, 0.0))[1] + 7
    lines: list[Item] = []
    marks: list[Item] = []
    for i, f in enumerate(roof.frames_ft):
        top = y + r if i in shown else view.px((0.0, roof.width_ft))[1] - 6
        lines.append(Line((f, view.model((0.0, top))[1]), (f, view.model((0.0, foot))[1]), "frame"))
        if i in shown:
            marks.append(Circle((xs[i], y), r, "circle", "sheet", Tag(title=f"Frame {i + 1}")))
            marks.append(Text((xs[i], y + 4.6), str(i + 1), 13.0, 600, "middle"))
    for i, (a, b) in enumerate(pairwise(xs), start=1):
        room = b - a - 2 * r - 8
        text = f"bay {i}"
        if i - 1 in shown and i in shown and text_width(text, 12.5) <= room:
            marks.append(Text(((a + b) / 2, y + 4.4), text, 12.5, 400, "middle", "ink2"))
    return tuple(lines), tuple(marks)
