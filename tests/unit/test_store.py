"""The store of jobs: revisions, undo, conflicts, drafts, what survives a killed process.

No outside figures here: every expectation is the stated rule "every save is a revision, nothing is overwritten".
"""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from secondroof.errors import ConflictError, InputError, MissingError, NotFoundError
from secondroof.store import StaleError, Store, StoreError, data_folder, differences, export_job, import_job
from secondroof.store.database import migrations
from secondroof.store.jobs import slug


@pytest.fixture
def store(tmp_path: Path) -> Store:
    ticks = iter(range(10_000))
    return Store(
        tmp_path / "deep" / "jobs.sqlite", busy_ms=50, clock=lambda: f"2026-01-01T00:00:{next(ticks):04d}"
    )


def test_every_save_is_a_revision_and_the_text_comes_back_as_written(store: Store) -> None:
    text = "secondroof: 1\r\n# ft and 'marks' ′ ″ é\n\ttab\n"
    job = store.create("Barn at the Flats", text, who="R", note="by upload")
    store.save(job.id, text + "more: 1\n", base=1, who="S", note="added more")
    assert [r.number for r in store.history(job.id)] == [2, 1]
    assert store.revision(job.id, 1).text == text
    assert store.revision(job.id).note == "added more"
    assert store.job(job.id).revision == 2


def test_a_save_of_the_same_text_adds_nothing(store: Store) -> None:
    job = store.create("a", "x: 1\n")
    assert store.save(job.id, "x: 1\n", base=1).number == 1


def test_nothing_is_overwritten_even_by_hand(store: Store) -> None:
    job = store.create("a", "x: 1\n")
    connection = sqlite3.connect(store.path)
    for statement in ("UPDATE revisions SET text = 'y'", "DELETE FROM revisions", "DELETE FROM jobs"):
        with pytest.raises(sqlite3.DatabaseError, match="never"):
            connection.execute(statement)
    connection.close()
    assert store.revision(job.id).text == "x: 1\n"


def test_undo_steps_back_and_is_itself_a_revision(store: Store) -> None:
    job = store.create("a", "one\n")
    store.save(job.id, "two\n", base=1)
    store.save(job.id, "three\n", base=2)
    assert store.undo(job.id).text == "two\n"
    assert store.undo(job.id).text == "one\n"
    with pytest.raises(MissingError):
        store.undo(job.id)
    assert [r.text for r in reversed(store.history(job.id))] == [
        "one\n",
        "two\n",
        "three\n",
        "two\n",
        "one\n",
    ]
    assert store.restore(job.id, 3).text == "three\n"
    assert store.undo(job.id).text == "two\n"


def test_a_stale_base_writes_nothing_and_keeps_both_texts(store: Store) -> None:
    job = store.create("a", "one\n")
    store.save(job.id, "theirs\n", base=1)
    with pytest.raises(StaleError) as caught:
        store.save(job.id, "mine\n", base=1)
    assert isinstance(caught.value, ConflictError)
    assert (caught.value.theirs.text, caught.value.typed) == ("theirs\n", "mine\n")
    assert store.job(job.id).revision == 2


def test_archive_hides_and_brings_back(store: Store) -> None:
    job = store.create("a", "one\n")
    store.archive(job.id)
    assert store.jobs() == ()
    assert [j.id for j in store.jobs(archived=True)] == [job.id]
    assert store.revision(job.id).text == "one\n"
    store.bring_back(job.id)
    assert [j.id for j in store.jobs()] == [job.id]


def test_ids_are_short_free_and_plain(store: Store) -> None:
    assert [store.create(n, "x").id for n in ("Barn", "barn!", "Ökör 1/2")] == ["barn", "barn-2", "okor-1-2"]
    assert slug("…") == "job"
    with pytest.raises(NotFoundError, match="no job"):
        store.job("nowhere")
    with pytest.raises(NotFoundError, match="revision 7"):
        store.revision("barn", 7)


def test_drafts_are_kept_until_settled(store: Store) -> None:
    draft = store.keep_draft("not yaml: [", "2 problems")
    assert store.drafts() == (draft,)
    store.close_draft(draft.id)
    assert store.drafts() == ()
    with pytest.raises(NotFoundError):
        store.draft(draft.id)


def test_export_and_import_lose_nothing(store: Store, tmp_path: Path) -> None:
    job = store.create("Barn", "one\r\nline two ″\n", who="R", note="first")
    store.save(job.id, "two", base=1)
    store.undo(job.id, who="S")
    store.choose(job.id, "R2")
    store.keep_draft("half typed", "not yet whole", job=job.id, base=3)
    export_job(store, job.id, tmp_path / "out")
    other = Store(tmp_path / "other.sqlite")
    back = import_job(other, tmp_path / "out")
    assert (back.id, back.name, back.chosen, back.created) == (job.id, "Barn", "R2", job.created)
    assert other.history(back.id) == store.history(job.id)
    assert [(d.text, d.reason, d.base) for d in other.drafts(back.id)] == [("half typed", "not yet whole", 3)]
    assert import_job(other, tmp_path / "out").id == "barn-2"


def test_import_says_everything_wrong_and_writes_nothing(store: Store, tmp_path: Path) -> None:
    job = store.create("Barn", "one")
    store.save(job.id, "two", base=1)
    export_job(store, job.id, tmp_path / "out")
    (tmp_path / "out/revisions/0001.survey.yaml").unlink()
    (tmp_path / "out/revisions/0002.survey.yaml").write_text("edited")
    other = Store(tmp_path / "other.sqlite")
    with pytest.raises(InputError) as caught:
        import_job(other, tmp_path / "out")
    assert len(caught.value.problems) == 2
    assert other.jobs() == ()
    with pytest.raises(InputError, match=r"job\.json"):
        import_job(other, tmp_path)
    with pytest.raises(InputError, match="not empty"):
        export_job(store, job.id, tmp_path / "out")


def test_a_killed_process_loses_nothing_committed(tmp_path: Path) -> None:
    path = tmp_path / "jobs.sqlite"
    script = textwrap.dedent(
        """
        import os, sys
        from secondroof.store import Store
        from secondroof.store.database import connected, writing
        store = Store(sys.argv[1])
        job = store.create("a", "one")
        store.save(job.id, "two", base=1)
        with connected(store.path) as c, writing(c):
            c.execute("INSERT INTO revisions VALUES ('a', 3, 'half', '', '', '', NULL)")
            print("saving", flush=True)
            os.kill(os.getpid(), 9)
        """
    )
    done = subprocess.run([sys.executable, "-c", script, str(path)], capture_output=True, text=True)
    assert done.stdout == "saving\n" and done.returncode != 0
    after = Store(path)
    assert [r.text for r in after.history("a")] == ["two", "one"]
    assert after.save("a", "three", base=2).number == 3


def test_locked_full_and_foreign_files_are_told_in_words(store: Store, tmp_path: Path) -> None:
    job = store.create("a", "one")
    holder = sqlite3.connect(store.path, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreError, match="another program holds the store"):
        store.save(job.id, "two", base=1)
    holder.execute("ROLLBACK")
    holder.close()
    assert store.save(job.id, "two", base=1).number == 2

    foreign = tmp_path / "notes.txt"
    foreign.write_text("these are not jobs, only a long enough line of plain words to be read as a head" * 3)
    with pytest.raises(StoreError, match="not a store of jobs"):
        Store(foreign)
    assert foreign.read_text().startswith("these are not jobs")


def test_disk_full_is_told_in_words(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    from secondroof.store import database

    job = store.create("a", "one")
    real = database.open_connection

    def small(path: Path, busy_ms: int = 5000) -> sqlite3.Connection:
        connection = real(path, busy_ms)
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")
        return connection

    monkeypatch.setattr(database, "open_connection", small)
    with pytest.raises(StoreError, match="the disk is full"):
        store.save(job.id, "x" * 200_000, base=1)
    monkeypatch.undo()
    assert [r.text for r in store.history(job.id)] == ["one"]


def test_a_store_of_a_newer_form_is_left_alone(store: Store) -> None:
    connection = sqlite3.connect(store.path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()
    with pytest.raises(StoreError, match="newer secondroof"):
        Store(store.path)


def test_numbered_files_rise_by_one() -> None:
    assert [n for n, _ in migrations()] == list(range(1, len(migrations()) + 1))


@pytest.mark.parametrize(
    ("platform", "env", "want"),
    [
        ("linux", {}, "home/.local/share/secondroof"),
        ("linux", {"XDG_DATA_HOME": "data"}, "data/secondroof"),
        ("darwin", {}, "home/Library/Application Support/secondroof"),
        ("win32", {"LOCALAPPDATA": "local"}, "local/secondroof"),
        ("win32", {"SECONDROOF_DATA": "mine"}, "mine"),
    ],
)
def test_the_data_folder_of_each_kind_of_machine(platform: str, env: dict[str, str], want: str) -> None:
    assert data_folder(env, platform, Path("home")).as_posix() == want


def test_differences_show_only_what_changed_with_its_lines() -> None:
    older = "\n".join(f"line {i}" for i in range(1, 11))
    lines = differences(older, older.replace("line 7", "line seven"), context=1)
    assert [(d.kind, d.old, d.new, d.text) for d in lines] == [
        ("gap", None, None, "5 lines alike"),
        ("same", 6, 6, "line 6"),
        ("out", 7, None, "line 7"),
        ("in", None, 7, "line seven"),
        ("same", 8, 8, "line 8"),
    ]
    assert differences(older, older) == ()
