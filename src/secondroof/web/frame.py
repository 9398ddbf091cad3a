"""Head, tape and title block: what stands round every page of a job."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from secondroof.checks.model import STATE_ORDER, worst
from secondroof.checks.numbers import show
from secondroof.web.contexts import Cell, Foot, Frame, JobHead, Moved, Wrong
from secondroof.web.moved import ratio_text

if TYPE_CHECKING:
    from secondroof.checks.model import Check, Sentence, State
    from secondroof.errors import Problem
    from secondroof.findings.model import Findings
    from secondroof.store import JobRow, Revision
    from secondroof.survey.models import Survey
    from secondroof.web.desk import Desk

DUTIES = (
    ("survey", "Survey"),
    ("missing", "Missing"),
    ("rules", "Ground rules"),
    ("old-roof", "Old roof"),
    ("loads", "Loads"),
    ("recovers", "Recovers"),
    ("strength", "Strength"),
    ("heat", "Heat, moisture"),
    ("pieces", "Pieces"),
    ("money", "Money"),
    ("papers", "Papers"),
)
#: Letters of a verdict's sentence shown before the rest is folded.
SHOWN_LETTERS = 170
#: Ground rules without which no check can be run.
NEEDED_RULES = ("building_code", "wind_speed", "exposure", "risk_category", "ground_snow", "roof_live")


def wrongs(problems: tuple[Problem, ...]) -> tuple[Wrong, ...]:
    """Problems as a page lists them, each with the place it links to."""
    return tuple(
        Wrong(
            anchor(p.field) if p.line is None else f"line-{p.line}",
            p.line,
            p.field,
            p.given,
            p.message,
            p.mend,
        )
        for p in problems
    )


def anchor(path: str) -> str:
    """Name of a field's place on the page."""
    return "f-" + path.replace("[", "-").replace("]", "").replace(".", "-")


def slope_words(slope_in12: float) -> str:
    """Rise as people say it: ``1/2``, ``1 1/4``, else in decimals."""
    part = Fraction(slope_in12).limit_denominator(16)
    if abs(float(part) - slope_in12) > 1e-4:
        return show(slope_in12, "-", "count")
    whole, rest = divmod(part, 1)
    return " ".join([*([str(whole)] if whole or not rest else []), *([str(rest)] if rest else [])])


def size_line(survey: Survey) -> str:
    """Area, shape, slope and year in a line."""
    b = survey.building
    area = sum(b.length * p.run for p in b.planes)
    slopes = " and ".join(dict.fromkeys(f"{slope_words(p.slope)}:12" for p in b.planes))
    built = f", built {survey.job.built}" if survey.job.built else ""
    return f"{show(area, 'ft2', 'whole')} ft², {b.shape} {slopes}{built}"


def job_frame(
    desk: Desk,
    job: JobRow,
    revision: Revision,
    here: str,
    *,
    sheet: str,
    findings: Findings | None,
    why: str,
    recover: str | None,
    problems: tuple[Wrong, ...] = (),
    moved: Moved | None = None,
    notice: str = "",
) -> Frame:
    """Frame of one page of a job."""
    survey = desk.survey(revision.text)
    head = JobHead(
        id=job.id,
        name=job.name,
        size=size_line(survey),
        revision=revision.number,
        saved_at=revision.at,
        invented=survey.job.invented,
        can_undo=(revision.repeats or revision.number) > 1,
        archived=job.archived is not None,
    )
    tape = tape_of(desk, job.id, revision, survey, findings, here)
    title = next((name for key, name in DUTIES if key == here), here.capitalize())
    return Frame(
        title=f"{title}, {job.name}",
        here=here,
        sheet=sheet,
        job=head,
        tape=tape,
        recover=recover,
        cells=_cells(job.id, revision, survey, findings, why),
        headline=_headline(findings),
        problems=problems,
        moved=moved,
        notice=notice,
    )


def _headline(findings: Findings | None) -> str:
    return f"Verdict of {findings.recover}" if findings else "Verdict"


def _cells(
    job: str, revision: Revision, survey: Survey, findings: Findings | None, why: str
) -> tuple[Cell, ...]:
    if findings is None:
        return (Cell("New work", None, why, f"/jobs/{job}/recovers", "Recovers"),
                Cell("Drawn from", None, drawn_from(revision, survey)))  # fmt: skip
    v = findings.verdict
    count = len(findings.missing)
    return (
        _cell(f"New work, recover {findings.recover}", v.new_work, f"/jobs/{job}/strength", "Plan"),
        _cell("Old steel, before and after", v.old_steel),
        _cell("Code path", v.code_path),
        _cell("Not known, and who must decide", v.open, f"/jobs/{job}/missing", f"All {count}"),
        Cell("Drawn from", None, drawn_from(revision, survey)),
    )


def _cell(label: str, verdict: Sentence, href: str = "", link: str = "") -> Cell:
    """A sentence of the verdict: its state word is shown by the mark, what goes on too long is folded."""
    parts = re.split(r"(?<=[.;]) ", verdict.sentence)
    if parts[0].rstrip(".").lower() == verdict.state:
        parts = parts[1:]
    n, length = 0, 0
    while n < len(parts) and (n == 0 or length + len(parts[n]) < SHOWN_LETTERS):
        length += len(parts[n])
        n += 1
    shown, rest = " ".join(parts[:n]), " ".join(parts[n:])
    return Cell(
        label,
        verdict.state,
        f"{shown.rstrip(';')} ..." if rest and shown.endswith(";") else shown,
        href,
        link,
        rest,
    )


def drawn_from(revision: Revision, survey: Survey) -> str:
    """What a page was drawn from."""
    rules = survey.ground_rules
    code = f"rules IBC {rules.building_code}" if rules.building_code else "no building code set"
    invented = " Invented job: nobody's roof." if survey.job.invented else ""
    return f"Survey revision {revision.number}, {code}. Not sealed.{invented}"


def tape_of(
    desk: Desk, job: str, revision: Revision, survey: Survey, findings: Findings | None, here: str
) -> tuple[Foot, ...]:
    """Every duty with its state and a few words."""
    said = _said(desk, revision, survey, findings)
    return tuple(
        Foot(i, name, f"/jobs/{job}/{key}", *said[key], key == here)
        for i, (key, name) in enumerate(DUTIES, start=1)
    )


def _said(
    desk: Desk, revision: Revision, survey: Survey, findings: Findings | None
) -> dict[str, tuple[State | None, str]]:
    needs = findings.missing if findings else missing(survey)
    unset = [name for name in NEEDED_RULES if getattr(survey.ground_rules, name) is None]
    blanks = desk.part(("blanks", revision.text), lambda: _blanks(revision.text))
    tried = len(survey.recovers)
    waits: tuple[State | None, str] = (None, "after 6 recovers")
    said: dict[str, tuple[State | None, str]] = {
        "survey": ("unknown", f"{blanks} not read") if blanks else ("holds", "read"),
        "missing": ("unknown", f"{len(needs)} open") if needs else ("holds", "none open"),
        "rules": ("unknown", f"{len(unset)} not set") if unset else ("holds", "set"),
        "old-roof": _old_roof(findings) if findings else waits,
        "loads": (None, "after 3 rules") if unset else _loads(findings) if findings else waits,
        "recovers": (None, "none tried") if not tried else (_worst_new(findings), _which(findings, tried)),
        "strength": _strength(findings) if findings else waits,
        "heat": (None, "not begun"),
        "pieces": (None, "not begun"),
        "money": (None, "not begun"),
        "papers": (None, "drafts only") if findings else waits,
    }
    return said


def _old_roof(findings: Findings) -> tuple[State | None, str]:
    kind = findings.old_roof.kind
    state: State = "unknown" if kind == "unknown" else "engineer" if kind == "mixed" else "holds"
    words = {"unknown": "not read", "sits": "sits on purlins"}.get(kind, kind)
    return state, words


def _loads(findings: Findings) -> tuple[State | None, str]:
    """Worked out, or how much is missing for it."""
    from secondroof.web.loadtables import loads_needs

    if not findings.cases:
        return "unknown", "not worked out"
    needed = len(loads_needs(findings))
    return ("unknown", f"{needed} open") if needed else ("holds", "worked out")


def _worst_new(findings: Findings | None) -> State | None:
    return findings.verdict.new_work.state if findings else None


def _which(findings: Findings | None, tried: int) -> str:
    return f"{findings.recover} of {tried}" if findings else f"{tried} tried"


def _strength(findings: Findings) -> tuple[State | None, str]:
    ratios = [c.ratio for c in findings.checks if c.whose == "new" and c.ratio is not None]
    state = worst(c.state for c in findings.checks if c.whose == "new")
    words = f"new {ratio_text(max(ratios))}" if ratios else "no ratio known"
    old = next((c.ratio for c in findings.checks if c.key == "purlin gravity"), None)
    return state, words if old is None else f"{words}, old {ratio_text(old)}"


def missing(survey: Survey) -> tuple[Any, ...]:
    """What is missing from a survey, in order of what it decides."""
    from secondroof.survey.missing import what_is_missing

    return tuple(what_is_missing(survey))


def _blanks(text: str) -> int:
    from secondroof.web.written import as_written, survey_sections

    return sum(s.blanks for s in survey_sections(as_written(text)))


def by_state(checks: list[Check]) -> list[Check]:
    """Checks in order: worst state first, larger ratio first."""
    return sorted(
        checks, key=lambda c: (STATE_ORDER.index(c.state), -(c.ratio if c.ratio is not None else -1.0))
    )
