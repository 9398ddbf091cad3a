"""How a purlin line feels underfoot: its deflection under a person with a load, and how fast it swings.

The limits are common practice without a source; they tell a crew what to expect and are not code limits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, Problem
from secondroof.formula import formula, note_step
from secondroof.lines.beam import unrecorded_line
from secondroof.lines.deflection import BY_KEY
from secondroof.lines.finer import finer
from secondroof.lines.words import IN_PER_FT, LB_PER_KIP, BoolArray, FloatArray, Numeric

PERSON_LB = 300.0  # a person with a load; the size ASCE 7 gives for roofs under maintenance workers
G_IN_S2 = 386.09  # standard gravity
FIRM_HZ, SOFT_HZ = (
    5.0,
    3.0,
)  # common practice, no source: above firm; below, steps of a walking person drive it
_PARTS = 16
Feel = Literal["firm", "springy", "soft"]


@dataclass(frozen=True, slots=True, eq=False)
class Underfoot:
    """A line underfoot.

    Attributes
    ----------
    span_ft : (m,) array
        Spans. [ft]
    d_in : (..., m) array
        Deflection under the load, standing at mid-span of each span. [in]
    span_over_d : (..., m) array
        Span over that deflection. [-]
    f_1_Hz : (...) array
        First natural frequency of the line with the mass on it. [Hz]
    feel : tuple of str, or None
        For one line, ``firm``, ``springy`` or ``soft`` for each span; the worse of deflection and frequency.
    """

    span_ft: FloatArray
    d_in: FloatArray
    span_over_d: FloatArray
    f_1_Hz: FloatArray
    feel: tuple[Feel, ...] | None


@formula("f_1", unit="Hz", clause="Euler-Bernoulli bending; floor vibration practice pi/2 sqrt(g E I / (w L^4))",
         checked="definition: first mode of a simple span; equal continuous spans share it")  # fmt: skip
def simple_span_frequency(EI: Numeric, w: Numeric, L: Numeric) -> Numeric:
    """First natural frequency of a simple span, or of equal continuous spans [Hz].

    Parameters
    ----------
    EI : numeric
        Bending stiffness. [kip-in2]
    w : numeric
        Weight carried with it. [lb/ft]
    L : numeric
        Span. [ft]
    """
    return np.pi / 2.0 * np.sqrt(G_IN_S2 * EI / (w / 12000.0 * (12.0 * L) ** 4))


def point_deflections(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    *,
    release: ArrayLike | None = None,
    P_lb: float = PERSON_LB,
) -> FloatArray:
    """Deflection under a point load at the middle of each span [in]; the load rests on this line alone.

    Parameters
    ----------
    x_ft, support, EI_kip_in2, release
        As :func:`secondroof.lines.beam.solve_line`. The middle of every span must be a node.
    P_lb : float, optional
        The load. [lb]

    Returns
    -------
    (..., m) array
        One value a span. [in]

    Raises
    ------
    InputError
        The middle of a span has no node.
    """
    x, held = np.asarray(x_ft, dtype=float), np.asarray(support, dtype=bool)
    EI = np.asarray(EI_kip_in2, dtype=float)
    supports = x[held]
    middles = (supports[1:] + supports[:-1]) / 2
    at = np.argmin(np.abs(x[:, None] - middles), axis=0)
    off = np.abs(x[at] - middles) > 1e-3
    if np.any(off):
        raise InputError(
            Problem(
                "x_ft", f"{middles[off][0]:g} ft", "the middle of this span has no node.", "Add a node there."
            )
        )
    loads = np.zeros((at.size, x.size))
    loads[np.arange(at.size), at] = P_lb
    response = unrecorded_line(x, held, EI[..., None, :] if EI.ndim else EI, 0.0, 0.0, loads, release=release)
    return response.d_in[..., np.arange(at.size), at]


def first_frequency(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    weight_lb_ft: ArrayLike,
    *,
    release: ArrayLike | None = None,
) -> FloatArray:
    """First natural frequency of a line with the weight it carries [Hz].

    Parameters
    ----------
    x_ft, support, EI_kip_in2, release
        As :func:`secondroof.lines.beam.solve_line`.
    weight_lb_ft : (..., n-1) array_like
        Weight that swings with the line, its own included, between nodes; one number serves all. [lb/ft]

    Returns
    -------
    (...) array
        [Hz]

    Raises
    ------
    InputError
        A weight that is not above zero.

    Notes
    -----
    Mass is gathered at places a sixteenth of a span apart or closer; deflections under unit loads there give
    the largest eigenvalue, whose root is the period over 2 pi. Within 1e-5 of the exact value for equal spans.
    """
    x: FloatArray = np.asarray(x_ft, dtype=float)
    held: BoolArray = np.asarray(support, dtype=bool)
    EI, weight = np.asarray(EI_kip_in2, dtype=float), np.asarray(weight_lb_ft, dtype=float)
    if not np.all(weight > 0) or not np.all(np.isfinite(weight)):
        raise InputError(
            Problem("weight_lb_ft", "", "the weight that swings must be above zero.", "Weigh it.")
        )
    unrecorded_line(x, held, EI, weight, weight, 0.0, release=release)  # refuses a line that cannot be
    supports = x[held]
    # Each span in sixteenths or finer; an overhang in parts as long as those of the span beside it.
    span = np.diff(supports)[np.clip(np.searchsorted(supports, x[1:]) - 1, 0, supports.size - 2)]
    parts = np.ceil(np.diff(x) * _PARTS / span - 1e-9).astype(int)
    spread = np.repeat(np.broadcast_to(weight, (*weight.shape[:-1], x.size - 1)), parts, axis=-1)
    x, held, EI, cut = finer(x, held, EI, release, parts)
    piece = spread * np.diff(x) / 2
    lumps = np.zeros((*piece.shape[:-1], x.size))
    lumps[..., :-1] += piece
    lumps[..., 1:] += piece
    free = ~held
    unit = np.eye(x.size)[free] * LB_PER_KIP
    bent = unrecorded_line(x, held, EI[..., None, :], 0.0, 0.0, unit, release=cut)
    root = np.sqrt(lumps[..., free] / (LB_PER_KIP * G_IN_S2))
    matrix = root[..., :, None] * bent.d_in[..., free] * root[..., None, :]
    largest = np.linalg.eigvalsh((matrix + np.swapaxes(matrix, -1, -2)) / 2)[..., -1]
    f = np.asarray(1.0 / (2.0 * np.pi * np.sqrt(largest)))
    uneven = float(np.max(np.abs(matrix - np.swapaxes(matrix, -1, -2))) / np.max(np.abs(matrix)))
    note_step(
        "First natural frequency of the line", symbol="f_1", unit="Hz", clause="Euler-Bernoulli bending",
        inputs={"spans": tuple(float(v) for v in np.diff(x[held])), "weight": float(np.mean(weight)),
                "EI": float(np.mean(EI))},
        result=f if f.ndim else float(f), method=f"mass at {int(free.sum())} nodes, largest eigenvalue",
        checked="own derivation; simple and equal spans agree with pi/2 sqrt(g E I / (w L^4))",
        self_check=f"deflections mirror each other within {uneven:.1e}",
    )  # fmt: skip
    return f


def underfoot(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    weight_lb_ft: ArrayLike,
    *,
    release: ArrayLike | None = None,
    P_lb: float = PERSON_LB,
) -> Underfoot:
    """How a line feels: deflection under 300 lb in each span and first natural frequency.

    Parameters
    ----------
    x_ft, support, EI_kip_in2, weight_lb_ft, release, P_lb
        As :func:`point_deflections` and :func:`first_frequency`.

    Raises
    ------
    InputError
        As those two.
    """
    x = np.asarray(x_ft, dtype=float)
    held: BoolArray = np.asarray(support, dtype=bool)
    span = np.diff(x[held])
    d = point_deflections(x, held, EI_kip_in2, release=release, P_lb=P_lb)
    f = first_frequency(x, held, EI_kip_in2, weight_lb_ft, release=release)
    ratio = IN_PER_FT * span / d
    single = d.ndim == 1 and f.ndim == 0
    return Underfoot(span, d, ratio, f, tuple(_feel(r, f) for r in ratio) if single else None)


def _feel(span_over_d: Any, f_Hz: Any) -> Feel:
    if span_over_d < BY_KEY["underfoot.soft"].over or f_Hz < SOFT_HZ:
        return "soft"
    return "firm" if span_over_d >= BY_KEY["underfoot.firm"].over and f_Hz >= FIRM_HZ else "springy"
