"""The roof plan: zones as areas, old lines by the state of what holds the new work to them, findings as flags."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.drawings import furniture, names, things, zones
from secondroof.drawings.bars import bar_items, line_pitch
from secondroof.drawings.lettering import text_width
from secondroof.drawings.place import Placer
from secondroof.drawings.scene import Item, Layer, Line, Polygon, Scene, Tag, Text, View
from secondroof.drawings.stretches import (
    Stretch,
    flags,
    lengths_by_state,
    stretch_lines,
    stretch_of,
    stretches,
)
from secondroof.drawings.words import listed, ratio_text, whole
from secondroof.findings.geometry import wall_facings
from secondroof.findings.words import not_in_colours
from secondroof.units import feet_inches

if TYPE_CHECKING:
    from secondroof.findings.model import Findings
    from secondroof.survey.models import Survey

#: Everything that can be switched; the page's key is the switch.
LAYERS = frozenset(
    {
        "title",
        "zones",
        "dims",
        "frames",
        "names",
        "lines",
        "ratios",
        "openings",
        "hung",
        "walls",
        "key",
        "notes",
    }
)
QUESTION = "Do the new lines hold to the old purlins?"
MOST_HEIGHT = 0.8


#: Room at the left for the north arrow beside the circle of frame 1.
ARROW_ROOM_PX = 58.0


@dataclass(frozen=True, slots=True)
class Room:
    """Where the plan lies on its sheet. [px]"""

    view: View
    top: float
    left: float
    right: float
    bottom: float
    frames_y: float
    chain_y: float
    chain_x: float
    bars: tuple[float, float] | None


def roof_plan(
    findings: Findings,
    survey: Survey,
    *,
    show: frozenset[str] = LAYERS,
    highlight: str | None = None,
    width_px: float = 1080.0,
    bars: bool = False,
    most_height_px: float | None = None,
) -> Scene:
    """Plan of the roof with its zones, lines, frames, openings and ratios.

    Parameters
    ----------
    findings : Findings
        Of one recover.
    survey : Survey
        Where openings, hung loads and the compass come from.
    show : frozenset of str
        Layers drawn, of ``LAYERS``.
    highlight : str, optional
        Card number of the one thing open now: marked in yellow.
    width_px : float
        Width of the sheet. [1/96 in]
    bars : bool
        Put the worst on each line at the right, level with the lines.
    most_height_px : float, optional
        Most height of the plan itself; left out, 0.8 of the width.

    Returns
    -------
    Scene
        Model in feet; ``x`` along the ridge from frame 1, ``y`` up from the first plane's eave.
    """
    roof = findings.roof
    rows = stretches(findings)
    check = next((c for c in findings.checks if c.id == highlight), None) if highlight else None
    marked = stretch_of(rows, check)
    head: tuple[Item, ...] = ()
    y = 6.0
    if "title" in show:
        head, y = furniture.title(QUESTION, _under_title(findings), width_px)
    facings = wall_facings(survey)
    walls = things.wall_notes(survey, facings, roof) if "walls" in show else {}
    room = _room(findings, show, width_px, y, bars, most_height_px, walls, facings)
    view = room.view
    placer = Placer((room.left + 1, room.top + 1, room.right - 1, room.bottom - 1))
    layers: list[Layer] = []

    def add(name: str, cad: str, items: tuple[Item, ...], model: bool = False) -> None:
        if items:
            layers.append(Layer(name, cad, items, view if model else None))

    outline = ((0.0, 0.0), (roof.length_ft, 0.0), (roof.length_ft, roof.width_ft), (0.0, roof.width_ft))
    if "zones" in show:
        add("zones", "A-ROOF-ZONE", zones.zone_areas(roof), True)
    if marked is not None:
        add("stripe", "A-ANNO-SYMB", _stripe(room, marked))
    if "frames" in show:
        centre, circles = names.frame_names(roof, view, room.frames_y)
        add("frames", "S-GRID", centre, True)
        add("frame-names", "S-GRID", circles)
    if "zones" in show:
        add("zone-borders", "A-ROOF-ZONE", zones.zone_borders(roof), True)
    add(
        "outline",
        "A-ROOF-OTLN",
        (Polygon((outline,), style="outline", tag=Tag(title="Outline of the roof")),),
        True,
    )
    pitch = line_pitch(findings, view.scale_px)
    if "lines" in show:
        add("lines", "S-BEAM-E", stretch_lines(rows, view, roof.frames_ft, pitch), True)
    not_taped: list[str] = []
    drawn_labels: list[Item] = []
    for layer, source, cad in (
        ("openings", things.roof_items, "A-ROOF-OPNG"),
        ("hung", things.hung_loads, "S-BEAM-E"),
    ):
        if layer in show:
            drawn, labels, rest = source(survey, roof, view, placer)
            add(layer, cad, drawn, True)
            drawn_labels += labels
            not_taped += rest
    if len(roof.planes) > 1:
        ridge = roof.planes[0].y_top_ft
        line = Line(
            (-8 / view.scale_px, ridge),
            (roof.length_ft + 8 / view.scale_px, ridge),
            "ridge",
            Tag(title="Ridge"),
        )
        add("ridge", "A-ROOF-OTLN", (line,), True)
    if marked is not None:
        add("marked", "A-ANNO-SYMB", _box(view, marked), True)
    if "dims" in show:
        add("dims", "A-ANNO-DIMS", zones.border_dimensions(roof, view, room.chain_y, room.chain_x), True)
    if "names" in show:
        add(
            "names",
            "A-ANNO-TEXT",
            names.line_names(roof, view, room.left - 14 - names.names_width(roof, view.scale_px))[0],
        )
    flagged = flags(rows, view, placer, roof, marked) if "ratios" in show else ()
    foot = room.bottom + (28 if facings[0] in walls else 14)
    if "zones" in show:
        plates, used = zones.plates(roof, findings.zones, view, placer, foot + 8)
        add("plates", "A-ANNO-TEXT", plates)
        foot += 18 * used
    add("labels", "A-ANNO-TEXT", tuple(drawn_labels))
    add("flags", "A-ANNO-SYMB", flagged)
    if walls:
        add("walls", "A-ANNO-TEXT", _wall_items(walls, facings, room))
    add(
        "north",
        "A-ANNO-SYMB",
        furniture.north_arrow(
            (max(16.0, room.left - 62), room.frames_y - 14), survey.building.first_plane_faces
        ),
    )
    if room.bars is not None:
        add("bars", "A-ANNO-SYMB", bar_items(findings, view, room.bars[0], room.bars[1], pitch, marked))
    add("title", "A-ANNO-TTLB", head)
    foot_items, height = _foot(findings, survey, show, foot, width_px, view, rows, not_taped)
    add("key", "A-ANNO-TTLB", foot_items)
    return Scene(
        name="plan",
        title=f"{findings.job}: {QUESTION}",
        desc=describe(findings, rows),
        width_px=width_px,
        height_px=height,
        layers=tuple(layers),
        notes=tuple(not_taped),
    )


def _under_title(f: Findings) -> str:
    roof = f.roof
    by = "" if roof.zone_edition.startswith("not") else f"; zones by ASCE {roof.zone_edition}"
    invented = " Invented example." if f.invented else ""
    return (
        f"{f.job}. Recover {f.recover}, {f.recover_title}. {feet_inches(roof.length_ft, 1)} along the ridge by "
        f"{feet_inches(roof.width_ft, 1)}{by}.{invented}"
    )


def _room(
    f: Findings,
    show: frozenset[str],
    width: float,
    y: float,
    bars: bool,
    most: float | None,
    walls: dict[str, tuple[str, ...]],
    facings: tuple[str, str, str, str],
) -> Room:
    """Margins round the plan, and the largest scale that fits."""
    roof = f.roof
    left = 10.0 + (14 + names.names_width(roof, 1e3) if "names" in show else 0.0)
    left += 18 if facings[2] in walls else 0
    left = max(left, ARROW_ROOM_PX)
    right = 12.0 + (70 if "dims" in show and len(zones.border_places(roof, 1)) > 2 else 0)
    right += 20 if facings[3] in walls else 0
    bars_w = min(300.0, max(190.0, 0.22 * width)) if bars else 0.0
    right += bars_w + (18 if bars else 0)
    height = most or MOST_HEIGHT * width
    scale = min((width - left - right) / roof.length_ft, height / roof.width_ft)
    top = y + (14 if bars or "frames" in show else 4)
    chain_y = top
    if "dims" in show:
        rows = zones.top_rows(roof, scale)
        top += 15 * rows + 8 if rows else 0
        chain_y = top
        top += 14 if rows else 10
    frames_y = top + 12
    if "frames" in show:
        top += 34
    elif bars:
        top += 10
    top = max(top, y + 74 if bars else top)
    if facings[1] in walls:
        top += 16
    view = View("plan", "ft", scale, (left, top + roof.width_ft * scale))
    x1, y1 = left + roof.length_ft * scale, top + roof.width_ft * scale
    chain_x = x1 + 16
    side = x1 + right - bars_w - (18 if bars else 0)
    return Room(
        view,
        top,
        left,
        x1,
        y1,
        frames_y,
        chain_y,
        chain_x,
        (side + 14, min(side + 14 + bars_w, width)) if bars else None,
    )


def _stripe(room: Room, r: Stretch) -> tuple[Item, ...]:
    """The yellow stripe of the thing open now, from its stretch to the bars or the edge of the plan."""
    x0, y = room.view.px((r.x0_ft, r.y_ft))
    end = room.bars[1] if room.bars is not None else room.right
    ring = ((x0, y - 7), (end, y - 7), (end, y + 7), (x0, y + 7))
    return (
        Polygon((ring,), fill="marker", tag=Tag(id="open", title=f"Open now: line {r.name}, zone {r.zone}")),
    )


def _box(view: View, r: Stretch) -> tuple[Item, ...]:
    d = 7 / view.scale_px
    ring = ((r.x0_ft, r.y_ft - d), (r.x1_ft, r.y_ft - d), (r.x1_ft, r.y_ft + d), (r.x0_ft, r.y_ft + d))
    return (Polygon((ring,), style="marked"),)


def _wall_items(
    walls: dict[str, tuple[str, ...]], facings: tuple[str, str, str, str], room: Room
) -> tuple[Item, ...]:
    items: list[Item] = []
    across, up = room.right - room.left, room.bottom - room.top
    cx, cy = (room.left + room.right) / 2, (room.top + room.bottom) / 2
    places = (
        (facings[0], across, (cx, room.bottom + 21), 0.0),
        (facings[1], across, (cx, room.top - 8), 0.0),
        (facings[2], up, (10.0, cy), -90.0),
        (facings[3], up, (room.right + (88 if room.chain_x else 20), cy), -90.0),
    )
    for wall, length, at, turn in places:
        if wall in walls:
            text = next((t for t in walls[wall] if text_width(t, 12.5) <= length + 40), walls[wall][-1])
            items.append(Text(at, text, 12.5, 400, "middle", "ink2", rotate=turn, halo=True))
    return tuple(items)


def _foot(
    f: Findings,
    survey: Survey,
    show: frozenset[str],
    y: float,
    width: float,
    view: View,
    rows: tuple[Stretch, ...],
    not_taped: list[str],
) -> tuple[tuple[Item, ...], float]:
    """Key with feet of line, scale bar, and what is not drawn."""
    items: list[Item] = []
    lengths = lengths_by_state(rows)
    bar, bar_w = furniture.scale_bar((0.0, 0.0), view.scale_px, "ft")
    y += 28
    if "key" in show:
        beside = furniture.key_width(lengths) + 40 + bar_w <= width
        if not beside:
            bar, _ = furniture.scale_bar((0.0, y - 8), view.scale_px, "ft")
            items += bar
            y += 28
        key, y = furniture.key_of_states((0.0, y), lengths, width)
        items += key
        if beside:
            items += furniture.scale_bar((width - bar_w - 4, y - 9), view.scale_px, "ft")[0]
        y += 14
    else:
        items += furniture.scale_bar((0.0, y - 8), view.scale_px, "ft")[0]
        y += 14
    if "notes" in show:
        items.append(Line((0.0, y - 4), (width, y - 4), "rule"))
        done, y = furniture.notes((0.0, y + 16), note_lines(f, survey, not_taped), width)
        items += done
    return tuple(items), y + 4


def note_lines(f: Findings, survey: Survey, not_taped: list[str]) -> list[tuple[str, str]]:
    """Title block of the plan: what is not drawn and why, and what the drawing stands on."""
    out: list[tuple[str, str]] = []
    if not_taped:
        out.append(("Place not taped, not drawn:", listed(not_taped) + "."))
    if survey.roof_items is None:
        out.append(("Not read:", "skylights, curbs, pipes and vents on the roof; none is drawn."))
    if survey.hung_loads is None:
        out.append(("Not read:", "what hangs from the roof; nothing is drawn."))
    bracing = things.bracing_words(survey)
    out.append(("Bracing, not drawn:", f"{bracing}." if bracing else "not read."))
    if left_out := not_in_colours(f):
        out.append(("Colours:", left_out))
    if f.roof.zone_edition.startswith("not"):
        out.append(("Wind zones not known:", "the wind edition in force is not given, so no zone is drawn."))
    else:
        out.append(
            (
                "Pressures:",
                "uplift on the new panel, allowable stress level. Distances up the roof run along the slope.",
            )
        )
    return out


def describe(f: Findings, rows: tuple[Stretch, ...]) -> str:
    """The drawing in words."""
    lengths = lengths_by_state(rows)
    told = listed(f"{whole(lengths[s])} ft {s}" for s in furniture.KEY_ORDER if lengths[s] > 0)
    worst = max(rows, key=lambda r: r.badness, default=None)
    text = f"Roof plan of {f.job}, {len(f.roof.lines)} lines, {len(f.roof.frames_ft)} frames."
    text += f" Of the lines {told or 'none is judged'}."
    if worst is not None:
        ratio = (
            f", ratio {ratio_text(worst.ratio)}"
            if worst.ratio is not None and worst.state != "unknown"
            else ""
        )
        text += f" Worst: line {worst.name}, zone {worst.zone}, {worst.state}{ratio}."
    return text
