"""All load cases of one roof under one recover, with what is missing for the rest."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

from secondroof.acting import construction, dead, hung, live, rain, snow
from secondroof.acting.blocks import block_notes, outside
from secondroof.acting.combined import STAGES, Stage
from secondroof.acting.model import NOT_COUNTED
from secondroof.acting.sources import tidy
from secondroof.acting.wind_lines import wind_cases

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from secondroof.acting.model import Case, Part
    from secondroof.acting.wind import Wind
    from secondroof.checks.model import Need
    from secondroof.roof.model import Roof
    from secondroof.roof.strips import Strips
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover


@dataclass(frozen=True, slots=True)
class Acting:
    """What acts on a roof.

    Attributes
    ----------
    cases : tuple of Case
        Every case that could be worked out.
    needs : tuple of Need
        What is missing for the others, once each.
    notes : tuple of str
        What else to know: loads that act elsewhere, what was left out and why.
    left_out : frozenset of (kind, stage)
        Loads of the combinations that are missing or not fully counted: ``D``, ``Lr``, ``S``, ``R`` or ``W``, at
        ``before`` or ``after``. What holds without them is not known to hold.
    """

    cases: tuple[Case, ...]
    needs: tuple[Need, ...]
    notes: tuple[str, ...]
    left_out: frozenset[tuple[str, Stage]] = frozenset()

    def incomplete(self, stage: Stage, kinds: Iterable[str]) -> bool:
        """Whether a load of these kinds is not fully known at a stage."""
        return any((kind, stage) in self.left_out for kind in kinds)

    def case(self, key: str) -> Case:
        """The case of a key; raises KeyError where there is none."""
        for case in self.cases:
            if case.key == key:
                return case
        raise KeyError(key)


def acting(
    survey: Survey,
    recover: Recover,
    roof: Roof,
    edition: str | None,
    wind: Wind | None,
    strips: Strips,
    *,
    wind_need: Need | None = None,
    enclosure: tuple[str, bool] = ("", False),
) -> Acting:
    """Every load case of one roof under one recover.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Edition of ASCE 7; None where not known.
    wind : Wind or None
        Wind on the roof; None where a ground rule is missing.
    strips : Strips
        Stretches of line by wind zone.
    wind_need : Need, optional
        What is missing for the wind, where the caller knows it.
    enclosure : tuple of str and bool, optional
        Why the enclosure class was taken, and whether it was assumed.
    """
    parts: tuple[Part, ...] = (
        dead.dead(survey, recover, roof, edition),
        hung.hung(survey, recover, roof, edition),
        live.live(survey, recover, roof, edition),
        construction.construction(survey, recover, roof, edition),
        rain.rain(survey, recover, roof, edition),
        snow.snow(survey, recover, roof, edition),
        wind_cases(
            survey,
            recover,
            roof,
            edition,
            wind,
            strips,
            need=wind_need,
            enclosure_reason=enclosure[0],
            enclosure_assumed=enclosure[1],
        ),
    )
    cases = tuple(tidy(outside(case, roof)) for case in chain.from_iterable(p.cases for p in parts))
    on_blocks = block_notes([b.what for b in survey.building.blocks], cases, roof)
    needs: dict[str, Need] = {}
    for need in chain.from_iterable(p.needs for p in parts):
        needs.setdefault(need.what, need)
    dead_parts, rain_part = parts[:2], parts[4]
    return Acting(
        cases,
        tuple(needs.values()),
        tuple(dict.fromkeys(chain(on_blocks, *(p.notes for p in parts)))),
        frozenset(_left_out(survey, cases, dead_parts, rain_part, wind)),
    )


def _left_out(
    survey: Survey, cases: tuple[Case, ...], dead_parts: tuple[Part, ...], rain_part: Part, wind: Wind | None
) -> Iterator[tuple[str, Stage]]:
    """Loads not known, stage by stage."""
    rules = survey.ground_rules
    for stage in STAGES:
        if any(NOT_COUNTED in need.decides for part in dead_parts for need in part.needs):
            yield "D", stage
        if rules.roof_live is None:
            yield "Lr", stage
        snow_there = any(c.kind == "S" and c.when in (stage, "both") for c in cases)
        if rules.ground_snow is None or (rules.ground_snow > 0 and not snow_there):
            yield "S", stage
        if rain_part.needs:
            yield "R", stage
        if wind is None:
            yield "W", stage
