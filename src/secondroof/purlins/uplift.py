"""Old purlins under uplift: the rule of the fastened sheet where every condition is met, else the bracing really there.

:func:`uplift_strengths` gives one row for each different combination of section, span, laps and plane, and an index
(n_line, n_bay) into the rows. In a span the bottom flange is compressed and bare. The R factor of AISI S100-16 I6.2.1
covers the span only; over the supports the top flange is compressed: there :func:`secondroof.purlins.supports.support`
with ``side="top"``, where the sheet holds it. Three numbers stand beside each other and are never mixed:

* ``fastened``: with R, only where every condition is met; ``fastened_if_met`` with the open ones taken as met,
* ``between_sag``: lateral-torsional buckling between the sag braces found (F2 to F4), with their caution,
* ``unbraced``: the same with no brace between the supports.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import Need
from secondroof.purlins.elastic import Elastic
from secondroof.purlins.places import shortest_laps
from secondroof.purlins.restraint import Restraint, restraint
from secondroof.purlins.sagbraces import CAUTION, SagBraces, sag_braces
from secondroof.purlins.sections import LAP_DEPTHS
from secondroof.purlins.strength import Capacity, Design, bending_at
from secondroof.steel import uplift as rule
from secondroof.steel.numeric import NOT_MET, UNKNOWN
from secondroof.survey.statistics import clean

if TYPE_CHECKING:
    from secondroof.purlins.sections import LineSections
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

GLASS = ("glass", "fiberglass", "fibreglass", "blanket")
FOAM = ("foam", "board", "polystyrene", "spray", "cellulose", "wool")


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """What the R factor asks of sheet, screws and supports; None where it was not found or proves nothing.

    Attributes
    ----------
    Fy_ksi : float or None
        Yield strength of the old sheet. [ksi]
    screw_diameter_in, washer_in, screw_spacing_in : float or None
        Old screws: outside of thread, washer or head, spacing along the purlin. [in]
    screws_well_placed, standoff_screws, held_at_supports : bool or None
        Near the middle of the flange beside the rib; holding the sheet off the flange; both flanges held at supports.
    """

    Fy_ksi: float | None = None
    screw_diameter_in: float | None = None
    washer_in: float | None = None
    screw_spacing_in: float | None = None
    screws_well_placed: bool | None = None
    standoff_screws: bool | None = None
    held_at_supports: bool | None = None


def sheet_facts(survey: Survey) -> SheetFacts:
    """What the survey holds of it. A sheet strength that is assumed, or without its basis, proves nothing.

    Parameters
    ----------
    survey : Survey
    """
    panel, screws = survey.old_panel, survey.old_panel.screws
    return SheetFacts(
        Fy_ksi=None if panel.yield_basis in (None, "assumed") else panel.yield_strength,
        screw_diameter_in=screws.diameter, washer_in=screws.washer, screw_spacing_in=screws.spacing,
        screws_well_placed=screws.in_middle_of_flange, standoff_screws=screws.off_flange,
        held_at_supports=survey.purlins.held_at_supports,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class UpliftStrengths:
    """Bending strength of the spans under uplift, m rows; moments are sizes (the bottom flange is compressed) [kip-in].

    Attributes
    ----------
    which : (n_line, n_bay) int array
        Row of every line and bay.
    section : (m,) int array
        Distinct section of ``LineSections``.
    span_ft : (m,) array
        Span. [ft]
    plane : (m,) str array
        Plane.
    continuous : (m,) bool array
        True where the laps at both ends, as read, make the span continuous; simple where short or not read.
    factor : tuple of UpliftFactor, length m
        Every condition met, not met or unknown.
    R, R_if_met : (m,) array
        Factor where every condition is met; with the open ones taken as met. NaN where it may not be used.
    fastened, fastened_if_met, between_sag, unbraced : Design
        See the module. NaN where there is none.
    sag_length_in : (m,) array
        Spacing of the sag braces found; NaN where not known. [in]
    state : (m,) str array
        ``known``: ``fastened`` is the strength. ``unknown``: a condition or the section is not known.
        ``engineer``: the rule may not be used; the numbers beside are for the engineer.
    reasons : tuple of tuple of str, length m
        Why.
    sag : SagBraces
        What was read of them.
    caution : str
        What sag braces do not do.
    restraint : tuple of Restraint
        What the sheet does, by plane.
    needs : tuple of Need
        What to find out.
    """

    which: np.ndarray
    section: np.ndarray
    span_ft: np.ndarray
    plane: np.ndarray
    continuous: np.ndarray
    factor: tuple[rule.UpliftFactor, ...]
    R: np.ndarray
    R_if_met: np.ndarray
    fastened: Design
    fastened_if_met: Design
    between_sag: Design
    unbraced: Design
    sag_length_in: np.ndarray
    state: np.ndarray
    reasons: tuple[tuple[str, ...], ...]
    sag: SagBraces
    caution: str
    restraint: tuple[Restraint, ...]
    needs: tuple[Need, ...]


def uplift_strengths(
    survey: Survey, recover: Recover | None, roof: Roof, found: LineSections, cap: Capacity, *,
    elastic: Elastic | None = None, lap_in: np.ndarray | None = None,
) -> UpliftStrengths:  # fmt: skip
    """Strength of every span under uplift, each way.

    Parameters
    ----------
    survey, recover, roof
        The roof and the proposal (None: as it stands today).
    found, cap : LineSections, Capacity
        Its sections and their strength.
    elastic : Elastic, optional
        Buckling stresses from finite strips.
    """
    facts = sheet_facts(survey)
    held = {r.plane: r for r in restraint(survey, recover)}
    sag = sag_braces(survey.bracing.sag, survey.bracing.faults, per_bay=survey.bracing.sag_lines_per_bay)
    which, keys = _rows(roof, found, shortest_laps(survey, roof) if lap_in is None else lap_in)
    section = np.array([k[1] for k in keys], dtype=int)
    span = np.array([k[2] for k in keys])
    sheets = {p: _sheet(survey, held[p]) for p in held}
    factors = tuple(_factor(found, k, sheets[k[0]], survey, facts) for k in keys)
    allowed = np.array([bool(held[k[0]].screwed) and held[k[0]].braces_after not in ("no",) for k in keys])
    R = np.where(allowed, [f.R for f in factors], np.nan)
    R_if = np.where(allowed, [f.R_if_met for f in factors], np.nan)
    braced = cap.bottom_held.detail
    S_e = np.where(braced.inside_ewm & found.numbers, braced.S_e, np.nan)[section]
    F_y = found.Fy_ksi[section]
    tested = _base_tested(survey, recover, [held[k[0]] for k in keys], np.asarray(S_e * F_y))
    R, R_if = np.where(np.isnan(tested), R, tested), np.where(np.isnan(tested), R_if, tested)
    L_sag = np.full(len(keys), np.nan) if sag.per_bay is None else 12.0 * span / (sag.per_bay + 1)
    between = bending_at(
        found, section, "bottom", np.where(np.isnan(L_sag), 12.0 * span, L_sag), elastic=elastic
    ).M
    nowhere = np.isnan(L_sag)
    state, reasons = _states(found, section, [held[k[0]] for k in keys], factors, tested)
    return UpliftStrengths(
        which=which, section=section, span_ft=span, plane=np.array([k[0] for k in keys]),
        continuous=np.array([_continuous(found, k) is True for k in keys]), factor=factors, R=R, R_if_met=R_if,
        fastened=_design(np.asarray(rule.fastened_moment(R, S_e, F_y))),
        fastened_if_met=_design(np.asarray(rule.fastened_moment(R_if, S_e, F_y))),
        between_sag=Design(*(np.where(nowhere, np.nan, a) for a in (between.nominal, between.asd, between.lrfd))),
        unbraced=bending_at(found, section, "bottom", 12.0 * span, elastic=elastic).M,
        sag_length_in=L_sag, state=state, reasons=reasons, sag=sag, caution=CAUTION, restraint=tuple(held.values()),
        needs=_needs(factors, held, sag, allowed, bool(np.isnan(tested).any())),
    )  # fmt: skip


def _base_tested(survey: Survey, recover: Recover | None, held: list[Restraint], M: np.ndarray) -> np.ndarray:
    """R of a seamed roof from base tests the survey brings; NaN outside the purlins tested. [-]

    AISI S908 and S100-16 I6.2.2, from memory.
    """
    tests = survey.old_panel.base_tests
    seamed = np.array([r.screwed is False for r in held], dtype=bool)
    if tests is None or not seamed.any() or (recover is not None and recover.removed_share > 0):
        return np.full(M.shape, np.nan)
    thin, thick = rule.group_factor(tests.thin_ratios), rule.group_factor(tests.thick_ratios)
    R = rule.base_test_factor(thin, thick, tests.thin_moment, tests.thick_moment, M)
    inside = (tests.thin_moment <= M) & (tests.thick_moment >= M)
    return np.where(seamed & inside, R, np.nan)


def _design(M_n: Any) -> Design:
    return Design(M_n, M_n / rule.OMEGA_R, M_n * rule.PHI_R)


# One row for each different span ------------------------------------------------------------------------------

Key = tuple[str, int, float, float, float, bool]
"""Plane, distinct section, span [ft], neighbouring span ratio, shortest lap at its ends [in], has a neighbour."""


def _rows(roof: Roof, found: LineSections, laps: np.ndarray) -> tuple[np.ndarray, list[Key]]:
    spans = np.diff(roof.frames_ft)
    n = spans.size
    ratio = np.ones(n)
    for j in range(n):
        for other in (j - 1, j + 1):
            if 0 <= other < n:
                ratio[j] = max(ratio[j], spans[j] / spans[other], spans[other] / spans[j])
    which = np.zeros(found.which.shape, dtype=int)
    index: dict[object, int] = {}
    keys: list[Key] = []
    for i, line in enumerate(found.lines):
        for j in range(n):
            ends = [laps[i, f] for f in (j, j + 1) if 0 < f < n]
            lap = float(np.min(ends)) if ends else float("nan")  # a lap not read at one end leaves it unknown
            span, beside = round(float(spans[j]), 6), round(float(ratio[j]), 6)
            key: Key = (line.plane, int(found.which[i, j]), span, beside, lap, n > 1)
            same = (*key[:4], None if np.isnan(lap) else lap, key[5])
            if same not in index:
                index[same] = len(keys)
                keys.append(key)
            which[i, j] = index[same]
    return which, keys


def _continuous(found: LineSections, key: Key) -> bool | None:
    """Whether the laps make a span continuous; None where they were not read."""
    if not key[5]:
        return False
    return None if np.isnan(key[4]) else bool(key[4] >= LAP_DEPTHS * found.section.depth[key[1]] - 1e-9)


@dataclass(frozen=True, slots=True)
class _Sheet:
    thickness_in: float | None
    sound: bool | None
    blanket_in: float | None
    glass: bool | None


def _sheet(survey: Survey, held: Restraint) -> _Sheet:
    panel = survey.old_panel
    read = [v for g in panel.thickness if g.plane in (None, held.plane) for v in clean(g.readings).values]
    sound: bool | None = None
    if held.braces_after == "no":
        sound = False
    elif held.braces_after == "yes" and panel.screws_spun is not None:
        sound = True
    return _Sheet(min(read) if read else None, sound, *_blanket(survey))


def _blanket(survey: Survey) -> tuple[float | None, bool | None]:
    ins = survey.insulation
    if ins.where in ("between purlins", "above deck", "none"):
        return 0.0, True
    if ins.where is None:
        return None, None
    kind = (ins.kind or "").lower()
    if any(w in kind for w in FOAM):
        return ins.thickness, False
    return ins.thickness, True if any(w in kind for w in GLASS) else None


def _factor(
    found: LineSections, key: Key, sheet: _Sheet, survey: Survey, facts: SheetFacts
) -> rule.UpliftFactor:
    _, k, span, ratio, lap, _ = key
    s, ok = found.section, bool(found.numbers[key[1]])
    strut = survey.purlins.eave_strut is not None and found.member[k] == "eave strut"
    kind = "C" if strut else s.kind

    def number(a: Any) -> float | None:
        return float(a) if ok and np.isfinite(a) else None

    flats = s.flats[k]
    wide, narrow = max(s.top[k], s.bottom[k]), min(s.top[k], s.bottom[k])
    flange = wide if s.depth[k] / wide < 2.8 else narrow  # the flange that breaks a limit, else the narrower
    flat = min(flats[1], flats[3]) if min(flats[1], flats[3]) / s.t[k] < 16.0 else max(flats[1], flats[3])
    continuous = _continuous(found, key)
    p = rule.FastenedPurlin(
        kind=kind, continuous=continuous is not False, depth_in=number(s.depth[k]), thickness_in=number(s.t[k]),
        flange_in=number(flange), flat_flange_in=number(flat),
        lipped=bool(s.top_lip[k] > 0 and s.bottom_lip[k] > 0) if ok else None, Fy_ksi=number(found.Fy_ksi[k]),
        span_ft=span, shortest_lap_in=None if np.isnan(lap) else lap, adjacent_span_ratio=ratio,
        held_at_supports=facts.held_at_supports, sheet_Fy_ksi=facts.Fy_ksi, sheet_thickness_in=sheet.thickness_in,
        rib_depth_in=survey.old_panel.rib_height, rib_spacing_in=survey.old_panel.rib_module,
        sheet_sound=sheet.sound, blanket_in=sheet.blanket_in, blanket_is_glass_fibre=sheet.glass,
        screw_diameter_in=facts.screw_diameter_in, washer_in=facts.washer_in,
        screw_spacing_in=facts.screw_spacing_in, screws_well_placed=facts.screws_well_placed,
        standoff_screws=facts.standoff_screws,
    )  # fmt: skip
    got = rule.uplift_factor(p)
    if continuous is None and np.isfinite(got.R_if_met):  # laps not read: the lower of the two ways
        alone = rule.simple_span_factor(s.depth[k], kind == "Z")
        alone = alone * rule.blanket_factor(np.nan if sheet.blanket_in is None else sheet.blanket_in)
        note = "Laps not read: the lower of simple and continuous. " + got.note
        return rule.UpliftFactor(
            got.R, float(np.minimum(got.R_if_met, alone)), got.state, got.conditions, note
        )
    return got


def _states(
    found: LineSections,
    section: np.ndarray,
    held: list[Restraint],
    factors: tuple[rule.UpliftFactor, ...],
    tested: np.ndarray,
) -> tuple[np.ndarray, tuple[tuple[str, ...], ...]]:
    states, reasons = [], []
    for k, r, f, R_t in zip(section, held, factors, tested, strict=True):
        why = list(found.reasons[k])
        state = str(found.state[k])
        if np.isfinite(R_t):
            why.append(
                f"R {R_t:.2f} from the base tests the survey brings; an engineer says whether they fit"
            )
        elif r.screwed is False:
            why.append("a seamed roof on clips: only base tests of that panel, clip and purlin (AISI S908) give R; "
                       "the survey has none that reach this purlin")  # fmt: skip
            state = "unknown" if state == "unknown" else "engineer"
        else:
            broken = [f"{c.text} ({c.given})" for c in f.conditions if c.state == NOT_MET]
            open_ones = [c.text for c in f.conditions if c.state == UNKNOWN]
            if r.screwed is None or r.braces == "unknown":
                why.append(r.sentences[0])
            if broken:
                why.append(f"the rule of the fastened sheet may not be used: {'; '.join(broken)}")
                state = "unknown" if state == "unknown" else "engineer"
            elif open_ones or r.screwed is None or r.braces == "unknown":
                why += [f"not known: {'; '.join(open_ones)}"] if open_ones else []
                state = "unknown"
            elif r.braces_after in ("no", "engineer") and state == "known":
                why.append(r.sentences[1] if r.braces_after != r.braces else r.sentences[0])
                state = "engineer"
        states.append(state)
        reasons.append(tuple(why))
    return np.array(states), tuple(reasons)


_MEASURED = (
    "old screws: outside of thread, washer, spacing along the purlin",
    "draw ten screws a plane; tape along three purlins",
)
_LOOKED_AT = (
    "where the old screws stand: near the middle of the flange beside the rib, sheet on the flange or held off it",
    "from below, three purlins a plane",
)
#: Words of the survey's own items where it asks for the same.
_WANTED = {
    "sheet_Fy": (
        "yield strength of the old sheet, and what it rests on",
        "mark on the underside of the sheet, old drawings; else a coupon",
    ),
    "sheet_t": ("bare thickness of the old sheet", "each plane, coating off"),
    "ribs": ("height of the old ribs", "three places"),
    "rib_spacing": ("spacing of the old ribs", "three places"),
    "sheet_sound": ("how many of 100 old screws spin", "each plane, eave, middle and ridge"),
    "blanket": ("thickness of the blanket between sheet and purlin", "at a screw line"),
    "blanket_kind": ("what lies between sheet and purlin", "at a screw line"),
    "screw": _MEASURED,
    "washer": _MEASURED,
    "screw_spacing": _MEASURED,
    "screw_place": _LOOKED_AT,
    "standoff": _LOOKED_AT,
    "held": (
        "whether both flanges of the purlins are held sideways at the frames",
        "inside walk, three frames: bolts, clips, anti-roll plates",
    ),
    "lap": ("laps each side of every frame", "two lines at every frame"),
}


def _needs(
    factors: tuple[rule.UpliftFactor, ...],
    held: dict[str, Restraint],
    sag: SagBraces,
    allowed: np.ndarray,
    untested: bool,
) -> tuple[Need, ...]:
    decides = "whether the rule of the fastened sheet may be used in uplift"
    open_keys = dict.fromkeys(
        c.key for f, ok in zip(factors, allowed, strict=True) if ok and f.state != NOT_MET for c in f.conditions
        if c.state == UNKNOWN
    )  # fmt: skip
    needs = [
        Need(what, where, decides) for key in open_keys if key in _WANTED for what, where in [_WANTED[key]]
    ]
    for r in held.values():
        needs += r.needs
        if r.screwed is False and untested:
            where = "the test reports of the old panel's type; an engineer says whether they fit"
            needs.append(
                Need("base tests (AISI S908) of the old panel, clip and purlin", where, decides, "engineer")
            )
    return tuple(dict.fromkeys((*needs, *sag.needs)))
