"""Roof live load, bundle staging, rain, ponding susceptibility, hung and dead load helpers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, MissingError, Problem
from secondroof.formula import formula
from secondroof.loads.wind_figures import check_edition

FloatArray = NDArray[np.float64]
CONCENTRATED_LB = 300.0  # roofs walked by maintenance workers, ASCE 7-10 Table 4-1, from memory


@formula(
    "R_1",
    unit="-",
    clause="ASCE 7-10 4.8.2",
    checked="verified: ASCE 7-10 4.8.2 and a university worked problem",
)
def area_reduction(A_T: Any) -> Any:
    """Reduction of the roof live load for the tributary area [-].

    Parameters
    ----------
    A_T : numeric
        Tributary area of the member, on plan. [ft2]
    """
    return np.minimum(np.maximum(1.2 - 0.001 * A_T, 0.6), 1)


@formula("R_2", unit="-", clause="ASCE 7-10 4.8.2", checked="verified: ASCE 7-10 4.8.2")
def slope_reduction(F: Any) -> Any:
    """Reduction of the roof live load for the slope [-].

    Parameters
    ----------
    F : numeric
        Rise in 12. [in/ft]
    """
    return np.minimum(np.maximum(1.2 - 0.05 * F, 0.6), 1)


@formula(
    "L_r",
    unit="psf",
    clause="ASCE 7-10 Eq. 4.8-1",
    checked="verified: ASCE 7-10 4.8.2 and a university worked problem",
)
def roof_live(L_0: Any, R_1: Any, R_2: Any) -> Any:
    """Reduced roof live load on the horizontal projection [psf].

    Parameters
    ----------
    L_0 : numeric
        Unreduced roof live load, 20 for ordinary roofs. [psf]
    R_1, R_2 : numeric
        Reductions for area and slope. [-]
    """
    return np.minimum(np.maximum(L_0 * R_1 * R_2, 12), 20)


@formula("R", unit="psf", clause="ASCE 7-10 Eq. 8.3-1", checked="verified: ASCE 7-10 8.3")
def rain_load(d_s: Any, d_h: Any) -> Any:
    """Rain load with the primary drains blocked [psf].

    Parameters
    ----------
    d_s : numeric
        Water depth up to the inlet of the secondary drainage (static head). [in]
    d_h : numeric
        Water depth above that inlet at design flow (hydraulic head). [in]
    """
    return 5.2 * (d_s + d_h)


@formula(
    "R",
    unit="psf",
    clause="ASCE 7-22 Eq. 8.2-1",
    checked="from memory: the ponding head is verified by a trade article, the equation number is not",
)
def rain_load_22(d_s: Any, d_h: Any, d_p: Any) -> Any:
    """Rain load with the primary drains blocked, ponding head included [psf].

    Parameters
    ----------
    d_s : numeric
        Water depth up to the inlet of the secondary drainage (static head). [in]
    d_h : numeric
        Water depth above that inlet at design flow (hydraulic head). [in]
    d_p : numeric
        Depth of water in the deflected roof (ponding head). [in]
    """
    return 5.2 * (d_s + d_h + d_p)


def reduced_roof_live(A_T_ft2: ArrayLike, rise_in_12: ArrayLike, L_0_psf: float = 20.0) -> Any:
    """Roof live load of a member from its tributary area and slope. Never together with snow or rain. [psf]."""
    if np.any(np.asarray(A_T_ft2, dtype=float) <= 0) or np.any(np.asarray(rise_in_12, dtype=float) < 0):
        raise InputError(
            Problem(
                "A_T_ft2, rise_in_12",
                f"{A_T_ft2!r}, {rise_in_12!r}",
                "Area above 0, rise 0 or more.",
                "Give plan area in ft2 and rise in 12.",
            )
        )
    return roof_live(
        L_0_psf,
        area_reduction(np.asarray(A_T_ft2, dtype=float)),
        slope_reduction(np.asarray(rise_in_12, dtype=float)),
    )


def rain(
    edition: str, static_in: ArrayLike, hydraulic_in: ArrayLike, ponding_in: ArrayLike | None = None
) -> Any:
    """Rain load by the equation of the edition. [psf].

    Raises
    ------
    MissingError
        7-22 without the ponding head: it comes from the deflected roof.
    """
    if check_edition(edition) == "7-22":
        if ponding_in is None:
            raise MissingError(
                "ponding_in, the ponding head of ASCE 7-22, is needed: work out the deflected roof under rain."
            )
        return rain_load_22(static_in, hydraulic_in, ponding_in)
    return rain_load(static_in, hydraulic_in)


@dataclass(frozen=True, slots=True)
class Ponding:
    """Whether a bay must be checked for ponding.

    Attributes
    ----------
    susceptible : bool
        The edition asks for a ponding check.
    reason, clause, checked : str
        Why, where it stands, and how that was confirmed.
    """

    edition: str
    susceptible: bool
    reason: str
    clause: str
    checked: str


def ponding_susceptible(
    edition: str,
    slope_in_per_ft: float,
    *,
    purlins_parallel_to_eave: bool,
    free_drainage: bool,
    span_over_spacing: float,
    impounded: bool = False,
) -> Ponding:
    """Whether a bay is susceptible to ponding by an edition.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    slope_in_per_ft : float
        Least slope found, sag included. [in/ft]
    purlins_parallel_to_eave : bool
        Secondary members run along the free-draining edge, as purlins do.
    free_drainage : bool
        Water runs off an edge with nothing to hold it.
    span_over_spacing : float
        Purlin span over purlin spacing. [-]
    impounded : bool
        Water can stand when the primary drains are blocked (parapet, high gutter, dip).
    """
    check_edition(edition)
    if slope_in_per_ft < 0 or span_over_spacing <= 0:
        raise InputError(
            Problem(
                "slope_in_per_ft, span_over_spacing",
                f"{slope_in_per_ft}, {span_over_spacing}",
                "Slope 0 or more, ratio above 0.",
                "Measure again.",
            )
        )
    shown = f"{slope_in_per_ft:g} in/ft"
    if impounded or not free_drainage:
        return Ponding(
            edition,
            True,
            "Water can stand when the primary drains are blocked.",
            f"ASCE {edition} 8.4",
            "verified: ASCE 7-10 8.4" if edition in ("7-05", "7-10") else "from memory",
        )
    if edition in ("7-05", "7-10"):
        word = "is below" if slope_in_per_ft < 0.25 else "is at least"
        return Ponding(
            edition,
            slope_in_per_ft < 0.25,
            f"Slope {shown} {word} 1/4 in/ft.",
            f"ASCE {edition} 8.4",
            "verified: ASCE 7-10 8.4" if edition == "7-10" else "from memory: taken as 7-10",
        )
    memory = "from memory: single recollection of 7-16 8.4"
    if slope_in_per_ft < 0.25:
        return Ponding(edition, True, f"Slope {shown} is below 1/4 in/ft.", f"ASCE {edition} 8.4", memory)
    if purlins_parallel_to_eave and slope_in_per_ft < 1.0:
        return Ponding(
            edition,
            True,
            f"Slope {shown} is below 1 in/ft and the purlins run along the free edge.",
            f"ASCE {edition} 8.4",
            memory,
        )
    if purlins_parallel_to_eave and slope_in_per_ft <= 1.0 and span_over_spacing > 16.0:
        return Ponding(
            edition,
            True,
            f"Slope {shown} with purlins along the free edge and span over spacing "
            f"{span_over_spacing:g} above 16.",
            f"ASCE {edition} 8.4",
            memory,
        )
    return Ponding(edition, False, f"Slope {shown} drains freely.", f"ASCE {edition} 8.4", memory)


def bundle_on_purlins(
    weight_lb: float,
    bundle_along_ft: float,
    bundle_across_ft: float,
    purlin_y_ft: ArrayLike,
    centre_y_ft: float,
) -> tuple[NDArray[np.intp], FloatArray]:
    """Share of a bundle of panels on the purlins it stands on, as line loads.

    Each purlin takes its tributary part of the bundle's width across the purlins (common practice, no source); a
    bundle between two purlins hangs on its dunnage to the nearest two by statics.

    Parameters
    ----------
    weight_lb : float
        Bundle with dunnage. [lb]
    bundle_along_ft, bundle_across_ft : float
        Bearing length along the purlins; width across them. [ft]
    purlin_y_ft : array, shape (n_purlin,)
        Places of the purlins, rising. [ft]
    centre_y_ft : float
        Middle of the bundle. [ft]

    Returns
    -------
    purlin : ndarray of int
        Purlins loaded.
    w_lb_per_ft : ndarray
        Load on each over `bundle_along_ft`. [lb/ft]
    """
    y = np.asarray(purlin_y_ft, dtype=float)
    if y.size < 2 or np.any(np.diff(y) <= 0) or min(weight_lb, bundle_along_ft, bundle_across_ft) <= 0:
        raise InputError(
            Problem(
                "purlin_y_ft",
                str(purlin_y_ft)[:60],
                "Two or more rising places; sizes above 0.",
                "Give purlin places from the eave.",
            )
        )
    low, high = centre_y_ft - bundle_across_ft / 2, centre_y_ft + bundle_across_ft / 2
    if low < y[0] - 1e-9 or high > y[-1] + 1e-9:
        raise InputError(
            Problem(
                "centre_y_ft",
                f"{centre_y_ft:g}",
                f"The bundle must stand between {y[0]:g} and {y[-1]:g} ft.",
                "Move it onto the purlins.",
            )
        )
    share = np.zeros(y.size)
    for i in range(y.size - 1):  # each strip of the bundle between two purlins goes to both by the lever rule
        a, b = max(low, y[i]), min(high, y[i + 1])
        if b > a:
            part, middle = (b - a) / (high - low), (a + b) / 2
            right = (middle - y[i]) / (y[i + 1] - y[i])
            share[i] += part * (1 - right)
            share[i + 1] += part * right
    loaded = np.flatnonzero(share > 1e-12)
    return loaded, weight_lb * share[loaded] / bundle_along_ft


@dataclass(frozen=True, slots=True)
class Hung:
    """A hung load where it hangs, and what it hangs from.

    Attributes
    ----------
    what : str
        e.g. ``unit heater``.
    line : int
        Purlin line it hangs from.
    x_start_ft, x_end_ft : float
        Place along the line; equal for a point. [ft]
    load : float
        lb for a point, lb/ft for a line.
    hung_from : str
        ``purlin lip``, ``purlin web``, ``frame``. A load on a lip twists the purlin: an engineer looks at it.
    """

    what: str
    line: int
    x_start_ft: float
    x_end_ft: float
    load: float
    hung_from: str

    @property
    def is_point(self) -> bool:
        """True for a point load."""
        return self.x_end_ft == self.x_start_ft

    @property
    def total_lb(self) -> float:
        """Whole weight. [lb]."""
        return self.load if self.is_point else self.load * (self.x_end_ft - self.x_start_ft)


def tributary_width(line_y_ft: ArrayLike) -> FloatArray:
    """Tributary width of each line from its place: half the gap on each side, to the edge at the ends. [ft]."""
    y = np.asarray(line_y_ft, dtype=float)
    if y.size < 2 or np.any(np.diff(y) <= 0):
        raise InputError(
            Problem(
                "line_y_ft", str(line_y_ft)[:60], "Two or more rising places.", "Give places from the eave."
            )
        )
    middle = (y[1:] + y[:-1]) / 2
    return np.diff(np.concatenate([y[:1], middle, y[-1:]]))
