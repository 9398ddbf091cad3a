"""Many load cases on one long purlin line: one banded stiffness factorisation by SciPy beside our force method.

Run ``python benchmarks/bench_lines.py``. Answers are compared first; then the best times of one run on one machine.
"""

from __future__ import annotations

import platform
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from scipy.linalg import solveh_banded

from secondroof.lines.beam import sample_nodes, support_mask, unrecorded_line

REPEATS = 7
CASES = 60


def best(work: Callable[[], Any]) -> float:
    """Best time of a few runs. [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def stiffness_line(
    x: np.ndarray, held: np.ndarray, EI: np.ndarray, w: np.ndarray, P: np.ndarray
) -> np.ndarray:
    """Deflections by stiffness, two unknowns a node, loads even in each piece. [in]."""
    n, h = x.size, np.diff(x) * 12
    k = EI / h**3
    full = np.zeros((4, 2 * n))  # lower band
    c12, c6, c4, c2 = 12 * k, 6 * k * h, 4 * k * h**2, 2 * k * h**2
    v, t = np.arange(0, 2 * n - 2, 2), np.arange(1, 2 * n - 2, 2)
    np.add.at(full[0], v, c12)
    np.add.at(full[0], t, c4)
    np.add.at(full[0], v + 2, c12)
    np.add.at(full[0], t + 2, c4)
    np.add.at(full[1], v, c6)
    np.add.at(full[2], v, -c12)
    np.add.at(full[3], v, c6)
    np.add.at(full[1], t, -c6)
    np.add.at(full[2], t, c2)
    np.add.at(full[1], v + 2, -c6)
    q = np.zeros((2 * n, w.shape[0]))
    load, turn = (w / 12000 * h / 2).T, (w / 12000 * h**2 / 12).T
    q[0:-2:2] += load
    q[2::2] += load
    q[1:-2:2] += turn
    q[3::2] -= turn
    q[0::2] += P.T / 1000
    fixed = 2 * np.flatnonzero(held)
    full[0, fixed] += 1e12 * full[0].max()
    return solveh_banded(full, q, lower=True)[0::2].T


def main() -> None:
    rng = np.random.default_rng(1)
    print(
        f"{platform.processor() or platform.machine()}, Python {platform.python_version()}, NumPy {np.__version__}"
    )
    print(
        f"{CASES} load cases | nodes | bays | force method s | banded stiffness s | ratio | largest difference in"
    )
    for bays in (4, 12, 29):
        supports = 25.0 * np.arange(bays + 1)
        x = sample_nodes(supports)
        held = support_mask(x, supports)
        n = x.size
        EI = 2.7e5 * rng.uniform(0.8, 2, n - 1)
        w, P = 100 * rng.normal(size=(CASES, n - 1)), 200 * rng.normal(size=(CASES, n))

        def ours() -> np.ndarray:
            return unrecorded_line(x, held, EI, w, w, P).d_in  # noqa: B023

        def theirs() -> np.ndarray:
            return stiffness_line(x, held, EI, w, P)  # noqa: B023

        off = float(np.abs(ours() - theirs()).max())
        assert off < 1e-5, off
        a, b = best(ours), best(theirs)
        print(f"{CASES} | {n} | {bays} | {a:.4f} | {b:.4f} | {a / b:.2f} | {off:.1e}")


if __name__ == "__main__":
    main()
