"""Solve lines of beams with a general frame library and keep its figures for the tests.

The library is not a dependency of the project. Install ``PyNiteFEA`` into an environment of its own and run
``python tools/lines_oracle.py`` there; it writes ``tests/data/lines_oracle.json`` with the library's version. The
library knows nothing of this project: frames of plain members, supports and hinges only.
"""

from __future__ import annotations

import json
from importlib.metadata import version
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
DATA = ROOT / "tests/data/lines_oracle.json"
E = 29500.0

#: Lines in feet, in4, lb/ft and lb: ``I`` and ``w`` for each piece between nodes, ``P`` at nodes; invented.
LINES: list[dict[str, Any]] = [
    {"id": "simple span, load that grows", "x": [0, 24], "supports": [0, 24], "I": [9.18],
     "w": [[20, 140]], "P": {}},
    {"id": "two unlike spans, point load", "x": [0, 11, 20, 47], "supports": [0, 20, 47], "I": [7.76, 7.76, 9.18],
     "w": [[80, 80], [80, 80], [60, 60]], "P": {"11": 500}},
    {"id": "five bays, laps counted, end bays heavier", "x": [0, 22.5, 25, 28.5, 49, 50, 51, 74, 75, 76, 96.5, 100,
     102.5, 125], "supports": [0, 25, 50, 75, 100, 125],
     "I": [9.18, 16.94, 16.94, 7.76, 15.52, 15.52, 7.76, 15.52, 15.52, 7.76, 16.94, 16.94, 9.18],
     "w": [[104, 104]] * 13, "P": {}},
    {"id": "zones: uplift and a drift on one line with overhangs", "x": [0, 2, 8, 20, 27, 40, 52, 60, 77, 80.5],
     "supports": [2, 27, 52, 77], "I": [9.18, 9.18, 9.18, 9.18, 7.76, 7.76, 9.18, 9.18, 9.18],
     "w": [[-310, -310], [-310, -310], [-180, -180], [-180, -95], [-95, -95], [-95, 40], [40, 220], [220, 0],
           [-310, -310]], "P": {"0": -60, "8": 250, "40": -120, "80.5": 90}},
    {"id": "hinges over two inner supports", "x": [0, 10, 25, 40, 50, 66, 75, 100], "supports": [0, 25, 50, 75, 100],
     "I": [6.0, 6.0, 7.0, 7.0, 8.0, 8.0, 9.0], "w": [[90, 90], [90, 90], [90, 30], [30, 30], [30, 90], [90, 90],
     [90, 120]], "P": {"10": 300, "66": 800}, "hinges": [25, 75]},
    {"id": "very short piece beside a support", "x": [0, 24.999, 25, 25.002, 50], "supports": [0, 25, 50],
     "I": [9.18, 18.36, 18.36, 9.18], "w": [[100, 100]] * 4, "P": {"25.002": 1000}},
    {"id": "supports that sink", "x": [0, 25, 50, 75], "supports": [0, 25, 50, 75], "I": [9.18, 7.76, 9.18],
     "w": [[60, 60]] * 3, "P": {}, "settle": {"25": 0.8, "50": -0.2}},
]  # fmt: skip


def frame(line: dict[str, Any]) -> dict[str, Any]:
    """Solve one line with the frame library; signs turned to ours."""
    from Pynite import FEModel3D

    model = FEModel3D()
    model.add_material("steel", E, 11300.0, 0.3, 0.0)
    x = line["x"]
    hinges = line.get("hinges", [])
    for i, place in enumerate(x):
        model.add_node(f"N{i}", 12.0 * place, 0.0, 0.0)
        on = place in line["supports"]
        model.def_support(f"N{i}", i == 0, on, True, True, True, False)
        if str(place) in line.get("settle", {}):
            model.def_node_disp(f"N{i}", "DY", -line["settle"][str(place)])
    for i, (I, (w0, w1)) in enumerate(zip(line["I"], line["w"], strict=True)):
        model.add_section(f"S{i}", 1.0, 1.0, I, 1.0)
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "steel", f"S{i}")
        if x[i] in hinges:
            model.def_releases(f"M{i}", Rzi=True)
        model.add_member_dist_load(f"M{i}", "FY", -w0 / 12000.0, -w1 / 12000.0)
    for place, P in line["P"].items():
        model.add_node_load(f"N{[str(v) for v in x].index(place)}", "FY", -P / 1000.0)
    # A hinge leaves the node's own turn to the member on its left.
    model.analyze(check_statics=False)
    name = next(iter(model.load_combos))
    M = [-model.members[f"M{i}"].moment("Mz", 0.0, name) for i in range(len(x) - 1)]
    last = model.members[f"M{len(x) - 2}"]
    M.append(-last.moment("Mz", last.L(), name))
    middle = [-m.moment("Mz", m.L() / 2, name) for m in (model.members[f"M{i}"] for i in range(len(x) - 1))]
    return {
        "M_kip_in": [round(v, 9) for v in M],
        "M_middle_kip_in": [round(v, 9) for v in middle],
        "R_lb": [round(1000.0 * n.RxnFY[name], 6) for n in (model.nodes[f"N{i}"] for i in range(len(x)))],
        "d_in": [round(-n.DY[name], 9) for n in (model.nodes[f"N{i}"] for i in range(len(x)))],
    }


def main() -> None:
    kept = {
        "tool": f"PyNiteFEA {version('PyNiteFEA')}, general 3-D frame library, stiffness method",
        "checked": "computed-reference",
        "E_ksi": E,
        "cases": [{**line, "expected": frame(line)} for line in LINES],
    }
    DATA.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
