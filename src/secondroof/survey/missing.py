"""What was not read, in the order of what it could change: where it is got, who gets it, what it decides."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from secondroof.checks.model import Need
from secondroof.survey.remarks import standoff_wanted

if TYPE_CHECKING:
    from secondroof.survey.models import Survey

#: Names of rules in ``data/items.toml``.
RULES: dict[str, Callable[[Survey], bool]] = {}


@dataclass(frozen=True, slots=True)
class Item:
    """One thing a survey should hold.

    Attributes
    ----------
    paths : tuple of str
        Fields any of which holds it.
    what, where, decides, who : str
        Words of the need.
    given : callable or None
        Rule that says whether it was read; None where a filled field is enough.
    """

    paths: tuple[str, ...]
    what: str
    where: str
    decides: str
    who: str
    given: Callable[[Survey], bool] | None


def rule(function: Callable[[Survey], bool]) -> Callable[[Survey], bool]:
    """Make a function known to the table of items under its own name."""
    RULES[function.__name__] = function
    return function


@rule
def every_plane_has_lines(survey: Survey) -> bool:
    """Every plane has its purlin lines."""
    return all(len(p.lines) > 1 for p in survey.building.planes)


@rule
def struts_read(survey: Survey) -> bool:
    """Something was read of an eave strut."""
    p = survey.purlins
    graded = any("strut" in g.member for g in p.rust_grades) or "strut" in " ".join(p.rust)
    return graded or any(g.member == "eave strut" for g in p.thickness)


@rule
def thickness_enough(survey: Survey) -> bool:
    """Nine thickness readings or more; none at all is another item."""
    readings = sum(len(g.readings) for g in survey.purlins.thickness)
    return readings == 0 or readings >= 9


@rule
def standoff_enough(survey: Survey) -> bool:
    """The usual density of standoff readings; none at all is another item."""
    return not survey.standoff or not standoff_wanted(survey)


@rule
def recovers_tested(survey: Survey) -> bool:
    """Every recover names its uplift test."""
    return all(r.panel.uplift_test for r in survey.recovers)


@rule
def slopes_read(survey: Survey) -> bool:
    """Slope was read on every plane."""
    named = {g.plane for g in survey.slope_readings}
    return bool(survey.slope_readings) and (
        None in named or named >= {p.name for p in survey.building.planes}
    )


@rule
def metal_lines(survey: Survey) -> bool:
    """The rib module, or the coverage of a panel without ribs between its seams."""
    panel = survey.old_panel
    return panel.rib_module is not None or panel.coverage is not None


@rule
def hung_known(survey: Survey) -> bool:
    """Every hung load has its weight."""
    loads = survey.hung_loads or ()
    return all(h.weight is not None or h.per_foot is not None for h in loads)


@rule
def shape_and_depth(survey: Survey) -> bool:
    """Shape and depth of the purlins."""
    return survey.purlins.depth is not None and survey.purlins.shape is not None


@rule
def elevation_where_used(survey: Survey) -> bool:
    """The ground elevation, where its factor is asked for."""
    rules = survey.ground_rules
    return not rules.use_elevation_factor or rules.ground_elevation is not None


@cache
def items() -> tuple[Item, ...]:
    """Every item of a survey and of the ground rules, most decisive first."""
    text = resources.files("secondroof.survey").joinpath("data/items.toml").read_text("utf-8")
    return tuple(
        Item(
            tuple(i["paths"]),
            i["what"],
            i["where"],
            i["decides"],
            i.get("who", "surveyor"),
            RULES[i["rule"]] if "rule" in i else None,
        )
        for i in tomllib.loads(text)["item"]
    )


def what_is_missing(survey: Survey) -> tuple[Need, ...]:
    """Everything a survey should hold and does not, most decisive first.

    Where the surveyor said why it was not read, the reason stands with the place. Reasons given under
    ``not_read`` for items that no check of this list asks for are listed at the end.
    """
    told: set[str] = set()
    needs = [_need(item, survey, told) for item in items() if not _given(item, survey)]
    needs += list(_left_over(survey, told))
    return tuple(needs)


def _given(item: Item, survey: Survey) -> bool:
    if item.given is not None:
        return item.given(survey)
    return any(_filled(survey, path) for path in item.paths)


def _filled(survey: Survey, path: str) -> bool:
    value: Any = survey
    for step in path.split("."):
        value = getattr(value, step)
        if value is None:
            return False
    if value == () or value == {}:
        return path in (
            "hung_loads",
            "roof_items",
            "enclosure.openings",
        )  # an empty list there means looked, none
    return True


def _need(item: Item, survey: Survey, told: set[str]) -> Need:
    reasons = [survey.not_read[p] for p in item.paths if p in survey.not_read]
    told.update(p for p in item.paths if p in survey.not_read)
    why = f" (not read: {'; '.join(reasons)})" if reasons else ""
    return Need(item.what, item.where + why, item.decides, item.who)


def _left_over(survey: Survey, told: set[str]) -> Iterator[Need]:
    for path, reason in survey.not_read.items():
        if path not in told:
            words = path.rsplit(".", 1)[-1].replace("_", " ")
            section = path.split(".")[0].replace("_", " ")
            yield Need(words, f"{section} (not read: {reason})", "left blank on purpose")
