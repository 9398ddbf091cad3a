"""Words shared by the steel room: numeric arrays, material constants, conditions of use.

``numeric`` in a docstring means a scalar or an array; arrays broadcast against each other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from secondroof.errors import InputError, Problem
from secondroof.formula import Formula

Numeric: TypeAlias = Any  # scalar or array that broadcasts; NumPy's own stubs give Any for either
FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]

E = 29500.0  # modulus of elasticity [ksi], AISI S100-16 A3.3
G = 11300.0  # shear modulus [ksi]
MU = 0.3  # Poisson's ratio

MET, NOT_MET, UNKNOWN = "met", "not met", "unknown"


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition for using a clause.

    Attributes
    ----------
    key : str
        Short fixed name, e.g. ``lap``.
    text : str
        The condition in plain words with its limit.
    state : str
        ``met``, ``not met`` or ``unknown``.
    given : str
        What was found, or what has to be found out.
    clause : str
        Where the condition comes from.
    """

    key: str
    text: str
    state: str
    given: str
    clause: str


def all_met(conditions: tuple[Condition, ...]) -> bool:
    """True only where every condition is met; one unknown is enough to say no."""
    return all(c.state == MET for c in conditions)


def within(spec: Formula, inputs: Mapping[str, Numeric], result: Numeric = None) -> BoolArray:
    """True where every argument (and the result) is inside the formula's range of validity.

    The array form of :func:`secondroof.formula.breaches`: same limits and meaning, no words. NaN is outside.

    Parameters
    ----------
    spec : Formula
        The formula's record, from :func:`secondroof.formula.spec_of`.
    inputs : mapping of str to numeric
        Arguments by name.
    result : numeric, optional
        Result, for a limit on it.
    """
    inside: Any = np.asarray(True)
    for limit in spec.limits:
        value = np.asarray(result if limit.name == "result" else inputs[limit.name], dtype=float)
        low = -np.inf if limit.low is None else limit.low
        high = np.inf if limit.high is None else limit.high
        inside = inside & (value >= low) & (value <= high)
    return np.asarray(inside, dtype=bool)


def require_positive(where: str, **fields: Numeric) -> None:
    """Refuse a thickness, diameter or strength that is zero, negative, infinite or not a number.

    Raises
    ------
    InputError
        Listing every field at once.
    """
    _require(where, "must be a number above zero", lambda a: np.isfinite(a) & (a > 0), fields)


def require_not_negative(where: str, **fields: Numeric) -> None:
    """Refuse a force or length that is negative, infinite or not a number.

    Raises
    ------
    InputError
        Listing every field at once.
    """
    _require(where, "must be zero or more", lambda a: np.isfinite(a) & (a >= 0), fields)


def _require(where: str, message: str, good: Any, fields: Mapping[str, Numeric]) -> None:
    problems = []
    for name, value in fields.items():
        try:
            array = np.asarray(value, dtype=float)
        except (TypeError, ValueError):
            problems.append(Problem(f"{where}.{name}", str(value), message, "Give a number."))
            continue
        bad = ~good(array)
        if np.any(bad):
            first = array[bad].flat[0] if array.ndim else array
            path, mend = f"{where}.{name}", "Give the measured value."
            problems.append(Problem(path, f"{float(first):g}", message, mend))
    if problems:
        raise InputError(problems)
