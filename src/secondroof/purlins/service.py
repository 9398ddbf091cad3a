"""How the old lines bend and swing: deflection under live load and snow, a person at mid-span, first frequency."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from secondroof.acting.lineloads import line_loads
from secondroof.acting.where import in_words
from secondroof.formula import Step, recording
from secondroof.lines.beam import sample_nodes, support_mask
from secondroof.lines.deflection import BY_KEY, allowed_deflection, deflection_ratio
from secondroof.lines.underfoot import underfoot
from secondroof.purlins.effects import stiffness
from secondroof.purlins.places import nearest_bays

if TYPE_CHECKING:
    from secondroof.acting.combined import Stage
    from secondroof.acting.gathered import Acting
    from secondroof.checks.model import State
    from secondroof.lines.deflection import DeflectionLimit
    from secondroof.lines.underfoot import Underfoot
    from secondroof.purlins.found import PurlinsFound
    from secondroof.roof.model import Roof


Served = Literal["Lr", "S"]
#: Bays of a long line that are worked for its feel.
MOST_BAYS = 7
#: Rows held against the deflection under live load and under snow: under formed metal roofing, then the plain one.
LIVE, SNOW = ("formed.purlin.live", "plain.live"), ("serviceability.snow", "plain.snow_wind")
PLAIN = frozenset({LIVE[1], SNOW[1]})
#: Snow of an edition at strength level, taken back to service for deflection (7-22; from memory).
SNOW_TO_SERVICE = 0.7
OVER_COVERED = (
    "Span over 150 holds under formed metal roofing with no other covering on it, and for live load; a recover lays a "
    "second covering over the old sheet. Where the official reads it so, span over 180 counts (no ceiling)."
)
GROSS = "gross section, alone, without help from the sheet and without the second purlin in the laps"


@dataclass(frozen=True, slots=True)
class BentRow:
    """One row of a table of limits, held against the line that bends most against it.

    Attributes
    ----------
    load : str
        ``Lr`` roof live load or ``S`` snow, alone.
    limit : DeflectionLimit
        The row: span over 150 under formed metal roofing, or the plain one, span over 180.
    line, bay : int
        Row and column of the arrays of ``PurlinsFound``.
    d_in, allowed_in, ratio : float
        With the recover. [in], [in], [-]
    ratio_before : float
        Today; NaN where the load of today is not fully known. [-]
    """

    load: Served
    limit: DeflectionLimit
    line: int
    bay: int
    d_in: float
    allowed_in: float
    ratio: float
    ratio_before: float


@dataclass(frozen=True, slots=True, eq=False)
class Bent:
    """The purlin that bends most against its limit under live load or snow alone; eave struts are left out.

    ``line``, ``bay``, ``d_in``, ``allowed_in``, ``ratio``, ``clause`` and ``checked`` are those of the fullest of the
    rows under formed metal roofing (span over 150). ``line`` and ``bay`` are row and column of the arrays of
    ``PurlinsFound``.

    Attributes
    ----------
    limit : DeflectionLimit
        The row of the table the head figures belong to.
    load : str
        The load they are under, ``Lr`` or ``S``.
    ratio_before : float
        Today, against the same row; NaN where not known. [-]
    rows : tuple of BentRow
        Live load and snow apart, each against the row under formed metal roofing and against the plain row.
    unknown : str
        What is not known and could make it worse, in plain words; empty where all is known.
    over_covered : str
        Why the plain rows stand beside.
    snow_factor : float
        Factor on the snow load: 0.7 where the edition gives it at strength level, else 1. [-]
    engineer : bool
        True where a row is on a section that is the engineer's.
    """

    line: int
    bay: int
    d_in: float
    allowed_in: float
    ratio: float
    clause: str
    checked: str
    steps: tuple[Step, ...]
    limit: DeflectionLimit
    load: Served
    ratio_before: float
    rows: tuple[BentRow, ...]
    unknown: str
    over_covered: str
    snow_factor: float
    engineer: bool

    @property
    def plain(self) -> BentRow:
        """The fullest of the plain rows."""
        return max((r for r in self.rows if r.limit.key in PLAIN), key=lambda r: r.ratio)

    @property
    def state(self) -> State:
        """``short`` past both rows; ``unknown`` where something is missing; ``engineer`` between the two rows."""
        if self.engineer:
            return "engineer"
        if self.ratio > 1.0:
            return "short"
        if self.unknown:
            return "unknown"
        return "holds" if self.plain.ratio <= 1.0 else "engineer"


@dataclass(frozen=True, slots=True, eq=False)
class Feel:
    """The softest purlin line underfoot, today and with the recover's weight on it.

    Attributes
    ----------
    soft : bool
        True where any of its spans is soft, today or with the recover.
    basis : str
        What was counted, in plain words.
    unknown : str
        What of the weight is not known; empty where all is.
    """

    line: int
    before: Underfoot
    after: Underfoot
    weight_before_lb_ft: float
    weight_after_lb_ft: float
    steps: tuple[Step, ...]
    soft: bool
    basis: str
    unknown: str


def bent_most(roof: Roof, f: PurlinsFound) -> Bent | None:
    """Deflection of the old purlins under live load and under snow, against both rows of the table.

    None where no purlin's section is known, or neither load is.
    """
    spans = np.diff(np.asarray(roof.frames_ft))
    strut = np.array([line.member == "eave strut" for line in f.sections.lines], dtype=bool)
    read: NDArray[np.bool_] = np.isfinite(f.sections.Ix_in4)
    whole = np.asarray(read.all(axis=1))
    # On a continuous line a bay with no section makes the others a guess.
    use = np.where((f.way == "continuous")[:, None], whole[:, None] & read, read) & ~strut[:, None]
    factor = _snow_factor(f)
    rows: list[BentRow] = []
    with recording() as recorder:
        for load, kept in (("Lr", LIVE), ("S", SNOW)):
            if (load, "after") in f.left_out:
                continue
            served: Served = "Lr" if load == "Lr" else "S"
            scale = factor if served == "S" else 1.0
            d = np.where(use, scale * f.deflection_by[served, "after"], np.nan)
            if not np.isfinite(d).any() or float(np.nanmax(d)) == 0.0:
                continue
            i, j = (int(k) for k in np.unravel_index(int(np.nanargmax(d / spans)), d.shape))
            was = scale * float(f.deflection_by[served, "before"][i, j])
            for key in kept:
                limit = BY_KEY[key]
                allowed = float(allowed_deflection(float(spans[j]), limit.over))
                ratio = float(deflection_ratio(float(d[i, j]), allowed))
                before = np.nan if (served, "before") in f.left_out else was / allowed
                rows.append(BentRow(served, limit, i, j, float(d[i, j]), allowed, ratio, before))
    formed = [r for r in rows if r.limit.key not in PLAIN]
    if not formed:
        return None
    top = max(formed, key=lambda r: r.ratio)
    return Bent(
        top.line, top.bay, top.d_in, top.allowed_in, top.ratio, top.limit.clause, top.limit.checked,
        tuple(recorder.steps), top.limit, top.load, top.ratio_before, tuple(rows), _not_known(f, strut, read),
        OVER_COVERED, factor,
        any(f.sections.state[f.sections.which[r.line, r.bay]] == "engineer" for r in rows),
    )  # fmt: skip


def _snow_factor(f: PurlinsFound) -> float:
    """Factor on snow for deflection: the load of an edition at strength level is taken back to service."""
    cases = (c for loads in f.loads.values() for c in loads.cases if c.kind == "S")
    return SNOW_TO_SERVICE if any(c.level == "strength" for c in cases) else 1.0


def _not_known(f: PurlinsFound, strut: np.ndarray, read: np.ndarray) -> str:
    """What is not known and could bend a purlin more."""
    words = [
        f"{name} is not fully known"
        for kind, name in (("Lr", "roof live load"), ("S", "snow"))
        if (kind, "after") in f.left_out
    ]
    lines = [
        line.name
        for line, ok, not_purlin in zip(f.sections.lines, np.asarray(read.all(axis=1)), strut, strict=True)
        if not ok and not not_purlin
    ]
    if lines:
        some = in_words(lines[:3]) + (f" and {len(lines) - 3} more" if len(lines) > 3 else "")
        words.append(f"the section of {some} is not known in every bay")
    return "; ".join(words)


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
    soft = "soft" in ((before.feel or ()) + (after.feel or ()))
    open_ = any(("D", stage) in f.left_out for stage in ("before", "after"))
    unknown = "the weight on it is not fully known: a heavier line swings slower" if open_ else ""
    return Feel(
        i, before, after, weights["before"], weights["after"], tuple(recorder.steps), soft, GROSS, unknown
    )


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
