"""Purlins under uplift with the roof sheet fastened to their flange, AISI S100-16 I6.2.

The R factor of I6.2.1 covers the span, never the stretch between a support and the inflection point, and never a
cantilever. It needs every one of its conditions; what is unknown is not met.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import Limit, formula
from secondroof.steel.numeric import MET, NOT_MET, UNKNOWN, BoolArray, Condition, FloatArray, Numeric

CLAUSE = "AISI S100-16 I6.2.1"
OMEGA_R, PHI_R = 1.67, 0.90
_R = "from memory"


@formula("R", unit="-", clause=CLAUSE, checked="from memory")
def simple_span_factor(d: Numeric, is_Z: Numeric) -> Numeric:
    """R of a simple span; NaN above 12 in. of depth [-].

    Parameters
    ----------
    d : numeric
        Depth out to out. [in]
    is_Z : numeric of bool
        True for a Z, False for a C. [-]
    """
    return np.where(
        d <= 6.5, 0.70, np.where(d <= 8.5, 0.65, np.where(d <= 12.0, np.where(is_Z, 0.50, 0.40), np.nan))
    )


@formula("R", unit="-", clause=CLAUSE, checked="from memory")
def continuous_span_factor(is_Z: Numeric) -> Numeric:
    """R of a continuous span [-].

    Parameters
    ----------
    is_Z : numeric of bool
        True for a Z, False for a C. [-]
    """
    return np.where(is_Z, 0.70, 0.60)


@formula("r", unit="-", clause=CLAUSE, checked=_R, limits=(Limit("t_i", 0.0, 6.0, "blanket of 0 to 6 in."),))
def blanket_factor(t_i: Numeric) -> Numeric:
    """Loss of a simple span from a blanket squeezed between sheet and flange [-].

    Parameters
    ----------
    t_i : numeric
        Thickness of the blanket before it is squeezed. [in]
    """
    return 1.00 - 0.01 * t_i


@formula("M_n", unit="kip-in", clause="AISI S100-16 I6.2.1, I6.2.2", checked=_R)
def fastened_moment(R: Numeric, S_e: Numeric, F_y: Numeric) -> Numeric:
    """Nominal moment with one flange fastened to the sheet [kip-in].

    Parameters
    ----------
    R : numeric
        Reduction factor, with the blanket factor where it applies. [-]
    S_e : numeric
        Effective modulus at F_y. [in3]
    F_y : numeric
        Yield strength. [ksi]
    """
    return R * S_e * F_y


@formula("R_t", unit="-", clause="AISI S908", checked="from memory")
def base_test_ratio(M_t: Numeric, S_e: Numeric, F_y: Numeric) -> Numeric:
    """Test moment of a base test over the moment of the braced section [-].

    Parameters
    ----------
    M_t : numeric
        Moment at failure in the test. [kip-in]
    S_e : numeric
        Effective modulus at the measured F_y. [in3]
    F_y : numeric
        Measured yield strength. [ksi]
    """
    return M_t / (S_e * F_y)


@formula("R", unit="-", clause="AISI S908", checked="from memory")
def base_test_factor(
    R_thin: Numeric, R_thick: Numeric, M_thin: Numeric, M_thick: Numeric, M: Numeric
) -> Numeric:
    """R between the thinnest and thickest purlin tested, at most 1 [-].

    Parameters
    ----------
    R_thin, R_thick : numeric
        Mean less one standard deviation of each group. [-]
    M_thin, M_thick : numeric
        Nominal moments S_e F_y of the two. [kip-in]
    M : numeric
        Nominal moment S_e F_y of the purlin asked for, between them. [kip-in]
    """
    return np.minimum(R_thin + (R_thick - R_thin) * (M - M_thin) / (M_thick - M_thin), 1.0)


def group_factor(ratios: Numeric) -> float:
    """R of one group of base tests: mean less one standard deviation [-].

    Parameters
    ----------
    ratios : (n,) array
        Test ratios of one purlin, at least three. [-]

    Raises
    ------
    InputError
        For fewer than three tests.
    """
    values = np.asarray(ratios, dtype=float)
    if values.size < 3 or not np.all(np.isfinite(values) & (values > 0)):
        raise InputError(Problem("base_test.ratios", str(ratios), "needs three tests or more, each above zero.",
                                 "Take them from the base test report."))  # fmt: skip
    return float(values.mean() - values.std(ddof=1))


@dataclass(frozen=True, slots=True)
class FastenedPurlin:
    """What has to be known of a purlin and its sheet to use the R factor; None where not known.

    Attributes
    ----------
    kind : str
        ``C`` or ``Z``.
    continuous : bool
        Continuous over supports, or a simple span.
    depth_in, thickness_in, flange_in, flat_flange_in : float
        Depth, base thickness, flange out to out, flat part of the flange. [in]
    lipped : bool
        Both flanges have lips.
    Fy_ksi : float
        Yield strength of the purlin. [ksi]
    span_ft : float
        Span. [ft]
    shortest_lap_in : float
        Shortest lap from the middle of an interior support to its end, each side looked at. [in]
    adjacent_span_ratio : float
        Longer over shorter of neighbouring spans. [-]
    held_at_supports : bool
        Both flanges held sideways at the supports.
    sheet_Fy_ksi, sheet_thickness_in, rib_depth_in, rib_spacing_in : float
        Sheet screwed to the flange. [ksi], [in]
    sheet_sound : bool
        The sheet is whole and fast: not cut out, rusted through or loose.
    blanket_in, blanket_is_glass_fibre : float, bool
        Blanket between sheet and flange before it is squeezed. [in]
    screw_diameter_in, washer_in, screw_spacing_in : float
        Screws of the sheet. [in]
    screws_well_placed : bool
        Near the middle of the flange, beside the rib.
    standoff_screws : bool
        Screws that hold the sheet off the flange.
    """

    kind: str
    continuous: bool
    depth_in: float | None = None
    thickness_in: float | None = None
    flange_in: float | None = None
    flat_flange_in: float | None = None
    lipped: bool | None = None
    Fy_ksi: float | None = None
    span_ft: float | None = None
    shortest_lap_in: float | None = None
    adjacent_span_ratio: float | None = None
    held_at_supports: bool | None = None
    sheet_Fy_ksi: float | None = None
    sheet_thickness_in: float | None = None
    rib_depth_in: float | None = None
    rib_spacing_in: float | None = None
    sheet_sound: bool | None = None
    blanket_in: float | None = None
    blanket_is_glass_fibre: bool | None = None
    screw_diameter_in: float | None = None
    washer_in: float | None = None
    screw_spacing_in: float | None = None
    screws_well_placed: bool | None = None
    standoff_screws: bool | None = None


def _ratio(a: Numeric, b: Numeric) -> Numeric:
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    with np.errstate(all="ignore"):
        return np.where(b > 0, a / b, np.nan)


@dataclass(frozen=True, slots=True)
class _Rule:
    """One condition: its words, the value looked at, the range it may have; ``flag`` where it is yes or no."""

    key: str
    text: str
    value: Callable[[Mapping[str, Numeric]], Numeric]
    low: float = -np.inf
    high: float = np.inf
    flag: bool = False
    continuous_only: str = ""


def _of(name: str) -> Callable[[Mapping[str, Numeric]], Numeric]:
    return lambda p: p[name]


def _over(a: str, b: str) -> Callable[[Mapping[str, Numeric]], Numeric]:
    return lambda p: _ratio(p[a], p[b])


RULES = (
    _Rule("depth", "depth at most 12 in", _of("depth_in"), high=12.0),
    _Rule("lips", "both flanges with lips", _of("lipped"), low=1.0, flag=True),
    _Rule("depth_over_t", "depth over thickness 60 to 170", _over("depth_in", "thickness_in"), 60.0, 170.0),
    _Rule("depth_over_flange", "depth over flange width 2.8 to 5.5", _over("depth_in", "flange_in"), 2.8, 5.5),
    _Rule("flange", "flange at least 2-1/8 in wide", _of("flange_in"), low=2.125),
    _Rule("flange_over_t", "flat flange over thickness 16 to 43", _over("flat_flange_in", "thickness_in"), 16.0, 43.0),
    _Rule("lap", "laps each side of each interior support at least 1.5 depths", _over("shortest_lap_in", "depth_in"),
          low=1.5, continuous_only="laps (simple span: none needed)"),
    _Rule("span", "span at most 33 ft", _of("span_ft"), high=33.0),
    _Rule("adjacent_spans", "neighbouring spans differ by no more than 20 percent (else the simple-span factor)",
          _of("adjacent_span_ratio"), high=1.2, continuous_only="neighbouring spans (simple span: no matter)"),
    _Rule("held", "both flanges held sideways at supports", _of("held_at_supports"), low=1.0, flag=True),
    _Rule("sheet_Fy", "steel sheet of at least 50 ksi", _of("sheet_Fy_ksi"), low=50.0),
    _Rule("sheet_t", "sheet at least 0.018 in of base steel", _of("sheet_thickness_in"), low=0.018),
    _Rule("ribs", "ribs at least 1-1/8 in deep", _of("rib_depth_in"), low=1.125),
    _Rule("rib_spacing", "ribs at most 12 in apart", _of("rib_spacing_in"), high=12.0),
    _Rule("sheet_sound", "sheet whole, fast to the flange and to itself", _of("sheet_sound"), low=1.0, flag=True),
    _Rule("blanket", "blanket at most 6 in", _of("blanket_in"), 0.0, 6.0),
    _Rule("blanket_kind", "blanket of glass fibre, or none",
          lambda p: np.where(np.asarray(p["blanket_in"]) == 0.0, 1.0, p["blanket_is_glass_fibre"]), low=1.0, flag=True),
    _Rule("screw", "screws at least No. 12 (0.216 in; 3/16 in rivets also serve)", _of("screw_diameter_in"), low=0.216),
    _Rule("washer", "washer or head at least 1/2 in", _of("washer_in"), low=0.5),
    _Rule("standoff", "no screws that hold the sheet off the flange",
          lambda p: 1.0 - np.asarray(p["standoff_screws"], dtype=float), low=1.0, flag=True),
    _Rule("screw_spacing", "screws at most 12 in apart", _of("screw_spacing_in"), high=12.0),
    _Rule("screw_place", "screws near the middle of the flange, beside the rib", _of("screws_well_placed"), low=1.0,
          flag=True),
    _Rule("Fy", "purlin yield strength at most 60 ksi", _of("Fy_ksi"), high=60.0),
)  # fmt: skip
"""Every condition of I6.2.1, from memory."""

_COLUMNS = tuple(f for f in FastenedPurlin.__dataclass_fields__ if f not in ("kind", "continuous"))


def _state_of(rule: _Rule, columns: Mapping[str, Numeric], continuous: Numeric) -> tuple[Numeric, Numeric]:
    """Value and state: 1 met, 0 not met, NaN unknown."""
    value = np.asarray(rule.value(columns), dtype=float)
    inside = (value >= rule.low - 1e-9) & (value <= rule.high + 1e-9)
    state = np.where(np.isnan(value), np.nan, inside.astype(float))
    if rule.continuous_only:
        state = np.where(continuous, state, 1.0)
    return value, state


def conditions(p: FastenedPurlin) -> tuple[Condition, ...]:
    """Every condition of AISI S100-16 I6.2.1, each met, not met or unknown. From memory.

    Parameters
    ----------
    p : FastenedPurlin
        What is known.
    """
    columns = {f: np.nan if getattr(p, f) is None else float(getattr(p, f)) for f in _COLUMNS}
    out = []
    for one in RULES:
        if one.continuous_only and not p.continuous:
            out.append(Condition(one.key, one.continuous_only, MET, "simple span", CLAUSE))
            continue
        value, state = _state_of(one, columns, p.continuous)
        if np.isnan(state):
            given = "not measured"
        else:
            given = ("yes" if value == 1.0 else "no") if one.flag else f"{float(value):.4g}"
        word = UNKNOWN if np.isnan(state) else MET if state == 1.0 else NOT_MET
        out.append(Condition(one.key, one.text, word, given, CLAUSE))
    return tuple(out)


@dataclass(frozen=True, slots=True, eq=False)
class UpliftFactors:
    """R factors of many purlins; the array form of :class:`UpliftFactor`.

    Attributes
    ----------
    R : (...) array
        Factor with the blanket loss, NaN where it may not be used. [-]
    R_if_met : (...) array
        With every open condition met; NaN where the depth or a known breach rules it out. [-]
    met, broken : (...) bool array
        Every condition met; one or more known not to be. Neither where something is unknown.
    by_condition : mapping of str to (...) array
        1 met, 0 not met, NaN unknown, by the key of each condition.
    """

    R: FloatArray
    R_if_met: FloatArray
    met: BoolArray
    broken: BoolArray
    by_condition: Mapping[str, FloatArray]


def uplift_factors(is_Z: Numeric, continuous: Numeric, **columns: Numeric) -> UpliftFactors:
    """R factor of AISI S100-16 I6.2.1 for arrays of purlins, as :func:`uplift_factor` has it for one.

    Parameters
    ----------
    is_Z : numeric of bool
        True for a Z, False for a C.
    continuous : numeric of bool
        True for a continuous span.
    **columns : numeric
        Fields of :class:`FastenedPurlin` by name; bool ones as 1 and 0; NaN or left out where unknown.

    Raises
    ------
    InputError
        For a column that is no field of it.
    """
    strange = [c for c in columns if c not in _COLUMNS]
    if strange:
        raise InputError(Problem("purlin", ", ".join(strange), "is no field of a fastened purlin.",
                                 f"Known: {', '.join(_COLUMNS)}."))  # fmt: skip
    known = {f: np.asarray(columns.get(f, np.nan), dtype=float) for f in _COLUMNS}
    states = {one.key: _state_of(one, known, np.asarray(continuous, dtype=bool))[1] for one in RULES}
    others = np.broadcast_arrays(*(v for k, v in states.items() if k != "adjacent_spans"))
    broken = np.logical_or.reduce([v == 0.0 for v in others])
    met = np.logical_and.reduce([v == 1.0 for v in others])
    simple = ~np.asarray(continuous, dtype=bool) | (states["adjacent_spans"] != 1.0)
    alone = simple_span_factor(known["depth_in"], is_Z) * blanket_factor(known["blanket_in"])
    together = continuous_span_factor(is_Z)
    R = np.where(simple, np.where(continuous, np.minimum(alone, together), alone), together)
    R_met, R_if = np.where(met, R, np.nan), np.where(broken, np.nan, R)
    return UpliftFactors(R_met, R_if, np.asarray(met), np.asarray(broken), states)


@dataclass(frozen=True, slots=True)
class UpliftFactor:
    """The R factor and whether it may be used.

    Attributes
    ----------
    R : float
        Factor with the blanket loss, NaN where it may not be used.
    R_if_met : float
        What it would be with every open condition met, NaN where the depth or a known breach rules it out.
    state : str
        ``met``, ``not met`` or ``unknown``.
    conditions : tuple of Condition
        Each condition.
    note : str
        What else to know.
    """

    R: float
    R_if_met: float
    state: str
    conditions: tuple[Condition, ...]
    note: str


def uplift_factor(p: FastenedPurlin) -> UpliftFactor:
    """R factor of AISI S100-16 I6.2.1 for one purlin.

    Unequal neighbouring spans of a continuous line fall back to the simple-span factor, as the clause has it,
    where that is the lower of the two.

    Parameters
    ----------
    p : FastenedPurlin
        What is known of purlin and sheet.

    Raises
    ------
    InputError
        For a kind other than C or Z.
    """
    if p.kind not in ("C", "Z"):
        raise InputError(Problem("purlin.kind", p.kind, "must be C or Z for the uplift factor.",
                                 "Other shapes need tests or analysis with their bracing."))  # fmt: skip
    rows = conditions(p)
    spans = next(c for c in rows if c.key == "adjacent_spans")
    simple = not p.continuous or spans.state != MET
    others = [c.state for c in rows if c.key not in ("adjacent_spans",)]
    state = NOT_MET if NOT_MET in others else UNKNOWN if UNKNOWN in others else MET
    z = p.kind == "Z"
    depth = np.nan if p.depth_in is None else p.depth_in
    blanket = np.nan if p.blanket_in is None else p.blanket_in
    if not simple:
        R = continuous_span_factor(z)
    else:
        R = simple_span_factor(depth, z) * blanket_factor(blanket)
        R = np.minimum(R, continuous_span_factor(z)) if p.continuous else R
    note = (
        "Between a support and the inflection point, and on cantilevers, use F2 to F4 with the bracing found."
    )
    if p.continuous and simple:
        note = "Neighbouring spans unequal or not known: the simple-span factor where lower. " + note
    return UpliftFactor(
        R=float(R) if state == MET else float("nan"), R_if_met=float("nan") if state == NOT_MET else float(R),
        state=state, conditions=rows, note=note,
    )  # fmt: skip
