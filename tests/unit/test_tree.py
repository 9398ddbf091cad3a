"""The tree itself: sizes, locks, paths, vendored files."""

from __future__ import annotations

import hashlib
import re
import subprocess
import tomllib
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
STATIC = ROOT / "src/secondroof/web/static"
VENDORED = {"htmx-4.0.1.min.js": "a0abb04f2f45a1f89d1d4844023245537e5e6014c87b144553e0607b4cc32130"}
SETUP_FILES = ("requirements.txt", "requirements-test.txt", "pyproject.toml", "run.py", ".ci/run")
TEXT = {
    ".py",
    ".toml",
    ".txt",
    ".md",
    ".yaml",
    ".yml",
    ".json",
    ".csv",
    ".css",
    ".js",
    ".html",
    ".svg",
    ".typ",
    ".sql",
}
OWN_TEXT_NOT_OURS = re.compile(r"licen[sc]e|htmx-|vega|three\.", re.IGNORECASE)


@cache
def files() -> tuple[Path, ...]:
    """List the files of the project: those git tracks or would track; without git, all but the usual leftovers."""
    done = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "-z"], cwd=ROOT, capture_output=True, text=True
    )
    if done.returncode == 0:
        found = [ROOT / name for name in done.stdout.split("\0") if name]
    else:
        left = {".venv", ".cache", "_build", "__pycache__", ".git", ".hypothesis", "out", "dist", "build"}
        found = [path for path in ROOT.rglob("*") if not left & set(path.relative_to(ROOT).parts)]
    return tuple(sorted(path for path in found if path.is_file()))


def text_files() -> list[Path]:
    return [
        path
        for path in files()
        if path.suffix in TEXT or path.parent.name == ".ci" or path.name == ".gitignore"
    ]


def test_the_tree_is_seen():
    assert {ROOT / "run.py", ROOT / "pyproject.toml", ROOT / "src/secondroof/__init__.py"} <= set(files())


def test_no_module_is_over_600_lines():
    python = [path for path in files() if path.suffix == ".py"]
    long = {
        str(p.relative_to(ROOT)): n for p in python if (n := len(p.read_text("utf-8").splitlines())) > 600
    }
    assert not long


def test_no_file_is_over_2_mb():
    big = {
        str(path.relative_to(ROOT)): path.stat().st_size
        for path in files()
        if path.stat().st_size > 2_000_000
    }
    assert not big


@pytest.mark.parametrize("name", SETUP_FILES)
def test_set_up_names_no_address_and_no_index(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    for word in (
        "http" + ":",
        "http" + "s:",
        "--index-url",
        "--extra-index-url",
        "--find-links",
        "git+",
        "file:",
        " @ ",
    ):
        assert word not in text, f"{name} holds {word!r}"


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-test.txt"])
def test_every_pin_is_exact_and_hashed(name):
    text = (ROOT / name).read_text(encoding="utf-8").replace("\\\n", " ")
    for line in text.splitlines():
        assert re.match(r"[a-z0-9.-]+==[^ ;]+ ", line), line
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", line), line


def pins(name: str) -> dict[tuple[str, str], str]:
    found = {}
    for line in (ROOT / name).read_text(encoding="utf-8").splitlines():
        match = re.match(r"([a-z0-9.-]+)==([^ ;]+)( ; .*?)? \\", line)
        if match:
            found[match[1], match[2]] = (match[3] or "").strip()
    return found


def test_both_locks_agree():
    """The test set holds the runtime set, pin for pin, so going from one to the other never reinstalls."""
    runtime, test = pins("requirements.txt"), pins("requirements-test.txt")
    assert runtime
    assert runtime.items() <= test.items()


def test_every_dependency_is_locked():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))

    def names(wanted: list[object]) -> set[str]:
        found = [re.match(r"[A-Za-z0-9._-]+", item)[0] for item in wanted if isinstance(item, str)]
        return {re.sub(r"[-_.]+", "-", name).lower() for name in found}

    groups = project["dependency-groups"]
    runtime = names(project["project"]["dependencies"]) | names(groups["build"])
    test = runtime.union(*(names(groups[group]) for group in ("test", "lint", "docs")))
    assert runtime <= {name for name, _ in pins("requirements.txt")}
    assert test <= {name for name, _ in pins("requirements-test.txt")}


def test_no_machine_path_stands_in_a_file():
    path = re.compile(r"(?<![\w.~])/(?:" + "|".join(("work", "root", "tmp", "home", "Users")) + r")/[\w.]")
    wrong = [
        f"{file.relative_to(ROOT)}: {match[0]}"
        for file in text_files()
        if (match := path.search(file.read_text(encoding="utf-8")))
    ]
    assert not wrong


def test_no_registry_host_stands_in_a_file():
    hosts = (
        "py" + "pi.org",
        "pythonhosted" + ".org",
        "npmjs" + ".org",
        "npmjs" + ".com",
        "deb.debian" + ".org",
    )
    wrong = [
        f"{file.relative_to(ROOT)}: {host}"
        for file in text_files()
        if not OWN_TEXT_NOT_OURS.search(str(file.relative_to(ROOT)))
        for host in hosts
        if host in file.read_text(encoding="utf-8")
    ]
    assert not wrong


@pytest.mark.parametrize(("name", "digest"), VENDORED.items())
def test_vendored_scripts_are_as_published(name, digest):
    assert hashlib.sha256((STATIC / name).read_bytes()).hexdigest() == digest


def test_vendored_scripts_have_a_licence_beside_them():
    assert all((STATIC / "licenses" / f"{name.split('.min')[0]}-LICENSE.txt").exists() for name in VENDORED)


def test_no_formula_calls_memory_verified():
    """A formula checked only against a recalled table is from memory, and its card must say so."""
    from secondroof.calculations import calculations

    wrong = [
        name
        for name, calc in calculations().items()
        if calc.formula is not None
        and calc.formula.checked.startswith("verified")
        and any(word in calc.formula.checked for word in ("memory", "recalled"))
    ]
    assert not wrong
