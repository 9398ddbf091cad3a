"""Screw connections, AISI S100-16 J4.

``t_1``, ``F_u1`` belong to the sheet under the screw head, ``t_2``, ``F_u2`` to the sheet that holds the
thread. An old sheet between them adds no pull-out and is not added to either thickness. A screw that crosses
an open gap bends: J4 does not cover it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np

from secondroof.errors import InputError, NotFoundError, Problem
from secondroof.formula import Limit, formula, spec_of
from secondroof.steel import screw_interaction as both
from secondroof.steel.numeric import (
    BoolArray,
    FloatArray,
    Numeric,
    require_not_negative,
    require_positive,
    within,
)

OMEGA_J4, PHI_J4 = 3.00, 0.50  # J4: shear, pull-out, pull-over and the screw itself

_D = Limit("d", 0.08, 0.25, "J4 covers screws of 0.08 to 0.25 in. diameter")
_MEMORY = "from memory; coefficients agree with recalled tables of screw capacity"
_STUD_TABLE = "from memory; 9 cells of a table of screw capacity, itself recalled, agree to the pound"


@formula("P_nv", unit="kip", clause="AISI S100-16 J4.3.1", checked=_STUD_TABLE, limits=(_D,))
def shear_tilting(t_2: Numeric, d: Numeric, F_u2: Numeric) -> Numeric:
    """Nominal shear of one screw limited by tilting in the sheet that holds the thread [kip].

    Parameters
    ----------
    t_2 : numeric
        Base thickness of the sheet not under the head. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u2 : numeric
        Tensile strength of the sheet not under the head. [ksi]
    """
    return 4.2 * np.sqrt(t_2**3 * d) * F_u2


@formula("P_nv", unit="kip", clause="AISI S100-16 J4.3.1", checked=_MEMORY, limits=(_D,))
def shear_bearing(t: Numeric, d: Numeric, F_u: Numeric) -> Numeric:
    """Nominal shear of one screw limited by bearing on one sheet [kip].

    Parameters
    ----------
    t : numeric
        Base thickness of that sheet. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u : numeric
        Tensile strength of that sheet. [ksi]
    """
    return 2.7 * t * d * F_u


@formula("t_2/t_1", unit="-", clause="AISI S100-16 J4.3.1", checked="definition")
def thickness_ratio(t_1: Numeric, t_2: Numeric) -> Numeric:
    """Thickness of the sheet not under the head over that of the sheet under it [-].

    Parameters
    ----------
    t_1, t_2 : numeric
        Base thickness under the head, and of the other sheet. [in]
    """
    return t_2 / t_1


@formula("P_nv", unit="kip", clause="AISI S100-16 J4.3.1", checked="from memory")
def shear_between(P_tilting: Numeric, P_bearing: Numeric, t_1: Numeric, t_2: Numeric) -> Numeric:
    """Nominal shear of one screw between the two cases of sheet thickness [kip].

    Tilting counts in full at t_2/t_1 of 1 and below, not at all at 2.5 and above, straight line between.

    Parameters
    ----------
    P_tilting : numeric
        Least of tilting and bearing on both sheets. [kip]
    P_bearing : numeric
        Least of bearing on both sheets. [kip]
    t_1, t_2 : numeric
        Base thickness under the head, and of the other sheet. [in]
    """
    return P_tilting + (P_bearing - P_tilting) * np.clip((t_2 / t_1 - 1.0) / 1.5, 0.0, 1.0)


def nominal_shear(t1: Numeric, t2: Numeric, d: Numeric, Fu1: Numeric, Fu2: Numeric) -> Numeric:
    """Nominal shear of one screw in the two sheets, AISI S100-16 J4.3.1 [kip].

    Parameters
    ----------
    t1, t2 : numeric
        Base thickness under the head, and of the other sheet. [in]
    d : numeric
        Nominal screw diameter. [in]
    Fu1, Fu2 : numeric
        Tensile strength of the two sheets. [ksi]

    Returns
    -------
    numeric
        Shear limited by the sheets; the screw's own strength is a maker's test and is not in it.

    Examples
    --------
    >>> round(float(nominal_shear(0.023, 0.060, 0.25, 62, 70)), 4)
    0.9626
    """
    bearing = np.minimum(shear_bearing(t1, d, Fu1), shear_bearing(t2, d, Fu2))
    tilting = np.minimum(shear_tilting(t2, d, Fu2), bearing)
    return shear_between(tilting, bearing, t1, t2)


@formula("P_not", unit="kip", clause="AISI S100-16 J4.4.1", checked=_STUD_TABLE, limits=(_D,))
def pull_out(t_c: Numeric, d: Numeric, F_u2: Numeric) -> Numeric:
    """Nominal pull-out of one screw from the sheet that holds its thread [kip].

    Parameters
    ----------
    t_c : numeric
        Lesser of the penetration and the base thickness of that sheet. [in]
    d : numeric
        Nominal screw diameter. [in]
    F_u2 : numeric
        Tensile strength of that sheet. [ksi]
    """
    return 0.85 * t_c * d * F_u2


@formula(
    "P_nov", unit="kip", clause="AISI S100-16 J4.4.2", checked="from memory",
    limits=(Limit("d_w", 0.3125, 0.75, "head or washer at least 5/16 in., and no more than 3/4 in. counts"),),
)  # fmt: skip
def pull_over(t_1: Numeric, d_w: Numeric, F_u1: Numeric) -> Numeric:
    """Nominal pull-over of the sheet under the head [kip].

    Parameters
    ----------
    t_1 : numeric
        Base thickness of the sheet under the head. [in]
    d_w : numeric
        Effective pull-over diameter d'w: of the head, or of its washer. [in]
    F_u1 : numeric
        Tensile strength of the sheet under the head. [ksi]
    """
    return 1.5 * t_1 * d_w * F_u1


@formula("P_nov", unit="kip", clause="AISI S100-16 J4.5.1, pull on one side",
         checked="from memory; a textbook agrees")  # fmt: skip
def pull_over_one_sided(P_nov: Numeric) -> Numeric:
    """Nominal pull-over where the sheet pulls on one side of the head only [kip].

    Parameters
    ----------
    P_nov : numeric
        Nominal pull-over with the pull spread round the head. [kip]
    """
    return 0.5 * P_nov


@formula("d'_w", unit="in", clause="AISI S100-16 J4.4.2", checked="from memory")
def loose_washer_diameter(d_h: Numeric, t_w: Numeric, t_1: Numeric, d_w: Numeric) -> Numeric:
    """Effective pull-over diameter of a loose solid steel washer under the head [in].

    Parameters
    ----------
    d_h : numeric
        Diameter of the head or its integral washer. [in]
    t_w : numeric
        Thickness of the loose washer. [in]
    t_1 : numeric
        Base thickness of the sheet under it. [in]
    d_w : numeric
        Diameter of the loose washer. [in]
    """
    return np.minimum(d_h + 2.0 * t_w + t_1, d_w)


@formula("P_a", unit="kip", clause="AISI S100-16 J4, ASD",
         checked="from memory; Omega 3.0 recomputes recalled tables")  # fmt: skip
def allowable(P_n: Numeric, Omega: Numeric) -> Numeric:
    """Allowable strength of one screw [kip].

    Parameters
    ----------
    P_n : numeric
        Nominal strength. [kip]
    Omega : numeric
        Safety factor. [-]
    """
    return P_n / Omega


@formula("phi P_n", unit="kip", clause="AISI S100-16 J4, LRFD", checked="from memory")
def design(P_n: Numeric, phi: Numeric) -> Numeric:
    """Design strength of one screw [kip].

    Parameters
    ----------
    P_n : numeric
        Nominal strength. [kip]
    phi : numeric
        Resistance factor. [-]
    """
    return phi * P_n


@formula("s_min", unit="in", clause="AISI S100-16 J4.1", checked="verified: two handbooks")
def least_spacing(d: Numeric) -> Numeric:
    """Least distance between screws, centre to centre [in].

    Parameters
    ----------
    d : numeric
        Nominal screw diameter. [in]
    """
    return 3.0 * d


@formula("e_min", unit="in", clause="AISI S100-16 J4.2", checked="verified: a handbook; an older one asks 3d")
def least_edge(d: Numeric) -> Numeric:
    """Least distance from the centre of a screw to the edge or end of a sheet [in].

    Parameters
    ----------
    d : numeric
        Nominal screw diameter. [in]
    """
    return 1.5 * d


# nominal diameters by size name [in]; two handbooks agree. A 1/4-14 is 0.250; a wood-screw No. 14 is 0.242
SCREW_DIAMETER_IN: Mapping[str, float] = MappingProxyType({
    "No. 6": 0.138, "No. 8": 0.164, "No. 10": 0.190, "No. 12": 0.216, "No. 14": 0.242, "1/4 in": 0.250,
})  # fmt: skip
_OTHER_NAMES = {"1/4-14": "1/4 in", "1/4-20": "1/4 in", "1/4": "1/4 in", "12-14": "No. 12", "12-24": "No. 12",
                "10-16": "No. 10", "8-18": "No. 8"}  # fmt: skip

# usual diameters under the head [in], common practice, no source: use the maker's drawing where there is one
TYPICAL_WASHER_IN: Mapping[str, float] = MappingProxyType({
    "No. 10 hex washer head": 0.375, "No. 12 hex washer head": 0.415, "1/4 in hex washer head": 0.500,
    "1/2 in sealing washer": 0.500, "5/8 in sealing washer": 0.625, "pancake head": 0.435,
})  # fmt: skip


def screw_diameter(size: str) -> float:
    """Nominal diameter of a screw by its size name [in].

    Raises
    ------
    NotFoundError
        Naming the sizes that are known.

    Examples
    --------
    >>> screw_diameter("1/4-14")
    0.25
    """
    name = _OTHER_NAMES.get(size.strip(), size.strip())
    if name not in SCREW_DIAMETER_IN:
        known = ", ".join((*SCREW_DIAMETER_IN, *_OTHER_NAMES))
        raise NotFoundError(f"Screw size {size!r} is not known. Known sizes: {known}.")
    return SCREW_DIAMETER_IN[name]


@dataclass(frozen=True, slots=True)
class ScrewGroup:
    """Every limit of one screw in two sheets, as arrays of one shape, for given shear and tension per screw.

    A NaN means unknown (the maker's test was not given), never a pass: ``screw_known`` is then False and
    ``ratio`` is that of the sheets alone.

    Attributes
    ----------
    method : str
        ``asd`` or ``lrfd``; ``available`` strengths are nominal / Omega or phi x nominal.
    shear, pull_out, pull_over : (...) array
        Nominal strengths. [kip]
    screw_shear, screw_tension : (...) array
        Strength of the screw itself; NaN where not given. [kip]
    shear_available, pull_out_available, pull_over_available, screw_shear_available, screw_tension_available
        The same, allowable or design. [kip]
    ratio_shear, ratio_pull_out, ratio_pull_over, ratio_screw : (...) array
        Demand over available strength; ``ratio_screw`` takes in J4.5.3 and is NaN where unknown.
    ratio_shear_pull_over, ratio_shear_pull_out : (...) array
        Shear and tension together: J4.5.1 and J4.5.2 in their ranges, the straight-line sum outside.
    in_range_pull_over, in_range_pull_out : (...) bool array
        True where J4.5.1, J4.5.2 were used in their tested ranges; False means the straight line stood in.
    in_range_j4 : (...) bool array
        True where screw diameter and pull-over diameter are those J4 covers; False: an engineer decides.
    in_range : (...) bool array
        True where every clause used is in its range, screw and pull-over diameter included.
    ratio : (...) array
        Highest known ratio.
    governing : (...) array of str
        Which one it is.
    screw_known : (...) bool array
        True where both strengths of the screw itself were given.
    """

    method: str
    shear: FloatArray
    pull_out: FloatArray
    pull_over: FloatArray
    screw_shear: FloatArray
    screw_tension: FloatArray
    shear_available: FloatArray
    pull_out_available: FloatArray
    pull_over_available: FloatArray
    screw_shear_available: FloatArray
    screw_tension_available: FloatArray
    ratio_shear: FloatArray
    ratio_pull_out: FloatArray
    ratio_pull_over: FloatArray
    ratio_screw: FloatArray
    ratio_shear_pull_over: FloatArray
    ratio_shear_pull_out: FloatArray
    in_range_pull_over: BoolArray
    in_range_pull_out: BoolArray
    in_range_j4: BoolArray
    in_range: BoolArray
    ratio: FloatArray
    governing: Any
    screw_known: BoolArray


MODES = ("shear", "pull-out", "pull-over", "shear + pull-over", "shear + pull-out", "screw itself")


def screw_group(
    T: Numeric,
    V: Numeric,
    t1: Numeric,
    t2: Numeric,
    d: Numeric,
    Fu1: Numeric,
    Fu2: Numeric,
    dw: Numeric,
    *,
    tc: Numeric | None = None,
    Fy2: Numeric | None = None,
    one_sided: Numeric = False,
    screw_shear: Numeric | None = None,
    screw_tension: Numeric | None = None,
    method: str = "asd",
) -> ScrewGroup:
    """Check one screw of a group in every mode of AISI S100-16 J4.

    Parameters
    ----------
    T, V : numeric
        Tension and shear in one screw, zero or more, at service level for ASD, factored for LRFD. [kip]
    t1, t2 : numeric
        Base thickness of the sheet under the head, and of the sheet that holds the thread. [in]
    d : numeric
        Nominal screw diameter. [in]
    Fu1, Fu2 : numeric
        Tensile strengths of the two sheets (62 at most for 80-ksi sheet of low ductility). [ksi]
    dw : numeric
        Effective pull-over diameter of head or washer; above 3/4 in. is out of range, not clamped. [in]
    tc : numeric, optional
        Penetration of full thread into the second sheet where less than ``t2``. [in]
    Fy2 : numeric, optional
        Yield strength of the second sheet; without it the range of J4.5.2 cannot be shown and the straight
        line is used. [ksi]
    one_sided : numeric of bool, optional
        The sheet pulls on one side of the head only: half the pull-over.
    screw_shear, screw_tension : numeric, optional
        Strength of the screw itself, from the maker's test. [kip]
    method : str, optional
        ``asd`` or ``lrfd``.

    Returns
    -------
    ScrewGroup
        Arrays of the common shape.

    Raises
    ------
    InputError
        Naming a thickness, diameter or strength that is not above zero, or a force below zero.
    """
    if method not in ("asd", "lrfd"):
        raise InputError(Problem("screw.method", method, "must be asd or lrfd.", "Give one of the two."))
    given = {"tc": tc, "Fy2": Fy2, "screw_shear": screw_shear, "screw_tension": screw_tension}
    require_positive("screw", t1=t1, t2=t2, d=d, Fu1=Fu1, Fu2=Fu2, dw=dw,
                     **{k: v for k, v in given.items() if v is not None})  # fmt: skip
    require_not_negative("screw", T=T, V=V)
    nan = np.nan
    T, V, t1, t2, d, Fu1, Fu2, dw = (np.asarray(a, dtype=float)[()] for a in (T, V, t1, t2, d, Fu1, Fu2, dw))
    tc, Fy2, screw_shear, screw_tension = (
        None if a is None else np.asarray(a, dtype=float)[()] for a in (tc, Fy2, screw_shear, screw_tension)
    )
    tc = t2 if tc is None else np.minimum(tc, t2)
    Fy2 = nan if Fy2 is None else Fy2
    k_e = np.where(one_sided, 0.5, 1.0)

    def available(P_n: Numeric) -> Numeric:
        return allowable(P_n, OMEGA_J4) if method == "asd" else design(P_n, PHI_J4)

    shear, out, over = nominal_shear(t1, t2, d, Fu1, Fu2), pull_out(tc, d, Fu2), pull_over(t1, dw, Fu1)
    if np.any(one_sided):
        over = np.where(one_sided, pull_over_one_sided(over), over)
    Pss, Pts = nan if screw_shear is None else screw_shear, nan if screw_tension is None else screw_tension
    shear_a, out_a, over_a = (available(p) for p in (shear, out, over))
    Pss_a, Pts_a = (nan if np.all(np.isnan(p)) else available(p) for p in (Pss, Pts))

    in_451 = within(spec_of(both.shear_pull_over_asd), {"t_1": t1, "d": d, "d_w": dw, "F_u1": Fu1}) & within(
        spec_of(both.pullover_thickness_ratio), {}, both.pullover_thickness_ratio(t1, t2)
    )
    in_452 = within(spec_of(both.shear_pull_out_asd), {"t_2": t2, "d": d, "F_u2": Fu2}) & within(
        spec_of(both.tensile_to_yield), {}, both.tensile_to_yield(Fu2, Fy2)
    )
    asd = method == "asd"
    tested_over = tested_out = line_over = line_out = nan
    # only what is used is worked out, so a card shows no clause outside its range
    if np.any(in_451):
        given_451 = (V, T, t1, d, Fu1, dw, k_e)
        tested_over = (
            both.shear_pull_over_asd(*given_451, both.OMEGA_PULLOVER)
            if asd
            else both.shear_pull_over_lrfd(*given_451, both.PHI_PULLOVER)
        )
    if np.any(in_452):
        given_452 = (V, T, t2, tc, d, Fu2)
        tested_out = (
            both.shear_pull_out_asd(*given_452, both.OMEGA_PULLOUT)
            if asd
            else both.shear_pull_out_lrfd(*given_452, both.PHI_PULLOUT)
        )
    if not np.all(in_451):
        line_over = both.straight_line(V, T, shear_a, over_a)
    if not np.all(in_452):
        tilting_a = available(np.minimum(shear, shear_tilting(t2, d, Fu2)))
        line_out = both.straight_line(V, T, tilting_a, out_a)
    j453: Numeric = nan
    if np.any(np.isfinite(Pss) & np.isfinite(Pts)):
        j453 = (
            both.screw_shear_tension_asd(V, T, Pss, Pts, OMEGA_J4)
            if asd
            else both.screw_shear_tension_lrfd(V, T, Pss, Pts, PHI_J4)
        )
    in_d = within(spec_of(pull_out), {"d": d}) & within(spec_of(pull_over), {"d_w": dw})

    # a screw that is not loaded in one way needs no test for that way, but its test must be known to say so
    ratio_screw = np.maximum(np.maximum(V / Pss_a, T / Pts_a), j453)
    ratios = np.broadcast_arrays(
        V / shear_a, T / out_a, T / over_a, np.where(in_451, tested_over, line_over),
        np.where(in_452, tested_out, line_out), ratio_screw,
    )  # fmt: skip
    stack = np.stack([np.asarray(r, dtype=float) for r in ratios])
    known = np.where(np.isnan(stack), -np.inf, stack)
    shape = stack.shape[1:]

    def wide(a: Numeric, kind: type = float) -> Any:
        return np.broadcast_to(np.asarray(a, dtype=kind), shape)

    return ScrewGroup(
        method=method, shear=wide(shear), pull_out=wide(out), pull_over=wide(over), screw_shear=wide(Pss),
        screw_tension=wide(Pts), shear_available=wide(shear_a), pull_out_available=wide(out_a),
        pull_over_available=wide(over_a), screw_shear_available=wide(Pss_a),
        screw_tension_available=wide(Pts_a),
        ratio_shear=stack[0], ratio_pull_out=stack[1], ratio_pull_over=stack[2], ratio_screw=stack[5],
        ratio_shear_pull_over=stack[3], ratio_shear_pull_out=stack[4], in_range_pull_over=wide(in_451, bool),
        in_range_pull_out=wide(in_452, bool), in_range_j4=wide(in_d, bool), in_range=wide(in_451 & in_452 & in_d, bool),
        ratio=known.max(axis=0), governing=np.asarray(MODES)[known.argmax(axis=0)],
        screw_known=wide(np.isfinite(Pss) & np.isfinite(Pts), bool),
    )  # fmt: skip
