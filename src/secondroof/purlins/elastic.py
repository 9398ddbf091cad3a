"""Elastic buckling of a job's few distinct sections by finite strips, kept between calls."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from secondroof.steel import finite_strip
from secondroof.steel.numeric import FloatArray
from secondroof.steel.sections import Section, take

if TYPE_CHECKING:
    from secondroof.purlins.sections import LineSections

Side = Literal["top", "bottom"]


@dataclass(frozen=True, slots=True, eq=False)
class Elastic:
    """Elastic buckling stresses of the distinct sections by finite strips, with the distortional half-wavelengths.

    Each (n,); NaN where not found. [ksi], [in]
    """

    F_crl_top: FloatArray
    F_crd_top: FloatArray
    L_crd_top: FloatArray
    F_crl_bottom: FloatArray
    F_crd_bottom: FloatArray
    L_crd_bottom: FloatArray

    def of(self, side: Side) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Local stress, distortional stress and half-wavelength of the latter, of one side [ksi], [ksi], [in]."""
        if side == "top":
            return self.F_crl_top, self.F_crd_top, self.L_crd_top
        return self.F_crl_bottom, self.F_crd_bottom, self.L_crd_bottom


def elastic_by_strips(found: LineSections, *, k_phi: float = 0.0) -> Elastic:
    """Elastic buckling of each distinct section by finite strips.

    For one job: about a second a section and side, kept for the next call. Batches use the formulas.

    Parameters
    ----------
    found : LineSections
    k_phi : float, optional
        Measured rotational restraint of the top flange by the sheet; it counts only where the top flange is
        compressed. [kip-in/rad/in]
    """
    out = np.full((6, found.count), np.nan)
    for k in np.flatnonzero(found.numbers):
        one = take(found.section, k)
        for row, side in ((0, "top"), (3, "bottom")):
            out[row : row + 3, k] = _strips(*_key(one, side == "bottom"), k_phi if side == "top" else 0.0)
    return Elastic(*out)


def _key(s: Section, turned: bool) -> tuple[Any, ...]:
    """Dimensions as numbers, the compressed side first: a section upside down is the same problem."""
    up = ("top", "top_lip", "top_angle", "top_bend")
    down = ("bottom", "bottom_lip", "bottom_angle", "bottom_bend")
    first, second = (down, up) if turned else (up, down)
    own = tuple(float(getattr(s, f)) for f in ("depth", "t", "R"))
    thick = s.t_elements[::-1] if turned else s.t_elements
    return (s.kind, *own, tuple(float(getattr(s, f)) for f in first), tuple(float(getattr(s, f)) for f in second),
            tuple(float(v) for v in thick))  # fmt: skip


@lru_cache(maxsize=512)
def _strips(
    kind: str, depth: float, t: float, R: float, first: tuple[float, ...], second: tuple[float, ...],
    thick: tuple[float, ...], k_phi: float,
) -> tuple[float, float, float]:  # fmt: skip
    names = ("", "_lip", "_angle", "_bend")
    dims = {f"top{n}": np.asarray(v) for n, v in zip(names, first, strict=True)}
    dims |= {f"bottom{n}": np.asarray(v) for n, v in zip(names, second, strict=True)}
    section = Section(
        kind=kind,
        depth=np.asarray(depth),
        t=np.asarray(t),
        R=np.asarray(R),
        t_elements=np.array(thick),
        **dims,
    )
    found = finite_strip.buckling(section, k_phi=k_phi, points=32)
    return found.F_crl, found.F_crd, found.L_crd
