"""Ponding of one roof: which bays an edition asks about, whether water rests on the old purlins, metal or membrane.

Water is looked at line by line over the purlins that are there. Frames are taken as stiff, since their sizes are seldom
read: what the frames may give is told beside it, for the engineer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.rain import held_planes
from secondroof.acting.where import bay_count, bay_length, in_words, plan_width_ft
from secondroof.checks.model import Need, Source
from secondroof.formula import recording
from secondroof.lines.ponding import SUM_LIMIT, flexibility_sum, secondary_flexibility
from secondroof.loads.live import ponding_susceptible
from secondroof.purlins.restraint import restraint
from secondroof.purlins.sections import line_sections
from secondroof.purlins.water import (
    DECIDES,
    LineWater,
    Softest,
    Work,
    bay_slope_in12,
    compare,
    water_on_lines,
)
from secondroof.purlins.waterstrength import strength_sources, worked_alone, worse

if TYPE_CHECKING:
    from secondroof.checks.model import State
    from secondroof.formula import Step
    from secondroof.lines.membrane import MetalAgainstMembrane
    from secondroof.loads.live import Ponding
    from secondroof.purlins.sections import LineSections
    from secondroof.purlins.waterstrength import WetBending
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

SOURCES: Mapping[str, Source] = {
    "S": Source("width of roof the purlin carries, on plan"),
    "L_s": Source("bay length"),
    "I_s": Source("gross section from its measured size"),
    "C_p": Source("frames not read: 0 shows what is left for them", assumed=True),
}

#: Letters that stand for two things once the strength of a purlin is on the card.
TWICE: Mapping[str, Source] = {
    "S": Source(
        "in C_s the width of roof the purlin carries, on plan; in the lip's width a slenderness, by its step"
    ),
    "I_s": Source(
        "in C_s gross section from its measured size; in the lip's width that of the lip, by its step"
    ),
}


@dataclass(frozen=True, slots=True)
class BayAsked:
    """One bay of one plane, and whether the edition asks for a ponding check there.

    Attributes
    ----------
    plane, bay : str, int
        Bay counted from 1.
    slope_in12 : float
        Least slope there, sag counted.
    asked : Ponding
        The edition's answer with its reason and clause.
    """

    plane: str
    bay: int
    slope_in12: float
    asked: Ponding


@dataclass(frozen=True, slots=True, eq=False)
class PondingFound:
    """What was found about ponding.

    Attributes
    ----------
    state : State
        ``holds`` where no bay is asked about; ``short`` where water runs away on the purlins alone, or bends one past
        its strength before it comes to rest; ``engineer`` where it rests on the purlins and the frames are to be
        looked at; ``unknown`` where something is missing.
    bays : tuple of BayAsked
        Every bay of every plane.
    C_s : mapping of plane to float
        Greatest flexibility of a purlin on the plane; planes without known sections left out. [-]
    lines : tuple of LineWater
        Lines that water reaches.
    comparison : MetalAgainstMembrane or None
        The most flexible purlin line under metal and under a membrane; ``compared`` names it.
    ponding_head_in : mapping of plane to float
        Largest rise of water by deflection on each plane, for the rain load of ASCE 7-22; infinite where it runs away
        or bends a purlin past its strength. [in]
    bends : WetBending or None
        The worst place of all lines under dead load, snow and the water at rest, with its ratio; ``bends_on`` names
        the line. None where no water rests on a purlin.
    sentences, steps, sources, needs, assumed, clause, checked : the card
    """

    state: State
    bays: tuple[BayAsked, ...]
    C_s: Mapping[str, float]
    lines: tuple[LineWater, ...]
    comparison: MetalAgainstMembrane | None
    compared: str
    ponding_head_in: Mapping[str, float]
    sentences: tuple[str, ...]
    steps: tuple[Step, ...]
    sources: Mapping[str, Source]
    needs: tuple[Need, ...]
    assumed: tuple[str, ...]
    clause: str
    checked: str
    bends: WetBending | None = None
    bends_on: str = ""

    @property
    def ratio(self) -> float | None:
        """Moment at the worst place over what is allowed there; None where not known or no water rests. [-]"""
        return None if self.bends is None or np.isnan(self.bends.ratio) else self.bends.ratio

    @property
    def susceptible(self) -> tuple[BayAsked, ...]:
        """Bays the edition asks about."""
        return tuple(b for b in self.bays if b.asked.susceptible)


def bays_asked(survey: Survey, roof: Roof, edition: str) -> tuple[BayAsked, ...]:
    """Every bay of every plane, and whether an edition asks for a ponding check there."""
    held = {p.name for p in held_planes(survey, roof)}
    stands = survey.edges.water_stands is True
    out = []
    for plane in roof.planes:
        gaps = np.diff([line.s_ft for line in plane.lines])
        least_gap = float(gaps.min()) if gaps.size else plane.slope_length_ft
        for bay in range(1, bay_count(roof) + 1):
            slope = bay_slope_in12(survey, plane, bay)
            asked = ponding_susceptible(
                edition,
                max(slope, 0.0),
                purlins_parallel_to_eave=True,
                free_drainage=plane.name not in held,
                span_over_spacing=bay_length(roof, bay) / least_gap,
                impounded=stands or slope <= 0,
            )
            out.append(BayAsked(plane.name, bay, slope, asked))
    return tuple(out)


def ponding(
    survey: Survey,
    recover: Recover,
    roof: Roof,
    edition: str | None,
    *,
    found: LineSections | None = None,
    snow_psf: float = 0.0,
) -> PondingFound:
    """Ponding of one roof with the recover on it.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Edition of ASCE 7; None where not known.
    found : LineSections, optional
        Sections of the old purlins, where they are at hand.
    snow_psf : float
        Snow on plan that lies there while it rains; its deflection holds water too. [psf]
    """
    sections = line_sections(survey, roof) if found is None else found
    needs: list[Need] = []
    assumed = ["frames that do not sink", "dead load even along each line"]
    said: list[str] = []
    bays: tuple[BayAsked, ...] = ()
    if edition is None:
        what = "edition of ASCE 7 in force"
        needs.append(Need(what, "the building official", "which bays ponding is asked about", "estimator"))
        said.append("Which bays ponding is asked about is not known: the edition of ASCE 7 is missing.")
    else:
        bays = bays_asked(survey, roof, edition)
        said += _asked_words(bays, edition, bay_count(roof))
    drainage_known = survey.edges.drainage is not None
    if not drainage_known:
        what = "where water leaves the roof: over the eaves, or inside gutters or behind parapets"
        needs.append(Need(what, "walk the edge", DECIDES))
    if not survey.slope_readings:
        what = "slope of the roof at eave, middle and ridge, sag at mid-bay"
        needs.append(Need(what, "digital level on the pan", DECIDES))
    C_s, softest = _flexible(roof, sections)
    lines: tuple[LineWater, ...] = ()
    comparison, compared = None, ""
    bends: WetBending | None = None
    bends_on, sources = "", SOURCES
    work = None if softest is None else Work.of(survey, recover, roof, sections, snow_psf)
    with recording() as r:
        if softest is None or work is None:
            needs += [n for n in sections.needs if n not in needs]
            said.append("Sections of the old purlins are not known, so water on them was not followed.")
        else:
            said.append(_flexible_words(roof, sections, softest))
            lines, more = water_on_lines(survey, work, needs, drainage_known)
            said += more
            bends, bends_on = _bends(lines)
            if bends is not None and np.isfinite(bends.ratio):
                worked_alone(sections, bends)
                sources = {**SOURCES, **strength_sources(sections, bends), **TWICE}
            comparison, compared, more = compare(survey, recover, work, softest, needs)
            said += more
    asked = any(b.asked.susceptible for b in bays)
    runs = any(not w.water.settles or w.past for w in lines)
    open_ = [w.name for w in lines if w.bends is not None and w.bends.state == "unknown"]
    if open_:
        needs += [n for n in _strength_needs(survey, recover, sections) if n not in needs]
    heads_known = not any(n.what.startswith(("static head", "hydraulic head")) for n in needs)
    followed = softest is not None and drainage_known and heads_known
    known = followed and not open_ and bool(np.all(np.isfinite(sections.Ix_in4)))
    state = _state(edition, asked, runs, known, survey)
    if asked:
        needs.append(
            Need(
                "section and span of the frame rafters",
                "frame drawings, or depth, flanges and web read at the frames",
                "how far frames sink under water: ponding of the whole bay",
                "engineer",
            )
        )
    if snow_psf == 0 and (survey.ground_rules.ground_snow or 0) > 0:
        assumed.append("no snow lying while it rains")
    heads = {p.name: _head(lines, p.name) for p in roof.planes} if followed else {}
    unsure = [b.asked.checked for b in bays if b.asked.checked.startswith("from memory")]
    return PondingFound(
        state,
        bays,
        C_s,
        lines,
        comparison,
        compared,
        heads,
        tuple(said),
        tuple(r.steps),
        sources,
        tuple(needs),
        tuple(assumed),
        bays[0].asked.clause if bays else "ASCE 7 chapter 8",
        unsure[0] if unsure else bays[0].asked.checked if bays else "from memory",
        bends,
        bends_on,
    )


def _head(lines: tuple[LineWater, ...], plane: str) -> float:
    return max([np.inf if w.past else w.head_in for w in lines if w.plane == plane], default=0.0)


def _bends(lines: tuple[LineWater, ...]) -> tuple[WetBending | None, str]:
    """The worst place of all lines, and the name of its line."""
    found = [w.bends for w in lines if w.bends is not None]
    bends = worse(found)
    return bends, next((w.name for w in lines if w.bends is bends and bends is not None), "")


def _strength_needs(survey: Survey, recover: Recover, sections: LineSections) -> tuple[Need, ...]:
    """What would tell the strength of the purlins under the water."""
    held = (n for r in restraint(survey, recover) for n in r.needs if r.braces_after == "unknown")
    return (*sections.needs, *held)


def _state(edition: str | None, asked: bool, runs: bool, known: bool, survey: Survey) -> State:
    if runs:
        return "short"
    if edition is None or survey.edges.drainage is None:
        return "unknown"
    if not asked:
        return "holds" if survey.slope_readings else "unknown"
    return "engineer" if known else "unknown"


def _asked_words(bays: tuple[BayAsked, ...], edition: str, count: int) -> list[str]:
    said = []
    for plane in dict.fromkeys(b.plane for b in bays):
        rows = [b for b in bays if b.plane == plane]
        for reason in dict.fromkeys(b.asked.reason for b in rows if b.asked.susceptible):
            at = [b.bay for b in rows if b.asked.susceptible and b.asked.reason == reason]
            which = "every bay" if len(at) == count else f"bay{'s' if len(at) > 1 else ''} {in_words(at)}"
            said.append(f"ASCE {edition} asks about ponding on the {plane} slope in {which}: {reason}")
        if not any(b.asked.susceptible for b in rows):
            said.append(
                f"ASCE {edition} asks nothing about ponding on the {plane} slope. {rows[0].asked.reason}"
            )
    return said


# How flexible the purlins are --------------------------------------------------------------------------------


def _flexible(roof: Roof, sections: LineSections) -> tuple[dict[str, float], Softest | None]:
    """Greatest C_s by plane, and the softest purlin of the roof, each taken as a simple span."""
    planes = {p.name: p for p in roof.planes}
    S = np.array([plan_width_ft(line, planes[line.plane]) for line in sections.lines])
    L = np.diff(np.asarray(roof.frames_ft))
    C = np.asarray(secondary_flexibility(S[:, None], L[None, :], sections.Ix_in4))
    by_plane: dict[str, float] = {}
    if not np.any(np.isfinite(C)):
        return by_plane, None
    for name in planes:
        own = C[[line.plane == name for line in sections.lines]]
        if np.any(np.isfinite(own)):
            by_plane[name] = float(np.nanmax(own))
    row, bay = (int(v) for v in np.unravel_index(int(np.nanargmax(C)), C.shape))
    return by_plane, Softest(sections.lines[row], row, bay + 1, float(C[row, bay]))


def _flexible_words(roof: Roof, sections: LineSections, softest: Softest) -> str:
    """Work the softest purlin again for the card, and say what is left for the frames."""
    line, bay = softest.line, softest.bay
    plane = next(p for p in roof.planes if p.name == line.plane)
    I = float(sections.Ix_in4[softest.row, bay - 1])
    C_s = float(secondary_flexibility(plan_width_ft(line, plane), bay_length(roof, bay), I))
    room = SUM_LIMIT - float(flexibility_sum(0.0, C_s))
    lead = f"Purlin {line.name} in bay {bay} is the softest: C_s is {C_s:.3f}, taken as a simple span."
    if room <= 0:
        return f"{lead} 0.9 C_s alone is over {SUM_LIMIT:g}, so the water itself has to be followed."
    return f"{lead} With frames of C_p up to {room:.3f} the two-way criterion asks no further look."
