"""Elastic buckling by semi-analytical finite strips: local and distortional, simply supported, one half-wave.

Each flat is cut into strips; across a strip the membrane displacements are linear and the bending displacement is
cubic, along it all are one half sine (the lengthwise displacement a half cosine). For a half-wavelength a, with
mu = pi/a, the stiffness is a sum of constant matrices times powers of mu, so a whole curve costs one assembly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import note_step
from secondroof.steel.numeric import MU, E, FloatArray
from secondroof.steel.properties import gross
from secondroof.steel.sections import Section, midline, require_possible

STRIPS_LIPPED = (4, 8, 16, 8, 4)
STRIPS_HAT = (8, 16, 8, 16, 8)
STRIPS_CORNER = 4
_G = E / (2.0 * (1.0 + MU))
_GAUSS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True, slots=True, eq=False)
class Buckling:
    """Elastic buckling of one section in bending.

    Attributes
    ----------
    F_crl, L_crl : float
        Local buckling stress at the extreme compression fibre, and its half-wavelength. [ksi], [in]
    F_crd, L_crd : float
        Distortional buckling stress and half-wavelength; NaN where the curve has no minimum of its own for it.
    lengths, stresses : (n,) array
        The whole curve. [in], [ksi]
    M_crl, M_crd : float
        Moments, stress times gross modulus of the compression fibre. [kip-in]
    residual : float
        Self-check: size of (K - F Kg) x at the local minimum over that of K x. [-]
    """

    F_crl: float
    L_crl: float
    F_crd: float
    L_crd: float
    lengths: FloatArray
    stresses: FloatArray
    M_crl: float
    M_crd: float
    residual: float


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """Assembled strips: K = K0 + mu K1 + mu^2 K2 + mu^4 K4 and Kg = mu^2 G, all divided by a/2.

    Attributes
    ----------
    K : mapping of int to array
        Stiffness by power of mu.
    G : array
        Geometric stiffness for unit stress at the reference fibre.
    """

    K: Mapping[int, FloatArray]
    G: FloatArray


def _hermite(s: FloatArray, b: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Cubic shape functions and two derivatives at places s (0..1) of strips of width b: (strips, points, 4)."""
    b = b[:, None]
    s = s[None, :] * np.ones_like(b)
    one = np.ones_like(s)
    H = [1 - 3 * s**2 + 2 * s**3, b * (s - 2 * s**2 + s**3), 3 * s**2 - 2 * s**3, b * (s**3 - s**2)]
    H1 = [(6 * s**2 - 6 * s) / b, 1 - 4 * s + 3 * s**2, (6 * s - 6 * s**2) / b, 3 * s**2 - 2 * s]
    H2 = [(12 * s - 6) / b**2, (6 * s - 4) / b, (6 - 12 * s) / b**2, (6 * s - 2) / b]
    return (np.stack(H, -1) * one[..., None], np.stack(H1, -1), np.stack(H2, -1))


def assemble(x: FloatArray, y: FloatArray, t: FloatArray, stress: FloatArray) -> Model:
    """Matrices of a chain of strips.

    Parameters
    ----------
    x, y : (n + 1,) array
        Points. [in]
    t : (n,) array
        Thickness of each strip. [in]
    stress : (n + 1,) array
        Stress at each point over that at the reference fibre, compression positive. [-]
    """
    dx, dy = np.diff(x), np.diff(y)
    b = np.hypot(dx, dy)
    n = b.size
    E1, D = E / (1 - MU**2), E * t**3 / (12 * (1 - MU**2))
    k: dict[int, FloatArray] = {p: np.zeros((n, 8, 8)) for p in (0, 1, 2, 4)}
    # local freedoms of a strip: u1 v1 w1 q1 u2 v2 w2 q2
    iu, iv, iw = np.array([0, 4]), np.array([1, 5]), np.array([2, 3, 6, 7])
    NN = b[:, None, None] / 6 * np.array([[2.0, 1.0], [1.0, 2.0]])
    DD = np.array([[1.0, -1.0], [-1.0, 1.0]]) / b[:, None, None]
    DN = np.broadcast_to(np.array([[-0.5, -0.5], [0.5, 0.5]]), NN.shape)
    tt = t[:, None, None]

    def put(power: int, rows: Any, cols: Any, block: FloatArray) -> None:
        k[power][:, rows[:, None], cols[None, :]] += block

    put(0, iu, iu, tt * E1 * DD)
    put(2, iu, iu, tt * _G * NN)
    put(2, iv, iv, tt * E1 * NN)
    put(0, iv, iv, tt * _G * DD)
    cross = tt * (-E1 * MU * DN + _G * DN.swapaxes(1, 2))
    put(1, iu, iv, cross)
    put(1, iv, iu, cross.swapaxes(1, 2))
    s, weight = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
    H, H1, H2 = _hermite(s, b)
    wb = weight[None, :] * b[:, None]

    def integral(A: FloatArray, B: FloatArray, w: FloatArray) -> FloatArray:
        return np.asarray(np.einsum("npi,npj,np->nij", A, B, w))

    Dd = D[:, None, None]
    put(0, iw, iw, Dd * integral(H2, H2, wb))
    mixed = integral(H2, H, wb)
    put(2, iw, iw, Dd * (-MU * (mixed + mixed.swapaxes(1, 2)) + 2 * (1 - MU) * integral(H1, H1, wb)))
    put(4, iw, iw, Dd * integral(H, H, wb))
    at = stress[:-1, None] * (1 - s) + stress[1:, None] * s
    ws = wb * at * t[:, None]
    N = np.broadcast_to(np.stack([1 - s, s], -1), (n, s.size, 2))
    g = np.zeros((n, 8, 8))
    for rows, shape in ((iu, N), (iv, N), (iw, H)):
        g[:, rows[:, None], rows[None, :]] += integral(shape, shape, ws)
    # turn to common axes: u = U cos + W sin, w = -U sin + W cos
    turn = np.zeros((n, 8, 8))
    c, sn = dx / b, dy / b
    for o in (0, 4):
        turn[:, o, o], turn[:, o, o + 2] = c, sn
        turn[:, o + 2, o], turn[:, o + 2, o + 2] = -sn, c
        turn[:, o + 1, o + 1] = turn[:, o + 3, o + 3] = 1.0
    size = 4 * (n + 1)
    place = 4 * np.arange(n)[:, None] + np.arange(8)[None, :]

    def gather(local: FloatArray) -> FloatArray:
        whole = np.zeros((size, size))
        turned = turn.swapaxes(1, 2) @ local @ turn
        np.add.at(whole, (place[:, :, None], place[:, None, :]), turned)
        return whole

    return Model({p: gather(a) for p, a in k.items()}, gather(g))


def stresses_at(model: Model, lengths: FloatArray) -> FloatArray:
    """Lowest buckling stress at each half-wavelength [ksi]."""
    from scipy.linalg import eigh

    found = []
    for a in np.atleast_1d(lengths):
        K, Kg = _at(model, float(a))
        top = eigh(Kg, K, eigvals_only=True, subset_by_index=[K.shape[0] - 1, K.shape[0] - 1])[0]
        found.append(1.0 / top if top > 0 else np.nan)
    return np.array(found)


def _at(model: Model, a: float) -> tuple[FloatArray, FloatArray]:
    m = np.pi / a
    K = sum(mat * m**p for p, mat in model.K.items())
    return np.asarray(K), model.G * m**2


def _self_check(model: Model, a: float) -> float:
    from scipy.linalg import eigh

    K, Kg = _at(model, a)
    size = K.shape[0]
    value, vector = eigh(Kg, K, subset_by_index=[size - 1, size - 1])
    x = vector[:, 0]
    return float(np.linalg.norm(K @ x - Kg @ x / value[0]) / np.linalg.norm(K @ x))


def section_model(
    section: Section, *, compression: str = "top", k_phi: float = 0.0, k_x: float = 0.0
) -> tuple[Model, float]:
    """Strips of one section in restrained bending, and its modulus to the compression fibre.

    Parameters
    ----------
    section : Section
        One section (not an array).
    compression : str, optional
        ``top`` or ``bottom``.
    k_phi : float, optional
        Rotational restraint of the compression flange by sheathing, at its middle. Counts only where the sheathed
        flange is the compressed one. [kip-in/rad/in]
    k_x : float, optional
        Sideways restraint there. [kip/in/in]

    Raises
    ------
    InputError
        For an array of sections, an impossible section, or a negative restraint.
    """
    if section.shape != ():
        raise InputError(
            Problem("section", f"{section.shape} sections", "must be one section.", "Call it for each.")
        )
    if compression not in ("top", "bottom"):
        mend = "Say which flange is compressed."
        raise InputError(Problem("compression", compression, "must be top or bottom.", mend))
    if not (k_phi >= 0 and k_x >= 0 and np.isfinite(k_phi + k_x)):
        mend = "Leave out what was not measured."
        raise InputError(Problem("k_phi, k_x", f"{k_phi}, {k_x}", "must be zero or more.", mend))
    require_possible(section)
    hat = section.kind == "hat"
    plain = tuple(
        1 if lip <= 0 else n
        for n, lip in zip(
            STRIPS_LIPPED, (float(section.top_lip), 1.0, 1.0, 1.0, float(section.bottom_lip)), strict=True
        )
    )
    line = midline(section, strips=STRIPS_HAT if hat else plain, corner=STRIPS_CORNER)
    p = gross(section)
    a = line.length * line.t
    yc = (a * (line.y[1:] + line.y[:-1]) / 2).sum() / a.sum()
    keep = np.hypot(np.diff(line.x), np.diff(line.y)) > 1e-9
    points = np.concatenate([[True], keep])
    x, y, t, element = line.x[points], line.y[points], line.t[keep], line.element[keep]
    fibre = float(p.y_top if compression == "top" else p.y_bottom)
    stress = (y - yc) / fibre * (1.0 if compression == "top" else -1.0)
    model = assemble(x, y, t, stress)
    if k_phi or k_x:
        flange = (2 if hat else 1) if compression == "top" else (0 if hat else 3)
        mid = _middle(element, flange)
        K0 = model.K[0].copy()
        K0[4 * mid + 3, 4 * mid + 3] += k_phi
        K0[4 * mid, 4 * mid] += k_x
        model = Model({**model.K, 0: K0}, model.G)
    return model, float(p.Ix) / fibre


def _middle(element: Any, flange: int) -> int:
    """Point at the middle of a flat element."""
    strips = np.flatnonzero(element == flange)
    return int(strips[len(strips) // 2])


def buckling(
    section: Section, *, compression: str = "top", k_phi: float = 0.0, k_x: float = 0.0, points: int = 48
) -> Buckling:
    """Local and distortional buckling of one section in restrained bending.

    The lowest minimum of the curve at half-wavelengths up to the depth is local, the lowest beyond it distortional;
    without a lip on the compressed flange every minimum is local. Thick sections with short lips may have no local
    minimum of their own: it is then NaN and the distortional one governs.
    Bending is about the axis square to the web, as for a member held by its sheet.

    Parameters
    ----------
    section : Section
        One section (not an array).
    compression : str, optional
        ``top`` or ``bottom``.
    k_phi, k_x : float, optional
        Restraint by sheathing at the middle of the compression flange. [kip-in/rad/in], [kip/in/in]
    points : int, optional
        Half-wavelengths on the curve.

    Raises
    ------
    InputError
        As :func:`section_model`.
    """
    model, S_c = section_model(section, compression=compression, k_phi=k_phi, k_x=k_x)
    depth = float(section.depth)
    lengths = np.geomspace(0.15 * depth, 8.0 * depth, points)
    curve = stresses_at(model, lengths)
    inner = [int(i) + 1 for i in np.flatnonzero((curve[1:-1] < curve[:-2]) & (curve[1:-1] <= curve[2:]))]
    lip = section.top_lip if compression == "top" else section.bottom_lip
    lipped = section.kind != "hat" and float(lip) > 0
    local = [i for i in inner if not lipped or lengths[i] <= 1.05 * depth]
    dist = [i for i in inner if i not in local]
    F_l, L_l = _refine(model, lengths, min(local, key=lambda i: curve[i])) if local else (np.nan, np.nan)
    F_d, L_d = _refine(model, lengths, min(dist, key=lambda i: curve[i])) if dist else (np.nan, np.nan)
    residual = _self_check(model, L_l if np.isfinite(L_l) else depth)
    result = Buckling(F_l, L_l, F_d, L_d, lengths, curve, F_l * S_c, F_d * S_c, residual)
    note_step(
        "Elastic buckling by finite strips", symbol="F_crl, F_crd", unit="ksi", clause="AISI S100-16 App. 2, 2.2",
        inputs={"compression": compression, "k_phi": k_phi, "k_x": k_x, "S_c": S_c}, result=(F_l, F_d),
        method=f"semi-analytical finite strips, simply supported, one half-wave, {model.G.shape[0]} freedoms",
        checked="verified: published finite strip curves within 1.5 percent",
        self_check=f"residual of the eigenvector {residual:.1e}",
    )  # fmt: skip
    return result


def _refine(model: Model, lengths: FloatArray, i: int) -> tuple[float, float]:
    """Minimum near a point of the curve, by golden section on the logarithm of the length."""
    lo, hi = np.log(lengths[i - 1]), np.log(lengths[i + 1])
    ratio = (np.sqrt(5.0) - 1) / 2
    c, d = hi - ratio * (hi - lo), lo + ratio * (hi - lo)
    fc, fd = (float(stresses_at(model, np.exp([v]))[0]) for v in (c, d))
    for _ in range(10):
        if fc < fd:
            hi, d, fd = d, c, fc
            c = hi - ratio * (hi - lo)
            fc = float(stresses_at(model, np.exp([c]))[0])
        else:
            lo, c, fc = c, d, fd
            d = lo + ratio * (hi - lo)
            fd = float(stresses_at(model, np.exp([d]))[0])
    best = min((fc, c), (fd, d))
    return best[0], float(np.exp(best[1]))
