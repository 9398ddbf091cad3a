"""What can go wrong with the store itself, in words."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from secondroof.errors import SecondroofError


class StoreError(SecondroofError, OSError):
    """The store could not be read or written. What was not done, what is safe, what to do."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""


_WORDS = (
    (
        "disk is full",
        "Not saved: the disk is full. What was saved before is safe. Free some space, then save again.",
    ),
    (
        "locked",
        "Not saved: another program holds the store. What was saved before is safe. Close it, or wait a moment,"
        " then save again.",
    ),
    (
        "readonly",
        "Not saved: the store may be read but not written. What was saved before is safe. Give yourself"
        " the right to write in its folder, then save again.",
    ),
    (
        "unable to open",
        "The store cannot be opened: its folder cannot be read or written. Choose another folder with"
        " --store.",
    ),
    (
        "not a database",
        "This file is not a store of jobs. Nothing was written to it. Choose another file with --store.",
    ),
    (
        "malformed",
        "The store file is damaged. Nothing was written to it. Bring back a copy of it, or choose another"
        " file with --store.",
    ),
)


@contextmanager
def in_words() -> Iterator[None]:
    """Turn errors of the database into a :class:`StoreError` that a person can act on."""
    try:
        yield
    except sqlite3.Error as error:
        text = str(error)
        words = next(
            (w for key, w in _WORDS if key in text.lower()), f"Not saved: the store answered: {text}."
        )
        raise StoreError(words) from error
