"""Old steel rows: what the purlins are asked before and after, and what was found wrong with them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.acting.inplane import in_plane
from secondroof.checks.model import Check, Need, OtherWay, Source, State, worst
from secondroof.findings.context import Context
from secondroof.findings.gravity import gravity
from secondroof.findings.purlin_rows import purlin_rows, sheet_rows
from secondroof.findings.words import said
from secondroof.formula import formula, recording
from secondroof.purlins.sections import LAP_DEPTHS
from secondroof.survey.statistics import clean, place_in_words

if TYPE_CHECKING:
    from secondroof.acting.gathered import Acting
    from secondroof.purlins.found import PurlinsFound
    from secondroof.purlins.ponding import PondingFound

Numeric = Any

#: Share of thickness lost past which an engineer is called; common practice, no source.
CALL_LOSS = 0.10
#: A loss smaller than this is scatter of the readings.
SCATTER_LOSS = 0.02
PRACTICE = "common practice, no source"
NEED_BOLTS = Need(
    "lap bolts at the frames: how many, loose or missing", "two lines at every frame, from below",
    "whether the laps carry the moment on",
)  # fmt: skip
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


def old_steel_rows(
    c: Context, acting: Acting, purlins: PurlinsFound | None, pond: PondingFound
) -> tuple[Check, ...]:
    """Rows of the old steel."""
    strength = (
        ()
        if purlins is None
        else (*purlin_rows(c, acting, purlins), *sheet_rows(purlins, in_plane(c.survey, c.roof, c.wind)))
    )
    rows = (
        gravity_row(c, acting, purlins),
        *strength,
        ponding_row(pond),
        *loss_rows(c),
        *lap_rows(c, purlins),
        *fault_rows(c),
    )
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


def gravity_row(c: Context, acting: Acting, purlins: PurlinsFound | None) -> Check:
    """Weight, live load and snow on the old purlins before and after, in one row; the lines follow row by row."""
    row = replace(
        _row("purlin gravity", "Old purlins under weight, live load and snow", "every line", "unknown", ""),
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
    carried = gravity(c, acting)
    if carried.snow_words:
        text += f" {carried.snow_words}"
    for e in carried.purlins:
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
    if purlins is None:
        text += " Their strength waits for the code edition in force."
        need = Need("building code edition in force, or the ASCE 7 edition", "the building official",
                    "what the old purlins carry", "estimator")  # fmt: skip
        return replace(
            row, sentence=said("unknown", text), demand=added, unit="psf", both_ways=ways, needs=(need,)
        )
    if not purlins.sections.lines or any(not p.lines for p in c.roof.planes):
        need = Need("purlin lines of every plane, taped from the eave", "each plane, at two frames",
                    "what the old purlins carry, and where the new lines go")  # fmt: skip
        text += " Not every plane has its purlin lines: nothing is said of those that were not taped."
        return replace(
            row, sentence=said("unknown", text), demand=added, unit="psf", both_ways=ways, needs=(need,)
        )
    now, was = purlins.down["after"], purlins.down["before"]
    state: State = worst(now.state.ravel().tolist())
    bays = now.ratio.size
    said_of = {s: int((now.state == s).sum()) for s in ("short", "unknown", "engineer", "holds")}
    words = {"short": "short", "unknown": "not known", "engineer": "for the engineer", "holds": "hold"}
    counted = ", ".join(f"{n} {words[s]}" for s, n in said_of.items() if n)
    text += f" Of {bays} bays of old line: {counted}."
    ratio = before = None
    if np.isfinite(now.ratio).any():
        i, j = np.unravel_index(int(np.nanargmax(now.ratio)), now.ratio.shape)
        ratio, before = float(now.ratio[i, j]), float(was.ratio[i, j])
        name = purlins.sections.lines[int(i)].name
        text += f" The fullest is line {name}, bay {int(j) + 1}: {before:.2f} of its strength today, "
        text += f"{ratio:.2f} with the recover."
    return replace(row, state=state, sentence=said(state, text), demand=added, unit="psf", both_ways=ways, ratio=ratio,
                   ratio_before=before)  # fmt: skip


def ponding_row(pond: PondingFound) -> Check:
    """Ponding: which bays the edition asks about, and whether the water runs away on the old purlins."""
    row = _row("ponding", "Ponding on the old roof", "bays asked about", pond.state, " ".join(pond.sentences),
               "ASCE 7 8.4; AISC 360 Appendix 2")  # fmt: skip
    return replace(
        row,
        steps=pond.steps,
        sources=pond.sources,
        needs=pond.needs,
        asked_why="water that stands on a roof is judged with every recover",
    )


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


def lap_rows(c: Context, purlins: PurlinsFound | None) -> tuple[Check, ...]:
    """Laps: long enough each side to carry the moment on, and bolted; what the lines were worked as."""
    depth = c.survey.purlins.depth
    if purlins is None or depth is None or not np.isfinite(purlins.lap_in).any():
        return ()
    need, low = LAP_DEPTHS * depth, float(np.nanmin(purlins.lap_in))
    own = np.array([line.member != "eave strut" for line in purlins.sections.lines])
    whole = bool(np.all(purlins.way[own] == "continuous"))
    bolts = c.survey.purlins.lap_bolts
    loose = bolts is not None and any(w in bolts.lower() for w in ("loose", "missing", "none", "no bolts"))
    state: State = "engineer" if not whole or loose else "unknown" if bolts is None else "holds"
    text = f"Shortest lap {low:g} in each side of the frame; full continuity asks 1.5 depths, {need:g} in. "
    text += (
        "The lines were worked as continuous"
        if whole
        else "Lines with a shorter or unread lap were worked as simple spans"
    )
    text += ". " + ("The lap bolts were not read." if bolts is None else f"Lap bolts: {bolts}.")
    needs = () if bolts is not None else (NEED_BOLTS,)
    row = _row(
        "laps", "Laps of the old purlins", "at the frames", state, text, "AISI S100-16 I6.2.1 (from memory)"
    )
    return (
        replace(row, demand=need, capacity=low, unit="in", ratio=need / low if low else None, needs=needs,
                asked_why="an old fact the engineer needs"),
    )  # fmt: skip


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
