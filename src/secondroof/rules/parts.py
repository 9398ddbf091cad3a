"""Small parts the rules share."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from secondroof.rules.editions import Checked, Clause
from secondroof.rules.facts import TOLERANCE, Asked, Need, RatioBasis, RuleFinding, State, Whose


def more_than(value: float, limit: float) -> bool:
    """True where ``value`` is more than ``limit``; exactly the limit is not more."""
    return value > limit + TOLERANCE * max(1.0, abs(limit))


def one(
    key: str,
    where: Clause,
    state: State,
    asked: Asked,
    sentence: str,
    *,
    whose: Whose = "new",
    title: str = "",
    clause: str = "",
    checked: Checked | None = None,
    numbers: Mapping[str, tuple[float, str]] | None = None,
    bases: tuple[RatioBasis, ...] = (),
    needs: tuple[Need, ...] = (),
) -> tuple[RuleFinding, ...]:
    """One finding as a tuple, its subject and clause from ``where`` unless given."""
    return (
        RuleFinding(
            key,
            title or where.title,
            clause or where.text,
            checked or where.checked,
            state,
            asked,
            whose,
            sentence,
            MappingProxyType(dict(numbers or {})),
            bases,
            needs,
        ),
    )


NEED_LAYERS = Need(
    "number of roof coverings",
    "open an edge or cut a core and count",
    "whether a recover is allowed, and the 3 psf",
)
NEED_COATING = Need(
    "whether the old covering is coated",
    "look at it, and ask the owner",
    "whether there are one or two layers",
)
NEED_COATING_COUNTS = Need(
    "whether the coating counts as a layer",
    "ask the building official; record the answer",
    "one layer or two",
)
NEED_WEIGHT = Need(
    "weights of the new covering and of everything added",
    "the weight ledger of the recover",
    "the 3 psf and the 5 percent",
)
NEED_FRAMING_COUNTS = Need(
    "whether framing and insulation are part of the second covering",
    "ask the building official; record the answer",
    "whether the exception for a light second covering excuses the old steel",
)
NEED_SNOW = Need(
    "design roof snow before and after",
    "ground snow and thermal factor of the edition in force",
    "whether the snow rises by more than 5 percent",
)
