"""Every snow case of a roof, today and with the recover: balanced, partial, unbalanced, drifts, sliding.

Cases stand alone, as the standard asks: minimum and rain-on-snow are in the balanced case only; partial, unbalanced,
drifting and sliding snow each lie on the balanced snow without them. Loads are per square foot of plan.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from secondroof.acting.model import Case, Part, Patch
from secondroof.acting.snow_drifts import drifts
from secondroof.acting.snow_faces import laid_over
from secondroof.acting.snow_roof import BeforeAfter, SnowRoof, SnowSite, band, feet, psf, snow_roof, whole
from secondroof.acting.snow_slides import slides
from secondroof.acting.thermal import Thermal
from secondroof.checks.model import Need, Source
from secondroof.errors import InputError, MissingError
from secondroof.formula import note_step, recording
from secondroof.loads import snow as numbers

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

STATES: tuple[BeforeAfter, ...] = ("before", "after")
UNBALANCED_CLAUSE = "ASCE 7-10 and later 7.6.1"
PARTIAL_CLAUSE = "ASCE 7-10 and later 7.5"


def snow(survey: Survey, recover: Recover, roof: Roof, edition: str | None) -> Part:
    """Snow cases of one recover on one roof.

    Parameters
    ----------
    survey, recover : Survey, Recover
        What was found and what is to be built.
    roof : Roof
        Its geometry.
    edition : str or None
        ASCE 7 edition in force, None where not known.

    Returns
    -------
    Part
        Cases with keys ``snow.balanced``, ``snow.partial.<n>``, ``snow.unbalanced.<plane>``, ``snow.drift.<name>``
        and ``snow.sliding.<name>``, each for ``before`` and ``after``. What lies on a lower roof is a case without
        patches: its number stands in the sentence. Nothing missing is filled in: it is named in ``needs``.
    """
    if survey.ground_rules.ground_snow == 0:
        return Part(notes=("No snow in the ground rules: ground snow load 0.",))
    site, needs = _site(survey, recover, roof, edition)
    if site is None:
        return Part(needs=needs)
    cases: list[Case] = []
    lacking: list[Need] = []
    notes: list[str] = []
    for when in STATES:
        try:
            state = snow_roof(site, when)
        except InputError as error:
            lacking.append(Need(str(error), "ground_rules", f"every snow load {when} the work", "estimator"))
            continue
        if isinstance(state, Thermal):
            if state.need is not None:
                lacking.append(state.need)
            continue
        for part in (_balanced(state), _partial(state), _unbalanced(state), drifts(state), slides(state)):
            cases += part.cases
            lacking += part.needs
            notes += part.notes
    notes += _existing(cases, site)
    return Part(tuple(cases), tuple(dict.fromkeys(lacking)), tuple(dict.fromkeys(notes)))


def _site(
    survey: Survey, recover: Recover, roof: Roof, edition: str | None
) -> tuple[SnowSite | None, tuple[Need, ...]]:
    rules = survey.ground_rules
    decides = "every snow load on the roof"
    official = "the building official's adopted code and its maps, for this address and risk category"
    asked = (
        (edition, "building code edition in force, or the ASCE 7 edition", official, "estimator"),
        (
            rules.ground_snow,
            "ground snow load p_g (ground_rules.ground_snow; 0 where there is none)",
            official,
            "estimator",
        ),
        (rules.exposure, "exposure category (ground_rules.exposure)", official, "estimator"),
        (
            rules.roof_exposure,
            "exposure of the roof to wind that clears snow (ground_rules.roof_exposure)",
            "stand on the roof: fully exposed, partially exposed, or sheltered by things within ten times their height",
            "surveyor",
        ),
        (rules.risk_category, "risk category (ground_rules.risk_category)", official, "estimator"),
    )
    needs = tuple(Need(what, where, decides, who) for value, what, where, who in asked if value is None)
    if needs:
        return None, needs
    assert edition is not None
    assert rules.ground_snow is not None
    assert rules.exposure is not None
    assert rules.roof_exposure is not None
    assert rules.risk_category is not None
    try:
        C_e = numbers.exposure_factor(rules.exposure, rules.roof_exposure)
    except InputError as error:
        return None, (Need(str(error), "ground_rules.roof_exposure", decides, "engineer"),)
    return (
        SnowSite(
            survey,
            recover,
            roof,
            edition,
            rules.ground_snow,
            C_e,
            rules.exposure,
            rules.roof_exposure,
            rules.risk_category,
            rules.winter_wind,
        ),
        (),
    )


def _level_words(edition: str) -> str:
    return (
        " At strength level, as this edition's ground snow is."
        if numbers.level(edition) == "strength"
        else ""
    )


def _balanced(state: SnowRoof) -> Part:
    site = state.site
    told: list[str] = []
    for plane in site.roof.planes:
        b = state.by_plane[plane.name]
        words = f"{plane.name} plane {psf(float(b.p_s_psf))} balanced"
        if float(b.rain_psf) > 0:
            words += f", {psf(float(b.p_s_psf) + float(b.rain_psf))} with rain on snow"
        if float(b.p_m_psf) > 0:
            words += f", minimum {psf(float(b.p_m_psf))}"
        told.append(f"{words}: {psf(float(b.p_uniform_psf))} used")
    if len(told) == 2 and told[0].split(" plane ", 1)[1] == told[1].split(" plane ", 1)[1]:
        told = ["both planes " + told[0].split(" plane ", 1)[1]]
    sentence = (
        f"Snow all over {state.words}: {'; '.join(told)}. Thermal factor {state.C_t:.2f}, "
        f"exposure factor {site.C_e:.2f}. {state.slippery_words}{_level_words(site.edition)}"
    )
    uniform = {name: float(b.p_uniform_psf) for name, b in state.by_plane.items()}
    case = state.case(
        "balanced",
        "Snow all over",
        sentence,
        "ASCE 7-10 and later 7.3, 7.4 and 7.10",
        patches=whole(site.roof, uniform),
    )
    return Part((case,), notes=_hot_eave(state))


def _hot_eave(state: SnowRoof) -> tuple[str, ...]:
    """Ice at the eave of a warm roof with an overhang; not put on any line here."""
    overhang = state.site.survey.edges.overhang or 0.0
    enough = 20.0 if state.thermal.ventilated else 30.0
    r_value = state.thermal.r_value
    if overhang <= 0 or state.C_t > 1.0 or (r_value is not None and r_value >= enough):
        return ()
    twice = 2 * max(state.p_f(p.name) for p in state.site.roof.planes)
    return (
        f"Ice at the eave {state.words}: a warm roof under R-{enough:g} puts {psf(twice)} on its overhang of "
        f"{overhang:g} in (ASCE 7-10 and later 7.4.5); not put on any line here, an engineer looks at it.",
    )


def _partial(state: SnowRoof) -> Part:
    """Balanced snow with half of it gone from some bays; patterns that say the same are given once."""
    bays = len(state.site.roof.frames_ft) - 1
    names, share = numbers.partial_loading(bays)
    cases: list[Case] = []
    seen = {tuple([1.0] * bays)}
    worst = max(state.p_s(p.name) for p in state.site.roof.planes)
    for name, row in zip(names, share.tolist(), strict=True):
        pattern = tuple(row)
        if pattern in seen:
            continue
        seen.add(pattern)
        words = name.split(": ", 1)[-1]
        with recording() as recorder:
            note_step(
                "Pattern of partial snow",
                symbol="share",
                unit="-",
                clause=PARTIAL_CLAUSE,
                inputs={"bays": bays, "pattern": words},
                result=", ".join(f"{x:g}" for x in pattern),
                method="share of the balanced snow on each bay from frame 1",
                checked="verified: ASCE 7-10 7.5"
                if state.site.edition == "7-10"
                else "from memory: as ASCE 7-10 7.5, which was read",
            )
        cases.append(
            state.case(
                f"partial.{len(cases) + 1}",
                f"Partial snow, {words}",
                f"Partial snow {state.words}, {words}: {psf(worst)} where full, {psf(worst / 2)} where half. "
                f"Purlins run over the frames, so snow gone from one bay lifts its neighbour's load.",
                PARTIAL_CLAUSE,
                patches=state.base,
                steps=tuple(recorder.steps),
                pattern=pattern,
            )
        )
    return Part(tuple(cases))


def _unbalanced(state: SnowRoof) -> Part:
    """Snow blown over the ridge of a gable, each plane leeward in turn."""
    roof = state.site.roof
    if len(roof.planes) != 2:
        return Part(notes=("One slope: no unbalanced snow over a ridge.",))
    cases: list[Case] = []
    notes: list[str] = []
    for lee, wind in (roof.planes, roof.planes[::-1]):
        try:
            case = _over_ridge(state, lee, wind)
        except MissingError as error:
            need = Need(str(error), "ground_rules.winter_wind", "unbalanced snow and drifts", "estimator")
            return Part(needs=(need,))
        if case is None:
            notes.append(
                f"No unbalanced snow with the {lee.name} plane leeward: its slope of {lee.slope_in12:g} in 12 "
                "is outside 1/2 to 7 in 12."
            )
        else:
            cases.append(case)
    return Part(tuple(cases), notes=tuple(notes))


def _over_ridge(state: SnowRoof, lee: RoofPlane, wind: RoofPlane) -> Case | None:
    site, roof = state.site, state.site.roof
    p_lee, p_wind = state.p_s(lee.name), state.p_s(wind.name)
    with recording() as recorder:
        u = numbers.unbalanced_snow(
            site.edition,
            p_lee,
            site.p_g_psf,
            site.risk,
            lee.slope_deg,
            wind.run_ft,
            W_2=site.W_2,
            leeward_run_ft=lee.run_ft,
        )
    if not bool(u.applies):
        return None
    more, out = float(u.p_surcharge_psf), float(u.extent_ft)
    low, high = band(lee)
    rising = lee.y_top_ft > lee.y_eave_ft
    y0, y1 = (high - out, high) if rising else (low, low + out)
    patches = laid_over(
        whole(roof, {lee.name: p_lee, wind.name: 0.3 * p_wind}),
        (Patch(lee.name, 0.0, roof.length_ft, y0, y1, (more, more, more, more)),),
    )
    other = abs(lee.run_ft - wind.run_ft) > 0.01 or abs(lee.slope_deg - wind.slope_deg) > 0.01
    return state.case(
        f"unbalanced.{lee.name}",
        f"Snow blown over the ridge onto the {lee.name} plane",
        f"Wind over the ridge onto the {lee.name} plane {state.words}: {psf(p_lee + more)} from the ridge "
        f"{feet(out)} down ({psf(p_lee)} balanced and {psf(more)} blown), {psf(p_lee)} below that, "
        f"{psf(0.3 * p_wind)} on the {wind.name} plane.",
        UNBALANCED_CLAUSE,
        patches=patches,
        steps=tuple(recorder.steps),
        sources={"l_u": Source(f"eave to ridge of the {wind.name} plane, from where the snow comes")},
        assumed="Planes differ: fetch from the windward plane, slope and extent of the leeward one (from memory)."
        if other
        else "",
    )


def _existing(cases: list[Case], site: SnowSite) -> tuple[str, ...]:
    """What the standard asks of existing roofs where the recover raises their snow."""
    by_key = {c.key: c for c in cases}
    before, after = by_key.get("snow.balanced.before"), by_key.get("snow.balanced.after")
    if before is None or after is None or before.headline_psf is None or after.headline_psf is None:
        return ()
    was, will = before.headline_psf, after.headline_psf
    if will > was * (1 + 1e-9):
        return (
            f"The recover raises the snow on this roof from {psf(was)} to {psf(will)}: the old steel is to be checked "
            "for it (ASCE 7-10 and later 7.12).",
        )
    if site.edition != "7-22" and site.recover.insulation is not None:
        return (
            f"ASCE {site.edition} gives insulation alone no factor, so the snow stays {psf(will)}; a roof that lets "
            "less heat through melts less snow all the same.",
        )
    return ()
