"""Compute every reference case of the lines room and write the page of comparisons.

Run ``python tools/verification_lines.py`` to write ``docs/verification/lines.md``; the tests use the same functions,
so the page and the tests cannot tell different stories.
"""

from __future__ import annotations

import importlib
import json
import pkgutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from secondroof import lines
from secondroof.formula import REGISTRY
from secondroof.lines import beam, ponding, underfoot

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs/verification/lines.md"
CASES: list[dict[str, Any]] = json.loads((ROOT / "tests/data/lines_cases.json").read_text(encoding="utf-8"))
LIBRARY: dict[str, Any] = json.loads((ROOT / "tests/data/lines_oracle.json").read_text(encoding="utf-8"))
KIP_IN_PER_LB_FT = 0.012
LIBRARY_TOLERANCE = 5e-9  # of the largest value of its kind, or of 1: the library's figures are kept rounded
STEEL_EI = 29500.0 * 9.18


@dataclass(frozen=True, slots=True)
class Row:
    """One expected value against ours; agrees within `allowed`, in the unit of the value."""

    case: str
    value: str
    expected: float
    computed: float
    allowed: float
    largest_difference: float | None = None  # where the row stands for a whole list

    @property
    def agrees(self) -> bool:
        off = self.computed - self.expected if self.largest_difference is None else self.largest_difference
        return bool(abs(off) <= self.allowed)


def of_case(case: dict[str, Any]) -> Iterator[Row]:
    """One case of the beam tables; consistent units, taken as feet and pounds."""
    i = case["inputs"]
    supports = np.asarray(i["supports"], dtype=float)
    given = np.asarray(i["x"], dtype=float)
    x = beam.sample_nodes(supports, [*given, *i.get("at", {}).values()])
    piece = np.clip(np.searchsorted(given, (x[1:] + x[:-1]) / 2) - 1, 0, given.size - 2)
    EI = np.asarray(i["EI"], dtype=float)[piece]
    w = np.broadcast_to(np.asarray(i["w"], dtype=float), given.size - 1)[piece]
    # EI of 1 lb-ft2 is 0.144 kip-in2.
    response = beam.solve_line(x, beam.support_mask(x, supports), 0.144 * EI, w, w, 0.0)
    held = np.flatnonzero(response.support)
    moments, sags = beam.peak_moments(response).most, beam.peak_deflections(response).most
    for key, want in case["expected"].items():
        number = int(key[-1]) if key[-1].isdigit() else 0
        if key.startswith("R"):
            got = response.R_lb[held[number - 1]]
        elif key.startswith("M_sup"):
            got = response.M_kip_in[held[number - 1]] / KIP_IN_PER_LB_FT
        elif key.startswith("M_max_span"):
            got = moments[held[number - 1] : held[number]].max() / KIP_IN_PER_LB_FT
        elif key.startswith("defl_max_span"):
            got = sags[held[number - 1] : held[number]].max() / 12.0
        else:
            at = np.flatnonzero(np.abs(x - i["at"][key.removeprefix("M_")]) < 1e-6)[0]
            got = response.M_kip_in[at] / KIP_IN_PER_LB_FT
        if "tol_pct" in case:
            allowed = abs(want) * (case["tol_pct"] if key.startswith("defl") else 0.3) / 100
        else:
            allowed = case["tolerance"].get(key) or case["tolerance"][key.split("_")[0].rstrip("12345")]
        yield Row(case["id"], key, want, float(got), allowed)


def library_line(case: dict[str, Any], *, middles: bool = False) -> beam.LineResponse:
    """A line of the frame library solved by ours, with a node in the middle of every piece where wanted."""
    x = np.asarray(case["x"], dtype=float)
    I, w = np.asarray(case["I"], dtype=float), np.asarray(case["w"], dtype=float)
    w0, w1 = w[:, 0], w[:, 1]
    if middles:
        mean = (w0 + w1) / 2
        w0, w1 = np.column_stack((w0, mean)).ravel(), np.column_stack((mean, w1)).ravel()
        I = np.repeat(I, 2)
        x = np.insert(x, np.arange(1, x.size), (x[1:] + x[:-1]) / 2)
    P, sunk = np.zeros(x.size), np.zeros(x.size)
    for to, values in ((P, case["P"]), (sunk, case.get("settle", {}))):
        for place, value in values.items():
            to[np.flatnonzero(x == float(place))] = value
    return beam.solve_line(
        x, np.isin(x, case["supports"]), LIBRARY["E_ksi"] * I, w0, w1, P,
        release=np.isin(x, case.get("hinges", [])), settle_in=sunk,
    )  # fmt: skip


def of_library(case: dict[str, Any]) -> Iterator[Row]:
    """Each kind of value against the frame library: the largest shown, all compared."""
    plain, halved = library_line(case), library_line(case, middles=True)
    ours = {"M_kip_in": plain.M_kip_in, "M_middle_kip_in": halved.M_kip_in[1::2], "R_lb": plain.R_lb,
            "d_in": plain.d_in}  # fmt: skip
    for key, got in ours.items():
        want = np.asarray(case["expected"][key])
        at = int(np.argmax(np.abs(want)))
        allowed = LIBRARY_TOLERANCE * max(1.0, float(np.max(np.abs(want))))
        off = float(np.max(np.abs(got - want)))
        yield Row(case["id"], f"{key}[{at}]", float(want[at]), float(got[at]), allowed, off)


def closed_forms() -> Iterator[Row]:
    """Ponding on a simple span and first frequencies against exact solutions of the differential equation."""
    EI, S = STEEL_EI, 5.0
    for L in (20.0, 25.0, 27.0):
        x = beam.sample_nodes([0, L])
        r = ponding.ponding_line(x, beam.support_mask(x, [0, L]), EI, S, 1.0)
        a = (5.2 * S / 12000.0 / EI) ** 0.25 * 12.0 * L / 2.0
        rows = {
            "depth at mid-span, in": (0.5 * (1 / np.cos(a) + 1 / np.cosh(a)), r.depth_in.max()),
            "water over stiff water": ((np.tan(a) + np.tanh(a)) / (2 * a), r.amplification),
            "moment over stiff moment": ((1 / np.cos(a) - 1 / np.cosh(a)) / a**2, r.moment_amplification),
            "growth": ((2 * a / np.pi) ** 4, r.growth),
        }
        for key, (want, got) in rows.items():
            allowed = 0.0003 * float(want) if key == "growth" else 0.003 * float(want)
            yield Row(f"water on a simple span of {L:g} ft", key, float(want), float(got), allowed)
    for k in (1, 2, 4):
        places = np.arange(k + 1) * 25.0
        x = beam.sample_nodes(places)
        got = underfoot.first_frequency(x, beam.support_mask(x, places), EI, 30.0)
        want = underfoot.simple_span_frequency(EI, 30.0, 25.0)
        yield Row(
            f"{k} equal span{'s' * (k > 1)} of 25 ft", "first frequency, Hz", float(want), float(got), 1e-5
        )


def page() -> str:
    """Markdown page: expected against computed, source by source."""
    head = ["| case | value | expected | computed | allowed |", "|---|---|---:|---:|---:|"]
    out = [
        "# Lines: outside checks",
        "",
        "Written by `tools/verification_lines.py`; a test fails when it is out of date.",
        "",
    ]
    for source in dict.fromkeys(c["source"] for c in CASES):
        some = [c for c in CASES if c["source"] == source]
        out += [f"## {source[0].upper()}{source[1:]}", ""]
        out += [f"`{c['id']}` ({c['origin']}): {c['tolerance_note']}." for c in some]
        out += ["", *head, *(line for c in some for line in _rows(of_case(c))), ""]
    out += [
        "## A general frame library", "",
        f"{LIBRARY['tool']}; figures kept by `tools/lines_oracle.py`. The largest value of each kind is shown; all are"
        " compared.",
        "", *head, *(line for c in LIBRARY["cases"] for line in _rows(of_library(c))), "",
        "## Exact solutions of the differential equation", "",
        "Own derivation from Euler-Bernoulli bending: water that follows the deflection of a simple span,"
        " `EI d'''' = g (1 + d)`, and the first mode of simple and of equal continuous spans. Depth is taken"
        " straight between places a sixtieth of a span apart, which leaves the growth 0.03 percent low.",
        "", *head, *_rows(closed_forms()), "",
        "## Standing of each formula", "",
        "| formula | clause | checked |", "|---|---|---|",
    ]  # fmt: skip
    for module in pkgutil.iter_modules(lines.__path__, "secondroof.lines."):
        importlib.import_module(module.name)
    out += [
        f"| {name} | {s.clause} | {s.checked} |"
        for name, s in sorted(REGISTRY.items())
        if name.startswith("lines.")
    ]
    return "\n".join([*out, ""])


def _rows(rows: Iterator[Row]) -> Iterator[str]:
    for r in rows:
        mark = "" if r.agrees else " **not**"
        yield f"| {r.case} | {r.value} | {r.expected + 0.0:.6g} | {r.computed + 0.0:.6g}{mark} | {r.allowed:.2g} |"


if __name__ == "__main__":
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")
