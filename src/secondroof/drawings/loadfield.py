"""Load of one case by place: patches added up, bands of load as areas of the plan."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.drawings.legend import Band, bay_of, printed
from secondroof.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from secondroof.acting.model import Case
    from secondroof.roof.model import Roof

_GRID_FT = 1e-6
_Corner = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Field:
    """Load of a case by place: rectangles in each of which it runs bilinearly, patches added up.

    Attributes
    ----------
    plane : (n,) str
        Plane each lies on.
    x_ft, y_ft : (n, 2) float
        Sides in plan. [ft]
    psf : (n, 4) float
        Load at (x0, y0), (x1, y0), (x1, y1), (x0, y1), with the share of its bay. [psf]
    """

    plane: np.ndarray
    x_ft: np.ndarray
    y_ft: np.ndarray
    psf: np.ndarray

    @property
    def level(self) -> np.ndarray:
        """(n,) bool: the load is the same all over the rectangle."""
        size = np.maximum(np.abs(self.psf).max(axis=1), 1.0)
        return np.asarray(np.ptp(self.psf, axis=1) <= 1e-9 * size)

    @property
    def area_ft2(self) -> np.ndarray:
        """(n,) area in plan. [ft2]"""
        return np.asarray(np.diff(self.x_ft, axis=1)[:, 0] * np.diff(self.y_ft, axis=1)[:, 0])

    @property
    def total(self) -> float:
        """Load summed over the plan: exact, since each rectangle is bilinear. [psf ft2]"""
        return float((self.psf.mean(axis=1) * self.area_ft2).sum())


def field_of(case: Case, roof: Roof) -> Field:
    """Load of a case by place; patches add where they overlap, and each bay takes its share of a pattern.

    Parameters
    ----------
    case : Case
        The load case.
    roof : Roof
        Its roof; patches must lie on its planes.

    Returns
    -------
    Field
        Only what some patch covers.

    Raises
    ------
    InputError
        A patch lies on a plane the roof does not have, or a pattern has not one share a bay.
    """
    _check(case, roof)
    frames = np.asarray(roof.frames_ft)
    parts: list[tuple[np.ndarray, ...]] = []
    for plane in roof.planes:
        on = [p for p in case.patches if p.plane == plane.name]
        if not on:
            continue
        sides = np.array([(p.x0_ft, p.x1_ft, p.y0_ft, p.y1_ft) for p in on])
        inner = frames[1:-1] if case.pattern else frames[:0]
        inside = (inner > sides[:, 0].min()) & (inner < sides[:, 1].max())
        xs = _edges(np.concatenate([sides[:, 0], sides[:, 1], inner[inside]]))
        ys = _edges(sides[:, 2:].ravel())
        psf = np.zeros((len(xs) - 1, len(ys) - 1, 4))
        covered = np.zeros(psf.shape[:2], dtype=bool)
        for p in on:
            i0, i1 = np.searchsorted(xs, (p.x0_ft - _GRID_FT, p.x1_ft - _GRID_FT)).tolist()
            j0, j1 = np.searchsorted(ys, (p.y0_ft - _GRID_FT, p.y1_ft - _GRID_FT)).tolist()
            u = ((xs[i0 : i1 + 1] - p.x0_ft) / (p.x1_ft - p.x0_ft))[:, None]
            v = ((ys[j0 : j1 + 1] - p.y0_ft) / (p.y1_ft - p.y0_ft))[None, :]
            a, b, c, d = p.psf
            at = a * (1 - u) * (1 - v) + b * u * (1 - v) + c * u * v + d * (1 - u) * v
            psf[i0:i1, j0:j1] += np.stack([at[:-1, :-1], at[1:, :-1], at[1:, 1:], at[:-1, 1:]], axis=-1)
            covered[i0:i1, j0:j1] = True
        if case.pattern:
            middle = (xs[:-1] + xs[1:]) / 2
            psf *= np.asarray([case.pattern[bay_of(roof.frames_ft, x) - 1] for x in middle])[:, None, None]
        i, j = np.nonzero(covered)
        x_ft, y_ft = np.stack([xs[i], xs[i + 1]], axis=1), np.stack([ys[j], ys[j + 1]], axis=1)
        parts.append((np.array([plane.name] * len(i), dtype=object), x_ft, y_ft, psf[i, j]))
    if not parts:
        return Field(np.array([], dtype=object), np.empty((0, 2)), np.empty((0, 2)), np.empty((0, 4)))
    return Field(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


def _check(case: Case, roof: Roof) -> None:
    held = {p.name for p in roof.planes}
    wrong = sorted({p.plane for p in case.patches} - held)
    if wrong:
        raise InputError(
            Problem(
                "case.patches.plane", ", ".join(wrong), f"{case.key} lies on a plane the roof does not have.",
                f"Its planes are {', '.join(sorted(held))}.",
            )
        )  # fmt: skip
    n = len(roof.frames_ft) - 1
    if case.pattern is not None and len(case.pattern) != n:
        raise InputError(
            Problem(
                "case.pattern", f"{len(case.pattern)} shares", f"{case.key} needs one share for each of {n} bays.",
                "Give 1 or 0.5 for each bay from frame 1.",
            )
        )  # fmt: skip
    bad = [p for p in case.patches if not (p.x0_ft < p.x1_ft and p.y0_ft < p.y1_ft)]
    if bad or not all(math.isfinite(v) for p in case.patches for v in p.psf):
        raise InputError(
            Problem(
                "case.patches", case.key, "A patch has no area, or a load that is no number.",
                "Leave out what is not known and list it as missing.",
            )
        )  # fmt: skip


def _edges(at: np.ndarray) -> np.ndarray:
    """Sorted places, those nearer than a millionth of a foot taken as one."""
    ordered = np.sort(at)
    return np.asarray(ordered[np.concatenate([[True], np.diff(ordered) > _GRID_FT])])


# ---- bands as areas


def band_areas(field: Field, drawn: Sequence[Band]) -> list[BaseGeometry]:
    """Area of each band in plan; level places are exact, slopes are cut where the load passes a limit."""
    import shapely

    out: list[list[BaseGeometry]] = [[] for _ in drawn]
    slopes: list[list[BaseGeometry]] = [[] for _ in drawn]
    level = field.level
    boxes = shapely.box(field.x_ft[:, 0], field.y_ft[:, 0], field.x_ft[:, 1], field.y_ft[:, 1])
    once, where = np.unique(field.psf[:, 0], return_inverse=True)
    index = [band_index(float(v), drawn) for v in once]
    place = np.where(level, np.array([-1 if k is None else k for k in index])[where], -1)
    for k, found in enumerate(out):
        for plane in dict.fromkeys(field.plane.tolist()):  # rectangles of one plane meet along whole sides
            at = (place == k) & (field.plane == plane)
            if at.any():
                found.append(shapely.coverage_union_all(boxes[at]))
    widths = [b.high - b.low for b in drawn if not b.is_value]
    step = min(widths, default=1.0)
    for i in np.flatnonzero(~level):
        for piece in _planar_pieces(field.x_ft[i], field.y_ft[i], field.psf[i], step):
            low, high = min(c[2] for c in piece), max(c[2] for c in piece)
            for k, b in enumerate(drawn):
                if b.high <= low or b.low >= high:
                    continue
                ring = _clip(_clip(piece, b.low, 1.0), b.high, -1.0)
                if len(ring) > 2:
                    shape = shapely.Polygon([(x, y) for x, y, _ in ring])
                    if shape.area > 1e-9:
                        slopes[k].append(shape)
    areas = []
    for found, cut in zip(out, slopes, strict=True):
        if cut:  # pieces cut at a limit meet to rounding only: they are joined on a fine grid
            areas.append(shapely.union_all([*found, *cut], grid_size=1e-4).simplify(1e-4))
        else:
            areas.append(shapely.union_all(found))
    return areas


def band_index(value: float, drawn: Sequence[Band]) -> int | None:
    """Band of a level load; None where it is nought."""
    if round(value, 9) == 0.0 or not drawn:
        return None
    if drawn[0].is_value:
        return next((k for k, b in enumerate(drawn) if b.low == printed(value)), None)
    for k, b in enumerate(drawn):
        if b.low <= value < b.high or (k == len(drawn) - 1 and value <= b.high * (1 + 1e-12)):
            return k
    return None


def _planar_pieces(x: np.ndarray, y: np.ndarray, psf: np.ndarray, step: float) -> list[list[_Corner]]:
    """A rectangle in pieces on which the load is a plane: itself, or triangles within 1/50 of a band's width."""
    x0, x1, y0, y1 = float(x[0]), float(x[1]), float(y[0]), float(y[1])
    a, b, c, d = (float(v) for v in psf)
    twist = abs(a - b + c - d)
    if twist <= 1e-9 * max(1.0, abs(a), abs(b), abs(c), abs(d)):
        return [[(x0, y0, a), (x1, y0, b), (x1, y1, c), (x0, y1, d)]]
    n = min(20, max(1, math.ceil(math.sqrt(twist / (0.05 * step)))))

    def at(i: int, j: int) -> _Corner:
        u, v = i / n, j / n
        load = a * (1 - u) * (1 - v) + b * u * (1 - v) + c * u * v + d * (1 - u) * v
        return x0 + u * (x1 - x0), y0 + v * (y1 - y0), load

    out: list[list[_Corner]] = []
    for i in range(n):
        for j in range(n):
            p, q, r, s = at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)
            out += [[p, q, r], [p, r, s]]
    return out


def _clip(ring: list[_Corner], limit: float, sign: float) -> list[_Corner]:
    """Part of a piece where ``sign * (load - limit)`` is not negative."""
    out: list[_Corner] = []
    for p, q in zip(ring, [*ring[1:], *ring[:1]], strict=True):
        e, f = sign * (p[2] - limit), sign * (q[2] - limit)
        if e >= 0:
            out.append(p)
        if (e > 0 > f) or (e < 0 < f):
            t = e / (e - f)
            out.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]), limit))
    return out
