"""Old steel rows: what the purlins are asked before and after, and what was found wrong with them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from secondroof.checks.model import Check, Need, OtherWay, Source, State
from secondroof.findings.context import Context
from secondroof.findings.gravity import elements, gravity
from secondroof.findings.load_rows import pressure_sources
from secondroof.findings.words import amount, said
from secondroof.formula import formula, recording
from secondroof.loads import areas
from secondroof.recover import formulas as f
from secondroof.survey.statistics import clean, place_in_words

Numeric = Any

#: Share of thickness lost past which an engineer is called; common practice, no source.
CALL_LOSS = 0.10
#: A loss smaller than this is scatter of the readings.
SCATTER_LOSS = 0.02
PRACTICE = "common practice, no source"
NEED_WEIGHTS = Need(
    "weights missing in the ledger", "the recover's parts", "the 5 percent rule and the purlins", "estimator"
)


@formula("loss", unit="-", clause="thickness left over thickness when new", checked="definition")
def section_loss(t_now: Numeric, t_new: Numeric) -> Numeric:
    """Share of thickness lost. [-]

    Parameters
    ----------
    t_now : numeric
        Thinnest reading. [in]
    t_new : numeric
        Thickness when new. [in]
    """
    return 1 - t_now / t_new


def old_steel_rows(c: Context) -> tuple[Check, ...]:
    """Rows of the old steel."""
    rows = (*uplift_rows(c), gravity_row(c), *loss_rows(c), *lap_rows(c), *fault_rows(c))
    return tuple(replace(row, id=f"S-{i:02d}") for i, row in enumerate(rows, start=1))


def _row(key: str, what: str, where: str, state: State, text: str, clause: str = PRACTICE) -> Check:
    return Check(
        id="S",
        key=key,
        what=what,
        where=where,
        whose="was so",
        state=state,
        clause=clause,
        sentence=said(state, text),
        asked="not required",
        asked_why="an old fault: mend it, or have the engineer judge it, before the cover closes over it",
    )


def uplift_rows(c: Context) -> tuple[Check, ...]:
    """Uplift today's code puts on the old purlins; the same with or without the recover."""
    if c.wind is None:
        return ()
    rows = []
    bay = float(np.diff(c.roof.frames_ft).max())
    for zone in c.roof.zones:
        here = np.flatnonzero((c.strips.zone == zone) & (c.strips.line > 0))
        if not here.size:
            continue
        b = float(c.strips.width_ft[here].max())
        with recording() as recorder:
            area = float(areas.purlin_area(bay, b))
            p = float(c.wind.uplift(np.array(zone), area))
            w = float(f.line_uplift(p, b))
        text = (
            f"In zone {zone} today's wind asks {amount(w, 'lb/ft')} of an old purlin over a {bay:g} ft bay "
            f"({amount(p, 'psf')} at {area:.0f} ft2), before and after alike. "
            "What it carries in uplift is not worked out here."
        )
        row = _row(
            "purlin uplift",
            "Old purlins in uplift",
            f"zone {zone}",
            "engineer",
            text,
            "ASCE 7 chapter 30; AISI S100-16 I6.2",
        )
        rows.append(
            replace(
                row,
                demand=w,
                unit="lb/ft",
                zone=zone,
                steps=tuple(recorder.steps),
                asked_why="a recover adds no wind and takes no covering off; proving old purlins is advised",
                sources={
                    **pressure_sources(c, c.wind, c.wind.pressures(np.array(zone), area).figure),
                    "L": Source("longest bay, survey"),
                    "b": Source("half way to the next line each side, widest in the zone"),
                    "p": Source(f"zone {zone}, {c.enclosure.used}", c.enclosure.assumed),
                },
            )
        )
    return tuple(rows)


def gravity_row(c: Context) -> Check:
    """Gravity on the old purlins before and after, against what the drawings say where they say it."""
    row = replace(
        _row("purlin gravity", "Old purlins under weight, live load and snow", "every line", "engineer", ""),
        whose="made worse",
        clause="IEBC gravity rule; AISI S100-16 chapter F",
        asked="ask the official",
        asked_why="see the code path: the exception for a light second covering, or the 5 percent rule",
    )
    added, design = c.added_psf, c.survey.purlins.design_total
    if np.isnan(added):
        text = "The added weight is not complete; see the weight ledger."
        return replace(row, state="unknown", sentence=said("unknown", text), needs=(NEED_WEIGHTS,))
    text = f"The recover adds {added:.2f} psf to every purlin."
    for e in elements(c, gravity(c)):
        rise = f"from {e.before:.1f} to {e.after:.1f} psf"
        text += f" {e.name[:1].upper()}{e.name[1:]}: dead with the larger of live and snow goes {rise}."
    ways: tuple[OtherWay, ...] = ()
    if design is None:
        text += " What the purlins were designed for is not known."
    else:
        text += (
            f" The drawings give {design:g} psf in all; the addition is {100 * added / design:.1f} % of it."
        )
        ways = (
            OtherWay(f"added weight over the {design:g} psf of the drawings", added / design, "engineer"),
        )
    text += " Their strength is not worked out here; an engineer checks them before and after."
    return replace(row, sentence=said("engineer", text), demand=added, unit="psf", both_ways=ways)


def loss_rows(c: Context) -> tuple[Check, ...]:
    """Members thinned by rust, where the thickness when new is known."""
    rows: list[Check] = []
    for group in c.survey.purlins.thickness:
        nominal: float | None = group.nominal
        if nominal is None:
            continue
        used = [r.value for r in clean(group.readings).used] or [r.value for r in group.readings]
        with recording() as recorder:
            loss = float(section_loss(min(used), nominal))
        if loss < SCATTER_LOSS:
            continue
        called = loss > CALL_LOSS
        after = (
            "past a tenth an engineer is called; past a quarter it is usually replaced (common practice)"
            if called
            else "below the tenth at which an engineer is called (common practice)"
        )
        place = place_in_words(group)
        left = f"{min(used):.4f} in left of {nominal:.4f}, {100 * loss:.0f} % lost"
        text = f"{group.member.capitalize()}, {place}: {left}; {after}."
        row = _row(
            "section loss",
            f"{group.member.capitalize()} thinned by rust",
            place,
            "engineer" if called else "holds",
            text,
        )
        sources = {"t_now": Source("lowest reading"), "t_new": Source("nominal, as the survey gives it")}
        rows.append(
            replace(
                row,
                demand=loss,
                capacity=CALL_LOSS,
                unit="-",
                steps=tuple(recorder.steps),
                sources=sources,
                plane=group.plane,
            )
        )
    return tuple(rows)


def lap_rows(c: Context) -> tuple[Check, ...]:
    """Laps shorter than one and a half depths: such a line is not taken as continuous."""
    depth = c.survey.purlins.depth
    read = [r.value for g in c.survey.purlins.laps_each_side for r in g.readings]
    if not read or depth is None:
        return ()
    need, low = 1.5 * depth, min(read)
    state: State = "holds" if low >= need else "engineer"
    text = f"Shortest lap {low:g} in each side of the frame, " + (
        f"at least 1.5 depths ({need:g} in)."
        if state == "holds"
        else f"under 1.5 depths ({need:g} in): the line is taken as simple spans."
    )
    row = _row(
        "laps", "Laps of the old purlins", "at the frames", state, text, "AISI S100-16 I6.2.1 (from memory)"
    )
    return (
        replace(
            row,
            demand=need,
            capacity=low,
            unit="in",
            ratio=need / low,
            asked_why="an old fact the engineer needs",
        ),
    )


def fault_rows(c: Context) -> tuple[Check, ...]:
    """Braces cut or missing, loads hung from lips, wet insulation: repairs before the cover."""
    rows = []
    for fault in c.survey.bracing.faults:
        text = f"{fault[:1].upper()}{fault[1:].rstrip('.')}. Restore it before any new work; the engineer says how."
        rows.append(_row("bracing", "Bracing fault", fault, "engineer", text))
    for load in c.survey.hung_loads or ():
        if load.hangs_from == "purlin lip":
            text = f"{load.what} hangs from the lip of a purlin. A lip is not made for it: re-hang it, look at the lip."
            rows.append(_row("hung load", "Load hung from a purlin lip", load.what, "engineer", text))
    ins = c.survey.insulation
    if ins.spots_wet:
        share = (
            ins.wet_share
            if ins.wet_share is not None
            else ins.spots_wet / ins.spots_cut
            if ins.spots_cut
            else None
        )
        how_much = "" if share is None else f", {100 * share:.0f} % of the roof or of what was looked at"
        looked = f"{ins.spots_wet} of {ins.spots_cut} spots" if ins.spots_cut else f"{ins.spots_wet} spots"
        text = f"{looked} were wet{how_much}. Do not close over it: dry or take out, and find the source."
        rows.append(_row("wet insulation", "Wet insulation", "as found", "engineer", text))
    return tuple(rows)
