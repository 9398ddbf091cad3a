"""What the code path is asked about, and what it answers with.

Every value of :class:`CodeFacts` that was not read stays ``None``; a rule that needs it says so and
never passes on it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Literal, get_args

from secondroof.errors import InputError, Problem
from secondroof.rules.editions import Checked, edition

State = Literal["holds", "short", "unknown", "engineer"]
Asked = Literal["required", "not required", "ask the official"]
Whose = Literal["new", "made worse", "was so"]
Method = Literal["level 1", "level 2", "prescriptive"]
Action = Literal["recover", "replacement"]
Seam = Literal["lapped, no sealant", "lapped, with lap sealant", "standing seam"]
Insulation = Literal["draped below deck", "above deck", "none"]
YesNo = Literal["yes", "no"]
OldCovering = Literal[
    "metal panel",
    "metal shingle",
    "asphalt shingle",
    "built-up",
    "modified bitumen",
    "single-ply",
    "spray foam",
    "wood shake",
    "slate",
    "clay tile",
    "cement tile",
    "concrete tile",
    "asbestos-cement tile",
    "other",
]

TOLERANCE = 1e-9
"""Relative slack for "more than" and "not less than": 5.0 worked out in binary is still 5."""


@dataclass(frozen=True, slots=True)
class Need:
    """Something missing.

    Attributes
    ----------
    what, where, decides : str
        What is missing, where to get it, and what it decides.
    """

    what: str
    where: str
    decides: str


@dataclass(frozen=True, slots=True)
class RatioBasis:
    """One way of taking a ratio, shown beside the others.

    Attributes
    ----------
    basis : str
        What was taken as the base, in words.
    before, after : float
        Load or force before and after. [unit of ``unit``]
    unit : str
        Unit of ``before`` and ``after``.
    increase_pct, limit_pct : float
        Increase, and the limit it is held against. [%]
    over : bool
        True where the increase is more than the limit; exactly the limit is not more.
    """

    basis: str
    before: float
    after: float
    unit: str
    increase_pct: float
    limit_pct: float
    over: bool


@dataclass(frozen=True, slots=True)
class RuleFinding:
    """What one rule says of one recover.

    Attributes
    ----------
    key, subject : str
        Key of the finding (``gravity.element.purlin 3``), and its subject in words.
    clause : str
        Clause with its edition.
    clause_checked : {'seen', 'summary', 'from memory'}
        How the clause was confirmed.
    state : {'holds', 'short', 'unknown', 'engineer'}
        What is known of it.
    asked : {'required', 'not required', 'ask the official'}
        What the code asks of this recover here.
    whose : {'new', 'made worse', 'was so'}
        Whose it is.
    sentence : str
        In plain words.
    numbers : mapping of str to (value, unit)
        Numbers behind the sentence.
    ratio_bases : tuple of RatioBasis
        The same ratio on each base it may be read on.
    needs : tuple of Need
        What is missing.
    """

    key: str
    subject: str
    clause: str
    clause_checked: Checked
    state: State
    asked: Asked
    whose: Whose
    sentence: str
    numbers: Mapping[str, tuple[float, str]] = field(default_factory=lambda: MappingProxyType({}))
    ratio_bases: tuple[RatioBasis, ...] = ()
    needs: tuple[Need, ...] = ()


@dataclass(frozen=True, slots=True)
class ElementForce:
    """Gravity force or load of one old element before and after the recover.

    Attributes
    ----------
    name : str
        Element, e.g. ``purlin line 3, bay 1``.
    before, after : float
        Governing gravity force, dead with the larger of live and snow, drift counted. [unit]
    dead_before, dead_after, snow_before, snow_after : float or None
        The dead and the snow part, in the same unit.
    unit : str
        Unit of them all, e.g. ``psf``, ``lb/ft``, ``kip-in``.
    before_least : float or None
        Force before with only the dead load that is surely there, where the rest was reckoned and not weighed.
    meets_new_loads : bool or None
        Whether the element was shown to carry the gravity loads of a new building.
    """

    name: str
    before: float
    after: float
    dead_before: float | None = None
    dead_after: float | None = None
    snow_before: float | None = None
    snow_after: float | None = None
    unit: str = "psf"
    meets_new_loads: bool | None = None
    before_least: float | None = None


@dataclass(frozen=True, slots=True)
class CodeFacts:
    """What is known of the roof, the recover and the ground rules, as the code path needs it.

    ``None`` always means *not read*. Where a thing was looked for and is not there, say so: ``False``,
    ``0.0`` or ``"none"``.

    Attributes
    ----------
    edition : int or None
        Year of the IBC and IEBC in force, or on which the state code is built. [year]
    method : {'level 1', 'level 2', 'prescriptive'} or None
        Method of the IEBC the owner chose; a recover is normally alteration level 1.
    action : {'recover', 'replacement'}
        Whether the old roof stays.
    layers : int or None
        Roof coverings on the roof now, coatings not counted. [-]
    old_covering : str or None
        Kind of the old covering, one of ``OldCovering``, e.g. ``metal panel``.
    coating : str or None
        Kind of coating on the old covering, or ``none``.
    coating_counts : bool or None
        The official's recorded answer: does the coating count as a layer?
    soaked_share : float or None
        Share of old covering or insulation that is soaked. [0 to 1]
    soaked_removed : bool or None
        Whether the soaked part is taken out before the recover.
    decayed_base : bool or None
        Whether the old roof has decayed so far that it is no base.
    separate_system : bool or None
        Whether the new roof is a complete system that carries straight to the structure and does not
        lean on the old roof.
    added_dead_psf, added_covering_psf : float or None
        Everything added, and the part of it that is the new covering itself. [psf]
    old_dead_psf, live_psf : float or None
        Old dead load and design roof live load. [psf]
    old_dead_reckoned : str or None
        What of the old dead load in ``elements`` was reckoned and not weighed, in words; None where all was weighed.
    snow_before_psf, snow_after_psf : float or None
        Design roof snow before and after, drift counted where it governs. [psf]
    elements : tuple of ElementForce
        Old elements one by one; without them the uniform load stands for all.
    official_counts_framing : bool or None
        The official's recorded answer: are sub-framing and insulation part of the second covering?
    construction_loads_shown : bool or None
        Whether the roof was shown to carry bundles, machines and crew.
    bundle : str or None
        A bundle that was set on the purlins as a load, and where, in words; None where there is none.
    new_cover_wind_shown : bool or None
        Whether new covering and attachment were shown to hold current wind.
    share_removed : float or None
        Share of the old covering taken off. [0 to 1]
    strips_cut : bool or None
        Whether whole strips of the old sheet are cut or unfastened.
    old_sheet_is_diaphragm : {'yes', 'no'} or None
        Whether the old sheet braces the building in its plane.
    V_mph : float or None
        Basic (ultimate) wind speed. [mph]
    special_wind_region, designed_to_asce7_88 : bool or None
        In a special wind region; shown to meet the wind loads of ASCE 7-88 or later.
    diaphragm_capacity_share : float or None
        Diaphragm and connection capacity over the wind loads of a new building, where evaluated. [-]
    seismic_design_category : str or None
        A to F.
    urm_parapets : bool or None
        Whether there are unreinforced masonry parapets.
    share_reroofed : float or None
        Share of the roof area reroofed under this permit. [0 to 1]
    seismic_weight_psf : float or None
        Old seismic weight over the roof area. [psf]
    lateral_dcr_increase_pct : float or None
        Rise of the worst demand over capacity of a lateral element, all past work counted. [%]
    slope_in12, panel_min_slope_in12 : float or None
        Least slope of the new roof, and the limit of the panel's maker or tester. [in 12]
    slope_readings_in12 : tuple of float
        Clean readings of the slope, sag counted; empty where none was taken. [in 12]
    seam : {'lapped, no sealant', 'lapped, with lap sealant', 'standing seam'} or None
        Seam of the new panel.
    positive_drainage : bool or None
        Whether water is gone within 48 hours, deflection counted.
    water_trapped : bool or None
        Whether parapets or raised edges would hold water if the drains stop up.
    secondary_drains_present, secondary_drains_kept : bool or None
        Secondary drains or scuppers now, and whether they stay or are replaced.
    insulation : {'draped below deck', 'above deck', 'none'} or None
        Where the old insulation is.
    cavity_opened : bool or None
        Whether the work opens the old insulation from above.
    cavity_vented : bool or None
        Whether the space between the roofs is vented to outside.
    part_of_envelope : bool or None
        Whether the roof encloses heated or cooled space.
    climate_zone : str or None
        Climate zone of the energy code, e.g. ``4A``.
    group_r : bool or None
        Whether the building is Group R.
    foam_in_cavity, fire_tested : bool or None
        Foam or other combustible board between the roofs, and whether that assembly has a fire test.
    foam_found : str or None
        Foam or wood found in the old roof, in the survey's words; ``none`` where there is none, None where not read.
    lower_roof_near : bool or None
        Whether a lower roof, or a roof against a higher one, gets more drift or sliding snow.
    suspect_asbestos : bool or None
        Suspect material in the work's way; ``False`` where a survey found none.
    coastal_certificate : bool or None
        Whether a coastal windstorm certificate programme applies.
    insurer_asks : bool or None
        Whether the owner's insurer asks more than the code.
    insurer_factor : float or None
        Factor the insurer asks on wind. [-]
    insurer_shown : bool or None
        Whether that factor was shown.
    """

    edition: int | None = None
    method: Method | None = None
    action: Action = "recover"
    layers: int | None = None
    old_covering: OldCovering | None = None
    coating: str | None = None
    coating_counts: bool | None = None
    soaked_share: float | None = None
    soaked_removed: bool | None = None
    decayed_base: bool | None = None
    separate_system: bool | None = None
    added_dead_psf: float | None = None
    added_covering_psf: float | None = None
    old_dead_psf: float | None = None
    live_psf: float | None = None
    snow_before_psf: float | None = None
    snow_after_psf: float | None = None
    old_dead_reckoned: str | None = None
    elements: tuple[ElementForce, ...] = ()
    official_counts_framing: bool | None = None
    construction_loads_shown: bool | None = None
    bundle: str | None = None
    new_cover_wind_shown: bool | None = None
    share_removed: float | None = None
    strips_cut: bool | None = None
    old_sheet_is_diaphragm: YesNo | None = None
    V_mph: float | None = None
    special_wind_region: bool | None = None
    designed_to_asce7_88: bool | None = None
    diaphragm_capacity_share: float | None = None
    seismic_design_category: str | None = None
    urm_parapets: bool | None = None
    share_reroofed: float | None = None
    seismic_weight_psf: float | None = None
    lateral_dcr_increase_pct: float | None = None
    slope_in12: float | None = None
    panel_min_slope_in12: float | None = None
    slope_readings_in12: tuple[float, ...] = ()
    seam: Seam | None = None
    positive_drainage: bool | None = None
    water_trapped: bool | None = None
    secondary_drains_present: bool | None = None
    secondary_drains_kept: bool | None = None
    insulation: Insulation | None = None
    cavity_opened: bool | None = None
    cavity_vented: bool | None = None
    part_of_envelope: bool | None = None
    climate_zone: str | None = None
    group_r: bool | None = None
    foam_in_cavity: bool | None = None
    fire_tested: bool | None = None
    foam_found: str | None = None
    lower_roof_near: bool | None = None
    suspect_asbestos: bool | None = None
    coastal_certificate: bool | None = None
    insurer_asks: bool | None = None
    insurer_factor: float | None = None
    insurer_shown: bool | None = None

    def __post_init__(self) -> None:
        problems = list(_problems(self))
        if problems:
            raise InputError(problems)


_WORDS: dict[str, tuple[str, ...]] = {
    "method": get_args(Method),
    "action": get_args(Action),
    "old_covering": get_args(OldCovering),
    "old_sheet_is_diaphragm": get_args(YesNo),
    "seam": get_args(Seam),
    "insulation": get_args(Insulation),
    "seismic_design_category": ("A", "B", "C", "D", "E", "F"),
}
_SHARES = ("soaked_share", "share_removed", "share_reroofed")
_SIGNED = ("lateral_dcr_increase_pct",)


def _problems(facts: CodeFacts) -> list[Problem]:
    found: list[Problem] = []

    def wrong(name: str, given: object, message: str, mend: str) -> None:
        found.append(Problem(name, str(given), message, mend))

    for name in (f.name for f in fields(facts)):
        value = getattr(facts, name)
        if value is None or name == "elements":
            continue
        if name == "slope_readings_in12":
            if not all(math.isfinite(v) and v >= 0 for v in value):
                wrong(name, value, "Slopes are finite and not negative.", "Give each as read, rise in 12.")
            continue
        if name in _WORDS and value not in _WORDS[name]:
            wrong(name, value, f"This must be one of: {'; '.join(_WORDS[name])}.", "Use one of these words.")
        elif isinstance(value, (bool, str)):
            continue
        elif not math.isfinite(value):
            wrong(name, value, "This must be a finite number.", "Give the number, or leave it out.")
        elif name in _SHARES and not 0 <= value <= 1:
            wrong(name, value, "A share lies between 0 and 1.", "Write 30 percent as 0.30.")
        elif value < 0 and name not in _SIGNED:
            wrong(name, value, "This cannot be negative.", "Give the number as read, or leave it out.")
    if facts.edition is not None:
        try:
            edition(facts.edition)
        except InputError as error:
            found.extend(error.problems)
    total, covering = facts.added_dead_psf, facts.added_covering_psf
    if total is not None and covering is not None and covering > total * (1 + TOLERANCE):
        wrong(
            "added_covering_psf",
            covering,
            f"The covering cannot weigh more than everything added, {total:g} psf.",
            "Count the covering in the total, or mend the weight.",
        )
    for i, e in enumerate(facts.elements):
        place = f"elements[{i}] {e.name}"
        parts = (e.before, e.after, e.dead_before, e.dead_after, e.snow_before, e.snow_after, e.before_least)
        if any(p is not None and (not math.isfinite(p) or p < 0) for p in parts):
            wrong(
                place,
                parts,
                "Gravity forces are finite and not negative.",
                "Give downward force as positive.",
            )
        if e.before == 0 or e.before_least == 0:
            wrong(place, e.before, "The force before must be above zero.", "A new element is not an old one.")
        if e.dead_before == 0 or (e.dead_before is None) != (e.dead_after is None):
            wrong(
                place,
                e.dead_before,
                "Dead load before and after go together, above zero.",
                "Give both or none.",
            )
        if (e.snow_before is None) != (e.snow_after is None):
            wrong(place, e.snow_before, "Snow before and after go together.", "Give both or none.")
    return found
