"""Sections of the old purlins from the readings: every line and bay, equal ones worked once.

The survey holds one family of dimensions; what differs from place to place is the thickness left. So the roof is a
short table of distinct sections, and an index from line and bay into it. What cannot be a section, or lies outside
what the specification covers, has a state and a reason there and no number anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import Need
from secondroof.purlins.places import DECIDES, Known, place_rows
from secondroof.purlins.yields import YieldFound, strength_found
from secondroof.steel import effective, sections
from secondroof.steel.numeric import FloatArray
from secondroof.steel.properties import Properties, gross
from secondroof.steel.scope import scope
from secondroof.steel.strength import flexural_strength
from secondroof.survey.statistics import statistic

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofLine
    from secondroof.steel.sections import Section
    from secondroof.survey.models import Survey
    from secondroof.survey.oldsteel import EaveStrut
    from secondroof.survey.statistics import ThicknessAt

PRACTICE = "common practice, no source"
#: Inside bend radius taken where none was read, and what it may be [in]; common practice, no source.
RADIUS_IN, RADIUS_RANGE_IN = 0.1875, (0.125, 0.3125)
#: Lip angle taken where none was read, by shape, and what it may be [deg]; common practice, no source.
LIP_ANGLE_DEG: dict[str, tuple[float, tuple[float, float]]] = {
    "Z": (50.0, (40.0, 90.0)),
    "C": (90.0, (80.0, 90.0)),
}
#: A lip written with more than this angle was perhaps measured inside the bend [deg].
MOST_LIKELY_ANGLE_DEG = 100.0
#: Yield strength from which steel may be full-hard sheet (AISI S100-16 A3.1, from memory) [ksi].
FULL_HARD_KSI = 80.0
#: Laps this many depths each side make a line continuous (AISI S100-16 I6.2.1, from memory).
LAP_DEPTHS = 1.5

STRUT_STAND_IN = (
    "the survey has no dimensions of the eave strut: it is worked out with those of the purlins and its top flange in "
    "the roof plane; wall, gutter and rod forces on it are not in it"
)
STRUT_OWN = (
    "the eave strut is worked out with its own dimensions under the loads of the roof; wall, gutter and rod forces on "
    "it are not in it"
)
_TABLE = "outside AISI S100-16 Table B4.1-1 (from memory)"
_PATHS = {
    "shape": ("purlins.shape", "Z or C"),
    "depth": ("purlins.depth", "outside depth of the purlins"),
    "top_flange": ("purlins.top_flange", "width of the top flange of the purlins"),
    "bottom_flange": ("purlins.bottom_flange", "width of the bottom flange of the purlins"),
    "lip": ("purlins.lip", "length of the lip of the purlins; 0 where the flange has none"),
}


@dataclass(frozen=True, slots=True)
class Assumed:
    """One figure that was not read: what was taken, why, and what it would change if wrong.

    Attributes
    ----------
    name : str
        Field or symbol.
    value, unit
        What was taken.
    low, high : float
        What it may be.
    why : str
        Basis, in words.
    effect : tuple of two float
        Least and greatest change of the bending strength over that range, as a share; NaN where none could be
        worked out.
    sentence : str
        All of it in plain words.
    """

    name: str
    value: float
    unit: str
    low: float
    high: float
    why: str
    effect: tuple[float, float]
    sentence: str


@dataclass(frozen=True, slots=True, eq=False)
class LineSections:
    """Sections of every old line in every bay.

    Attributes
    ----------
    lines : tuple of RoofLine, length n_line
        Every line of every plane, in the order of ``roof.lines``.
    which : (n_line, n_bay) int array
        Index into the distinct sections.
    member : (n,) str array
        ``purlin``, ``eave strut`` or ``ridge purlin``.
    t_in : (n,) array
        Thickness left, used for every element; NaN where not known. [in]
    read : tuple of ThicknessAt or None, length n
        Where the thickness comes from.
    section : Section
        The distinct sections, shape (n,); NaN where dimensions are missing.
    properties : Properties
        Gross properties, shape (n,); NaN where there is no section.
    Fy_ksi, Fu_ksi : (n,) array
        Strengths used; NaN where not known. [ksi]
    strength : YieldFound
        Where they come from.
    state : (n,) str array
        ``known``; ``unknown`` (something is missing or cannot be so: no number); ``engineer``.
    numbers : (n,) bool array
        True where strengths may be worked out, also for the engineer's eye; False where there is no number to give.
    reasons : tuple of tuple of str, length n
        Why a state is not ``known``.
    assumed : tuple of Assumed
        What was taken without a reading.
    needs : tuple of Need
        What to read, and where.
    """

    lines: tuple[RoofLine, ...]
    which: np.ndarray
    member: np.ndarray
    t_in: FloatArray
    read: tuple[ThicknessAt | None, ...]
    section: Section
    properties: Properties
    Fy_ksi: FloatArray
    Fu_ksi: FloatArray
    strength: YieldFound
    state: np.ndarray
    numbers: np.ndarray
    reasons: tuple[tuple[str, ...], ...]
    assumed: tuple[Assumed, ...]
    needs: tuple[Need, ...]

    @property
    def count(self) -> int:
        """Distinct sections n."""
        return len(self.read)

    @property
    def Ix_in4(self) -> FloatArray:
        """Gross second moment of every line and bay, (n_line, n_bay); NaN where there is no number [in4]."""
        return np.asarray(np.where(self.numbers, self.properties.Ix, np.nan)[self.which])

    def places(self, k: int) -> str:
        """Lines and bays of distinct section ``k`` in words, e.g. ``N1 to N15, bays 2 to 9``."""
        rows, cols = np.nonzero(self.which == k)
        names = list(dict.fromkeys(self.lines[i].name for i in rows))
        bays = sorted({int(b) + 1 for b in cols})
        line_words = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}, {len(names)} lines"
        runs = np.split(np.array(bays), np.flatnonzero(np.diff(bays) != 1) + 1)
        said = ", ".join(f"{r[0]}" if r.size == 1 else f"{r[0]} to {r[-1]}" for r in runs)
        return f"{line_words}, bay{'s' if len(bays) > 1 else ''} {said}"


def line_sections(survey: Survey, roof: Roof) -> LineSections:
    """Sections of every old line in every bay, equal ones once.

    Parameters
    ----------
    survey : Survey
    roof : Roof
        Its geometry; lines are matched by plane and count from the eave.

    Returns
    -------
    LineSections
        Never raises for what is missing: it has a state, a reason and a need.
    """
    dims, needs = _dimensions(survey)
    if dims["shape"] is not None and dims["lip"] and dims["lip_angle"] is None:
        where = "three purlins; 90 is a square lip; write it at purlins.lip_angle"
        needs.append(
            Need("angle the purlin's lips are bent from the flange", where, f"{DECIDES}, a few percent")
        )
    strength = strength_found(survey)
    needs += list(strength.needs)
    slopes = {p.name: p.slope_in12 for p in roof.planes}
    rows, which = place_rows(survey, roof)
    n = len(rows)
    t = np.array([np.nan if r.read is None else r.read.value_in for r in rows])
    member = np.array([r.member for r in rows])
    slope = np.array([slopes[r.plane] if r.member == "eave strut" else 0.0 for r in rows])
    own, strut = survey.purlins.eave_strut, member == "eave strut"
    measured = strut & (own is not None)
    section = _build(dims, t, np.degrees(np.arctan2(slope, 12.0)), strut, own)
    F_y, F_u = np.full(n, strength.Fy_ksi), np.full(n, strength.Fu_ksi)
    reasons: list[list[str]] = [[] for _ in range(n)]
    state = np.full(n, "known", dtype="<U8")
    numbers = np.ones(n, dtype=bool)

    def mark(where: np.ndarray, to: Known, why: str, *, number: bool) -> None:
        for k in np.flatnonzero(where):
            reasons[k].append(why)
            if state[k] != "unknown":
                state[k] = to
            numbers[k] &= number

    missing = [_PATHS[k][1] for k, v in dims.items() if k in _PATHS and v is None]
    blank = np.full(n, bool(missing)) & ~measured
    if missing:
        mark(blank, "unknown", f"not read: {', '.join(missing)}", number=False)
    mark(np.isnan(t), "unknown", "no thickness was read of this member", number=False)
    if np.isnan(strength.Fy_ksi):
        mark(np.ones(n, bool), "unknown", strength.sentence, number=False)
    for k, row in enumerate(rows):
        for to, why, number in row.rust:
            mark(np.arange(n) == k, to, why, number=number)
    sized = ~np.isnan(t) & ~blank
    _impossible(section, sized, mark)
    _outside(section, F_y, sized & section.possible, mark)
    mark(F_y >= FULL_HARD_KSI, "engineer",
         f"steel of {FULL_HARD_KSI:g} ksi or more may be full-hard with little stretch: AISI S100-16 A3.1 (from "
         "memory) has to be shown by coupons", number=False)  # fmt: skip
    angle = dims["lip_angle"]
    if angle is not None and angle > MOST_LIKELY_ANGLE_DEG:
        mark(sized & ~measured, "engineer",
             f"a lip at {angle:g} degrees points back at the web: an angle measured inside the bend is 180 less that; "
             "measure it again", number=False)  # fmt: skip
    mark(member == "eave strut", "engineer", STRUT_OWN if own is not None else STRUT_STAND_IN, number=True)
    for row in rows:
        if row.need is not None and row.need not in needs:
            needs.append(row.need)
    if np.any(~section.possible & sized):
        what = "depth, flanges, lip and thickness of the purlins, once more: such a section cannot be"
        needs.append(Need(what, "three purlins in three bays", DECIDES))
    return LineSections(
        lines=roof.lines, which=which, member=member, t_in=t, read=tuple(r.read for r in rows), section=section,
        properties=_properties(section, measured), Fy_ksi=F_y, Fu_ksi=F_u, strength=strength, state=state,
        numbers=numbers,
        reasons=tuple(tuple(r) for r in reasons),
        assumed=_assumed(dims, section, F_y, numbers, measured), needs=tuple(needs),
    )  # fmt: skip


def service_inertia(found: LineSections, f_ksi: Any) -> FloatArray:
    """Effective second moment of each distinct section at a service stress, (n,); NaN where there is none [in4].

    Parameters
    ----------
    found : LineSections
    f_ksi : numeric
        Stress at the compression fibre; 0.6 F_y is usual. [ksi]
    """
    ie = effective.effective_section(found.section, f_ksi, properties=found.properties).Ie
    return np.where(found.numbers, ie, np.nan)


# Dimensions --------------------------------------------------------------------------------------------------


def _dimensions(survey: Survey) -> tuple[dict[str, Any], list[Need]]:
    p = survey.purlins
    dims: dict[str, Any] = {"shape": p.shape, "lip_angle": p.lip_angle, "inside_radius": p.inside_radius}
    needs = []
    for name in ("depth", "top_flange", "bottom_flange", "lip"):
        given = getattr(p, name)
        dims[name] = _from_readings(survey, name) if given is None else given
    for name, (path, words) in _PATHS.items():
        if dims[name] is None:
            needs.append(Need(words, f"three purlins in three bays; write it at {path}", DECIDES))
    return dims, needs


def _from_readings(survey: Survey, name: str) -> float | None:
    """Lowest clean reading of a dimension whose own field is blank."""
    wanted = name.replace("_", " ")
    read = [
        r
        for g in survey.purlins.size_readings
        if (g.what or "").strip().lower() == wanted
        for r in g.readings
    ]
    found = statistic(read) if read else None
    return None if found is None else found.design


def _build(
    dims: dict[str, Any], t: FloatArray, strut_slope_deg: FloatArray, strut: np.ndarray, own: EaveStrut | None
) -> Section:
    """Sections by row; eave struts have their own sizes where those were measured, else those of the purlins."""

    def number(name: str) -> FloatArray:
        of_purlin = np.full(t.shape, np.nan if dims[name] is None else float(dims[name]))
        return of_purlin if own is None else np.where(strut, getattr(own, name), of_purlin)

    shape = dims["shape"] or "Z"  # without a shape there is no number: the state says so
    angle: Any = LIP_ANGLE_DEG[shape][0] if dims["lip_angle"] is None else dims["lip_angle"]
    bend = 90.0 - strut_slope_deg
    if own is not None:
        angle = np.where(strut, LIP_ANGLE_DEG["C"][0], angle)
        bend = bend if own.shape == "sloped C" else np.full(t.shape, 90.0)
    make = sections.z_section if shape == "Z" else sections.c_section
    return make(
        number("depth"), number("top_flange"), number("lip"), t,
        RADIUS_IN if dims["inside_radius"] is None else dims["inside_radius"], angle,
        bottom_flange=number("bottom_flange"), top_bend=bend,
    )  # fmt: skip


def _properties(section: Section, is_C: np.ndarray) -> Properties:
    """Gross properties; rows of measured eave struts are C sections, whatever the purlins are."""
    whole = gross(section)
    if section.kind == "C" or not np.any(is_C):
        return whole
    as_C = gross(replace(section, kind="C"))
    return Properties(
        **{f: np.where(is_C, getattr(as_C, f), getattr(whole, f)) for f in Properties.__dataclass_fields__}
    )


def _impossible(section: Section, sized: np.ndarray, mark: Any) -> None:
    for why, bad in sections.impossibilities(section):
        mark(bad & sized, "unknown", f"such a section cannot be: it {why}", number=False)


def _outside(section: Section, F_y: FloatArray, sized: np.ndarray, mark: Any) -> None:
    """Outside the dimensional limits of both strength methods, on either side."""
    for side in ("top", "bottom"):
        ewm, dsm = (scope(section, F_y, compression=side, method=m) for m in ("ewm", "dsm"))
        out = sized & ~np.isnan(F_y) & ~ewm.inside & ~dsm.inside
        for limit in dsm.limits:
            broken = out & ~limit.inside
            if np.any(broken):
                words = f"{_TABLE}: {limit.text} beyond what either method covers"
                mark(broken, "engineer", words, number=False)
        flagged = out & np.logical_and.reduce([one.inside for one in dsm.limits])
        mark(flagged, "engineer", _TABLE, number=False)


def _assumed(
    dims: dict[str, Any], section: Section, F_y: FloatArray, numbers: np.ndarray, struts: np.ndarray
) -> tuple[Assumed, ...]:
    if dims["shape"] is None:
        return ()
    out = []
    if dims["inside_radius"] is None:
        words = "inside bend radius of the purlins"
        out.append(_one(section, F_y, numbers, "R", RADIUS_IN, "in", RADIUS_RANGE_IN, words))
    if dims["lip_angle"] is None and dims["lip"]:
        value, span = LIP_ANGLE_DEG[dims["shape"]]
        words = "angle the lips are bent from the flange"
        out.append(_one(section, F_y, numbers & ~struts, "lip_angle", value, "deg", span, words))
    if np.any(struts & (section.top_lip > 0)):
        value, span = LIP_ANGLE_DEG["C"]
        words = "angle the lips of the eave struts are bent from the flange"
        out.append(_one(section, F_y, numbers & struts, "lip_angle", value, "deg", span, words))
    return tuple(out)


def _one(
    section: Section, F_y: FloatArray, rows: np.ndarray, name: str, value: float, unit: str,
    span: tuple[float, float], words: str,
) -> Assumed:  # fmt: skip
    effect = (float("nan"), float("nan"))
    told = "its effect could not be worked out"
    if np.any(rows):
        base = flexural_strength(section, F_y).M_n
        shifts = [np.zeros(int(rows.sum()))]
        for other in span:
            fields = ("R",) if name == "R" else ("top_angle", "bottom_angle")
            at: dict[str, Any] = {f: np.where(rows, other, getattr(section, f)) for f in fields}
            with np.errstate(all="ignore"):
                shifts.append((flexural_strength(replace(section, **at), F_y).M_n / base - 1.0)[rows])
        effect = (float(np.nanmin(shifts)), float(np.nanmax(shifts)))
        told = f"bending strength changes by {100 * effect[0]:+.0f} to {100 * effect[1]:+.0f} %"
    text = (
        f"Assumed: {words} {value:g} {unit} ({PRACTICE}). Anywhere from {span[0]:g} to {span[1]:g}, {told}."
    )
    return Assumed(name, value, unit, span[0], span[1], PRACTICE, effect, text)
