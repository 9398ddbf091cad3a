"""Jobs and their revisions: every save is kept, nothing is ever overwritten."""

from __future__ import annotations

import re
import sqlite3
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from secondroof.errors import ConflictError, MissingError, NotFoundError
from secondroof.store.database import connected, migrate, writing


@dataclass(frozen=True, slots=True)
class JobRow:
    """One job as listed: its newest revision and the recover chosen."""

    id: str
    name: str
    created: str
    archived: str | None
    chosen: str | None
    revision: int
    saved_at: str


@dataclass(frozen=True, slots=True)
class Revision:
    """One saved text. ``repeats`` names the older revision it brings back, if any."""

    job: str
    number: int
    text: str
    who: str
    at: str
    note: str
    repeats: int | None


@dataclass(frozen=True, slots=True)
class Draft:
    """Text that was typed but could not be taken in, with the reason."""

    id: int
    job: str | None
    base: int | None
    text: str
    reason: str
    at: str


class StaleError(ConflictError):
    """Somebody else saved first. ``theirs`` is the newest revision, ``typed`` the text that was not saved."""

    def __init__(self, message: str, theirs: Revision, typed: str) -> None:
        super().__init__(message)
        self.theirs = theirs
        self.typed = typed


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def slug(name: str) -> str:
    """Short name for an address: lower-case letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:40].strip("-") or "job"


class Store:
    """All jobs of one person, in one SQLite file.

    Parameters
    ----------
    path : str or Path
        The file; made, with its folder, where it is not there.
    busy_ms : int
        How long to wait for another program that is writing.
    clock : callable
        Gives the time of a save as text.
    """

    def __init__(self, path: str | Path, *, busy_ms: int = 5000, clock: Callable[[], str] = _now) -> None:
        self.path = Path(path)
        self.busy_ms = busy_ms
        self._clock = clock
        migrate(self.path, busy_ms)

    # ---- reading

    def jobs(self, *, archived: bool = False) -> tuple[JobRow, ...]:
        """Every job, newest saved first; archived ones only where asked."""
        where = "NOT NULL" if archived else "NULL"
        query = f"{_JOBS} WHERE j.archived IS {where} GROUP BY j.id ORDER BY saved_at DESC, j.id"
        with connected(self.path, self.busy_ms) as c:
            return tuple(JobRow(**dict(row)) for row in c.execute(query))

    def job(self, id: str) -> JobRow:
        """One job, archived or not."""
        with connected(self.path, self.busy_ms) as c:
            row = c.execute(f"{_JOBS} WHERE j.id = ? GROUP BY j.id", (id,)).fetchone()
        if row is None:
            raise NotFoundError(f"There is no job {id} in this store.")
        return JobRow(**dict(row))

    def revision(self, job: str, number: int | None = None) -> Revision:
        """One revision of a job; the newest where no number is given."""
        with connected(self.path, self.busy_ms) as c:
            return self._revision(c, job, number)

    def history(self, job: str) -> tuple[Revision, ...]:
        """Every revision of a job, newest first."""
        self.job(job)
        with connected(self.path, self.busy_ms) as c:
            rows = c.execute("SELECT * FROM revisions WHERE job = ? ORDER BY number DESC", (job,)).fetchall()
        return tuple(Revision(**dict(row)) for row in rows)

    # ---- writing

    def create(self, name: str, text: str, *, who: str = "", note: str = "first save") -> JobRow:
        """Add a job with its first revision."""
        with connected(self.path, self.busy_ms) as c, writing(c):
            id = self._free_id(c, slug(name))
            at = self._clock()
            c.execute("INSERT INTO jobs (id, name, created) VALUES (?, ?, ?)", (id, name, at))
            self._insert(c, Revision(id, 1, text, who, at, note, None))
        return self.job(id)

    def save(
        self, job: str, text: str, *, base: int, who: str = "", note: str = "", name: str | None = None
    ) -> Revision:
        """Save a new revision made from revision ``base``.

        A text equal to the newest is not saved again; the newest is returned.

        Raises
        ------
        StaleError
            Where a newer revision than ``base`` exists. Nothing is written; the error carries both texts.
        """
        with connected(self.path, self.busy_ms) as c, writing(c):
            head = self._revision(c, job, None)
            if base != head.number:
                raise StaleError(
                    f"Not saved: revision {head.number} was saved while you worked on revision {base}."
                    " Your text is kept. Compare the two, then save again.",
                    head,
                    text,
                )
            if text == head.text:
                return head
            saved = Revision(job, head.number + 1, text, who, self._clock(), note, None)
            self._insert(c, saved)
            if name is not None:
                c.execute("UPDATE jobs SET name = ? WHERE id = ?", (name, job))
        return saved

    def undo(self, job: str, *, who: str = "") -> Revision:
        """Bring back the text before the newest change, as a new revision; again steps further back."""
        with connected(self.path, self.busy_ms) as c, writing(c):
            head = self._revision(c, job, None)
            at = head.repeats or head.number
            if at == 1:
                raise MissingError("There is nothing before revision 1 to go back to.")
            older = self._revision(c, job, at - 1)
            return self._bring_back(c, head, older, f"undo: back to revision {older.number}", who)

    def restore(self, job: str, number: int, *, who: str = "") -> Revision:
        """Bring back the text of revision ``number`` as a new revision."""
        with connected(self.path, self.busy_ms) as c, writing(c):
            head = self._revision(c, job, None)
            older = self._revision(c, job, number)
            return self._bring_back(c, head, older, f"back to revision {number}", who)

    def choose(self, job: str, recover: str | None) -> None:
        """Note which recover the person has chosen."""
        self.job(job)
        with connected(self.path, self.busy_ms) as c, writing(c):
            c.execute("UPDATE jobs SET chosen = ? WHERE id = ?", (recover, job))

    def archive(self, job: str) -> None:
        """Put a job away. It stays in the store with all its revisions."""
        self._set_archived(job, self._clock())

    def bring_back(self, job: str) -> None:
        """Take a job out of the archive."""
        self._set_archived(job, None)

    # ---- drafts

    def keep_draft(self, text: str, reason: str, *, job: str | None = None, base: int | None = None) -> Draft:
        """Keep a text that could not be taken in."""
        with connected(self.path, self.busy_ms) as c, writing(c):
            cursor = c.execute(
                "INSERT INTO drafts (job, base, text, reason, at) VALUES (?, ?, ?, ?, ?)",
                (job, base, text, reason, self._clock()),
            )
            number = int(cursor.lastrowid or 0)
        return self.draft(number)

    def draft(self, id: int) -> Draft:
        """One draft that is still open."""
        with connected(self.path, self.busy_ms) as c:
            row = c.execute(f"{_DRAFTS} AND id = ?", (id,)).fetchone()
        if row is None:
            raise NotFoundError(f"There is no open draft {id} in this store.")
        return Draft(**dict(row))

    def drafts(self, job: str | None = None) -> tuple[Draft, ...]:
        """Open drafts, newest first: of one job, or of all."""
        query = f"{_DRAFTS} AND (? IS NULL OR job = ?) ORDER BY id DESC"
        with connected(self.path, self.busy_ms) as c:
            return tuple(Draft(**dict(row)) for row in c.execute(query, (job, job)))

    def close_draft(self, id: int) -> None:
        """A draft is settled. It is no longer listed; its text stays in the file."""
        with connected(self.path, self.busy_ms) as c, writing(c):
            c.execute("UPDATE drafts SET closed = ? WHERE id = ?", (self._clock(), id))

    # ---- inside

    def insert_whole(self, row: JobRow, revisions: tuple[Revision, ...], drafts: tuple[Draft, ...]) -> JobRow:
        """Add a whole job with its history, under a free id. Used by the import."""
        with connected(self.path, self.busy_ms) as c, writing(c):
            id = self._free_id(c, row.id)
            c.execute(
                "INSERT INTO jobs (id, name, created, archived, chosen) VALUES (?, ?, ?, ?, ?)",
                (id, row.name, row.created, row.archived, row.chosen),
            )
            for r in revisions:
                self._insert(c, Revision(id, r.number, r.text, r.who, r.at, r.note, r.repeats))
            for d in drafts:
                c.execute(
                    "INSERT INTO drafts (job, base, text, reason, at) VALUES (?, ?, ?, ?, ?)",
                    (id, d.base, d.text, d.reason, d.at),
                )
        return self.job(id)

    def _bring_back(
        self, c: sqlite3.Connection, head: Revision, older: Revision, note: str, who: str
    ) -> Revision:
        repeats = older.repeats or older.number
        saved = Revision(head.job, head.number + 1, older.text, who, self._clock(), note, repeats)
        self._insert(c, saved)
        return saved

    def _set_archived(self, job: str, at: str | None) -> None:
        self.job(job)
        with connected(self.path, self.busy_ms) as c, writing(c):
            c.execute("UPDATE jobs SET archived = ? WHERE id = ?", (at, job))

    @staticmethod
    def _revision(c: sqlite3.Connection, job: str, number: int | None) -> Revision:
        query = (
            "SELECT * FROM revisions WHERE job = ? AND (? IS NULL OR number = ?) ORDER BY number DESC LIMIT 1"
        )
        row = c.execute(query, (job, number, number)).fetchone()
        if row is None:
            which = "" if number is None else f" or no revision {number} of it"
            raise NotFoundError(f"There is no job {job}{which} in this store.")
        return Revision(**dict(row))

    @staticmethod
    def _insert(c: sqlite3.Connection, r: Revision) -> None:
        c.execute(
            "INSERT INTO revisions (job, number, text, who, at, note, repeats) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (r.job, r.number, r.text, r.who, r.at, r.note, r.repeats),
        )

    @staticmethod
    def _free_id(c: sqlite3.Connection, wanted: str) -> str:
        taken = {row[0] for row in c.execute("SELECT id FROM jobs")}
        id, n = wanted, 1
        while id in taken:
            n += 1
            id = f"{wanted}-{n}"
        return id


_JOBS = (
    "SELECT j.id, j.name, j.created, j.archived, j.chosen, max(r.number) AS revision, max(r.at) AS saved_at"
    " FROM jobs j JOIN revisions r ON r.job = j.id"
)
_DRAFTS = "SELECT id, job, base, text, reason, at FROM drafts WHERE closed IS NULL"
