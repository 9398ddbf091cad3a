"""Loads asked for by name with plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, Problem
from secondroof.loads import wind, wind_editions, wind_figures
from secondroof.loads.combinations import Method, combinations_checked
from secondroof.loads.combinations import combine as combine_loads
from secondroof.loads.compare import ThenNow, WindBasis
from secondroof.loads.compare import then_and_now as compare
from secondroof.loads.wind_formulas import ground_elevation_factor


def wind_pressure(
    edition: str,
    V_mph: ArrayLike,
    exposure: ArrayLike | str,
    h_ft: ArrayLike,
    enclosure: ArrayLike | str,
    roof_shape: str,
    slope_deg: ArrayLike,
    zone: str | Sequence[str],
    area_ft2: ArrayLike,
    *,
    K_zt: ArrayLike = 1.0,
    ground_elevation_ft: ArrayLike | None = None,
    parapet_ft: ArrayLike = 0.0,
    overhang: bool = False,
    importance: ArrayLike = 1.0,
) -> wind.ZonePressures:
    """Wind pressure on roof components and cladding, uplift and down.

    Parameters
    ----------
    K_zt : numeric
        Topographic factor of the site. [-]
    ground_elevation_ft : numeric
        Ground elevation, from 7-16 on; left out, the factor is 1.0, which is always permitted. [ft]
    parapet_ft : numeric
        Least height of a parapet all round. [ft]
    overhang : bool
        Pressures on overhangs, top and bottom surface together.
    """
    return wind.design_pressures(
        edition,
        V_mph,
        exposure,
        h_ft,
        ground_elevation_ft,
        K_zt,
        enclosure,
        roof_shape,
        slope_deg,
        zone,
        area_ft2,
        use_K_e=ground_elevation_ft is not None,
        parapet_ft=parapet_ft,
        overhang=overhang,
        importance=importance,
    )


def velocity_pressure(
    edition: str,
    V_mph: ArrayLike,
    exposure: ArrayLike | str,
    z_ft: ArrayLike,
    *,
    K_zt: ArrayLike = 1.0,
    ground_elevation_ft: ArrayLike | None = None,
    importance: ArrayLike = 1.0,
) -> dict[str, Any]:
    """Velocity pressure at a height, with its exposure and elevation factors (without K_d in 7-22).

    Parameters
    ----------
    z_ft : numeric
        Height above ground. [ft]
    K_zt : numeric
        Topographic factor of the site. [-]
    ground_elevation_ft : numeric
        Ground elevation, from 7-16 on; left out, the factor is 1.0, which is always permitted. [ft]
    """
    if ground_elevation_ft is not None and not wind_editions.edition_data(edition).has_K_e:
        raise InputError(
            Problem(
                "ground_elevation_ft",
                str(ground_elevation_ft),
                f"ASCE {edition} has no elevation factor.",
                "Leave it out.",
            )
        )
    K_z = wind_editions.velocity_exposure(edition, exposure, z_ft)
    K_e = 1.0 if ground_elevation_ft is None else ground_elevation_factor(ground_elevation_ft)
    q = wind_editions.velocity_pressure(edition, K_z, K_zt, K_e, V_mph, importance)
    return {"K_z": K_z, "K_e": K_e, "q_psf": q}


def coefficient(
    edition: str,
    roof_shape: str,
    slope_deg: ArrayLike,
    zone: str,
    area_ft2: ArrayLike,
    sign: str,
    *,
    overhang: bool = False,
) -> dict[str, Any]:
    """External pressure coefficient of a zone, from the figure that serves the roof.

    Parameters
    ----------
    sign : str
        negative (uplift) or positive (down).
    overhang : bool
        Coefficient of the overhang, top and bottom surface together.
    """
    if sign not in ("negative", "positive"):
        raise InputError(Problem("sign", sign, "is not a sign.", "Write negative or positive."))
    figure = wind_figures.figure_for(edition, roof_shape, slope_deg, overhang=overhang)
    value = wind_figures.coefficient_of(
        figure, zone, area_ft2, "negative" if sign == "negative" else "positive"
    )
    checked = dict(zip(figure.zones, figure.checked, strict=True))
    return {"GCp": value, "figure": figure.label, "checked": checked[zone]}


def then_and_now(
    edition_then: str,
    V_then_mph: float,
    exposure_then: str,
    enclosure_then: str,
    zone_then: Sequence[str],
    edition_now: str,
    V_now_mph: float,
    exposure_now: str,
    enclosure_now: str,
    zone_now: Sequence[str],
    roof_shape: str,
    slope_deg: float,
    h_ft: float,
    area_ft2: ArrayLike,
    *,
    importance_then: float = 1.0,
    K_zt: float = 1.0,
) -> ThenNow:
    """Wind that the code of a building's day asked beside what another edition asks, both at allowable level.

    Parameters
    ----------
    edition_then, edition_now : str
        Editions of ASCE 7: 7-05, 7-10, 7-16 or 7-22.
    V_then_mph, V_now_mph : float
        Basic wind speed of each edition: nominal in 7-05, strength level later. [mph]
    exposure_then, exposure_now : str
        Exposure B, C or D.
    enclosure_then, enclosure_now : str
        enclosed, partially enclosed or partially open.
    zone_then, zone_now : list of str
        Zone of the same place in each edition, one or several.
    importance_then : float
        Importance factor where the older edition is 7-05. [-]
    K_zt : float
        Topographic factor, for both. [-]
    """
    if len(zone_then) != len(zone_now):
        raise InputError(
            Problem("zone_now", ", ".join(zone_now), "must name as many zones as zone_then.", "Pair them.")
        )
    then = WindBasis(
        edition_then, V_then_mph, exposure_then, enclosure_then, K_zt=K_zt, importance=importance_then
    )
    now = WindBasis(edition_now, V_now_mph, exposure_now, enclosure_now, K_zt=K_zt)
    places = list(zip(zone_then, zone_now, strict=True))
    return compare(then, now, places, area_ft2, roof_shape=roof_shape, slope_deg=slope_deg, h_ft=h_ft)


def combine(
    edition: str,
    method: str,
    *,
    D: ArrayLike,
    D_sure: ArrayLike | None = None,
    Lr: ArrayLike | None = None,
    S: ArrayLike | None = None,
    R: ArrayLike | None = None,
    W_down: ArrayLike | None = None,
    W_up: ArrayLike | None = None,
) -> dict[str, Any]:
    """Combine loads at one place: every combination, and the governing one down and up.

    Parameters
    ----------
    method : str
        ASD or LRFD.
    D : numeric
        All dead load. [psf]
    D_sure : numeric
        Dead load surely present, which alone counts against uplift; must stand beside W_up. [psf]
    Lr : numeric
        Roof live load. [psf]
    S : numeric
        Snow. [psf]
    R : numeric
        Rain. [psf]
    W_down : numeric
        Wind pressing down, 0 or more. [psf]
    W_up : numeric
        Wind lifting, 0 or less. [psf]
    """
    word = method.upper()
    if word not in ("ASD", "LRFD"):
        raise InputError(Problem("method", method, "is not a method.", "Write ASD or LRFD."))
    way: Method = "ASD" if word == "ASD" else "LRFD"
    given = {"D": D, "D_sure": D_sure, "Lr": Lr, "S": S, "R": R, "W_down": W_down, "W_up": W_up}
    found = combine_loads(edition, way, {k: v for k, v in given.items() if v is not None})
    names = np.array(found.names)
    return {
        "down_psf": found.down,
        "down_combination": names[found.down_index],
        "up_psf": found.up,
        "up_combination": names[found.up_index],
        "all_psf": dict(zip(found.names, found.values, strict=True)),
        "checked": combinations_checked(edition, way),
    }
