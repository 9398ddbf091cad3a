"""What every test shares: the random profile, the browser, and the groups of parallel runs."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Playwright, Route

ROOT = Path(__file__).resolve().parents[1]

settings.register_profile(
    "fixed", derandomize=True, deadline=None, database=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("search", deadline=None, max_examples=2000)  # by hand: HYPOTHESIS_PROFILE=search
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "fixed"))

BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "microsoft-edge")
BROWSER_ARGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--no-first-run",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
]
NO_BROWSER = (
    "no Chromium, Chrome or Edge was found; install one or name its program in SECONDROOF_BROWSER, "
    "or run the whole of `python3 run.py test`, which says how"
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark all under tests/browser, and keep the browser's tests on one worker."""
    for item in items:
        if (ROOT / "tests" / "browser") in item.path.parents:
            item.add_marker("browser")
        if item.get_closest_marker("browser") is not None:
            item.add_marker(pytest.mark.xdist_group("browser"))


@pytest.fixture(scope="session")
def root() -> Path:
    """Top folder of the project."""
    return ROOT


# The browser -----------------------------------------------------------------------------------------------


def find_browser() -> str | None:
    """Path of the browser named in the environment, or of one on the path."""
    named = os.environ.get("SECONDROOF_BROWSER")
    if named:
        return named if Path(named).is_file() else None
    return next(filter(None, map(shutil.which, BROWSER_NAMES)), None)


@pytest.fixture(scope="session")
def _playwright() -> Iterator[Playwright]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(request: pytest.FixtureRequest) -> Iterator[Browser]:
    """One headless browser for the whole run; skipped without one, and failed without one where CI is set."""
    program = find_browser()
    if program is None:
        if os.environ.get("CI"):
            pytest.fail(NO_BROWSER, pytrace=False)
        pytest.skip(NO_BROWSER)
    started: Playwright = request.getfixturevalue("_playwright")
    opened = started.chromium.launch(executable_path=program, args=BROWSER_ARGS)
    yield opened
    opened.close()


class Watch:
    """What a page did that no page of ours may do."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self.allowed_errors: list[str] = []

    def allow_error(self, part: str) -> None:
        """Expect console errors that hold this text, e.g. the browser's own line on a 422 answer."""
        self.allowed_errors.append(part)

    def on_route(self, route: Route) -> None:
        address = route.request.url
        if urlsplit(address).scheme in ("data", "blob", "about") or urlsplit(address).hostname == "127.0.0.1":
            route.continue_()
        else:
            self.faults.append(f"asked for {address}")
            route.abort()

    def on_console(self, message: ConsoleMessage) -> None:
        if message.type == "error" and not any(part in message.text for part in self.allowed_errors):
            self.faults.append(f"console error: {message.text} ({message.location.get('url', '')})")

    def on_page_error(self, error: object) -> None:
        self.faults.append(f"script error: {error}")


@pytest.fixture
def watch() -> Iterator[Watch]:
    """The faults of the test's pages; the test fails when there are any at its end."""
    seen = Watch()
    yield seen
    if seen.faults:
        pytest.fail("the page misbehaved:\n  " + "\n  ".join(seen.faults), pytrace=False)


@pytest.fixture
def context(browser: Browser, watch: Watch) -> Iterator[BrowserContext]:
    """A fresh browser context: no cookies, no store, no host but this machine."""
    opened = browser.new_context(
        viewport={"width": 1280, "height": 900}, locale="en-US", timezone_id="UTC", accept_downloads=True
    )
    opened.set_default_timeout(15_000)
    opened.route("**/*", watch.on_route)
    opened.on("console", watch.on_console)
    opened.on("weberror", lambda error: watch.on_page_error(error.error))
    yield opened
    opened.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """One page of the fresh context."""
    return context.new_page()


# The workbench ---------------------------------------------------------------------------------------------
# The `server` fixture (a workbench on 127.0.0.1 with an empty store, giving its address) belongs here.
