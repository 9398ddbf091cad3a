"""One million design pressures against the bare NumPy expressions in the same run.

Run ``python benchmarks/bench_wind.py``. Prints the ratio of best times; the aim is 3 or less.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np

from secondroof.loads import wind

N = 1_000_000
REPEATS = 5


def best(work: Callable[[], Any]) -> float:
    """Best time of a few runs. [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    random = np.random.default_rng(1)
    V = random.uniform(95, 180, N)
    h = random.uniform(10, 60, N)
    area = random.uniform(5, 600, N)
    exposure = random.integers(0, 3, N)
    enclosure = random.integers(0, 2, N)
    zone = random.integers(0, 4, N)
    z_g, alpha = np.array([1200.0, 900.0, 700.0])[exposure], np.array([7.0, 9.5, 11.5])[exposure]
    ends = np.array(
        [[100, -0.9, 1000, -0.4], [10, -1.7, 500, -1.0], [10, -2.3, 500, -1.4], [10, -3.2, 500, -1.4]]
    )
    inner = np.array([0.18, 0.55])[enclosure]
    a_1, g_1, a_2, g_2 = ends[zone].T

    def bare() -> tuple[Any, ...]:
        q = 0.00256 * (2.01 * (np.maximum(h, 15.0) / z_g) ** (2 / alpha)) * 0.85 * V**2
        up = g_1 + (g_2 - g_1) * np.log10(np.clip(area, a_1, a_2) / a_1) / np.log10(a_2 / a_1)
        down = 0.3 - 0.1 * np.log10(np.clip(area, 10, 100) / 10)
        p_up, p_down = np.minimum(q * (up - inner), -16.0), np.maximum(q * (down + inner), 16.0)
        return p_up, p_down, 0.6 * p_up, 0.6 * p_down

    def ours() -> wind.ZonePressures:
        return wind.design_pressures("7-16", V, exposure, h, None, 1.0, enclosure, "gable", 4.0, zone, area)

    expected, got = bare(), ours()
    assert np.allclose(expected[2], got.p_uplift_asd_psf, rtol=1e-12)
    assert np.allclose(expected[3], got.p_down_asd_psf, rtol=1e-12)
    t_bare, t_ours = best(bare), best(ours)
    print(
        f"{N:,} pressures: bare NumPy {t_bare:.3f} s, design_pressures {t_ours:.3f} s, ratio {t_ours / t_bare:.2f}"
    )


if __name__ == "__main__":
    main()
