"""Load case rows: every case of the roof with its card, and what it does to the line it loads most."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.lineloads import line_loads
from secondroof.findings.model import CaseRow

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.acting.gathered import Acting
    from secondroof.acting.lineloads import LineLoads
    from secondroof.roof.model import Roof


def case_rows(
    roof: Roof, acting: Acting, first: int, loads: Mapping[str, LineLoads] | None = None
) -> tuple[CaseRow, ...]:
    """One row for every case, numbered on from ``first``; ``loads`` by plane where they were worked before."""
    if loads is None:
        loads = {plane.name: line_loads(roof, plane, acting.cases) for plane in roof.planes}
    names = {(line.plane, line.index): line.name for line in roof.lines}
    rows = []
    for k, case in enumerate(acting.cases):
        line, w, P = _most(list(loads.values()), k, names)
        rows.append(
            CaseRow(
                id=f"L-{first + k:02d}",
                key=case.key,
                title=case.title,
                kind=case.kind,
                when=case.when,
                level=case.level,
                psf=case.headline_psf,
                line=line,
                w_lb_ft=w,
                P_lb=P,
                clause=case.clause,
                checked=case.checked,
                sentence=case.sentence,
                steps=case.steps,
                sources=case.sources,
                assumed=case.assumed,
            )
        )
    return tuple(rows)


def _most(loads: list[LineLoads], k: int, names: dict[tuple[str, int], str]) -> tuple[str, float, float]:
    """Line with the largest line load of a case, else the largest point load; both loads [lb/ft], [lb]."""
    spread, point = (0.0, ""), (0.0, "")
    for plane in loads:
        for i, line in enumerate(plane.lines):
            w = max(np.concatenate([plane.w0[k, i], plane.w1[k, i]]), key=abs, default=0.0)
            P = max(plane.P[k, i], key=abs, default=0.0)
            name = names[plane.plane, int(line)]
            spread = max(spread, (float(w), name), key=lambda v: abs(v[0]))
            point = max(point, (float(P), name), key=lambda v: abs(v[0]))
    return spread[1] or point[1], spread[0], point[0]
