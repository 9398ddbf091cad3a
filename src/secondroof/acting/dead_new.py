"""Dead load of what a recover adds, where it lies: the panel over the roof, lines and clips along the old purlins."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from secondroof.acting.dead_steel import DEAD_CLAUSE
from secondroof.acting.ledger import bracket_count, clip_count, member_weight, new_panel_psf
from secondroof.acting.model import Along, Case, Part
from secondroof.acting.where import weight_step, whole_plane
from secondroof.checks.model import Need, Source
from secondroof.formula import formula, recording
from secondroof.survey.proposals import BracketLine

if TYPE_CHECKING:
    from secondroof.acting.model import Patch
    from secondroof.roof.model import Roof
    from secondroof.survey.proposals import Recover

Numeric = Any


@formula("w", unit="lb/ft", clause="pieces along a line, spread evenly", checked="definition")
def pieces_along(n: Numeric, W: Numeric, L: Numeric) -> Numeric:
    """Weight of equal pieces spread along the lines they stand on. [lb/ft]

    Parameters
    ----------
    n : numeric
        Pieces. [-]
    W : numeric
        Weight of one. [lb]
    L : numeric
        Length of the lines. [ft]
    """
    return n * W / L


def new_part(recover: Recover, roof: Roof) -> Part:
    """Cases of the new panel with its lines (sure), and of insulation and small parts (not sure)."""
    framing, clip = recover.framing, recover.clip
    length = roof.length_ft * len(roof.lines)
    needs: list[Need] = []
    with recording() as r:
        panel = new_panel_psf(recover.panel)
        per_foot = float(member_weight(framing.thickness, framing.developed_width))
        said = [f"lines {per_foot:.2f} lb/ft on every old line"]
        if isinstance(framing, BracketLine) and length:
            brackets = float(pieces_along(bracket_count(roof, framing), framing.bracket_weight, length))
            per_foot += brackets
            said.append(f"brackets {brackets:.2f} lb/ft")
        if clip.weight is not None and length:
            clips = float(pieces_along(clip_count(roof, recover.panel.width), clip.weight, length))
            per_foot += clips
            said.append(f"clips {clips:.2f} lb/ft")
    patches: tuple[Patch, ...] = ()
    if math.isnan(panel):
        needs.append(Need("weight of the new panel", "its maker's sheet, or the width of flat sheet it is formed from",
                          "gravity with the recover, and uplift; not counted until then", "estimator"))  # fmt: skip
        said.insert(0, "the panel's weight is not known and not counted")
    else:
        patches = tuple(whole_plane(roof, p, panel) for p in roof.planes)
        said.insert(0, f"panel {panel:.2f} psf")
    along = tuple(
        Along(line.plane, line.index, 0.0, roof.length_ft, per_foot, per_foot, "new line")
        for line in roof.lines
    )
    cases = [
        Case(
            "dead.new",
            "D",
            "after",
            "new panel and lines",
            f"The recover brings {', '.join(said)}. It is there as long as the new roof is, "
            "so it counts against uplift.",
            DEAD_CLAUSE,
            patches,
            along,
            per="slope",
            sure=True,
            checked="verified: 490 lb/ft3",
            steps=tuple(r.steps),
            sources={k: Source("stated for the recover") for k in ("t", "width", "girth", "coverage", "W")}
            | {"n": Source("counted on every line"), "L": Source("length of all lines")},
            assumed="notches of the lines are not taken off" if framing.kind == "notched sub-purlin" else "",
        )
    ]
    loose = []
    if recover.insulation is not None:
        loose.append(("insulation", float(recover.insulation.weight)))
    if recover.other_weight is not None:
        loose.append(("screws, closures and trim", float(recover.other_weight)))
    elif clip.weight is None:
        needs.append(Need("weight of clips, screws, closures and trim",
                          "the recover: other_weight, or the clip's own weight",
                          "gravity with the recover; not counted until then", "estimator"))  # fmt: skip
    patches_loose = tuple(whole_plane(roof, p, psf) for _, psf in loose for p in roof.planes if psf > 0)
    if patches_loose:
        words = " and ".join(f"{what} {psf:.2f} psf" for what, psf in loose)
        cases.append(
            Case(
                "dead.new.unsure",
                "D",
                "after",
                "new insulation and small parts",
                f"The recover also brings {words}; not counted against uplift.",
                DEAD_CLAUSE,
                patches_loose,
                per="slope",
                steps=weight_step(
                    roof,
                    "Insulation and small parts",
                    {what: (psf, "psf") for what, psf in loose},
                    patches_loose,
                    (),
                    "slope",
                ),
                checked="definition: stated for the recover",
                sources={what: Source("stated for the recover") for what, _ in loose},
            )
        )
    return Part(tuple(cases), tuple(needs))
