"""One job to one folder of files and back, without loss."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from secondroof.errors import InputError, Problem
from secondroof.store.errors import StoreError
from secondroof.store.jobs import Draft, JobRow, Revision, Store

FORM = 1


def export_job(store: Store, job: str, folder: str | Path) -> tuple[Path, ...]:
    """Write a job with every revision into a new or empty folder; returns the files written.

    The folder holds ``job.json`` (names, times, notes, fingerprints), ``survey.yaml`` (the newest text,
    to read) and ``revisions/0001.survey.yaml`` and so on, each as it was written.
    """
    out = Path(folder)
    row, revisions, drafts = store.job(job), tuple(reversed(store.history(job))), store.drafts(job)
    if out.exists() and any(out.iterdir()):
        raise InputError(Problem("folder", str(out), "is not empty.", "Name a new or an empty folder."))
    try:
        (out / "revisions").mkdir(parents=True, exist_ok=True)
        files = [_write(out / f"revisions/{r.number:04d}.survey.yaml", r.text) for r in revisions]
        files += [_write(out / f"drafts/{d.id:04d}.survey.yaml", d.text) for d in drafts]
        files.append(_write(out / "survey.yaml", revisions[-1].text))
        head = {
            "secondroof_job": FORM,
            "id": row.id,
            "name": row.name,
            "created": row.created,
            "archived": row.archived,
            "chosen": row.chosen,
            "revisions": [
                {
                    "number": r.number,
                    "who": r.who,
                    "at": r.at,
                    "note": r.note,
                    "repeats": r.repeats,
                    "sha256": _print(r.text),
                }
                for r in revisions
            ],
            "drafts": [
                {"id": d.id, "base": d.base, "reason": d.reason, "at": d.at, "sha256": _print(d.text)}
                for d in reversed(drafts)
            ],
        }
        files.append(_write(out / "job.json", json.dumps(head, indent=2, ensure_ascii=False) + "\n"))
    except OSError as error:
        raise StoreError(
            f"The job was not written out: {error.strerror or error}. The store is untouched."
        ) from error
    return tuple(files)


def import_job(store: Store, folder: str | Path) -> JobRow:
    """Read a job from such a folder; it gets a free id where its own is taken.

    Raises
    ------
    InputError
        Everything that is wrong with the folder, at once. Nothing is written to the store.
    """
    base = Path(folder)
    head = _read_head(base)
    problems: list[Problem] = []
    revisions = [
        Revision(
            "",
            int(item["number"]),
            _read_text(base, "revisions", item["number"], item, problems),
            str(item["who"]),
            str(item["at"]),
            str(item["note"]),
            item.get("repeats"),
        )
        for item in head["revisions"]
    ]
    drafts = [
        Draft(
            int(item["id"]),
            None,
            item.get("base"),
            _read_text(base, "drafts", item["id"], item, problems),
            str(item["reason"]),
            str(item["at"]),
        )
        for item in head.get("drafts", [])
    ]
    numbers = [r.number for r in revisions]
    if not numbers or numbers != list(range(1, len(numbers) + 1)):
        problems.append(
            Problem(
                "job.json",
                str(numbers),
                "must count its revisions from 1 without a gap.",
                "Use a whole export.",
            )
        )
    if problems:
        raise InputError(problems)
    row = JobRow(
        str(head["id"]),
        str(head["name"]),
        str(head["created"]),
        head.get("archived"),
        head.get("chosen"),
        len(numbers),
        "",
    )
    return store.insert_whole(row, tuple(revisions), tuple(drafts))


def _read_head(base: Path) -> dict[str, Any]:
    path = base / "job.json"
    mend = "Name a folder written by the export of a job."
    try:
        head = json.loads(path.read_text("utf-8"))
    except OSError as error:
        raise InputError(
            Problem("job.json", str(base), f"cannot be read: {error.strerror}.", mend)
        ) from error
    except ValueError as error:
        raise InputError(Problem("job.json", str(path), "is not a job's record.", mend)) from error
    needed = {"id", "name", "created", "revisions"}
    if not isinstance(head, dict) or head.get("secondroof_job") != FORM or not needed <= set(head):
        raise InputError(Problem("job.json", str(path), f"is not a job's record of form {FORM}.", mend))
    shape_ok = isinstance(head["revisions"], list) and all(
        isinstance(r, dict)
        and {"number", "who", "at", "note", "sha256"} <= set(r)
        and isinstance(r["number"], int)
        for r in head["revisions"]
    )
    if not shape_ok:
        raise InputError(Problem("job.json", "revisions", "lacks parts of a revision.", mend))
    return head


def _read_text(base: Path, folder: str, number: Any, item: dict[str, Any], problems: list[Problem]) -> str:
    path = base / folder / f"{int(number):04d}.survey.yaml"
    try:
        text = path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError):
        problems.append(
            Problem(f"{folder}/{path.name}", "", "is missing or is not text.", "Use a whole export.")
        )
        return ""
    if _print(text) != item["sha256"]:
        problems.append(
            Problem(
                f"{folder}/{path.name}",
                "",
                "is not as it was written out.",
                "Use an export nobody has edited.",
            )
        )
    return text


def _print(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode("utf-8"))
    return path
