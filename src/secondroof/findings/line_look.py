"""Loads alone, without the checks: every case of a roof, and one old line looked at closely."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.acting.lineloads import line_loads
from secondroof.errors import InputError, Problem
from secondroof.findings.build import acting_on, pick
from secondroof.findings.case_rows import case_rows
from secondroof.findings.context import gather
from secondroof.findings.load_rows import load_rows
from secondroof.findings.loads_json import case_json, old_purlins_json
from secondroof.findings.plain import need_json, plain
from secondroof.purlins.found import purlins_found

if TYPE_CHECKING:
    from secondroof.acting.gathered import Acting
    from secondroof.checks.model import Need
    from secondroof.findings.context import Context
    from secondroof.findings.model import CaseRow
    from secondroof.purlins.found import PurlinsFound
    from secondroof.roof.model import Roof, RoofLine
    from secondroof.survey.models import Survey


@dataclass(frozen=True, slots=True)
class LineCase:
    """One case on one line.

    Attributes
    ----------
    id, title, when, kind : str
        As its :class:`CaseRow`.
    low_lb_ft, high_lb_ft : float
        Least and greatest line load along it; uplift negative. [lb/ft]
    P_lb : float
        Largest point load. [lb]
    total_lb : float
        All of it. [lb]
    """

    id: str
    title: str
    when: str
    kind: str
    low_lb_ft: float
    high_lb_ft: float
    P_lb: float
    total_lb: float


@dataclass(frozen=True, slots=True, eq=False)
class LineLook:
    """One old line: every case that acts on it, and what it carries; ``purlins`` is None where no edition is known."""

    line: RoofLine
    cases: tuple[LineCase, ...]
    purlins: PurlinsFound | None
    roof: Roof

    @property
    def row(self) -> int:
        """Row of the line in the arrays of ``purlins``; raises ValueError where there is none."""
        assert self.purlins is not None
        return [x.name for x in self.purlins.sections.lines].index(self.line.name)

    @property
    def states(self) -> set[str]:
        """States of the line with the recover, pressed and lifted, in every bay."""
        if self.purlins is None:
            return {"unknown"}
        sides = (self.purlins.down["after"], self.purlins.up["after"])
        return {str(s) for side in sides for s in side.state[self.row]}


@dataclass(frozen=True, slots=True, eq=False)
class LoadsFound:
    """Every load case of one recover on one roof, and one line where it was asked for."""

    job: str
    invented: bool
    recover: str
    recover_title: str
    edition: str | None
    cases: tuple[CaseRow, ...]
    missing: tuple[Need, ...]
    notes: tuple[str, ...]
    line: LineLook | None


def loads_found(survey: Survey, recover: str | None = None, line: str | None = None) -> LoadsFound:
    """Every load case of one recover, without the checks.

    Parameters
    ----------
    survey : Survey
        A survey that reads without problems.
    recover : str, optional
        Name of the recover; the first where none is named.
    line : str, optional
        Name of an old line, e.g. ``N3``: its loads case by case and what governs on it.

    Raises
    ------
    InputError
        There is no such recover or line.
    """
    c = gather(survey, pick(survey, recover))
    acts = acting_on(c)
    rows = case_rows(c.roof, acts, len(load_rows(c)) + 1)
    return LoadsFound(
        job=survey.job.name,
        invented=survey.job.invented,
        recover=c.recover.name,
        recover_title=c.recover.title,
        edition=c.edition,
        cases=rows,
        missing=acts.needs,
        notes=acts.notes,
        line=None if line is None else _look(c, acts, rows, line),
    )


def _look(c: Context, acts: Acting, rows: tuple[CaseRow, ...], name: str) -> LineLook:
    line = next((x for x in c.roof.lines if x.name.upper() == name.strip().upper()), None)
    if line is None:
        ends = [ends_of([x.name for x in p.lines]) for p in c.roof.planes]
        raise InputError(
            Problem("line", name, "There is no line of that name.", f"Lines here: {', '.join(ends)}.")
        )
    found = None
    if c.edition is not None:
        found = purlins_found(c.survey, c.recover, c.roof, acts, c.edition, only=frozenset({line.name}))
    return LineLook(line, cases_on(c.roof, acts, rows, line), found, c.roof)


def ends_of(names: list[str]) -> str:
    """``W0 to W9``."""
    return f"{names[0]} to {names[-1]}" if len(names) > 1 else "".join(names)


def cases_on(roof: Roof, acting: Acting, rows: tuple[CaseRow, ...], line: RoofLine) -> tuple[LineCase, ...]:
    """Every case that puts anything on one line."""
    plane = next(p for p in roof.planes if p.name == line.plane)
    loads = line_loads(roof, plane, acting.cases)
    at = int(np.flatnonzero(loads.lines == line.index)[0])
    totals = loads.totals_lb()[:, at]
    out = []
    for k, row in enumerate(rows):
        w = np.concatenate([loads.w0[k, at], loads.w1[k, at]])
        P = loads.P[k, at]
        if not (w.any() or P.any()):
            continue
        out.append(
            LineCase(
                row.id, row.title, row.when, row.kind, float(w.min()), float(w.max()),
                float(P[np.argmax(np.abs(P))]), float(totals[k]),
            )
        )  # fmt: skip
    return tuple(out)


def loads_found_json(f: LoadsFound) -> dict[str, Any]:
    """The load cases as plain JSON values, for ``loads --json``."""
    out: dict[str, Any] = {
        "job": f.job,
        "invented": f.invented,
        "recover": {"name": f.recover, "title": f.recover_title},
        "loads_cases": [case_json(c) for c in f.cases],
        "loads_notes": list(f.notes),
        "missing": [need_json(n) for n in f.missing],
    }
    if f.line is not None:
        look = f.line
        old = None if look.purlins is None else old_purlins_json(look.purlins, look.roof)
        out["line"] = {
            "plane": look.line.plane,
            "line": look.line.index,
            "name": look.line.name,
            "member": look.line.member,
            "cases": [
                {
                    "id": x.id,
                    "low_lb_ft": plain(x.low_lb_ft),
                    "high_lb_ft": plain(x.high_lb_ft),
                    "P_lb": plain(x.P_lb),
                    "total_lb": plain(x.total_lb),
                }
                for x in look.cases
            ],
            "bays": None if old is None else [b for b in old["lines"] if b["name"] == look.line.name],
        }
    return out
