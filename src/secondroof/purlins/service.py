"""How the old lines bend and swing: deflection under live load and snow, a person at mid-span, first frequency."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.lineloads import line_loads
from secondroof.formula import Step, recording
from secondroof.lines.beam import sample_nodes, support_mask
from secondroof.lines.deflection import BY_KEY, allowed_deflection, deflection_ratio
from secondroof.lines.underfoot import underfoot
from secondroof.purlins.effects import stiffness
from secondroof.purlins.places import nearest_bays

if TYPE_CHECKING:
    from secondroof.acting.combined import Stage
    from secondroof.acting.gathered import Acting
    from secondroof.lines.underfoot import Underfoot
    from secondroof.purlins.found import PurlinsFound
    from secondroof.roof.model import Roof


#: Bays of a long line that are worked for its feel.
MOST_BAYS = 7


@dataclass(frozen=True, slots=True, eq=False)
class Bent:
    """The line that bends most against its limit under live load or snow alone.

    ``line`` and ``bay`` are row and column of the arrays of ``PurlinsFound``.
    """

    line: int
    bay: int
    d_in: float
    allowed_in: float
    ratio: float
    clause: str
    checked: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Feel:
    """The softest purlin line underfoot, today and with the recover's weight on it."""

    line: int
    before: Underfoot
    after: Underfoot
    weight_before_lb_ft: float
    weight_after_lb_ft: float
    steps: tuple[Step, ...]


def bent_most(roof: Roof, f: PurlinsFound) -> Bent | None:
    """Deflection of the old lines against the row of the table for purlins under formed metal roofing; None unknown."""
    limit = BY_KEY["formed.purlin.live"]
    spans = np.diff(np.asarray(roof.frames_ft))
    known = np.isfinite(f.sections.Ix_in4)
    most = np.fmax(f.deflection_by["Lr", "after"], f.deflection_by["S", "after"])
    ratio = np.where(
        known, np.asarray(deflection_ratio(most, allowed_deflection(spans, limit.over))), np.nan
    )
    if not np.isfinite(ratio).any():
        return None
    i, j = (int(k) for k in np.unravel_index(int(np.nanargmax(ratio)), ratio.shape))
    d = float(most[i, j])
    with recording() as recorder:
        allowed = float(allowed_deflection(float(spans[j]), limit.over))
        r = float(deflection_ratio(d, allowed))
    return Bent(i, j, d, allowed, r, limit.clause, limit.checked, tuple(recorder.steps))


def softest(roof: Roof, acting: Acting, f: PurlinsFound) -> Feel | None:
    """The purlin line that bends most under a person at mid-span, before and after; None where no section is known.

    Of a long line the bays round its softest are worked.
    """
    spans = np.diff(np.asarray(roof.frames_ft))
    flexible = np.where(np.isfinite(f.sections.Ix_in4), spans**3 / f.sections.Ix_in4, np.nan)
    purlin = np.array([line.member == "purlin" for line in f.sections.lines], dtype=bool)
    flexible[~purlin] = np.nan
    if not np.isfinite(flexible).any():
        return None
    i = int(np.nanargmax(np.nanmax(np.where(np.isfinite(flexible), flexible, 0.0), axis=1)))
    if not np.isfinite(f.sections.Ix_in4[i]).all():
        return None
    I = f.sections.Ix_in4[i]
    first, last = nearest_bays(np.asarray(roof.frames_ft), I, MOST_BAYS)
    frames = np.asarray(roof.frames_ft)[first : last + 1]
    x = sample_nodes(frames)
    held = support_mask(x, frames)
    cut = held.copy() if f.way[i] != "continuous" else np.zeros_like(held)
    cut[[0, -1]] = False
    none = np.full((1, frames.size), np.nan)
    EI = stiffness(x, frames.tolist(), I[None, first:last], none, "laps not counted")[0]
    weights = {stage: _weight(roof, acting, f, i, stage) for stage in ("before", "after")}
    if min(weights.values()) <= 0:
        return None
    with recording() as recorder:
        before = underfoot(x, held, EI, weights["before"], release=cut)
        after = underfoot(x, held, EI, weights["after"], release=cut)
    return Feel(i, before, after, weights["before"], weights["after"], tuple(recorder.steps))


def _weight(roof: Roof, acting: Acting, f: PurlinsFound, i: int, stage: Stage | str) -> float:
    """Mean dead load on one line. [lb/ft]"""
    line = f.sections.lines[i]
    plane = next(p for p in roof.planes if p.name == line.plane)
    dead = [c for c in acting.cases if c.kind == "D" and c.when in (stage, "both")]
    if not dead:
        return 0.0
    loads = line_loads(roof, plane, dead)
    at = int(np.flatnonzero(loads.lines == line.index)[0])
    return float(loads.totals_lb()[:, at].sum() / (roof.frames_ft[-1] - roof.frames_ft[0]))
