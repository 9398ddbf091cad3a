"""Load cases and old purlins as rows the papers and the terminal share."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.model import STATE_ORDER
from secondroof.checks.numbers import show
from secondroof.purlins.ratios import POINTS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from secondroof.acting.then_now import ThenNowRow
    from secondroof.checks.model import State
    from secondroof.findings.model import CaseRow, Findings
    from secondroof.purlins.found import PurlinsFound

WHEN = {"before": "today", "after": "with recover", "both": "both"}
SIDES = (("down", "pressed"), ("up", "lifted"))
_PATTERN = re.compile(r"^(snow\.partial|live\.partial)\.\d+\.(before|after|both)$")
_TAIL = re.compile(r", (today|with the recover)$")


def is_pattern(key: str) -> bool:
    """True for one pattern of partial loading."""
    return _PATTERN.match(key) is not None


def _family(key: str) -> str:
    found = _PATTERN.match(key)
    return key if found is None else f"{found.group(1)}.{found.group(2)}"


def without_stage(title: str) -> str:
    """Title of a case without its stage, for a list that has a column for it."""
    title = _TAIL.sub("", title)
    return title[:1].lower() + title[1:]


@dataclass(frozen=True, slots=True)
class CaseGroup:
    """One row of the list of cases: a case, or every pattern of partial loading of one stage."""

    cases: tuple[CaseRow, ...]

    @property
    def first(self) -> CaseRow:
        """The pattern that puts the largest load on a line; the case itself where there is one."""
        return max(self.cases, key=lambda c: abs(c.w_lb_ft))

    @property
    def title(self) -> str:
        """A foreman's words, without the stage."""
        if len(self.cases) > 1:
            return f"partial snow, {len(self.cases)} patterns"
        return without_stage(self.cases[0].title)

    @property
    def id(self) -> str:
        """Card number or numbers."""
        from secondroof.papers.words import numbers

        return numbers([c.id for c in self.cases])


def grouped(cases: Sequence[CaseRow]) -> list[CaseGroup]:
    """Cases in their order, the patterns of one stage in one row."""
    found: dict[str, list[CaseRow]] = {}
    for c in cases:
        found.setdefault(_family(c.key), []).append(c)
    return [CaseGroup(tuple(g)) for g in found.values()]


def psf_text(c: CaseRow) -> str:
    """Largest load by place, in words where it has none of its own."""
    if c.psf is not None:
        return signed(c.psf, "psf")
    return "by zone" if c.kind.startswith("W") else "on lines" if c.line else "see card"


def signed(value: float, unit: str) -> str:
    """Number with its sign where it lifts."""
    return ("−" if value < 0 else "") + show(abs(value), unit)


def line_text(c: CaseRow) -> tuple[str, str, str]:
    """Line a case loads most, its line load and its point load; a load on another roof says so."""
    if not c.line:
        return "not ours", "", ""
    w = signed(c.w_lb_ft, "lb/ft") if c.w_lb_ft else ""
    return c.line, w, signed(c.P_lb, "lb") if c.P_lb else ""


def governing_cases(cases: Sequence[CaseRow]) -> list[CaseRow]:
    """What a person asks first, with the recover on: live load, worst snow, worst drift, wind up, wind down."""

    def worst(chosen: Iterable[CaseRow]) -> list[CaseRow]:
        some = [c for c in chosen if c.line]
        return [max(some, key=lambda c: abs(c.w_lb_ft))] if some else []

    here = [c for c in cases if c.when != "before"]
    drifts = [c for c in here if c.key.startswith(("snow.drift", "snow.sliding"))]
    even = [c for c in here if c.kind == "S" and c not in drifts and not is_pattern(c.key)]
    return [
        *worst(c for c in here if c.kind == "Lr"),
        *worst(even),
        *worst(drifts),
        *worst(c for c in here if c.kind == "R"),
        *worst(c for c in here if c.kind == "W_up"),
        *worst(c for c in here if c.kind == "W_down"),
    ]


def most_changed(f: Findings) -> ThenNowRow | None:
    """Where a purlin is asked most more than in its day; of a panel where no purlin was compared."""
    rows = () if f.then_now is None else f.then_now.rows
    of = [r for r in rows if r.part == "purlin"] or list(rows)
    return max(of, key=lambda r: r.ratio, default=None)


# Old purlins --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OldBay:
    """One old line in one bay, pressed or lifted."""

    row: int
    col: int
    name: str
    member: str
    bay: int
    way: str
    ratio: float
    before: float
    state: State
    state_before: State
    point: str
    combination: str


def old_bay(f: PurlinsFound, side: str, i: int, j: int) -> OldBay:
    """One row and column of the arrays, ``down`` or ``up``."""
    sides = f.down if side == "down" else f.up
    after, was = sides["after"], sides["before"]
    line = f.sections.lines[i]
    point = str(after.point[i, j])
    return OldBay(
        i, j, line.name, line.member, j + 1, dict(SIDES)[side], float(after.ratio[i, j]), float(was.ratio[i, j]),
        after.state[i, j], was.state[i, j], POINTS[point][0] if point in POINTS else "", after.combination(i, j),
    )  # fmt: skip


def worst_bays(f: PurlinsFound, side: str, most: int) -> list[OldBay]:
    """Worst bays with the recover, one a line: short first, then the fullest."""
    sides = f.down if side == "down" else f.up
    ratio, state = sides["after"].ratio, sides["after"].state
    if not ratio.size:
        return []
    rank = {s: len(STATE_ORDER) - k for k, s in enumerate(STATE_ORDER)}
    order = np.nan_to_num(ratio, nan=-1.0) + 1e6 * np.vectorize(rank.__getitem__, otypes=[float])(state)
    at = np.argmax(order, axis=1)
    rows = sorted(range(order.shape[0]), key=lambda i: -order[i, at[i]])
    return [old_bay(f, side, i, int(at[i])) for i in rows[:most] if math.isfinite(ratio[i, at[i]])]


def state_counts(f: PurlinsFound, side: str) -> dict[str, dict[str, int]]:
    """Bays by state, ``before`` and ``after``."""
    sides = f.down if side == "down" else f.up
    return {
        stage: {s: int(np.sum(sides[stage].state == s)) for s in STATE_ORDER} for stage in ("before", "after")
    }


def counts_words(counts: dict[str, int]) -> str:
    """``64 short, 8 for the engineer``."""
    words = {"short": "short", "unknown": "not known", "engineer": "for the engineer", "holds": "hold"}
    return ", ".join(f"{counts[s]} {words[s]}" for s in STATE_ORDER if counts[s]) or "none"
