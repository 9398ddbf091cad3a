"""What a reroof permit sets off in wind and earthquake, and what it does not."""

from __future__ import annotations

from secondroof.rules.editions import edition
from secondroof.rules.facts import Asked, CodeFacts, Need, RuleFinding, State
from secondroof.rules.gravity import percent_increase
from secondroof.rules.parts import more_than, one

DIAPHRAGM_SHARE = 0.50
DIAPHRAGM_KEEP_SHARE = 0.75
PARAPET_SHARE = 0.25
PARAPET_CATEGORIES = ("D", "E", "F")
LATERAL_PERCENT = 10.0

NEED_METHOD = Need(
    "method of the existing-building code",
    "the owner chooses, with the engineer",
    "whether a lateral check is asked",
)


def diaphragm_speed(year: int) -> float:
    """Wind speed above which a stripped roof sets off the diaphragm check [mph].

    Over 115 mph to the 2018 edition (summary), over 130 mph from 2021 (from memory).

    Parameters
    ----------
    year : int
        Edition. [year]

    Returns
    -------
    float
        Basic (ultimate) wind speed. [mph]
    """
    return 115.0 if year < 2021 else 130.0


def new_cover_wind_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """The new covering and its attachment must hold current components-and-cladding wind."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    where, test = ed.clause("wind_cover"), ed.clause("wind_test")
    clause = f"{where.text}; {test.number}; ASCE {ed.asce7} chapter 30"
    lead = "The new roof and how it holds down must take the wind of the edition in force, zone by zone."
    if facts.new_cover_wind_shown is None:
        need = Need(
            "uplift test of the new panel at its support spacing, on this sub-framing; clip, screw and purlin steel",
            "the panel's tester (ASTM E1592); thickness and strength readings of the purlins",
            "whether the new roof stays on",
        )
        return one("wind.new_cover", where, "unknown", "required", f"{lead} Not shown here.", whose="new",
                    clause=clause, needs=(need,))  # fmt: skip
    if facts.new_cover_wind_shown:
        return one("wind.new_cover", where, "holds", "required", f"{lead} Shown.", whose="new", clause=clause)
    sentence = f"{lead} Somewhere it does not: more lines, more screws, or another panel."
    return one("wind.new_cover", where, "short", "required", sentence, whose="new", clause=clause)


def old_purlin_wind_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Old purlins in uplift: not asked to be proven by a recover, and worth knowing."""
    assert facts.edition is not None
    where = edition(facts.edition).clause("not_less_safe")
    sentence = (
        "A recover that takes nothing off does not ask the old purlins to be proven for today's uplift; it must not "
        "make the building less safe. Old purlins are often short of it with or without the new roof, and the new "
        "lines can bring edge loads where none were. An engineer should see the numbers."
    )
    asked: Asked = "not required"
    state: State = "engineer"
    if facts.share_removed is None:
        sentence += " How much of the old covering comes off was not said."
        state, asked = "unknown", "ask the official"
    elif more_than(facts.share_removed, DIAPHRAGM_SHARE):
        asked = "ask the official"
        sentence += " More than half of the covering comes off here: see the diaphragm rule."
    needs: tuple[Need, ...] = () if facts.share_removed is not None else (NEED_SHARE_REMOVED,)
    return one("wind.old_purlins", where, state, asked, sentence, whose="was so", needs=needs)


def diaphragm_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Roof stripped over more than half, in high wind: the diaphragm is evaluated."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    limit = diaphragm_speed(facts.edition)
    method = "prescriptive" if facts.method == "prescriptive" else "level_1"
    where = ed.clause(f"diaphragm_{method}")
    numbers: dict[str, tuple[float, str]] = {
        "share that sets it off, more than": (DIAPHRAGM_SHARE, "-"),
        "wind speed that sets it off, more than": (limit, "mph"),
    }
    if facts.share_removed is not None:
        numbers["share taken off"] = (facts.share_removed, "-")
    if facts.V_mph is not None:
        numbers["V"] = (facts.V_mph, "mph")

    def out(
        state: State, asked: Asked, sentence: str, needs: tuple[Need, ...] = ()
    ) -> tuple[RuleFinding, ...]:
        return one(
            "diaphragm.reroof", where, state, asked, sentence, whose="was so", numbers=numbers, needs=needs
        )

    share, speed, special = facts.share_removed, facts.V_mph, facts.special_wind_region
    if method == "prescriptive" and facts.edition == 2012:
        return out("holds", "not required", "The prescriptive method of this edition has no such clause.")
    if share is not None and not more_than(share, DIAPHRAGM_SHARE):
        if share == 0:
            return out(
                "holds", "not required", "Nothing is taken off, so the diaphragm check is not set off."
            )
        sentence = f"{100 * share:.0f} percent is taken off; the check is set off by more than 50 percent."
        return out("holds", "not required", sentence)
    fast = None if speed is None else more_than(speed, limit)
    windy = True if special or fast else (False if fast is False and special is False else None)
    if windy is False:
        sentence = f"{speed:g} mph is not more than {limit:g} mph and this is no special wind region."
        return out("holds", "not required", sentence)
    if share is None or windy is None:
        needs = [] if share is not None else [NEED_SHARE_REMOVED]
        if speed is None and not special:
            needs.append(
                Need("basic wind speed", "the official's wind map", "whether the diaphragm is evaluated")
            )
        if special is None and not fast:
            needs.append(
                Need(
                    "whether it is a special wind region",
                    "the official",
                    "whether the diaphragm is evaluated",
                )
            )
        return out(
            "unknown",
            "ask the official",
            "Whether the diaphragm check is set off is not known.",
            tuple(needs),
        )
    if facts.edition >= 2021 and facts.designed_to_asce7_88:
        return out(
            "holds", "not required", "The building was shown to meet the wind loads of ASCE 7-88 or later."
        )
    have = facts.diaphragm_capacity_share
    lead = (
        "More than half of the roof comes off in high wind: diaphragm, its connections and the roof-to-wall "
    )
    lead += "connections are evaluated by an engineer, uplift included."
    if have is None:
        found: tuple[Need, ...] = ()
        if facts.edition >= 2021 and facts.designed_to_asce7_88 is None:
            found = (Need("whether the building meets ASCE 7-88 or later", "the old drawings, an engineer",
                          "an exception to the diaphragm check"),)  # fmt: skip
        return out("engineer", "required", f"{lead} That evaluation was not given.", found)
    numbers["capacity over new-building wind"] = (have, "-")
    numbers["least share kept"] = (DIAPHRAGM_KEEP_SHARE, "-")
    if more_than(DIAPHRAGM_KEEP_SHARE, have):
        numbers["strengthen to share of new-building wind"] = (strengthen_to(have), "-")
        return out(
            "short",
            "required",
            f"{lead} It has {100 * have:.0f} percent; under 75 it is strengthened to the full.",
        )
    return out("holds", "required", f"{lead} It has {100 * have:.0f} percent, not under 75, and may stay.")


def strengthen_to(capacity_share: float) -> float:
    """Share of new-building wind a diaphragm is strengthened to [-]; 0 where it may stay.

    Under 75 percent it is replaced or strengthened to the full loads (two summaries of the 2015 text).

    Parameters
    ----------
    capacity_share : float
        Capacity over the wind loads of a new building. [-]
    """
    return 1.0 if more_than(DIAPHRAGM_KEEP_SHARE, capacity_share) else 0.0


def old_sheet_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """The old sheet as diaphragm, and as brace of purlins: leave it fastened."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    where = ed.clause("not_less_safe")
    keep = "Leave the old sheet fastened; never cut whole strips out of it without a check."
    if facts.strips_cut:
        sentence = (
            "Whole strips of the old sheet are cut or unfastened. It may be what holds the building square in the "
            "roof's plane, and it may hold the purlins' top flange sideways: an engineer checks both first."
        )
        return one("diaphragm.old_sheet", where, "engineer", "required", sentence, whose="made worse")
    if facts.strips_cut is None:
        need = Need("whether whole strips of the old sheet are cut or unfastened", "the recover's details",
                    "whether the old sheet still braces")  # fmt: skip
        sentence = f"Whether the old sheet stays whole was not said. {keep}"
        return one(
            "diaphragm.old_sheet",
            where,
            "unknown",
            "ask the official",
            sentence,
            whose="was so",
            needs=(need,),
        )
    if facts.old_sheet_is_diaphragm is None:
        need = Need("whether roof rods or the sheet brace the building in the roof's plane",
                    "look for rods in the roof bays; drawings", "how the old sheet is treated")  # fmt: skip
        sentence = (
            "Whether the old sheet or roof rods hold the building square in the roof's plane was not read; how the "
            f"sheet holds the flange of each purlin is another matter, told with the purlins. It stays whole. {keep}"
        )
        return one(
            "diaphragm.old_sheet", where, "unknown", "not required", sentence, whose="was so", needs=(need,)
        )
    what = (
        "braces the building in the roof's plane"
        if facts.old_sheet_is_diaphragm == "yes"
        else "does not brace the building in the roof's plane, rods do"
    )
    sentence = f"The old sheet {what}, and stays whole. {keep}"
    return one("diaphragm.old_sheet", where, "holds", "not required", sentence, whose="was so")


def parapet_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Unreinforced masonry parapets are braced on a large reroof in high seismic categories."""
    assert facts.edition is not None
    where = edition(facts.edition).clause("parapets")
    share, category, urm = facts.share_reroofed, facts.seismic_design_category, facts.urm_parapets
    numbers: dict[str, tuple[float, str]] = {"share that sets it off, more than": (PARAPET_SHARE, "-")}
    if share is not None:
        numbers["share reroofed"] = (share, "-")

    def out(
        state: State, asked: Asked, sentence: str, needs: tuple[Need, ...] = ()
    ) -> tuple[RuleFinding, ...]:
        return one(
            "seismic.parapets", where, state, asked, sentence, whose="was so", numbers=numbers, needs=needs
        )

    if urm is False:
        return out("holds", "not required", "There are no unreinforced masonry parapets.")
    if category is not None and category not in PARAPET_CATEGORIES:
        return out(
            "holds", "not required", f"Seismic design category {category} does not set it off; D, E and F do."
        )
    if share is not None and not more_than(share, PARAPET_SHARE):
        return out(
            "holds", "not required", f"{100 * share:.0f} percent is reroofed; more than 25 sets it off."
        )
    needs = []
    if urm is None:
        needs.append(
            Need("whether there are unreinforced masonry parapets", "look; ask for drawings", "bracing")
        )
    if category is None:
        needs.append(
            Need("seismic design category", "the official, or the site's seismic data", "parapet bracing")
        )
    if share is None:
        needs.append(Need("share of the roof area reroofed", "the plan", "parapet bracing"))
    if needs:
        return out(
            "unknown", "ask the official", "Whether parapets must be braced is not known.", tuple(needs)
        )
    return out("engineer", "required", "Brace the parapets, unless an evaluation shows them good.")


def lateral_rule(facts: CodeFacts) -> tuple[RuleFinding, ...]:
    """Added weight and the lateral system: it depends on the method chosen."""
    assert facts.edition is not None
    ed = edition(facts.edition)
    rise = facts.lateral_dcr_increase_pct
    numbers: dict[str, tuple[float, str]] = {}
    weight = ""
    if facts.seismic_weight_psf and facts.added_dead_psf is not None:
        old, new = facts.seismic_weight_psf, facts.seismic_weight_psf + facts.added_dead_psf
        pct = float(percent_increase(old, new))
        numbers = {
            "seismic weight before": (old, "psf"),
            "seismic weight after": (new, "psf"),
            "increase": (pct, "%"),
        }
        weight = f" Seismic weight goes from {old:.1f} to {new:.1f} psf, {pct:+.0f} percent."
    if rise is not None:
        numbers["rise of demand over capacity"] = (rise, "%")
        numbers["limit"] = (LATERAL_PERCENT, "%")
    if facts.method == "level 1":
        where = ed.clause("not_less_safe")
        only = ed.clause("parapets").number.rpartition(".")[0]
        clause = f"IEBC {facts.edition} chapter 7 (no lateral clause for added weight; {only} only)"
        sentence = f"Level 1 asks no lateral check for added weight.{weight}"
        # that chapter 7 has no such clause is from memory
        return one(
            "seismic.lateral", where, "holds", "not required", sentence,
            whose="made worse", title="Lateral load", clause=clause, checked="from memory", numbers=numbers,
        )  # fmt: skip
    where = ed.clause("lateral_level_2" if facts.method == "level 2" else "lateral_prescriptive")

    def out(
        state: State, asked: Asked, sentence: str, needs: tuple[Need, ...] = ()
    ) -> tuple[RuleFinding, ...]:
        return one("seismic.lateral", where, state, asked, sentence + weight, whose="made worse",
                    clause=f"{where.text} exception", numbers=numbers, needs=needs)  # fmt: skip

    if rise is not None and not more_than(rise, LATERAL_PERCENT):
        return out("holds", "not required", f"No lateral element rises by more than 10 percent ({rise:.1f}).")
    if facts.method is None:
        sentence = "The prescriptive method has a lateral check, level 1 has none; the method was not said."
        return out("unknown", "ask the official", sentence, (NEED_METHOD,))
    if rise is None:
        need = Need("demand over capacity of the lateral elements with and without all past work", "an engineer",
                    "whether they must meet today's wind and earthquake")  # fmt: skip
        return out(
            "unknown",
            "ask the official",
            "How much the lateral elements are loaded more is not known.",
            (need,),
        )
    return out(
        "engineer", "required", f"A lateral element rises by {rise:.1f} percent, more than 10: it is checked."
    )


NEED_SHARE_REMOVED = Need(
    "share of the old covering taken off", "the recover's scope", "whether the diaphragm check is set off"
)
