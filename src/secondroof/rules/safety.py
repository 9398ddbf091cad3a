"""Safety cautions, chosen for a reader and a roof, and the few rules of falls they rest on.

Cautions are data (``data/safety.toml``). A thing that was not looked for brings its caution out just
as one that was found: nothing missing becomes safe.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, fields
from typing import Literal, get_args

from secondroof.errors import InputError, Problem
from secondroof.rules.editions import read_data

Audience = Literal["owner", "engineer", "official", "shop", "crew", "surveyor"]
Why = Literal["always", "found", "not read"]
Means = Literal[
    "guardrail",
    "guardrail with toeboards",
    "safety net",
    "personal fall arrest",
    "warning line and guardrail",
    "warning line and safety net",
    "warning line and personal fall arrest",
    "warning line and monitor",
    "safety monitor alone",
]

HOLE_TRIGGER_FT = 6.0
MONITOR_WIDTH_FT = 50.0
STEEP_IN12 = 4.0
HOLE_OPTIONS = ("personal fall arrest", "cover", "guardrail")
"""29 CFR 1926.501(b)(4)(i): ways to guard a hole, skylights included (seen)."""

LOW_SLOPE_MEANS: tuple[Means, ...] = (
    "guardrail",
    "safety net",
    "personal fall arrest",
    "warning line and guardrail",
    "warning line and safety net",
    "warning line and personal fall arrest",
    "warning line and monitor",
)
"""29 CFR 1926.501(b)(10), roofs up to 4:12 (seen)."""
STEEP_MEANS: tuple[Means, ...] = ("guardrail with toeboards", "safety net", "personal fall arrest")
"""29 CFR 1926.501(b)(11), steeper roofs (from memory)."""


@dataclass(frozen=True, slots=True)
class CautionFacts:
    """What decides which cautions apply; ``None`` is not read, and brings the caution out.

    Attributes
    ----------
    skylights, skylights_painted_over : bool or None
        Light panels or domes; some painted over or covered.
    width_ft : float or None
        Lesser plan dimension of the roof worked on. [ft]
    slope_in12 : float or None
        Steepest slope worked on. [in 12]
    soft_sheet, power_lines, asbestos_suspect, wet_bagging : bool or None
        Sheet that gives underfoot; lines near crane or panels; suspect material; water in the facing.
    sheet_opened, hot_work, lead_paint : bool or None
        Old sheets are taken off; sparks are thrown; painted steel is drilled.
    """

    skylights: bool | None = None
    skylights_painted_over: bool | None = None
    width_ft: float | None = None
    slope_in12: float | None = None
    soft_sheet: bool | None = None
    power_lines: bool | None = None
    asbestos_suspect: bool | None = None
    wet_bagging: bool | None = None
    sheet_opened: bool | None = None
    hot_work: bool | None = None
    lead_paint: bool | None = None

    @property
    def wide(self) -> bool | None:
        """Low-slope roof wider than 50 ft."""
        return None if self.width_ft is None else self.width_ft > MONITOR_WIDTH_FT

    @property
    def steep(self) -> bool | None:
        """Steeper than 4:12."""
        return None if self.slope_in12 is None else self.slope_in12 > STEEP_IN12

    @property
    def low_slope(self) -> bool | None:
        """Up to 4:12."""
        return None if self.slope_in12 is None else self.slope_in12 <= STEEP_IN12


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution for one reader.

    Attributes
    ----------
    key, text : str
        Key and words.
    audience : tuple of str
        Readers it is for.
    when : str
        ``always``, or the fact that brings it out.
    clause, checked : str
        Clause, and how it was checked.
    why : {'always', 'found', 'not read'}
        Why it is shown here.
    """

    key: str
    audience: tuple[Audience, ...]
    when: str
    text: str
    clause: str
    checked: str
    why: Why = "always"

    @property
    def shown(self) -> str:
        """Text as shown: one brought out by something not read says so."""
        return f"Not looked for, so taken as there: {self.text}" if self.why == "not read" else self.text


@dataclass(frozen=True, slots=True)
class WarningLine:
    """What a warning line must be, 29 CFR 1926.502(f) (seen).

    Attributes
    ----------
    edge_ft : float
        Least distance from the edge. [ft]
    machine_edge_ft : float
        Least distance where machines run towards the edge. [ft]
    low_in, high_in : float
        Height of the line. [in]
    flag_spacing_ft : float
        Flags at most this far apart. [ft]
    stanchion_tip_lb, rope_strength_lb : float
        Force a post takes without tipping; least strength of the rope. [lb]
    """

    edge_ft: float = 6.0
    machine_edge_ft: float = 10.0
    low_in: float = 34.0
    high_in: float = 39.0
    flag_spacing_ft: float = 6.0
    stanchion_tip_lb: float = 16.0
    rope_strength_lb: float = 500.0

    def from_edge_ft(self, machines: bool) -> float:
        """Least distance from the edge [ft]; further where machines run towards it."""
        return self.machine_edge_ft if machines else self.edge_ft


WARNING_LINE = WarningLine()


@functools.cache
def all_cautions() -> tuple[Caution, ...]:
    """Every caution kept, in order."""
    return tuple(
        Caution(c["key"], tuple(c["audience"]), c["when"], c["text"], c["clause"], c["checked"])
        for c in read_data("safety.toml")["caution"]
    )


def cautions(audience: Audience, facts: CautionFacts) -> tuple[Caution, ...]:
    """Cautions for one reader of one roof, those found or not read included.

    Parameters
    ----------
    audience : {'owner', 'engineer', 'official', 'shop', 'crew', 'surveyor'}
        Reader.
    facts : CautionFacts
        What is known of the roof.

    Raises
    ------
    InputError
        Where the reader is not one of these.
    """
    if audience not in get_args(Audience):
        kinds = "; ".join(get_args(Audience))
        raise InputError(
            Problem("audience", str(audience), f"This must be one of: {kinds}.", "Use one of these words.")
        )
    found: list[Caution] = []
    for c in all_cautions():
        if audience not in c.audience:
            continue
        value = True if c.when == "always" else getattr(facts, c.when)
        if value is False:
            continue
        why: Why = "always" if c.when == "always" else ("not read" if value is None else "found")
        found.append(Caution(c.key, c.audience, c.when, c.text, c.clause, c.checked, why))
    return tuple(found)


def caution_keys() -> tuple[str, ...]:
    """Facts that may bring a caution out."""
    derived = ("wide", "steep", "low_slope")
    return ("always", *(f.name for f in fields(CautionFacts)), *derived)


def hole_protection(fall_height_ft: float) -> tuple[str, ...]:
    """Ways a hole, light panel or dome is guarded, 29 CFR 1926.501(b)(4)(i) (seen).

    Parameters
    ----------
    fall_height_ft : float
        Height above the level below. [ft]

    Returns
    -------
    tuple of str
        Empty where the height is not more than 6 ft.
    """
    return HOLE_OPTIONS if fall_height_ft > HOLE_TRIGGER_FT else ()


def edge_means(slope_in12: float, width_ft: float) -> tuple[Means, ...]:
    """Ways an open roof edge may be guarded from 6 ft up, 29 CFR 1926.501(b)(10) and (11).

    Parameters
    ----------
    slope_in12 : float
        Slope. [in 12]
    width_ft : float
        Lesser plan dimension, slope counted in plan. [ft]

    Returns
    -------
    tuple of str
        Means allowed; a monitor alone only to 50 ft.
    """
    if slope_in12 > STEEP_IN12:
        return STEEP_MEANS
    return (*LOW_SLOPE_MEANS, "safety monitor alone") if width_ft <= MONITOR_WIDTH_FT else LOW_SLOPE_MEANS
