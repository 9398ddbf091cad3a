"""Stretches of line: where each purlin line lies in which wind zone, and what share of its width lies in each.

A line holds a strip of roof half way to its neighbours. The strip may lie in two zones where the line lies in
one; each stretch carries the share of its width in every zone, so that its load is worked out from where the
zone borders really fall.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofLine, RoofPlane

_TINY = 1e-6


@dataclass(frozen=True, slots=True)
class Strips:
    """Stretches as columns of equal length.

    Attributes
    ----------
    names : tuple of str
        Zone names, in the order of the columns of ``share``.
    plane, line, zone : (n,) array
        Plane, line count from the eave, and the zone in which the line itself lies.
    x0_ft, x1_ft, y_ft : (n,) array
        Ends along the ridge, and plan distance across.
    width_ft, gap_ft, slope_deg : (n,) array
        Width held and largest gap to a neighbour along the slope; slope.
    share : (n, n_zones) array
        Share of the strip's width in each zone; rows sum to 1.
    tag : (n,) int array
        Caller's mark of each stretch (e.g. which thickness family); stretches are split where it changes.
    """

    names: tuple[str, ...]
    plane: np.ndarray
    line: np.ndarray
    zone: np.ndarray
    x0_ft: np.ndarray
    x1_ft: np.ndarray
    y_ft: np.ndarray
    width_ft: np.ndarray
    gap_ft: np.ndarray
    slope_deg: np.ndarray
    share: np.ndarray
    tag: np.ndarray


def _cuts(roof: Roof) -> list[float]:
    """Every ``x`` at which some zone border turns or runs across."""
    xs = {0.0, roof.length_ft}
    for shape in roof.zones.values():
        for part in getattr(shape, "geoms", [shape]):
            for ring in (part.exterior, *part.interiors):
                xs.update(round(x, 9) for x, _ in ring.coords)
    ordered = sorted(x for x in xs if -_TINY <= x <= roof.length_ft + _TINY)
    return [a for a, b in zip(ordered, [*ordered[1:], math.inf], strict=True) if b - a > _TINY]


def _spans_at(roof: Roof, x: float) -> list[list[tuple[float, float]]]:
    """For each zone, the stretches of ``y`` it covers at one ``x``; a zone at the eave goes on over its overhang."""
    from shapely.geometry import LineString

    probe = LineString([(x, -1.0), (x, roof.width_ft + 1.0)])
    out = []
    for shape in roof.zones.values():
        cut = shape.intersection(probe)
        parts = [g for g in getattr(cut, "geoms", [cut]) if g.length > _TINY]
        out.append([_over_the_eave(g.bounds[1], g.bounds[3], roof.width_ft) for g in parts])
    return out


def _over_the_eave(low: float, high: float, width_ft: float) -> tuple[float, float]:
    """Stretch of ``y`` without an end where it ends at the outline."""
    return -math.inf if low <= _TINY else low, math.inf if high >= width_ft - _TINY else high


def band(line: RoofLine, plane: RoofPlane) -> tuple[float, float]:
    """Plan extent across the building of the strip one line holds, the overhang before the first line with it. [ft]"""
    cos = math.cos(math.radians(plane.slope_deg))
    s = [other.s_ft for other in plane.lines]
    i = line.index
    high = plane.slope_length_ft if i + 1 == len(s) else (s[i] + s[i + 1]) / 2
    low = min(0.0, high - line.width_ft) if i == 0 else (s[i - 1] + s[i]) / 2
    way = 1.0 if plane.y_top_ft > plane.y_eave_ft else -1.0
    a, b = plane.y_eave_ft + way * low * cos, plane.y_eave_ft + way * high * cos
    return min(a, b), max(a, b)


def strips(roof: Roof, tags: Mapping[tuple[str, int], Sequence[int]] | None = None) -> Strips:
    """Cut every line where its zone, its share of zones or its tag changes.

    Parameters
    ----------
    roof : Roof
        The roof.
    tags : mapping of (plane, line) to one int per bay, optional
        Marks of each bay; a stretch never joins bays of different marks.

    Returns
    -------
    Strips
        In order of plane, line and ``x``. Lengths of every line add to the roof's length.
    """
    names = tuple(roof.zones)
    cuts = _cuts(roof)
    spans = [_spans_at(roof, (a + b) / 2) for a, b in pairwise(cuts)]
    rows: list[tuple[object, ...]] = []
    for plane in roof.planes:
        for line in plane.lines:
            low, high = band(line, plane)
            y = min(max(line.y_ft, 2 * _TINY), roof.width_ft - 2 * _TINY)
            marks = list(tags[plane.name, line.index]) if tags else [0] * (len(roof.frames_ft) - 1)
            edges = sorted({*cuts, *_changes(roof.frames_ft, marks)})
            current: tuple[object, ...] | None = None
            for a, b in pairwise(edges):
                k = min(max(int(np.searchsorted(cuts, (a + b) / 2)) - 1, 0), len(spans) - 1)
                share = tuple(sum(max(0.0, min(t, high) - max(f, low)) for f, t in zone) for zone in spans[k])
                total = sum(share)
                share = tuple(round(v / total, 9) for v in share)
                zone = next(
                    (n for n, z in zip(names, spans[k], strict=True) if any(f <= y <= t for f, t in z)),
                    names[int(np.argmax(share))],
                )
                mark = marks[
                    min(max(int(np.searchsorted(roof.frames_ft, (a + b) / 2)) - 1, 0), len(marks) - 1)
                ]
                if current is not None and (current[2], current[9], current[10]) == (zone, share, mark):
                    current = (*current[:4], b, *current[5:])
                    rows[-1] = current
                else:
                    current = (
                        plane.name,
                        line.index,
                        zone,
                        a,
                        b,
                        line.y_ft,
                        line.width_ft,
                        line.gap_ft,
                        plane.slope_deg,
                        share,
                        mark,
                    )
                    rows.append(current)
    if not rows:
        none, words = np.zeros(0), np.zeros(0, dtype=object)
        count = np.zeros(0, dtype=int)
        return Strips(
            names, words, count, words, none, none, none, none, none, none, np.zeros((0, len(names))), count
        )
    columns = list(zip(*rows, strict=True))
    text = [np.array(columns[i], dtype=object) for i in (0, 2)]
    number = [np.array(columns[i], dtype=float) for i in range(3, 9)]
    return Strips(
        names=names,
        plane=text[0],
        line=np.array(columns[1], dtype=int),
        zone=text[1],
        x0_ft=number[0],
        x1_ft=number[1],
        y_ft=number[2],
        width_ft=number[3],
        gap_ft=number[4],
        slope_deg=number[5],
        share=np.array(columns[9], dtype=float),
        tag=np.array(columns[10], dtype=int),
    )


def _changes(frames: Sequence[float], marks: Sequence[int]) -> list[float]:
    """Frame lines at which the mark of the bays changes."""
    return [frames[i] for i in range(1, len(marks)) if marks[i] != marks[i - 1]]
