"""Purlins under uplift with the roof sheet fastened to their flange, AISI S100-16 I6.2.

The R factor of I6.2.1 covers the span, never the stretch between a support and the inflection point, and never a
cantilever. It needs every one of its conditions; what is unknown is not met.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import Limit, formula
from secondroof.steel.numeric import MET, NOT_MET, UNKNOWN, Condition, Numeric

CLAUSE = "AISI S100-16 I6.2.1"
OMEGA_R, PHI_R = 1.67, 0.90
_R = "from memory; agrees with own reference cases"


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


def conditions(p: FastenedPurlin) -> tuple[Condition, ...]:
    """Every condition of AISI S100-16 I6.2.1, each met, not met or unknown. From memory.

    Parameters
    ----------
    p : FastenedPurlin
        What is known.
    """

    def row(
        key: str, text: str, value: float | bool | None, low: float = -np.inf, high: float = np.inf
    ) -> Condition:
        if value is None:
            return Condition(key, text, UNKNOWN, "not measured", CLAUSE)
        if isinstance(value, bool):
            return Condition(key, text, MET if value else NOT_MET, "yes" if value else "no", CLAUSE)
        state = MET if low - 1e-9 <= value <= high + 1e-9 else NOT_MET
        return Condition(key, text, state, f"{value:.4g}", CLAUSE)

    def ratio(a: float | None, b: float | None) -> float | None:
        return None if a is None or b is None or b <= 0 else a / b

    lap = ratio(p.shortest_lap_in, p.depth_in)
    thinner = p.blanket_in == 0.0 or p.blanket_is_glass_fibre
    return (
        row("depth", "depth at most 12 in", p.depth_in, high=12.0),
        row("lips", "both flanges with lips", p.lipped),
        row("depth_over_t", "depth over thickness 60 to 170", ratio(p.depth_in, p.thickness_in), 60.0, 170.0),
        row("depth_over_flange", "depth over flange width 2.8 to 5.5", ratio(p.depth_in, p.flange_in), 2.8, 5.5),
        row("flange", "flange at least 2-1/8 in wide", p.flange_in, low=2.125),
        row("flange_over_t", "flat flange over thickness 16 to 43",
            ratio(p.flat_flange_in, p.thickness_in), 16.0, 43.0),
        row("lap", "laps each side of each interior support at least 1.5 depths", lap, low=1.5) if p.continuous
        else Condition("lap", "laps (simple span: none needed)", MET, "simple span", CLAUSE),
        row("span", "span at most 33 ft", p.span_ft, high=33.0),
        row("adjacent_spans", "neighbouring spans differ by no more than 20 percent (else the simple-span factor)",
            p.adjacent_span_ratio, high=1.2) if p.continuous
        else Condition("adjacent_spans", "neighbouring spans (simple span: no matter)", MET, "simple span", CLAUSE),
        row("held", "both flanges held sideways at supports", p.held_at_supports),
        row("sheet_Fy", "steel sheet of at least 50 ksi", p.sheet_Fy_ksi, low=50.0),
        row("sheet_t", "sheet at least 0.018 in of base steel", p.sheet_thickness_in, low=0.018),
        row("ribs", "ribs at least 1-1/8 in deep", p.rib_depth_in, low=1.125),
        row("rib_spacing", "ribs at most 12 in apart", p.rib_spacing_in, high=12.0),
        row("sheet_sound", "sheet whole, fast to the flange and to itself", p.sheet_sound),
        row("blanket", "blanket at most 6 in", p.blanket_in, 0.0, 6.0),
        row("blanket_kind", "blanket of glass fibre, or none", thinner),
        row("screw", "screws at least No. 12 (0.216 in; 3/16 in rivets also serve)", p.screw_diameter_in, low=0.216),
        row("washer", "washer or head at least 1/2 in", p.washer_in, low=0.5),
        row("standoff", "no screws that hold the sheet off the flange",
            None if p.standoff_screws is None else not p.standoff_screws),
        row("screw_spacing", "screws at most 12 in apart", p.screw_spacing_in, high=12.0),
        row("screw_place", "screws near the middle of the flange, beside the rib", p.screws_well_placed),
        row("Fy", "purlin yield strength at most 60 ksi", p.Fy_ksi, high=60.0),
    )  # fmt: skip


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
