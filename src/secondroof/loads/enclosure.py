"""Enclosure class of a building from the openings found: enclosed, partially enclosed, open, partially open.

ASCE 7 26.2 and 26.12 (7-16), 26.2 and 26.10 (7-10), 6.2 and 6.5.9 (7-05). Each wall is tried as the wall that
receives the wind. The texts are from memory; agreement with the printed definitions is for a person to confirm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, Problem
from secondroof.formula import formula
from secondroof.loads.wind import ENCLOSURES, edition_data, internal_coefficient

_MEMORY = "from memory: ASCE 7 26.2 definition"
FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


@formula(
    "A_o/A_oi", unit="-", clause="ASCE 7 26.2, partially enclosed, item 1: more than 1.10", checked=_MEMORY
)
def opening_ratio(A_o: Any, A_oi: Any) -> Any:
    """Openings of the windward wall over openings of the rest of the envelope [-].

    Parameters
    ----------
    A_o : numeric
        Total area of openings in the wall that receives the wind. [ft2]
    A_oi : numeric
        Total area of openings in the rest of the envelope, roof included. [ft2]
    """
    return A_o / np.maximum(A_oi, 0.000001)


@formula("A_lim", unit="ft2", clause="ASCE 7 26.2, partially enclosed, item 2", checked=_MEMORY)
def opening_limit(A_g: Any) -> Any:
    """Opening area of the windward wall above which a building may be partially enclosed [ft2].

    Parameters
    ----------
    A_g : numeric
        Gross area of that wall. [ft2]
    """
    return np.minimum(4, 0.01 * A_g)


@formula(
    "A_oi/A_gi", unit="-", clause="ASCE 7 26.2, partially enclosed, item 2: at most 0.20", checked=_MEMORY
)
def rest_porosity(A_oi: Any, A_gi: Any) -> Any:
    """Share of openings in the rest of the envelope [-].

    Parameters
    ----------
    A_oi : numeric
        Total area of openings in the rest of the envelope. [ft2]
    A_gi : numeric
        Gross area of the rest of the envelope, roof included. [ft2]
    """
    return A_oi / A_gi


@dataclass(frozen=True, slots=True)
class Enclosure:
    """Enclosure class with every number of the test.

    Attributes
    ----------
    edition, name : str
        Edition and class.
    GCpi : float
        Size of the internal pressure coefficient. [-]
    governing_wall : int or None
        Place of the wall that makes the class (largest A_o/A_oi among those that meet the test).
    A_o, A_g, A_oi, A_gi : ndarray, shape (n_wall,)
        Areas with each wall as the one that receives the wind. [ft2]
    limit : ndarray, shape (n_wall,)
        min(4 ft2, 1 % of A_g). [ft2]
    ratio, porosity, open_share : ndarray, shape (n_wall,)
        A_o/A_oi (inf where the rest has none), A_oi/A_gi, A_o/A_g. [-]
    meets : ndarray of bool, shape (n_wall,)
        Walls that make the building partially enclosed.
    reason : str
        The test in words, with numbers.
    """

    edition: str
    name: str
    GCpi: float
    governing_wall: int | None
    A_o: FloatArray
    A_g: FloatArray
    A_oi: FloatArray
    A_gi: FloatArray
    limit: FloatArray
    ratio: FloatArray
    porosity: FloatArray
    open_share: FloatArray
    meets: BoolArray
    reason: str


def _check(wall: FloatArray, gross: FloatArray, roof: FloatArray, roof_gross: FloatArray) -> None:
    problems = []
    if gross.shape[-1:] != wall.shape[-1:] or wall.ndim < 1 or wall.shape[-1] < 2:
        problems.append(
            Problem(
                "wall_openings_ft2",
                f"{wall.shape} against {gross.shape}",
                "Give openings and gross area of the same walls, two or more.",
                "One number a wall.",
            )
        )
    elif not (np.all(wall >= 0) and np.all(gross > 0) and np.all(wall <= gross)):
        problems.append(
            Problem(
                "wall_openings_ft2",
                str(wall.tolist())[:120],
                "Openings must be 0 to the wall's own area, and areas above 0.",
                "Measure again.",
            )
        )
    if not (np.all(roof >= 0) and np.all(roof_gross > 0) and np.all(roof <= roof_gross)):
        problems.append(
            Problem(
                "roof_openings_ft2",
                str(roof.tolist())[:120],
                "Openings must be 0 to the roof's own area.",
                "Measure again.",
            )
        )
    if problems:
        raise InputError(problems)


def enclosure_codes(
    edition: str,
    wall_openings_ft2: ArrayLike,
    wall_gross_ft2: ArrayLike,
    roof_openings_ft2: ArrayLike,
    roof_gross_ft2: ArrayLike,
) -> tuple[NDArray[np.intp], BoolArray]:
    """Enclosure classes of one or many buildings.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7; partially open exists from 7-16.
    wall_openings_ft2, wall_gross_ft2 : array, shape (..., n_wall)
        Openings and gross area of each wall. [ft2]
    roof_openings_ft2, roof_gross_ft2 : array, shape (...)
        The same of the roof. [ft2]

    Returns
    -------
    code : ndarray of int, shape (...)
        Place in ``loads.wind.ENCLOSURES``.
    meets : ndarray of bool, shape (..., n_wall)
        Walls that make the building partially enclosed.
    """
    A_o = np.asarray(wall_openings_ft2, dtype=float)
    A_g = np.asarray(wall_gross_ft2, dtype=float)
    roof = np.asarray(roof_openings_ft2, dtype=float)
    roof_gross = np.asarray(roof_gross_ft2, dtype=float)
    _check(A_o, A_g, roof, roof_gross)
    A_oi = np.maximum(A_o.sum(axis=-1, keepdims=True) - A_o, 0.0) + roof[..., None]
    A_gi = np.maximum(A_g.sum(axis=-1, keepdims=True) - A_g, 0.0) + roof_gross[..., None]
    meets = (
        (opening_ratio(A_o, A_oi) > 1.10) & (A_o > opening_limit(A_g)) & (rest_porosity(A_oi, A_gi) <= 0.20)
    )
    is_open = np.all(A_o >= 0.8 * A_g, axis=-1)
    partially = meets.any(axis=-1)
    tight = np.all(A_o <= opening_limit(A_g), axis=-1)
    has_partially_open = bool(np.isfinite(edition_data(edition).GCpi[ENCLOSURES.index("partially open")]))
    other = np.where(tight, 0, 3) if has_partially_open else np.zeros_like(tight, dtype=int)
    return np.where(is_open, 2, np.where(partially, 1, other)).astype(np.intp), meets


def classify(
    edition: str,
    wall_openings_ft2: ArrayLike,
    wall_gross_ft2: ArrayLike,
    roof_openings_ft2: float,
    roof_gross_ft2: float,
) -> Enclosure:
    """Enclosure class of one building, with the governing wall and every number.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    wall_openings_ft2, wall_gross_ft2 : array, shape (n_wall,)
        Openings and gross area of each wall; doors that are shut in storms are not openings (the owner's word). [ft2]
    roof_openings_ft2, roof_gross_ft2 : float
        The same of the roof. [ft2]

    Returns
    -------
    Enclosure
    """
    codes, meets = enclosure_codes(
        edition, wall_openings_ft2, wall_gross_ft2, roof_openings_ft2, roof_gross_ft2
    )
    A_o, A_g = np.asarray(wall_openings_ft2, dtype=float), np.asarray(wall_gross_ft2, dtype=float)
    A_oi = np.maximum(A_o.sum() - A_o, 0.0) + roof_openings_ft2
    A_gi = np.maximum(A_g.sum() - A_g, 0.0) + roof_gross_ft2
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(A_oi > 0, A_o / np.where(A_oi > 0, A_oi, 1.0), np.where(A_o > 0, np.inf, 0.0))
    limit, porosity = np.asarray(opening_limit(A_g)), np.asarray(rest_porosity(A_oi, A_gi))
    name = ENCLOSURES[int(codes)]
    wall: int | None = None
    if name == "partially enclosed":
        wall = int(np.argmax(np.where(meets, ratio, -1.0)))
        reason = (
            f"Openings {A_o[wall]:g} ft2 in wall {wall + 1} are more than 1.10 x {A_oi[wall]:g} ft2 in the rest of the "
            f"envelope and more than {limit[wall]:g} ft2, and the rest is {porosity[wall]:.1%} open (at most 20 %)."
        )
    elif name == "open":
        reason = "Every wall is at least 80 % open."
    elif name == "partially open":
        wall = int(np.argmax(A_o - limit))
        reason = (
            f"Openings {A_o[wall]:g} ft2 in wall {wall + 1} are more than {limit[wall]:g} ft2, but no wall meets the "
            "test of partially enclosed and not every wall is 80 % open."
        )
    else:
        reason = "No wall meets the test of partially enclosed, and not every wall is 80 % open."
    return Enclosure(
        edition=edition,
        name=name,
        GCpi=float(internal_coefficient(edition, codes)),
        governing_wall=wall,
        A_o=A_o,
        A_g=A_g,
        A_oi=A_oi,
        A_gi=A_gi,
        limit=limit,
        ratio=ratio,
        porosity=porosity,
        open_share=A_o / A_g,
        meets=meets,
        reason=reason,
    )
