"""Drawings of loads and old purlins for the papers: load maps, ratio maps, the worst line as a diagram."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from secondroof.papers.loadwords import SIDES, OldBay, worst_bays

if TYPE_CHECKING:
    from secondroof.acting.combined import Rows, Stage
    from secondroof.acting.gathered import Acting
    from secondroof.acting.lineloads import LineLoads
    from secondroof.acting.model import Case
    from secondroof.drawings.linepanels import Trace
    from secondroof.drawings.scene import Scene
    from secondroof.findings.model import Findings
    from secondroof.purlins.effects import Effects, Way
    from secondroof.purlins.found import PurlinsFound, Side
    from secondroof.purlins.ratios import Limits
    from secondroof.roof.model import Roof

STAGES: tuple[tuple[Stage, str], ...] = (("before", "Today."), ("after", "With the recover."))
#: Most height of the plan itself on a load map and on a map of ratios. [1/96 in]
MAP_HIGH_PX, RATIO_HIGH_PX = 320.0, 430.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """One drawing: the name of its file, what it is, and its scene; ``plan`` where it lies on the roof plan."""

    name: str
    what: str
    scene: Scene
    plan: bool


def load_sheets(f: Findings, width_px: float, turned_px: float) -> tuple[Sheet, ...]:
    """Every drawing of loads and old purlins that can be made of the findings."""
    from secondroof.drawings.loadmap import load_map

    sheets = [
        Sheet(name, f"load map: {case.title}", load_map(f.roof, case, width_px=width_px, most_height_px=MAP_HIGH_PX),
              True)
        for name, case in _mapped(f)
    ]  # fmt: skip
    if f.purlins is not None and f.acting is not None:
        sheets += _ratio_sheets(f.roof, f.purlins, width_px)
        worst = worst_line(f.purlins)
        if worst is not None:
            scene = line_sheet(f.roof, f.acting, f.purlins, worst, turned_px)
            sheets.append(
                Sheet("worst-line", f"old line {worst.name}: loads, moment, shear, bending", scene, False)
            )
    return tuple(sheets)


def _mapped(f: Findings) -> list[tuple[str, Case]]:
    """Cases worth a map, with the recover on: snow all over, snow blown over the ridge, the worst drift."""
    if f.acting is None:
        return []
    cases = [c for c in f.acting.cases if c.when != "before" and c.headline_psf]
    out = []
    for name, start in (
        ("load-snow", "snow.balanced"),
        ("load-snow-unbalanced", "snow.unbalanced"),
        ("load-drift", "snow.drift"),
    ):
        here = [c for c in cases if c.key.startswith(start)]
        if here:
            out.append((name, max(here, key=lambda c: abs(c.headline_psf or 0.0))))
    return out


def _ratio_sheets(roof: Roof, p: PurlinsFound, width_px: float) -> list[Sheet]:
    from secondroof.drawings.ratiomap import RatioRows, ratio_map

    frames = np.asarray(roof.frames_ft)
    n = p.sections.which.shape[1]
    plane = np.repeat([x.plane for x in p.sections.lines], n)
    line = np.repeat([x.index for x in p.sections.lines], n)
    x0, x1 = (np.tile(x, len(p.sections.lines)) for x in (frames[:-1], frames[1:]))
    out = []
    for side, word in SIDES:
        for stage, when in STAGES:
            s = (p.down if side == "down" else p.up)[stage]
            if side == "up" and not s.ratio.any():
                continue
            rows = RatioRows(plane, line, x0, x1, s.ratio.ravel(), s.state.ravel(), s.point.ravel())
            scene = ratio_map(
                roof, rows, kind="gravity" if side == "down" else "uplift", under=f"{when} ASCE {p.edition}, ASD.",
                width_px=width_px, most_height_px=RATIO_HIGH_PX,
            )  # fmt: skip
            name = f"old-purlins-{word}-{'today' if stage == 'before' else 'with-recover'}"
            what = f"old purlins {word}, {when[0].lower()}{when[1:-1]}: demand over capacity, line by line"
            out.append(Sheet(name, what, replace(scene, name=name), True))
    return out


# The worst line -----------------------------------------------------------------------------------------------


def worst_line(p: PurlinsFound) -> OldBay | None:
    """Bay of the fullest old line, pressed or lifted; None where no ratio is known."""
    found = [b for side, _ in SIDES for b in worst_bays(p, side, 1)]
    return max(found, key=lambda b: (b.state == "short", b.ratio), default=None)


def line_sheet(roof: Roof, acting: Acting, p: PurlinsFound, bay: OldBay, width_px: float) -> Scene:
    """One old line under the combination that governs one of its bays, today and with the recover.

    Parameters
    ----------
    bay : OldBay
        Bay, and whether it is looked at pressed or lifted.
    width_px : float
        Width of the sheet. [1/96 in]
    """
    from secondroof.drawings.linediagram import line_diagram
    from secondroof.drawings.linepanels import Trace

    i = bay.row
    sides = p.down if bay.way == "pressed" else p.up
    lines = _LineLoads(roof, acting, p, i)
    way = lines.way_of(sides["after"], "after", i, bay.col)
    e, limits = lines.effects[way], _limits(p, i, way)
    r = {stage: _row(p, acting, sides[stage], stage, i, bay.col) for stage in ("before", "after")}
    x, twice = lines.loads.x_ft, np.repeat(lines.loads.x_ft, 2)
    col = np.clip(np.searchsorted(roof.frames_ft, x, side="right") - 1, 0, len(roof.frames_ft) - 2)

    def both(a: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        after, before = (np.tensordot(r[s], a[:, 0], axes=1) for s in ("after", "before"))
        return after, before

    M, M_was = both(e.M)
    left, right = both(e.V_left), both(e.V_right)
    V, V_was = (np.stack([a, b], axis=-1).ravel() for a, b in zip(left, right, strict=True))
    d, d_was = both(e.d)
    hog = np.full(x.size, np.nan) if way == "simple spans" else _over_frames(roof, p, i, x, limits)
    held = limits.bare if bay.way == "lifted" else limits.span
    pos, neg = (hog, held[0][col]) if bay.way == "lifted" else (held[0][col], hog)
    V_a = np.repeat(1e3 * limits.shear[0][col], 2)
    traces = [
        Trace("Moment", "kip-in", x, M, M_was, limit_pos=pos, limit_neg=neg),
        Trace("Shear", "lb", twice, V, V_was, limit_pos=V_a, limit_neg=V_a),
        Trace("Deflection", "in", x, d, d_was, down=True),
    ]
    frames = np.asarray(roof.frames_ft)
    lap = p.lap_in[i] / 12.0
    laps = [
        (float(frames[k] - lap[k]), float(frames[k] + lap[k]))
        for k in range(1, frames.size - 1)
        if lap[k] > 0
    ]
    ratio = f"{bay.before:.2f} today, {bay.ratio:.2f} with the recover, bay {bay.bay}"
    notes = [
        ("With the recover:", sides["after"].combination(i, bay.col) + "."),
        ("Today:", sides["before"].combination(i, bay.col) + "."),
        ("Worked:", f"{way}, square to the roof, allowable stress (ASD); loads are drawn without their factors."),
        ("Capacity:", "of bending and of shear each alone; at the end of a lap and over a frame the two meet, and the "
         "ratio counts them together."),
    ]  # fmt: skip
    return line_diagram(
        f"Old line {bay.name}, {bay.way}", list(frames), traces, loads=_load_traces(lines, r["after"]), laps_ft=laps,
        released=[way == "simple spans"] * frames.size, under=f"Ratio {ratio}.",
        names=("with the recover", "today"), notes=notes, name="worst-line", width_px=width_px,
    )  # fmt: skip


class _LineLoads:
    """Loads and effects of one old line, every case."""

    def __init__(self, roof: Roof, acting: Acting, p: PurlinsFound, i: int) -> None:
        from secondroof.purlins.effects import effects

        line = p.sections.lines[i]
        loads = p.loads[line.plane]
        at = int(np.flatnonzero(loads.lines == line.index)[0])
        one = slice(at, at + 1)
        self.p, self.acting = p, acting
        self.loads: LineLoads = replace(
            loads, lines=loads.lines[one], w0=loads.w0[:, one], w1=loads.w1[:, one], P=loads.P[:, one]
        )
        ways: tuple[Way, ...] = (
            ("laps counted", "laps not counted") if p.way[i] == "continuous" else ("simple spans",)
        )
        self.effects: dict[Way, Effects] = {
            way: effects(self.loads, roof.frames_ft, p.sections.Ix_in4[i : i + 1], p.lap_in[i : i + 1], way)
            for way in ways
        }

    def way_of(self, side: Side, stage: Stage, i: int, j: int) -> Way:
        """The way of working that gives the moment the ratio was found with."""
        row = _row(self.p, self.acting, side, stage, i, j)
        node = int(np.argmin(np.abs(self.loads.x_ft - side.x_ft[i, j])))

        def off(way: Way) -> float:
            return abs(abs(float(row @ self.effects[way].M[:, 0, node])) - float(side.demand[i, j]))

        return min(self.effects, key=off)


def _row(p: PurlinsFound, acting: Acting, side: Side, stage: Stage, i: int, j: int) -> np.ndarray:
    """Factors on the cases in the combination that governs one bay."""
    from secondroof.acting.combined import rows

    table: Rows = rows(p.edition, "ASD", acting.cases, stage)
    return np.asarray(table.factors[int(side.row[i, j])])


def _limits(p: PurlinsFound, i: int, way: Way) -> Limits:
    """Strengths of one line by ASD; the ladder of lap ends is not drawn and not made."""
    from secondroof.purlins.limits import Held, limits_of

    plane = p.sections.lines[i].plane
    answer = next(r.braces_after for r in p.restraint if r.plane == plane)
    lap = p.lap_in[i : i + 1] if way != "simple spans" else np.full_like(p.lap_in[i : i + 1], np.nan)
    none = np.full((p.sections.count, 1), np.nan)
    return limits_of(p.sections, p.capacity, p.uplift, np.array([i]), lap, "ASD", way,
                     Held(answer, p.uplift.sag_length_in), none)  # fmt: skip


def _over_frames(roof: Roof, p: PurlinsFound, i: int, x: np.ndarray, limits: Limits) -> np.ndarray:
    """Strength over the frames, as far as the laps reach; NaN between."""
    out = np.full(x.size, np.nan)
    for k, frame in enumerate(roof.frames_ft):
        reach = float(np.nan_to_num(p.lap_in[i, k])) / 12.0
        out[np.abs(x - frame) <= reach + 1e-9] = limits.seat[0, k]
    return out


def _load_traces(lines: _LineLoads, factors: np.ndarray) -> list[Trace]:
    """Loads of the governing combination: dead load in one, every other case by itself."""
    from secondroof.drawings.linepanels import Trace
    from secondroof.papers.loadwords import without_stage

    loads = lines.loads
    x = np.repeat(loads.x_ft, 2)[1:-1]
    out: list[Trace] = []

    def spread(k: np.ndarray) -> np.ndarray:
        w = np.stack([loads.w0[k, 0].sum(axis=0), loads.w1[k, 0].sum(axis=0)], axis=-1)
        return np.asarray(w.ravel())

    dead = np.array([k for k, c in enumerate(loads.cases) if c.kind == "D" and factors[k]], dtype=int)
    if dead.size:
        out.append(Trace("dead load", "lb/ft", x, spread(dead), down=True))
    for k, c in enumerate(loads.cases):
        if c.kind != "D" and factors[k]:
            out.append(Trace(without_stage(c.title), "lb/ft", x, spread(np.array([k])), down=True))
    return out
