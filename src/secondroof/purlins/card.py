"""The governing case of one old line worked alone with the recorder on: loads, line, strength, ratio."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.combined import Stage, case_words, rows
from secondroof.checks.model import Source
from secondroof.errors import SecondroofError
from secondroof.formula import Step, formula, note_step, recording
from secondroof.lines.beam import solve_line, support_mask
from secondroof.purlins.effects import Way, stiffness
from secondroof.purlins.limits import HOG_STEP_IN
from secondroof.purlins.ratios import hogging, places_of
from secondroof.purlins.strength import C_B_TO_ZERO, bending_at
from secondroof.steel import flexure, shear
from secondroof.steel import uplift as rule
from secondroof.steel.effective import effective_section
from secondroof.steel.interaction import bending_shear
from secondroof.steel.properties import take as take_properties
from secondroof.steel.sections import take

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.acting.gathered import Acting
    from secondroof.purlins.found import PurlinsFound, Side
    from secondroof.purlins.uplift import UpliftStrengths
    from secondroof.roof.model import Roof

_READ, _GROSS = (
    Source("section as read, without coatings"),
    Source("gross section as read, by its middle line"),
)
_LENGTH = Source("0.001 in stands for held all along; else the length between what holds the flange")
#: Where the numbers of every section come from.
SECTION: Mapping[str, Source] = {
    **dict.fromkeys(("d", "theta", "D", "h_o", "b_o", "d_o", "b", "h"), _READ),
    **dict.fromkeys(("r_y", "J", "C_w", "A", "r_o", "S_f"), _GROSS),
    **dict.fromkeys(("xi", "psi"), Source("stresses across the element in bending")),
    **dict.fromkeys(("I_e", "y_c"), Source("effective section, by its parts")),
    "d_s_prime": Source("effective width of the lip, above"),
    **dict.fromkeys(("L_y", "L_t"), _LENGTH),
    "L_m": Source("infinite where nothing holds the flange against distortion between supports"),
    "C_b": Source("1.0, or 1.67 where the moment falls in a line to nought"),
    "M_ratio": Source("-1 for even bending, 0 where the moment falls in a line to nought"),
    "k_phi": Source("not measured: nothing is counted"),
    **dict.fromkeys(("F_n", "F_cre", "sigma_ey", "sigma_t"), Source("worked above, from the length taken")),
    "M_crl": Source("its least element, above"),
    "M_crd": Source("gross modulus times the buckling stress above"),
    "k_v": Source("AISI S100-16 G2.3, no stiffeners"),
    "Omega": Source("AISI S100-16, of the clause of the step"),
    "phi": Source("AISI S100-16, of the clause of the step"),
}
#: The single case and the batch must agree to this share.
AGREE = 1e-9


@formula("ratio", unit="-", clause="moment over strength", checked="definition")
def moment_ratio(M: float, M_a: float) -> float:
    """Share of the bending strength used. [-]

    Parameters
    ----------
    M : numeric
        Moment of the governing combination, as a plain size. [kip-in]
    M_a : numeric
        Allowable moment. [kip-in]
    """
    return M / M_a


@dataclass(frozen=True, slots=True)
class Card:
    """Steps of one governing case, where its numbers come from, and the way the line was worked."""

    steps: tuple[Step, ...]
    sources: Mapping[str, Source]
    way: Way
    moment: float
    ratio: float


def purlin_card(
    roof: Roof, acting: Acting, f: PurlinsFound, i: int, j: int, name: str, stage: Stage
) -> Card:  # fmt: skip
    """Card of line ``i`` in bay ``j`` (rows and columns of the arrays), ``down`` or ``up``.

    Raises
    ------
    SecondroofError
        The case worked alone does not agree with the batch: our own fault.
    """
    side: Side = (f.down if name == "down" else f.up)[stage]
    line = f.sections.lines[i]
    lap = f.lap_in[i : i + 1]
    loads = f.loads[line.plane]
    at = int(np.flatnonzero(loads.lines == line.index)[0])
    table = rows(f.edition, "ASD", acting.cases, stage)
    r = int(side.row[i, j])
    ways: tuple[Way, ...] = (
        ("laps counted", "laps not counted") if f.way[i] == "continuous" else ("simple spans",)
    )
    w0, w1, P = (np.tensordot(table.factors[r], part[:, at], axes=1) for part in loads.square_to_roof())
    made = [_worked(roof, f, i, j, side, stage, way, loads.x_ft, (w0, w1, P), lap, case_words(table, r, acting.cases))
            for way in ways]  # fmt: skip
    best = min(made, key=lambda c: abs(c.ratio - float(side.ratio[i, j])))
    wanted = float(side.ratio[i, j])
    if abs(best.ratio - wanted) > AGREE * max(1.0, abs(wanted)):
        raise SecondroofError(
            f"line {line.name}, bay {j + 1}: worked alone its ratio is {best.ratio:.6g}, among all lines "
            f"{wanted:.6g}. Report this with the survey."
        )
    return best


def _worked(
    roof: Roof, f: PurlinsFound, i: int, j: int, side: Side, stage: Stage, way: Way, x: np.ndarray,
    loads: tuple[np.ndarray, np.ndarray, np.ndarray], lap: np.ndarray, words: str,
) -> Card:  # fmt: skip
    frames = np.asarray(roof.frames_ft)
    w0, w1, P = loads
    held = support_mask(x, frames)
    cut = held.copy() if way == "simple spans" else np.zeros_like(held)
    cut[[0, -1]] = False
    EI = stiffness(x, roof.frames_ft, f.sections.Ix_in4[i : i + 1], lap, way)[0]
    k, point = int(f.sections.which[i, j]), str(side.point[i, j])
    node = int(np.argmin(np.abs(x - side.x_ft[i, j])))
    with recording() as recorder:
        note_step(
            "Load on the line in the governing combination, square to the roof", symbol="w", unit="lb/ft",
            clause=side.combination(i, j), inputs={"cases": words, "points": float(np.sum(P))},
            result=(float(np.max(np.maximum(w0, w1))), float(np.min(np.minimum(w0, w1)))),
            method="widths of the strip times the loads on it, borders where they fall", checked="own derivation",
        )  # fmt: skip
        M_all = solve_line(x, held, EI, w0, w1, P, release=cut).M_kip_in
        M = abs(float(M_all[node]))
        M_a = _strength(f, i, j, point, stage, node, M_all, x, frames, lap)
        if point in ("span", "lifted span"):
            ratio = float(moment_ratio(M, M_a))
        else:
            V_a = _shear(f, i, j, point, x[node], frames)
            ratio = float(bending_shear(M, M_a, float(side.shear[i, j]), V_a))
    return Card(tuple(recorder.steps), _sources(f, k, way, point), way, M, ratio)


def _strength(
    f: PurlinsFound, i: int, j: int, point: str, stage: Stage, node: int, M_all: np.ndarray, x: np.ndarray,
    frames: np.ndarray, lap: np.ndarray,
) -> float:  # fmt: skip
    """Allowable moment at the governing point, worked alone. [kip-in]"""
    found, k, row = f.sections, int(f.sections.which[i, j]), int(f.uplift.which[i, j])
    lift = f.uplift if stage == "after" else f.uplift_before
    if point == "lifted span":
        return _bare(f, lift, k, row)
    if point == "span":
        return float(bending_at(found, k, "top", top_length_in(f, i, j, stage)).M.asd)
    if point == "lap end":
        counted = lap if f.way[i] == "continuous" else np.full_like(lap, np.nan)
        between = places_of(x, frames, counted).between[0]
        length, _ = hogging(M_all[None], x, between)
        at = 2 * j + int(node == between[j, 1])
        L = HOG_STEP_IN * float(np.ceil(length[0, at] / HOG_STEP_IN - 1e-9))
        return float(
            bending_at(
                found, k, "bottom", L, C_b=C_B_TO_ZERO, L_m_in=L if L > 0 else np.inf, M_ratio=0.0
            ).M.asd
        )
    side = "top" if point == "lifted seat" else "bottom"
    members = _members(f, i, x[node], frames)
    each = [float(bending_at(found, m, side, 0.0).M.asd) for m in members]  # type: ignore[arg-type]
    return sum(each) if f.way[i] == "continuous" else min(each)


def top_length_in(f: PurlinsFound, i: int, j: int, stage: Stage) -> float:
    """Unbraced length of the top flange in a span: 0 under a sheet that holds it, else between sag braces. [in]"""
    held = next(r for r in f.restraint if r.plane == f.sections.lines[i].plane)
    if (held.braces if stage == "before" else held.braces_after) != "no":
        return 0.0
    row = int(f.uplift.which[i, j])
    L = float(f.uplift.sag_length_in[row])
    return 12.0 * float(f.uplift.span_ft[row]) if np.isnan(L) else L


def _bare(f: PurlinsFound, lift: UpliftStrengths, k: int, row: int) -> float:
    found = f.sections
    R = lift.R[row] if np.isfinite(lift.R[row]) else lift.R_if_met[row]
    if not np.isfinite(R):
        L = lift.sag_length_in[row]
        return float(
            bending_at(found, k, "bottom", float(12.0 * lift.span_ft[row] if np.isnan(L) else L)).M.asd
        )
    F_y, gross = float(found.Fy_ksi[k]), take_properties(found.properties, k)
    S_e = effective_section(take(found.section, k), F_y, compression="bottom", properties=gross).Se
    return float(flexure.allowable_moment(rule.fastened_moment(R, S_e, F_y), rule.OMEGA_R))


def _members(f: PurlinsFound, i: int, x_ft: float, frames: np.ndarray) -> tuple[int, ...]:
    """Distinct sections that meet at the frame nearest a place; one at an end wall."""
    frame = int(np.argmin(np.abs(frames - x_ft)))
    bays = [b for b in (frame - 1, frame) if 0 <= b < frames.size - 1]
    return tuple(int(f.sections.which[i, b]) for b in bays)


def _shear(f: PurlinsFound, i: int, j: int, point: str, x_ft: float, frames: np.ndarray) -> float:
    """Allowable shear at the governing point. [kip]"""
    found = f.sections
    members = (int(found.which[i, j]),) if point == "lap end" else _members(f, i, x_ft, frames)
    each = [
        float(shear.allowable_shear(
            shear.web_shear(float(found.section.web_flat[m]), float(found.section.t_web[m]), float(found.Fy_ksi[m])),
            shear.OMEGA_V))
        for m in members
    ]  # fmt: skip
    return sum(each) if f.way[i] == "continuous" and point != "lap end" else min(each)


def _sources(f: PurlinsFound, k: int, way: Way, point: str) -> dict[str, Source]:
    read = f.sections.read[k]
    assumed = {a.name: a for a in f.sections.assumed}
    out = {
        "t": Source("not read" if read is None else read.note or read.rule, read is None or read.assumed),
        "F_y": Source(f.sections.strength.sentence, f.sections.strength.assumed),
        "M": Source(f"line worked with {way}"),
        "V": Source(f"line worked with {way}"),
        **SECTION,
    }
    if point == "lifted span":
        out["R"] = Source("factor of the fastened sheet, AISI S100-16 I6.2.1 (from memory), blanket counted")
    elif "R" in assumed:
        out["R"] = Source(assumed["R"].sentence, True)
    return out
