"""Compute every reference case of the steel room and write the page of comparisons.

Run ``python tools/verification_steel.py`` to write ``docs/verification/steel.md``; the tests use the same
functions, so the page and the tests cannot tell different stories.
"""

from __future__ import annotations

import functools
import importlib
import json
import pkgutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from secondroof import steel
from secondroof.formula import REGISTRY
from secondroof.steel import (
    crippling,
    distortional,
    effective,
    finite_strip,
    flexure,
    gauge,
    interaction,
    properties,
    screws,
    sections,
    shear,
    strength,
    uplift,
)
from secondroof.steel import factors_from_tests as factors

ROOT = Path(__file__).resolve().parents[1]
CASES: list[dict[str, Any]] = json.loads((ROOT / "tests/data/steel_cases.json").read_text(encoding="utf-8"))
PAGE = ROOT / "docs/verification/steel.md"
ORIGIN = {
    "published": "published",
    "published-recalled": "published table, from memory",
    "computed-reference": "own reference",
}


def screw(i: dict[str, Any]) -> dict[str, float]:
    """Strengths of one screw in two sheets."""
    shear = screws.nominal_shear(i["t1"], i["t2"], i["d"], i["Fu1"], i["Fu2"])
    out = screws.pull_out(i["t2"], i["d"], i["Fu2"])
    got = {
        "Pnv": shear,
        "Pnot": out,
        "Pnv_allow_lb": 1000 * screws.allowable(shear, screws.OMEGA_J4),
        "Pnot_allow_lb": 1000 * screws.allowable(out, screws.OMEGA_J4),
        "ratio": screws.thickness_ratio(i["t1"], i["t2"]),
    }
    if "dw_eff" in i:
        got["Pnov"] = screws.pull_over(i["t1"], i["dw_eff"], i["Fu1"])
    return got


def thickness(i: dict[str, Any]) -> dict[str, float]:
    """Least delivered thickness of a gauge."""
    return {"t_min": gauge.minimum_thickness(gauge.gauge_thickness(i["gauge"], "base"))}


def test_factor(i: dict[str, Any]) -> dict[str, float]:
    """Factors from tests, K2.1.1."""
    C_P = factors.sample_correction(i["n"])
    V_P = max(i["VP"], factors.V_P_FLOOR)
    phi = factors.resistance_factor(
        i["Cphi"], i["Mm"], i["Fm"], i["Pm"], i["beta0"], i["VM"], i["VF"], C_P, V_P, factors.V_Q
    )
    return {"phi": phi, "Omega": factors.safety_factor(phi), "Cp": C_P}


def section(i: dict[str, Any]) -> sections.Section:
    """Section of a case."""
    make = {"Z": sections.z_section, "C": sections.c_section}[i["shape"]]
    return make(i["D"], i["B"], i["d"], i["t"], i["R"], i["theta"])


def gross(i: dict[str, Any]) -> dict[str, float]:
    """Gross properties with true bends, and ``*_sharp`` on square corners."""
    p, q = properties.gross(section(i)), properties.gross(section(i), sharp_corners=True)
    names = properties.Properties.__dataclass_fields__
    return {**{n: getattr(p, n) for n in names}, "Cw_sharp": q.Cw, "xo_sharp": q.xo}


def effective_width(i: dict[str, Any]) -> dict[str, float]:
    """Effective section at a stress."""
    e = effective.effective_section(section(i), i["f"])
    M = flexure.local_moment_ewm(e.Se, i["f"])
    return {
        "Se": e.Se, "Ie": e.Ie, "ycg": e.y_c, "b": e.b, "RI": e.R_I, "k_flange": e.k_flange, "ds": e.d_s, "be": e.b_e,
        "b1": e.b_1, "b2": e.b_2, "Mnl": M, "Ma": flexure.allowable_moment(M, flexure.OMEGA_B),
    }  # fmt: skip


def dist_analytic(i: dict[str, Any]) -> dict[str, float]:
    """Flange properties and distortional buckling stress."""
    make = sections.c_section if i["theta"] == 90 else sections.z_section
    s = make(i["D"], i["B"], i["d"], i["t"], 0.0849 if i["theta"] == 90 else 0.1875, i["theta"])
    got = distortional.distortional(s)
    return {**got.flange, "Fcrd": got.F_crd, "L": got.L}


def dsm_bending(i: dict[str, Any]) -> dict[str, float]:
    """Direct strength in bending from given buckling ratios."""
    My = i["My"]
    Mnl = flexure.local_moment_dsm(My, i.get("Mcrl_over_My", np.inf) * My)
    Mnd = flexure.distortional_moment(My, i.get("Mcrd_over_My", np.inf) * My)
    Mn = min(Mnl, Mnd)
    return {"Mnl": Mnl, "Mnd": Mnd, "Mn": Mn, "Ma": flexure.allowable_moment(Mn, flexure.OMEGA_B)}


def dsm_compression(i: dict[str, Any]) -> dict[str, float]:
    """Direct strength in compression from given buckling ratios."""
    Py = i["Py"]
    return {
        "Pnl": flexure.local_axial_dsm(Py, i["Pcrl_over_Py"] * Py),
        "Pnd": flexure.distortional_axial(Py, i["Pcrd_over_Py"] * Py),
    }


def curve_fit(i: dict[str, Any]) -> dict[str, float]:
    """Global buckling from two points of a finite strip curve."""
    (L1, r1), (L2, r2) = i["points"]
    alpha, beta = np.linalg.solve([[L1**-2.0, L1**-4.0], [L2**-2.0, L2**-4.0]], [r1**2, r2**2])
    M = flexure.fitted_global_moment(i["My"], alpha, beta, i["L"], i["Cb"])
    return {"alpha": alpha, "beta": beta, "Mcre": M, "ratio": M / (i["My"] * i["Cb"])}


def fsm(i: dict[str, Any]) -> dict[str, float]:
    """Finite strips; ``ratio_cl`` is at the centre line of the compression flange over Fy."""
    b = finite_strip.buckling(section(i), k_phi=i.get("kphi", 0.0))
    at_cl = (i["D"] - i["t"]) / i["D"] / i["Fy"]
    return {
        "ratio_cl_l": b.F_crl * at_cl, "ratio_cl_d": b.F_crd * at_cl, "Ll": b.L_crl, "Ld": b.L_crd, "Fcrl": b.F_crl,
        "Fcrd": b.F_crd, "Mcrl": b.M_crl, "Mcrd": b.M_crd, "Sx": b.M_crl / b.F_crl,
    }  # fmt: skip


def web_shear(i: dict[str, Any]) -> dict[str, float]:
    """Allowable shear of a web."""
    Vn = shear.web_shear(i["D"] - 2 * (i["R"] + i["t"]), i["t"], i["Fy"])
    return {"Va": shear.allowable_shear(Vn, shear.OMEGA_V)}


def web_crippling(i: dict[str, Any]) -> dict[str, float]:
    """Web crippling of one web."""
    h = i["D"] - 2 * (i["R"] + i["t"])
    c = crippling.web_crippling(
        i["shape"], i["load"], h, i["t"], i["R"], i["Fy"], i["N"], fastened=i["fastened"]
    )
    return {"Pn": c.P_n, "Pa": c.P_a, "phiPn": c.phi_P_n, "h": h}


def ltb(i: dict[str, Any]) -> dict[str, float]:
    """Lateral-torsional buckling of a Z."""
    s = section(i)
    p = properties.gross(s)
    F = strength.lateral_stress(s, i["Ly"], i["Lt"], i["Cb"])
    Fn = flexure.global_stress(F, i["Fy"])
    simple = flexure.lateral_stress_simple(i["Cb"], i["D"], p.Iy / 2, p.Sx, i["Ly"], 0.5)
    return {"Fcre": F, "Fcre_simple": simple, "Fn": Fn, "Mne": flexure.global_moment(p.Sx, Fn), "Sx": p.Sx}


def h3_nested(i: dict[str, Any]) -> dict[str, float]:
    """Two nested Z over a support."""
    return {
        "left": interaction.nested_z_left(i["P"], i["Pn_sum"], i["M"], i["Mn_sum"]),
        "right_asd": interaction.right_asd(1.65, interaction.OMEGA_H3),
        "right_lrfd": interaction.right_lrfd(1.65, interaction.PHI_H3),
    }


def uplift_R(i: dict[str, Any]) -> dict[str, float]:
    """Uplift with the flange fastened to the sheet."""
    R = uplift.simple_span_factor(8.0, True) if i.get("simple") else uplift.continuous_span_factor(True)
    if abs(float(R) - i["R"]) > 1e-12:
        raise ValueError(f"R {float(R)} is not that of the case, {i['R']}")
    M = uplift.fastened_moment(R * uplift.blanket_factor(i.get("ti", 0.0)), i["Se"], i["Fy"])
    return {
        "Mn": M,
        "Ma": flexure.allowable_moment(M, uplift.OMEGA_R),
        "phiMn": flexure.design_moment(M, uplift.PHI_R),
    }


COMPUTE: dict[str, Callable[[dict[str, Any]], dict[str, float]]] = {
    "gross": gross, "effective": effective_width, "dist_analytic": dist_analytic, "dsm_bending": dsm_bending,
    "dsm_compression": dsm_compression, "curve_fit": curve_fit, "fsm": fsm, "shear": web_shear, "screw": screw,
    "thickness": thickness, "web_crippling": web_crippling, "ltb": ltb, "test_factor": test_factor,
    "h3_nested": h3_nested, "uplift_R": uplift_R,
}  # fmt: skip
TITLES = {
    "gross": "Gross section properties", "effective": "Effective section (effective width method)",
    "fsm": "Elastic buckling by finite strips", "dist_analytic": "Analytic distortional buckling",
    "dsm_bending": "Direct strength, bending", "dsm_compression": "Direct strength, compression",
    "curve_fit": "Global buckling from a finite strip curve", "ltb": "Lateral-torsional buckling",
    "shear": "Shear", "web_crippling": "Web crippling", "h3_nested": "Bending with crippling, nested Z",
    "uplift_R": "Uplift, flange fastened to the sheet", "screw": "Screws", "test_factor": "Factors from tests",
    "thickness": "Gauge and least thickness",
}  # fmt: skip


def tolerance(case: dict[str, Any], key: str) -> float:
    """Allowed difference in percent for one value of a case."""
    return float(case.get("tol_pct_by_value", {}).get(key, case["tol_pct"]))


@functools.cache
def _computed(number: int) -> dict[str, float]:
    return {k: float(v) for k, v in COMPUTE[CASES[number]["kind"]](CASES[number]["inputs"]).items()}


def compare(case: dict[str, Any]) -> list[tuple[str, float, float, float, float, bool]]:
    """Rows of (value, computed, expected, off in percent, allowed in percent, agrees)."""
    got = _computed(CASES.index(case))
    rows = []
    for key, want in case["expected"].items():
        off = 100.0 * (float(got[key]) / want - 1.0)
        allowed = tolerance(case, key)
        rows.append((key, float(got[key]), float(want), off, allowed, abs(off) <= allowed))
    return rows


def library_rows() -> list[str]:
    """Comparison with a general cross-section library."""
    data = json.loads((ROOT / "tests/data/steel_oracle.json").read_text(encoding="utf-8"))
    make = {
        "c": sections.c_section, "z": sections.z_section, "hat": sections.hat_section, "eave": sections.eave_strut,
    }  # fmt: skip
    out = [
        "## Gross properties against a cross-section library", "",
        f"{data['tool']}. It sees the true area; the product works on the centre line.", "",
        "| section | value | computed | library | off % |", "|---|---|---:|---:|---:|",
    ]  # fmt: skip
    for case in data["cases"]:
        p = properties.gross(make[case["make"]](**case["args"]), sharp_corners=case["sharp"])
        for key, want in case["expected"].items():
            if abs(want) > 1e-4:
                got = float(getattr(p, key))
                out.append(
                    f"| {case['id']} | {key} | {got:.5g} | {want:.5g} | {round(100 * (got / want - 1), 2) + 0.0:+.2f} |"
                )
    return [*out, ""]


def clause_rows() -> list[str]:
    """Every clause formula of the room and how it was checked."""
    for found in pkgutil.iter_modules(steel.__path__):
        importlib.import_module(f"secondroof.steel.{found.name}")
    specs = [s for name, s in sorted(REGISTRY.items()) if name.startswith("steel.")]
    memory = sum(s.from_memory for s in specs)
    out = [
        "## Clauses", "",
        f"{len(specs)} formulas, {memory} of them from memory. *Verified* means that the formula gives a printed or"
        " recalled table value; it does not mean that the clause text was read.", "",
        "| formula | symbol | clause | how checked |", "|---|---|---|---|",
    ]  # fmt: skip
    out += [
        f"| `{s.name.removeprefix('steel.')}` | {s.symbol} [{s.unit}] | {s.clause} | {s.checked} |"
        for s in specs
    ]
    return [*out, ""]


def page() -> str:
    """Text of the page of comparisons."""
    rows = {c["id"]: compare(c) for c in CASES}
    published = sum(c["origin"] == "published" for c in CASES)
    recalled = sum(c["origin"] == "published-recalled" for c in CASES)
    out = [
        "# Steel: outside checks", "",
        "Written by `tools/verification_steel.py`; a test fails when it is out of date.", "",
        f"{len(CASES)} cases: {published} from published figures, {recalled} from published tables recalled from"
        f" memory, {len(CASES) - published - recalled} own references (the weakest: worked out apart from this code,"
        " from the same recollection of the clause). The text of AISI S100-16 itself was not at hand: clauses marked"
        " *from memory* on the cards must be compared with the printed standard before a seal is put on them.", "",
    ]  # fmt: skip
    for kind, title in TITLES.items():
        out += [f"## {title}", ""]
        of_kind = [c for c in CASES if c["kind"] == kind]
        for origin, word in ORIGIN.items():
            some = [c for c in of_kind if c["origin"] == origin]
            if not some:
                continue
            out += [f"{word[0].upper()}{word[1:]}:", ""]
            out += [f"- {text}" for text in dict.fromkeys(c["source"] for c in some)]
            out += [
                "",
                "| case | value | computed | expected | off % | allowed % |",
                "|---|---|---:|---:|---:|---:|",
            ]
            for c in some:
                for key, got, want, off, allowed, agrees in rows[c["id"]]:
                    mark = "" if agrees else " **not**"
                    off = round(off, 2) + 0.0
                    out.append(
                        f"| {c['id']} | {key} | {got:.5g} | {want:g} | {off:+.2f}{mark} | {allowed:g} |"
                    )
            out.append("")
    out += library_rows() + clause_rows()
    return "\n".join(out)


if __name__ == "__main__":
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")
