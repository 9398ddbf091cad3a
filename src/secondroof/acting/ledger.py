"""Weight ledger: everything a recover adds, and the weights it is made from.

Where each weight lies, line by line, is said by :func:`secondroof.acting.dead.dead`; here it is spread over the roof.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from secondroof.checks.model import WeightItem
from secondroof.formula import formula
from secondroof.survey.proposals import BracketLine

if TYPE_CHECKING:
    from secondroof.roof.model import Roof
    from secondroof.survey.proposals import NewPanel, Recover

Numeric = Any

ALUMINIUM_OVER_STEEL = 169 / 490  # densities in lb/ft3


@formula(
    "D",
    unit="psf",
    clause="weight of steel 490 lb/ft3",
    checked="verified: 40.83 lb/ft2 for each inch of steel",
)
def panel_weight(t: Numeric, girth: Numeric, coverage: Numeric) -> Numeric:
    """Weight of a formed steel panel on the roof. [psf]

    Parameters
    ----------
    t : numeric
        Base thickness. [in]
    girth : numeric
        Width of flat sheet it is formed from. [in]
    coverage : numeric
        Width one panel covers. [in]
    """
    return 40.83 * t * girth / coverage


@formula(
    "m",
    unit="lb/ft",
    clause="weight of steel 490 lb/ft3",
    checked="verified: 3.403 lb/ft for each square inch of steel",
)
def member_weight(t: Numeric, width: Numeric) -> Numeric:
    """Weight of a formed member, one foot. Notches are not taken off. [lb/ft]

    Parameters
    ----------
    t : numeric
        Base thickness. [in]
    width : numeric
        Developed width. [in]
    """
    return 3.403 * t * width


def weight_ledger(recover: Recover, roof: Roof) -> tuple[WeightItem, ...]:
    """Added weights, one by one. [psf of roof along the slope]

    A part whose weight cannot be worked out from what is given is listed with a weight of NaN, so that the
    total is unknown and says so; nothing is left out silently.
    """
    panel, framing = recover.panel, recover.framing
    length = sum(roof.length_ft for _ in roof.lines)
    area = roof.area_ft2
    items = []
    psf = new_panel_psf(panel)
    if panel.weight is not None:
        items.append(WeightItem("new panel", psf, "stated for the panel", True))
    elif panel.girth is not None:
        how = f"{panel.thickness:.4f} in {panel.material}, {panel.girth:g} in of sheet on {panel.width:g} in"
        items.append(WeightItem("new panel", psf, how, True))
    else:
        items.append(WeightItem("new panel", psf, "neither its weight nor its sheet width is given", True))
    per_foot = float(member_weight(framing.thickness, framing.developed_width))
    items.append(
        WeightItem(
            "new lines",
            per_foot * length / area,
            f"{length:,.0f} ft at {per_foot:.2f} lb/ft: {framing.developed_width:g} in wide flat, notches left in",
            False,
        )
    )
    if isinstance(framing, BracketLine):
        count = bracket_count(roof, framing)
        items.append(
            WeightItem(
                "base brackets",
                count * framing.bracket_weight / area,
                f"{count:,} brackets of {framing.bracket_weight:g} lb, one each {framing.bracket_spacing:g} ft of line",
                False,
            )
        )
    clips = clip_count(roof, panel.width)
    if recover.clip.weight is not None:
        how = f"{clips:,} clips of {recover.clip.weight:g} lb, one at each panel seam on each line"
        items.append(WeightItem("clips and their screws", clips * recover.clip.weight / area, how, False))
    if recover.other_weight is not None:
        items.append(
            WeightItem(
                "clips, screws, closures, trim" if recover.clip.weight is None else "screws, closures, trim",
                recover.other_weight,
                "stated for the recover",
                False,
            )
        )
    elif recover.clip.weight is None:
        items.append(WeightItem("clips, screws, closures, trim", float("nan"), "not given", False))
    if recover.insulation is not None:
        ins = recover.insulation
        items.append(
            WeightItem(
                f"insulation, {ins.kind} {ins.thickness:g} in", ins.weight, "stated for the recover", False
            )
        )
    return tuple(items)


def new_panel_psf(panel: NewPanel) -> float:
    """Weight of the new panel: as stated, else from its sheet; NaN where neither is given. [psf]"""
    if panel.weight is not None:
        return float(panel.weight)
    if panel.girth is None:
        return float("nan")
    share = ALUMINIUM_OVER_STEEL if panel.material == "aluminium" else 1.0
    return float(panel_weight(panel.thickness, panel.girth, panel.width)) * share


def bracket_count(roof: Roof, framing: BracketLine) -> int:
    """Brackets on all lines, one at each end of a line counted."""
    return sum(int(roof.length_ft // framing.bracket_spacing) + 1 for _ in roof.lines)


def clip_count(roof: Roof, panel_width_in: float) -> int:
    """Clips: one at each panel seam on each line, rakes counted."""
    panels = -(-roof.length_ft * 12 // panel_width_in)
    return int(panels + 1) * len(roof.lines)
