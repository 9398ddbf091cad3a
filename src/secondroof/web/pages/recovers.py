"""Duty 6: the recovers tried, side by side, and changing the chosen one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from secondroof.checks.model import STATE_ORDER
from secondroof.checks.numbers import show, show_with_unit
from secondroof.errors import SecondroofError
from secondroof.findings.words import fullest_old, snow_in_psf
from secondroof.web.ask import Answer, Ask, Go, JobAsk, Page
from secondroof.web.contexts import RecoversPage, Wrong
from secondroof.web.desk import example, examples
from secondroof.web.moved import ratio_text
from secondroof.web.pages.survey import Marks, marks
from secondroof.web.written import as_written, resolved, schema, section

if TYPE_CHECKING:
    from secondroof.findings.model import Findings
    from secondroof.survey.proposals import Recover

LABELS = (
    "Verdict, new work",
    "Framing",
    "Wind class",
    "Screws",
    "Hold-down, worst",
    "New panel",
    "Snow all over",
    "Old purlins, fullest",
    "Old steel",
    "Code path",
    "Open",
    "New lines",
    "Added weight",
    "Days",
    "Price",
)


def show_recovers(
    ask: Ask, *, typed: Marks = None, wrong: Marks = None, problems: tuple[Wrong, ...] = (), status: int = 200
) -> Page:
    """The same rows for every recover, and the fields of the chosen one."""
    j = JobAsk(ask)
    columns = tuple(_column(j, r) for r in j.survey.recovers)
    sections = ()
    names = [r.name for r in j.survey.recovers]
    if j.recover in names:
        at = names.index(j.recover)
        written = as_written(j.revision.text).get("recovers").list[at]
        item = resolved(resolved(schema()["properties"]["recovers"])["items"])
        sections = (
            section(f"recovers[{at}]", f"Recover {j.recover}", item, written, marks(j, typed, wrong)),
        )  # type: ignore[assignment]
    starters = () if names else tuple({"id": e.id, "name": e.name, "about": e.about} for e in examples())
    record = RecoversPage(j.frame("recovers", problems=problems), columns, LABELS, sections, starters)
    return Page("recovers", record, status)


def _column(j: JobAsk, r: Recover) -> dict[str, Any]:
    found, why = j.desk.findings_or_why(j.revision.text, r.name)
    plan = ""
    if found is not None:
        from secondroof.web.plan import small_plan

        plan = j.desk.part(("small", j.revision.text, r.name), lambda: small_plan(found, r.name))
    return {
        "name": r.name,
        "title": r.title,
        "chosen": r.name == j.recover,
        "plan": plan,
        "why": why,
        "rows": _rows(r, found) if found is not None else (),
    }


def _rows(r: Recover, f: Findings) -> tuple[tuple[tuple[str, str], ...], ...]:
    """Cells of one column: each a few pairs of state (or nothing) and words; ``blank`` for what is not known."""
    counts = tuple(
        (s, f"{n}") for s in STATE_ORDER if (n := sum(c.state == s for c in f.checks if c.whose == "new"))
    )
    hold = [c for c in f.checks if c.id.startswith("H") and c.ratio is not None]
    worst = max(hold, key=lambda c: c.ratio or 0.0, default=None)
    panel = [c for c in f.checks if c.id.startswith("P")]
    panel_worst = min(panel, key=lambda c: (STATE_ORDER.index(c.state), -(c.ratio or 0.0)), default=None)
    length = float((f.segments.x1_ft - f.segments.x0_ft).sum())
    return (
        counts,
        (("", r.framing.kind),),
        (("", f.enclosure or str(f.rules.get("enclosure", ""))),),
        (("", _screws(r)),),
        ((worst.state, f"{ratio_text(worst.ratio)} {worst.where}"),) if worst else (("blank", "not known"),),
        (
            (
                panel_worst.state,
                ratio_text(panel_worst.ratio) if panel_worst.ratio is not None else panel_worst.what,
            ),
        )
        if panel_worst
        else (("blank", "no test in the job"),),
        (("", snow_in_psf(f)),),
        (("", fullest_old(f)),),
        ((f.verdict.old_steel.state, ""),),
        ((f.verdict.code_path.state, ""),),
        ((f.verdict.open.state, f"{len(f.missing)} missing"),),
        (("", show_with_unit(length, "lb", "whole").replace("lb", "ft")),),
        (("", f"{show(f.added_psf, 'psf', 'weight')} psf"),),
        (("blank", "not begun"),),
        (("blank", "no rates yet"),),
    )


def _screws(r: Recover) -> str:
    framing: Any = r.framing
    for name, words in (("screws_per_flat", "a flat"), ("screws_per_bracket", "a bracket")):
        count = getattr(framing, name, None)
        if count is not None:
            zones = "".join(f", zone {z}: {n}" for z, n in count.by_zone.items())
            return f"{count.other} {words}{zones}"
    return ""


def copy_recover(ask: Ask) -> Answer:
    """Add a copy of a recover under a free name, and choose it."""
    from secondroof.web.edits import copied

    j = JobAsk(ask)
    base = ask.number("base")
    text, name = copied(ask.desk.store.revision(j.id, base).text, ask.text("recover"))
    ask.desk.survey(text)
    ask.desk.store.save(
        j.id, text, base=base, note=f"recover {name} added as a copy of {ask.text('recover')}"
    )
    ask.desk.store.choose(j.id, name)
    return Go(f"/jobs/{j.id}/recovers")


def begin_recover(ask: Ask) -> Answer:
    """Begin with the recovers and test tables of an invented example."""
    from secondroof.web.edits import with_recovers_of

    j = JobAsk(ask)
    base = ask.number("base")
    found = example(ask.text("example"))
    text = with_recovers_of(ask.desk.store.revision(j.id, base).text, found.text)
    try:
        ask.desk.survey(text)
    except SecondroofError as error:
        return show_recovers(
            ask, problems=(Wrong("main", None, "recovers", found.id, str(error), ""),), status=422
        )
    ask.desk.store.save(j.id, text, base=base, note=f"recovers begun from the invented example {found.id}")
    return Go(f"/jobs/{j.id}/recovers")


def choose_recover(ask: Ask) -> Answer:
    """Choose the recover that the pages show."""
    from secondroof.web.frame import DUTIES

    j = JobAsk(ask)
    ask.desk.store.choose(j.id, ask.text("recover") or None)
    back = ask.text("back") if ask.text("back") in dict(DUTIES) else "recovers"
    return Go(f"/jobs/{j.id}/{back}")
