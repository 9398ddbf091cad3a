"""Effects against strengths at every critical point of a line: span, lap end, support, under each point load.

Every row of combinations is looked at with its own moment, shear and reaction together. Rows in which wind lifts are
checked where the bottom flange of the span is compressed; all others where the top flange is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from secondroof.purlins.effects import Effects

FloatArray = NDArray[np.float64]

#: Points of a line that are checked: key, a foreman's words, pulled up or pressed down.
POINTS: dict[str, tuple[str, str]] = {
    "span": ("bending in the span", "down"),
    "lap end": ("bending and shear at the end of a lap", "down"),
    "seat": ("bending and shear over a frame", "down"),
    "turned": ("a whole span bent upward beside loaded neighbours", "down"),
    "bearing": ("web crippling over a frame, with bending", "down"),
    "lifted span": ("bending in the span, lifted", "up"),
    "lifted seat": ("bending and shear over a frame, lifted", "up"),
}


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """Available strengths of one plane's lines by one method (ASD allowable or LRFD design); NaN where not known.

    Attributes
    ----------
    span, bare : (n_line, n_bay) array
        Moment with the top flange compressed in the span, and with the bare bottom flange compressed. [kip-in]
    turned : (n_line, n_bay) array
        The bare bottom flange compressed in a span that hogs throughout beside loaded neighbours. [kip-in]
    hog : callable
        ``hog(i, length_in)`` for line i and lengths (n_row, 2 n_bay): moment at the left and right lap end of each
        bay, its bottom flange compressed over that length to where the moment changes sign. [kip-in]
    shear : (n_line, n_bay) array
        Shear of one member. [kip]
    seat, seat_lifted : (n_line, n_frame) array
        Moment over a frame, both lapping members where the lap counts: bottom flange compressed, top flange
        compressed. [kip-in]
    seat_shear : (n_line, n_frame) array
        Shear on one side of a frame. [kip]
    bearing : (n_line, n_frame) array
        Reaction that cripples the web, alone. [kip]
    side : (n_line, n_bay) array or None
        Reaction of one member's end that cripples its web, where every member ends at its frames. [kip]
    press : callable
        ``press(P, M)`` with P and M of shape (n_line, n_row, n_frame): share used by crippling with bending. [-]
    """

    span: FloatArray
    bare: FloatArray
    turned: FloatArray
    hog: Callable[[int, FloatArray], FloatArray]
    shear: FloatArray
    seat: FloatArray
    seat_lifted: FloatArray
    seat_shear: FloatArray
    bearing: FloatArray
    side: FloatArray | None
    press: Callable[[int, FloatArray, FloatArray], FloatArray]


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Worst of one kind of point in every bay of every line.

    Attributes
    ----------
    ratio : (n_line, n_bay) array
        Demand over capacity; 0 where the point is never loaded that way; NaN where the strength is not known.
    node, row : (n_line, n_bay) int array
        Place along the line, and combination, of the worst.
    demand, capacity : (n_line, n_bay) array
        Moment [kip-in] (reaction [kip] for bearing) and its strength there.
    shear : (n_line, n_bay) array
        Shear that stands with it. [kip]
    """

    ratio: FloatArray
    node: NDArray[np.intp]
    row: NDArray[np.intp]
    demand: FloatArray
    capacity: FloatArray
    shear: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Where the critical points of a plane's lines are.

    Attributes
    ----------
    bay : (n_node,) int array
        Bay of each node; a frame belongs to the bay on its right.
    frame : (n_frame,) int array
        Nodes of the frames.
    between : (n_line, n_bay, 2) int array
        Nodes of the lap ends near the left and right frame of each bay; the frames themselves where there is no lap.
    """

    bay: NDArray[np.intp]
    frame: NDArray[np.intp]
    between: NDArray[np.intp]


def places_of(x_ft: FloatArray, frames_ft: FloatArray, lap_in: FloatArray) -> Places:
    """Critical points of the lines of one plane.

    Parameters
    ----------
    x_ft : ndarray, shape (n_node,)
        Places along the line. [ft]
    frames_ft : ndarray, shape (n_frame,)
        Frame lines. [ft]
    lap_in : ndarray, shape (n_line, n_frame)
        Lap each side of each frame; NaN where there is none or it is not counted. [in]
    """
    lap = np.nan_to_num(lap_in) / 12.0
    ends = np.stack([frames_ft[:-1] + lap[:, :-1], frames_ft[1:] - lap[:, 1:]], axis=-1)
    between = np.argmin(np.abs(ends[..., None] - x_ft), axis=-1)
    bay = np.clip(np.searchsorted(frames_ft, x_ft, side="right") - 1, 0, frames_ft.size - 2)
    frame = np.argmin(np.abs(frames_ft[:, None] - x_ft), axis=-1)
    return Places(bay, frame, between)


def share(value: FloatArray, capacity: FloatArray) -> FloatArray:
    """Share of a strength; nothing asked is nothing used, also of a strength that is not known. [-]"""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(value > 0, value / capacity, np.where(np.isnan(value), np.nan, 0.0))


def rank(ratio: FloatArray) -> FloatArray:
    """Order of ratios: a shortage stands before what is not known, and that before what holds."""
    return np.where(np.isnan(ratio), 1.0 + 1e-12, ratio)


def ratios(
    effects: Effects, factors: FloatArray, lifts: NDArray[np.bool_], limits: Limits, places: Places
) -> Mapping[str, Found]:
    """Worst ratio of every kind of point in every bay of every line.

    Parameters
    ----------
    effects : Effects
        What the cases do.
    factors : ndarray, shape (n_row, n_case)
        Rows of combinations.
    lifts : ndarray of bool, shape (n_row,)
        Rows in which wind lifts.
    limits : Limits
        Strengths by the method of the rows.
    places : Places
        Critical points.

    Returns
    -------
    mapping of key of ``POINTS`` to Found
    """
    per_line = [_line(effects, factors, lifts, limits, places, i) for i in range(limits.span.shape[0])]
    return {
        key: Found(*(np.array([line[key][k] for line in per_line]) for k in range(6))) for key in POINTS
    }  # fmt: skip


#: Worst row at each of some places: ratio, node, row, demand, shear.
Picked = tuple[FloatArray, NDArray[np.intp], NDArray[np.intp], FloatArray, FloatArray]
#: Worst of one point of one line: ratio, node, row, demand, capacity, shear, each (n_bay,).
Worst = tuple[FloatArray, NDArray[np.intp], NDArray[np.intp], FloatArray, FloatArray, FloatArray]


def _line(
    effects: Effects, factors: FloatArray, lifts: NDArray[np.bool_], limits: Limits, places: Places, i: int
) -> dict[str, Worst]:
    kip = 1e-3
    M = factors @ effects.M[:, i]
    R = kip * (factors @ effects.R[:, i][:, places.frame])
    down, up = np.flatnonzero(~lifts), np.flatnonzero(lifts)
    ends = places.between[i].ravel()  # left and right lap end of each bay
    sides = np.stack([places.frame[:-1], places.frame[1:]], axis=-1).ravel()
    frame = np.stack([np.arange(places.frame.size - 1), np.arange(1, places.frame.size)], axis=-1).ravel()
    first = np.arange(sides.size) % 2 == 0
    inner = kip * np.abs(
        factors @ np.where(first, effects.V_right[:, i][:, sides], effects.V_left[:, i][:, sides])
    )
    V = kip * np.maximum(
        np.abs(factors @ effects.V_left[:, i][:, ends]), np.abs(factors @ effects.V_right[:, i][:, ends])
    )
    every = np.arange(M.shape[1])
    none = np.full((1, every.size), np.nan)
    sag = _pick(M, none, down, every, share(np.maximum(M[down], 0), limits.span[i, places.bay]), 1.0)
    bare = _pick(M, none, up, every, share(np.maximum(-M[up], 0), limits.bare[i, places.bay]), -1.0)
    out = {
        "span": _in_bays(sag, limits.span[i], places, i),
        "lifted span": _in_bays(bare, limits.bare[i], places, i),
    }
    hog = np.maximum(-M[np.ix_(down, ends)], 0)
    length, throughout = hogging(M[down], effects.x_ft, places.between[i])
    strength = limits.hog(i, length)
    sheared = share(V[down], np.repeat(limits.shear[i], 2))
    both = np.where(throughout, 0.0, np.hypot(share(hog, strength), sheared))
    picked = _pick(M[:, ends], V, down, ends, both, -1.0)
    used = strength[np.searchsorted(down, picked[2]), np.arange(ends.size)] if down.size else picked[0]
    out["lap end"] = _of_sides(picked, used)
    turned = np.repeat(limits.turned[i], 2)
    both = np.where(throughout, np.hypot(share(hog, turned), sheared), 0.0)
    out["turned"] = _of_sides(_pick(M[:, ends], V, down, ends, both, -1.0), turned)
    for key, rows, sign, strength in (
        ("seat", down, -1.0, limits.seat[i]), ("lifted seat", up, 1.0, limits.seat_lifted[i]),
    ):  # fmt: skip
        moment = np.maximum(sign * M[np.ix_(rows, sides)], 0)
        both = np.hypot(share(moment, strength[frame]), share(inner[rows], limits.seat_shear[i, frame]))
        out[key] = _of_sides(_pick(M[:, sides], inner, rows, sides, both, sign), strength[frame])
    pressed, moment = np.maximum(R[down], 0), np.maximum(-M[np.ix_(down, places.frame)], 0)
    both = np.maximum(share(pressed, limits.bearing[i]), limits.press(i, pressed, moment))[:, frame]
    if limits.side is not None:  # each end stands on its own web
        both = share(np.where(pressed[:, frame] > 0, inner[down], 0.0), np.repeat(limits.side[i], 2))
    picked = _pick(R[:, frame], inner, down, sides, both, 1.0)
    out["bearing"] = _of_sides(picked, limits.bearing[i, frame])
    return out


def hogging(
    M: FloatArray, x_ft: FloatArray, between: NDArray[np.intp]
) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Way from each lap end to where the moment changes sign, and whether it hogs throughout; (n_row, 2 n_bay). [in]

    0 where the lap end does not hog; the whole bay between the lap ends where nothing in it sags.
    """
    length = np.zeros((M.shape[0], 2 * between.shape[0]))
    throughout = np.zeros(length.shape, dtype=bool)
    for b, (a, z) in enumerate(between):
        part, place = M[:, a : z + 1], 12.0 * x_ft[a : z + 1]
        sags: NDArray[np.bool_] = np.asarray(part >= 0, dtype=bool)
        some = np.asarray(sags.any(axis=1))
        first = sags.argmax(axis=1)
        last = place.size - 1 - np.flip(sags, axis=1).argmax(axis=1)
        whole = place[-1] - place[0]
        length[:, 2 * b] = np.where(some, place[first] - place[0], whole)
        length[:, 2 * b + 1] = np.where(some, place[-1] - place[last], whole)
        throughout[:, 2 * b : 2 * b + 2] = ~some[:, None]
    return length, throughout


def _pick(
    E: FloatArray,
    V: FloatArray,
    rows: NDArray[np.intp],
    nodes: NDArray[np.intp],
    ratio: FloatArray,
    sign: float,
) -> Picked:
    """Worst row at each place; E and V hold every row at these places, ``ratio`` those of ``rows`` only.

    V of one row is the same for all: no shear is looked at there.
    """
    if not rows.size:
        zero = np.zeros(nodes.size)
        return zero, nodes, np.zeros(nodes.size, dtype=np.intp), zero, zero
    k, at = np.argmax(rank(ratio), axis=0), np.arange(nodes.size)
    shear = V[rows[k], at] if V.shape[0] == E.shape[0] else V[0]
    return ratio[k, at], nodes, rows[k], np.maximum(sign * E[rows[k], at], 0), shear


def _in_bays(
    picked: Picked,
    capacity: FloatArray, places: Places, i: int,
) -> Worst:  # fmt: skip
    """Worst place between the lap ends of each bay."""
    ratio = rank(picked[0])
    worst = np.array([a + int(np.argmax(ratio[a : z + 1])) for a, z in places.between[i]])
    r, node, row, demand, shear = (v[worst] for v in picked)
    return r, node, row, demand, capacity, shear


def _of_sides(
    picked: Picked,
    capacity: FloatArray,
) -> Worst:
    """The worse side of each bay."""
    n = picked[0].size // 2
    ratio = rank(picked[0]).reshape(n, 2)
    at = 2 * np.arange(n) + np.argmax(ratio, axis=1)
    r, node, row, demand, shear = (v[at] for v in picked)
    return r, node, row, demand, capacity[at], shear
