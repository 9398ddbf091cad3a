"""The code path of a recover, walked in the order a permit memo walks it.

1 edition and method; 2 layers and condition; 3 the work's own loads; 4 gravity; 5 snow and neighbours;
6 wind; 7 diaphragm; 8 energy; 9 fire; 10 slope and drainage; 11 seismic; 12 insurer; 13 coastal
certificate and asbestos.

Where the edition was not given, a rule is walked in every edition kept. Where all agree that answer
stands; where they differ it is *unknown*, and says how.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from secondroof.rules.allowed import construction_loads_rule, recover_allowed_rule
from secondroof.rules.editions import edition, editions
from secondroof.rules.energy import energy_rule
from secondroof.rules.envelope import drainage_rule, fire_rule, slope_rule
from secondroof.rules.facts import CodeFacts, Need, RuleFinding
from secondroof.rules.gravity import five_percent_rule, second_layer_rule, snow_rule
from secondroof.rules.outside import asbestos_rule, coastal_rule, insurer_rule, neighbour_snow_rule
from secondroof.rules.permits import (
    NEED_METHOD,
    diaphragm_rule,
    lateral_rule,
    new_cover_wind_rule,
    old_purlin_wind_rule,
    old_sheet_rule,
    parapet_rule,
)

Rule = Callable[[CodeFacts], tuple[RuleFinding, ...]]

NEED_EDITION = Need(
    "code edition in force, with state and local amendments",
    "the building official; the state's adoption page",
    "every clause below",
)

RULES: tuple[Rule, ...] = (
    recover_allowed_rule,
    construction_loads_rule,
    second_layer_rule,
    five_percent_rule,
    snow_rule,
    neighbour_snow_rule,
    new_cover_wind_rule,
    old_purlin_wind_rule,
    diaphragm_rule,
    old_sheet_rule,
    energy_rule,
    fire_rule,
    slope_rule,
    drainage_rule,
    lateral_rule,
    parapet_rule,
    insurer_rule,
    coastal_rule,
    asbestos_rule,
)
"""The rules, in the order of the permit memo."""


def code_path(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Walk the existing-building code path of a roof recover.

    Parameters
    ----------
    facts : CodeFacts
        What is known; ``None`` is not read.

    Returns
    -------
    tuple of RuleFinding
        In the order of the permit memo; the same facts give the same findings.
    """
    found = [edition_finding(facts), method_finding(facts)]
    for rule in RULES:
        found.extend(rule(facts) if facts.edition is not None else _in_every_edition(rule, facts))
    return tuple(found)


def edition_finding(facts: CodeFacts) -> RuleFinding:
    """Which edition the walk follows."""
    title = "Code edition"
    if facts.edition is None:
        sentence = "The code edition was not given. Rules are told where every edition kept agrees, and left open else."
        return RuleFinding("edition", title, "IBC and IEBC, edition not given", "seen", "unknown", "ask the official",
                           "new", sentence, needs=(NEED_EDITION,))  # fmt: skip
    ed = edition(facts.edition)
    sentence = (
        f"IBC and IEBC {ed.year}, which name ASCE {ed.asce7}; energy by {ed.iecc} or ASHRAE {ed.ashrae_901}. "
        "Follow one book as a whole; state and local amendments win."
    )
    where = ed.clause("reroofing")
    return RuleFinding("edition", title, where.text, where.checked, "holds", "required", "new", sentence)


def method_finding(facts: CodeFacts) -> RuleFinding:
    """Which method of the existing-building code the walk follows."""
    clause = edition(facts.edition).clause("method").text if facts.edition else "IEBC, edition not given"
    words = {"level 1": "work area method, alteration level 1", "level 2": "work area method, alteration level 2",
             "prescriptive": "prescriptive method", None: ""}[facts.method]  # fmt: skip
    if facts.method is None:
        sentence = (
            "The method was not said. A recover is normally alteration level 1, which has no lateral check for added "
            "weight; the prescriptive method has one."
        )
        return RuleFinding("method", "Method", clause, "from memory", "unknown", "ask the official", "new", sentence,
                           needs=(NEED_METHOD,))  # fmt: skip
    return RuleFinding("method", "Method", clause, "from memory", "holds", "required", "new",
                       f"The walk follows the {words}, and no other.")  # fmt: skip


def _in_every_edition(rule: Rule, facts: CodeFacts) -> tuple[RuleFinding, ...]:
    walks = {year: rule(replace(facts, edition=year)) for year in editions()}
    keys: list[str] = []
    for walk in walks.values():
        keys.extend(f.key for f in walk if f.key not in keys)
    return tuple(
        _agreed(key, {y: f for y, walk in walks.items() for f in walk if f.key == key}) for key in keys
    )


def _agreed(key: str, by_year: dict[int, RuleFinding]) -> RuleFinding:
    last = by_year[max(by_year)]
    clauses = "; ".join(dict.fromkeys(f.clause for f in by_year.values()))
    needs = tuple(dict.fromkeys(n for f in by_year.values() for n in f.needs))
    if len({(f.state, f.asked) for f in by_year.values()}) == 1:
        return replace(last, clause=clauses, clause_checked="from memory", needs=(*needs, NEED_EDITION))
    said = ", ".join(f"{year} {f.asked}, {f.state}" for year, f in by_year.items())
    sentence = f"The editions differ, and which is in force was not given: {said}."
    return replace(last, clause=clauses, clause_checked="from memory", state="unknown", asked="ask the official",
                   sentence=sentence, needs=(NEED_EDITION, *needs))  # fmt: skip
