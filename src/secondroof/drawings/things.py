"""Things on and under a roof, drawn only where their place was taped; the rest is named."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import Placer, around, box_at
from secondroof.drawings.scene import Item, Leader, Line, Polygon, Tag, Text, View
from secondroof.drawings.words import counted, whole

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import HungLoad, RoofItem, Survey


_STATE_WORDS = {
    "open": "open",
    "shut": "shut",
    "shut in storms, owner's word": "shut in storms by the owner's word",
}


def _plane(roof: Roof, name: str | None) -> RoofPlane | None:
    if name is None and len(roof.planes) == 1:
        return roof.planes[0]
    return next((p for p in roof.planes if p.name == name), None)


def roof_items(
    survey: Survey, roof: Roof, view: View, placer: Placer
) -> tuple[tuple[Item, ...], tuple[Item, ...], tuple[str, ...]]:
    """Taped openings in the model, their labels on the sheet, and the words of those not drawn."""
    drawn: list[Item] = []
    labels: list[Item] = []
    rest: list[str] = []
    for item in survey.roof_items or ():
        plane = _plane(roof, item.plane)
        words = counted(item.count, item.what)
        if item.along is None or item.up_slope is None or plane is None:
            rest.append(words)
            continue
        if item.count > 1:
            rest.append(f"{item.count - 1} more of: {item.what}")
        drawn += _shape(item, plane, view)
        way = 1.0 if plane.y_top_ft > plane.y_eave_ft else -1.0
        y = plane.y_eave_ft + way * item.up_slope * math.cos(math.radians(plane.slope_deg))
        x, py = view.px((item.along, y))
        text = item.what
        w = text_width(text, 12.5) + 8
        placer.take(
            box_at((x, py), (item.width or 1.0) * view.scale_px + 4, (item.length or 1.0) * view.scale_px + 4)
        )
        reach = max((item.width or 2.0), (item.length or 2.0)) * view.scale_px / 2
        spots = [(x + reach + w / 2 + 6, py), (x - reach - w / 2 - 6, py), *around((x, py), 8.0, 120.0, 2.0)]
        at = placer.place(
            w, 15.0, [p for p in spots if abs(p[0] - x) > reach + w / 2 or abs(p[1] - py) > reach + 9]
        )
        if at is not None:
            labels.append(Text((at[0], at[1] + 4.4), text, 12.5, 500, "middle", halo=True))
            if math.hypot(at[0] - x, at[1] - py) > reach + w / 2 + 10:
                labels.append(
                    Leader(
                        (x, py),
                        (min(max(x, at[0] - w / 2), at[0] + w / 2), at[1] + (8 if py > at[1] else -8)),
                    )
                )
    return tuple(drawn), tuple(labels), tuple(rest)


def _shape(item: RoofItem, plane: RoofPlane, view: View) -> list[Item]:
    """To its size where that was taped; a cross where only its place was."""
    assert item.along is not None
    assert item.up_slope is not None
    cos = math.cos(math.radians(plane.slope_deg))
    way = 1.0 if plane.y_top_ft > plane.y_eave_ft else -1.0
    x, y = item.along, plane.y_eave_ft + way * item.up_slope * cos
    tag = Tag(title=f"{item.what}, place taped", data=(("item", item.kind),))
    if item.width is None or item.length is None:
        d = 5 / view.scale_px
        return [
            Line((x - d, y - d), (x + d, y + d), "opening", tag),
            Line((x - d, y + d), (x + d, y - d), "opening"),
        ]
    w, h = item.width / 2, item.length / 2 * cos
    ring = ((x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h))
    return [Polygon((ring,), fill="sheet", style="opening", tag=tag)]


def hung_loads(
    survey: Survey, roof: Roof, view: View, placer: Placer
) -> tuple[tuple[Item, ...], tuple[Item, ...], tuple[str, ...]]:
    """Hung loads whose line and bay are known, over that bay; the words of the others."""
    drawn: list[Item] = []
    labels: list[Item] = []
    rest: list[str] = []
    for load in survey.hung_loads or ():
        words = hung_words(load)
        plane = _plane(roof, load.plane)
        if plane is None or not load.lines or not load.bays:
            rest.append(words)
            continue
        for index in load.lines:
            line = next((x for x in plane.lines if x.index == index), None)
            for bay in load.bays:
                if line is None or not 1 <= bay < len(roof.frames_ft):
                    continue
                x0, x1 = roof.frames_ft[bay - 1], roof.frames_ft[bay]
                e, d = (x1 - x0) * 0.15, 3.2 / view.scale_px
                ring = (
                    (x0 + e, line.y_ft - d),
                    (x1 - e, line.y_ft - d),
                    (x1 - e, line.y_ft + d),
                    (x0 + e, line.y_ft + d),
                )
                tag = Tag(title=f"{words}, line {line.name}, bay {bay}; place in the bay not taped")
                drawn.append(Polygon((ring,), style="opening", tag=tag))
                px, py = view.px(((x0 + x1) / 2, line.y_ft))
                placer.take(box_at((px, py), (x1 - x0 - 2 * e) * view.scale_px, 8.0))
                w = text_width(words, 12.5) + 8
                at = placer.place(
                    w, 15.0, [p for p in around((px, py - 13), 7.0, 120.0, 2.0) if abs(p[1] - py) > 11]
                )
                if at is not None and (index, bay) == (load.lines[0], load.bays[0]):
                    labels.append(Text((at[0], at[1] + 4.4), words, 12.5, 500, "middle", halo=True))
    return tuple(drawn), tuple(labels), tuple(rest)


def hung_words(load: HungLoad) -> str:
    """``8 lights, 18 lb each``."""
    words = counted(load.count, load.what)
    if load.weight is not None:
        words += f", {whole(load.weight)} lb" + (" each" if load.count > 1 else "")
    if load.per_foot is not None:
        words += f", {load.per_foot:g} lb/ft"
    return words


def wall_notes(survey: Survey, facings: tuple[str, str, str, str], roof: Roof) -> dict[str, tuple[str, ...]]:
    """For each wall with openings, what to write along it: the longest first, shorter ways after."""
    out: dict[str, tuple[str, ...]] = {}
    for wall in facings:
        found = [o for o in survey.enclosure.openings or () if o.wall == wall]
        if not found:
            continue
        opened = sum(o.count for o in found if o.state == "open")
        area = sum(o.count * o.area for o in found if o.state == "open")
        word = sum(o.count for o in found if o.state == "shut in storms, owner's word")
        shut = sum(o.count for o in found if o.state == "shut")
        bits = [f"{opened} open, {whole(area)} ft²"] if opened else []
        bits += [f"{word} shut in storms by the owner's word"] if word else []
        bits += [f"{shut} shut"] if shut else []
        each = "; ".join(
            f"{counted(o.count, o.what)} {_STATE_WORDS[o.state]}, {whole(o.count * o.area)} ft²"
            for o in found
        )
        few = f"{wall}: {opened} open" if opened else f"{wall}: {word + shut} shut"
        out[wall] = (f"{wall} wall: {each}", f"{wall} wall: {', '.join(bits)}", few)
    return out


def bracing_words(survey: Survey) -> str:
    """What was found of bracing; its places are words, so it is not drawn."""
    b = survey.bracing
    told = (
        ("rods", b.rods),
        ("against sag", b.sag),
        ("flange braces", b.flange_braces),
        ("anti-roll clips", b.anti_roll),
    )
    said = [
        text if name.split()[0].rstrip("s") in text.lower() else f"{name}: {text}"
        for name, text in told
        if text
    ]
    return "; ".join((*said, *b.faults))
