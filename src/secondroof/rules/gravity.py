"""Gravity: the 5 percent rule element by element, and the light second covering.

The two wordings
----------------
2012 and 2015: parts under added dead load must meet the new-building gravity rules, except elements
whose *force* rises by not more than 5 percent (exception 1) and a second covering of 3 psf or less
over one layer (exception 3). From memory.

2018 and later: elements for which the design dead, live or snow load rises by more than 5 percent,
drift counted, except where the increased *dead* load is due entirely (2021: attributable) to a second
covering of 3 psf or less over one layer (exception 2).

The base of the 5 percent is not spelled out. Usual practice takes the governing gravity force of the
element; on the dead load alone a light metal roof is nearly always over. Both are printed.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from secondroof.formula import formula
from secondroof.rules.editions import Checked, Edition, edition, least_checked
from secondroof.rules.facts import (
    Asked,
    CodeFacts,
    ElementForce,
    Need,
    RatioBasis,
    RuleFinding,
    State,
    Whose,
)
from secondroof.rules.parts import NEED_SNOW, NEED_WEIGHT, more_than, one
from secondroof.rules.second import second_layer

FIVE_PERCENT = 5.0
NEED_OLD_DEAD = Need("old dead load", "weigh a piece of the old roof; drawings", "the 5 percent ratio")
STATE_ORDER: tuple[State, ...] = ("short", "unknown", "engineer", "holds")


@formula("increase", unit="%", clause="IEBC 706.2, increase of load or force", checked="definition")
def percent_increase(before: Any, after: Any) -> Any:
    """Increase of a load or force over what it was [%].

    Parameters
    ----------
    before : numeric
        Load or force before the work. [same unit]
    after : numeric
        Load or force after the work. [same unit]

    Returns
    -------
    numeric
        Increase. [%]
    """
    return 100 * (after - before) / before


@formula("D + max(L_r, S)", unit="psf", clause="ASCE 7 2.4.1", checked="from memory: ASD combination 3")
def governing_gravity(D: Any, L_r: Any, S: Any) -> Any:
    """Governing gravity load, dead with the larger of roof live and snow [psf].

    Parameters
    ----------
    D : numeric
        Dead load. [psf]
    L_r : numeric
        Roof live load. [psf]
    S : numeric
        Roof snow load, drift counted. [psf]

    Returns
    -------
    numeric
        Load. [psf]
    """
    return D + np.maximum(L_r, S)


def ratio_basis(basis: str, before: float, after: float, unit: str) -> RatioBasis:
    """The 5 percent ratio on one base."""
    pct = float(percent_increase(before, after))
    return RatioBasis(basis, before, after, unit, pct, FIVE_PERCENT, more_than(pct, FIVE_PERCENT))


def gravity_clause(facts: CodeFacts, ed: Edition) -> tuple[str, Checked]:
    """Number(s) of the gravity clause for the method, and how it was checked."""
    level_1, prescriptive = ed.clause("gravity_level_1"), ed.clause("gravity_prescriptive")
    if facts.method == "level 2":
        chosen = ed.clause("gravity_level_2")
    elif facts.method == "prescriptive":
        chosen = prescriptive
    else:
        chosen = level_1
    if facts.method is None:
        return f"{level_1.text} (prescriptive: {prescriptive.number})", level_1.checked
    return chosen.text, chosen.checked


def second_layer_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Finding on the light second covering, with the weight ledger both ways."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    where, judged = ed.clause("second_layer"), second_layer(facts)
    state: State = "holds"
    asked: Asked = "not required"
    if judged.excuses == "no":
        over = [f for f in five_percent_rule(facts) if f.asked != "not required"]
        if over:
            worst = min(over, key=lambda f: STATE_ORDER.index(f.state))
            state, asked = worst.state, worst.asked
    elif judged.excuses != "yes":
        state, asked = ("engineer" if judged.excuses == "ask" else "unknown"), "ask the official"
    lead = {
        "yes": "The exception for a light second covering applies.",
        "no": "The exception for a light second covering does not apply; the 5 percent rule does, element by element.",
        "ask": "The exception for a light second covering reads two ways.",
        "unknown": "Whether the exception for a light second covering applies is not known.",
    }[judged.excuses]
    close = " It speaks of dead load only, covers no rise of snow, and does not say the purlins are good."
    return one(
        "gravity.second_layer",
        where,
        state,
        asked,
        f"{lead} {judged.why}{close}",
        whose="made worse",
        numbers=judged.numbers,
        needs=judged.needs,
    )


def five_percent_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """One finding an element: does the code ask it to carry the gravity loads of a new building?"""
    elements = facts.elements or _uniform(facts)
    if elements:
        return tuple(f for e in elements for f in _element(facts, e))
    assert facts.edition is not None
    ed = edition(facts.edition)
    clause, checked = gravity_clause(facts, ed)
    key, title, where = "gravity.element.roof", "5 percent rule", ed.clause("gravity_level_1")
    if facts.added_dead_psf == 0 and _same_snow(facts):
        sentence = "Nothing is added and the snow stays, so no element carries more than it did."
        return one(
            key, where, "holds", "not required", sentence,
            whose="was so", title=title, clause=clause, checked=checked,
        )  # fmt: skip
    needs = []
    if facts.added_dead_psf is None:
        needs.append(NEED_WEIGHT)
    if not facts.old_dead_psf:
        needs.append(NEED_OLD_DEAD)
    if facts.live_psf is None:
        needs.append(
            Need("design roof live load", "the code's table, or the old drawings", "the 5 percent ratio")
        )
    if facts.snow_before_psf is None or facts.snow_after_psf is None:
        needs.append(NEED_SNOW)
    sentence = "How much more the old elements carry is not known, so neither is what the code asks of them."
    return one(
        key, where, "unknown", "ask the official", sentence,
        whose="made worse", title=title, clause=clause, checked=checked, needs=tuple(needs),
    )  # fmt: skip


def snow_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Does the recover raise the design snow (thermal factor, new steps, drift)?"""
    assert facts.edition is not None
    ed = edition(facts.edition)
    clause, checked = gravity_clause(facts, ed)
    clause = f"{clause}; ASCE {ed.asce7} chapter 7"
    where = ed.clause("gravity_level_1")
    before, after = facts.snow_before_psf, facts.snow_after_psf
    title = "Snow raised by the recover"
    if before is None or after is None:
        sentence = (
            "Whether the snow rises was not worked out. Added insulation or a vented cavity keeps more snow."
        )
        return one(
            "snow", where, "unknown", "ask the official", sentence,
            whose="made worse", title=title, clause=clause, checked=checked, needs=(NEED_SNOW,),
        )  # fmt: skip
    numbers = {"snow before": (before, "psf"), "snow after": (after, "psf")}
    if not more_than(after, before):
        sentence = f"The design snow does not rise: {before:.1f} psf before, {after:.1f} after."
        state: State = "holds"
        asked: Asked = "not required"
        bases: tuple[RatioBasis, ...] = ()
    else:
        if before > 0:
            bases = (ratio_basis("design snow load", before, after, "psf"),)
            rise, over = f"{bases[0].increase_pct:.1f} percent", bases[0].over
        else:
            bases, rise, over = (), "from nothing", True
        state, asked = ("engineer", "required") if over else ("holds", "not required")
        sentence = f"The design snow rises from {before:.1f} to {after:.1f} psf, {rise}. " + (
            "That is more than 5 percent, and the exception for a light second covering does not cover snow."
            if over
            else "That is not more than 5 percent."
        )
    whose: Whose = "made worse" if more_than(after, before) else "was so"
    return one(
        "snow", where, state, asked, sentence,
        whose=whose, title=title, clause=clause, checked=checked, numbers=numbers, bases=bases,
    )  # fmt: skip


def _same_snow(facts: CodeFacts) -> bool:
    before, after = facts.snow_before_psf, facts.snow_after_psf
    return before is not None and after is not None and not more_than(after, before)


def _uniform(facts: CodeFacts) -> tuple[ElementForce, ...]:
    old, added, live = facts.old_dead_psf, facts.added_dead_psf, facts.live_psf
    snow_0, snow_1 = facts.snow_before_psf, facts.snow_after_psf
    if not old or added is None or live is None or snow_0 is None or snow_1 is None:
        return ()
    before = float(governing_gravity(old, live, snow_0))
    after = float(governing_gravity(old + added, live, snow_1))
    return (ElementForce("roof, uniform load", before, after, old, old + added, snow_0, snow_1),)


def _element(facts: CodeFacts, e: ElementForce) -> tuple[RuleFinding, ...]:
    assert facts.edition is not None
    ed = edition(facts.edition)
    clause, checked = gravity_clause(facts, ed)
    exception = ed.clause("second_layer").number.split("exception")[1].strip()
    total = ratio_basis("governing gravity load or force", e.before, e.after, e.unit)
    bases = [total]
    dead_0, dead_1 = e.dead_before, e.dead_after
    if dead_0 is not None and dead_1 is not None:
        bases.append(ratio_basis("dead load alone", dead_0, dead_1, e.unit))
    elif facts.old_dead_psf and facts.added_dead_psf is not None:
        bases.append(
            ratio_basis(
                "dead load alone", facts.old_dead_psf, facts.old_dead_psf + facts.added_dead_psf, "psf"
            )
        )
    snow_0 = e.snow_before if e.snow_before is not None else facts.snow_before_psf
    snow_1 = e.snow_after if e.snow_after is not None else facts.snow_after_psf
    needs: tuple[Need, ...] = ()
    lead = (
        f"{e.name[:1].upper()}{e.name[1:]}: gravity load goes from {e.before:.4g} to {e.after:.4g} {e.unit},"
    )
    reckoned = facts.old_dead_reckoned
    most = total.increase_pct
    if reckoned and e.before_least:
        most = float(percent_increase(e.before_least, e.before_least + e.after - e.before))
        lead += (
            f" {total.increase_pct:+.1f} to {most:+.1f} %: old dead load reckoned, not weighed ({reckoned})."
        )
    elif reckoned:
        lead += f" {total.increase_pct:+.2f} %: old dead load reckoned, not weighed ({reckoned})."
    else:
        lead += f" {total.increase_pct:+.2f} %."
    both = ""
    if len(bases) == 2:
        both = f" On the dead load alone it is {bases[1].increase_pct:+.1f} %."
    asked: Asked = "required"
    if reckoned and not total.over:
        asked, needs = "ask the official", (NEED_OLD_DEAD,)
        tail = (
            "Not more than 5 percent as reckoned, and more where only what is surely there is counted: weigh it."
            if more_than(most, FIVE_PERCENT)
            else "Not more than 5 percent as reckoned; the code's answer waits for the weight."
        )
    elif not total.over:
        asked = "not required"
        if facts.edition < 2018:
            clause += " exception 1"
        tail = "Not more than 5 percent, so the code asks no upgrade."
    else:
        judged, snow_up = second_layer(facts), None
        if snow_0 is not None and snow_1 is not None:
            snow_up = more_than(snow_1, snow_0 * (1 + FIVE_PERCENT / 100))
        if snow_up:
            tail = "Over 5 percent, and snow is part of it; the exception for a light second covering is for dead load."
        elif judged.excuses == "no":
            tail = f"Over 5 percent. {judged.why}"
            needs = judged.needs
            if facts.layers == 1:
                clause += f", exception {exception} not met"
        elif judged.excuses == "unknown" or snow_up is None:
            asked, needs = "ask the official", judged.needs + ((NEED_SNOW,) if snow_up is None else ())
            tail = (
                "Over 5 percent. Whether the exception for a light second covering excuses it is not known."
            )
        elif judged.excuses == "ask":
            asked, needs = "ask the official", judged.needs
            tail = f"Over 5 percent. {judged.why}"
        else:
            asked = "not required"
            clause += f" exception {exception}"
            checked = least_checked(checked, ed.clause("second_layer").checked)
            tail = "Over 5 percent, but excused as a light second covering. That does not say the element is good."
    if reckoned and total.over and NEED_OLD_DEAD not in needs:
        needs += (NEED_OLD_DEAD,)
    state: State = "holds"
    if reckoned and not total.over:
        state = "unknown"
    elif asked == "required":
        if e.meets_new_loads is None:
            state = "unknown"
            tail += " It must carry the loads of a new building; that was not shown."
            needs += (Need(f"strength of {e.name} under new-building gravity loads", "a check of the measured section",
                           "whether it must be strengthened or replaced"),)  # fmt: skip
        elif e.meets_new_loads:
            tail += " It was shown to carry the loads of a new building."
        else:
            state = "short"
            tail += " It does not carry the loads of a new building: strengthen or replace it."
    elif asked == "ask the official":
        state = "unknown" if second_layer(facts).excuses == "unknown" or snow_0 is None else "engineer"
    whose: Whose = "made worse" if more_than(e.after, e.before) else "was so"
    numbers = {
        "before": (e.before, e.unit),
        "after": (e.after, e.unit),
        "increase": (total.increase_pct, "%"),
        "limit": (FIVE_PERCENT, "%"),
    }
    return one(
        f"gravity.element.{e.name}", ed.clause("gravity_level_1"), state, asked, f"{lead}{both} {tail}",
        whose=whose, title="5 percent rule", clause=clause, checked=checked,
        numbers=numbers, bases=tuple(bases), needs=needs,
    )  # fmt: skip
