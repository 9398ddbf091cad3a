"""Load cases turned into line loads on every purlin line of a plane, with borders where they really fall.

A line holds the strip half way to its neighbours. A patch gives it the patch's load over the width of strip it
covers, taken at the middle of that width: exact for loads that run straight across it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from secondroof.lines.beam import SAME_PLACE_FT, sample_nodes
from secondroof.roof.strips import band

if TYPE_CHECKING:
    from secondroof.acting.model import Case
    from secondroof.roof.model import Roof, RoofPlane

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LineLoads:
    """Every case on every line of one plane.

    Attributes
    ----------
    plane : str
        The plane.
    slope_deg : float
        Its slope.
    lines : ndarray of int, shape (n_line,)
        Lines counted from the eave.
    x_ft : ndarray, shape (n_node,)
        Places along the ridge shared by all lines, from frame 1.
    cases : tuple of Case, length n_case
        The cases, in the order of the first axis.
    w0, w1 : ndarray, shape (n_case, n_line, n_node - 1)
        Load at the two ends of each stretch between nodes, in the direction the case acts. [lb/ft]
    P : ndarray, shape (n_case, n_line, n_node)
        Point loads at nodes. [lb]
    """

    plane: str
    slope_deg: float
    lines: NDArray[np.intp]
    x_ft: FloatArray
    cases: tuple[Case, ...]
    w0: FloatArray
    w1: FloatArray
    P: FloatArray

    def _share(self, vertical: float) -> FloatArray:
        share = [vertical if c.acts == "vertical" else 1.0 for c in self.cases]
        return np.asarray(share, dtype=float).reshape(-1, 1, 1)

    def square_to_roof(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Part of (w0, w1, P) square to the roof, which bends the purlin about its strong axis."""
        share = self._share(math.cos(math.radians(self.slope_deg)))
        return self.w0 * share, self.w1 * share, self.P * share

    def down_slope(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Part of (w0, w1, P) that runs down the slope; loads normal to the roof have none."""
        share = self._share(math.sin(math.radians(self.slope_deg)))
        share = np.where([[[c.acts == "vertical"]] for c in self.cases], share, 0.0)
        return self.w0 * share, self.w1 * share, self.P * share

    def totals_lb(self) -> FloatArray:
        """Whole load of each case on each line, shape (n_case, n_line). [lb]"""
        spread = np.sum((self.w0 + self.w1) / 2 * np.diff(self.x_ft), axis=-1)
        return np.asarray(spread + self.P.sum(axis=-1))


def line_loads(
    roof: Roof, plane: RoofPlane, cases: Sequence[Case], extra_ft: Sequence[float] = ()
) -> LineLoads:
    """Line loads of every case on every line of one plane.

    Parameters
    ----------
    roof : Roof
        The roof.
    plane : RoofPlane
        One of its planes.
    cases : sequence of Case
        What acts.
    extra_ft : sequence of float
        Further places that must be nodes, e.g. ends of laps. [ft]
    """
    here = [
        ([p for p in c.patches if p.plane == plane.name], [a for a in c.along if a.plane == plane.name])
        for c in cases
    ]
    edges = {x for patches, _ in here for p in patches for x in (p.x0_ft, p.x1_ft)}
    edges |= {x for _, along in here for a in along for x in (a.x0_ft, a.x1_ft)}
    inside = [p for p in (*edges, *extra_ft) if roof.frames_ft[0] < p < roof.frames_ft[-1]]
    x = sample_nodes(roof.frames_ft, sorted(inside))
    bands = np.array([band(line, plane) for line in plane.lines], dtype=float).reshape(-1, 2)
    shape = (len(cases), len(plane.lines), x.size - 1)
    w0, w1, P = np.zeros(shape), np.zeros(shape), np.zeros((shape[0], shape[1], x.size))
    row = {line.index: i for i, line in enumerate(plane.lines)}
    bay = np.clip(np.searchsorted(roof.frames_ft, (x[1:] + x[:-1]) / 2) - 1, 0, len(roof.frames_ft) - 2)
    for k, (case, (patches, along)) in enumerate(zip(cases, here, strict=True)):
        per = 1.0 if case.per == "plan" else 1.0 / math.cos(math.radians(plane.slope_deg))
        for patch in patches:
            low, high = np.maximum(bands[:, 0], patch.y0_ft), np.minimum(bands[:, 1], patch.y1_ft)
            width, t = (
                np.maximum(high - low, 0.0),
                ((low + high) / 2 - patch.y0_ft) / (patch.y1_ft - patch.y0_ft),
            )
            a, b, c, d = patch.psf
            first, last = width * per * (a + (d - a) * t), width * per * (b + (c - b) * t)
            _spread(x, patch.x0_ft, patch.x1_ft, first, last, w0[k], w1[k])
        for item in along:
            i = row[item.line]
            if item.is_point:
                P[k, i, int(np.argmin(np.abs(x - item.x0_ft)))] += item.w0
            else:
                one = slice(i, i + 1)
                first, last = np.array([item.w0]), np.array([item.w1])
                _spread(x, item.x0_ft, item.x1_ft, first, last, w0[k, one], w1[k, one])
        if case.pattern is not None:
            share = np.asarray(case.pattern, dtype=float)[bay]
            w0[k] *= share
            w1[k] *= share
    lines = np.array([line.index for line in plane.lines], dtype=np.intp)
    return LineLoads(plane.name, plane.slope_deg, lines, x, tuple(cases), w0, w1, P)


def _spread(
    x: FloatArray, x0: float, x1: float, first: FloatArray, last: FloatArray, w0: FloatArray, w1: FloatArray
) -> None:
    """Add a load that runs from ``first`` at ``x0`` to ``last`` at ``x1`` to the stretches between; in place."""
    middle = (x[1:] + x[:-1]) / 2
    inside = np.flatnonzero((middle > x0) & (middle < x1))
    if not inside.size or x1 - x0 < SAME_PLACE_FT:
        return
    slope = (last - first) / (x1 - x0)
    w0[:, inside] += first[:, None] + slope[:, None] * (x[inside] - x0)[None, :]
    w1[:, inside] += first[:, None] + slope[:, None] * (x[inside + 1] - x0)[None, :]
