"""Water that lies where a surface sinks: the depth at which it comes to rest, or the sign that it never does.

The model, own derivation: the water stands at one level, fed as long as it wants more (rain goes on, the way out is
blocked up to that level). At a node the depth is what it would be on a stiff roof plus the deflection there, never
below zero; the water's weight makes deflection in turn. With ``A`` the deflection of every node per inch of water at
every node, the water rests where ``depth = max(0, stiff + A depth)``. Over the wet nodes ``A`` has a largest
eigenvalue, the *growth*: what comes back of an inch that was added. At 1 or more every added inch brings more than an
inch and the water runs away; below 1 the whole is at most ``1 / (1 - growth)`` times the first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secondroof.lines.words import FloatArray

_MOST_PASSES = 5000
_SMALL = 64


@dataclass(frozen=True, slots=True, eq=False)
class Rest:
    """Where the water comes to rest.

    Attributes
    ----------
    depth_in : (m,) array
        Depth at each node, NaN where the water runs away. [in]
    growth : float
        Largest eigenvalue over the nodes that are wet at the end. [-]
    settles : bool
        True where it comes to rest.
    passes : int
        Rounds of water and deflection until it rested, or until it was plain that it does not.
    residual : float
        Largest difference between depth and what it should be, over the largest depth. [-]
    """

    depth_in: FloatArray
    growth: float
    settles: bool
    passes: int
    residual: float


def come_to_rest(A: FloatArray, stiff_in: FloatArray) -> Rest:
    """Depth of water on a surface that sinks under it.

    Parameters
    ----------
    A : (m, m) array
        Deflection at each node per inch of water at each node. [in/in]
    stiff_in : (m,) array
        Depth on the unloaded surface; negative where it stands above the water. [in]
    """
    depth = np.maximum(stiff_in, 0.0)
    first = float(depth.max(initial=0.0))
    if first == 0.0:
        return Rest(depth, 0.0, True, 0, 0.0)
    for done in range(1, _MOST_PASSES + 1):
        after = np.maximum(stiff_in + A @ depth, 0.0)
        step = float(np.max(np.abs(after - depth)))
        depth = after
        if step <= 1e-13 * first or depth.max() > 1e6 * first:
            break
        if done % 10 == 0:
            wet = depth > 0
            rate = growth(A[np.ix_(wet, wet)])
            if rate < 1.0:
                solved = np.zeros_like(depth)
                solved[wet] = np.linalg.solve(np.eye(int(wet.sum())) - A[np.ix_(wet, wet)], stiff_in[wet])
                gap = _gap(A, stiff_in, solved)
                if gap <= 1e-11:
                    return Rest(solved, rate, True, done, gap)
            elif done >= 100:
                break
    wet = depth > 0
    rate = growth(A[np.ix_(wet, wet)])
    gap = _gap(A, stiff_in, depth)
    if rate < 1.0 and gap <= 1e-9:
        return Rest(depth, rate, True, done, gap)
    return Rest(np.full_like(depth, np.nan), rate, False, done, gap)


def growth(A: FloatArray) -> float:
    """Largest eigenvalue of a deflection operator [-]."""
    m = A.shape[0]
    if m == 0:
        return 0.0
    if m <= _SMALL:
        return float(np.max(np.linalg.eigvals(A).real))
    from scipy.sparse.linalg import ArpackNoConvergence, eigs

    # An uneven start, so that no mode is missed by symmetry.
    start = 1.0 + 0.5 * np.sin(np.arange(m) * 2.399963)
    try:
        found = eigs(A, k=1, which="LR", v0=start, return_eigenvectors=False)
    except ArpackNoConvergence:
        found = np.linalg.eigvals(A)
    return float(np.max(np.real(found)))


def _gap(A: FloatArray, stiff_in: FloatArray, depth: FloatArray) -> float:
    wanted = np.maximum(stiff_in + A @ depth, 0.0)
    return float(np.max(np.abs(wanted - depth)) / max(float(np.max(depth)), np.finfo(float).tiny))


def amplified(total: float, still: float) -> float:
    """Ratio of what rests on the roof to what would lie on a stiff one; 1 where none would. [-]"""
    return total / still if still > 0 else 1.0
