"""Hold-down of a whole roof: the chain of the framing kind on every stretch of every line, as columns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import State, worst
from secondroof.loads import areas
from secondroof.recover.chain import Design, Held, Link, Stretch
from secondroof.recover.kinds import KINDS
from secondroof.survey.proposals import BracketLine

if TYPE_CHECKING:
    from secondroof.acting.wind import Wind
    from secondroof.roof.strips import Strips

Numeric = Any


@dataclass(frozen=True, slots=True)
class HoldDown:
    """The chain evaluated on every stretch.

    Attributes
    ----------
    strips : Strips
        Where each stretch lies.
    stretch : Stretch
        What acts on each, as columns.
    links : tuple of Link
        Links of the framing kind, in order.
    held : mapping of key to Held
        Demand and capacity of every link, as columns.
    areas_ft2 : mapping of part to array
        Effective wind area of panel, clip, screw and line on each stretch. [ft2]
    """

    strips: Strips
    stretch: Stretch
    links: tuple[Link, ...]
    held: Mapping[str, Held]
    areas_ft2: Mapping[str, Numeric]


def part_areas(design: Design, b_ft: Numeric, gap_ft: Numeric) -> dict[str, Numeric]:
    """Effective wind areas of the parts of the chain, ASCE 7 26.2. [ft2]"""
    panel_ft = design.recover.panel.width / 12
    shape = np.broadcast(np.asarray(b_ft, float), np.asarray(gap_ft, float)).shape
    found = {
        "panel": areas.panel_area(gap_ft, panel_ft),
        "clip": areas.clip_area(panel_ft, b_ft),
        "screw": areas.screw_area(design.pitch_ft, b_ft),
        "line": areas.subpurlin_area(design.pitch_ft, b_ft),
    }
    return {k: np.broadcast_to(np.asarray(v, float), shape) for k, v in found.items()}


def zone_uplift(wind: Wind | None, names: tuple[str, ...], area_ft2: Numeric) -> np.ndarray:
    """Uplift in every zone at every area, shape (n, n_zones); NaN where the wind is not known. [psf]"""
    area = np.asarray(area_ft2, float)[..., None]
    if wind is None:
        return np.full((*area.shape[:-1], len(names)), np.nan)
    return np.asarray(wind.uplift(np.array(names), np.broadcast_to(area, (*area.shape[:-1], len(names)))))


def stretch_of(
    wind: Wind | None,
    design: Design,
    names: tuple[str, ...],
    share: np.ndarray,
    b: Numeric,
    gap: Numeric,
    t_2: Numeric,
    n: Numeric,
    slope: Numeric,
) -> tuple[Stretch, dict[str, Numeric]]:
    """What acts on each stretch: pressures shared over the zones its strip lies in.

    Clip, screw and line take each zone's pressure on the width that lies in it. The panel takes the worst zone its
    strip touches, since zones are not averaged inside one panel span.
    """
    found = part_areas(design, b, gap)
    p = {part: zone_uplift(wind, names, area) for part, area in found.items()}
    mixed = {part: np.sum(p[part] * share, axis=-1) for part in ("clip", "screw", "line")}
    worst = np.max(np.where(share > 1e-6, p["panel"], 0.0), axis=-1)
    return Stretch(worst, mixed["clip"], mixed["screw"], mixed["line"], b, gap, t_2, n, slope), found


def hold_down(wind: Wind | None, design: Design, strips: Strips, t_2_in: np.ndarray) -> HoldDown:
    """Evaluate the chain on every stretch of the roof.

    Parameters
    ----------
    wind : Wind
        Wind under the enclosure class used.
    design : Design
        The recover and what it stands on.
    strips : Strips
        Stretches of line.
    t_2_in : (n,) array
        Design thickness of the old member under each stretch; NaN where not read. [in]
    """
    n = screws_in_group(design, strips.zone)
    stretch, found = stretch_of(
        wind, design, strips.names, strips.share, strips.width_ft, strips.gap_ft, t_2_in, n, strips.slope_deg
    )
    links = KINDS[design.recover.framing.kind].links
    return HoldDown(strips, stretch, links, {link.key: link.work(stretch, design) for link in links}, found)


def screws_in_group(design: Design, zone: np.ndarray) -> np.ndarray:
    """Screws in each flat or bracket, by the zone the line lies in."""
    framing = design.recover.framing
    counts = framing.screws_per_bracket if isinstance(framing, BracketLine) else framing.screws_per_flat
    return np.array([counts.by_zone.get(str(z), counts.other) for z in np.atleast_1d(zone)], float)


def at(stretch: Stretch, i: int) -> Stretch:
    """One stretch of the columns, as plain numbers."""
    return Stretch(*(float(np.asarray(getattr(stretch, name)).reshape(-1)[i]) for name in Stretch.__slots__))


SPACINGS_FT = np.arange(0.5, 8.001, 0.25)


@dataclass(frozen=True, slots=True)
class Spacing:
    """Largest even line spacing at which every known link holds in one zone.

    Attributes
    ----------
    there_ft, holds_ft : float
        Spacing that is there, and the largest that holds; NaN where none does. [ft]
    governs : str
        Link that stops a wider spacing.
    untested : bool
        True where a wider spacing is not known to fail: the link that stops it has no value there.
    left_out : tuple of str
        Links of unknown capacity at every spacing.
    state : State
        Short where the spacing that is there is too wide; else unknown or engineer where something is left out.
    """

    zone: str
    there_ft: float
    holds_ft: float
    governs: str
    untested: bool
    left_out: tuple[str, ...]
    state: State


def largest_spacing(wind: Wind | None, design: Design, found: HoldDown, zone: str) -> Spacing:
    """Search the line spacing in one zone, thinnest old steel there, all of the width in that zone.

    Spacings are tried in steps of 1/4 ft from 1/2 ft to 8 ft, and the one that is there. A link of unknown capacity
    is left out and named; with one left out nothing is said to hold.
    """
    here = np.array([str(z) == zone for z in found.strips.zone])
    t = np.asarray(found.stretch.t_2_in)[here]
    n = float(np.min(np.asarray(found.stretch.n)[here]))
    slope = float(np.max(found.strips.slope_deg[here]))
    there = float(np.max(found.strips.gap_ft[here]))
    tried = np.unique(np.append(SPACINGS_FT, there))
    share = np.zeros((tried.size, len(found.strips.names)))
    share[:, found.strips.names.index(zone)] = 1.0
    t_2 = float("nan") if np.isnan(t).any() else float(np.min(t))
    stretch, _ = stretch_of(wind, design, found.strips.names, share, tried, tried, t_2, n, slope)
    stretch = replace(stretch, t_2_in=np.full(tried.shape, t_2))
    ratios: dict[str, np.ndarray] = {}
    left_out: list[str] = []
    states: list[State] = []
    for link in found.links:
        ratio = np.broadcast_to(link.work(stretch, design).ratio, tried.shape)
        if np.isnan(ratio).all():
            left_out.append(link.title)
            states.append("engineer" if link.judged_by_engineer else "unknown")
        else:
            ratios[link.key] = ratio
    if not ratios:
        return Spacing(zone, there, float("nan"), "", True, tuple(left_out), "unknown")
    names, table = list(ratios), np.stack(list(ratios.values()))
    stop = np.where(np.isnan(table), np.inf, table)
    at_there = table[:, int(np.searchsorted(tried, there))]
    if (at_there > 1.0).any():
        states.append("short")
    elif np.isnan(at_there).any():
        states.append("unknown")
    good = np.flatnonzero(np.all(stop <= 1.0, axis=0))
    if not good.size:
        k = int(np.argmin(np.max(stop, axis=0)))
        i = int(np.argmax(stop[:, k]))
        return Spacing(
            zone, there, float("nan"), names[i], bool(np.isnan(table[i, k])), tuple(left_out), worst(states)
        )
    last = int(good[-1])
    beyond = min(last + 1, tried.size - 1)
    i = (
        int(np.nanargmax(table[:, beyond]))
        if np.nanmax(table[:, beyond]) > 1.0
        else int(np.argmax(stop[:, beyond]))
    )
    untested = bool(np.isnan(table[i, beyond]))
    return Spacing(zone, there, float(tried[last]), names[i], untested, tuple(left_out), worst(states))
