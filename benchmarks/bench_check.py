"""Speed of ``check`` and ``package`` on the 400,000 ft2 example, in a warm process.

Targets: check under 1 s, package under 10 s. Printed beside the time of one plain NumPy pass over the same stretches,
so that machines can be compared. Run: python benchmarks/bench_check.py
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

import numpy as np

import secondroof as sr


def timed(work: object, times: int) -> float:
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        work()  # type: ignore[operator]
        best = min(best, time.perf_counter() - start)
    return best


def main() -> None:
    job = sr.load(sr.example("quillmark-distribution-hall"))
    found = sr.check(job)
    n = found.segments.line.size
    p, b = np.random.default_rng(1).uniform(10, 50, (2, n))
    reference = timed(lambda: 0.85 * 0.06 * 0.25 * 65 / 3 / (p * b), 200)
    check = timed(lambda: sr.check(job), 5)
    with tempfile.TemporaryDirectory() as folder:
        package = timed(lambda: sr.package(job, None, Path(folder) / f"p{time.perf_counter_ns()}"), 2)
    print(f"stretches {n}")
    print(f"check     {check:.3f} s  (target under 1 s), {check / reference:,.0f} plain NumPy passes")
    print(f"package   {package:.3f} s  (target under 10 s)")


if __name__ == "__main__":
    main()
