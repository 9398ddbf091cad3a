"""Where two old members meet at a frame: what both carry together, and bending with shear and with crippling.

Indices are distinct sections of :class:`~secondroof.purlins.sections.LineSections`, e.g. ``found.which[:, :-1]`` and
``found.which[:, 1:]``. Over a support the members share what comes only where the lap each side is long enough and its
bolts are sound; else the weaker one is taken by itself. At each lap end one member stands alone: check it there with
:func:`secondroof.purlins.strength.bending_at` and the interactions of :mod:`secondroof.steel.interaction`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.purlins.elastic import Side
from secondroof.purlins.strength import Capacity, Design, Method
from secondroof.steel import interaction
from secondroof.steel.numeric import BoolArray, Condition, FloatArray, Numeric
from secondroof.steel.sections import take

if TYPE_CHECKING:
    from secondroof.purlins.sections import LineSections


@dataclass(frozen=True, slots=True, eq=False)
class Support:
    """Strength at frames, where a member from each side meets; the shape of the indices given.

    Attributes
    ----------
    M, V, P : Design
        Bending, shear and crippling: the sum of both members where the lap counts, else those of the weaker member.
        [kip-in], [kip], [kip]
    M_nlo, V_n, P_n : (...) array
        Nominal strengths that go into H2 and H3, of the same members.
    both : (...) bool array
        Where both members are counted.
    in_range : (...) bool array
        Crippling inside the limits of its clause.
    """

    M: Design
    V: Design
    P: Design
    M_nlo: FloatArray
    V_n: FloatArray
    P_n: FloatArray
    both: BoolArray
    in_range: BoolArray


def support(
    cap: Capacity, left: Any, right: Any, both: Any, *, side: Side = "bottom", least_bearing: bool = False
) -> Support:
    """Strength over interior supports.

    Parameters
    ----------
    cap : Capacity
    left, right : (...) int array
        Distinct sections of the bays that meet, e.g. ``found.which[:, :-1]`` and ``found.which[:, 1:]``.
    both : (...) bool array
        True where both members count: the lap each side is at least 1.5 depths (I6.2.1, from memory) and its bolts
        are sound.
    side : str, optional
        Compressed flange: ``bottom`` under gravity, ``top`` (held by the sheet) under uplift.
    least_bearing : bool, optional
        Crippling at the least bearing of the clause instead of the one taken.
    """
    bending = cap.bottom_held if side == "bottom" else cap.top_held
    seat = cap.interior_least if least_bearing else cap.interior
    left, right, both = np.broadcast_arrays(np.asarray(left), np.asarray(right), np.asarray(both, dtype=bool))

    def join(a: FloatArray) -> FloatArray:
        return np.asarray(np.where(both, a[left] + a[right], np.minimum(a[left], a[right])))

    def design(d: Design) -> Design:
        return Design(join(d.nominal), join(d.asd), join(d.lrfd))

    return Support(
        M=design(bending.M), V=design(cap.shear), P=design(seat.P), M_nlo=join(bending.M_nlo),
        V_n=join(cap.shear.nominal), P_n=join(seat.P.nominal), both=both,
        in_range=seat.in_range[left] & seat.in_range[right],
    )  # fmt: skip


def bending_crippling_ratio(
    P: Numeric, M: Numeric, P_n: Numeric, M_nlo: Numeric, method: Method = "asd", *, nested: bool = False
) -> Numeric:
    """Bending with crippling, AISI S100-16 H3: at or below 1 holds [-].

    Parameters
    ----------
    P, M : numeric
        Reaction that presses the web and moment there, plain sizes; a reaction that lifts gives no crippling. [kip],
        [kip-in]
    P_n, M_nlo : numeric
        Nominal strengths of the members there. [kip], [kip-in]
    method : str, optional
        ``asd`` or ``lrfd``.
    nested : bool, optional
        The rule for two nested Z; only where every condition of :func:`nested_conditions` is met.
    """
    pressed = np.maximum(P, 0.0)
    return interaction.bending_crippling(pressed, P_n, np.abs(M), M_nlo, nested=nested, method=method)


def nested_conditions(
    found: LineSections, left: int, right: int, *, bearing_in: float | None = None, web_bolts: int | None = None,
    flange_bolts: int | None = None, bolt_diameter_in: float | None = None, webs_touch: bool | None = None,
) -> tuple[Condition, ...]:  # fmt: skip
    """Conditions of the nested Z rule of H3 for two members that meet; the bolts are not in the survey: unknown.

    Parameters
    ----------
    found : LineSections
    left, right : int
        Distinct sections of the two.
    bearing_in, web_bolts, flange_bolts, bolt_diameter_in, webs_touch : optional
        What was seen at the frame; unknown where not given.
    """
    s = take(found.section, np.array([left, right]))
    known = bool(np.all(found.numbers[[left, right]])) and s.kind == "Z"

    def worst(a: Any) -> float | None:
        return float(np.max(a)) if known else None

    return interaction.nested_z_conditions(
        h_over_t=worst(s.web_flat / s.t_web),
        N_over_t=None if bearing_in is None else worst(bearing_in / s.t_web),
        Fy_ksi=worst(found.Fy_ksi[[left, right]]), R_over_t=worst(s.R / s.t_web), web_bolts=web_bolts,
        flange_bolts=flange_bolts, bolt_diameter_in=bolt_diameter_in, webs_touch=webs_touch,
        thickness_ratio=worst(s.t_web.max() / s.t_web.min()) if known else None,
    )  # fmt: skip
