"""One line of beams over its supports, solved exactly by the force method.

The line is straight, bends in one plane and may change stiffness at any node. The unknowns are the moments over the
supports: shears and moments between them follow from statics, and the slope on both sides of each support must agree
(three moments, written for stiffness that varies). Very short pieces, such as the end of a lap beside a load, cost no
accuracy, which is why this way was taken and not a stiffness matrix with two unknowns a node.

Signs: loads and deflections down positive, reactions up positive, moment positive for tension at the bottom, shear
positive where the moment grows to the right, slope positive where the deflection grows to the right.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, Problem
from secondroof.formula import note_step
from secondroof.lines.peaks import Peaks, peak_deflections, peak_moments
from secondroof.lines.solver import force_method
from secondroof.lines.words import BoolArray, FloatArray

__all__ = [
    "LineResponse", "Peaks", "peak_deflections", "peak_moments", "sample_nodes", "solve_line", "support_mask",
    "unrecorded_line",
]  # fmt: skip

SAME_PLACE_FT = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class LineResponse:
    """A solved line: what was given, and what it does at every node.

    ``(...)`` stands for the loads and stiffnesses solved together.

    Attributes
    ----------
    x_ft : (n,) array
        Places of the nodes. [ft]
    support, release : (n,) bool array
        Where the line is held, and where it is cut over a support.
    EI_kip_in2 : (..., n-1) array
        Bending stiffness between nodes. [kip-in2]
    w0_lb_ft, w1_lb_ft : (..., n-1) array
        Load at the left and right end of each piece between nodes. [lb/ft]
    P_lb : (..., n) array
        Point loads. [lb]
    M_kip_in : (..., n) array
        Moment. [kip-in]
    V_left_lb, V_right_lb : (..., n) array
        Shear just left and just right of each node. [lb]
    R_lb : (..., n) array
        Reaction, zero where there is no support. [lb]
    d_in : (..., n) array
        Deflection. [in]
    slope_left, slope_right : (..., n) array
        Slope just left and just right of each node; they differ only over a cut. [rad]
    residual : float
        Self-check, the largest of three over all loads: force and moment equilibrium of loads against reactions, and
        the difference of slopes over uncut supports, each relative to its own size. [-]
    """

    x_ft: FloatArray
    support: BoolArray
    release: BoolArray
    EI_kip_in2: FloatArray
    w0_lb_ft: FloatArray
    w1_lb_ft: FloatArray
    P_lb: FloatArray
    M_kip_in: FloatArray
    V_left_lb: FloatArray
    V_right_lb: FloatArray
    R_lb: FloatArray
    d_in: FloatArray
    slope_left: FloatArray
    slope_right: FloatArray
    residual: float


def sample_nodes(supports_ft: ArrayLike, extra_ft: ArrayLike = (), per_span: int = 20) -> FloatArray:
    """Places of nodes for a line: equal parts of every span, and the places where something begins, ends or stands.

    Parameters
    ----------
    supports_ft : (k,) array_like
        Supports, in order. [ft]
    extra_ft : array_like, optional
        Lap ends, load ends, point loads, ends of overhangs. One within 1e-6 ft of another place is that place. [ft]
    per_span : int, optional
        Parts of a span.

    Returns
    -------
    (n,) array
        Places in order; every support stands in it unchanged. [ft]

    Raises
    ------
    InputError
        Supports out of order, or a place that is not a number.
    """
    supports = np.atleast_1d(np.asarray(supports_ft, dtype=float))
    extra = np.asarray(extra_ft, dtype=float).ravel()
    if not (np.all(np.isfinite(supports)) and np.all(np.isfinite(extra)) and per_span >= 1):
        raise _bad("sample_nodes", "every place must be a number and a span must have at least one part.")
    if np.any(np.diff(supports) <= SAME_PLACE_FT):
        raise _bad("supports_ft", "supports must stand in order, each past the last.")
    parts = np.arange(1, per_span) / per_span
    inner = (supports[:-1, None] + np.diff(supports)[:, None] * parts).ravel()
    # Supports stay where they are; then the given places; twentieths give way to both.
    kept = supports
    for more in (extra, inner):
        for x in np.sort(more):
            i = int(np.searchsorted(kept, x))
            near = kept[max(i - 1, 0) : i + 1]
            if not np.any(np.abs(near - x) <= SAME_PLACE_FT):
                kept = np.insert(kept, i, x)
    return kept


def support_mask(x_ft: ArrayLike, supports_ft: ArrayLike) -> BoolArray:
    """True at the nodes that stand on a support.

    Parameters
    ----------
    x_ft : (n,) array_like
        Nodes. [ft]
    supports_ft : (k,) array_like
        Supports. [ft]

    Raises
    ------
    InputError
        A support has no node.
    """
    x = np.asarray(x_ft, dtype=float)
    supports = np.atleast_1d(np.asarray(supports_ft, dtype=float))
    near = np.abs(x[:, None] - supports) <= SAME_PLACE_FT
    if not np.all(near.any(axis=0)):
        missing = supports[~near.any(axis=0)][0]
        raise InputError(
            Problem("supports_ft", f"{missing:g} ft", "no node stands there.", "Add a node there.")
        )
    return np.asarray(near.any(axis=1), dtype=bool)


def solve_line(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    w0_lb_ft: ArrayLike,
    w1_lb_ft: ArrayLike,
    P_lb: ArrayLike,
    *,
    release: ArrayLike | None = None,
    settle_in: ArrayLike | None = None,
) -> LineResponse:
    """Moments, shears, reactions and deflections of a line of beams over its supports.

    Parameters
    ----------
    x_ft : (n,) array_like
        Nodes, in order. A free end beyond the last support is an overhang. [ft]
    support : (n,) bool array_like
        Where the line is held down and up; two at least.
    EI_kip_in2 : (..., n-1) array_like
        Bending stiffness between nodes; one number serves all. [kip-in2]
    w0_lb_ft, w1_lb_ft : (..., n-1) array_like
        Spread load at the left and right end of each piece, straight between. [lb/ft]
    P_lb : (..., n) array_like
        Point loads at the nodes. [lb]
    release : (n,) bool array_like, optional
        Where the line is cut over a support, so that it carries no moment there.
    settle_in : (..., n) array_like, optional
        How far the supports sink; read at supports only. [in]

    Returns
    -------
    LineResponse
        Leading dimensions are those of stiffness, loads and settlement, broadcast.

    Raises
    ------
    InputError
        Listing everything that cannot be used, or a line that would fold up.

    Notes
    -----
    Euler-Bernoulli bending, no shear deformation. Checked against beam tables and a general frame library.
    """
    result = unrecorded_line(
        x_ft, support, EI_kip_in2, w0_lb_ft, w1_lb_ft, P_lb, release=release, settle_in=settle_in
    )
    spans = np.diff(result.x_ft[result.support])
    peaks = peak_moments(result)
    note_step(
        "Line of beams over its supports", symbol="M", unit="kip-in", clause="statics; Euler-Bernoulli bending",
        inputs={
            "spans": tuple(float(v) for v in spans),
            "nodes": int(result.x_ft.size),
            "cuts": tuple(float(v) for v in result.x_ft[result.release]),
            "EI_least": float(np.min(result.EI_kip_in2)),
            "EI_most": float(np.max(result.EI_kip_in2)),
            "load": float(np.max(np.abs(np.sum(result.R_lb, axis=-1)))),
        },
        result=(float(np.max(peaks.most)), float(np.min(peaks.least))),
        method=f"moments over {int(result.support.sum())} supports from equal slopes, then statics",
        checked="verified: beam tables within their print; own derivation for stiffness that varies",
        self_check=f"equilibrium and slopes within {result.residual:.1e}",
    )  # fmt: skip
    return result


def unrecorded_line(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    w0_lb_ft: ArrayLike,
    w1_lb_ft: ArrayLike,
    P_lb: ArrayLike,
    *,
    release: ArrayLike | None = None,
    settle_in: ArrayLike | None = None,
) -> LineResponse:
    """:func:`solve_line` without its step on a card, for solvers that record one step of their own."""
    x, held, cut, EI, w0, w1, P, settle = _checked(
        x_ft, support, release, EI_kip_in2, w0_lb_ft, w1_lb_ft, P_lb, settle_in
    )
    solved = force_method(x, held, cut, EI, w0, w1, P, settle)
    return LineResponse(x, held, cut, np.broadcast_to(EI, w0.shape), w0, w1, P, *solved)


def _bad(field: str, message: str, given: str = "", mend: str = "") -> InputError:
    return InputError(Problem(field, given, message, mend))


def _checked(
    x_ft: ArrayLike,
    support: ArrayLike,
    release: ArrayLike | None,
    EI: ArrayLike,
    w0: ArrayLike,
    w1: ArrayLike,
    P: ArrayLike,
    settle: ArrayLike | None,
) -> tuple[Any, ...]:
    """Arguments as arrays of full length; every fault at once."""
    try:
        x = np.asarray(x_ft, dtype=float)
        held = np.asarray(support, dtype=bool)
        cut = np.zeros(x.shape, dtype=bool) if release is None else np.asarray(release, dtype=bool)
        numbers = {k: np.asarray(v, dtype=float) for k, v in
                   (("EI_kip_in2", EI), ("w0_lb_ft", w0), ("w1_lb_ft", w1), ("P_lb", P))}  # fmt: skip
        numbers["settle_in"] = np.asarray(0.0 if settle is None else settle, dtype=float)
    except (TypeError, ValueError) as error:
        raise _bad("solve_line", "every argument must be a list of numbers.", str(error)) from None
    if x.ndim != 1 or x.size < 2:
        raise _bad("x_ft", "must be a list of at least two places.", f"shape {x.shape}")
    n = x.size
    problems = []
    if not np.all(np.isfinite(x)) or np.any(np.diff(x) <= 0):
        problems.append(
            Problem("x_ft", "", "places must be numbers in order, none twice.", "Sort the nodes.")
        )
    for name, mask in (("support", held), ("release", cut)):
        if mask.shape != (n,):
            problems.append(Problem(name, f"shape {mask.shape}", f"must hold {n} values, one a node.", ""))
    for name, array in numbers.items():
        size = n if name in ("P_lb", "settle_in") else n - 1
        if array.ndim and array.shape[-1] not in (1, size):
            problems.append(
                Problem(name, f"shape {array.shape}", f"last dimension must be {size} (or one number).", "")
            )
        if not np.all(np.isfinite(array)):
            problems.append(Problem(name, "", "every value must be a number.", ""))
    if np.any(~(numbers["EI_kip_in2"] > 0)):
        problems.append(Problem("EI_kip_in2", "", "stiffness must be above zero.", "Give E times I."))
    if problems:
        raise InputError(problems)
    where = np.flatnonzero(held)
    if where.size < 2:
        raise _bad("support", "a line needs two supports at least.", f"{where.size}", "Mark the supports.")
    if np.any(cut & ~held):
        raise _bad("release", "a line can be cut only over a support.", f"{x[cut & ~held][0]:g} ft")
    if (cut[where[0]] and where[0] > 0) or (cut[where[-1]] and where[-1] < n - 1):
        raise _bad(
            "release", "an overhang cut over its support would fold up.", "", "Cut inner supports only."
        )
    try:
        lead = np.broadcast_shapes(*(a.shape[:-1] for a in numbers.values()))
    except ValueError:
        shapes = ", ".join(f"{k} {a.shape}" for k, a in numbers.items() if a.ndim > 1)
        raise _bad("solve_line", "leading dimensions do not fit each other.", shapes) from None
    # Stiffness and settlement keep their own leading dimensions: alike for all loads they are worked once.
    own = {"EI_kip_in2", "settle_in"}
    full = {
        k: np.broadcast_to(
            a, (*(a.shape[:-1] if k in own else lead), n if k in ("P_lb", "settle_in") else n - 1)
        )
        for k, a in numbers.items()
    }
    return x, held, cut, *full.values()
