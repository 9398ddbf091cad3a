"""The live plan: the roof drawing with every stretch of line a link to its card, and the yellow stripe."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from secondroof.drawings.plan import LAYERS, roof_plan
from secondroof.drawings.scene import Layer, Line, Polygon, Scene, Tag
from secondroof.drawings.stretches import Stretch, say, stretches
from secondroof.drawings.svg import to_svg

if TYPE_CHECKING:
    from secondroof.findings.model import Findings
    from secondroof.survey.models import Survey

#: Switches of the key: word, and the drawing's layers it turns on and off.
SWITCHES = (
    ("zones", "zones zone-borders plates"),
    ("lines", "lines"),
    ("ratios", "flags"),
    ("frames", "frames frame-names"),
    ("dimensions", "dims names"),
    ("openings", "openings labels"),
    ("hung loads", "hung"),
    ("walls", "walls"),
)
STRIPE_PX = 7.0
PLAN_PX = 1010.0


@dataclass(frozen=True, slots=True)
class Open:
    """Where the stripe and the box of the open stretch are drawn, as path data."""

    stripe: str
    box: str


@dataclass(frozen=True, slots=True)
class LivePlan:
    """Drawing of one recover, ready to be shown with any stretch open."""

    scene: Scene
    rows: tuple[Stretch, ...]
    titles: dict[str, tuple[int, ...]]

    def open_at(self, index: int | None) -> Open:
        """Path data of the stripe from a stretch to the card, and of the box round it."""
        if index is None or not self.scene.views:
            return Open("", "")
        r = self.rows[index]
        view = self.scene.views[0]
        x0, y = view.px((r.x0_ft, r.y_ft))
        x1, _ = view.px((r.x1_ft, r.y_ft))
        return Open(_box(x0, self.scene.width_px, y), _box(x0, x1, y))

    def svg(self, href: str, index: int | None) -> str:
        """The drawing; every stretch leads to ``href?stretch=n``."""
        view = self.scene.views[0]
        r = self.rows[index] if index is not None else None
        x0, y = view.px((r.x0_ft, r.y_ft)) if r else (0.0, 0.0)
        x1 = view.px((r.x1_ft, r.y_ft))[0] if r else 0.0
        end = self.scene.width_px if r else 0.0
        stripe = Layer("stripe", "A-ANNO-SYMB", (Polygon((_ring(x0, end, y),), fill="marker"),))
        box = Layer("open-box", "A-ANNO-SYMB", (Polygon((_ring(x0, x1, y),), style="marked"),))
        layers = list(self.scene.layers)
        at = next((i for i, layer in enumerate(layers) if layer.name == "zones"), -1) + 1
        layers.insert(at, stripe)
        layers.append(box)

        seen: dict[str, int] = {}

        def link(tag: Tag) -> str | None:
            """Stretches come first and in order, so the second of one title is the second stretch so called."""
            title = tag.title.removeprefix("Worst on l").removeprefix("L")
            found = self.titles.get(title)
            if found is None:
                return None
            n = seen[title] = seen.get(title, 0) + 1
            return f"{href}?stretch={found[n - 1] if n <= len(found) else found[0]}"

        return to_svg(replace(self.scene, layers=tuple(layers)), link=link)


def live_plan(findings: Findings, survey: Survey) -> LivePlan:
    """Plan and bars of one recover."""
    rows = stretches(findings)
    scene = roof_plan(
        findings,
        survey,
        show=LAYERS - {"title", "key", "notes"},
        width_px=PLAN_PX,
        bars=bool(rows),
        most_height_px=560.0,
    )
    titles: dict[str, tuple[int, ...]] = {}
    for i in sorted(range(len(rows)), key=lambda i: rows[i].x0_ft):
        title = say(rows[i], findings.roof.frames_ft).removeprefix("L")
        titles[title] = (*titles.get(title, ()), i)
    return LivePlan(scene, rows, titles)


def zone_plan(findings: Findings, survey: Survey) -> str:
    """Plan with its zones and nothing judged."""
    show = frozenset({"zones", "dims", "frames", "names", "openings"})
    scene = roof_plan(findings, survey, show=show, width_px=900.0, most_height_px=480.0)
    return to_svg(replace(scene, name="zones"))


def small_plan(findings: Findings, name: str) -> str:
    """Outline with its lines by state, for a column of the recovers."""
    roof = findings.roof
    width = 250.0
    scale = width / max(roof.length_ft, 1.6 * roof.width_ft)
    from secondroof.drawings.scene import View

    view = View("plan", "ft", scale, ((width - roof.length_ft * scale) / 2, 6 + roof.width_ft * scale))
    rows = stretches(findings)
    weight = "@0.5" if len(roof.lines) * 4 > roof.width_ft * scale else ""
    lines = tuple(Line((r.x0_ft, r.y_ft), (r.x1_ft, r.y_ft), f"{r.state}{weight}") for r in rows)
    ring = ((0.0, 0.0), (roof.length_ft, 0.0), (roof.length_ft, roof.width_ft), (0.0, roof.width_ft))
    layers = (
        Layer("lines", "S-BEAM-E", lines, view),
        Layer("outline", "A-ROOF-OTLN", (Polygon((ring,), style="border"),), view),
    )
    title = f"Recover {findings.recover}: lines by state"
    return to_svg(Scene(f"small-{name}", title, title, width, roof.width_ft * scale + 12, layers))


def _ring(x0: float, x1: float, y: float) -> tuple[tuple[float, float], ...]:
    return (x0, y - STRIPE_PX), (x1, y - STRIPE_PX), (x1, y + STRIPE_PX), (x0, y + STRIPE_PX)


def _box(x0: float, x1: float, y: float) -> str:
    return "M" + "L".join(f"{x:.2f} {b:.2f}" for x, b in _ring(x0, x1, y)) + "Z"
