"""Load combinations of a roof, ASD and LRFD, by edition; the governing one named at each place.

The combinations are data (``tables/combinations.toml``). Loads are given as the edition gives them: W at service level
in 7-05 and strength level later, S at strength level in 7-22. No stress increase is taken anywhere.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, Problem
from secondroof.loads.wind_figures import check_edition, load_table

FloatArray = NDArray[np.float64]
Method = Literal["ASD", "LRFD"]
LOADS = ("D", "D_sure", "Lr", "S", "R", "W_down", "W_up")
ONE_OF = ("Lr", "S", "R")


@dataclass(frozen=True, slots=True)
class Combination:
    """One combination with its choices made.

    Attributes
    ----------
    name : str
        e.g. ``D + 0.75(0.6W) + 0.75S``, as printed in the standard with the choice named.
    factors : tuple of (str, float)
        Load name of ``LOADS`` and factor.
    """

    name: str
    factors: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Combined:
    """Combined load at each place; downward positive.

    Attributes
    ----------
    names : tuple of str
        All combinations tried, each once a choice.
    values : ndarray, shape (n_combination, ...)
        Combined load of each.
    down, up : ndarray, shape (...)
        Largest downward and largest upward (smallest) value; `up` is above 0 where nothing lifts.
    down_index, up_index : ndarray of int, shape (...)
        Place of the governing combination in `names`.
    """

    edition: str
    method: str
    checked: str
    names: tuple[str, ...]
    values: FloatArray
    down: FloatArray
    up: FloatArray
    down_index: NDArray[np.intp]
    up_index: NDArray[np.intp]

    @property
    def down_name(self) -> NDArray[np.str_]:
        """Governing downward combination."""
        return np.asarray(self.names)[self.down_index]

    @property
    def up_name(self) -> NDArray[np.str_]:
        """Governing upward combination."""
        return np.asarray(self.names)[self.up_index]


def _rows(edition: str, method: str) -> tuple[list[dict[str, Any]], str]:
    table = load_table("combinations")[check_edition(edition)]
    if method not in table:
        raise InputError(Problem("method", str(method), "Must be ASD or LRFD.", "Use one of these."))
    block = table[method]
    rows = block["rows"] if "rows" in block else load_table("combinations")[block["same_as"]][method]["rows"]
    return rows, block["checked"]


@functools.cache
def combinations(edition: str, method: Method) -> tuple[Combination, ...]:
    """All combinations of an edition and method with every choice made."""
    found = []
    for row in _rows(edition, method)[0]:
        dead = "D_sure" if row.get("dead") == "sure" else "D"
        for wind in ("W_down", "W_up") if "W" in row else (None,):
            for k, live in enumerate(ONE_OF) if "one_of" in row else ((0, None),):
                factors = [(dead, float(row["D"]))]
                words = []
                if live is not None:
                    factors.append((live, float(row["one_of"][k])))
                    words.append(live)
                if wind is not None:
                    factors.append((wind, float(row["W"])))
                    words.append("W down" if wind == "W_down" else "W up")
                name = row["name"] + (f" [{', '.join(words)}]" if words else "")
                found.append(Combination(name, tuple(factors)))
    return tuple(found)


def combine(edition: str, method: Method, loads: Mapping[str, ArrayLike]) -> Combined:
    """Combine loads at one place or many.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    method : str
        ``ASD`` or ``LRFD``.
    loads : mapping of str to numeric
        By name: ``D`` all dead load, ``D_sure`` the part surely present (counts against uplift), ``Lr``, ``S``, ``R``,
        ``W_down`` (0 or more), ``W_up`` (0 or less). A load left out is 0, except that ``D_sure`` must stand beside
        ``W_up``. All in one unit, broadcast together.

    Returns
    -------
    Combined
    """
    unknown = [k for k in loads if k not in LOADS]
    problems = []
    if unknown:
        problems.append(
            Problem("loads", ", ".join(unknown), f"Known loads: {', '.join(LOADS)}.", "Use these names.")
        )
    if "W_up" in loads and "D_sure" not in loads:
        problems.append(
            Problem(
                "loads.D_sure",
                "",
                "Uplift needs the dead load surely present.",
                "Give it, 0 where nothing is sure.",
            )
        )
    arrays = {k: np.asarray(v, dtype=float) for k, v in loads.items()}
    if "W_up" in arrays and np.any(arrays["W_up"] > 0):
        problems.append(
            Problem("loads.W_up", str(loads["W_up"])[:60], "Uplift is negative.", "Change the sign.")
        )
    problems += [
        Problem(f"loads.{k}", str(loads[k])[:60], "Must be 0 or more.", "Downward is positive.")
        for k in arrays
        if k != "W_up" and k in LOADS and not np.all(arrays[k] >= 0)
    ]
    if problems:
        raise InputError(problems)
    shape = np.broadcast_shapes(*(a.shape for a in arrays.values())) if arrays else ()
    zero = np.zeros(shape)
    tried = combinations(edition, method)
    values = np.array([sum((q * arrays.get(k, zero) for k, q in c.factors), start=zero) for c in tried])
    return Combined(
        edition,
        method,
        _rows(edition, method)[1],
        tuple(c.name for c in tried),
        values,
        values.max(axis=0),
        values.min(axis=0),
        np.asarray(values.argmax(axis=0), dtype=np.intp),
        np.asarray(values.argmin(axis=0), dtype=np.intp),
    )


def combinations_checked(edition: str, method: Method) -> str:
    """How the combinations of an edition and method were confirmed."""
    return str(_rows(edition, method)[1])
