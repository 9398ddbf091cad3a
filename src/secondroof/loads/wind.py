"""Wind pressure on roof components and cladding, ASCE 7-05, 7-10, 7-16, 7-22, buildings up to 60 ft high.

One call serves one roof or a million: every number broadcasts. Text is coded once, outside the arithmetic:

- ``edition``, ``roof_shape`` are plain strings: work each group on its own;
- ``exposure`` and ``enclosure`` are a string, an array of strings, or integer codes (place in ``EXPOSURES`` and
  ``ENCLOSURES``); integer codes are quickest;
- ``zone`` is a name, a sequence of names, or integer codes (place in ``figure(...).zones``).

Uplift is negative. Pressures named ``p_uplift_psf`` stand at the level of the edition's own W: strength level in
7-10 and later, service level in 7-05. ``*_asd_psf`` are W times 0.6 (1.0 in 7-05).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, MissingError, Problem
from secondroof.loads.wind_editions import (
    ENCLOSURES,
    EXPOSURES,
    Edition,
    codes,
    edition_data,
    internal_coefficient,
    velocity_exposure,
    velocity_pressure,
)
from secondroof.loads.wind_figures import (
    EDITIONS,
    Entered,
    EnteredCurve,
    Figure,
    checked_words,
    coefficient_of,
    entered_figure,
    figure,
    figure_for,
    gcp,
    with_entered,
)
from secondroof.loads.wind_formulas import (
    allowable_level,
    edge_strip_width,
    edge_strip_width_wide,
    exposure_coefficient,
    ground_elevation_factor,
    minimum_down,
    minimum_uplift,
    net_pressure,
    net_pressure_22,
    nominal_speed,
    topographic_factor,
    topographic_K_1,
    topographic_K_2,
    topographic_K_3,
    velocity_pressure_05,
    velocity_pressure_10,
    velocity_pressure_16,
    velocity_pressure_22,
)

__all__ = [
    "EDITIONS",
    "ENCLOSURES",
    "EXPOSURES",
    "Edition",
    "Entered",
    "EnteredCurve",
    "ZonePressures",
    "allowable_level",
    "components_pressure",
    "design_pressures",
    "edge_strip_width",
    "edge_strip_width_wide",
    "edition_data",
    "exposure_coefficient",
    "figure",
    "figure_for",
    "gcp",
    "ground_elevation_factor",
    "internal_coefficient",
    "minimum_down",
    "minimum_uplift",
    "net_pressure",
    "net_pressure_22",
    "nominal_speed",
    "topographic_K_1",
    "topographic_K_2",
    "topographic_K_3",
    "topographic_factor",
    "velocity_exposure",
    "velocity_pressure",
    "velocity_pressure_05",
    "velocity_pressure_10",
    "velocity_pressure_16",
    "velocity_pressure_22",
]

FloatArray = NDArray[np.float64]
PARAPET_HEIGHT_FT = 3.0


@dataclass(frozen=True, slots=True)
class ZonePressures:
    """Wind pressures on components and cladding; all arrays broadcast to one shape.

    Attributes
    ----------
    edition, figure, figure_key, level : str
        Edition, figure number, its key, and level of ``p_*_psf`` (strength or service).
    zone_names, checked : tuple of str
        Zones of the figure, and how the coefficients of each were checked.
    zone : ndarray of int
        Zone code, place in `zone_names`.
    area_ft2 : ndarray
        Effective wind area. [ft2]
    K_z, K_zt, K_e : ndarray
        Exposure coefficient at mean roof height, topographic and elevation factors (nan where not given). [-]
    q_h_psf : ndarray
        Velocity pressure at mean roof height; holds K_d, except in 7-22. [psf]
    GCp_uplift, GCp_down : ndarray
        External coefficients; down is nan for overhangs, whose figures give suction only. [-]
    GCpi : ndarray
        Size of the internal coefficient; 0 for overhangs. [-]
    p_uplift_psf, p_down_psf : ndarray
        Net pressure, minimum applied; negative = uplift. [psf]
    p_uplift_asd_psf, p_down_asd_psf : ndarray
        The same at allowable stress level. [psf]
    minimum_uplift, minimum_down : ndarray of bool
        True where the minimum net pressure governs.
    parapet_relief : ndarray of bool
        True where the parapet rule changed the coefficient (shown both ways by the caller).
    """

    edition: str
    figure: str
    figure_key: str
    level: str
    zone_names: tuple[str, ...]
    checked: tuple[str, ...]
    zone: NDArray[np.intp]
    area_ft2: FloatArray
    K_z: Any
    K_zt: Any
    K_e: Any
    q_h_psf: Any
    GCp_uplift: Any
    GCp_down: Any
    GCpi: Any
    p_uplift_psf: Any
    p_down_psf: Any
    p_uplift_asd_psf: Any
    p_down_asd_psf: Any
    minimum_uplift: Any
    minimum_down: Any
    parapet_relief: Any
    asd_factor: float
    minimum_psf: float

    @property
    def zone_name(self) -> NDArray[np.str_]:
        """Zone names in the shape of `zone`."""
        return np.asarray(self.zone_names)[self.zone]

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """Zones in use whose coefficients were not confirmed against a printed source."""
        used = [
            self.zone_names[i] for i in np.unique(self.zone) if not self.checked[i].startswith("verified")
        ]
        return tuple(used)


def _coefficients(
    fig: Figure, code: NDArray[np.intp], area: FloatArray, parapet: FloatArray, entered: Entered | None
) -> tuple[Any, Any, Any]:
    """External coefficients down and up, and where the parapet rule was used."""
    edition, key = fig.edition, fig.key
    relief: Any = np.zeros((), dtype=bool)
    up_code = code
    tall = parapet >= PARAPET_HEIGHT_FT
    low_slope = key == "gable 0-7"
    if low_slope and bool(np.any(tall)):
        two, three = fig.zones.index("2"), fig.zones.index("3")
        relief = tall & ((code == three) | (code == two))
        up_code = np.where(tall & (code == three), two, code)
    up = coefficient_of(fig, up_code, area, "negative", entered=entered)
    if fig.overhang:
        return up, np.full(np.shape(up), np.nan), relief
    same = bool(np.all(fig.positive.value[:1] == fig.positive.value)) and not entered
    down = coefficient_of(fig, fig.zones[0] if same else code, area, "positive", entered=entered)
    if low_slope and bool(np.any(relief)):
        wall = np.where(code == three, 1, 0)
        down = np.where(relief, 0.9 * gcp(edition, "wall", wall, area, "positive"), down)
    return up, down, relief


def _with_parapet(fig: Figure, words: tuple[str, ...], relief: Any) -> tuple[str, ...]:
    """Words on the coefficients, saying so where the parapet rule brought wall coefficients in."""
    if not np.any(relief):
        return words
    rule = "from memory: parapet rule with wall coefficients not confirmed here; "
    return tuple(rule + w if z in ("2", "3") else w for z, w in zip(fig.zones, words, strict=True))


def components_pressure(
    edition: str,
    *,
    q_h_psf: ArrayLike,
    figure_key: str | Figure,
    zone: str | Sequence[str] | ArrayLike,
    area_ft2: ArrayLike,
    GCpi: ArrayLike,
    parapet_ft: ArrayLike = 0.0,
    hip_25: bool = False,
    entered: Entered | None = None,
    K_z: ArrayLike = np.nan,
    K_zt: ArrayLike = np.nan,
    K_e: ArrayLike = np.nan,
) -> ZonePressures:
    """Net pressures on components and cladding from a velocity pressure.

    Parameters
    ----------
    edition : str
        Edition of ASCE 7.
    q_h_psf : numeric
        Velocity pressure at mean roof height by the equation of the edition. [psf]
    figure_key : str or Figure
        Coefficient figure, e.g. ``gable 0-7``, or the figure itself.
    zone : str, sequence of str or integer array
        Zones; broadcast with the rest.
    area_ft2 : numeric
        Effective wind area. [ft2]
    GCpi : numeric
        Size of the internal pressure coefficient. [-]
    parapet_ft : numeric
        Least height of a parapet that runs all round the roof, 0 for none. From 3 ft on and slopes up to 7 degrees,
        zone 3 suction is taken as zone 2 and the positive coefficients of zones 2 and 3 as walls'. [ft]
    hip_25 : bool
        Hip roof up to 25 degrees (7-05, 7-10): zone 3 is taken as zone 2.
    entered : mapping, optional
        Coefficients a person read from the standard, by zone.

    Returns
    -------
    ZonePressures
    """
    e = edition_data(edition)
    given = figure(edition, figure_key) if isinstance(figure_key, str) else figure_key
    fig = with_entered(given, entered)
    code = fig.code(zone)
    area = np.asarray(area_ft2, dtype=float)
    if hip_25 and "3" in fig.zones:
        code = np.where(code == fig.zones.index("3"), fig.zones.index("2"), code)
    up, down, relief = _coefficients(fig, code, area, np.asarray(parapet_ft, dtype=float), entered)
    inner = np.zeros(()) if fig.overhang else np.asarray(GCpi, dtype=float)
    q = np.asarray(q_h_psf, dtype=float)
    if e.K_d_in_q:
        raw_up, raw_down = net_pressure(q, up, inner), net_pressure(q, down, -inner)
    else:
        raw_up, raw_down = net_pressure_22(q, e.K_d, up, inner), net_pressure_22(q, e.K_d, down, -inner)
    p_up, p_down = minimum_uplift(raw_up, e.minimum_psf), minimum_down(raw_down, e.minimum_psf)
    return ZonePressures(
        edition=edition,
        figure=fig.title,
        figure_key=fig.key,
        level=e.level,
        zone_names=fig.zones,
        checked=_with_parapet(fig, checked_words(fig, entered), relief),
        zone=fig.code(zone),
        area_ft2=area,
        K_z=K_z,
        K_zt=K_zt,
        K_e=K_e,
        q_h_psf=q,
        GCp_uplift=up,
        GCp_down=down,
        GCpi=inner,
        p_uplift_psf=p_up,
        p_down_psf=p_down,
        p_uplift_asd_psf=allowable_level(e.asd_factor, p_up),
        p_down_asd_psf=allowable_level(e.asd_factor, p_down),
        minimum_uplift=raw_up > p_up,
        minimum_down=raw_down < p_down,
        parapet_relief=relief,
        asd_factor=e.asd_factor,
        minimum_psf=e.minimum_psf,
    )


def _check_numbers(**numbers: tuple[Any, float, float, str]) -> None:
    problems = []
    for field, (value, low, high, what) in numbers.items():
        given = np.asarray(value, dtype=float)
        if given.size and not (np.min(given) >= low and np.max(given) <= high):
            shown = (
                f"{float(given):g}" if given.ndim == 0 else f"{np.nanmin(given):g} to {np.nanmax(given):g}"
            )
            problems.append(
                Problem(field, shown, f"Allowed: {low:g} to {high:g}{what}.", "Give a number in this range.")
            )
    if problems:
        raise InputError(problems)


def design_pressures(
    edition: str,
    V_mph: ArrayLike,
    exposure: ArrayLike | str,
    h_ft: ArrayLike,
    ground_elevation_ft: ArrayLike | None,
    K_zt: ArrayLike,
    enclosure: ArrayLike | str,
    roof_shape: str,
    slope_deg: ArrayLike,
    zone: str | Sequence[str] | ArrayLike,
    area_ft2: ArrayLike,
    *,
    use_K_e: bool = False,
    parapet_ft: ArrayLike = 0.0,
    overhang: bool = False,
    importance: ArrayLike = 1.0,
    entered: Entered | None = None,
) -> ZonePressures:
    """Design wind pressures on roof components and cladding; one roof or a million.

    Parameters
    ----------
    edition : str
        ``7-05``, ``7-10``, ``7-16`` or ``7-22``. V, coefficients, zones and factors belong together.
    V_mph : numeric
        Basic wind speed of that edition (nominal in 7-05, strength level later). [mph]
    exposure : str or array
        B, C, D, or codes 0, 1, 2.
    h_ft : numeric
        Mean roof height; eave height allowed up to 10 degrees. At most 60. [ft]
    ground_elevation_ft : numeric or None
        Ground elevation; needed only with `use_K_e`. [ft]
    K_zt : numeric
        Topographic factor. [-]
    enclosure : str or array
        enclosed, partially enclosed, open, partially open (from 7-16), or codes 0 to 3.
    roof_shape : str
        gable, hip, flat, monoslope, multispan gable.
    slope_deg : numeric
        Roof slope(s), all inside one figure. [deg]
    zone : str, sequence of str or integer array
        Zone(s); broadcast with the other arguments.
    area_ft2 : numeric
        Effective wind area(s). [ft2]
    use_K_e : bool
        Use the ground elevation factor (7-16 and later); 1.0 is always permitted.
    parapet_ft : numeric
        Least height of a parapet all round, see :func:`components_pressure`. [ft]
    overhang : bool
        Pressures on overhangs: top and bottom surface together.
    importance : numeric
        Importance factor, 7-05 only. [-]
    entered : mapping of str to EnteredCurve, optional
        Coefficients a person read, by zone.

    Returns
    -------
    ZonePressures

    Raises
    ------
    InputError
        A value out of range, an unknown word, slopes of several figures in one call.
    MissingError
        Coefficients or the ground elevation are not held and were not given.

    Notes
    -----
    Open buildings (canopies) use their own net coefficients, which are not held here: class ``open`` is refused.
    """
    e = edition_data(edition)
    _check_numbers(
        V_mph=(V_mph, 1, 400, " mph"),
        h_ft=(h_ft, 1, 60, " ft (low-rise figures)"),
        K_zt=(K_zt, 1, 8, ""),
        area_ft2=(area_ft2, 1e-6, 1e9, " ft2"),
        parapet_ft=(parapet_ft, 0, 60, " ft"),
        importance=(importance, 0.5, 1.5, ""),
    )
    inner_code = codes("enclosure", enclosure, ENCLOSURES)
    if np.any(inner_code == ENCLOSURES.index("open")):
        raise MissingError(
            f"Open building: ASCE {edition} has net coefficients (C_N) of their own for free roofs, not held here. "
            "Have an engineer give the pressures, or class the building by its openings again."
        )
    K_e: Any = np.ones(())
    if use_K_e:
        if not e.has_K_e:
            raise InputError(
                Problem("use_K_e", "True", f"ASCE {edition} has no ground elevation factor.", "Leave it off.")
            )
        if ground_elevation_ft is None:
            raise MissingError(
                "ground_elevation_ft is needed for the ground elevation factor: read it off a map."
            )
        K_e = ground_elevation_factor(np.asarray(ground_elevation_ft, dtype=float))
    try:
        fig = figure_for(edition, roof_shape, slope_deg, overhang=overhang)
    except MissingError:
        if not entered or overhang:
            raise
        fig = entered_figure(edition, entered)
    hip_25 = (
        roof_shape == "hip"
        and fig.key.startswith("gable 7-27")
        and bool(np.all(np.asarray(slope_deg) <= 25.0))
    )
    if roof_shape == "hip" and fig.key.startswith("gable 7-27") and not hip_25 and np.ndim(slope_deg):
        raise InputError(
            Problem(
                "slope_deg",
                str(slope_deg),
                "Hip roofs up to and above 25 degrees differ.",
                "Work them apart.",
            )
        )
    K_z = velocity_exposure(edition, exposure, h_ft)
    K_zt_ = np.asarray(K_zt, dtype=float)
    V = np.asarray(V_mph, dtype=float)
    q = velocity_pressure(edition, K_z, K_zt_, K_e, V, np.asarray(importance, dtype=float))
    return components_pressure(
        edition,
        q_h_psf=q,
        figure_key=fig,
        zone=zone,
        area_ft2=area_ft2,
        GCpi=internal_coefficient(edition, inner_code),
        parapet_ft=parapet_ft,
        hip_25=hip_25,
        entered=entered,
        K_z=K_z,
        K_zt=K_zt_,
        K_e=K_e,
    )
