"""Wind on each part of the roof, by zone and effective area: the loads room asked for one roof."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import Need, Source
from secondroof.checks.steps import singled
from secondroof.errors import InputError, MissingError, Problem
from secondroof.formula import note_step, recording
from secondroof.loads import wind
from secondroof.loads.combinations import combinations, combinations_checked
from secondroof.loads.topography import LEAST_HEIGHT_FT, topography
from secondroof.loads.wind_figures import ENTERED_KEY

if TYPE_CHECKING:
    from secondroof.formula import Step
    from secondroof.roof.model import Roof
    from secondroof.survey.ground import GroundRules
    from secondroof.survey.models import Survey

Numeric = Any

SHAPES = {"gable": "gable", "unequal gable": "gable", "single slope": "monoslope"}
#: Least H/L_h at which a hill counts (from memory, ASCE 7 26.8.1).
LEAST_STEEPNESS = 0.2
WHERE = "the building official's adopted code and its wind map, for this address and risk category"
DECIDES = "every uplift on the roof: panel, clips, screws and lines"


def wind_edition(rules: GroundRules) -> str:
    """ASCE 7 edition in force: the one stated, else the one the building code names."""
    from secondroof.rules.editions import edition

    if rules.wind_edition is not None:
        return rules.wind_edition
    if rules.building_code is None:
        raise MissingError("the wind edition: state the building code in force, or the ASCE 7 edition")
    return edition(rules.building_code).asce7


@dataclass(frozen=True, slots=True)
class Topographic:
    """Topographic factor used, with where it comes from.

    Attributes
    ----------
    K_zt : float
        Factor used. [-]
    source : str
        Where it comes from.
    doubtful : bool
        True where the factor given and the hill measured do not agree.
    steps : tuple of Step
        The hill worked out.
    """

    K_zt: float
    source: str
    doubtful: bool = False
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True)
class Wind:
    """Wind on one roof under one enclosure class; ready to be asked for any zone and area.

    Attributes
    ----------
    entered : mapping of zone to EnteredCurve, optional
        Coefficients a person read from their own copy of the standard.
    topographic : Topographic, optional
        Where K_zt comes from.
    notes : tuple of str
        What else to know: entered zones and coefficients, a hill that does not agree.
    """

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
    entered: wind.Entered | None = None
    topographic: Topographic | None = None
    notes: tuple[str, ...] = ()

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
            entered=self.entered,
        )

    def uplift(self, zone: Numeric, area_ft2: Numeric) -> Numeric:
        """Uplift at allowable stress level, as a plain size. [psf]"""
        return -np.asarray(self.pressures(zone, area_ft2).p_uplift_asd_psf)

    @property
    def steps(self) -> tuple[Step, ...]:
        """Steps that stand before those of every pressure: the hill."""
        return self.topographic.steps if self.topographic else ()

    def entered_words(self, zone: str) -> str:
        """Who read the coefficients of a zone, and where; empty where they are held here."""
        curve = (self.entered or {}).get(zone)
        if curve is None:
            return ""
        return f"entered{f' by {curve.by}' if curve.by else ''}, {curve.page}"


def entered_coefficients(rules: GroundRules) -> wind.Entered | None:
    """Coefficients a person typed into the ground rules, as the loads room takes them; None where there are none.

    Raises
    ------
    InputError
        A zone entered twice, or points out of range.
    """
    rows = rules.entered_coefficients
    names = [row.zone for row in rows]
    twice = sorted({z for z in names if names.count(z) > 1})
    if twice:
        raise InputError(
            Problem(
                "ground_rules.entered_coefficients",
                ", ".join(twice),
                "A zone is entered twice.",
                "Give each zone once, with both its curves.",
            )
        )
    return {
        row.zone: wind.EnteredCurve(row.uplift, row.downward, row.page, row.by or "") for row in rows
    } or None


def topographic(rules: GroundRules, h_ft: float) -> Topographic | None:
    """Topographic factor: the one given, else worked out from the hill; None where neither was given.

    Parameters
    ----------
    rules : GroundRules
        Ground rules; the exposure is needed for the hill.
    h_ft : float
        Mean roof height, taken as height above ground at the site. [ft]
    """
    given, hill = rules.topographic_factor, rules.hill
    if hill is None or rules.exposure is None:
        return (
            None if given is None else Topographic(given, f"as given; {rules.source or 'no source stated'}")
        )
    words = f"{hill.shape} {hill.height:g} ft high, {hill.source}"
    with recording() as recorder:
        found = topography(
            hill.shape, rules.exposure, hill.height, hill.half_length, hill.from_crest, hill.downwind, h_ft
        )
    steps = singled(recorder.steps)
    worked = float(found.K_zt)
    if not bool(found.applies):
        with recording() as recorder:
            note_step(
                "Hill left out",
                symbol="K_zt",
                unit="-",
                clause="ASCE 7 26.8.1",
                inputs={"H": hill.height, "L_h": hill.half_length},
                result=1.0,
                method=f"H/L_h below {LEAST_STEEPNESS:g}, or H below {LEAST_HEIGHT_FT[rules.exposure]:g} ft "
                f"in exposure {rules.exposure}",
                checked="from memory: ASCE 7 26.8.1",
            )
        steps = tuple(recorder.steps)
        words += ", too low or too flat to count"
    if given is None:
        return Topographic(worked, f"worked out: {words}", False, steps)
    if abs(given - worked) <= 0.005:
        return Topographic(given, f"as given; agrees with the {words}", False, steps)
    text = f"{given:g} as given is used; the {words}, gives {worked:.2f}. Settle which is right."
    return Topographic(given, text, True, steps)


def wind_on(survey: Survey, roof: Roof, enclosure: str) -> Wind:
    """Wind on the roof of a survey.

    Raises
    ------
    MissingError
        Naming every ground rule that was not given.
    InputError
        Coefficients were entered for a zone this roof and its figure do not have.
    """
    rules = survey.ground_rules
    factor = topographic(rules, roof.h_ft)
    lacking = [
        words
        for words, value in (
            ("the basic wind speed V", rules.wind_speed),
            ("the exposure", rules.exposure),
            ("the topographic factor K_zt (1.0 on flat ground, else it or the hill)", factor),
            ("the ground elevation", rules.ground_elevation if rules.use_elevation_factor else 0.0),
        )
        if value is None
    ]
    if lacking:
        raise MissingError("wind cannot be worked out without " + ", ".join(lacking))
    assert rules.wind_speed is not None
    assert rules.exposure is not None
    assert factor is not None
    edition, shape = wind_edition(rules), SHAPES[roof.shape]
    slope = max(p.slope_deg for p in roof.planes)
    entered = entered_coefficients(rules)
    _check_zones(edition, shape, slope, roof, entered)
    return Wind(
        edition=edition,
        V_mph=rules.wind_speed,
        exposure=rules.exposure,
        h_ft=roof.h_ft,
        elevation_ft=rules.ground_elevation,
        use_K_e=rules.use_elevation_factor,
        K_zt=factor.K_zt,
        enclosure=enclosure,
        shape=shape,
        slope_deg=slope,
        parapet_ft=survey.edges.parapet_all_round or 0.0,
        entered=entered,
        topographic=factor,
        notes=tuple(_notes(survey, factor, entered)),
    )


def _check_zones(
    edition: str, shape: str, slope_deg: float, roof: Roof, entered: wind.Entered | None
) -> None:
    """A name no zone has is a slip of the pen: it must not be left unused without a word."""
    try:
        known = {*roof.zones, *wind.figure_for(edition, shape, slope_deg).zones}
    except MissingError:
        return
    wrong = [z for z in entered or () if z not in known]
    if wrong:
        raise InputError(
            Problem(
                "ground_rules.entered_coefficients",
                ", ".join(wrong),
                f"This roof has zones {', '.join(roof.zones)}.",
                "Name the zone as the figure does, or enter the zones too, under ground_rules.entered_zones.",
            )
        )


def elevation_left_out(rules: GroundRules) -> float | None:
    """Ground elevation factor that could be counted and is not; None where there is none or it says nothing. [-]"""
    from secondroof.loads.wind_formulas import ground_elevation_factor

    if rules.ground_elevation is None or rules.use_elevation_factor:
        return None
    try:
        counts = wind.edition_data(wind_edition(rules)).has_K_e
    except MissingError:
        return None
    factor = float(ground_elevation_factor(rules.ground_elevation))
    return factor if counts and factor < 0.995 else None


def _notes(survey: Survey, factor: Topographic, entered: wind.Entered | None) -> list[str]:
    rules = survey.ground_rules
    notes = [f"Topographic factor: {factor.source}"] if factor.doubtful else []
    factor_e = elevation_left_out(rules)
    if factor_e is not None:
        notes.append(
            f"Ground elevation factor 1.0 is used, which is always allowed; at {rules.ground_elevation:,.0f} ft it may "
            f"be {factor_e:.2f}, which lowers every wind pressure by {100 * (1 - factor_e):.0f} %. Hold-down rows show "
            "both ways; count it with ground_rules.use_elevation_factor."
        )
    if rules.entered_zones:
        pages = ", ".join(dict.fromkeys(z.page for z in rules.entered_zones))
        notes.append(f"Wind zones are as entered ({pages}), not drawn here.")
    if entered:
        read = "; ".join(f"zone {z}: {c.page}{f', by {c.by}' if c.by else ''}" for z, c in entered.items())
        notes.append(f"Wind coefficients as entered, not confirmed here: {read}.")
    if survey.edges.overhang:
        notes.append(
            f"The roof overhangs its eave strut by {survey.edges.overhang:g} in. Wind lifts an overhang from below "
            "too, by coefficients of its own: they are not in these pressures."
        )
    return notes


def find_wind(
    survey: Survey, roof: Roof, edition: str | None, enclosure: str
) -> tuple[Wind | None, Need | None]:
    """Wind on a roof, or what is missing for it."""
    if edition is None:
        text = "building code edition in force, or the ASCE 7 edition"
        return None, Need(text, WHERE, DECIDES, "estimator")
    try:
        found = wind_on(survey, roof, enclosure)
        found.uplift(np.array(tuple(roof.zones)), np.full(len(roof.zones), 10.0))
    except MissingError as error:
        return None, Need(str(error), WHERE, DECIDES, "estimator")
    except InputError as error:
        where = "the ground rules, mended; or an engineer who gives zones and pressures"
        return None, Need(str(error), where, DECIDES, "engineer")
    return found, None


def pressure_sources(
    rules: GroundRules,
    on: Wind,
    found: wind.ZonePressures,
    zone: str,
    reason: str = "",
    assumed: bool = False,
) -> dict[str, Source]:
    """Where every number of a pressure comes from.

    Parameters
    ----------
    found : ZonePressures
        The pressure.
    zone : str
        Its zone.
    reason, assumed : str, bool
        Why the enclosure class, and whether it is assumed.
    """
    data = wind.edition_data(on.edition)
    factor = on.topographic
    entered = on.entered_words(zone)
    figure = f"{found.figure}, zone {zone}, {entered}" if entered else found.figure
    if found.figure_key == ENTERED_KEY:
        figure = f"ASCE {on.edition}, zone {zone}, {entered}"
    site = Source(rules.source or "ground rules of the job", rules.source is None)
    sources = {
        "V": site,
        "K_zt": site if factor is None else Source(factor.source, factor.doubtful),
        "K_e": Source("1.0, always allowed" if not on.use_K_e else "ground elevation"),
        "z_e": Source("ground elevation, ground rules"),
        "z": Source("mean roof height, survey"),
        "K_d": Source(f"ASCE {on.edition}, components and cladding"),
        "A": Source("effective wind area of the part"),
        "GCp": Source(figure),
        "GCpi": Source(reason or on.enclosure, assumed),
        "f": Source(f"ASD factor on wind, ASCE {on.edition}"),
        "p_min": Source(data.minimum_clause),
    }
    sources |= dict.fromkeys(("A_1", "A_2", "GCp_1", "GCp_2"), Source(f"end points of {figure}"))
    terrain = Source(f"terrain constants of the exposure, ASCE {on.edition}")
    sources |= dict.fromkeys(("alpha", "z_g", "z_min", "c"), terrain)
    if rules.hill is not None:
        hill = Source(rules.hill.source)
        sources |= dict.fromkeys(("H", "L_h", "x"), hill)
        shape = Source(f"multipliers of a {rules.hill.shape}, ASCE 7 Fig. 26.8-1 (6-4 in 7-05)")
        sources |= dict.fromkeys(("k", "gamma", "mu"), shape)
    return sources


@dataclass(frozen=True, slots=True)
class UpliftCombination:
    """The combinations in which wind lifts and only dead load surely present holds down.

    Attributes
    ----------
    ASD, LRFD : str
        As printed in the standard, e.g. ``0.6D + 0.6W``.
    dead_ASD, wind_ASD, dead_LRFD, wind_LRFD : float
        Factors on sure dead load and on the edition's W. [-]
    checked : str
        How they were confirmed.
    """

    edition: str
    ASD: str
    LRFD: str
    dead_ASD: float
    wind_ASD: float
    dead_LRFD: float
    wind_LRFD: float
    checked: str


def uplift_combination(edition: str) -> UpliftCombination:
    """Combinations for hold-down checks in an edition of ASCE 7."""
    found = {}
    for method in ("ASD", "LRFD"):
        one = next(
            c for c in combinations(edition, method) if {name for name, _ in c.factors} == {"D_sure", "W_up"}
        )
        found[method] = (one.name.split(" [")[0], dict(one.factors))
    (asd, a), (lrfd, b) = found["ASD"], found["LRFD"]
    return UpliftCombination(
        edition,
        asd,
        lrfd,
        a["D_sure"],
        a["W_up"],
        b["D_sure"],
        b["W_up"],
        combinations_checked(edition, "ASD"),
    )
