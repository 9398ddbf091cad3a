"""Old roof rows: may this framing stand on it, and do its notches stay on the ribs."""

from __future__ import annotations

from dataclasses import replace

from secondroof.checks.model import Check, Need, Source, State, state_of
from secondroof.findings.context import Context
from secondroof.findings.words import said
from secondroof.formula import recording
from secondroof.recover import formulas as f
from secondroof.recover.notched import NOTCH_PLAY_IN
from secondroof.survey.proposals import NotchedLine
from secondroof.survey.statistics import run_out

#: Shear taken to show how a bare screw bends over a gap where no drag is given [lb]; common practice, no source.
SHOWN_DRAG_LB = 100.0
#: Length of a notched piece where none is given [ft]; common practice, no source.
PIECE_FT = 10.0
PRACTICE = "common practice, no source"

NEED_STANDOFF = Need(
    "standoff of the old panel",
    "drill 1/4 in holes through the flat over the purlin, depth gauge, six a slope and more",
    "whether the old roof sits or floats, so which framing kinds are open",
)
NEED_RUN_OUT = Need(
    "width over ten panels at eave, mid-slope and ridge of both slopes",
    "tape, rib to rib",
    "the rib module to order, and whether one notch pattern fits",
)


def old_roof_rows(c: Context) -> tuple[Check, ...]:
    """Rows of the old roof."""
    rows = (framing_row(c), *rib_rows(c))
    return tuple(replace(row, id=f"R-{i:02d}") for i, row in enumerate(rows, start=1))


def framing_row(c: Context) -> Check:
    """Whether the framing kind may stand on this old roof."""
    kind, old = c.recover.framing.kind, c.old_roof
    row = Check(
        id="R",
        key="framing kind",
        what="Framing kind on this old roof",
        where="whole roof",
        whose="new",
        state="unknown",
        clause=PRACTICE,
        sentence="",
        asked_why="hold-down must reach the old purlin",
    )
    if old.kind == "unknown":
        text = "Whether the old panel sits on the purlin or floats was not read; no framing kind is open until it is."
        return replace(row, sentence=said("unknown", text), needs=(NEED_STANDOFF,))
    if kind in old.refused_kinds:
        with recording() as recorder:
            bent_screw_stress(c)
        drag = c.recover.clip_drag
        shear = Source("recover" if drag else "100 lb, to show the size; no drag was given", not drag)
        return replace(
            row,
            state="short",
            sentence=said("short", f"A {kind} is refused here. {old.refused_kinds[kind]}"),
            steps=tuple(recorder.steps),
            sources={"V": shear, "g": Source("standoff readings"), "d": Source("recover")},
        )
    if kind not in old.open_kinds:
        text = f"{old.sentence} Whether a {kind} may stand on it is not settled by the readings."
        return replace(row, state="engineer", sentence=said("engineer", text))
    mixed = old.kind == "mixed"
    state: State = "engineer" if mixed else "holds"
    extra = " Regions differ: heights and packers are to be settled region by region." if mixed else ""
    return replace(row, state=state, sentence=said(state, f"{old.sentence} A {kind} is open here.{extra}"))


def bent_screw_stress(c: Context) -> float | None:
    """Bending stress of a bare screw over the widest gap found; None where the roof does not float. [ksi]"""
    gaps = [r.high_in for r in c.old_roof.regions if r.kind == "floats" and r.high_in is not None]
    if not gaps:
        return None
    shear = c.recover.clip_drag * c.design.pitch_ft if c.recover.clip_drag else SHOWN_DRAG_LB
    return float(f.screw_bending_stress(shear, max(gaps), c.recover.framing.screw_diameter))


def rib_rows(c: Context) -> tuple[Check, ...]:
    """Whether notches ordered to one module stay on the old ribs along a piece."""
    framing = c.recover.framing
    if not isinstance(framing, NotchedLine):
        return ()
    row = Check(
        id="R",
        key="rib fit",
        what="Notches on the old ribs",
        where="whole roof",
        whose="new",
        state="unknown",
        clause=PRACTICE,
        sentence="",
        asked_why="a notch that rides up on a rib lifts the foot off the purlin",
    )
    measured = run_out(c.survey)
    ordered = framing.rib_module or c.survey.old_panel.rib_module
    if measured is None or ordered is None:
        text = "The rib module was not measured; nominal ribs run out."
        return (replace(row, sentence=said("unknown", text), needs=(NEED_RUN_OUT,)),)
    piece = framing.piece_length or PIECE_FT
    low, high = min(measured.modules_in), max(measured.modules_in)
    drift = max(abs(m - ordered) for m in measured.modules_in) * piece * 12 / ordered
    state = state_of(drift / NOTCH_PLAY_IN)
    text = (
        f"Notches at {ordered:.3f} in on ribs measured at {low:.3f} to {high:.3f} in: worst drift "
        f"{drift:.2f} in along a "
        f"{piece:g} ft piece, room {NOTCH_PLAY_IN:.2f} in each way."
    )
    if state != "holds":
        text += " Order to the measured module, in shorter pieces, each re-set on the ribs."
    return (
        replace(
            row,
            state=state,
            demand=drift,
            capacity=NOTCH_PLAY_IN,
            unit="in",
            ratio=drift / NOTCH_PLAY_IN,
            sentence=said(state, text),
        ),
    )
