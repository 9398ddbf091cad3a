"""What else stands around a recover: neighbours, asbestos, coastal certificates, the insurer."""

from __future__ import annotations

from secondroof.rules.editions import Clause, edition
from secondroof.rules.facts import CodeFacts, Need, RuleFinding
from secondroof.rules.parts import one


def neighbour_snow_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Roofs beside or below that get more drift or sliding snow from the new roof."""
    assert facts.edition is not None
    where = edition(facts.edition).clause("existing_snow")
    key = "snow.neighbours"
    after = facts.snow_after_psf if facts.snow_after_psf is not None else facts.snow_before_psf
    if after == 0:
        return one(key, where, "holds", "not required", "No snow is designed for here.")
    if facts.lower_roof_near is None:
        need = Need(
            "whether a lower or higher roof stands near",
            "look; heights and distance",
            "drift and sliding snow",
        )
        sentence = "Whether a roof stands below or beside this one was not read."
        return one(key, where, "unknown", "ask the official", sentence, needs=(need,))
    if not facts.lower_roof_near:
        sentence = "No lower or higher roof stands near enough to get more snow, or give it."
        return one(key, where, "holds", "not required", sentence)
    sentence = (
        "A new metal roof is slippery and stands higher: a roof below can get more drift and sliding snow, and "
        "this one more drift from a roof above. Existing roofs that get more are evaluated for it."
    )
    return one(key, where, "engineer", "required", sentence, whose="made worse")


ASBESTOS = Clause("asbestos", "Asbestos", "40 CFR", "61.145; 29 CFR 1926.1101", "from memory")
COASTAL = Clause(
    "coastal", "Coastal windstorm certificate", "state programme", "(as described in the trade)", "summary"
)
INSURER = Clause("insurer", "Owner's insurer", "the owner's policy,", "not the code", "from memory")


def asbestos_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Asbestos is looked for before the first drill hole."""
    if facts.suspect_asbestos is False:
        sentence = "A survey found no asbestos in the work's way."
        return one("asbestos", ASBESTOS, "holds", "required", sentence, whose="was so")
    sentence = (
        "Suspect material is in the work's way: no hole is drilled before a laboratory has seen it."
        if facts.suspect_asbestos
        else "Asbestos was not looked for. It is, before any work: coatings, mastics, soffits, cement sheet."
    )
    need = Need(
        "asbestos test of coatings, mastics, sealants and cement sheet",
        "an accredited inspector and laboratory",
        "whether, and how, the old roof may be drilled",
    )
    return one("asbestos", ASBESTOS, "unknown", "required", sentence, whose="was so", needs=(need,))


def coastal_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Coastal windstorm certificate programmes: an engineer signs, and looks before covering."""
    key = "coastal_certificate"
    if facts.coastal_certificate is None:
        need = Need(
            "whether a coastal windstorm certificate is asked",
            "the official, the owner's insurer",
            "hold points before covering",
        )
        sentence = "Whether a coastal certificate applies was not asked."
        return one(key, COASTAL, "unknown", "ask the official", sentence, needs=(need,))
    if not facts.coastal_certificate:
        return one(key, COASTAL, "holds", "not required", "No coastal certificate applies.")
    sentence = (
        "An engineer signs for the wind design and inspects during the work. Hold the work at the sub-framing, "
        "before anything is covered, until the engineer has seen it."
    )
    return one(key, COASTAL, "engineer", "required", sentence)


def insurer_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """The owner's insurer may ask more than the code."""
    key, factor = "insurer", facts.insurer_factor
    if factor is None and facts.insurer_asks is False:
        return one(key, INSURER, "holds", "not required", "The insurer asks nothing beyond the code.")
    if factor is None:
        need = Need(
            "what the owner's insurer asks: factor, clip spacing, listed assembly",
            "the owner, in writing",
            "panel, clips and line spacing",
        )
        sentence = "What the insurer asks is not known."
        if facts.insurer_asks:
            sentence = "The insurer asks more than the code; how much was not given."
        return one(key, INSURER, "unknown", "not required", sentence, needs=(need,))
    numbers = {"factor asked on wind": (factor, "-")}
    lead = f"The insurer asks a factor of {factor:g} on wind; the code does not."
    if facts.insurer_shown is None:
        need = Need(
            f"hold-down shown with a factor of {factor:g}",
            "the hold-down checks and the panel test",
            "whether the owner stays insured",
        )
        return one(
            key, INSURER, "unknown", "not required", f"{lead} Not shown here.", numbers=numbers, needs=(need,)
        )
    if facts.insurer_shown:
        return one(key, INSURER, "holds", "not required", f"{lead} Shown.", numbers=numbers)
    sentence = f"{lead} It is not reached somewhere: more lines or another panel, or ask the insurer."
    return one(key, INSURER, "short", "not required", sentence, numbers=numbers)
