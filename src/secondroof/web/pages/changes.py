"""Changes to a job: one value, undo, archive. Every change is a revision."""

from __future__ import annotations

from urllib.parse import urlencode

from secondroof.errors import InputError, Problem, SecondroofError
from secondroof.store import StaleError
from secondroof.web.ask import Answer, Ask, Go, JobAsk
from secondroof.web.contexts import Wrong
from secondroof.web.frame import anchor, wrongs

BACK = ("survey", "rules", "recovers", "strength")


def set_one(ask: Ask) -> Answer:
    """Set one value by its path; what cannot be read stays in its field with the reason."""
    from secondroof.survey.editing import set_value

    j = JobAsk(ask)
    path, value, base = ask.text("path"), ask.text("value").strip(), ask.number("base")
    back = ask.text("back") if ask.text("back") in BACK else "survey"
    try:
        based = ask.desk.store.revision(j.id, base)
        text = set_value(based.text, path, value)
        survey = ask.desk.survey(text)
        note = f"{path}: {value or 'left blank'}"
        ask.desk.store.save(j.id, text, base=base, note=note, name=survey.job.name)
    except InputError as error:
        mine = [p for p in error.problems if p.field == path] or list(error.problems)
        words = " ".join(f"{p.message} {p.mend}" for p in mine)
        found = tuple(
            Wrong(anchor(path), None, w.field, w.given, w.message, w.mend) for w in wrongs(tuple(mine))
        )
        return _again(ask, back, path, value, words, found, 422)
    except StaleError as error:
        return _again(
            ask, back, path, value, str(error), (Wrong(anchor(path), None, path, value, str(error), ""),), 409
        )
    except SecondroofError as error:
        return _again(
            ask, back, path, value, str(error), (Wrong(anchor(path), None, path, value, str(error), ""),), 503
        )
    query = {"since": str(base), "at": path}
    for name in ("stretch", "card", "recover"):
        if ask.text(name):
            query[name] = ask.text(name)
    return Go(f"/jobs/{j.id}/{back}?{urlencode(query)}#{anchor(path)}")


def add_readings(ask: Ask) -> Answer:
    """Add one group of readings, as they were read in one place."""
    from secondroof.survey.editing import append_item
    from secondroof.web.shortform import as_list, quoted

    j = JobAsk(ask)
    path, base = ask.text("path"), ask.number("base")
    parts = [f"{key}: {quoted(ask.text(key).strip())}" for key in ("plane", "at") if ask.text(key).strip()]
    typed = ask.text("readings").strip()
    item = "{" + ", ".join([*parts, f"readings: {as_list(typed)}"]) + "}"
    try:
        if not typed:
            raise InputError(
                Problem(f"{path}-new", "", "No reading is given.", "Write them with commas: .12, .14, .31?")
            )
        text = append_item(ask.desk.store.revision(j.id, base).text, path, item)
        ask.desk.store.save(j.id, text, base=base, note=f"{path}: readings {typed} added")
    except InputError as error:
        found = tuple(
            Wrong(f"{anchor(path)}-new", None, path, typed, p.message, p.mend) for p in error.problems
        )
        return _again(ask, "survey", path, typed, str(error), found, 422)
    except SecondroofError as error:
        return _again(
            ask,
            "survey",
            path,
            typed,
            str(error),
            (Wrong(f"{anchor(path)}-new", None, path, typed, str(error), ""),),
            409,
        )
    return Go(f"/jobs/{j.id}/survey?since={base}#{anchor(path)}-group")


def _again(
    ask: Ask, back: str, path: str, value: str, words: str, problems: tuple[Wrong, ...], status: int
) -> Answer:
    from secondroof.web.pages import recovers, strength, survey

    show = {"survey": survey.show_survey, "rules": survey.show_rules, "recovers": recovers.show_recovers,
            "strength": strength.show_strength}[back]  # fmt: skip
    return show(ask, typed={path: value}, wrong={path: words}, problems=problems, status=status)


def undo(ask: Ask) -> Answer:
    """Step back one change."""
    j = JobAsk(ask)
    before = j.revision.number
    ask.desk.store.undo(j.id)
    return Go(f"/jobs/{j.id}/{_page(ask)}?since={before}")


def _page(ask: Ask) -> str:
    from secondroof.web.frame import DUTIES

    return ask.text("back") if ask.text("back") in dict(DUTIES) else "survey"


def archive(ask: Ask) -> Answer:
    """Put the job away."""
    ask.desk.store.archive(ask.path["job"])
    return Go("/")


def bring_back(ask: Ask) -> Answer:
    """Take the job out of the archive."""
    ask.desk.store.bring_back(ask.path["job"])
    return Go(f"/jobs/{ask.path['job']}/survey")
