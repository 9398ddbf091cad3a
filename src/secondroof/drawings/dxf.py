"""A scene as a DXF drawing at full size, in the units of its first view, on layers of the US National CAD Standard.

The sheet's own words are carried along at the scale of the first view, so that title and key stand beside the
drawing. Colour of state goes with the entity, since a layer speaks of what a thing is, not of how it fares.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any

from secondroof.drawings import styles
from secondroof.drawings.lettering import CAP_EM, text_width
from secondroof.drawings.scene import (
    Circle,
    Dimension,
    Item,
    Leader,
    Line,
    Mark,
    Point,
    Polygon,
    Polyline,
    Scene,
    Text,
    View,
)
from secondroof.errors import SecondroofError

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_STATE_COLOURS: dict[str, tuple[int, int, int]] = {
    name: (
        int(styles.LIGHT[name][1:3], 16),
        int(styles.LIGHT[name][3:5], 16),
        int(styles.LIGHT[name][5:7], 16),
    )
    for name in (*styles.STATES, "new")
}
#: Width of the lettering against the plain face every CAD program has.
NARROW = 0.8
_LINETYPES = {"frame": "SR_CENTER", "ridge": "SR_CENTER", "break": "SR_CENTER"}


class DrawingError(SecondroofError, ValueError):
    """A scene that cannot be written as DXF."""


def to_dxf(scene: Scene) -> str:
    """DXF text (R2018 form) of a scene; it opens in any CAD program.

    Raises
    ------
    DrawingError
        The scene has no view, so no size to be drawn at.
    """
    from ezdxf._options import options

    stream = io.StringIO()
    # the same scene gives the same bytes: no time stamp, and classes in the order of their names
    kept = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        doc = document(scene)
        doc.classes.add_required_classes(doc.dxfversion)
        in_order = sorted(doc.classes.classes.items(), key=lambda c: str(c[0]))
        doc.classes.classes = dict(in_order)
        doc.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = kept
    return stream.getvalue()


def document(scene: Scene) -> Drawing:
    """DXF document of a scene, in model space at full size."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    if not scene.views:
        raise DrawingError(
            f"{scene.name}: the scene has no view, so no size to be drawn at. Draw a plan or a section."
        )
    base = scene.views[0]
    doc = new("R2018", setup=False)
    doc.units = units.FT if base.unit == "ft" else units.IN
    doc.header["$MEASUREMENT"] = 0
    doc.header["$LUNITS"] = 4
    doc.styles.add("SR_LETTERING", font="arial.ttf").dxf.width = NARROW
    u = 1 / base.scale_px
    doc.linetypes.add("SR_CENTER", [20 * u, 12 * u, -3 * u, 2 * u, -3 * u])
    doc.linetypes.add("SR_DASHED", [11 * u, 7 * u, -4 * u])
    doc.linetypes.add("SR_HEAVY_DASH", [10 * u, 4 * u, -6 * u])
    for name, (colour, weight) in styles.CAD_LAYERS.items():
        layer = doc.layers.add(name, color=colour)
        layer.dxf.lineweight = weight
    _dimension_style(doc, base, u)
    _Writer(doc, base).scene(scene)
    return doc


def _dimension_style(doc: Drawing, base: View, u: float) -> None:
    style = doc.dimstyles.add("SECONDROOF")
    style.dxf.dimtxsty = "SR_LETTERING"
    style.dxf.dimtxt = 12.5 * CAP_EM * u
    style.dxf.dimtsz = 4.5 * u
    style.dxf.dimexo = 4 * u
    style.dxf.dimexe = 4 * u
    style.dxf.dimdle = 4 * u
    style.dxf.dimgap = 3 * u
    style.dxf.dimtad = 1
    style.dxf.dimlunit = 4 if base.unit == "ft" else 2


class _Writer:
    def __init__(self, doc: Drawing, base: View) -> None:
        self.doc, self.space, self.base = doc, doc.modelspace(), base
        self.view: View | None = None
        self.attribs: dict[str, Any] = {}

    def at(self, p: Point) -> Point:
        """Point in the model of the first view."""
        if self.view is not None and self.view.name == self.base.name:
            return p
        return self.base.model(self.view.px(p) if self.view is not None else p)

    def size(self, px: float) -> float:
        return px / self.base.scale_px

    def scene(self, scene: Scene) -> None:
        for layer in scene.layers:
            self.view = layer.view
            self.attribs = {"layer": layer.cad}
            for item in layer.items:
                self.item(item)

    def look(self, style: str) -> dict[str, Any]:
        """Attributes of a stroke: its layer's, but for colour of state, weight and dashes."""
        name = style.partition("@")[0]
        out = dict(self.attribs)
        stroke = styles.STROKES.get(name)
        if stroke is None:
            return out
        if stroke.colour in _STATE_COLOURS:
            r, g, b = _STATE_COLOURS[stroke.colour]
            out["true_color"] = (r << 16) | (g << 8) | b
        out["lineweight"] = min((13, 18, 25, 30, 35, 50, 80, 90), key=lambda w: abs(w - 100 * stroke.mm))
        if stroke.dash:
            default = "SR_HEAVY_DASH" if name == "unknown" else "SR_DASHED"
            out["linetype"] = _LINETYPES.get(name, default)
        return out

    def item(self, item: Item) -> None:
        if isinstance(item, Line):
            self.space.add_line(self.at(item.a), self.at(item.b), dxfattribs=self.look(item.style))
        elif isinstance(item, Polyline):
            points = [self.at(p) for p in item.points]
            if item.fill:
                self.solid([points], item.fill)
            self.space.add_lwpolyline(points, close=item.closed, dxfattribs=self.look(item.style))
        elif isinstance(item, Polygon):
            self.polygon(item)
        elif isinstance(item, Circle):
            self.space.add_circle(
                self.at(item.centre), self.size(item.r_px), dxfattribs=self.look(item.style)
            )
        elif isinstance(item, Text):
            self.words(item)
        elif isinstance(item, Dimension):
            self.dimension(item)
        elif isinstance(item, Leader):
            self.space.add_line(self.at(item.dot), self.at(item.to), dxfattribs=self.look(item.style))
            self.space.add_circle(self.at(item.dot), self.size(2.2), dxfattribs=self.look(item.style))
        elif isinstance(item, Mark):
            self.mark(item)
        else:
            for part in item.items:
                self.item(part)

    def mask(self, ring: list[Point]) -> None:
        """Paper over what lies under words."""
        wipeout = self.space.add_wipeout(ring)
        wipeout.dxf.layer = self.attribs["layer"]

    def solid(self, rings: list[list[Point]], fill: str) -> None:
        """Filled areas of ink and of new steel; paper-coloured grounds are left out."""
        if fill not in ("ink", "new", "newT", "short"):
            return
        attribs = dict(self.attribs)
        value = styles.LIGHT[fill]
        hatch = self.space.add_hatch(color=7, dxfattribs=attribs)
        if fill != "ink":
            hatch.rgb = (int(value[1:3], 16), int(value[3:5], 16), int(value[5:7], 16))
        for ring in rings:
            hatch.paths.add_polyline_path(ring, is_closed=True)

    def polygon(self, item: Polygon) -> None:
        rings = [[self.at(p) for p in ring] for ring in item.rings]
        if item.fill in ("sheet", "marker"):
            self.mask(rings[0])
        elif item.fill:
            self.solid(rings, item.fill)
        if item.hatch:
            h = styles.HATCHES[item.hatch]
            hatch = self.space.add_hatch(dxfattribs=dict(self.attribs))
            step = self.size(h.pitch_px)
            d = step / math.sqrt(2)
            lines: list[Any] = [[45.0, (0.0, 0.0), (-d, d), []]]
            if h.kind == "net":
                lines = [[0.0, (0.0, 0.0), (0.0, step), []], [90.0, (0.0, 0.0), (-step, 0.0), []]]
            if h.kind == "dots":
                lines = [[0.0, (0.0, 0.0), (0.0, step), [step * 0.1, -step * 0.9]]]
            hatch.set_pattern_fill(item.hatch.upper().replace(" ", "_"), definition=lines)
            if h.colour in _STATE_COLOURS:
                hatch.rgb = _STATE_COLOURS[h.colour]
            for k, ring in enumerate(rings):
                hatch.paths.add_polyline_path(ring, is_closed=True, flags=1 if k == 0 else 16)
        if item.style:
            for ring in rings:
                self.space.add_lwpolyline(ring, close=True, dxfattribs=self.look(item.style))

    def words(self, t: Text) -> None:
        from ezdxf.enums import TextEntityAlignment

        x, y = self.at(t.at)
        at = (x + self.size(t.offset_px[0]), y - self.size(t.offset_px[1]))
        if t.plate:
            self.plate(t, at)
        attribs = {**self.attribs, "style": "SR_LETTERING", "width": NARROW, "rotation": -t.rotate}
        if t.assumed:
            attribs["oblique"] = 12.0
        if t.colour in _STATE_COLOURS:
            r, g, b = _STATE_COLOURS[t.colour]
            attribs["true_color"] = (r << 16) | (g << 8) | b
        text = self.space.add_text(t.text, height=self.size(t.size_px) * CAP_EM, dxfattribs=attribs)
        text.set_placement(
            at, align=TextEntityAlignment[{"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}[t.anchor]]
        )

    def plate(self, t: Text, at: Point) -> None:
        """Plate with its border under words that lie on hatch or steel."""
        w, h = text_width(t.text, t.size_px), t.size_px + 7
        left = {"start": 0.0, "middle": w / 2, "end": w}[t.anchor] + 6
        x0, x1 = at[0] - self.size(left), at[0] - self.size(left) + self.size(w + 12)
        y = at[1] + self.size(CAP_EM * t.size_px / 2)
        ring = [
            (x0, y - self.size(h / 2)),
            (x1, y - self.size(h / 2)),
            (x1, y + self.size(h / 2)),
            (x0, y + self.size(h / 2)),
        ]
        self.mask(ring)
        self.space.add_lwpolyline(ring, close=True, dxfattribs=self.look("plate"))

    def dimension(self, d: Dimension) -> None:
        a, b = self.at(d.a), self.at(d.b)
        foot = self.base.model((d.at_px, d.at_px))
        base = (a[0], foot[1]) if d.axis == "x" else (foot[0], a[1])
        far = abs(foot[1] - a[1]) if d.axis == "x" else abs(foot[0] - a[0])
        override = (
            {"dimse1": 1, "dimse2": 1} if far < self.size(d.gap_px) else {"dimexo": self.size(d.gap_px)}
        )
        middle = None if d.text_px is None else self.base.model(d.text_px)
        dim = self.space.add_linear_dim(
            base=base,
            p1=a,
            p2=b,
            angle=0 if d.axis == "x" else 90,
            text=d.text,
            dimstyle="SECONDROOF",
            text_rotation=0,
            override=override,
            dxfattribs=dict(self.attribs),
        )
        if middle is not None:
            w = 0.45 * len(d.text) * self.size(13.0)
            shift = {"start": w / 2, "middle": 0.0, "end": -w / 2}[d.anchor]
            dim.set_location((middle[0] + shift, middle[1] + self.size(13.0) * CAP_EM / 2))
        dim.render()
        for k, more in enumerate(d.more, start=1):
            x, y = d.text_px or (d.at_px, d.at_px)
            kept, self.view = self.view, None
            self.words(Text((x, y + 15 * k), more, 12.5, 400, d.anchor))
            self.view = kept

    def mark(self, m: Mark) -> None:
        x, y = self.at(m.at)
        k = self.size(m.size_px) / 14
        x, y = x + self.size(m.offset_px[0]) - 7 * k, y - self.size(m.offset_px[1]) + 7 * k
        attribs = self.look(m.state)
        attribs.pop("linetype", None)
        for kind, points in styles.MARKS[m.state]:
            if kind == "ring":
                (cx, cy), (r, _) = points
                self.space.add_circle((x + cx * k, y - cy * k), r * k, dxfattribs=attribs)
                continue
            ring = [(x + px * k, y - py * k) for px, py in points]
            if kind == "area":
                self.solid([ring], m.state)
            look = {**attribs, "linetype": "SR_DASHED"} if kind == "dashes" else attribs
            self.space.add_lwpolyline(ring, close=kind != "stroke", dxfattribs=look)
