"""Snow's thermal factor today and with the recover, and where the slope may lower the snow.

What a person typed wins (the factor from their own copy of the standard, then the thermal condition of the ground
rules). Where neither stands, the condition with the recover is worked out from what is to be built, and what was
worked out is said. Today's condition is only worked out to the safe side: an unheated space.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.checks.model import Need, Source
from secondroof.errors import InputError, MissingError
from secondroof.loads import snow

if TYPE_CHECKING:
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

#: R between the heated space and a vented cavity from which a heated roof is cold [h ft2 F/Btu]; ``loads.snow``.
COLD_R = 25.0
DECIDES = "the thermal factor, so every snow load {when}"


@dataclass(frozen=True, slots=True)
class Thermal:
    """Thermal factor of the roof in one state.

    Attributes
    ----------
    C_t : float or None
        The factor; None where it cannot be said, and ``need`` then says what is missing.
    condition : str or None
        Thermal condition, None where a factor was entered.
    assumed : str
        What was worked out or assumed, in words; empty where a person stated it.
    source : Source
        Where it comes from.
    checked : str
        How the factor was confirmed.
    ventilated : bool
        Outside air moves between insulation and roof surface.
    r_value : float or None
        R of the roof as far as it is known. [h ft2 F/Btu]
    """

    C_t: float | None
    condition: str | None
    assumed: str
    source: Source
    checked: str
    ventilated: bool
    r_value: float | None
    need: Need | None = None


def thermal(survey: Survey, recover: Recover, edition: str, when: str) -> Thermal:
    """Thermal factor today (``before``) or with the recover (``after``).

    Parameters
    ----------
    survey, recover : Survey, Recover
        What was found and what is to be built.
    edition : str
        Edition of ASCE 7.
    when : str
        ``before`` or ``after``.

    Returns
    -------
    Thermal
    """
    rules = survey.ground_rules
    after = when == "after"
    r_value = roof_r(survey, recover) if after else old_r(survey)
    typed = rules.entered_thermal_factor
    stated = rules.thermal_after if after else rules.thermal_now
    vented = (after and recover.cavity == "vented") or stated == "cold ventilated"
    value = None if typed is None else (typed.after if after else typed.now)
    if typed is not None and value is not None:
        source = Source(f"entered from a person's own copy of the standard: {typed.page}")
        return Thermal(float(value), None, "", source, f"definition: entered, {typed.page}", vented, r_value)
    if stated is not None:
        text = f"ground rules: roof {'with the recover' if after else 'today'}, {stated}"
        return _factor(edition, when, stated, "", Source(text), vented, r_value)
    condition, words, need = _derived(survey, recover) if after else _today(survey)
    if condition is None:
        return Thermal(None, None, "", Source(""), "", vented, r_value, need)
    return _factor(edition, when, condition, words, Source(words, assumed=True), vented, r_value)


def _factor(
    edition: str, when: str, condition: str, words: str, source: Source, vented: bool, r_value: float | None
) -> Thermal:
    checked = snow.thermal_checked(edition)
    try:
        C_t = snow.thermal_factor(edition, condition)
    except (MissingError, InputError) as error:
        need = Need(str(error), "ground_rules.entered_thermal_factor", _decides(when), "engineer")
        return Thermal(None, condition, words, source, checked, vented, r_value, need)
    return Thermal(C_t, condition, words, source, checked, vented, r_value)


def _decides(when: str) -> str:
    return DECIDES.format(when="today" if when == "before" else "with the recover")


def _today(survey: Survey) -> tuple[str | None, str, Need | None]:
    if survey.insulation.space == "unheated":
        return "unheated", "The space under the roof was found unheated; taken so for snow.", None
    return (
        None,
        "",
        Need(
            "thermal condition of the roof today: heated all winter, just above freezing, unheated or freezer",
            "ground_rules.thermal_now; ask the owner what is kept warm through the winter",
            _decides("before"),
            "estimator",
        ),
    )


def _derived(survey: Survey, recover: Recover) -> tuple[str | None, str, Need | None]:
    """Condition with the recover, from today's and from what is to be built."""
    today = survey.ground_rules.thermal_now or _today(survey)[0]
    if today is None:
        return (
            None,
            "",
            Need(
                "thermal condition of the roof with the recover, or of the roof today to work it out from",
                "ground_rules.thermal_after, or ground_rules.thermal_now",
                _decides("after"),
                "estimator",
            ),
        )
    if today in ("unheated", "freezer", "cold ventilated"):
        return today, f"The roof is {today} today; the recover does not make it warmer: {today}.", None
    low, high = _r_range(survey, recover)
    if recover.cavity == "sealed" or high <= COLD_R:
        why = (
            "the space between the two roofs is sealed"
            if recover.cavity == "sealed"
            else f"R to the space between the two roofs is {high:g}, not over {COLD_R:g}"
        )
        return (
            today,
            f"Worked out: {today} today, and {why}, so it stays {today}. {_r_words(survey, recover)}",
            None,
        )
    if recover.cavity is None:
        return (
            None,
            "",
            Need(
                "whether the space between the two roofs is vented or sealed",
                "recovers.cavity, or ground_rules.thermal_after",
                _decides("after"),
                "estimator",
            ),
        )
    if math.isinf(high) and low <= COLD_R:
        return (
            None,
            "",
            Need(
                f"R of the old and the new insulation: over {COLD_R:g} under a vented space makes the roof cold",
                "insulation.installed_r or insulation.nominal_r, and recovers.insulation.r_value",
                _decides("after"),
                "estimator",
            ),
        )
    condition = snow.thermal_condition(True, True, high)
    doubt = (
        ""
        if low > COLD_R
        else f" As it lies the old blanket gives R-{low:g} in all, as printed R-{high:g}; the colder roof is taken."
    )
    words = f"Worked out: {today} today, and vented over more than R-{COLD_R:g}, so {condition}."
    return condition, f"{words} {_r_words(survey, recover)}{doubt}", None


def _r_words(survey: Survey, recover: Recover) -> str:
    old = old_r(survey)
    new = None if recover.insulation is None else recover.insulation.r_value
    if recover.insulation is None:
        text = "not known" if old is None else f"R-{old:g}"
        return f"Counted: old insulation {text}; no new insulation."
    parts = [
        "old insulation R not known" if old is None else f"old insulation R-{old:g}",
        "new insulation R not known" if new is None else f"new insulation R-{new:g}",
    ]
    return f"Counted: {', '.join(parts)}, new insulation lying under the space."


def _r_range(survey: Survey, recover: Recover) -> tuple[float, float]:
    """Least and greatest R between the heated space and the cavity; inf where a part is not known."""
    old = survey.insulation
    readings = [r for r in (old.installed_r, old.nominal_r) if r is not None]
    if old.where == "none":
        readings = [0.0]
    new = 0.0 if recover.insulation is None else recover.insulation.r_value
    low = (old_r(survey) or 0.0) + (new or 0.0)
    if not readings or new is None:
        return low, math.inf
    return low, max(readings) + new


def old_r(survey: Survey) -> float | None:
    """R of the old insulation as it lies, else as printed; 0 where there is none, None where not read."""
    old = survey.insulation
    if old.where == "none":
        return 0.0
    return old.installed_r if old.installed_r is not None else old.nominal_r


def roof_r(survey: Survey, recover: Recover) -> float | None:
    """R of old and new insulation together; None where a part is not known."""
    old = old_r(survey)
    new = 0.0 if recover.insulation is None else recover.insulation.r_value
    return None if old is None or new is None else old + new


def slippery(survey: Survey, recover: Recover, edition: str, state: Thermal, when: str) -> tuple[bool, str]:
    """Whether the slippery line of the slope factor is used, and why.

    Only where the ground rules say that snow slides off; snow guards of the recover, and on a warm roof an R that is
    too low or not known, take it away.
    """
    rules = survey.ground_rules
    if not rules.snow_slides_off or state.C_t is None:
        why = (
            "not stated that snow slides off"
            if rules.snow_slides_off is None
            else "stated that it does not slide off"
        )
        return False, f"No slippery roof counted: {why}."
    if when == "after" and recover.snow_guards:
        return False, "No slippery roof counted: snow guards hold the snow."
    edges = survey.edges
    if edges.parapet_walls or edges.drainage == "inside gutters or behind parapets":
        return False, "No slippery roof counted: parapets or inside gutters hold the snow."
    coat = (survey.old_panel.coating or "none").strip().lower()
    if when == "before" and not coat.startswith(("none", "no ")):
        return False, "No slippery roof counted today: the old panel is coated."
    allowed = bool(
        snow.slippery_allowed(edition, True, True, state.C_t, state.r_value or 0.0, state.ventilated)
    )
    if allowed:
        return (
            True,
            "Slippery metal roof counted, as the ground rules say: nothing in the way, room below the eave.",
        )
    got = "not known" if state.r_value is None else f"R-{state.r_value:g}"
    return False, f"No slippery roof counted: a warm roof needs R-30, or R-20 vented; here {got}."
