"""Wind then and now: what the code of a building's day asked of a component beside what today's asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.loads.wind import Entered, ZonePressures, design_pressures, figure_for

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WindBasis:
    """Wind ground rules of one edition; V and edition belong together.

    Attributes
    ----------
    V_mph : float
        Basic wind speed of that edition: nominal in 7-05, strength level later. [mph]
    importance : float
        Importance factor, 7-05 only. [-]
    """

    edition: str
    V_mph: float
    exposure: str
    enclosure: str = "enclosed"
    K_zt: float = 1.0
    ground_elevation_ft: float | None = None
    use_K_e: bool = False
    importance: float = 1.0
    entered: Entered | None = None

    def pressures(
        self, roof_shape: str, slope_deg: float, h_ft: float, zone: str | Sequence[str], area_ft2: ArrayLike
    ) -> ZonePressures:
        """Design pressures under these ground rules."""
        return design_pressures(
            self.edition,
            self.V_mph,
            self.exposure,
            h_ft,
            self.ground_elevation_ft,
            self.K_zt,
            self.enclosure,
            roof_shape,
            slope_deg,
            zone,
            area_ft2,
            use_K_e=self.use_K_e,
            importance=self.importance,
            entered=self.entered,
        )


@dataclass(frozen=True, slots=True)
class ThenNow:
    """Allowable-level wind pressures of two editions, place by place.

    Attributes
    ----------
    zone_then, zone_now : tuple of str
        Zone of each place in the two editions.
    area_ft2 : ndarray, shape (n_place,)
        Effective wind area. [ft2]
    uplift_then_psf, uplift_now_psf, down_then_psf, down_now_psf : ndarray, shape (n_place,)
        Pressures at allowable stress level. [psf]
    uplift_ratio : ndarray, shape (n_place,)
        Now over then. [-]
    figure_then, figure_now : str
        Figures used.
    unconfirmed : tuple of str
        Zones whose coefficients were not confirmed against a printed source.
    """

    zone_then: tuple[str, ...]
    zone_now: tuple[str, ...]
    area_ft2: FloatArray
    uplift_then_psf: FloatArray
    uplift_now_psf: FloatArray
    down_then_psf: FloatArray
    down_now_psf: FloatArray
    uplift_ratio: FloatArray
    figure_then: str
    figure_now: str
    unconfirmed: tuple[str, ...]


def then_and_now(
    then: WindBasis,
    now: WindBasis,
    places: Sequence[tuple[str, str]],
    area_ft2: ArrayLike,
    *,
    roof_shape: str,
    slope_deg: float,
    h_ft: float,
) -> ThenNow:
    """Compare the wind of two editions, both at allowable stress level.

    Parameters
    ----------
    then, now : WindBasis
        Ground rules of the two editions.
    places : sequence of (str, str)
        Zone in `then` and zone in `now` of each place, e.g. the keys of ``roof.zones.overlay``.
    area_ft2 : numeric, shape () or (n_place,)
        Effective wind area. [ft2]
    roof_shape, slope_deg, h_ft
        As in :func:`secondroof.loads.wind.design_pressures`.
    """
    zones_then, zones_now = [p[0] for p in places], [p[1] for p in places]
    old = then.pressures(roof_shape, slope_deg, h_ft, zones_then, area_ft2)
    new = now.pressures(roof_shape, slope_deg, h_ft, zones_now, area_ft2)
    up_then, up_now = np.asarray(old.p_uplift_asd_psf), np.asarray(new.p_uplift_asd_psf)
    loose = [f"{p.edition} zone {z}" for p in (old, new) for z in p.unconfirmed]
    return ThenNow(
        tuple(zones_then),
        tuple(zones_now),
        np.broadcast_to(np.asarray(area_ft2, dtype=float), up_then.shape),
        up_then,
        up_now,
        np.asarray(old.p_down_asd_psf),
        np.asarray(new.p_down_asd_psf),
        up_now / up_then,
        old.figure,
        new.figure,
        tuple(loose),
    )


def zones_of(basis: WindBasis, roof_shape: str, slope_deg: float) -> tuple[str, ...]:
    """Zone names of the figure that serves a roof in an edition."""
    names: Any = figure_for(basis.edition, roof_shape, slope_deg).zones
    return tuple(names)
