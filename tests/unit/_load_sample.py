"""Invented load cases, curves along a line and ratios for the drawing tests: nobody's results."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import _drawing_sample as sample
import numpy as np

from secondroof.acting.model import Along, Case, Patch
from secondroof.drawings.linediagram import Trace, line_diagram
from secondroof.drawings.loadmap import load_map
from secondroof.drawings.ratiomap import RatioRows, ratio_map
from secondroof.drawings.scene import Scene
from secondroof.roof.model import Roof


@cache
def barn() -> Roof:
    return sample.barn()[0].roof


@cache
def hall() -> Roof:
    """400,200 ft2, 122 lines, 23 bays."""
    return sample.hall()[0].roof


def all_over(roof: Roof, psf: float) -> tuple[Patch, ...]:
    return tuple(
        Patch(p.name, 0, roof.length_ft, *sorted((p.y_eave_ft, p.y_top_ft)), (psf,) * 4) for p in roof.planes
    )


def case(key: str = "snow.balanced.after", **more: object) -> Case:
    given: dict[str, object] = {
        "key": key, "kind": "S", "when": "after", "title": f"Invented case {key}",
        "sentence": "Invented.", "clause": "none",
    }  # fmt: skip
    return Case(**{**given, **more})  # type: ignore[arg-type]


def drift() -> Case:
    """40.3 psf all over; 34 psf at the W eave of bays 2 and 3 falling to nought over 14.2 ft; a twisted patch on E."""
    more = (Patch("W", 25, 75, 0, 14.2, (34, 34, 0, 0)), Patch("E", 0, 10, 40, 60, (20, 0, 0, 10)))
    return case("snow.drift.shed.after", patches=(*all_over(barn(), 40.3), *more), assumed="Ct 1.1.")


def wind(roof: Roof) -> Case:
    """Uplift by zone, one patch for each rectangle the zone borders make."""
    import shapely

    psf = {"1'": -24.0, "1": -31.6, "2": -41.7, "3": -58.2}
    xs, ys = {0.0, roof.length_ft}, {0.0, roof.width_ft, roof.planes[0].y_top_ft}
    for shape in roof.zones.values():
        for part in getattr(shape, "geoms", [shape]):
            for ring in (part.exterior, *part.interiors):
                xs |= {round(x, 6) for x, _ in ring.coords}
                ys |= {round(y, 6) for _, y in ring.coords}
    out = []
    for x0, x1 in pairwise(sorted(xs)):
        for y0, y1 in pairwise(sorted(ys)):
            middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
            zone = next(name for name, shape in roof.zones.items() if shape.contains(middle))
            plane = roof.planes[0 if y1 <= roof.planes[0].y_top_ft + 1e-6 else -1].name
            out.append(Patch(plane, x0, x1, y0, y1, (psf[zone],) * 4))
    return case("wind.up", kind="W_up", patches=tuple(out), acts="normal", per="slope")


def hung() -> Case:
    lights = tuple(Along("W", k, x, x, 18, 18, "light") for k in (2, 4) for x in (12, 37, 62, 87))
    pipe = Along("W", 6, 0, 100, 4, 12, "pipe")
    return case("dead.hung", along=(Along("E", 4, 55, 70, 30, 30, "heater"), *lights, pipe))


def every_bay(roof: Roof, seed: int = 3) -> Case:
    rng = np.random.default_rng(seed)
    rows = [
        Along(x.plane, x.index, a, b, *rng.uniform(20, 90, 2))
        for x in roof.lines
        for a, b in pairwise(roof.frames_ft)
    ]
    return case("live.roof", kind="Lr", when="both", along=tuple(rows))


def every_strip(roof: Roof, seed: int = 4) -> Case:
    """A load of its own in each bay of the strip of each line."""
    rng = np.random.default_rng(seed)
    out = []
    for plane in roof.planes:
        low, high = sorted((plane.y_eave_ft, plane.y_top_ft))
        ys = sorted(x.y_ft for x in plane.lines)
        edges = [low, *((a + b) / 2 for a, b in pairwise(ys)), high]
        for y0, y1 in pairwise(edges):
            for x0, x1 in pairwise(roof.frames_ft):
                out.append(Patch(plane.name, x0, x1, y0, y1, (float(rng.uniform(1, 30)),) * 4))
    return case("many", patches=tuple(out))


def simple_span(limit: float | None = None, w: float = 100.0, span: float = 25.0) -> Trace:
    """Moment of one span under a uniform load: w x (L - x) / 2, largest w L^2 / 8 (any handbook of beams)."""
    x = np.linspace(0, span, 41)
    return Trace("Moment", "kip-in", x, w * x * (span - x) / 2 * 12 / 1000, limit_pos=limit, limit_neg=limit)


def waves(frames: list[float], n: int = 24) -> tuple[list[Trace], list[Trace]]:
    """Curves of the shape a continuous line has; nobody's results."""
    x = np.concatenate([np.linspace(a, b, n) for a, b in pairwise(frames)])
    u = np.concatenate([np.linspace(0, 1, n)] * (len(frames) - 1))
    bay = np.repeat(np.arange(len(frames) - 1), n)
    k = 1 + 0.3 * np.cos(2.2 * bay)
    m = k * (110 * 4 * u * (1 - u) - 80)
    ends = np.array([0.0, frames[-1]])
    loads = [
        Trace(
            "Snow, after",
            "lb/ft",
            np.array([0, 9.4, 9.4, frames[-1]]),
            np.array([230.0, 230, 170, 170]),
            down=True,
        ),
        Trace("Snow, before", "lb/ft", ends, np.array([120.0, 120.0]), down=True),
    ]
    return loads, [
        Trace("Moment", "kip-in", x, m, 0.6 * m, 30.0, np.where((u < 0.06) | (u > 0.94), 210.0, 105.0)),
        Trace("Shear", "lb", x, k * 2500 * (1 - 2 * u), None, 9000.0, 9000.0),
        Trace(
            "Deflection", "in", x, k * np.sin(np.pi * u), 0.5 * k * np.sin(np.pi * u), 1.2, None, down=True
        ),
    ]


def diagram(frames: list[float], width: float = 1080.0) -> Scene:
    loads, traces = waves(frames)
    laps = [(f - 1.5, f + 1.5) for f in frames[1:-1]]
    free = [i == 2 for i in range(len(frames))]
    return line_diagram(
        "Line 2", frames, traces, loads=loads, laps_ft=laps, released=free, under="Invented.", width_px=width
    )


def ratios(roof: Roof, noise: float, seed: int = 0) -> RatioRows:
    """A ratio for each bay of each line; struts for the engineer, line 3 of bay 2 not known."""
    rng = np.random.default_rng(seed)
    rows = []
    bays = len(roof.frames_ft) - 1
    for x in roof.lines:
        for k, (a, b) in enumerate(pairwise(roof.frames_ft)):
            q = (
                0.65
                + (0.25 if k in (0, bays - 1) else 0)
                + 0.25 * np.exp(-x.s_ft / 20)
                + rng.normal(0, noise)
            )
            state = "engineer" if x.index == 0 else "short" if q > 1 else "holds"
            if (x.index, k) == (3, 1):
                q, state = np.nan, "unknown"
            rows.append((x.plane, x.index, a, b, q, state, "lap end" if k % 2 else "span"))
    return RatioRows(*(np.array(c) for c in zip(*rows, strict=True)))


def scenes() -> dict[str, Scene]:
    mono, narrow = sample.shed(600, 40)[0].roof, sample.shed(40, 200)[0].roof
    frames = [29.0 * i for i in range(24)]
    half = case("snow.partial.2.after", patches=all_over(barn(), 40.3), pattern=(1.0, 0.5, 1.0, 0.5))
    return {
        "drift": load_map(barn(), drift(), under="Invented."),
        "drift on paper": load_map(barn(), drift(), width_px=682),
        "wind": load_map(barn(), wind(barn())),
        "wind hall": load_map(hall(), wind(hall())),
        "hung": load_map(barn(), hung()),
        "partial": load_map(barn(), half),
        "nothing": load_map(barn(), case("snow.sliding.lean-to.after")),
        "live hall": load_map(hall(), every_bay(hall())),
        "strips hall": load_map(hall(), every_strip(hall())),
        "long": load_map(mono, case(patches=all_over(mono, 30.0))),
        "narrow": load_map(narrow, case(patches=all_over(narrow, 30.0))),
        "line": diagram([0, 25, 50, 74.9, 100]),
        "line on paper": diagram([0, 25, 50, 74.9, 100], 682),
        "line hall": diagram(frames),
        "ratio": ratio_map(barn(), ratios(barn(), 0.02), under="Invented."),
        "ratio on paper": ratio_map(barn(), ratios(barn(), 0.02), kind="uplift", width_px=682),
        "ratio hall": ratio_map(hall(), ratios(hall(), 0.01), kind="uplift"),
        "ratio hall, rough": ratio_map(hall(), ratios(hall(), 0.3)),
        "ratio long": ratio_map(mono, ratios(mono, 0.05)),
        "ratio narrow": ratio_map(narrow, ratios(narrow, 0.05)),
    }
