#!/usr/bin/env python3
"""Set secondroof up and run it. Needs Python 3.11 or newer, nothing else.

    python3 run.py demo             work one invented roof from survey to package
    python3 run.py serve            open the workbench in the browser
    python3 run.py check SURVEY     any other word is a secondroof command
    python3 run.py test             lint, types, docs and every test
    python3 run.py test ARGS        pytest alone, with these arguments
    python3 run.py lint             ruff and mypy
    python3 run.py docs             build the docs

The first start makes .venv beside this file and installs the pinned, hashed packages; later starts skip that.
"""

import hashlib
import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
LOCKS = {"run": ["requirements.txt"], "test": ["requirements.txt", "requirements-test.txt"]}


def say(text):
    print("secondroof: " + text, file=sys.stderr, flush=True)


def stamp(kind):
    """Where the stamp of a set lies, and what it must hold: one hash of all that the set was made from."""
    seen = hashlib.sha256(f"{ROOT}\n{sys.platform} {sys.implementation.name} {sys.version_info[:2]}".encode())
    for name in ["pyproject.toml", *LOCKS[kind]]:
        seen.update((ROOT / name).read_bytes())
    return VENV / f"secondroof-{kind}.stamp", seen.hexdigest()


def is_set_up(kind):
    path, wanted = stamp(kind)
    return PYTHON.exists() and path.exists() and path.read_text() == wanted


def wait_for_turn(handle):
    """Hold the lock file, so that two starts at once do not set up over each other."""
    if os.name != "nt":
        import fcntl

        return fcntl.flock(handle, fcntl.LOCK_EX)
    import msvcrt

    while True:
        try:
            handle.seek(1024)
            return msvcrt.locking(handle.fileno(), msvcrt.LK_LOCK, 1)
        except OSError:
            time.sleep(0.2)


def install(what, log):
    """Install with uv where it can be had (quick), else with pip."""
    pip = [str(PYTHON), "-m", "pip", "--disable-pip-version-check", "install"]
    uv = [str(PYTHON), "-m", "uv", "pip", "install", "--compile-bytecode", "--python", str(PYTHON)]
    env = {**os.environ, "UV_SYSTEM_CERTS": "1", "UV_NO_PROGRESS": "1"}
    for command in (uv, pip):
        print("$", *command, *what, file=log, flush=True)
        if subprocess.call([*command, *what], stdout=log, stderr=log, cwd=ROOT, env=env) == 0:
            return
    say(f"could not install. The network or the disk may be at fault; the whole log is {log.name}")
    sys.exit(3)


def set_up(kind):
    """Make .venv, or mend it, so that it holds this set."""
    with open(ROOT / ".venv.lock", "a+") as turn:
        wait_for_turn(turn)
        turn.seek(0)
        interrupted = turn.read(4) == "busy"
        if is_set_up(kind):
            return
        began = time.monotonic()
        say(
            "setting up .venv (once, about a minute)" if kind == "run" else "setting up the test tools (once)"
        )
        turn.truncate(0)
        turn.write("busy")
        turn.flush()
        usable = [
            str(PYTHON),
            "-c",
            f"import sys, pip; sys.exit(sys.version_info[:2] != {sys.version_info[:2]})",
        ]
        if interrupted or not PYTHON.exists() or subprocess.call(usable, stderr=subprocess.DEVNULL) != 0:
            import venv

            try:
                venv.create(VENV, clear=True, with_pip=True)
            except subprocess.CalledProcessError:
                say("this Python cannot make a virtual environment. On Debian: apt-get install python3-venv")
                sys.exit(3)
        path, wanted = stamp(kind)
        hashed = ["--require-hashes", "--only-binary", ":all:", "-r"]
        with open(VENV / "setup.log", "w") as log:
            lines = (ROOT / "requirements.txt").read_text().splitlines()
            start = next(number for number, line in enumerate(lines) if line.startswith("uv=="))
            end = next(number for number in range(start, len(lines)) if not lines[number].endswith("\\"))
            (VENV / "uv.txt").write_text("\n".join(lines[start : end + 1]) + "\n")
            pip = [str(PYTHON), "-m", "pip", "--disable-pip-version-check", "install", *hashed]
            subprocess.call([*pip, str(VENV / "uv.txt")], stdout=log, stderr=log, cwd=ROOT)
            install([*hashed, LOCKS[kind][-1]], log)
            install(["--no-deps", "--no-build-isolation", "-e", "."], log)
        for done in [kind, "run"] if kind == "test" else [kind]:
            path, wanted = stamp(done)
            path.write_text(wanted)
        turn.truncate(0)
        say(f"ready after {time.monotonic() - began:.0f} s")


def main():
    if sys.version_info < (3, 11):
        sys.exit("secondroof needs Python 3.11 or newer; this is Python " + sys.version.split()[0] + ".")
    word = sys.argv[1] if len(sys.argv) > 1 else "help"
    if word in ("help", "-h", "--help") and len(sys.argv) < 3:
        print(__doc__.strip())
        return 0
    developer = word in ("test", "lint", "docs")
    kind = "test" if developer else "run"
    if not is_set_up(kind):
        set_up(kind)
    program = [str(BIN / ("secondroof.exe" if os.name == "nt" else "secondroof"))]
    if developer:
        program = [str(PYTHON), str(ROOT / "tools" / "run_checks.py")]
    command = [*program, *sys.argv[1:]]
    if os.name == "nt":  # exec on Windows would give the prompt back at once
        return subprocess.call(command)
    sys.stdout.flush()
    os.execv(command[0], command)


if __name__ == "__main__":
    try:
        sys.exit(main())
    except KeyboardInterrupt:
        say("stopped. If it was setting up, the next start begins that again")
        sys.exit(130)
