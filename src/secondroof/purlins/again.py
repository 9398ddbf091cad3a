"""Which reading, taken again, would change what is said of old lines: the lines worked anew with one thing changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from secondroof.purlins.found import PurlinsFound, purlins_found
from secondroof.survey.fields import Reading
from secondroof.survey.statistics import clean

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from secondroof.acting.gathered import Acting
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

#: Yield strengths a coupon might show where none was cut: an old low grade, and a usual higher one. [ksi]
LOW_FY_KSI, HIGH_FY_KSI = 33.0, 55.0


@dataclass(frozen=True, slots=True, eq=False)
class Again:
    """The lines with one reading changed.

    Attributes
    ----------
    label : str
        What was changed, in words.
    read_again : str
        Which reading would settle it.
    found : PurlinsFound
        The lines asked about; others stay NaN.
    """

    label: str
    read_again: str
    found: PurlinsFound


def again(
    survey: Survey,
    recover: Recover | None,
    roof: Roof,
    acting: Acting,
    base: PurlinsFound,
    names: frozenset[str],
) -> tuple[Again, ...]:
    """Work the named lines anew with each reading changed that may be wrong.

    Parameters
    ----------
    survey, recover, roof, acting
        As :func:`secondroof.purlins.found.purlins_found`.
    base : PurlinsFound
        The lines as read; their loads stay as they are.
    names : frozenset of str
        Lines to work.
    """
    return tuple(
        Again(
            label,
            which,
            purlins_found(
                changed, recover, roof, acting, base.edition, only=names, loads=base.loads, brief=True
            ),
        )
        for label, which, changed in _changes(survey)
    )


def _changes(survey: Survey) -> Iterator[tuple[str, str, Survey]]:
    p = survey.purlins
    spread = [
        g for g in p.thickness if len(values := clean(g.readings).values) > 1 and max(values) > min(values)
    ]
    if spread:
        for word, pick in (("mean", lambda v: float(np.mean(v))), ("highest", max)):
            yield (
                f"thickness at the {word} of its clean readings", "the thickness, once more where it was lowest",
                _thickness(survey, pick),
            )  # fmt: skip
    if p.yield_strength is not None and p.yield_basis != "coupon":
        for value, word in ((LOW_FY_KSI, "low"), (HIGH_FY_KSI, "high")):
            if (value - p.yield_strength) * (1 if word == "high" else -1) > 0:
                changed = survey.model_copy(
                    update={"purlins": p.model_copy(update={"yield_strength": value})}
                )
                yield f"F_y of {value:g} ksi", "a coupon of the old steel", changed


def _thickness(survey: Survey, pick: Callable[[list[float]], float]) -> Survey:
    groups = []
    for g in survey.purlins.thickness:
        values = list(clean(g.readings).values)
        groups.append(
            g if not values else g.model_copy(update={"readings": (Reading(value=float(pick(values))),)})
        )
    purlins = survey.purlins.model_copy(update={"thickness": tuple(groups)})
    return survey.model_copy(update={"purlins": purlins})
