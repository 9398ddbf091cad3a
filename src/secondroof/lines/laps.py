"""Stiffness along a purlin line with laps, and the three ways such a line may be looked at.

Where two purlins lap over a frame both bend together between the lap bolts, so both second moments are counted there.
Bolted laps slip a little and are less stiff than that: the sum is the safe way for moments over supports, one member
throughout (laps not counted) is the safe way for moments in the spans. A lap shorter than one and a half depths each
side may not carry the moment across at all: the third way cuts the line there. All three are shown; none alone decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, Problem
from secondroof.lines.beam import SAME_PLACE_FT
from secondroof.lines.words import IN_PER_FT, BoolArray, FloatArray
from secondroof.steel.numeric import E

E_KSI = E  # cold-formed steel
LEAST_DEPTHS = 1.5  # AISI S100-16 I6.2.1 condition of continuous purlins; from memory
WayKey = Literal["laps_counted", "prismatic", "short_laps_cut"]


@dataclass(frozen=True, slots=True, eq=False)
class ShortLaps:
    """Supports whose laps are too short to be relied on.

    Attributes
    ----------
    short : (k,) bool array
        A lap on either side is under one and a half depths. End supports are never short: there is nothing to lap.
    unknown : (k,) bool array
        A lap on either side was not measured (NaN). Not counted as long anywhere.
    least_ft : (k,) array
        Shortest lap side that would do. [ft]
    """

    short: BoolArray
    unknown: BoolArray
    least_ft: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """One way of looking at the line.

    Attributes
    ----------
    key : str
        ``laps_counted``, ``prismatic`` or ``short_laps_cut``.
    title : str
        In a foreman's words.
    EI_kip_in2 : (..., n-1) array
        Stiffness between nodes. [kip-in2]
    release : (n,) bool array
        Where the line is cut over a support.
    differs : bool
        False where this way gives the same line as the first.
    """

    key: WayKey
    title: str
    EI_kip_in2: FloatArray
    release: BoolArray
    differs: bool


def lap_ends(supports_ft: ArrayLike, lap_left_ft: ArrayLike, lap_right_ft: ArrayLike) -> FloatArray:
    """Places where laps end, for the nodes of the line [ft].

    Parameters
    ----------
    supports_ft : (k,) array_like
        Supports. [ft]
    lap_left_ft, lap_right_ft : (k,) array_like
        Lap each side of each support, from its centre; 0 for none, NaN where not measured. [ft]

    Raises
    ------
    InputError
        Lengths below zero, or laps that meet in a bay.
    """
    supports, left, right = _laps(supports_ft, lap_left_ft, lap_right_ft)
    inner = slice(1, -1)
    ends = np.concatenate((supports[inner] - left[inner], supports[inner] + right[inner]))
    lengths = np.concatenate((left[inner], right[inner]))
    return np.unique(ends[np.isfinite(ends) & (lengths > SAME_PLACE_FT)])


def neighbours(
    x_ft: ArrayLike, supports_ft: ArrayLike, lap_left_ft: ArrayLike, lap_right_ft: ArrayLike
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Bay of each piece of the line, and the bay whose purlin is lapped onto it there (-1 for none).

    Parameters
    ----------
    x_ft : (n,) array_like
        Nodes; lap ends must be among them. [ft]
    supports_ft : (k,) array_like
        Supports. [ft]
    lap_left_ft, lap_right_ft : (k,) array_like
        As :func:`lap_ends`. [ft]

    Returns
    -------
    bay, second : (n-1,) int array
        Bays counted from 0; an overhang belongs to the end bay.
    """
    supports, left, right = _laps(supports_ft, lap_left_ft, lap_right_ft)
    x = np.asarray(x_ft, dtype=float)
    middle = (x[1:] + x[:-1]) / 2
    bays = supports.size - 1
    bay = np.clip(np.searchsorted(supports, middle) - 1, 0, bays - 1)
    # NaN laps compare False: a lap nobody measured is not counted.
    from_right = (bay < bays - 1) & (middle > supports[bay + 1] - left[bay + 1])
    from_left = (bay > 0) & (middle < supports[bay] + right[bay])
    second = np.where(from_right, bay + 1, np.where(from_left, bay - 1, -1))
    return bay, second


def line_I(
    x_ft: ArrayLike,
    supports_ft: ArrayLike,
    bay_I_in4: ArrayLike,
    lap_left_ft: ArrayLike,
    lap_right_ft: ArrayLike,
    *,
    laps_counted: bool = True,
) -> FloatArray:
    """Second moment of the line between nodes, both purlins counted within a lap [in4].

    Parameters
    ----------
    x_ft : (n,) array_like
        Nodes. [ft]
    supports_ft : (k,) array_like
        Supports. [ft]
    bay_I_in4 : (..., k-1) array_like
        Second moment of the purlin of each bay. [in4]
    lap_left_ft, lap_right_ft : (k,) array_like
        As :func:`lap_ends`. [ft]
    laps_counted : bool, optional
        False takes one purlin throughout.

    Returns
    -------
    (..., n-1) array
        [in4]

    Raises
    ------
    InputError
        As :func:`lap_ends`; or bays and supports that do not fit.
    """
    I = np.asarray(bay_I_in4, dtype=float)
    k = np.atleast_1d(np.asarray(supports_ft)).size
    if I.ndim == 0 or I.shape[-1] != k - 1:
        raise InputError(
            Problem("bay_I_in4", f"shape {I.shape}", f"must hold {k - 1} values, one a bay.", "")
        )
    bay, second = neighbours(x_ft, supports_ft, lap_left_ft, lap_right_ft)
    own = I[..., bay]
    if not laps_counted:
        return own
    return np.where(second >= 0, own + I[..., np.maximum(second, 0)], own)


def short_laps(lap_left_ft: ArrayLike, lap_right_ft: ArrayLike, depth_in: ArrayLike) -> ShortLaps:
    """Supports with a lap under one and a half purlin depths on either side, AISI S100-16 I6.2.1 (from memory).

    Parameters
    ----------
    lap_left_ft, lap_right_ft : (k,) array_like
        Lap each side of each support, from its centre; NaN where not measured. [ft]
    depth_in : array_like
        Depth of the purlins, one number or one a bay (k-1,); the deeper of the two that meet counts. [in]

    Raises
    ------
    InputError
        Shapes that do not fit or a depth not above zero.
    """
    left, right = (np.atleast_1d(np.asarray(v, dtype=float)) for v in (lap_left_ft, lap_right_ft))
    depth = np.asarray(depth_in, dtype=float)
    if left.shape != right.shape or left.ndim != 1 or depth.shape not in ((), (left.size - 1,)):
        given = f"laps {left.shape} and {right.shape}, depths {depth.shape}"
        raise InputError(
            Problem("lap_left_ft", given, "one lap each side of each support, one depth a bay.", "")
        )
    if not np.all(depth > 0):
        raise InputError(
            Problem("depth_in", str(depth_in), "depth must be above zero.", "Measure the purlin.")
        )
    bays = np.broadcast_to(depth, (left.size - 1,))
    least = LEAST_DEPTHS * np.maximum(np.append(bays[:1], bays), np.append(bays, bays[-1:])) / IN_PER_FT
    inner = np.ones(left.size, dtype=bool)
    inner[[0, -1]] = False
    shorter = (left < least - SAME_PLACE_FT) | (right < least - SAME_PLACE_FT)
    return ShortLaps(inner & shorter, inner & (np.isnan(left) | np.isnan(right)), least)


def three_ways(
    x_ft: ArrayLike,
    supports_ft: ArrayLike,
    bay_I_in4: ArrayLike,
    lap_left_ft: ArrayLike,
    lap_right_ft: ArrayLike,
    depth_in: ArrayLike,
    *,
    E_ksi: float = E_KSI,
) -> tuple[Way, Way, Way]:
    """The line with laps counted, prismatic, and cut where laps are short or were not measured.

    Parameters
    ----------
    x_ft : (n,) array_like
        Nodes, with every support and lap end among them. [ft]
    supports_ft, bay_I_in4, lap_left_ft, lap_right_ft
        As :func:`line_I`.
    depth_in : array_like
        As :func:`short_laps`. [in]
    E_ksi : float, optional
        Modulus of elasticity. [ksi]

    Raises
    ------
    InputError
        As :func:`line_I` and :func:`short_laps`.
    """
    supports, left, right = _laps(supports_ft, lap_left_ft, lap_right_ft)
    x = np.asarray(x_ft, dtype=float)
    found = short_laps(left, right, depth_in)
    cut_supports = found.short | found.unknown
    near = np.abs(x[:, None] - supports) <= SAME_PLACE_FT
    if not np.all(near.any(axis=0)):
        missing = supports[~near.any(axis=0)][0]
        raise InputError(Problem("x_ft", f"{missing:g} ft", "no node stands on this support.", "Add it."))
    cut = np.asarray((near & cut_supports).any(axis=1))
    whole = np.zeros(x.shape, dtype=bool)
    counted = E_ksi * line_I(x, supports, bay_I_in4, left, right)
    single = E_ksi * line_I(x, supports, bay_I_in4, left, right, laps_counted=False)
    # A cut lap holds no moment, so its second member adds no stiffness either.
    long_left, long_right = (np.where(cut_supports, 0.0, v) for v in (left, right))
    cut_EI = E_ksi * line_I(x, supports, bay_I_in4, long_left, long_right)
    return (
        Way("laps_counted", "continuous, both purlins counted in each lap", counted, whole, False),
        Way("prismatic", "continuous, laps not counted", single, whole, bool(np.any(single != counted))),
        Way(
            "short_laps_cut",
            "cut over each frame where the lap is short or unknown",
            cut_EI,
            cut,
            bool(cut.any()),
        ),
    )


def _laps(
    supports_ft: ArrayLike, lap_left_ft: ArrayLike, lap_right_ft: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    supports = np.atleast_1d(np.asarray(supports_ft, dtype=float))
    left, right = (np.asarray(v, dtype=float) for v in (lap_left_ft, lap_right_ft))
    k = supports.size
    if k < 2 or not np.all(np.diff(supports) > 0):
        raise InputError(Problem("supports_ft", "", "two supports at least, in order, none twice.", ""))
    problems = []
    for name, lap in (("lap_left_ft", left), ("lap_right_ft", right)):
        if lap.shape not in ((), (k,)):
            problems.append(Problem(name, f"shape {lap.shape}", f"must hold {k} values, one a support.", ""))
        elif np.any(lap < 0) or np.any(np.isinf(lap)):
            problems.append(
                Problem(name, "", "a lap is zero or more, measured from the frame.", "Measure it.")
            )
    if problems:
        raise InputError(problems)
    left, right = np.broadcast_to(left, (k,)), np.broadcast_to(right, (k,))
    reach = np.nan_to_num(right[:-1]) * (np.arange(k - 1) > 0) + np.nan_to_num(left[1:]) * (
        np.arange(1, k) < k - 1
    )
    over = reach > np.diff(supports)
    if np.any(over):
        bay = int(np.flatnonzero(over)[0])
        raise InputError(
            Problem(f"lap_left_ft[{bay + 1}]", f"{reach[bay]:g} ft", f"laps meet in bay {bay + 1}.",
                    "Give each lap from the centre of its frame, one side at a time.")
        )  # fmt: skip
    return supports, left, right
