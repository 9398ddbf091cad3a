"""The store's file: opening it, and bringing it to the newest form by numbered SQL files."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import resources
from pathlib import Path

from secondroof.store.errors import StoreError, in_words


def migrations() -> tuple[tuple[int, str], ...]:
    """Numbered SQL files in order, each as its number and text."""
    folder = resources.files("secondroof.store") / "sql"
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".sql")), key=lambda f: f.name)
    return tuple((int(f.name.split("_", 1)[0]), f.read_text("utf-8")) for f in files)


def open_connection(path: Path, busy_ms: int = 5000) -> sqlite3.Connection:
    """Open one connection with the settings every connection needs."""
    connection = sqlite3.connect(path, timeout=busy_ms / 1000, isolation_level=None)
    try:
        connection.row_factory = sqlite3.Row
        connection.execute(f"PRAGMA busy_timeout = {int(busy_ms)}")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def connected(path: Path, busy_ms: int = 5000) -> Iterator[sqlite3.Connection]:
    """Give one connection and close it after use; errors come out in words."""
    with in_words():
        connection = open_connection(path, busy_ms)
        try:
            yield connection
        finally:
            connection.close()


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """Everything inside is written at once or not at all."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def migrate(path: Path, busy_ms: int = 5000) -> int:
    """Create the store or bring it to the newest form; returns its number.

    Raises
    ------
    StoreError
        Where the file is not a store, or was written by a newer secondroof.
    """
    files = migrations()
    newest = files[-1][0]
    with in_words():
        path.parent.mkdir(parents=True, exist_ok=True)
    with connected(path, busy_ms) as connection:
        found = int(connection.execute("PRAGMA user_version").fetchone()[0])
        if found > newest:
            raise StoreError(
                f"This store was written by a newer secondroof (form {found}; this one knows {newest})."
                " Nothing was written to it. Use the newer program, or another store with --store."
            )
        if found == newest:
            return newest
        with writing(connection):
            found = int(connection.execute("PRAGMA user_version").fetchone()[0])
            for number, text in files:
                if number > found:
                    for statement in _statements(text):
                        connection.execute(statement)
                    connection.execute(f"PRAGMA user_version = {number}")
    return newest


def _statements(text: str) -> Iterator[str]:
    held = ""
    for line in text.splitlines(keepends=True):
        held += line
        if held.strip() and sqlite3.complete_statement(held):
            yield held
            held = ""
    if held.strip():
        yield held
