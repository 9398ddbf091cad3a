"""Old roof and old steel: does the framing suit the old roof, what the purlins were and are asked, what was found."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import Check, Need, OtherWay, Source, State, state_of
from secondroof.findings.context import Context
from secondroof.findings.words import amount, said
from secondroof.formula import formula, recording
from secondroof.loads import areas
from secondroof.recover import formulas as f
from secondroof.recover.notched import NOTCH_PLAY_IN
from secondroof.survey.statistics import clean, run_out

if TYPE_CHECKING:
    from secondroof.survey.fields import ThicknessGroup

#: Loss of thickness past which an engineer is called, and past which a member is usually replaced; common practice.
CALL_LOSS, REPLACE_LOSS = 0.10, 0.25
#: Shear taken to show how a bare screw bends over a gap where no drag is given [lb]; common practice, no source.
SHOWN_DRAG_LB = 100.0

Numeric = Any


@formula("loss", unit="-", clause="thickness left over thickness new", checked="definition")
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


def old_rows(c: Context) -> tuple[Check, ...]:
    """Rows of the old roof and its steel."""
    rows = [
        fits_old_roof(c),
        *rib_fit(c),
        *purlin_uplift(c),
        *purlin_gravity(c),
        *losses(c),
        *laps(c),
        *found_faults(c),
    ]
    count: dict[str, int] = {}
    out = []
    for row in rows:
        count[row.id] = count.get(row.id, 0) + 1
        out.append(_numbered(row, count[row.id]))
    return tuple(out)


def _numbered(row: Check, n: int) -> Check:
    return replace(row, id=f"{row.id}-{n:02d}")


def fits_old_roof(c: Context) -> Check:
    """Whether the framing kind may stand on this old roof."""
    kind = c.recover.framing.kind
    old = c.old_roof
    common = {
        "id": "R",
        "key": "framing kind",
        "what": "Framing kind on this old roof",
        "where": "whole roof",
        "whose": "new",
        "clause": "common practice, no source",
        "asked_why": "hold-down must reach the old purlin",
    }
    if old.kind == "unknown":
        need = Need(
            "standoff of the old panel",
            "drill 1/4 in holes through the flat over the purlin, depth gauge, 6 a slope and more",
            "whether the old roof sits or floats, so which framing kinds are open",
        )
        text = said(
            "unknown",
            "Whether the old panel sits on the purlin or floats was not read; no framing kind is open until it is.",
        )
        return Check(**common, state="unknown", sentence=text, needs=(need,))  # type: ignore[arg-type]
    if kind in old.refused_kinds:
        with recording() as recorder:
            _bent_screw(c)
        text = said("short", f"A {kind} is refused here. {old.refused_kinds[kind]}")
        drag = c.recover.clip_drag
        shear = Source("recover" if drag else "100 lb, to show the size; no drag was given", not drag)
        sources = {"V": shear, "g": Source("standoff readings"), "d": Source("recover")}
        return Check(**common, state="short", sentence=text, steps=tuple(recorder.steps), sources=sources)  # type: ignore[arg-type]
    if kind not in old.open_kinds:
        text = said(
            "engineer", f"{old.sentence} Whether a {kind} may stand on it is not settled by the readings."
        )
        return Check(**common, state="engineer", sentence=text)  # type: ignore[arg-type]
    state: State = "engineer" if old.kind == "mixed" else "holds"
    extra = (
        " Regions differ: heights and packers are to be settled region by region."
        if old.kind == "mixed"
        else ""
    )
    return Check(**common, state=state, sentence=said(state, f"{old.sentence} A {kind} is open here.{extra}"))  # type: ignore[arg-type]


def _bent_screw(c: Context) -> float:
    gaps = [r.high_in for r in c.old_roof.regions if r.kind == "floats" and r.high_in is not None]
    gap = max(gaps) if gaps else float("nan")
    shear = c.recover.clip_drag * c.design.pitch_ft if c.recover.clip_drag else SHOWN_DRAG_LB
    return float(f.screw_bending_stress(shear, gap, c.recover.framing.screw_diameter))


def rib_fit(c: Context) -> tuple[Check, ...]:
    """Whether notches ordered to one module stay on the old ribs along a piece."""
    if c.recover.framing.kind != "notched sub-purlin":
        return ()
    found = run_out(c.survey)
    common = {
        "id": "R",
        "key": "rib fit",
        "what": "Notches on the old ribs",
        "where": "whole roof",
        "whose": "new",
        "clause": "common practice, no source",
        "asked_why": "a notch that rides up on a rib lifts the foot off the purlin",
    }
    if found is None:
        need = Need(
            "width over ten panels at eave, mid and ridge of both slopes",
            "tape, rib to rib",
            "the rib module to order and whether one notch pattern fits",
        )
        return (
            Check(
                **common,
                state="unknown",
                sentence=said("unknown", "The rib module was not measured; nominal ribs run out."),
                needs=(need,),
            ),
        )  # type: ignore[arg-type]
    ordered = c.recover.framing.rib_module or c.survey.old_panel.rib_module
    assert ordered is not None
    piece = c.recover.framing.piece_length or 10.0
    drift = max(abs(m - ordered) * piece * 12 / ordered for m in found.modules_in)
    state = state_of(drift / NOTCH_PLAY_IN)
    text = (
        f"Notches at {ordered:.3f} in on ribs measured at {min(found.modules_in):.3f} to {max(found.modules_in):.3f} in: worst drift "
        f"{drift:.2f} in along a {piece:g} ft piece, room {NOTCH_PLAY_IN:.2f} in each way."
    )
    help_text = (
        "" if state == "holds" else " Order to the measured module, shorter pieces, each re-set on the ribs."
    )
    return (
        Check(
            **common,
            state=state,
            demand=drift,
            capacity=NOTCH_PLAY_IN,
            unit="in",
            ratio=drift / NOTCH_PLAY_IN,
            sentence=said(state, text + help_text),
        ),
    )  # type: ignore[arg-type]


def purlin_uplift(c: Context) -> tuple[Check, ...]:
    """Uplift today's code puts on the old purlins; the same with or without the recover."""
    if c.wind is None:
        return ()
    rows = []
    bay = float(np.diff(c.roof.frames_ft).max())
    for zone in c.roof.zones:
        here = np.flatnonzero((c.strips.zone == zone) & (c.strips.line > 0))
        if not here.size:
            continue
        i = int(here[np.argmax(c.strips.width_ft[here])])
        b = float(c.strips.width_ft[i])
        with recording() as recorder:
            area = areas.purlin_area(bay, b)
            p = float(c.wind.uplift(np.array(zone), area))
            w = float(f.line_uplift(p, b))
        text = (
            f"In zone {zone} today's wind asks {amount(w, 'lb/ft')} of an old purlin over a {bay:g} ft bay ({amount(p, 'psf')} at "
            f"{float(area):.0f} ft2), before and after alike. What it carries in uplift is not worked out here."
        )
        rows.append(
            Check(
                id="S",
                key="purlin uplift",
                what="Old purlins in uplift",
                where=f"zone {zone}",
                whose="was so",
                state="engineer",
                clause="ASCE 7 chapter 30; AISI S100-16 I6.2",
                sentence=said("engineer", text),
                demand=w,
                unit="lb/ft",
                asked="not required",
                asked_why="a recover takes off no covering and adds no wind; existing purlins need not be proven, but it is advised",
                steps=tuple(recorder.steps),
                sources={
                    "L": Source("longest bay, survey"),
                    "b": Source("half way to the next line each side"),
                    "p": Source(f"zone {zone}, {c.enclosure.used}", c.enclosure.assumed),
                },
                zone=zone,
            )
        )
    return tuple(rows)


def purlin_gravity(c: Context) -> tuple[Check, ...]:
    """Gravity on the old purlins before and after, against what the drawings say where they say it."""
    rules, purlins = c.survey.ground_rules, c.survey.purlins
    added = c.added_psf
    common = {
        "id": "S",
        "key": "purlin gravity",
        "what": "Old purlins under weight, live load and snow",
        "where": "every line",
        "whose": "made worse",
        "clause": "IEBC gravity rule; AISI S100-16 chapter F",
    }
    if np.isnan(added):
        text = said("unknown", "The added weight is not complete; see the weight ledger.")
        need = Need(
            "weights missing in the ledger",
            "the recover's parts",
            "the 5 percent rule and the purlins",
            "estimator",
        )
        return (Check(**common, state="unknown", sentence=text, needs=(need,)),)  # type: ignore[arg-type]
    live = max((x for x in (rules.roof_live, rules.ground_snow) if x is not None), default=None)
    ways = []
    text = f"The recover adds {amount(added, 'psf')} to every purlin."
    if purlins.design_total is not None:
        share = added / purlins.design_total
        text += f" The drawings give {amount(purlins.design_total, 'psf')} in all; the addition is {100 * share:.1f} % of it."
        ways.append(OtherWay(f"added over the drawings' {purlins.design_total:g} psf", share, "engineer"))
    else:
        text += " What the purlins were designed for is not known."
    text += " Their strength is not worked out here; an engineer checks them before and after."
    return (
        Check(
            **common,
            state="engineer",
            sentence=said("engineer", text),
            demand=added,
            unit="psf",
            both_ways=tuple(ways),
            asked="ask the official" if live is None else "required",
            asked_why="see the code path: the exception for a light second covering, or the 5 percent rule",
        ),  # type: ignore[arg-type]
    )


def losses(c: Context) -> tuple[Check, ...]:
    """Members thinned by rust, where the thickness when new is known."""
    rows = []
    for group in c.survey.purlins.thickness:
        if group.nominal is None:
            continue
        used = [r.value for r in clean(group.readings).used] or [r.value for r in group.readings]
        with recording() as recorder:
            loss = float(section_loss(min(used), group.nominal))
        if loss < 0.02:
            continue
        if loss <= CALL_LOSS:
            state, after = "holds", "below the tenth at which an engineer is called (common practice)"
        else:
            state, after = (
                "engineer",
                "past a tenth an engineer is called; past a quarter it is usually replaced (common practice)",
            )
        place = _group_place(group)
        text = f"{group.member.capitalize()} {place}: {min(used):.4f} in left of {group.nominal:.4f}, {100 * loss:.0f} % lost: {after}."
        rows.append(
            Check(id="S", key="section loss", what=f"{group.member.capitalize()} thinned by rust", where=place, whose="was so",
                  state=state, clause="common practice, no source", sentence=said(state, text), demand=loss, capacity=CALL_LOSS, unit="-",
                  ratio=None, asked="not required", asked_why="an old loss; the new fixing still needs steel to hold in",
                  steps=tuple(recorder.steps), sources={"t_now": Source("lowest reading"), "t_new": Source("nominal, drawings or survey")},
                  plane=group.plane)
        )  # type: ignore[arg-type] # fmt: skip
    return tuple(rows)


def _group_place(group: ThicknessGroup) -> str:
    words = []
    if group.plane:
        words.append(f"{group.plane} slope")
    if group.lines:
        words.append("line " + ", ".join(map(str, group.lines)))
    if group.bays:
        words.append("bay " + ", ".join(map(str, group.bays)))
    return ", ".join(words) or group.at or "place not written down"


def laps(c: Context) -> tuple[Check, ...]:
    """Laps shorter than one and a half depths: such a line is not taken as continuous."""
    depth = c.survey.purlins.depth
    read = [r.value for g in c.survey.purlins.laps_each_side for r in g.readings]
    if not read or depth is None:
        return ()
    need = 1.5 * depth
    low = min(read)
    if low >= need:
        text = f"Shortest lap {low:g} in each side of the frame, at least 1.5 depths ({need:g} in)."
        state: State = "holds"
    else:
        text = f"Shortest lap {low:g} in each side of the frame, under 1.5 depths ({need:g} in): the line is taken as simple spans."
        state = "engineer"
    return (
        Check(
            id="S",
            key="laps",
            what="Laps of the old purlins",
            where="at the frames",
            whose="was so",
            state=state,
            clause="AISI S100-16 I6.2.1 (from memory)",
            sentence=said(state, text),
            demand=need,
            capacity=low,
            unit="in",
            ratio=need / low,
            asked="not required",
            asked_why="an old fact the engineer needs",
        ),
    )


def found_faults(c: Context) -> tuple[Check, ...]:
    """Braces cut or missing, loads hung from lips, wet insulation: each an engineer's or a repair before the cover."""
    rows = []

    def row(key: str, what: str, where: str, state: State, text: str) -> None:
        rows.append(
            Check(
                id="S",
                key=key,
                what=what,
                where=where,
                whose="was so",
                state=state,
                clause="common practice, no source",
                sentence=said(state, text),
                asked="not required",
                asked_why="an old fault; mend it before the cover closes over it",
            )
        )

    for fault in c.survey.bracing.faults:
        row(
            "bracing",
            "Bracing fault",
            fault,
            "engineer",
            f"{fault}. Restore it before any new work; the engineer says how.",
        )
    for load in c.survey.hung_loads or ():
        if load.hangs_from == "purlin lip":
            row(
                "hung load",
                "Load hung from a purlin lip",
                load.what,
                "engineer",
                f"{load.what} hangs from the lip of a purlin. A lip is not made for it: re-hang it, and have the engineer look at the lip.",
            )
    ins = c.survey.insulation
    if ins.spots_wet:
        share = (
            ins.wet_share
            if ins.wet_share is not None
            else (ins.spots_wet / ins.spots_cut if ins.spots_cut else None)
        )
        said_share = "" if share is None else f" ({100 * share:.0f} % of what was looked at)"
        row(
            "wet insulation",
            "Wet insulation",
            ins.note or "as found",
            "engineer",
            f"{ins.spots_wet} of {ins.spots_cut or 'the'} spots were wet{said_share}. Do not close over it: dry or take out, and find where the water comes from.",
        )
    return tuple(rows)
