"""Wind uplift on each part of the recover, by zone and effective area: the loads room asked for one roof."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.errors import MissingError
from secondroof.loads import wind

if TYPE_CHECKING:
    from secondroof.roof.model import Roof
    from secondroof.survey.ground import GroundRules
    from secondroof.survey.models import Survey

Numeric = Any

SHAPES = {"gable": "gable", "unequal gable": "gable", "single slope": "monoslope"}


def wind_edition(rules: GroundRules) -> str:
    """ASCE 7 edition in force: the one stated, else the one the building code names."""
    from secondroof.rules.editions import edition

    if rules.wind_edition is not None:
        return rules.wind_edition
    if rules.building_code is None:
        raise MissingError("the wind edition: state the building code in force, or the ASCE 7 edition")
    return edition(rules.building_code).asce7


@dataclass(frozen=True, slots=True)
class Wind:
    """Wind on one roof under one enclosure class; ready to be asked for any zone and area."""

    edition: str
    V_mph: float
    exposure: str
    h_ft: float
    elevation_ft: float | None
    use_K_e: bool
    K_zt: float
    enclosure: str
    shape: str
    slope_deg: float
    parapet_ft: float

    def pressures(self, zone: Numeric, area_ft2: Numeric) -> wind.ZonePressures:
        """Net pressures at zones and areas of one shape, minimum applied."""
        return wind.design_pressures(
            self.edition,
            self.V_mph,
            self.exposure,
            self.h_ft,
            self.elevation_ft,
            self.K_zt,
            self.enclosure,
            self.shape,
            self.slope_deg,
            zone,
            area_ft2,
            use_K_e=self.use_K_e,
            parapet_ft=self.parapet_ft,
        )

    def uplift(self, zone: Numeric, area_ft2: Numeric) -> Numeric:
        """Uplift at allowable stress level, as a plain size. [psf]"""
        return -np.asarray(self.pressures(zone, area_ft2).p_uplift_asd_psf)


def wind_on(survey: Survey, roof: Roof, enclosure: str) -> Wind:
    """Wind on the roof of a survey.

    Raises
    ------
    MissingError
        Naming every ground rule that was not given.
    """
    rules = survey.ground_rules
    lacking = [
        words
        for words, value in (
            ("the basic wind speed V", rules.wind_speed),
            ("the exposure", rules.exposure),
            ("the topographic factor K_zt (1.0 on flat ground)", rules.topographic_factor),
            ("the ground elevation", rules.ground_elevation if rules.use_elevation_factor else 0.0),
        )
        if value is None
    ]
    if lacking:
        raise MissingError("wind cannot be worked out without " + ", ".join(lacking))
    assert rules.wind_speed is not None
    assert rules.exposure is not None
    assert rules.topographic_factor is not None
    return Wind(
        edition=wind_edition(rules),
        V_mph=rules.wind_speed,
        exposure=rules.exposure,
        h_ft=roof.h_ft,
        elevation_ft=rules.ground_elevation,
        use_K_e=rules.use_elevation_factor,
        K_zt=rules.topographic_factor,
        enclosure=enclosure,
        shape=SHAPES[roof.shape],
        slope_deg=max(p.slope_deg for p in roof.planes),
        parapet_ft=survey.edges.parapet_all_round or 0.0,
    )
