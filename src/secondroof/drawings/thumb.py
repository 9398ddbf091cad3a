"""A small plan for papers: zones, frames, ridge, and the one line a page speaks of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from secondroof.drawings import zones as zone_parts
from secondroof.drawings.furniture import north_arrow
from secondroof.drawings.lettering import text_width
from secondroof.drawings.scene import Item, Layer, Leader, Line, Polygon, Scene, Tag, Text, View
from secondroof.drawings.styles import zone_hatch
from secondroof.units import feet_inches

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from secondroof.roof.model import Roof


def thumb(
    roof: Roof,
    zones: Mapping[str, BaseGeometry] | None = None,
    line: str | None = None,
    *,
    zone: str | None = None,
    faces: str | None = None,
    width_px: float = 420.0,
    most_height_px: float = 260.0,
) -> Scene:
    """Mini plan with one line marked.

    Parameters
    ----------
    roof : Roof
        The roof.
    zones : mapping of zone name to polygon, optional
        Zones to hatch; left out, the roof's own.
    line : str, optional
        Name of the line marked in the colour of *short*.
    zone : str, optional
        Box the stretches of that line that lie in this zone.
    faces : str, optional
        Compass point the first plane's eave looks to: turns the north arrow.
    width_px, most_height_px : float
        Size. [1/96 in]

    Returns
    -------
    Scene
    """
    drawn = roof.zones if zones is None else zones
    left = 52.0 if faces else 4.0
    scale = min((width_px - left - 4) / roof.length_ft, most_height_px / roof.width_ft)
    top = 4.0
    view = View("thumb", "ft", scale, (left, top + roof.width_ft * scale))
    outline = ((0.0, 0.0), (roof.length_ft, 0.0), (roof.length_ft, roof.width_ft), (0.0, roof.width_ft))
    items: list[Item] = []
    for name, shape in drawn.items():
        for part in zone_parts.parts(shape):
            hatch = zone_hatch(name)
            items.append(
                Polygon(
                    zone_parts.rings(part), hatch=hatch, tag=Tag(title=f"Zone {name}", data=(("zone", name),))
                )
            )
    every = max(1, round(12 / (scale * roof.length_ft / max(len(roof.frames_ft) - 1, 1)) + 0.49))
    frames = [Line((f, 0.0), (f, roof.width_ft), "frame") for f in roof.frames_ft[1:-1:every]]
    marks: list[Item] = [Polygon((outline,), style="outline")]
    if len(roof.planes) > 1:
        y = roof.planes[0].y_top_ft
        marks.append(Line((0.0, y), (roof.length_ft, y), "ridge", Tag(title="Ridge")))
    words: list[Item] = []
    height = top + roof.width_ft * scale + 8
    found = next((x for x in roof.lines if x.name == line), None)
    if found is not None:
        marks.append(
            Line((0.0, found.y_ft), (roof.length_ft, found.y_ft), "short", Tag(title=f"Line {found.name}"))
        )
        marks += _boxes(roof, drawn, found.y_ft, zone, scale)
        text = f"line {found.name}, {feet_inches(found.s_ft)} from the eave"
        w = text_width(text, 13) + 12
        x, y_px = view.px((0.62 * roof.length_ft, found.y_ft))
        x = min(max(x, left + w / 2 + 2), max(width_px - w / 2 - 2, left + w / 2))
        up = y_px > top + 44
        at = y_px - 28 if up else y_px + 32
        if up or at + 14 < height:
            words.append(Leader((x, y_px), (x, at + (6 if up else -14))))
            words.append(Text((x, at), text, 13.0, 600, "middle", plate=True))
            height = max(height, at + 12)
    if faces:
        words += north_arrow((16.0, top + 26), faces)
    layers = (
        Layer("zones", "A-ROOF-ZONE", tuple(items), view),
        Layer("frames", "S-GRID", tuple(frames), view),
        Layer("roof", "A-ROOF-OTLN", tuple(marks), view),
        Layer("words", "A-ANNO-TEXT", tuple(words)),
    )
    said = f"Small roof plan{f', line {line} marked' if found else ''}"
    return Scene("thumb", said, said, max(left + roof.length_ft * scale + 4, 240.0), height, layers)


def _boxes(
    roof: Roof, drawn: Mapping[str, BaseGeometry], y: float, zone: str | None, scale: float
) -> list[Item]:
    """Boxes round the pieces of a line that lie in one zone."""
    if zone is None or zone not in drawn:
        return []
    from shapely.geometry import LineString

    inside = min(max(y, 1e-3), roof.width_ft - 1e-3)
    cut = drawn[zone].intersection(LineString([(0.0, inside), (roof.length_ft, inside)]))
    d = 6 / scale
    out: list[Item] = []
    for piece in getattr(cut, "geoms", [cut]):
        if piece.length > 1e-6:
            x0, _, x1, _ = piece.bounds
            out.append(
                Polygon(
                    (((x0, y - d), (x1, y - d), (x1, y + d), (x0, y + d)),),
                    style="marked",
                    tag=Tag(title=f"Zone {zone}"),
                )
            )
    return out
