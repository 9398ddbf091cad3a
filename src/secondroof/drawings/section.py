"""The section through old and new roof at one line, to scale: across the purlin, and along it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from secondroof.checks.numbers import show_with_unit
from secondroof.drawings import furniture
from secondroof.drawings.across import HALF_IN, Drawn, across
from secondroof.drawings.along import along, length_of
from secondroof.drawings.framing import NewLine, clip_words, new_line, panel_words
from secondroof.drawings.lettering import text_width, wrapped
from secondroof.drawings.scene import Item, Layer, Line, Mark, Scene, Text, View
from secondroof.drawings.sizes import Sizes, read_sizes
from secondroof.drawings.stretches import Stretch, stretches
from secondroof.drawings.words import listed, ratio_text
from secondroof.errors import NotFoundError

if TYPE_CHECKING:
    from secondroof.checks.model import Check
    from secondroof.findings.model import Findings
    from secondroof.roof.model import RoofLine
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

LEFT_PX, RIGHT_PX, GAP_PX = 128.0, 160.0, 46.0
MOST_PX_IN = 21.0


def section(
    findings: Findings,
    survey: Survey,
    recover: Recover,
    line: str,
    *,
    zone: str | None = None,
    width_px: float = 1180.0,
) -> Scene:
    """Section at one line, drawn to scale in inches from what was read.

    Parameters
    ----------
    findings : Findings
        Of this recover.
    survey : Survey
        Sizes of the old purlin, panel and blanket.
    recover : Recover
        What is new.
    line : str
        Name of the line, e.g. ``E3``.
    zone : str, optional
        Wind zone whose screws are drawn; left out, the worst on this line.
    width_px : float
        Width of the sheet; under 900 the two views stand one over the other. [1/96 in]

    Returns
    -------
    Scene
        Two views in inches. What was not read is not drawn and is named at the foot.

    Raises
    ------
    NotFoundError
        No line of that name.
    """
    at = _line(findings, line)
    rows = [r for r in stretches(findings) if r.name == line and (zone is None or r.zone == zone)]
    worst = max(rows, key=lambda r: r.badness, default=None)
    zone = zone or (worst.zone if worst else "")
    sizes = read_sizes(findings, survey, at, _bays(findings, worst))
    n = new_line(recover, sizes.panel, sizes.purlin, zone) if sizes.panel is not None else None
    check = governing_screw(findings, zone, at.plane)
    shown = f", zone {zone}" if zone[:1] in "123" and zone else ""
    under = "Drawn from the readings, square to the slope. Old steel thin and grey, new heavy and blue, screws black."
    head, y = furniture.title(
        f"How does the new line stand on old line {line}{shown}?",
        f"{findings.job}. Recover {recover.name}, {recover.title}. {under}",
        width_px,
    )
    length = length_of(sizes.panel, recover, n)
    stacked = width_px < 900
    room = width_px - LEFT_PX - RIGHT_PX - (0 if stacked else GAP_PX)
    scale = min(MOST_PX_IN, room / (2 * HALF_IN + (0 if stacked else length)), (width_px - 8) / length)
    depth = sizes.purlin.depth_in if sizes.purlin else 4.0
    high = (n.pan + (recover.panel.rib_height or 0.0)) if n else 3.0
    top = y + 86 + high * scale
    low = depth * scale + 138
    first = View("across", "in", scale, (LEFT_PX + (HALF_IN - 1.5) * scale, top))
    x2 = LEFT_PX + 2 * HALF_IN * scale + RIGHT_PX + GAP_PX
    low_first = max(depth * scale + 64, (sizes.blanket_in or 0.0) * scale + 150, depth * 0.45 * scale + 150)
    second = View("along", "in", scale, (4.0, top + low_first + 96 + high * scale) if stacked else (x2, top))
    d1 = across(first, sizes, n, recover, survey, LEFT_PX + 2 * HALF_IN * scale + 22, LEFT_PX - 18)
    d2 = along(
        second,
        length,
        sizes,
        n,
        recover,
        check,
        demand_words(check, zone, unknown_screws(findings, zone, at.plane)),
    )
    layers = [*_layers("across", first, d1), *_layers("along", second, d2)]
    words: list[Item] = list(head)
    words += _view_title(
        "1  Across the purlin, up-slope to the right",
        (first.px((-HALF_IN + 1.5, 0))[0], top - high * scale - 58),
    )
    words += _view_title(
        "2  Along the purlin, looking up the slope",
        (second.origin_px[0], second.origin_px[1] - high * scale - 58),
    )
    bottom = (second.origin_px[1] + low) if stacked else top + max(low_first, low, 190)
    bar, _ = furniture.scale_bar((second.origin_px[0], bottom - 22), scale, "in", 6.5 * scale)
    words += bar
    for note in _play(n, sizes) if n is not None else ():
        for told in wrapped(note, width_px - 8, 13.0):
            bottom += 18
            words.append(Text((0.0, bottom - 10), told, 13.0, 600))
    foot, height = _foot(findings, survey, recover, sizes, n, bottom + 14, width_px)
    layers.append(Layer("title", "A-ANNO-TTLB", (*words, *foot)))
    desc = _describe(line, zone, sizes, n, recover, check)
    return Scene("section", f"Section at line {line}", desc, width_px, height, tuple(layers), sizes.not_read)


def _line(findings: Findings, name: str) -> RoofLine:
    for line in findings.roof.lines:
        if line.name == name:
            return line
    known = ", ".join(x.name for x in findings.roof.lines[:6])
    raise NotFoundError(
        f"No line is called {name}. Lines are named by plane and count from the eave: {known} and so on."
    )


def _bays(findings: Findings, r: Stretch | None) -> list[int]:
    """Bays the stretch lies in."""
    frames = findings.roof.frames_ft
    if r is None:
        return []
    return [i for i in range(1, len(frames)) if frames[i] > r.x0_ft + 0.05 and frames[i - 1] < r.x1_ft - 0.05]


SCREW_KEYS = ("pull-out", "pull-over", "shear", "combined", "screw", "line to bracket")


def governing_screw(findings: Findings, zone: str, plane: str) -> Check | None:
    """The worst check of the screws in one zone, of this plane where there is one."""
    found = [c for c in findings.checks if c.key in SCREW_KEYS and c.zone == zone and c.ratio is not None]
    own = [c for c in found if c.plane == plane] or found
    return max(own, key=lambda c: c.ratio or 0.0, default=None)


def demand_words(check: Check | None, zone: str, unknown: tuple[Check, ...] = ()) -> tuple[str, ...]:
    """What is asked of the screws, what they hold, the ratio with its card; and what of them is not known."""
    out: list[str] = []
    if check is not None:
        told = f"{ratio_text(check.ratio)}, {check.state} ({check.id})"
        if check.demand is None or check.capacity is None or check.unit in ("", "-"):
            out = [f"zone {zone}: {check.what.lower()},", told]
        else:
            asked = show_with_unit(check.demand, check.unit)
            out = [
                f"{check.what},",
                f"zone {zone} asks {asked},",
                f"there is {show_with_unit(check.capacity, check.unit)}: {told}",
            ]
    out += [f"{c.what}: {c.state} ({c.id})" for c in unknown]
    return tuple(out) or ("not judged: see what is missing",)


def unknown_screws(findings: Findings, zone: str, plane: str) -> tuple[Check, ...]:
    """Checks of the screws in one zone that have no ratio yet, one of a kind."""
    found = [c for c in findings.checks if c.key in SCREW_KEYS and c.zone == zone and c.ratio is None]
    kinds = {c.key: c for c in sorted(found, key=lambda c: c.plane == plane)}
    return tuple(kinds.values())


def _layers(name: str, view: View, d: Drawn) -> list[Layer]:
    return [
        Layer(f"{name}-old", "S-BEAM-E", d.old, view),
        Layer(f"{name}-new", "S-BEAM-N", d.new, view),
        Layer(f"{name}-old-roof", "A-ROOF-E", d.panel, view),
        Layer(f"{name}-new-roof", "A-ROOF-N", d.cover, view),
        Layer(f"{name}-screws", "S-BEAM-N", d.screws, view),
        Layer(f"{name}-dims", "A-ANNO-DIMS", d.dims, view),
        Layer(f"{name}-words", "A-ANNO-TEXT", d.words),
    ]


def _view_title(text: str, at: tuple[float, float]) -> list[Item]:
    w = text_width(text, 15.0)
    return [Text(at, text, 15.0, 600), Line((at[0], at[1] + 6), (at[0] + w, at[1] + 6), "border")]


def _play(n: NewLine, sizes: Sizes) -> list[str]:
    out = list(n.notes)
    panel = sizes.panel
    if not n.post and panel is not None and panel.height_in is not None and panel.height_in + 0.4 > n.height:
        out.append(
            f'A rib {panel.height_in:g}" high leaves no web over a notch in a line {n.height:g}" high.'
        )
    if (
        n.post
        and panel is not None
        and panel.height_in is not None
        and n.bottom < panel.standoff_in + panel.height_in
    ):
        reach = panel.standoff_in + panel.height_in
        out.append(
            f'Old seams reach {reach:.2f}" over the purlin; the line begins at {n.bottom:.2f}" and meets them.'
        )
    return out


def _foot(
    f: Findings, survey: Survey, recover: Recover, sizes: Sizes, n: NewLine | None, y: float, width: float
) -> tuple[list[Item], float]:
    """Title block: old, new, assumed or not read, scale."""
    old: list[str] = [survey.old_panel.kind or "old panel, kind not read"]
    if sizes.blanket_in is not None:
        old.append(f'{sizes.blanket_in:g}" blanket draped over the purlins')
    if sizes.block:
        old.append(sizes.block)
    new = [panel_words(recover), clip_words(recover)]
    if recover.insulation is not None:
        new.append(f'{recover.insulation.thickness:g}" {recover.insulation.kind}')
    assumed = [*sizes.assumed, *(n.assumed if n else ())]
    cells = [
        ("Old", f"{'; '.join(old)}."),
        ("New", f"{'; '.join(new)}."),
        (
            "Not read",
            f"{listed(sizes.not_read)}: not drawn." if sizes.not_read else "Nothing that this drawing needs.",
        ),
        ("Assumed", f"{'; '.join(assumed)}." if assumed else "Nothing."),
        (
            "Scale",
            "Both views to one scale; use the bar. Not for ordering."
            + (" Invented example." if f.invented else ""),
        ),
    ]
    per = 5 if width >= 900 else 3
    items: list[Item] = [Line((0.0, y), (width, y), "border")]
    while cells:
        row, cells = cells[:per], cells[per:]
        w = width / len(row)
        tall = 0.0
        for k, (head, text) in enumerate(row):
            x = k * w + (12 if k else 0)
            items.append(Text((x, y + 20), head, 13.0, 400, colour="ink2"))
            if head == "Not read" and sizes.not_read:
                items.append(Mark((x + 7, y + 35.5), "unknown", 13.0))
            lines = wrapped(text, w - 26 - (18 if head == "Not read" and sizes.not_read else 0), 13.0)
            for j, line in enumerate(lines):
                dx = 18 if head == "Not read" and sizes.not_read else 0
                items.append(
                    Text(
                        (x + dx, y + 40 + 17 * j),
                        line,
                        13.0,
                        500,
                        assumed=head == "Assumed" and bool(assumed),
                    )
                )
            tall = max(tall, 40 + 17 * len(lines))
            if k:
                items.append(Line((k * w, y), (k * w, y + 36), "rule"))
        y += tall + 4
        if cells:
            items.append(Line((0.0, y), (width, y), "rule"))
    return items, y + 4


def _describe(
    line: str, zone: str, sizes: Sizes, n: NewLine | None, recover: Recover, check: Check | None
) -> str:
    text = f"Section at line {line}, zone {zone}."
    if sizes.panel is not None and sizes.region is not None:
        text += f" Old panel {sizes.panel.standoff_in:.2f} in over the purlin, mean of {sizes.region.count} readings."
    if n is not None:
        text += f" {n.name}, {n.height:g} in high; {clip_words(recover)}; {panel_words(recover)}."
    if check is not None:
        text += f" Screws: {check.what}, ratio {ratio_text(check.ratio)}, {check.state}."
    if sizes.not_read:
        text += f" Not read, not drawn: {listed(sizes.not_read)}."
    return text
