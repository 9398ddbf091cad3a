"""Lint, types, docs and tests: what ``python3 run.py test``, ``lint`` and ``docs`` run in .venv."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PYTHON = sys.executable
DEBIAN_BROWSER = ["apt-get", "install", "-y", "--no-install-recommends", "chromium"]


def say(text):
    """Tell the person, beside the output proper."""
    print("secondroof: " + text, file=sys.stderr, flush=True)


def find_browser():
    """A browser for the browser tests: the one named, or one of the usual ones, or None."""
    names = [
        "chromium",
        "chromium-browser",
        "google-chrome",
        "google-chrome-stable",
        "microsoft-edge",
        "chrome",
    ]
    places = [os.environ.get("SECONDROOF_BROWSER"), *map(shutil.which, names)]
    mac = ["Chromium.app/Contents/MacOS/Chromium", "Google Chrome.app/Contents/MacOS/Google Chrome"]
    places += [f"/Applications/{app}" for app in [*mac, "Microsoft Edge.app/Contents/MacOS/Microsoft Edge"]]
    for base in filter(None, map(os.environ.get, ["PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"])):
        places += [
            f"{base}/Google/Chrome/Application/chrome.exe",
            f"{base}/Microsoft/Edge/Application/msedge.exe",
        ]
    return next((place for place in places if place and Path(place).is_file()), None)


def parts(word):
    """The parts of ``test``, ``lint`` and ``docs``: name and command."""
    module = [PYTHON, "-m"]
    sphinx = ["sphinx", "-q", "-W", "--keep-going", "-d", ".cache/doctrees", "docs", "docs/_build/html"]
    known = [
        ("lint", "ruff check", [*module, "ruff", "check", "--output-format", "concise", "."]),
        ("lint", "ruff format", [*module, "ruff", "format", "--check", "--output-format", "concise", "."]),
        ("lint", "mypy", [*module, "mypy"]),
        ("docs", "docs", [*module, *sphinx]),
        ("test", "pytest", [*module, "pytest", "-n", "2", "--dist", "loadgroup"]),
    ]
    return [(name, command) for group, name, command in known if word in (group, "test")]


def run_parts(word, args):
    """Run each part, print one summary, and give the exit code."""
    env, browser = dict(os.environ), find_browser()
    if word == "test" and not args and not browser and shutil.which("apt-get") and os.geteuid() == 0:
        say("installing Debian's chromium for the browser tests (once)")
        quiet = {"stdout": subprocess.DEVNULL, "env": {**env, "DEBIAN_FRONTEND": "noninteractive"}}
        subprocess.call(["apt-get", "update"], **quiet)
        subprocess.call(DEBIAN_BROWSER, **quiet)
        browser = find_browser()
    if browser:
        env["SECONDROOF_BROWSER"] = browser
    wanted = [("pytest", [PYTHON, "-m", "pytest", *args])] if args and word == "test" else parts(word)
    results = []
    for name, command in wanted:
        print(f"== {name}", flush=True)
        began = time.monotonic()
        code = subprocess.call(command, cwd=ROOT, env=env)
        results.append((name, code, time.monotonic() - began))
    print("== summary")
    for name, code, took in results:
        print(f"{name:12} {'ok' if code == 0 else f'FAILED (exit {code})':18} {took:6.1f} s")
    if word == "test" and not browser:
        print("THE BROWSER TESTS WERE SKIPPED: no Chromium, Chrome or Edge was found.")
        print("Install one, or name its program in SECONDROOF_BROWSER, then run the tests again.", flush=True)
    return next((code for _, code, _ in results if code), 0)


if __name__ == "__main__":
    try:
        sys.exit(run_parts(sys.argv[1], sys.argv[2:]))
    except KeyboardInterrupt:
        sys.exit(130)
