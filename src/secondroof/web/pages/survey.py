"""Duties 1 to 3: the survey, what is missing, the ground rules."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from secondroof.errors import InputError, SecondroofError
from secondroof.store import StaleError
from secondroof.web.ask import Answer, Ask, Go, JobAsk, Page
from secondroof.web.contexts import MissingPage, RulesPage, SurveyPage, TextPage, Wrong
from secondroof.web.frame import missing
from secondroof.web.typed import IN_TEXT, typed_in_text
from secondroof.web.written import as_written, flat, resolved, schema, section, survey_sections

Marks = Mapping[str, str] | None


def to_survey(ask: Ask) -> Answer:
    """A job opens at its survey."""
    return Go(f"/jobs/{ask.path['job']}/survey")


def marks(j: JobAsk, typed: Marks, wrong: Marks, **more: Any) -> dict[str, Any]:
    """What rows need beside their own text: typed values, problems, and the value before the last change."""
    was: dict[str, str] = {}
    at = j.ask.query.get("at", "")
    if j.older is not None and at:
        before, now = (
            flat(as_written(j.older.text)).get(at, ""),
            flat(as_written(j.revision.text)).get(at, ""),
        )
        if before != now:
            was[at] = before or "not read"
    return {"typed": typed or {}, "problems": wrong or {}, "was": was, **more}


def pencil_paths(j: JobAsk) -> tuple[str, ...]:
    """Values that are assumed, by what the survey itself says of them."""
    p = j.survey.purlins
    out = []
    if p.yield_basis == "assumed":
        out.append("purlins.yield_strength")
    if p.tensile_basis == "assumed":
        out.append("purlins.tensile_strength")
    return tuple(out)


def show_survey(
    ask: Ask, *, typed: Marks = None, wrong: Marks = None, problems: tuple[Wrong, ...] = (), status: int = 200
) -> Page:
    """The survey by section."""
    from secondroof.survey.remarks import to_look_at_again

    j = JobAsk(ask)
    written = as_written(j.revision.text)
    sections = survey_sections(written, **marks(j, typed, wrong, pencil=pencil_paths(j)))
    blanks = sum(s.blanks for s in sections)
    filled = len([v for v in flat(written).values() if v])
    record = SurveyPage(
        j.frame("survey", problems=problems),
        sections,
        tuple(j.survey.not_read.items()),
        f"{filled} values written, {blanks} not read",
        to_look_at_again(j.survey),
    )
    return Page("survey", record, status)


def show_text(ask: Ask) -> Page:
    """The file as text."""
    j = JobAsk(ask)
    return Page("text", TextPage(j.frame("survey"), j.revision.text, j.revision.number))


def save_text(ask: Ask) -> Answer:
    """Save the whole text; what cannot be taken in is kept as a draft of this job."""
    j = JobAsk(ask)
    text, base, store = ask.text("text"), ask.number("base"), ask.desk.store
    try:
        survey = ask.desk.survey(text)
        store.save(j.id, text, base=base, note="text edited", name=survey.job.name)
    except InputError as error:
        n = len(error.problems)
        draft = store.keep_draft(
            text, f"text of {j.job.name}: {n} problem{'' if n == 1 else 's'}", job=j.id, base=base
        )
        return Go(f"/drafts/{draft.id}")
    except StaleError as error:
        draft = store.keep_draft(text, str(error), job=j.id, base=base)
        return Go(f"/drafts/{draft.id}")
    except SecondroofError as error:
        frame = j.frame("survey", problems=(Wrong("text", None, "store", "", str(error), ""),))
        return Page("text", TextPage(frame, text, base), 503)
    return Go(f"/jobs/{j.id}/survey?since={base}")


def show_missing(ask: Ask) -> Page:
    """Everything not known, what it decides first."""
    j = JobAsk(ask)
    needs = j.findings.missing if j.findings else missing(j.survey)
    record = MissingPage(
        j.frame("missing"),
        tuple({"what": n.what, "where": n.where, "decides": n.decides, "who": n.who} for n in needs),
        tuple(j.survey.not_read.items()),
    )
    return Page("missing", record)


def show_rules(
    ask: Ask, *, typed: Marks = None, wrong: Marks = None, problems: tuple[Wrong, ...] = (), status: int = 200
) -> Page:
    """The ground rules."""
    j = JobAsk(ask)
    rules = j.survey.ground_rules
    written = as_written(j.revision.text).get("ground_rules")
    body = resolved(schema()["properties"]["ground_rules"])
    body["properties"] = {k: v for k, v in body["properties"].items() if k not in IN_TEXT}
    stated = rules.source or "source not stated"
    sources = {
        f"ground_rules.{k}": "yours, source as above"
        for k, v in written.items.items()
        if not v.blank and k != "source"
    }
    whole = section("ground_rules", "Ground rules", body, written, marks(j, typed, wrong, sources=sources))
    used = tuple(j.findings.rules.items()) if j.findings else ()
    record = RulesPage(j.frame("rules", problems=problems), stated, (whole,), typed_in_text(rules), used)
    return Page("rules", record, status)
