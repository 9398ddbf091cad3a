"""The new line of a recover, as heights and widths a section can be drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.drawings.words import counted
from secondroof.recover.notched import NOTCH_PLAY_IN
from secondroof.units import feet_inches

if TYPE_CHECKING:
    from secondroof.drawings.sizes import OldPanel, Purlin
    from secondroof.survey.proposals import Recover

#: Base plate beyond its screw rows, each way [in]; assumed.
BASE_EDGE_IN = 0.5
#: Width of a bracket along the line, and of a clip [in]; assumed.
BRACKET_WIDTH_IN = 2.0
CLIP_BASE_IN = 2.0


@dataclass(frozen=True, slots=True)
class NewLine:
    """Heights over the top of the old purlin. [in]

    Attributes
    ----------
    bottom, top : float
        Underside and top of the line.
    pan : float
        Underside of the new pan, a clip above the line.
    flange : float
        Width of foot and of top flange: half of what the developed width leaves beside the web.
    post : float
        Height of the bracket the line stands on; 0 where it stands on the old panel.
    """

    name: str
    bottom: float
    top: float
    pan: float
    height: float
    t: float
    flange: float
    post: float
    base: float
    base_t: float
    spacing_in: float | None
    screws: int
    screw_d: float
    clip: float
    assumed: tuple[str, ...]
    notes: tuple[str, ...]


def new_line(recover: Recover, panel: OldPanel, purlin: Purlin | None, zone: str) -> NewLine:
    """Heights of the line over a purlin in one zone."""
    f = recover.framing
    rest = max(f.developed_width - f.height, 0.0)
    assumed = ["foot and top flange of the new line: halves of what its developed width leaves"]
    notes: list[str] = []
    if f.kind == "notched sub-purlin":
        bottom = panel.standoff_in + (panel.t_in or 0.0)
        count, post, base, base_t, spacing = f.screws_per_flat, 0.0, 0.0, 0.0, None
        name = "New notched line"
        if panel.height_in is not None and panel.base_in is not None:
            assumed.append(f'notch {NOTCH_PLAY_IN:g}" clear of the rib each way and over it')
    else:
        bottom = f.bracket_height
        count, post, base, base_t = (
            f.screws_per_bracket,
            f.bracket_height,
            f.bracket_base,
            f.bracket_thickness,
        )
        spacing = 12 * f.bracket_spacing
        name = "New line on base brackets"
        assumed.append("shape of the bracket beyond its height, base and thickness")
        if purlin is not None and base > purlin.top_in:
            notes.append(f'Screw rows {base:g}" apart do not both fall on a {purlin.top_in:g}" flange.')
    assumed += ["clip base", "screw lengths"]
    if recover.panel.kind == "standing seam":
        assumed.append("shape of the new seam")
    return NewLine(
        name=name,
        bottom=bottom,
        top=bottom + f.height,
        pan=bottom + f.height + recover.clip.height,
        height=f.height,
        t=f.thickness,
        flange=rest / 2,
        post=post,
        base=base,
        base_t=base_t,
        spacing_in=spacing,
        screws=count.by_zone.get(zone, count.other),
        screw_d=f.screw_diameter,
        clip=recover.clip.height,
        assumed=tuple(assumed),
        notes=tuple(notes),
    )


def screws_words(n: NewLine) -> str:
    """``Two screws in each flat``."""
    names = (
        "One",
        "Two",
        "Three",
        "Four",
        "Five",
        "Six",
        "Seven",
        "Eight",
        "Nine",
        "Ten",
        "Eleven",
        "Twelve",
    )
    words = names[n.screws - 1] if n.screws <= len(names) else str(n.screws)
    thing = "screw" if n.screws == 1 else "screws"
    where = "each flat" if n.spacing_in is None else f"each bracket, {feet_inches(n.spacing_in / 12)} apart"
    return f'{words} {n.screw_d:g}" {thing} in {where}'


def panel_words(recover: Recover) -> str:
    """The new panel in one line."""
    p = recover.panel
    return f'{p.thickness:.4f}" {p.material} {p.kind}, {p.width:g}" wide, {p.seam}'


def clip_words(recover: Recover) -> str:
    """The clip in one line."""
    c = recover.clip
    if c.kind == "none":
        return "no clip"
    return f'{c.kind} clip {c.height:g}" high, {counted(c.screws, "screw")} each'
