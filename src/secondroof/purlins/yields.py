"""Yield and tensile strength of the old purlins: what they rest on, in the order in which it is trusted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.checks.model import Need
from secondroof.survey.statistics import statistic

if TYPE_CHECKING:
    from secondroof.survey.models import Survey

#: What a written strength rests on: words, and whether it is an assumption.
BASES = {
    "coupon": ("coupon tests, the results of each not written down", False),
    "mill mark": ("a mill mark on the steel, not proven by a coupon", False),
    "drawings": ("the old drawings, not proven by a coupon", False),
    "chalk mark": ("a chalk mark: an assumption until a coupon proves it", True),
    "assumed": ("a low value assumed by the surveyor", True),
}


@dataclass(frozen=True, slots=True)
class YieldFound:
    """Strength of the old purlins.

    Attributes
    ----------
    Fy_ksi, Fu_ksi : float
        Yield and tensile strength; NaN where not known. [ksi]
    basis : str
        ``coupon``, ``mill mark``, ``drawings``, ``chalk mark``, ``assumed``, ``not written down`` or ``none``.
    assumed : bool
        True where nothing measured or printed stands behind F_y.
    sentence : str
        F_y and its basis in plain words.
    needs : tuple of Need
        What would settle it, where it is not known.
    """

    Fy_ksi: float
    Fu_ksi: float
    basis: str
    assumed: bool
    sentence: str
    needs: tuple[Need, ...]


_COUPON = Need(
    "yield strength of the purlins",
    "coupons from three purlins, where an engineer says; or a mill mark, or the old drawings; value and basis",
    "what the old purlins carry",
    "engineer",
)


def strength_found(survey: Survey) -> YieldFound:
    """Yield and tensile strength of the old purlins with their basis.

    Coupons go before a written value, and the lower of the two is used where both are given. Five coupons or more give
    the one-sided 95/75 tolerance limit, fewer the lowest. Nothing given gives NaN and a need, never a usual value.
    """
    p = survey.purlins
    written = p.yield_strength
    F_u = math.nan if p.tensile_strength is None else float(p.tensile_strength)
    coupons = statistic([r for g in p.yield_readings for r in g.readings], tolerance=True)
    if coupons is not None:
        text = f"F_y {coupons.design:.3g} ksi, {coupons.rule} of coupons."
        if written is not None and written < coupons.design:
            text = f"F_y {written:g} ksi as written, below the coupons ({coupons.design:.3g} ksi, {coupons.rule})."
            return YieldFound(float(written), F_u, "coupon", False, text, ())
        return YieldFound(coupons.design, F_u, "coupon", False, text, ())
    if written is None:
        return YieldFound(
            math.nan, F_u, "none", False, "the yield strength of the purlins is not known", (_COUPON,)
        )
    if p.yield_basis is None:
        text = f"F_y {written:g} ksi, its basis not written down: an assumption until it is."
        return YieldFound(float(written), F_u, "not written down", True, text, ())
    words, assumed = BASES[p.yield_basis]
    return YieldFound(float(written), F_u, p.yield_basis, assumed, f"F_y {written:g} ksi from {words}.", ())
