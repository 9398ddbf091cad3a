"""Reading a survey file: everything wrong at once, each with its place, what was given and how to mend it."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from secondroof.errors import InputError, NotFoundError, Problem
from secondroof.survey.contradictions import contradictions
from secondroof.survey.document import LARGEST_BYTES, Document, parse_document, too_large
from secondroof.survey.models import Survey
from secondroof.survey.voice import problem_at, problems_of

__all__ = ["Document", "load_survey", "parse_document", "read_survey", "survey_of"]

#: Sections without which nothing can be said of the others.
NEEDED = ("secondroof", "job", "building")


def load_survey(path: str | FilePath) -> Survey:
    """Read a survey file.

    Parameters
    ----------
    path : str or Path
        A YAML file, at most 1 MB.

    Raises
    ------
    NotFoundError
        No file of that name.
    InputError
        Every problem in it, in the order of the file.
    """
    file = FilePath(path)
    if file.is_dir():
        raise InputError(Problem(str(path), "", "is a folder.", "Name the survey file in it."))
    try:
        size = file.stat().st_size
        if size > LARGEST_BYTES:
            raise too_large(size, file.name)
        body = file.read_bytes()
    except FileNotFoundError as error:
        raise NotFoundError(f"There is no file {path}.") from error
    except OSError as error:
        raise InputError(
            Problem(str(path), "", "cannot be opened.", f"The system says: {error.strerror}.")
        ) from error
    return read_survey(body, file.name)


def read_survey(text: str | bytes, name: str = "survey") -> Survey:
    """Read the text of a survey.

    Parameters
    ----------
    text : str or bytes
        YAML text.
    name : str
        What to call it in problems.

    Returns
    -------
    Survey
        Every reading as it was written; blanks are None.

    Raises
    ------
    InputError
        Every problem, in the order of the file.
    """
    return survey_of(parse_document(text, name))


def survey_of(document: Document) -> Survey:
    """The survey of a document already parsed; InputError with every problem."""
    data = document.data()
    problems = list(document.problems)
    survey, errors = _validated(data)
    problems += problems_of(document, data, errors)
    if survey is None:
        survey = _what_remains(data, errors)
    if survey is not None:
        problems += [problem_at(document, c.path, c.message, c.mend) for c in contradictions(survey)]
    if problems:
        raise InputError(_in_order(problems))
    assert survey is not None
    return survey


def _validated(data: Any) -> tuple[Survey | None, Sequence[Any]]:
    try:
        return Survey.model_validate(data), ()
    except ValidationError as error:
        return None, error.errors(include_url=False)


def _what_remains(data: dict[str, Any], errors: Sequence[Any]) -> Survey | None:
    """The survey without what was refused, so that the rest can be looked over in the same reading; or None."""
    rest = copy.deepcopy(data)
    for error in errors:
        if error["type"] == "extra_forbidden":
            _take_out(rest, error["loc"])
    survey, left = _validated(rest)
    for error in left:
        if error["loc"] and error["loc"][0] not in NEEDED:
            rest.pop(str(error["loc"][0]), None)
    if survey is None and left:
        survey, left = _validated(rest)
    return survey


def _take_out(data: Any, loc: Sequence[Any]) -> None:
    for step in loc[:-1]:
        if isinstance(data, dict) and step not in data:
            continue
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return
    if isinstance(data, dict):
        data.pop(loc[-1], None)


def _in_order(problems: Sequence[Problem]) -> list[Problem]:
    seen = dict.fromkeys(problems)
    return sorted(seen, key=lambda p: (p.line or 0, p.column or 0))
