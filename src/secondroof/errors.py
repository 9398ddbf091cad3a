"""Everything secondroof raises on purpose.

    SecondroofError
    ├── InputError(ValueError)      what a person gave cannot be used; lists every problem at once
    ├── MissingError(LookupError)   a reading, test or ground rule is needed and was not given
    ├── NotFoundError(KeyError)     no job, card, calculation or file of that name
    └── ConflictError(RuntimeError) somebody else saved first; nothing was written

The command line and the browser each turn these into words in exactly one place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what was given, in words a person can act on.

    Attributes
    ----------
    field : str
        Path of the item, e.g. ``building.bays[2]``.
    given : str
        What was given, as it was written.
    message : str
        What is wrong and what is allowed.
    mend : str
        How to mend it.
    line, column : int or None
        Place in the file, counted from 1.
    """

    field: str
    given: str
    message: str
    mend: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        place = f"line {self.line}: " if self.line is not None else ""
        given = f" Given: {self.given}." if self.given else ""
        return f"{place}{self.field}: {self.message}{given} {self.mend}".strip()


class SecondroofError(Exception):
    """Base of everything raised on purpose."""


class InputError(SecondroofError, ValueError):
    """What a person gave cannot be used.

    Parameters
    ----------
    problems : Problem or sequence of Problem
        Everything wrong, all at once.
    """

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))


class MissingError(SecondroofError, LookupError):
    """A reading, a product test or a ground rule is needed and was not given."""


class NotFoundError(SecondroofError, KeyError):
    """No job, card, calculation or file of that name."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""


class ConflictError(SecondroofError, RuntimeError):
    """Somebody else saved first; nothing was written."""
