"""The first page, the ways to add a survey, and drafts that were not taken in."""

from __future__ import annotations

from secondroof.errors import InputError, Problem, SecondroofError
from secondroof.store import Draft, StaleError, StoreError, differences
from secondroof.web.ask import Answer, Ask, Go, Page, Upload
from secondroof.web.contexts import DraftPage, Frame, NewPage, StartPage, Wrong
from secondroof.web.desk import example, examples
from secondroof.web.frame import wrongs
from secondroof.web.guard import UPLOAD_LIMIT_BYTES
from secondroof.web.render import day
from secondroof.web.shortform import form_sections, form_text

LIMIT = "1 MB at most"


def show_start(ask: Ask) -> Page:
    """Jobs in the store, or the empty sheet."""
    store = ask.desk.store
    jobs = store.jobs()
    record = StartPage(
        Frame("Jobs", "start", ask.sheet),
        tuple(
            {
                "id": j.id,
                "name": j.name,
                "revision": str(j.revision),
                "saved_at": day(j.saved_at),
                "href": f"/jobs/{j.id}/survey",
            }
            for j in jobs
        ),
        tuple({"id": j.id, "name": j.name, "saved_at": day(j.saved_at)} for j in store.jobs(archived=True)),
        tuple(
            {"id": str(d.id), "reason": d.reason, "at": day(d.at), "href": f"/drafts/{d.id}"}
            for d in store.drafts()
        ),
        tuple({"id": e.id, "name": e.name, "about": e.about} for e in examples()),
    )
    return Page("start", record)


def show_new(ask: Ask, *, problems: tuple[Wrong, ...] = (), status: int = 200) -> Page:
    """Three ways to add a survey."""
    typed = {name: ask.text(name) for name in ask.form if isinstance(ask.form[name], str)}
    wrong = {w.field: f"{w.message} {w.mend}" for w in problems}
    record = NewPage(
        Frame("Add a survey", "new", ask.sheet, problems=problems), form_sections(typed, wrong), LIMIT
    )
    return Page("new", record, status)


def add_example(ask: Ask) -> Answer:
    """Copy an invented example into the store."""
    found = example(ask.text("example"))
    job = ask.desk.store.create(found.name, found.text, note=f"copied from the invented example {found.id}")
    return Go(f"/jobs/{job.id}/survey")


def add_file(ask: Ask) -> Answer:
    """Take in a file; what cannot be taken in is kept as a draft."""
    sent = ask.form.get("file")
    if not isinstance(sent, Upload) or not sent.name:
        return _refuse(ask, Problem("file", "", "was not chosen.", "Choose a survey file first."))
    if len(sent.content) > UPLOAD_LIMIT_BYTES:
        return _refuse(
            ask,
            Problem("file", sent.name, "is over 1 MB and was not taken in.", "Leave photos out of the file."),
        )
    try:
        text = sent.content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return _refuse(
            ask, Problem("file", sent.name, "is not text.", "A survey is a YAML text file in UTF-8.")
        )
    if "\x00" in text:
        return _refuse(
            ask, Problem("file", sent.name, "is not text.", "A survey is a YAML text file in UTF-8.")
        )
    return _take(ask, text, f"file {sent.name}")


def add_text(ask: Ask) -> Answer:
    """Take in typed text."""
    return _take(ask, ask.text("text"), "typed text")


def show_template(ask: Ask) -> Answer:
    """Begin a draft from the commented template."""
    from secondroof.survey.template import template

    draft = ask.desk.store.keep_draft(template(), "begun from the template, not yet complete")
    return Go(f"/drafts/{draft.id}")


def add_form(ask: Ask) -> Answer:
    """Make a survey from the short form."""
    typed = {name: ask.text(name) for name in ask.form}
    try:
        text = form_text(typed)
        survey = ask.desk.survey(text)
        job = ask.desk.store.create(survey.job.name, text, note="made from the short form")
    except InputError as error:
        return show_new(ask, problems=wrongs(error.problems), status=422)
    except StoreError as error:
        return show_new(ask, problems=(Wrong("f-name", None, "store", "", str(error), ""),), status=503)
    return Go(f"/jobs/{job.id}/survey")


def _refuse(ask: Ask, problem: Problem) -> Page:
    return show_new(ask, problems=wrongs((problem,)), status=422)


def _take(ask: Ask, text: str, how: str) -> Answer:
    try:
        survey = ask.desk.survey(text)
    except InputError as error:
        draft = ask.desk.store.keep_draft(text, f"{how}: {_count(error)}")
        return Go(f"/drafts/{draft.id}")
    job = ask.desk.store.create(survey.job.name, text, note=how)
    return Go(f"/jobs/{job.id}/survey")


def _count(error: InputError) -> str:
    n = len(error.problems)
    return f"{n} problem" if n == 1 else f"{n} problems"


# ---- drafts


def show_draft(ask: Ask) -> Page:
    """A draft with everything wrong with it."""
    return _draft_page(ask, ask.desk.store.draft(int(ask.path["draft"])))


def _draft_page(ask: Ask, draft: Draft, extra: tuple[Wrong, ...] = (), status: int = 200) -> Page:
    problems: tuple[Wrong, ...] = extra
    try:
        ask.desk.survey(draft.text)
    except InputError as error:
        problems += wrongs(error.problems)
    marks: dict[int, str] = {}
    for w in problems:
        if w.line is not None:
            marks[w.line] = f"{marks[w.line]} {w.message}" if w.line in marks else f"{w.field} {w.message}"
    base, against = draft.base, ()
    if draft.job is not None:
        head = ask.desk.store.revision(draft.job)
        if base != head.number:
            against = differences(head.text, draft.text)  # type: ignore[assignment]
        base = head.number
    frame = Frame("Not taken in yet", "draft", ask.sheet, problems=problems)
    return Page(
        "draft", DraftPage(frame, draft.id, draft.job, base, draft.text, draft.reason, marks, against), status
    )


def save_draft(ask: Ask) -> Answer:
    """Try a mended draft again; it is kept until it is taken in."""
    store = ask.desk.store
    draft = store.draft(int(ask.path["draft"]))
    text = ask.text("text")
    typed = Draft(draft.id, draft.job, draft.base, text, draft.reason, draft.at)
    try:
        survey = ask.desk.survey(text)
        if draft.job is None:
            job = store.create(survey.job.name, text, note="mended draft").id
        else:
            store.save(draft.job, text, base=ask.number("base"), note="mended draft", name=survey.job.name)
            job = draft.job
    except InputError as error:
        if text == draft.text:
            return _draft_page(ask, draft, status=422)
        kept = store.keep_draft(
            text, f"draft {draft.id} changed: {_count(error)}", job=draft.job, base=draft.base
        )
        store.close_draft(draft.id)
        return Go(f"/drafts/{kept.id}")
    except StaleError as error:
        return _draft_page(ask, typed, (Wrong("text", None, "revision", "", str(error), ""),), 409)
    except SecondroofError as error:
        return _draft_page(ask, typed, (Wrong("text", None, "store", "", str(error), ""),), 503)
    store.close_draft(draft.id)
    return Go(f"/jobs/{job}/survey")


def drop_draft(ask: Ask) -> Answer:
    """Put a draft away."""
    ask.desk.store.close_draft(int(ask.path["draft"]))
    return Go("/")
