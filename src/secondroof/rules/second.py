"""The exception for a second covering of 3 psf or less over a single layer.

What the 3 psf weighs is the trap: the words speak of the covering. From 2018 the whole rise of dead
load must be due to it (2021: attributable), so sub-framing and insulation break the exception read
strictly. Both weights are always printed, and an official's recorded answer is followed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from secondroof.rules.facts import TOLERANCE, CodeFacts, Need
from secondroof.rules.parts import (
    NEED_COATING,
    NEED_COATING_COUNTS,
    NEED_FRAMING_COUNTS,
    NEED_LAYERS,
    NEED_WEIGHT,
    more_than,
)

SECOND_LAYER_PSF = 3.0


@dataclass(frozen=True, slots=True)
class SecondLayer:
    """Whether the exception for a light second covering excuses this recover."""

    excuses: Literal["yes", "no", "ask", "unknown"]
    why: str
    numbers: dict[str, tuple[float, str]]
    needs: tuple[Need, ...] = ()


def second_layer(facts: CodeFacts) -> SecondLayer:
    """Judge the exception for a second covering of 3 psf or less over a single layer.

    Parameters
    ----------
    facts : CodeFacts
        ``edition`` must be given.
    """
    total, covering, coating = facts.added_dead_psf, facts.added_covering_psf, facts.coating
    numbers: dict[str, tuple[float, str]] = {"limit for a second covering": (SECOND_LAYER_PSF, "psf")}
    if covering is not None:
        numbers["covering alone"] = (covering, "psf")
    if total is not None:
        numbers["everything added"] = (total, "psf")
    if covering is not None and total is not None:
        numbers["framing and insulation"] = (total - covering, "psf")
    if facts.layers is not None and facts.layers != 1:
        return SecondLayer("no", f"The exception needs one layer; there are {facts.layers}.", numbers)
    if coating not in (None, "none") and facts.coating_counts is True:
        return SecondLayer("no", "The official counts the coating as a layer, so there are two.", numbers)
    if covering is not None and more_than(covering, SECOND_LAYER_PSF):
        return SecondLayer("no", f"The covering alone is {covering:.2f} psf, more than 3.", numbers)
    weighed = None if covering is None or total is None else _weighed(facts, covering, total, numbers)
    if weighed is not None and weighed.excuses == "no":
        return weighed
    needs = []
    if facts.layers is None:
        needs.append(NEED_LAYERS)
    if coating is None:
        needs.append(NEED_COATING)
    if weighed is None:
        needs.append(NEED_WEIGHT)
    if weighed is None or needs:
        return SecondLayer("unknown", "What the exception asks was not all read.", numbers, tuple(needs))
    if coating != "none" and facts.coating_counts is None:
        why = f"{weighed.why} Does the coating ({coating}) count as a layer?"
        return SecondLayer("ask", why, numbers, (NEED_COATING_COUNTS, *weighed.needs))
    return weighed


def _weighed(
    facts: CodeFacts, covering: float, total: float, numbers: dict[str, tuple[float, str]]
) -> SecondLayer:
    """The 3 psf alone: what is weighed, by edition."""
    other = total - covering
    if other <= TOLERANCE:
        return SecondLayer("yes", f"The covering is all that is added, {total:.2f} psf.", numbers)
    light = not more_than(total, SECOND_LAYER_PSF)
    assert facts.edition is not None
    if facts.edition < 2018:
        if light:
            return SecondLayer("yes", f"Everything added is {total:.2f} psf, not more than 3.", numbers)
        return SecondLayer(
            "ask",
            f"The covering alone is {covering:.2f} psf, but everything added is {total:.2f}. The words do not say "
            "which is weighed.",
            numbers,
            (NEED_FRAMING_COUNTS,),
        )
    if light and facts.official_counts_framing is True:
        return SecondLayer(
            "yes",
            f"The official takes framing and insulation as part of the second covering: {total:.2f} psf, not more "
            "than 3.",
            numbers,
        )
    why = (
        f"{other:.2f} psf of what is added is framing and insulation, so it is not due to the covering alone."
    )
    if light and facts.official_counts_framing is None:
        why += (
            f" Everything added is {total:.2f} psf, not more than 3: an official who takes all of it as the second "
            "covering may excuse it. Ask, and record the answer."
        )
        return SecondLayer("no", why, numbers, (NEED_FRAMING_COUNTS,))
    return SecondLayer("no", why, numbers)
