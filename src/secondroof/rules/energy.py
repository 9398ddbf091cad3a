"""The energy path of a recover, and the roof cells of the energy code."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from secondroof.errors import InputError, NotFoundError, Problem
from secondroof.rules.editions import Checked, edition, read_data
from secondroof.rules.facts import CodeFacts, Need, RuleFinding
from secondroof.rules.parts import one


@dataclass(frozen=True, slots=True)
class RoofU:
    """One cell of the energy code's roof table.

    Attributes
    ----------
    table, zone : str, int
        Assembly and climate zone.
    R_method : str
        Insulation of the R path.
    U_other, U_group_r : float
        Largest U, all other buildings and Group R. [Btu/(h ft2 F)]
    source : str
        Table and edition.
    checked : {'seen', 'summary', 'from memory'}
        How it was checked.
    """

    table: str
    zone: int
    R_method: str
    U_other: float
    U_group_r: float
    source: str
    checked: Checked


@functools.cache
def _roof_tables() -> tuple[Mapping[str, Any], ...]:
    return tuple(read_data("iecc_roofs.toml")["table"])


def zone_number(zone: int | str) -> int:
    """Climate zone number of ``4A``, ``4`` or 4.

    Raises
    ------
    InputError
        Where it is not 0 to 8 with or without A, B or C.
    """
    found = re.fullmatch(r"\s*([0-8])\s*([ABC])?\s*", str(zone).upper())
    if not found:
        raise InputError(
            Problem("climate_zone", str(zone), "A climate zone is 0 to 8, with A, B or C.", "Write it as 4A.")
        )
    return int(found.group(1))


def roof_u(year: int, zone: int | str, table: str = "metal building roof") -> RoofU:
    """Largest roof U of the energy code, by edition and climate zone.

    Parameters
    ----------
    year : int
        Edition of the IECC. [year]
    zone : int or str
        Climate zone, e.g. ``4A``.
    table : str
        ``metal building roof`` or ``insulation entirely above deck``.

    Returns
    -------
    RoofU
        The cell. [Btu/(h ft2 F)]

    Raises
    ------
    NotFoundError
        Where that cell is not kept.
    """
    number = zone_number(zone)
    for t in _roof_tables():
        if t["name"] == table and year in t["years"]:
            for row in t["rows"]:
                if number in row["zones"]:
                    return RoofU(
                        table, number, row["R_method"], row["U_other"], row["U_group_r"],
                        f"IECC {year} Tables C402.1.3 and C402.1.4", t["checked"],
                    )  # fmt: skip
    raise NotFoundError(
        f"no roof U kept for {table!r}, IECC {year}, zone {zone}; read it in the code in force"
    )


def energy_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Must insulation be added? A recover is exempt; opened insulation is a question."""
    return (_upgrade(facts), *_opened(facts))


def _upgrade(facts: CodeFacts) -> RuleFinding:
    assert facts.edition is not None
    ed = edition(facts.edition)
    title = "Energy: insulation to be added"
    vented = (
        " With a vented cavity it is no longer a metal building roof as ASHRAE 90.1 defines one; its table values stop "
        "applying."
        if facts.cavity_vented
        else ""
    )
    key = "energy.upgrade"
    if facts.action == "recover":
        where = ed.clause("energy_recover")
        if facts.part_of_envelope is False:
            sentence = "The roof encloses no heated or cooled space, so the energy code asks nothing of it."
        elif facts.edition == 2012 and facts.cavity_opened is not False:
            sentence = (
                "This edition excuses reroofing that exposes neither deck nor insulation; see what is opened."
            )
            return one(key, where, "unknown" if facts.cavity_opened is None else "engineer", "ask the official",
                        sentence + vented, title=title)[0]  # fmt: skip
        else:
            sentence = (
                f"A recover is excused from adding insulation, as long as energy use does not rise.{vented}"
            )
        return one(key, where, "holds", "not required", sentence, title=title)[0]
    where = ed.clause("energy_replacement")
    needs: list[Need] = []
    if facts.part_of_envelope is False or facts.insulation in ("draped below deck", "none"):
        sentence = (
            "The roof encloses no heated or cooled space."
            if facts.part_of_envelope is False
            else "The clause for replacement is about insulation entirely above the deck; there is none here. What is "
            "opened still falls under the general rule for alterations."
        )
        return one(key, where, "holds", "not required", sentence + vented, title=title)[0]
    if facts.insulation is None:
        needs.append(
            Need("where the old insulation is", "open an edge and look", "whether insulation must be added")
        )
    if facts.part_of_envelope is None:
        needs.append(
            Need("whether the space below is heated or cooled", "ask the owner", "if the energy code speaks")
        )
    if needs:
        sentence = "Whether the replacement sets off the insulation rule is not known."
        return one(key, where, "unknown", "ask the official", sentence, title=title, needs=tuple(needs))[0]
    numbers: dict[str, tuple[float, str]] = {}
    sentence = "Insulation entirely above the deck is brought to today's values with the replacement."
    if facts.climate_zone is not None:
        try:
            cell = roof_u(facts.edition, facts.climate_zone, "insulation entirely above deck")
        except NotFoundError:
            sentence += " The value is in the code in force; it is not kept here."
        else:
            u = cell.U_group_r if facts.group_r else cell.U_other
            numbers["largest U"] = (u, "Btu/(h ft2 F)")
            sentence += f" Largest U {u:.3f}, {cell.R_method}, zone {facts.climate_zone} ({cell.checked})."
    need = Need("U of the new assembly", "a heat calculation, bridges in", "whether it meets the table")
    return one(key, where, "unknown", "required", sentence, title=title, numbers=numbers, needs=(need,))[0]


def _opened(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    assert facts.edition is not None
    where = edition(facts.edition).clause("energy_general")
    title, key = "Energy: insulation opened by the work", "energy.opened"
    if facts.part_of_envelope is False or facts.insulation == "none":
        return one(key, where, "holds", "not required", "There is no insulation to open.", title=title)
    if facts.cavity_opened is False and facts.action == "recover":
        return one(key, where, "holds", "not required", "The work opens no insulated space.", title=title)
    if facts.cavity_opened is None and facts.action == "recover":
        need = Need(
            "whether the work opens the old insulation from above", "the recover's scope", "the general rule"
        )
        return one(key, where, "unknown", "ask the official", "Whether insulation is opened was not said.",
                    title=title, needs=(need,))  # fmt: skip
    sentence = (
        "The blanket is opened from above. Whether the general rule for alterations then asks for more insulation is "
        "read both ways: ask the building official, in writing."
    )
    need = Need(
        "the official's reading on a blanket opened from above", "the building official", "added insulation"
    )
    return one(key, where, "engineer", "ask the official", sentence, title=title, needs=(need,))
