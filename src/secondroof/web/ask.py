"""One question from the browser, and the answers a page may give."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from secondroof.errors import NotFoundError, SecondroofError
from secondroof.web.frame import job_frame
from secondroof.web.moved import moved

if TYPE_CHECKING:
    from secondroof.findings.model import Findings
    from secondroof.store import JobRow, Revision
    from secondroof.survey.models import Survey
    from secondroof.web.contexts import Frame, Moved, Wrong
    from secondroof.web.desk import Desk


@dataclass(frozen=True, slots=True)
class Page:
    """Show a page record with its template; ``block`` gives only a part of it."""

    template: str
    record: Any
    status: int = 200
    block: str = ""


@dataclass(frozen=True, slots=True)
class Go:
    """Go on to another address."""

    href: str


@dataclass(frozen=True, slots=True)
class File:
    """Hand out bytes under a name."""

    name: str
    content: bytes
    kind: str = "application/octet-stream"
    inline: bool = False


Answer = Page | Go | File


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as it was sent."""

    name: str
    content: bytes


@dataclass(frozen=True)
class Ask:
    """A request with everything a page needs, read out of it."""

    desk: Desk
    path: Mapping[str, str]
    query: Mapping[str, str]
    form: Mapping[str, str | Upload] = field(default_factory=dict)
    sheet: str = ""
    partial: bool = False

    def text(self, name: str) -> str:
        """A field of the form, empty where it was not sent; line ends as the file has them."""
        value = self.form.get(name, "")
        return value.replace("\r\n", "\n") if isinstance(value, str) else ""

    def number(self, name: str) -> int:
        """A whole number of the form; 0 where it is none."""
        value = self.text(name)
        return int(value) if value.isascii() and value.isdigit() else 0


class JobAsk:
    """A request about one job: its newest revision, survey, findings and frame, each read once."""

    def __init__(self, ask: Ask) -> None:
        self.ask = ask
        self.desk = ask.desk
        self.id = ask.path["job"]

    @cached_property
    def job(self) -> JobRow:
        """The job."""
        return self.desk.store.job(self.id)

    @cached_property
    def revision(self) -> Revision:
        """Its newest revision."""
        return self.desk.store.revision(self.id)

    @cached_property
    def survey(self) -> Survey:
        """The survey of the newest revision."""
        return self.desk.survey(self.revision.text)

    @cached_property
    def recover(self) -> str | None:
        """The recover shown."""
        return self.desk.chosen(self.revision, self.ask.query.get("recover"))

    @cached_property
    def _found(self) -> tuple[Findings | None, str]:
        return self.desk.findings_or_why(self.revision.text, self.recover)

    @property
    def findings(self) -> Findings | None:
        """Findings of the recover shown, where there are any."""
        return self._found[0]

    @property
    def why(self) -> str:
        """Why there are no findings."""
        return self._found[1]

    @cached_property
    def since(self) -> int | None:
        """Revision to compare with, where the page was asked to show what moved."""
        text = self.ask.query.get("since", "")
        return int(text) if text.isascii() and text.isdigit() else None

    @cached_property
    def older(self) -> Revision | None:
        """The revision compared with."""
        if self.since is None or self.since >= self.revision.number:
            return None
        try:
            return self.desk.store.revision(self.id, self.since)
        except NotFoundError:
            return None

    @cached_property
    def moved(self) -> Moved | None:
        """What moved since the revision compared with."""
        if self.older is None or self.since is None:
            return None
        try:
            before, _ = self.desk.findings_or_why(self.older.text, self.desk.chosen(self.older, self.recover))
        except SecondroofError:
            return None
        return moved(before, self.findings, self.since, f"/jobs/{self.id}/strength")

    def frame(self, here: str, *, problems: tuple[Wrong, ...] = (), notice: str = "") -> Frame:
        """Frame of a page of this job."""
        return job_frame(
            self.desk,
            self.job,
            self.revision,
            here,
            sheet=self.ask.sheet,
            findings=self.findings,
            why=self.why,
            recover=self.recover,
            problems=problems,
            moved=self.moved,
            notice=notice,
        )
