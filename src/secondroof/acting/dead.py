"""Dead load: what the old roof weighs, what the recover adds, and which of it is surely there.

Two kinds of case are kept apart. *Sure* dead load may hold the roof down against uplift: the bare old covering, the
steel of the purlins, the new panel with its lines, brackets and clips. What may be absent some day, or was only
estimated from above (coating, blanket, trim), loads the purlins and is never counted against uplift.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from secondroof.acting.dead_new import new_part
from secondroof.acting.dead_steel import DEAD_CLAUSE, purlin_weight_psf, purlins_part
from secondroof.acting.model import Case, Part
from secondroof.acting.where import weight_step, whole_plane
from secondroof.checks.model import Need, Source
from secondroof.formula import formula, recording
from secondroof.survey.statistics import statistic

if TYPE_CHECKING:
    from secondroof.acting.model import Patch, When
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

Numeric = Any

#: A formed sheet with its laps and zinc over a flat one of its base thickness, taken from above for gravity [-];
#: common practice, no source.
FORMED_OVER_FLAT = 1.3
#: Fiberglass blanket with its facing, for each inch it was made [psf]; common practice, no source.
BLANKET_PSF_PER_IN = 0.06

_GRAVITY = "gravity on every old purlin and frame, and the base of the 5 percent rule"


@formula(
    "D",
    unit="psf",
    clause="weight of steel 490 lb/ft3",
    checked="verified: 40.83 lb/ft2 for each inch of steel",
)
def flat_sheet(t: Numeric) -> Numeric:
    """Weight of flat steel sheet: a formed one weighs more. [psf]

    Parameters
    ----------
    t : numeric
        Base thickness. [in]
    """
    return 40.83 * t


@formula("D", unit="psf", clause="what stays of the old covering", checked="definition")
def what_stays(D_0: Numeric, r: Numeric) -> Numeric:
    """Old covering left on the roof, spread evenly. [psf]

    Parameters
    ----------
    D_0 : numeric
        Weight of the old covering. [psf]
    r : numeric
        Share taken off. [-]
    """
    return D_0 * (1 - r)


def dead(survey: Survey, recover: Recover, roof: Roof, edition: str | None) -> Part:
    """Dead load cases of the old roof and of what the recover adds.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Not used: dead load is alike in every edition.

    Returns
    -------
    Part
        ``dead.old`` (bare covering), ``dead.unsure`` (coating, blanket, what an estimate adds), ``dead.wet``,
        ``dead.purlins``, ``dead.new`` and ``dead.new.unsure``. Where part of the old covering comes off, ``dead.old``
        and ``dead.unsure`` stand twice, ended by ``.before`` and ``.after``.
    """
    parts = (
        _old(survey, recover, roof),
        _wet(survey, recover, roof),
        purlins_part(survey, roof),
        new_part(recover, roof),
    )
    return Part(
        tuple(c for p in parts for c in p.cases),
        tuple(n for p in parts for n in p.needs),
        tuple(n for p in parts for n in p.notes),
    )


# The old covering --------------------------------------------------------------------------------------------


def covering_psf(survey: Survey) -> tuple[float | None, float, str]:
    """Bare old covering: what is surely there, what more must be reckoned for gravity, and how it was found. [psf]"""
    panel = survey.old_panel
    if panel.weight is not None:
        return float(panel.weight), 0.0, "weighed"
    read = statistic([r for g in panel.thickness for r in g.readings])
    if read is None:
        return None, 0.0, ""
    flat, thick = float(flat_sheet(read.design)), float(flat_sheet(read.highest))
    layers = panel.layers or 1
    return flat, thick * FORMED_OVER_FLAT * layers - flat, f"{read.design:.4f} in, {read.rule}"


def blanket_psf(survey: Survey) -> tuple[float | None, bool]:
    """Dry blanket or board under the old roof, and whether it was estimated. [psf]"""
    blanket = survey.insulation
    if blanket.weight is not None:
        return float(blanket.weight), False
    if blanket.where == "none" or (blanket.kind or "").strip().lower() == "none":
        return 0.0, False
    return (None, True) if blanket.thickness is None else (BLANKET_PSF_PER_IN * blanket.thickness, True)


def coating_psf(survey: Survey) -> float | None:
    """Coating on the old roof where it lies; None where there is one and it was not weighed. [psf]"""
    panel = survey.old_panel
    if panel.coating_psf is not None:
        return float(panel.coating_psf)
    return 0.0 if panel.coating is not None and panel.coating.strip().lower() == "none" else None


def _old(survey: Survey, recover: Recover, roof: Roof) -> Part:
    stages: tuple[tuple[When, str, float], ...] = (("both", "", 0.0),)
    needs: list[Need] = []
    share = float(recover.removed_share)
    if share > 0:
        stages = (("before", ".before", 0.0), ("after", ".after", share))
        if share < 1:
            needs.append(
                Need(
                    "which part of the old covering comes off",
                    "the recover: planes and lines where it is taken off",
                    f"dead load line by line; {share:.0%} is taken off everywhere alike until then",
                    "estimator",
                )
            )
    sure, more, how = covering_psf(survey)
    if survey.old_panel.weight is None:
        counted = (
            "not counted until then" if sure is None else f"reckoned at {sure + more:.2f} psf until then"
        )
        needs.append(Need("weight of the old covering", "weigh one square foot cut or a whole panel",
                          f"{_GRAVITY}; {counted}"))  # fmt: skip
    cases = []
    for when, end, gone in stages:
        if sure is not None and gone < 1:
            cases.append(_covering_case(survey, roof, when, end, gone, sure, how))
        unsure = _unsure_case(survey, roof, when, end, gone, more)
        if unsure is not None:
            cases.append(unsure)
    if blanket_psf(survey)[1]:
        needs.append(Need("weight of the old blanket, dry", "weigh a 12 x 12 in piece where it is cut",
                          f"{_GRAVITY}; {_blanket_words(survey)}"))  # fmt: skip
    if coating_psf(survey) is None:
        needs.append(Need("coating on the old roof: whether there is one, and its weight",
                          "cut one square foot of coated sheet and weigh it beside a bare one",
                          f"{_GRAVITY}; not counted until then"))  # fmt: skip
    return Part(tuple(cases), tuple(needs))


def _blanket_words(survey: Survey) -> str:
    psf, _ = blanket_psf(survey)
    return "not counted until then" if psf is None else f"reckoned at {psf:.2f} psf until then"


def _covering_case(
    survey: Survey, roof: Roof, when: When, end: str, gone: float, sure: float, how: str
) -> Case:
    weighed = survey.old_panel.weight is not None
    with recording() as r:
        psf = sure
        if not weighed:
            read = statistic([x for g in survey.old_panel.thickness for x in g.readings])
            psf = float(flat_sheet(read.design if read else math.nan))
        if gone:
            psf = float(what_stays(psf, gone))
    assumed = (
        "" if weighed else f"not weighed: taken as flat sheet, {how}, which a formed sheet surely weighs"
    )
    if gone:
        assumed = "; ".join(x for x in (assumed, "what is taken off is spread evenly over the roof") if x)
    words = "weighed" if weighed else "at least: not weighed, taken as flat sheet"
    tail = (
        " Spread evenly: which part comes off is not said, so none of it holds the roof down." if gone else ""
    )
    patches = tuple(whole_plane(roof, p, psf) for p in roof.planes)
    source = "weighed on site" if weighed else f"lowest reading of the old sheet: {how}"
    return Case(
        f"dead.old{end}",
        "D",
        when,
        "old covering",
        f"The old covering weighs {psf:.2f} psf, {words}.{tail}",
        DEAD_CLAUSE,
        patches,
        per="slope",
        sure=not gone,
        checked="verified: 40.83 lb/ft2 for each inch of steel" if not weighed else "definition: weighed",
        steps=tuple(r.steps) or weight_step(roof, "Old covering", {"D": (psf, "psf")}, patches, (), "slope"),
        sources={"D": Source(source, not weighed), "D_0": Source(source, not weighed), "t": Source(source),
                 "r": Source("share taken off, from the recover")},
        assumed=assumed,
    )  # fmt: skip


def _unsure_case(survey: Survey, roof: Roof, when: When, end: str, gone: float, more: float) -> Case | None:
    stays = 1.0 - gone
    blanket, estimated = blanket_psf(survey)
    coat, coated = coating_psf(survey), set(survey.old_panel.coating_planes)
    patches: list[Patch] = []
    said: list[str] = []
    assumed: list[str] = []
    for plane in roof.planes:
        for psf in (
            more * stays,
            (coat or 0.0) * stays if not coated or plane.name in coated else 0.0,
            blanket or 0.0,
        ):
            if psf > 0:
                patches.append(whole_plane(roof, plane, psf))
    if more:
        said.append(f"{more * stays:.2f} psf more for ribs, laps and zinc of the old covering")
        sure, above, _ = covering_psf(survey)
        whole = (sure or 0.0) + above
        assumed.append(
            f"formed sheet {FORMED_OVER_FLAT:g} times flat sheet of the thickest reading in each layer, "
            f"common practice, no source; a tenth either way is {0.1 * whole:.2f} psf"
        )
    if coat:
        where = f" on {' and '.join(sorted(coated))}" if coated else ""
        said.append(f"{coat * stays:.2f} psf of coating{where}")
    elif coat is None:
        said.append("a coating was not weighed and is not counted")
        assumed.append("no coating counted")
    if blanket:
        said.append(f"{blanket:.2f} psf of blanket, dry{', estimated' if estimated else ''}")
        if estimated:
            assumed.append(
                f"blanket {BLANKET_PSF_PER_IN:g} psf for each inch, common practice, no source; "
                f"a third either way is {blanket / 3:.2f} psf"
            )
    elif blanket is None:
        said.append("the blanket was not weighed and is not counted")
        assumed.append("no blanket counted")
    wet = wet_share(survey)
    if wet:
        said.append(f"wet: {wet:.0%} of it, not in this figure")
    if not patches:
        return None
    inputs: dict[str, object] = {"coating": (coat, "psf"), "blanket": (blanket, "psf")}
    if more:
        inputs["ribs and laps"] = (more * stays, "psf")
    return Case(
        f"dead.unsure{end}",
        "D",
        when,
        "coating and blanket",
        f"On and under the old covering: {'; '.join(said)}. None of it is counted against uplift.",
        DEAD_CLAUSE,
        tuple(patches),
        per="slope",
        checked="common practice, no source" if assumed else "definition: weighed",
        steps=weight_step(
            roof,
            "Coating and blanket",
            inputs,
            patches,
            (),
            "slope",
        ),
        sources={"ribs and laps": Source("estimated over flat sheet", more > 0),
                 "coating": Source("not weighed" if coat is None else "weighed, or none", coat is None),
                 "blanket": Source("estimated from its thickness" if estimated else "weighed dry", estimated)},
        assumed="; ".join(assumed),
    )  # fmt: skip


def wet_share(survey: Survey) -> float | None:
    """Share of the blanket found wet; None where nobody looked. [-]"""
    blanket = survey.insulation
    if blanket.wet_share is not None:
        return float(blanket.wet_share)
    if blanket.spots_cut and blanket.spots_wet is not None:
        return blanket.spots_wet / blanket.spots_cut
    return None


def _wet(survey: Survey, recover: Recover, roof: Roof) -> Part:
    """Water in the blanket: it lies in some bays, and a survey says only how much of the roof."""
    share, wet = wet_share(survey), survey.insulation.weight_wet
    if not share:
        return Part()
    stays = recover.removes_wet is not True
    found = f"{share:.0%} of the blanket was found wet"
    if wet is None:
        when = "before and after" if stays else "today"
        need = Need("weight of the blanket where it is wet, and which bays are wet",
                    "cut and weigh a 12 x 12 in piece there",
                    f"gravity on the purlins under it, {when}; not counted until then")  # fmt: skip
        return Part((), (need,), (f"{found}; its weight is not counted.",))
    dry, _ = blanket_psf(survey)
    psf = float(wet) - (dry or 0.0)
    if psf <= 0:
        return Part()
    words = (
        "The recover takes it out or dries it."
        if not stays
        else "It is not said to be taken out, so it stays."
    )
    patches = tuple(whole_plane(roof, p, psf) for p in roof.planes)
    case = Case(
        "dead.wet",
        "D",
        "both" if stays else "before",
        "water in the blanket",
        f"{found}; there it weighs {wet:.2f} psf, {psf:.2f} more than dry. {words} Which bays is not recorded, so "
        "every line is looked at as if it were wet; leave it out of the base of the 5 percent rule.",
        DEAD_CLAUSE,
        patches,
        per="slope",
        steps=weight_step(
            roof, "Water in the blanket", {"wet": (wet, "psf"), "dry": (dry, "psf")}, patches, (), "slope"
        ),
        checked="definition: weighed",
        sources={"wet": Source("weighed wet on site"), "dry": Source("weighed or estimated dry")},
        assumed="wet everywhere, since which bays are wet is not recorded",
    )
    need = Need("which bays hold wet blanket", "look and probe bay by bay", "which purlins carry the water")
    return Part((case,), (need,))


# Spread over the roof, for the 5 percent rule on the whole ----------------------------------------------------


def old_dead_psf(survey: Survey, roof: Roof) -> dict[str, float] | None:
    """Old covering, coating, dry blanket and purlins by plane; None where one of them was not weighed. [psf]

    Hung loads are not counted, which makes the share of what is added larger.
    """
    panel, purlins = survey.old_panel, purlin_weight_psf(survey, roof)
    blanket, estimated = blanket_psf(survey)
    if panel.weight is None or blanket is None or estimated or purlins is None:
        return None
    base = panel.weight + blanket + purlins
    coated = set(panel.coating_planes) or {p.name for p in roof.planes}
    return {p.name: base + (panel.coating_psf or 0.0 if p.name in coated else 0.0) for p in roof.planes}
