"""Load combinations over the cases of a roof, today or with the recover: one row for every choice that can be made.

Effects are linear in the loads: a row of factors times the effects of the cases is the effect of the combination. Every
choice is its own row, so that moment, shear and reaction that meet in one check stand at one time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from secondroof.loads.combinations import combinations, combinations_checked

if TYPE_CHECKING:
    from secondroof.acting.model import Case
    from secondroof.loads.combinations import Method

FloatArray = NDArray[np.float64]
Stage = Literal["before", "after"]
STAGES: tuple[Stage, Stage] = ("before", "after")

#: Construction loads stand with dead load alone; factors are common practice, no source.
CONSTRUCTION = {"ASD": (1.0, 1.0), "LRFD": (1.2, 1.6)}


@dataclass(frozen=True, slots=True)
class Rows:
    """Combinations with every choice of case made.

    Attributes
    ----------
    names : tuple of str, length n_row
        Combination and the cases it was made with.
    factors : ndarray, shape (n_row, n_case)
        Factor on every case.
    construction : ndarray of bool, shape (n_row,)
        Rows of bundles and men on the roof, which no edition's combinations hold.
    checked : str
        How the combinations were confirmed.
    """

    names: tuple[str, ...]
    factors: FloatArray
    construction: NDArray[np.bool_]
    checked: str


def acts(case: Case, stage: Stage) -> bool:
    """Whether a case is there today (before) or with the recover (after)."""
    return case.when in (stage, "both")


def rows(edition: str, method: Method, cases: Sequence[Case], stage: Stage) -> Rows:
    """Every combination of an edition and method over the cases of one stage.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    method : str
        ``ASD`` or ``LRFD``.
    cases : sequence of Case
        All cases of the roof; those of the other stage get the factor 0.
    stage : str
        ``before``: today; ``after``: with the recover.

    Returns
    -------
    Rows
        A combination with a load the roof does not have is left out; dead load alone is always there. Uplift counts
        only dead load surely present. Wind that lifts is taken with that dead load only: beside snow, live load, rain
        or the whole dead load it relieves what presses and lifts less, so such rows never govern. Nor does a row that
        lies between dead load alone and the same row with more of the same load; it is left out as well.
    """
    by_kind: dict[str, list[int]] = {}
    for k, case in enumerate(cases):
        if acts(case, stage):
            by_kind.setdefault(case.kind, []).append(k)
    dead = np.zeros(len(cases))
    dead[by_kind.get("D", [])] = 1.0
    sure = np.array([float(d and c.sure) for d, c in zip(dead, cases, strict=True)])
    names: list[str] = []
    factors: list[FloatArray] = []
    seen: set[bytes] = set()

    def add(name: str, row: FloatArray) -> None:
        if (mark := row.tobytes()) not in seen:
            seen.add(mark)
            names.append(name)
            factors.append(row)

    tried = combinations(edition, method)
    for combination in tried:
        loads = dict(combination.factors)
        if any(_between(loads, dict(other.factors)) for other in tried):
            continue
        if "W_up" in loads and "D_sure" not in loads:
            continue
        made: list[tuple[str, FloatArray]] = [("", np.zeros(len(cases)))]
        for load, factor in combination.factors:
            if load in ("D", "D_sure"):
                made = [(n, r + factor * (dead if load == "D" else sure)) for n, r in made]
                continue
            made = [
                (f"{n}, {cases[k].title}" if n else cases[k].title, r + factor * np.eye(len(cases))[k])
                for n, r in made
                for k in by_kind.get(load, [])
            ]
        for choice, row in made:
            short = combination.name.split(" [")[0]
            add(f"{short}: {choice}" if choice else short, row)
    regular = len(names)
    d, c = CONSTRUCTION[method]
    for k in by_kind.get("C", []):
        row = d * np.array([float(x and c_.when != "after") for x, c_ in zip(dead, cases, strict=True)])
        row[k] = c
        add(f"{d:g}D + {c:g}C while building: {cases[k].title}", row)
    return Rows(
        tuple(names),
        np.array(factors).reshape(len(names), len(cases)),
        np.arange(len(names)) >= regular,
        combinations_checked(edition, method),
    )


def _between(loads: dict[str, float], other: dict[str, float]) -> bool:
    """Whether a combination of dead and one load lies between dead load and another with more of that load."""
    return len(loads) == 2 and loads.keys() == other.keys() and loads != other and all(
        loads[k] == other[k] if k in ("D", "D_sure") else loads[k] < other[k] for k in loads
    )  # fmt: skip


def case_words(rows: Rows, index: int, cases: Sequence[Case]) -> str:
    """The cases of one row with their factors, e.g. ``1.0 old roof + 0.75 balanced snow``."""
    parts = [(f, c.title) for f, c in zip(rows.factors[index], cases, strict=True) if f]
    return " + ".join(f"{f:g} {title}" for f, title in parts)
