"""All load cases of one roof under one recover, with what is missing for the rest."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

from secondroof.acting import construction, dead, hung, live, rain, snow
from secondroof.acting.wind_lines import wind_cases

if TYPE_CHECKING:
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
    """

    cases: tuple[Case, ...]
    needs: tuple[Need, ...]
    notes: tuple[str, ...]

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
    needs: dict[str, Need] = {}
    for need in chain.from_iterable(p.needs for p in parts):
        needs.setdefault(need.what, need)
    return Acting(
        tuple(chain.from_iterable(p.cases for p in parts)),
        tuple(needs.values()),
        tuple(dict.fromkeys(chain.from_iterable(p.notes for p in parts))),
    )
