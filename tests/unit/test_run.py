"""The start script: what it takes for set up, and what it does about a browser. Nothing is installed here."""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


def load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"loaded_{path.stem}", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Load run.py as if it lay in an empty project of its own, already set up."""
    for name in ("pyproject.toml", "requirements.txt", "requirements-test.txt"):
        shutil.copy(ROOT / name, tmp_path / name)
    module = load(ROOT / "run.py")
    bin_name, python = ("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")
    monkeypatch.setattr(module, "ROOT", tmp_path)
    monkeypatch.setattr(module, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(module, "PYTHON", tmp_path / ".venv" / bin_name / python)
    module.PYTHON.parent.mkdir(parents=True)
    module.PYTHON.touch()
    for kind in ("run", "test"):
        path, wanted = module.stamp(kind)
        path.write_text(wanted)
    return module


def test_a_matching_stamp_is_enough(run):
    assert run.is_set_up("run")
    assert run.is_set_up("test")


@pytest.mark.parametrize(
    ("name", "run_stands", "test_stands"),
    [
        ("requirements.txt", False, False),
        ("pyproject.toml", False, False),
        ("requirements-test.txt", True, False),
    ],
)
def test_a_changed_file_asks_for_a_new_set_up(run, tmp_path, name, run_stands, test_stands):
    with (tmp_path / name).open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    assert run.is_set_up("run") is run_stands
    assert run.is_set_up("test") is test_stands


def test_a_moved_folder_or_a_lost_python_asks_for_a_new_set_up(run, tmp_path, monkeypatch):
    run.PYTHON.unlink()
    assert not run.is_set_up("run")
    run.PYTHON.touch()
    other = tmp_path / "moved"
    other.mkdir()
    for name in ("pyproject.toml", "requirements.txt", "requirements-test.txt"):
        shutil.copy(tmp_path / name, other / name)
    monkeypatch.setattr(run, "ROOT", other)
    assert not run.is_set_up("run")


def test_help_needs_no_set_up():
    done = subprocess.run([sys.executable, str(ROOT / "run.py")], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0
    assert "run.py demo" in done.stdout


def test_an_old_python_is_told_plainly(run, monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 10, 0, "final", 0))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer"):
        run.main()


def test_the_script_uses_the_standard_library_alone():
    import ast

    for path in (ROOT / "run.py", ROOT / "tools/run_checks.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [node.module] if isinstance(node, ast.ImportFrom) else []
            assert all(name.split(".")[0] in sys.stdlib_module_names for name in names)


# The parts of `test` -----------------------------------------------------------------------------------------


@pytest.fixture
def checks(monkeypatch):
    """Load the part runner, with every command noted instead of run."""
    module = load(ROOT / "tools/run_checks.py")
    module.called = []
    module.codes = {}

    def call(command, **_):
        module.called.append(command)
        return next((code for word, code in module.codes.items() if word in command), 0)

    monkeypatch.setattr(module.subprocess, "call", call)
    return module


def test_all_parts_run_and_one_failure_fails_all(checks, capsys, monkeypatch):
    monkeypatch.setattr(checks, "find_browser", lambda: "chromium")
    checks.codes = {"mypy": 1}
    assert checks.run_parts("test", []) == 1
    printed = capsys.readouterr().out
    assert [line.split()[1] for line in printed.splitlines() if line.startswith("mypy")] == ["FAILED"]
    assert {command[2] for command in checks.called} == {"ruff", "mypy", "sphinx", "pytest"}


def test_arguments_go_to_pytest_alone(checks, monkeypatch):
    monkeypatch.setattr(checks, "find_browser", lambda: "chromium")
    assert checks.run_parts("test", ["tests/unit", "-q"]) == 0
    assert [command[1:] for command in checks.called] == [["-m", "pytest", "tests/unit", "-q"]]


@pytest.mark.parametrize(("root", "installs"), [(True, True), (False, False)])
def test_a_browser_is_installed_only_by_root_on_debian(checks, monkeypatch, capsys, root, installs):
    monkeypatch.setattr(checks, "find_browser", lambda: None)
    monkeypatch.setattr(
        checks.shutil, "which", lambda name: f"/usr/bin/{name}" if name == "apt-get" else None
    )
    monkeypatch.setattr(checks.os, "geteuid", lambda: 0 if root else 1000, raising=False)
    checks.run_parts("test", [])
    assert any(command[0] == "apt-get" for command in checks.called) is installs
    assert "BROWSER TESTS WERE SKIPPED" in capsys.readouterr().out


def test_the_named_browser_comes_first(checks, monkeypatch, tmp_path):
    named = tmp_path / "my-browser"
    named.touch()
    monkeypatch.setenv("SECONDROOF_BROWSER", str(named))
    assert checks.find_browser() == str(named)
