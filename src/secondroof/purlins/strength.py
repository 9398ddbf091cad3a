"""Strength of the old purlins: bending, shear, crippling and their interactions, for the distinct sections at once.

How it is used. :func:`capacity` takes the :class:`~secondroof.purlins.sections.LineSections` of a roof and gives, for
its n distinct sections, arrays of shape (n,). An index ``found.which`` (n_line, n_bay) leads from a place to its
section, so ``capacity.shear.asd[found.which]`` is the shear of every line in every bay. :func:`bending_at` gives
bending for any array of (section, unbraced length) pairs; :func:`secondroof.purlins.supports.support` joins the two
members that meet at a frame. Moments are in kip-in, shears and crippling in kip, lengths in in. Each strength is a
:class:`Design` (nominal, asd, lrfd). NaN stands wherever ``found.numbers`` is False or a method does not cover the
section.

What holds which flange:

========================  =======================  ==============================================================
place                     compressed flange        taken
========================  =======================  ==============================================================
span under gravity        top                      ``top_held`` where the screwed sheet holds it; else
                                                   ``bending_at(..., "top", spacing of real braces)``, an engineer's
lap end under gravity     bottom                   ``bending_at(..., "bottom", lap end to inflection point, C_b 1.67)``
at a support, gravity     bottom, on its seat      ``support``: both members inside a full lap, else the weaker one
at a support, uplift      top                      ``top_held`` where the sheet holds it, ``support(..., side="top")``
span under uplift         bottom, bare             ``purlins.uplift``
========================  =======================  ==============================================================
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from secondroof.checks.model import Need
from secondroof.purlins.elastic import Elastic, Side
from secondroof.steel import crippling as cr
from secondroof.steel import shear
from secondroof.steel.distortional import gradient_factor
from secondroof.steel.numeric import BoolArray, FloatArray, Numeric
from secondroof.steel.properties import take as take_properties
from secondroof.steel.sections import take
from secondroof.steel.strength import Flexure, flexural_strength

if TYPE_CHECKING:
    from secondroof.purlins.sections import LineSections

Method = Literal["asd", "lrfd"]

#: C_b of a moment that falls in a straight line to zero, lap end to inflection point (printed in a design manual).
C_B_TO_ZERO = 1.67
#: Bearing at a rafter, not in the survey: the least the clause allows, and a low usual one [in]; common practice,
#: no source (rafter flanges are seldom narrower than 5 in; half of that is taken).
BEARING_LEAST_IN, BEARING_TAKEN_IN = 0.75, 2.5
NEED_BEARING = Need(
    "how the purlins sit on the frames: web bolted to a clip, or flange on the frame and on what length",
    "inside walk, three frames and both end walls",
    "whether their webs can be crushed over the frames",
)
ON_A_CLIP = "web bolted to a clip"
CLIP_WORDS = (
    "The webs are bolted to clips that keep the flange off the frame: nothing crushes them there. The bolts and the "
    "clips carry the reaction, and are not worked out here."
)
#: Unbraced lengths are rounded up to this, so that near ones are worked once; the safe side [in].
LENGTH_STEP_IN = 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """One strength: nominal, allowable (ASD) and design (LRFD), arrays of one shape."""

    nominal: FloatArray
    asd: FloatArray
    lrfd: FloatArray

    def by(self, method: Method) -> FloatArray:
        """Allowable or design strength."""
        return self.asd if method == "asd" else self.lrfd


@dataclass(frozen=True, slots=True, eq=False)
class Bending:
    """Bending strength about the axis square to the web, one flange compressed.

    Attributes
    ----------
    M : Design
        Strength that governs. [kip-in]
    no_distortional : Design
        The same without distortional buckling (F4): what it would be were the compressed flange held against
        turning; shown beside, never used by itself. [kip-in]
    M_nlo : (...) array
        Nominal moment with local buckling at F_n = F_y, for H2 and H3. [kip-in]
    governing, method : (...) str array
        Limit (``yield``, ``lateral-torsional``, ``local``, ``distortional``) and method that govern.
    other : (...) array
        Nominal moment by the other method (effective width or direct strength). [kip-in]
    detail : Flexure
        Every stress and moment of both methods.
    """

    M: Design
    no_distortional: Design
    M_nlo: FloatArray
    governing: np.ndarray
    method: np.ndarray
    other: FloatArray
    detail: Flexure


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """Web crippling on a seat, one flange, flange fastened to the seat.

    Attributes
    ----------
    bearing_in : float
        Bearing length N. [in]
    P : Design
        Strength. [kip]
    in_range : (...) bool array
        True inside every limit of the clause; outside, an engineer decides.
    """

    bearing_in: float
    P: Design
    in_range: BoolArray


@dataclass(frozen=True, slots=True, eq=False)
class Capacity:
    """Strength of the distinct sections of a roof, each (n,).

    Attributes
    ----------
    top_held : Bending
        Top flange compressed and held along its length by the screwed sheet.
    bottom_held : Bending
        Bottom flange compressed and held where it stands: on its seat at a support.
    shear : Design
        Shear of the web. [kip]
    interior, end : Seat
        Crippling over an interior support and at an end one, at the bearing taken (or the one given).
    interior_least, end_least : Seat
        The same at the least bearing of the clause: what holds there holds whatever the bearing is.
    crushes : bool
        False where the webs are bolted to clips that keep the flange off the frame: no crippling there, and the
        ratios of the seats are not to be used.
    bearing_read : bool
        False where the bearing was assumed: a ratio that needs more than the least bearing is then an engineer's.
    bearing : str
        What was taken for it and what it would change, in plain words.
    elastic : str
        ``element and analytic formulas`` or ``finite strips``.
    needs : tuple of Need
        What would settle the crippling.
    """

    top_held: Bending
    bottom_held: Bending
    shear: Design
    interior: Seat
    end: Seat
    interior_least: Seat
    end_least: Seat
    crushes: bool
    bearing_read: bool
    bearing: str
    elastic: str
    needs: tuple[Need, ...]


def capacity(
    found: LineSections,
    *,
    k_phi: Numeric = 0.0,
    bearing_in: float | None = None,
    seat: str | None = None,
    elastic: Elastic | None = None,
) -> Capacity:
    """Strength of the distinct sections.

    Parameters
    ----------
    found : LineSections
        From :func:`secondroof.purlins.sections.line_sections`.
    k_phi : numeric, optional
        Measured rotational restraint of the top flange by the sheet; 0 where none was measured. It counts only where
        the top flange is compressed. [kip-in/rad/in]
    bearing_in : float, optional
        Bearing length at the rafters, ``purlins.seat_length``; assumed where not given. [in]
    seat : str, optional
        How the purlins sit, ``purlins.seat``: ``web bolted to a clip`` or ``flange on the frame``; where not given they
        are taken to sit on their flange, the less of the two.
    elastic : Elastic, optional
        Buckling stresses from finite strips; formulas where not given.
    """
    crushes = seat != ON_A_CLIP
    n = np.arange(found.count)
    V_n = shear.web_shear(found.section.web_flat, found.section.t_web, found.Fy_ksi)
    taken = BEARING_TAKEN_IN if bearing_in is None else bearing_in
    interior, least = _seat(found, "IOF", taken), _seat(found, "IOF", BEARING_LEAST_IN)
    return Capacity(
        top_held=bending_at(found, n, "top", 0.0, k_phi=k_phi, elastic=elastic),
        bottom_held=bending_at(found, n, "bottom", 0.0, elastic=elastic),
        shear=_shear_design(np.where(found.numbers, V_n, np.nan)),
        interior=interior, end=_seat(found, "EOF", taken),
        interior_least=least, end_least=_seat(found, "EOF", BEARING_LEAST_IN),
        crushes=crushes, bearing_read=bearing_in is not None,
        bearing=_bearing_words(bearing_in, interior, least) if crushes else CLIP_WORDS,
        elastic="element and analytic formulas" if elastic is None else "finite strips",
        needs=(NEED_BEARING,) if crushes and bearing_in is None else (),
    )  # fmt: skip


def _bearing_words(bearing_in: float | None, interior: Seat, least: Seat) -> str:
    if bearing_in is not None:
        return f"Bearing at the rafters {bearing_in:g} in, as read."
    text = (
        f"Bearing at the rafters assumed {BEARING_TAKEN_IN:g} in, flange bolted to its seat (common practice, no "
        "source). A purlin whose web is bolted to a clip that keeps it off the rafter has no crippling there: its "
        "bolts carry."
    )
    with np.errstate(all="ignore"):
        loss = 1.0 - least.P.nominal / interior.P.nominal
    if np.any(np.isfinite(loss)):
        text += f" At {BEARING_LEAST_IN:g} in, the least the clause allows, it is {100 * np.nanmax(loss):.0f} % weaker."
    return text


def bending_at(
    found: LineSections, which: Any, side: Side, L_in: Numeric, *, C_b: Numeric = 1.0, k_phi: Numeric = 0.0,
    L_m_in: Numeric = np.inf, M_ratio: Numeric = -1.0, elastic: Elastic | None = None,
) -> Bending:  # fmt: skip
    """Bending strength of distinct sections ``which`` with the compressed flange braced at points.

    Parameters
    ----------
    found : LineSections
    which : int or (...) int array
        Distinct sections.
    side : str
        Compressed flange: ``top`` or ``bottom``.
    L_in : numeric
        Unbraced length sideways and in twist, 0 where held along its length; broadcasts with ``which``. Rounded up
        to ``LENGTH_STEP_IN``. [in]
    C_b : numeric, optional
        Moment gradient factor for lateral-torsional buckling.
    k_phi : numeric, optional
        Rotational restraint of the compressed flange; strips have their own, it is not counted beside ``elastic``.
        [kip-in/rad/in]
    L_m_in, M_ratio : numeric, optional
        Length between restraints against distortion and M1/M2 at its ends, for the moment gradient in distortional
        buckling. The defaults count none. A published design manual takes lap end to inflection point with 0: that
        is the other way for a lap end. [in], [-]
    elastic : Elastic, optional
        Buckling stresses from finite strips.

    Returns
    -------
    Bending
        In the broadcast shape. Equal sets are worked once.
    """
    given = (which, L_in, C_b, k_phi, L_m_in, M_ratio)
    at, L, *rest = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in given))
    L = np.ceil(L / LENGTH_STEP_IN - 1e-9) * LENGTH_STEP_IN
    if at.ndim == 0:
        return _bending(found, at.astype(int), side, L[()], *(a[()] for a in rest), elastic=elastic)
    columns = np.stack([a.ravel() for a in (at, L, *rest)])
    distinct, back = np.unique(columns, axis=1, return_inverse=True)
    made = _bending(found, distinct[0].astype(int), side, *distinct[1:], elastic=elastic)
    return _spread(made, back.reshape(at.shape))


def _bending(
    found: LineSections, at: Any, side: Side, L: Any, C_b: Any, k_phi: Any, L_m: Any, M_ratio: Any, *,
    elastic: Elastic | None,
) -> Bending:  # fmt: skip
    section = take(found.section, at)
    local = dist = None
    if elastic is not None:
        local, uniform, half_wave = (a[at] for a in elastic.of(side))
        dist = gradient_factor(np.minimum(half_wave, L_m), L_m, M_ratio) * uniform
    F_y = np.where(found.numbers, found.Fy_ksi, np.nan)[at]
    f = flexural_strength(
        section, F_y, compression=side, L_y=L, C_b=C_b, k_phi=k_phi, L_m=L_m, M_ratio=M_ratio, F_crl=local,
        F_crd=dist, properties=take_properties(found.properties, at),
    )  # fmt: skip
    ewm = f.method == "effective width"
    without = np.where(np.isnan(f.M_n), np.nan, f.M_nl)
    return Bending(
        M=Design(f.M_n, f.M_a, f.phi_M_n),
        no_distortional=Design(without, without / f.Omega, without * f.phi),
        M_nlo=f.M_nlo, governing=f.governing, method=f.method,
        other=np.where(ewm, f.M_n_dsm, f.M_n_ewm), detail=f,
    )  # fmt: skip


def _spread(b: Bending, back: np.ndarray) -> Bending:
    def design(d: Design) -> Design:
        return Design(d.nominal[back], d.asd[back], d.lrfd[back])

    detail = Flexure(**{f: np.asarray(getattr(b.detail, f))[back] for f in Flexure.__dataclass_fields__})
    return Bending(design(b.M), design(b.no_distortional), b.M_nlo[back], b.governing[back], b.method[back],
                   b.other[back], detail)  # fmt: skip


def _shear_design(V_n: FloatArray) -> Design:
    return Design(V_n, np.asarray(shear.allowable_shear(V_n, shear.OMEGA_V)),
                  np.asarray(shear.design_shear(V_n, shear.PHI_V)))  # fmt: skip


def _seat(found: LineSections, load: str, bearing_in: float) -> Seat:
    P = np.full((3, found.count), np.nan)
    ok = np.zeros(found.count, dtype=bool)
    at = np.flatnonzero(found.numbers)
    if at.size:
        s = take(found.section, at)
        lipped = (s.top_lip > 0) & (s.bottom_lip > 0)
        got = cr.web_crippling(
            s.kind, load, s.web_flat, s.t_web, s.R, found.Fy_ksi[at], bearing_in, fastened=True
        )
        P[:, at] = got.P_n, got.P_a, got.phi_P_n
        ok[at] = got.in_range & lipped
    return Seat(bearing_in, Design(*P), ok)
