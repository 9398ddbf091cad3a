"""Slope, drainage and fire class of the new covering."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from secondroof.errors import InputError, Problem
from secondroof.rules.editions import edition, least_checked
from secondroof.rules.facts import Asked, CodeFacts, Need, RuleFinding, Seam, State
from secondroof.rules.parts import more_than, one

LEAST_SLOPE_IN12: Mapping[Seam, float] = MappingProxyType(
    {"lapped, no sealant": 3.0, "lapped, with lap sealant": 0.5, "standing seam": 0.25}
)
"""IBC 1507.4.2, all editions: least slope by seam. [in 12] (seen, 2012 text)"""

NEED_DRAINAGE = Need(
    "whether all water is gone 48 hours after rain, deflection counted",
    "look after rain; levels along the eave; a ponding check",
    "the slope relief and secondary drains",
)


def least_slope(seam: Seam) -> float:
    """Least slope of a metal roof panel by its seam [in 12], IBC 1507.4.2.

    Parameters
    ----------
    seam : {'lapped, no sealant', 'lapped, with lap sealant', 'standing seam'}
        Seam of the panel.

    Raises
    ------
    InputError
        Where the seam is not one of these.
    """
    if seam not in LEAST_SLOPE_IN12:
        kinds = "; ".join(LEAST_SLOPE_IN12)
        raise InputError(
            Problem("seam", str(seam), f"This must be one of: {kinds}.", "Use one of these words.")
        )
    return LEAST_SLOPE_IN12[seam]


def slope_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Least slope of the new panel by its seam, with the relief for existing low slopes."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    where, relief = ed.clause("metal_slope"), ed.clause("slope_relief")
    slope, seam = facts.slope_in12, facts.seam
    needs: list[Need] = []
    if slope is None:
        needs.append(
            Need(
                "least slope of the new roof",
                "a level on the roof, at several places",
                "which seam may be used",
            )
        )
    if seam is None:
        needs.append(Need("seam of the new panel", "the new panel's data", "the least slope"))
    if slope is None or seam is None:
        return one("slope", where, "unknown", "required", "Slope or seam is not known.", needs=tuple(needs))
    least = least_slope(seam)
    lowest = min((slope, *facts.slope_readings_in12))
    numbers = {"slope": (slope, "in 12"), "least slope": (least, "in 12")}
    if facts.slope_readings_in12:
        numbers["lowest reading"] = (min(facts.slope_readings_in12), "in 12")
        numbers["readings"] = (len(facts.slope_readings_in12), "-")
    own = facts.panel_min_slope_in12
    if own is None:
        needs.append(
            Need(
                "least slope the panel's maker or tester gives",
                "the panel's data",
                "if the panel may be used",
            )
        )
    else:
        numbers["panel's own least slope"] = (own, "in 12")
        if more_than(own, lowest):
            sentence = f"{_slope_words(facts, slope, own)}; this panel's own limit is {own:g}:12."
            if _only_some(facts, slope, own):
                sentence += (
                    " Whether the panel may lie on the low places: its maker in writing, and an engineer."
                )
                return one("slope", where, "engineer", "required", sentence, numbers=numbers)
            sentence += " A written waiver, or another panel."
            return one("slope", where, "short", "required", sentence, numbers=numbers)
    lead = f"{_slope_words(facts, slope, least)}; a {seam} panel needs {least:g}:12."
    if not more_than(least, lowest):
        return one("slope", where, "holds", "required", lead, numbers=numbers, needs=tuple(needs))
    if seam != "standing seam":
        sentence = (
            f"{lead} The relief for existing roofs is from 1/4:12 only and does not reach lapped panels."
        )
        if _only_some(facts, slope, least):
            sentence += " Whether the low places can be built up or taken is for an engineer."
            return one("slope", where, "engineer", "required", sentence, numbers=numbers)
        return one("slope", where, "short", "required", sentence, numbers=numbers)
    both = f"{where.text}; {relief.text}"
    if facts.positive_drainage:
        sentence = f"{lead} An existing low slope may stay where it drains: all water gone in 48 hours."
        return one("slope", where, "holds", "not required", sentence, clause=both, numbers=numbers,
                    checked=least_checked(where.checked, relief.checked), needs=tuple(needs))  # fmt: skip
    if facts.positive_drainage is None:
        sentence = f"{lead} It may stay if all water is gone in 48 hours; that was not read."
        state: State = "unknown"
        if _only_some(facts, slope, least):
            state = "engineer"
            sentence += " An engineer looks at the low places, wet and loaded."
        return one("slope", where, state, "required", sentence, clause=both, numbers=numbers,
                    needs=(*needs, NEED_DRAINAGE))  # fmt: skip
    sentence = f"{lead} Water stands on it, so the relief for existing roofs does not apply."
    return one(
        "slope", where, "short", "required", sentence, clause=both, numbers=numbers, needs=tuple(needs)
    )


def _slope_words(facts: CodeFacts, slope: float, limit: float) -> str:
    """The slope as stated and as read, with how many readings lie under a limit."""
    read = facts.slope_readings_in12
    if not read:
        return f"The slope is {slope:g}:12 as stated, with no reading"
    count = f"the lowest of {len(read)} readings" if len(read) > 1 else "the one reading"
    words = f"The slope is {slope:g}:12 as stated and {min(read):g}:12 at {count}"
    under = sum(more_than(limit, v) for v in read)
    return f"{words}, {under} of them under {limit:g}:12" if under else words


def _only_some(facts: CodeFacts, slope: float, limit: float) -> bool:
    """True where the stated slope reaches a limit and some readings do, but not all."""
    under = sum(more_than(limit, v) for v in facts.slope_readings_in12)
    return not more_than(limit, slope) and 0 < under < len(facts.slope_readings_in12)


def drainage_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Secondary drainage: none taken away, and whether any must be added."""
    assert facts.edition is not None
    where = edition(facts.edition).clause("secondary_drains")

    def out(state: State, asked: Asked, sentence: str, *needs: Need) -> tuple[RuleFinding, ...]:
        return one("drainage.secondary", where, state, asked, sentence, needs=needs)

    present, kept, trapped = facts.secondary_drains_present, facts.secondary_drains_kept, facts.water_trapped
    if present and kept is False:
        if facts.edition >= 2021:
            return out("short", "required", "Secondary drains are taken away. They stay, or are replaced.")
        sentence = (
            "Secondary drains are taken away. Later editions forbid it; ask the official, and keep them."
        )
        return out("engineer", "ask the official", sentence)
    if present and kept is None:
        need = Need("whether the secondary drains or scuppers stay", "the recover's details", "overflow")
        return out("unknown", "required", "Whether the secondary drains stay was not said.", need)
    if trapped is False:
        return out("holds", "not required", "No edge holds water back, so it runs off if a gutter stops up.")
    if present:
        return out("holds", "required", "The secondary drains stay.")
    if present is None:
        need = Need(
            "whether there are secondary drains or scuppers", "look at the parapets and drains", "overflow"
        )
        return out("unknown", "ask the official", "Secondary drains were not read.", need)
    if facts.edition >= 2015:
        if facts.positive_drainage:
            sentence = "No secondary drains need be added: the roof drains. Overflow is still good practice."
            return out("holds", "not required", sentence)
        if facts.positive_drainage is None:
            return out("unknown", "ask the official", "Whether the roof drains was not read.", NEED_DRAINAGE)
        return out("short", "required", "Water stands and there is no secondary drainage: it is added.")
    if trapped is None:
        need = Need(
            "whether parapets or raised edges would hold water", "look", "whether secondary drains are added"
        )
        return out("unknown", "ask the official", "Whether the edges hold water was not read.", need)
    return out(
        "short",
        "required",
        "The edges hold water and there is no secondary drainage; this edition asks for it.",
    )


def fire_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Fire class of the covering, and foam between the roofs."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    where, foam = ed.clause("fire_class"), ed.clause("foam")
    title = "Fire class, and foam between the roofs"
    clause = f"{where.text}; {foam.number}"
    checked = least_checked(where.checked, foam.checked)
    if facts.foam_in_cavity is None:
        need = Need(
            "whether board foam or wood goes between the roofs", "the recover's section", "the fire test"
        )
        sentence = "What fills the space between the roofs was not said."
        return one("fire", where, "unknown", "required", sentence, title=title, clause=clause, checked=checked,
                    needs=(need,))  # fmt: skip
    if not facts.foam_in_cavity and not (facts.old_covering or "").startswith("metal"):
        need = Need(
            "fire listing of the new roof over this old covering", "the panel's listings", "its fire class"
        )
        sentence = "The old covering is not metal, or was not read: the fire class needs a listing over it."
        return one(
            "fire", where, "unknown", "required", sentence,
            title=title, clause=clause, checked=checked, needs=(need,),
        )  # fmt: skip
    if not facts.foam_in_cavity and facts.foam_found is None:
        need = Need(
            "whether there are spacer blocks or boards under the old sheet, and of what",
            "look under the sheet at a purlin",
            "the fire class",
        )
        sentence = (
            "Steel over steel is class A without a test where nothing that burns lies between. Whether blocks or "
            "boards lie under the old sheet was not read."
        )
        return one("fire", where, "unknown", "required", sentence, title=title, clause=clause, checked=checked,
                    needs=(need,))  # fmt: skip
    if not facts.foam_in_cavity and facts.foam_found != "none":
        need = Need(
            "the official's answer on what burns in the old roof, or a fire listing of the new roof over it",
            "the building official; the panel's listings",
            "the fire class, and whether it may stay",
        )
        sentence = (
            f"The old roof has foam or wood in it: {facts.foam_found}. Steel over steel is class A without a test only "
            "where nothing that burns lies between; this lies under the old sheet, with the new roof over it. Ask the "
            "official whether it may stay. Keep sparks and hot work away from it."
        )
        return one("fire", where, "engineer", "ask the official", sentence, title=title, clause=clause,
                    checked=checked, needs=(need,))  # fmt: skip
    if not facts.foam_in_cavity:
        sentence = "Steel over steel with nothing that burns between is class A without a test."
        return one("fire", where, "holds", "required", sentence, title=title, clause=clause, checked=checked)
    if facts.fire_tested is None:
        need = Need(
            "fire test of this very assembly",
            "the board's and panel's listings",
            "whether the board may be used",
        )
        sentence = "Foam or wood between two metal skins needs a tested assembly. None was given."
        return one("fire", where, "unknown", "required", sentence, title=title, clause=clause, checked=checked,
                    needs=(need,))  # fmt: skip
    state: State = "holds" if facts.fire_tested else "short"
    sentence = "Foam or wood between two metal skins needs a tested assembly. " + (
        "There is one." if facts.fire_tested else "There is none: glass or stone wool instead."
    )
    return one("fire", where, state, "required", sentence, title=title, clause=clause, checked=checked)
