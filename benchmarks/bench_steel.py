"""Strength of a million purlins, arrays against a plain loop.

Run ``python benchmarks/bench_steel.py [count]``. Sections are invented: depth, flange, lip, thickness and yield
strength spread over the usual ranges, each thinned by rust. For each: gross properties, effective section in gravity
and in uplift, lateral-torsional, local and distortional buckling both ways, shear. The ratios are what counts; the
seconds are those of this machine.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from secondroof.steel import finite_strip, properties, sections, shear, strength, uplift

CHUNK = 20_000


def invented(n: int, seed: int = 7) -> tuple[sections.Section, np.ndarray, np.ndarray]:
    """Sections, yield strengths and unbraced lengths; made up."""
    g = np.random.default_rng(seed)
    depth = g.uniform(6.0, 12.0, n)
    section = sections.z_section(
        depth, g.uniform(2.2, 3.2, n), g.uniform(0.7, 1.1, n), g.uniform(0.055, 0.105, n), 0.1875, 50.0
    )
    return (
        sections.rusted(section, g.uniform(0.0, 0.006, n)),
        g.choice([50.0, 55.0], n),
        g.uniform(30.0, 120.0, n),
    )


def one_batch(section: sections.Section, F_y: np.ndarray, L: np.ndarray) -> dict[str, np.ndarray]:
    """Gravity and uplift strength of each purlin [kip-in] and shear [kip]."""
    p = properties.gross(section)
    gravity = strength.flexural_strength(section, F_y, compression="top", properties=p)
    wind = strength.flexural_strength(section, F_y, compression="bottom", L_y=L, properties=p)
    return {
        "gravity": gravity.M_n,
        "uplift, braced at points": wind.M_n,
        "uplift, fastened": uplift.fastened_moment(0.7, gravity.S_e, F_y),
        "shear": shear.web_shear(section.web_flat, section.t_web, F_y),
    }


def against_libraries() -> None:
    """Same work in general libraries, where they are installed; one section at a time."""
    one = sections.z_section(8, 2.5, 0.8, 0.06, 0.1875, 90.0)
    many, _, _ = invented(CHUNK)
    start = time.perf_counter()
    properties.gross(many)
    rate = CHUNK / (time.perf_counter() - start)
    print(f"gross properties alone: {rate:,.0f} sections a second")
    try:
        from sectionproperties.analysis import Section as General
        from sectionproperties.pre.library import zed_section
    except ImportError:
        print("cross-section library not installed: no ratio to it")
    else:
        start = time.perf_counter()
        shape = zed_section(d=8, b_l=2.5, b_r=2.5, l=0.8, t=0.06, r_out=0.2475, n_r=8)
        shape.create_mesh(mesh_sizes=[0.06**2])
        general = General(shape)
        general.calculate_geometric_properties()
        general.calculate_warping_properties()
        slow = 1.0 / (time.perf_counter() - start)
        print(f"cross-section library, 2-D finite elements: {slow:.1f} a second; ratio {rate / slow:,.0f}")
    start = time.perf_counter()
    finite_strip.buckling(one)
    print(f"own finite strips, whole curve with both minima: {time.perf_counter() - start:.2f} s a section")


def main(count: int = 1_000_000, looped: int = 300) -> None:
    """Print purlins per second both ways, the ratio, and that both agree."""
    start = time.perf_counter()
    done, first = 0, None
    while done < count:
        n = min(CHUNK, count - done)
        found = one_batch(*invented(n, seed=done))
        first = found if first is None else first
        done += n
    fast = count / (time.perf_counter() - start)
    section, F_y, L = invented(min(CHUNK, count), seed=0)
    looped = min(looped, F_y.size)
    start = time.perf_counter()
    worst = 0.0
    for i in range(looped):
        names = [f for f in sections.Section.__dataclass_fields__ if f != "kind"]
        one = sections.Section(kind="Z", **{f: getattr(section, f)[i] for f in names})
        got = one_batch(one, F_y[i], L[i])
        worst = max(worst, *(abs(float(got[k]) / first[k][i] - 1) for k in got if np.isfinite(first[k][i])))
    slow = looped / (time.perf_counter() - start)
    refused = float(np.mean(~np.isfinite(first["gravity"])))
    print(f"arrays: {fast:,.0f} purlins a second ({count:,} purlins, gravity and uplift)")
    print(f"plain loop over the same functions: {slow:,.0f} a second ({looped} purlins)")
    print(f"ratio: {fast / slow:,.0f}")
    print(
        f"largest difference between the two: {worst:.1e}; outside the limits and refused: {100 * refused:.1f} %"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
    against_libraries()
