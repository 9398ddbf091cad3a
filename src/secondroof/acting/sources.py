"""Sources of a card: those of its own numbers, and no others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from secondroof.acting.model import Case
    from secondroof.checks.model import Source
    from secondroof.formula import Step


def sources_used(steps: Sequence[Step], sources: Mapping[str, Source]) -> dict[str, Source]:
    """Sources of symbols that stand in the steps of a card, as an input or a result; the rest left out."""
    there = {step.symbol for step in steps} | {name for step in steps for name in step.inputs}
    return {name: source for name, source in sources.items() if name in there}


def tidy(case: Case) -> Case:
    """A case whose sources are those of its own steps."""
    found = sources_used(case.steps, case.sources)
    return case if len(found) == len(case.sources) else replace(case, sources=found)
