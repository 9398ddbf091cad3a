"""What was not read, in the order of what it could change: where it is got, who gets it, what it decides."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from secondroof.checks.model import Need
from secondroof.rules.editions import edition
from secondroof.survey.off_plan import says_none
from secondroof.survey.remarks import standoff_wanted

if TYPE_CHECKING:
    from secondroof.survey.models import HungLoad, Survey
    from secondroof.survey.proposals import Recover

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


def _placed(load: HungLoad, planes: int) -> bool:
    """Hung from the frame, or on a line of a plane with its place along it."""
    if load.hangs_from == "frame":
        return True
    on_a_line = bool(load.lines) and (load.plane is not None or planes == 1)
    return on_a_line and (bool(load.along) or (load.per_foot is not None and bool(load.bays)))


@rule
def hung_placed(survey: Survey) -> bool:
    """Every hung load that purlins carry has its place."""
    return all(_placed(h, len(survey.building.planes)) for h in survey.hung_loads or ())


@rule
def hung_from(survey: Survey) -> bool:
    """Every hung load says what it hangs from."""
    return all(h.hangs_from is not None for h in survey.hung_loads or ())


@rule
def elevation_where_used(survey: Survey) -> bool:
    """The ground elevation, where its factor is asked for."""
    rules = survey.ground_rules
    return not rules.use_elevation_factor or rules.ground_elevation is not None


def _snow(survey: Survey) -> bool:
    """Snow falls here; where the ground snow itself is not given, that is the item to get first."""
    return bool(survey.ground_rules.ground_snow)


def _by_7_22(survey: Survey) -> bool:
    rules = survey.ground_rules
    if rules.wind_edition is not None:
        return rules.wind_edition == "7-22"
    return rules.building_code is not None and edition(rules.building_code).asce7 == "7-22"


@rule
def roof_exposure_where_snow(survey: Survey) -> bool:
    """Exposure of the roof to wind, where snow falls."""
    return not _snow(survey) or survey.ground_rules.roof_exposure is not None


@rule
def thermal_now_where_snow(survey: Survey) -> bool:
    """Thermal condition today, or its factor, where snow falls."""
    rules = survey.ground_rules
    entered = rules.entered_thermal_factor
    return (
        not _snow(survey)
        or rules.thermal_now is not None
        or (entered is not None and entered.now is not None)
    )


@rule
def thermal_after_where_snow(survey: Survey) -> bool:
    """Thermal condition with each recover: given, or to be worked out of cavity and insulation."""
    rules = survey.ground_rules
    entered = rules.entered_thermal_factor
    if (
        not _snow(survey)
        or rules.thermal_after is not None
        or (entered is not None and entered.after is not None)
    ):
        return True
    if rules.thermal_now is not None and rules.thermal_now != "heated":
        return True  # a roof that is cold today stays so under a recover
    return all(
        r.cavity == "sealed" or (r.cavity == "vented" and _r_known(survey, r)) for r in survey.recovers
    )


def _r_known(survey: Survey, recover: Recover) -> bool:
    ins = survey.insulation
    old = ins.where == "none" or ins.installed_r is not None or ins.nominal_r is not None
    return old and (recover.insulation is None or recover.insulation.r_value is not None)


@rule
def thermal_factor_where_not_held(survey: Survey) -> bool:
    """Both thermal factors of a heated roof by 7-22, whose table is not held here."""
    rules = survey.ground_rules
    if not _snow(survey) or not _by_7_22(survey):
        return True
    entered = rules.entered_thermal_factor
    now = rules.thermal_now != "heated" or (entered is not None and entered.now is not None)
    warm = "heated" in (rules.thermal_after, rules.thermal_now if rules.thermal_after is None else None)
    return now and (not warm or (entered is not None and entered.after is not None))


@rule
def roofs_near_where_snow(survey: Survey) -> bool:
    """Every roof beside it measured, where snow falls and there is one."""
    b = survey.building
    only_blocks = b.roofs_beside == "higher" and bool(b.blocks)
    return not _snow(survey) or b.roofs_near is not None or b.roofs_beside in (None, "none") or only_blocks


@rule
def parapets_where_snow(survey: Survey) -> bool:
    """Every parapet measured, where snow falls and there is one."""
    edges = survey.edges
    return (
        not _snow(survey)
        or edges.parapet_walls is not None
        or says_none(edges.parapets)
        or (edges.parapets is None and edges.parapet_all_round is None)
    )


@rule
def winter_wind_where_used(survey: Survey) -> bool:
    """Winter wind parameter, where snow is taken from 7-22."""
    return not _snow(survey) or not _by_7_22(survey) or survey.ground_rules.winter_wind is not None


def _holds_water(survey: Survey) -> bool:
    return survey.edges.drainage == "inside gutters or behind parapets"


@rule
def static_head_where_held(survey: Survey) -> bool:
    """Static head, where an edge holds water."""
    return not _holds_water(survey) or survey.edges.static_head is not None


@rule
def hydraulic_head_where_held(survey: Survey) -> bool:
    """Hydraulic head, where an edge holds water."""
    return not _holds_water(survey) or survey.edges.hydraulic_head is not None


@rule
def bundles_placed(survey: Survey) -> bool:
    """Every recover says how panels are set down on the roof."""
    return all(r.bundle is not None for r in survey.recovers)


def _screwed(survey: Survey) -> bool:
    """The old sheet is screwed through to the purlins; where its kind is not known, that is the item to get first."""
    return survey.old_panel.kind in ("through-fastened ribbed", "corrugated")


@rule
def screws_measured(survey: Survey) -> bool:
    """Size, washer and spacing of the old screws, where the sheet is screwed through."""
    screws = survey.old_panel.screws
    return not _screwed(survey) or None not in (screws.diameter, screws.washer, screws.spacing)


@rule
def screws_looked_at(survey: Survey) -> bool:
    """Where the old screws stand in the flange, where the sheet is screwed through."""
    screws = survey.old_panel.screws
    return not _screwed(survey) or None not in (screws.in_middle_of_flange, screws.off_flange)


@rule
def screws_turned(survey: Survey) -> bool:
    """Share of old screws that spin, where the sheet is screwed through."""
    return not _screwed(survey) or survey.old_panel.screws_spun is not None


@rule
def sheet_strength(survey: Survey) -> bool:
    """Strength of the old sheet with what it rests on, where the sheet is screwed through."""
    panel = survey.old_panel
    return not _screwed(survey) or (
        panel.yield_strength is not None and panel.yield_basis not in (None, "assumed")
    )


@rule
def seat_known(survey: Survey) -> bool:
    """How the purlins sit, and on what length where their flange bears."""
    p = survey.purlins
    return p.seat == "web bolted to a clip" or p.seat_length is not None


@rule
def strut_sizes(survey: Survey) -> bool:
    """Sizes and thickness of the eave struts."""
    p = survey.purlins
    return p.eave_strut is not None and any(g.member == "eave strut" for g in p.thickness)


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
            "building.roofs_near",
            "edges.parapet_walls",
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
