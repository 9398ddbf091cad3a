"""One drawing model for every drawing: layers of lines, areas, words, dimensions and marks.

A layer lies in a :class:`View` (model feet or inches, ``y`` up, with its scale on the sheet) or straight on the
sheet (pixels of 1/96 in, ``y`` down). Sizes of words and marks are always on the sheet, never in the model.
The emitters (``svg``, ``dxf``) know nothing of roofs; what makes a drawing knows nothing of SVG or DXF.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Tag:
    """What an item is to the page around the drawing.

    Attributes
    ----------
    id : str
        Element id, unique in the scene; empty for none.
    title : str
        Hover text, and what a screen reader says.
    data : tuple of (name, value)
        Written as ``data-name``: plane, line, zone, state, check.
    hot : bool
        A place that can be touched or reached by keyboard.
    stop : bool
        A hot place the Tab key stops at; other hot places are reached by the arrows.
    """

    id: str = ""
    title: str = ""
    data: tuple[tuple[str, str], ...] = ()
    hot: bool = False
    stop: bool = False


NO_TAG = Tag()


@dataclass(frozen=True, slots=True)
class Line:
    """One straight stroke from ``a`` to ``b``."""

    a: Point
    b: Point
    style: str
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Polyline:
    """A run of strokes, open or closed; ``fill`` names a colour. ``least_px`` widens thin material to be seen."""

    points: tuple[Point, ...]
    style: str
    closed: bool = False
    fill: str = ""
    thick: float = 0.0
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Polygon:
    """An area with holes: ``rings`` is the outline and then its holes; ``fill`` a colour, ``hatch`` a pattern."""

    rings: tuple[tuple[Point, ...], ...]
    fill: str = ""
    hatch: str = ""
    style: str = ""
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle of ``r_px`` on the sheet."""

    centre: Point
    r_px: float
    style: str
    fill: str = ""
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Text:
    """Words at a point.

    Attributes
    ----------
    at, offset_px : Point
        Place of the baseline, and how far the words stand from it on the sheet (``y`` down).
    size_px, weight, anchor, colour
        Lettering.
    rotate : float
        Degrees clockwise on the sheet.
    plate, halo : bool
        A plate with a border, or a halo, under words that lie on hatch or steel.
    assumed : bool
        Pencil: italic with a dashed underline.
    """

    at: Point
    text: str
    size_px: float = 13.0
    weight: Literal[400, 500, 600] = 400
    anchor: Anchor = "start"
    colour: str = "ink"
    offset_px: Point = (0.0, 0.0)
    rotate: float = 0.0
    plate: bool = False
    halo: bool = False
    assumed: bool = False
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension from ``a`` to ``b``.

    Attributes
    ----------
    a, b : Point
        What is measured.
    axis : str
        ``x`` measures across the sheet, ``y`` up it.
    at_px : float
        Place of the dimension line on the sheet: its ``y`` for axis ``x``, its ``x`` for axis ``y``.
    text : str
        The words of it.
    text_px : Point or None
        Middle of the words on the sheet where they do not stand at the middle of the line.
    anchor : Anchor
        How words are set about ``text_px``.
    more : tuple of str
        Lines of lighter words under it.
    assumed : bool
        Pencil.
    """

    a: Point
    b: Point
    axis: Literal["x", "y"]
    at_px: float
    text: str
    text_px: Point | None = None
    anchor: Anchor = "middle"
    more: tuple[str, ...] = ()
    assumed: bool = False
    gap_px: float = 4.0
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Leader:
    """One straight stroke from a dot on the thing to its words."""

    dot: Point
    to: Point
    style: str = "leader"
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Mark:
    """The mark of a state in a box of ``size_px``, its middle at ``at``."""

    at: Point
    state: str
    size_px: float = 14.0
    colour: str = ""
    offset_px: Point = (0.0, 0.0)
    tag: Tag = NO_TAG


@dataclass(frozen=True, slots=True)
class Group:
    """Items that are one thing to the page: a flag with its plate, mark and ratio."""

    items: tuple[Line | Polyline | Polygon | Circle | Text | Leader | Mark, ...]
    tag: Tag = NO_TAG


Item = Line | Polyline | Polygon | Circle | Text | Dimension | Leader | Mark | Group


@dataclass(frozen=True, slots=True)
class View:
    """A piece of the model on the sheet.

    Attributes
    ----------
    unit : str
        Unit of the model.
    scale_px : float
        Pixels of a model unit, the same both ways: nothing is drawn out of scale.
    origin_px : Point
        Place of the model's origin on the sheet.
    """

    name: str
    unit: Literal["ft", "in"]
    scale_px: float
    origin_px: Point

    def px(self, p: Point) -> Point:
        """Place on the sheet of a point of the model."""
        return self.origin_px[0] + p[0] * self.scale_px, self.origin_px[1] - p[1] * self.scale_px

    def model(self, p: Point) -> Point:
        """Point of the model at a place on the sheet."""
        return (p[0] - self.origin_px[0]) / self.scale_px, (self.origin_px[1] - p[1]) / self.scale_px


@dataclass(frozen=True, slots=True)
class Layer:
    """Items that belong together, back to front; ``cad`` is their layer in a CAD file.

    ``view`` None means the items lie on the sheet itself.
    """

    name: str
    cad: str
    items: tuple[Item, ...]
    view: View | None = None


@dataclass(frozen=True, slots=True)
class Scene:
    """One drawing on a sheet of ``width_px`` by ``height_px`` (1/96 in)."""

    name: str
    title: str
    desc: str
    width_px: float
    height_px: float
    layers: tuple[Layer, ...]
    notes: tuple[str, ...] = field(default=())

    @property
    def views(self) -> tuple[View, ...]:
        """Views in order of first use."""
        seen: dict[str, View] = {}
        for layer in self.layers:
            if layer.view is not None:
                seen.setdefault(layer.view.name, layer.view)
        return tuple(seen.values())


def joined(name: str, title: str, desc: str, scenes: tuple[Scene, ...]) -> Scene:
    """Scenes drawn for the same sheet, laid over each other."""
    return Scene(
        name=name,
        title=title,
        desc=desc,
        width_px=max(s.width_px for s in scenes),
        height_px=max(s.height_px for s in scenes),
        layers=tuple(layer for s in scenes for layer in s.layers),
        notes=tuple(n for s in scenes for n in s.notes),
    )
