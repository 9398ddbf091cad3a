"""Sheet gauges, coatings and steels.

A gauge is not a thickness: 26 gauge is 0.0179 in. of steel or 0.0217 in. with its zinc, as the convention
goes. Strength uses base steel only; coating and paint are not steel.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType
from typing import Any

import numpy as np

from secondroof.errors import InputError, NotFoundError, Problem
from secondroof.formula import formula
from secondroof.steel.numeric import Numeric


@functools.cache
def table(name: str) -> Any:
    """One data file of this room, read once."""
    file = resources.files("secondroof.steel").joinpath("data", f"{name}.json")
    return json.loads(file.read_text(encoding="utf-8"))


@dataclass(frozen=True, slots=True)
class GaugeTable:
    """Thickness of each gauge in one named convention.

    Attributes
    ----------
    convention : str
        ``base`` or ``coated``.
    name : str
        The convention in words.
    t_in : mapping of int to float
        Thickness by gauge. [in]
    source, checked : str
        Where it comes from, and how it was checked.
    """

    convention: str
    name: str
    t_in: Mapping[int, float]
    source: str
    checked: str


@dataclass(frozen=True, slots=True)
class Steel:
    """A steel of the specification.

    Attributes
    ----------
    spec, grade : str
        Standard and grade.
    Fy, Fu : float
        Specified yield and tensile strength. [ksi]
    low_ductility : bool
        True for full-hard sheet (SS 80): reduced strengths count, and it is not for purlins.
    """

    spec: str
    grade: str
    Fy: float
    Fu: float
    low_ductility: bool

    @property
    def Fy_design(self) -> float:
        """Yield strength that counts in bending of sheet [ksi]."""
        return float(low_ductility_yield(self.Fy)) if self.low_ductility else self.Fy

    @property
    def Fu_design(self) -> float:
        """Tensile strength that counts, in connections too [ksi]."""
        return float(low_ductility_tensile(self.Fu)) if self.low_ductility else self.Fu


def _gauge_tables() -> Mapping[str, GaugeTable]:
    found = {}
    for key, row in table("gauges")["conventions"].items():
        t_in = MappingProxyType({int(g): float(t) for g, t in row["t_in"].items()})
        found[key] = GaugeTable(key, row["name"], t_in, row["source"], row["checked"])
    return MappingProxyType(found)


GAUGES: Mapping[str, GaugeTable] = _gauge_tables()
COATING_IN: Mapping[str, float] = MappingProxyType(dict(table("gauges")["coatings"]["both_sides_in"]))
STEELS: tuple[Steel, ...] = tuple(Steel(**row) for row in table("steels")["steels"])


@formula(
    "t_min", unit="in", clause="AISI S100-16 B7.1", checked="verified: 10 rows of a published gauge table"
)
def minimum_thickness(t_design: Numeric) -> Numeric:
    """Least base thickness that may be delivered for a design thickness [in].

    Parameters
    ----------
    t_design : numeric
        Design base thickness. [in]
    """
    return 0.95 * t_design


@formula("t", unit="in", clause="AISI S100-16 B7.1", checked="verified: 10 rows of a published gauge table")
def design_thickness(t_min: Numeric) -> Numeric:
    """Design base thickness that goes with a stated minimum [in].

    Parameters
    ----------
    t_min : numeric
        Stated minimum base thickness. [in]
    """
    return t_min / 0.95


@formula("t", unit="in", clause="base steel of a micrometer reading", checked="definition")
def base_thickness(t_read: Numeric, t_coating: Numeric, t_paint: Numeric) -> Numeric:
    """Base steel of a reading taken over coating and paint [in].

    Parameters
    ----------
    t_read : numeric
        Micrometer reading. [in]
    t_coating : numeric
        Metallic coating, both sides together. [in]
    t_paint : numeric
        Paint or primer, both sides together. [in]
    """
    return t_read - t_coating - t_paint


@formula("F_y", unit="ksi", clause="AISI S100-16 A3.1.3", checked="from memory")
def low_ductility_yield(F_sy: Numeric) -> Numeric:
    """Yield strength that counts for full-hard sheet [ksi].

    Parameters
    ----------
    F_sy : numeric
        Specified yield strength. [ksi]
    """
    return np.minimum(0.75 * F_sy, 60.0)


@formula("F_u", unit="ksi", clause="AISI S100-16 A3.1.3", checked="from memory")
def low_ductility_tensile(F_su: Numeric) -> Numeric:
    """Tensile strength that counts for full-hard sheet [ksi].

    Parameters
    ----------
    F_su : numeric
        Specified tensile strength. [ksi]
    """
    return np.minimum(0.75 * F_su, 62.0)


def gauge_thickness(gauge: int, convention: str) -> float:
    """Thickness of a gauge in a named convention [in].

    Parameters
    ----------
    gauge : int
        Gauge number.
    convention : str
        ``base`` (steel alone) or ``coated`` (total with zinc). There is no default: it is never guessed.

    Raises
    ------
    InputError
        For an unknown convention or gauge.

    Examples
    --------
    >>> gauge_thickness(26, "base"), gauge_thickness(26, "coated")
    (0.0179, 0.0217)
    """
    if convention not in GAUGES:
        raise InputError(
            Problem(
                "gauge.convention",
                convention,
                "must be base or coated.",
                "Say whether the thickness is of steel alone or with its zinc.",
            )
        )
    rows = GAUGES[convention].t_in
    if gauge not in rows:
        known = ", ".join(str(g) for g in rows)
        raise InputError(
            Problem(
                "gauge", str(gauge), f"is not in the table ({known}).", "Give the base thickness in inches."
            )
        )
    return rows[gauge]


def coating_thickness(code: str) -> float:
    """Thickness of a metallic coating, both sides together [in].

    Parameters
    ----------
    code : str
        ``G60``, ``G90``, ``AZ50``, ``AZ55``, ``none`` ...

    Raises
    ------
    NotFoundError
        Naming the coatings that are known.
    """
    if code not in COATING_IN:
        raise NotFoundError(f"Coating {code!r} is not known. Known coatings: {', '.join(COATING_IN)}.")
    return COATING_IN[code]


def base_of_reading(t_read_in: Numeric, coating: str, paint_in: Numeric = 0.0) -> Numeric:
    """Base steel of a micrometer reading over a named coating and paint [in].

    Raises
    ------
    NotFoundError
        For an unknown coating.
    InputError
        Where nothing would be left.
    """
    base = base_thickness(t_read_in, coating_thickness(coating), paint_in)
    if not np.all(base > 0):
        raise InputError(
            Problem(
                "thickness",
                str(t_read_in),
                f"leaves no steel under {coating} and paint.",
                "Measure again on bare steel.",
            )
        )
    return base


def find_steel(spec: str, grade: str) -> Steel:
    """Steel by standard and grade.

    Raises
    ------
    NotFoundError
        Naming the steels that are known.
    """
    for steel in STEELS:
        if (steel.spec, steel.grade) == (spec, grade):
            return steel
    raise NotFoundError(
        f"{spec} {grade} is not known. Known: {'; '.join(f'{s.spec} {s.grade}' for s in STEELS)}."
    )
