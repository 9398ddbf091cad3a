"""Wind zones of a roof as polygons in plan, and horizontal lines split where zones change.

Plan coordinates [ft]: x along the eave from 0 to the length, y across from 0 to the width. Zones tile the outline
exactly. Strips are measured from the outline's own edges, so L-shaped outlines work too; a corner of the outline is
a vertex whose inside angle is below 150 degrees (own judgement; the figures show right angles only).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from secondroof.errors import InputError, MissingError, Problem
from secondroof.loads.wind import edge_strip_width, edge_strip_width_wide, figure_for

CORNER_ANGLE_DEG = 150.0
SNAP_FT = 1e-6
GRID_FT = 1e-9  # overlays are worked on this grid: without one they misfire on nearly touching edges
# from most to least severe: a line on a common boundary takes the first
SEVERITY = ("3r", "3e", "3'", "3", "2r", "2n", "2e", "2'", "2", "1", "1'")
Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Segments:
    """Horizontal lines split by zone, in order of line and x.

    Attributes
    ----------
    line : ndarray of int, shape (n_segment,)
        Place of the line in the array given.
    zone : ndarray of str, shape (n_segment,)
        Zone name.
    x_start, x_end : ndarray, shape (n_segment,)
        Ends. [ft]
    """

    line: NDArray[np.intp]
    zone: NDArray[np.str_]
    x_start: NDArray[np.float64]
    x_end: NDArray[np.float64]

    @property
    def length(self) -> NDArray[np.float64]:
        """Length of each piece. [ft]."""
        return self.x_end - self.x_start

    def lengths_by_zone(self) -> dict[str, float]:
        """Total length in each zone. [ft]."""
        return {str(z): float(self.length[self.zone == z].sum()) for z in np.unique(self.zone)}

    def line_loads(self, pressure_psf: Mapping[str, float], width_ft: ArrayLike) -> NDArray[np.float64]:
        """Load on each piece from the pressure of its zone and the tributary width of its line. [lb/ft].

        Parameters
        ----------
        pressure_psf : mapping of str to float
            Pressure by zone, at the line's own effective wind area. [psf]
        width_ft : array, shape (n_line,)
            Tributary width of each line. [ft]
        """
        lacking = sorted({str(z) for z in self.zone} - set(pressure_psf))
        if lacking:
            raise MissingError(
                f"Pressure is missing for zone {', '.join(lacking)}: work it out for every zone crossed."
            )
        by_zone = np.array([pressure_psf[str(z)] for z in self.zone], dtype=float)
        return np.asarray(by_zone * np.asarray(width_ft, dtype=float)[self.line])


def _both(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    return _areas_only(shapely.intersection(a, b, grid_size=GRID_FT))


def _less(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    return _areas_only(shapely.difference(a, b, grid_size=GRID_FT))


def _all(shapes: Sequence[BaseGeometry]) -> BaseGeometry:
    return _areas_only(shapely.union_all(list(shapes), grid_size=GRID_FT))


def strip_width(edition: str, slope_deg: float, h_ft: float, least_width_ft: float) -> float:
    """Edge strip width a, with the exception for wide low-slope buildings. [ft]."""
    if slope_deg <= 7 and least_width_ft > 300:
        return float(edge_strip_width_wide(h_ft, least_width_ft))
    return float(edge_strip_width(h_ft, least_width_ft))


def least_width(outline: Polygon) -> float:
    """Least horizontal dimension of an outline: short side of its smallest enclosing rectangle. [ft]."""
    box = shapely.minimum_rotated_rectangle(outline)
    corners = shapely.get_coordinates(box)
    sides = np.hypot(*np.diff(corners[:3], axis=0).T)
    return float(sides.min())


def _outline(length_ft: float, width_ft: float, outline: Any) -> Polygon:
    if outline is None:
        if not (math.isfinite(length_ft) and math.isfinite(width_ft) and length_ft > 0 and width_ft > 0):
            raise InputError(
                Problem(
                    "length_ft, width_ft",
                    f"{length_ft} by {width_ft}",
                    "Both must be above 0 ft.",
                    "Give plan sizes.",
                )
            )
        return shapely.box(0.0, 0.0, length_ft, width_ft)
    shape = outline if isinstance(outline, Polygon) else Polygon(outline)
    if not shape.is_valid or shape.is_empty or shape.area <= 0:
        raise InputError(
            Problem(
                "outline",
                shape.wkt[:80],
                f"Not a simple polygon: {shapely.is_valid_reason(shape)}.",
                "List the corners once round, no crossing edges.",
            )
        )
    return shapely.geometry.polygon.orient(shapely.remove_repeated_points(shape))


def _edges(outline: Polygon) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Edges as pairs of points, inside on the left."""
    found = []
    for ring in (outline.exterior, *outline.interiors):
        xy = np.asarray(ring.coords)
        found += [(xy[i], xy[i + 1]) for i in range(len(xy) - 1) if np.hypot(*(xy[i + 1] - xy[i])) > 1e-9]
    return found


def _strip(start: NDArray[np.float64], end: NDArray[np.float64], along: float, deep: float) -> Polygon:
    """Rectangle on an edge from its start, `along` by `deep` to the left."""
    u = (end - start) / np.hypot(*(end - start))
    n = np.array([-u[1], u[0]])
    far = start + u * along
    return Polygon([start, far, far + n * deep, start + n * deep])


def _corners(outline: Polygon) -> list[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]]:
    """Outside corners as (previous point, corner, next point)."""
    found = []
    for ring in (outline.exterior, *outline.interiors):
        xy = np.asarray(ring.coords)[:-1]
        n = len(xy)
        for i in range(n):
            before, here, after = xy[i - 1], xy[i], xy[(i + 1) % n]
            v, w = here - before, after - here
            turn = math.degrees(math.atan2(v[0] * w[1] - v[1] * w[0], float(v @ w)))
            if turn > 180.0 - CORNER_ANGLE_DEG:
                found.append((before, here, after))
    return found


def _corner_blocks(outline: Polygon, leg: float, deep: float) -> BaseGeometry:
    """Corner pieces: on both edges of each outside corner a block `leg` long and `deep` wide."""
    blocks = []
    for before, here, after in _corners(outline):
        out, back = float(np.hypot(*(after - here))), float(np.hypot(*(here - before)))
        blocks.append(_strip(here, after, min(leg, out), deep))
        u = (before - here) / back
        n = np.array([u[1], -u[0]])  # inside lies to the right of the edge walked backwards
        far = here + u * min(leg, back)
        blocks.append(Polygon([here, here + n * deep, far + n * deep, far]))
    return _both(_all(blocks), outline) if blocks else MultiPolygon()


def _is_eave(start: NDArray[np.float64], end: NDArray[np.float64]) -> bool:
    """True for edges along x (eaves, high edges); others are rakes."""
    return bool(abs(end[1] - start[1]) <= abs(end[0] - start[0]) * math.tan(math.radians(1.0)))


def _inset(outline: Polygon, d: float) -> BaseGeometry:
    return outline.buffer(-d, join_style="mitre", mitre_limit=5.0)


def _ridge_band(outline: Polygon, ridges: Sequence[Line], a: float) -> BaseGeometry:
    bands = []
    for start, end in ridges:
        line = LineString([start, end])
        bands.append(line.buffer(a, cap_style="flat"))
    band = _all(bands)
    if len(ridges) > 1:  # fill the notches where ridge and hips meet
        shared = [p for i, one in enumerate(ridges) for p in one if any(p in o for o in ridges[i + 1 :])]
        band = _all([band, *(shapely.Point(p).buffer(a) for p in set(shared))])
    return _both(band, outline)


def hip_lines(length_ft: float, width_ft: float) -> list[Line]:
    """Ridge and hips of a rectangular hip roof of one slope. [ft]."""
    half = min(length_ft, width_ft) / 2
    if length_ft >= width_ft:
        p, q = (half, half), (length_ft - half, half)
        corners = [((0.0, 0.0), p), ((0.0, width_ft), p), ((length_ft, 0.0), q), ((length_ft, width_ft), q)]
    else:
        p, q = (half, half), (half, width_ft - half)
        corners = [((0.0, 0.0), p), ((length_ft, 0.0), p), ((0.0, width_ft), q), ((length_ft, width_ft), q)]
    return corners if p == q else [(p, q), *corners]


def _tile(
    outline: Polygon, ordered: Sequence[tuple[str, BaseGeometry]], rest: str
) -> dict[str, BaseGeometry]:
    """Zones in order of claim; what is left is `rest`."""
    found: dict[str, BaseGeometry] = {}
    free: BaseGeometry = outline
    for name, claim in ordered:
        part = _both(free, claim)
        free = _less(free, claim)
        if not part.is_empty:
            found[name] = part
    if not free.is_empty:
        found[rest] = free
    return found


def _areas_only(shape: BaseGeometry) -> BaseGeometry:
    parts = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon" and p.area > 0]
    if not parts:
        return Polygon()
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _height_zones(outline: Polygon, h: float) -> dict[str, BaseGeometry]:
    """7-16 and 7-22, up to 7 degrees: strips of 0.6h, corner legs 0.6h by 0.2h."""
    inner, middle = _inset(outline, 0.6 * h), _inset(outline, 1.2 * h)
    edge = _less(outline, inner)
    between = _less(outline, middle)
    corner = _both(_corner_blocks(outline, 0.6 * h, 0.2 * h), edge)
    return _tile(outline, [("3", corner), ("2", edge), ("1", between)], "1'")


def _strip_zones(
    outline: Polygon, a: float, ridges: Sequence[Line], ridge_ends: bool = True
) -> dict[str, BaseGeometry]:
    """7-05 and 7-10: strips of width a along edges and, above 7 degrees, both sides of ridges (and hips)."""
    edge = _less(outline, _inset(outline, a))
    corner = _corner_blocks(outline, a, a)
    if not ridges:
        return _tile(outline, [("3", corner), ("2", edge)], "1")
    band = _ridge_band(outline, ridges, a)
    ends = _both(band, _rake_strips(outline, a)) if ridge_ends else MultiPolygon()
    return _tile(outline, [("3", _all([corner, ends])), ("2", _all([edge, band]))], "1")


def _rake_strips(outline: Polygon, a: float) -> BaseGeometry:
    rakes = [_strip(s, e, float(np.hypot(*(e - s))), a) for s, e in _edges(outline) if not _is_eave(s, e)]
    return _both(_all(rakes), outline) if rakes else MultiPolygon()


def _named_strip_zones(outline: Polygon, a: float, ridges: Sequence[Line]) -> dict[str, BaseGeometry]:
    """7-16 gable above 7 degrees: 2e eave, 2n rake, 2r ridge, 3e eave corner, 3r ridge end."""
    rakes = _rake_strips(outline, a)
    edge = _less(outline, _inset(outline, a))
    corner = _corner_blocks(outline, a, a)
    band = _ridge_band(outline, ridges, a)
    ends = _both(band, rakes)
    return _tile(outline, [("3r", ends), ("3e", corner), ("2r", band), ("2n", rakes), ("2e", edge)], "1")


def zones(
    edition: str,
    roof_shape: str,
    slope_deg: float,
    length_ft: float,
    width_ft: float,
    h_ft: float,
    ridge_y_ft: float | None = None,
    outline: Any = None,
    ridge_lines: Sequence[Line] | None = None,
) -> dict[str, BaseGeometry]:
    """Wind zones of a roof in plan.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    roof_shape : str
        gable, hip, flat, monoslope, multispan gable.
    slope_deg : float
        Roof slope. [deg]
    length_ft, width_ft : float
        Plan size along x and y; not used for the outline where `outline` is given. [ft]
    h_ft : float
        Mean roof height (eave height allowed up to 10 degrees). [ft]
    ridge_y_ft : float, optional
        Distance of the ridge from the edge y = 0; mid-width if left out. [ft]
    outline : shapely Polygon or sequence of (x, y), optional
        Outline in plan where it is not the rectangle.
    ridge_lines : sequence of ((x, y), (x, y)), optional
        Ridges and hips where they are not the usual ones.

    Returns
    -------
    dict of str to shapely geometry
        Zone name to polygon(s), tiling the outline; a zone that does not occur is left out.

    Raises
    ------
    MissingError
        The zone map of this figure is not held (single-slope roofs above 3 degrees, multispan above 10 degrees,
        7-22 above 7 degrees, hip roofs above 7 degrees in 7-16): a person reads the figure and enters polygons.
    """
    fig = figure_for(edition, roof_shape, slope_deg)
    shape = _outline(length_ft, width_ft, outline)
    if not (math.isfinite(h_ft) and h_ft > 0):
        raise InputError(
            Problem("h_ft", str(h_ft), "Height must be above 0 ft.", "Give the mean roof height.")
        )
    if fig.key == "gable 0-7" and edition in ("7-16", "7-22"):
        return _height_zones(shape, h_ft)
    a = strip_width(edition, slope_deg, h_ft, least_width(shape))
    if fig.key == "gable 0-7":
        return _strip_zones(shape, a, ())
    if fig.key.startswith("gable") and edition != "7-22" and roof_shape in ("gable", "hip"):
        ridges = ridge_lines or _usual_ridges(shape, roof_shape, ridge_y_ft, outline is None)
        if edition == "7-16":
            return _named_strip_zones(shape, a, ridges)
        return _strip_zones(shape, a, ridges, ridge_ends=roof_shape == "gable")
    raise MissingError(
        f"{fig.title}: the zone map for a {roof_shape} roof of {slope_deg:g} degrees is not held here, since it could "
        "not be recalled reliably. Read the figure in your own copy of the standard and enter the zones as "
        "rectangles with the page, under `ground_rules.entered_zones`"
        + (
            "."
            if fig.negative.known.all() and fig.positive.known.all()
            else ", and its coefficients, which are not held either, under `ground_rules.entered_coefficients`."
        )
    )


def _usual_ridges(shape: Polygon, roof_shape: str, ridge_y_ft: float | None, rectangle: bool) -> list[Line]:
    x0, y0, x1, y1 = shape.bounds
    if roof_shape == "hip":
        if not rectangle:
            raise MissingError(
                "ridge_lines are needed: give ridge and hips of a hip roof that is not a rectangle."
            )
        return hip_lines(x1, y1)
    y = (y0 + y1) / 2 if ridge_y_ft is None else ridge_y_ft
    if not y0 < y < y1:
        raise InputError(
            Problem(
                "ridge_y_ft",
                f"{y:g}",
                f"The ridge must lie between {y0:g} and {y1:g} ft.",
                "Measure from the edge y = 0.",
            )
        )
    return [((x0, y), (x1, y))]


def entered_zones(outline: Any, polygons: Mapping[str, Any]) -> dict[str, BaseGeometry]:
    """Zones a person read from a figure, checked to tile the outline; worst first.

    Raises
    ------
    InputError
        The polygons overlap, leave a gap or reach beyond the outline; says how much.
    """
    shape = _outline(0.0, 0.0, outline)
    found = {name: p if isinstance(p, BaseGeometry) else Polygon(p) for name, p in polygons.items()}
    total = sum(float(_both(p, shape).area) for p in found.values())
    gap = float(_less(shape, _all(list(found.values()))).area)
    overlap = total - (float(shape.area) - gap)
    beyond = sum(float(p.area) for p in found.values()) - total
    if max(gap, overlap, beyond) > 1e-6 * shape.area:
        raise InputError(
            Problem(
                "ground_rules.entered_zones",
                ", ".join(found),
                f"Zones leave {gap:.2f} ft2 of the roof uncovered, overlap by {overlap:.2f} ft2 and reach "
                f"{beyond:.2f} ft2 beyond the roof.",
                "Make them meet exactly.",
            )
        )
    rank = {name: k for k, name in enumerate(SEVERITY)}
    ordered = sorted(found, key=lambda name: (rank.get(name, -1), name))
    return {name: _both(found[name], shape) for name in ordered}


def overlay(
    then: Mapping[str, BaseGeometry], now: Mapping[str, BaseGeometry]
) -> dict[tuple[str, str], BaseGeometry]:
    """Pieces of the roof by zone of one edition and zone of another, e.g. old code against new."""
    found = {}
    for a, one in then.items():
        for b, other in now.items():
            piece = _both(one, other)
            if piece.area > SNAP_FT:
                found[(a, b)] = piece
    return found


def stepped_lower_level(
    edition: str,
    zones: Mapping[str, BaseGeometry],
    wall: Line,
    strip_ft: float,
    step_ft: float,
    h_ft: float,
    lower_width_ft: float,
    width_ft: float,
) -> tuple[dict[str, BaseGeometry], BaseGeometry]:
    """Zones of the lower, flat level of a stepped roof beside its upper wall (7-05 Fig. 6-12, 7-10 Fig. 30.4-3).

    Parameters
    ----------
    edition : str
        7-05 or 7-10.
    zones : mapping of str to shapely geometry
        Zones of the lower level on its own, from :func:`zones`.
    wall : ((x, y), (x, y))
        Foot of the upper wall, an edge of the lower level. [ft]
    strip_ft : float
        Edge strip width a. [ft]
    step_ft, h_ft : float
        Height of the step h_1, and mean height of the whole building. [ft]
    lower_width_ft, width_ft : float
        Width of the lower level W_1 and of the whole building, square to the wall. [ft]

    Returns
    -------
    zones : dict of str to shapely geometry
        Beside the wall zone 3 is taken as zone 2, and zone 2 as zone 1.
    positive : shapely geometry
        Strip of width b = min(1.5 h_1, 100 ft) on which positive pressures are those of the wall.

    Raises
    ------
    MissingError
        Later editions: the figure changed and is not held.
    InputError
        The step lies outside the figure: h_1 at least 10 ft, h_1/h 0.3 to 0.7, W_1/W 0.25 to 0.75.
    """
    if edition not in ("7-05", "7-10"):
        raise MissingError(
            f"ASCE {edition}: the stepped-roof figure is not held here. Read it in your own copy of the standard and "
            "enter the zones as rectangles with the page, under `ground_rules.entered_zones`."
        )
    shares = (step_ft / h_ft, lower_width_ft / width_ft)
    if step_ft < 10.0 or not (0.3 <= shares[0] <= 0.7 and 0.25 <= shares[1] <= 0.75):
        raise InputError(
            Problem(
                "step_ft, lower_width_ft",
                f"h_1 {step_ft:g} ft, h_1/h {shares[0]:.2f}, W_1/W {shares[1]:.2f}",
                "The stepped-roof figure serves h_1 from 10 ft, h_1/h 0.3 to 0.7 and W_1/W 0.25 to 0.75.",
                "Take the lower level as a roof of its own.",
            )
        )
    whole = _all(list(zones.values()))
    beside = LineString(wall).buffer(strip_ft, cap_style="flat")
    softer = {"3": "2", "2": "1"}
    parts: dict[str, list[BaseGeometry]] = {}
    for name, shape in zones.items():
        parts.setdefault(name, []).append(_less(shape, beside))
        parts.setdefault(softer.get(name, name), []).append(_both(shape, beside))
    found = {name: _all(pieces) for name, pieces in parts.items()}
    wide = LineString(wall).buffer(min(1.5 * step_ft, 100.0), cap_style="flat")
    return {n: g for n, g in found.items() if not g.is_empty}, _both(wide, whole)


def segments(zones: Mapping[str, BaseGeometry], y_ft: ArrayLike, x0: float, x1: float) -> Segments:
    """Split horizontal lines where zones really change.

    Parameters
    ----------
    zones : mapping of str to shapely geometry
        Zones in plan, as from :func:`zones`.
    y_ft : array, shape (n_line,)
        Plan distance of each line from y = 0. [ft]
    x0, x1 : float
        Ends of the lines; parts outside the roof are dropped. [ft]

    Returns
    -------
    Segments
        A line lying on the roof's edge takes the zone inside; one on a boundary of two zones the more severe.
    """
    y = np.atleast_1d(np.asarray(y_ft, dtype=float))
    if not (x1 > x0):
        raise InputError(
            Problem("x0, x1", f"{x0} to {x1}", "The line's end must lie beyond its start.", "Swap them.")
        )
    if y.size == 0 or not np.all(np.isfinite(y)):
        raise InputError(
            Problem("y_ft", str(y_ft)[:80], "Give one plan distance a line.", "Numbers in feet.")
        )
    y = _snapped(y, zones)
    lines = shapely.linestrings(
        np.stack([np.broadcast_to([x0, x1], (len(y), 2)), np.repeat(y[:, None], 2, 1)], axis=-1)
    )
    order = sorted(zones, key=lambda z: SEVERITY.index(z) if z in SEVERITY else -1)
    spans: list[list[tuple[float, float, int]]] = [[] for _ in y]
    for rank, name in enumerate(order):
        cut = shapely.intersection(lines, zones[name], grid_size=GRID_FT)
        parts, owner = shapely.get_parts(cut, return_index=True)
        keep = shapely.length(parts) > SNAP_FT
        bounds = shapely.bounds(parts[keep])
        for i, (a, _, b, _) in zip(owner[keep], bounds, strict=True):
            spans[i].append((float(a), float(b), rank))
    rows = [(i, *piece) for i, parts_of in enumerate(spans) for piece in _pieces(parts_of)]
    return Segments(
        line=np.array([r[0] for r in rows], dtype=np.intp),
        zone=np.array([order[r[3]] for r in rows], dtype=str),
        x_start=np.array([r[1] for r in rows], dtype=float),
        x_end=np.array([r[2] for r in rows], dtype=float),
    )


def _snapped(y: NDArray[np.float64], zones: Mapping[str, BaseGeometry]) -> NDArray[np.float64]:
    """Move lines that lie within rounding of a zone corner's y onto it."""
    marks = np.unique(np.concatenate([shapely.get_coordinates(g)[:, 1] for g in zones.values()]))
    near = np.clip(np.searchsorted(marks, y), 1, len(marks) - 1)
    close = np.where(np.abs(marks[near - 1] - y) <= np.abs(marks[near] - y), marks[near - 1], marks[near])
    return np.where(np.abs(close - y) <= SNAP_FT, close, y)


def _pieces(spans: Sequence[tuple[float, float, int]]) -> list[tuple[float, float, int]]:
    """Elementary pieces with the most severe zone of each, neighbours of one zone joined."""
    breaks = sorted({x for a, b, _ in spans for x in (a, b)})
    found: list[tuple[float, float, int]] = []
    for a, b in pairwise(breaks):
        middle = (a + b) / 2
        ranks = [r for s, e, r in spans if s <= middle <= e]
        if not ranks or b - a <= SNAP_FT:
            continue
        if found and found[-1][2] == min(ranks) and a - found[-1][1] <= SNAP_FT:
            found[-1] = (found[-1][0], b, found[-1][2])
        else:
            found.append((a, b, min(ranks)))
    return found
