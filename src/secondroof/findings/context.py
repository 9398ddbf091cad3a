"""Everything one recover on one roof stands on, gathered once before any check is written."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.acting.ledger import weight_ledger
from secondroof.acting.wind import Wind, find_wind, wind_edition
from secondroof.checks.model import Need, OldRoof, WeightItem
from secondroof.errors import MissingError
from secondroof.findings.geometry import build_roof, wall_facings
from secondroof.loads.enclosure import Enclosure, classify
from secondroof.recover.chain import Design
from secondroof.recover.holddown import HoldDown, hold_down
from secondroof.recover.kinds import KINDS
from secondroof.roof.strips import Strips, strips
from secondroof.steel.panel_tests import PanelTest
from secondroof.survey.oldroof import what_is_the_old_roof
from secondroof.survey.statistics import ThicknessAt, design_thickness

if TYPE_CHECKING:
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover, UpliftTest

#: A tensile strength that is only assumed is also shown at this value [ksi]; common practice, no source.
LOW_FU_KSI = 58.0


@dataclass(frozen=True, slots=True)
class EnclosureFound:
    """Enclosure class used and the other ways it could stand."""

    used: str
    reason: str
    result: Enclosure | None
    assumed: bool
    others: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Context:
    """What the checks of one recover on one roof are written from."""

    survey: Survey
    recover: Recover
    roof: Roof
    old_roof: OldRoof
    edition: str | None
    enclosure: EnclosureFound
    wind: Wind | None
    wind_need: Need | None
    design: Design
    strips: Strips
    thickness: tuple[ThicknessAt | None, ...]
    t_2_in: np.ndarray
    hold: HoldDown
    weight: tuple[WeightItem, ...]

    @property
    def added_psf(self) -> float:
        """Everything added; NaN where a part is not known. [psf]"""
        return sum(item.psf for item in self.weight)


def gather(survey: Survey, recover: Recover) -> Context:
    """Build the context of one recover on one roof.

    Missing ground rules or readings leave their numbers NaN and are named in ``wind_need`` and by the links;
    nothing is filled in.
    """
    try:
        edition: str | None = wind_edition(survey.ground_rules)
    except MissingError:
        edition = None
    roof, no_zones = _roof(survey, edition)
    enclosure = enclosure_found(survey, recover, roof, edition)
    wind, need = (None, no_zones) if no_zones else find_wind(survey, roof, edition, enclosure.used)
    weight = weight_ledger(recover, roof)
    old_roof = what_is_the_old_roof(survey)
    design = _design(survey, recover, sum(i.psf for i in weight))
    found, tags = _thickness(survey, roof)
    cut = strips(roof, tags)
    at_stretch = tuple(found[k] for k in cut.tag)
    t_2 = np.array([np.nan if t is None else t.value_in for t in at_stretch], float)
    hold = hold_down(wind, design, cut, t_2)
    return Context(
        survey,
        recover,
        roof,
        old_roof,
        edition,
        enclosure,
        wind,
        need,
        design,
        cut,
        at_stretch,
        t_2,
        hold,
        weight,
    )


def _roof(survey: Survey, edition: str | None) -> tuple[Roof, Need | None]:
    """Roof with its wind zones; without them, and with what is missing, where the edition's figure is not held."""
    try:
        return build_roof(survey, edition), None
    except MissingError as error:
        need = Need(
            str(error),
            "the printed standard, or an engineer who gives zones and pressures",
            "every uplift on the roof",
            "engineer",
        )
        return build_roof(survey, None), need


def _design(survey: Survey, recover: Recover, dead_new: float) -> Design:
    kind = KINDS[recover.framing.kind]
    pitch = kind.pitch_ft(survey, recover.framing)
    named = recover.panel.uplift_test
    table = next((t for t in survey.uplift_tests if t.name == named), None)
    framing = recover.framing
    return Design(
        recover=recover,
        test=None if table is None else panel_test(table),
        test_name=named or "",
        test_ok=table is not None and framing.thickness >= table.support_thickness - 1e-9,
        Fu2_ksi=survey.purlins.tensile_strength,
        Fy2_ksi=survey.purlins.yield_strength,
        dead_new_psf=0.0 if np.isnan(dead_new) else dead_new,
        pitch_ft=float("nan") if pitch is None else pitch,
    )


def panel_test(table: UpliftTest) -> PanelTest:
    """The person's test table as the steel room takes it."""
    n = len(table.spans)
    return PanelTest(
        spans_ft=np.array(table.spans),
        ultimate_psf=np.array(table.ultimate),
        n_tests=np.full(n, float(table.tests_each)),
        source=table.source,
        invented=table.invented,
        support_thickness_in=table.support_thickness,
        panel_thickness_in=table.panel_thickness,
        panel_width_in=table.panel_width,
        seam=table.seam,
        clip=table.clip,
        standard=table.method,
        failure_mode=table.failure,
        cov=None if table.scatter is None else np.full(n, table.scatter),
    )


def _thickness(
    survey: Survey, roof: Roof
) -> tuple[list[ThicknessAt | None], dict[tuple[str, int], list[int]]]:
    """Distinct design thicknesses, and for each line which of them each bay has."""
    bays = len(roof.frames_ft) - 1
    distinct: list[ThicknessAt | None] = []
    place: dict[Any, int] = {}
    tags: dict[tuple[str, int], list[int]] = {}
    for plane in roof.planes:
        for line in plane.lines:
            marks = []
            for bay in range(1, bays + 1):
                t = design_thickness(survey, plane.name, line.index, bay, bays)
                key = None if t is None else (t.value_in, t.note, t.assumed)
                if key not in place:
                    place[key] = len(distinct)
                    distinct.append(t)
                marks.append(place[key])
            tags[plane.name, line.index] = marks
    return distinct, tags


def enclosure_found(survey: Survey, recover: Recover, roof: Roof, edition: str | None) -> EnclosureFound:
    """Enclosure class from the openings found, and the ways it could stand otherwise."""
    openings = survey.enclosure.openings
    if openings is None or edition is None:
        return EnclosureFound(
            "partially enclosed",
            "Openings were not read. Taken as partially enclosed until they are; a tight building has less uplift.",
            None,
            True,
            (("openings read and found tight: enclosed", "enclosed"),),
        )
    facings = wall_facings(survey)
    gross = _wall_areas(survey, roof, facings)

    def sort(by_word_shut: bool, doors: Collection[str]) -> Enclosure:
        area = dict.fromkeys((*facings, "roof"), 0.0)
        for o in openings:
            shut = o.state == "shut" or (o.state != "open" and by_word_shut)
            if o.state == "open" and o.wall in doors:
                shut = True
            if not shut:
                area[_nearest(o.wall, facings)] += o.area * o.count
        return classify(
            edition, [area[w] for w in facings], [gross[w] for w in facings], area["roof"], roof.area_ft2
        )

    used = sort(True, recover.storm_doors)
    reason = used.reason
    for i, facing in enumerate(facings):
        reason = reason.replace(f"wall {i + 1}", f"the {facing} wall")
    others: list[tuple[str, str]] = []
    if any(o.state == "shut in storms, owner's word" for o in openings):
        open_class = sort(False, recover.storm_doors).name
        others.append((f"doors left open against the owner's word: {open_class}", open_class))
        reason += " It rests on the owner's word that doors are shut in storms."
    if recover.storm_doors:
        found = sort(True, ()).name
        others.append((f"without the storm-rated doors: {found}", found))
    elif used.governing_wall is not None:
        wall = facings[used.governing_wall]
        found = sort(True, (wall,)).name
        others.append((f"storm-rated doors on the {wall} wall: {found}", found))
    return EnclosureFound(used.name, reason, used, False, tuple(o for o in others if o[1] != used.name))


def _nearest(wall: str, facings: tuple[str, ...]) -> str:
    if wall in facings or wall == "roof":
        return wall
    compass = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
    k = compass.index(wall)
    return min(facings, key=lambda f: min((compass.index(f) - k) % 8, (k - compass.index(f)) % 8))


def _wall_areas(survey: Survey, roof: Roof, facings: tuple[str, str, str, str]) -> dict[str, float]:
    """Gross area of each wall: as given, else length times height (end walls to mid-rise)."""
    low, high = roof.eave_height_ft, roof.ridge_height_ft
    far = low if roof.shape != "single slope" else high
    worked = {
        facings[0]: roof.length_ft * low,
        facings[1]: roof.length_ft * far,
        facings[2]: roof.width_ft * (low + high) / 2,
        facings[3]: roof.width_ft * (low + high) / 2,
    }
    given = survey.enclosure.wall_areas or {}
    return {wall: given.get(wall, area) for wall, area in worked.items()}  # type: ignore[call-overload]


def other_wind(c: Context, enclosure: str) -> Wind | None:
    """The same wind under another enclosure class."""
    return None if c.wind is None else replace(c.wind, enclosure=enclosure)
