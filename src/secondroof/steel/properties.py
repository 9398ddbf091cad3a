"""Gross section properties of open thin sections, from the centre line with true bends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.steel.numeric import FloatArray
from secondroof.steel.sections import Midline, Section, midline

LB_PER_FT_PER_IN2 = 490.0 / 144.0  # steel at 490 lb per cubic foot


@dataclass(frozen=True, slots=True, eq=False)
class Properties:
    """Gross properties about the centroid; NaN where the section cannot exist.

    Attributes
    ----------
    A : (...) array
        Area. [in2]
    Ix, Iy, Ixy : (...) array
        Second moments about the axes square to and along the web; Ixy positive for a Z whose top flange points to
        positive x. [in4]
    J, Cw : (...) array
        Torsion and warping constants. [in4], [in6]
    xo, yo : (...) array
        Shear centre from the centroid. [in]
    rx, ry, ro : (...) array
        Radii of gyration; ry about the axis along the web (not the least one); ro polar about the shear centre. [in]
    Sx_top, Sx_bottom, Sx : (...) array
        Section moduli to the top and bottom fibre, and the lesser. [in3]
    y_top, y_bottom : (...) array
        Distance of the extreme fibres from the centroid. [in]
    theta_p : (...) array
        Angle of the major principal axis from x. [deg]
    blank : (...) array
        Developed width. [in]
    weight_plf : (...) array
        Weight. [lb/ft]
    x_web : (...) array
        Centre line of the web from the centroid; m, the shear centre from the web, is ``x_web - xo`` for a C. [in]
    """

    A: FloatArray
    Ix: FloatArray
    Iy: FloatArray
    Ixy: FloatArray
    J: FloatArray
    Cw: FloatArray
    xo: FloatArray
    yo: FloatArray
    rx: FloatArray
    ry: FloatArray
    ro: FloatArray
    Sx_top: FloatArray
    Sx_bottom: FloatArray
    Sx: FloatArray
    y_top: FloatArray
    y_bottom: FloatArray
    theta_p: FloatArray
    blank: FloatArray
    weight_plf: FloatArray
    x_web: FloatArray


def take(properties: Properties, index: Any) -> Properties:
    """Properties picked from an array of them, in the shape of ``index``.

    Parameters
    ----------
    properties : Properties
        Of an array of sections, (n,).
    index : int or (...) int array
        Which.
    """
    at = np.asarray(index)
    return Properties(**{f: np.asarray(getattr(properties, f)[at]) for f in Properties.__dataclass_fields__})


def of_midline(line: Midline, web: int = 2) -> dict[str, FloatArray]:
    """Properties of a chain of strips; see :class:`Properties`.

    Parameters
    ----------
    line : Midline
        The centre line.
    web : int, optional
        Element that is the web.
    """
    x, y, L, t = line.x, line.y, line.length, line.t
    a = L * t
    A = a.sum(-1)
    x = x - (a * (x[..., 1:] + x[..., :-1]) / 2).sum(-1, keepdims=True) / A[..., None]
    y = y - (a * (y[..., 1:] + y[..., :-1]) / 2).sum(-1, keepdims=True) / A[..., None]
    dx, dy = np.diff(x, axis=-1), np.diff(y, axis=-1)
    xm, ym = x[..., :-1] + dx / 2, y[..., :-1] + dy / 2
    chord2 = np.maximum(dx**2 + dy**2, 1e-30)
    c2, s2, cs = dx**2 / chord2, dy**2 / chord2, dx * dy / chord2
    Ixl = (a * (ym**2 + dy**2 / 12)).sum(-1)
    Iyl = (a * (xm**2 + dx**2 / 12)).sum(-1)
    Ixyl = (a * (xm * ym + dx * dy / 12)).sum(-1)
    own = L * t**3 / 12
    Ix, Iy, Ixy = Ixl + (own * c2).sum(-1), Iyl + (own * s2).sum(-1), Ixyl - (own * cs).sum(-1)
    # sectorial coordinate about the centroid, then moved to the shear centre
    w = np.concatenate(
        [np.zeros((*A.shape, 1)), np.cumsum(x[..., :-1] * dy - y[..., :-1] * dx, axis=-1)], axis=-1
    )

    def integral(f: FloatArray, g: FloatArray) -> FloatArray:
        f0, f1, g0, g1 = f[..., :-1], f[..., 1:], g[..., :-1], g[..., 1:]
        return np.asarray((a * (2 * f0 * g0 + f0 * g1 + f1 * g0 + 2 * f1 * g1) / 6).sum(-1))

    Iwx, Iwy = integral(w, x), integral(w, y)
    xo = (Iyl * Iwy - Ixyl * Iwx) / (Ixl * Iyl - Ixyl**2)
    yo = (xo * Ixyl - Iwx) / Iyl
    ws = w - xo[..., None] * y + yo[..., None] * x
    mean = (a * (ws[..., :-1] + ws[..., 1:]) / 2).sum(-1) / A
    Cw = integral(ws, ws) - mean**2 * A
    y_top = (np.maximum(y[..., :-1], y[..., 1:]) + t / 2 * np.sqrt(c2)).max(-1)
    y_bottom = -(np.minimum(y[..., :-1], y[..., 1:]) - t / 2 * np.sqrt(c2)).min(-1)
    at_web = line.element == web
    return {
        "A": A, "Ix": Ix, "Iy": Iy, "Ixy": Ixy, "J": (L * t**3 / 3).sum(-1), "Cw": Cw, "xo": xo, "yo": yo,
        "rx": np.sqrt(Ix / A), "ry": np.sqrt(Iy / A), "ro": np.sqrt((Ix + Iy) / A + xo**2 + yo**2),
        "Sx_top": Ix / y_top, "Sx_bottom": Ix / y_bottom, "Sx": Ix / np.maximum(y_top, y_bottom),
        "y_top": y_top, "y_bottom": y_bottom,
        "theta_p": np.degrees(0.5 * np.arctan2(2 * np.abs(Ixy), Ix - Iy)) * np.sign(Ixy),
        "blank": L.sum(-1), "weight_plf": A * LB_PER_FT_PER_IN2, "x_web": xm[..., at_web].mean(-1),
    }  # fmt: skip


def gross(section: Section, *, sharp_corners: bool = False) -> Properties:
    """Gross properties of sections with true bends.

    Parameters
    ----------
    section : Section
        One section or an array of them.
    sharp_corners : bool, optional
        Square-corner centre line, as older tables have Cw and the shear centre; for comparison only.

    Returns
    -------
    Properties
        NaN where ``section.possible`` is False: never a number for a section that cannot exist.
    """
    with np.errstate(all="ignore"):
        found = of_midline(midline(section, sharp=sharp_corners), web=1 if section.kind == "hat" else 2)
        ok = section.possible
        return Properties(**{k: np.where(ok, v, np.nan) for k, v in found.items()})
