"""A scene as SVG text: for the page (colours follow the sheet, light or dark), as a file of its own, or for print.

Colours are presentation attributes ``var(--new, #0A3F6B)``, so that one drawing serves both sheets and no style
needs to be written into a page. In print they are plain values, for typesetters that know no variables.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape
from typing import Literal

from secondroof.drawings import styles
from secondroof.drawings.lettering import CAP_EM, text_width
from secondroof.drawings.scene import (
    Circle,
    Dimension,
    Item,
    Layer,
    Leader,
    Line,
    Mark,
    Point,
    Polygon,
    Polyline,
    Scene,
    Tag,
    Text,
    View,
)

Look = Literal["screen", "print", "grey"]
PX_PER_MM = 96 / 25.4
#: Empty border round a drawing that is a file of its own.
MARGIN_PX = 16.0
_BAD = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")


def to_svg(
    scene: Scene,
    *,
    look: Look = "screen",
    standalone: bool = False,
    theme: Literal["light", "dark"] | None = None,
    link: Callable[[Tag], str | None] | None = None,
) -> str:
    """SVG text of a scene.

    Parameters
    ----------
    scene : Scene
        The drawing.
    look : str
        ``screen`` (variables with light values behind them), ``print`` (plain colours, print line weights) or
        ``grey`` (print in one ink, to look at what a copier leaves).
    standalone : bool
        A file that opens by itself, with its ground and its own style sheet.
    theme : str or None
        Fix a standalone screen drawing to the light or dark sheet.
    link : callable, optional
        Gives the address a hot place leads to, from its tag.

    Returns
    -------
    str
        One ``<svg>`` element; all names are escaped.
    """
    return _Writer(scene, look, standalone, theme, link).text()


def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _words(text: str) -> str:
    return escape(_BAD.sub("\ufffd", text), quote=True)


def _grey(colour: str) -> str:
    r, g, b = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    y = round(0.2126 * r + 0.7152 * g + 0.0722 * b)
    return f"#{y:02X}{y:02X}{y:02X}"


class _Writer:
    def __init__(
        self,
        scene: Scene,
        look: Look,
        standalone: bool,
        theme: str | None,
        link: Callable[[Tag], str | None] | None,
    ) -> None:
        self.scene, self.look, self.standalone, self.theme, self.link = scene, look, standalone, theme, link
        self.prefix = re.sub(r"[^A-Za-z0-9_-]", "-", scene.name) or "drawing"
        self.view: View | None = None
        self.patterns: set[str] = set()

    # ---- small parts

    def colour(self, name: str) -> str:
        value = styles.LIGHT[name]
        if self.look == "print":
            return "#FFFFFF" if name == "sheet" else value
        if self.look == "grey":
            return "#FFFFFF" if name == "sheet" else _grey(value)
        return f"var(--{name},{value})"

    def stroke(self, style: str) -> str:
        name, _, factor = style.partition("@")
        s = styles.STROKES[name]
        width = (s.px if self.look == "screen" else s.mm * PX_PER_MM) * (float(factor) if factor else 1.0)
        dash = f' stroke-dasharray="{" ".join(map(_n, s.dash))}"' if s.dash else ""
        return f'class="s-{name.replace(" ", "-")}" stroke="{self.colour(s.colour)}" stroke-width="{_n(width)}"{dash}'

    def hatch(self, name: str) -> str:
        self.patterns.add(name)
        return f"url(#{self.prefix}-{name.replace(' ', '-')})"

    def at(self, p: Point) -> Point:
        return p if self.view is None else self.view.px(p)

    def path(self, points: tuple[Point, ...], closed: bool = False) -> str:
        px = [self.at(p) for p in points]
        return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in px) + ("Z" if closed else "")

    def open_tag(self, tag: Tag) -> tuple[str, str]:
        """What opens and closes the element round a tagged item."""
        if tag == Tag():
            return "", ""
        attrs = "".join(f' data-{_words(k)}="{_words(v)}"' for k, v in tag.data if v != "")
        if tag.id:
            attrs += f' id="{self.prefix}-{_words(tag.id)}"'
        label = f' aria-label="{_words(tag.title)}"' if tag.title else ""
        title = f"<title>{_words(tag.title)}</title>" if tag.title else ""
        if not tag.hot or self.look != "screen":
            return f"<g{attrs}>{title}", "</g>"
        index = 0 if tag.stop else -1
        address = self.link(tag) if self.link else None
        if address:
            return f'<a class="hot"{attrs}{label} href="{_words(address)}" tabindex="{index}">{title}', "</a>"
        return f'<g class="hot"{attrs}{label} role="img" tabindex="{index}">{title}', "</g>"

    # ---- items

    def item(self, item: Item) -> str:
        opened, closed = self.open_tag(item.tag)
        return f"{opened}{self.bare(item)}{closed}"

    def bare(self, item: Item) -> str:
        if isinstance(item, Line):
            return self.hit(item) + f'<path {self.stroke(item.style)} d="{self.path((item.a, item.b))}"/>'
        if isinstance(item, Polyline):
            return self.polyline(item)
        if isinstance(item, Polygon):
            d = "".join(self.path(r, True) for r in item.rings)
            fill = f' fill="{self.colour(item.fill)}"' if item.fill else ""
            if item.hatch:
                fill = f' fill="{self.hatch(item.hatch)}"'
            stroke = f"{self.stroke(item.style)} " if item.style else ""
            return f'<path {stroke}fill-rule="evenodd"{fill} d="{d}"/>'
        if isinstance(item, Circle):
            x, y = self.at(item.centre)
            fill = f' fill="{self.colour(item.fill)}"' if item.fill else ""
            return f'<circle {self.stroke(item.style)}{fill} cx="{_n(x)}" cy="{_n(y)}" r="{_n(item.r_px)}"/>'
        if isinstance(item, Text):
            return self.words(item)
        if isinstance(item, Dimension):
            return self.dimension(item)
        if isinstance(item, Leader):
            x, y = self.at(item.dot)
            c = self.colour(styles.STROKES[item.style].colour)
            line = f'<path {self.stroke(item.style)} d="{self.path((item.dot, item.to))}"/>'
            return f'{line}<circle fill="{c}" cx="{_n(x)}" cy="{_n(y)}" r="2.2"/>'
        if isinstance(item, Mark):
            return self.mark(item)
        return "".join(self.item(part) for part in item.items)

    def hit(self, item: Line) -> str:
        """A wider unseen stroke under a hot line, so that it can be touched."""
        if not item.tag.hot or self.look != "screen":
            return ""
        d = self.path((item.a, item.b))
        return f'<path class="hit" stroke="#000" stroke-opacity="0" stroke-width="9" pointer-events="stroke" d="{d}"/>'

    def polyline(self, item: Polyline) -> str:
        fill = f' fill="{self.colour(item.fill)}"' if item.fill else ""
        stroke = self.stroke(item.style)
        if item.thick > 0.0:
            true = item.thick * (self.view.scale_px if self.view else 1.0)
            least = (
                styles.STROKES[item.style].mm * PX_PER_MM
                if self.look != "screen"
                else styles.STROKES[item.style].px
            )
            stroke = re.sub(r'stroke-width="[^"]*"', f'stroke-width="{_n(max(true, least))}"', stroke)
        return f'<path {stroke} stroke-linejoin="round"{fill} d="{self.path(item.points, item.closed)}"/>'

    def words(self, t: Text) -> str:
        x, y = self.at(t.at)
        x, y = x + t.offset_px[0], y + t.offset_px[1]
        width = text_width(t.text, t.size_px)
        left = x - {"start": 0.0, "middle": width / 2, "end": width}[t.anchor]
        turn = f' transform="rotate({_n(t.rotate)} {_n(x)} {_n(y)})"' if t.rotate else ""
        out = ""
        if t.plate:
            h = t.size_px + 7
            top = y - CAP_EM * t.size_px / 2 - h / 2
            out += (
                f'<rect {self.stroke("plate")} fill="{self.colour("sheet")}" x="{_n(left - 6)}" y="{_n(top)}" '
                f'width="{_n(width + 12)}" height="{_n(h)}"{turn}/>'
            )
        colour = self.colour(t.colour)
        halo = (
            f' stroke="{self.colour("sheet")}" stroke-width="4" stroke-linejoin="round" paint-order="stroke"'
            if t.halo
            else ""
        )
        weight = f' font-weight="{t.weight}"' if t.weight != 400 else ""
        italic = ' font-style="italic"' if t.assumed else ""
        anchor = f' text-anchor="{t.anchor}"' if t.anchor != "start" else ""
        keep = ' xml:space="preserve"' if "  " in t.text else ""
        out += (
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(t.size_px)}" fill="{colour}"'
            f"{weight}{italic}{anchor}{halo}{turn}{keep}>{_words(t.text)}</text>"
        )
        if t.assumed:
            drawn = width * (0.94 if t.weight < 600 else 0.98)
            under = x - {"start": 0.0, "middle": drawn / 2, "end": drawn}[t.anchor]
            out += f'<path {self.stroke("pencil")} d="M{_n(under)} {_n(y + 3)}h{_n(drawn)}"{turn}/>'
        return out

    def mark(self, m: Mark) -> str:
        x, y = self.at(m.at)
        k = m.size_px / 14
        x, y = x + m.offset_px[0] - 7 * k, y + m.offset_px[1] - 7 * k
        c = self.colour(m.colour or m.state)
        out = ""
        for kind, points in styles.MARKS[m.state]:
            if kind == "ring":
                (cx, cy), (r, _) = points
                out += f'<circle stroke="{c}" stroke-width="1.7" cx="{_n(cx)}" cy="{_n(cy)}" r="{_n(r)}"/>'
                continue
            d = "M" + "L".join(f"{_n(a)} {_n(b)}" for a, b in points)
            out += {
                "stroke": f'<path stroke="{c}" stroke-width="2.4" d="{d}"/>',
                "area": f'<path fill="{c}" d="{d}Z"/>',
                "dashes": f'<path stroke="{c}" stroke-width="2" stroke-dasharray="2.5 2.5" d="{d}Z"/>',
            }[kind]
        return f'<g transform="translate({_n(x)} {_n(y)}) scale({_n(k)})">{out}</g>'

    def dimension(self, d: Dimension) -> str:
        (ax, ay), (bx, by) = self.at(d.a), self.at(d.b)
        s = self.stroke("dim")
        tick = 4.5
        if d.axis == "x":
            ax, bx, ya, yb, y = min(ax, bx), max(ax, bx), ay, by, d.at_px
            up = -1 if y < (ya + yb) / 2 else 1
            lines = f"M{_n(ax - 4)} {_n(y)}H{_n(bx + 4)}"
            for x, start in ((ax, ya), (bx, yb)):
                if abs(start - y) > max(8.0, d.gap_px):
                    lines += f"M{_n(x)} {_n(start + up * d.gap_px)}V{_n(y + up * 4)}"
                lines += f"M{_n(x - tick)} {_n(y + tick)}L{_n(x + tick)} {_n(y - tick)}"
            middle = d.text_px or ((ax + bx) / 2, y - 5)
        else:
            x, y0, y1 = d.at_px, min(ay, by), max(ay, by)
            out = 1 if x > (ax + bx) / 2 else -1
            lines = f"M{_n(x)} {_n(y0 - 4)}V{_n(y1 + 4)}"
            for start, y in ((ax, ay), (bx, by)):
                if abs(start - x) > max(8.0, d.gap_px):
                    lines += f"M{_n(start + out * d.gap_px)} {_n(y)}H{_n(x + out * 4)}"
                lines += f"M{_n(x - tick)} {_n(y + tick)}L{_n(x + tick)} {_n(y - tick)}"
            middle = d.text_px or (x + out * 8, (y0 + y1) / 2 + 4.5)
        anchor = d.anchor if d.text_px is not None or d.axis == "x" else ("start" if d.at_px > ax else "end")
        text = self.plain(Text(middle, d.text, 13.0, 500, anchor, halo=True, assumed=d.assumed))
        for k, more in enumerate(d.more, start=1):
            text += self.plain(
                Text((middle[0], middle[1] + 15 * k), more, 12.5, 400, anchor, "ink2", halo=True)
            )
        return f'<path {s} d="{lines}"/>{text}'

    def plain(self, t: Text) -> str:
        kept, self.view = self.view, None
        out = self.words(t)
        self.view = kept
        return out

    # ---- the whole

    def layer(self, layer: Layer) -> str:
        self.view = layer.view
        body = "".join(self.item(i) for i in layer.items)
        self.view = None
        return f'<g class="layer layer-{_words(layer.name)}" data-layer="{_words(layer.name)}">{body}</g>\n'

    def pattern(self, name: str) -> str:
        h = styles.HATCHES[name]
        c = self.colour(h.colour)
        p = h.pitch_px
        ground = f'<rect width="{_n(p)}" height="{_n(p)}" fill="{self.colour(h.tint)}"/>' if h.tint else ""
        turn = ' patternTransform="rotate(-45)"' if h.kind == "strokes" else ""
        line = f'<path stroke="{c}" stroke-width="{_n(h.width_px)}" d="M0 {_n(p / 2)}H{_n(p)}'
        what = {
            "strokes": f'{line}"/>',
            "dots": f'<circle fill="{c}" cx="{_n(p / 2)}" cy="{_n(p / 2)}" r="{_n(h.width_px)}"/>',
            "net": f'{line}M{_n(p / 2)} 0V{_n(p)}"/>',
        }[h.kind]
        return (
            f'<pattern id="{self.prefix}-{name.replace(" ", "-")}" width="{_n(p)}" height="{_n(p)}" '
            f'patternUnits="userSpaceOnUse"{turn}>{ground}{what}</pattern>'
        )

    def text(self) -> str:
        s = self.scene
        body = "".join(self.layer(layer) for layer in s.layers if layer.items)
        defs = "".join(self.pattern(name) for name in sorted(self.patterns))
        ground, style = "", ""
        m = MARGIN_PX if self.standalone else 0.0
        box = f"{_n(-m)} {_n(-m)} {_n(s.width_px + 2 * m)} {_n(s.height_px + 2 * m)}"
        w, h = _n(s.width_px + 2 * m), _n(s.height_px + 2 * m)
        if self.standalone:
            ground = (
                f'<rect x="{_n(-m)}" y="{_n(-m)}" width="{w}" height="{h}" fill="{self.colour("sheet")}"/>'
            )
            style = f"<style>{self.sheet()}</style>" if self.look == "screen" else ""
        role = "group" if self.look == "screen" else "img"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="sr-drawing" viewBox="{box}" width="{w}" height="{h}" '
            f'fill="none" font-family="{_words(self.fonts())}" role="{role}" '
            f'aria-labelledby="{self.prefix}-title" aria-describedby="{self.prefix}-desc">\n'
            f'<title id="{self.prefix}-title">{_words(s.title)}</title>'
            f'<desc id="{self.prefix}-desc">{_words(s.desc)}</desc>{style}'
            f"<defs>{defs}</defs>{ground}\n{body}</svg>\n"
        )

    def fonts(self) -> str:
        return styles.LETTERING

    def sheet(self) -> str:
        """Style sheet of a file that opens by itself."""
        rules = ".sr-drawing text{font-variant-numeric:tabular-nums}.hot{cursor:pointer}"
        rules += ".hot:focus-visible{outline:3px solid var(--ink,#16211F);outline-offset:2px}"
        if self.theme == "dark":
            rules += ".sr-drawing{" + "".join(f"--{k}:{v};" for k, v in styles.DARK.items()) + "}"
        elif self.theme is None:
            dark = "".join(f"--{k}:{v};" for k, v in styles.DARK.items())
            rules += f"@media screen and (prefers-color-scheme:dark){{.sr-drawing{{{dark}}}}}"
        return rules
