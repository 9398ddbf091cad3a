"""Strength of a million old purlins through the purlins room, arrays against a plain loop.

Run ``python benchmarks/bench_purlins.py [count]``. Sections are invented: depth, flange, lip, thickness, yield
strength, spans and sheets spread over the usual ranges. For each: gravity and uplift by effective width and direct
strength, distortional buckling, lap end with its unbraced length, shear, crippling at two seats, and the conditions
and factor of the fastened sheet. The ratios are what counts; the seconds are processor time on this machine. Beside
them, what the same calls give for the published section, against the reference figures.
"""

from __future__ import annotations

import os
import platform
import sys
import time

import numpy as np

from secondroof.purlins import strength
from secondroof.purlins.sections import LineSections
from secondroof.purlins.yields import YieldFound
from secondroof.steel import properties, sections, uplift

CHUNK = 10_000
#: 8ZS2.25x059 at 55 ksi: gross Ix as printed (AISI D100 table in RP20-5); the rest own references, hand or from memory.
REFERENCE = {
    "I_x, printed": 7.76,
    "S_e at F_y": 1.7858,
    "M_n, span, local": 98.22,
    "M_ne at 300 in": 6.666,
    "V_n": 3.895,
    "M_n, R 0.70": 68.761,
}


def as_found(section: sections.Section, F_y: np.ndarray) -> LineSections:
    """Distinct sections without a roof."""
    n = F_y.size
    none = YieldFound(np.nan, np.nan, "none", False, "", ())
    return LineSections(
        lines=(), which=np.arange(n)[None, :], member=np.full(n, "purlin"), t_in=section.t, read=(None,) * n,
        section=section, properties=properties.gross(section), Fy_ksi=F_y, Fu_ksi=np.full(n, np.nan), strength=none,
        state=np.full(n, "known"), numbers=np.asarray(section.possible), reasons=((),) * n, assumed=(), needs=(),
    )  # fmt: skip


def invented(n: int, seed: int) -> tuple[sections.Section, np.ndarray, np.ndarray, dict[str, np.ndarray]]:
    """Sections, yield strengths, unbraced lengths and what holds them in uplift; made up."""
    g = np.random.default_rng(seed)
    depth, flange, t = g.uniform(6.0, 12.0, n), g.uniform(2.2, 3.2, n), g.uniform(0.055, 0.105, n)
    section = sections.z_section(depth, flange, g.uniform(0.7, 1.1, n), t, 0.1875, 50.0)
    F_y = g.choice([50.0, 55.0], n)
    holds = {
        "depth_in": depth, "thickness_in": t, "flange_in": flange, "flat_flange_in": section.flats[:, 1],
        "lipped": np.ones(n), "Fy_ksi": F_y, "span_ft": g.uniform(18.0, 30.0, n),
        "shortest_lap_in": g.uniform(4.0, 30.0, n),
        "adjacent_span_ratio": np.ones(n), "held_at_supports": np.ones(n), "sheet_Fy_ksi": np.full(n, 80.0),
        "sheet_thickness_in": g.uniform(0.017, 0.024, n), "rib_depth_in": np.full(n, 1.25),
        "rib_spacing_in": np.full(n, 12.0), "sheet_sound": np.ones(n), "blanket_in": g.choice([0.0, 3.0, 6.0], n),
        "blanket_is_glass_fibre": np.ones(n), "screw_diameter_in": np.full(n, 0.25), "washer_in": np.full(n, 0.5),
        "screw_spacing_in": np.full(n, 12.0), "screws_well_placed": np.ones(n), "standoff_screws": np.zeros(n),
    }  # fmt: skip
    return section, F_y, g.uniform(30.0, 120.0, n), holds


def one_batch(
    section: sections.Section, F_y: np.ndarray, L: np.ndarray, holds: dict[str, np.ndarray]
) -> dict[str, np.ndarray]:
    """Every strength of each purlin [kip-in, kip]."""
    found = as_found(section, F_y)
    cap = strength.capacity(found)
    lap_end = strength.bending_at(found, np.arange(F_y.size), "bottom", L, C_b=strength.C_B_TO_ZERO)
    R = uplift.uplift_factors(True, holds["shortest_lap_in"] >= 1.5 * holds["depth_in"], **holds).R
    S_e = cap.bottom_held.detail.S_e
    return {
        "gravity": cap.top_held.M.nominal, "lap end": lap_end.M.nominal, "shear": cap.shear.nominal,
        "crippling": cap.interior.P.nominal, "uplift, fastened": np.asarray(uplift.fastened_moment(R, S_e, F_y)),
    }  # fmt: skip


def against_references() -> None:
    """The published section through the same calls."""
    found = as_found(sections.z_section(8, 2.25, 0.91, np.array([0.059]), 0.1875, 50.0), np.array([55.0]))
    cap = strength.capacity(found)
    long = strength.bending_at(found, np.array([0]), "bottom", 300.0)
    detail = cap.top_held.detail
    got = {
        "I_x, printed": found.properties.Ix,
        "S_e at F_y": detail.S_e,
        "M_n, span, local": cap.top_held.no_distortional.nominal,
        "M_ne at 300 in": long.detail.M_ne,
        "V_n": cap.shear.nominal,
        "M_n, R 0.70": np.asarray(uplift.fastened_moment(0.70, detail.S_e, 55.0)),
    }
    for name, want in REFERENCE.items():
        value = float(got[name][0])
        print(f"{name}: {value:.4g}, reference {want:g}, off {100 * (value / want - 1):+.2f} %")


def main(count: int = 1_000_000, looped: int = 100) -> None:
    """Print purlins per second both ways, the ratio, and that both agree."""
    start = time.process_time()
    done, first = 0, None
    while done < count:
        n = min(CHUNK, count - done)
        found = one_batch(*invented(n, seed=done))
        first = found if first is None else first
        done += n
    fast = count / (time.process_time() - start)
    section, F_y, L, holds = invented(min(CHUNK, count), seed=0)
    looped = min(looped, F_y.size)
    start = time.process_time()
    worst = 0.0
    for i in range(looped):
        at = np.array([i])
        got = one_batch(sections.take(section, at), F_y[at], L[at], {k: v[at] for k, v in holds.items()})
        for k, v in got.items():
            if np.isnan(v[0]) != np.isnan(first[k][i]):
                worst = np.inf
            elif np.isfinite(v[0]):
                worst = max(worst, abs(float(v[0]) / first[k][i] - 1))
    slow = looped / (time.process_time() - start)
    print(
        f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}, "
        f"NumPy {np.__version__}"
    )
    share = 100 * float(np.mean(np.isfinite(first["uplift, fastened"])))
    print(
        f"arrays: {fast:,.0f} purlins a second ({count:,} purlins, gravity, lap end, shear, crippling and uplift)"
    )
    print(f"plain loop over the same functions: {slow:,.0f} a second ({looped} purlins)")
    print(f"ratio: {fast / slow:,.0f}; largest difference between the two: {worst:.1e}")
    print(f"purlins whose sheet meets every condition of the uplift rule: {share:.0f} %")
    against_references()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
