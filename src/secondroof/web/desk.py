"""The desk a page works at: the store, and surveys and findings already worked out."""

from __future__ import annotations

import hashlib
import shutil
import threading
import zipfile
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import secondroof
from secondroof.errors import SecondroofError
from secondroof.store import Revision, Store

if TYPE_CHECKING:
    from secondroof.findings.model import Findings
    from secondroof.survey.models import Survey

T = TypeVar("T")


class Cache:
    """The last few results by key; a second asker of the same key waits for the first."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = threading.Lock()
        self._busy: dict[Hashable, threading.Lock] = {}

    def get(self, key: Hashable, make: Callable[[], T]) -> T:
        """Result kept under ``key``, or made now. An error is not kept."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]  # type: ignore[no-any-return]
            turn = self._busy.setdefault(key, threading.Lock())
        with turn:
            with self._lock:
                if key in self._kept:
                    return self._kept[key]  # type: ignore[no-any-return]
            made = make()
            with self._lock:
                self._kept[key] = made
                self._busy.pop(key, None)
                while len(self._kept) > self._size:
                    self._kept.popitem(last=False)
        return made


@dataclass(frozen=True, slots=True)
class Example:
    """A packaged, invented job."""

    id: str
    name: str
    about: str
    text: str


class Desk:
    """Store and results of one running workbench.

    Parameters
    ----------
    path : Path
        The store's file. Written packages lie in a folder beside it.
    """

    def __init__(self, path: str | Path) -> None:
        self.store = Store(path)
        self._surveys = Cache(64)
        self._findings = Cache(24)
        self._parts = Cache(64)
        self._packing = threading.Lock()
        self.papers = self.store.path.parent / f"{self.store.path.stem}-papers"

    def survey(self, text: str) -> Survey:
        """Survey of a text; raises InputError with every problem."""

        def make() -> Survey:
            from secondroof import api

            return api.read(text)

        return self._surveys.get(fingerprint(text), make)

    def findings(self, text: str, recover: str | None) -> Findings:
        """Findings of one recover on one survey text."""

        def make() -> Findings:
            from secondroof import api

            return api.check(self.survey(text), recover)

        return self._findings.get((fingerprint(text), recover), make)

    def findings_or_why(self, text: str, recover: str | None) -> tuple[Findings | None, str]:
        """Findings, or in words why there are none yet."""
        if recover is None:
            return None, "No recover is tried on this roof yet."
        try:
            return self.findings(text, recover), ""
        except SecondroofError as error:
            return None, str(error)

    def part(self, key: Hashable, make: Callable[[], T]) -> T:
        """A drawing or table kept by key."""
        return self._parts.get(key, make)

    def chosen(self, revision: Revision, asked: str | None = None) -> str | None:
        """Name of the recover to show: the one asked for, the one chosen, or the last tried."""
        names = [r.name for r in self.survey(revision.text).recovers]
        for name in (asked, self.store.job(revision.job).chosen):
            if name in names:
                return name
        return names[0] if names else None

    # ---- papers

    def package_folder(self, revision: Revision, recover: str) -> Path:
        """Folder of the written papers of one revision and recover."""
        name = f"{fingerprint(revision.text)[:12]}-{recover}-{secondroof.__version__}"
        return self.papers / revision.job / name

    def packed(self, revision: Revision, recover: str) -> tuple[Path, ...]:
        """Files of the package where it is written, else nothing."""
        folder = self.package_folder(revision, recover)
        if not (folder / ".whole").exists():
            return ()
        return tuple(sorted(f for f in folder.rglob("*") if f.is_file() and f.name != ".whole"))

    def pack(self, revision: Revision, recover: str, *, again: bool = False) -> tuple[Path, ...]:
        """Write the papers of one revision; what was half written before is replaced."""
        from secondroof import api

        folder = self.package_folder(revision, recover)
        with self._packing:
            found = self.packed(revision, recover)
            if found and not again:
                return found
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir(parents=True)
            api.package(self.survey(revision.text), recover, folder, survey_text=revision.text)
            (folder / ".whole").touch()
        return self.packed(revision, recover)

    def zipped(self, revision: Revision, recover: str) -> bytes:
        """Every file of the written package in one zip."""
        import io

        folder = self.package_folder(revision, recover)
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
            for file in self.packed(revision, recover):
                archive.write(file, f"{revision.job}-{recover}/{file.relative_to(folder).as_posix()}")
        return out.getvalue()


def fingerprint(text: str) -> str:
    """Short name of a text by its content."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def examples() -> tuple[Example, ...]:
    """Every packaged example."""
    from secondroof import api

    return tuple(example(id) for id in api.examples())


def example(id: str) -> Example:
    """One packaged example."""
    from secondroof import api

    text = api.example(id).read_text("utf-8")
    return Example(id, *_about(text), text)


def _about(text: str) -> tuple[str, str]:
    """Name and a line about an example, without reading the whole survey."""
    from secondroof.web.written import as_written

    tree = as_written(text)
    job, building = tree.get("job"), tree.get("building")
    size = f"{building.get('length').value} by {building.get('width').value} ft"
    parts = [
        building.get("shape").value,
        size,
        f"built {job.get('built').value}" if job.get("built").value else "",
    ]
    return job.get("name").value, ", ".join(p for p in parts if p)
