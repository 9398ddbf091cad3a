"""Is a recover allowed at all, and may the roof carry the work itself?

Two readings
------------
IBC 2012 prints the complete and separate system as an exception to the three bans, so it wins over
them. From 2015 it is an item of the permitted list, and the bans stand in their own sub-clause
without an escape. A separate system over two layers, or over a soaked or decayed roof, is then a
question for the building official, not a yes or a no.
"""

from __future__ import annotations

from secondroof.rules.editions import Checked, edition, least_checked
from secondroof.rules.facts import Asked, CodeFacts, Need, RuleFinding, State
from secondroof.rules.parts import NEED_COATING, NEED_COATING_COUNTS, NEED_LAYERS, one

BANNED_COVERINGS = ("slate", "clay tile", "cement tile", "concrete tile", "asbestos-cement tile")
"""Old coverings no recover may go over, all editions (2012 names wood shake too)."""

WET_SHARE = 0.25
"""Wet share above which a tear-off is often the better job (common practice, no source)."""

NEED_SEPARATE = Need(
    "whether the new roof carries straight to the structure and does not lean on the old roof",
    "the sub-framing details: does a foot rest on the old sheet, or a bracket on the purlin",
    "whether the separate-system clause can be used",
)


def recover_allowed_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Is a recover allowed, banned, or a question for the official?"""
    assert facts.edition is not None
    ed = edition(facts.edition)
    permitted, separate = ed.clause("recover_permitted"), ed.clause("recover_separate")
    ban = ed.clause("recover_banned")
    title = "Recover allowed or not"
    numbers: dict[str, tuple[float, str]] = {}
    if facts.layers is not None:
        numbers["layers now"] = (facts.layers, "-")
    if facts.soaked_share is not None:
        numbers["soaked share"] = (facts.soaked_share, "-")

    def finding(
        state: State, asked: Asked, clause: str, checked: Checked, sentence: str, needs: tuple[Need, ...] = ()
    ) -> tuple[RuleFinding, ...]:
        return one(
            "recover.allowed", ban, state, asked, sentence,
            title=title, clause=clause, checked=checked, numbers=numbers, needs=needs,
        )  # fmt: skip

    if facts.action == "replacement":
        sentence = "The old covering comes off, so the bans on a recover do not speak here."
        return finding(
            "holds", "not required", ed.clause("reroofing").text, ed.clause("reroofing").checked, sentence
        )

    bans, needs = _bans(facts)
    asks = _coating_question(facts)
    if bans and facts.separate_system is None:
        needs = (*needs, NEED_SEPARATE)
    items = ", ".join(f"item {i}" for i, _ in bans)
    reasons = " ".join(why for _, why in bans)
    both = least_checked(separate.checked, ban.checked)
    if facts.separate_system and facts.edition == 2012:
        why = "A complete and separate system that carries straight to the structure is allowed over any old roof."
        sentence = f"{why} {reasons} The purlins still need their own check.".replace("  ", " ")
        return finding("holds", "required", separate.text, separate.checked, sentence)
    if bans and facts.separate_system:
        sentence = (
            f"{reasons} The new roof does not lean on the old one, which the code allows in one clause; the ban in the "
            "other is printed without that escape. Ask the building official, in writing."
        )
        return finding(
            "engineer", "ask the official", f"{separate.text} against {ban.number} {items}", both, sentence
        )
    if bans:
        clause = f"{ban.text} {items}"
        sentence = f"A recover is not allowed. {reasons}"
        if facts.separate_system is None:
            sentence += (
                " A system that carries straight to the structure may be: whether this one does was not said."
            )
        return finding("short", "required", clause, ban.checked, sentence, needs)
    if facts.old_covering == "wood shake":
        shake = ed.clause("recover_wood_shake")
        need = Need(
            "how the space over the shakes is treated against fire", "the details", "if it is allowed"
        )
        sentence = "Metal may go over wood shake where the hidden space is treated against fire."
        return finding("unknown", "required", shake.text, shake.checked, sentence, (need, *needs))
    if needs:
        sentence = "Whether a recover is allowed is not known; part of the old roof was not read."
        return finding("unknown", "ask the official", ban.text, ban.checked, sentence, needs)
    if asks:
        sentence = (
            f"The old covering is coated ({facts.coating}). If that counts as a layer there are two, and a plain "
            "recover is banned. Ask the building official, and record the answer."
        )
        return finding("engineer", "ask the official", f"{ban.text} item 3", ban.checked, sentence, asks)
    wet = ""
    if facts.soaked_share:
        wet = f" The soaked part, {100 * facts.soaked_share:.0f} percent, is taken out first; hold the work there."
        if facts.soaked_share > WET_SHARE:
            wet += " With so much wet a tear-off is often the better job (common practice, no source)."
    if facts.separate_system:
        sentence = f"Allowed: a complete and separate system that carries straight to the structure.{wet}"
        return finding(
            "holds", "required", separate.text, least_checked(separate.checked, ban.checked), sentence
        )
    sentence = f"Allowed over one sound layer, to the instructions of the new panel's maker.{wet}"
    return finding(
        "holds", "required", permitted.text, least_checked(permitted.checked, ban.checked), sentence
    )


def _bans(facts: CodeFacts) -> tuple[tuple[tuple[int, str], ...], tuple[Need, ...]]:
    bans: list[tuple[int, str]] = []
    needs: list[Need] = []
    if facts.decayed_base:
        bans.append((1, "The old roof has decayed so far that it is no base."))
    elif facts.decayed_base is None:
        needs.append(
            Need("whether the old roof is sound enough to build on", "walk and probe it", "if it is allowed")
        )
    if facts.soaked_share is None:
        needs.append(
            Need(
                "how much of the old roof is soaked", "weigh the blanket; moisture meter", "if it is allowed"
            )
        )
    elif facts.soaked_share > 0 and not facts.soaked_removed:
        if not facts.decayed_base:
            bans.append(
                (1, f"{100 * facts.soaked_share:.0f} percent is soaked and stays in: take it out or dry it.")
            )
    if facts.old_covering in (None, "other"):
        needs.append(Need("kind of the old covering", "look at it", "if it is allowed"))
    elif facts.old_covering in BANNED_COVERINGS:
        bans.append((2, f"No recover goes over {facts.old_covering}."))
    layers = facts.layers
    if layers is None:
        needs.append(NEED_LAYERS)
    else:
        if layers == 1 and facts.coating not in (None, "none") and facts.coating_counts:
            layers = 2
        if layers >= 2:
            bans.append((3, f"There are {layers} layers already."))
    if layers == 1 and facts.coating is None:
        needs.append(NEED_COATING)
    return tuple(bans), tuple(needs)


def _coating_question(facts: CodeFacts) -> tuple[Need, ...]:
    if facts.layers == 1 and facts.coating not in (None, "none") and facts.coating_counts is None:
        return (NEED_COATING_COUNTS,)
    return ()


def construction_loads_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """The roof must carry the new covering and the material and equipment met during the work."""
    assert facts.edition is not None
    where = edition(facts.edition).clause("construction_loads")
    lead = "The roof must carry the new covering, and the bundles, machines and crew while the work goes on."
    state: State
    needs: tuple[Need, ...] = ()
    if facts.construction_loads_shown is None and facts.bundle:
        state = "unknown"
        tail = (
            f"The bundle is a load case of this roof: {facts.bundle} Its effect on each purlin stands with the old "
            "steel; machines, crew and further bundles beside it were not given."
        )
        needs = (
            Need("machines, crew, and bundles beside the one given", "the erector's lifting plan; the crew layout",
                 "whether the roof carries the work; no snow or live reduction taken"),
        )  # fmt: skip
    elif facts.construction_loads_shown is None:
        state, tail = "unknown", "That was not shown."
        needs = (
            Need("bundle weights and landing places, machines and crew", "the panel shop; the crew layout",
                 "where a bundle may land: over frames, spread, no snow or live reduction taken"),
        )  # fmt: skip
    elif facts.construction_loads_shown:
        state, tail = "holds", "It was shown to."
    else:
        state, tail = "short", "It does not, as planned: smaller bundles, other landing places, or shoring."
    return one(
        "construction_loads", where, state, "required", f"{lead} {tail}", whose="made worse", needs=needs
    )
