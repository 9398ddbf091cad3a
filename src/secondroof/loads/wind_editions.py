"""What each edition of ASCE 7 says of wind beside its coefficient figures: constants, exposure, level."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, Problem
from secondroof.loads.wind_figures import check_edition, load_table
from secondroof.loads.wind_formulas import (
    exposure_coefficient,
    velocity_pressure_05,
    velocity_pressure_10,
    velocity_pressure_16,
    velocity_pressure_22,
)

FloatArray = NDArray[np.float64]
EXPOSURES = ("B", "C", "D")
ENCLOSURES = ("enclosed", "partially enclosed", "open", "partially open")


@dataclass(frozen=True, slots=True)
class Edition:
    """What an edition says of wind, beside its coefficient figures.

    Attributes
    ----------
    level : str
        ``strength`` or ``service``: level of V and of W.
    asd_factor, lrfd_factor : float
        Factors on W. [-]
    minimum_psf : float
        Minimum net pressure, either direction. [psf]
    """

    name: str
    title: str
    level: str
    velocity_clause: str
    pressure_clause: str
    exposure_clause: str
    K_d: float
    K_d_in_q: bool
    has_importance: bool
    has_K_e: bool
    asd_factor: float
    lrfd_factor: float
    minimum_psf: float
    minimum_clause: str
    minimum_checked: str
    c: float
    z_min_ft: FloatArray
    alpha: FloatArray
    z_g_ft: FloatArray
    exposure_checked: str
    GCpi: FloatArray
    GCpi_clause: str
    GCpi_checked: str
    importance: Mapping[str, float]


@functools.cache
def edition_data(edition: str) -> Edition:
    """Wind constants of an edition."""
    check_edition(edition)
    table = load_table("wind_editions")
    row = table[edition]

    def each(key: str) -> FloatArray:
        values = np.array([row[key][e] for e in EXPOSURES], dtype=float)
        values.flags.writeable = False
        return values

    inner = np.array([row["GCpi"].get(e, np.nan) for e in ENCLOSURES], dtype=float)
    inner.flags.writeable = False
    same = (
        *(
            "title",
            "level",
            "velocity_clause",
            "pressure_clause",
            "exposure_clause",
            "K_d_in_q",
            "has_importance",
        ),
        *("has_K_e", "asd_factor", "lrfd_factor", "minimum_psf", "minimum_clause", "minimum_checked", "c"),
        *("exposure_checked", "GCpi_clause", "GCpi_checked"),
    )
    plain: dict[str, Any] = {k: row[k] for k in same}
    return Edition(
        name=edition,
        K_d=table["constants"]["K_d"],
        z_min_ft=each("z_min_ft"),
        alpha=each("alpha"),
        z_g_ft=each("z_g_ft"),
        GCpi=inner,
        importance=dict(row.get("importance", {})),
        **plain,
    )


def codes(field: str, given: Any, names: Sequence[str]) -> NDArray[np.intp]:
    """Words of a list, or codes already, as codes (places in the list).

    Raises
    ------
    InputError
        A word or code that is not in the list.
    """
    values = np.asarray(given)
    if values.dtype.kind in "iu":
        if values.size and (values.min() < 0 or values.max() >= len(names)):
            raise InputError(
                Problem(
                    field,
                    str(int(values.max())),
                    f"Codes are 0 to {len(names) - 1}.",
                    f"They stand for {', '.join(names)}.",
                )
            )
        return values.astype(np.intp)
    found, inverse = np.unique(values.astype(str), return_inverse=True)
    unknown = [str(f) for f in found if f not in names]
    if unknown:
        raise InputError(
            Problem(field, ", ".join(unknown), f"Must be one of {', '.join(names)}.", "Use one of these.")
        )
    return np.array([names.index(str(f)) for f in found], dtype=np.intp)[inverse.reshape(values.shape)]


def velocity_exposure(edition: str, exposure: ArrayLike | str, z_ft: ArrayLike) -> Any:
    """Velocity pressure exposure coefficient of an edition for components and cladding.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    exposure : str or array
        Exposure B, C, D, or codes.
    z_ft : numeric
        Height above ground. [ft]

    Returns
    -------
    numeric
        K_z, with the exposure B floor of the edition. [-]
    """
    e = edition_data(edition)
    code = codes("exposure", exposure, EXPOSURES)
    z = np.asarray(z_ft, dtype=float)
    return exposure_coefficient(z, e.z_min_ft[code], e.c, e.z_g_ft[code], e.alpha[code])


def internal_coefficient(edition: str, enclosure: ArrayLike | str) -> Any:
    """Size of the internal pressure coefficient (GCpi), to be used with both signs.

    Raises
    ------
    InputError
        The class does not exist in the edition (partially open before 7-16).
    """
    e = edition_data(edition)
    value = e.GCpi[codes("enclosure", enclosure, ENCLOSURES)]
    if np.any(np.isnan(value)):
        raise InputError(
            Problem(
                "enclosure",
                "partially open",
                f"ASCE {edition} has no partially open class.",
                "Use enclosed, partially enclosed or open.",
            )
        )
    return value


def velocity_pressure(
    edition: str,
    K_z: ArrayLike,
    K_zt: ArrayLike,
    K_e: ArrayLike,
    V_mph: ArrayLike,
    importance: ArrayLike = 1.0,
) -> Any:
    """Velocity pressure by the equation of the edition (without K_d in 7-22). [psf]."""
    e = edition_data(edition)
    if edition == "7-05":
        return velocity_pressure_05(K_z, K_zt, e.K_d, V_mph, importance)
    if edition == "7-10":
        return velocity_pressure_10(K_z, K_zt, e.K_d, V_mph)
    if edition == "7-16":
        return velocity_pressure_16(K_z, K_zt, e.K_d, K_e, V_mph)
    return velocity_pressure_22(K_z, K_zt, K_e, V_mph)
