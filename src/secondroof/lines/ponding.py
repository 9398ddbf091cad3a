"""Ponding: the flexibility criterion of the two-way method, and water on real purlin lines and frames.

The criterion looks at one bay of a flat roof with simple spans; the 2022 edition no longer carries it (from memory).
The other two functions follow the water itself over the purlin lines that are there (continuous, lapped, cut, of unlike
stiffness) and the frames under them; see
:mod:`secondroof.lines.wet` for the model. The sheet between purlins is taken as straight, strength is not looked at
here: the settled loads are given back to be checked as any other load.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, Problem
from secondroof.formula import formula, note_step
from secondroof.lines.beam import LineResponse, unrecorded_line
from secondroof.lines.finer import finer
from secondroof.lines.wet import Rest, amplified, come_to_rest
from secondroof.lines.words import PSF_PER_IN, BoolArray, FloatArray, Numeric

_AISC = "AISC 360-05 to -16 Appendix 2"
_SEEN = (
    "verified: constants and limit as quoted in a journal discussion of the clause; "
    "clause text not read, numbers of equations not confirmed"
)
SUM_LIMIT = 0.25
FINER = 3  # parts of a piece between two nodes in which the depth is taken straight


@formula("C_p", unit="-", clause=f"{_AISC}, Eq. A-2-3", checked=_SEEN)
def primary_flexibility(L_s: Numeric, L_p: Numeric, I_p: Numeric) -> Numeric:
    """Flexibility of the primary member for ponding [-].

    Parameters
    ----------
    L_s : numeric
        Span of the secondary members: distance between primary members. [ft]
    L_p : numeric
        Span of the primary member. [ft]
    I_p : numeric
        Second moment of the primary member. [in4]
    """
    return 32.0 * L_s * L_p**4 / (1e7 * I_p)


@formula("C_s", unit="-", clause=f"{_AISC}, Eq. A-2-4", checked=_SEEN)
def secondary_flexibility(S: Numeric, L_s: Numeric, I_s: Numeric) -> Numeric:
    """Flexibility of the secondary members for ponding [-].

    Parameters
    ----------
    S : numeric
        Spacing of the secondary members. [ft]
    L_s : numeric
        Their span. [ft]
    I_s : numeric
        Second moment of one. [in4]
    """
    return 32.0 * S * L_s**4 / (1e7 * I_s)


@formula("C_p + 0.9 C_s", unit="-", clause=f"{_AISC}, Eq. A-2-1: at most 0.25", checked=_SEEN)
def flexibility_sum(C_p: Numeric, C_s: Numeric) -> Numeric:
    """Flexibility of a two-way bay for ponding [-].

    Up to 0.25, and with a deck stiff enough, no further look is asked.

    Parameters
    ----------
    C_p, C_s : numeric
        Flexibilities of primary and secondary members. [-]
    """
    return C_p + 0.9 * C_s


@formula("I_d,min", unit="in4/ft", clause=f"{_AISC}, Eq. A-2-2",
         checked="verified: constant as used in a public worksheet on the clause; clause text not read")  # fmt: skip
def least_deck_inertia(S: Numeric) -> Numeric:
    """Least second moment of the deck for ponding, per foot of width [in4/ft].

    Parameters
    ----------
    S : numeric
        Span of the deck: spacing of the secondary members. [ft]
    """
    return 25.0 * S**4 * 1e-6


@formula(
    "A_f",
    unit="-",
    clause="own derivation",
    checked="own derivation; exact for one half-wave on a simple span",
)
def one_way_amplification(C: Numeric) -> Numeric:
    """Growth of deflection by ponding of a member on supports that do not sink [-].

    Infinite from C = 1 on.

    Parameters
    ----------
    C : numeric
        Flexibility for ponding. [-]
    """
    return np.where(C < 1.0, 1.0 / (1.0 - np.minimum(C, 0.9999999999)), np.inf)


@dataclass(frozen=True, slots=True, eq=False)
class LinePonding:
    """Water on one purlin line.

    Attributes
    ----------
    stiff_in, depth_in : (n,) array
        Depth on the unloaded line, and at rest; NaN where it runs away. [in]
    growth : float
        Share of an added inch that comes back; 1 or more runs away. [-]
    settles : bool
        True where the water comes to rest.
    amplification : float
        Water at rest over water on the same line if it were stiff; infinite where it runs away. [-]
    moment_amplification : float
        The same of the largest moment under water alone. [-]
    water_lb : float
        Weight of the water at rest. [lb]
    response : LineResponse or None
        The line under the other loads and the water at rest, with two more nodes between those given.
    passes, residual
        As :class:`secondroof.lines.wet.Rest`.
    """

    stiff_in: FloatArray
    depth_in: FloatArray
    growth: float
    settles: bool
    amplification: float
    moment_amplification: float
    water_lb: float
    response: LineResponse | None
    passes: int
    residual: float


@dataclass(frozen=True, slots=True, eq=False)
class BayPonding:
    """Water on parallel purlin lines over frames that sink.

    Attributes
    ----------
    stiff_in, depth_in, deflection_in : (p, n) array
        Depth on the unloaded roof, depth at rest, deflection under the water at rest, frames included. [in]
    frame_in : (p, k) array
        How far each purlin's supports sink with the frames. [in]
    growth, settles, amplification, water_lb, passes, residual
        As :class:`LinePonding`.
    """

    stiff_in: FloatArray
    depth_in: FloatArray
    deflection_in: FloatArray
    frame_in: FloatArray
    growth: float
    settles: bool
    amplification: float
    water_lb: float
    passes: int
    residual: float


def ponding_line(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    width_ft: float,
    stiff_in: ArrayLike,
    *,
    other_lb_ft: ArrayLike = 0.0,
    release: ArrayLike | None = None,
) -> LinePonding:
    """Water on one purlin line: where it comes to rest, or that it does not.

    Parameters
    ----------
    x_ft, support, release
        As :func:`secondroof.lines.beam.solve_line`.
    EI_kip_in2 : (n-1,) array_like
        Stiffness between nodes, or one number. [kip-in2]
    width_ft : float
        Width of roof the line carries. [ft]
    stiff_in : (n,) array_like
        Depth of water if the line did not bend: water level less height of the surface; negative where it stands
        clear. One number serves all. [in]
    other_lb_ft : (n-1,) array_like, optional
        Other load that is there while it rains; its deflection holds water too. [lb/ft]

    Raises
    ------
    InputError
        As ``solve_line``; or a width not above zero.

    Notes
    -----
    Depth is taken straight between places a third of a piece apart; with twenty pieces a span the growth is 0.03
    percent low.
    """
    x, EI = np.asarray(x_ft, dtype=float), np.asarray(EI_kip_in2, dtype=float)
    _above_zero("width_ft", width_ft)
    stiff = np.broadcast_to(np.asarray(stiff_in, dtype=float), x.shape)
    if not np.all(np.isfinite(stiff)):
        raise InputError(Problem("stiff_in", "", "every depth must be a number.", "Take levels of the roof."))
    fine = finer(x, support, EI, release, FINER)
    other = np.repeat(np.broadcast_to(np.asarray(other_lb_ft, dtype=float), (x.size - 1,)), FINER)
    own = unrecorded_line(*fine[:3], other, other, 0.0, release=fine[3])
    per_inch = PSF_PER_IN * width_ft
    stiff_fine = np.interp(fine[0], x, stiff)
    rest = come_to_rest(per_inch * water_influence(*fine[:3], release=fine[3]), stiff_fine + own.d_in)
    still = per_inch * np.maximum(stiff_fine, 0.0)
    still_lb = float(np.trapezoid(still, fine[0]))
    response, moment, water_lb = None, np.inf, np.inf
    if rest.settles:
        w = per_inch * rest.depth_in
        water_lb = float(np.trapezoid(w, fine[0]))
        response = unrecorded_line(*fine[:3], w[:-1] + other, w[1:] + other, 0.0, release=fine[3])
        pair = [unrecorded_line(*fine[:3], v[:-1], v[1:], 0.0, release=fine[3]).M_kip_in for v in (still, w)]
        moment = amplified(float(np.abs(pair[1]).max()), float(np.abs(pair[0]).max()))
    result = LinePonding(
        stiff, rest.depth_in[::FINER], rest.growth, rest.settles, amplified(water_lb, still_lb), moment, water_lb,
        response, rest.passes, rest.residual,
    )  # fmt: skip
    spans = tuple(float(v) for v in np.diff(x[np.asarray(support, dtype=bool)]))
    _note("Water on a purlin line", rest, result.amplification, {"spans": spans, "width": width_ft,
          "depth_most": float(stiff.max()), "EI_least": float(EI.min())})  # fmt: skip
    return result


def ponding_bay(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    y_ft: ArrayLike,
    width_ft: ArrayLike,
    stiff_in: ArrayLike,
    frame_EI_kip_in2: ArrayLike,
    frame_supports_ft: ArrayLike,
    *,
    release: ArrayLike | None = None,
    other_in: ArrayLike = 0.0,
) -> BayPonding:
    """Water on parallel purlin lines that rest on frames which sink too.

    Parameters
    ----------
    x_ft, support, release
        Nodes along the purlins, alike for all; supports are the frames.
    EI_kip_in2 : (p, n-1) array_like
        Stiffness of each purlin line; one row or one number serves all. [kip-in2]
    y_ft : (p,) array_like
        Places of the purlins along the frame, in order. [ft]
    width_ft : (p,) array_like
        Width of roof each carries. [ft]
    stiff_in : (p, n) array_like
        Depth if nothing bent, as in :func:`ponding_line`; a (p, 1) column serves a level line. [in]
    frame_EI_kip_in2 : (k,) array_like
        Stiffness of the beam of each frame; ``inf`` for one that does not sink (an end wall on posts). [kip-in2]
    frame_supports_ft : (c,) array_like
        Columns along the frame, two or more; the beam runs over them without joints. [ft]
    other_in : (p, n) array_like, optional
        Deflection already there under other loads. [in]

    Raises
    ------
    InputError
        As ``solve_line``; or purlins out of order, shapes that do not fit.

    Notes
    -----
    Unknowns are all nodes of all lines: keep to the bays and purlins the water can reach. Depth is straight between
    nodes: with twenty parts a span the growth is 0.2 percent low, with twelve 0.6 percent.
    """
    x, held, y = np.asarray(x_ft, dtype=float), np.asarray(support, dtype=bool), np.asarray(y_ft, dtype=float)
    p, n, k = y.size, x.size, int(held.sum())
    try:
        EI = np.broadcast_to(np.asarray(EI_kip_in2, dtype=float), (p, n - 1))
        width = np.broadcast_to(np.asarray(width_ft, dtype=float), (p,))
        stiff = np.broadcast_to(np.asarray(stiff_in, dtype=float), (p, n))
        other = np.broadcast_to(np.asarray(other_in, dtype=float), (p, n))
        frame_EI = np.broadcast_to(np.asarray(frame_EI_kip_in2, dtype=float), (k,))
    except ValueError as error:
        raise InputError(Problem("ponding_bay", str(error), "shapes do not fit each other.", "")) from None
    for width_j in width:
        _above_zero("width_ft", float(width_j))
    per_inch = PSF_PER_IN * width
    A, sink = _bay_operator(x, held, EI, y, per_inch, frame_EI, frame_supports_ft, release)
    rest = come_to_rest(A, (stiff + other).ravel())
    depth = rest.depth_in.reshape(p, n)
    still_lb = float(np.sum(per_inch * np.trapezoid(np.maximum(stiff, 0.0), x, axis=-1)))
    water_lb = float(np.sum(per_inch * np.trapezoid(depth, x, axis=-1))) if rest.settles else np.inf
    result = BayPonding(
        stiff, depth, (A @ rest.depth_in).reshape(p, n), (sink @ rest.depth_in).reshape(p, k), rest.growth,
        rest.settles, amplified(water_lb, still_lb), water_lb, rest.passes, rest.residual,
    )  # fmt: skip
    _note("Water on purlin lines over frames", rest, result.amplification,
          {"purlins": p, "spans": tuple(float(v) for v in np.diff(x[held])), "depth_most": float(stiff.max()),
           "EI_least": float(EI.min()), "EI_frame": float(frame_EI.min())})  # fmt: skip
    return result


def water_influence(
    x_ft: ArrayLike, support: ArrayLike, EI_kip_in2: ArrayLike, *, release: ArrayLike | None = None
) -> FloatArray:
    """Deflection at every node (rows) per load at every node (columns) that falls to nothing at its neighbours.

    Parameters
    ----------
    x_ft, support, EI_kip_in2, release
        As :func:`secondroof.lines.beam.solve_line`.

    Returns
    -------
    (n, n) array
        [in per lb/ft]
    """
    w0, w1 = _hats(np.asarray(x_ft).size)
    return unrecorded_line(x_ft, support, EI_kip_in2, w0, w1, 0.0, release=release).d_in.T


def _note(title: str, rest: Rest, factor: float, inputs: dict[str, object]) -> None:
    end = (
        f"rests after {rest.passes} rounds" if rest.settles else f"runs away, seen after {rest.passes} rounds"
    )
    note_step(
        title, symbol="A_f", unit="-", clause="own derivation", inputs=inputs, result=factor,
        method=f"depth = max(0, stiff + deflection) at every node; growth {rest.growth:.4g}; {end}",
        checked="own derivation; simple span agrees with the exact solution",
        self_check=f"depth agrees with deflection within {rest.residual:.1e}",
    )  # fmt: skip


def _above_zero(name: str, value: float) -> None:
    if not (np.isfinite(value) and value > 0):
        raise InputError(Problem(name, str(value), "must be above zero.", "Measure it."))


def _hats(n: int) -> tuple[FloatArray, FloatArray]:
    """Loads of 1 at one node falling to 0 at its neighbours, node by node: left and right ends of every piece."""
    unit = np.eye(n)
    return unit[:, :-1], unit[:, 1:]


def _bay_operator(
    x: FloatArray,
    held: BoolArray,
    EI: FloatArray,
    y: FloatArray,
    per_inch: FloatArray,
    frame_EI: FloatArray,
    frame_supports_ft: ArrayLike,
    release: ArrayLike | None,
) -> tuple[FloatArray, FloatArray]:
    """Deflection of every node, and sinking of every support, per inch of water at every node."""
    p, n, k = y.size, x.size, frame_EI.size
    w0, w1 = _hats(n)
    load = unrecorded_line(x, held, EI[:, None, :], w0, w1, 0.0, release=release)
    lift = np.zeros((k, n))
    lift[np.arange(k), np.flatnonzero(held)] = 1.0
    moved = unrecorded_line(x, held, EI[:, None, :], 0.0, 0.0, 0.0, release=release, settle_in=lift)
    frame = _frame_give(y, frame_EI, frame_supports_ft)
    # Support j, a sinks by frame[a, j, m] times the reaction of purlin m: from water, and from sinking itself.
    R_water = load.R_lb[..., held] * per_inch[:, None, None]  # (p, n, k)
    R_moved = moved.R_lb[..., held]  # (p, k, k): reaction at a when support b sinks an inch
    from_water = np.einsum("ajm,mia->jami", frame, R_water).reshape(p * k, p * n)
    from_sink = np.einsum("ajm,mba->jamb", frame, R_moved).reshape(p * k, p * k)
    sink = np.linalg.solve(np.eye(p * k) - from_sink, from_water)
    own = np.zeros((p, n, p, n))
    own[np.arange(p), :, np.arange(p), :] = np.swapaxes(load.d_in, -1, -2) * per_inch[:, None, None]
    carried = np.einsum("jai,jaq->jiq", moved.d_in, sink.reshape(p, k, p * n)).reshape(p * n, p * n)
    return own.reshape(p * n, p * n) + carried, sink


def _frame_give(y: FloatArray, frame_EI: FloatArray, frame_supports_ft: ArrayLike) -> FloatArray:
    """Deflection of each frame at each purlin per lb at each purlin, (k, p, p) [in/lb]."""
    columns = np.atleast_1d(np.asarray(frame_supports_ft, dtype=float))
    if np.any(np.diff(y) <= 0) or not np.all(np.isfinite(y)):
        raise InputError(Problem("y_ft", "", "purlins must be numbers in order, none twice.", ""))
    if not np.all(frame_EI > 0):
        raise InputError(
            Problem("frame_EI_kip_in2", "", "must be above zero; inf for one that does not sink.", "")
        )
    nodes = np.unique(np.concatenate((y, columns)))
    unit = np.eye(nodes.size)[np.searchsorted(nodes, y)]
    give = unrecorded_line(nodes, np.isin(nodes, columns), 1.0, 0.0, 0.0, unit).d_in[
        :, np.searchsorted(nodes, y)
    ]
    return give[None] / frame_EI[:, None, None]
